// What the scripts of the pages share. The server puts the sentences of the language before this line.
// A sentence with its values; its name, where the language has none.
export const say = (key, values = {}) => (words[key] || key).replace(/\{(\w+)\}/g, (_, name) => values[name]);

// What the server tells. A hub takes a page's cookie for a script's question only with this beside it.
export const ask = async address => {
  const [, token] = /(?:^|; )_xsrf=([^;]*)/.exec(document.cookie) || [];
  return (await fetch(address, token ? { headers: { 'X-XSRFToken': token } } : {})).json();
};

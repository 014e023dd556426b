// What the scripts of the pages say. The server puts the sentences of the language before this line.
// A sentence with its values; its name, where the language has none.
export const say = (key, values = {}) => (words[key] || key).replace(/\{(\w+)\}/g, (_, name) => values[name]);

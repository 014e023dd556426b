// The lesson as a page for people: nothing of the notebook's machinery, a header that leads on,
// and one switch that brings the machinery back. Written by hand; there is no build step.

const SHOWS_CODE = 'labkit-shows-code';
const CHROME = new Set(['jp-top-panel', 'jp-menu-panel', 'jp-bottom-panel']);
const FOLDERS = ['lessons', 'exercises'];

const shared = {};
export const setShared = scope => Object.assign(shared, scope);

let say, ask; // as the pages share them
export const setWords = found => { ({ say, ask } = found); };

const load = async name => {
  for (const version of Object.values(shared[name] || {})) return (await version.get())();
  return null;
};

const make = (name, attributes = {}, ...children) => {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (key.startsWith('on')) element.addEventListener(key.slice(2), value);
    else if (value !== null && value !== false) element.setAttribute(key, value === true ? '' : value);
  }
  element.append(...children);
  return element;
};

// What a bench changes in itself, with each move of a slider, concerns nobody else; looking through a page
// for it would cost more than painting.
export const isOutsideBench = ({ target }) => {
  const part = target.nodeType === Node.ELEMENT_NODE ? target : target.parentElement;
  return !part || !part.closest('.labkit-live');
};

const pause = milliseconds => new Promise(done => { setTimeout(done, milliseconds); });

const ANSWERS_WITHIN = 30000; // ms that a kernel has for starting again
const LEFT = 'labkit left ';
const leave = (path, settings) => { try { sessionStorage.setItem(LEFT + path, JSON.stringify(settings)); } catch { /* private window */ } };
const left = path => {
  try {
    const settings = JSON.parse(sessionStorage.getItem(LEFT + path) || '[]');
    sessionStorage.removeItem(LEFT + path);
    return settings;
  } catch { return []; }
};

const remember = shows => { try { localStorage.setItem(SHOWS_CODE, shows ? '1' : ''); } catch { /* private window */ } };
const remembers = () => { try { return Boolean(localStorage.getItem(SHOWS_CODE)); } catch { return false; } };

// "lessons/04_setting_the_switch.ipynb" → { number: 4, words: "Setting the switch" }
const named = path => {
  const [, number, words] = /(?:^|\/)(\d*)_?([^/]*)\.ipynb$/.exec(path) || [null, '', path];
  const plain = words.replaceAll('_', ' ').trim();
  return { number: number ? Number(number) : null, words: plain.charAt(0).toUpperCase() + plain.slice(1) };
};
const titles = new Map(); // path → the name that the page itself has, once the home page has told
const titleOf = path => {
  if (titles.has(path)) return titles.get(path);
  const { number, words } = named(path);
  return number === null ? words : `${number} · ${words}`;
};

// Hiding by style sheet leaves gaps: the layout must know.
const chromeOf = shell => {
  const found = [];
  const walk = widget => {
    for (const child of widget.children()) {
      if (CHROME.has(child.id) || child.node.classList.contains('jp-SideBar')) found.push(child);
      else if (child.id !== 'jp-main-dock-panel') walk(child);
    }
  };
  walk(shell);
  return found;
};

class View {
  constructor(app) {
    this.app = app;
    this.panels = new Map();
    this.hidden = [];
  }

  get isOn() { return document.body.classList.contains('labkit-lesson-view'); }

  // Called for whatever comes to the front: a lesson gets its look, anything else gets the usual one.
  apply(panel) {
    const header = this.panels.get(panel);
    const plain = Boolean(header) && !remembers();
    document.body.classList.toggle('labkit-lesson-view', plain);
    if (plain) {
      if (this.app.shell.collapseLeft) this.app.shell.collapseLeft();
      if (this.app.shell.collapseRight) this.app.shell.collapseRight();
      for (const widget of chromeOf(this.app.shell)) {
        if (widget.isHidden) continue;
        widget.hide();
        this.hidden.push(widget);
      }
    } else {
      for (const widget of this.hidden.splice(0)) widget.show();
    }
    if (header) {
      if (!plain) this.asWords(panel);
      // A hidden toolbar would still be drawn anew with every message of the kernel: it goes until it is wanted,
      // and so does the list of what finds no room in it, into which it may have put all it has.
      const { Widget } = this.lumino, { popup } = panel.toolbar.popupOpener || {};
      if (!plain) {
        if (popup && !popup.isAttached) Widget.attach(popup, document.body);
        panel.layout.insertWidget(0, panel.toolbar);
      } else {
        if (popup && popup.isAttached) Widget.detach(popup);
        if (panel.toolbar.parent) panel.layout.removeWidget(panel.toolbar);
      }
      header.code.textContent = say(plain ? 'show-code' : 'hide-code');
      header.code.setAttribute('aria-pressed', String(!plain));
    }
  }

  async add(panel) {
    const lumino = await load('@lumino/widgets');
    if (!lumino || this.panels.has(panel)) return;
    this.lumino = lumino;
    const header = new Header(this, panel);
    this.panels.set(panel, header);
    const frame = new lumino.Widget({ node: make('div', {}, header.node) });
    panel.contentHeader.addWidget(frame);
    new ResizeObserver(() => { // the layout goes by this alone, also when the header takes a second row
      const height = `${header.node.offsetHeight}px`;
      if (frame.node.style.minHeight === height) return;
      frame.node.style.minHeight = height;
      if (frame.parent) frame.parent.fit();
    }).observe(header.node);
    panel.disposed.connect(() => {
      header.watch.disconnect();
      this.panels.delete(panel);
    });
    this.guard(panel);
    // The page's own words say that a kernel died: the notebook's stand in the way, and lead nowhere.
    panel.sessionContext.statusChanged.disconnect(panel._onSessionStatusChanged, panel);
    header.wait(0, say('opening'));
    if (this.app.shell.currentWidget === panel) this.apply(panel);
    await header.fill();
  }

  // A stray key or a double click must not delete, cut, run or open what a learner cannot mend.
  guard(panel) {
    const passes = event => (event.ctrlKey || event.metaKey) && !event.altKey
      && (event.shiftKey ? ['c'] : ['s', 'c', 'f']).includes(event.key.toLowerCase());
    panel.node.addEventListener('keydown', event => {
      if (this.isOn && !passes(event)) event.stopPropagation();
    });
    const stop = event => {
      if (this.isOn && event.target.closest('.jp-Cell')) event.stopPropagation();
    };
    panel.node.addEventListener('contextmenu', stop, true);
    panel.node.addEventListener('dblclick', event => {
      if (event.target.closest('.jp-MarkdownOutput')) stop(event);
    }, true);
  }

  // A cell that tells holds Markdown: it is colored, indented and wrapped as such. A kernel that starts says
  // of all cells that they are Python.
  asWords(panel) {
    for (const cell of panel.content.widgets) {
      if (cell.model.type !== 'code') continue;
      const tells = /^%%tell\b/.test(cell.model.sharedModel.getSource());
      cell.node.classList.toggle('labkit-tells', tells);
      if (tells) cell.model.mimeType = 'text/x-ipythongfm';
    }
  }

  // What the page waits for; without words it waits for nothing.
  say(panel, words) {
    const header = this.panels.get(panel);
    if (header) header.wait(words ? 0 : 1, words);
  }

  async goTo(panel, path) {
    const opened = await this.app.commands.execute('docmanager:open', { path, factory: 'Notebook' });
    if (opened === panel) return;
    if (panel.context.model.dirty) await panel.context.save().catch(() => {});
    await panel.sessionContext.shutdown().catch(() => {}); // else each lesson leaves a kernel behind
    panel.dispose();
  }

  // Runs from the top without moving the page, and says in each place what is still to come.
  async run(panel) {
    const notebook = await load('@jupyterlab/notebook');
    const header = this.panels.get(panel);
    if (!notebook || !header) {
      await this.app.commands.execute('notebook:run-all-cells');
      return;
    }
    const cells = panel.content.widgets.filter(cell => cell.model.type === 'code');
    for (const cell of cells) {
      const [, thing] = /^(?:# Code for|%%tell) ([^\n]+?)(?:, where [^\n]*)?(?:\n|$)/.exec(cell.model.sharedModel.getSource()) || [];
      cell.labkitThing = thing || say('next-part');
      cell.node.dataset.labkitWaits = say('getting-ready-here', { part: cell.labkitThing });
    }
    let done = 0;
    const note = (_, { notebook: its, cell }) => {
      if (its !== panel.content) return;
      delete cell.node.dataset.labkitWaits;
      done += 1;
      const next = cells[Math.min(done, cells.length - 1)];
      header.wait(done / cells.length, say('getting-ready', { part: next.labkitThing }));
    };
    header.wait(0, say('getting-ready', { part: cells.length ? cells[0].labkitThing : say('page') }));
    notebook.NotebookActions.executed.connect(note);
    try {
      await notebook.NotebookActions.runCells(panel.content, cells, panel.sessionContext);
      await header.putBack(left(panel.context.path));
    } finally {
      notebook.NotebookActions.executed.disconnect(note);
      for (const cell of cells) delete cell.node.dataset.labkitWaits; // an error ends the run early
      header.wait(1, '');
      this.asWords(panel);
    }
  }
}

class Header {
  constructor(view, panel) {
    this.view = view;
    this.panel = panel;
    const path = panel.context.path;
    this.home = make('a', { class: 'labkit-home', href: new URL('labkit/', view.app.serviceManager.serverSettings.baseUrl).href, title: say('home') }, say('home'));
    this.list = make('div', { class: 'labkit-list', id: `labkit-list-${panel.id}`, popover: 'auto' }); // above all, whatever clips
    this.contents = make('button', { type: 'button', popovertarget: this.list.id }, say('contents'));
    this.previous = this.leader(say('previous'), '‹');
    this.next = this.leader(say('next'), '›');
    this.title = make('span', { class: 'labkit-title', title: titleOf(path) }, titleOf(path));
    this.progress = make('span', { class: 'labkit-progress', role: 'status', 'aria-live': 'polite' });
    this.units = make('span', { class: 'labkit-units-choice', role: 'group', 'aria-label': say('units'), hidden: true });
    this.code = make('button', { type: 'button', class: 'labkit-code', onclick: () => {
      remember(!remembers());
      view.apply(panel);
    } }, say('show-code'));
    this.trouble = make('div', { class: 'labkit-trouble', role: 'alert', hidden: true });
    this.node = make('div', { class: 'labkit-header' },
      make('nav', { 'aria-label': say('lessons') }, this.home, this.contents, this.list, this.previous, this.title, this.next),
      this.progress, this.units, this.code, this.trouble, make('p', { class: 'labkit-on-paper' }, say('on-paper')));
    let due = false;
    this.watch = new MutationObserver(changes => {
      if (due || !changes.some(isOutsideBench)) return;
      due = true;
      requestAnimationFrame(() => { due = false; this.refresh(); });
    });
    this.watch.observe(panel.content.node, {
      childList: true, subtree: true, attributes: true, attributeFilter: ['class', 'aria-pressed'],
    });
    panel.sessionContext.statusChanged.connect((_, status) => this.onStatus(status));
    // Where the list of sessions is read before the line to the kernel breaks, no status tells of it.
    panel.sessionContext.sessionChanged.connect((_, { newValue }) => {
      if (!newValue && !panel.isDisposed) this.onStatus('dead');
    });
  }

  leader(name, sign) {
    return make('button', { type: 'button', class: 'labkit-leader', 'aria-label': name, title: name, disabled: true }, sign);
  }

  async fill() {
    const { contents } = this.view.app.serviceManager;
    const here = this.panel.context.path;
    const known = await ask(new URL('state', this.home.href)).catch(() => null);
    for (const { number, name, path, exercise } of known ? known.lessons : []) {
      for (const page of [path, exercise]) if (page) titles.set(page, `${number} · ${name}`);
    }
    this.title.title = this.title.textContent = titleOf(here);
    const lists = [];
    for (const folder of FOLDERS) {
      const found = await contents.get(folder).catch(() => ({ content: [] }));
      const paths = found.content.map(item => item.path)
        .filter(path => /\/\d\d_[^/]*\.ipynb$/.test(path) && !/-fresh-\d+/.test(path)).sort();
      if (!paths.length) continue;
      const items = paths.map(path => make('li', {}, make('button', {
        type: 'button', 'aria-current': path === here && 'page',
        onclick: () => {
          this.list.hidePopover();
          this.view.goTo(this.panel, path);
        },
      }, titleOf(path))));
      lists.push(make('section', {}, make('h2', {}, say(folder)), make('ul', {}, ...items)));
      if (!here.startsWith(`${folder}/`)) continue;
      const at = paths.indexOf(here);
      this.lead(this.previous, at > 0 && paths[at - 1]);
      this.lead(this.next, at >= 0 && paths[at + 1]);
    }
    this.list.append(...lists);
    if (this.previous.disabled && this.next.disabled) for (const one of [this.previous, this.next]) one.remove();
  }

  lead(button, path) {
    if (!path) return;
    button.disabled = false;
    button.title = titleOf(path);
    button.setAttribute('aria-label', `${button.getAttribute('aria-label')}: ${titleOf(path)}`);
    button.addEventListener('click', () => this.view.goTo(this.panel, path));
  }

  // What is still to come while the page computes; after that, what has been answered.
  wait(share, words) {
    this.waits = Boolean(words);
    this.node.style.setProperty('--labkit-share', `${Math.round(100 * share)}%`);
    this.node.classList.toggle('labkit-waits', this.waits);
    if (this.waits) this.say(words);
    else this.refresh();
  }

  say(words) {
    if (this.progress.textContent !== words) this.progress.textContent = words;
  }

  refresh() {
    const anew = this.panel.content.node.querySelector('.labkit-anew:not([data-labkit-seen])');
    if (anew) { // what was kept of the page is forgotten: it begins as on the first day
      anew.dataset.labkitSeen = '1';
      this.view.run(this.panel);
    }
    if (!this.waits) {
      const asked = this.panel.content.node.querySelectorAll('.labkit-asking');
      const done = [...asked].filter(one => one.classList.contains('labkit-done')).length;
      this.say(asked.length ? say('answered', { done, asked: asked.length }) : '');
    }
    const buttons = [...this.panel.content.node.querySelectorAll('.labkit-page-units button')];
    const signs = buttons.map(one => `${one.textContent} ${one.classList.contains('mod-active')}`).join();
    if (signs === this.signs) return;
    this.signs = signs;
    this.units.hidden = !buttons.length;
    this.units.replaceChildren(...buttons.map(one => make('button', {
      type: 'button', 'aria-pressed': String(one.classList.contains('mod-active')), onclick: () => one.click(),
    }, one.textContent.trim())));
  }

  // A kernel that is gone is said in one sentence, with a button that brings everything back. Until then
  // nothing can be turned: nobody would hear of it.
  onStatus(status) {
    if (!['dead', 'autorestarting'].includes(status) || !this.trouble.hidden) return;
    const again = make('button', { type: 'button', onclick: () => this.startAgain(again) }, say('start-again'));
    this.trouble.replaceChildren(`${say('stopped')} `, again);
    this.trouble.hidden = false;
    this.freeze(true);
  }

  freeze(on) {
    for (const area of this.panel.content.node.querySelectorAll('.jp-Cell-outputWrapper')) area.inert = on;
  }

  get benches() {
    return [...this.panel.content.node.querySelectorAll('.labkit-live')].map(root => root.labkitBench).filter(Boolean);
  }

  async startAgain(button) {
    button.disabled = true;
    const settings = this.benches.map(bench => bench.settings());
    const answers = this.anew().then(() => true, () => false);
    if (!await Promise.race([answers, pause(ANSWERS_WITHIN).then(() => false)])) {
      // A line to the kernel that broke while it was made is never mended: a page opened anew has another.
      leave(this.panel.context.path, settings);
      location.reload();
      return;
    }
    await this.view.run(this.panel);
    this.freeze(false);
    await this.putBack(settings);
    this.trouble.hidden = true;
  }

  async anew() {
    const { sessionContext } = this.panel, { kernel } = sessionContext.session || {};
    if (kernel && kernel.status !== 'dead') await sessionContext.restartKernel(); // one that restarts by itself may lose the first cells
    else await sessionContext.changeKernel({ name: sessionContext.kernelPreference.name || 'python3' });
    await sessionContext.session.kernel.requestKernelInfo();
  }

  // What was turned in the last moment has not come into the learner's file.
  async putBack(settings) {
    for (let tries = 0; tries < 100 && this.benches.length < settings.length; tries++) await pause(100);
    this.benches.forEach((bench, place) => bench.putBack(settings[place]));
  }
}

export const makeView = (app, base) => {
  const view = new View(app);
  view.base = base;
  document.head.append(make('link', { rel: 'stylesheet', href: new URL('lesson_view.css', base).href }));
  return view;
};

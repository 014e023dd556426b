// The column of controls: a slider or a list for each thing that can be turned, units and reset.

const make = (tag, attributes = {}, ...children) => {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith('on')) node.addEventListener(name.slice(2), value);
    else if (value === true) node.setAttribute(name, '');
    else if (value !== false && value !== null && value !== undefined) node.setAttribute(name, value);
  }
  node.append(...children);
  return node;
};

const change = (node, attributes) => {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null) node.removeAttribute(name);
    else if (node.getAttribute(name) !== String(value)) node.setAttribute(name, value);
  }
};

// Words that stand already are not put there again: the page would lay them out anew. Others go where they stood:
// another node for them would set off every rule about what the page's parts hold.
const say_in = (node, words) => {
  if (node.textContent === words) return;
  if (node.childNodes.length === 1 && node.firstChild.nodeType === Node.TEXT_NODE) node.firstChild.data = words;
  else node.textContent = words;
};

// Each bench of a page loads these lines anew, so a count alone would name two things alike.
const SERIES = Math.random().toString(36).slice(2);
let ids = 0;

class Row {
  constructor(row, turn, labels) {
    Object.assign(this, { turn, labels });
    this.id = `labkit-row-${SERIES}-${ids++}`;
    this.node = row.kind === 'choice' ? this.list(row) : this.slider(row);
    this.show(row);
  }

  list(row) {
    this.choice = make('select', {
      id: this.id, onchange: () => this.turn(this.row.name, this.choice.value),
    });
    return make('div', { class: 'labkit-setting' }, make('label', { for: this.id }, row.label), this.choice);
  }

  slider() {
    this.label = make('label', { for: this.id });
    this.typed = make('input', {
      type: 'text', inputmode: 'decimal', autocomplete: 'off', class: 'labkit-number',
      onchange: () => { if (this.typed.value !== this.words()) this.turn(this.row.name, this.typed.value); },
    });
    this.range = make('input', { type: 'range', id: this.id, oninput: () => this.turn(this.row.name, Number(this.range.value)) });
    this.unit = make('span', { class: 'labkit-unit' });
    const step = way => make('button', { type: 'button', class: 'labkit-step', onclick: () => this.step(way) }, way < 0 ? '\u2212' : '+');
    [this.less, this.more] = [step(-1), step(1)];
    return make('div', { class: 'labkit-setting' },
      make('div', { class: 'labkit-named' }, this.label, this.typed, this.unit),
      make('div', { class: 'labkit-moved' }, this.less, this.range, this.more));
  }

  get value() { return this.row.value; }

  step(way, count = 1) { this.turn(this.row.name, this.row.value + way * count * this.row.step); }

  // A number kept within the range and on a step of it.
  nearest(value) {
    const { min, max, step } = this.row;
    const steps = Math.round((Math.min(Math.max(value, min), max) - min) / step);
    return Number(Math.min(min + steps * step, max).toFixed(6)) + 0; // no minus before a nothing
  }

  words() {
    const { value, decimals } = this.row;
    return in_print(value + 0, decimals).replace('-', '\u2212');
  }

  put(value) {
    this.row = { ...this.row, value };
    this.fill();
  }

  show(row) {
    this.row = row;
    if (this.choice) {
      if (this.choice.length !== row.options.length) this.choice.replaceChildren(...row.options.map(([value, words]) => make('option', { value }, words)));
      this.choice.value = row.value;
      this.choice.disabled = row.locked;
      return;
    }
    say_in(this.label, row.label);
    say_in(this.unit, row.unit);
    change(this.range, { min: row.min, max: row.max, step: row.step, 'aria-label': `${row.label} (${row.unit})` });
    change(this.typed, { 'aria-label': this.labels['type a value'].replace('{name}', `${row.label} (${row.unit})`) });
    change(this.less, { 'aria-label': row.less });
    change(this.more, { 'aria-label': row.more });
    for (const part of [this.range, this.typed, this.less, this.more]) part.disabled = row.locked;
    this.fill();
  }

  fill() {
    if (this.choice) { this.choice.value = this.row.value; return; }
    if (Number(this.range.value) !== this.row.value) this.range.value = this.row.value;
    if (document.activeElement !== this.typed || this.typed.value === this.last) this.typed.value = this.words();
    this.last = this.words();
    change(this.range, { 'aria-valuetext': `${this.words()} ${this.row.unit}` });
  }
}

// A part of the picture that can be taken hold of: the same value as its slider, by finger and by key.
class Handle {
  constructor(bench, name) {
    this.bench = bench;
    this.node = make('div', {
      class: 'labkit-handle', role: 'slider', tabindex: 0, 'aria-orientation': 'vertical', 'data-handle': name,
      onkeydown: event => this.key(event), onpointerdown: event => this.take(event),
      onpointermove: event => this.drag(event), onpointerup: () => this.drop(), onpointercancel: () => this.back(),
    }, make('span', { 'aria-hidden': 'true' }, '\u2195'));
  }

  // Where it stands, which row it turns, and how much the picture's pixel is worth.
  place(x, y, grip, per_pixel) {
    Object.assign(this, { grip, per_pixel });
    this.row = this.bench.rows.get(grip.control);
    if (!this.row || !this.row.range) { this.node.hidden = true; return; }
    const { row } = this.row;
    this.node.hidden = false;
    this.node.style.transform = `translate(${Math.round(x - 22)}px, ${Math.round(y - 22)}px)`;
    change(this.node, {
      'aria-label': `${row.label}, ${this.bench.frame.labels['in picture']}`, 'aria-valuemin': row.min, 'aria-valuemax': row.max,
      'aria-valuenow': row.value, 'aria-valuetext': `${this.row.words()} ${row.unit}`, 'aria-disabled': String(row.locked),
    });
  }

  turn(value) { if (!this.row.row.locked) this.bench.turn(this.grip.control, value); }

  key(event) {
    const up = Math.sign(this.grip.per) || 1;
    const steps = { ArrowUp: up, ArrowRight: up, ArrowDown: -up, ArrowLeft: -up, PageUp: 5 * up, PageDown: -5 * up }[event.key];
    if (event.key === 'Escape') this.back();
    else if (event.key === 'Home' || event.key === 'End') this.turn((event.key === 'End') === (up > 0) ? this.row.row.max : this.row.row.min);
    else if (steps) this.turn(this.row.value + steps * this.row.row.step);
    else return;
    event.preventDefault();
  }

  take(event) {
    if (this.row.row.locked || event.button) return;
    this.node.setPointerCapture(event.pointerId);
    this.node.focus({ preventScroll: true });
    this.held = { y: event.clientY, value: this.row.value, per_pixel: this.per_pixel };
    event.preventDefault();
  }

  drag(event) {
    if (this.held) this.turn(this.held.value + (this.held.y - event.clientY) * this.held.per_pixel * this.grip.per);
  }

  drop() { this.held = null; }

  back() {
    if (this.held) this.turn(this.held.value);
    this.held = null;
  }
}

// The bench: what is turned goes to Python, one message at a time, the last value always; what comes back is
// painted at once. Time, hover and zoom are the page's own.

const SHORT = 700; // px of a window's height under which controls over a picture would push it out of sight
const LEAST_NARROW = 200, LEAST_WIDE = 400; // px of height with which a picture can still be read
const PLAYED = 12; // seconds in which a run plays at its usual speed
const SPEEDS = [['0.5', '\u00bd\u00d7'], ['1', '1\u00d7'], ['2', '2\u00d7'], ['4', '4\u00d7']];
const QUIET_FOR = 160; // ms after the last answer before the charts are asked for
const AFTERGLOW = 2500; // ms for which water is seen to move after a person turned something
const TOLD_AFTER = 40; // ms until the words that stand for the picture follow it: past the frame that it waits for
const AT_REST = 200; // ms without a move after which it does: until then each answer moves it on, and nothing else

// Sentences of which only the last words differ keep their marks and boxes.
const say_parts = (node, parts) => {
  if (node.children.length !== parts.length) { node.replaceChildren(...parts); return; }
  parts.forEach((part, place) => {
    const old = node.children[place];
    const same = [...part.childNodes].slice(0, -1).every((one, i) => old.childNodes[i] && one.isEqualNode(old.childNodes[i]));
    if (!same || old.className !== part.className || old.childNodes.length !== part.childNodes.length) old.replaceWith(part);
    else if (old.lastChild.data !== part.lastChild.data) old.lastChild.data = part.lastChild.data;
  });
};

class Bench {
  constructor(model, el) {
    this.model = model;
    this.frame = model.get('frame');
    this.me = Math.random().toString(36).slice(2, 8);
    Object.assign(this, {
      rows: new Map(), handles: new Map(), wanted: {}, flight: null, sent: 0, chosen: null, hover: null, t: 0,
      from: 0, to: 1, phase: 0, playing: false, played: 0, speed: 1, gaps: [], looks: this.frame.looks, moved: -1e9,
    });
    this.picture = new Picture(this.looks);
    this.moving = new Moving(this.picture);
    this.build();
    el.append(this.root);
    this.still = matchMedia('(prefers-reduced-motion: reduce)');
    this.heard = () => this.hear();
    model.on('change:show', this.heard);
    this.measure = new ResizeObserver(() => this.fit());
    this.measure.observe(el);
    this.watch = new IntersectionObserver(seen => this.come_into_view(seen), { threshold: 0.35 });
    this.watch.observe(this.stage);
    this.resized = () => this.fit();
    window.addEventListener('resize', this.resized);
    this.el = el;
    this.hear();
    this.fit();
  }

  close() {
    this.model.off('change:show', this.heard);
    this.measure.disconnect();
    this.watch.disconnect();
    window.removeEventListener('resize', this.resized);
    this.pause();
    this.closed = true;
  }

  build() {
    const { labels, units } = this.frame;
    this.status = make('div', { role: 'status', 'aria-live': 'polite' });
    this.alarm = make('div', { role: 'alert' });
    this.alt = make('p', { class: 'labkit-unseen', id: `labkit-alt-${this.me}` });
    this.chip = make('div', { class: 'labkit-chip', 'aria-hidden': 'true' });
    this.view = make('div', { class: 'labkit-picture', role: 'group', 'aria-label': labels.picture, 'aria-describedby': this.alt.id }, this.picture.svgs[0], this.chip);
    this.time = make('input', { type: 'range', min: 0, max: 1, step: 'any', 'aria-label': labels.moment, oninput: () => this.choose(Number(this.time.value)), onkeydown: event => this.key(event) });
    this.play = make('button', { type: 'button', class: 'labkit-play', 'aria-label': labels.play, onclick: () => (this.playing ? this.pause() : this.begin()) }, '\u25b6');
    this.pace = make('select', { 'aria-label': labels.speed, onchange: () => { this.speed = Number(this.pace.value); } }, ...SPEEDS.map(([value, words]) => make('option', { value, selected: value === '1' }, words)));
    this.clock = make('output', { class: 'labkit-clock', 'aria-hidden': 'true' });
    const zoom = (factor, words, sign) => make('button', { type: 'button', 'aria-label': words, title: words, onclick: () => this.zoom(factor) }, sign);
    this.bar = make('div', { class: 'labkit-player' }, this.play, this.time, this.clock, this.pace, zoom(0.5, labels['zoom in'], '+'), zoom(2, labels['zoom out'], '\u2212'));
    this.happened = make('p', { class: 'labkit-happened', 'aria-hidden': 'true' });
    this.stage = make('div', { class: 'labkit-stage' }, this.view, this.bar);
    this.controls = make('div', { class: 'labkit-controls', role: 'group', 'aria-label': labels.controls });
    this.note = make('p', { class: 'labkit-note' });
    this.list = make('div', { class: 'labkit-rows' });
    this.foot = make('div', { class: 'labkit-foot' });
    if (units) {
      this.units = units.map(([value, words]) => make('button', { type: 'button', value, onclick: () => this.send({ units: value }) }, words));
      this.foot.append(make('div', { role: 'group', 'aria-label': labels.units, class: 'labkit-units' }, ...this.units));
      this.reset = make('button', { type: 'button', onclick: () => this.start_over() }, labels.reset);
      this.foot.append(this.reset);
    }
    this.controls.append(...(this.frame.question ? [make('p', { class: 'labkit-question' }, this.frame.question)] : []), this.note, this.list, this.foot);
    this.more = make('div', { class: 'labkit-more', 'aria-hidden': 'true' }, this.picture.svgs[1]);
    this.charts = make('div', { class: 'labkit-charts', tabindex: '0' });
    this.root = make('div', { class: 'labkit-bench labkit-live', 'data-lm-suppress-shortcuts': 'true', 'data-busy': 'false' },
      this.controls, make('div', { class: 'labkit-status' }, this.status, this.alarm, this.alt), this.stage, this.more, this.charts);
    this.root.labkitBench = this; // the page asks for its settings when the kernel is gone
    // The notebook's own keys must not reach it from here; those with Ctrl or Cmd may.
    this.root.addEventListener('keydown', event => { if (!event.ctrlKey && !event.metaKey) event.stopPropagation(); });
    this.view.addEventListener('pointermove', event => this.point(event));
    this.view.addEventListener('pointerdown', event => this.press(event));
    this.view.addEventListener('pointerleave', () => { this.hover = null; this.soon(); });
    this.view.addEventListener('pointerup', () => { this.scrubs = false; });
    this.view.addEventListener('wheel', event => {
      if (!event.ctrlKey) return;
      event.preventDefault();
      this.zoom(event.deltaY < 0 ? 0.5 : 2);
    }, { passive: false });
  }

  // --- what goes to Python and what comes back

  turn(name, value) {
    const row = this.rows.get(name);
    if (typeof value === 'number') value = row.nearest(value);
    if (value === row.value) { row.fill(); return; }
    if (typeof value === 'number' || row.choice) row.put(value);
    this.moved = performance.now();
    clearTimeout(this.glows);
    this.glows = setTimeout(() => this.soon(), AT_REST);
    this.wanted[name] = value;
    this.pump();
  }

  start_over() {
    this.chosen = null;
    this.wanted = {};
    this.look(0, this.scene ? this.scene.x.end : 1);
    this.send({ reset: true });
  }

  // How it is set, for a page that begins anew; a bench that is locked was not set by anybody.
  settings() {
    const { show, rows } = this;
    return show && !show.locked ? { system: show.system, values: [...rows].map(([name, row]) => [name, row.value]) } : null;
  }

  putBack(settings) {
    if (!settings || !this.show || this.show.locked || settings.system !== this.show.system) return;
    for (const [name, value] of settings.values) if (this.rows.has(name)) this.turn(name, value);
  }

  send(content) {
    this.flight = `${this.me}-${++this.sent}`;
    this.root.dataset.busy = 'true';
    this.model.send({ ...content, n: this.flight });
  }

  pump() {
    clearTimeout(this.asking);
    this.root.dataset.busy = 'true';
    if (this.flight || !Object.keys(this.wanted).length) return;
    const set = this.wanted;
    this.wanted = {};
    this.send({ set });
  }

  hear() {
    const show = JSON.parse(this.model.get('show')), packed = this.model.get('scene'), is_new = packed !== this.packed && packed.text;
    if (!show.rows) return;
    if (show.to === this.flight) this.flight = null;
    this.pump(); // the next value is on its way while this one is painted
    const is_idle = !this.flight;
    this.show = show;
    if (is_idle || !this.rows.size) this.show_rows(show);
    if (is_new) {
      this.packed = packed;
      this.take(open_scene(JSON.parse(packed.text), packed.data));
      this.all = true;
    }
    this.show_words(show);
    if (this.playing) this.soon(); else this.paint(performance.now()); // in time for the next frame
    if (is_idle) {
      this.root.dataset.busy = 'false';
      this.ask_for_charts();
    }
  }

  // Charts take the kernel a while: they are asked for when all is quiet, once for each run.
  ask_for_charts() {
    const { show } = this;
    if (!show || !show.charts || this.flight || !this.root.dataset.size) return;
    const drawn = `${show.run}|${show.system}`;
    clearTimeout(this.asking);
    if (drawn === this.drawn) return;
    this.root.dataset.busy = 'true';
    this.asking = setTimeout(() => { this.drawn = drawn; this.send({ charts: true }); }, QUIET_FOR);
  }

  show_rows(show) {
    for (const row of show.rows) {
      if (!this.rows.has(row.name)) {
        const made = new Row(row, (name, value) => this.turn(name, value), this.frame.labels);
        this.rows.set(row.name, made);
        this.list.append(made.node);
      } else this.rows.get(row.name).show(row);
    }
    say_in(this.note, show.note);
    if (this.reset) this.reset.disabled = show.locked;
    for (const button of this.units || []) change(button, { 'aria-pressed': String(button.value === show.system) });
    change(this.root, { 'data-plain': !show.rows.length && !this.frame.units });
  }

  show_words(show) {
    const words = (this.scene || {}).words || {}, parts = [];
    const mark = (color, corners) => {
      const svg = document.createElementNS(SVG, 'svg');
      change(svg, { viewBox: '-11 -11 22 22', width: 22, height: 22, 'aria-hidden': 'true' });
      const shape = document.createElementNS(SVG, corners ? 'polygon' : 'circle');
      const points = Array.from({ length: corners }, (_, i) => turn(0, corners === 3 ? 2 : 0, 10, Math.PI * (corners === 4 ? 0.25 : corners === 8 ? 0.125 : 0.5) + 2 * Math.PI * i / corners));
      change(shape, corners ? { points: points.map(([x, y]) => `${round(x)},${round(y)}`).join(' '), fill: color } : { r: 9, fill: color });
      svg.append(shape);
      return svg;
    };
    const { verdict } = words;
    for (const caution of words.cautions || []) {
      parts.push(make('p', { class: 'labkit-caution' }, mark(...this.looks.caution), make('b', {}, this.frame.labels.caution), ` ${caution}`));
    }
    if (verdict) {
      const word = make('b', { class: 'labkit-verdict' }, verdict.word);
      word.style.color = verdict.color;
      parts.push(make('p', {}, mark(verdict.color, verdict.corners), word, ` ${verdict.cause}`));
    }
    const told = [show.said, words.counted, words.so_far].filter(Boolean).join(' ');
    if (told) parts.push(make('p', { class: 'labkit-counted' }, told));
    const key = parts.map(part => part.textContent).join('\n');
    if (key !== this.told) {
      this.told = key;
      say_parts(this.status, parts);
    }
    if ((verdict || {}).word !== this.chip_word) {
      this.chip_word = (verdict || {}).word;
      this.chip.replaceChildren(...(verdict ? [mark(verdict.color, verdict.corners), make('b', {}, verdict.word)] : []));
      if (verdict) this.chip.lastChild.style.color = verdict.color;
    }
    clearTimeout(this.tells);
    this.tells = setTimeout(() => say_in(this.alt, words.alt || ''), TOLD_AFTER);
    if (show.problem !== this.problem) {
      this.problem = show.problem;
      this.alarm.replaceChildren(...(show.problem ? [make('p', { class: 'labkit-problem' }, make('b', {}, `\u26a0 ${show.problem}`))] : []));
    }
    this.status.hidden = Boolean(show.problem);
    this.stage.hidden = this.more.hidden = !this.scene;
    change(this.root, { 'data-leads': this.scene ? 'run' : 'pictures' });
    const pictures = this.model.get('pictures');
    if (pictures !== this.pictures) this.charts.innerHTML = this.pictures = pictures;
  }

  take(scene) {
    const first = !this.scene, grew = !first && scene.x.end !== this.scene.x.end;
    this.scene = scene;
    if (first || grew) {
      this.look(0, scene.x.end);
      if (grew) this.chosen = null;
      this.played = grew && this.played ? 1 : this.played;
      if (grew && this.in_view) this.play_once();
    }
    if (!this.playing) this.t = this.chosen === null ? scene.moment : Math.min(this.chosen, scene.x.seen);
    if (first) this.fit();
  }

  // --- time

  look(from, to) {
    const { end } = this.scene ? this.scene.x : { end: to };
    const span = Math.min(Math.max(to - from, end / 200), end);
    this.from = Math.min(Math.max(from, 0), end - span);
    this.to = this.from + span;
    this.soon(true);
  }

  zoom(factor) {
    const span = (this.to - this.from) * factor, share = (this.now - this.from) / (this.to - this.from);
    this.look(this.now - span * Math.min(Math.max(share, 0), 1), this.now + span * (1 - Math.min(Math.max(share, 0), 1)));
  }

  get now() { return this.hover === null || this.playing ? this.t : this.hover; }

  choose(t) {
    this.pause();
    this.chosen = this.t = Math.min(Math.max(t, 0), this.scene.x.seen);
    if (this.t < this.from || this.t > this.to) this.look(this.t - (this.to - this.from) / 2, this.t + (this.to - this.from) / 2);
    this.soon();
  }

  key(event) {
    const step = this.scene.x.seen / 240;
    const moves = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 10, PageDown: -10 }[event.key];
    if (moves) this.choose(this.t + moves * step);
    else if (event.key === 'Home' || event.key === 'End') this.choose(event.key === 'End' ? this.scene.x.seen : 0);
    else if (event.key === ' ') (this.playing ? this.pause() : this.begin());
    else return;
    event.preventDefault();
  }

  inside(event) {
    const { left, top } = this.view.getBoundingClientRect(), { pressure, is_level, strips } = this.picture.layout;
    const [x, y] = [event.clientX - left, event.clientY - top];
    return x >= pressure.left && x <= pressure.right && y >= pressure.top && y <= (is_level ? strips[2].bottom : pressure.bottom) ? Math.min(this.picture.t_of(x), this.scene.x.seen) : null;
  }

  point(event) {
    if (!this.scene || event.target.closest('.labkit-handle')) return;
    if (this.scrubs) { this.choose(this.inside(event) ?? this.t); return; }
    if (event.pointerType !== 'mouse') return;
    this.hover = this.inside(event);
    this.soon();
  }

  press(event) {
    if (!this.scene || event.button || event.target.closest('.labkit-handle')) return;
    const t = this.inside(event);
    if (t === null) return;
    this.scrubs = true;
    this.view.setPointerCapture(event.pointerId);
    this.choose(t);
  }

  come_into_view(seen) {
    this.in_view = seen.some(one => one.isIntersecting);
    if (this.in_view && this.scene) this.play_once();
    if (!this.in_view) this.pause();
  }

  // A run plays by itself once, and stops where it tells most.
  play_once() {
    if (this.played >= 1 && this.played !== 1 || this.still.matches || this.chosen !== null || this.closed) return;
    if (this.played === 0 || this.played === 1) {
      this.played = this.played === 0 ? 2 : 3;
      this.t = 0;
      this.begin(this.scene.moment);
    }
  }

  begin(until = null) {
    if (!this.scene || this.closed) return;
    this.until = until;
    if (this.t >= (until ?? this.scene.x.seen) - 1e-6) this.t = 0;
    this.playing = true;
    this.play.textContent = '\u275a\u275a';
    change(this.play, { 'aria-label': this.frame.labels.pause });
    this.past = null;
    this.soon();
  }

  pause() {
    if (!this.playing) return;
    this.playing = false;
    if (this.until === null) this.chosen = this.t;
    this.play.textContent = '\u25b6';
    change(this.play, { 'aria-label': this.frame.labels.play });
    this.soon();
  }

  // --- frames

  soon(all = false) {
    this.all = this.all || all;
    if (!this.due && !this.closed) this.due = requestAnimationFrame(now => this.paint(now));
  }

  paint(now) {
    cancelAnimationFrame(this.due);
    this.due = 0;
    const gap = this.past ? now - this.past : 16;
    const rest = now - this.moved;
    const runs = this.playing || rest >= AT_REST && rest < AFTERGLOW && !this.still.matches;
    if (!runs && rest < AT_REST && !this.still.matches) this.phase += 0.7;
    if (runs) {
      this.gaps.push(gap);
      if (this.gaps.length > 20) this.gaps.shift();
      const is_slow = this.gaps.reduce((sum, one) => sum + one, 0) / this.gaps.length > 25;
      this.odd = !this.odd;
      this.past = now;
      if (this.playing) {
        const seen = this.scene.x.seen, until = this.until ?? seen;
        this.t = Math.min(this.t + Math.min(gap, 250) / 1000 * this.speed * seen / PLAYED, Math.max(until, 0));
        if (this.t >= until) {
          const chosen = this.chosen;
          this.pause();
          this.chosen = this.until === null ? this.t : chosen;
        }
      }
      if (!is_slow) this.phase += Math.min(gap, 100) * 0.045;
      this.soon();
      if (is_slow && this.odd && !this.all) return;
    } else this.past = null;
    if (!this.scene || !this.ready) return;
    if (this.all) this.picture.paint(this.scene, this.from, this.to);
    this.all = false;
    const read = this.moving.paint(this.scene, this.now, this.phase);
    this.place_handles();
    if (now - (this.worded || 0) > 100 || !runs) this.say(read, now);
    if (this.show) this.root.dataset.shown = this.show.n;
  }

  say(read, now) {
    this.worded = now;
    const { scene } = this, t = this.now;
    change(this.time, { max: scene.x.seen });
    if (Number(this.time.value) !== t) this.time.value = t;
    const at = clock(scene.x, t);
    change(this.time, { 'aria-valuetext': `${at}, ${write(scene, 'pressure', read.pressure)}, ${read.drive.look.word}` });
    const past = scene.events.filter(([time]) => time <= t + 1e-6).at(-1);
    say_in(this.clock, past ? past[1] : at);
  }

  place_handles() {
    const { picture, scene } = this, { pressure, is_level } = picture.layout, placed = new Set();
    const put = (name, x, y, grip, per_pixel) => {
      if (!grip || !this.rows.has(grip.control)) return;
      if (!this.handles.has(name)) {
        const handle = new Handle(this, name);
        this.handles.set(name, handle);
        this.view.append(handle.node);
      }
      this.handles.get(name).place(x, y, grip, per_pixel);
      placed.add(name);
    };
    const per_pressure = scene.panels[0].hi / pressure.height;
    for (const mark of scene.panels[0].marks) {
      const x = mark.id === 'cut-out' ? pressure.right + (is_level ? 14 : -18) : pressure.left + (is_level ? 16 : 18);
      put(mark.id, x, picture.y_of(mark.y), mark.grip, per_pressure);
    }
    for (const trough of scene.line.troughs) {
      const node = scene.line.nodes.find(one => one.id === trough.id);
      put(`trough ${trough.id}`, picture.along(node.x) + 24, picture.up(node.y) - 8, trough.grip, scene.line.high / (picture.layout.zero - picture.layout.line.top));
    }
    const sun = scene.line.sun, tall = this.moving.sun_height(0) - this.moving.sun_height(sun.hi);
    const now = value_at(scene, scene.strips[0].t, scene.strips[0].y, this.now);
    put('sun', this.moving.sun_place(), this.moving.sun_height(now), sun.grip, sun.hi / tall);
    for (const [name, handle] of this.handles) if (!placed.has(name)) handle.node.hidden = true;
  }

  // --- sizes

  fit() {
    const width = this.el.clientWidth;
    if (!width) return;
    const tall = window.innerHeight, size = width >= 840 ? 'wide' : width >= 560 && tall >= SHORT ? 'middle' : 'narrow';
    const is_plain = this.root.dataset.plain === 'true';
    change(this.root, { 'data-size': size });
    const across = size === 'wide' && !is_plain ? width - 316 : width;
    const words = size === 'narrow' ? 0 : Math.max(this.status.parentElement.offsetHeight, 62);
    let high = size === 'narrow' ? Math.max(0.45 * tall - 50, LEAST_NARROW) : Math.max(Math.min(0.775 * tall, 0.9 * across) - words - 72, LEAST_WIDE);
    high = Math.round(Math.min(high, size === 'narrow' ? 420 : 0.75 * across));
    const key = `${across} ${high} ${size}`;
    if (key === this.fitted) return;
    this.fitted = key;
    this.picture.lay(across, high, size !== 'narrow');
    this.view.style.height = `${high}px`;
    this.chip.style.right = size === 'narrow' && width >= 560 ? '110px' : ''; // low and wide, a trough's name stands there
    this.ready = true;
    this.soon(true);
    this.ask_for_charts();
  }
}

export default {
  render({ model, el }) {
    const bench = new Bench(model, el);
    return () => bench.close();
  },
};

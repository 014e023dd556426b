// Where each part of the picture stands, in pixels of the page, and what of it stays while time goes on.

const INK = '#1F2933', QUIET = '#52606D', FAINT = '#9AA5B1', GRID = '#E4E7EB', PAPER = '#FFFFFF';

const UNDER = 6; // px under its zero at which a curve stays: further down stand other words
const GRIP = 34; // px from the end of the trace to the far side of a handle that stands in it
const LETTER = 7.5; // px that a letter of a title takes at most, on the average

const box = (left, top, right, bottom) => ({ left, top, right, bottom, width: right - left, height: bottom - top });

// Beside each other: the trace at the left, the line at the right on the same scale, and below it the gauge,
// the contact and the trough close up.
const wide_layout = (width, height) => {
  const left = 46, gap = 132, split = Math.round(width * 0.5), right = split - gap;
  const strips = 3 * 21 + 38, small = Math.max(52, Math.min(84, Math.round((height - strips) * 0.16)));
  const bottom = height - strips - 2 * (small + 26);
  const pressure = box(left, 24, right, bottom);
  const flow = box(left, bottom + 26, right, bottom + 26 + small);
  const level = box(left, flow.bottom + 26, right, flow.bottom + 26 + small);
  const strip = place => box(left, level.bottom + 8 + 21 * place, right, level.bottom + 25 + 21 * place);
  const far = width - 74, ground = bottom + Math.min(86, small + 20);
  const line = box(split + 74, 24, far, ground);
  const low = ground + 44;
  const tall = height - low - 6;
  const dial = { x: split + 56, y: low + tall / 2, r: Math.min(tall / 2, 62) };
  return {
    words: box(right, 0, split - 6, height), pressure, flow, level, strips: [strip(0), strip(1), strip(2)],
    line, well: box(split + 4, 24, split + 74, ground), zero: bottom,
    dial, contact: box(dial.x + dial.r + 18, low + 8, dial.x + dial.r + 108, low + tall),
    tub: box(dial.x + dial.r + 124, low + 22, Math.min(dial.x + dial.r + 320, width - 8), low + tall - 22),
    is_level: true, svg: [[width, height]],
  };
};

// One above the other: the line over the trace; flows, levels and states in a second picture further down.
const tall_layout = (width, height) => {
  const left = 34, right = width - 8, half = Math.round(height * 0.47), names = right - 130;
  const line = box(134, 8, width - 40, half - 6);
  const pressure = box(left, half + 20, right - 60, height - 20);
  const small = 62, flow = box(left, 22, names, 22 + small), level = box(left, flow.bottom + 26, names, flow.bottom + 26 + small);
  const strip = place => box(left, level.bottom + 10 + 22 * place, names, level.bottom + 28 + 22 * place);
  const zero = Math.round(line.bottom - line.height * 0.26);
  return {
    words: box(right - 60, 0, width, height), beside: box(names, 0, width, height),
    pressure, flow, level, strips: [strip(0), strip(1), strip(2)],
    line, well: box(78, 8, 134, line.bottom), zero,
    dial: { x: 36, y: 44, r: 34 }, contact: null, tub: null,
    is_level: false, svg: [[width, height], [width, level.bottom + 76 + 38]],
  };
};

class Picture {
  constructor(looks) {
    this.looks = looks;
    this.svgs = [0, 1].map(() => {
      const svg = document.createElementNS(SVG, 'svg');
      svg.setAttribute('aria-hidden', 'true');
      svg.setAttribute('focusable', 'false');
      return svg;
    });
    this.names = `labkit-${SERIES}-${ids++}`; // fills are found by name in the whole page, also where they are not shown
    this.pens = {};
  }

  lay(width, height, is_wide) {
    this.layout = (is_wide ? wide_layout : tall_layout)(width, height);
    this.svgs.forEach((svg, place) => {
      const size = this.layout.svg[place];
      svg.replaceChildren();
      svg.style.display = size ? 'block' : 'none';
      if (size) {
        svg.setAttribute('width', size[0]);
        svg.setAttribute('height', size[1]);
        svg.setAttribute('viewBox', `0 0 ${size[0]} ${size[1]}`);
      }
    });
    this.define();
    const [main, more] = [this.svgs[0], this.layout.svg[1] ? this.svgs[1] : this.svgs[0]];
    this.pens = {
      soil: new Pen(main), back: new Pen(main), more: new Pen(more), front: new Pen(main),
      move: new Pen(main), move_more: new Pen(more),
    };
  }

  define() {
    const defs = document.createElementNS(SVG, 'defs');
    const marks = { '/': 'M0 6L6 0', '\\': 'M0 0L6 6', 'x': 'M0 6L6 0M0 0L6 6', '|': 'M3 0V6', '.': 'M2.2 3h1.6' };
    for (const [kind, states] of Object.entries(this.looks.states)) {
      for (const [code, look] of Object.entries(states)) {
        defs.innerHTML += `<pattern id="${this.names}-${kind}-${code}" width="6" height="6" patternUnits="userSpaceOnUse">`
          + `<rect width="6" height="6" fill="${look.fill}"/>`
          + (look.hatch ? `<path d="${marks[look.hatch]}" stroke="${look.ink}" stroke-opacity=".55" fill="none"/>` : '') + '</pattern>';
      }
    }
    for (const svg of this.svgs) svg.append(defs.cloneNode(true));
  }

  fill_of(kind, code) { return `url(#${this.names}-${kind}-${code})`; }

  x_of(t, { left, width } = this.layout.pressure) {
    return left + width * (t - this.from) / (this.to - this.from);
  }

  t_of(x) {
    const { left, width } = this.layout.pressure;
    return this.from + (this.to - this.from) * Math.min(Math.max((x - left) / width, 0), 1);
  }

  y_of(pressure) {
    const { top, bottom, height } = this.layout.pressure;
    return bottom - height * pressure / this.scene.panels[0].hi;
  }

  along(distance) {
    const { line } = this.layout;
    return line.left + line.width * distance / this.scene.line.far;
  }

  up(height) { // beside the trace, heights stand level with the pressures of their water
    const { line, zero } = this.layout, { high, low } = this.scene.line;
    return height >= 0 ? zero - (zero - line.top) * height / high : zero + (line.bottom - zero) * height / low;
  }

  paint(scene, from, to) {
    this.scene = scene;
    [this.from, this.to] = [from, to];
    const { soil, back, more, front } = this.pens;
    for (const pen of [soil, back, more, front]) pen.begin();
    this.paint_band();
    this.paint_land();
    this.paint_panel(back, front, scene.panels[0], this.layout.pressure, 'pressure');
    this.paint_panel(more, more, scene.panels[1], this.layout.flow, 'flow');
    this.paint_panel(more, more, scene.panels[2], this.layout.level, 'level');
    this.paint_strips(more);
    this.paint_marks(front);
    this.paint_nights(front, more);
    this.paint_acts(front);
    for (const pen of [soil, back, more, front]) pen.end();
  }

  paint_band() {
    const { pressure, line } = this.layout, [out, low] = this.scene.panels[0].marks;
    const right = this.layout.is_level ? line.right : pressure.right;
    const [top, bottom] = [this.y_of(out.y), this.y_of(low.y)];
    this.pens.soil.rect('band', pressure.left, top, right - pressure.left, bottom - top, { fill: this.looks.fills.band, 'fill-opacity': 0.8 });
    for (const mark of [out, low]) {
      const y = this.y_of(mark.y);
      this.pens.soil.line(`edge ${mark.id}`, pressure.left, y, right, y, stroke(this.looks.lines[mark.id]));
    }
  }

  paint_panel(pen, over, panel, { left, top, right, bottom, width, height }, name) {
    const y_of = y => bottom - height * y / panel.hi;
    const few = height < 110 ? panel.ticks.filter((_, i, all) => all.length < 5 || i % 2 === 0) : panel.ticks;
    for (const [y, words] of few) {
      pen.line(`${name} grid ${words}`, left, y_of(y), right, y_of(y), { stroke: GRID });
      pen.text(`${name} tick ${words}`, left - 5, y_of(y) + 4, words, { 'text-anchor': 'end', fill: QUIET, 'font-size': 12 });
    }
    pen.text(`${name} title`, left - (this.layout.is_level ? 30 : 26), top - 8, panel.title, { 'font-weight': 600 });
    if (name === 'pressure' && !this.layout.is_level) this.paint_time(pen, bottom, { left, right, width });
    for (const series of panel.series) {
      const d = path_of(this.scene.arrays[series.t], this.scene.arrays[series.y], t => this.x_of(t, { left, width }), y => Math.min(y_of(y), bottom + UNDER), this.from, this.to);
      over.put(`line ${series.id}`, 'path', { d, ...stroke(this.looks.lines[series.look]), ...TENTHS });
    }
    over.line(`${name} foot`, left, bottom, right, bottom, { stroke: FAINT });
  }

  paint_time(pen, bottom, area) {
    const { left, right } = area;
    let free = -1e9;
    for (const [t, words] of time_ticks(this.scene.x, this.from, this.to)) {
      const x = this.x_of(t, area);
      const half = 3.5 * words.length;
      if (x < left - 1 || x > right + 1 || x - half < free) continue;
      free = x + half + 8;
      pen.line(`time ${t}`, x, bottom, x, bottom + 4, { stroke: FAINT });
      pen.text(`time ${t} words`, x, bottom + 17, words, { 'text-anchor': 'middle', fill: QUIET, 'font-size': 12 });
    }
  }

  paint_strips(pen) {
    const { strips } = this.layout, [sun, drive, contact] = this.scene.strips, area = strips[0];
    const clip = (a, b) => [Math.max(this.x_of(a, area), area.left), Math.min(this.x_of(b, area), area.right)];
    const d = path_of(this.scene.arrays[sun.t], this.scene.arrays[sun.y], t => this.x_of(t, area), y => area.bottom - area.height * y / sun.hi, this.from, this.to);
    const [first, end] = clip(this.from, Math.min(this.to, this.scene.x.seen));
    pen.put('sun', 'path', { d: `${d}L${Math.round(10 * end)} ${10 * area.bottom}L${Math.round(10 * first)} ${10 * area.bottom}Z`, fill: this.looks.fills.sun, stroke: this.looks.fills['sun rim'], ...TENTHS });
    [sun, drive, contact].forEach((strip, place) => {
      const { left, top, bottom, right, height } = strips[place];
      if (this.layout.is_level) pen.text(`${strip.id} name`, left - 5, bottom - 4, strip.label, { 'text-anchor': 'end', 'font-size': 12 });
      pen.line(`${strip.id} foot`, left, bottom, right, bottom, { stroke: FAINT });
      (strip.spans || []).forEach(([a, b, code], i) => {
        const [x1, x2] = clip(a, b);
        if (x2 <= x1) return;
        const look = this.looks.states[strip.id][code];
        pen.rect(`${strip.id} ${i}`, x1, top, x2 - x1, height, { fill: this.fill_of(strip.id, code), stroke: QUIET, 'stroke-width': 0.6 });
        if (x2 - x1 > 7.4 * look.word.length + 8) {
          if (look.hatch) pen.rect(`${strip.id} ${i} patch`, (x1 + x2) / 2 - 3.6 * look.word.length, top + 1.5, 7.2 * look.word.length, height - 3, { fill: look.fill });
          pen.text(`${strip.id} ${i} word`, (x1 + x2) / 2, bottom - 4, look.word, { 'text-anchor': 'middle', fill: look.ink, 'font-size': 12 });
        }
      });
    });
    const low = strips[2].bottom;
    this.paint_time(pen, low, area);
    pen.text('time label', (area.left + area.right) / 2, low + 33, this.scene.x.label, { 'text-anchor': 'middle', fill: QUIET, 'font-size': 12 });
  }

  paint_marks(pen) {
    const { words, pressure, is_level } = this.layout, marks = this.scene.panels[0].marks;
    const tall = is_level ? 32 : 16;
    const places = spread(marks.map(mark => this.y_of(mark.y)), tall, pressure.top, pressure.bottom - tall / 2);
    marks.forEach((mark, i) => {
      const x = words.left + (is_level ? 30 : 4), y = places[i];
      const lines = is_level ? mark.words : [mark.words[0].replace(/^(\S+) /, '$1\n')].join('').split('\n').slice(0, 1);
      lines.forEach((line, n) => pen.text(`${mark.id} ${n}`, x, y + 4 + 14 * (n - (lines.length - 1) / 2), line, { 'font-size': 12, 'font-weight': n ? 400 : 600, stroke: PAPER, 'stroke-width': 3, 'paint-order': 'stroke' }));
    });
  }

  paint_nights(front, more) { // folded: what stands between its two ends is no measure of anything
    const { pressure, flow, level, strips } = this.layout;
    for (const [begin, end] of this.scene.x.folds || []) {
      const x = Math.max(this.x_of(begin), pressure.left), width = Math.min(this.x_of(end), pressure.right) - x;
      if (width <= 0) continue;
      [pressure, flow, level, strips[0]].forEach((area, i) => {
        (i ? more : front).rect(`night ${begin} ${i}`, x, area.top, width, area.bottom - area.top, { fill: this.looks.fills.grid, stroke: QUIET, 'stroke-dasharray': '2 3' });
      });
      const { night } = this.scene.labels, middle = round(pressure.top + pressure.height / 2);
      front.text(`night ${begin} word`, x + width / 2, middle, night, { transform: `rotate(-90 ${round(x + width / 2)} ${middle})`, 'text-anchor': 'middle', 'dominant-baseline': 'central', 'font-size': 12, fill: QUIET });
    }
  }

  paint_acts(pen) { // what somebody did, by its number in the log; numbers that would overlap are left out
    const { left, right, top, bottom } = this.layout.pressure;
    let free = left;
    for (const [t, number] of this.scene.acts || []) {
      const x = this.x_of(t);
      if (x < left - 1 || x > right + 1) continue;
      pen.line(`act ${number}`, x, top, x, bottom, { stroke: QUIET, 'stroke-dasharray': '1 4' });
      if (x < free) continue;
      free = x + 7 * number.length + 6;
      pen.text(`act ${number} number`, x, top + 10, number, { 'text-anchor': 'middle', 'font-size': 11, stroke: PAPER, 'stroke-width': 3, 'paint-order': 'stroke' });
    }
  }

  paint_land() {
    const { line, zero, well } = this.layout, land = this.scene.line, { soil, back } = this.pens;
    const nodes = Object.fromEntries(land.nodes.map(node => [node.id, node]));
    const edge = [[well.left, this.up(0)], [this.along(0), this.up(0)]];
    const path = node => (node.parent ? [...path(nodes[node.parent]), node] : [node]);
    const parents = new Set(land.nodes.map(node => node.parent));
    const leaves = land.nodes.filter(node => !parents.has(node.id));
    const right = line.right + 32;
    const way = leaf => (leaf.ground || path(leaf).map(node => [node.x, node.y])).map(([x, y]) => [this.along(x), this.up(y)]);
    leaves.forEach((leaf, i) => {
      const top = [...edge, ...way(leaf)];
      const end = top[top.length - 1];
      soil.shape(`soil ${leaf.id}`, [...top, [right, end[1]], [right, line.bottom], [well.left, line.bottom]], { fill: this.looks.fills[i ? 'soil' : 'far soil'], 'fill-opacity': 0.75 });
    });
    leaves.forEach(leaf => {
      const top = [...edge, ...way(leaf), [right, way(leaf).at(-1)[1]]];
      back.put(`ground ${leaf.id}`, 'path', { d: `M${top.map(([x, y]) => `${round(x)} ${round(y)}`).join('L')}`, fill: 'none', stroke: this.looks.fills.ground, 'stroke-width': 1.8 });
    });
    if (this.layout.is_level) {
      const begins = Math.min(line.left - 66, right + 42 - LETTER * land.title.length);
      back.text('land title', begins, line.top - 8, land.title, { 'font-weight': 600 });
      for (const [y, words] of land.up) {
        back.line(`up ${words}`, right, this.up(y), right + 4, this.up(y), { stroke: FAINT });
        if (this.up(y) < line.bottom - 4) back.text(`up ${words} words`, right + 7, this.up(y) + 4, words, { fill: QUIET, 'font-size': 12 });
      }
      for (const [x, words] of land.across) back.text(`across ${words}`, this.along(x), line.bottom + 14, words, { 'text-anchor': 'middle', fill: QUIET, 'font-size': 12 });
      back.text('across label', (line.left + line.right) / 2, line.bottom + 29, land.label, { 'text-anchor': 'middle', fill: QUIET, 'font-size': 12 });
    }
    land.vents.forEach(([x, y], i) => {
      const [px, py] = [this.along(x), this.up(y)];
      back.put(`vent ${i}`, 'path', { d: `M${round(px)} ${round(py + 6)}V${round(py - 9)}M${round(px - 4)} ${round(py - 9)}H${round(px + 4)}`, fill: 'none', stroke: INK, 'stroke-width': 1.6 });
    });
    land.leaks.forEach(([x, y], i) => {
      const [px, py] = [this.along(x), this.up(y) + 9];
      back.put(`leak ${i}`, 'path', { d: `M${round(px)} ${round(py)}c7 9 5 14 0 14s-7-5 0-14Z`, fill: this.looks.fills.leak, stroke: PAPER });
    });
  }
}

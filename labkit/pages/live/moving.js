// What moves with time: the cursor and what it reads, the needle, the water, the floats, the contact, the sun.

const turn = (x, y, r, angle) => [x + r * Math.cos(angle), y - r * Math.sin(angle)];

const VERDICT = 24; // px at the top of a small picture that the verdict may take

class Moving {
  constructor(picture) { this.picture = picture; }

  value(place, t) { return value_at(this.scene, this.scene.line.t, place, t); }

  paint(scene, t, phase) {
    this.scene = scene;
    const { picture } = this, { move, move_more } = picture.pens, { layout } = picture;
    move.begin();
    move_more.begin();
    const now = this.readings(scene, t);
    this.cursor(move, move_more, t, now);
    this.grade(move, t);
    this.pipe(move, t, phase);
    this.well(move, t, now, phase);
    for (const trough of scene.line.troughs) this.trough(move, trough, t);
    this.dial(move, layout.dial, now.pressure);
    if (layout.contact) this.contact(move, layout.contact, now);
    if (layout.tub) this.tub(move, layout.tub, t, phase);
    move.end();
    move_more.end();
    return now;
  }

  // All numbers and words at a moment, as they are shown and spoken.
  readings(scene, t) {
    const of = series => value_at(scene, series.t, series.y, t);
    const [pressure, flow, level] = scene.panels, [sun, drive, contact, speed] = scene.strips;
    const state = (strip, kind) => ({ code: state_at(strip.spans, t), look: this.picture.looks.states[kind][state_at(strip.spans, t)] });
    return {
      pressure: of(pressure.series[0]),
      flows: flow.series.map(one => [one, of(one)]),
      levels: level.series.map(one => [one, of(one)]),
      sun: of(sun), drive: state(drive, 'drive'), contact: state(contact, 'contact'), speed: of(speed),
    };
  }

  cursor(move, more, t, now) {
    const { picture, scene } = this, { layout } = picture, x = picture.x_of(t);
    const { pressure, flow, level, strips, words } = layout;
    const seen = t >= picture.from && t <= picture.to;
    const label = { 'font-size': 12, stroke: PAPER, 'stroke-width': 3, 'paint-order': 'stroke' };
    if (seen) {
      move.line('cursor', x, pressure.top, x, pressure.bottom, { stroke: INK });
      const x_more = picture.x_of(t, flow);
      more.line('cursor more', x_more, flow.top, x_more, strips[2].bottom, { stroke: INK });
      const y = Math.min(picture.y_of(now.pressure), pressure.bottom + UNDER), is_right = x > pressure.left + pressure.width * 0.7;
      const beside = is_right ? Math.min(x - 9, pressure.right - (layout.is_level ? 0 : GRIP)) : Math.max(x + 9, pressure.left + GRIP);
      move.put('dot', 'circle', { cx: round(x), cy: round(y), r: 5, fill: picture.looks.lines.pressure.color, stroke: PAPER, 'stroke-width': 1.5 });
      move.text('pressure', beside, Math.max(y - 9, pressure.top + 12), write(scene, 'pressure', now.pressure), { ...label, 'font-size': 14, 'font-weight': 700, fill: picture.looks.lines.pressure.color, 'text-anchor': is_right ? 'end' : 'start' });
      move.text('clock', is_right ? x - 6 : x + 6, pressure.bottom - 6, clock(scene.x, t), { ...label, 'text-anchor': is_right ? 'end' : 'start' });
    }
    this.beside(more, 'flow', flow, now.flows, (layout.beside || words).left + 4);
    this.beside(more, 'level', level, now.levels, (layout.beside || words).left + 4);
    const left = (layout.beside || words).left + 8;
    const said = [write(scene, 'irradiance', now.sun), `${now.drive.look.word}${now.speed > 0.5 ? ` ${write(scene, 'share', now.speed)}` : ''}`, now.contact.look.word];
    said.forEach((line, i) => more.text(`state ${i}`, left, strips[i].bottom - 4, line, label));
  }

  beside(pen, name, panel, values, left) {
    const hi = this.scene.panels.find(one => one.id === name).hi;
    const wanted = values.map(([, value]) => panel.bottom - panel.height * Math.min(value / hi, 1));
    const places = spread(wanted, 15, panel.top + 2, panel.bottom + (values.length > 3 ? 14 : 0));
    const sample = this.picture.layout.is_level ? 20 : 13;
    values.slice(0, 5).forEach(([series, value], i) => {
      const look = this.picture.looks.lines[series.look];
      pen.line(`${series.id} sample`, left + 2, places[i], left + sample, places[i], stroke(look));
      pen.text(`${series.id} name`, left + sample + 4, places[i] + 4, `${series.label} ${write(this.scene, series.kind, value)}`, { fill: look.color, 'font-size': 12 });
    });
  }

  grade(move, t) {
    const { picture, scene } = this, nodes = Object.fromEntries(scene.line.nodes.map(node => [node.id, node]));
    const at = node => [picture.along(node.x), picture.up(this.value(node.head, t))];
    // In a leg that has drained the grade line begins at the water's surface, at the pressure above it.
    const from = (node, other) => {
      if (node.foot !== other.id || this.value(node.wet, t) >= 1) return at(node);
      const [x, y] = this.shore(node, other, t);
      return [picture.along(x), picture.up(y + this.value(node.head, t) - node.y)];
    };
    const look = stroke(picture.looks.lines.pressure);
    for (const node of scene.line.nodes) {
      const before = nodes[node.parent];
      if (before) move.line(`grade ${node.id}`, ...from(before, node), ...from(node, before), { ...look, 'stroke-width': 2.6 });
    }
    const [x, y] = at(nodes.manifold || scene.line.nodes[0]);
    if (picture.layout.is_level) {
      move.text('grade name', x + 8, y - 7, scene.labels.grade, { fill: look.stroke, 'font-size': 12, stroke: PAPER, 'stroke-width': 3, 'paint-order': 'stroke' });
      if (t >= picture.from && t <= picture.to) move.line('level', picture.x_of(t), y, x, y, { stroke: look.stroke, 'stroke-dasharray': '2 4' });
    }
    for (const trough of scene.line.troughs) {
      const node = nodes[trough.id], [tx, ty] = at(node);
      move.line(`drop ${trough.id}`, tx, ty, tx, picture.up(node.y), { stroke: look.stroke, 'stroke-dasharray': '2 3' });
    }
  }

  shore(node, foot, t) {
    const wet = this.value(node.wet, t);
    return [foot.x + wet * (node.x - foot.x), foot.y + wet * (node.y - foot.y)];
  }

  // The empty part of each leg that has drained, and what it is.
  dry(move, nodes, t) {
    const { picture, scene } = this;
    for (const node of scene.line.nodes) {
      const foot = nodes[node.foot];
      if (!foot) continue;
      const is_dry = this.value(node.wet, t) < 0.995, [x, y] = this.shore(node, foot, t), visibility = is_dry ? 'visible' : 'hidden';
      move.line(`dry ${node.id}`, picture.along(node.x), picture.up(node.y) + 8, picture.along(x), picture.up(y) + 8, { stroke: PAPER, 'stroke-width': 4, visibility });
      const beyond = x > node.x; // two legs of one crest have their words at two heights
      move.text(`dry ${node.id} words`, picture.along((node.x + x) / 2) - (beyond ? 0 : 8), picture.up((node.y + y) / 2) + (beyond ? 40 : 24), is_dry ? scene.labels.dry : '', { 'text-anchor': beyond ? 'middle' : 'end', fill: QUIET, 'font-size': 12, stroke: PAPER, 'stroke-width': 3, 'paint-order': 'stroke' });
    }
  }

  pipe(move, t, phase) {
    const { picture, scene } = this, nodes = Object.fromEntries(scene.line.nodes.map(node => [node.id, node]));
    const least = scene.line.least;
    const through = {};
    for (const trough of scene.line.troughs) {
      for (let node = nodes[trough.id]; node; node = nodes[node.parent]) through[node.id] = (through[node.id] || 0) + this.value(trough.inflow, t);
    }
    for (const node of scene.line.nodes) {
      if (!nodes[node.parent]) continue;
      const points = (node.way || [[nodes[node.parent].x, nodes[node.parent].y], [node.x, node.y]]).map(([x, y]) => `${round(picture.along(x))} ${round(picture.up(y) + 8)}`);
      const d = `M${points.join('L')}`;
      move.put(`pipe ${node.id}`, 'path', { d, fill: 'none', stroke: picture.looks.fills.water, 'stroke-width': 6, 'stroke-linejoin': 'round' });
      const flows = (through[node.id] || 0) > least;
      move.put(`flow ${node.id}`, 'path', {
        d, fill: 'none', stroke: picture.looks.fills.pipe, 'stroke-width': 2.4, 'stroke-linejoin': 'round', 'stroke-dasharray': '7 9',
        'stroke-dashoffset': flows ? round(-phase % 16) : 0, visibility: flows ? 'visible' : 'hidden',
      });
    }
    this.dry(move, nodes, t);
  }

  well(move, t, now, phase) {
    const { picture, scene } = this, { well, line } = picture.layout, { fills } = picture.looks;
    const x = well.left + (picture.layout.is_level ? 56 : 42), ground = picture.up(0), foot = Math.max(line.bottom - 4, ground + 24);
    const surface = ground + 0.45 * (foot - ground), flows = this.value(scene.line.flow, t) > scene.line.least;
    move.rect('well water', x - 7, surface, 14, foot - surface, { fill: fills.water });
    move.put('casing', 'path', { d: `M${x - 7.5} ${ground - 5}V${foot}M${x + 7.5} ${ground - 5}V${foot}`, stroke: fills.ground, 'stroke-width': 1.6, fill: 'none' });
    move.put('riser', 'path', { d: `M${x} ${foot - 14}V${ground + 8}H${round(picture.along(0))}`, stroke: fills.water, 'stroke-width': 5, fill: 'none' });
    move.put('rising', 'path', { d: `M${x} ${foot - 14}V${ground + 8}H${round(picture.along(0))}`, stroke: fills.pipe, 'stroke-width': 2.2, fill: 'none', 'stroke-dasharray': '7 9', 'stroke-dashoffset': flows ? round(-phase % 16) : 0, visibility: flows ? 'visible' : 'hidden' });
    move.rect('pump', x - 4, foot - 16, 8, 14, { fill: flows ? fills.pipe : PAPER, stroke: INK, 'stroke-width': 1.4 });
    this.sun(move, well, ground, now.sun);
  }

  sun_place() { return this.picture.layout.well.left + (this.picture.layout.is_level ? 28 : 18); }

  sun_height(irradiance) {
    const { well } = this.picture.layout, { hi } = this.scene.line.sun, low = this.picture.up(0) - 52;
    return low - (low - well.top - 14) * Math.min(irradiance / hi, 1);
  }

  sun(move, well, ground, irradiance) {
    const { fills } = this.picture.looks, x = this.sun_place(), share = Math.min(irradiance / this.scene.line.sun.hi, 1);
    const y = this.sun_height(irradiance), r = 9, rays = [];
    for (let i = 0; i < 8; i++) {
      const [[x1, y1], [x2, y2]] = [turn(x, y, r + 2.5, i * Math.PI / 4), turn(x, y, r + 3 + 6 * share, i * Math.PI / 4)];
      rays.push(`M${round(x1)} ${round(y1)}L${round(x2)} ${round(y2)}`);
    }
    move.put('rays', 'path', { d: rays.join(''), stroke: fills['sun rim'], 'stroke-width': 1.8 });
    move.put('sun', 'circle', { cx: x, cy: round(y), r, fill: fills.sun, 'fill-opacity': round(0.25 + 0.75 * share), stroke: fills['sun rim'], 'stroke-width': 1.4 });
    const lit = `hsl(215 45% ${Math.round(24 + 36 * share)}%)`;
    move.put('array', 'path', { d: `M${x - 16} ${round(ground - 13)}L${x + 8} ${round(ground - 27)}L${x + 14} ${round(ground - 20)}L${x - 10} ${round(ground - 6)}Z`, fill: lit, stroke: INK, 'stroke-width': 1.2 });
    move.put('post', 'path', { d: `M${x - 2} ${round(ground - 14)}V${round(ground)}`, stroke: INK, 'stroke-width': 1.8 });
  }

  trough(move, trough, t) {
    const { picture, scene } = this, node = scene.line.nodes.find(one => one.id === trough.id), { fills } = picture.looks;
    const x = picture.along(node.x), y = picture.up(node.y), is_small = !picture.layout.is_level, half = is_small ? 15 : 19, tall = is_small ? 12 : 16, color = picture.looks.lines[trough.look].color;
    const share = Math.min(Math.max(this.value(trough.share, t), 0), 1), opening = this.value(trough.opening, t), is_open = opening >= trough.shut;
    const name = `trough ${trough.id}`, surface = y - tall * share;
    move.rect(`${name} back`, x - half, y - tall, 2 * half, tall, { fill: PAPER });
    move.rect(`${name} water`, x - half, surface, 2 * half, y - surface, { fill: fills.water });
    const px = x - half, py = y - tall - 6, drop = is_open ? Math.min(10, 3 + 8 * opening) : 0;
    move.put(`${name} wall`, 'path', { d: `M${round(x - half)} ${round(y - tall)}V${round(y)}H${round(x + half)}V${round(y - tall)}`, fill: 'none', stroke: INK, 'stroke-width': 2 });
    move.put(`${name} stream`, 'path', { d: `M${round(px + 5)} ${round(py)}V${round(surface)}`, stroke: fills.pipe, 'stroke-width': 2.4, 'stroke-dasharray': '3 2', visibility: is_open ? 'visible' : 'hidden' });
    move.line(`${name} arm`, px, py, px + 17, py + drop, { stroke: INK, 'stroke-width': 1.6 });
    move.rect(`${name} valve`, px - 4, py - 4, 8, 8, { fill: is_open ? PAPER : INK, stroke: INK, 'stroke-width': 1.4 });
    move.put(`${name} ball`, 'circle', { cx: round(px + 18), cy: round(py + drop), r: 4, fill: color, stroke: INK });
    trough.sensors.forEach((sensor, i) => {
      const sy = y - tall * sensor.at, is_full = state_at(sensor.full, t) === 1;
      move.shape(`${name} sensor ${i}`, [[x + half - 9, sy], [x + half, sy - 4], [x + half, sy + 4]], { fill: is_full ? INK : PAPER, stroke: INK });
      if (sensor.radio) move.put(`${name} mast ${i}`, 'path', { d: `M${round(x + half)} ${round(y - tall)}v-16m-4 -4l4 5l4 -5`, stroke: INK, 'stroke-width': 1.4, fill: 'none' });
    });
    const flow = this.value(trough.inflow, t), label = { 'font-size': 12, stroke: PAPER, 'stroke-width': 3, 'paint-order': 'stroke', 'text-anchor': 'middle' };
    const state = is_open ? scene.labels.taking.replace('{flow}', write(scene, 'flow', flow)) : scene.labels.shut;
    const states = !is_small || scene.line.troughs.length === 1, below = this.is_below(trough);
    const end = picture.layout.line.right + 34, at = words => Math.min(x, end - 3.4 * words.length); // short of the scale beside the land
    move.text(`${name} name`, at(trough.name), below ? y + 20 : y - tall - (states ? 28 : 13), trough.name, { ...label, fill: color, 'font-weight': 700 });
    if (states) move.text(`${name} state`, at(state), below ? y + 34 : y - tall - 15, state, label);
  }

  // Neighbors close to each other write their names on different sides.
  is_below(trough) {
    const nodes = this.scene.line.nodes, of = one => nodes.find(node => node.id === one.id);
    const sorted = [...this.scene.line.troughs].sort((a, b) => of(a).y - of(b).y);
    const { line, is_level } = this.picture.layout, y = this.picture.up(of(trough).y);
    const is_high = !is_level && y < VERDICT + 40; // else its name would be behind the verdict
    return line.bottom - y > 40 && (is_high || sorted.length > 1 && sorted.indexOf(trough) < sorted.length / 2);
  }

  dial(move, { x, y, r }, pressure) {
    const { scene, picture } = this, { dial } = scene, marks = scene.panels[0].marks;
    const angle = value => Math.PI * (1.25 - 1.5 * Math.min(Math.max(value / dial.hi, 0), 1));
    const arc = (radius, a, b) => {
      const [[x1, y1], [x2, y2]] = [turn(x, y, radius, angle(a)), turn(x, y, radius, angle(b))];
      return `M${round(x1)} ${round(y1)}A${radius} ${radius} 0 ${Math.abs(b - a) > dial.hi / 1.5 ? 1 : 0} 1 ${round(x2)} ${round(y2)}`;
    };
    move.put('dial face', 'circle', { cx: x, cy: y, r, fill: PAPER, stroke: INK, 'stroke-width': 2 });
    move.put('dial band', 'path', { d: arc(r - 5, marks[1].y, marks[0].y), fill: 'none', stroke: '#E9C46A', 'stroke-width': 6 });
    for (const [value, words] of dial.ticks) {
      const a = angle(value), [[x1, y1], [x2, y2], [x3, y3]] = [turn(x, y, r - 2, a), turn(x, y, r - 8, a), turn(x, y, r - 18, a)];
      move.line(`dial ${words}`, x1, y1, x2, y2, { stroke: INK, 'stroke-width': 1.4 });
      if (r > 45) move.text(`dial ${words} word`, x3, y3 + 4, words, { 'text-anchor': 'middle', 'font-size': 12, fill: QUIET });
    }
    for (const mark of marks) {
      const a = angle(mark.y), tip = turn(x, y, r - 9, a), left = turn(x, y, r + 5, a + 0.09), right = turn(x, y, r + 5, a - 0.09);
      move.shape(`dial ${mark.id}`, [tip, left, right], { fill: mark.id === 'cut-out' ? INK : PAPER, stroke: INK, 'stroke-width': 1.2 });
    }
    const a = angle(pressure), tip = turn(x, y, r - 10, a), tail = turn(x, y, r * 0.2, a + Math.PI);
    move.line('needle', ...tail, ...tip, { stroke: picture.looks.fills.leak, 'stroke-width': r > 45 ? 3 : 2.4, 'stroke-linecap': 'round' });
    move.put('hub', 'circle', { cx: x, cy: y, r: r > 45 ? 4 : 3, fill: INK });
    if (r > 45) move.text('dial unit', x, y + r * 0.8 + 4, write(scene, 'pressure', pressure), { 'text-anchor': 'middle', 'font-size': 13, 'font-weight': 700 });
  }

  contact(move, area, now) {
    const { scene } = this, y = area.top + area.height * 0.55, left = area.left + 8, right = area.right - 12;
    const closed = now.contact.code === 1;
    move.text('contact title', left, area.top + 12, scene.labels.contact, { 'font-size': 12, fill: QUIET });
    move.put('wires', 'path', { d: `M${left - 8} ${round(y)}H${left + 16}M${right - 16} ${round(y)}H${right + 8}`, stroke: INK, 'stroke-width': 2 });
    move.line('blade', left + 16, y, right - 16, closed ? y : y - 20, { stroke: INK, 'stroke-width': 3, 'stroke-linecap': 'round' });
    for (const [i, x] of [left + 16, right - 16].entries()) move.put(`post ${i}`, 'circle', { cx: x, cy: round(y), r: 4, fill: closed ? INK : PAPER, stroke: INK, 'stroke-width': 1.6 });
    move.text('contact word', (left + right) / 2, y + 22, now.contact.look.word, { 'text-anchor': 'middle', 'font-weight': 600 });
  }

  tub(move, area, t) {
    const { picture, scene } = this, troughs = scene.line.troughs;
    if (!troughs.length || area.width < 90) return;
    const node = one => scene.line.nodes.find(other => other.id === one.id);
    const trough = troughs.reduce((far, one) => (node(one).x >= node(far).x ? one : far));
    const { fills } = picture.looks, { left, right, bottom } = area, top = area.top + 16, tall = bottom - top;
    const share = Math.min(Math.max(this.value(trough.share, t), 0), 1), opening = this.value(trough.opening, t), is_open = opening >= trough.shut;
    const surface = bottom - tall * share * 0.92, pivot = [left + 10, top - 4], ball = [left + 0.42 * area.width, Math.min(surface, bottom - 6)];
    const color = picture.looks.lines[trough.look].color, flow = this.value(trough.inflow, t);
    move.rect('tub water', left, surface, right - left, bottom - surface, { fill: fills.water });
    move.put('tub wall', 'path', { d: `M${round(left)} ${round(top)}V${round(bottom)}H${round(right)}V${round(top)}`, fill: 'none', stroke: INK, 'stroke-width': 2.6 });
    move.put('tub full', 'path', { d: `M${round(right - 14)} ${round(bottom - tall * trough.full * 0.92)}H${round(right + 5)}`, stroke: QUIET, 'stroke-dasharray': '4 2', 'stroke-width': 1.4 });
    move.put('tub stream', 'path', { d: `M${round(left + 5)} ${round(pivot[1] + 5)}V${round(surface)}`, stroke: fills.pipe, 'stroke-width': round(1 + 4 * Math.min(opening, 1)), visibility: is_open && flow > scene.line.least ? 'visible' : 'hidden' });
    move.line('tub arm', ...pivot, ...ball, { stroke: INK, 'stroke-width': 2.4 });
    move.rect('tub valve', pivot[0] - 12, pivot[1] - 7, 14, 14, { fill: is_open ? PAPER : INK, stroke: INK, 'stroke-width': 1.8 });
    move.put('tub ball', 'circle', { cx: round(ball[0]), cy: round(ball[1]), r: 9, fill: color, stroke: INK, 'stroke-width': 1.6 });
    move.text('tub name', right + 6, area.top - 2, `${trough.name}: ${is_open ? scene.labels.taking.replace('{flow}', write(scene, 'flow', flow)) : scene.labels.shut}`, { 'font-size': 12, fill: color, 'font-weight': 600, 'text-anchor': 'end' });
  }
}

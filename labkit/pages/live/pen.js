// Draws by name: what stands already is changed where it differs, what is not drawn again goes.

const SVG = 'http://www.w3.org/2000/svg';

class Pen {
  constructor(parent, attributes = {}) {
    this.group = document.createElementNS(SVG, 'g');
    for (const [name, value] of Object.entries(attributes)) this.group.setAttribute(name, value);
    parent.append(this.group);
    this.kept = new Map();
    this.round = 0;
  }

  begin() { this.round++; }

  put(key, tag, attributes, words) {
    let kept = this.kept.get(key);
    if (!kept) {
      kept = { node: document.createElementNS(SVG, tag), was: {}, words: undefined };
      this.group.append(kept.node);
      this.kept.set(key, kept);
    }
    kept.round = this.round;
    for (const name in attributes) {
      const value = attributes[name];
      if (kept.was[name] === value) continue;
      kept.was[name] = value;
      if (value === null) kept.node.removeAttribute(name); else kept.node.setAttribute(name, value);
    }
    if (words !== undefined && kept.words !== words) say_in(kept.node, (kept.words = words));
    return kept.node;
  }

  end() {
    for (const [key, { node, round }] of this.kept) {
      if (round !== this.round) { node.remove(); this.kept.delete(key); }
    }
  }

  line(key, x1, y1, x2, y2, look) {
    return this.put(key, 'path', { d: `M${round(x1)} ${round(y1)}L${round(x2)} ${round(y2)}`, fill: 'none', ...look });
  }

  rect(key, x, y, width, height, look) {
    return this.put(key, 'rect', { x: round(x), y: round(y), width: round(Math.max(width, 0)), height: round(Math.max(height, 0)), ...look });
  }

  text(key, x, y, words, look = {}) {
    return this.put(key, 'text', { x: round(x), y: round(y), 'font-size': 12.5, fill: INK, ...look }, words);
  }

  shape(key, points, look) {
    return this.put(key, 'path', { d: `M${points.map(([x, y]) => `${round(x)} ${round(y)}`).join('L')}Z`, ...look });
  }
}

const round = number => Math.round(number * 10) / 10;

// A long line from whole tenths of a pixel, which are written quicker than decimals.
const path_of = (times, values, x_of, y_of, from, to) => {
  const parts = [];
  const add = (t, y) => parts.push((parts.length ? 'L' : 'M') + Math.round(10 * x_of(t)) + ' ' + Math.round(10 * y_of(y)));
  const first = row_at(times, from), last = times.length - 1;
  const between = (row, t) => {
    if (row >= last || times[row + 1] === times[row]) return values[row];
    return values[row] + (values[row + 1] - values[row]) * (t - times[row]) / (times[row + 1] - times[row]);
  };
  if (times[first] < from) add(from, between(first, from));
  for (let row = times[first] < from ? first + 1 : first; row <= last && times[row] <= to; row++) add(times[row], values[row]);
  const end = row_at(times, to);
  if (end < last && times[end] < to) add(to, between(end, to));
  return parts.join('');
};

const TENTHS = { transform: 'scale(.1)', 'vector-effect': 'non-scaling-stroke' };

const stroke = look => ({
  stroke: look.color,
  'stroke-width': look.width,
  'stroke-dasharray': look.dash.length ? look.dash.join(' ') : null,
  fill: 'none',
  'stroke-linejoin': 'round',
});

// Labels moved apart as little as needed.
const spread = (wanted, gap, low, high) => {
  const order = wanted.map((_, i) => i).sort((a, b) => wanted[a] - wanted[b]);
  const places = order.map(i => Math.min(Math.max(wanted[i], low), high));
  for (let again = 0; again < 40; again++) {
    for (let i = 1; i < places.length; i++) {
      const lacks = gap - (places[i] - places[i - 1]);
      if (lacks > 0) { places[i - 1] -= lacks / 2; places[i] += lacks / 2; }
    }
    for (let i = 0; i < places.length; i++) places[i] = Math.min(Math.max(places[i], low), high);
  }
  const placed = [];
  order.forEach((i, place) => { placed[i] = places[place]; });
  return placed;
};

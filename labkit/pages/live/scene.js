// A scene as Python made it: arrays by their places, numbers as they are written. No build step: Python
// joins these files in order, so that they share one scope.

const open_scene = (scene, { buffer, byteOffset, byteLength }) => {
  const all = new Float32Array(buffer.slice(byteOffset, byteOffset + byteLength)); // it may start off a multiple of four
  let from = 0;
  const arrays = scene.lengths.map(length => all.subarray(from, (from += length)));
  return { ...scene, arrays };
};

// The row that holds a time, or the last one before it.
const row_at = (times, t) => {
  let low = 0, high = times.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (times[middle] <= t) low = middle; else high = middle - 1;
  }
  return low;
};

const value_at = (scene, t_place, y_place, t) => {
  const [times, values] = [scene.arrays[t_place], scene.arrays[y_place]];
  const row = row_at(times, t);
  if (row >= times.length - 1 || t <= times[row]) return values[row];
  const share = (t - times[row]) / (times[row + 1] - times[row]);
  return values[row] + share * (values[row + 1] - values[row]);
};

const state_at = (spans, t) => {
  for (let i = spans.length - 1; i >= 0; i--) if (spans[i][0] <= t) return spans[i][2];
  return spans.length ? spans[0][2] : 0;
};

// A number as it is written in print; making the writer takes longer than writing.
const writers = new Map();
const in_print = (value, decimals) => {
  if (!writers.has(decimals)) writers.set(decimals, new Intl.NumberFormat('en-US', { minimumFractionDigits: decimals, maximumFractionDigits: decimals }));
  return writers.get(decimals).format(value);
};

const write = (scene, kind, value) => {
  const { unit, small, large, below } = scene.say[kind];
  const decimals = Math.abs(value) < below ? small : large;
  const size = in_print(Math.abs(value), decimals);
  const nothing = !/[1-9]/.test(size);
  return `${value < 0 && !nothing ? '\u2212' : ''}${nothing ? '0' : size}${unit === '%' ? '' : ' '}${unit}`;
};

// Nights of which the run keeps only the two ends: [beginning, end, how much longer it was].
const left_out = (x, t) => (x.folds || []).reduce((sum, [, end, longer]) => (t >= end ? sum + longer : sum), 0);

const clock = (x, t, with_seconds = true) => {
  const whole = Math.floor(x.clock + t + left_out(x, t)), day = Math.floor(whole / 86400);
  const [hour, minute, second] = [Math.floor(whole / 3600) % 24, Math.floor(whole / 60) % 60, whole % 60];
  const two = number => String(number).padStart(2, '0');
  const tail = `:${two(minute)}${with_seconds ? `:${two(second)}` : ''}`;
  const half = x.halves[hour < 12 ? 0 : 1];
  const time = half ? half.replace('{time}', `${(hour + 11) % 12 + 1}${tail}`) : `${two(hour)}${tail}`;
  return day ? x.later_day.replace('{day}', day + 1).replace('{time}', time) : time;
};

const nice_step = (span, count) => {
  const power = 10 ** Math.floor(Math.log10(span / count));
  return [1, 2, 5, 10].map(n => n * power).find(step => step >= 0.999 * span / count);
};

// Ticks of the part of the time in view: Python's own over the whole run, finer ones in a part.
const time_ticks = (x, from, to) => {
  if (from <= 0 && to >= x.end && !x.folds) return x.ticks;
  const span = to - from, ticks = [];
  const seconds = [1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 21600, 43200, 86400].find(s => s * 5 >= span) || 86400;
  const zero = x.by_clock ? x.clock % seconds : 0;
  const folds = x.folds || [], begins = [from, ...folds.map(([, end]) => end)], ends = [...folds.map(([begin]) => begin), to];
  begins.forEach((begin, i) => {
    const first = Math.max(begin, from), off = zero + left_out(x, begin);
    for (let t = Math.ceil((first + off) / seconds) * seconds - off; t <= Math.min(ends[i], to); t += seconds) {
      const minutes = t / 60;
      ticks.push([t, x.by_clock ? clock(x, t, false) : x.end < 180 ? `${+t.toFixed(1)}` : `${+minutes.toFixed(2)}`]);
    }
  });
  return ticks;
};

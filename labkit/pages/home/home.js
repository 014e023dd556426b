// The home page: a recorded run that moves, and the doors, which open as what is behind them gets ready.
import { ask, say } from './words.js';

const $ = id => document.getElementById(id);
const reduced = matchMedia('(prefers-reduced-motion: reduce)');
const SWEEP = 270; // degrees of the dial from nothing to its end
const LASTS = 24; // seconds that the recorded hour takes to play

const polar = (angle, radius) => {
  const turn = (angle - 90) * Math.PI / 180;
  return `${(radius * Math.cos(turn)).toFixed(1)} ${(radius * Math.sin(turn)).toFixed(1)}`;
};

const play = async () => {
  const run = await ask('recorded_run.json');
  const most = run.dial;
  const angle = psi => -SWEEP / 2 + SWEEP * Math.min(psi / most, 1);
  const last = run.time.length - 1;
  for (let psi = 0; psi <= most; psi += 10) {
    $('ticks').insertAdjacentHTML('beforeend', `<path d="M${polar(angle(psi), 50)}L${polar(angle(psi), 57)}"/>`);
  }
  $('in').setAttribute('d', `M${polar(angle(run.cut_in), 52)}L${polar(angle(run.cut_in), 60)}`);
  $('out').setAttribute('d', `M${polar(angle(run.cut_out), 52)}L${polar(angle(run.cut_out), 60)}`);
  const x = at => 40 + 700 * at / last;
  const y = psi => 92 - 82 * psi / most;
  for (const [psi, key, down] of [[run.cut_out, 'cut-out', -6], [run.cut_in, 'cut-in', 24]]) {
    $('grid').insertAdjacentHTML('beforeend',
      `<path class="level" d="M40 ${y(psi)}H740"/><text x="736" y="${y(psi) + down}" text-anchor="end">${say(key, { psi })}</text>`);
  }
  $('curve').setAttribute('d', `M${run.pressure.map((psi, at) => `${x(at).toFixed(1)} ${y(psi).toFixed(1)}`).join('L')}`);

  let share = 0, playing = false, then = 0, dashes = 0, told = '';
  const show = () => {
    const at = Math.min(Math.round(share * last), last);
    const surface = 150 - 44 * run.level[at]; // of the water in the trough, by its share of the way from start to shut
    $('needle').setAttribute('transform', `rotate(${angle(run.pressure[at])})`);
    $('psi').textContent = say('pressure', { psi: Math.round(run.pressure[at]) });
    $('water').setAttribute('y', surface);
    $('float').querySelector('.arm').setAttribute('d', `M626 88L660 ${surface - 4}`);
    $('float').querySelector('.ball').setAttribute('cx', 660);
    $('float').querySelector('.ball').setAttribute('cy', surface - 4);
    $('flow').style.visibility = run.flow[at] > 0.05 ? 'visible' : 'hidden';
    $('pumpsays').textContent = say(run.runs[at] ? 'pump-runs' : 'pump-off');
    $('cursor').setAttribute('transform', `translate(${x(at)} 0)`);
    $('time').value = Math.round(1000 * share);
    $('time').setAttribute('aria-valuetext', run.clock[at]);
    $('says').textContent = run.clock[at];
    const tells = run.tells.filter(([from]) => from <= run.time[at]).at(-1)[1];
    if (tells !== told) $('tells').textContent = told = tells;
    $('flow').style.strokeDashoffset = -dashes * run.flow[at];
  };
  const step = now => {
    if (!playing) return;
    const gap = Math.min(Math.max(now - then, 0) / 1000, 0.1); // a frame's time may lie before `then`
    then = now;
    dashes = (dashes + 12 * gap) % 2200;
    share += gap / LASTS;
    if (share >= 1) share = 0;
    show();
    requestAnimationFrame(step);
  };
  const set = on => {
    playing = on;
    $('play').textContent = say(on ? 'pause' : 'play');
    $('play').setAttribute('aria-pressed', String(on));
    if (on) {
      then = performance.now();
      requestAnimationFrame(step);
    }
  };
  $('play').addEventListener('click', () => set(!playing));
  $('time').addEventListener('input', () => {
    set(false);
    share = $('time').value / 1000;
    show();
  });
  reduced.addEventListener('change', () => set(!reduced.matches));
  share = reduced.matches ? run.telling : 0;
  show();
  set(!reduced.matches);
};

const link = (state, path, name) => {
  const open = document.createElement('a');
  open.textContent = name;
  if (state.lab) open.href = state.lab.replace('PATH', path.split('/').map(encodeURIComponent).join('/'));
  else open.setAttribute('aria-disabled', 'true');
  return open;
};

const fill = state => {
  const rows = state.lessons.map(({ number, name, path, exercise, kept }) => {
    const row = document.createElement('li');
    const first = document.createElement('span');
    first.className = 'name';
    first.append(`${number} · `, link(state, path, name));
    row.append(first);
    if (kept) row.insertAdjacentElement('beforeend', Object.assign(document.createElement('small'), { textContent: kept }));
    if (exercise) row.append(link(state, exercise, say('exercise')));
    return row;
  });
  $('list').replaceChildren(...rows);
  $('kept').textContent = state.kept;
  for (const door of document.querySelectorAll('[data-open]')) {
    const made = link(state, door.dataset.open, '');
    if (made.href) door.href = made.href;
    door.toggleAttribute('aria-disabled', !made.href);
    if (!made.href) door.setAttribute('aria-disabled', 'true');
  }
};

const watch = async () => {
  let shown = '';
  for (;;) {
    let state;
    try {
      state = await ask('state');
    } catch {
      $('ready').textContent = say('closed');
      return;
    }
    const text = JSON.stringify(state);
    if (text !== shown) {
      shown = text;
      if ($('list')) fill(state);
      for (const large of document.querySelectorAll('[data-large]')) {
        if (!state.lab || state.lab.startsWith('/user/')) continue; // a hall lets no page into a frame
        large.href = state.lab.replace('doc/tree/PATH', 'labkit/large.html');
        large.removeAttribute('aria-disabled');
      }
      const percent = Math.round(100 * state.share);
      if (state.share >= 1) $('ready').textContent = state.words;
      else {
        $('ready').innerHTML = `<span class="bar" role="progressbar" aria-label="${say('loading')}" aria-valuenow="${percent}"><i style="width:${percent}%"></i></span>`;
        $('ready').append(state.words);
      }
      if (state.share >= 1 && document.querySelector('[data-waits]')) location.reload();
    }
    if (state.share >= 1 && !document.querySelector('[data-waits]')) return;
    await new Promise(done => { setTimeout(done, 700); });
  }
};

for (const door of document.querySelectorAll('[data-open]')) {
  door.addEventListener('click', event => { if (door.getAttribute('aria-disabled')) event.preventDefault(); });
}
if ($('play')) play();
if ($('ready')) watch();

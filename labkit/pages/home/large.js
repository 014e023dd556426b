// Any page in large letters: it stands in a frame that is smaller than the window, drawn larger. Its layout is
// that of a small screen, so nothing is cut off, and every page can be shown without knowing of it.

const PLAIN = 15; // px: the letters of a bench
const LARGE = 1 / 34; // of the window's height: common practice for a wall
const frame = document.querySelector('iframe');

const fit = () => {
  const factor = Math.min(Math.max(innerHeight * LARGE / PLAIN, 1), innerWidth / 390);
  frame.style.width = `${innerWidth / factor}px`;
  frame.style.height = `${innerHeight / factor}px`;
  frame.style.transform = `scale(${factor})`;
};

addEventListener('resize', fit);
fit();
frame.addEventListener('load', () => { document.title = frame.contentDocument?.title || document.title; });
frame.src = './';
frame.focus();

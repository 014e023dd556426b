const slides = [...document.querySelectorAll('section')];
let at = 0;
const show = place => {
  at = Math.min(Math.max(place, 0), slides.length - 1);
  slides.forEach((one, n) => { one.hidden = n !== at; });
  scrollTo(0, 0);
};
const answer = () => {
  const said = slides[at].querySelector('.answer');
  if (said) said.hidden = false;
};
document.getElementById('back').onclick = () => show(at - 1);
document.getElementById('next').onclick = () => show(at + 1);
document.getElementById('show').onclick = answer;
addEventListener('keydown', event => {
  if (event.target.closest('button') && [' ', 'Enter'].includes(event.key)) return;
  if (['ArrowRight', 'PageDown'].includes(event.key)) show(at + 1);
  else if (['ArrowLeft', 'PageUp'].includes(event.key)) show(at - 1);
  else if ([' ', 'Enter'].includes(event.key)) answer();
  else return;
  event.preventDefault();
});
show(0);

"""How long a learner waits: from a key or a drag to the new picture, and how smoothly a run plays.

A press counts from the key's arrival at the page to the task after the first frame with the new
picture. Absolute times say as much about the machine as about the bench: they are printed, and only
what must hold everywhere is asserted. To read them: ``pytest -m bench -s tests/browser``.
"""

from random import Random
from statistics import median, quantiles
from typing import TYPE_CHECKING, Final

import pytest

from tests.browser.test_lesson_1 import LESSON, SUN, predict

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.browser.conftest import LessonPage

pytestmark = [pytest.mark.browser, pytest.mark.bench]

PRESSES: Final = 120
REST: Final = (40, 90)  # milliseconds from a picture to the next press
TURNS: Final = 8
MOVES: Final = 25
WATCH: Final = """([frame, picture]) => {
  const seen = window.labkitSeen = {keys: [], values: [], pictures: []};
  document.addEventListener('keydown', event => seen.keys.push(event.timeStamp), true);
  document.addEventListener('input', () => seen.values.push(performance.now()), true);
  new MutationObserver(all => {
    if (all.some(c => c.target.matches('.noUi-handle'))) seen.values.push(performance.now());
  }).observe(document.body, {subtree: true, attributeFilter: ['aria-valuenow']});
  let inFrame = false; // what is painted within a frame is on the screen after this one, not the next
  const ended = new MessageChannel();
  ended.port1.onmessage = () => { inFrame = false; };
  const frames = () => { inFrame = true; ended.port2.postMessage(0); requestAnimationFrame(frames); };
  requestAnimationFrame(frames);
  const note = () => {
    const {port1, port2} = new MessageChannel();
    port1.onmessage = () => seen.pictures.push(performance.now());
    if (inFrame) port2.postMessage(0); else requestAnimationFrame(() => port2.postMessage(0));
  };
  const root = document.querySelector(frame);
  let last = '';
  const shown = () => { // a live bench says which answer it has painted; a plain one has an image
    const image = root.querySelector(picture);
    return image ? image.src : root.dataset.shown;
  };
  last = shown();
  new MutationObserver(() => {
    const now = shown();
    if (now === last) return;
    last = now;
    const image = root.querySelector(picture);
    if (image) image.decode().then(note, () => {}); else note();
  }).observe(root, {subtree: true, childList: true, attributes: true});
}"""
PLAIN: Final = ("lessons/plain_bench.ipynb", "Head (m)", ".jp-Notebook", "img[alt]")
LIVE: Final = (LESSON, SUN, ".labkit-live:not([data-plain=true])", "img.none")
FRAMES: Final = """seconds => new Promise(done => {
  const gaps = [];
  let last = performance.now();
  const end = last + 1000 * seconds;
  const next = now => {
    gaps.push(now - last);
    last = now;
    if (now < end) requestAnimationFrame(next); else done(gaps.length / seconds);
  };
  requestAnimationFrame(next);
})"""
PAINTS: Final = """([seconds]) => new Promise(done => {
  let count = 0;
  const range = document.querySelector('.labkit-live:not([data-plain=true]) .labkit-picture svg');
  let due = false;
  const observer = new MutationObserver(() => {
    if (!due) { due = true; count++; requestAnimationFrame(() => { due = false; }); }
  });
  observer.observe(range, {subtree: true, attributes: true});
  setTimeout(() => { observer.disconnect(); done(count / seconds); }, 1000 * seconds);
})"""


def seen(lesson: "LessonPage", what: str) -> list[float]:
    times: list[float] = lesson.page.evaluate(f"window.labkitSeen.{what}")
    return times


def opened(open_lesson: "Callable[..., LessonPage]", notebook: str) -> "LessonPage":
    lesson = open_lesson(notebook, still=True)
    lesson.page.set_viewport_size({"width": 1366, "height": 768})
    if notebook == LESSON:
        predict(lesson)
        lesson.bench.evaluate("it => it.scrollIntoView({block: 'start'})")
    lesson.page.wait_for_timeout(1500)
    return lesson


def test_a_key_brings_a_new_picture_as_soon_as_a_plain_bench_does(
    open_lesson: "Callable[..., LessonPage]",
) -> None:
    """The plain bench has one slider and a tiny picture: the wait that widgets cost anyway.

    Fingers don't keep time with the screen's frames. A press right after a picture would: at the
    same moment before the next frame each time on one page, at any moment on the other.
    """
    slow = {}
    rests = Random(0)  # noqa: S311 - no secret
    for notebook, label, frame, picture in (PLAIN, LIVE):
        lesson = opened(open_lesson, notebook)
        lesson.slider(label).focus()
        lesson.page.evaluate(WATCH, [frame, picture])
        for key in range(1, PRESSES + 4):
            lesson.page.wait_for_timeout(rests.uniform(*REST))
            lesson.page.keyboard.press("ArrowLeft" if key % 2 else "ArrowRight")
            lesson.page.wait_for_function(f"window.labkitSeen.pictures.length >= {key}", polling=5)
        pairs = zip(seen(lesson, "keys"), seen(lesson, "pictures"), strict=True)
        waits = [shown - pressed for pressed, shown in pairs][3:]
        slow[notebook] = quantiles(waits, n=20)[-1]
        print(  # noqa: T201
            f"\n{notebook}: key to new picture, n = {PRESSES}: median {median(waits):.0f} ms, "
            f"95th percentile {slow[notebook]:.0f} ms"
        )
        assert min(waits) > 0
    print(f"95th percentile, lesson 1 over plain: {slow[LESSON] / slow[PLAIN[0]]:.2f}")  # noqa: T201


def test_a_drag_leaves_no_backlog_and_ends_on_its_last_value(
    open_lesson: "Callable[..., LessonPage]",
) -> None:
    lesson = opened(open_lesson, LESSON)
    slider = lesson.slider(SUN)
    box = slider.bounding_box()
    assert box is not None
    y = box["y"] + box["height"] / 2
    lesson.page.mouse.move(box["x"] + 0.7 * box["width"], y)
    lesson.page.mouse.down()
    lesson.page.evaluate(WATCH, list(LIVE[2:]))

    for turn in range(TURNS):  # so quickly, to and fro, that the value is another at each move
        share = 0.2 if turn % 2 == 0 else 0.7
        lesson.page.mouse.move(box["x"] + share * box["width"], y, steps=MOVES)
    lesson.page.mouse.up()
    lesson.settle()

    values, pictures = seen(lesson, "values"), seen(lesson, "pictures")
    seconds = (values[-1] - values[0]) / 1000
    print(  # noqa: T201
        f"\ndragged over {len(values)} values in {seconds:.1f} s: "
        f"{sum(picture <= values[-1] for picture in pictures) / seconds:.1f} pictures a second, "
        f"last picture {pictures[-1] - values[-1]:.0f} ms after the last value"
    )
    assert pictures[-1] > values[-1]
    assert (slider.get_attribute("aria-valuetext") or "nothing") in lesson.words()


@pytest.mark.parametrize("slower", [1, 4])
def test_a_run_plays_without_python(open_lesson: "Callable[..., LessonPage]", slower: int) -> None:
    lesson = opened(open_lesson, LESSON)
    session = lesson.page.context.new_cdp_session(lesson.page)
    session.send("Emulation.setCPUThrottlingRate", {"rate": slower})
    before = lesson.bench.get_attribute("data-shown")

    lesson.bench.get_by_role("button", name="Play", exact=True).click()
    lesson.page.wait_for_timeout(500)
    frames = lesson.page.evaluate(FRAMES, 3)
    paints = lesson.page.evaluate(PAINTS, [3])

    print(  # noqa: T201
        f"\nplaying, browser slowed {slower} times: {frames:.0f} frames a second, "
        f"{paints:.0f} of them with a new picture"
    )
    assert lesson.bench.get_attribute("data-shown") == before
    assert paints > 3

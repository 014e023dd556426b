"""How long a learner waits: from a key or a drag to the new picture on the page.

A press counts from the key's arrival at the page to the task after the first frame with the new
picture. Absolute times say as much about the machine as about the bench: they are printed, and only
what must hold everywhere is asserted. To read them: ``pytest -m bench -s tests/browser``.
"""

from statistics import median, quantiles
from typing import TYPE_CHECKING, Final

import pytest

from tests.browser.test_lesson_1 import LESSON, SUN, predict

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.browser.conftest import LessonPage

pytestmark = [pytest.mark.browser, pytest.mark.bench]

PRESSES: Final = 40
MOVES: Final = 120
DRAG: Final = 40  # pixels: well inside the track
SETTLED: Final = 1500  # ms without a new picture
WATCH: Final = """(selector) => {
  const seen = window.labkitSeen = {keys: [], values: [], pictures: []};
  document.addEventListener('keydown', event => seen.keys.push(event.timeStamp), true);
  const moved = change => change.target.matches('.noUi-handle') // progress bars have values too
    && change.target.getAttribute('aria-valuenow') !== change.oldValue;
  new MutationObserver(all => { if (all.some(moved)) seen.values.push(performance.now()); })
    .observe(document.body, {
      subtree: true, attributeFilter: ['aria-valuenow'], attributeOldValue: true,
    });
  const picture = () => document.querySelector(selector);
  const shown = () => picture() ? picture().alt + picture().src : '';
  let last = shown();
  const note = () => {
    const {port1, port2} = new MessageChannel();
    port1.onmessage = () => seen.pictures.push(performance.now());
    requestAnimationFrame(() => port2.postMessage(0));
  };
  new MutationObserver(() => {
    const now = shown();
    if (now === last) return;
    last = now;
    picture().decode().then(note, () => {});
  }).observe(document.body, {subtree: true, childList: true, attributes: true});
}"""
BENCHES: "Final[list[tuple[str, str, Callable[[LessonPage], None]]]]" = [
    ("lessons/plain_bench.ipynb", "Head (m)", lambda _: None),
    (LESSON, SUN, predict),
]


def seen(lesson: "LessonPage", what: str) -> list[float]:
    times: list[float] = lesson.page.evaluate(f"window.labkitSeen.{what}")
    return times


def wait_for_picture(lesson: "LessonPage", number: int) -> None:
    lesson.page.wait_for_function(f"window.labkitSeen.pictures.length >= {number}", polling=5)


def wait_until_settled(lesson: "LessonPage") -> None:
    count = -1
    while count != (count := len(seen(lesson, "pictures"))):
        lesson.page.wait_for_timeout(SETTLED)


def watch(lesson: "LessonPage") -> None:
    lesson.page.evaluate(WATCH, ".jp-OutputArea-output img[alt]")


@pytest.mark.parametrize(("notebook", "label", "prepare"), BENCHES)
def test_each_key_brings_a_new_picture(
    open_lesson: "Callable[..., LessonPage]",
    notebook: str,
    label: str,
    prepare: "Callable[[LessonPage], None]",
) -> None:
    lesson = open_lesson(notebook)
    prepare(lesson)
    lesson.press_until_redrawn(label, "PageUp")  # the first drawing after a move warms things up
    watch(lesson)

    for number in range(1, PRESSES + 1):
        lesson.page.keyboard.press("ArrowRight" if number % 2 else "ArrowLeft")
        wait_for_picture(lesson, number)

    waits = [
        picture - key
        for key, picture in zip(seen(lesson, "keys"), seen(lesson, "pictures"), strict=True)
    ]
    print(  # noqa: T201
        f"\n{notebook}: key to new picture, n = {PRESSES}: median {median(waits):.0f} ms, "
        f"95th percentile {quantiles(waits, n=20)[-1]:.0f} ms"
    )
    assert min(waits) > 0


@pytest.mark.parametrize(("notebook", "label", "prepare"), BENCHES)
def test_a_drag_leaves_no_backlog_and_ends_on_its_last_value(
    open_lesson: "Callable[..., LessonPage]",
    notebook: str,
    label: str,
    prepare: "Callable[[LessonPage], None]",
) -> None:
    lesson = open_lesson(notebook)
    prepare(lesson)
    handle = lesson.slider(label)
    handle.hover()
    box = handle.bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    lesson.page.mouse.down()
    watch(lesson)

    for move in range(1, MOVES + 1):
        lesson.page.mouse.move(x - DRAG * move / MOVES, y)
        lesson.page.wait_for_timeout(12)
    wait_until_settled(lesson)
    lesson.page.mouse.up()

    values, pictures = seen(lesson, "values"), seen(lesson, "pictures")
    seconds = (values[-1] - values[0]) / 1000
    print(  # noqa: T201
        f"\n{notebook}: dragged over {len(values)} values in {seconds:.1f} s: "
        f"{sum(picture <= values[-1] for picture in pictures) / seconds:.1f} pictures a second, "
        f"last picture {pictures[-1] - values[-1]:.0f} ms after the last value"
    )
    assert pictures[-1] > values[-1]
    dragged = lesson.picture.get_attribute("alt")
    lesson.press_until_redrawn(label, "PageUp")
    lesson.press_until_redrawn(label, "PageDown")  # back to the value of the drag, drawn afresh
    assert lesson.picture.get_attribute("alt") == dragged

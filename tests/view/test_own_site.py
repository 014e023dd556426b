"""One's own site in a page: what is typed or chosen, what is said of it, what follows it."""

import re
from datetime import UTC, datetime
from math import ceil
from pathlib import Path

import pytest

from labkit import Lesson, OwnSite, operating_window
from labkit.questions.keys.lesson_14 import as_typed
from labkit.sitefile import LARGEST, loads
from labkit.view.own_site import EXAMPLE, CardSaver, file_name


@pytest.fixture
def lesson() -> Lesson:
    return Lesson()


@pytest.fixture
def own(lesson: Lesson) -> OwnSite:
    return OwnSite(lesson)


def choose(own: OwnSite, data: bytes, name: str = "ranch.toml") -> None:
    """Do as the browser does with a chosen file."""
    own.upload.value = (
        {
            "name": name, "type": "text/plain", "size": len(data),
            "content": memoryview(data), "last_modified": datetime.now(tz=UTC),
        },
    )  # fmt: skip


def test_the_example_is_read_and_explained(own: OwnSite) -> None:
    assert own.site.title == "Willow Bend"
    assert "1,800 ft of pipe" in own.status.value
    assert own.text.value.count("#") > 8


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('cut_out = "50 psi"', 'cut_out = "20 psi"', "pressure_switch.cut_in is 30 psi; it must"),
        ('cut_out = "50 psi"', 'cut_out = "50"', "pressure_switch.cut_out is &#x27;50&#x27;"),
        ('rated_power = "800 W"', "rated_power = 800", "array.rated_power is 800"),
        ("[well]", "[wel]", "wel is not a known key"),
        ('kind = "solar"', 'kind = "lunar"', "drive.kind is &#x27;lunar&#x27;"),
        (EXAMPLE, "", "site file is empty"),
        (EXAMPLE, "x" * 400, "not written as TOML"),
        (EXAMPLE, "\x00\x07<script>", "not written as TOML"),
        (EXAMPLE, "[" * 5000, "line 1 has more than"),
        (EXAMPLE, "# x\n" * LARGEST, "too large"),
        (EXAMPLE, "\ud800", "not written as TOML"),
    ],
)
def test_what_is_wrong_is_said_at_once_and_the_old_site_stays(
    own: OwnSite, old: str, new: str, says: str
) -> None:
    own.text.value = EXAMPLE.replace(old, new)

    assert "your site file: " in own.status.value
    assert says in own.status.value
    assert "still about Willow Bend" in own.status.value
    assert "<script" not in own.status.value
    assert own.site == loads(EXAMPLE)


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"x" * 10_000_000, "ranch.toml: site file is too large"),
        (bytes(range(256)), "ranch.toml: site file is not plain text"),
        (EXAMPLE.encode("utf-16"), "save it as UTF-8 text"),
        (EXAMPLE.replace("Bend", "Señal").encode("latin-1"), "not plain text"),
    ],
)
def test_a_hostile_file_leaves_the_box_alone(own: OwnSite, data: bytes, says: str) -> None:
    choose(own, data)

    assert says in own.status.value
    assert own.text.value == EXAMPLE
    assert own.upload.value == ()


def test_a_chosen_file_comes_into_the_box_under_its_own_name(own: OwnSite) -> None:
    choose(own, EXAMPLE.replace("Willow Bend", "Owl Rise").encode("utf-8-sig"))
    assert own.text.value.startswith("# Lines")
    assert "Read: Owl Rise" in own.status.value
    assert "Press “Work it out”" in own.status.value

    own.text.value = own.text.value.replace("30 psi", "60 psi", 1)

    assert "ranch.toml: pressure_switch.cut_in" in own.status.value


def test_a_file_s_name_cannot_write_into_the_page(own: OwnSite) -> None:
    choose(own, b"\xff", name="<img src=x onerror=alert(1)>.toml")

    assert "<img" not in own.status.value


def test_what_follows_is_about_the_site_that_was_worked_out(lesson: Lesson, own: OwnSite) -> None:
    own.window()
    (window,) = lesson.told
    before = window.text
    own.text.value = EXAMPLE.replace("Willow Bend", "Owl Rise").replace('"25 ft"', '"15 ft"')
    assert window.text == before

    own.work()

    assert own.site.title == "Owl Rise"
    assert f"Cut-in above {ceil(15 / 2.31)} psi" in window.text
    assert "What follows on the page is about this site." in own.status.value

    own.start_over()

    assert window.text == before


def test_the_page_changes_its_units(lesson: Lesson, own: OwnSite) -> None:
    own.window()
    lesson.units.value = "metric"

    assert "549 m of pipe" in own.status.value.replace("548.6", "549")
    assert "kPa" in lesson.told[0].text


def test_every_part_is_written_in_either_system(lesson: Lesson, own: OwnSite) -> None:
    for show in (own.window, own.map, own.budget, own.methods, own.card):
        show()
    us = [told.text for told in lesson.told]

    lesson.units.value = "metric"

    for one, told in zip(us, lesson.told, strict=True):
        bare = re.sub(r'(src|href)="[^"]*"', "", told.text)
        assert told.text != one
        assert "{" not in bare
        assert not re.search(r"\d\s(psi|ft|gpm|gal)\b", bare)


def test_the_example_waits_for_predictions_but_an_own_site_does_not(own: OwnSite) -> None:
    lesson = own._lesson
    asked = lesson.predict(as_typed(operating_window(own.site)))
    own.window()
    (window,) = (told for told in lesson.told)
    assert "Make your predictions, or choose" in window.text
    assert "no stop" not in window.text

    own.read.click()
    assert "no stop" not in window.text, "the box still holds the example"

    own.text.value = EXAMPLE.replace("Willow Bend", "Owl Rise").replace('"25 ft"', '"15 ft"')
    own.read.click()
    assert "Cut-in above" in window.text
    assert not asked.is_kept


def test_a_prediction_brings_the_example(own: OwnSite) -> None:
    lesson = own._lesson
    asked = lesson.predict(as_typed(operating_window(own.site)))
    own.window()

    asked.answer.entry.value = 0
    asked.press()

    assert "Cut-in above" in lesson.told[0].text
    assert not asked.agrees  # as it comes in the box it does not stop in weak sun


def test_a_part_that_cannot_be_says_why_in_words(lesson: Lesson, own: OwnSite) -> None:
    own.budget()
    own.card()
    dry = EXAMPLE.replace('herd = { head = 30, kind = "cow with calf" }', "")
    own.text.value = dry.replace('rated_power = "800 W"', 'rated_power = "250 W"')

    own.work()

    budget, card = (told.text for told in lesson.told)
    assert "There is no water budget for this site: " in budget
    assert "There is no card for Willow Bend." in card
    assert "<iframe" not in card
    assert "1. " in card


def test_a_fault_inside_is_said_and_the_button_comes_back(
    own: OwnSite, monkeypatch: pytest.MonkeyPatch
) -> None:
    own.window()
    part, told = own._parts[0]

    def broken(*_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(part, "find", broken)
    own.read.click()

    assert "something went wrong inside (ZeroDivisionError)" in told.text
    assert own.read.disabled is False


def test_the_card_is_saved_under_a_plain_name(
    own: OwnSite, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    saver = own.card()

    saver.page.click()

    (file,) = tmp_path.iterdir()
    assert file.name == "willow_bend_card.html"
    assert "willow_bend_card.html" in saver.status.value
    assert "Settings card: Willow Bend" in file.read_text(encoding="utf-8")


def test_no_card_is_saved_for_a_site_without_one(
    own: OwnSite, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    saver: CardSaver = own.card()
    own.text.value = EXAMPLE.replace('rated_power = "800 W"', 'rated_power = "250 W"')
    own.work()

    saver.page.click()

    assert "Nothing was saved. There is no card for Willow Bend." in saver.status.value
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("title", "name"),
    [
        ("../../etc", "etc_card.pdf"),
        ("Señal Ñ", "se_al_card.pdf"),
        ("牧場", "my_site_card.pdf"),
        ("CON: a/b\\c", "con_a_b_c_card.pdf"),
    ],
)
def test_a_title_becomes_a_name_that_stays_in_its_folder(title: str, name: str) -> None:
    site = loads(EXAMPLE).changed({"title": title})

    assert file_name(site, "pdf") == name

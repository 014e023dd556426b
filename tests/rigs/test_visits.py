"""Technicians by script on lines of the family: readings lead to a setting, luck does not.

The careful one knows what the lesson teaches and what the gauge shows; the blind one turns to a
common setting and writes common numbers on the sheet; the hasty one does the motions as well.
"""

import contextlib
from typing import NamedTuple

import pytest

from labkit.errors import LabkitError
from labkit.rigs import Handover, hand_over, start_rig
from tests.rigs.working import PSI, blind, blind_with_motions, by_the_book

COMMON = ((30.0, 50.0), (20.0, 40.0), (22.0, 42.0))
"""The factory's setting and two others that people turn to unread."""


class Visits(NamedTuple):
    """How many passed, of how many, by whom; and settings that came out past a limit."""

    careful: int
    blind: int
    lucky: int
    of: int
    told: list[str]


def work(numbers: range, *, careful: bool = True) -> Visits:
    good = passed = lucky = 0
    told = []
    for number in numbers:
        there = start_rig(number)
        if careful:
            try:
                left = hand_over(*by_the_book(there))
            except LabkitError as problem:  # a script that can go no further has not passed
                told.append(f"{number}: {problem}")
            else:
                good += left.is_passed
                if not left.is_passed:
                    told.append(f"{number}: {left.missed} {left.slips} {left.judged.verdict}")
                if not left.remedy and left.margin <= 0.0:
                    told.append(
                        f"{number}: {left.cut_in / PSI:.0f} {left.cut_out / PSI:.0f} outside"
                    )
        cut_in, cut_out = COMMON[number % len(COMMON)]
        unread: list[Handover] = [blind(there, cut_in, cut_out)]
        with contextlib.suppress(LabkitError):
            unread.append(blind_with_motions(there, cut_in, cut_out))
        passed += any(left.is_passed for left in unread)
        lucky += unread[0].works
    return Visits(good, passed, lucky, len(numbers), told)


def test_readings_pass_and_luck_does_not() -> None:
    found = work(range(0, 20, 2))

    assert found.careful >= 0.95 * found.of, found.told
    assert found.blind == 0
    assert not [one for one in found.told if "outside" in one]


@pytest.mark.slow
def test_readings_pass_on_two_hundred_lines(capsys: pytest.CaptureFixture[str]) -> None:
    found = work(range(200))

    with capsys.disabled():
        print(f"\n{found}")  # noqa: T201 - figures to read
    assert found.careful >= 0.95 * found.of, found.told
    assert len([one for one in found.told if "outside" in one]) <= 0.02 * found.of, found.told


@pytest.mark.slow
def test_blind_visits_fail_on_five_hundred_lines(capsys: pytest.CaptureFixture[str]) -> None:
    found = work(range(500), careful=False)

    with capsys.disabled():
        print(f"\nblind {found.blind}, works by luck {found.lucky}, of {found.of}")  # noqa: T201
    assert found.blind <= 0.02 * found.of


def test_waiting_is_never_punished() -> None:
    """Ten minutes more before each step of a script end in the same points."""
    there = start_rig(3)
    straight = hand_over(*by_the_book(there))
    later = hand_over(*by_the_book(there.act("wait", amount=30.0)))

    assert later.score >= straight.score
    assert later.is_passed

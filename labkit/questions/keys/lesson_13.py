"""Lesson 13: wire, radio or pressure."""

from typing import TYPE_CHECKING

from labkit.catalogue import wire_gauges
from labkit.questions.choice import ChoiceQuestion, Option
from labkit.questions.keys import lesson_12, saying_stop
from labkit.questions.keys.sheet import plain_si
from labkit.questions.number import NumberQuestion
from labkit.questions.phrase import Phrase, phrase

if TYPE_CHECKING:
    from labkit.advice.stop_methods import StopMethods


def _pushing(found: "StopMethods", failure: str) -> set[str]:
    """Name the ways whose pump pushes on against shut floats when something fails."""
    rows = {method.name: method.failure(failure) for method in found.methods}
    return {name for name, row in rows.items() if row is not None and row.outcome == "pushes on"}


def dull_days(found: "StopMethods") -> ChoiceQuestion:
    """Ask, before the run, which ways stop the pump in two dull days; the runs decide."""
    pushing = _pushing(found, "two dull days")
    sets: dict[str, tuple[set[str], str, str]] = {
        "pressure": ({"pressure"}, "Pressure alone.", "Pressure alone failed to stop it."),
        "sensors": ({"wire", "radio"}, "Wire and radio.", "Wire and radio failed to stop it."),
        "none": (set(), "None of them: all three stop it.", "Every one stopped it."),
    }
    return ChoiceQuestion(
        name="two dull days",
        ask=phrase(
            "Two dull days, a fifth of a clear day's light. The trough is full. **Which of the "
            "three ways fails to stop the pump?**"
        ),
        options=tuple(
            Option(words=phrase(words), said=phrase(said), is_right=which == pushing)
            for which, words, said in sets.values()
        ),
    )


def one_pair_cut(found: "StopMethods") -> ChoiceQuestion:
    """Ask, before the run, which lines push on when a pair is cut; the runs decide."""
    pushing = _pushing(found, "wire cut")
    return ChoiceQuestion(
        name="a pair is cut",
        ask=phrase(
            "This drive stops when its contact is closed. A pair is cut: the long one to the "
            "trough, or the short one between the pressure switch and the drive. **Which lines "
            "then pump on against a shut float?**"
        ),
        options=tuple(
            Option(words=phrase(words), said=phrase(said), is_right=which == pushing)
            for which, words, said in (
                ({"wire"}, "The one with the long pair.", "Only the one with the long pair did."),
                ({"pressure", "wire"}, "Both.", "Both did."),
                (set(), "Neither: a cut wire is safe.", "Neither did."),
            )
        ),
    )


def behind_the_ridge(found: "StopMethods") -> ChoiceQuestion:
    """Ask what was seen: which way a ridge ruled out; the comparison decides."""
    out = [method.name for method in found.methods if not method.feasible]
    if len(out) != 1:
        raise ValueError(f"a ridge should rule out one way, not {out}")
    why: dict[str, Phrase] = {
        "pressure": phrase("The pipe carries the word, and it goes around the hill."),
        "wire": phrase("The pair lies beside the pipe, and it goes around the hill."),
        "radio": phrase("The ridge stands in the line of sight and takes what was left over."),
    }
    again = phrase("Press Reset, choose the ridge, and read the line “works here” again.")
    return ChoiceQuestion(
        name="behind the ridge",
        ask=phrase(
            "Before you read on: **which way fell out when you put the ridge between well and "
            "trough, and nothing else?**"
        ),
        options=tuple(
            Option(
                words=phrase(words),
                said=why[name] if name in out else again,
                is_right=name in out,
            )
            for name, words in saying_stop.WAYS.items()
        ),
    )


def checks() -> tuple[NumberQuestion | ChoiceQuestion, ...]:
    """Give the questions at the end of the lesson; the last comes back from lesson 12."""
    return (
        saying_stop.loop_ohms(
            "ohms of a pair",
            gauge="18 AWG",
            distance=plain_si(2500, "ft"),
            each=wire_gauges()["18 AWG"],
        ),
        saying_stop.same_price("wire or radio", wire=300, roll=900, radio=900),
        saying_stop.decibels_left("decibels left", left=24, near=plain_si(1000, "ft")),
        lesson_12.checks()[1],
    )

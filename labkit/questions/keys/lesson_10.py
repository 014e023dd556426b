"""Lesson 10: a day on the range."""

from typing import TYPE_CHECKING

from labkit.questions.choice import ChoiceQuestion, Option
from labkit.questions.keys import budget, pump
from labkit.questions.keys.sheet import plain_si
from labkit.questions.number import COUNT, NumberQuestion, Slip
from labkit.questions.phrase import phrase
from labkit.units import quantity, si

if TYPE_CHECKING:
    from labkit.trace import Trace

DAY = 86_400.0
_WORDS = {
    1: "On the first dull day.",
    2: "On the second dull day.",
    3: "On the third dull day.",
    0: "Not at all: it lasts.",
}


def dry_day(spell: "Trace", *, clouds: float) -> ChoiceQuestion:
    """Ask, before the run, when the trough runs dry; the run, a clear day first, decides."""
    dry = spell.times("trough empty")
    found = int(dry[0] // DAY) if dry else 0
    return ChoiceQuestion(
        name="the trough runs dry",
        ask=phrase(
            "On a clear day the trough is full until the herd drinks in the evening. Then come "
            "three dull days: the clouds take {clouds} of the light. The herd drinks as on any "
            "day. **When does the trough run "
            "dry?**",
            clouds=(clouds, "percent"),
        ),
        options=tuple(
            Option(
                words=phrase(words),
                said=phrase("That was not so."),
                is_right=number == found,
            )
            for number, words in _WORDS.items()
        ),
    )


def days_without(dark: "Trace", *, holds: float, need: float) -> NumberQuestion:
    """Ask, before the run, for how many whole days a full trough lasts without any pump.

    Parameters
    ----------
    dark : Trace
        Days without sun, from a full trough.
    holds, need : float
        What the full trough holds [m3], and what the herd drinks a day [m3/s].
    """
    answer = float(dark.times("trough empty")[0] // DAY)
    return NumberQuestion(
        name="days without a pump",
        label="Whole days",
        ask=phrase(
            "The full trough holds {holds}, and the herd drinks {need}. Suppose the pump brings "
            "nothing at all. **For how many whole days is there enough?** Give a whole number.",
            holds=(holds, "volume"),
            need=(need, "daily volume"),
        ),
        answer=answer,
        kind=COUNT,
        slips=(
            Slip(
                name="rounded up",
                values=(answer + 1.0,),
                hint=phrase("The last of those days is not whole: it ends dry."),
            ),
        ),
        hints=(phrase("How often does a day's need go into the trough?"),),
        reason=phrase("So often a whole day's need goes into it."),
    )


def what_helped(bigger: "Trace", delayed: "Trace", before: "Trace") -> ChoiceQuestion:
    """Ask what was seen of storage and restart delay; the runs decide."""
    lacked = [trace.measures().unmet for trace in (bigger, delayed, before)]
    storage = lacked[0] < 0.5 * lacked[2]
    delay = abs(lacked[1] - lacked[2]) > 0.05 * lacked[2]
    again = phrase("Press Reset and try that one alone. Look at what the herd lacked.")
    right = phrase(
        "Yes. What comes in on dull days is little; what stands ready counts. The restart delay "
        "only acts after a stop, and on dull days nothing is full enough to stop for."
    )
    return ChoiceQuestion(
        name="storage or delay",
        ask=phrase(
            "Before you read on: **which of the two changed how the three dull days end, the size "
            "of the trough or the restart delay?**"
        ),
        options=(
            Option(
                words=phrase("The size of the trough."),
                said=right if storage and not delay else again,
                is_right=storage and not delay,
            ),
            Option(words=phrase("The restart delay."), said=again, is_right=delay and not storage),
            Option(words=phrase("Both."), said=again, is_right=storage and delay),
            Option(words=phrase("Neither."), said=again, is_right=not storage and not delay),
        ),
    )


def checks() -> tuple[NumberQuestion | ChoiceQuestion, ...]:
    """Give the questions at the end of the lesson; the last comes back from lesson 2."""
    a_day = si(quantity("1 gal/day", "gal/day"))
    return (
        budget.sun_brings("what the sun brings", flow=plain_si(6, "gpm"), hours=5),
        budget.store_for("what to store", need=900 * a_day, comes=200 * a_day, days=3),
        pump.delivered("power on a dull day", rated=800.0, sun=250.0, kept=0.7),
    )

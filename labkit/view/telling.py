"""Prose with computed numbers, in the units that the reader has chosen."""

import html
from collections.abc import Callable
from typing import Any, Final

from IPython.core.getipython import get_ipython
from IPython.display import DisplayObject, Markdown, display

from labkit.language import say, say_clock, say_under, unit_word
from labkit.questions import Amount, Phrase
from labkit.text.shared import WORDS
from labkit.units import UNIT_SYSTEMS, displayed, unit_label


def render(words: Phrase, system: str) -> str:
    """Write a phrase with its amounts in a system of units."""
    given = {
        name: amount if isinstance(amount, str) else format_amount(amount, system)
        for name, amount in words.amounts.items()
    }
    return words.words.format(**given)


def format_amount(amount: Amount, system: str) -> str:
    """Write one amount, of a kind that `labkit.units` knows or one of `OTHER_KINDS`, unbroken."""
    value, kind = amount
    if kind == "column":
        return _column(value, system)
    if kind in OTHER_KINDS:
        written = OTHER_KINDS[kind](value, system)
    else:
        written = say(value, kind, system).replace(".0 ", " ")
    return written.replace(" ", "\N{NO-BREAK SPACE}")


def _turns(value: float, system: str) -> str:
    """Say turns of a screw, to quarters and finer where there are such."""
    turns = round(displayed(value, "turns", system), 2)
    return f"{turns:g} turn{'' if turns == 1.0 else 's'}"


def _ohms(value: float, _: str) -> str:
    """Say a resistance, to tenths as long as it is small."""
    return f"{value:.1f} ohms" if round(value, 1) % 1.0 and value < 99.95 else f"{value:,.0f} ohms"


def _to_hundredths(kind: str) -> Callable[[float, str], str]:
    """Return a writer of small amounts of a kind, where the usual rounding would be too coarse."""

    def written(value: float, system: str) -> str:
        return f"{displayed(value, kind, system):.2f} {unit_word(kind, system)}"

    return written


def _column(weight: float, system: str) -> str:
    """Say how much a column of water weighs on a gauge; `weight` of the water [N/m3]."""
    pressure, length = (UNIT_SYSTEMS[system][kind].factor for kind in ("pressure", "length"))
    psi, feet = unit_label("pressure", system), unit_label("length", system)
    if system == "US":
        height, weighs = f"{pressure / (weight * length):.2f} {feet}", f"1 {psi}"
    else:
        height, weighs = f"1 {feet}", f"{weight * length / pressure:.2f} {psi}"
    return WORDS["column rule"].format(height=height, pressure=weighs)


HUNDREDTHS: Final = {f"small {kind}": kind for kind in ("flow", "pressure", "velocity", "volume")}
"""Kinds that are written to hundredths, by the kind of `labkit.units` behind each."""

OTHER_KINDS: Final[dict[str, Callable[[float, str], str]]] = {
    "clock": say_clock,
    "count": lambda value, _: f"{value:,.0f}",
    "percent": lambda value, _: WORDS["percent"].format(share=f"{100.0 * value:.3g}"),
    **{small: _to_hundredths(kind) for small, kind in HUNDREDTHS.items()},
    "reach": lambda value, system: say_under(value, "length", system),
    "turns": _turns,
    "resistance": _ohms,
}
"""Kinds of amounts beside those of `labkit.units`: a time of day [s after midnight], a number of
things, a share, a flow, a pressure, a velocity and a volume with two decimals, turns of a screw
[rad], a resistance [ohm], a length to two digits, rounded down. One more, ``"column"``, is the
weight of water [N/m3], written as a rule."""


class LiveOutput:
    """Something static on the page that can be written anew in other units.

    It `waits` if it must be made anew when a prediction is kept.
    """

    def __init__(
        self, make: Callable[[str], DisplayObject], system: str, *, waits: bool = False
    ) -> None:
        self._make, self.shown, self.waits = make, make(system), waits
        self._place: Any = None
        if get_ipython() is not None:
            self._place = display(self.shown, display_id=True)  # type: ignore[no-untyped-call]

    @property
    def text(self) -> str:
        """Its text, as Markdown or HTML."""
        return str(self.shown.data)

    def use(self, system: str) -> None:
        """Show it again, in the units of a system or with what has changed."""
        self.shown = self._make(system)
        if self._place is not None:
            self._place.update(self.shown)


def markdown(words: Phrase, system: str) -> Markdown:
    """Return a phrase as Markdown."""
    return Markdown(render(words, system))  # type: ignore[no-untyped-call]


def inline_markup(words: str) -> str:
    """Turn words with ``*emphasis*`` and ``**more of it**`` into HTML."""
    safe = html.escape(words)
    for mark, tag in (("**", "b"), ("*", "em")):
        parts = safe.split(mark)
        safe = "".join(f"<{tag}>{part}</{tag}>" if n % 2 else part for n, part in enumerate(parts))
    return safe

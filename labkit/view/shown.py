"""What a bench shows of a run: picture, sentence, and the words that stand for the picture."""

import html
from collections.abc import Iterable
from typing import TYPE_CHECKING

from labkit.view import style
from labkit.view.figure import Picture
from labkit.view.image import image_tag
from labkit.view.language import alt_text, counted, say_time, sentence
from labkit.view.limits import Limits
from labkit.view.words import WORDS

if TYPE_CHECKING:
    from labkit.trace import Trace


def image_element(png: bytes, alt: str) -> str:
    """Give a picture as an element of HTML with its own data, and the words that stand for it."""
    size = round(style.WIDTH * style.DPI), round(style.HEIGHT * style.DPI)
    return image_tag(png, alt, size)


class StillImage:
    """A picture that stays as it is, with the words that stand for it, as a page shows it.

    Attributes
    ----------
    png : bytes
        The picture.
    alt : str
        The words that stand for it.
    """

    def __init__(self, png: bytes, alt: str) -> None:
        self.png, self.alt = png, alt

    def html(self) -> str:
        """Give it as an element of HTML."""
        return image_element(self.png, self.alt)

    def _repr_html_(self) -> str:
        return self.html()


class Shown:
    """A run in pictures and words, in one system of units.

    Attributes
    ----------
    trace : Trace
        The run.
    picture : Picture
        The linked pictures.
    png : bytes
        The picture as it stands.
    text, alt : str
        The sentence, and the words that stand for the picture.
    so_far : str
        That the run is only the beginning of a longer one; empty for a whole run.
    """

    def __init__(
        self, trace: "Trace", system: str, *, reach: Iterable[Limits] = (), whole: float = 0.0
    ) -> None:
        self.trace, self.system, self._whole = trace, system, whole
        limits = Limits.of_trace(trace)
        for other in reach:
            limits = limits.holding(other)
        names = tuple(trough.name for trough in trace.site.troughs)
        self.picture = Picture(limits, system=system, troughs=names)
        self.png, self.text, self.alt, self.so_far = b"", "", "", ""

    def take(self, trace: "Trace", time: float, settings: str) -> None:
        """Show a run at a moment [s], under settings in words."""
        self.trace = trace
        self.picture.show(trace, time)
        self._draw(time, settings)

    def point(self, time: float, settings: str) -> None:
        """Show another moment [s] of the same run."""
        self.picture.point(self.trace, time)
        self._draw(time, settings)

    def image(self) -> str:
        """Give the picture as an element of HTML that carries its own data and words."""
        return image_element(self.png, self.alt)

    def snapshot(self, *, judged: bool = True) -> str:
        """Give the picture with its sentence below, for a handout.

        Left unjudged, neither the sentence nor the words for the picture say what the run amounts
        to, so that a question asked later on the sheet stays a question.
        """
        text = self.text if judged else counted(self.trace, self.system)
        said = f"{text} {self.so_far}".strip()
        alt = self.alt.replace(self.text, text)
        image = image_element(self.png, alt)
        return f"<figure>{image}<figcaption>{html.escape(said)}</figcaption></figure>"

    def _draw(self, time: float, settings: str) -> None:
        self.png = self.picture.png()
        self.so_far = self._beginning()
        say = counted if self.so_far else sentence
        self.text = say(self.trace, self.system)
        said = f"{self.text} {self.so_far}".strip()
        self.alt = alt_text(self.trace, self.trace.at(time), settings, self.system, said=said)

    def _beginning(self) -> str:
        """Say that there is more to come, where the run ends before its whole time [s]."""
        seen = float(self.trace.time[-1])
        if seen > self._whole - 1.0:
            return ""
        return WORDS["so far"].format(seen=say_time(seen), whole=say_time(self._whole))

"""What every sheet of questions needs: the exercise itself, and small readings of a site."""

import attrs

from labkit.parts import CentrifugalPump
from labkit.physics import GRAVITY
from labkit.physics.water import density
from labkit.questions.choice import ChoiceQuestion
from labkit.questions.number import NumberQuestion, is_clear
from labkit.questions.phrase import Phrase
from labkit.site import Site
from labkit.units import quantity, si

_FREEZING = 273.15


@attrs.frozen(kw_only=True)
class Exercise:
    """What one learner is given.

    Attributes
    ----------
    learner : int
        The learner's own number.
    site : Site
        The line.
    story : Phrase
        The line in words.
    verdict : str
        What the line does, as the simulation found.
    questions : tuple
        What is asked, in order.
    """

    learner: int
    site: Site
    story: Phrase
    verdict: str
    questions: tuple[NumberQuestion | ChoiceQuestion, ...]


def weight_of_water(site: Site) -> float:
    """Give the weight of the water in a site's line [N/m3]."""
    return density(si(site.place.water_temperature) - _FREEZING) * GRAVITY


def are_clear(asked: tuple[NumberQuestion, ...]) -> bool:
    """Say whether no answer to any of the questions can be taken for two things."""
    return all(is_clear(one) for one in asked)


def plain_si(number: float, unit: str) -> float:
    """Give a number of a unit in SI, such as 45 of ``"ft"``."""
    return si(quantity(f"{number} {unit}", unit))


def shut_off_head(site: Site) -> float:
    """Give the pump's shut-off head [m]."""
    if not isinstance(site.pump, CentrifugalPump):
        raise TypeError("only a centrifugal pump has a shut-off head")
    return si(site.pump.shut_off_head)


def set_at(cut_in: int, cut_out: int) -> dict[str, str]:
    """Return what sets a line's switch [psi], the tank's air two pounds under cut-in."""
    return {
        "pressure_switch.cut_in": f"{cut_in} psi",
        "pressure_switch.cut_out": f"{cut_out} psi",
        "pressure_tank.precharge": f"{cut_in - 2} psi",
    }

"""The pair of wires from a switch to a controller. Resistances in ohms, lengths in m."""

from typing import Final

from labkit.questions.bank import Length, Resistance, Worked, number

THOUSAND_FEET: Final = 304.8  # the length for which wire tables give a resistance [m]


@number
def loop(*, gauge: str, per_thousand: Resistance, distance: Length) -> Worked:  # noqa: ARG001
    """Return what a meter reads at the controller through a good pair and a closed contact."""
    one_way = per_thousand * distance / THOUSAND_FEET
    return Worked(
        2.0 * one_way,
        {
            "one way only": one_way,
            "table value for the pair": per_thousand,
            "closed reads zero": 0.0,
        },
        {"thousand": THOUSAND_FEET, "both": 2.0 * distance},
    )


@number
def farthest(*, gauge: str, per_thousand: Resistance, limit: Resistance) -> Worked:  # noqa: ARG001
    """Return how far off a switch may be for a controller to read its closed contact as closed."""
    answer = THOUSAND_FEET * limit / (2.0 * per_thousand)
    return Worked(
        answer,
        {"one way only": 2.0 * answer, "counted double twice": 0.5 * answer},
        {"thousand": THOUSAND_FEET, "wire": 2.0 * answer},
    )


@number
def chewed(*, distance: Length, near: Resistance, far: Resistance) -> Worked:
    """Return how far from the controller a pair is shorted, from the readings at both its ends."""
    answer = distance * near / (near + far)
    return Worked(
        answer,
        {
            "from the other end": distance - answer,
            "reading over reading": distance * min(near, far) / max(near, far),
        },
        {"all": near + far},
    )

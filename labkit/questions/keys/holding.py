"""Questions about a shut line that loses water: which part, how far the gauge falls, how often."""

from typing import Final, Self

import attrs

from labkit.advice.leak_down import CHECK, FLOAT, LINE, at_stop, fall, only
from labkit.engine.standing import go_on
from labkit.questions.choice import ChoiceQuestion, Option
from labkit.questions.keys import slips
from labkit.questions.number import COUNT, NumberQuestion, Slip
from labkit.questions.phrase import Phrase, phrase
from labkit.site import Site

SEEN: Final = 5e3
"""A fall of the gauge that nobody overlooks [Pa]."""
DRIPS: Final = 4e-7
"""A trickle that nobody overlooks [m3/s]."""
HOUR, DAY = 3600.0, 86_400.0

_PART: Final = {
    CHECK: phrase("The check valve: water runs back down the well."),
    FLOAT: phrase("The float valve: water seeps on into the trough."),
    LINE: phrase("The buried line: water is lost in the ground."),
}


@attrs.frozen(kw_only=True)
class Readings:
    """What a technician reads on a line that loses water, the drive off.

    Attributes
    ----------
    minutes : float
        How long the gauge is watched each time [min].
    shut, opened : float
        How far it falls in that time, valve to the line shut and open [Pa].
    drip : float
        What comes past the float, lifted by hand, at first [m3/s].
    """

    minutes: float
    shut: float
    opened: float
    drip: float

    @classmethod
    def of(cls, site: Site, place: str, size: str, *, sun: str, minutes: float) -> Self:
        """Work a line with one leak of a size as on site."""
        now = at_stop(only(site, place, size), sun)
        opened, shut = fall(now, minutes), fall(now, minutes, is_valve_shut=True)
        trace, _ = go_on(now, "10 s", is_drive_off=True)
        return cls(
            minutes=minutes,
            shut=float(shut.pressure[0]) - max(shut.at(60.0 * minutes), 0.0),
            opened=float(opened.pressure[0]) - max(opened.at(60.0 * minutes), 0.0),
            drip=float(trace.inflow[site.troughs[0].name][-1]),
        )

    @property
    def place(self) -> str:
        """Where the water is lost, as the readings say."""
        if self.shut > SEEN:
            return CHECK
        return FLOAT if self.drip > DRIPS else LINE


def which_part(name: str, seen: Readings) -> ChoiceQuestion:
    """Ask which part loses the water; the readings, which a run has made, decide."""
    amounts = {"opened": (seen.opened, "pressure"), "wait": (60.0 * seen.minutes, "time")}
    held, dripping = "holds", "is dry"
    if seen.shut > SEEN:
        held, amounts["shut"] = "falls by {shut}", (seen.shut, "pressure")
    if seen.drip > DRIPS:
        dripping, amounts["drip"] = "lets {drip} by", (seen.drip, "small flow")
    return ChoiceQuestion(
        name=name,
        ask=phrase(
            "The pump comes on again and again; no stock drinks, and the trough is full. You "
            "switch the drive off and watch the gauge for {wait} each time. With the valve to the "
            f"line **shut** it {held}; with it **open** it falls by {{opened}}. Lifted by hand, "
            f"the float valve {dripping}. **Which part is it?**",
            **amounts,
        ),
        options=tuple(
            Option(
                words=words,
                said=_why(seen.place, place),
                is_right=place == seen.place,
                slip="" if place == seen.place else f"{place} for {seen.place}",
            )
            for place, words in _PART.items()
        ),
    )


def _why(truth: str, chosen: str) -> Phrase:
    if chosen == truth:
        return {
            CHECK: phrase(
                "Behind the closed shutoff there is only the well side, and there the gauge fell. "
                "On a real well, check fittings and drain before anyone pulls the pump."
            ),
            FLOAT: phrase(
                "Shut off from the line the gauge held, so the well side is tight; and the float "
                "drips."
            ),
            LINE: phrase(
                "The gauge held with the valve closed, so it isn't the well side; the float valve "
                "is dry. What is left is in the ground: walk the line."
            ),
        }[truth]
    if truth == CHECK:
        return phrase(
            "Float and line lie beyond the valve that you shut. What is left on the gauge's side?"
        )
    if chosen == CHECK:
        return phrase(
            "With the valve shut the gauge held. Could it hold if water ran back into the well?"
        )
    return phrase("Look at what the float valve does when you lift it.")


def where_it_ends(
    name: str, *, rise: float, weight: float, cut_in: float, air: float
) -> NumberQuestion:
    """Ask where the gauge stands in the morning on a line with a leaking float.

    Parameters
    ----------
    name : str
        Name of the question.
    rise, weight : float
        Height of the trough [m], weight of the water [N/m3].
    cut_in, air : float
        Cut-in, told to lead astray, and the air's pressure on site [Pa].
    """
    answer = weight * rise
    return NumberQuestion(
        name=name,
        label="Gauge in the morning",
        ask=phrase(
            "On another ranch only the float valve leaks. Its trough stands {rise} above the "
            "gauge; the switch cuts in at {cut_in}. In the evening the drive is switched off, and "
            "all night water seeps into the trough. **Where does the gauge stand in the morning?**",
            rise=(rise, "length"),
            cut_in=(cut_in, "pressure"),
        ),
        answer=answer,
        kind="pressure",
        slips=(
            Slip(
                name="falls to nothing",
                values=(0.0,),
                hint=phrase(
                    "A hole at the trough can only drain what stands above it. What stands below, "
                    "in the climb of the pipe, stays."
                ),
            ),
            Slip(
                name="cut-in for column",
                values=(cut_in,),
                hint=phrase("With the drive off nobody cares about cut-in. The leak goes on."),
            ),
            slips.upside_down(rise, weight),
            slips.height_read_as_pressure(rise, weight),
            slips.air_counted(answer, air),
        ),
        hints=(
            phrase("How high does water still stand in the pipe when no more comes out up there?"),
            phrase("{rule}.", rule=(weight, "column")),
        ),
        reason=phrase(
            "The column of {rise} stays on the gauge. A leaking check valve would take that, too, "
            "and pull the line into suction.",
            rise=(rise, "length"),
        ),
    )


def starts(name: str, *, hours: float, off: float, on: float, period: str) -> NumberQuestion:
    """Ask how often a leak starts the pump in some hours of sun.

    Parameters
    ----------
    name : str
        Name of the question.
    hours : float
        How long the sun is strong enough [h].
    off, on : float
        How long the pump rests and runs, again and again [s].
    period : str
        The hours in words, such as ``"in a day with 8 hours of strong sun"``.
    """
    seconds = hours * HOUR
    answer = round(seconds / (off + on))
    return NumberQuestion(
        name=name,
        label="Starts",
        ask=phrase(
            "By the watch the pump rests for {off}, then runs for {on}, again and again. **How "
            f"often does it start {period}?** Give a whole number.",
            off=(off, "time"),
            on=(on, "time"),
        ),
        answer=float(answer),
        kind=COUNT,
        tolerance=0.02,
        slips=(
            Slip(
                name="rest only",
                values=(float(round(seconds / off)),),
                hint=phrase(
                    "You counted the rests alone. From one start to the next is rest and run."
                ),
            ),
            Slip(
                name="run only",
                values=(float(round(seconds / on)),),
                hint=phrase(
                    "You counted the runs alone. From one start to the next is rest and run."
                ),
            ),
        ),
        hints=(
            phrase("How long is it from one start to the next?"),
            phrase("{cycle} from start to start.", cycle=(off + on, "time")),
        ),
        reason=phrase(
            "{cycle} from start to start. Each start is hard on a motor: most makers allow only so "
            "many an hour.",
            cycle=(off + on, "time"),
        ),
    )


def lost_in_a_day(name: str, *, leak: float) -> NumberQuestion:
    """Ask how much a leak [m3/s] takes in a day."""
    answer = leak * DAY
    return NumberQuestion(
        name=name,
        label="Lost in a day",
        ask=phrase(
            "A leak takes {leak}, day and night. **How much water is that in a day?**",
            leak=(leak, "small flow"),
        ),
        answer=answer,
        kind="volume",
        tolerance=0.03,
        slips=(
            Slip(
                name="an hour for a day",
                values=(answer / 24.0,),
                hint=phrase("That is an hour's loss. A day has 24."),
            ),
            Slip(
                name="hours taken for minutes",
                values=(answer / 60.0,),
                hint=phrase("The leak is stated for each *minute*. An hour has 60."),
            ),
            Slip(
                name="seconds taken for minutes",
                values=(answer * 60.0,),
                hint=phrase("The leak is stated for each minute, not for each second."),
            ),
        ),
        hints=(
            phrase("How many minutes has a day?"),
            phrase("A day has 1,440 minutes."),
        ),
        reason=phrase(
            "{answer} a day, for nothing, and the pump lifted every drop of it.",
            answer=(answer, "volume"),
        ),
    )

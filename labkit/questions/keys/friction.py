"""Questions about what moving water costs, made for any numbers."""

from typing import Final

from labkit.questions.choice import ChoiceQuestion, Option
from labkit.questions.keys import slips
from labkit.questions.number import NumberQuestion, Slip
from labkit.questions.phrase import phrase

HUNDRED_FEET: Final = 30.48
"""100 ft [m], the length for which tables give friction."""

TWICE: Final = 3.5
"""What twice the flow does to friction: 2 to the power 1.75 is 3.4 (Blasius 1913, smooth pipe),
2 to the power 1.85 is 3.6 (Hazen-Williams)."""


def along(name: str, *, per_hundred: float, length: float, size: str) -> NumberQuestion:
    """Ask for the friction of a whole pipe, from a table's figure.

    Parameters
    ----------
    name : str
        Name of the question.
    per_hundred : float
        Friction in 100 ft [Pa].
    length : float
        Of the pipe [m].
    size : str
        Of the pipe, in words.
    """
    answer = per_hundred * length / HUNDRED_FEET
    once = phrase("That is the friction of the first {hundred}.", hundred=(HUNDRED_FEET, "length"))
    each = phrase(
        "You took the table's figure for each foot or meter. It is for {hundred}.",
        hundred=(HUNDRED_FEET, "length"),
    )
    upside = phrase("You divided the wrong way. A longer pipe takes more.")
    return NumberQuestion(
        name=name,
        label="Friction in the pipe",
        ask=phrase(
            "A table gives {loss} for each {hundred} of {size} pipe at this flow. The pipe is "
            "{length} long. **How much does friction take, all along?**",
            loss=(per_hundred, "small pressure"),
            hundred=(HUNDRED_FEET, "length"),
            size=size,
            length=(length, "length"),
        ),
        answer=answer,
        kind="pressure",
        slips=(
            Slip(name="one hundred feet only", values=(per_hundred,), hint=once),
            Slip(
                name="per hundred taken for per foot",
                values=(answer * 100.0, answer * HUNDRED_FEET),
                hint=each,
            ),
            Slip(
                name="divided the wrong way",
                values=(per_hundred * HUNDRED_FEET / length,),
                hint=upside,
            ),
        ),
        hints=(
            phrase(
                "How many times does {hundred} go into {length}?",
                hundred=(HUNDRED_FEET, "length"),
                length=(length, "length"),
            ),
            phrase(
                "{times} times {loss}.",
                times=f"{length / HUNDRED_FEET:.4g}",
                loss=(per_hundred, "small pressure"),
            ),
        ),
        reason=phrase(
            "{times} times {loss} make {answer}. Twice the pipe takes twice as much.",
            times=f"{length / HUNDRED_FEET:.4g}",
            loss=(per_hundred, "small pressure"),
            answer=(answer, "pressure"),
        ),
    )


def doubled(name: str, *, friction: float, flow: float) -> NumberQuestion:
    """Ask for the friction at twice the flow [Pa, m3/s]."""
    answer = TWICE * friction
    twice = phrase(
        "You doubled it. Friction grows much faster than the flow: see the rule in the question."
    )
    same = phrase("Friction does not stay the same when more water moves.")
    return NumberQuestion(
        name=name,
        label="Friction at twice the flow",
        ask=phrase(
            "At {flow} a pipe takes {friction}. The rule: twice the flow makes about {times} times "
            "the friction. **What does the pipe take at {double}?**",
            flow=(flow, "flow"),
            friction=(friction, "pressure"),
            times=f"{TWICE:g}",
            double=(2.0 * flow, "flow"),
        ),
        answer=answer,
        kind="pressure",
        tolerance=0.05,
        slips=(
            Slip(name="friction in proportion to flow", values=(2.0 * friction,), hint=twice),
            Slip(name="friction unchanged", values=(friction,), hint=same),
            Slip(
                name="rule used twice",
                values=(2.0 * TWICE * friction,),
                hint=phrase("You used the rule twice. The flow doubles once."),
            ),
        ),
        hints=(phrase("Twice the flow: use the rule once."),),
        reason=phrase(
            "About {answer}. So a strong sun can push the gauge past cut-out while the trough is "
            "still filling.",
            answer=(answer, "pressure"),
        ),
    )


def what_cures(name: str) -> ChoiceQuestion:
    """Ask what makes an end of stops while the trough fills."""
    return ChoiceQuestion(
        name=name,
        ask=phrase(
            "At noon the pump stops and starts while the trough is half empty; in the morning it "
            "fills in one go. Cut-out cannot go higher. **What cures it?**"
        ),
        options=(
            Option(
                words=phrase("More panels, so that it pushes harder."),
                said=phrase(
                    "More power, more flow, more friction. It stops because the gauge is too high, "
                    "not too low."
                ),
                slip="more panels against a false stop",
            ),
            Option(
                words=phrase("A smaller differential, so that it comes back sooner."),
                said=phrase("Then it stops and starts more often. What pushes the gauge up?"),
                slip="tighter differential stops cycling",
            ),
            Option(
                words=phrase("A bigger pressure tank."),
                said=phrase(
                    "A tank makes the stops rarer and longer. The gauge still climbs to cut-out "
                    "while the float is open."
                ),
                slip="tank cures everything",
            ),
            Option(
                words=phrase("A bigger pipe, or less flow."),
                said=phrase(
                    "Either one takes friction off the gauge. The next size of pipe takes about a "
                    "third as much; a slower pump is slower but does not stop."
                ),
                is_right=True,
            ),
        ),
    )


def smallest_pipe(
    name: str, *, gauges: dict[str, float], found: str, rest: float, cut_out: float
) -> ChoiceQuestion:
    """Ask for the smallest pipe with which the trough fills in one go.

    Parameters
    ----------
    name : str
        Name of the question.
    gauges : dict of float
        For each size of pipe, from small to large, what its friction takes [Pa].
    found : str
        The size whose friction was the answer to an earlier question.
    rest : float
        What climb and float valve take [Pa].
    cut_out : float
        Of the switch [Pa].
    """
    fits = {size: friction + rest < cut_out for size, friction in gauges.items()}
    smallest = next(size for size, does in fits.items() if does)
    amounts = {
        f"f{place}": "what you found" if size == found else (friction, "pressure")
        for place, (size, friction) in enumerate(gauges.items())
    }
    table = "; ".join(f"{{f{place}}} in {size} pipe" for place, size in enumerate(gauges))
    small = phrase(
        "Add up: friction, climb and float valve. That comes above the cut-out of {cut_out}.",
        cut_out=(cut_out, "pressure"),
    )
    large = phrase("It would do, but a smaller and cheaper one does too.")
    return ChoiceQuestion(
        name=name,
        ask=phrase(
            "Friction with this pump in strong sun would be "
            + table
            + ". Climb and float valve take {rest} more. Cut-out is {cut_out}. **Which is the "
            "smallest pipe that fills the trough without a stop?**",
            **amounts,
            rest=(rest, "pressure"),
            cut_out=(cut_out, "pressure"),
        ),
        options=tuple(
            Option(
                words=phrase("{size}", size=size),
                said=phrase(
                    "Friction {friction} and {rest} make {gauge}, below the cut-out of {cut_out}.",
                    friction=(gauges[size], "pressure"),
                    rest=(rest, "pressure"),
                    gauge=(gauges[size] + rest, "pressure"),
                    cut_out=(cut_out, "pressure"),
                )
                if size == smallest
                else (large if fits[size] else small),
                is_right=size == smallest,
                slip="" if size == smallest else f"{size} for {smallest}",
            )
            for size in gauges
        ),
    )


def bucket(name: str, *, volume: float, seconds: float) -> NumberQuestion:
    """Ask for a flow, from a bucket and a watch [m3, s]."""
    answer = volume / seconds
    return NumberQuestion(
        name=name,
        label="Flow",
        ask=phrase(
            "You hold a bucket of {volume} under the open float valve, and it is full after "
            "{seconds}. **How much flows?**",
            volume=(volume, "volume"),
            seconds=(seconds, "time"),
        ),
        answer=answer,
        kind="flow",
        tolerance=0.03,
        slips=(
            Slip(
                name="seconds taken for minutes",
                values=(answer / slips.MINUTE,),
                hint=phrase("You divided by seconds. How much would flow in a whole *minute*?"),
            ),
            Slip(
                name="watch over bucket",
                values=(
                    seconds / (volume / slips.GALLON) * slips.GPM,
                    seconds / (volume / slips.LITER) * slips.LITER / slips.MINUTE,
                ),
                hint=phrase("You divided the wrong way: it is volume over time."),
            ),
        ),
        hints=(
            phrase("How many such buckets would a minute fill?"),
            phrase("A minute has 60 seconds; divide 60 by the seconds, times the bucket."),
        ),
        reason=phrase(
            "{answer}. With that and the gauge you can say what friction takes.",
            answer=(answer, "flow"),
        ),
    )

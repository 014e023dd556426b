"""Questions about several troughs at different heights, made for any numbers."""

from labkit.questions.choice import ChoiceQuestion, Option
from labkit.questions.keys import slips
from labkit.questions.number import COUNT, NumberQuestion, Slip
from labkit.questions.phrase import phrase


def lowest_cut_in(name: str, *, heights: dict[str, float], weight: float) -> NumberQuestion:
    """Ask how low the gauge can fall when the highest trough alone calls.

    Parameters
    ----------
    name : str
        Name of the question.
    heights : dict of float
        Height of each trough above the gauge [m].
    weight : float
        Weight of the water [N/m3].
    """
    names = sorted(heights, key=lambda one: heights[one])
    low, middle, high = (heights[one] for one in (names[0], names[-2], names[-1]))
    answer = weight * high
    list_of = ", ".join(f"{one} {{{one}}} {_side(heights[one])}" for one in heights)
    amounts = {one: (abs(height), "length") for one, height in heights.items()}
    fall = phrase(
        "You counted from the lowest trough. The gauge sits at the well: only the height above "
        "the gauge counts."
    )
    other = phrase(
        "That is the column of another trough. The one that stands highest keeps the gauge up "
        "longest."
    )
    return NumberQuestion(
        name=name,
        label="Gauge falls to",
        ask=phrase(
            f"Three troughs hang on one line: {list_of} the gauge. The pump is off, and only the "
            "stock at the highest one drink. **How low can the gauge fall?**",
            **amounts,
        ),
        answer=answer,
        kind="pressure",
        slips=(
            Slip(name="another trough's column", values=(weight * middle,), hint=other),
            Slip(name="counted from the lowest", values=(weight * (high - low),), hint=fall),
            slips.upside_down(high, weight),
            slips.height_read_as_pressure(high, weight),
        ),
        hints=(
            phrase("The water above the gauge stays in the pipe up to the open float."),
            phrase(
                "Turn the height of the highest trough into pressure: {rule}.",
                rule=(weight, "column"),
            ),
        ),
        reason=phrase(
            "{height} of water stay above the gauge and weigh {answer}. Cut-in must lie above "
            "that, or the highest trough can call as long as it likes.",
            height=(high, "length"),
            answer=(answer, "pressure"),
        ),
    )


def hill_between(name: str, *, trough: float, crest: float, weight: float) -> NumberQuestion:
    """Ask how low the gauge can fall when a hill stands between well and trough.

    Parameters
    ----------
    name : str
        Name of the question.
    trough, crest : float
        Height of the trough and of the crest before it above the gauge [m].
    weight : float
        Weight of the water [N/m3].
    """
    answer = weight * crest
    over = phrase(
        "That is the trough's own column. With the pump off, can the water on the well's side get "
        "over the hill?"
    )
    between = phrase(
        "You counted from the trough. The gauge sits at the well: how high is the water that "
        "can't get away?"
    )
    both = phrase("The two heights don't add up: they aren't on top of each other.")
    return NumberQuestion(
        name=name,
        label="Gauge falls to",
        ask=phrase(
            "A trough is {trough} above the gauge. On the way there the pipe crosses a hill, "
            "{crest} above the gauge, with an air vent on top. The pump is off and the float is "
            "wide open. **How low can the gauge fall?**",
            trough=(trough, "length"),
            crest=(crest, "length"),
        ),
        answer=answer,
        kind="pressure",
        slips=(
            Slip(name="counted to the trough", values=(weight * trough,), hint=over),
            Slip(
                name="from the trough to the crest",
                values=(weight * (crest - trough),),
                hint=between,
            ),
            Slip(name="added the two", values=(weight * (crest + trough),), hint=both),
            slips.upside_down(crest, weight),
            slips.height_read_as_pressure(crest, weight),
        ),
        hints=(
            phrase("Which water can still run out through the trough, and which can't?"),
            phrase("Turn the height of the crest into pressure: {rule}.", rule=(weight, "column")),
        ),
        reason=phrase(
            "The column up to the crest, {crest} of water, stays on the gauge: {answer}. Cut-in "
            "must be above that, no matter how low the trough is.",
            crest=(crest, "length"),
            answer=(answer, "pressure"),
        ),
    )


def low_float_holds(name: str, *, drop: float, cut_out: float, weight: float) -> NumberQuestion:
    """Ask what the float valve of a trough below the gauge must hold [m, Pa]."""
    more = weight * drop
    answer = cut_out + more
    up = phrase("The trough lies *below* the gauge. Is the pressure down there higher or lower?")
    same = phrase(
        "That is what the gauge shows. The water between gauge and trough weighs on the float too."
    )
    only = phrase("That is the weight of the water from the gauge down. Add what the gauge shows.")
    as_number = slips.height_read_as_pressure(drop, weight)
    return NumberQuestion(
        name=name,
        label="At the low float",
        ask=phrase(
            "A trough lies {drop} **below** the gauge. All floats are shut, the pump has just "
            "stopped, and the gauge stands at cut-out, {cut_out}. **What must the float valve "
            "down there hold?**",
            drop=(drop, "length"),
            cut_out=(cut_out, "pressure"),
        ),
        answer=answer,
        kind="pressure",
        slips=(
            Slip(name="took off for downhill", values=(cut_out - more,), hint=up),
            Slip(name="same pressure everywhere", values=(cut_out,), hint=same),
            Slip(name="forgot the gauge", values=(more,), hint=only),
            Slip(
                name=as_number.name,
                values=(cut_out + as_number.values[0],),  # in metric it is lost in rounding
                hint=as_number.hint,
            ),
        ),
        hints=(
            phrase("Nothing moves, so only heights count: more water above, more pressure."),
            phrase(
                "{rule}. Add that for {drop} to {cut_out}.",
                rule=(weight, "column"),
                drop=(drop, "length"),
                cut_out=(cut_out, "pressure"),
            ),
        ),
        reason=phrase(
            "{cut_out} and {more} more for the way down make {answer}. Pipe and float at the low "
            "end must be rated for it.",
            cut_out=(cut_out, "pressure"),
            more=(more, "pressure"),
            answer=(answer, "pressure"),
        ),
    )


def how_many(
    name: str, *, heights: dict[str, float], gauge: float, weight: float
) -> NumberQuestion:
    """Ask how many troughs can get any water at a reading of the gauge [m, Pa]."""
    reached = {one: height * weight < gauge for one, height in heights.items()}
    answer = float(sum(reached.values()))
    list_of = ", ".join(f"{one} {{{one}}} {_side(heights[one])}" for one in heights)
    amounts = {one: (abs(height), "length") for one, height in heights.items()}
    return NumberQuestion(
        name=name,
        label="Troughs that can get water",
        ask=phrase(
            f"The same line in haze: {list_of} the gauge, all floats open. The gauge shows "
            "{gauge}. Leave friction out. **How many of the troughs can get water at all?** Give "
            "a whole number.",
            **amounts,
            gauge=(gauge, "pressure"),
        ),
        answer=answer,
        kind=COUNT,
        hints=(
            phrase("How high does that pressure push water up?"),
            phrase(
                "{rule}: the water climbs {climb} above the gauge. Which troughs stand lower?",
                rule=(weight, "column"),
                climb=(gauge / weight, "length"),
            ),
        ),
        reason=phrase(
            "The gauge holds up {climb} of water. A trough that stands higher gets nothing, "
            "however wide its float is open.",
            climb=(gauge / weight, "length"),
        ),
    )


def first_water(name: str, *, missing: float, flow: float, low: str, high: str) -> NumberQuestion:
    """Ask when the high trough gets its first water: when the low one is full [m3, m3/s]."""
    answer = missing / flow
    return NumberQuestion(
        name=name,
        label=f"Until {high} gets water",
        ask=phrase(
            f"While {low} is open, {high} gets nothing. {low.capitalize()} takes {{flow}}, and "
            "{missing} are missing there. Nobody drinks any more. **How long does "
            f"{high} wait for its first water?**",
            flow=(flow, "flow"),
            missing=(missing, "volume"),
        ),
        answer=answer,
        kind="time",
        tolerance=0.03,
        slips=(slips.hours_and_minutes(answer), slips.flow_over_volume(answer)),
        hints=(
            phrase("It waits until the low trough is full and its float shuts."),
            phrase(
                "Share {missing} out at {flow}.",
                missing=(missing, "volume"),
                flow=(flow, "flow"),
            ),
        ),
        reason=phrase(
            "{missing} at {flow} take {answer}. On a short, hazy day the high trough may wait in "
            "vain.",
            missing=(missing, "volume"),
            flow=(flow, "flow"),
            answer=(answer, "time"),
        ),
    )


def water_for_the_high_one(name: str) -> ChoiceQuestion:
    """Ask how a high trough gets its share while a low one is open."""
    return ChoiceQuestion(
        name=name,
        ask=phrase(
            "While the low trough is open, the high one gets nothing, and its stock come first. "
            "**What helps?**"
        ),
        options=(
            Option(
                words=phrase("A higher cut-out."),
                said=phrase(
                    "Both floats are open, so the gauge is far below cut-out. Where does the water "
                    "go?"
                ),
            ),
            Option(
                words=phrase("A bigger float valve at the high trough."),
                said=phrase("Its float is wide open already, and no water comes up to it."),
                slip="bigger valve where no water comes",
            ),
            Option(
                words=phrase("A smaller float valve, or a half-shut valve, at the low trough."),
                said=phrase(
                    "It holds back the low trough, the gauge rises, and the grade line reaches the "
                    "high one. Both fill at the same time, each more slowly."
                ),
                is_right=True,
            ),
            Option(
                words=phrase("A lower cut-in."),
                said=phrase("That makes the high one worse off: its call may never arrive."),
                slip="lower cut-in for a high trough",
            ),
        ),
    )


def _side(height: float) -> str:
    return "above" if height >= 0.0 else "below"

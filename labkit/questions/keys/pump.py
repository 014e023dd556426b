"""Questions about what a pump can push, made for any numbers."""

from labkit.questions.keys import slips
from labkit.questions.number import NumberQuestion, Slip
from labkit.questions.phrase import phrase


def at_speed(
    name: str, *, shut_off: float, lift: float, speed: float, weight: float
) -> NumberQuestion:
    """Ask how far the gauge climbs when the sun lets the pump turn at a share of its full speed.

    Parameters
    ----------
    name : str
        Name of the question.
    shut_off, lift : float
        The pump's shut-off head at full speed and the depth to the water [m].
    speed : float
        Speed against the shut line, as a share of full speed.
    weight : float
        Weight of the water [N/m3].
    """
    left = speed * speed * shut_off
    answer = weight * (left - lift)
    in_proportion = phrase(
        "You took the head in proportion to the speed. Head goes with the speed **times itself**: "
        "{speed} of the speed leaves {share} of the head.",
        speed=(speed, "percent"),
        share=(speed * speed, "percent"),
    )
    forgot_lift = phrase(
        "You left out the well. The pump must first lift the water {lift}.", lift=(lift, "length")
    )
    forgot_speed = phrase("That is the gauge at full speed. In haze the pump turns more slowly.")
    took_all = phrase(
        "You shrank the lift as well. The well is as deep in haze as in sunshine: only the pump's "
        "own head shrinks."
    )
    return NumberQuestion(
        name=name,
        label="Highest the gauge can go",
        ask=phrase(
            "A pump makes {shut_off} of head at full speed with nothing flowing. The water in the "
            "well stands {lift} down. In haze, against the shut line, it turns at {speed} of full "
            "speed. **How high can the gauge climb?**",
            shut_off=(shut_off, "length"),
            lift=(lift, "length"),
            speed=(speed, "percent"),
        ),
        answer=answer,
        kind="pressure",
        tolerance=0.03,
        slips=(
            Slip(
                name="head in proportion to speed",
                values=(weight * (speed * shut_off - lift),),
                hint=in_proportion,
            ),
            Slip(name="forgot the lift", values=(weight * left,), hint=forgot_lift),
            Slip(
                name="full speed in haze",
                values=(weight * (shut_off - lift),),
                hint=forgot_speed,
            ),
            Slip(
                name="lift shrunk too",
                values=(weight * speed * speed * (shut_off - lift),),
                hint=took_all,
            ),
            slips.height_read_as_pressure(left - lift, weight),
        ),
        hints=(
            phrase("How much head is left at that speed? Then take off the lift."),
            phrase(
                "{share} of {shut_off} is left. Take off {lift}. Then: {rule}.",
                share=(speed * speed, "percent"),
                shut_off=(shut_off, "length"),
                lift=(lift, "length"),
                rule=(weight, "column"),
            ),
        ),
        reason=phrase(
            "{left} of head are left at that speed. {lift} of it go into the lift, and the rest "
            "weighs {answer}. A cut-out above that is never reached in this haze.",
            left=(left, "length"),
            lift=(lift, "length"),
            answer=(answer, "pressure"),
        ),
    )


def delivered(name: str, *, rated: float, sun: float, kept: float) -> NumberQuestion:
    """Ask for the power that reaches the pump's shaft.

    Parameters
    ----------
    name : str
        Name of the question.
    rated : float
        What the array's plates say [W].
    sun : float
        Sun on the array [W/m2].
    kept : float
        Share left by heat, dust, wiring and drive.
    """
    at_sun = rated * sun / 1000.0
    answer = at_sun * kept
    plates = phrase(
        "That is what the plates on the roof say. They are rated in full sun of {full}; today "
        "there is {sun}.",
        full=(1000.0, "irradiance"),
        sun=(sun, "irradiance"),
    )
    losses = phrase(
        "You counted the sun, but not what heat, dust, wiring and drive take on the way."
    )
    no_sun = phrase("You counted the losses, but the sun is weaker than in the rating.")
    took = phrase("That is what gets lost. What gets through?")
    return NumberQuestion(
        name=name,
        label="Power at the pump",
        ask=phrase(
            "The plates on the array add up to {rated}, rated in full sun of {full}. This haze "
            "lets {sun} through. Heat, dust, wiring and drive leave {kept} of it. **How much "
            "power reaches the pump?**",
            rated=(rated, "power"),
            full=(1000.0, "irradiance"),
            sun=(sun, "irradiance"),
            kept=(kept, "percent"),
        ),
        answer=answer,
        kind="power",
        tolerance=0.02,
        slips=(
            Slip(name="roof-rated for delivered", values=(rated,), hint=plates),
            Slip(name="losses forgotten", values=(at_sun,), hint=losses),
            Slip(name="sun forgotten", values=(rated * kept,), hint=no_sun),
            Slip(name="lost for left", values=(at_sun * (1.0 - kept),), hint=took),
        ),
        hints=(
            phrase("Two things cut the rating down: the weaker sun, and the losses on the way."),
            phrase(
                "Take {share} of {rated} for the sun. Then {kept} of that.",
                share=(sun / 1000.0, "percent"),
                rated=(rated, "power"),
                kept=(kept, "percent"),
            ),
        ),
        reason=phrase(
            "{at_sun} with this sun, and {answer} of it at the pump. That, and not the plates, "
            "sets how fast the pump can turn.",
            at_sun=(at_sun, "power"),
            answer=(answer, "power"),
        ),
    )


def after_drop(
    name: str, *, dead_head: float, drop: float, weight: float, lift: float
) -> NumberQuestion:
    """Ask for the highest gauge once the water in the well has sunk [Pa, m]."""
    less = weight * drop
    answer = dead_head - less
    added = phrase("A deeper well takes more lift. Does that leave more for the gauge, or less?")
    as_number = phrase(
        "You took the depth for a pressure. {rule}.",
        rule=(weight, "column"),
    )
    only = phrase("That is how much it falls. Where does the gauge end up?")
    whole = phrase(
        "You took off the whole lift. {lift} of it was counted before; only {drop} are new.",
        lift=(lift, "length"),
        drop=(drop, "length"),
    )
    return NumberQuestion(
        name=name,
        label="Highest the gauge can go then",
        ask=phrase(
            "A neighbor's shut line can climb to {dead_head} in clear sun. In a dry summer the "
            "water in his well sinks by {drop} more. **How high can the gauge go then, in clear "
            "sun?**",
            dead_head=(dead_head, "pressure"),
            drop=(drop, "length"),
        ),
        answer=answer,
        kind="pressure",
        slips=(
            Slip(name="added the drop", values=(dead_head + less,), hint=added),
            Slip(
                name="height read as pressure",
                values=(
                    dead_head - drop / slips.FOOT * slips.PSI,
                    dead_head - drop * slips.KILOPASCAL,
                ),
                hint=as_number,
            ),
            Slip(name="the drop alone", values=(less,), hint=only),
            Slip(name="whole lift", values=(answer - weight * lift,), hint=whole),
        ),
        hints=(
            phrase("The pump must lift the water further. How much pressure does that take?"),
            phrase(
                "{rule}. Turn {drop} into pressure, and take it off {dead_head}.",
                rule=(weight, "column"),
                drop=(drop, "length"),
                dead_head=(dead_head, "pressure"),
            ),
        ),
        reason=phrase(
            "{drop} more lift take {less} off the gauge, and leave {answer}. Check the cut-out "
            "again when the water is low.",
            drop=(drop, "length"),
            less=(less, "pressure"),
            answer=(answer, "pressure"),
        ),
    )


def with_margin(name: str, *, in_haze: float, in_clear: float, margin: float) -> NumberQuestion:
    """Ask for a cut-out that the pump still reaches in haze, some way below the highest gauge."""
    kept = 1.0 - margin
    answer = kept * in_haze
    clear = phrase(
        "You started from clear sun. The cut-out must also be reached in the haze, so start from "
        "the lower figure."
    )
    above = phrase("You went up. The cut-out must lie below what the pump can reach.")
    bare = phrase("That leaves no margin: the pump would only just get there. Take off {m}.",
                  m=(margin, "percent"))  # fmt: skip
    part = phrase(
        "That is the margin itself. Take it off {in_haze}.", in_haze=(in_haze, "pressure")
    )
    return NumberQuestion(
        name=name,
        label="Highest cut-out",
        ask=phrase(
            "With every float shut a neighbor's gauge can climb to {in_clear} in clear sun and to "
            "{in_haze} in the worst haze he wants to work in. His cut-out should lie {margin} "
            "below what the pump can reach. **What is the highest cut-out that works on both "
            "days?**",
            in_clear=(in_clear, "pressure"),
            in_haze=(in_haze, "pressure"),
            margin=(margin, "percent"),
        ),
        answer=answer,
        kind="pressure",
        slips=(
            Slip(name="took the clear day", values=(kept * in_clear,), hint=clear),
            Slip(name="margin added", values=((1.0 + margin) * in_haze,), hint=above),
            Slip(name="no margin", values=(in_haze,), hint=bare),
            Slip(name="margin alone", values=(margin * in_haze,), hint=part),
        ),
        hints=(
            phrase("Which of the two days is the harder one for the pump?"),
            phrase(
                "Take {kept} of {in_haze}.", kept=(kept, "percent"), in_haze=(in_haze, "pressure")
            ),
        ),
        reason=phrase(
            "{answer}: the hazy day sets the cut-out, and the clear day takes it easily. It must "
            "also lie above the gauge while filling, or the pump stops too soon.",
            answer=(answer, "pressure"),
        ),
    )

"""Questions about a float that closes: the water in its band, the wave, and the rounds of the pump.

Only one formula: a column of water that is stopped jumps by ``density * wave speed * velocity``
(Joukowsky 1898, in heads ``dh = a dv / g``).
"""

from labkit.physics import GRAVITY
from labkit.questions.choice import ChoiceQuestion, Option
from labkit.questions.keys import slips
from labkit.questions.number import NumberQuestion, Slip
from labkit.questions.phrase import phrase


def water_in_band(name: str, *, volume: float, depth: float, band: float) -> NumberQuestion:
    """Ask how much water a trough takes while its float closes [m3, m, m]."""
    answer = volume * band / depth
    turned = phrase("That is more than the trough holds. Is the band more than the depth, or less?")
    return NumberQuestion(
        name=name,
        label="Water in the band",
        ask=phrase(
            "A trough with straight sides holds {volume} and is {depth} deep. Its float valve is "
            "wide open until the water stands {band} under the full mark, and then closes bit by "
            "bit. **How much water comes in while it closes?**",
            volume=(volume, "volume"),
            depth=(depth, "small length"),
            band=(band, "small length"),
        ),
        answer=answer,
        kind="volume",
        slips=(
            Slip(
                name="the whole trough",
                values=(volume,),
                hint=phrase("That fills the whole trough. The float moves over the band only."),
            ),
            Slip(
                name="all but the band",
                values=(volume - answer,),
                hint=phrase("That is the water *under* the band, while the valve is wide open."),
            ),
            Slip(name="depth over band", values=(volume * depth / band,), hint=turned),
        ),
        hints=(
            phrase("How much water does each inch, or each centimeter, of the trough hold?"),
            phrase(
                "{depth} hold {volume}. The band is {band} of that.",
                depth=(depth, "small length"),
                volume=(volume, "volume"),
                band=(band, "small length"),
            ),
        ),
        reason=phrase(
            "{answer} come in, more and more slowly. The pump makes more than that valve takes, "
            "so it may well stop and come back while that goes on.",
            answer=(answer, "volume"),
        ),
    )


def jump(name: str, *, velocity: float, wave_speed: float, weight: float) -> NumberQuestion:
    """Ask how far the pressure jumps when moving water is stopped at once [m/s, N/m3]."""
    height = wave_speed * velocity / GRAVITY
    answer = weight * height
    as_number = slips.height_read_as_pressure(height, weight)
    return NumberQuestion(
        name=name,
        label="Jump",
        ask=phrase(
            "Water moves through a pipe at {velocity}, and a wave runs through it at {speed}. The "
            "float valve slams shut. **How far does the pressure jump?** (Gravity is {g} each "
            "second; {rule}.)",
            velocity=(velocity, "small velocity"),
            speed=(wave_speed, "velocity"),
            g=(GRAVITY, "small velocity"),
            rule=(weight, "column"),
        ),
        answer=answer,
        kind="pressure",
        tolerance=0.03,
        slips=(as_number, slips.upside_down(height, weight)),
        hints=(
            phrase("Jump in height = wave speed times velocity, divided by gravity."),
            phrase(
                "The jump is {height} of water. Turn it into pressure: {rule}.",
                height=(height, "length"),
                rule=(weight, "column"),
            ),
        ),
        reason=phrase(
            "{height} of water, which weigh {answer}. Twice the velocity makes twice the jump.",
            height=(height, "length"),
            answer=(answer, "pressure"),
        ),
    )


def one_round_trip(name: str, *, length: float, wave_speed: float) -> NumberQuestion:
    """Ask within what time a closing counts as a slam [m, m/s]."""
    answer = 2.0 * length / wave_speed
    one_way = phrase("That is one way. The wave must come *back* before the valve hears of relief.")
    return NumberQuestion(
        name=name,
        label="Out and back",
        ask=phrase(
            "A pipe is {length} long, and a wave runs through it at {speed}. A valve that shuts "
            "before the wave is back makes the whole jump. **How long does the wave take out and "
            "back?**",
            length=(length, "length"),
            speed=(wave_speed, "velocity"),
        ),
        answer=answer,
        kind="time",
        tolerance=0.03,
        slips=(
            Slip(name="one way only", values=(answer / 2.0,), hint=one_way),
            Slip(
                name="speed over way",
                values=(1.0 / answer, 2.0 / answer),
                hint=phrase("You divided the wrong way: time is way over speed."),
            ),
        ),
        hints=(
            phrase("Way over speed; and how long is the way out *and* back?"),
            phrase(
                "{way} at {speed}.",
                way=(2.0 * length, "length"),
                speed=(wave_speed, "velocity"),
            ),
        ),
        reason=phrase(
            "{way} at {speed} take {answer}. A valve that takes several times as long hardly "
            "makes a wave.",
            way=(2.0 * length, "length"),
            speed=(wave_speed, "velocity"),
            answer=(answer, "time"),
        ),
    )


def margin(name: str, *, before: float, jumped: float, rating: float) -> NumberQuestion:
    """Ask what is left of a pipe's rating at the top of a jump [Pa]."""
    answer = rating - before - jumped
    return NumberQuestion(
        name=name,
        label="Left of the rating",
        ask=phrase(
            "Low on the line a pipe stands under {before} while water flows. It is rated for "
            "{rating}. A valve slams shut, and the pressure jumps by {jumped}. **How much of the "
            "rating is left at the top of the jump?**",
            before=(before, "pressure"),
            rating=(rating, "pressure"),
            jumped=(jumped, "pressure"),
        ),
        answer=answer,
        kind="pressure",
        slips=(
            Slip(
                name="forgot what was there before",
                values=(rating - jumped,),
                hint=phrase("The jump comes *on top* of the pressure that was there before."),
            ),
            Slip(
                name="forgot the jump",
                values=(rating - before,),
                hint=phrase("That is the margin of a calm day. The jump takes its share."),
            ),
            Slip(
                name="the peak itself",
                values=(before + jumped,),
                hint=phrase("That is the peak. How far does it stay under the rating?"),
            ),
        ),
        hints=(
            phrase("First the peak: what was there, and the jump on top."),
            phrase(
                "The peak is {peak}, and the rating {rating}.",
                peak=(before + jumped, "pressure"),
                rating=(rating, "pressure"),
            ),
        ),
        reason=phrase(
            "{before} and {jumped} make {peak}. Ratings hold for cool water: a warm pipe in the "
            "sun bears less.",
            before=(before, "pressure"),
            jumped=(jumped, "pressure"),
            peak=(before + jumped, "pressure"),
        ),
    )


_ROUNDS = {
    "normal": phrase("That is normal: the float closes bit by bit. Leave it alone."),
    "leak": phrase("Water gets away somewhere, past the float or out of the line. Look for it."),
    "cut-out": phrase("Cut-out is too low: raise it."),
}


def rounds(name: str, *, stops: int, quiet_after: bool, since_shut: int = 0) -> ChoiceQuestion:
    """Ask what rounds of the pump mean; the run says how many, and whether it rests afterwards.

    Parameters
    ----------
    name : str
        Name of the question.
    stops : int
        How often the pump stopped until all was quiet, or in the hour that was watched.
    quiet_after : bool
        Whether it rested once the float was shut.
    since_shut : int
        How often it came back after the float was shut.
    """
    right = "normal" if quiet_after else "leak"
    seen = (
        "The trough fills up. While the float closes, the pump has stopped {stops} times in all. "
        "Then the float is shut, and the pump rests for the rest of the hour, though the sun is "
        "strong. **What do you make of it?**"
        if quiet_after
        else "The trough fills up and the float shuts. No stock is near. In the hour after, the "
        "pump comes back {stops} times, each time for a short while. **What do you make of it?**"
    )
    said = {
        "normal": phrase(
            "Yes. While the float throttles, the trough takes less than the pump gives, so the "
            "switch trips, and the trickle brings the pressure down again. It ended by itself."
        )
        if right == "normal"
        else phrase("With the float shut, nothing takes water. So why does the pressure fall?"),
        "leak": phrase("A leak would go on with the float shut. When did the rounds end?")
        if right == "normal"
        else phrase(
            "Yes. A shut line that is tight keeps its pressure. This one loses it, again and again."
        ),
        "cut-out": phrase(
            "A higher cut-out makes the rounds a little longer. Look at what the float did, and "
            "whether the rounds ended."
        ),
    }
    return ChoiceQuestion(
        name=name,
        ask=phrase(seen, stops=(float(stops if quiet_after else since_shut), "count")),
        options=tuple(
            Option(
                words=words,
                said=said[key],
                is_right=key == right,
                slip="" if key == right else f"{key} for {right}",
            )
            for key, words in _ROUNDS.items()
        ),
    )

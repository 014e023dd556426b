"""What is said on the page of the commissioning rig, in the units that the learner reads."""

from typing import TYPE_CHECKING, Final

from labkit.advice.rules import PER_TURN, PER_TURN_OF_DIFFERENTIAL, PRESET
from labkit.questions import Amount, Phrase
from labkit.rigs import PRICES
from labkit.units import si
from labkit.view.drill_words import way_to
from labkit.view.telling import filled, written_amount
from labkit.view.window_told import setting_lines
from labkit.view.words import WORDS

if TYPE_CHECKING:
    from labkit.rigs import Entry, Handover, Hint, Rig

RIG_WORDS: Final[dict[str, str]] = {
    "come": "Come to the line",
    "story": "“{title}” is new: the water stands {lift} down in the well, the farthest trough is "
    "{way} of pipe away and {rise} above the gauge. The label of the switch says {low} and "
    "{high}; no two springs are alike. One turn of the range screw moves cut-in by about "
    "{per_low} and cut-out by about {per_high}; out is lower.{nut}{tank} A helper with a radio "
    "stands at the float. The troughs were filled a quarter by hand, and no stock come today.",
    "nut": " One turn of the small nut moves cut-out alone by about {per_nut}; in is higher.",
    "tank": " The tank's air is at {air}.",
    "goal": "Set the switch so that the pump stops in any sun from {least} up, and never while a "
    "trough fills. When you hand the line over, two days of stock run on it, one clear and one "
    "hazy, and you get points.",
    "rules": "How the points come about",
    # things to do
    "always shut": "Hold the float at {where} up ({minutes} min)",
    "always open": "Push the float at {where} down ({minutes} min)",
    "floats": "Let the float at {where} go ({minutes} min)",
    "by": "Turn by",
    "quarter": "1/4 turn",
    "half": "1/2 turn",
    "whole": "1 turn",
    "double": "2 turns",
    "screw out": "Range screw out, lower ({minutes} min)",
    "screw in": "Range screw in, higher ({minutes} min)",
    "nut out": "Small nut out, cut-out lower ({minutes} min)",
    "nut in": "Small nut in, cut-out higher ({minutes} min)",
    "wait": "Wait {minutes} min",
    "meter": "Meter the contact ({minutes} min)",
    "cloth on": "Hang the shade cloth over the array ({minutes} min)",
    "cloth off": "Take the shade cloth off ({minutes} min)",
    "air to": "Air of the empty tank",
    "air": "Drain the tank and set its air ({minutes} min)",
    "hint": "I am stuck: a hint",
    "hand over": "Hand the line over",
    # what was done
    "did come": "Came to the line",
    "did wait": "Waited {minutes} min",
    "did meter": "Metered the contact",
    "did float always shut": "Held the float at {where} up",
    "did float always open": "Pushed the float at {where} down",
    "did float floats": "Let the float at {where} go",
    "did screw": "Range screw {turns}",
    "did nut": "Small nut {turns}",
    "did cloth on": "Hung the shade cloth",
    "did cloth off": "Took the shade cloth off",
    "did air": "Set the tank's air to {pressure}",
    "out": "{turns} out",
    "in": "{turns} in",
    # what was heard and read
    "switch trips": "the switch clicks over at {gauge}",
    "switch resets": "the switch clicks back at {gauge}",
    "pump starts": "the pump starts",
    "pump stops": "the pump stops",
    "more": "and {count} more",
    "nothing": "nothing",
    "read": "The gauge shows {gauge}; the pump {pump}; the sun gives {sun}.",
    "contact": " The contact is {contact}.",
    "now": "{clock}, {minutes} min spent, settings tried: {tries}.",
    "stands": "The range screw stands {turns} of where it came. Float at {floats}.{cloth}",
    "stands as it came": "The range screw stands as it came. Float at {floats}.{cloth}",
    "nut stands": " Small nut {turns}.",
    "one float": "{where}: {held}, water {level} deep",
    "held always shut": "held up",
    "held always open": "pushed down",
    "held floats": "free",
    "cloth hangs": " The shade cloth hangs.",
    "picture": "A pressure gauge at the manifold. {read}",
    "log": "What you did",
    "when": "Time",
    "did": "Done",
    "heard": "Heard meanwhile",
    "gauge": "Gauge",
    "pump": "Pump",
    "sun": "Sun",
    "contact head": "Contact",
    # hints
    "no stop in this sun": "Every float is shut and the pump pushes, but in this sun the gauge "
    "ends at {now}, and the contact has not closed: cut-out lies higher. The strongest sun would "
    "bring it to {most}, so at noon it may stop. In haze it would push all day.",
    "never trips": "Every float is shut and the pump pushes, but the gauge ends at {now} here and "
    "at {most} in the strongest sun. Cut-out lies over both: no sun will ever close the contact.",
    "still climbing": "Every float is shut and the gauge still climbs: in this sun it would end "
    "at {now} if nothing stopped the pump. Wait a minute and read again.",
    "weak sun": "The pump stands for want of sun, not because the switch told it to. Wait for the "
    "cloud to pass.",
    "under the cloth": "The pump stands for want of sun, not because the switch told it to. Cloud "
    "and cloth together are too much: wait for the cloud to pass, or take the cloth off.",
    "dark": "The sun is down, and the pump with it: nothing can be tried before morning. Hand the "
    "line over as it stands, or come to it anew with your number and the button at the top.",
    "locked": "The drive has locked itself out to save the pump. It waits until the sun is gone.",
    "over rating": "Careful: cut-out stands over what the line may see, {limit} at the gauge; "
    "{where} sets that. Turn the screw out before you go on.",
    "over torque": "Careful: past {limit} the pump pushes too hard and the drive locks itself out. "
    "Turn the screw out before you go on.",
    "holds": "The switch has tripped and every float is shut: so it should be. Now push the float "
    "down, listen for the click, and note the gauge: that is cut-in. Then the same in haze.",
    "holds in haze": "The switch has tripped in haze with every float shut: that is what you want. "
    "Now the cloth off and the float down: listen for the click, and note the gauge: that is "
    "cut-in.",
    "holds from before": "The switch tripped before the cloth hung, and the check valve has held "
    "the pressure since: the haze has not been tried yet. Push the float down until the pump comes "
    "back, then hold it up again.",
    "comes back while full": "The switch clicked back at {now} though every float was shut, so "
    "water gets away somewhere: check valve, float seat or line. No screw cures that. Find the "
    "leak first, then set the switch.",
    "stuck off": "The float at {where} is open and calls, but standing water alone holds the gauge "
    "at {static}: it falls no further, and cut-in lies lower. The pump never comes back like this.",
    "false stop": "The switch tripped at {running} while water still ran to {where}. Cut-out lies "
    "too near to the pressure at which the line runs.",
    "still falling": "The float at {where} is open and the gauge still falls. Wait a minute and "
    "listen for the click: that is cut-in.",
    "air over cut-in": "The tank's air stands at {air}, over cut-in: the tank is empty before the "
    "pump comes back. Charge it {under} under the cut-in that you found.",
    "fills": "The pump runs and water flows: the gauge shows {running}. In full sun this is the "
    "least that cut-out must lie above. Now hold the float up and see whether the contact closes.",
    "fills several": "The pump runs and water flows to several floats at once: the gauge shows "
    "{running}. Hold all of them up but one, in full sun, and try them in turn: cut-out must lie "
    "above the highest of those readings.",
    "fills in haze": "The pump runs under the cloth at {running}. Now hold the float up: where "
    "does the gauge end in this sun? Cut-out must lie under that.",
    # the end
    "clear day": "On the clear day",
    "hazy day": "On the hazy day",
    "left": "You left it at {cut_in} and {cut_out}.",
    "advice": "What the window of this line recommends, for a switch as its label says:",
    "past": "A limit is passed by {past}. Go on: find out which, and turn.",
    "not turned": "{problem} It was left as it stood.",
    "air stands": " Air of the tank: {air}.",
    "part": "Part",
    "points": "Points",
    "of": "of",
    "why": "How they come about",
    "all": "All together",
    "sound": "Sound. Write the setting and the date inside the cover of the switch.",
    "not sound": "Not yet: the stock would run dry, or the pump would wear itself out.",
}
"""Phrases of the rig, keyed as in `labkit.view.words`."""

_FRACTIONS: Final = ("", "1/4", "1/2", "3/4")
_MOST_HEARD: Final = 4


def story(rig: "Rig", system: str) -> list[str]:
    """Tell the line and what is to be done."""
    site, words = rig.window.site, RIG_WORDS
    far = max(site.troughs, key=lambda trough: way_to(site, trough.name))
    nut = words["nut"] if rig.has_nut else ""
    tank = words["tank"] if site.pressure_tank is not None else ""
    told = words["story"].replace("{nut}", nut).replace("{tank}", tank)
    amounts = {
        "lift": Amount(si(site.well.static_level), "length"),
        "way": Amount(way_to(site, far.name), "length"),
        "rise": Amount(site.elevation(far.name), "length"),
        "low": Amount(PRESET[0], "pressure"),
        "high": Amount(PRESET[1], "pressure"),
        "per_low": Amount(PER_TURN[0], "pressure"),
        "per_high": Amount(PER_TURN[1], "pressure"),
        "per_nut": Amount(PER_TURN_OF_DIFFERENTIAL, "pressure"),
        "air": Amount(
            0.0 if site.pressure_tank is None else si(site.pressure_tank.precharge), "pressure"
        ),
    }
    named = {key: value for key, value in amounts.items() if f"{{{key}}}" in told}
    least = Amount(rig.window.sun.least, "irradiance")
    return [
        filled(Phrase(told, {"title": site.title, **named}), system),
        filled(Phrase(words["goal"], {"least": least}), system),
    ]


def price(key: str) -> str:
    """Write what a thing costs in minutes."""
    return f"{PRICES[key]:g}"


def turns_words(quarters: int) -> str:
    """Write quarter turns with their direction, such as ``"3 1/2 turns out"``; out counts up."""
    whole, rest = divmod(abs(quarters), 4)
    count = " ".join(part for part in (str(whole) if whole else "", _FRACTIONS[rest]) if part)
    turns = f"{count or '0'} turn{'' if abs(quarters) <= 4 else 's'}"
    return RIG_WORDS["out" if quarters >= 0 else "in"].format(turns=turns)


def done(entry: "Entry", system: str) -> str:
    """Say what was done."""
    if entry.key in ("float", "cloth"):
        return RIG_WORDS[f"did {entry.key} {entry.state}"].format(where=f"“{entry.where}”")
    quarters = round(entry.amount)
    return RIG_WORDS[f"did {entry.key}"].format(
        minutes=f"{entry.amount:g}",
        turns=turns_words(-quarters if entry.key == "nut" else quarters),
        pressure=written_amount(Amount(entry.amount, "pressure"), system),
    )


def heard(entry: "Entry", system: str) -> str:
    """Say what was heard meanwhile; no more than a few things of it."""
    said = [
        RIG_WORDS[one.kind].format(gauge=value_words(one.gauge.value, "pressure", system))
        for one in entry.heard
    ]
    if len(said) > _MOST_HEARD:
        said = [*said[:_MOST_HEARD], RIG_WORDS["more"].format(count=len(said) - _MOST_HEARD)]
    return "; ".join(said) or RIG_WORDS["nothing"]


def value_words(value: float | str, kind: str, system: str) -> str:
    """Write something read."""
    return value if isinstance(value, str) else written_amount(Amount(value, kind), system)


def read_words(entry: "Entry", system: str) -> dict[str, str]:
    """Write everything that was read, by its name."""
    return {one.name: value_words(one.value, one.kind, system) for one in entry.values}


def sentence(entry: "Entry", system: str) -> str:
    """Say what was read at last."""
    read = read_words(entry, system)
    contact = RIG_WORDS["contact"].format(**read) if "contact" in read else ""
    return RIG_WORDS["read"].format(**read) + contact


def stands(rig: "Rig", system: str) -> str:
    """Say how screw, floats and cloth stand."""
    floats = "; ".join(
        RIG_WORDS["one float"].format(
            where=f"“{trough.name}”",
            held=RIG_WORDS[f"held {rig.position(trough.name)}"],
            level=written_amount(
                Amount(float(rig.trace.level[trough.name][-1]), "small length"), system
            ),
        )
        for trough in rig.site.troughs
    )
    key = "stands" if rig.screw.quarters else "stands as it came"
    said = RIG_WORDS[key].format(
        turns=turns_words(rig.screw.quarters),
        floats=floats,
        cloth=RIG_WORDS["cloth hangs"] if rig.is_shaded else "",
    )
    if rig.air is not None:
        air = written_amount(Amount(rig.air, "pressure"), system)
        said += RIG_WORDS["air stands"].format(air=air)
    if rig.screw.nut:
        said += RIG_WORDS["nut stands"].format(turns=turns_words(-rig.screw.nut))
    return said


def hint_words(told: "Hint", system: str) -> str:
    """Say a hint."""
    amounts = {one.name: Amount(one.value, "pressure") for one in told.pressures}
    words = RIG_WORDS[told.key]
    where = {"where": f"“{told.where}”"} if "{where}" in words else {}
    named = {key: value for key, value in amounts.items() if f"{{{key}}}" in words}
    return filled(Phrase(words, {**named, **where}), system)


def left_lines(rig: "Rig", left: "Handover", system: str) -> list[str]:
    """Say how two days of stock went, and what room the setting has."""

    def p(pressure: float) -> str:
        return written_amount(Amount(pressure, "pressure"), system)

    lines = [
        f"{RIG_WORDS[day]}: {WORDS[verdict][:1].lower()}{WORDS[verdict][1:]}"
        for day, verdict in zip(("clear day", "hazy day"), left.verdicts, strict=True)
    ]
    if left.margin < 0.0:
        return [*lines, RIG_WORDS["past"].format(past=p(-left.margin))]
    lines.append(RIG_WORDS["left"].format(cut_in=p(left.cut_in), cut_out=p(left.cut_out)))
    if not left.is_sound:
        return lines
    return [*lines, RIG_WORDS["advice"], *setting_lines(rig.window, system)]

"""A diagnosis in words and as a picture: what fits, what is ruled out, what to test next."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING, Final

from matplotlib.figure import Figure

from labkit.diagnosis import NONE_OF_THESE, READINGS, SOUND, TESTS
from labkit.diagnosis.reasoning import EXCLUDED
from labkit.diagnosis.visit import after_a_stop
from labkit.faults import FAULTS
from labkit.figures.style import INK
from labkit.language import say
from labkit.parts import DisplacementPump
from labkit.text import as_id, has_sentence, speaker
from labkit.units import displayed, unit_label
from labkit.units.customary import HOUR

if TYPE_CHECKING:
    from collections.abc import Sequence

    from labkit.diagnosis import Cause, Diagnosis
    from labkit.diagnosis.logger import Log
    from labkit.diagnosis.weighing import NextTest
    from labkit.site import Site

_say = speaker("diagnosis")

SURE: Final = 0.9  # chance from which a repair is named (judgement)

_ALSO: Final = 3
_USEFUL: Final = 0.01
_SURELY: Final = 0.99


def reading_label(key: str, trough: str = "") -> str:
    """Return what stands at the question for a reading."""
    return _say(f"reading-{as_id(key)}", trough=trough)


def diagnosis_lines(found: Diagnosis, sun: str) -> list[str]:
    """Return a diagnosis as lines of text, with the sun as it was told."""
    lines = [
        _say("title", site=found.site.title),
        _say("conditions", trough=found.trough, sun=sun),
        "",
    ]
    if not found.read:
        lines.append(_say("no-readings"))
    else:
        lines += _what_fits(found)
    return [*lines, "", *_next(found), "", _say("ranges")]


def _what_fits(found: Diagnosis) -> list[str]:
    """Return what fits the readings, and what they rule out."""
    listed = [f"  {_cause(cause)}" for cause in found.open]
    return [_say("likely"), *listed, *after_causes(found)]


def after_causes(found: Diagnosis) -> list[str]:
    """Return what follows the list of causes: pairs, what is ruled out, what to do."""
    lines = []
    if found.pairs:
        names = ", ".join(key for key, _ in found.pairs)
        lines.append(_say("pairs", names=names))
    out = [_name(one.key) for one in found.causes if one.chance < EXCLUDED]
    if out:
        lines.append(_say("excluded", count=len(out), names=", ".join(out)))
    if not found.fits:
        lines += ["", _say("misfit"), _odd(found)]
    elif found.causes[0].chance >= SURE and found.causes[0].key in FAULTS:
        fault = FAULTS[found.causes[0].key]
        told = [fault.alike_words] if fault.alike else []
        lines += ["", _say("repair", repair=fault.repair), *told, fault.caution]
    elif len(found.open) > 1:
        lines += ["", _say("unsure")]
    return lines


def cause_rows(found: Diagnosis) -> list[tuple[str, float, str, str]]:
    """Return each open cause: its chance in words and as a share, its name, and a few words."""
    return [(_chance(one.chance), one.chance, _name(one.key), _brief(one)) for one in found.open]


def _name(key: str) -> str:
    """Return a cause's name."""
    return {SOUND: _say("sound"), NONE_OF_THESE: _say("none")}.get(key) or (
        FAULTS[key].name if key in FAULTS else key
    )


def _cause(cause: Cause) -> str:
    """Return a cause with its chance and its place."""
    chance, brief = _chance(cause.chance), _brief(cause)
    return _say("cause", chance=chance, name=_name(cause.key), brief=brief)


def _brief(cause: Cause) -> str:
    """Return what follows a cause's name: what is wrong, and where."""
    if cause.key in (SOUND, NONE_OF_THESE):
        return _say("sound-brief" if cause.key == SOUND else "none-brief")
    return ": " + ", ".join([FAULTS[cause.key].brief, *_where(cause)])


def _where(cause: Cause) -> list[str]:
    """Return where a cause sits, if it has places."""
    placed = [(where, chance) for where, chance in cause.places if where]
    if not placed:
        return []
    where, chance = placed[0]
    share = chance / sum(each for _, each in placed)
    if len(placed) == 1 or share > _SURELY:
        return [_say("place-at", place=where)]
    return [_say("place-most", place=where, chance=_chance(share))]


def _chance(chance: float) -> str:
    """Return a chance in whole percents, never as certain."""
    return "99%+" if chance > _SURELY else f"{max(round(100.0 * chance), 1)}%"


def _odd(found: Diagnosis) -> str:
    """Return which readings are at odds with the others."""
    if not found.odd:
        return _say("odd-all")
    names = "; ".join(reading_label(key, where or found.trough) for key, where in found.odd)
    return _say("odd", count=len(found.odd), names=names)


def _next(found: Diagnosis) -> list[str]:
    """Return the test that tells most, how it is done, and its caution."""
    useful = useful_tests(found)
    if not useful:
        return [_say("settled")] if found.fits else []
    return [_say("next"), *(f"  {line}" for line in test_lines(found, useful))]


def test_lines(found: Diagnosis, useful: Sequence[NextTest]) -> list[str]:
    """Return how the first of some tests is done, its caution, and which come after it."""
    first, *others = useful
    how = _say(f"test-{as_id(first.key)}.how", trough=first.where or found.trough)
    minutes, name = round(first.minutes), _test_name(first)
    lines = [_say("next-row", minutes=minutes, name=name, how=how), *_caution(first, found.site)]
    also = ", ".join(_test_name(test) for test in others[:_ALSO])
    return [*lines, _say("next-also", names=also)] if also else lines


def useful_tests(found: Diagnosis) -> list[NextTest]:
    """Return the tests that still tell something, the best first; none once it is settled."""
    if not found.fits or found.causes[0].chance > _SURELY:
        return []
    return [test for test in found.next_tests if test.bits >= _USEFUL]


def _test_name(test: NextTest) -> str:
    """Return a test's name, with its trough."""
    name = _say(f"test-{as_id(test.key)}", trough=test.where)
    return f"{name} {_say('place-at', place=test.where)}" if test.where else name


def _caution(test: NextTest, site: Site) -> list[str]:
    """Return what can hurt in a test; some cautions are for one kind of pump only."""
    is_spared = test.key == "stop" and not isinstance(site.pump, DisplacementPump)
    caution = f"test-{as_id(test.key)}.caution"
    return [] if is_spared or not has_sentence("diagnosis", caution) else [_say(caution)]


def questions(site: Site, trough: str) -> list[tuple[str, str]]:
    """Return the questions that a line's owner is asked: (reading, words)."""
    asked = [key for test in TESTS.values() if test.needs(site) for key in test.reads]
    return [
        (key, _say("ask", label=reading_label(key, trough), choices=_choices(key))) for key in asked
    ]


def _choices(key: str) -> str:
    """Return the words or the unit that a reading is answered with."""
    reading = READINGS[key]
    if reading.words:
        return f" ({', '.join(shown for _, shown in reading.choices)})"
    also = f", {_say('no-start')}" if key == "stop to start" else ""
    return f" ({unit_label(reading.kind, 'US')}{also})"


def log_lines(log: Log, units: str = "US") -> list[str]:
    """Return what a logger's table says."""
    tops, lows = log.turns()
    read = log.readings()
    if not read:
        return [_say("log-empty")]
    waits = [
        float(log.time[low] - log.time[top])
        for top in tops
        for low in [min((low for low in lows if low > top), default=0)]
        if low
    ]
    waits.sort()
    return [
        _say(
            "log-found",
            stops=len(tops),
            hours=f"{float(log.time[-1]) / HOUR:.1f}",
            top=say(float(log.pressure[tops].mean()), "pressure", units),
            low=say(float(log.pressure[lows].mean()), "pressure", units),
            wait=_say("log-wait", wait=say(waits[len(waits) // 2], "time", units)),
        ),
        _say("log-stock"),
    ]


def log_png(found: Diagnosis, log: Log, units: str = "US") -> bytes:
    """Return a picture of a log over what is computed for the sound line and for the likeliest."""
    tops, _ = log.turns()
    start = tops[0] if tops else 0
    lasts = max(float(log.time[-1] - log.time[start]), 60.0)
    figure = Figure(figsize=(8.0, 4.0), layout="constrained")
    axes = figure.add_subplot(
        title=_say("picture-title"),
        xlabel=_say("picture-time"),
        ylabel=_say("picture-pressure", unit=unit_label("pressure", units)),
    )
    late = slice(start, None)
    axes.plot(
        (log.time[late] - log.time[start]) / 60.0,
        displayed(log.pressure[late], "pressure", units),
        color=INK, linewidth=2.2, label=_say("picture-log"),
    )  # fmt: skip
    lines = [(found.site, f"{found.best.sun:.1f} W/m^2", _say("picture-sound"), ":")]
    if found.best.case.faults:
        name = _say("picture-cause", name=found.best.case.key)
        lines.append((found.best.line, f"{found.best.sun:.1f} W/m^2", name, "--"))
    for site, sun, label, dash in lines:
        run = after_a_stop(site, found.trough, sun=sun, lasts=min(lasts, 6.0 * HOUR))
        if run is not None:
            axes.plot(
                run[0] / 60.0, displayed(run[1], "pressure", units), linestyle=dash, label=label
            )
    axes.legend()
    axes.set_ylim(bottom=0.0)
    out = BytesIO()
    figure.savefig(out, format="png", dpi=130)
    return out.getvalue()

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
        causes = [
            _say("cause", chance=chance, name=name, brief=brief)
            for chance, _, name, brief in cause_rows(found)
        ]
        lines += [_say("likely"), *(f"  {cause}" for cause in causes), *after_causes(found)]
    useful = useful_tests(found)
    if useful:
        lines += ["", _say("next"), *(f"  {line}" for line in test_lines(found, useful))]
    else:
        lines += ["", *([_say("settled")] if found.fits else [])]
    return [*lines, "", _say("ranges")]


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
        names = "; ".join(reading_label(key, where or found.trough) for key, where in found.odd)
        odd = _say("odd", count=len(found.odd), names=names) if found.odd else _say("odd-all")
        lines += ["", _say("misfit"), odd]
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
    return {SOUND: _say("sound"), NONE_OF_THESE: _say("none")}.get(key) or (
        FAULTS[key].name if key in FAULTS else key
    )


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


def test_lines(found: Diagnosis, useful: Sequence[NextTest]) -> list[str]:
    """Return how the first of some tests is done, its caution, and which come after it."""
    first, *others = useful
    how = _say(f"test-{as_id(first.key)}.how", trough=first.where or found.trough)
    minutes, name = round(first.minutes), _test_name(first)
    lines = [_say("next-row", minutes=minutes, name=name, how=how)]
    caution = f"test-{as_id(first.key)}.caution"
    is_spared = first.key == "stop" and not isinstance(found.site.pump, DisplacementPump)
    if has_sentence("diagnosis", caution) and not is_spared:
        lines.append(_say(caution))
    also = ", ".join(_test_name(test) for test in others[:_ALSO])
    return [*lines, _say("next-also", names=also)] if also else lines


def useful_tests(found: Diagnosis) -> list[NextTest]:
    """Return the tests that still tell something, the best first; none once it is settled."""
    if not found.fits or found.causes[0].chance > _SURELY:
        return []
    return [test for test in found.next_tests if test.bits >= _USEFUL]


def _test_name(test: NextTest) -> str:
    name = _say(f"test-{as_id(test.key)}", trough=test.where)
    return f"{name} {_say('place-at', place=test.where)}" if test.where else name


def questions(site: Site, trough: str) -> list[tuple[str, str]]:
    """Return the questions that a line's owner is asked: (reading, words)."""
    asked = []
    for key in (key for test in TESTS.values() if test.needs(site) for key in test.reads):
        reading = READINGS[key]
        also = f", {_say('no-start')}" if key == "stop to start" else ""
        choices = ", ".join(shown for _, shown in reading.choices) if reading.words else ""
        choices = choices or f"{unit_label(reading.kind, 'US')}{also}"
        label = reading_label(key, trough)
        asked.append((key, _say("ask", label=label, choices=f" ({choices})")))
    return asked


def log_lines(log: Log, units: str = "US") -> list[str]:
    """Return what a logger's table says."""
    tops, lows = log.turns()
    read = log.readings()
    if not read:
        return [_say("log-empty")]
    waits = sorted(
        float(log.time[low] - log.time[top])
        for top in tops
        if (low := min((low for low in lows if low > top), default=0))
    )
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

"""A technician who knows the trade and nothing but the readings, and one who does not care."""

from typing import TYPE_CHECKING

from labkit.rigs import Rig

if TYPE_CHECKING:
    from labkit.drills import Value

PSI = 6894.757
FACTORY = (30.0, 50.0)
PER_TURN = (3.5, 4.5)


def read(rig: Rig, name: str = "gauge") -> float:
    """Give what the last line of the log says, in psi or as it stands."""
    value = next(one for one in rig.log[-1].values if one.name == name).value
    assert not isinstance(value, str)
    return value / PSI if name == "gauge" else value


def word(rig: Rig, name: str) -> str:
    (found,) = (one.value for one in rig.log[-1].values if one.name == name)
    assert isinstance(found, str)
    return found


def clicks(rig: Rig, kind: str) -> list[float]:
    """Give the gauge at each click of the switch that was heard so far, in psi."""
    found: list[Value] = [one.gauge for entry in rig.log for one in entry.heard if one.kind == kind]
    return [float(value.value) / PSI for value in found]


def up(rig: Rig) -> Rig:
    for trough in rig.site.troughs:
        rig = rig.hold(trough.name, "always shut")
    return rig


def until(rig: Rig, least: float, most: float = 1200.0) -> Rig:
    """Wait for a sun [W/m2], as one waits for a cloud to pass."""
    for _ in range(30):
        if rig.log and least <= read(rig, "sun") <= most:
            return rig
        rig = rig.wait(2.0)
    raise AssertionError("no such sun came")


def by_the_book(rig: Rig) -> Rig:
    """Running pressure, haze, float up, one setting; then cut-in, air, and the stop once more."""
    (trough,) = rig.site.troughs
    rig = until(rig.hold(trough.name, "always open"), 820.0)
    floor = read(rig)
    rig = until(up(rig.shade(on=True)), 240.0, 340.0).wait(2.0)
    ceiling = read(rig)
    assert not clicks(rig, "switch trips"), "the factory setting does not stop in haze"
    wanted = 0.5 * (floor + ceiling)
    rig = rig.turn(round(4.0 * (FACTORY[1] - wanted) / PER_TURN[1])).meter()
    assert word(rig, "contact") == "closed"
    rig = until(rig.shade(on=False).hold(trough.name, "always open"), 700.0)
    assert word(rig, "pump") == "runs"
    back = clicks(rig, "switch resets")[-1]
    rig = up(rig.set_air((back - 2.0) * PSI))
    assert word(rig, "pump") == "stands still"
    return rig.hold(trough.name, "floats")

"""Contact against drive: who is told to stop when, as the engine's own wiring has it."""

from typing import Final

import attrs
import numpy as np

from labkit.engine.memory import SWITCHED, fresh_memory
from labkit.engine.plant import plant_of
from labkit.engine.signals import loop_closed
from labkit.parts import Drive
from labkit.site import Site

ACTIONS: Final = ("closes on rise", "opens on rise")  # what a switch's contact may do when it trips
KINDS: Final = ("solar", "mains")  # kinds of drive

WORKS: Final = "works"
NEVER_STARTS: Final = "never starts"
NEVER_STOPS: Final = "never stops"


@attrs.frozen(kw_only=True)
class Heard:
    """What a drive hears of its pressure switch."""

    stop_when: str  # state of the loop that tells the drive to stop, "closed" or "open"
    # state of the loop at the drive, "closed" or "open", while the switch is reset (pressure low)
    # and while it is tripped (pressure high)
    reset: str
    tripped: str

    @property
    def outcome(self) -> str:
        """What comes of it: "works", "never starts" or "never stops"."""
        if self.reset == self.stop_when:
            return NEVER_STARTS  # with the line low it is told to stay off
        return WORKS if self.tripped == self.stop_when else NEVER_STOPS


def heard(site: Site) -> Heard:
    """Say what a site's drive hears of its pressure switch, wire and contact as they are."""
    plant, _ = plant_of(site)
    memory = fresh_memory(
        np.zeros(plant.nodes.size), np.zeros(plant.troughs.size), plant.sensors.size
    )
    states = []
    for position in (0, 1):
        memory.whole[SWITCHED] = position
        states.append("closed" if loop_closed(plant, memory) else "open")
    return Heard(stop_when=site.drive.stop_when, reset=states[0], tripped=states[1])


def drive_of(site: Site, kind: str) -> Drive:
    """Return a drive of a kind: the site's own, or an ordinary one."""
    return site.drive if site.drive.kind == kind else Drive(kind=kind)


def stop_table(site: Site) -> dict[tuple[str, str], Heard]:
    """Say, for each action of the switch and each kind of drive, what the drive would hear."""
    return {
        (action, kind): heard(
            site.changed({"switch.action": action, "drive": drive_of(site, kind)})
        )
        for action in ACTIONS
        for kind in KINDS
    }

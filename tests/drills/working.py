"""Drills made for tests: a known fault hidden on a known ranch."""

from labkit.drills import Drill
from labkit.drills.signature import Placed, scene_of
from labkit.site import Site


def placed(key: str, size: str = "", where: str = "") -> tuple[Placed, ...]:
    return (Placed(key=key, size=size, where=where),)


CHECK = placed("bad check valve", "0.3 gpm at 30 psi")
LEAK = placed("buried leak", "0.3 gpm at 30 psi", "notch")


def drill_with(site: Site, hidden: tuple[Placed, ...]) -> Drill:
    scene = scene_of(site, hidden)
    return Drill(site=site, number=1, hidden=hidden, complaints=("It cycles.",), met=scene)

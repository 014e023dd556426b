"""A place with an array, as far as the sun needs a site."""

from collections.abc import Callable
from pathlib import Path

import attrs
import pytest

from labkit.parts import Array, Place


@attrs.frozen(kw_only=True)
class Ranch:
    """What the sun asks of a site."""

    place: Place
    array: Array


MakeRanch = Callable[..., Ranch]


@pytest.fixture(scope="session")
def ranch() -> MakeRanch:
    """Build a place with an array; plains of Colorado and a level array unless told otherwise."""

    def build(
        *,
        latitude: str = "40 deg",
        longitude: str = "-105 deg",
        elevation: str = "1600 m",
        air: str = "25 degC",
        tilt: str = "0 deg",
        faces: str = "south",
    ) -> Ranch:
        place = Place(
            latitude=latitude, longitude=longitude, elevation=elevation, air_temperature=air
        )
        return Ranch(
            place=place, array=Array(rated_power="1000 W", tilt=tilt, faces=faces, derate=1.0)
        )

    return build


@pytest.fixture(scope="session")
def days() -> Path:
    """Folder of the measured days."""
    return Path(__file__).parents[2] / "lessons" / "sun"

"""A radio from a far trough to the well: whether the hills and the distance leave it enough.

Symbols: d distance [m], d1 and d2 its parts before and beyond a point, f frequency [Hz], h height
of the ground above the straight ray [m], nu the diffraction parameter [-].
"""

from collections.abc import Sequence
from math import inf, log10, pi, sqrt
from typing import ClassVar, Final, Literal, TypeAlias

import attrs
import numpy as np

from labkit.advice.asked import asked
from labkit.arrays import Floats
from labkit.errors import SiteError
from labkit.parts import fields as f
from labkit.units import Quantity, quantity

SPEED_OF_LIGHT: Final = 299_792_458.0  # exact [m/s] (SI Brochure, 9th edition)

EARTH_RADIUS: Final = 6_371_000.0
"""Mean radius of the earth [m]; ITU-R P.526 reckons with 8,500 km for four thirds of it."""

BENDING: Final = 4.0 / 3.0
"""Factor on the earth's radius for the way ordinary air bends a ray (ITU-R P.453, P.526)."""

NO_LOSS_BELOW: Final = -0.78
"""Diffraction parameter up to which an edge takes nothing (ITU-R P.526, eq. 31)."""

ENOUGH_CLEARANCE: Final = 0.6
"""Share of the first Fresnel zone that should be free (ITU-R P.530, design rule)."""


def free_space_loss(d: float, f: float) -> float:
    """Loss between two isotropic antennas in free space [dB]: ``20 log10(4 pi d f / c)``.

    ITU-R P.525 prints it as ``32.4 + 20 log f/MHz + 20 log d/km``.
    """
    return 20.0 * log10(4.0 * pi * d * f / SPEED_OF_LIGHT)


def fresnel_radius(d1: float, d2: float, f: float) -> float:
    """Radius of the first Fresnel zone between two masts [m]: ``sqrt(lambda d1 d2 / d)``.

    ITU-R P.530 prints it as ``17.3 sqrt(d1 d2 / (f d))`` in m, with km and GHz.
    """
    return sqrt(SPEED_OF_LIGHT / f * d1 * d2 / (d1 + d2))


def bulge(d1: float, d2: float) -> float:
    """Height by which the round earth stands above its chord between two masts [m].

    ``d1 d2 / (2 k R)``, right while the path is short against the earth's radius.
    """
    return d1 * d2 / (2.0 * BENDING * EARTH_RADIUS)


def diffraction_parameter(h: float, d1: float, d2: float, f: float) -> float:
    """Parameter nu of an edge that stands `h` above the ray, negative below it [-].

    ``nu = h sqrt(2/lambda (1/d1 + 1/d2))``, ITU-R P.526, eq. 26; it is ``sqrt(2) h / F1``.
    """
    if d1 <= 0.0 or d2 <= 0.0:
        return inf if h > 0.0 else -inf
    return h * sqrt(2.0 * f / SPEED_OF_LIGHT * (1.0 / d1 + 1.0 / d2))


def knife_edge_loss(nu: float) -> float:
    """Loss over a single knife edge [dB].

    ``6.9 + 20 log10(sqrt((nu - 0.1)^2 + 1) + nu - 0.1)``, ITU-R P.526, eq. 31, for nu above -0.78;
    below that nothing. A real, round hill takes more.
    """
    if nu <= NO_LOSS_BELOW:
        return 0.0
    return max(6.9 + 20.0 * log10(sqrt((nu - 0.1) ** 2 + 1.0) + nu - 0.1), 0.0)


Ground: TypeAlias = Sequence[tuple[str | Quantity, str | Quantity]]
Sight: TypeAlias = Literal["clear", "brushing", "blocked"]

PATH: Final = "radio path"  # what it is called in a complaint
_SAMPLES: Final = 400  # points laid along the path between the ones given


def _megahertz(typed: str | Quantity) -> Quantity:
    return quantity(typed, "MHz")


@attrs.frozen(kw_only=True, field_transformer=f.name_errors)
class RadioGear:
    """The pair of radios and their antennas.

    Attributes
    ----------
    frequency : Quantity
        Such as ``"915 MHz"``.
    transmit_power : float
        What the sender puts out [dBm].
    antenna_gains : float
        Of both antennas together [dB over isotropic].
    cable_losses : float
        Of both cables and their plugs together [dB].
    sensitivity : float
        Weakest signal that the receiver reads [dBm].
    wanted_margin : float
        What should be left over for rain, leaves, a leaning mast and a weak battery [dB].

    Notes
    -----
    Invented round figures of a small radio in a license-free band; put in what the maker prints.
    Ten decibels of margin are common practice for a link that must hold, twenty are better.
    """

    CALLED: ClassVar = "radio gear"

    frequency: Quantity = attrs.field(
        converter=_megahertz, validator=f.between("30 MHz", "10000 MHz"), default="915 MHz"
    )
    transmit_power: float = attrs.field(
        converter=f.number, validator=f.within(-20.0, 40.0), default=14.0
    )
    antenna_gains: float = attrs.field(
        converter=f.number, validator=f.within(-20.0, 60.0), default=4.0
    )
    cable_losses: float = attrs.field(
        converter=f.number, validator=f.within(0.0, 40.0), default=2.0
    )
    sensitivity: float = attrs.field(
        converter=f.number, validator=f.within(-150.0, -30.0), default=-105.0
    )
    wanted_margin: float = attrs.field(
        converter=f.number, validator=f.within(0.0, 60.0), default=10.0
    )


@attrs.frozen(kw_only=True, eq=False)
class RadioCheck:
    """A radio path and what it leaves.

    Attributes
    ----------
    gear : RadioGear
        The radios.
    distance : ndarray, shape (n,)
        Places along the path, from the antenna at the well to that at the trough [m].
    ground : ndarray, shape (n,)
        Height of the ground there, with the bulge of the earth [m].
    ray : ndarray, shape (n,)
        Height of the straight line between the antennas [m].
    fresnel : ndarray, shape (n,)
        Radius of the first Fresnel zone around it [m].
    free_space_loss, diffraction_loss : float
        What distance takes, and the edge that stands out most [dB].
    worst : int
        Where that edge is, as a place in the arrays.
    received : float
        Signal at the receiver [dBm].
    """

    gear: RadioGear
    distance: Floats
    ground: Floats
    ray: Floats
    fresnel: Floats
    free_space_loss: float
    diffraction_loss: float
    worst: int
    received: float

    @property
    def margin(self) -> float:
        """Signal above the weakest that the receiver reads [dB]."""
        return self.received - self.gear.sensitivity

    @property
    def works(self) -> bool:
        """Whether the margin that is wanted is there."""
        return self.margin >= self.gear.wanted_margin

    @property
    def clearance(self) -> float:
        """Height of the ray above the ground at the worst place, in Fresnel radii [-]."""
        height = float(self.ray[self.worst] - self.ground[self.worst])
        return height / float(self.fresnel[self.worst])

    @property
    def sight(self) -> Sight:
        """How the ray passes: with six tenths of the Fresnel zone free, with less, or not."""
        if self.clearance >= ENOUGH_CLEARANCE:
            return "clear"
        return "brushing" if self.clearance >= 0.0 else "blocked"

    @property
    def higher_far_mast(self) -> float:
        """How much higher the antenna at the trough must go for six tenths to be free [m]."""
        inside = slice(1, None)
        lacking = (self.ground + ENOUGH_CLEARANCE * self.fresnel - self.ray)[inside]
        share = self.distance[inside] / self.distance[-1]
        return max(float((lacking[:-1] / share[:-1]).max()), 0.0)


def radio_check(
    ground: Ground,
    *,
    well_antenna: str | Quantity = "10 ft",
    trough_antenna: str | Quantity = "6 ft",
    gear: RadioGear | None = None,
) -> RadioCheck:
    """Say whether a radio carries over the ground between well and trough.

    Parameters
    ----------
    ground : sequence of pairs
        Distance and height of points on the ground, from the well to the trough, such as
        ``[("0 ft", "5200 ft"), ("2000 ft", "5260 ft"), ("4000 ft", "5190 ft")]``; straight between.
    well_antenna, trough_antenna : str or Quantity
        Heights of the antennas above the ground.
    gear : RadioGear, optional
        The radios; left out, small ones for 915 MHz.

    Returns
    -------
    RadioCheck
        Heights along the path, losses and margin.

    Raises
    ------
    SiteError
        For a ground that is none.

    Notes
    -----
    Free-space loss (ITU-R P.525) plus one knife edge (ITU-R P.526) where the ground stands highest
    against the ray, in Fresnel radii, over an earth of four thirds of its radius. It leaves out
    echoes from the ground, trees, walls and other people's radios: try the radios on the spot
    before anyone digs in a mast.
    """
    known = gear or RadioGear()
    distance, height = _sampled(*_points(ground))
    masts = [
        asked(mast, "ft", name, limits=("0 ft", "300 ft"), part=PATH)
        for name, mast in (("well_antenna", well_antenna), ("trough_antenna", trough_antenna))
    ]
    hertz = float(known.frequency.to("hertz").magnitude)
    d = float(distance[-1])
    curved = height + np.array([bulge(x, d - x) for x in distance])
    ray = np.interp(distance, [0.0, d], [height[0] + masts[0], height[-1] + masts[1]])
    fresnel = np.array([fresnel_radius(x, d - x, hertz) for x in distance])
    nu = [
        diffraction_parameter(h, x, d - x, hertz)
        for x, h in zip(distance[1:-1], (curved - ray)[1:-1], strict=True)
    ]
    spread = free_space_loss(d, hertz)
    bent = knife_edge_loss(max(nu))
    sent = known.transmit_power + known.antenna_gains - known.cable_losses
    return RadioCheck(
        gear=known,
        distance=distance,
        ground=curved,
        ray=ray,
        fresnel=fresnel,
        free_space_loss=spread,
        diffraction_loss=bent,
        worst=int(np.argmax(nu)) + 1,
        received=sent - spread - bent,
    )


def _points(ground: Ground) -> tuple[Floats, Floats]:
    """Read the ground as distances from its first point and heights [m]."""
    points = list(ground)
    if not 2 <= len(points) <= 2000:
        rule = "write 2 to 2000 points, each a distance and a height"
        raise SiteError(PATH, "number of points", len(points), rule)
    read = [
        asked(value, "ft", f"{what} of point {number}", limits=("-2000 ft", "100 mi"), part=PATH)
        for number, pair in enumerate(points, start=1)
        for what, value in zip(("distance", "height"), _pair(pair, number), strict=True)
    ]
    distance, height = np.array(read[::2]), np.array(read[1::2])
    steps = np.diff(distance)
    if (steps <= 0.0).any():
        number = int(np.argmax(steps <= 0.0)) + 2
        rule = "each point must be farther from the well than the one before"
        raise SiteError(PATH, f"distance of point {number}", points[number - 1][0], rule)
    if distance[-1] - distance[0] < 1.0:
        rule = "the path must be at least 1 m long"
        raise SiteError(PATH, "distance of the last point", points[-1][0], rule)
    return distance - distance[0], height


def _pair(pair: object, number: int) -> tuple[str | Quantity, str | Quantity]:
    """Take a point for a distance and a height."""
    if not isinstance(pair, tuple | list) or len(pair) != 2:
        raise SiteError(PATH, f"point {number}", pair, "write a distance and a height")
    return pair[0], pair[1]


def _sampled(distance: Floats, height: Floats) -> tuple[Floats, Floats]:
    """Lay points between the ones given, which stay; straight ground between."""
    grid = np.union1d(np.linspace(0.0, distance[-1], _SAMPLES + 1), distance)
    return grid, np.asarray(np.interp(grid, distance, height), dtype=np.float64)

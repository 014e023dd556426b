"""What a line's gauge reads once the pump stands and the water has run out of an open float."""

import attrs

from labkit.engine.layout import FAR_SIDE, Layout
from labkit.engine.network import Plant
from labkit.engine.plant import plant_of
from labkit.errors import SiteError
from labkit.parts import MANIFOLD
from labkit.site import Site


@attrs.frozen(kw_only=True)
class Rest:
    """The manifold's pressure with one trough's float open and the pump at rest.

    Attributes
    ----------
    pressure : float
        By the highest ground between well and trough, the trough's own height included
        [Pa gauge]. This is the number to plan by: in time every line takes in air at its highest
        place, and the column up to there stands on the gauge.
    least : float
        What it may read at first [Pa gauge]: as long as the line is airtight, the falling leg pulls
        at the crest, down to the vapour limit. The same as `pressure` where nothing lies higher
        than the trough.
    where : str
        The node that sets `pressure`: the trough, or the crest before it.
    """

    pressure: float
    least: float
    where: str


def rest(plant: Plant, layout: Layout, trough: str) -> Rest:
    """Return what the gauge reads at rest, of a plant; see `rest_pressure`."""
    z, h_least = layout.elevations, layout.h_least
    where, least = trough, max(z[trough], h_least[MANIFOLD])
    node = layout.parents[trough]
    while node in layout.parents:
        least = max(least, h_least[node])
        if z[node] > z[where] and layout.kinds[node] != FAR_SIDE:
            where = node
        node = layout.parents[node]
    return Rest(
        pressure=float(plant.weight * max(z[where], least)),
        least=float(plant.weight * least),
        where=where,
    )


def rest_pressure(site: Site, trough: str) -> Rest:
    """Return what the gauge reads once the pump stands and water has run out of a trough's float.

    Parameters
    ----------
    site : Site
        The line.
    trough : str
        The trough whose float is open; all others are shut.

    Returns
    -------
    Rest
        Where nothing lies higher than the trough, its own static head. Behind a crest, the crest's:
        the water on this side of it cannot run out. The switch's cut-in must be above it, or the
        pump never starts again.
    """
    plant, layout = plant_of(site)
    if trough not in layout.troughs:
        names = ", ".join(layout.troughs)
        raise SiteError("run", "trough", trough, f"the troughs are {names}")
    return rest(plant, layout, trough)

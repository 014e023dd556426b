"""The settings card of a site, as numbers: the page is laid out by `labkit.view.card_page`."""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING

import attrs

from labkit.advice.bisect import turning_point
from labkit.advice.curves import lay
from labkit.advice.line import Line
from labkit.advice.proving import prove
from labkit.advice.setting import set_so
from labkit.advice.telltale import telltales
from labkit.engine.fluid import water_at
from labkit.errors import Said, SiteError
from labkit.units import ureg

if TYPE_CHECKING:
    from labkit.advice.curves import HeadProfile
    from labkit.advice.proving import Proof
    from labkit.advice.setting import Setting
    from labkit.advice.telltale import Telltale
    from labkit.advice.window import Window
    from labkit.site import Site


@attrs.frozen(kw_only=True)
class Card:
    """What stands on a settings card."""

    window: Window  # the operating window of the site
    setting: Setting  # its recommended setting
    site: Site  # the line as it is set, without stock
    trough: str  # the trough whose float is worked: the one that asks for the highest cut-out
    # what the line shows in the strongest and in the weakest sun of the range
    noon: Proof
    haze: Proof
    lies: HeadProfile  # the line with the head along it at noon, that trough filling
    weight: float  # of the water [N/m3], to put pressures on the scale of heights
    # The weakest sun of the range, or under it, in which the pump still reaches cut-out with every
    # float up [W/m2]; in less it keeps running against the shut line: nothing is broken. Nothing
    # for a pump on the mains.
    stops_from: float
    telltales: tuple[Telltale, ...]  # if you see this, do that


def make_card(window: Window) -> Card:
    """Work out the card of a window.

    Raises SiteError where there is no setting to put on it, or where the line, set as recommended,
    does not stop, stay off and restart.
    """
    chosen, bound = window.recommended, window.tightest("cut-out", "above")
    if chosen is None or bound is None or bound.where is None:
        rule = "there is no setting that works; the window tells why"
        raise SiteError("settings card", "", Said("not to be had"), rule)
    trough = bound.where
    stock = {f"trough.{t.name}.herd": None for t in window.site.troughs}
    alone = {"drive.listens_to": "pressure switch"}  # proved with every level sensor's trough low
    site = set_so(window.site, chosen).changed(stock | alone)
    noon, haze = (prove(site, sun, trough) for sun in (window.sun.most, window.sun.least))
    for proof in (noon, haze):
        if not proof.is_sound:
            raise _unproved(proof)
    light = ureg.Quantity(window.sun.most, "W/m^2")
    return Card(
        window=window,
        setting=chosen,
        site=site,
        trough=trough,
        noon=noon,
        haze=haze,
        lies=lay(site, light, [trough]),
        weight=water_at(site.place).weight,
        stops_from=_stops_from(site, window.sun.least, chosen.cut_out),
        telltales=telltales(site, window, (noon, haze), trough),
    )


def _stops_from(site: Site, least: float, cut_out: float) -> float:
    """Find the weakest sun in which the pump reaches cut-out on the shut line [W/m2]."""
    line = Line.of(site)
    if not line.is_solar:
        return 0.0
    return turning_point(lambda sun: line.reach(sun) >= cut_out, 0.0, least)[1]


def _unproved(proof: Proof) -> SiteError:
    """Say what a line that is set as recommended fails to do."""
    if proof.runs_low:
        rule = (
            f"in a sun of {proof.sun:.0f} W/m² the pump draws the well down to its intake, and no "
            "setting of the switch mends that; give the well a smaller pump, or set it deeper"
        )
        return SiteError("settings card", "", Said("not to be had"), rule)
    if not proof.starts:
        fails = "does not start with a float down"
    elif proof.stops_after == inf:
        fails = "does not stop within an hour of lifting every float"
    elif proof.restarts:
        fails = "starts again with every float up"
    else:
        fails = "does not come back"
    rule = (
        f"set as recommended, in a sun of {proof.sun:.0f} W/m² the pump {fails}; look for a part "
        "that is stated as stuck, cut, shorted or leaking, or wired the wrong way"
    )
    return SiteError("settings card", "", Said("not to be had"), rule)

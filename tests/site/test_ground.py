"""The ground between the ends of a run: what a site file can say of it, and where it puts nodes."""

import pytest

import labkit as lab
from labkit.engine.layout import ground_node, leak_node
from labkit.engine.plant import make_plant
from labkit.errors import SiteError
from labkit.sitefile import demo_site, dumps, loads
from tests.customary import FOOT, PSI

HILL = [["600 ft", "30 ft"], ["1000 ft", "60 ft"], ["1200 ft", "10 ft"]]
RHO_G = 999.4 * 9.80665
"""Of water of 55 degF (tables), the demo ranches' water."""


def over(profile: object = HILL, **more: object) -> lab.Site:
    """Crooked Gate's line, 1500 ft on the flat, laid over a hill."""
    changes = {"trough.lane.pipe.profile": profile}
    changes |= {f"trough.lane.pipe.{key}": value for key, value in more.items()}
    return demo_site("one_trough").changed(changes)


def test_a_profile_and_its_vents_survive_a_file() -> None:
    site = over(vents=["1000 ft", "1500 ft"])

    text = dumps(site)

    assert loads(text) == site
    assert 'vents = [\n    "1000 ft",\n    "1500 ft",\n]' in text
    assert '"1200 ft"' in text


def test_ground_as_steep_as_its_pipe_survives_the_last_digit_of_its_feet() -> None:
    site = over([["103.15845152256124 ft", "103.15845152256134 ft"]])

    assert loads(dumps(site)) == site
    assert make_plant(site)[0] is not None


def test_a_file_without_them_does_not_speak_of_them() -> None:
    text = dumps(demo_site("three_troughs"))

    assert "profile" not in text
    assert "vents" not in text


def test_each_corner_is_a_node_at_its_height() -> None:
    _, layout = make_plant(over())

    corners = [ground_node("lane", back * FOOT) for back in (900.0, 500.0, 300.0)]
    rounded = [f"ground: {back} m before lane" for back in ("274.3", "152.4", "91.4")]
    names = [name for name in layout.names if layout.kinds[name] != "far side"]
    assert names == ["manifold", *rounded, "lane"]
    assert len(corners) == 3
    assert [layout.kinds[name] for name in names] == [
        "manifold", "ground", "ground", "ground", "trough",
    ]  # fmt: skip
    heights = [layout.elevations[name] / FOOT for name in names]
    assert heights == pytest.approx([0.0, 30.0, 60.0, 10.0, 0.0], abs=1e-9)
    out = [layout.distance[name] / FOOT for name in names]
    assert out == pytest.approx([0.0, 600.0, 1000.0, 1200.0, 1500.0], abs=0.2)


def test_a_leak_and_a_vent_on_a_slope_have_the_height_of_the_slope() -> None:
    """A quarter and a half of the way up from 30 ft to 60 ft."""
    leak = {"at": "lane", "distance": "800 ft", "size": "0.1 gpm at 30 psi"}
    site = over(vents=["800 ft"]).changed({"leaks": [leak]})

    _, layout = make_plant(site)

    vent, hole = ground_node("lane", 213.4), leak_node("lane", 243.8)
    assert layout.elevations[hole] / FOOT == pytest.approx(37.5, abs=0.02)
    assert layout.elevations[vent] / FOOT == pytest.approx(45.0, abs=0.02)
    assert layout.kinds[hole] == "leak"
    assert layout.vents == {vent}


def test_a_leak_at_a_corner_is_one_node_with_it() -> None:
    leak = {"at": "lane", "distance": "500 ft", "size": "0.1 gpm at 30 psi"}

    _, layout = make_plant(over().changed({"leaks": [leak]}))

    assert layout.names[2] == leak_node("lane", 152.4)
    assert layout.elevations[layout.names[2]] / FOOT == pytest.approx(60.0)
    assert sum(kind == "ground" for kind in layout.kinds.values()) == 2


def test_each_leg_that_falls_from_a_crest_has_a_top_of_its_own() -> None:
    """For its water may stand at another height than that of the leg before the crest."""
    _, layout = make_plant(over())

    (top,) = (name for name, kind in layout.kinds.items() if kind == "far side")
    crest, foot = ground_node("lane", 152.4), ground_node("lane", 91.4)
    assert layout.parents[top] == crest
    assert layout.parents[foot] == top
    assert layout.elevations[top] == layout.elevations[crest]
    assert layout.legs[top] == foot
    assert layout.legs[crest] == ground_node("lane", 274.3)


def test_low_ground_stays_one_node_each() -> None:
    """Less than the 28 ft that the air holds up, and no vent: no pocket can open there."""
    _, layout = make_plant(over([["1000 ft", "25 ft"]]))

    assert "far side" not in layout.kinds.values()


def test_a_vent_lets_air_into_all_of_the_line() -> None:
    """Without one the limit is the vapour's: 4300 ft up the air weighs 12.55 psi (ISO 2533), water
    of 55 degF boils at 0.21 psi (tables)."""
    limit = -(12.55 - 0.21) * PSI / RHO_G
    for vents, expected in ((["1000 ft"], 0.0), ([], limit)):
        _, layout = make_plant(over(vents=vents))

        above = [layout.h_least[name] - layout.elevations[name] for name in layout.names]

        assert above == pytest.approx([expected] * len(above), rel=2e-3, abs=1e-12)


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("profile", "60 ft", "is '60 ft'; write pairs of distance out and height, such as"),
        ("profile", [["900 ft"]], "is a list; write pairs of distance out and height, such as"),
        (
            "profile",
            [["900 ft", "60"]],
            "is a list; of what is in it '60' cannot be read: it has no unit",
        ),
        ("profile", [["900 ft", "9 ft"], ["800 ft", "8 ft"]], "is 800 ft out; it must be at least"),
        ("profile", [["1500 ft", "9 ft"]], "is 1500 ft out; it must be at least 1 ft past"),
        ("profile", [["0 ft", "9 ft"]], "is 0 ft out; it must be at least 1 ft past the pipe's"),
        ("profile", [["9 ft", "10 ft"]], "is 10 ft high 9 ft out; on the way there from the near"),
        ("profile", [["1495 ft", "10 ft"]], "is 0 ft high at the far end; on the way there from"),
        ("profile", [["900 ft", "9000 ft"]], "is 9000 ft high; a height must lie between"),
        ("profile", [["9 ft", "1 ft"]] * 51, "is a list; write 50 pairs at most"),
        ("vents", "900 ft", "is '900 ft'; write a list of distances out along the pipe, such as"),
        (
            "vents",
            ["900 psi"],
            "is a list; of what is in it '900 psi' cannot be read: psi measures a pressure",
        ),
        ("vents", ["-1 ft"], "is -1 ft out; write the vents' distances from near to far"),
        ("vents", ["9 ft", "9 ft"], "is 9 ft out; write the vents' distances from near to far"),
        ("vents", ["1501 ft"], "is 1501 ft out; write the vents' distances from near to far"),
    ],
)
def test_ground_that_cannot_be_is_refused(field: str, value: object, said: str) -> None:
    with pytest.raises(SiteError) as caught:
        demo_site("one_trough").changed({f"trough.lane.pipe.{field}": value})

    sentence = str(caught.value)
    assert sentence.startswith(f"trough.lane.pipe.{field} {said}")
    assert len(sentence) < 300


def test_ground_out_of_reach_is_refused() -> None:
    site = demo_site("one_trough").changed({"trough.lane.pipe.length": "9000 ft"})
    steep = {"from": "manifold", "to": "bend", "length": "3000 ft", "rise": "2000 ft",
             "size": "1 1/4 in PE SIDR 15"}  # fmt: skip

    with pytest.raises(SiteError, match=r"^trough\.lane\.pipe\.profile is 1500 ft high; with the"):
        site.changed(
            {
                "pipes": [steep],
                "trough.lane.pipe.from": "bend",
                "trough.lane.pipe.profile": [["5000 ft", "1500 ft"]],
            }
        )


# --- what the gauge reads at rest ---


def test_the_column_up_to_the_crest_stands_on_the_gauge() -> None:
    """60 ft of water weigh 26.0 psi; airtight, the air's 12.55 psi less 0.21 of vapour hold part of
    it up at first."""
    found = lab.rest_pressure(over(), "lane")

    assert found.pressure / PSI == pytest.approx(60.0 * FOOT * RHO_G / PSI, rel=1e-3)
    assert found.pressure / PSI == pytest.approx(26.0, abs=0.05)
    assert found.least / PSI == pytest.approx(26.0 - 12.34, abs=0.05)
    assert found.where == "ground: 152.4 m before lane"


def test_a_vent_leaves_nothing_to_hold_it_up() -> None:
    found = lab.rest_pressure(over(vents=["1000 ft"]), "lane")

    assert found.least == found.pressure


def test_ground_below_the_trough_has_no_say() -> None:
    low = over([["700 ft", "15 ft"], ["1000 ft", "-30 ft"]], rise="20 ft", vents=["700 ft"])

    found = lab.rest_pressure(low, "lane")

    assert found.where == "lane"
    assert found.pressure == found.least == pytest.approx(20.0 * FOOT * RHO_G, rel=1e-3)


def test_nodes_between_two_runs_count_like_a_profile() -> None:
    crest = {"from": "manifold", "to": "crest", "length": "1000 ft", "rise": "60 ft",
             "size": "1 1/4 in PE SIDR 15"}  # fmt: skip
    site = demo_site("one_trough").changed(
        {
            "pipes": [crest],
            "trough.lane.pipe.from": "crest",
            "trough.lane.pipe.length": "500 ft",
            "trough.lane.pipe.rise": "-60 ft",
        }
    )

    found = lab.rest_pressure(site, "lane")

    assert found.where == "crest"
    assert found.pressure == pytest.approx(lab.rest_pressure(over(), "lane").pressure, rel=1e-12)


def test_a_branch_that_lies_aside_has_no_say() -> None:
    """The lookout of Left-Hand Wash is no crest on the way to the creek; the lower tee, 5 ft up, is."""
    site = demo_site("three_troughs")

    assert lab.rest_pressure(site, "creek").where == "lower tee"
    assert lab.rest_pressure(site, "lookout").where == "lookout"


def test_the_window_starts_at_the_crest() -> None:
    window = lab.operating_window(over())

    bound = window.tightest("cut-in", "above")
    assert bound is not None
    assert bound.pressure / PSI == pytest.approx(26.0, abs=0.05)
    assert bound.failure == "stuck off"


def test_an_unknown_trough_is_refused() -> None:
    with pytest.raises(SiteError, match="run: trough is 'sink'; the troughs are lane"):
        lab.rest_pressure(over(), "sink")

"""What a learner reads when something is wrong."""

import pickle

from labkit.errors import MISSING, RunError, Said, SiteError, shown


def test_a_site_error_is_one_sentence() -> None:
    """The very sentence that the plan of the house asks for."""
    error = SiteError("switch", "cut_in", Said("55 psi"), "it must be below cut_out 50 psi")

    assert str(error) == "switch: cut_in is 55 psi; it must be below cut_out 50 psi"
    assert str(error.located(file="two.toml", key="pressure_switch.cut_in")) == (
        "two.toml: pressure_switch.cut_in is 55 psi; it must be below cut_out 50 psi"
    )


def test_errors_travel_between_processes() -> None:
    error = SiteError("well", "", MISSING, "write it", file="a.toml", key="well")

    assert str(pickle.loads(pickle.dumps(error))) == str(error)  # noqa: S301 - made just above


def test_a_run_error_names_part_time_state_and_last_good_moment() -> None:
    error = RunError("line", 12.5, "starting", 12.0, "the pressures were not found")

    assert str(error) == (
        "line: the pressures were not found at 12.5 s while the drive was starting; the last sound"
        " moment was 12 s"
    )
    assert str(pickle.loads(pickle.dumps(error))) == str(error)  # noqa: S301 - made just above


def test_odd_values_are_said_shortly() -> None:
    assert shown("a\nb" * 1_000_000).count("\n") == 0
    assert len(shown("x" * 1_000_000)) < 60
    assert shown(10**100_000) == "a huge number"
    assert shown({"a": 1}) == "a table"
    assert shown(None) == "missing"
    assert shown(Said("\u202etxt")) == "?txt"

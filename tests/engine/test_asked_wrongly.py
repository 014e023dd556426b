"""What is handed to a run, or to a line that settles, and cannot be: one sentence each."""

from __future__ import annotations

from math import nan
from typing import Any

import pytest

from labkit import SiteError, simulate, steady
from tests.engine.lines import line


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        ({"duration": "-1 h"}, "run: duration is '-1 h'; it must be more than 0 s and at most 400 day"),
        ({"levels": {"moon": "3 in"}}, "run: levels is 'moon'; the troughs are lane"),
        ({"levels": {"lane": "30 in"}}, "run: level of lane is '30 in'; it must lie between 0 in and"),
        ({"pressure": "-40 psi"}, "run: pressure is '-40 psi'; it must lie between 0 psi and 500 psi"),
        ({"pressure": "60 bar"}, "run: pressure is '60 bar'; it must lie between 0 psi and 500 psi"),
        ({"tolerance": 0.0}, "run: tolerance is 0.0; it must be more than 0 and at most 1"),
        ({"tolerance": nan}, "run: tolerance is nan; it must be more than 0 and at most 1"),
        ({"tolerance": "x"}, "run: tolerance is 'x'; it must be more than 0 and at most 1"),
        ({"tolerance": None}, "run: tolerance is missing; it must be more than 0 and at most 1"),
        ({"start": "25:00"}, "sun: clock is '25:00'; write a time of day such as 06:30"),
    ],
)  # fmt: skip
def test_a_run(asked: dict[str, Any], sentence: str) -> None:
    with pytest.raises(SiteError) as caught:
        simulate(line(), **{"duration": "1 min", "sun": "500 W/m^2", **asked})

    assert str(caught.value).startswith(sentence)


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        ({"open_troughs": ["moon"]}, "run: open_troughs is 'moon'; the troughs are lane"),
        ({"open_troughs": "lane"}, "run: open_troughs is 'lane'; write a list: ['lane']"),
        ({"speed_cap": 2.0}, "run: speed_cap is 2.0; it must lie between 0 and 1"),
        ({"speed_cap": "0.5"}, "run: speed_cap is '0.5'; it must lie between 0 and 1"),
        ({"speed_cap": True}, "run: speed_cap is true; it must lie between 0 and 1"),
        ({"speed_cap": nan}, "run: speed_cap is nan; it must lie between 0 and 1"),
    ],
)
def test_a_line_that_settles(asked: dict[str, Any], sentence: str) -> None:
    with pytest.raises(SiteError) as caught:
        steady(line(), sun="500 W/m^2", **asked)

    assert str(caught.value) == sentence

"""The loop's codes are the states that a trace names."""

import pytest

from labkit.engine import memory
from labkit.trace import DriveState


@pytest.mark.parametrize("state", DriveState)
def test_a_code_of_the_loop_is_the_state_of_the_same_name(state: DriveState) -> None:
    assert getattr(memory, state.name) == state

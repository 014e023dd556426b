"""What is compiled ahead, and what is said of it."""

import pytest

from labkit.engine import warm


@pytest.mark.parametrize(
    ("waves", "known", "said"), [(True, False, 1), (True, True, 0), (False, False, 0)]
)
def test_waves_are_compiled_only_for_who_needs_them(
    monkeypatch: pytest.MonkeyPatch, *, waves: bool, known: bool, said: int
) -> None:
    monkeypatch.setattr(warm, "is_warm", lambda: True)
    monkeypatch.setattr(warm, "knows_waves", lambda: known)
    told: list[str] = []

    warm.warm(told.append, waves=waves)

    assert len(told) == said
    assert all("pressure waves" in line for line in told)

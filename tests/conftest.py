"""What every test shares: one way for hypothesis to explore, and no answers in the learner's file."""

import os
from collections.abc import Iterator

import pytest
from hypothesis import settings

from labkit.check.progress import ELSEWHERE

# The first call of a compiled function takes longer than hypothesis's usual limit for one example.
# Loaded by name, for hypothesis would choose a profile of fixed inputs by itself where CI is set.
settings.register_profile("labkit", deadline=None, print_blob=True)
settings.load_profile("labkit")


@pytest.fixture(autouse=True, scope="session")
def _answers_of_tests_go_elsewhere(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keep what tests answer, here or in a server that they start, out of the learner's file."""
    before = os.environ.get(ELSEWHERE)
    os.environ[ELSEWHERE] = str(tmp_path_factory.mktemp("progress") / "answers.toml")
    yield
    os.environ.pop(ELSEWHERE)
    if before is not None:
        os.environ[ELSEWHERE] = before

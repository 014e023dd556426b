"""What every test shares: workers side by side, one way for hypothesis to explore, and no answers in
the learner's file."""

import contextlib
import importlib
import os
import pkgutil
from collections.abc import Iterator
from typing import Final

import pytest
from hypothesis import settings

import labkit
from labkit.engine.warm import warm
from labkit.questions.progress import ELSEWHERE

MOST_WORKERS: Final = 4
"""Each worker keeps an engine and, for pages, a server and a browser in memory."""

# The first call of a compiled function takes longer than hypothesis's usual limit for one example.
# On a push the inputs are the same each time: what fails then, fails because of the change. New inputs
# are looked for with the other two.
settings.register_profile("labkit", deadline=None, print_blob=True, derandomize=True)
settings.register_profile("brief", settings.get_profile("labkit"), max_examples=20)
settings.register_profile("new", settings.get_profile("labkit"), derandomize=False)
settings.register_profile("long", settings.get_profile("new"), max_examples=3000)
settings.load_profile("labkit")


def pytest_xdist_auto_num_workers(config: pytest.Config) -> int:
    """Take one worker for each processor, but none where somebody names files or reads what is printed.

    Pages alone get one more: a fourth of their time they wait for what is drawn or starts.
    """
    is_whole = config.args_source is not pytest.Config.ArgsSource.ARGS
    if not is_whole or config.option.capture == "no":
        return 0
    processors = os.cpu_count() or 1
    pages = int(config.option.markexpr.startswith("browser"))
    return min(processors, MOST_WORKERS) + pages if processors > 1 else 0


def pytest_sessionstart(session: pytest.Session) -> None:
    """Compile before there are workers, or each of them would do it for itself."""
    is_leader = not hasattr(session.config, "workerinput")
    if is_leader and getattr(session.config.option, "numprocesses", None):
        warm(print, waves=True)
    if not is_leader:
        _load_everything()


def _load_everything() -> None:
    """Load the whole package: hypothesis tries the numbers that stand in the modules it finds.

    Which are loaded would else depend on which files a worker happened to be given before.
    """
    for module in pkgutil.walk_packages(labkit.__path__, "labkit."):
        if not module.name.endswith("__main__"):
            with contextlib.suppress(ImportError):  # a hall's needs another library
                importlib.import_module(module.name)


@pytest.fixture(autouse=True, scope="session")
def _answers_of_tests_go_elsewhere(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keep what tests answer, here or in a server that they start, out of the learner's file."""
    before = os.environ.get(ELSEWHERE)
    os.environ[ELSEWHERE] = str(tmp_path_factory.mktemp("progress") / "answers.toml")
    yield
    os.environ.pop(ELSEWHERE)
    if before is not None:
        os.environ[ELSEWHERE] = before

"""What is asked in lessons and exercises: formulas that work out the answers, away from notebooks.

Each module goes with a file of the bank of the same name (`labkit.questions.bank`).
"""

from importlib import import_module
from importlib.util import find_spec
from types import ModuleType


def __getattr__(name: str) -> ModuleType:
    """Return a module of this room when a notebook first asks for it."""
    module = f"{__name__}.{name}"
    if find_spec(module) is None:
        raise AttributeError(f"no questions are called {name!r}")
    return import_module(module)

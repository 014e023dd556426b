"""labkit: what happens inside a stock-water line that a solar pump fills.

The public face. Its names and their modules stand in ``__init__.pyi``, where an editor looks for
them; each is fetched when it is first used, so that a command or a worker loads no more than it
needs.
"""

import re
from importlib import import_module
from pathlib import Path
from typing import Any

__version__ = "0.1.0"

_LINE = re.compile(r"^from (\S+) import (\w+)", re.MULTILINE)
_FACE = Path(__file__).with_suffix(".pyi").read_text(encoding="utf-8")
_ROOMS = {name: room for room, name in _LINE.findall(_FACE)}

__all__ = sorted(_ROOMS)  # noqa: PLE0605 - each name is fetched by `__getattr__`


def __getattr__(name: str) -> Any:
    if name not in _ROOMS:
        raise AttributeError(f"labkit has no {name!r}; it has {', '.join(__all__)}")
    found = vars(import_module(_ROOMS[name])).get(name)
    return import_module(f"{_ROOMS[name]}.{name}") if found is None else found


def __dir__() -> list[str]:
    return [*__all__, "__version__"]

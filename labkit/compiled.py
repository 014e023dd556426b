"""How functions of plain numbers are compiled, and where the result is kept.

The cache folder carries a digest of every compiled source. Without it an edit in one physics file
would leave callers in other files running yesterday's code, since the compiler looks only at the
file that holds the function itself.
"""

import hashlib
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final, TypeVar, cast

import numba
import platformdirs
from numba.core import config

Function = TypeVar("Function", bound=Callable[..., object])

_ROOMS: Final = ("physics", "engine")
_SOURCES: Final = [
    Path(__file__),
    *sorted(path for room in _ROOMS for path in (Path(__file__).parent / room).glob("*.py")),
]
_SWITCHES: Final = f"{numba.__version__} {os.environ.get('NUMBA_BOUNDSCHECK', '')}"
_DIGEST: Final = hashlib.sha256(
    b"".join(source.read_bytes() for source in _SOURCES) + _SWITCHES.encode()
).hexdigest()[:16]

CACHE: Final = Path(platformdirs.user_cache_dir("labkit")) / "compiled" / _DIGEST
"""The folder that keeps what these very sources compiled to."""


_njit: Final[Any] = numba.njit
"""Untyped, for one of the options used below is numba's own."""


def compiled(function: Function) -> Function:
    """Compile `function` of plain numbers and arrays, and keep the result for the next start.

    Division by zero gives an infinity, as in numpy; guard it where it can happen. Compiled code
    must not make arrays: it goes without numba's reference counting (`_nrt`), which would take
    longer than the physics, and so refuses to compile where memory would be asked for. It lets go
    of the interpreter's lock while it works (`nogil`), so that threads run side by side.
    """
    before = config.CACHE_DIR  # type: ignore[attr-defined]
    config.CACHE_DIR = str(CACHE)  # type: ignore[attr-defined]
    try:
        options = {"cache": True, "error_model": "numpy", "nogil": True, "_nrt": False}
        return cast("Function", _njit(**options)(function))
    finally:
        config.CACHE_DIR = before  # type: ignore[attr-defined]

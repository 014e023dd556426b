"""How functions of plain numbers are compiled, and where the result is kept.

A compiled function is called from two sides. Python needs wrappers that unpack its arguments, which
cost more to compile than much of the physics; compiled callers need none. So compiled code calls a
twin without wrappers, and only what Python itself calls gets them and is kept for the next start:
its machine code holds everything it calls (`labkit.joined`). That, without reference counts and
numba's own cache, is half a step's time and a third of a compile; drop it if an undocumented option
of numba's goes.

The cache folder carries a digest of every compiled source. Without it an edit in one physics file
would leave callers in other files running yesterday's code, since the compiler looks only at the
file that holds the function itself. Where the sources lie has no part in it: two checkouts of the
same sources share what was compiled.
"""

import contextlib
import functools
import hashlib
import inspect
import logging
import os
import pickle
import sys
import tempfile
from collections.abc import Callable
from functools import cached_property
from pathlib import Path
from typing import Any, Final, TypeVar, cast

import numba
import platformdirs
from llvmlite import binding as llvm
from numba.core import config, types
from numba.core.caching import NullCache
from numba.core.compiler import CompilerBase, CompileResult, DefaultPassBuilder
from numba.core.registry import CPUDispatcher
from numba.core.serialize import dumps
from typing_extensions import override

from labkit.text import sentence

Function = TypeVar("Function", bound=Callable[..., object])

_ROOMS: Final = ("physics", "engine")
_SOURCES: Final = [
    Path(__file__),
    Path(__file__).with_name("joined.py"),
    *sorted(path for room in _ROOMS for path in (Path(__file__).parent / room).glob("*.py")),
]
_VERSIONS: Final = (
    f"{sys.implementation.cache_tag} {numba.__version__} {os.environ.get('NUMBA_BOUNDSCHECK', '')}"
)
_DIGEST: Final = hashlib.sha256(
    b"".join(source.read_bytes() for source in _SOURCES) + _VERSIONS.encode()
).hexdigest()[:16]

CACHE: Final = Path(platformdirs.user_cache_dir("labkit")) / "compiled" / _DIGEST
"""The folder that keeps what these very sources compiled to."""

_SEAL: Final = hashlib.sha256().digest_size
# `_nrt` and the wrapper options are undocumented: should one go, leave it out and lose only speed.
_OPTIONS: Final = {"nopython": True, "error_model": "numpy", "nogil": True, "_nrt": False}
_OUTER: Final = {"no_cfunc_wrapper": True}
_INNER: Final = {"no_cpython_wrapper": True, "no_cfunc_wrapper": True}


def compiled(function: Function) -> Function:
    """Compile `function` of plain numbers and arrays, and keep the result for the next start.

    Division by zero gives an infinity, as in numpy; guard it where it can happen. Compiled code
    must not make arrays: it goes without numba's reference counting (`_nrt`), which would take
    longer than the physics, and so refuses to compile where memory would be asked for. It lets go
    of the interpreter's lock while it works (`nogil`), so that threads run side by side.
    """
    if config.DISABLE_JIT:  # type: ignore[attr-defined]
        return function
    return cast("Function", _Compiled(function))


def inlined(function: Function) -> Function:
    """Compile as `compiled` does, into every compiled caller anew.

    For a small function that is handed a whole plant on the way to the innermost sums: to pass the
    plant's hundred numbers takes longer than its work. An hour of 99 cycles takes a fifth less.
    """
    if config.DISABLE_JIT:  # type: ignore[attr-defined]
        return function
    return cast("Function", _Compiled(function, options={"forceinline": True}))


def is_ready(function: Callable[..., object]) -> bool:
    """Return whether a call of `function` need not compile it first."""
    if not isinstance(function, _Compiled):
        return True
    return bool(function.overloads) or function.kept.holds_some()


class _Pipeline(CompilerBase):
    """The compiler's usual way, or the shorter one where that works."""

    @override
    def define_pipelines(self) -> list[Any]:
        """Return the one way to go."""
        if _can_join():
            return _joined(self.state)
        return [DefaultPassBuilder.define_nopython_pipeline(self.state)]


class _Joined(CompilerBase):
    """The way that makes a whole of parts, tried before it is used."""

    @override
    def define_pipelines(self) -> list[Any]:
        """Return the one way to go."""
        return _joined(self.state)


def _joined(state: Any) -> list[Any]:
    from labkit.joined import joined_pipeline  # noqa: PLC0415 - may fail, and is then left out

    return [joined_pipeline(state)]


@functools.cache
def _can_join() -> bool:
    """Return whether this version of the compiler lets a whole be made of parts, by trying it."""
    part = _Compiled(lambda x: x + 1.0, pipeline_class=_Joined, kept=NullCache())
    whole = _Compiled(lambda x: 2.0 * part(x), pipeline_class=_Joined, kept=NullCache())
    try:
        return bool(whole(3.0) == 8.0)
    except Exception:  # noqa: BLE001 - whatever it is, the usual way is right
        return False


class _Twin(CPUDispatcher):
    """A function as compiled callers see it."""

    @override
    def add_overload(self, cres: Any) -> None:
        """Note a version; Python is told of none."""
        self.overloads[tuple(cres.signature.args)] = cres

    def _compile_for_args(self, *_args: Any, **_options: Any) -> Any:
        """Refuse a call from Python, which would jump to where nothing is."""
        raise TypeError("only compiled code calls this")


class _Compiled(CPUDispatcher):
    """A function that Python may call; compiled callers are handed its twin without wrappers."""

    def __init__(
        self,
        function: Callable[..., object],
        *,
        pipeline_class: type = _Pipeline,
        kept: Any = None,
        options: dict[str, bool] | None = None,
    ) -> None:
        super().__init__(function, {}, _OPTIONS | _OUTER, pipeline_class)
        self._pipeline = pipeline_class
        self._inner = _OPTIONS | _INNER | (options or {})
        self._cache = self.kept = kept or _Kept(function)

    @cached_property
    def twin(self) -> Any:
        """The same function for compiled callers, which are compiled with it and keep it."""
        return _Twin(self.py_func, {}, self._inner, self._pipeline)

    @override
    def get_call_template(self, args: Any, kws: Any) -> Any:
        """Type a call by compiled code; a constant argument makes no version of its own."""
        plain = [types.unliteral(arg) for arg in args]
        return self.twin.get_call_template(
            plain, {name: types.unliteral(arg) for name, arg in kws.items()}
        )

    @override
    def get_overload(self, sig: Any) -> Any:
        """Return what compiled code calls."""
        return self.twin.get_overload(sig)


class _Kept:
    """What was compiled of one function, in a file for each signature, sealed by a checksum.

    It stands in for the compiler's own cache, which fails at every start once a file is damaged,
    and writes beside the sources where its folder cannot be made. Here whatever is wrong with a
    file costs no more than compiling again.
    """

    def __init__(self, function: Callable[..., object]) -> None:
        self._function = function

    @property
    def cache_path(self) -> str:
        """The folder, by the name that the compiler asks for."""
        return str(CACHE)

    @cached_property
    def _stem(self) -> str:
        """What the files' names begin with: function, its own source, and this processor."""
        from numba.core.registry import cpu_target  # noqa: PLC0415 - sets the compiler up

        source = Path(inspect.getfile(self._function))
        target = cpu_target.target_context.codegen().magic_tuple()
        own = source.read_bytes() + repr(target).encode()
        name = f"{source.stem}.{self._function.__qualname__}".replace("<", "").replace(">", "")
        line = self._function.__code__.co_firstlineno
        return f"{name}-{line}-{hashlib.sha256(own).hexdigest()[:12]}-"

    def _path(self, signature: object) -> Path:
        key = hashlib.sha256(str(signature).encode()).hexdigest()[:16]
        return CACHE / f"{self._stem}{key}.code"

    def holds_some(self) -> bool:
        """Return whether a sound file for some signature is there."""
        return any(_unsealed(path) is not None for path in CACHE.glob(f"{self._stem}*.code"))

    def load_overload(self, signature: object, target_context: Any) -> Any:
        """Return what was compiled before, or None; a file that is not sound is deleted."""
        path = self._path(signature)
        if not path.is_file():
            return None
        content = _unsealed(path)
        try:
            if content is not None:
                return CompileResult._rebuild(  # noqa: SLF001 - as the compiler's own cache does
                    target_context,
                    *pickle.loads(content),  # noqa: S301 - of this person's own folder
                )
        except Exception:  # noqa: BLE001, S110 - whatever it is, compiling again is right
            pass
        _say(sentence("commands", "cache-damaged", folder=str(CACHE)))
        with contextlib.suppress(OSError):
            path.unlink()
        return None

    def save_overload(self, signature: object, result: Any) -> None:
        """Keep what was compiled; where that fails, say so once and go without."""
        if result.library.has_dynamic_globals:
            return  # holds an address of this very process
        path = self._path(signature)
        try:
            content = dumps(_without_bitcode(result))
            CACHE.mkdir(parents=True, exist_ok=True)
            with tempfile.TemporaryDirectory(dir=CACHE) as folder:
                new = Path(folder) / "new"
                new.write_bytes(_seal(path, content) + content)
                new.replace(path)  # at once: another start may be reading
        except OSError as trouble:
            why = trouble.strerror or type(trouble).__name__
            _say(sentence("commands", "cache-not-kept", folder=str(CACHE), why=why))

    def flush(self) -> None:
        """Forget every signature."""
        for path in CACHE.glob(f"{self._stem}*.code"):
            path.unlink(missing_ok=True)


def _without_bitcode(result: Any) -> tuple[Any, ...]:
    """Return what to keep of a compilation: machine code, and the name by which it is called.

    The compiler would also keep the code in its own language, for other functions to be made of it.
    Nothing is made of what Python calls, and reading it back takes time and memory.
    """
    (name, kind, (code, _)), *rest = result._reduce()  # noqa: SLF001 - as the compiler's own cache
    called = result.fndesc.llvm_cpython_wrapper_name
    stub = llvm.parse_assembly(f'define void @"{called}"() {{ unreachable }}')
    return ((name, kind, (code, stub.as_bitcode())), *rest)


def _seal(path: Path, content: bytes) -> bytes:
    """Return the checksum of a file, which holds its name: a renamed file is no other function."""
    return hashlib.sha256(path.name.encode() + content).digest()


def _unsealed(path: Path) -> bytes | None:
    """Return what a file holds, or None if it is not what was written under this name."""
    try:
        whole = path.read_bytes()
    except OSError:
        return None
    content = whole[_SEAL:]
    return content if whole[:_SEAL] == _seal(path, content) else None


@functools.cache
def _say(sentence: str) -> None:
    """Say a sentence, once for each process."""
    logging.getLogger(__name__).warning(sentence)

"""How the compiler makes a whole of parts, so that each part becomes machine code only once.

Left to itself it optimizes every function together with all that it calls, and turns it into
machine code, before its caller is begun; the innermost ones are worked through dozens of times.
Here a function that only compiled code calls stays a part, and what Python calls is optimized once,
with all its parts. This leans on the compiler's insides: `labkit.compiled` tries it before use.
"""

from typing import Any

from numba.core.codegen import JITCodeLibrary
from numba.core.compiler import DefaultPassBuilder, _LowerResult
from numba.core.compiler_machinery import register_pass
from numba.core.environment import lookup_environment
from numba.core.typed_passes import NativeLowering
from typing_extensions import override


class _Library(JITCodeLibrary):
    """Machine code of a function and of all the parts that it calls, or one such part."""

    is_part = False

    @override
    def finalize(self) -> None:
        """Make machine code, once all parts are gathered; a part waits for what is made of it."""
        if self.is_part:
            self._finalized = True
            return
        for library in self._linking_libraries:  # grows as parts of parts are found
            known = set(self._linking_libraries)
            self._linking_libraries += [
                part
                for part in library._linking_libraries  # noqa: SLF001 - a library as this is
                if part not in known
            ]
        super().finalize()  # type: ignore[no-untyped-call]


@register_pass(mutates_CFG=True, analysis_only=False)
class _Lowering(NativeLowering):
    """The compiler's last step but one, which leaves a twin as a part."""

    _name = "labkit_lowering"

    @override
    def run_pass(self, state: Any) -> bool:
        """Lower a function; without wrappers it becomes a part."""
        make: Any = _Library
        library = make(state.targetctx.codegen(), state.func_id.func_qualname)
        library.enable_object_caching()
        library.is_part = state.flags.no_compile = state.flags.no_cpython_wrapper
        state.library = library
        super().run_pass(state)  # type: ignore[no-untyped-call]
        if library.is_part:
            part = state["cr"]
            key = object()  # nothing that could be called by mistake
            state.targetctx.insert_user_function(key, part.fndesc, [library])
            state["cr"] = _LowerResult(part.fndesc, part.call_helper, cfunc=key, env=part.env)
            return True
        for variable in library._final_module.global_variables:  # noqa: SLF001 - ours
            environment = lookup_environment(variable.name)
            if environment is not None:  # of a part; its own has been set
                library.codegen.set_env(variable.name, environment)
        return True


def joined_pipeline(state: Any) -> Any:
    """Return the compiler's usual steps, with a lowering of our own."""
    way = DefaultPassBuilder.define_nopython_pipeline(state, "joined")
    way.passes = [(_Lowering if step is NativeLowering else step, why) for step, why in way.passes]
    way.finalize()
    return way

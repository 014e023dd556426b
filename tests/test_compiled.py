"""What is kept of a compilation: shared where it may be, and never trusted where it is damaged."""

import importlib.util
import logging
import math
import secrets
import sys
from collections.abc import Callable
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np
import pytest
from numba.core.registry import cpu_target

import labkit.compiled as house
from labkit.compiled import compiled, is_ready

FloatArray = np.ndarray[tuple[int], np.dtype[np.float64]]


def doubled(x: float) -> float:
    """Return 2 x."""
    return 2.0 * x


def halved(x: float) -> float:
    """Return x / 2."""
    return x / 2.0


@pytest.fixture(autouse=True)
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a cache folder of the test's own, not made yet."""
    folder = tmp_path / "home" / "compiled"
    monkeypatch.setattr(house, "CACHE", folder)
    house._say.cache_clear()
    return folder


def hits(function: Callable[..., Any]) -> int:
    """Return how often what was kept has been used."""
    return sum(function.stats.cache_hits.values())  # type: ignore[attr-defined]


def only_file(cache: Path) -> Path:
    (path,) = cache.iterdir()
    return path


def test_the_next_start_uses_what_was_kept() -> None:
    first = compiled(doubled)
    assert not is_ready(first)
    assert first(3.0) == 6.0

    second = compiled(doubled)

    assert is_ready(second)
    assert second(3.5) == 7.0
    assert hits(second) == 1


def flip_a_byte(path: Path) -> None:
    content = bytearray(path.read_bytes())
    content[len(content) // 2] ^= 1
    path.write_bytes(content)


def put_anothers(path: Path) -> None:
    """Put a sound file of another function in its place."""
    compiled(halved)(1.0)
    (other,) = set(path.parent.iterdir()) - {path}
    other.replace(path)


def seal_junk(path: Path) -> None:
    """Write what was never compiled, under a right checksum."""
    junk = b"no code at all"
    path.write_bytes(house._seal(path, junk) + junk)


DAMAGE: dict[str, Callable[[Path], object]] = {
    "empty": lambda path: path.write_bytes(b""),
    "cut": lambda path: path.write_bytes(path.read_bytes()[:-100]),
    "noise": lambda path: path.write_bytes(secrets.token_bytes(5000)),
    "a flipped bit": flip_a_byte,
    "another function's": put_anothers,
    "sealed junk": seal_junk,
}


@pytest.mark.parametrize("damage", DAMAGE)
def test_damage_heals_in_one_sentence(
    damage: str, cache: Path, caplog: pytest.LogCaptureFixture
) -> None:
    compiled(doubled)(3.0)
    path = only_file(cache)
    DAMAGE[damage](path)
    ready_before = is_ready(compiled(doubled))

    with caplog.at_level(logging.WARNING):
        assert compiled(doubled)(3.0) == 6.0

    assert [record.message for record in caplog.records] == [
        f"A compiled file in {cache} was damaged and is made again."
    ]
    assert not ready_before or damage == "sealed junk"
    healed = compiled(doubled)
    assert healed(3.0) == 6.0
    assert hits(healed) == 1


def test_a_lost_file_is_made_again_quietly(cache: Path, caplog: pytest.LogCaptureFixture) -> None:
    compiled(doubled)(3.0)
    only_file(cache).unlink()

    assert compiled(doubled)(3.0) == 6.0
    assert only_file(cache).is_file()
    assert not caplog.records


def test_without_a_folder_it_goes_on_and_says_so_once(
    cache: Path, caplog: pytest.LogCaptureFixture
) -> None:
    cache.parent.parent.mkdir(exist_ok=True)
    cache.parent.write_text("a file where the folder should be")
    beside = set(Path(__file__).parent.rglob("*.nb[ic]"))

    function, other = compiled(doubled), compiled(halved)
    assert (function(3.0), other(3.0)) == (6.0, 1.5)

    (record,) = caplog.records
    assert record.message.startswith(f"What was compiled cannot be kept in {cache} (")
    assert is_ready(function), "what this process has compiled is ready for it"
    assert not is_ready(compiled(doubled))
    assert set(Path(__file__).parent.rglob("*.nb[ic]")) == beside


def test_a_folder_that_refuses_the_last_step_leaves_nothing_half_written(
    cache: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def refuse(*_paths: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "replace", refuse)
    assert compiled(doubled)(3.0) == 6.0

    assert "(Permission denied)" in caplog.text
    assert list(cache.iterdir()) == []


def test_another_processor_has_files_of_its_own(
    cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    compiled(doubled)(3.0)
    codegen = type(cpu_target.target_context.codegen())
    monkeypatch.setattr(codegen, "magic_tuple", lambda _self: ("riscv64", "another", ""))
    other = compiled(doubled)

    assert not is_ready(other)
    assert other(3.0) == 6.0
    assert len(list(cache.iterdir())) == 2


def load(path: Path) -> ModuleType:
    spec = importlib.util.spec_from_file_location(path.stem, path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_equal_sources_share_and_changed_ones_do_not(tmp_path: Path) -> None:
    modules = []
    for folder, factor in (("one", "3.0"), ("two", "3.0"), ("three", "4.0")):
        path = tmp_path / folder / "formula.py"
        path.parent.mkdir()
        path.write_text(
            "from labkit.compiled import compiled\n\n\n"
            f"@compiled\ndef times(x):\n    return {factor} * x\n"
        )
        modules.append(load(path))

    results = [module.times(2.0) for module in modules]

    assert results == [6.0, 6.0, 8.0]
    assert [hits(module.times) for module in modules] == [0, 1, 0]


@pytest.mark.parametrize("joined", [True, False])
def test_a_whole_is_the_same_with_or_without_the_shorter_way(
    monkeypatch: pytest.MonkeyPatch, *, joined: bool
) -> None:
    if not joined:  # as with a compiler whose insides have changed
        monkeypatch.setitem(sys.modules, "labkit.joined", None)
    house._can_join.cache_clear()

    @compiled
    def fourth_root(x: float) -> float:
        return math.sqrt(math.sqrt(x))

    @compiled
    def checked(x: float, table: FloatArray, place: int) -> float:
        if place < 0:
            raise ValueError("no such place")
        return fourth_root(x) + float(table[place])

    @compiled
    def outermost(x: float, table: FloatArray, place: int) -> float:
        return checked(x, table, place) + fourth_root(table[1])

    table = np.array([0.5, 16.0])
    try:
        assert house._can_join() is joined
        assert outermost(81.0, table, 0) == 3.0 + 0.5 + 2.0
        with pytest.raises(ValueError, match="no such place"):
            outermost(81.0, table, -1)
        with pytest.raises(TypeError):
            outermost.twin(81.0, table, 0)  # type: ignore[attr-defined]
    finally:
        house._can_join.cache_clear()


def test_compiled_callers_share_one_version_whatever_the_constant(cache: Path) -> None:
    @compiled
    def shifted(x: float, places: int) -> float:
        return x + places

    @compiled
    def twice(x: float) -> float:
        return shifted(x, 1) + shifted(x, 2)

    assert twice(1.0) == 5.0
    assert len(shifted.twin.overloads) == 1  # type: ignore[attr-defined]
    assert not shifted.overloads, "nothing called it from Python"  # type: ignore[attr-defined]
    assert "twice" in only_file(cache).name
    assert shifted(1.0, 4) == 5.0, "and it may be called from Python all the same"

"""The line as a tree: runs of pipe from the manifold outwards."""

from collections.abc import Mapping, Sequence
from typing import Final, NamedTuple

from labkit.errors import Said, SiteError
from labkit.parts import fields as f
from labkit.parts.line import MANIFOLD, Leak, Pipe, Trough
from labkit.units import Quantity, si, written

MOST: Final = 200  # pipes, troughs or leaks that one site may have of each
HIGHEST: Final = 915.0  # how far above or below the manifold a node may lie [m]: 3000 ft


class Run(NamedTuple):
    """A run of pipe, from the node nearer the well to the one further off."""

    start: str
    end: str
    pipe: Pipe

    @property
    def key(self) -> str:
        """Where a site file has it."""
        return f"trough.{self.end}.pipe" if self.pipe.to is None else f"pipe.{self.end}"


def joined(pipes: Sequence[Pipe], troughs: Sequence[Trough]) -> tuple[Run, ...]:
    """Join runs into a tree and give them in order, each after the run that feeds it.

    Raises
    ------
    SiteError
        For a line that is no tree from the manifold to the troughs.
    """
    _check_numbers(pipes, troughs)
    runs = [Run(pipe.from_, str(pipe.to), pipe) for pipe in pipes]
    runs += [Run(trough.pipe.from_, trough.name, trough.pipe) for trough in troughs]
    _check_ends(runs, troughs)
    ordered = _from_the_manifold(runs)
    _check_heights(ordered)
    return ordered


def elevations(runs: Sequence[Run]) -> dict[str, float]:
    """Return each node's height above the manifold [m]."""
    heights = {MANIFOLD: 0.0}
    for run in runs:
        heights[run.end] = heights[run.start] + si(run.pipe.rise)
    return heights


def check_leaks(leaks: Sequence[Leak], runs: Sequence[Run]) -> None:
    """Hold each leak to a place on the line."""
    lengths = {run.end: run.pipe.length for run in runs}
    if len(leaks) > MOST:
        raise SiteError("site", "leak", leaks, f"write {MOST} leaks at most")
    for leak in leaks:
        _check_leak(leak, lengths)


def _check_leak(leak: Leak, lengths: Mapping[str, Quantity]) -> None:
    """Hold one leak to a place on the run that ends at its node."""
    key = f"leak.{leak.at}"
    if leak.at == MANIFOLD and si(leak.distance) > 0.0:
        rule = "at the manifold it must be 0 ft, for the line begins there"
        raise f.field_error(leak, "distance", leak.distance, rule, key=f"{key}.distance")
    if leak.at != MANIFOLD and leak.at not in lengths:
        rule = f"no pipe leads there; write {f.listed([MANIFOLD, *lengths], leak.at)}"
        raise f.field_error(leak, "at", leak.at, rule, key=f"{key}.at")
    if leak.at != MANIFOLD and si(leak.distance) > si(lengths[leak.at]):
        rule = f"the run that ends at {leak.at!r} is only {written(lengths[leak.at])} long"
        raise f.field_error(leak, "distance", leak.distance, rule, key=f"{key}.distance")


def _check_numbers(pipes: Sequence[Pipe], troughs: Sequence[Trough]) -> None:
    """Ask for one trough at least, and for a line that can be computed."""
    if not troughs:
        raise SiteError(
            "site", "trough", Said("an empty list"), "write at least one trough, under [[trough]]"
        )
    for key, parts in (("pipe", pipes), ("trough", troughs)):
        if len(parts) > MOST:
            raise SiteError("site", key, parts, f"write {MOST} at most")
    for number, pipe in enumerate(pipes, start=1):
        if pipe.to is None:
            rule = "write the node that the pipe leads to"
            raise f.field_error(pipe, "to", None, rule, key=f"pipe.{number}.to")


def _check_ends(runs: Sequence[Run], troughs: Sequence[Trough]) -> None:
    """Let one run end at each node, and each run begin at the manifold or a tee."""
    ends: set[str] = set()
    dry = {trough.name for trough in troughs}
    for run in runs:
        if run.end == MANIFOLD:
            raise _misnamed(run, "water only leaves the manifold; write another name")
        if run.end in ends:
            raise _misnamed(run, "another pipe leads into a node of that name; write another name")
        ends.add(run.end)
    tees = [MANIFOLD, *(run.end for run in runs if run.end not in dry)]
    for run in runs:
        if run.start in dry:
            raise _misled(run, _hung_on_a_trough(run.start, tees))
        if run.start not in tees:
            raise _misled(run, f"no pipe leads there; write {f.listed(tees, run.start)}")


def _hung_on_a_trough(trough: str, tees: Sequence[str]) -> str:
    """Tell how to lead pipe on from beside a trough."""
    return (
        f"a trough ends its run; lead a [[pipe]] to a tee beside it, say to = 'tee at {trough}', "
        f"and start both troughs' pipes from that tee, or write {f.listed(tees, trough)}"
    )


def _misnamed(run: Run, rule: str) -> SiteError:
    """Make the error for a run that ends at a node where it may not."""
    part, field = ("trough", "name") if run.pipe.to is None else ("pipe", "to")
    return SiteError(part, field, run.end, rule, key=f"{part}.{run.end}.{field}")


def _misled(run: Run, rule: str) -> SiteError:
    """Make the error for a run that begins at a node where it may not."""
    return SiteError("pipe", "from", run.start, rule, key=f"{run.key}.from")


def _from_the_manifold(runs: Sequence[Run]) -> tuple[Run, ...]:
    """Walk the runs outwards; what is not reached is a loop, and a dead end is refused."""
    leaving: dict[str, list[Run]] = {}
    for run in runs:
        leaving.setdefault(run.start, []).append(run)
    ordered, waiting = [], leaving.get(MANIFOLD, [])[::-1]
    while waiting:
        run = waiting.pop()
        ordered.append(run)
        waiting += leaving.get(run.end, [])[::-1]
    for run in runs:
        if run not in ordered:
            raise _misled(
                run, "the pipes go round in a loop there; lead the line from the manifold outwards"
            )
        if run.pipe.to is not None and run.end not in leaving:
            raise _misnamed(
                run,
                "nothing leads on from there; lead a pipe on to a trough, or leave this one out",
            )
    return tuple(ordered)


def _check_heights(runs: Sequence[Run]) -> None:
    """Keep every node, and the ground between nodes, within reach of the manifold's height."""
    heights = elevations(runs)
    rule = "with the runs before it, it must stay within 3000 ft of the manifold's height"
    for run in runs:
        if abs(heights[run.end]) > HIGHEST:
            raise f.field_error(run.pipe, "rise", run.pipe.rise, rule, key=f"{run.key}.rise")
        for _, high in run.pipe.profile:
            if abs(heights[run.start] + si(high)) > HIGHEST:
                said = Said(f"{written(high)} high")
                raise f.field_error(run.pipe, "profile", said, rule, key=f"{run.key}.profile")

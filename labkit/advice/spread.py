"""Work spread over the cores of this machine, or over a cluster."""

from __future__ import annotations

import os
from concurrent.futures import Executor, ThreadPoolExecutor, as_completed
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

Job = TypeVar("Job")
Result = TypeVar("Result")


def cores() -> int:
    """Count the cores that this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def spread(
    work: Callable[[Job], Result],
    jobs: Sequence[Job],
    *,
    workers: int,
    client: Any = None,
    progress: Callable[[float], None] | None = None,
) -> list[Result]:
    """Do some work for each job, and return the results in the order of the jobs.

    `work` is a function of a module, so that other processes find it. `workers` are threads, which
    are enough since compiled code lets go of the interpreter's lock; with a `client` (an Executor,
    or a dask.distributed.Client) none is started. When the wait is broken off, jobs that have not
    begun are dropped and those that have are waited for. `progress` is told the share that is done,
    in this thread.
    """
    tell = progress if progress is not None else _no_one
    if client is None and workers == 1:
        results = []
        for number, job in enumerate(jobs, 1):
            results.append(work(job))
            tell(number / len(jobs))
        return results
    if client is not None:
        return _gathered(_executor_of(client), work, jobs, tell)
    with ThreadPoolExecutor(workers, thread_name_prefix="labkit") as pool:
        return _gathered(pool, work, jobs, tell)


def _gathered(
    pool: Executor,
    work: Callable[[Job], Result],
    jobs: Sequence[Job],
    tell: Callable[[float], None],
) -> list[Result]:
    """Hand out all jobs and gather the results as they come."""
    futures = {pool.submit(work, job): number for number, job in enumerate(jobs)}
    try:
        for done, future in enumerate(as_completed(futures), 1):
            future.result()
            tell(done / len(jobs))
    finally:
        for future in futures:
            future.cancel()
    return [future.result() for future in futures]


def _executor_of(client: Any) -> Executor:
    """Take an executor as it is, and ask a cluster's client for one."""
    if isinstance(client, Executor):
        return client
    pool: Executor = client.get_executor(pure=False)
    return pool


def _no_one(_share: float) -> None:
    """Take word of progress for nobody."""

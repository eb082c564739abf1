"""Many like pieces of work on all processors of the machine, results in the order of the pieces.

Takes a function and what it is called with; gives an iterator of its results. Few pieces are done in this process. Asked
to stop, nothing more is begun, and no process is left behind.
"""

import multiprocessing
import os
import signal
import sys
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from typing import Any, TypeVar

Piece = TypeVar("Piece")
Result = TypeVar("Result")

_FEW = 8  # pieces for which starting processes costs more than it saves
_shared: Any = None


def processors() -> int:
    """How many processors this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def each(
    run: Callable[[Any, Piece], Result], shared: Any, pieces: Sequence[Piece], workers: int | None = None
) -> Iterator[Result]:
    """``run(shared, piece)`` of every piece; ``shared`` goes to each process once. ``workers``: None = as many as there are
    processors. ``run`` must stand in a module."""
    count = min(processors() if workers is None else workers, len(pieces))
    if count < 2 or len(pieces) < _FEW:
        for piece in pieces:
            yield run(shared, piece)
        return
    # forked, a process has all modules loaded; elsewhere than on Linux system libraries don't bear that
    context = multiprocessing.get_context("fork" if sys.platform == "linux" else "spawn")
    pool = ProcessPoolExecutor(count, context, _begin, (shared,))
    try:
        futures = [pool.submit(_call, run, piece) for piece in pieces]
        for future in futures:
            yield future.result()
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _begin(shared: Any) -> None:
    global _shared
    _shared = shared
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C reaches every process of a terminal: the first one decides
    for each_signal in (signal.SIGTERM, signal.SIGHUP):
        signal.signal(each_signal, signal.SIG_DFL)


def _call(run: Callable[[Any, Piece], Result], piece: Piece) -> Result:
    return run(_shared, piece)

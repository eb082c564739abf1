"""Many like pieces of work on all processors of the machine, results in the order of the pieces.

Takes a function and what it is called with; gives an iterator of its results. Few light pieces are done in this process. Asked
to stop, nothing more is begun, what is under way is ended, and no process is left behind.
"""

import multiprocessing
import os
import signal
import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from typing import Any, TypeVar

from attrs import define, field

from .interrupts import CouldNotRun

Piece = TypeVar("Piece")
Result = TypeVar("Result")

_PATIENCE = 10.0  # seconds that a process of a crew has for cleaning up once it is asked to stop (ours)
_FEW = 8  # light pieces for which starting processes costs more than it saves
_shared: Any = None
_busy = _stopping = False  # of a process of the crew


def processors() -> int:
    """How many processors this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def memory() -> int:
    """Bytes of memory that the machine has."""
    return os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES")


def each(
    run: Callable[[Any, Piece], Result], shared: Any, pieces: Sequence[Piece], workers: int | None = None
) -> Iterator[Result]:
    """``run(shared, piece)`` of every piece; ``shared`` goes to each process once. ``workers``: None = as many as there are
    processors. ``run`` must stand in a module."""
    count = min(processors() if workers is None else workers, len(pieces))
    with crew(count if len(pieces) >= _FEW else 1, shared) as many:
        yield from many.each(run, pieces)


@define
class Crew:
    """Processes that do piece after piece; they start with the first pieces that are worth it, and ``shared`` goes to each once.
    Made by `crew`."""

    workers: int
    shared: Any
    _pool: ProcessPoolExecutor | None = field(default=None, init=False)

    def each(
        self,
        run: Callable[[Any, Piece], Result],
        pieces: Sequence[Piece],
        first: Callable[[Piece], float] | None = None,
        done: Callable[[int], None] = lambda _: None,
    ) -> Iterator[Result]:
        """``run(shared, piece)`` of every piece, in their order. Pieces for which ``first`` is larger are begun earlier;
        ``done`` is told how many are done."""
        if self.workers < 2 or len(pieces) < 2:
            for count, piece in enumerate(pieces, start=1):
                result = run(self.shared, piece)
                done(count)
                yield result
            return
        begun = sorted(range(len(pieces)), key=lambda n: -first(pieces[n])) if first else range(len(pieces))
        futures: dict[int, Future[Result]] = {n: self._submit(run, pieces[n]) for n in begun}
        pending, counted = set(futures.values()), 0
        for n in range(len(pieces)):
            while futures[n] in pending:
                finished, pending = wait(pending, return_when=FIRST_COMPLETED)
                counted += len(finished)
                done(counted)
            try:
                yield futures.pop(n).result()
            except BrokenProcessPool:
                raise CouldNotRun(
                    "a process that did part of the work was ended by the system, most likely for lack of memory. "
                    "Close other programs, or do fewer panels at a time."
                ) from None

    def _submit(self, run: Callable[[Any, Piece], Result], piece: Piece) -> "Future[Result]":
        if self._pool is None:
            # forked, a process has all modules loaded; elsewhere than on Linux system libraries don't bear that
            context = multiprocessing.get_context("fork" if sys.platform == "linux" else "spawn")
            self._pool = ProcessPoolExecutor(self.workers, context, _begin, (self.shared,))
        return self._pool.submit(_call, run, piece)

    def _end(self, early: bool) -> None:
        if self._pool is None:
            return
        if not early:
            self._pool.shutdown(wait=True, cancel_futures=True)
            return
        asked = multiprocessing.active_children()
        for process in asked:
            process.terminate()
        # one that is stuck, in a lock perhaps, must not keep the person waiting for ever
        end = threading.Timer(_PATIENCE, _kill, (asked,))
        end.start()
        try:
            self._pool.shutdown(wait=True, cancel_futures=True)
        finally:
            end.cancel()


def _kill(left: Sequence[multiprocessing.process.BaseProcess]) -> None:
    for process in left:
        process.kill()


@contextmanager
def crew(workers: int, shared: Any) -> Iterator[Crew]:
    """A crew of at most so many processes, all gone when the block has ended."""
    many = Crew(workers, shared)
    early = True
    try:
        yield many
        early = False
    finally:
        many._end(early)


def _begin(shared: Any) -> None:
    global _shared
    _shared = shared
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C reaches every process of a terminal: the first one decides
    signal.signal(signal.SIGTERM, _stop)
    signal.signal(signal.SIGHUP, signal.SIG_IGN)


class _Stopped(BaseException):
    """What ends a piece that is under way: it cleans up behind itself, and the children that it started are ended."""


def _stop(*_: object) -> None:
    global _stopping
    _stopping = True
    if _busy:
        raise _Stopped


def _call(run: Callable[[Any, Piece], Result], piece: Piece) -> Result:
    global _busy
    if _stopping:
        raise CouldNotRun("stopped")
    _busy = True
    try:
        return run(_shared, piece)
    except _Stopped:
        raise CouldNotRun("stopped") from None
    finally:
        _busy = False

"""Watches one child until it has ended, and ends it when it passes a limit.

In: a Job. Out: how it ended, and the bytes of its answer.
"""

import math
import os
import select
import signal
import time
from contextlib import suppress
from multiprocessing import forkserver
from pathlib import Path
from typing import Literal

from attrs import frozen

from artgen.confined.child import Job
from artgen.confined.collect import unnamed, written
from artgen.confined.server import Child, start
from artgen.interrupts import held

Stop = Literal["time", "output"]

_GLANCE = 0.2  # seconds between looks at the folder's size
_PATIENCE = 10.0  # seconds that a killed process may take to be gone
_PIECE = 1 << 20
_ENVELOPE = 64  # bytes around the value in an answer


@frozen
class Ended:
    """``code`` = exit code, or minus the signal's number, None if unknown; ``stopped`` = why we ended it."""

    code: int | None
    stopped: Stop | None
    answer: bytes


def run_to_end(job: Job) -> Ended:
    """Run ``job`` to its end, at most ``job.seconds``; ``job.output`` bytes bound its folder and its answer.

    Whatever happens, KeyboardInterrupt too, the child is gone afterwards. Raises OSError or EOFError if none
    starts.
    """
    started: list[Child] = []
    ended = False
    try:
        with held():
            started.append(start(job))
        child = started[0]
        stopped, answer = _follow(child, job)
        if stopped:
            _kill(child.pid)
        code = _exit_code(child)
        ended = code is not None
        while _take(child.reply, answer, job.output + _ENVELOPE):
            pass
    finally:
        with held():
            for child in started:
                _let_go(child, ended)
    if stopped is None and len(answer) > job.output + _ENVELOPE:
        stopped = "output"
    return Ended(code, stopped, bytes(answer))


def _let_go(child: Child, ended: bool) -> None:
    if not ended:
        _kill(child.pid)
        _exit_code(child)  # gone for good: what it holds in its folder can be removed
    with suppress(OSError):  # where a child could start others, they are of its group
        os.killpg(child.pid, signal.SIGKILL)
    child.close()


def _follow(child: Child, job: Job) -> tuple[Stop | None, bytearray]:
    """Read the answer until the child has ended or has met a limit: (the limit, what was read)."""
    answer = bytearray()
    poll = select.poll()
    poll.register(child.status, select.POLLIN)
    poll.register(child.reply, select.POLLIN)
    os.set_blocking(child.reply, False)
    now = time.monotonic()
    deadline, glance = now + job.seconds, now + _GLANCE
    while True:
        ready = {handle for handle, _ in poll.poll(math.ceil(max(0.0, min(deadline, glance) - now) * 1000))}
        if child.reply in ready and not _take(child.reply, answer, job.output + _ENVELOPE):
            poll.unregister(child.reply)
        if child.status in ready:
            return None, answer
        now = time.monotonic()
        if len(answer) > job.output + _ENVELOPE:
            return "output", answer
        if now >= glance:
            glance = now + _GLANCE
            if written(Path(job.out)) + unnamed(child.pid) > job.output:
                return "output", answer
        if now >= deadline:
            return "time", answer


def _kill(pid: int) -> None:
    """Kill a child that may be alive, and its group; before it has a group of its own, the child alone."""
    try:
        os.killpg(pid, signal.SIGKILL)
    except OSError:
        with suppress(OSError):
            os.kill(pid, signal.SIGKILL)


def _take(handle: int, answer: bytearray, most: int) -> bool:
    """Read a piece of the answer; False when there is no more for now, at its end, or if it is too long."""
    if len(answer) > most:
        return False
    try:
        piece = os.read(handle, _PIECE)
    except OSError:  # BlockingIOError: nothing there yet
        return False
    answer += piece
    return bool(piece)


def _exit_code(child: Child) -> int | None:
    poll = select.poll()
    poll.register(child.status, select.POLLIN)
    if not poll.poll(_PATIENCE * 1000):
        return None
    try:
        code: int = forkserver.read_signed(child.status)
    except (OSError, EOFError):  # the fork server was killed
        return None
    return code

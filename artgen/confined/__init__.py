"""Runs a named function on one untrusted client file in a limited child process.

In: a module-level function ``task(file, args, out)``, a file, plain JSON arguments. Out: the plain JSON value
that it returned and the files that it left in its folder, or a ConfinedFailure; a MachineFault where the file had
no part in it: no child, no folder, no room. A file that takes the child
over can lie in its answer, and no more: the answer is JSON of limited size, never a pickle, and what it says
is for the caller to judge.

The child's walls, each with its own file: memory, time and sizes (``child.py``); what Python code may do
(``audit.py``, everywhere); what the process may ask the kernel for (``seccomp.py``, Linux); which files it
may touch (``landlock.py``, Linux). Inside them it reads the client's file, Python's installation, the task's
own package and the system's libraries and fonts, and writes plain files into ``out``: no folders inside it,
no change of rights or times, no network, no programs. ``shortcomings`` names the walls that this system
lacks.

The child comes from a fork server that has imported the heavy libraries (``server.py``); it starts in
milliseconds, and nothing that one task does is seen by the next. ``run`` may be called from several
processes, and from several threads at once.
"""

import json
import signal
import sys
from collections.abc import Callable, Mapping
from contextlib import ExitStack
from pathlib import Path
from typing import Any, Literal, cast, get_args

from attrs import field, frozen, validators

from artgen.confined import collect, landlock, seccomp, server, watch
from artgen.confined.child import BEGUN, Job
from artgen.confined.machine import MachineFault, is_full, is_machines, machine_fault
from artgen.interrupts import scratch_folder

__all__ = [
    "ConfinedFailure",
    "Limits",
    "MachineFault",
    "Reply",
    "Task",
    "get_ready",
    "is_machines",
    "machine_fault",
    "run",
    "shortcomings",
]

Task = Callable[[Path, dict[str, Any], Path], Any]
Kind = Literal["memory", "time", "output", "crash", "refused", "error"]

MB = 1024 * 1024
MOST_WORDS = 2000  # characters of an error's text


@frozen
class Limits:
    """What a child may use. The default figures are common practice, no source.

    ``memory_mb`` = address space, in units of 1024 × 1024 bytes; Python and the libraries alone take about 200.
    ``seconds`` = processor time (rounded up to whole seconds) and wall time.
    ``output_mb`` = all files in its folder together, and its answer.
    """

    memory_mb: int = field(default=2048, validator=validators.gt(0))
    seconds: float = field(default=60.0, validator=validators.gt(0))
    output_mb: int = field(default=512, validator=validators.gt(0))


DEFAULT_LIMITS = Limits()


@frozen
class Reply:
    """What a task gave. ``value`` is plain JSON; ``blobs`` are the plain files left in its folder, by name.

    The names are the child's: use them as keys, never as paths.
    """

    value: Any
    blobs: dict[str, bytes]


class ConfinedFailure(Exception):
    """A task gave no answer. ``kind`` sorts the cause; ``detail`` says it in words, with the limit where one
    was met.

    Kinds: "memory", "time", "output" (a limit was met), "refused" (the task tried what it may not), "crash"
    (the child died), "error" (the task raised; ``detail`` is "type: message").
    """

    def __init__(self, kind: Kind, detail: str) -> None:
        super().__init__(kind, detail)
        self.kind: Kind = kind
        self.detail = detail

    def __str__(self) -> str:
        return self.detail


def run(task: Task, file: Path, args: Mapping[str, Any], limits: Limits = DEFAULT_LIMITS) -> Reply:
    """Run ``task(file, args, out)`` in a child of its own and give back its answer.

    ``task`` is a function at the top level of an importable module other than the main one. It gets the
    resolved path of ``file``, ``args`` as they come out of JSON, and an empty folder that is also its current
    and its temporary one. Raises ConfinedFailure; MachineFault where no child could be set up or the disk is full; and
    for the caller's mistakes TypeError or ValueError (an unnamed task, args not JSON).
    """
    module, name = _named(task)
    arguments = json.dumps(dict(args), allow_nan=False)
    with ExitStack() as stack:
        try:
            source = Path(file).resolve(strict=True)
            if not source.is_file():
                raise OSError("it is not a plain file")
        except OSError as error:
            raise ConfinedFailure("error", f"{Path(file).name} can't be examined: {error.strerror or error}") from error
        try:
            out = stack.enter_context(scratch_folder())
        except OSError as error:
            raise machine_fault("no temporary folder could be made", error) from error
        memory, output = limits.memory_mb * MB, limits.output_mb * MB
        job = Job(module, name, str(source), arguments, str(out), memory, limits.seconds, output)
        ended = _ended(job)
        try:
            return _reply(ended, job, limits)
        except ConfinedFailure as failure:
            if failure.kind in ("memory", "time", "output"):
                raise
            if not ended.answer.startswith(BEGUN):
                what = f"a limited process to read {source.name} in could not be set up ({failure.detail})"
                raise MachineFault(f"{what}. Without one no client's file is opened.") from failure
            if is_full(out):
                what = f"the disk of the temporary folder {out.parent} is full"
                raise MachineFault(f"{what}. Free some space there, or name another folder in TMPDIR.") from failure
            raise


def get_ready(task: Task) -> None:
    """For a caller that has something else to do before its first ``run`` of this task: what is slow about it begins now,
    beside that."""
    server.begin(_named(task)[0])


def shortcomings() -> tuple[str, ...]:
    """The walls that this system can't put up, in words for a person; empty on an up-to-date Linux."""
    missing = []
    if sys.platform != "linux":
        missing.append("this system does not limit the memory of a program: a file can use up all of it")
    if not seccomp.available():
        missing.append(
            "system calls can't be filtered (no seccomp for this system or machine): a file that takes over"
            " a library could reach the network or start programs"
        )
    if not landlock.version():
        missing.append(
            "files can't be fenced (Landlock is missing; it needs Linux 5.13 and to be switched on): a file"
            " that takes over a library could read and change what the user can"
        )
    elif landlock.version() < landlock.TRUNCATE_VERSION:
        missing.append(
            "this Linux is older than 6.2: a file that takes over a library could empty files outside its folder"
        )
    return tuple(missing)


def _named(task: Task) -> tuple[str, str]:
    """Module and name by which a child finds ``task``. ValueError if it could not."""
    module, name = task.__module__, task.__qualname__
    found: Any = sys.modules.get(module)
    for part in name.split("."):
        found = getattr(found, part, None)
    if module == "__main__" or found is not task:
        raise ValueError(f"{module}.{name} is not a function at the top level of an importable module")
    return module, name


def _ended(job: Job) -> watch.Ended:
    try:
        return watch.run_to_end(job)
    except (OSError, EOFError) as error:
        raise machine_fault("no separate process to read client files in could be started", error) from error


def _reply(ended: watch.Ended, job: Job, limits: Limits) -> Reply:
    """Sort what came back; raises ConfinedFailure for everything but a proper answer."""
    if ended.stopped:
        raise _over(ended.stopped, limits)
    if ended.code != 0:
        raise _died(ended.code, limits)
    try:
        message = collect.parse(ended.answer, job.memory)
        match message:
            case {"value": value}:
                return Reply(value, collect.blobs(Path(job.out), job.output))
            case {"fault": [str(kind), str(detail)]} if kind in get_args(Kind):
                raise _fault(cast(Kind, kind), detail, job, limits)
    except collect.TooMuch:
        raise _over("output", limits) from None
    except ValueError:
        pass
    raise ConfinedFailure("crash", "the separate process gave no proper answer")


def _over(kind: Literal["memory", "time", "output"], limits: Limits) -> ConfinedFailure:
    words = {
        "memory": f"it needs more than {limits.memory_mb} MB of memory",
        "time": f"it takes longer than {limits.seconds:g} s",
        "output": f"it unfolds to more than {limits.output_mb} MB",
    }
    return ConfinedFailure(kind, words[kind])


def _died(code: int | None, limits: Limits) -> ConfinedFailure:
    if code == -signal.SIGXCPU:
        return _over("time", limits)
    if code == -signal.SIGXFSZ:
        return _over("output", limits)
    if code == -signal.SIGKILL:
        return ConfinedFailure("memory", "the system ended it, most likely for lack of memory")
    if code == -signal.SIGSYS:
        return ConfinedFailure("refused", "it tried a kind of system call that it may not")
    if code is None:
        return ConfinedFailure("crash", "the separate process was lost, with the server that started it")
    cause = f"exit code {code}" if code >= 0 else signal.Signals(-code).name
    return ConfinedFailure(
        "crash",
        f"the library that read it broke down ({cause}): the file is damaged, or needs more than"
        f" {limits.memory_mb} MB of memory",
    )


def _fault(kind: Kind, detail: str, job: Job, limits: Limits) -> ConfinedFailure:
    if kind in ("memory", "time", "output"):
        return _over(kind, limits)
    # no machine paths in what people read, and nothing that a terminal would obey
    for path in (job.out, job.file):
        detail = detail.replace(path, Path(path).name if path == job.file else "its folder")
    return ConfinedFailure(kind, "".join(mark if mark.isprintable() else " " for mark in detail)[:MOST_WORDS])

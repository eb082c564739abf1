"""The child's side: shut every door, run the task, send one answer.

In: a Job, from the fork server. Out: one JSON object on the reply pipe, ``{"value": …}`` or ``{"fault":
[kind, detail]}``, and the files in the job's folder. Before it stands `BEGUN`, sent when the walls are up and the
file has not been touched yet: without it, what went wrong is not the file's doing.
"""

import ctypes
import errno
import functools
import importlib
import json
import math
import mmap
import os
import resource
import signal
import site
import sys
import sysconfig
import tempfile
from multiprocessing import forkserver
from pathlib import Path
from typing import Any

from attrs import frozen

from artgen.confined import audit, landlock, seccomp

BEGUN = b" "  # white space, which JSON allows before a value
_REPLY = 3  # the only file handle above the three standard ones
_OPEN_FILES = 64
_RESERVE = 16 * 1024 * 1024  # bytes held back, so that a child out of memory can still say so
_LAST_WORDS = 2000  # characters of an error message that are passed on
_PR_SET_PDEATHSIG = 1  # linux/prctl.h
_SYSTEM_FOLDERS = (
    "/usr", "/lib", "/lib32", "/lib64",
    "/etc/fonts", "/etc/ld.so.cache", "/var/cache/fontconfig",
    "/proc/self", "/proc/cpuinfo", "/proc/meminfo", "/proc/stat", "/sys/devices/system/cpu",
    "/dev/zero", "/dev/random", "/dev/urandom",
)  # fmt: skip
_ENVIRONMENT = {
    "LC_ALL": "C.UTF-8",
    "TZ": "UTC",
    "OMP_NUM_THREADS": "1",
    "OPENBLAS_NUM_THREADS": "1",
    "VIPS_CONCURRENCY": "1",
}


@frozen
class Job:
    """One task. ``args`` is JSON text, ``out`` an empty folder; ``memory`` and ``output`` are bytes."""

    module: str
    name: str
    file: str
    args: str
    out: str
    memory: int
    seconds: float
    output: int

    def _bootstrap(self, parent_sentinel: int) -> int:
        """Called by the fork server in the new process, under multiprocessing's name for this step."""
        inherited = forkserver.get_inherited_fds()
        assert inherited is not None
        _cut_off(inherited[0])
        _send(self._answer())
        return 0

    def _answer(self) -> bytes:
        reserve = mmap.mmap(-1, _RESERVE)  # address space only, no page is touched
        try:
            task = self._task()
            readable = _readable(self.module)  # may ask for the home folder, which the new environment hides
            _limit(self)
            _wall_in(self, readable)
            _send(BEGUN)
            value = task(Path(self.file), json.loads(self.args), Path(self.out))
            # strict: an answer that isn't plain JSON, or not text, is the task's fault and shows here
            text = json.dumps({"value": value}, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
            answer = text.encode()
        except BaseException as error:  # whatever a task raises, even SystemExit, is an answer
            reserve.close()
            error.__traceback__ = None  # frees what the task held
            return _fault(error)
        if len(answer) > self.output:
            return _pack("output", "")
        return answer

    def _task(self) -> Any:
        """Find the function. Its module is ours, so it is imported before the walls go up."""
        found: Any = importlib.import_module(self.module)
        for part in self.name.split("."):
            found = getattr(found, part)
        return found


def _cut_off(reply: int) -> None:
    """Own session, no terminal, no handles but the reply pipe."""
    os.setsid()
    if reply != _REPLY:
        os.dup2(reply, _REPLY)
    null = os.open(os.devnull, os.O_RDWR)
    for standard in range(3):
        os.dup2(null, standard)
    os.closerange(_REPLY + 1, os.sysconf("SC_OPEN_MAX"))
    if sys.platform == "linux":
        # the fork server ends with its parent; this child is to end with the fork server
        landlock.LIBC.prctl(_PR_SET_PDEATHSIG, ctypes.c_ulong(signal.SIGKILL), 0, 0, 0)


def _limit(job: Job) -> None:
    os.chdir(job.out)
    os.umask(0o077)
    os.environ.clear()
    os.environ.update(_ENVIRONMENT | {"HOME": job.out, "TMPDIR": job.out})
    tempfile.tempdir = None
    sys.dont_write_bytecode = True
    sys.argv = [""]
    # Python ignores this signal; left to itself it ends the child, whichever library writes
    signal.signal(signal.SIGXFSZ, signal.SIG_DFL)
    processor = math.ceil(job.seconds)
    if 0 <= resource.getrlimit(resource.RLIMIT_NOFILE)[1] < _OPEN_FILES:
        raise OSError(errno.EMFILE, f"fewer than {_OPEN_FILES} open files are allowed here; see ulimit -n")
    _at_most(resource.RLIMIT_CORE, 0)
    _at_most(resource.RLIMIT_NOFILE, _OPEN_FILES)
    _at_most(resource.RLIMIT_FSIZE, job.output)
    _at_most(resource.RLIMIT_CPU, processor, processor + 1)
    if sys.platform == "linux":
        _at_most(resource.RLIMIT_AS, job.memory)
    else:
        # elsewhere this counts processes only; on Linux it counts threads too, and seccomp does it better
        _at_most(resource.RLIMIT_NPROC, 0)


def _at_most(what: int, soft: int, hard: int | None = None) -> None:
    """Set a limit, or keep one that is lower already, which could not be raised."""
    there = resource.getrlimit(what)[1]
    most = soft if hard is None else hard
    if there != resource.RLIM_INFINITY:
        most = min(most, there)
    resource.setrlimit(what, (min(soft, most), most))


def _wall_in(job: Job, readable: list[Path]) -> None:
    """Every wall that this system has; one that fails to go up raises, and the task never starts."""
    out = Path(job.out)
    if landlock.version():
        landlock.restrict([Path(job.file), *readable], out, [Path(os.devnull)])
    if seccomp.available():
        seccomp.restrict()
    audit.restrict(out)


@functools.cache
def installed() -> tuple[Path, ...]:
    """Where Python, its packages, system libraries and fonts are. The fork server asks once for all."""
    names = {"stdlib", "platstdlib", "purelib", "platlib"}
    folders = {path for name, path in sysconfig.get_paths().items() if name in names}
    folders |= {sys.prefix, sys.exec_prefix, sys.base_prefix, sys.base_exec_prefix}
    folders |= {entry for entry in sys.path if Path(entry).name in ("site-packages", "dist-packages")}
    if site.ENABLE_USER_SITE:
        folders.add(site.getusersitepackages())
    # a Python that is installed at the root, or in the home folder itself, must not open all of it
    too_much = {"/", str(Path.home())}
    return tuple(map(Path, (*sorted(folders - too_much), *_SYSTEM_FOLDERS)))


def _readable(module: str) -> list[Path]:
    """What a task may read besides its file: all that is installed, and the packages of the task and of artgen."""
    own: list[str] = []
    for package in {"artgen", module.partition(".")[0]}:
        source = sys.modules[package]
        own += source.__path__ if hasattr(source, "__path__") else filter(None, [source.__file__])
    return [*installed(), *map(Path, own)]


def _fault(error: BaseException) -> bytes:
    number = error.errno if isinstance(error, OSError) else None
    if isinstance(error, MemoryError) or number == errno.ENOMEM:
        return _pack("memory", "")
    if number == errno.EFBIG:
        return _pack("output", "")
    message = f"{type(error).__name__}: {error}"[:_LAST_WORDS]
    return _pack("refused" if isinstance(error, PermissionError) else "error", message)


def _pack(kind: str, detail: str) -> bytes:
    return json.dumps({"fault": [kind, detail]}).encode()


def _send(answer: bytes) -> None:
    rest = memoryview(answer)
    while rest:
        rest = rest[os.write(_REPLY, rest) :]

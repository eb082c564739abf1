"""Starts children from a fork server, which is multiprocessing's own.

In: a Job. Out: a Child: its process number and two pipes. multiprocessing's ``Process`` is passed by for
three reasons: it runs the caller's main script again in the child, it refuses to work in a pool's worker, and
it forgets that a forked caller is not its server's parent. What is used is ``ForkServer``: it hands a new
process a pickled mapping, and a pickled object whose ``_bootstrap`` it calls.
"""

import os
import pickle
import shutil
import signal
import sys
import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from multiprocessing import forkserver, process, resource_tracker, util
from pathlib import Path

from attrs import frozen

import artgen
from artgen.confined.child import Job

_PRELOAD = "artgen.confined.preload"
_LONGEST_FOLDER = 70  # characters; sockaddr_un holds 104 on macOS, 108 on Linux, and a name of ours takes up to 24


@frozen
class Child:
    """A process under way: its number, also its session's; the pipes of its exit status and its answer."""

    pid: int
    status: int
    reply: int

    def close(self) -> None:
        """Close both pipes."""
        os.close(self.status)
        os.close(self.reply)


class _Server:
    def __init__(self) -> None:
        self.lock = threading.Lock()
        self.process = forkserver.ForkServer()

    def connect(self, reply: int, module: str) -> tuple[int, int]:
        """A new process that inherits ``reply``: (pipe of its number and status, pipe to its input)."""
        with self.lock:
            self.begin(module)
            return self.process.connect_to_new_process([reply])

    def begin(self, module: str) -> None:
        """See to it that the server runs or is about to; it imports ``module`` too, if it is artgen's: most tasks share one."""
        own = [module] if module.startswith("artgen.") else []
        self.process.set_forkserver_preload([_PRELOAD, *own])
        _keep_address_short()
        with _server_environment(), _without_ctrl_c():
            self.process.ensure_running()


def _keep_address_short() -> None:
    """The server listens at a socket in multiprocessing's temporary folder, and a socket's path holds about 100 characters:
    where the temporary folder's own path is long, the socket goes into one below /tmp."""
    if len(util.get_temp_dir()) <= _LONGEST_FOLDER:
        return
    with suppress(OSError):  # without /tmp the server's own fault says what is wrong
        folder = tempfile.mkdtemp(prefix="pymp-", dir="/tmp")
        util.Finalize(None, shutil.rmtree, args=[folder], kwargs={"ignore_errors": True}, exitpriority=-100)
        process.current_process()._config["tempdir"] = folder  # type: ignore[attr-defined] # where get_temp_dir looks


_server = _Server()


def _renew() -> None:
    global _server
    _server = _Server()


# a forked copy of this process can't wait for the server that it didn't start, so it starts its own
os.register_at_fork(after_in_child=_renew)


def begin(module: str) -> None:
    """Begin to start the server for tasks of ``module``, without waiting. What goes wrong shows when a child is started."""
    with _server.lock, suppress(OSError, EOFError):
        _server.begin(module)


def start(job: Job) -> Child:
    """Start a child on ``job``. Raises OSError or EOFError if none could be started, at the second try."""
    try:
        return _start(job)
    except (OSError, EOFError):
        _renew()  # the server has died, or somebody else has waited for it
        return _start(job)


def _start(job: Job) -> Child:
    reply, reply_of_child = os.pipe()
    open_pipes = [reply, reply_of_child]
    try:
        status, job_pipe = _server.connect(reply_of_child, job.module)
        open_pipes += [status, job_pipe]
        # all the child needs of us is where modules are; what is relative to our folder must not move with it
        search = [str(Path(entry).absolute()) for entry in sys.path]
        _write_all(job_pipe, pickle.dumps({"sys_path": search}) + pickle.dumps(job))
        pid = forkserver.read_signed(status)
        open_pipes = [reply_of_child, job_pipe]
        return Child(pid, status, reply)
    finally:
        for handle in open_pipes:
            os.close(handle)


def _write_all(handle: int, data: bytes) -> None:
    rest = memoryview(data)
    while rest:
        rest = rest[os.write(handle, rest) :]


@contextmanager
def _without_ctrl_c() -> Iterator[None]:
    """A server that is started is deaf to Ctrl-C from its first moment: it reaches the whole terminal, and while the server
    imports it would print where it was. To this process it comes a moment later."""
    resource_tracker.ensure_running()  # which every server starts, and which would let Ctrl-C through again
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


@contextmanager
def _server_environment() -> Iterator[None]:
    """What the server must find when it starts; it inherits this process's environment, so that is lent out.

    Without PYTHONSAFEPATH the server would look for modules in the current folder first, which may well be
    the client's.
    """
    lent = {
        "LC_ALL": "C.UTF-8",
        "OMP_NUM_THREADS": "1",
        "OPENBLAS_NUM_THREADS": "1",
        "PYTHONSAFEPATH": "1",
        "VIPS_CONCURRENCY": "1",
    }
    home = Path(artgen.__file__).resolve().parent.parent
    if not any(home.is_relative_to(prefix) for prefix in (sys.prefix, sys.base_prefix)):
        lent["PYTHONPATH"] = os.pathsep.join(filter(None, [str(home), os.environ.get("PYTHONPATH")]))
    kept = {name: os.environ.get(name) for name in lent}
    os.environ.update(lent)
    try:
        yield
    finally:
        for name, value in kept.items():
            if value is None:
                with suppress(KeyError):
                    del os.environ[name]
            else:
                os.environ[name] = value

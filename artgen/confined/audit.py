"""What Python code in the child may do, on every system: the outermost and thinnest wall.

In: the child's folder. Out: an audit hook, set for good. It sees what goes through Python's own functions;
native libraries pass it by, and those are held by seccomp and Landlock where the system has them. Events:
"Audit events table" of Python's library reference.
"""

import os
import sys
from pathlib import Path
from typing import Any

_WRITING = os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC | os.O_APPEND
_NEVER = {
    "os.chmod": "change rights of files",
    "os.chown": "change owners of files",
    "os.exec": "run another program",
    "os.fork": "start another process",
    "os.forkpty": "start another process",
    "os.kill": "signal another process",
    "os.killpg": "signal another process",
    "os.mkdir": "make a folder",
    "os.posix_spawn": "run another program",
    "os.removexattr": "change attributes of files",
    "os.setxattr": "change attributes of files",
    "os.spawn": "run another program",
    "os.system": "run another program",
    "os.truncate": "change a file by its name",
    "os.utime": "change times of files",
    "pty.spawn": "run another program",
    "sqlite3.connect": "open a database",
    "subprocess.Popen": "run another program",
}
_CHANGING = {"os.link": (0, 1), "os.remove": (0,), "os.rename": (0, 1), "os.rmdir": (0,), "os.symlink": (1,)}


def restrict(out: Path) -> None:
    """Refuse (PermissionError) for good: network, other processes, changes to files outside ``out``."""
    inside = os.path.realpath(out) + os.sep

    def may_change(path: object) -> bool:
        if path is None or isinstance(path, int):  # a file that is open already
            return True
        assert isinstance(path, str | bytes)
        folder, name = os.path.split(os.fsdecode(path))
        return os.path.join(os.path.realpath(folder), name).startswith(inside)  # noqa: PTH118 (called very often)

    def may_open(path: object) -> bool:
        # opening follows a link that stands at the end of the path; removing and renaming don't
        if isinstance(path, str | bytes):
            real = os.path.realpath(os.fsdecode(path))
            return real + os.sep == inside or may_change(real)  # the folder itself: for a file without a name
        return may_change(path)

    def hook(event: str, arguments: tuple[Any, ...]) -> None:
        if event == "open":
            path, _, flags = arguments
            if flags & _WRITING and path not in (os.devnull, os.devnull.encode()) and not may_open(path):
                raise PermissionError(f"tried to write outside its folder: {path!r}")
        elif event in _CHANGING:
            for place in _CHANGING[event]:
                if not may_change(arguments[place]):
                    raise PermissionError(f"tried to change files outside its folder: {arguments[place]!r}")
        elif event in _NEVER:
            raise PermissionError(f"tried to {_NEVER[event]}")
        elif event.startswith("socket."):
            raise PermissionError("tried to use the network")

    sys.addaudithook(hook)

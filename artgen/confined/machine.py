"""What this machine could not do, told apart from what is wrong with a client's file.

In: an OSError of the system. Out: the MachineFault that ends a command: what could not be done, why, what to do.
"""

import errno
import os
from contextlib import suppress
from pathlib import Path

from artgen.interrupts import CouldNotRun

_LEAST_FREE = 1 << 20  # bytes, ours: a disk with less is full
_SPACE = {errno.ENOSPC, errno.EDQUOT}
_HANDLES = {errno.EMFILE, errno.ENFILE}
_SHORT = _SPACE | _HANDLES | {errno.ENOMEM, errno.EAGAIN}


class MachineFault(CouldNotRun):
    """This machine, not a client's file, is at fault; the message says what could not be done, why, and what to do."""


def machine_fault(what: str, error: OSError | EOFError) -> MachineFault:
    """``error`` as the reason why ``what`` (a clause such as "no temporary folder could be made") is so."""
    number = error.errno if isinstance(error, OSError) else None
    if number in _HANDLES:
        way_on = "Close other programs, or allow more open files (ulimit -n)."
    elif number in (errno.ENOMEM, errno.EAGAIN):
        way_on = "Close other programs: memory or processes have run out."
    elif number in _SPACE:
        way_on = "Free some space there, or name a folder with room in the environment variable TMPDIR."
    elif number in (errno.EACCES, errno.EPERM, errno.EROFS):
        way_on = "Check its permissions."
    elif _stands_nowhere():
        way_on = "The current folder has been removed: go to another one (cd) and run it again."
    else:
        way_on = "Nothing is known of the client's files because of that."
    reason = (error.strerror if isinstance(error, OSError) else "") or str(error) or error.__class__.__name__
    return MachineFault(f"{what} ({reason}). {way_on}")


def _stands_nowhere() -> bool:
    try:
        Path.cwd()
    except OSError:
        return True
    return False


def is_machines(error: OSError) -> bool:
    """Whether an error says that the machine has run out of something, whatever file it came with."""
    return error.errno in _SHORT


def is_full(folder: Path) -> bool:
    """Whether there is no room left on the disk of ``folder``."""
    with suppress(OSError):
        disk = os.statvfs(folder)
        return disk.f_bavail * disk.f_frsize < _LEAST_FREE or (disk.f_files > 0 and disk.f_favail == 0)
    return False

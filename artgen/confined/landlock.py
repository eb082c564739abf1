"""Linux's Landlock: which files a process may touch.

In: the folders and files that may be read, and the one folder that may be written. Out: nothing; the calling
process and its later threads are bound for good. Needs Linux 5.13. Numbers: linux/landlock.h of the kernel's
user headers, 6.1 (later rights: its documentation); the system calls have the same numbers on every
architecture.
"""

import ctypes
import functools
import os
import struct
import sys
from collections.abc import Iterable
from pathlib import Path

LIBC = ctypes.CDLL(None, use_errno=True)

_CREATE_RULESET, _ADD_RULE, _RESTRICT_SELF = 444, 445, 446
_VERSION_FLAG = 1
_PATH_BENEATH = 1
_PR_SET_NO_NEW_PRIVS = 38

_WRITE_FILE, _READ_FILE, _READ_DIR = 1 << 1, 1 << 2, 1 << 3
_REMOVE_FILE, _MAKE_REG, _MAKE_SYM = 1 << 5, 1 << 8, 1 << 12
_TRUNCATE = 1 << 14  # from version 3
_FILE_RIGHTS_BITS = {1: 13, 2: 14, 3: 15, 4: 15}  # how many rights a version knows; 16 from version 5
_NETWORK = 0b11  # TCP bind, TCP connect: from version 4
_SCOPE = 0b11  # abstract sockets and signals of other processes: from version 6
TRUNCATE_VERSION = 3


@functools.cache
def version() -> int:
    """The kernel's Landlock version, 0 where there is none."""
    if sys.platform != "linux":
        return 0
    found: int = LIBC.syscall(_CREATE_RULESET, None, ctypes.c_size_t(0), ctypes.c_uint32(_VERSION_FLAG))
    return max(found, 0)


def restrict(read: Iterable[Path], write_folder: Path, write_files: Iterable[Path] = ()) -> None:
    """Bind this process: read ``read``, make plain files in ``write_folder``, write ``write_files``; no more.

    Paths that don't exist are passed over. Nothing may be executed, and there are no new folders, devices,
    pipes. Raises OSError if the kernel declines. Call with one thread running; it sets "no new privileges".
    """
    handled = (1 << _FILE_RIGHTS_BITS.get(version(), 16)) - 1
    attributes = struct.pack("=QQQ", handled, _NETWORK if version() >= 4 else 0, _SCOPE if version() >= 6 else 0)
    size = 8 if version() < 4 else 16 if version() < 6 else 24
    ruleset = _call(_CREATE_RULESET, attributes, ctypes.c_size_t(size), ctypes.c_uint32(0))
    try:
        for path in read:
            _allow(ruleset, path, (_READ_FILE | _READ_DIR) & handled)
        for path in write_files:
            _allow(ruleset, path, (_READ_FILE | _WRITE_FILE | _TRUNCATE) & handled)
        makes = _REMOVE_FILE | _MAKE_REG | _MAKE_SYM
        _allow(ruleset, write_folder, (_READ_FILE | _READ_DIR | _WRITE_FILE | _TRUNCATE | makes) & handled)
        no_new_privileges()
        _call(_RESTRICT_SELF, ctypes.c_int(ruleset), ctypes.c_uint32(0))
    finally:
        os.close(ruleset)


def no_new_privileges() -> None:
    """Give up gaining rights by executing programs; both Landlock and seccomp ask for it. Raises OSError."""
    one, zero = ctypes.c_ulong(1), ctypes.c_ulong(0)
    if LIBC.prctl(_PR_SET_NO_NEW_PRIVS, one, zero, zero, zero) != 0:
        raise OSError(ctypes.get_errno(), "the system declined to give up new privileges")


def _allow(ruleset: int, path: Path, rights: int) -> None:
    try:
        handle = os.open(path, os.O_PATH | os.O_CLOEXEC)
    except (FileNotFoundError, NotADirectoryError):
        return
    try:
        if not path.is_dir():
            rights &= ~(_READ_DIR | _REMOVE_FILE | _MAKE_REG | _MAKE_SYM)
        rule = struct.pack("=Qi", rights, handle)
        _call(_ADD_RULE, ctypes.c_int(ruleset), ctypes.c_int(_PATH_BENEATH), rule, ctypes.c_uint32(0))
    finally:
        os.close(handle)


def _call(number: int, *arguments: object) -> int:
    result: int = LIBC.syscall(ctypes.c_long(number), *arguments)
    if result < 0:
        raise OSError(ctypes.get_errno(), "the system declined a Landlock rule")
    return result

"""The file `record.jsonl`: its lines out, new entries in, none ever lost.

One writer at a time (a lock beside the file). An entry counts as written once its bytes and the folder are on the disk. A last
line that a power cut left half written is set aside in a file of its own, and the entry that follows names that file and its
hash.
"""

import fcntl
import hashlib
import os
import stat
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import Any

from attrs import define, field, frozen
from filelock import FileLock, Timeout

from ..interrupts import CouldNotRun, held
from .entry import NOTHING, Broken, Entry, entry_of, file_hash, timestamp
from .proving import TORN, bound_files, log_faults

NAME = "record.jsonl"
_LOCK = ".record.lock"
_WAIT = 120.0  # s; a writer holds the lock for less than one
_SETTLE = 10.0  # s that a reader waits for a writer whose entry is half written
MOST_BYTES = 200_000_000  # ours: a record with more is none


class RecordError(CouldNotRun):
    """The record can't be read, or not added to; the message says why and what to do."""


@frozen
class Log:
    """The record's whole lines, and what follows the last of them without being one: ``torn``, bytes, or nothing."""

    lines: tuple[bytes, ...]
    torn: bytes = b""

    @property
    def entries(self) -> tuple[Entry, ...]:
        """Those that can be read."""
        found = []
        for line in self.lines:
            try:
                found.append(entry_of(line))
            except Broken:
                continue
        return tuple(found)


def read(folder: Path) -> Log:
    """The record beside the order; an order without one has an empty one. Raises `RecordError`."""
    log = _split(_bytes(folder))
    if log.torn:  # perhaps its writer is just at work
        try:
            with FileLock(folder / _LOCK, timeout=_SETTLE):
                return _split(_bytes(folder))
        except (OSError, Timeout):
            pass
    return log


def _bytes(folder: Path) -> bytes:
    path = folder / NAME
    try:
        about = path.lstat()
        if not stat.S_ISREG(about.st_mode):
            raise RecordError(f"{path}: the record is no plain file (a link, a folder?): put the file itself there")
        if about.st_size > MOST_BYTES:
            raise RecordError(f"{path}: has over {MOST_BYTES / 1e6:.0f} MB, the limit: that is no record of an order")
        return path.read_bytes()
    except FileNotFoundError:
        return b""
    except OSError as error:
        raise RecordError(f"{path}: the record can't be read ({error.strerror or error})") from None


def _split(data: bytes) -> Log:
    """Lines, each with its newline. A last line without one, or with NUL bytes, which a power cut may leave, is torn; a whole
    entry that lacks nothing but the newline is no less whole."""
    lines = [*_at_newlines(data)]
    if not lines:
        return Log(())
    last = lines[-1]
    if not last.endswith(b"\n"):
        try:
            entry_of(last + b"\n")
            return Log((*lines[:-1], last + b"\n"))
        except Broken:
            return Log(tuple(lines[:-1]), last)
    return Log(tuple(lines[:-1]), last) if b"\0" in last else Log(tuple(lines))


def _at_newlines(data: bytes) -> Iterator[bytes]:
    start = 0
    while start < len(data):
        end = data.find(b"\n", start) + 1 or len(data)
        yield data[start:end]
        start = end


@define
class Writer:
    """The record while it is locked. ``set_aside`` = name of the file that a torn last line was put into, if there was one."""

    folder: Path
    entries: list[Entry]
    set_aside: str | None = None
    _torn: dict[str, str] = field(factory=dict)

    @property
    def next_number(self) -> int:
        return len(self.entries) + 1

    def next(self, what: str, facts: Mapping[str, Any], now: datetime | None = None) -> Entry:
        """The entry that would follow; not written yet."""
        before = self.entries[-1].sha256 if self.entries else NOTHING
        extra = {"set_aside": dict(self._torn)} if self._torn else {}
        return Entry.made(self.next_number, timestamp(now), what, {**facts, **extra}, before)

    def add(self, entry: Entry) -> None:
        """Writes the entry that `next` gave; when this returns, it is on the disk. Raises `RecordError`, and then it is not."""
        try:
            with held():
                _append(self.folder / NAME, entry.line())
        except OSError as error:
            raise RecordError(
                f"{self.folder / NAME}: nothing was recorded, it can't be written ({error.strerror or error}). "
                "Free some space, or see to the permissions, and run this again."
            ) from None
        self.entries.append(entry)
        self._torn = {}


@contextmanager
def writing(folder: Path) -> Iterator[Writer]:
    """The record, locked; whoever else would write waits. Raises `RecordError` where what is there is not whole: nothing is
    built on a record that was changed."""
    lock = FileLock(folder / _LOCK, timeout=_WAIT)
    try:
        lock.acquire()
    except Timeout:
        raise RecordError(
            f"{folder / NAME}: another artgen has been writing it for {_WAIT:.0f} s; run this again when that is done"
        ) from None
    except OSError as error:
        raise RecordError(
            f"{folder}: nothing can be recorded here ({error.strerror or error}); see to the folder's permissions"
        ) from None
    try:
        log = _split(_bytes(folder))
        faults = log_faults(log.lines)
        if faults:
            raise RecordError(
                f"{folder / NAME}: the record is not as it was written, from entry {faults[0].entry} on, so nothing is added "
                "to it. `artgen record ORDER --verify` says what is wrong. Put back a copy that is whole; or, where there "
                "is none, move the file aside and keep it: a new record then begins."
            )
        writer = Writer(folder, list(log.entries))
        try:
            with held():
                _mend(writer, log)
        except OSError as error:
            raise RecordError(
                f"{folder / NAME}: its last line is torn and can't be set aside ({error.strerror or error})"
            ) from None
        yield writer
    finally:
        lock.release()


def _mend(writer: Writer, log: Log) -> None:
    """The file ends with a whole line afterwards: what is torn first goes into a file of its own."""
    path = writer.folder / NAME
    if log.torn:
        name = f"{TORN}{hashlib.sha256(log.torn).hexdigest()[:12]}"
        _write_through(writer.folder / name, log.torn)
        writer.set_aside = name
    known = {name for entry in writer.entries for name in bound_files(entry)}
    # also those that a run stopped here put aside, and no entry names yet
    writer._torn = {one.name: file_hash(one) for one in sorted(writer.folder.glob(f"{TORN}*")) if one.name not in known}
    whole = b"".join(log.lines)
    if path.exists() and path.stat().st_size != len(whole):
        handle = os.open(path, os.O_WRONLY)
        try:
            os.ftruncate(handle, len(whole) - 1 if not log.torn else len(whole))
            if not log.torn:  # only the newline was missing
                os.lseek(handle, 0, os.SEEK_END)
                _write_all(handle, b"\n")
            to_disk(handle)
        finally:
            os.close(handle)


def _append(path: Path, line: bytes) -> None:
    handle = os.open(path, os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o666)
    try:
        length = os.fstat(handle).st_size
        try:
            _write_all(handle, line)
            to_disk(handle)
        except OSError:
            os.ftruncate(handle, length)  # a full disk: half an entry must not stay
            raise
    finally:
        os.close(handle)
    folder_to_disk(path.parent)


def _write_through(path: Path, data: bytes) -> None:
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o666)
    try:
        _write_all(handle, data)
        to_disk(handle)
    finally:
        os.close(handle)
    folder_to_disk(path.parent)


def _write_all(handle: int, data: bytes) -> None:
    rest = memoryview(data)
    while rest:
        rest = rest[os.write(handle, rest) :]


def to_disk(handle: int) -> None:
    """Returns when the file's bytes are on the disk, not only on their way there."""
    if hasattr(fcntl, "F_FULLFSYNC"):  # macOS, where fsync leaves them in the drive's own memory
        fcntl.fcntl(handle, fcntl.F_FULLFSYNC)
    else:
        os.fsync(handle)


def folder_to_disk(folder: Path) -> None:
    """A new or renamed file is found after a power cut only once its folder is on the disk too."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)

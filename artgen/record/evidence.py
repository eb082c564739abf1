"""What proves a decision, such as the client's mail: copied whole beside the record, and bound to the entry by hash."""

import os
import re
import shutil
import stat
import tempfile
from pathlib import Path

from .entry import file_hash
from .log import RecordError, folder_to_disk, to_disk
from .proving import EVIDENCE

_MOST_NAME = 120  # ours: letters of a name that are kept


def keep(folder: Path, number: int, file: Path) -> tuple[str, str]:
    """A copy of ``file`` in ``folder``'s ``evidence/``: (its place beside the record, SHA-256). ``number`` = the entry that will
    name it. Raises `RecordError`; then no copy is left."""
    home = folder / EVIDENCE
    try:
        home.mkdir(exist_ok=True)
        handle, made = tempfile.mkstemp(dir=home, prefix=".", suffix=".part")
        part = Path(made)
        try:
            _copy(file, handle)
            digest = file_hash(part)
            name = _settle(part, home, f"{number}-{_safe(file.name)}", digest)
        finally:
            part.unlink(missing_ok=True)
        folder_to_disk(home)
        folder_to_disk(folder)
    except OSError as error:
        raise RecordError(
            f"{file}: can't be kept as evidence ({error.strerror or error}); nothing was recorded"
        ) from None
    return f"{EVIDENCE}/{name}", digest


def _copy(file: Path, handle: int) -> None:
    with os.fdopen(handle, "wb") as copy:
        source = os.open(file, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0))
        with os.fdopen(source, "rb") as read:
            if not stat.S_ISREG(os.fstat(read.fileno()).st_mode):
                raise OSError("it is no plain file")
            shutil.copyfileobj(read, copy, 1 << 20)
        copy.flush()
        umask = os.umask(0)
        os.umask(umask)
        os.fchmod(copy.fileno(), 0o444 & ~umask)  # kept as it is
        to_disk(copy.fileno())


def _settle(part: Path, home: Path, name: str, digest: str) -> str:
    """The name that it gets: never that of another file. A copy that is there already, left by a run that was stopped before it
    was recorded, is taken."""
    stem, dot, suffix = name.rpartition(".")
    for again in range(1, 1000):
        tried = name if again == 1 else f"{stem} ({again}).{suffix}" if dot else f"{name} ({again})"
        try:
            os.link(part, home / tried)
            return tried
        except FileExistsError:
            if file_hash(home / tried) == digest:
                return tried
    raise OSError("a thousand files of its name are there")


def _safe(name: str) -> str:
    """A name that any system takes: letters, digits and a few signs."""
    plain = re.sub(r"[^\w .()+,=@-]", "_", name, flags=re.ASCII).strip(" .") or "file"
    stem, dot, suffix = plain.rpartition(".")
    return plain if len(plain) <= _MOST_NAME else f"{(stem or suffix)[:_MOST_NAME]}{dot}{suffix[:12] if stem else ''}"

"""Which files a client sent: names in a folder, nothing opened. Takes the folder, gives `Listing`.

What a client sends may hold links as well as files. A link may lead anywhere on this machine, and what it leads to would
come to stand in a proof: so links to folders are never followed, and a link to a file counts only where it stays inside.
"""

import errno
import os
import stat
from pathlib import Path

from attrs import define, field, frozen

from .naming import short

MOST_FILES = 5000  # ours: an art folder with more is somebody's whole disk
_MOST_FOLDERS = 5000  # ours
_MOST_LEFT_OUT = 50  # ours
_NOTHING_THERE = {errno.ENOENT, errno.ELOOP, errno.ENOTDIR}  # links that lead to nothing, or to themselves


@frozen
class Listing:
    """``names`` below the folder, with "/", sorted. ``left_out`` = (what, why) of what was not looked into. ``whole`` is False
    where files may lie there that are not in ``names``."""

    names: tuple[str, ...]
    left_out: tuple[tuple[str, str], ...] = ()
    whole: bool = True


def listing(folder: Path) -> Listing:
    """The plain files below ``folder``, and links to such; hidden ones are left out. Raises `OSError` where the folder itself is
    there and can't be listed."""
    found = _Found()
    todo = _names_in(folder, "") if folder.is_dir() else []
    while todo and found.goes_on:
        name = todo.pop()
        try:
            about = (folder / name).stat()
            if stat.S_ISREG(about.st_mode):
                found.file(name)
            elif stat.S_ISDIR(about.st_mode):
                todo += _names_in(folder, name) if found.folder(name, linked=(folder / name).is_symlink()) else []
        except OSError as error:
            if error.errno not in _NOTHING_THERE:
                found.unknown(name, error)
    return Listing(tuple(found.names), tuple(found.left_out), found.whole)


def _names_in(folder: Path, name: str) -> list[str]:
    """What lies in ``name`` below ``folder``, without hidden ones, sorted backwards: the next one is taken from the end."""
    below = sorted(entry.name for entry in os.scandir(folder / name) if not entry.name.startswith("."))
    return [f"{name}/{each}" if name else each for each in reversed(below)]


@define
class _Found:
    names: list[str] = field(factory=list)
    left_out: list[tuple[str, str]] = field(factory=list)
    folders: int = 0
    whole: bool = True
    goes_on: bool = True

    def file(self, name: str) -> None:
        if len(self.names) < MOST_FILES:
            self.names.append(name)
        else:
            self._end(f"files after the first {MOST_FILES} in art/")

    def folder(self, name: str, linked: bool) -> bool:
        """Whether to look into it."""
        if linked:
            self._leave_out(name, "it is a link to a folder, which is not followed; put the files into art/")
            return False
        self.folders += 1
        if self.folders > _MOST_FOLDERS:
            self._end(f"folders after the first {_MOST_FOLDERS} in art/")
        return self.goes_on

    def unknown(self, name: str, error: OSError) -> None:
        self._leave_out(name, f"it can't be looked at ({error.strerror or error})")
        self.whole = False

    def _leave_out(self, name: str, why: str) -> None:
        if len(self.left_out) == _MOST_LEFT_OUT:
            self._end(f"what follows art/{short(name)}")
        else:
            self.left_out.append((f"art/{short(name)}", why))

    def _end(self, what: str) -> None:
        self.left_out.append((what, "no order has so many; clear the folder"))
        self.whole = self.goes_on = False


def lies_within(path: Path, folder: Path) -> bool:
    """Whether ``path``, all links followed, lies in ``folder`` or in its ``art`` (which may itself be a link: whoever set the
    order up made it)."""
    real = os.path.realpath(path)
    return any(real.startswith(os.path.realpath(home) + os.sep) for home in (folder, folder / "art"))

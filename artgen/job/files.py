"""Files read and laid pages looked at, on all processors, each only if the cache does not hold it already.

Takes paths and laid pages; gives facts and observations, in the order of what was asked whatever was ready first.
"""

import hashlib
import os
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from functools import partial
from pathlib import Path

from attrs import evolve, frozen

from .. import cache, pool
from ..art import FileFacts, FileFault, get_ready, read, recalled
from ..art.folder import lies_within
from ..cache import Kept
from ..checks import wrong_words
from ..confined import is_machines, machine_fault
from ..order import Order
from ..placing import Laid
from ..pool import Crew
from ..sizing.outline import bounds
from ..survey import LaidSeen, look, placed_words
from ..survey.keeping import key_of, seen_from, settled

Done = Callable[[int, int], None]  # how many are done, of how many
_NEEDS = 1_200_000_000  # ours: bytes of memory for one page with its child process and networks, beside the file
_TIMES = 2.5  # ours: bytes of memory a byte of the file
_SLOW = 200_000_000  # ours: bytes that take about as long to hash as it takes to get ready to read them
_SHARE = 0.8  # ours: of the machine's memory
_MOST_AT_ONCE = 4  # ours: views that one process looks at side by side


@frozen
class Art:
    """A file that the order wants. ``path``: None if there is none; ``fault``: it is not to be opened at all; ``digest`` =
    SHA-256 of its bytes, empty where they can't or may not be read."""

    name: str
    path: Path | None
    fault: FileFault | None = None
    kept: Kept | None = None
    digest: str = ""


def art_of(order: Order, name: str, alone: Path | None = None) -> Art:
    """The file below ``art/``, or beside the order, and what the cache holds of it; or the one that came ``alone``."""
    path = alone or _path(order, name)
    if path is None:
        return Art(name, None)
    fault = _closed(path, path.resolve().parent if alone else order.folder)
    if fault is not None:
        return Art(name, path, fault)
    with suppress(OSError):  # the reader tells the file's own fault
        if path.stat().st_size >= _SLOW:
            get_ready()
    kept = cache.kept_of(path)
    return Art(name, path, None, kept, _digest(path) if kept is None else kept.digest)


def crew_for(arts: Sequence[Art], workers: int | None = None) -> int:
    """How many processes may read and look side by side, so that memory bears the largest files."""
    largest = max((one.path.stat().st_size for one in arts if one.path is not None and one.fault is None), default=0)
    fit = int(pool.memory() * _SHARE / (_NEEDS + _TIMES * largest))
    return max(1, min(pool.processors() if workers is None else workers, fit))


def facts_of(arts: Sequence[Art], crew: Crew, done: Done) -> dict[str, FileFacts | FileFault]:
    """What each file that is there is, by its name."""
    found: dict[str, FileFacts | FileFault | None] = {
        one.name: one.fault or recalled(one.path, one.kept) for one in arts if one.path is not None
    }
    new = [one for one in arts if one.path is not None and found[one.name] is None]
    for one, facts in zip(new, crew.each(_read, new, _bytes, partial(done, len(new))), strict=True):
        found[one.name] = facts
    return {name: facts for name, facts in found.items() if facts is not None}


@frozen
class _View:
    """One page to be looked at: as `look` takes it, and whether ``pictures`` are to come back."""

    art: Art
    laid: Laid
    reading: bool
    pictures: bool
    at_once: int


def looks_at(
    laid: Sequence[Laid], arts: Mapping[str, Art], crew: Crew, done: Done, reading: bool, pictures: bool, cores: int
) -> tuple[LaidSeen, ...]:
    """What is seen of each laid page. ``cores``: so many may be busy; where pages are fewer, each takes several."""
    found: list[LaidSeen | None] = []
    for one in laid:
        art = arts[one.claim.file]
        found.append(_gone(one) if art.path is None else _recalled(art, one, reading, pictures))
    new = [n for n, seen in enumerate(found) if seen is None]
    at_once = max(1, min(_MOST_AT_ONCE, cores // max(1, min(crew.workers, len(new)))))
    views = [_View(arts[laid[n].claim.file], laid[n], reading, pictures, at_once) for n in new]
    for n, seen in zip(new, crew.each(_look, views, _area, partial(done, len(new))), strict=True):
        found[n] = evolve(seen, laid=laid[n])
    return tuple(seen for seen in found if seen is not None)


def _read(_: None, art: Art) -> FileFacts | FileFault:
    assert art.path is not None
    try:
        return read(art.path, art.kept)
    except OSError as error:
        if is_machines(error):
            raise machine_fault(f"{art.path.name} could not be opened", error) from None
        return FileFault("damaged", f"it could not be opened ({error.strerror or error})")


def _look(_: None, view: _View) -> LaidSeen:
    assert view.art.path is not None
    try:
        seen, (value, blobs) = settled(look(view.art.path, view.laid, wrong_words, view.reading, view.at_once))
    except FileNotFoundError:
        return _gone(view.laid)
    if view.art.kept is not None and seen.fault is None and seen.unread is None:
        view.art.kept.put(key_of(view.laid, view.reading), value, blobs)
    return seen if view.pictures else evolve(seen, pictures={})


def _recalled(art: Art, laid: Laid, reading: bool, pictures: bool) -> LaidSeen | None:
    entry = art.kept.get(key_of(laid, reading), blobs=pictures) if art.kept is not None else None
    try:
        return seen_from(entry, laid, pictures) if entry is not None else None
    except ValueError:
        return None


def _gone(laid: Laid) -> LaidSeen:
    return LaidSeen(laid, placed_words(laid), fault=FileFault("damaged", "gone"))


def _bytes(art: Art) -> float:
    assert art.path is not None
    return art.path.stat().st_size


def _area(view: _View) -> float:
    """Large planes take longest: they are begun first."""
    x0, y0, x1, y1 = bounds([point for outline in view.laid.target.outline("art") for point in outline])
    return (x1 - x0) * (y1 - y0)


def _path(order: Order, name: str) -> Path | None:
    """None if there is none."""
    for path in (order.folder / "art" / name, order.folder / name):
        try:
            if path.is_file():
                return path
        except (OSError, ValueError):  # a name that no file can have
            continue
    return None


def _digest(path: Path) -> str:
    try:
        with path.open("rb") as stream:
            return hashlib.file_digest(stream, "sha256").hexdigest()
    except OSError:  # the reader tells the file's own fault
        return ""


def _closed(path: Path, folder: Path) -> FileFault | None:
    """Why a file of ``folder`` is not to be opened."""
    if not lies_within(path, folder):
        return FileFault(
            "unsupported",
            "it is a link that leads out of the order's folder, and what lies there is not read; put the file itself into art/",
        )
    try:
        os.fspath(path).encode()
    except UnicodeEncodeError:
        return FileFault("unsupported", "its name holds bytes that are no text; give it a plain name")
    if not os.access(path, os.R_OK):
        return FileFault("damaged", "this user may not read it: its permissions forbid that")
    return None

"""What was worked out of a client's file, kept for the next time: plain JSON and raw bytes in the user's cache folder.

Takes a file and a key (plain JSON); gives back what was put under both. An entry goes by the SHA-256 of the file's bytes, by its
key, and by all that the answer could depend on beside them: artgen's version and code, the libraries that read, and the
system's fonts. Entries are foreign data: a damaged, cut or misplaced one is none at all, and whoever takes one checks what it
says as if it came from outside. The folder may be deleted at any time; what can't be written is not kept.
"""

import hashlib
import json
import os
import sys
import time
import zlib
from collections.abc import Mapping
from contextlib import suppress
from functools import cache as once
from importlib import metadata
from pathlib import Path
from typing import Any

from attrs import field, frozen

import artgen

SETTING = "ARTGEN_CACHE"  # another folder; empty: nothing is kept
MOST_BYTES = 1_000_000_000  # ours: of all entries; past it the longest unused go
_AFTER = 0.8  # ours: of that much, what is left then
_MOST_ENTRY = 1_000_000_000  # ours: bytes of one entry, unpacked
_MOST_HEAD = 100_000
_STALE = 3600.0  # seconds after which a file that was never finished is nobody's
_MAGIC = b"artgen kept 1\n"
_READERS = (  # packages whose answers are kept
    "cairosvg",
    "numpy",
    "onnxruntime",
    "opencv-python-headless",
    "pikepdf",
    "Pillow",
    "pypdfium2",
    "pyvips",
    "pyvips-binary",
    "rapidocr",
    "shapely",
)


@frozen
class Entry:
    """What was kept. ``blobs`` by name, those that were asked for."""

    value: Any
    blobs: Mapping[str, bytes] = field(factory=dict, repr=False)


@frozen
class Kept:
    """What is kept of one file's bytes. ``state`` = what the system said of the file when they were hashed."""

    folder: Path
    digest: str
    file: Path
    state: tuple[int, ...]

    def get(self, key: Mapping[str, Any], blobs: bool = True) -> Entry | None:
        """What was put under ``key``; None if there is nothing whole. Without ``blobs`` these stay where they are."""
        path = self._path(key)
        try:
            with path.open("rb") as stream:
                entry = _parse(stream, path.stem, blobs)
            os.utime(path)  # used now: others go first
        except (OSError, ValueError, KeyError, TypeError, RecursionError, MemoryError, zlib.error):
            return None
        return entry

    def put(self, key: Mapping[str, Any], value: Any, blobs: Mapping[str, bytes] | None = None) -> None:
        """Keep ``value`` and ``blobs`` under ``key``, unless the file has changed since it was hashed."""
        path = self._path(key)
        part = path.with_suffix(f".{os.getpid()}.part")
        try:
            if _state(self.file) != self.state:
                return
            data = _packed(path.stem, value, blobs or {})
            self.folder.mkdir(mode=0o700, parents=True, exist_ok=True)  # it holds what clients sent
            path.parent.mkdir(mode=0o700, exist_ok=True)
            try:
                with part.open("xb") as stream:
                    stream.write(data)
                part.replace(path)
            finally:
                part.unlink(missing_ok=True)
        except (OSError, ValueError):
            return

    def _path(self, key: Mapping[str, Any]) -> Path:
        whole = json.dumps([stamp(), self.digest, key], sort_keys=True)
        name = hashlib.sha256(whole.encode()).hexdigest()
        return self.folder / name[:2] / name


def kept_of(file: Path) -> Kept | None:
    """What is kept of ``file``, which is read once for its hash; None where nothing can be kept."""
    folder = folder_here()
    if folder is None:
        return None
    try:
        before = _state(file)
        with file.open("rb") as stream:
            digest = hashlib.file_digest(stream, "sha256").hexdigest()
        return Kept(folder, digest, file, before) if _state(file) == before else None
    except OSError:
        return None


def folder_here() -> Path | None:
    """Where entries lie: the setting's folder, else the user's cache folder (XDG Base Directory, on macOS Library/Caches)."""
    setting = os.environ.get(SETTING)
    if setting is not None:
        return Path(setting).absolute() if setting else None
    try:
        home = Path.home()
    except RuntimeError:
        return None
    if sys.platform == "darwin":
        return home / "Library" / "Caches" / "artgen"
    base = Path(os.environ.get("XDG_CACHE_HOME") or home / ".cache")
    return (base if base.is_absolute() else home / ".cache") / "artgen"  # a relative one counts as unset


def tidy(most: int = MOST_BYTES) -> None:
    """If entries take more than ``most`` bytes, those longest unused go; so does what was never finished."""
    folder = folder_here()
    if folder is None:
        return
    found: list[tuple[float, int, str]] = []
    with suppress(OSError):
        for below in os.scandir(folder):
            if len(below.name) == 2 and below.is_dir(follow_symlinks=False):
                found += _entries(below.path)
    now = time.time()
    left = []
    for used, size, path in sorted(found):
        if path.endswith(".part") and used < now - _STALE:
            _remove(path)
        else:
            left.append((size, path))
    total = sum(size for size, _ in left)
    if total <= most:
        return
    for size, path in left:
        if total <= most * _AFTER:
            break
        _remove(path)
        total -= size


def _remove(path: str) -> None:
    with suppress(OSError):
        Path(path).unlink()


def _entries(folder: str) -> list[tuple[float, int, str]]:
    """(last used, bytes, path) of what lies in one of the folders; other things are not ours and stay."""
    found = []
    with suppress(OSError):
        for one in os.scandir(folder):
            if one.is_file(follow_symlinks=False) and len(one.name.split(".")[0]) == 64:
                state = one.stat(follow_symlinks=False)
                found.append((state.st_mtime, state.st_size, one.path))
    return found


@once
def stamp() -> str:
    """One word for all beside the file that an answer could depend on."""
    told = hashlib.sha256(artgen.__version__.encode())
    package = Path(artgen.__file__).parent
    for path in sorted(package.rglob("*.py")):
        told.update(path.relative_to(package).as_posix().encode() + b"\0" + path.read_bytes())
    for name in _READERS:
        with suppress(metadata.PackageNotFoundError):
            told.update(f"{name} {metadata.version(name)}\n".encode())
    for folder in _font_folders():
        for above, _, names in sorted(os.walk(folder)):
            told.update(f"{above} {sorted(names)}\n".encode("utf-8", "surrogateescape"))
    return told.hexdigest()


def _font_folders() -> list[Path]:
    """Where systems keep fonts: lettering whose font did not come with the file is drawn with one of these."""
    home = Path(os.environ.get("HOME") or "/nonexistent")
    if sys.platform == "darwin":
        return [Path("/System/Library/Fonts"), Path("/Library/Fonts"), home / "Library" / "Fonts"]
    own = [home / ".fonts", home / ".local" / "share" / "fonts"]
    return [Path("/usr/share/fonts"), Path("/usr/local/share/fonts"), Path("/etc/fonts"), *own]


def _state(file: Path) -> tuple[int, ...]:
    found = file.stat()
    return found.st_dev, found.st_ino, found.st_size, found.st_mtime_ns


def _packed(name: str, value: Any, blobs: Mapping[str, bytes]) -> bytes:
    """An entry's bytes: a line of what follows, the value, the blobs packed."""
    body = json.dumps(value, allow_nan=False).encode("utf-8", "surrogatepass")
    parts = {key: zlib.compress(data, 1) for key, data in blobs.items()}
    head = {
        "name": name,
        "value": [len(body), _digest(body)],
        "blobs": [[key, len(blobs[key]), len(part), _digest(part)] for key, part in parts.items()],
    }
    return b"".join([_MAGIC, json.dumps(head).encode(), b"\n", body, *parts.values()])


def _parse(stream: Any, name: str, wanted: bool) -> Entry:
    """Raises ValueError and its like for whatever is not as it was written."""
    if stream.read(len(_MAGIC)) != _MAGIC:
        raise ValueError("no entry")
    head = json.loads(stream.readline(_MOST_HEAD))
    if head["name"] != name:
        raise ValueError("another entry's name")
    length, digest = head["value"]
    body = _exactly(stream, length, digest)
    blobs = {}
    for key, full, packed, told in head["blobs"] if wanted else ():
        data = _exactly(stream, packed, told)
        unpacker = zlib.decompressobj()
        if not isinstance(full, int) or not 0 <= full <= _MOST_ENTRY:
            raise ValueError("too large")
        blobs[str(key)] = unpacker.decompress(data, full) if full else b""
        if len(blobs[str(key)]) != full:
            raise ValueError("cut")
    return Entry(json.loads(body), blobs)


def _exactly(stream: Any, length: object, digest: object) -> bytes:
    if not isinstance(length, int) or not 0 <= length <= _MOST_ENTRY:
        raise ValueError("too large")
    data: bytes = stream.read(length)
    if len(data) != length or _digest(data) != digest:
        raise ValueError("cut or changed")
    return data


def _digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()

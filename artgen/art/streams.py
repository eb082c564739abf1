"""Pictures that libvips can't open by itself, handed to it as streams. Takes open binary streams, gives libvips images
that are read from the top, in memory that does not grow with the file.

A picture stored plane after plane (all of one channel, then all of the next) gets a TIFF directory put before its own
bytes: TIFF 6.0 has the same layout (PlanarConfiguration 2) and the same packing of rows (PackBits, section 9), so that
its reader decodes what other formats store. BigTIFF, since offsets may pass 4 GiB.
"""

import struct
import weakref
import zipfile
import zlib
from pathlib import Path
from typing import IO, Any, Literal, Protocol

import numpy as np
import pyvips
from attrs import frozen
from numpy.typing import NDArray

_STRIP_BYTES = 262_144  # ours: about so many bytes of a plane, unpacked, go into one strip
_NONE, _PACKBITS = 1, 32_773
_SHORT, _LONG, _LONG8 = 3, 4, 16
_CODES = {_SHORT: "H", _LONG: "I", _LONG8: "Q"}


class Stream(Protocol):
    """What is asked of a stream."""

    def read(self, size: int, /) -> bytes: ...
    def seek(self, offset: int, whence: int = 0, /) -> int: ...
    def close(self) -> None: ...


@frozen
class Planes:
    """Where a picture's planes lie in a file. ``starts`` = first byte of each plane; ``rows`` = bytes of every stored row of
    every plane where rows are packed (PackBits), else None; ``photometric`` as TIFF 6.0 counts it; ``colours`` = its colour
    map, 3 × 2^bits numbers of 16 bits; ``order`` = of the bytes of a 16-bit number."""

    width: int
    height: int
    bits: int
    photometric: int
    starts: tuple[int, ...]
    order: Literal["<", ">"]
    rows: NDArray[np.int64] | None = None
    colours: tuple[int, ...] = ()

    @property
    def row_bytes(self) -> int:
        """Bytes of one row of one plane, unpacked."""
        return (self.width * self.bits + 7) // 8


def planes_opened(file: Path, planes: Planes) -> Any:
    """A libvips image of a file's planes."""
    stream = file.open("rb", buffering=0)
    return opened(_After(_directory(planes), stream))


def opened(stream: Stream) -> Any:
    """A libvips image of the picture that a stream holds, in a format that libvips knows. The stream is closed with it.

    Raises `pyvips.Error` where it holds none.
    """
    source = pyvips.SourceCustom()

    def read(size: int) -> bytes:
        try:
            return stream.read(size)
        except (OSError, EOFError, ValueError, zlib.error, zipfile.BadZipFile):
            return b""  # a file that ends here; whoever decodes it complains

    source.on_read(read)
    source.on_seek(stream.seek)
    weakref.finalize(source, stream.close)
    return pyvips.Image.new_from_source(source, "", access="sequential", fail_on="error")


class _After:
    """``head``, and after it the bytes of ``stream``."""

    def __init__(self, head: bytes, stream: IO[bytes]) -> None:
        self._head, self._stream, self._at = head, stream, 0
        self._size = len(head) + stream.seek(0, 2)

    def read(self, size: int, /) -> bytes:
        if self._at < len(self._head):
            found = self._head[self._at : self._at + size]
        else:
            self._stream.seek(self._at - len(self._head))
            found = self._stream.read(size)
        self._at += len(found)
        return found

    def seek(self, offset: int, whence: int = 0, /) -> int:
        self._at = max(0, offset + (0, self._at, self._size)[whence])
        return self._at

    def close(self) -> None:
        self._stream.close()


def _directory(planes: Planes) -> bytes:
    """Header, directory and tables of a BigTIFF whose picture follows them at once."""
    count = len(planes.starts)
    high = max(1, min(planes.height, _STRIP_BYTES // planes.row_bytes))
    starts, lengths = _strips(planes, high)
    extra = count - {2: 3, 5: 4}.get(planes.photometric, 1)
    entries: dict[int, tuple[int, list[int]]] = {
        256: (_LONG, [planes.width]),
        257: (_LONG, [planes.height]),
        258: (_SHORT, [planes.bits] * count),
        259: (_SHORT, [_NONE if planes.rows is None else _PACKBITS]),
        262: (_SHORT, [planes.photometric]),
        273: (_LONG8, starts),
        277: (_SHORT, [count]),
        278: (_LONG, [high]),
        279: (_LONG8, lengths),
        284: (_SHORT, [2 if count > 1 else 1]),
    }
    if planes.colours:
        entries[320] = (_SHORT, list(planes.colours))
    if extra > 0:
        entries[338] = (_SHORT, [0] * extra)
    order = planes.order
    first = 16 + 8 + 20 * len(entries) + 8  # where tables that don't fit an entry begin
    size = first + sum(_bytes(kind, values) for kind, values in entries.values())
    entries[273] = (_LONG8, [start + size for start in starts])
    mark = b"II" if order == "<" else b"MM"
    head, tables = mark + struct.pack(order + "HHHQQ", 43, 8, 0, 16, len(entries)), b""
    for tag, (kind, values) in entries.items():
        raw = struct.pack(order + _CODES[kind] * len(values), *values)
        if len(raw) > 8:
            where = struct.pack(order + "Q", first + len(tables))
            tables += raw
        else:
            where = raw.ljust(8, b"\0")
        head += struct.pack(order + "HHQ", tag, kind, len(values)) + where
    return (head + bytes(8) + tables).ljust(size, b"\0")


def _bytes(kind: int, values: list[int]) -> int:
    return struct.calcsize("<" + _CODES[kind]) * len(values)


def _strips(planes: Planes, high: int) -> tuple[list[int], list[int]]:
    """(starts, lengths) of strips of ``high`` rows, plane after plane."""
    tops = np.arange(0, planes.height, high)
    starts: list[int] = []
    lengths: list[int] = []
    for number, start in enumerate(planes.starts):
        if planes.rows is None:
            at = np.minimum(np.append(tops, planes.height), planes.height) * planes.row_bytes
        else:
            row = planes.rows[number * planes.height : (number + 1) * planes.height]
            at = np.concatenate(([0], np.cumsum(row)))[np.append(tops, planes.height)]
        starts += [int(value) + start for value in at[:-1]]
        lengths += [int(value) for value in np.diff(at)]
    return starts, lengths

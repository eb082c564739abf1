"""Header tags of TIFF, JPEG, PNG and WebP, read from the bytes as each format's specification lays them out.

Takes an open binary stream, gives `Tags`. No pixel is decoded; whether the file goes on to its end is checked from its
own structure. TIFF 6.0, BigTIFF, EXIF 2.32, JFIF 1.02, ITU-T T.81 annex B, ISO/IEC 15948 (PNG), RFC 9649 (WebP).
"""

import re
import struct
from collections.abc import Callable
from fractions import Fraction
from io import BytesIO
from typing import IO, Literal

from attrs import frozen

from ..units import MM_PER_INCH

_CM_PER_INCH = float(MM_PER_INCH / 10)
_M_PER_INCH = float(MM_PER_INCH / 1000)
_MAX_SEGMENTS = 100_000  # ours: chunks, segments or directories walked in one file
Alpha = Literal["straight", "premultiplied", "unstated"]


@frozen
class Tags:
    """``per_inch`` = pixels an inch (x, y) as stored, None if not stated; ``alpha`` = what a spare channel means;
    ``cut_off`` = why the file seems to end too early, empty if it doesn't."""

    width: int
    height: int
    per_inch: tuple[float, float] | None = None
    orientation: int = 1
    alpha: Alpha = "straight"
    cut_off: str = ""
    not_seen: tuple[str, ...] = ()


Directory = dict[int, list[float]]  # tag number → values; tags whose type is not numeric are left out
# type number → (struct code, bytes); rationals are handled apart: TIFF 6.0 section 2, BigTIFF
_TYPES = {
    1: ("B", 1),
    3: ("H", 2),
    4: ("I", 4),
    5: ("II", 8),
    6: ("b", 1),
    8: ("h", 2),
    9: ("i", 4),
    13: ("I", 4),
    16: ("Q", 8),
}
_WIDTH, _HEIGHT, _STRIPS, _ORIENTATION, _STRIP_BYTES = 256, 257, 273, 274, 279
_X_RES, _Y_RES, _RES_UNIT, _TILES, _TILE_BYTES, _EXTRA = 282, 283, 296, 324, 325, 338
_WANTED = {_WIDTH, _HEIGHT, _STRIPS, _ORIENTATION, _STRIP_BYTES, _X_RES, _Y_RES, _RES_UNIT, _TILES, _TILE_BYTES, _EXTRA}


def tiff_tags(stream: IO[bytes]) -> Tags:
    """Tags of the first image of a TIFF or BigTIFF."""
    tags, following = _directory(stream, 0)
    size = stream.seek(0, 2)
    offsets = tags.get(_STRIPS) or tags.get(_TILES) or []
    counts = tags.get(_STRIP_BYTES) or tags.get(_TILE_BYTES) or []
    end = max((at + length for at, length in zip(offsets, counts, strict=False)), default=0)
    extra = tags.get(_EXTRA, [])
    meaning: Alpha = "premultiplied" if 1 in extra[:1] else "straight" if 2 in extra[:1] else "unstated"
    return Tags(
        width=int(tags[_WIDTH][0]),
        height=int(tags[_HEIGHT][0]),
        per_inch=_resolution(tags),
        orientation=_orientation(tags),
        alpha=meaning,
        cut_off=f"its pixels should end at byte {end:.0f}, the file ends at {size}" if end > size else "",
        not_seen=("further images in the same file",) if following else (),
    )


def jpeg_tags(stream: IO[bytes]) -> Tags:
    """Tags of a JPEG: JFIF density first, then EXIF, then the image resource block that photo editors write."""
    stream.seek(0)
    data = stream.read()
    width = height = 0
    jfif = exif = block = None
    orientation, at = 1, 2
    for _ in range(_MAX_SEGMENTS):
        while data[at : at + 2] == b"\xff\xff":  # fill bytes may come before a marker
            at += 1
        marker, length = struct.unpack_from(">HH", data, at)
        body = data[at + 4 : at + 2 + length]
        if marker >> 8 != 0xFF:
            raise ValueError(f"no segment at byte {at}")
        if marker == 0xFFE0 and body[:5] == b"JFIF\0":
            jfif = _density(*struct.unpack_from(">BHH", body, 7))
        elif marker == 0xFFE1 and body[:6] == b"Exif\0\0":
            exif, orientation = _exif(body[6:])
        elif marker == 0xFFED:
            block = _resource_resolution(body)
        elif 0xFFC0 <= marker <= 0xFFCF and marker not in (0xFFC4, 0xFFC8, 0xFFCC):
            height, width = struct.unpack_from(">HH", body, 1)
        elif marker == 0xFFDA:
            break
        at += 2 + length
    ended = _jpeg_ends(data, at)
    return Tags(
        width=width,
        height=height,
        per_inch=jfif or exif or block,
        orientation=orientation,
        cut_off="" if ended else "its end marker is missing",
    )


def png_tags(stream: IO[bytes]) -> Tags:
    """Tags of a PNG; pHYs counts only with the metre as its unit (11.3.4.3)."""
    stream.seek(8)
    width = height = 0
    per_inch, orientation, cut_off = None, 1, "its end chunk is missing"
    size = stream.seek(0, 2)
    at = 8
    for _ in range(_MAX_SEGMENTS):
        stream.seek(at)
        head = stream.read(8)
        if len(head) < 8:
            break
        length, kind = struct.unpack(">I4s", head)
        if at + 12 + length > size:
            break
        if kind == b"IHDR":
            width, height = struct.unpack(">II", stream.read(8))
        elif kind == b"pHYs":
            x, y, unit = struct.unpack(">IIB", stream.read(9))
            per_inch = (x * _M_PER_INCH, y * _M_PER_INCH) if unit == 1 and x and y else None
        elif kind == b"eXIf" and length < 1_000_000:
            _, orientation = _exif(stream.read(length))
        elif kind == b"IEND":
            cut_off = ""
            break
        at += 12 + length
    return Tags(width, height, per_inch, orientation, cut_off=cut_off)


def webp_tags(stream: IO[bytes]) -> Tags:
    """Tags of a WebP; resolution and orientation can only stand in its EXIF chunk."""
    size = stream.seek(0, 2)
    stream.seek(4)
    stated = struct.unpack("<I", stream.read(4))[0] + 8
    width = height = 0
    per_inch, orientation, at = None, 1, 12
    not_seen: tuple[str, ...] = ()
    for _ in range(_MAX_SEGMENTS):
        stream.seek(at)
        head = stream.read(8)
        if len(head) < 8:
            break
        kind, length = struct.unpack("<4sI", head)
        body = stream.read(min(length, 1_000_000))
        if kind == b"VP8X":
            width, height = (1 + int.from_bytes(body[i : i + 3], "little") for i in (4, 7))
        elif kind == b"VP8 " and not width:
            width, height = (value & 0x3FFF for value in struct.unpack_from("<HH", body, 6))
        elif kind == b"VP8L" and not width:
            bits = struct.unpack_from("<I", body, 1)[0]
            width, height = 1 + (bits & 0x3FFF), 1 + (bits >> 14 & 0x3FFF)
        elif kind == b"EXIF":
            per_inch, orientation = _exif(body.removeprefix(b"Exif\0\0"))
        elif kind == b"ANIM":
            not_seen = ("the frames of an animation after the first",)
        at += 8 + length + length % 2
    cut_off = f"it should have {stated} bytes and has {size}" if stated > size else ""
    return Tags(width, height, per_inch, orientation, cut_off=cut_off, not_seen=not_seen)


def _directory(stream: IO[bytes], base: int) -> tuple[Directory, int]:
    """(wanted tags of the first image file directory, offset of the next one) of TIFF data that begins at ``base``."""
    stream.seek(base)
    head = stream.read(16)
    order = {b"II": "<", b"MM": ">"}[head[:2]]
    big = struct.unpack_from(order + "H", head, 2)[0] == 43
    at = struct.unpack_from(order + ("Q" if big else "I"), head, 8 if big else 4)[0]

    def read(offset: int, code: str) -> tuple[int, ...]:
        stream.seek(base + offset)
        return struct.unpack(order + code, stream.read(struct.calcsize(order + code)))

    size = stream.seek(0, 2)
    count = read(at, "Q" if big else "H")[0]
    first, step, inline = (at + 8, 20, 8) if big else (at + 2, 12, 4)
    tags: Directory = {}
    for number in range(min(count, _MAX_SEGMENTS)):
        entry = first + step * number
        tag, kind, values = read(entry, "HHQ" if big else "HHI")
        if tag not in _WANTED or kind not in _TYPES:
            continue
        code, bytes_each = _TYPES[kind]
        where = entry + step - inline
        if values * bytes_each > inline:
            where = read(where, "Q" if big else "I")[0]
        if values * bytes_each > size:
            raise ValueError(f"tag {tag} claims more bytes than the file has")
        raw = read(where, code * values)
        tags[tag] = _ratios(raw) if kind == 5 else [float(value) for value in raw]
    return tags, read(first + step * count, "Q" if big else "I")[0]


def _ratios(raw: tuple[int, ...]) -> list[float]:
    pairs = zip(raw[::2], raw[1::2], strict=True)
    return [float(Fraction(over, under)) if under else 0.0 for over, under in pairs]


def _resolution(tags: Directory) -> tuple[float, float] | None:
    """Pixels an inch, if the file states a length unit; TIFF 6.0 takes the inch where the unit's tag is absent."""
    if _X_RES not in tags or _Y_RES not in tags:
        return None
    return _density(int(tags.get(_RES_UNIT, [2.0])[0]) - 1, tags[_X_RES][0], tags[_Y_RES][0])


def _density(unit: int, x: float, y: float) -> tuple[float, float] | None:
    """Pixels an inch from a density with JFIF's units: 1 = inch, 2 = centimetre, else proportions alone."""
    if unit not in (1, 2) or x <= 0 or y <= 0:
        return None
    factor = 1.0 if unit == 1 else _CM_PER_INCH
    return (x * factor, y * factor)


def _orientation(tags: Directory) -> int:
    value = int(tags.get(_ORIENTATION, [1.0])[0])
    return value if 1 <= value <= 8 else 1


def _exif(data: bytes) -> tuple[tuple[float, float] | None, int]:
    """(pixels an inch, orientation) of an EXIF block; a broken block states nothing."""
    try:
        tags, _ = _directory(BytesIO(data), 0)
    except (struct.error, KeyError, ValueError):
        return None, 1
    return _resolution(tags), _orientation(tags)


def _resource_resolution(body: bytes) -> tuple[float, float] | None:
    """Pixels an inch of image resource 0x03ED: 16.16 fixed point, always an inch whatever unit is shown."""
    at = body.find(b"8BIM\x03\xed")
    if at < 0:
        return None
    name = body[at + 6] + 1
    start = at + 6 + name + name % 2 + 4
    x, _, _, y = struct.unpack_from(">IHHI", body, start)
    return _density(1, x / 65536, y / 65536)


_MARKER: Callable[[bytes, int], re.Match[bytes] | None] = re.compile(rb"\xff[^\x00\xd0-\xd7\xff]").search


def _jpeg_ends(data: bytes, at: int) -> bool:
    """Whether the end marker follows the scans, walking from the first scan's marker at ``at`` (T.81 B.1.1)."""
    while at + 4 <= len(data):
        if data[at + 1] == 0xD9:
            return True
        length = struct.unpack_from(">H", data, at + 2)[0]
        found = _MARKER(data, at + 2 + length)
        if found is None:
            return False
        at = found.start()
    return data[at : at + 2] == b"\xff\xd9"

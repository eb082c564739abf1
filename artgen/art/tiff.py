"""Header tags of TIFF 6.0 and BigTIFF, and of EXIF 2.32, which has the same layout.

Takes an open binary stream, gives `Tags`. Pictures stored plane after plane in huge plain strips are given to libvips in
small ones, since it holds whole strips.
"""

import struct
from fractions import Fraction
from io import BytesIO
from pathlib import Path
from typing import IO, Any, Literal

import pyvips

from .loaders import opened
from .streams import Planes, planes_opened
from .tags import MAX_SEGMENTS, Tags, density

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

_WIDTH, _HEIGHT, _BITS, _COMPRESSION, _PHOTOMETRIC, _FILL_ORDER, _STRIPS = 256, 257, 258, 259, 262, 266, 273
_ORIENTATION, _SAMPLES, _ROWS, _STRIP_BYTES, _X_RES, _Y_RES, _PLANAR, _RES_UNIT = 274, 277, 278, 279, 282, 283, 284, 296
_TILE_WIDTH, _TILE_LENGTH, _TILES, _TILE_BYTES, _EXTRA = 322, 323, 324, 325, 338
_WANTED = {_WIDTH, _HEIGHT, _BITS, _COMPRESSION, _PHOTOMETRIC, _FILL_ORDER, _STRIPS, _ORIENTATION, _SAMPLES, _ROWS}
_WANTED |= {_STRIP_BYTES, _X_RES, _Y_RES, _PLANAR, _RES_UNIT, _TILE_WIDTH, _TILE_LENGTH, _TILES, _TILE_BYTES, _EXTRA}
_PLAIN, _SEPARATE = 1, 2
_BY_ROW = 50 << 20  # bytes unpacked from which libvips takes a strip row by row, if its planes are together
_HUGE = 16 << 20  # ours: bytes of a plain strip of one plane from which it is read in small ones
_PROFILE = "icc-profile-data"


def tiff_tags(stream: IO[bytes]) -> Tags:
    """Tags of the first image of a TIFF or BigTIFF."""
    tags, following = _directory(stream, 0)
    size = stream.seek(0, 2)
    offsets, counts = _pieces(tags)
    end = max((at + length for at, length in zip(offsets, counts, strict=False)), default=0)
    # an alpha that colours are multiplied by (1) libvips takes off them as it reads, other spare channels are no alpha
    alpha = next((at for at, meaning in enumerate(tags.get(_EXTRA, [])) if meaning in (1, 2)), None)

    stream.seek(0)
    planes = _planes(tags, "<" if stream.read(1) == b"I" else ">")
    return Tags(
        width=int(tags[_WIDTH][0]),
        height=int(tags[_HEIGHT][0]),
        per_inch=_resolution(tags),
        orientation=_orientation(tags),
        alpha=alpha,
        cut_off=f"its pixels should end at byte {end:.0f}, the file ends at {size}" if end > size else "",
        not_seen=("further images in the same file",) if following else (),
        held=0 if planes else _held(tags),
        held_why="it is stored in huge pieces: save it in strips or tiles of some rows each, its channels together",
        opener=None if planes is None else lambda file: _with_profile(planes_opened(file, planes), file),
    )


def exif(data: bytes) -> tuple[tuple[float, float] | None, int]:
    """(pixels an inch, orientation) of an EXIF block; a broken block states nothing."""
    try:
        tags, _ = _directory(BytesIO(data), 0)
    except (struct.error, KeyError, ValueError):
        return None, 1
    return _resolution(tags), _orientation(tags)


def _pieces(tags: Directory) -> tuple[list[float], list[float]]:
    """(offsets, bytes) of the strips or tiles."""
    return tags.get(_STRIPS) or tags.get(_TILES) or [], tags.get(_STRIP_BYTES) or tags.get(_TILE_BYTES) or []


def _number(tags: Directory, tag: int, default: float) -> int:
    return int(tags.get(tag, [default])[0])


def _held(tags: Directory) -> int:
    """Bytes that libvips holds at once (measured): a packed strip as stored, and unpacked if its planes are apart, for all
    planes, or if it is small; of tiles two rows of them."""
    width, height, samples = (_number(tags, tag, 1) for tag in (_WIDTH, _HEIGHT, _SAMPLES))
    pixel = samples * _number(tags, _BITS, 1) / 8
    stored = int(max(_pieces(tags)[1], default=0))
    if _TILE_WIDTH in tags and _TILE_LENGTH in tags:
        wide, high = (max(1, _number(tags, tag, 1)) for tag in (_TILE_WIDTH, _TILE_LENGTH))
        return int(2 * -(-width // wide) * wide * high * pixel) + stored
    unpacked = int(width * min(height, _number(tags, _ROWS, height)) * pixel)
    if _number(tags, _PLANAR, 1) == _SEPARATE:
        return unpacked + unpacked // samples + stored
    # plain strips are cut into small ones by libtiff itself
    return 0 if _number(tags, _COMPRESSION, _PLAIN) == _PLAIN else min(unpacked, _BY_ROW) + stored


def _planes(tags: Directory, order: Literal["<", ">"]) -> Planes | None:
    """The planes of a picture that is stored plainly, plane after plane, in huge strips; None for any other."""
    width, height, samples, bits = (_number(tags, tag, 1) for tag in (_WIDTH, _HEIGHT, _SAMPLES, _BITS))
    starts = tags.get(_STRIPS, [])
    plain = (_number(tags, _COMPRESSION, _PLAIN), _number(tags, _FILL_ORDER, 1)) == (_PLAIN, 1)
    apart = _number(tags, _PLANAR, 1) == _SEPARATE and len(starts) == samples > 1
    if not (plain and apart and bits in (8, 16) and _number(tags, _PHOTOMETRIC, 1) in (0, 1, 2, 5)):
        return None
    if width * height * bits // 8 < _HUGE:
        return None
    photometric = _number(tags, _PHOTOMETRIC, 1)
    return Planes(width, height, bits, photometric, tuple(map(int, starts)), order)


def _with_profile(image: Any, file: Path) -> Any:
    """``image`` with the colour profile that the file's own directory holds."""
    plain = opened(file, "tiff")
    if plain.get_typeof(_PROFILE):
        image = image.copy()
        image.set_type(pyvips.GValue.blob_type, _PROFILE, bytes(plain.get(_PROFILE)))
    return image


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
    for number in range(min(count, MAX_SEGMENTS)):
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
    return density(int(tags.get(_RES_UNIT, [2.0])[0]) - 1, tags[_X_RES][0], tags[_Y_RES][0])


def _orientation(tags: Directory) -> int:
    value = int(tags.get(_ORIENTATION, [1.0])[0])
    return value if 1 <= value <= 8 else 1

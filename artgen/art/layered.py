"""Layered image documents (PSD, and PSB for large ones): the flattened picture that most of them carry.

Takes an open binary stream, gives `Tags`; from them the flattened picture is opened as a stream. Layers are not drawn: a
document without a flattened picture is refused. The layout is that of the format's published specification: header,
colour mode data, image resources, layer and mask information, image data; all big-endian.
"""

import struct
from pathlib import Path
from typing import IO, Any

import numpy as np
import pyvips
from attrs import frozen

from .faults import ArtFault
from .streams import Planes, planes_opened
from .tags import Tags, beside, fixed_resolution

_MAX_BLOCKS = 10_000  # ours: resources and tagged blocks walked in one file
_MAX_SIDE = 300_000  # the format's own, for PSB
_GREY_TIFF, _RGB_TIFF, _PALETTE_TIFF, _CMYK_TIFF, _WHITE_IS_ZERO = 1, 2, 3, 5, 0
_BITMAP, _GREY, _INDEXED, _RGB, _CMYK, _MULTICHANNEL, _DUOTONE, _LAB = 0, 1, 2, 3, 4, 7, 8, 9
_COLOURS = {_BITMAP: 1, _GREY: 1, _INDEXED: 1, _RGB: 3, _CMYK: 4, _DUOTONE: 1, _LAB: 3}
_PHOTOMETRIC = {_BITMAP: _WHITE_IS_ZERO, _INDEXED: _PALETTE_TIFF, _RGB: _RGB_TIFF, _CMYK: _CMYK_TIFF, _LAB: _RGB_TIFF}
_RESOLUTION, _PROFILE, _VERSION = 1005, 1039, 1057  # image resources
_LAYERS_16_32 = (b"Layr", b"Lr16", b"Lr32")  # tagged blocks with the layers of documents of 16 and 32 bits
_TRANSPARENT = (b"Mtrn", b"Mt16", b"Mt32")  # tagged blocks that say that the flattened picture is transparent
# tagged blocks whose length has 8 bytes in a PSB
_LONG_BLOCKS = set(b"LMsk Lr16 Lr32 Layr Mt16 Mt32 Mtrn Alph FMsk lnk2 FEid FXid PxSD".split())
_PLAIN, _PACKED = 0, 1  # how the flattened picture is stored
_SEND = "Save it anew with a flattened picture inside (maximum compatibility), or send a PDF or a TIFF."


@frozen
class _Document:
    """``merged`` = whether it says that its flattened picture is the real one; ``layers`` = how many it has at least;
    ``transparent`` = the first channel after the colours is the flattened picture's transparency; ``data`` = where the
    flattened picture begins."""

    big: bool
    channels: int
    width: int
    height: int
    bits: int
    mode: int
    palette: bytes
    per_inch: tuple[float, float] | None
    profile: bytes
    merged: bool
    layers: int
    transparent: bool
    data: int

    @property
    def colours(self) -> int:
        return _COLOURS[self.mode]

    @property
    def alpha(self) -> bool:
        return self.transparent and self.channels > self.colours and self.mode != _INDEXED


def psd_tags(stream: IO[bytes]) -> Tags:
    """Tags of a layered document. Raises `ArtFault` "unsupported" where its flattened picture is missing or of a kind that
    can't be shown truly."""
    document = _document(stream)
    _refuse(document)
    planes, end = _planes(stream, document)
    size = stream.seek(0, 2)
    notes = []
    spare = document.channels - document.colours - document.alpha
    if spare > 0:
        notes.append(beside(spare))
    if document.mode == _DUOTONE:
        notes.append("the inks of its duotone: it is shown in grey")

    def opener(file: Path) -> Any:
        return _picture(planes_opened(file, planes), document)

    return Tags(
        document.width,
        document.height,
        document.per_inch,
        cut_off=f"its flattened picture should end at byte {end}, the file ends at {size}" if end > size else "",
        not_seen=tuple(notes),
        opener=opener,
    )


def _document(stream: IO[bytes]) -> _Document:
    version, channels, height, width, bits, mode = struct.unpack(">4xH6xHIIHH", _read(stream, 0, 26))
    big = version == 2
    if not (0 < width <= _MAX_SIDE and 0 < height <= _MAX_SIDE and 0 < channels <= 56):
        raise ValueError(f"{width} × {height} pixels in {channels} channels")
    at = 26
    length = _number(stream, at)
    palette = _read(stream, at + 4, min(length, 768))
    at += 4 + length
    length = _number(stream, at)
    resources = _resources(stream, at + 4, at + 4 + length)
    at += 4 + length
    length = _number(stream, at, big)
    layers, transparent = _layers(stream, at + 4 + 4 * big, length, big)
    at += 4 + 4 * big + length
    version_info = resources.get(_VERSION, b"")
    merged = len(version_info) < 5 or version_info[4] != 0  # older documents don't say: they always carry it
    per_inch = fixed_resolution(resources[_RESOLUTION]) if _RESOLUTION in resources else None
    profile = resources.get(_PROFILE, b"")
    return _Document(
        big, channels, width, height, bits, mode, palette, per_inch, profile, merged, layers, transparent, at
    )


def _refuse(document: _Document) -> None:
    """Raises `ArtFault` for what can't be shown truly."""
    name = "The layered image document"
    if document.mode == _MULTICHANNEL or document.mode not in _COLOURS:
        why = f"{name} is in multichannel mode, whose inks have no colours of their own. Turn it to CMYK and send it again."
        raise ArtFault("unsupported", why, "psd")
    if document.bits not in ((1,) if document.mode == _BITMAP else (8, 16)):
        why = f"{name} has {document.bits} bits a channel; 8 and 16 can be read. Turn it to 8 or 16 bits and send it again."
        raise ArtFault("unsupported", why, "psd")
    if document.layers and not document.merged:
        why = f"{name} holds its layers alone, without a flattened picture, so what they show together isn't known. {_SEND}"
        raise ArtFault("unsupported", why, "psd")


def _resources(stream: IO[bytes], at: int, end: int) -> dict[int, bytes]:
    """The image resources that are wanted: number → data."""
    found: dict[int, bytes] = {}
    for _ in range(_MAX_BLOCKS):
        if at + 12 > end:
            break
        mark, number, name = struct.unpack(">4sHB", _read(stream, at, 7))
        if mark not in (b"8BIM", b"8B64", b"MeSa", b"AgHg", b"PHUT", b"DCSR"):
            break
        at += 6 + name + 1 + (name + 1) % 2
        length = _number(stream, at)
        if number in (_RESOLUTION, _PROFILE, _VERSION) and at + 4 + length <= end:
            found.setdefault(number, _read(stream, at + 4, length))
        at += 4 + length + length % 2
    return found


def _layers(stream: IO[bytes], at: int, length: int, big: bool) -> tuple[int, bool]:
    """(how many layers, whether the flattened picture's first spare channel is transparency)."""
    end = at + length
    if length < 4:
        return 0, False
    wide = 4 + 4 * big
    inner = _number(stream, at, big)
    if inner >= 2:
        return _count(stream, at + wide)
    at += wide + inner
    if at + 4 > end:
        return 0, False
    at += 4 + _number(stream, at)  # the global mask
    count, transparent = 0, False
    for _ in range(_MAX_BLOCKS):
        if at + 12 > end:
            break
        mark, key = struct.unpack(">4s4s", _read(stream, at, 8))
        if mark not in (b"8BIM", b"8B64"):
            break
        long = big and key in _LONG_BLOCKS
        inner = _number(stream, at + 8, long)
        at += 12 + 4 * long
        if key in _LAYERS_16_32 and inner >= 2:
            count, below = _count(stream, at)
            transparent = transparent or below
        transparent = transparent or key in _TRANSPARENT
        at += inner + -inner % 4
    return count, transparent


def _count(stream: IO[bytes], at: int) -> tuple[int, bool]:
    """A count below 0 says that the flattened picture's first spare channel is its transparency."""
    (count,) = struct.unpack(">h", _read(stream, at, 2))
    return abs(count), count < 0


def _planes(stream: IO[bytes], document: _Document) -> tuple[Planes, int]:
    """(where the planes lie that are shown, first byte after all planes)."""
    (packing,) = struct.unpack(">H", _read(stream, document.data, 2))
    wanted = document.colours + document.alpha
    if document.channels < document.colours:
        raise ValueError(f"{document.channels} channels are too few for its colours")
    colours = [value * 257 for value in document.palette] if document.mode == _INDEXED else []
    if document.mode == _INDEXED and len(colours) != 768:
        raise ValueError("its palette is not whole")
    at, rows = document.data + 2, None
    if packing == _PLAIN:
        length = (document.width * document.bits + 7) // 8 * document.height
        starts = [at + length * number for number in range(wanted)]
        end = at + length * document.channels
    elif packing == _PACKED:
        each = 4 if document.big else 2
        count = document.height * document.channels
        table = np.frombuffer(_read(stream, at, each * count), f">u{each}").astype(np.int64)
        ends = np.cumsum(table.reshape(document.channels, -1).sum(axis=1))
        first = at + each * count
        starts = [first, *(first + int(value) for value in ends[: wanted - 1])]
        rows, end = table[: document.height * wanted], first + int(ends[-1])
    else:
        why = f"The layered image document's flattened picture is packed in a way that can't be read. {_SEND}"
        raise ArtFault("unsupported", why, "psd")
    photometric = _PHOTOMETRIC.get(document.mode, _GREY_TIFF)
    return Planes(
        document.width, document.height, document.bits, photometric, tuple(starts), ">", rows, tuple(colours)
    ), end


def _picture(image: Any, document: _Document) -> Any:
    """The flattened picture in libvips' own numbers: CMYK as ink, straight alpha, its profile."""
    full = 65535 if document.bits == 16 else 255
    colours, alpha = image, None
    if document.alpha:
        colours, alpha = image.extract_band(0, n=document.colours), image.extract_band(document.colours)
        # transparent parts are stored as they look on white: colour × alpha + white × (1 - alpha)
        white = [full, (full + 1) / 2, (full + 1) / 2] if document.mode == _LAB else [full] * document.colours
        colours = ((colours - white) * full / alpha + white).rint().cast(image.format)
    if document.mode == _CMYK:
        colours = colours.invert()  # stored as light: 0 is full ink
    if document.mode == _LAB:
        step = 256 / (full + 1)  # L from 0 to 100, a and b round the middle of their range
        colours = colours.linear([100 / full, step, step], [0, -128, -128]).cast("float").copy(interpretation="lab")
        alpha = None if alpha is None else (alpha * (255 / full)).cast("float")
    if alpha is not None:
        colours = colours.bandjoin(alpha).copy(interpretation=colours.interpretation)
    if document.profile and document.mode != _LAB:
        colours = colours.copy()
        colours.set_type(pyvips.GValue.blob_type, "icc-profile-data", document.profile)
    return colours


def _read(stream: IO[bytes], at: int, size: int) -> bytes:
    stream.seek(at)
    found = stream.read(size)
    if len(found) < size:
        raise EOFError("it ends too early")
    return found


def _number(stream: IO[bytes], at: int, long: bool = False) -> int:
    return int.from_bytes(_read(stream, at, 8 if long else 4), "big")

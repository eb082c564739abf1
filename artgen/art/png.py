"""Header tags of PNG (ISO/IEC 15948), its chunks walked one by one. Takes an open binary stream, gives `Tags`."""

import struct
from typing import IO

from ..units import MM_PER_INCH
from .tags import MAX_SEGMENTS, Tags
from .tiff import exif

_M_PER_INCH = float(MM_PER_INCH / 1000)
_CHANNELS = {0: 1, 2: 3, 3: 1, 4: 2, 6: 4}  # by colour type: table 11.1
_MAX_EXIF = 1_000_000  # ours: bytes


def png_tags(stream: IO[bytes]) -> Tags:
    """Tags of a PNG; pHYs counts only with the metre as its unit (11.3.4.3)."""
    stream.seek(8)
    width = height = held = 0
    per_inch, orientation, cut_off = None, 1, "its end chunk is missing"
    size = stream.seek(0, 2)
    at = 8
    for _ in range(MAX_SEGMENTS):
        stream.seek(at)
        head = stream.read(8)
        if len(head) < 8:
            break
        length, kind = struct.unpack(">I4s", head)
        if at + 12 + length > size:
            break
        if kind == b"IHDR":
            width, height, bits, colour, _, _, interlaced = struct.unpack(">IIBBBBB", stream.read(13))
            held = width * height * _CHANNELS.get(colour, 4) * max(8, bits) // 8 if interlaced else 0
        elif kind == b"pHYs":
            x, y, unit = struct.unpack(">IIB", stream.read(9))
            per_inch = (x * _M_PER_INCH, y * _M_PER_INCH) if unit == 1 and x and y else None
        elif kind == b"eXIf" and length < _MAX_EXIF:
            _, orientation = exif(stream.read(length))
        elif kind == b"IEND":
            cut_off = ""
            break
        at += 12 + length
    why = "it is stored in several passes (interlaced): save it without"
    return Tags(width, height, per_inch, orientation, cut_off=cut_off, held=held, held_why=why)

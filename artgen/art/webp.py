"""Header tags of WebP (RFC 9649), its chunks walked one by one. Takes an open binary stream, gives `Tags`."""

import struct
from typing import IO

from .tags import MAX_SEGMENTS, Tags
from .tiff import exif

_MAX_BODY = 1_000_000  # ours: bytes of a chunk that are looked at
_HELD = 8  # bytes a pixel: libwebp decodes the whole picture at once (measured)


def webp_tags(stream: IO[bytes]) -> Tags:
    """Tags of a WebP; resolution and orientation can only stand in its EXIF chunk."""
    size = stream.seek(0, 2)
    stream.seek(4)
    stated = struct.unpack("<I", stream.read(4))[0] + 8
    width = height = 0
    per_inch, orientation, at = None, 1, 12
    not_seen: tuple[str, ...] = ()
    for _ in range(MAX_SEGMENTS):
        stream.seek(at)
        head = stream.read(8)
        if len(head) < 8:
            break
        kind, length = struct.unpack("<4sI", head)
        body = stream.read(min(length, _MAX_BODY))
        if kind == b"VP8X":
            width, height = (1 + int.from_bytes(body[i : i + 3], "little") for i in (4, 7))
        elif kind == b"VP8 " and not width:
            width, height = (value & 0x3FFF for value in struct.unpack_from("<HH", body, 6))
        elif kind == b"VP8L" and not width:
            bits = struct.unpack_from("<I", body, 1)[0]
            width, height = 1 + (bits & 0x3FFF), 1 + (bits >> 14 & 0x3FFF)
        elif kind == b"EXIF":
            per_inch, orientation = exif(body.removeprefix(b"Exif\0\0"))
        elif kind == b"ANIM":
            not_seen = ("the frames of an animation after the first",)
        at += 8 + length + length % 2
    cut_off = f"it should have {stated} bytes and has {size}" if stated > size else ""
    held, why = width * height * _HELD, "a WebP can only be decoded as a whole: send it as a TIFF or a JPEG"
    return Tags(width, height, per_inch, orientation, cut_off=cut_off, not_seen=not_seen, held=held, held_why=why)

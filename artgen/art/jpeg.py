"""Header tags of JPEG, read from the bytes as ITU-T T.81 annex B, JFIF 1.02 and EXIF 2.32 lay them out.

Takes an open binary stream, gives `Tags`; the file is walked in pieces, none of it is kept.
"""

import re
import struct
from collections.abc import Callable, Iterator
from typing import IO

from .tags import MAX_SEGMENTS, Tags, density, resource_resolution
from .tiff import exif

_CHUNK = 1 << 20
_START_OF_SCAN, _END = 0xFFDA, 0xD9
# markers between scans: neither a stuffed zero nor a restart (B.1.1.2)
_MARKER: Callable[[bytes], re.Match[bytes] | None] = re.compile(rb"\xff[^\x00\xd0-\xd7\xff]").search


def jpeg_tags(stream: IO[bytes]) -> Tags:
    """Tags of a JPEG: JFIF density first, then EXIF, then the image resource block that photo editors write."""
    jfif = stated = block = None
    orientation, scans = 1, 0
    frame, parts_in_scan = _Frame(), 0
    for at, marker, body in _segments(stream):
        if marker == 0xFFE0 and body[:5] == b"JFIF\0":
            jfif = density(*struct.unpack_from(">BHH", body, 7))
        elif marker == 0xFFE1 and body[:6] == b"Exif\0\0":
            stated, orientation = exif(body[6:])
        elif marker == 0xFFED:
            block = resource_resolution(body)
        elif 0xFFC0 <= marker <= 0xFFCF and marker not in (0xFFC4, 0xFFC8, 0xFFCC):
            frame = _Frame(marker, body)
        elif marker == _START_OF_SCAN:
            parts_in_scan, scans = body[0], at
    in_scans = frame.progressive or parts_in_scan < frame.parts
    return Tags(
        frame.width,
        frame.height,
        jfif or stated or block,
        orientation,
        cut_off="" if _ends(stream, scans) else "its end marker is missing",
        held=frame.coefficients if in_scans else 0,
        held_why="it is stored in several passes (progressive): save it without",
    )


class _Frame:
    """What a frame header says (B.2.2); all zero without one."""

    def __init__(self, marker: int = 0, body: bytes = b"") -> None:
        self.progressive = marker in (0xFFC2, 0xFFC6, 0xFFCA, 0xFFCE)
        self.height, self.width, self.parts = struct.unpack_from(">HHB", body, 1) if marker else (0, 0, 0)
        shares = [(body[7 + 3 * n] >> 4, body[7 + 3 * n] & 15) for n in range(self.parts)]
        most = (max((x for x, _ in shares), default=1) or 1) * (max((y for _, y in shares), default=1) or 1)
        # a decoder keeps all coefficients, 16 bits each, until the last scan
        self.coefficients = 2 * sum(self.width * self.height * x * y // most for x, y in shares)


def _segments(stream: IO[bytes]) -> Iterator[tuple[int, int, bytes]]:
    """(where it begins, marker, body) of every segment up to the first scan."""
    at = 2
    for _ in range(MAX_SEGMENTS):
        stream.seek(at)
        head = stream.read(4)
        while head[:2] == b"\xff\xff":  # fill bytes may come before a marker
            at += 1
            head = head[1:] + stream.read(1)
        marker, length = struct.unpack(">HH", head)
        if marker >> 8 != 0xFF:
            raise ValueError(f"no segment at byte {at}")
        yield at, marker, stream.read(max(0, length - 2))
        if marker == _START_OF_SCAN:
            return
        at += 2 + length
    raise ValueError(f"more than {MAX_SEGMENTS:,} segments")


def _ends(stream: IO[bytes], at: int) -> bool:
    """Whether the end marker follows the scans, walking from the first scan's marker at ``at`` (B.1.1)."""
    for _ in range(MAX_SEGMENTS):
        stream.seek(at)
        head = stream.read(4)
        if len(head) < 2 or head[1] == _END:
            return len(head) > 1
        if len(head) < 4:
            return False
        found = _next_marker(stream, at + 2 + int.from_bytes(head[2:], "big"))
        if found is None:
            return False
        at = found
    return False


def _next_marker(stream: IO[bytes], at: int) -> int | None:
    stream.seek(at)
    last = b""
    while chunk := stream.read(_CHUNK):
        found = _MARKER(last + chunk)
        if found is not None:
            return at - len(last) + found.start()
        at += len(chunk)
        last = chunk[-1:] if chunk[-1] == 0xFF else b""
    return None

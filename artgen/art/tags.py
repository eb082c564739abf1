"""What the header of a raster states, as one record for all formats; each format has a module that reads it.

A reader takes an open binary stream and gives `Tags`, from the bytes as the format's own specification lays them out. No
pixel is decoded; whether the file goes on to its end is checked from its own structure.
"""

import struct
from collections.abc import Callable
from pathlib import Path
from typing import Any

from attrs import frozen

from ..units import MM_PER_INCH

MAX_SEGMENTS = 100_000  # ours: chunks, segments or directories walked in one file
_CM_PER_INCH = float(MM_PER_INCH / 10)
Opener = Callable[[Path], Any]  # file → libvips image, read from the top


@frozen
class Tags:
    """``per_inch`` = pixels an inch (x, y) as stored, None if not stated; ``alpha`` = which of the channels beside
    the colours (from 0) is transparency, if there are any; ``cut_off`` = why the file seems to end too early, else empty.

    ``held`` = bytes that the reader of its pixels must hold at once, where these grow with the picture, and ``held_why`` =
    why, and the way out. ``opener`` = how the pixels are opened where libvips can't open the file as it is.
    """

    width: int
    height: int
    per_inch: tuple[float, float] | None = None
    orientation: int = 1
    alpha: int | None = 0
    cut_off: str = ""
    not_seen: tuple[str, ...] = ()
    held: int = 0
    held_why: str = ""
    opener: Opener | None = None


def beside(spare: int) -> str:
    """What is said of so many channels that are neither colour nor transparency."""
    return f"{spare} extra channel{'s' if spare > 1 else ''} beside the picture (spot inks or masks)"


def density(unit: int, x: float, y: float) -> tuple[float, float] | None:
    """Pixels an inch from a density with JFIF's units: 1 = inch, 2 = centimetre, else proportions alone."""
    if unit not in (1, 2) or x <= 0 or y <= 0:
        return None
    factor = 1.0 if unit == 1 else _CM_PER_INCH
    return (x * factor, y * factor)


def resource_resolution(body: bytes) -> tuple[float, float] | None:
    """Pixels an inch of a row of image resources, if the one numbered 0x03ED is among them."""
    at = body.find(b"8BIM\x03\xed")
    if at < 0:
        return None
    name = body[at + 6] + 1
    return fixed_resolution(body[at + 6 + name + name % 2 + 4 :])


def fixed_resolution(resource: bytes) -> tuple[float, float] | None:
    """Pixels an inch of the data of image resource 0x03ED: 16.16 fixed point, always an inch whatever unit is shown."""
    x, _, _, y = struct.unpack_from(">IHHI", resource)
    return density(1, x / 65536, y / 65536)

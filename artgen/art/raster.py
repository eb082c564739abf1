"""What a raster states about itself: size in pixels, resolution, orientation. Takes a file inside the child process,
gives a `Raster` and from it `PageFacts`.

Resolution is read from the tags themselves, since image libraries put in a default where a file states none.
"""

import math
import struct
from collections.abc import Callable
from pathlib import Path
from typing import IO, Any, Literal

import pyvips
from attrs import evolve, frozen

from ..units import MM_PER_INCH
from .colours import profile_of
from .facts import ColourProfile, ColourSpace, Image, Ink, PageFacts
from .faults import ABSURD_MM, ArtFault
from .jpeg import jpeg_tags
from .layered import psd_tags
from .loaders import opened as loaded
from .mapping import Matrix, apply, inverse
from .naming import short
from .openraster import ora_tags
from .png import png_tags
from .tags import Opener, Tags, beside
from .tiff import tiff_tags
from .webp import webp_tags

RasterFormat = Literal["tiff", "jpeg", "png", "webp", "psd", "ora"]
MAX_PIXELS = 1_000_000_000  # ours: 1,000 megapixels; 14,400 × 24,150 (347.8 megapixels) passes
MAX_HELD = 1 << 30  # bytes, ours: beside them and a window's pixels little is needed, and a child has twice that
_READERS: dict[RasterFormat, Callable[[IO[bytes]], Tags]] = {
    "tiff": tiff_tags,
    "jpeg": jpeg_tags,
    "png": png_tags,
    "webp": webp_tags,
    "psd": psd_tags,
    "ora": ora_tags,
}
_BITS = {"uchar": 8, "char": 8, "ushort": 16, "short": 16, "uint": 32, "int": 32, "float": 32, "double": 64}
_SIDEWAYS = (5, 6, 7, 8)  # EXIF 2.32 orientation values that swap width and height


@frozen
class Raster:
    """Header of one raster. ``width``, ``height`` in pixels as stored; ``shown`` = as seen after orientation.

    ``mm`` = size of one shown pixel (x, y) in mm, None where the file states no resolution. ``alpha`` = which band of
    its pixels is transparency; ``opener`` as in `Tags`.
    """

    format: RasterFormat
    width: int
    height: int
    orientation: int
    mm: tuple[float, float] | None
    not_seen: tuple[str, ...] = ()
    space: ColourSpace = ColourSpace("")
    bits: int = 0
    compression: str = ""
    profile: ColourProfile | None = None
    alpha: int | None = None
    opener: Opener | None = None

    @property
    def shown(self) -> tuple[int, int]:
        """(width, height) in pixels as seen."""
        sideways = self.orientation in _SIDEWAYS
        return (self.height, self.width) if sideways else (self.width, self.height)

    @property
    def to_stored(self) -> Matrix:
        """Shown pixels → stored pixels; both with origin at the upper left, y down (EXIF 2.32, tag Orientation)."""
        w, h = float(self.width), float(self.height)
        table: dict[int, Matrix] = {
            1: (1.0, 0.0, 0.0, 1.0, 0.0, 0.0),
            2: (-1.0, 0.0, 0.0, 1.0, w, 0.0),
            3: (-1.0, 0.0, 0.0, -1.0, w, h),
            4: (1.0, 0.0, 0.0, -1.0, 0.0, h),
            5: (0.0, 1.0, 1.0, 0.0, 0.0, 0.0),
            6: (0.0, -1.0, 1.0, 0.0, 0.0, h),
            7: (0.0, -1.0, -1.0, 0.0, w, h),
            8: (0.0, 1.0, -1.0, 0.0, w, 0.0),
        }
        return table[self.orientation]


def header(file: Path, format: RasterFormat) -> Raster:
    """The header of ``file``. Raises `ArtFault`: damaged (unreadable, cut off), over-limit (see `MAX_PIXELS`)."""
    with file.open("rb") as stream:
        try:
            tags = _READERS[format](stream)
        except (struct.error, ValueError, EOFError, IndexError, KeyError, TypeError, OSError, OverflowError) as error:
            raise _damaged(format, f"its header can't be read: {error}") from None
    if tags.width * tags.height > MAX_PIXELS:
        raise ArtFault(
            "over-limit",
            f"The image has {tags.width:,} × {tags.height:,} = {tags.width * tags.height / 1e6:,.0f} megapixels; the limit "
            f"is {MAX_PIXELS / 1e6:,.0f} megapixels. Send it at fewer pixels an inch.",
            format,
        )
    if tags.held > MAX_HELD:
        raise ArtFault(
            "over-limit",
            f"The image has {tags.width:,} × {tags.height:,} pixels and needs {tags.held / 1e6:,.0f} MB of memory at once, "
            f"since {tags.held_why}. The limit is {MAX_HELD / 1e6:,.0f} MB",
            format,
        )
    if max(tags.width, tags.height) > ABSURD_MM:
        raise ArtFault(
            "over-limit",
            f"The image has {tags.width:,} × {tags.height:,} pixels; the limit is {ABSURD_MM:,.0f} a side.",
            format,
        )
    if tags.cut_off:
        raise _damaged(format, tags.cut_off)
    return _with_pixels(file, _raster(format, tags), tags)


def page_facts(raster: Raster) -> PageFacts:
    """The one page of a raster: mm if it states its resolution, else 1 per pixel with ``sized`` False."""
    width, height = raster.shown
    x, y = pixel_mm(raster)
    return PageFacts(
        width=width * x,
        height=height * y,
        boxes={"media": (0.0, 0.0, width * x, height * y)},
        rounding=max(x, y) / 2,
        sized=raster.mm is not None,
        pixels=raster.shown,
        images=(_image(raster, width * x, height * y),),
        ink=Ink((raster.space,)),
        not_seen=raster.not_seen,
    )


def _image(raster: Raster, width: float, height: float) -> Image:
    """The raster as the one image on its page, its corners and pixels as stored."""
    to_shown = inverse(raster.to_stored)
    wide, high = raster.shown
    stored = ((0.0, raster.height), (raster.width, raster.height), (raster.width, 0.0), (0.0, 0.0))
    points = [apply(to_shown, point) for point in stored]
    a, b, c, d = ((x * width / wide, height - y * height / high) for x, y in points)
    along, up = math.dist(a, b) / float(MM_PER_INCH), math.dist(a, d) / float(MM_PER_INCH)
    return Image(
        (a, b, c, d),
        (raster.width, raster.height),
        (raster.width / along, raster.height / up),
        space=raster.space,
        bits=raster.bits,
        filters=(raster.compression,) if raster.compression else (),
        masked="soft" if raster.alpha is not None else "",
    )


def pixel_mm(raster: Raster) -> tuple[float, float]:
    """Size of one shown pixel in page-frame units."""
    return raster.mm or (1.0, 1.0)


def _raster(format: RasterFormat, tags: Tags) -> Raster:
    if tags.width < 1 or tags.height < 1:
        raise _damaged(format, f"its header says {tags.width} × {tags.height} pixels")
    orientation = tags.orientation if 1 <= tags.orientation <= 8 else 1
    mm = None
    if tags.per_inch is not None and all(0 < value < 1e7 for value in tags.per_inch):
        x, y = (float(MM_PER_INCH) / value for value in tags.per_inch)
        if orientation in _SIDEWAYS:
            x, y = y, x
        # a resolution that makes the picture larger than any wall is a slip: proportions alone can be trusted
        mm = (x, y) if max(tags.width, tags.height) * max(x, y) < ABSURD_MM else None
    return Raster(format, tags.width, tags.height, orientation, mm, tags.not_seen, opener=tags.opener)


def opened(file: Path, raster: Raster, **options: Any) -> Any:
    """A libvips image of the pixels, to be read once from the top. ``options`` are those of libvips' loader."""
    if raster.opener is not None:
        return raster.opener(file)
    if raster.format == "tiff":
        options["unlimited"] = True  # `MAX_HELD` and the child's memory limit it; libvips' own limit is 50 MB a strip
    return loaded(file, raster.format, fail_on="error", **options)


def _with_pixels(file: Path, raster: Raster, tags: Tags) -> Raster:
    """``raster`` with what its pixels are, after a check that their reader agrees on the size."""
    try:
        image = opened(file, raster)
    except pyvips.Error as error:
        raise _damaged(raster.format, bare(error)) from None
    if (image.width, image.height) != (raster.width, raster.height):
        raise _damaged(raster.format, f"its header says {raster.width} × {raster.height} pixels, its data otherwise")
    raster = evolve(raster, **_colours(image))
    colours = 1 if image.bands < 3 else 4 if image.interpretation == "cmyk" else 3
    spare = image.bands - colours
    if spare > 0 and tags.alpha is not None:
        raster, spare = evolve(raster, alpha=colours + min(tags.alpha, spare - 1)), spare - 1
    if spare > 0:
        return evolve(raster, not_seen=(*raster.not_seen, beside(spare)))
    return raster


def _colours(image: Any) -> dict[str, Any]:
    """Space, bits, compression and colour profile as the pixels' reader gives them."""
    names = {
        "cmyk": "CMYK",
        "lab": "Lab",
        "labs": "Lab",
        "b-w": "Grey",
        "grey16": "Grey",
        "srgb": "RGB",
        "rgb16": "RGB",
    }
    family = names.get(image.interpretation, "RGB" if image.bands >= 3 else "Grey")
    parts = {"CMYK": 4, "Grey": 1}.get(family, 3)
    data = image.get("icc-profile-data") if "icc-profile-data" in image.get_fields() else None
    profile = profile_of(bytes(data)) if data else None
    compression = str(image.get("compression")) if "compression" in image.get_fields() else ""
    return {
        "space": ColourSpace(family, parts=parts, profile=profile.hash if profile else ""),
        "bits": image.get("bits-per-sample") if "bits-per-sample" in image.get_fields() else _BITS.get(image.format, 0),
        "compression": short(compression),
        "profile": profile,
    }


def bare(error: Exception) -> str:
    """First line of a library's complaint."""
    lines = [line.strip() for line in str(error).splitlines() if line.strip()]
    return (lines[-1] if lines else error.__class__.__name__)[:200]


def _damaged(format: RasterFormat, why: str) -> ArtFault:
    return ArtFault(
        "damaged",
        f"The {format.upper()} image is damaged ({why}): it was probably cut off on the way. Send it again.",
        format,
    )

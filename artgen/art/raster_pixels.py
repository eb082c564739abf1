"""Windows of rasters as pixels. Takes a file and a window inside the child process, gives straight 8-bit RGBA rows.

A window maps output pixels (x right, y down from the upper left of the output) to the page frame of `facts`.
Colours come as sRGB: through the colour profile in the file, CMYK else through the generic one that libvips carries.
The file is read from the top, cut to the window, brought down to the window's fineness, and only then turned. It is read once
for all windows that are much coarser than it is, by way of a smaller copy.
"""

import math
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import numpy as np
import pyvips
from attrs import frozen

from .facts import Rect
from .faults import ArtFault
from .mapping import Matrix, apply, apply_rect, inverse, then, vertices_of
from .masking import Size, clip
from .raster import Raster, bare, opened, pixel_mm

_MARGIN = 3  # output pixels read round the window, so that filters find neighbours
_LARGE = 20_000_000  # ours: pixels from which reading a file once more costs more than it gives
_MOST_HELD = 40_000_000  # ours: pixels of the smaller copy
_RIM = 2  # pixels by which the picture's own rim is repeated outwards before it is turned


@frozen
class _Source:
    """All of a raster, read from the top or held, brought down by a whole number already."""

    image: Any
    shrunk: int


@frozen
class _Part:
    """A piece of the picture: ``image`` and where it lies, as a mapping stored pixels → its pixels."""

    image: Any
    from_stored: Matrix


def raster_windows(file: Path, raster: Raster, windows: Sequence[tuple[Matrix, Size]]) -> Iterator[memoryview]:
    """RGBA rows of a raster through each window, each pixel the average of what it covers; transparent outside the picture.

    Raises `ArtFault` "damaged" where the pixels can't be decoded.
    """
    asked = [(then(then(window, _frame_to_shown(raster)), raster.to_stored), size) for window, size in windows]
    try:
        small = _smaller(file, raster, [min(_steps(to_stored)) for to_stored, _ in asked])
        for to_stored, size in asked:
            yield _drawn(file, raster, small, to_stored, size).data
    except pyvips.Error as error:
        if "out of memory" in str(error):
            raise MemoryError from None
        why = f"The image's pixels can't be read ({bare(error)}). Send it again."
        raise ArtFault("damaged", why, raster.format) from None


def _drawn(
    file: Path, raster: Raster, small: "_Source | None", to_stored: Matrix, size: Size
) -> np.ndarray[Any, np.dtype[np.uint8]]:
    """(height, width, 4) of one window."""
    source = small if small is not None and small.shrunk <= min(_steps(to_stored)) else None
    part = _read(source or _opened(file, raster, min(_steps(to_stored))), raster, to_stored, size)
    if part is None:
        return np.zeros((size[1], size[0], 4), np.uint8)
    pixels = _turned(part, then(inverse(part.from_stored), inverse(to_stored)), size)
    whole = (0.0, 0.0, float(raster.width), float(raster.height))
    clip(pixels, [apply(inverse(to_stored), point) for point in vertices_of(whole)])
    return pixels


def _frame_to_shown(raster: Raster) -> Matrix:
    x, y = pixel_mm(raster)
    return (1 / x, 0.0, 0.0, -1 / y, 0.0, float(raster.shown[1]))


def _steps(to_stored: Matrix) -> tuple[float, float]:
    """Stored pixels under one pixel of the output, along their rows and columns."""
    return math.hypot(to_stored[0], to_stored[2]), math.hypot(to_stored[1], to_stored[3])


def _read(source: _Source, raster: Raster, to_stored: Matrix, size: Size) -> _Part | None:
    """The piece under the window at about the window's fineness, premultiplied RGBA; None if they don't meet."""
    image, shrunk = source.image, source.shrunk
    steps = _steps(to_stored)
    reach = apply_rect(to_stored, (-_MARGIN, -_MARGIN, size[0] + _MARGIN, size[1] + _MARGIN))
    cut = _cut(reach, shrunk, (image.width, image.height))
    if cut is None:
        return None
    left, top, wide, high = cut
    image = image.crop(left, top, wide, high)
    goal = [max(1, round(n * min(1.0, shrunk / step))) for n, step in zip((wide, high), steps, strict=True)]
    if raster.alpha is None:
        fine = _opaque(_to_srgb(_resized(image, goal), raster).copy_memory())
    else:
        fine = _resized(_premultiplied(image, raster), goal).copy_memory()
    x, y = goal[0] / wide, goal[1] / high
    return _Part(fine, (x / shrunk, 0.0, 0.0, y / shrunk, -left * x, -top * y))


def _opened(file: Path, raster: Raster, step: float) -> _Source:
    """The file itself; JPEG decodes small at little cost."""
    shrunk = max(n for n in (1, 2, 4, 8) if n <= max(1.0, step)) if raster.format == "jpeg" else 1
    options = {"shrink": shrunk} if shrunk > 1 else {}
    return _Source(opened(file, raster, **options), shrunk)


def _smaller(file: Path, raster: Raster, steps: list[float]) -> _Source | None:
    """A smaller copy in sRGB, held, for windows of so many stored pixels a pixel: where several don't need a large file itself.
    None where fewer do, and of pictures with transparency, whose colours must not be averaged as they are."""
    coarse = [step for step in steps if step >= 2]
    if len(coarse) < 2 or raster.alpha is not None:
        return None
    source = _opened(file, raster, min(coarse))
    by = math.floor(min(coarse) / source.shrunk)
    if not _LARGE <= raster.width * raster.height <= _MOST_HELD * (by * source.shrunk) ** 2:
        return None
    held = _to_srgb(source.image.shrink(by, by, ceil=True), raster).copy_memory().copy()
    held.remove("icc-profile-data")  # else it would be turned into sRGB once more
    return _Source(held, by * source.shrunk)


def _cut(reach: Rect, shrunk: int, image: Size) -> tuple[int, int, int, int] | None:
    """(left, top, width, height) of the part of an image under ``reach``, which is in stored pixels."""
    left, top = (max(0, math.floor(value / shrunk)) for value in reach[:2])
    right = min(image[0], math.ceil(reach[2] / shrunk))
    bottom = min(image[1], math.ceil(reach[3] / shrunk))
    return (left, top, right - left, bottom - top) if right > left and bottom > top else None


def _resized(image: Any, goal: list[int]) -> Any:
    if goal == [image.width, image.height]:
        return image
    # the linear kernel never overshoots: no paint appears where there was none
    return image.resize(goal[0] / image.width, vscale=goal[1] / image.height, kernel="linear", gap=1.0)


def _to_srgb(image: Any, raster: Raster) -> Any:
    """Three 8-bit bands; channels beside the picture (spot inks, masks) are left out."""
    cmyk = image.interpretation == "cmyk"
    image = image.extract_band(0, n=1 if image.bands < 3 else 4 if cmyk else 3)
    if cmyk or image.get_typeof("icc-profile-data"):
        profile = {"input_profile": "cmyk"} if cmyk else {}
        try:
            return image.icc_transform("srgb", embedded=True, intent="relative", depth=8, **profile).copy_memory()
        except pyvips.Error:
            if not cmyk:
                pass  # a profile that doesn't fit its picture: the numbers are taken as plain sRGB or grey
    return image.colourspace("srgb").extract_band(0, n=3).cast("uchar")


def _opaque(image: Any) -> Any:
    return image.bandjoin(255).copy(interpretation="srgb")


def _premultiplied(image: Any, raster: Raster) -> Any:
    """RGBA with colours already multiplied by alpha, as averaging needs them."""
    full = 65535 if image.format in ("ushort", "short") else 255
    alpha = (image.extract_band(raster.alpha) * (255 / full)).cast("uchar")
    return _to_srgb(image, raster).bandjoin(alpha).copy(interpretation="srgb").premultiply().rint().cast("uchar")


def _turned(part: _Part, to_output: Matrix, size: Size) -> np.ndarray[Any, Any]:
    """The piece sampled at the centres of the output's pixels; (height, width, 4) straight RGBA."""
    image = part.image
    image = image.embed(_RIM, _RIM, image.width + 2 * _RIM, image.height + 2 * _RIM, extend="copy")
    # libvips counts from pixel centres, we from pixel edges: half a pixel each way
    a, b, c, d, e, f = then(then((1, 0, 0, 1, 0.5 - _RIM, 0.5 - _RIM), to_output), (1, 0, 0, 1, -0.5, -0.5))
    interpolate = pyvips.Interpolate.new("bilinear")
    drawn = image.affine([a, c, b, d], interpolate=interpolate, odx=e, ody=f, oarea=[0, 0, *size], premultiplied=True)
    flat = np.frombuffer(drawn.unpremultiply().rint().cast("uchar").write_to_memory(), np.uint8)
    return flat.reshape(size[1], size[0], 4)

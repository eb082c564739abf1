"""How fine the detail is that an image holds, whatever its count of pixels: inside the child process, from the image itself.

An image that was enlarged has pixels but no detail: nothing is left in the upper octaves of its spectrum. Measured in squares of
the image; the sharpest one speaks for it, since skies, shadows and what is out of focus have no fine detail either. In a PDF the
images themselves are read, not the page, so that sharp letters over a picture change nothing.
"""

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2 as pdfium2
import pypdfium2.raw as pdfium
import pyvips
from numpy.typing import NDArray

from .faults import ArtFault
from .pdf_pixels import open_pdfium, opened_page
from .raster import Raster, bare, opened

MOST_PIXELS = 120_000_000  # ours: of an image inside a PDF, which is unpacked whole: about 5 bytes a pixel (measured)
MOST_IMAGES = 8  # ours: the largest of a page
_MOST_ALIKE = 2  # ours: of them, of one size
LEAST_SIDE = 256  # px: smaller images have no square
_SQUARE = 128  # px, ours
_EVERY = 4  # ours: rows of a square by which its contrast is judged
_MOST_SQUARES = 24  # ours: those with the most contrast from pixel to pixel
_FEW, _SHARP = 12, 3  # ours: of so many with contrast, so many must be sharp
_BANDS = 8  # half octaves
# ours, chosen on the tuning half: share of the stronger of the next two bands from which a band carries detail, and of all. Of
# sharp edges each half octave has 0.7 of the next, of a picture whose power falls with the square of the frequency as much;
# beyond the detail of an enlarged one little is left but what rounding and JPEG add
_CARRIES, _OF_ALL = 0.15, 0.004
_RMS = 16.0  # ours: levels of 255 (root mean square): squares of less contrast, as of skies, say nothing

# bytes: what libvips hands over is new memory each time, and from 128 KiB (glibc's mallopt(3), M_MMAP_THRESHOLD) the system may
# take it back and give it anew each time, which costs more than all else here
_FEW_BYTES = 120_000

Grey = NDArray[np.float32]
Strip = NDArray[np.uint8] | NDArray[np.uint16]  # rows, columns, bands


def detail(squares: list[Grey]) -> float | None:
    """The finest detail of the few sharpest squares, as a share of what the pixels could hold, in steps of √2 from 1 to
    1/16; None where too few squares have contrast to tell by."""
    shares = []
    for square in squares:
        bands = _bands(square)
        if bands.sum() ** 0.5 >= _RMS:
            least = _OF_ALL * bands.sum()
            carries = [bands[k] >= max(least, _CARRIES * bands[k + 1 : k + 3].max()) for k in range(_BANDS)]
            shares.append(2.0 ** -((carries.index(True) if True in carries else _BANDS) / 2))
    shares = shares[:_FEW]
    return sorted(shares, reverse=True)[_SHARP - 1] if len(shares) >= _SHARP else None


def _bands(square: Grey) -> NDArray[np.float64]:
    """Mean square of the levels in each half octave, the finest first, and in all that is coarser."""
    size = len(square)
    window = np.hanning(size)
    mask = np.outer(window, window)
    flat = (square - (square * mask).sum() / mask.sum()) * mask
    power = np.abs(np.fft.rfft2(flat)) ** 2
    power[:, 1:-1] *= 2
    fy, fx = np.fft.fftfreq(size)[:, None], np.fft.rfftfreq(size)[None, :]
    far = np.hypot(fx, fy) * 2  # 1 = the finest that pixels along a row can hold
    energy = [power[(far <= 2.0 ** (-k / 2)) & (far > 2.0 ** (-(k + 1) / 2))].sum() for k in range(_BANDS)]
    energy.append(power[far <= 2.0 ** (-_BANDS / 2)].sum())
    found: NDArray[np.float64] = np.array(energy) / (mask**2).sum() / size**2
    return found


def best_squares(strips: Iterator[Strip]) -> list[Grey]:
    """The squares with the most contrast from pixel to pixel, in grey. ``strips`` = whole rows of squares."""
    kept: list[tuple[float, int, Grey]] = []
    count = 0
    for strip in strips:
        for place, step in enumerate(_contrast(strip)):
            count += 1
            if len(kept) < _MOST_SQUARES or step > kept[-1][0]:
                kept.append((step, count, _grey(strip[:, place * _SQUARE : (place + 1) * _SQUARE])))
                kept.sort(key=lambda one: (-one[0], one[1]))
                del kept[_MOST_SQUARES:]
    return [square for _, _, square in kept]


def _grey(square: Strip) -> Grey:
    """Levels of 255; four bands are cyan, magenta, yellow and black ink."""
    levels = square / np.float32(np.iinfo(square.dtype).max / 255)
    light = 255 - levels
    grey: Grey = levels.mean(axis=2) if square.shape[2] < 4 else light[:, :, :3].mean(axis=2) * light[:, :, 3] / 255
    return grey


def _contrast(strip: Strip) -> list[float]:
    """Of each square, how far pixels are from those before them, over all bands; in whole numbers, which are many times as fast
    as others."""
    across, bands = strip.shape[1] // _SQUARE, strip.shape[2]
    if not across:
        return []
    rows = strip[::_EVERY, : across * _SQUARE].reshape(-1, across * _SQUARE * bands)
    here, before = rows[:, bands:], rows[:, :-bands]
    steps = np.zeros(rows.shape[1], np.uint32)
    steps[bands:] = (np.maximum(here, before) - np.minimum(here, before)).sum(axis=0, dtype=np.uint32)
    by_square = steps.reshape(across, -1)
    by_square[:, :bands] = 0  # the step into a square is not its own
    found: list[float] = by_square.sum(axis=1).tolist()
    return found


def raster_detail(file: Path, raster: Raster) -> float | None:
    """Of a raster file; read once from the top. Raises `ArtFault` "damaged"."""
    try:
        return detail(best_squares(_raster_strips(opened(file, raster))))
    except pyvips.Error as error:
        raise ArtFault("damaged", f"The image's pixels can't be read ({bare(error)}).", raster.format) from None


def _raster_strips(image: Any) -> Iterator[Strip]:
    """The colours of a libvips image in strips, each gone when the next one comes."""
    colours = 1 if image.bands < 3 else 4 if image.interpretation == "cmyk" else 3
    image = image.extract_band(0, n=colours) if image.bands > colours else image
    if image.format == "short":
        image = image * (255 / 65535)
    if image.format not in ("uchar", "ushort"):
        image = image.cast("uchar")
    kind = np.dtype(np.uint16 if image.format == "ushort" else np.uint8)
    width, height = image.width, image.height  # asking libvips for them takes time
    strip = np.empty((_SQUARE, width, colours), kind)
    region = pyvips.Region.new(image)
    few = min(_SQUARE, max(1, _FEW_BYTES // strip[0].nbytes))
    for top in range(0, height - _SQUARE + 1, _SQUARE):
        for row in range(0, _SQUARE, few):
            rows = min(few, _SQUARE - row)
            data = np.frombuffer(region.fetch(0, top + row, width, rows), kind)
            strip[row : row + rows] = data.reshape(rows, width, colours)
        yield strip


def pdf_details(file: Path, page: int) -> list[tuple[int, int, float | None]]:
    """(width, height, detail) of the largest images of a PDF's page, forms and all; those that can't be unpacked are left out."""
    document = open_pdfium(file)
    found: dict[tuple[int, int], float | None] = {}
    try:
        with opened_page(document, page) as opened_here:
            for width, height, image in _largest(_images(opened_here)):
                if found.get((width, height)) == 1.0:
                    continue
                try:
                    told = detail(best_squares(_strips(image)))
                except pdfium2.PdfiumError:
                    continue
                before = found.get((width, height))
                found[width, height] = max(told or 0.0, before or 0.0) or None
    finally:
        document.close()
    return [(w, h, share) for (w, h), share in found.items()]


def _largest(images: Iterable[tuple[int, int, Any]]) -> list[tuple[int, int, Any]]:
    """The images to measure, the largest first; of one size, which may be one image in many places, two."""
    of_size: dict[tuple[int, int], int] = {}
    chosen = []
    for width, height, image in sorted(images, key=lambda one: -one[0] * one[1]):
        of_size[width, height] = of_size.get((width, height), 0) + 1
        if width * height <= MOST_PIXELS and of_size[width, height] <= _MOST_ALIKE:
            chosen.append((width, height, image))
    return chosen[:MOST_IMAGES]


def _images(page: Any) -> Iterator[tuple[int, int, Any]]:
    for item in page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_IMAGE], max_depth=8):
        width, height = item.get_px_size()
        if min(width, height) >= LEAST_SIDE:
            yield width, height, item


def _strips(image: Any) -> Iterator[Strip]:
    pixels = image.get_bitmap(render=False).to_numpy()
    for top in range(0, pixels.shape[0] - _SQUARE + 1, _SQUARE):
        strip = pixels[top : top + _SQUARE]
        yield strip[:, :, None] if strip.ndim == 2 else strip[:, :, :3]

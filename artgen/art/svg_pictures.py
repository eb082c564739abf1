"""Pictures written into an SVG, as its converter reads them: PNG by cairo, the others by Pillow. Takes a `Cut`, changes it.

cairo calls a damaged PNG a lack of memory, and one damaged picture would end the conversion of the whole file: so every
picture is decoded once before, and one that can't be is left out and named.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from io import BytesIO

from PIL import Image

from .svg_references import Cut

_FORMATS = ("JPEG", "PNG", "TIFF", "WEBP")  # Pillow's names
_SURELY_FITS = 50.0  # megapixels, ours: at 4 bytes each, one that small is not refused for want of memory


@contextmanager
def our_formats() -> Iterator[None]:
    """Pillow uses its readers for our formats and no others meanwhile, and has no limit of pixels: the work is counted."""
    opens, most = Image.open, Image.MAX_IMAGE_PIXELS
    Image.open, Image.MAX_IMAGE_PIXELS = partial(opens, formats=_FORMATS), None
    try:
        yield
    finally:
        Image.open, Image.MAX_IMAGE_PIXELS = opens, most


def cut_damaged(found: Cut) -> None:
    """Cut the kept pictures that can't be decoded. Costs as much as decoding them; raises MemoryError for a large one."""
    for element in list(found.pictures):
        name, data, megapixels = found.pictures[element]
        try:
            _decode(data)
        except Exception as error:  # decoders let anything through that a strange file provokes
            if isinstance(error, MemoryError) and megapixels > _SURELY_FITS:
                raise
            found.undrawn["a picture in it that is damaged"] = None
            del element.attrib[name]
            del found.pictures[element]


def _decode(data: bytes) -> None:
    if data.startswith(b"\x89PNG"):
        try:
            from cairocffi import ImageSurface
        except (ImportError, OSError):
            return  # without the cairo library nothing is converted, and that is said elsewhere
        ImageSurface.create_from_png(BytesIO(data)).finish()
        return
    with our_formats(), Image.open(BytesIO(data)) as picture:
        picture.load()

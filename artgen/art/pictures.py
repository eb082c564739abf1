"""Images of a PDF as their dictionaries state them. Takes pikepdf objects, gives `Image` records that have no place yet.

ISO 32000-1 8.9. Nothing is decoded.
"""

from typing import Any

import pikepdf
from attrs import evolve

from .colours import Colours
from .facts import ColourSpace, Image, Masked, Quad
from .naming import said

MAX_SIDE = 10_000_000  # ours: pixels; more is a slip
NOWHERE: Quad = ((0.0, 0.0), (0.0, 0.0), (0.0, 0.0), (0.0, 0.0))
_SHORT_FILTERS = {
    "AHx": "ASCIIHexDecode",
    "A85": "ASCII85Decode",
    "LZW": "LZWDecode",
    "Fl": "FlateDecode",
    "RL": "RunLengthDecode",
    "CCF": "CCITTFaxDecode",
    "DCT": "DCTDecode",
}  # table 94


def picture(image: Any, resources: Any, colours: Colours, inline: bool) -> Image | None:
    """The record of an image XObject, or of an inline image; None if it has no pixels."""
    try:
        return _inline(image, resources, colours) if inline else _stored(image, resources, colours)
    except (ValueError, TypeError, KeyError, AttributeError, NotImplementedError, pikepdf.PdfError):
        return None


def _stored(image: Any, resources: Any, colours: Colours) -> Image | None:
    pixels = _pixels(image.get("/Width"), image.get("/Height"))
    if pixels is None:
        return None
    stencil = image.get("/ImageMask") is True
    space = image.get("/ColorSpace")
    return Image(
        NOWHERE,
        pixels,
        (0.0, 0.0),
        space=None if stencil else colours.space(space, resources) if space is not None else ColourSpace(""),
        bits=1 if stencil else _bits(image.get("/BitsPerComponent")),
        filters=_filters(image.get("/Filter")),
        stencil=stencil,
        masked=_masked(image),
    )


def _inline(image: Any, resources: Any, colours: Colours) -> Image | None:
    pixels = _pixels(image.width, image.height)
    if pixels is None:
        return None
    stencil = bool(image.image_mask)
    made = Image(NOWHERE, pixels, (0.0, 0.0), stencil=stencil, inline=True, filters=_filters(list(image.filters)))
    if stencil:
        return evolve(made, bits=1)
    try:
        space = colours.space(pikepdf.Name(str(image.colorspace)), resources)
    except (ValueError, TypeError, NotImplementedError, pikepdf.PdfError):
        space = ColourSpace("")  # an array or a name that the library does not give as it stands
    return evolve(made, bits=_bits(image.bits_per_component), space=space)


def _pixels(width: Any, height: Any) -> tuple[int, int] | None:
    plain = isinstance(width, int) and isinstance(height, int)
    return (width, height) if plain and 0 < width <= MAX_SIDE and 0 < height <= MAX_SIDE else None


def _bits(value: Any) -> int:
    return value if value in (1, 2, 4, 8, 16) else 0


def _filters(value: Any) -> tuple[str, ...]:
    names = list(value)[:8] if isinstance(value, pikepdf.Array | list) else [value]
    plain = [said(name).lstrip("/") for name in names if isinstance(name, pikepdf.Name | str)]
    return tuple(_SHORT_FILTERS.get(name, name) for name in plain)


def _masked(image: Any) -> Masked:
    if isinstance(image.get("/SMask"), pikepdf.Stream) or image.get("/SMaskInData") in (1, 2):
        return "soft"
    mask = image.get("/Mask")
    return "stencil" if isinstance(mask, pikepdf.Stream) else "colour-key" if isinstance(mask, pikepdf.Array) else ""

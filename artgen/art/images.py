"""Whether the images inside a PDF hold the pixels that they promise. Takes an open PDF, gives the broken ones.

pdfium draws what is missing of an image as black, or leaves the image out, and says nothing: a proof of it would show
what nobody sent. Looked at: Flate and plain data by length, JPEG by its first and last marker. Other filters are not judged.
"""

import zlib
from collections.abc import Iterator
from typing import Any

import pikepdf

from .facts import Broken
from .faults import ArtFault

MAX_UNFOLDED = 1 << 30  # bytes; measured: pdfium draws images past about 1 GiB black from some row on
MAX_STORED = 256 << 20  # bytes, ours: a stream is held in memory while it is looked through
MAX_LOOKED_THROUGH = 4 << 30  # bytes unfolded in one file, ours: about 10 s
_COLOURS = {"/DeviceGray": 1, "/CalGray": 1, "/DeviceRGB": 3, "/CalRGB": 3, "/Lab": 3, "/DeviceCMYK": 4}
_COLOURS |= {"/Indexed": 1, "/Separation": 1}
_CHUNK = 1 << 20


def image_faults(document: pikepdf.Pdf) -> tuple[list[Broken], list[str]]:
    """(what is broken, what was not looked through, in words) of all images of a file.

    Raises `ArtFault` "over-limit" for an image that pdfium would draw falsely.
    """
    broken: list[Broken] = []
    unseen: list[str] = []
    left = MAX_LOOKED_THROUGH
    for image in _images(document):
        size = _size(image)
        if size is None:
            continue
        width, height, row = size
        name = f"an image of {width:,} × {height:,} pixels"
        stored = int(image.get("/Length", 0))
        if row * height > MAX_UNFOLDED:
            raise ArtFault(
                "over-limit",
                f"It holds {name}, which unfolds to {row * height / 1e6:,.0f} MB of memory; past {MAX_UNFOLDED / 1e6:,.0f} MB "
                "it can't be drawn truly. Send the page as a TIFF, which is read piece by piece, or with fewer pixels",
                "pdf",
            )
        if stored > MAX_STORED or row * height > left:
            unseen.append(f"whether {name} is whole: it is too large to be looked through")
            continue
        left -= row * height
        fault = _fault(image, row, height)
        if fault is not None:
            broken.append(Broken((width, height), fault))
    return broken, unseen


def _images(document: pikepdf.Pdf) -> Iterator[Any]:
    for item in document.objects:
        if isinstance(item, pikepdf.Stream) and item.get("/Subtype") == "/Image":
            yield item


def _size(image: Any) -> tuple[int, int, int] | None:
    """(width, height, bytes a row) of an image; None where its dictionary does not tell."""
    width, height = image.get("/Width"), image.get("/Height")
    bits = 1 if image.get("/ImageMask") is True else image.get("/BitsPerComponent", 8)
    colours = 1 if image.get("/ImageMask") is True else _components(image.get("/ColorSpace"))
    if not all(type(value) is int and 0 < value < 1 << 31 for value in (width, height, bits)) or colours is None:
        return None
    return width, height, (width * colours * bits + 7) // 8


def _components(space: Any) -> int | None:
    if isinstance(space, pikepdf.Name):
        return _COLOURS.get(str(space))
    if not isinstance(space, pikepdf.Array) or len(space) == 0:
        return None
    family = str(space[0])
    if family == "/ICCBased" and len(space) > 1 and isinstance(space[1], pikepdf.Stream):
        count: Any = space[1].get("/N")
        return count if type(count) is int and count in (1, 3, 4) else None
    if family == "/DeviceN" and len(space) > 1 and isinstance(space[1], pikepdf.Array):
        return len(space[1])
    return _COLOURS.get(family)


def _fault(image: Any, row: int, height: int) -> str | None:
    filters = image.get("/Filter", pikepdf.Array())
    names = [str(name) for name in filters] if isinstance(filters, pikepdf.Array) else [str(filters)]
    data = image.read_raw_bytes()
    if names == ["/DCTDecode"]:
        whole = data[:2] == b"\xff\xd8" and b"\xff\xd9" in data[-1024:]  # SOI, EOI: ITU-T T.81, table B.1
        return None if whole else "is no whole JPEG"
    if names == ["/FlateDecode"]:
        row += 1 if _predicts_as_png(image) else 0
        found = _unfolded(data)
    elif not names:
        found = len(data)
    else:
        return None
    # a last row that is not quite full is common and does no harm
    return None if found >= row * (height - 1) else f"has {100 * found // (row * height)} % of its data"


def _predicts_as_png(image: Any) -> bool:
    """PNG predictors put one byte before each row (ISO 32000-1 7.4.4.4)."""
    parameters = image.get("/DecodeParms", image.get("/DP"))
    if isinstance(parameters, pikepdf.Array):
        parameters = parameters[0] if len(parameters) else None
    value: Any = parameters.get("/Predictor", 1) if isinstance(parameters, pikepdf.Dictionary) else 1
    return type(value) is int and value >= 10


def _unfolded(data: bytes) -> int:
    """How many bytes a Flate stream gives before it ends or breaks; at most what the limit allows."""
    inflate, count, rest = zlib.decompressobj(), 0, data
    try:
        while rest and not inflate.eof and count <= MAX_UNFOLDED:
            count += len(inflate.decompress(rest, _CHUNK))
            rest = inflate.unconsumed_tail
    except zlib.error:
        pass
    return count

"""OpenRaster documents: the flattened picture that they carry as a PNG in their ZIP archive.

Takes an open binary stream, gives `Tags`; the PNG is unfolded as it is read. Layers are not drawn. OpenRaster 0.0.6:
"mergedimage.png" is the whole picture, the root of "stack.xml" states its size and its pixels an inch.
"""

import zipfile
import zlib
from pathlib import Path
from typing import IO, Any
from xml.etree.ElementTree import ParseError

import defusedxml.ElementTree  # type: ignore[import-untyped]
from attrs import evolve
from defusedxml import DefusedXmlException

from .faults import ArtFault
from .png import png_tags
from .streams import opened
from .tags import Tags

_MERGED, _STACK = "mergedimage.png", "stack.xml"
_MAX_STACK = 4_000_000  # ours: bytes of stack.xml
_MAX_MERGED = 4 << 30  # ours: bytes of the PNG; more than 1,000 megapixels need


def ora_tags(stream: IO[bytes]) -> Tags:
    """Tags of an OpenRaster document. Raises `ArtFault` "unsupported" where it holds no flattened picture."""
    try:
        with zipfile.ZipFile(stream) as archive:
            size, per_inch = _stack(archive)
            with _merged(archive) as picture:
                tags = png_tags(picture)
    except (
        zipfile.BadZipFile,
        zlib.error,
        NotImplementedError,
        RuntimeError,
        ParseError,
        DefusedXmlException,
    ) as error:
        raise ValueError(f"its archive: {error}") from None
    if size != (tags.width, tags.height):
        raise ValueError(
            f"its canvas has {size[0]} × {size[1]} pixels, its flattened picture {tags.width} × {tags.height}"
        )
    return evolve(tags, per_inch=per_inch or tags.per_inch, opener=_opened)


def _opened(file: Path) -> Any:
    with zipfile.ZipFile(file) as archive:
        return opened(_merged(archive))  # the member keeps the archive's file open as long as it is


def _merged(archive: zipfile.ZipFile) -> IO[bytes]:
    try:
        entry = archive.getinfo(_MERGED)
    except KeyError:
        why = (
            "The OpenRaster document holds its layers alone, without a flattened picture (mergedimage.png), so what they "
            "show together isn't known. Save it anew with one, or export it as a PNG or a TIFF."
        )
        raise ArtFault("unsupported", why, "ora") from None
    if entry.file_size > _MAX_MERGED:
        why = f"The OpenRaster document's picture unfolds to {entry.file_size / 1e6:,.0f} MB; "
        raise ArtFault("over-limit", f"{why}the limit is {_MAX_MERGED / 1e6:,.0f} MB. Send it as a TIFF.", "ora")
    return archive.open(entry)


def _stack(archive: zipfile.ZipFile) -> tuple[tuple[int, int], tuple[float, float] | None]:
    """((width, height) of the canvas in pixels, pixels an inch along x and y if stated)."""
    with archive.open(_STACK) as stream:
        text = stream.read(_MAX_STACK + 1)
    if len(text) > _MAX_STACK:
        raise ValueError(f"its stack.xml has more than {_MAX_STACK:,} bytes")
    root = defusedxml.ElementTree.fromstring(text)
    x, y = (float(root.get(name, 0)) for name in ("xres", "yres"))
    size = (int(root.get("w", 0)), int(root.get("h", 0)))
    return size, (x, y) if x > 0 and y > 0 else None

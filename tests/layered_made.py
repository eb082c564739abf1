"""Makers of layered documents, byte by byte: PSD and PSB after their published layout, OpenRaster as a ZIP archive."""

import io
import struct
import zipfile
from itertools import groupby

import numpy as np
from numpy.typing import NDArray
from PIL import Image

BITMAP, GREY, INDEXED, RGB, CMYK, MULTICHANNEL, DUOTONE, LAB = 0, 1, 2, 3, 4, 7, 8, 9


def psd(
    planes: NDArray[np.uint8] | NDArray[np.uint16],
    mode: int = RGB,
    *,
    big: bool = False,
    packing: int = 1,
    bits: int | None = None,
    palette: bytes = b"",
    per_inch: float | None = 254.0,
    profile: bytes = b"",
    merged: bool | None = True,
    layers: int = 0,
    layers_16: bool = False,
    width: int | None = None,
) -> bytes:
    """A document of ``planes`` (channels, height, bytes or numbers a row). ``merged`` None: it does not say. ``layers``
    below 0: the first channel after the colours is transparency; ``layers_16``: told in a tagged block, as documents of 16
    bits do."""
    channels, height, across = planes.shape
    bits = bits or planes.itemsize * 8
    head = struct.pack(">4sH6xHIIHH", b"8BPS", 2 if big else 1, channels, height, width or across, bits, mode)
    resources = b""
    if per_inch is not None:
        fixed = round(per_inch * 65536)
        resources += resource(1005, struct.pack(">IHHIHH", fixed, 1, 1, fixed, 1, 1), b"odd")
    resources += resource(1036, b"a small picture, not read")
    if profile:
        resources += resource(1039, profile)
    if merged is not None:
        resources += resource(1057, struct.pack(">IBII", 1, merged, 0, 0) + struct.pack(">I", 1))
    wide = "Q" if big else "I"
    count = struct.pack(">h", layers) if layers else b""
    block = struct.pack(">" + wide, 0 if layers_16 else len(count)) + (b"" if layers_16 else count)
    block += struct.pack(">I", 0)  # no global mask
    if layers_16:
        padded = count + bytes(2)
        block += b"8BIM" + b"Lr16" + struct.pack(">" + wide, len(padded)) + padded
    sections = struct.pack(">I", len(palette)) + palette + struct.pack(">I", len(resources)) + resources
    sections += struct.pack(">" + wide, len(block)) + block
    rows = [row.tobytes() for row in planes.astype(planes.dtype.newbyteorder(">")).reshape(channels * height, across)]
    if packing == 1:
        packed = [packbits(row) for row in rows]
        data = b"".join(struct.pack(">I" if big else ">H", len(row)) for row in packed) + b"".join(packed)
    else:
        data = b"".join(rows)
    return head + sections + struct.pack(">H", packing) + data


def resource(number: int, data: bytes, name: bytes = b"") -> bytes:
    padded_name = bytes([len(name)]) + name
    padded_name += bytes(len(padded_name) % 2)
    return (
        b"8BIM" + struct.pack(">H", number) + padded_name + struct.pack(">I", len(data)) + data + bytes(len(data) % 2)
    )


def packbits(row: bytes) -> bytes:
    """TIFF 6.0, section 9: runs as (1 - length, byte), others as (length - 1, bytes)."""
    packed, plain = b"", b""

    def flush(rest: bytes) -> bytes:
        return b"".join(bytes([len(part) - 1]) + part for part in (rest[i : i + 128] for i in range(0, len(rest), 128)))

    for value, group in groupby(row):
        length = len(list(group))
        if length < 3:
            plain += bytes([value]) * length
            continue
        packed, plain = packed + flush(plain), b""
        while length:
            step = min(length, 128)
            packed += bytes([(1 - step) & 255, value])
            length -= step
    return packed + flush(plain)


def ora(
    picture: Image.Image | None,
    size: tuple[int, int] | None = None,
    attributes: str = ' xres="254" yres="127"',
    method: int = zipfile.ZIP_DEFLATED,
) -> bytes:
    """An OpenRaster document with ``picture`` as its flattened picture; ``size`` = its canvas if that is another."""
    data = io.BytesIO()
    width, height = size or (picture.size if picture else (10, 10))
    with zipfile.ZipFile(data, "w", method) as archive:
        archive.writestr(zipfile.ZipInfo("mimetype"), "image/openraster")
        # names alone would get the clock's time, and the bytes would differ each time
        archive.writestr(
            zipfile.ZipInfo("stack.xml"),
            f'<image version="0.0.6" w="{width}" h="{height}"{attributes}><stack/></image>',
            method,
        )
        if picture is not None:
            png = io.BytesIO()
            picture.save(png, "PNG")
            archive.writestr(zipfile.ZipInfo("mergedimage.png"), png.getvalue(), method)
    return data.getvalue()

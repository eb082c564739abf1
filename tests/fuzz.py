"""Valid files of every format, changed at random and read. `python tests/fuzz.py --count 10000 --seed 1`

Each file is made anew from the seed and its own number, so that one that fails can be had back alone (``--only``). What is
asserted of each: a record or a fault comes back and no exception, no question takes longer than its limit, the file is as
it was, nothing is left in the temporary folder. What the child reaches meanwhile is another test's matter (test_traced.py).
"""

import argparse
import hashlib
import io
import random
import re
import struct
import sys
import tempfile
import time
from base64 import b64encode
from collections import Counter
from collections.abc import Callable, Sequence
from functools import cache
from pathlib import Path

import layered_made
import numpy as np
import pikepdf
from art_made import FONT
from attrs import field, frozen
from bad_art import changed_pdf
from PIL import Image
from reportlab.lib.utils import ImageReader
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from artgen.art import FileFacts, FileFault, details, read, reading, windows

WIDTH, HEIGHT = 40, 30
MARGIN = 4.0  # seconds on top of a limit: starting and ending the child on a busy machine
_INTERESTING = (0, 1, 2, 0x7F, 0x80, 0xFF, 0x100, 0x7FFF, 0x8000, 0xFFFF, 0x7FFFFFFF, 0x80000000, 0xFFFFFFFF)
_NUMBERS = (b"0", b"-1", b"1e9", b"99999999999", b"4294967295", b"0.0000001", b"-32768", b"nan")


# valid files


def picture(mode: str = "RGB") -> Image.Image:
    return Image.effect_noise((WIDTH, HEIGHT), 70).convert(mode)


def fine() -> Image.Image:
    """Large enough for the detail that it holds to be told."""
    return Image.effect_noise((300, 280), 70)


def saved(image: Image.Image, format: str, **options: object) -> bytes:
    data = io.BytesIO()
    image.save(data, format, **options)
    return data.getvalue()


def rasters() -> dict[str, bytes]:
    exif = Image.Exif()
    exif[274], exif[282], exif[283], exif[296] = 6, 300.0, 300.0, 2  # EXIF 2.32: orientation, resolution, unit
    indexed = picture().quantize(16)
    return {
        "tiff-plain": saved(picture(), "TIFF", dpi=(72, 72)),
        "tiff-lzw": saved(picture("RGBA"), "TIFF", compression="tiff_lzw"),
        "tiff-deflate": saved(picture("CMYK"), "TIFF", compression="tiff_adobe_deflate"),
        "tiff-jpeg": saved(picture(), "TIFF", compression="jpeg"),
        "tiff-bits": saved(picture("1"), "TIFF", compression="group4"),
        "tiff-big": saved(picture("L"), "TIFF", big_tiff=True),
        "tiff-fine": saved(fine(), "TIFF", compression="tiff_lzw"),
        "jpeg-fine": saved(fine(), "JPEG"),
        "tiff-pages": saved(picture(), "TIFF", save_all=True, append_images=[picture("L")]),
        "jpeg-plain": saved(picture(), "JPEG", dpi=(72, 72)),
        "jpeg-progressive": saved(picture("L"), "JPEG", progressive=True, exif=exif.tobytes()),
        "jpeg-cmyk": saved(picture("CMYK"), "JPEG"),
        "png-plain": saved(picture(), "PNG", dpi=(254, 254)),
        "png-indexed": saved(indexed, "PNG", transparency=3),
        "png-alpha": saved(picture("RGBA"), "PNG", exif=exif.tobytes()),
        "png-16": saved(Image.new("I;16", (WIDTH, HEIGHT), 999), "PNG"),
        "webp-lossy": saved(picture(), "WEBP", exif=exif.tobytes()),
        "webp-lossless": saved(picture("RGBA"), "WEBP", lossless=True),
        "webp-moving": saved(picture(), "WEBP", save_all=True, append_images=[picture()]),
    }


def pdf() -> bytes:
    """Live text in a built-in and an embedded font, a picture, a form in a form, a path, a clip, transparency."""
    pdfmetrics.registerFont(TTFont("Sans", FONT))
    data = io.BytesIO()
    canvas = Canvas(data, pagesize=(300, 200), invariant=1, pageCompression=0)
    canvas.beginForm("leaf")
    canvas.circle(20, 20, 15, fill=1)
    canvas.endForm()
    canvas.setFillColorCMYK(0.2, 0.4, 0.6, 0.1)
    canvas.rect(10, 10, 200, 100, fill=1)
    canvas.drawImage(ImageReader(picture()), 30, 30, 80, 60)
    canvas.doForm("leaf")
    canvas.setFillAlpha(0.5)
    for font in ("Helvetica", "Sans"):
        canvas.setFont(font, 30)
        canvas.drawString(50, 140, "Peat moss")
    canvas.linkURL("http://art.test/", (0, 0, 9, 9))
    canvas.showPage()
    canvas.drawString(20, 20, "second")
    canvas.showPage()
    canvas.save()
    return data.getvalue()


def pdf_of(image: Image.Image) -> bytes:
    data = io.BytesIO()
    canvas = Canvas(data, pagesize=(300, 200), invariant=1)
    canvas.drawImage(ImageReader(io.BytesIO(saved(image, "JPEG"))), 0, 0, 300, 200)
    canvas.save()
    return data.getvalue()


def packed_pdf() -> bytes:
    """The same in object streams, as most programs write today."""
    data = io.BytesIO()
    with pikepdf.open(io.BytesIO(pdf())) as document:
        document.save(data, object_stream_mode=pikepdf.ObjectStreamMode.generate, static_id=True)
    return data.getvalue()


def svg() -> bytes:
    inside = "data:image/png;base64," + b64encode(saved(picture(), "PNG")).decode()
    return (
        '<?xml version="1.0"?>\n<!DOCTYPE svg [<!ENTITY ns "http://www.w3.org/2000/svg">]>\n'
        '<svg xmlns="&ns;" xmlns:xlink="http://www.w3.org/1999/xlink" width="80mm" height="60mm" viewBox="0 0 80 60">'
        "<style>.a { fill: url(#g); font-family: Arial } text { font-size: 9px }</style>"
        '<defs><linearGradient id="g"><stop offset="0" stop-color="#040"/><stop offset="1" stop-color="red"/>'
        '</linearGradient><pattern id="p" width="4" height="4" patternUnits="userSpaceOnUse"><rect width="2" height="2"/>'
        '</pattern><clipPath id="c"><circle cx="20" cy="20" r="15"/></clipPath><symbol id="s"><path d="M0 0L9 9Z"/>'
        "</symbol></defs>"
        '<rect class="a" width="80" height="60"/><g clip-path="url(#c)" opacity="0.5"><use xlink:href="#s" x="9"/></g>'
        f'<image href="{inside}" width="20" height="15"/><path d="M10 10C20 20 30 10 40 40A5 5 0 0 1 9 9" fill="url(#p)"/>'
        '<text x="10" y="40" transform="rotate(10)">Peat <tspan dx="1">moss</tspan></text></svg>'
    ).encode()


@cache
def seeds() -> dict[str, bytes]:
    """Small valid files by name; the same bytes each time, since Pillow's noise is the only chance in them."""
    found = {"pdf-plain": pdf(), "pdf-packed": packed_pdf(), "pdf-flat": changed_pdf(compress_streams=True)}
    locked = pikepdf.Encryption(user="", owner="moor")
    found["pdf-fine"] = pdf_of(fine())
    return found | {"pdf-locked": changed_pdf(encryption=locked), "svg": svg()} | rasters() | layered()


def layered() -> dict[str, bytes]:
    """Documents with a flattened picture: plain and packed, and the large kind."""
    planes = np.arange(3 * 24 * 32, dtype=np.uint8).reshape(3, 24, 32)
    return {
        "psd-packed": layered_made.psd(planes),
        "psd-plain": layered_made.psd(planes, packing=0),
        "psd-big": layered_made.psd(planes, big=True),
        "ora": layered_made.ora(Image.fromarray(planes.transpose(1, 2, 0).copy())),
    }


# changes: each takes chance, the bytes and all seeds, and gives other bytes


def flip(chance: random.Random, data: bytearray, _: Sequence[bytes]) -> bytearray:
    for _n in range(chance.choice((1, 1, 2, 8, 64))):
        data[chance.randrange(len(data))] ^= 1 << chance.randrange(8)
    return data


def truncate(chance: random.Random, data: bytearray, _: Sequence[bytes]) -> bytearray:
    return data[: chance.randrange(1, len(data) + 1)]


def number_field(chance: random.Random, data: bytearray, _: Sequence[bytes]) -> bytearray:
    """A length, a count or an offset of one to eight bytes, in either order."""
    code = chance.choice("BHIQ")
    value = chance.choice((*_INTERESTING, len(data), len(data) - 1, chance.getrandbits(32)))
    packed = struct.pack(chance.choice("<>") + code, value & ((1 << 8 * struct.calcsize(code)) - 1))
    at = chance.randrange(min(len(data), chance.choice((64, 512, len(data)))))
    data[at : at + len(packed)] = packed
    return data


def repeat(chance: random.Random, data: bytearray, _: Sequence[bytes]) -> bytearray:
    at = chance.randrange(len(data))
    piece = data[at : at + chance.choice((1, 4, 16, 100, 1000))]
    return data[:at] + piece * chance.choice((2, 3, 20, 300)) + data[at:]


def remove(chance: random.Random, data: bytearray, _: Sequence[bytes]) -> bytearray:
    at = chance.randrange(len(data))
    return data[:at] + data[at + chance.choice((1, 2, 8, 100)) :]


def splice(chance: random.Random, data: bytearray, others: Sequence[bytes]) -> bytearray:
    """A piece of another file, in the place of one or between."""
    other = chance.choice(others)
    start = chance.randrange(len(other))
    piece = other[start : start + chance.choice((4, 32, 300, 3000))]
    at = chance.randrange(len(data))
    return data[:at] + piece + data[at + chance.choice((0, len(piece))) :]


def word(chance: random.Random, data: bytearray, _: Sequence[bytes]) -> bytearray:
    """A PDF's key or an XML name becomes another one that stands in the file."""
    names = list(re.finditer(rb"/[A-Za-z][A-Za-z0-9]{0,20}|(?<=[<\s])[a-z][A-Za-z:-]{1,20}(?=[\s=>/])", data))
    if not names:
        return flip(chance, data, ())
    old, new = chance.choice(names), chance.choice(names)
    return data[: old.start()] + new[0] + data[old.end() :]


def number_text(chance: random.Random, data: bytearray, _: Sequence[bytes]) -> bytearray:
    numbers = list(re.finditer(rb"(?<![\w.])-?\d+(\.\d+)?", data))
    if not numbers:
        return flip(chance, data, ())
    old = chance.choice(numbers)
    return data[: old.start()] + chance.choice((*_NUMBERS, chance.choice(numbers)[0])) + data[old.end() :]


def chunk(chance: random.Random, data: bytearray, _: Sequence[bytes]) -> bytearray:
    """A PNG's, WebP's or PDF's part once more, or in another place: from one mark to the next."""
    marks = [
        match.start() for match in re.finditer(rb"[A-Z][A-Za-z]{2}[A-Z ]|\n\d+ 0 obj|\xff[\xc0-\xfe]|<[a-z]", data)
    ]
    if len(marks) < 3:
        return repeat(chance, data, ())
    first = chance.randrange(len(marks) - 1)
    piece, at = data[marks[first] : marks[first + 1]], chance.choice(marks)
    return data[:at] + piece * chance.choice((1, 1, 5)) + data[at:]


CHANGES: tuple[Callable[[random.Random, bytearray, Sequence[bytes]], bytearray], ...] = (
    flip,
    truncate,
    number_field,
    repeat,
    remove,
    splice,
    word,
    number_text,
    chunk,
)


def made(seed: int, number: int) -> tuple[str, bytes]:
    """(what it was, bytes) of file ``number``. One in fifty is left whole."""
    chance = random.Random(f"{seed}:{number}")
    names = sorted(seeds())
    name = names[number % len(names)]
    data = bytearray(seeds()[name])
    if chance.random() < 0.02:
        return name, bytes(data)
    for _ in range(chance.choice((1, 1, 1, 2, 2, 4))):
        data = chance.choice(CHANGES)(chance, data, list(seeds().values())) or bytearray(b"\0")
    return name, bytes(data[:200_000])


# judging


@frozen
class Outcome:
    """``faults`` = what is wrong with artgen, not with the file: empty if it did as it should. ``ended``: the child was ended, or
    broke down, and this is what is known of it."""

    said: str
    seconds: float
    faults: tuple[str, ...] = field(factory=tuple)
    ended: str = ""


def judged(data: bytes, folder: Path, temporary: Path) -> Outcome:
    """Read a file and draw its first page. ``temporary`` is where artgen makes its temporary folders."""
    file = folder / "panel-1"
    file.write_bytes(data)
    faults = []
    ended = ""
    start = time.monotonic()
    said = "exception"
    try:
        found = read(file)
        said = f"{found.format}: {found.kind if isinstance(found, FileFault) else 'read'}"
        if isinstance(found, FileFault) and found.format is None and found.kind not in ("unsupported", "empty"):
            ended = found.detail
        if not isinstance(found, FileFacts | FileFault):
            faults.append(f"read gave {type(found).__name__}")
        middle = time.monotonic()
        if isinstance(found, FileFacts):
            page = found.pages[0]
            window = (page.width / 48, 0.0, 0.0, -page.height / 36, 0.0, page.height)
            drawn = windows(file, 0, [(window, 48, 36), ((0.1, 0.02, 0.02, -0.1, 1.0, 5.0), 30, 20)])
            if not isinstance(drawn, list | FileFault):
                faults.append(f"windows gave {type(drawn).__name__}")
            said += f", not drawn: {drawn.kind}" if isinstance(drawn, FileFault) else ""
            told = details(file, 0)
            if not isinstance(told, dict | FileFault):
                faults.append(f"details gave {type(told).__name__}")
        # an SVG is read in two children; two windows may take twice the time, details come after them
        for what, took, children in (("read", middle - start, 2), ("pixels", time.monotonic() - middle, 3)):
            if took > children * reading.SECONDS + MARGIN:
                faults.append(f"{what} took {took:.1f} s")
    except Exception as error:
        faults.append(f"{type(error).__name__}: {error}")
    if file.read_bytes() != data:
        faults.append("the file was changed")
    left = [path.name for path in temporary.iterdir()]
    if left or [path.name for path in folder.iterdir()] != [file.name]:
        faults.append(f"left behind: {left}")
    return Outcome(said, time.monotonic() - start, tuple(faults), ended)


def main() -> int:
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("--count", type=int, default=10_000)
    ask.add_argument("--seed", type=int, default=1)
    ask.add_argument("--first", type=int, default=0, help="number of the first file")
    ask.add_argument("--only", type=int, help="one file alone; it is kept in the current folder")
    ask.add_argument("--seconds", type=float, default=10.0, help="limit of each question")
    asked = ask.parse_args()
    reading.SECONDS = asked.seconds
    numbers = [asked.only] if asked.only is not None else range(asked.first, asked.first + asked.count)
    said: Counter[str] = Counter()
    slowest, wrong = (0.0, -1), 0
    with tempfile.TemporaryDirectory() as temporary, tempfile.TemporaryDirectory() as folder:
        judged(
            seeds()["png-plain"], Path(folder), Path(temporary)
        )  # starts the fork server, whose socket lies elsewhere
        tempfile.tempdir = temporary
        for number in numbers:
            name, data = made(asked.seed, number)
            if asked.only is not None:
                Path(f"fuzz-{asked.seed}-{number}-{name}").write_bytes(data)
            outcome = judged(data, Path(folder), Path(temporary))
            said[outcome.said] += 1
            slowest = max(slowest, (outcome.seconds, number))
            wrong += bool(outcome.faults)
            if outcome.ended:
                print(f"{number} ({name}) ended its child: {outcome.ended}", flush=True)
            for fault in outcome.faults:
                print(f"{number} ({name}, sha256 {hashlib.sha256(data).hexdigest()[:12]}): {fault}", flush=True)
        tempfile.tempdir = None
    for what, count in sorted(said.items()):
        print(f"{count:6} {what}")
    print(f"{len(numbers)} files, {wrong} wrong; slowest {slowest[0]:.1f} s (number {slowest[1]})")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())

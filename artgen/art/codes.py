"""QR codes and barcodes in pictures. Takes grey rows, gives what is found and decoded, in pixels of the picture.

The decoder (zxing-cpp, Apache License 2.0) works on untrusted pixels: it runs in a limited child process, and what the child
says is checked.
"""

import math
import re
from collections.abc import Sequence
from contextlib import ExitStack
from pathlib import Path
from typing import Any

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from ..confined import ConfinedFailure, Limits, machine_fault, run
from ..interrupts import scratch_folder
from .facts import FileFault, Quad

Grey = NDArray[np.uint8]  # rows from the top × columns

MOST = 50  # ours: codes taken from one picture
MOST_TEXT = 5_000  # ours: characters; a QR code holds 4,296 (ISO/IEC 18004, version 40)
SECONDS = 60.0  # ours
# those that people point a telephone at, or a till; the others' stripes are found in any fence
FORMATS = (
    "QRCode", "MicroQRCode", "DataMatrix", "Aztec", "PDF417", "EAN13", "EAN8", "UPCA", "UPCE", "Code128", "Code39", "ITF14",
)  # fmt: skip
_LEAST_SIGNS = {"Code39": 4, "Code128": 3, "PDF417": 3}  # ours: shorter ones are found in stripes
_CONTROL = re.compile("[\x00-\x1f\x7f-\x9f\ud800-\udfff]+")  # what a terminal would obey or no encoding takes


@frozen
class ReadCode:
    """A code that decodes. ``quad`` = its outer corners as it is read: upper left, upper right, lower right, lower left, in px
    (x right, y down, edges at whole numbers). ``version`` = of a QR code, 1 to 40, else 0."""

    format: str
    text: str
    quad: Quad
    version: int = 0


def read_codes(pictures: Sequence[Grey]) -> list[tuple[ReadCode, ...]] | FileFault:
    """The codes in each picture, in the pictures' order."""
    if not pictures:
        return []
    with ExitStack() as stack:
        try:
            file = stack.enter_context(scratch_folder()) / "pictures.grey"
            with file.open("wb") as stream:
                for picture in pictures:
                    stream.write(np.ascontiguousarray(picture).tobytes())
        except OSError as error:
            raise machine_fault("a temporary file could not be written", error) from error
        sizes = [picture.shape for picture in pictures]
        try:
            reply = run(codes_task, file, {"sizes": sizes}, Limits(seconds=SECONDS))
        except ConfinedFailure as failure:
            return FileFault("over-limit", f"Looking for QR codes and barcodes was stopped: {failure.detail}.")
    try:
        return _checked(reply.value, len(pictures))
    except (ValueError, TypeError, KeyError):
        return FileFault("damaged", "Looking for QR codes and barcodes gave an impossible answer.")


def codes_task(file: Path, args: dict[str, Any], out: Path) -> list[list[list[Any]]]:
    """In the child: per picture a list of [format, text, eight numbers, version]."""
    import zxingcpp  # heavy, and here alone

    formats: Any = [getattr(zxingcpp.BarcodeFormat, name) for name in FORMATS]
    names = dict(zip(formats, FORMATS, strict=True))
    found = []
    with file.open("rb") as stream:
        for rows, columns in args["sizes"]:
            grey = np.frombuffer(stream.read(rows * columns), np.uint8).reshape(rows, columns)
            codes = []
            for code in zxingcpp.read_barcodes(grey, formats=formats, text_mode=zxingcpp.TextMode.Plain)[:MOST]:
                name = next((names[one] for one in formats if one == code.format), str(code.format))
                at = code.position
                corners = (at.top_left, at.top_right, at.bottom_right, at.bottom_left)
                version = str(code.extra.get("Version", "0")) if isinstance(code.extra, dict) else "0"
                codes.append(
                    [
                        name,
                        code.text[:MOST_TEXT].encode("utf-8", "replace").decode(),
                        [v for corner in corners for v in (corner.x, corner.y)],
                        int(version) if version.isdigit() else 0,
                    ]
                )
            found.append(codes)
    return found


def _checked(answer: Any, count: int) -> list[tuple[ReadCode, ...]]:
    if not isinstance(answer, list) or len(answer) != count:
        raise ValueError("pictures")
    return [tuple(code for one in codes[:MOST] if (code := _code(*one)) is not None) for codes in answer]


def _code(name: object, text: object, numbers: object, version: object) -> ReadCode | None:
    if not (isinstance(name, str) and isinstance(text, str) and isinstance(numbers, list) and isinstance(version, int)):
        raise ValueError("types")
    if len(name) > 40 or len(text) > MOST_TEXT or len(numbers) != 8:
        raise ValueError("sizes")
    if not all(isinstance(v, int | float) and math.isfinite(v) and abs(v) < 1e6 for v in numbers):
        raise ValueError("numbers")
    if len(text) < _LEAST_SIGNS.get(name, 1):
        return None
    a, b, c, d, e, f, g, h = (float(v) for v in numbers)
    version = version if 0 < version <= 40 and name == "QRCode" else 0
    return ReadCode(name, _CONTROL.sub(" ", text), ((a, b), (c, d), (e, f), (g, h)), version)

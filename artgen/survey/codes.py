"""QR codes and barcodes where they stand: found on a laid page, decoded, and the quiet zone round them measured.

Takes a laid page's sheet; gives `Code`s in the target's plane. Codes of 60 mm and more are found in the
sheet itself. Smaller ones, and what looks like a code and doesn't
decode there, are looked at again in windows of their own. Decoding is done in a confined child (`art.codes`).
"""

from collections.abc import Sequence
from math import ceil, hypot
from pathlib import Path

import numpy as np
from attrs import frozen
from numpy.typing import NDArray
from shapely import Polygon

from ..art.codes import Grey, ReadCode, read_codes
from ..art.facts import FileFault
from ..placing import Laid
from ..sizing.outline import Outline, bounds
from ..sizing.panel import apply, inverse, placed
from .finders import Square, modules_of, squares
from .sheets import Sheet, grey_of
from .windows import Window, seen_through
from .words import placed_words

# how many modules of quiet zone a code needs on each side: left, upper, right, lower as it is read. QR: ISO/IEC 18004 (4; Micro
# QR 2). EAN and UPC, ITF-14, Code 128, Data Matrix: GS1 General Specifications. Code 39, PDF417: common practice. From memory.
QUIET: dict[str, tuple[int, int, int, int]] = {
    "QRCode": (4, 4, 4, 4),
    "MicroQRCode": (2, 2, 2, 2),
    "DataMatrix": (1, 1, 1, 1),
    "Aztec": (0, 0, 0, 0),
    "PDF417": (2, 2, 2, 2),
    "EAN13": (11, 0, 7, 0),
    "EAN8": (7, 0, 7, 0),
    "UPCA": (9, 0, 9, 0),
    "UPCE": (9, 0, 7, 0),
    "Code128": (10, 0, 10, 0),
    "Code39": (10, 0, 10, 0),
    "ITF": (10, 0, 10, 0),
}
# modules along a code of fixed length: ISO/IEC 15420, from memory
_LONG = {"EAN13": 95, "UPCA": 95, "EAN8": 67, "UPCE": 51}
_SMALL, _LARGE = 14.0, 130.0  # mm: what may be a code that the sheet is too coarse for (ours)
_BLOCK = 4  # px: side of the blocks in which light and dark are compared
# levels in a block; busy blocks in a code's box, of small ones and others; calm ones round it (all ours)
_BUSY, _FULL, _CALM = 70, (0.35, 0.55), 0.6
_BARRED = 1.4  # ours: how much longer than high a barcode is at least; squarer codes are no longer than that
_TINY = 45.0  # mm: in smaller codes modules run together
_MOST_WINDOWS = 4  # ours: a page
_WINDOW = 900  # px: side of a window of its own
_FINE = 4.0  # px a module from which a quiet zone is measured
_CLEAR = 0.4  # ours: what is darker than light modules by more than this share of the contrast is no quiet zone
_MARKED = 0.02  # ours: share of a side from which it counts


@frozen
class Code:
    """``quad`` in the target's plane, full-size mm: upper left, upper right, lower right, lower left as the code is read.
    ``format`` as `art.codes` names it; ``text`` = what it says, foreign text; empty where the code does not decode. ``module``
    = mm; ``quiet`` = mm of quiet zone on the left, upper, right and lower side, ``needs`` = what each needs."""

    quad: Outline
    format: str
    text: str
    decodes: bool
    module: float
    quiet: tuple[float, float, float, float]
    needs: tuple[float, float, float, float]


def find_codes(file: Path, laid: Laid, sheet: Sheet) -> tuple[Code, ...] | FileFault:
    """The codes on a laid page, from left to right."""
    read = read_codes([sheet.grey])
    if isinstance(read, FileFault):
        return read
    found = [(sheet, code) for code in read[0]]
    unread = [(sheet, square) for square in squares(sheet.grey, fine=False)]
    closer = _windows(file, laid, sheet, found, unread)
    if isinstance(closer, FileFault):
        return closer
    again = read_codes([one.grey for one in closer])
    if isinstance(again, FileFault):
        return again
    codes = [_read_code(one, code) for one, codes in zip(closer, again, strict=True) for code in codes]
    codes += [_read_code(*one) for one in found]
    unread += [
        (one, square)
        for one, codes_here in zip(closer, again, strict=True)
        if not codes_here
        for square in squares(one.grey, fine=False)
    ]
    codes += [_unread_code(*one) for one in reversed(unread)]
    kept: list[Code] = []
    for code in codes:  # the closest look comes first, and what decodes before what does not
        if not any(_meet(code, other) for other in kept):
            kept.append(code)
    return tuple(sorted(kept, key=lambda one: bounds(one.quad)))


def _windows(
    file: Path,
    laid: Laid,
    sheet: Sheet,
    found: Sequence[tuple[Sheet, ReadCode]],
    unread: Sequence[tuple[Sheet, Square]],
) -> list[Sheet] | FileFault:
    """Closer pictures: of codes too coarse to measure, of patterns that did not decode, of small busy spots."""
    quads = [code.quad for _, code in found if _module(sheet, code) < _FINE]
    known = [Polygon(code.quad).buffer(0) for _, code in found]
    quads += [square.quad for _, square in unread if not _inside(square.quad, known)]
    live = [Polygon(placed(inverse(sheet.to_plane), word.quad)).buffer(0) for word in placed_words(laid)]
    spots = [spot for spot in _spots(sheet) if not _inside(spot, [*known, *live])]
    asked: list[Window] = []
    for quad in [*quads, *spots][:_MOST_WINDOWS]:
        x0, y0, x1, y1 = bounds(placed(sheet.to_plane, tuple(quad)))
        side = max(x1 - x0, y1 - y0) * 1.6
        step = side / _WINDOW
        if step < 0.8 * sheet.step:
            to_plane = (step, 0.0, 0.0, -step, (x0 + x1 - side) / 2, (y0 + y1 + side) / 2)
            asked.append(Window(to_plane, _WINDOW, _WINDOW, step))
    seen = seen_through(file, laid, asked)
    if isinstance(seen, FileFault):
        return seen
    return [Sheet(grey_of(rgba), window.to_plane) for rgba, window in zip(seen, asked, strict=True)]


def _inside(quad: Sequence[tuple[float, float]], known: Sequence[Polygon]) -> bool:
    shape = Polygon(quad).buffer(0)
    return any(shape.intersection(other).area > 0.5 * min(shape.area, other.area) for other in known)


def _spots(sheet: Sheet) -> list[tuple[tuple[float, float], ...]]:
    """Boxes, in pixels, that are busy with light and dark all over, calm all round, and small; the busiest first."""
    rows, columns = (side // _BLOCK for side in sheet.grey.shape)
    blocks = sheet.grey[: rows * _BLOCK, : columns * _BLOCK].reshape(rows, _BLOCK, columns, _BLOCK)
    busy = (blocks.max(axis=(1, 3)).astype(int) - blocks.min(axis=(1, 3))) >= _BUSY
    low, high = (size / sheet.step / _BLOCK for size in (_SMALL, _LARGE))
    found = []
    for top, left, bottom, right in _boxes(busy, ceil(2.5 * high) + 1):
        tall, wide = bottom - top, right - left
        barred = _BARRED <= max(tall, wide) / min(tall, wide) <= 4  # stripes run together where they are fine
        if not (low <= max(tall, wide) <= high * (2.5 if barred else 1) and max(tall, wide) <= 4 * min(tall, wide)):
            continue
        ring = busy[max(0, top - 1) : bottom + 1, max(0, left - 1) : right + 1]
        inside = busy[top:bottom, left:right].sum()
        calm = 1 - (ring.sum() - inside) / max(1, ring.size - tall * wide)
        full = _FULL[max(tall, wide) * _BLOCK * sheet.step > _TINY]
        if inside >= full * tall * wide and calm >= _CALM:
            found.append((-inside / (tall * wide), top, left, bottom, right))
    return [
        tuple(
            (x * float(_BLOCK), y * float(_BLOCK))
            for x, y in ((left, top), (right, top), (right, bottom), (left, bottom))
        )
        for _, top, left, bottom, right in sorted(found)
    ]


def _boxes(busy: NDArray[np.bool_], most: int) -> list[tuple[int, int, int, int]]:
    """Bounding boxes (top, left, bottom, right) of busy blocks no more than one apart; of what grows past ``most`` nothing is
    said."""
    runs: list[tuple[int, int, int]] = []  # (row, first, past the last) of blocks in a row no more than one apart
    of_row = [range(0)] * len(busy)
    group: list[int] = []

    def first_of(index: int) -> int:
        while group[index] != index:
            group[index] = index = group[group[index]]
        return index

    for y in np.flatnonzero(busy.any(axis=1)).tolist():
        columns = np.flatnonzero(busy[y])
        breaks = np.flatnonzero(np.diff(columns) > 2)
        starts, ends = columns[np.concatenate([[0], breaks + 1])], columns[np.concatenate([breaks, [-1]])]
        of_row[y] = range(len(runs), len(runs) + len(starts))
        runs += [(y, first, last + 1) for first, last in zip(starts.tolist(), ends.tolist(), strict=True)]
        group += of_row[y]
        for above in of_row[max(0, y - 2) : y]:
            others = iter(above)
            other = next(others, None)
            for index in of_row[y]:
                _, first, past = runs[index]
                while other is not None and runs[other][2] + 1 < first:
                    other = next(others, None)
                while other is not None and runs[other][1] <= past + 1:
                    a, b = first_of(index), first_of(other)
                    group[max(a, b)] = min(a, b)
                    if runs[other][2] > past:
                        break  # it may meet the next one too
                    other = next(others, None)
    boxes: dict[int, tuple[int, int, int, int]] = {}
    for index, (y, first, past) in enumerate(runs):
        top, left, bottom, right = boxes.get(first_of(index), (y, first, y, past))
        boxes[first_of(index)] = min(top, y), min(left, first), max(bottom, y + 1), max(right, past)
    return [box for box in boxes.values() if max(box[2] - box[0], box[3] - box[1]) <= most]


def _module(sheet: Sheet, code: ReadCode) -> float:
    """A module's size in pixels."""
    (px, py), (qx, qy) = code.quad[:2]
    along = hypot(qx - px, qy - py)
    if code.version:
        return along / (17 + 4 * code.version)  # ISO/IEC 18004: 21 modules a side in version 1, 4 more in each next
    if code.format in _LONG:
        return along / _LONG[code.format]
    return _narrowest(sheet.grey, code)


def _narrowest(grey: Grey, code: ReadCode) -> float:
    """The narrowest run of light or dark along the middle of a code, px: one module."""
    (px, py), (qx, qy), (rx, ry), (sx, sy) = code.quad
    runs: list[float] = []
    for share in (0.35, 0.5, 0.65):
        ax, ay, bx, by = px + (sx - px) * share, py + (sy - py) * share, qx + (rx - qx) * share, qy + (ry - qy) * share
        long = hypot(bx - ax, by - ay)
        t = np.linspace(0, 1, max(8, int(4 * long)))
        values = _values(grey, ax + (bx - ax) * t, ay + (by - ay) * t)
        dark = values < (values.min() + values.max()) / 2
        edges = np.flatnonzero(dark[1:] != dark[:-1])
        runs += [float(v) * long / len(t) for v in np.diff(edges)]
    return max(0.5, float(np.percentile(runs, 15))) if runs else 1.0


def _values(grey: Grey, x: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.float64]:
    """Pixels under places; beyond the picture cloth goes on, white."""
    rows, columns = grey.shape
    i, j = np.floor(x).astype(int), np.floor(y).astype(int)
    found: NDArray[np.float64] = grey[np.clip(j, 0, rows - 1), np.clip(i, 0, columns - 1)].astype(np.float64)
    found[(i < 0) | (j < 0) | (i >= columns) | (j >= rows)] = 255.0
    return found


def _read_code(sheet: Sheet, code: ReadCode) -> Code:
    module = _module(sheet, code)
    return _code(sheet, code.quad, code.format, code.text, True, module)


def _unread_code(sheet: Sheet, square: Square) -> Code:
    count = modules_of(sheet.grey, square)
    (px, py), (qx, qy) = square.quad[:2]
    module = hypot(qx - px, qy - py) / count if count else square.module
    return _code(sheet, square.quad, "QRCode", "", False, module)


def _code(
    sheet: Sheet, quad: Sequence[tuple[float, float]], format: str, text: str, decodes: bool, module: float
) -> Code:
    needs = QUIET.get(format, (0, 0, 0, 0))
    quiet = tuple(_quiet(sheet.grey, quad, side, module, need) * module * sheet.step for side, need in enumerate(needs))
    full = tuple(need * module * sheet.step for need in needs)
    outline = tuple(apply(sheet.to_plane, corner) for corner in quad)
    return Code(outline, format, text, decodes, module * sheet.step, quiet, full)  # type: ignore[arg-type]


def _quiet(grey: Grey, quad: Sequence[tuple[float, float]], side: int, module: float, need: int) -> float:
    """Modules of quiet zone on a side (0 left, 1 upper, 2 right, 3 lower), at most ``need``."""
    if not need:
        return 0.0
    p, q, r, s = (np.array(corner) for corner in quad)
    start, end, inward = ((p, s, q - p), (p, q, s - p), (q, r, p - q), (s, r, p - s))[side]
    out = -inward / max(np.hypot(*inward), 1e-9) * module
    t = np.linspace(0.02, 0.98, max(20, int(3 * np.hypot(*(end - start)) / module)))
    inside = start + (end - start) * t[:, None]
    light, dark = _light_and_dark(grey, quad)
    depths = np.arange(0.5, need + 1e-9, 0.25)
    for depth in depths:
        places = inside + out * depth
        values = _values(grey, places[:, 0], places[:, 1])
        if (np.abs(values - light) > _CLEAR * abs(light - dark)).mean() > _MARKED:
            return float(max(0.0, depth - 0.5))
    return float(need)


def _light_and_dark(grey: Grey, quad: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """Levels of the modules of the ground and of those that are drawn. Reversed codes have light modules on dark."""
    (px, py), (qx, qy), (rx, ry), (sx, sy) = quad
    u, v = np.meshgrid(np.linspace(0.01, 0.99, 120), np.linspace(0.03, 0.97, 60))
    x = px * (1 - u) * (1 - v) + qx * u * (1 - v) + rx * u * v + sx * (1 - u) * v
    y = py * (1 - u) * (1 - v) + qy * u * (1 - v) + ry * u * v + sy * (1 - u) * v
    values = _values(grey, x, y)
    low, high = float(np.percentile(values, 8)), float(np.percentile(values, 92))
    # every kind here begins at its left with a drawn bar or a finder's dark rim
    rim = _values(grey, x[:, :3], y[:, :3]).mean()
    return (high, low) if rim < (low + high) / 2 else (low, high)


def _meet(one: Code, other: Code) -> bool:
    a, b = Polygon(one.quad).buffer(0), Polygon(other.quad).buffer(0)
    return bool(a.intersection(b).area > 0.3 * min(a.area, b.area))

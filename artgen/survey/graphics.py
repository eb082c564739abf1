"""Compact graphics, as logos are, that lie over a fold line, corner, joint or seam: told from a laid page's sheet.

A compact graphic stands by itself on a plain ground: what differs from the ground there is in one place, not larger than a
part of the panel, and the ground is plain all round it. What goes on to the edge of the art size, what stands on a photograph,
and what comes again and again, as patterns do, is none. Text is judged elsewhere; words are cut out by whoever asks.
"""

from collections.abc import Iterator
from math import hypot

import numpy as np
from attrs import frozen
from numpy.typing import NDArray
from shapely import LineString, Polygon

from ..placing import Laid
from ..sizing.outline import Outline, bounds, edges
from ..sizing.panel import apply, placed
from .sheets import Sheet

# all ours, chosen on the tuning half of the samples
_CELL = 5.0  # mm: side of the cells in which a graphic is told from its ground
_OFF = 28  # levels by which a cell differs from the ground
_LEAST, _MOST = 30.0, 0.45  # mm across at least; share of the panel's shorter side at most
_FILL, _LONG = 0.3, 4.0  # share of its box that is filled; sides at most so different
_RING, _CALM = 3, 0.85  # cells round its box, and how much of them is plain ground
_FLAT = 14  # levels between cells of a plain ground
_LIKE, _PATTERN = 1.6, 5  # pieces of a like size, each so many times as large at most; so many are a pattern
_OVER = 5.0  # mm on the lesser side of the line

Cells = NDArray[np.bool_]


@frozen
class Graphic:
    """``box`` in the target's plane: x0, y0, x1, y1."""

    box: tuple[float, float, float, float]

    @property
    def quad(self) -> Outline:
        """Lower left, lower right, upper right, upper left."""
        x0, y0, x1, y1 = self.box
        return (x0, y0), (x1, y0), (x1, y1), (x0, y1)


def graphics_over_lines(laid: Laid, sheet: Sheet) -> tuple[Graphic, ...]:
    """Compact graphics over a line of the target, from left to right."""
    lines = list(_lines(laid))
    short = min(min(_size(outline)) for outline in laid.target.outline("visible"))
    every = max(1, round(_CELL / sheet.step))
    rows, columns = (side // every for side in sheet.grey.shape)
    blocks = sheet.grey[: rows * every, : columns * every].reshape(rows, every, columns, every)
    mean = blocks.mean(axis=(1, 3), dtype=np.float32)
    busy = blocks.max(axis=(1, 3)).astype(np.int16) - blocks.min(axis=(1, 3))
    ground = _ground(mean, busy)
    if ground is None:
        return ()
    off = (np.abs(mean - ground) > _OFF) | (busy > 2 * _OFF)
    cell = every * sheet.step
    pieces = list(_pieces(off))
    found = []
    for piece in pieces:
        top, left, bottom, right, filled = piece
        tall, wide = bottom - top, right - left
        size = max(tall, wide) * cell
        if (
            not _LEAST <= size <= _MOST * short
            or max(tall, wide) > _LONG * min(tall, wide)
            or filled < _FILL * tall * wide
        ):
            continue
        if top < _RING or left < _RING or bottom > rows - _RING or right > columns - _RING:
            continue
        if sum(_alike(piece, other) for other in pieces) > _PATTERN or not _alone(off, piece):
            continue
        x0, y1 = apply(sheet.to_plane, (left * every, top * every))
        x1, y0 = apply(sheet.to_plane, (right * every, bottom * every))
        shape = Polygon(((x0, y0), (x1, y0), (x1, y1), (x0, y1)))
        if any(_over(shape, line) for line in lines):
            found.append(Graphic((round(x0, 1), round(y0, 1), round(x1, 1), round(y1, 1))))
    return tuple(sorted(found, key=lambda one: one.box))


def _size(outline: Outline) -> tuple[float, float]:
    x0, y0, x1, y1 = bounds(outline)
    return x1 - x0, y1 - y0


def _lines(laid: Laid) -> Iterator[tuple[tuple[float, float], tuple[float, float]]]:
    for panel, place in zip(laid.target.panels, laid.target.places, strict=True):
        yield from edges(placed(place, panel.visible))
        x0, y0, x1, y1 = bounds(panel.visible)
        for seam in panel.seams:
            ends = ((seam.at, y0), (seam.at, y1)) if seam.axis == "x" else ((x0, seam.at), (x1, seam.at))
            yield apply(place, ends[0]), apply(place, ends[1])


def _ground(mean: NDArray[np.float32], busy: NDArray[np.int16]) -> NDArray[np.float32] | None:
    """The ground under each cell: of plain ones the commonest level of a wide neighbourhood; None where few cells are plain."""
    plain = busy <= _FLAT
    if plain.mean() < 0.3:
        return None
    rows, columns = mean.shape
    side = max(12, min(rows, columns) // 4)
    tall, wide = -(-rows // side), -(-columns // side)
    levels = np.zeros((tall, wide), np.float32)
    whole = float(np.median(mean[plain]))
    for i in range(tall):
        for j in range(wide):
            part = slice(max(0, (i - 1) * side), (i + 2) * side), slice(max(0, (j - 1) * side), (j + 2) * side)
            own = mean[part][plain[part]]
            counts = np.bincount((own / 6).astype(int), minlength=44) if len(own) else np.zeros(44)
            levels[i, j] = (int(counts.argmax()) + 0.5) * 6 if counts.max() >= 0.25 * plain[part].size else np.nan
    levels[np.isnan(levels)] = whole
    return np.repeat(np.repeat(levels, side, axis=0), side, axis=1)[:rows, :columns]


def _pieces(off: Cells) -> Iterator[tuple[int, int, int, int, int]]:
    """(top, left, bottom, right, cells) of what differs from the ground and hangs together, gaps of two cells not counted."""
    free = off.copy()
    rows, columns = off.shape
    for y, x in np.argwhere(off):
        if not free[y, x]:
            continue
        free[y, x] = False
        stack, cells, top, left, bottom, right = [(int(y), int(x))], 0, int(y), int(x), int(y) + 1, int(x) + 1
        while stack:
            v, u = stack.pop()
            cells += 1
            top, left, bottom, right = min(top, v), min(left, u), max(bottom, v + 1), max(right, u + 1)
            for p in range(max(0, v - 3), min(rows, v + 4)):
                for q in range(max(0, u - 3), min(columns, u + 4)):
                    if free[p, q]:
                        free[p, q] = False
                        stack.append((p, q))
        yield top, left, bottom, right, cells


def _alike(one: tuple[int, int, int, int, int], other: tuple[int, int, int, int, int]) -> bool:
    sizes = [(piece[2] - piece[0], piece[3] - piece[1]) for piece in (one, other)]
    (a, b), (c, d) = sizes
    return max(a, c) <= _LIKE * min(a, c) and max(b, d) <= _LIKE * min(b, d)


def _alone(off: Cells, piece: tuple[int, int, int, int, int]) -> bool:
    """Whether plain ground lies all round a piece's box."""
    top, left, bottom, right, _ = piece
    ring = off[top - _RING : bottom + _RING, left - _RING : right + _RING]
    inside = off[top:bottom, left:right].sum()
    return bool(ring.sum() - inside <= (1 - _CALM) * (ring.size - (bottom - top) * (right - left)))


def _over(shape: Polygon, line: tuple[tuple[float, float], tuple[float, float]]) -> bool:
    """Whether enough of a box lies on both sides of a line."""
    (x0, y0), (x1, y1) = line
    if not shape.intersects(LineString(line)):
        return False
    length = hypot(x1 - x0, y1 - y0)
    across = [((x - x0) * (y1 - y0) - (y - y0) * (x1 - x0)) / length for x, y in shape.exterior.coords[:-1]]
    return bool(min(across) <= -_OVER and max(across) >= _OVER)

"""Room on a page: what is taken, in small square cells, and where a label still fits.

Lines and areas in, places out, all page millimetres. Two kinds of thing stand in the way: what is drawn (lines that no
letter may cross) and what is written (labels, which lines may not cross either). A cell that anything touches is taken,
so what is given as free is free; the price is up to a cell of unused room.
"""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from .marks import Point
from .pieces import Rect

Cells = NDArray[np.bool_]
Places = NDArray[np.int_]
_NONE = np.iinfo(np.int64).max
_SECTORS = 24  # directions in which places round a point are looked for


class Room:
    """The cells of one page, ``cell`` mm wide; those beyond it are taken."""

    def __init__(self, width: float, height: float, cell: float) -> None:
        self.cell = cell
        self.columns, self.rows = math.floor(width / cell), math.floor(height / cell)
        self.drawn: Cells = np.zeros((self.rows, self.columns), dtype=bool)
        self.written: Cells = np.zeros((self.rows, self.columns), dtype=bool)
        self._kept: dict[tuple[int, bool], tuple[Cells | None, NDArray[np.int32]]] = {}

    def draw(self, points: Sequence[Point], *, closed: bool = False) -> None:
        """A line through the points, which no label may cross."""
        self.drawn |= self.crossed(points, closed=closed)
        self._kept.clear()

    def cover(self, outline: Sequence[Point]) -> None:
        """An area on which no label may stand."""
        self.drawn |= self.inside(outline)
        self._kept.clear()

    def write(self, outline: Sequence[Point]) -> None:
        """A label's box, or the line that leads to it: nothing else may touch it."""
        self.written |= self.inside(outline) if len(outline) > 2 else self.crossed(outline)
        self._kept.clear()

    def forget(self, written: Cells) -> None:
        """Goes back to what was written when ``written`` was copied."""
        self.written = written
        self._kept.clear()

    def crossed(self, points: Sequence[Point], *, closed: bool = False) -> Cells:
        """Cells that a line passes through."""
        found = np.zeros((self.rows, self.columns), dtype=bool)
        ends = [*points[1:], points[0]] if closed else points[1:]
        for (x0, y0), (x1, y1) in zip(points, ends, strict=False):
            count = 2 + int(3 * math.hypot(x1 - x0, y1 - y0) / self.cell)
            shares = np.linspace(0.0, 1.0, count)
            columns = np.floor((x0 + (x1 - x0) * shares) / self.cell).astype(int)
            rows = np.floor((y0 + (y1 - y0) * shares) / self.cell).astype(int)
            there = (columns >= 0) & (columns < self.columns) & (rows >= 0) & (rows < self.rows)
            found[rows[there], columns[there]] = True
        return found

    def inside(self, outline: Sequence[Point]) -> Cells:
        """Cells whose middle lies inside an outline, and those that its edge crosses."""
        found = self.crossed(outline, closed=True)
        xs, ys = [p[0] for p in outline], [p[1] for p in outline]
        c0, c1 = (self._clamped(v, self.columns) for v in (min(xs), max(xs)))
        r0, r1 = (self._clamped(v, self.rows) for v in (min(ys), max(ys)))
        x = (np.arange(c0, c1 + 1) + 0.5) * self.cell
        y = ((np.arange(r0, r1 + 1) + 0.5) * self.cell)[:, None]
        odd = np.zeros((len(y), len(x)), dtype=bool)
        for (ax, ay), (bx, by) in zip(outline, [*outline[1:], outline[0]], strict=True):
            if ay != by:
                odd ^= ((ay > y) != (by > y)) & (x < (bx - ax) * (y - ay) / (by - ay) + ax)
        found[r0 : r1 + 1, c0 : c1 + 1] |= odd
        return found

    def _clamped(self, at: float, count: int) -> int:
        return min(max(math.floor(at / self.cell), 0), count - 1)

    def holds(self, outline: Sequence[Point]) -> bool:
        """Whether an outline lies on the page."""
        wide, high = self.columns * self.cell, self.rows * self.cell
        return all(0 <= x <= wide and 0 <= y <= high for x, y in outline)

    def free(self, outline: Sequence[Point], *, over_lines: bool = False) -> bool:
        """Whether a label may stand on an outline (or a line of two points pass); ``over_lines``: what is drawn counts not."""
        if not self.holds(outline):
            return False
        mine = self.inside(outline) if len(outline) > 2 else self.crossed(outline)
        taken = self.written if over_lines else self.drawn | self.written
        return not bool((mine & taken).any())

    def place(
        self, width: float, height: float, wanted: Point, within: Cells | None = None, *, over_lines: bool = False
    ) -> Rect | None:
        """The free place of that size whose middle lies nearest to ``wanted``; None if there is none. ``within`` = cells that
        it must not leave."""
        rows, columns = self._corners(width, height, within, over_lines)
        if not len(rows):
            return None
        across, up = self._cells(width), self._cells(height)
        dx = (columns + across / 2) * self.cell - wanted[0]
        dy = (rows + up / 2) * self.cell - wanted[1]
        best = int(np.argmin(np.round(dx * dx + dy * dy, 6)))
        return self._box(rows[best], columns[best], width, height)

    def around(
        self,
        width: float,
        height: float,
        point: Point,
        least: float,
        within: Cells | None = None,
        *,
        over_lines: bool = False,
    ) -> list[Rect]:
        """Free places of that size round a point, nearest first: in each of some directions the nearest that keeps ``least``
        mm away from it, and some further out."""
        rows, columns = self._corners(width, height, within, over_lines)
        across, up = self._cells(width) * self.cell, self._cells(height) * self.cell
        dx, dy = columns * self.cell - point[0], rows * self.cell - point[1]
        gap_x = np.maximum(np.maximum(dx, -dx - across), 0.0)
        gap_y = np.maximum(np.maximum(dy, -dy - up), 0.0)
        far = np.hypot(gap_x, gap_y)
        turns = np.arctan2(dy + up / 2, dx + across / 2)
        sector = np.floor((turns + np.pi) / (2 * np.pi) * _SECTORS).astype(int) % _SECTORS
        # nearest first, then by place: one number holds both
        rank = np.round(far / self.cell * 1000).astype(np.int64) * len(rows) + np.arange(len(rows))
        picked: set[int] = set()
        for away in (1.0, 2.5, 6.0):
            near = far > away * least
            best = np.full(_SECTORS, _NONE, dtype=np.int64)
            np.minimum.at(best, sector[near], rank[near])
            picked.update(int(one) for one in best if one != _NONE)
        indices = (one % len(rows) for one in sorted(picked))
        return [self._box(rows[i], columns[i], width, height) for i in indices]

    def _cells(self, length: float) -> int:
        return max(1, math.ceil(length / self.cell - 1e-9))

    def _box(self, row: int, column: int, width: float, height: float) -> Rect:
        """The cells may be a little larger than what was asked: it stands in their middle."""
        x = float(column) * self.cell + (self._cells(width) * self.cell - width) / 2
        y = float(row) * self.cell + (self._cells(height) * self.cell - height) / 2
        return Rect(x, y, x + width, y + height)

    def _corners(self, width: float, height: float, within: Cells | None, over_lines: bool) -> tuple[Places, Places]:
        """(rows, columns) of the lower left cells of all free places of a size."""
        across, up = self._cells(width), self._cells(height)
        if across > self.columns or up > self.rows:
            return np.zeros(0, dtype=int), np.zeros(0, dtype=int)
        sums = self._sums(within, over_lines)
        count = sums[up:, across:] - sums[:-up, across:]
        count -= sums[up:, :-across]
        count += sums[:-up, :-across]
        rows, columns = np.divmod(np.flatnonzero(count == 0), count.shape[1])
        return rows, columns

    def _sums(self, within: Cells | None, over_lines: bool) -> NDArray[np.int32]:
        """Taken cells left of and below each corner; kept as long as nothing more is taken."""
        key = (id(within), over_lines)
        if key not in self._kept:
            taken = self.written if over_lines else self.drawn | self.written
            if within is not None:
                taken = taken | ~within
            sums = np.zeros((self.rows + 1, self.columns + 1), dtype=np.int32)
            np.cumsum(taken, axis=0, dtype=np.int32, out=sums[1:, 1:])
            np.cumsum(sums[1:, 1:], axis=1, out=sums[1:, 1:])
            self._kept[key] = (within, sums)
        return self._kept[key][1]

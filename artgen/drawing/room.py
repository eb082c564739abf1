"""Room on a page: what is taken, in small square cells, and where a label still fits.

Lines and areas in, places out, all page millimetres. Two kinds of thing stand in the way: what is drawn (lines that no
letter may cross) and what is written (labels, which lines may not cross either). A cell that anything touches is taken,
so what is given as free is free; the price is up to a cell of unused room.
"""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from artgen.drawing.marks import Point
from artgen.drawing.pieces import Rect

Cells = NDArray[np.bool_]


class Room:
    """The cells of one page, ``cell`` mm wide; those beyond it are taken."""

    def __init__(self, width: float, height: float, cell: float) -> None:
        self.cell = cell
        self.columns, self.rows = math.floor(width / cell), math.floor(height / cell)
        self.drawn: Cells = np.zeros((self.rows, self.columns), dtype=bool)
        self.written: Cells = np.zeros((self.rows, self.columns), dtype=bool)

    def draw(self, points: Sequence[Point], *, closed: bool = False) -> None:
        """A line through the points, which no label may cross."""
        self.drawn |= self.crossed(points, closed=closed)

    def cover(self, outline: Sequence[Point]) -> None:
        """An area on which no label may stand."""
        self.drawn |= self.inside(outline)

    def write(self, outline: Sequence[Point]) -> None:
        """A label's box, or the line that leads to it: nothing else may touch it."""
        self.written |= self.inside(outline) if len(outline) > 2 else self.crossed(outline)

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
        taken = self.written if over_lines else self.drawn | self.written
        if within is not None:
            taken = taken | ~within
        across, up = math.ceil(width / self.cell - 1e-9), math.ceil(height / self.cell - 1e-9)
        if across > self.columns or up > self.rows:
            return None
        sums = np.zeros((self.rows + 1, self.columns + 1), dtype=np.int32)
        np.cumsum(np.cumsum(taken, axis=0, dtype=np.int32), axis=1, out=sums[1:, 1:])
        count = sums[up:, across:] - sums[:-up, across:] - sums[up:, :-across] + sums[:-up, :-across]
        rows, columns = np.nonzero(count == 0)
        if not len(rows):
            return None
        dx = (columns + across / 2) * self.cell - wanted[0]
        dy = (rows + up / 2) * self.cell - wanted[1]
        best = int(np.argmin(np.round(dx * dx + dy * dy, 6)))
        x, y = float(columns[best]) * self.cell, float(rows[best]) * self.cell
        # the cells may be a little larger than what was asked: it stands in their middle
        x, y = x + (across * self.cell - width) / 2, y + (up * self.cell - height) / 2
        return Rect(x, y, x + width, y + height)

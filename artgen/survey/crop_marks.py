"""Crop marks inside the art size: thin ticks near the corners that point at one rectangle, as printers' marks do.

Ticks come from the thinnest strokes that the file holds, exact to the page's units, or from a laid page's sheet. At each corner
a level tick and an upright one end the same way short of where they would cross; three corners or all four agree. Registration
targets and colour bars are not looked for: where a program sets them it sets crop marks.
"""

from collections.abc import Iterable, Sequence
from itertools import product
from statistics import median

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from ..placing import Laid
from ..sizing.outline import bounds
from ..sizing.panel import apply
from .sheets import Sheet

# all ours, chosen on the tuning half of the samples
_REACH = 170.0  # mm from a corner in which its ticks are looked for
_THICK = 6.0  # mm: a tick is thinner
_SHORT, _LONG = 3.0, 130.0  # mm of a tick
_GAP = 80.0  # mm: the most between a tick's end and where the two would cross
_ALIKE = 2.5  # mm, or pixels: by which the corners may differ
_RIDGE = 11.0  # levels by which a tick is darker than what is to both sides of it
_MOST = 40  # ticks one way at one corner: more are a texture
_LEAST_PX = 4  # px of a tick's length


@frozen
class Tick:
    """A thin line near a corner, by mm from the corner's two sides: ``at`` = how far it lies from the side that it runs along,
    ``start`` to ``end`` = from where to where it goes, counted from the other side."""

    at: float
    start: float
    end: float


@frozen
class CropMarks:
    """``corners`` = how many of the four have marks; ``inset`` = mm from the sides of the art size to the rectangle at which they
    point: left or right, lower or upper; ``length`` = mm of a tick; ``from_lines``: told from the file's lines."""

    corners: int
    inset: tuple[float, float]
    length: float
    from_lines: bool


@frozen
class _Pair:
    inset: tuple[float, float]
    gap: tuple[float, float]
    length: float


def crop_marks(laid: Laid, sheet: Sheet) -> CropMarks | None:
    """The crop marks on a laid page's art size, None if there are none."""
    from_lines = [_pairs(*ticks, slack=_ALIKE) for ticks in _line_ticks(laid)]
    found = _agreeing(from_lines, _ALIKE, True)
    if found is not None:
        return found
    slack = max(_ALIKE, 2.5 * sheet.step)
    return _agreeing([_pairs(*ticks, slack=slack) for ticks in _seen_ticks(sheet)], slack, False)


def _agreeing(corners: Sequence[Sequence[_Pair]], slack: float, from_lines: bool) -> CropMarks | None:
    """What most corners have alike: their rectangle is as far in at each. Of several the outermost."""
    best: CropMarks | None = None
    for pair in (pair for pairs in corners for pair in pairs):
        like = [next((other for other in pairs if _alike(pair, other, slack)), None) for pairs in corners]
        there = [one for one in like if one is not None]
        if len(there) < 3 or (best is not None and (len(there), -sum(pair.inset)) <= (best.corners, -sum(best.inset))):
            continue
        inset = tuple(round(median(one.inset[i] for one in there), 1) for i in (0, 1))
        best = CropMarks(len(there), inset, round(median(one.length for one in there), 1), from_lines)  # type: ignore[arg-type]
    return best


def _alike(one: _Pair, other: _Pair, slack: float) -> bool:
    pairs = ((one.inset[0], other.inset[0]), (one.inset[1], other.inset[1]), (one.gap[0], other.gap[0]))
    return all(abs(a - b) <= slack for a, b in pairs) and abs(one.gap[1] - other.gap[1]) <= slack


def _pairs(upright: Sequence[Tick], level: Sequence[Tick], slack: float) -> list[_Pair]:
    """An upright tick at x = a that ends before y = c, and a level one at y = c that ends before x = a, both from the corner."""
    if len(upright) > _MOST or len(level) > _MOST:
        return []
    found = []
    for one, other in product(upright, level):
        gaps = (other.at - one.end, one.at - other.end)
        if min(gaps) < 0.3 or max(gaps) > _GAP or abs(gaps[0] - gaps[1]) > slack:
            continue
        if one.at < 2.0 or other.at < 2.0:
            continue
        found.append(_Pair((one.at, other.at), gaps, max(one.end - one.start, other.end - other.start)))
    return found


def _line_ticks(laid: Laid) -> Iterable[tuple[list[Tick], list[Tick]]]:
    """(upright, level) ticks of each corner among the thinnest strokes of the page."""
    x0, y0, x1, y1 = bounds([point for outline in laid.target.outline("art") for point in outline])
    corners: list[tuple[list[Tick], list[Tick]]] = [([], []) for _ in range(4)]
    straight = abs(laid.matrix[0] * laid.matrix[1]) < 1e-9
    for thin in laid.facts.lines.thinnest if straight else ():
        p, q = apply(laid.matrix, thin.where[:2]), apply(laid.matrix, thin.where[2:])
        left, low, right, high = bounds((p, q))
        wide, tall = right - left, high - low
        if thin.width * laid.scale > _THICK or min(wide, tall) > _THICK or not _SHORT <= max(wide, tall) <= 3 * _LONG:
            continue
        if right < x0 or left > x1 or high < y0 or low > y1:
            continue  # beside the art size: there marks do no harm
        for corner, (flip_x, flip_y) in enumerate(product((False, True), repeat=2)):
            u0, u1 = (x1 - right, x1 - left) if flip_x else (left - x0, right - x0)
            v0, v1 = (y1 - high, y1 - low) if flip_y else (low - y0, high - y0)
            if max(u0, v0) > _REACH:
                continue
            if tall > wide:
                corners[corner][0].append(Tick((u0 + u1) / 2, max(v0, 0.0), v1))
            else:
                corners[corner][1].append(Tick((v0 + v1) / 2, max(u0, 0.0), u1))
    return corners


def _seen_ticks(sheet: Sheet) -> Iterable[tuple[list[Tick], list[Tick]]]:
    """(upright, level) ticks of each corner of the sheet."""
    rows, columns = sheet.grey.shape
    size = round(_REACH / sheet.step)
    high, wide = min(size, rows // 3), min(size, columns // 3)
    for flip_x, flip_y in product((False, True), repeat=2):
        # sheets have their rows from the top, corners are counted from the lower left
        part = sheet.grey[:high] if flip_y else sheet.grey[-high:][::-1]
        part = part[:, -wide:][:, ::-1] if flip_x else part[:, :wide]
        yield _ridges(part, sheet.step), _ridges(part.T, sheet.step)


def _ridges(part: NDArray[np.uint8], step: float) -> list[Tick]:
    """Upright ticks of a corner's picture, whose rows and columns count from the corner."""
    grey = part.astype(np.float32)
    reach = max(2, min(5, round(_THICK / 2 / step)))
    found: list[Tick] = []
    for wide in range(1, reach):
        aside = wide // 2 + 2
        padded = np.pad(grey, ((0, 0), (aside, aside)), mode="edge")
        columns = grey.shape[1]
        beside = np.minimum(padded[:, :columns], padded[:, 2 * aside : 2 * aside + columns])
        ridge = beside - grey >= _RIDGE
        # one column of a line is darkest: the others leave the same run
        darker = np.pad(grey, ((0, 0), (1, 1)), mode="edge")
        ridge &= (grey <= darker[:, :-2]) & (grey <= darker[:, 2:])
        for column, start, end in _runs(ridge):
            length = (end - start) * step
            if end - start < _LEAST_PX or not _SHORT <= length <= _LONG:
                continue
            tick = Tick((column + 0.5) * step, start * step, end * step)
            if not any(
                abs(tick.at - one.at) <= 2 * step and tick.start < one.end and one.start < tick.end for one in found
            ):
                found.append(tick)
        if len(found) > 2 * _MOST:
            break
    return found


def _runs(ridge: NDArray[np.bool_]) -> list[tuple[int, int, int]]:
    """(column, first row, row past the last) of what is true one below the other; a gap of one is none."""
    closed = ridge.copy()
    closed[1:-1] |= ridge[:-2] & ridge[2:]
    padded = np.zeros((closed.shape[1], closed.shape[0] + 2), bool)
    padded[:, 1:-1] = closed.T
    flat = padded.ravel()
    edges = np.flatnonzero(flat[1:] != flat[:-1]) + 1
    found = []
    for start, end in edges.reshape(-1, 2):
        column, row = divmod(int(start), padded.shape[1])
        found.append((column, row - 1, row - 1 + int(end - start)))
    return found

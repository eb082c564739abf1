"""Drops and seams: how a panel that is wider than the roll is printed in pieces, and where the sewn lines stand."""

from collections.abc import Sequence
from itertools import pairwise
from math import ceil

from attrs import frozen

from .outline import Outline, bounds, reach_between
from .panel import Axis, Drop, Seam, ToSpace
from .sums import Made, Printed, SizeFault, Zones

_SLACK = 1e-9  # mm: float dust never costs a drop
_EYE = 150.0  # mm over and under eye height that count as it (ours)
_MOST = 1000  # drops of one panel: more is a slip of the pen (ours)
Band = tuple[float, float]


@frozen
class Cut:
    """Along the axis that lies across the roll: ``low`` = where the cut begins in the sewn frame, ``total`` = its length,
    ``bleeds`` = beyond either end, ``factor`` = print factor, ``allowance`` = seam allowance as printed, at each sewn side.
    ``applied`` = what of the factor artgen applies to sheets."""

    axis: Axis
    low: float
    total: float
    bleeds: tuple[float, float]
    factor: float
    allowance: float
    width: float
    applied: float

    def outer(self, side: int) -> float:
        """The largest share of an outer drop."""
        return (self.width - self.allowance) / self.factor - self.bleeds[side]

    @property
    def inner(self) -> float:
        """The largest share of a drop with a seam on both sides."""
        return (self.width - 2 * self.allowance) / self.factor

    def most(self, index: int, drops: int) -> float:
        """The largest share of one drop of several."""
        return self.outer(0) if index == 0 else self.outer(1) if index == drops - 1 else self.inner

    def capacity(self, first: int, count: int, drops: int) -> float:
        """The largest share of ``count`` neighbouring drops of ``drops``, from ``first`` on."""
        outer = (self.outer(0) if first == 0 else 0.0, self.outer(1) if first + count == drops else 0.0)
        inner = count - (first == 0) - (first + count == drops)
        return outer[0] + inner * self.inner + outer[1] if count else 0.0

    def span(self, index: int, drops: int) -> Band:
        """From where to where seam ``index`` (1 is the first) may stand, from the start of the cut."""
        low = self.total - self.capacity(index, drops - index, drops)
        return max(0.0, low), min(self.capacity(0, index, drops), self.total)


def measure(found: Zones, sizes: Printed, made: Made, turned: bool) -> Cut:
    axis: Axis = "y" if turned else "x"
    i = 1 if turned else 0
    cut, art = found.cut_box, found.art_box
    return Cut(
        axis=axis,
        low=cut[i],
        total=cut[i + 2] - cut[i],
        bleeds=(cut[i] - art[i], art[i + 2] - cut[i + 2]),
        factor=sizes.factor[i],
        allowance=made.fabric.seam_allowance * sizes.shrink[i],
        width=made.roll.printable_width,
        applied=sizes.applied[i],
    )


def count(cut: Cut) -> int:
    """The fewest drops. Raises `SizeFault` if the roll is narrower than its own seam allowances, or there is no end of them."""
    if cut.factor * (cut.total + sum(cut.bleeds)) <= cut.width + _SLACK:
        return 1
    if cut.inner <= 0 or min(cut.outer(0), cut.outer(1)) <= 0:
        raise SizeFault(f"a roll of {cut.width:g} mm printable width is too narrow for seam allowances and bleed")
    left = cut.total - _SLACK - cut.outer(0) - cut.outer(1)
    drops = 2 + max(0, ceil(left / cut.inner))
    if drops > _MOST:
        raise SizeFault(f"a roll of {cut.width:g} mm printable width gives {drops} drops; at most {_MOST} are made")
    return drops


def at_eye_height(visible: Outline, to_space: ToSpace, cut: Cut, lift: float, eye_height: float) -> Band | None:
    """Where a seam would pass a standing reader's eye height, from the start of the cut. None: seams stand upright, and pass
    it wherever they are. ``lift`` = mm from the floor to the metal."""
    origin, x, y = to_space
    x0, y0, x1, y1 = bounds(visible)
    (rise, slope, ends) = (x[2], y[2], (y0, y1)) if cut.axis == "x" else (y[2], x[2], (x0, x1))
    if abs(rise) < 1e-6:
        return None
    heights = [origin[2] + lift + slope * end for end in ends]
    reach = [(eye_height + out - height) / rise for out in (-_EYE, _EYE) for height in heights]
    return min(reach) - cut.low, max(reach) - cut.low


def balanced(cut: Cut, avoid: Band | None = None) -> list[float]:
    """Places of the fewest seams, from the start of the cut: equal shares, less where the roll needs it; none inside
    ``avoid`` if that can be helped without another drop."""
    drops = count(cut)
    even = _even(cut, 0, drops, cut.total, drops)
    if avoid is None or _clear(even, avoid):
        return even
    best: tuple[float, list[float]] | None = None
    for i, at in ((i, at) for at in avoid for i in range(1, drops)):
        low, high = cut.span(i, drops)
        if not (0.0 < at < cut.total and low <= at <= high):
            continue
        after = _even(cut, i, drops - i, cut.total - at, drops)
        places = [*_even(cut, 0, i, at, drops), at, *(at + place for place in after)]
        moved = max(abs(a - b) for a, b in zip(places, even, strict=True))
        if _clear(places, avoid) and (best is None or moved < best[0] - _SLACK):
            best = (moved, places)
    return even if best is None else best[1]


def _clear(places: Sequence[float], avoid: Band) -> bool:
    return not any(avoid[0] + _SLACK < place < avoid[1] - _SLACK for place in places)


def _even(cut: Cut, first: int, count: int, length: float, drops: int) -> list[float]:
    """Seams inside a stretch of ``count`` drops from ``first`` on: equal shares, and where one can't be as large, the others
    take the rest."""
    most = [cut.most(i, drops) for i in range(first, first + count)]
    left, open_ = length, count
    for each in sorted(most):
        if each >= left / open_:
            break
        left, open_ = left - each, open_ - 1
    level = left / open_ if open_ else 0.0
    places, at = [], 0.0
    for each in most[:-1]:
        at += min(each, level)
        places.append(at)
    return places


def given(cut: Cut, places: Sequence[float]) -> list[float]:
    """Seams where the order wants them (places along the full-size page), from the start of the cut. Raises `SizeFault`, with
    what would do, where a drop can't be."""
    drops = len(places) + 1
    ends = [0.0, *(place - cut.low for place in places), cut.total]
    if any(b <= a for a, b in pairwise(ends)):
        raise SizeFault(
            f"seams {', '.join(f'{place:.1f}' for place in places)} mm: expected places in rising order, over "
            f"{cut.low:.1f} and under {cut.low + cut.total:.1f} mm from the start of the full-size page"
        )
    for i, (a, b) in enumerate(pairwise(ends)):
        over = b - a - cut.most(i, drops)
        if over > 1e-6:
            spans = (cut.span(n, drops) for n in range(1, drops))
            ranges = ", ".join(f"{cut.low + low:.1f} to {cut.low + high:.1f}" for low, high in spans if low <= high)
            what = f"with {drops - 1} of them they may stand at {ranges} mm" if ranges else "give more of them"
            raise SizeFault(f"seams: drop {i + 1} is {over:.1f} mm wider than the roll prints; {what}")
    return ends[1:-1]


def split(
    cut: Cut, number: int, sheet: tuple[float, float], art: Outline, places: Sequence[float]
) -> tuple[tuple[Drop, ...], tuple[Seam, ...]]:
    """Drops and seams of a panel with seams at ``places`` from the start of the cut; a drop's sheet is as long as its own
    part of the art size."""
    drops = len(places) + 1
    i, j = (0, 1) if cut.axis == "x" else (1, 0)
    whole = bounds(art)[j::2]
    if drops == 1:
        return (Drop(str(number), cut.axis, cut.low, cut.low + cut.total, sheet, (whole[0], whole[1])),), ()
    ends = [0.0, *places, cut.total]
    beyond = cut.allowance / cut.factor  # at a sewn side, as installed
    made = []
    for index in range(drops):
        first = cut.bleeds[0] if index == 0 else beyond
        last = cut.bleeds[1] if index == drops - 1 else beyond
        low, high = cut.low + ends[index], cut.low + ends[index + 1]
        reach = reach_between(art, i, low - first, high + last)
        wide, long = (high - low + first + last) * cut.applied, (reach[1] - reach[0]) / (whole[1] - whole[0]) * sheet[j]
        piece = (wide, long) if cut.axis == "x" else (long, wide)
        made.append(Drop(f"{number}{_letter(index)}", cut.axis, low, high, piece, reach))
    spans = [cut.span(n, drops) for n in range(1, drops)]
    seams = (
        Seam(cut.axis, cut.low + at, cut.low + low, cut.low + high)
        for at, (low, high) in zip(places, spans, strict=True)
    )
    return tuple(made), tuple(seams)


def _letter(i: int) -> str:
    return chr(ord("a") + i) if i < 26 else _letter(i // 26 - 1) + _letter(i % 26)

"""Drops and seams: how a panel that is wider than the roll is printed in pieces."""

from attrs import frozen

from .outline import bounds
from .panel import Axis, Drop, Seam
from .sums import Made, Printed, SizeFault, Zones

_SLACK = 1e-9  # mm: float dust never costs a drop


@frozen
class Cut:
    """Along the axis that lies across the roll: ``low`` = where the cut begins in the sewn frame, ``total`` = its length,
    ``bleeds`` = beyond either end, ``factor`` = print factor, ``allowance`` = a / (1 + c), printed at each sewn side."""

    axis: Axis
    low: float
    total: float
    bleeds: tuple[float, float]
    factor: float
    allowance: float
    width: float

    def outer(self, side: int) -> float:
        """The largest share of an outer drop."""
        return (self.width - self.allowance) / self.factor - self.bleeds[side]

    @property
    def inner(self) -> float:
        """The largest share of a drop with a seam on both sides."""
        return (self.width - 2 * self.allowance) / self.factor

    def capacity(self, first: int, count: int, drops: int) -> float:
        """The largest share of ``count`` neighbouring drops of ``drops``, from ``first`` on."""
        total = 0.0
        for i in range(first, first + count):
            total += self.outer(0) if i == 0 else self.outer(1) if i == drops - 1 else self.inner
        return total


def measure(found: Zones, sizes: Printed, made: Made, turned: bool) -> Cut:
    axis: Axis = "y" if turned else "x"
    i = 1 if turned else 0
    cut, art = bounds(found.cut), bounds(found.art)
    return Cut(
        axis=axis,
        low=cut[i],
        total=cut[i + 2] - cut[i],
        bleeds=(cut[i] - art[i], art[i + 2] - cut[i + 2]),
        factor=sizes.factor[i],
        allowance=made.fabric.seam_allowance / made.factors(turned)[2 + i],
        width=made.roll.printable_width,
    )


def count(cut: Cut) -> int:
    """The fewest drops. Raises `SizeFault` if the roll is narrower than its own seam allowances."""
    if cut.factor * (cut.total + sum(cut.bleeds)) <= cut.width + _SLACK:
        return 1
    if cut.inner <= 0 or min(cut.outer(0), cut.outer(1)) <= 0:
        raise SizeFault(f"a roll of {cut.width:g} mm printable width is too narrow for seam allowances and bleed")
    drops = 2
    while cut.capacity(0, drops, drops) < cut.total - _SLACK:
        drops += 1
    return drops


def split(cut: Cut, number: int, sheet: tuple[float, float]) -> tuple[tuple[Drop, ...], tuple[Seam, ...]]:
    """Balanced drops: equal shares of the cut, the inner ones less where their two allowances need it."""
    drops = count(cut)
    if drops == 1:
        return (Drop(str(number), cut.axis, cut.low, cut.low + cut.total, sheet),), ()
    inner = min(cut.total / drops, cut.inner)
    ends = [0.0]
    for i in range(1, drops):
        even = cut.total / 2 + (i - drops / 2) * inner
        ends.append(min(max(even, _low(cut, i, drops)), cut.capacity(0, i, drops)))
    ends.append(cut.total)
    seams = tuple(
        Seam(cut.axis, cut.low + at, cut.low + _low(cut, i, drops), cut.low + min(cut.capacity(0, i, drops), cut.total))
        for i, at in enumerate(ends[1:-1], start=1)
    )
    made = []
    for i in range(drops):
        share = ends[i + 1] - ends[i]
        length = share * cut.factor
        for side, outermost in ((0, i == 0), (1, i == drops - 1)):
            length += cut.bleeds[side] * cut.factor if outermost else cut.allowance
        piece = (length, sheet[1]) if cut.axis == "x" else (sheet[0], length)
        made.append(Drop(f"{number}{_letter(i)}", cut.axis, cut.low + ends[i], cut.low + ends[i + 1], piece))
    return tuple(made), seams


def _low(cut: Cut, i: int, drops: int) -> float:
    return max(0.0, cut.total - cut.capacity(i, drops - i, drops))


def _letter(i: int) -> str:
    return chr(ord("a") + i) if i < 26 else _letter(i // 26 - 1) + _letter(i % 26)

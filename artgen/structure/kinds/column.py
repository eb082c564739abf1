"""`column`: a closed ring of upright sides, 3 to 12, equal or each with its own width and interior angle."""

from itertools import accumulate
from math import cos, hypot, pi, sin
from typing import TYPE_CHECKING

from attrs import frozen

from ...typed import Faults, Size
from ...units import mm_text
from ..shape import Face, Shape
from .kind import BayRows, Flag, Form, Kind

if TYPE_CHECKING:
    from ..vec import Vec

_FEWEST, _MOST = 3, 12
Flat = tuple[float, float]
_BEND = 0.5  # degrees, ours: how far an angle may be off, as people write them to a degree or a tenth


@frozen
class ColumnKeys:
    """``count`` equal sides of ``width``; or ``widths``, and ``angles`` inside, in degrees, the n-th between side n and the
    next one, the last between the last side and the first. Sides run anticlockwise seen from above, the first to the front.
    """

    height: Size
    count: int | None = None
    width: Size | None = None
    widths: tuple[Size, ...] = ()
    angles: tuple[float, ...] = ()


def faces(keys: ColumnKeys, depth: float, bays: BayRows) -> Shape:
    points = _equal(*_count(keys)) if not keys.widths and not keys.angles else _unequal(*_given(keys))
    made = []
    for i, (x0, y0) in enumerate(points):
        x1, y1 = points[(i + 1) % len(points)]
        h = keys.height
        made.append(Face(f"f{i + 1}", ((x0, y0, 0.0), (x1, y1, 0.0), (x1, y1, h), (x0, y0, h))))
    return Shape(tuple(made), numbering="along")  # their own order walks round, with sides that turn inwards too


def _count(keys: ColumnKeys) -> tuple[int, float]:
    """Number and width of equal sides. Raises `Faults`."""
    wrong = []
    if keys.count is None:
        wrong.append(("count", "missing (a column needs count and width, or widths and angles)"))
    elif not _FEWEST <= keys.count <= _MOST:
        wrong.append(("count", f"expected {_FEWEST} to {_MOST} sides, got {keys.count}"))
    if keys.width is None:
        wrong.append(("width", "missing (a column needs count and width, or widths and angles)"))
    if wrong or keys.count is None or keys.width is None:
        raise Faults(wrong)
    return keys.count, keys.width


def _equal(count: int, width: float) -> list[Flat]:
    """Corners of a ring of equal sides, the first along x from the origin."""
    turns = [2 * pi * i / count for i in range(count - 1)]
    x = accumulate((width * cos(turn) for turn in turns), initial=0.0)
    y = accumulate((width * sin(turn) for turn in turns), initial=0.0)
    return list(zip(x, y, strict=True))


def _given(keys: ColumnKeys) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Widths and interior angles, as many of each. Raises `Faults`."""
    wrong = []
    if keys.width is not None or keys.count is not None:
        wrong.append(("widths", "give either count and width, or widths and angles"))
    count = len(keys.widths)
    if not _FEWEST <= count <= _MOST:
        wrong.append(("widths", f"expected {_FEWEST} to {_MOST} widths, got {count}"))
    if len(keys.angles) != count:
        wrong.append(("angles", f"expected as many angles as widths ({count}), got {len(keys.angles)}"))
    wrong += [
        (f"angles {i}", f"expected over 0 and under 360 degrees, got {angle:g}")
        for i, angle in enumerate(keys.angles, start=1)
        if not 0.0 < angle < 360.0
    ]
    if wrong:
        raise Faults(wrong)
    return keys.widths, keys.angles


def _unequal(widths: tuple[float, ...], angles: tuple[float, ...]) -> list[Flat]:
    """Corners of a ring of such sides, the first along x from the origin. Raises `Faults` where they don't close."""
    import numpy as np  # heavy, as shapely is, and few orders have such a column
    from shapely.geometry import Polygon

    ways = _closed(np.asarray(widths), np.asarray(angles))
    steps = np.asarray(widths)[:, None] * _along(ways)
    points = [(0.0, 0.0), *((float(x), float(y)) for x, y in np.cumsum(steps, axis=0)[:-1])]
    if not Polygon(points).is_valid:
        raise Faults([("angles", "the sides run through one another")])
    return points


def _closed(widths: "Vec", angles: "Vec") -> "Vec":
    """Directions of the sides, the first along x: angles bent by as little as lets the widths close exactly.

    Widths are measured, angles rounded. Newton's method; of all bends that close, the least in the sum of their squares.
    Raises `Faults` with the gap where an angle would have to bend by more than half a degree.
    """
    import numpy as np

    turns = np.radians(180.0 - angles)
    before = np.tril(np.ones((len(turns), len(turns))), -1)  # a side's direction = all turns before it
    gap = hypot(*(widths @ _along(before @ turns)))
    for _ in range(30):
        ways = before @ turns
        miss = np.array([*(widths @ _along(ways)), turns.sum() - 2 * pi])
        if np.abs(miss[:2]).max() <= 1e-13 * widths.sum() and abs(miss[2]) <= 1e-14:
            break
        slope = np.vstack(
            [(widths * across) @ before for across in (-np.sin(ways), np.cos(ways))] + [np.ones(len(turns))]
        )
        turns = turns - np.linalg.lstsq(slope, miss, rcond=None)[0]
    if not np.abs(180.0 - np.degrees(turns) - angles).max() <= _BEND:
        due = (len(angles) - 2) * 180
        what = f"the sides don't close: the last one ends {mm_text(gap)} mm from where the first begins"
        raise Faults([("angles", f"{what}, and the angles add up to {angles.sum():g}° instead of {due}°")])
    return before @ turns


def _along(ways: "Vec") -> "Vec":
    import numpy as np

    return np.stack([np.cos(ways), np.sin(ways)], axis=1)


KIND = Kind(
    name="column",
    title="column",
    keys=ColumnKeys,
    faces=faces,
    forms=(
        Form(
            flags=(
                Flag("count", "how many sides", "6", "count"),
                Flag("width", "outer width of a side", "1000 mm"),
                Flag("height", "height of the metal", "2400 mm"),
            ),
            lines="""\
count = {count}              # sides, 3 to 12, all alike; only upright sides are dressed
width = {width}      # outer width of a side; or each side's own widths, with the angles between them (docs/order.md)
height = {height}     # of the metal alone, without feet
""",
        ),
        Form(
            flags=(
                Flag(
                    "width",
                    "outer width of each side, anticlockwise seen from above from the front; repeat it",
                    ("1000 mm",) * 4,
                ),
                Flag("angle", "degrees inside between each side and the next; repeat it", ("90",) * 4, "angle"),
                Flag("height", "height of the metal", "2400 mm"),
            ),
            lines="""\
widths = {width}   # outer width of each side, anticlockwise seen from above, the first to the front
angles = {angle}   # degrees inside between each side and the next; the last between the last side and the first
height = {height}     # of the metal alone, without feet; only upright sides are dressed
""",
        ),
    ),
    front_face="f1",
)

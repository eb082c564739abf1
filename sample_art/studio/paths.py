"""Marks: filled or stroked paths in full-size millimetres, y up, that every writer understands.

Gives the curves that the plants and layers are built of. Nothing here knows a file format.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from .palette import Ink

Point = tuple[float, float]
Step = tuple[str, tuple[float, ...]]  # ("M"|"L", (x, y)), ("C", six numbers), ("Z", ())
Path = tuple[Step, ...]

THINNEST = 0.9  # mm at full size; thinner lines break up in the weave (common practice, no source)


@dataclass(frozen=True)
class Mark:
    """One painted path: filled, stroked or both; ``width`` of the stroke in mm at full size."""

    path: Path
    fill: Ink | None = None
    stroke: Ink | None = None
    width: float = 0.0


def filled(path: Path, ink: Ink) -> Mark:
    """The path as a plain area."""
    return Mark(path, fill=ink)


def stroked(path: Path, ink: Ink, width: float) -> Mark:
    """The path as a line, never thinner than the weave can hold."""
    return Mark(path, stroke=ink, width=max(THINNEST, width))


def polygon(points: Iterable[Point]) -> Path:
    """Straight sides through the points, closed."""
    first, *rest = points
    return (("M", first), *(("L", p) for p in rest), ("Z", ()))


def rectangle(x: float, y: float, w: float, h: float) -> Path:
    """A rectangle from its lower left corner."""
    return polygon([(x, y), (x + w, y), (x + w, y + h), (x, y + h)])


def smooth(points: Sequence[Point], closed: bool = False) -> Path:
    """A Catmull–Rom curve through the points, as cubic Béziers (control arms of a sixth of the chord)."""
    n = len(points)

    def at(i: int) -> Point:
        return points[i % n] if closed else points[min(max(i, 0), n - 1)]

    steps: list[Step] = [("M", points[0])]
    for i in range(n if closed else n - 1):
        p0, p1, p2, p3 = at(i - 1), at(i), at(i + 1), at(i + 2)
        c1 = (p1[0] + (p2[0] - p0[0]) / 6, p1[1] + (p2[1] - p0[1]) / 6)
        c2 = (p2[0] - (p3[0] - p1[0]) / 6, p2[1] - (p3[1] - p1[1]) / 6)
        steps.append(("C", (*c1, *c2, *p2)))
    if closed:
        steps.append(("Z", ()))
    return tuple(steps)


def ellipse(x: float, y: float, rx: float, ry: float, turn: float = 0.0) -> Path:
    """An ellipse of half-axes rx, ry, turned anticlockwise by ``turn`` radians; four Béziers (k = 0.5523)."""
    k = 0.5523
    arcs = [((1, k), (k, 1), (0, 1)), ((-k, 1), (-1, k), (-1, 0)), ((-1, -k), (-k, -1), (0, -1))]
    arcs.append(((k, -1), (1, -k), (1, 0)))
    cos, sin = math.cos(turn), math.sin(turn)

    def put(p: tuple[float, float]) -> Point:
        u, v = p[0] * rx, p[1] * ry
        return x + u * cos - v * sin, y + u * sin + v * cos

    curves: list[Step] = [("C", (*put(a), *put(b), *put(c))) for a, b, c in arcs]
    return (("M", put((1, 0))), *curves, ("Z", ()))


def disc(x: float, y: float, r: float) -> Path:
    """A circle."""
    return ellipse(x, y, r, r)


def blade(x: float, y: float, angle: float, length: float, width: float, bend: float = 0.0) -> Path:
    """A leaf or hair from (x, y): pointed, widest below the middle, curving by ``bend`` radians on its way."""
    start, end = angle - bend / 2, angle + bend / 2
    d0, d1 = (math.cos(start), math.sin(start)), (math.cos(end), math.sin(end))
    tip = (x + length * math.cos(angle), y + length * math.sin(angle))

    def side(s: float) -> tuple[Point, Point, Point]:
        root = (x - s * d0[1] * width * 0.28, y + s * d0[0] * width * 0.28)
        low = (x + d0[0] * length * 0.4 - s * d0[1] * width * 0.72, y + d0[1] * length * 0.4 + s * d0[0] * width * 0.72)
        high = (
            tip[0] - d1[0] * length * 0.3 - s * d1[1] * width * 0.3,
            tip[1] - d1[1] * length * 0.3 + s * d1[0] * width * 0.3,
        )
        return root, low, high

    (r1, a1, b1), (r2, a2, b2) = side(1), side(-1)
    return (("M", r1), ("C", (*a1, *b1, *tip)), ("C", (*b2, *a2, *r2)), ("Z", ()))


def limb(points: Sequence[Point], widths: Sequence[float]) -> Path:
    """A stem, trunk or root: a smooth outline round a line of points with a width at each."""
    left: list[Point] = []
    right: list[Point] = []
    for i, (x, y) in enumerate(points):
        before, after = points[max(i - 1, 0)], points[min(i + 1, len(points) - 1)]
        angle = math.atan2(after[1] - before[1], after[0] - before[0])
        nx, ny = -math.sin(angle) * widths[i] / 2, math.cos(angle) * widths[i] / 2
        left.append((x + nx, y + ny))
        right.append((x - nx, y - ny))
    there, back = smooth(left), smooth(right[::-1])
    return (*there, ("L", right[-1]), *back[1:], ("Z", ()))


def blob(x: float, y: float, rx: float, ry: float, rng: random.Random, rough: float = 0.12, n: int = 9) -> Path:
    """An uneven round: a pool, a stone, a tuft."""
    turn = rng.uniform(0, math.tau)
    points = []
    for i in range(n):
        a = turn + math.tau * i / n
        r = 1 + rng.uniform(-rough, rough)
        points.append((x + rx * r * math.cos(a), y + ry * r * math.sin(a)))
    return smooth(points, closed=True)


def under(line: Sequence[Point], floor: float) -> Path:
    """The area under a smooth line down to the level ``floor``."""
    return (*smooth(line), ("L", (line[-1][0], floor)), ("L", (line[0][0], floor)), ("Z", ()))


def waves(rng: random.Random, period: float, height: float, harmonics: Sequence[int]) -> Callable[[float], float]:
    """A wandering level that repeats after ``period`` mm: sines of whole harmonics, higher ones lower."""
    parts = [(h, height / (1 + 0.7 * i), rng.uniform(0, math.tau)) for i, h in enumerate(harmonics)]
    return lambda x: sum(a * math.sin(math.tau * h * x / period + p) for h, a, p in parts)


def moved(marks: Iterable[Mark], place: Callable[[float, float], Point], grow: float = 1.0) -> list[Mark]:
    """The marks with every point put through ``place`` (a similarity that enlarges by ``grow``)."""

    def put(step: Step) -> Step:
        name, numbers = step
        pairs = zip(numbers[::2], numbers[1::2], strict=True)
        return name, tuple(v for x, y in pairs for v in place(x, y))

    return [replace(m, path=tuple(put(s) for s in m.path), width=m.width * grow) for m in marks]


def turned(
    marks: Iterable[Mark], x: float, y: float, angle: float, grow: float = 1.0, mirror: bool = False
) -> list[Mark]:
    """Marks drawn about the origin, enlarged, turned anticlockwise by ``angle`` radians and set down at (x, y)."""
    cos, sin, m = grow * math.cos(angle), grow * math.sin(angle), -1 if mirror else 1
    return moved(marks, lambda u, v: (x + m * u * cos - v * sin, y + m * u * sin + v * cos), grow)


def extent(path: Path) -> tuple[float, float, float, float]:
    """(x0, y0, x1, y1) of all points and control points: never less than the path itself."""
    xs = [v for _, numbers in path for v in numbers[::2]]
    ys = [v for _, numbers in path for v in numbers[1::2]]
    return min(xs), min(ys), max(xs), max(ys)

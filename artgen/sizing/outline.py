"""Plane outlines: moved edge by edge, scaled, measured. Millimetres, anticlockwise, y up."""

from collections.abc import Sequence
from math import hypot

Point = tuple[float, float]
Outline = tuple[Point, ...]
MITRE = 3.0  # a mitre longer than this many offsets is cut square


class TooSmall(ValueError):
    """An outline that its insets use up."""


def offset(outline: Sequence[Point], distances: Sequence[float], mitre: float = MITRE) -> Outline:
    """The outline with edge i (from point i to i + 1) moved outwards by ``distances[i]``, vertices by intersection.

    Negative distances move inwards; raises `TooSmall` if an edge is used up by that. Sharp outward vertices whose
    mitre is longer than ``mitre`` × the offset are cut square to it.
    """
    return _moved(outline, distances, mitre)[0]


def moved_edges(outline: Sequence[Point], distances: Sequence[float]) -> list[tuple[Point, Point]]:
    """Start and end of each edge of ``outline`` once moved as `offset` does; square cuts belong to no edge."""
    return _moved(outline, distances, MITRE)[1]


def _moved(
    outline: Sequence[Point], distances: Sequence[float], mitre: float
) -> tuple[Outline, list[tuple[Point, Point]]]:
    count = len(outline)
    moved: list[Point] = []
    starts: list[Point] = []
    ends: list[Point] = [(0.0, 0.0)] * count
    for i in range(count):
        before, here, after = outline[i - 1], outline[i], outline[(i + 1) % count]
        made = _vertex(before, here, after, distances[i - 1], distances[i], mitre)
        moved += made
        ends[i - 1] = made[0]
        starts.append(made[-1])
    for (start, end), (a, b) in zip(edges(outline), zip(starts, ends, strict=True), strict=True):
        if (end[0] - start[0]) * (b[0] - a[0]) + (end[1] - start[1]) * (b[1] - a[1]) <= 0:
            raise TooSmall
    return tuple(moved), list(zip(starts, ends, strict=True))


def _vertex(before: Point, here: Point, after: Point, d0: float, d1: float, mitre: float) -> list[Point]:
    (ux, uy), (vx, vy) = _direction(before, here), _direction(here, after)
    n0, n1 = (uy, -ux), (vy, -vx)  # outward: to the right of an anticlockwise edge
    p0 = (here[0] + n0[0] * d0, here[1] + n0[1] * d0)
    p1 = (here[0] + n1[0] * d1, here[1] + n1[1] * d1)
    cross = ux * vy - uy * vx
    if abs(cross) < 1e-12:  # edges in line: one point, or a step where their distances differ
        return [p0] if abs(d0 - d1) < 1e-12 else [p0, p1]
    along = ((p1[0] - p0[0]) * vy - (p1[1] - p0[1]) * vx) / cross
    meet = (p0[0] + ux * along, p0[1] + uy * along)
    reach, limit = hypot(meet[0] - here[0], meet[1] - here[1]), mitre * max(d0, d1)
    if cross > 0 and max(d0, d1) > 0 and reach > limit + 1e-9:
        return _square_cut(here, meet, limit, p0, (ux, uy), p1, (vx, vy))
    return [meet]


def _square_cut(here: Point, meet: Point, limit: float, p0: Point, u: Point, p1: Point, v: Point) -> list[Point]:
    bx, by = _direction(here, meet)
    cut = []
    for (px, py), (wx, wy) in ((p0, u), (p1, v)):
        along = (limit - ((px - here[0]) * bx + (py - here[1]) * by)) / (wx * bx + wy * by)
        cut.append((px + wx * along, py + wy * along))
    return cut


def _direction(a: Point, b: Point) -> Point:
    length = hypot(b[0] - a[0], b[1] - a[1])
    return (b[0] - a[0]) / length, (b[1] - a[1]) / length


def scale(outline: Sequence[Point], kx: float, ky: float) -> Outline:
    return tuple((x * kx, y * ky) for x, y in outline)


def shift(outline: Sequence[Point], dx: float, dy: float) -> Outline:
    return tuple((x + dx, y + dy) for x, y in outline)


def bounds(outline: Sequence[Point]) -> tuple[float, float, float, float]:
    """min x, min y, max x, max y."""
    xs, ys = [p[0] for p in outline], [p[1] for p in outline]
    return min(xs), min(ys), max(xs), max(ys)


def size(outline: Sequence[Point]) -> tuple[float, float]:
    """Width and height of the bounding box."""
    x0, y0, x1, y1 = bounds(outline)
    return x1 - x0, y1 - y0


def area(outline: Sequence[Point]) -> float:
    """Signed area: more than 0 for anticlockwise."""
    following = [*outline[1:], outline[0]]
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(outline, following, strict=True)) / 2


def edges(outline: Sequence[Point]) -> list[tuple[Point, Point]]:
    return list(zip(outline, [*outline[1:], outline[0]], strict=True))

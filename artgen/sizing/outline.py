"""Plane outlines: moved edge by edge, scaled, measured. Millimetres, anticlockwise, y up."""

from collections.abc import Sequence
from math import hypot, inf

Point = tuple[float, float]
Outline = tuple[Point, ...]
Box = tuple[float, float, float, float]  # min x, min y, max x, max y
MITRE = 3.0  # a mitre longer than this many offsets is cut square


class TooSmall(ValueError):
    """An outline that its insets use up: edge ``edge`` would be ``lacks`` mm shorter than nothing."""

    def __init__(self, edge: int, lacks: float) -> None:
        self.edge, self.lacks = edge, lacks
        super().__init__(f"edge {edge + 1} is {lacks:g} mm too short")


def offset(outline: Sequence[Point], distances: Sequence[float], mitre: float = MITRE) -> Outline:
    """The outline with edge i (from point i to i + 1) moved outwards by ``distances[i]``, vertices by intersection.

    Negative distances move inwards; raises `TooSmall` if an edge is used up by that. Sharp outward vertices whose
    mitre is longer than ``mitre`` × the offset are cut square to it.
    """
    return _moved(outline, distances, mitre)[0]


def offset_edges(outline: Sequence[Point], distances: Sequence[float]) -> tuple[Outline, list[tuple[Point, Point]]]:
    """As `offset`, and start and end of each edge once moved; square cuts belong to no edge."""
    return _moved(outline, distances, MITRE)


def _moved(
    outline: Sequence[Point], distances: Sequence[float], mitre: float
) -> tuple[Outline, list[tuple[Point, Point]]]:
    # written out in one loop, with the commonest outline apart: it runs eight times for every panel of an order
    count = len(outline)
    if count == 4:
        square = _moved_upright(outline, distances)
        if square is not None:
            return square
    ways: list[Point] = []
    for i in range(count):
        (x0, y0), (x1, y1) = outline[i - 1], outline[i]
        dx, dy = x1 - x0, y1 - y0
        length = hypot(dx, dy)
        ways.append((dx / length, dy / length))  # the edge that ends at point i
    moved: list[Point] = []
    starts: list[Point] = []
    ends: list[Point] = []
    for i in range(count):
        x, y = outline[i]
        ux, uy = ways[i]
        vx, vy = ways[i + 1 - count]
        d0, d1 = distances[i - 1], distances[i]
        cross = ux * vy - uy * vx
        # outward is to the right of an anticlockwise edge
        p0x, p0y, p1x, p1y = x + uy * d0, y - ux * d0, x + vy * d1, y - vx * d1
        if -1e-12 < cross < 1e-12:  # edges in line: one point, or a step where their distances differ
            made = [(p0x, p0y)] if abs(d0 - d1) < 1e-12 else [(p0x, p0y), (p1x, p1y)]
        else:
            along = ((p1x - p0x) * vy - (p1y - p0y) * vx) / cross
            meet = (p0x + ux * along, p0y + uy * along)
            made = [meet]
            if cross > 0 and (d0 > 0 or d1 > 0):
                limit = mitre * max(abs(d0), abs(d1))
                if hypot(meet[0] - x, meet[1] - y) > limit + 1e-9:
                    made = _square_cut((x, y), meet, limit, (p0x, p0y), (ux, uy), (p1x, p1y), (vx, vy))
        moved += made
        ends.append(made[0])
        starts.append(made[-1])
    ends.append(ends[0])
    moved_on = list(zip(starts, ends[1:], strict=True))
    shortest, which = inf, 0
    for i in range(count):
        (ax, ay), (bx, by) = moved_on[i]
        ux, uy = ways[i + 1 - count]
        length = (bx - ax) * ux + (by - ay) * uy
        if length < shortest:
            shortest, which = length, i
    if shortest <= 0:
        raise TooSmall(which, 0.0 - shortest)
    return tuple(moved), moved_on


def _moved_upright(
    outline: Sequence[Point], distances: Sequence[float]
) -> tuple[Outline, list[tuple[Point, Point]]] | None:
    """`_moved` for a rectangle that stands on an edge and begins at its lower left; None for any other outline. Its mitres
    are never longer than √2 offsets."""
    a, b, c, d = outline
    if not (a[1] == b[1] and b[0] == c[0] and c[1] == d[1] and d[0] == a[0] and a[0] < b[0] and a[1] < d[1]):
        return None
    x0, y0, x1, y1 = a[0] - distances[3], a[1] - distances[0], b[0] + distances[1], d[1] + distances[2]
    if x1 <= x0 or y1 <= y0:
        raise TooSmall(*((0, x0 - x1) if x0 - x1 >= y0 - y1 else (1, y0 - y1)))
    a, b, c, d = (x0, y0), (x1, y0), (x1, y1), (x0, y1)
    return (a, b, c, d), [(a, b), (b, c), (c, d), (d, a)]


def _square_cut(here: Point, meet: Point, limit: float, p0: Point, u: Point, p1: Point, v: Point) -> list[Point]:
    bx, by = meet[0] - here[0], meet[1] - here[1]
    reach = hypot(bx, by)
    bx, by = bx / reach, by / reach
    cut = []
    for (px, py), (wx, wy) in ((p0, u), (p1, v)):
        along = (limit - ((px - here[0]) * bx + (py - here[1]) * by)) / (wx * bx + wy * by)
        cut.append((px + wx * along, py + wy * along))
    return cut


def is_convex(outline: Sequence[Point]) -> bool:
    """Whether no vertex turns inwards."""
    count = len(outline)
    for i in range(count):
        (ax, ay), (bx, by), (cx, cy) = outline[i - 1], outline[i], outline[i + 1 - count]
        if (bx - ax) * (cy - by) - (by - ay) * (cx - bx) < -1e-9:
            return False
    return True


def crosses_itself(outline: Sequence[Point]) -> bool:
    """Whether edges of the outline cross or touch; a convex one never does."""
    if is_convex(outline):
        return False
    from shapely import LinearRing  # heavy, and most panels are rectangles

    return not LinearRing(outline).is_simple


def within(outline: Sequence[Point], distances: Sequence[float]) -> Outline | None:
    """What of the outline lies ``distances[i]`` and more inside of edge i, also where that uses edges up; the largest part
    if there are several, None if there is nothing."""
    if not is_convex(outline):
        return _apart(outline, distances)
    left = list(outline)
    for ((ax, ay), (bx, by)), distance in zip(edges(outline), distances, strict=True):
        reach = hypot(bx - ax, by - ay)
        nx, ny = (ay - by) / reach, (bx - ax) / reach  # inwards
        depths = [(x - ax) * nx + (y - ay) * ny - distance for x, y in left]
        kept: list[Point] = []
        for i, (x, y) in enumerate(left):
            before, here = depths[i - 1], depths[i]
            if (before < 0) != (here < 0):
                share = before / (before - here)
                px, py = left[i - 1]
                kept.append((px + (x - px) * share, py + (y - py) * share))
            if here >= 0:
                kept.append((x, y))
        left = kept
        if len(left) < 3:
            return None
    return tuple(left) if area(left) > 1e-6 else None


def _apart(outline: Sequence[Point], distances: Sequence[float]) -> Outline | None:
    from shapely import LineString, Polygon, union_all

    bands = [
        LineString(edge).buffer(d, quad_segs=16) for edge, d in zip(edges(outline), distances, strict=True) if d > 0
    ]
    left = Polygon(outline).difference(union_all(bands))
    parts = [part for part in getattr(left, "geoms", [left]) if part.area > 0]
    if not parts:
        return None
    largest = max(parts, key=lambda part: (part.area, -part.bounds[0]))
    ring = [(float(x), float(y)) for x, y in largest.exterior.coords[:-1]]
    return tuple(ring if area(ring) > 0 else ring[::-1])


def scale(outline: Sequence[Point], kx: float, ky: float) -> Outline:
    return tuple((x * kx, y * ky) for x, y in outline)


def shift(outline: Sequence[Point], dx: float, dy: float) -> Outline:
    return tuple((x + dx, y + dy) for x, y in outline)


def bounds(outline: Sequence[Point]) -> Box:
    xs, ys = zip(*outline, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def size(outline: Sequence[Point]) -> tuple[float, float]:
    """Width and height of the bounding box."""
    x0, y0, x1, y1 = bounds(outline)
    return x1 - x0, y1 - y0


def area(outline: Sequence[Point]) -> float:
    """Signed area: more than 0 for anticlockwise."""
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in edges(outline)) / 2


def reach_between(outline: Sequence[Point], axis: int, low: float, high: float) -> tuple[float, float]:
    """Least and most of the other coordinate of the outline where ``axis`` (0 = x) lies from ``low`` to ``high``."""
    other = 1 - axis
    found: list[float] = []
    for a, b in edges(outline):
        if low <= a[axis] <= high:
            found.append(a[other])
        for at in (low, high):
            if (a[axis] - at) * (b[axis] - at) < 0:
                found.append(a[other] + (b[other] - a[other]) * (at - a[axis]) / (b[axis] - a[axis]))
    return min(found), max(found)


def edge_length(outline: Sequence[Point], index: int) -> float:
    (x0, y0), (x1, y1) = outline[index], outline[(index + 1) % len(outline)]
    return hypot(x1 - x0, y1 - y0)


def edges(outline: Sequence[Point]) -> list[tuple[Point, Point]]:
    return list(zip(outline, [*outline[1:], outline[0]], strict=True))

"""Sight: how well a standing reader sees each face of a structure.

The reader stands on the floor straight in front of the face's middle. Takes outlines in space; gives `Sight`s.
"""

from collections.abc import Iterable, Mapping, Sequence
from math import atan2, degrees, hypot

from attrs import frozen

from .bays import Bay
from .shape import Plane, Shape, Vertex, dot

Flat = tuple[float, ...]  # a point of a plane, along its axes

_IN_FRONT = 1.0  # mm: what reaches less far before a face hides nothing of it
_POINTS = 64  # looked for on a face: shares that are hidden come to a few hundredths
# Two shares whose multiples spread evenly and never fall into rows (M. Roberts, 2018: the plastic number's powers)
_SPREAD = (0.7548776662466927, 0.5698402909980532)


@frozen
class Sight:
    """``height`` = mm from floor to the face's middle; ``tilt`` = degrees by which it leans: 0 upright, more than 0 looks up,
    less looks down; ``share`` = of its true height, what foreshortening leaves to the reader's eye, 0 where that sees its
    back; ``hidden`` = share of its area that other parts of the structure stand before."""

    height: float
    tilt: float
    share: float
    hidden: float = 0.0

    @property
    def seen(self) -> float:
        """What the reader gets of it in all; 0: it can't be seen."""
        return round(self.share * (1.0 - self.hidden), 6)


def sights(
    shape: Shape, panels: Mapping[int, Bay], lift: float, eye_height: float, distance: float
) -> dict[int, Sight]:
    """Sight of each bay that has a panel, by its number. Those bays and the shape's bare sides may hide others; open ones
    hide nothing."""
    behind = _behind_others(shape, panels.values())
    walls = _Walls(panels.values(), shape.bare) if behind else None
    found = {}
    for number, bay in panels.items():
        n, hidden = bay.plane.normal, 0.0
        if walls is not None and bay.face.name in behind:
            middle = _middle(bay.outline)
            hidden = walls.hide(bay, _eye(middle, n, eye_height - lift, distance))
        found[number] = sight(bay.outline, n, lift, eye_height, distance, hidden)
    return found


def sight(
    outline: tuple[Vertex, ...], n: Vertex, lift: float, eye_height: float, distance: float, hidden: float = 0.0
) -> Sight:
    """Sight of a face with outward normal ``n`` by a reader ``distance`` mm away."""
    height = _middle(outline)[2] + lift
    level = hypot(n[0], n[1])
    # in the upright plane through the face's normal: the eye stands `distance` out and at eye height
    rise = eye_height - height
    toward = max(0.0, (distance * level + rise * n[2]) / hypot(distance, rise))
    return Sight(height, round(degrees(atan2(n[2], level)), 6) + 0.0, round(toward, 6), hidden)


def _middle(outline: tuple[Vertex, ...]) -> Vertex:
    count = len(outline)
    x, y, z = map(sum, zip(*outline, strict=True))
    return x / count, y / count, z / count


def _eye(middle: Vertex, n: Vertex, height: float, distance: float) -> Vertex:
    """Where the reader's eye is; before a level face, at the front."""
    level = hypot(n[0], n[1])
    out = (n[0] / level, n[1] / level) if level > 1e-9 else (0.0, -1.0)
    return middle[0] + distance * out[0], middle[1] + distance * out[1], height


def _behind_others(shape: Shape, bays: Iterable[Bay]) -> set[str]:
    """Faces before whose plane other parts of the structure reach, so that these may hide them; none of a convex shape."""
    points = {point for face in shape.faces for point in face.vertices}
    points.update(point for outline in shape.bare for point in outline)
    found = set()
    for name, lies in {bay.face.name: bay.plane for bay in bays}.items():
        nx, ny, nz = lies.normal
        over = dot(lies.normal, lies.origin) + _IN_FRONT
        if any(x * nx + y * ny + z * nz > over for x, y, z in points):
            found.add(name)
    return found


class _Walls:
    """All that may stand in the way of sight: the metal of panels, and bare sides."""

    def __init__(self, bays: Iterable[Bay], bare: Iterable[tuple[Vertex, ...]]) -> None:
        self.outlines = [*(bay.outline for bay in bays), *bare]

    def hide(self, bay: Bay, eye: Vertex) -> float:
        """Share of a bay's points that something stands before, seen from ``eye``; 0 where that is behind the bay."""
        away = bay.plane.before(eye)
        if away <= 2 * _IN_FRONT:
            return 0.0
        low, high = (tuple(map(pick, zip(*bay.flat, strict=True))) for pick in (min, max))
        shadows = [found for outline in self.outlines if (found := _shadow(outline, bay.plane, eye, away, low, high))]
        if not shadows:
            return 0.0
        points = [point for point in _spread(low, high) if _inside(point, bay.flat)]
        covered = sum(any(_inside(point, shadow) for shadow in shadows) for point in points)
        return covered / len(points) if points else 0.0


def _shadow(
    outline: tuple[Vertex, ...], onto: Plane, eye: Vertex, away: float, low: Flat, high: Flat
) -> list[Flat] | None:
    """What an outline covers of a plane seen from an eye ``away`` from it, in the plane's axes; None if it covers nothing
    between ``low`` and ``high``."""
    depths = [onto.before(point) for point in outline]
    if max(depths) <= _IN_FRONT or min(depths) >= away - _IN_FRONT:
        return None
    points = list(zip(outline, depths, strict=True))
    for limit, sign in ((_IN_FRONT, 1.0), (away - _IN_FRONT, -1.0)):  # only what stands between the two
        points = _cut(points, limit, sign)
    cast: list[Flat] = []
    u, v = onto.place(eye)
    for point, depth in points:
        grow = away / (away - depth)
        a, b = onto.place(point)
        cast.append((u + grow * (a - u), v + grow * (b - v)))
    for axis in (0, 1):
        along = [point[axis] for point in cast]
        if not along or max(along) <= low[axis] or min(along) >= high[axis]:
            return None
    return cast


def _cut(points: list[tuple[Vertex, float]], limit: float, sign: float) -> list[tuple[Vertex, float]]:
    """What of an outline is deeper than ``limit``, for ``sign`` −1 less deep (I. Sutherland, G. Hodgman, 1974)."""
    kept = []
    for i, (point, depth) in enumerate(points):
        before, was = points[i - 1]
        if (depth - limit) * (was - limit) < 0:
            share = (limit - was) / (depth - was)
            x, y, z = (a + share * (b - a) for a, b in zip(before, point, strict=True))
            kept.append(((x, y, z), limit))
        if (depth - limit) * sign >= 0:
            kept.append((point, depth))
    return kept


def _spread(low: Flat, high: Flat) -> list[Flat]:
    """Points spread evenly over a rectangle."""
    (x, y), (a, b) = low, _SPREAD
    wide, tall = high[0] - x, high[1] - y
    return [(x + wide * (i * a % 1.0), y + tall * (i * b % 1.0)) for i in range(1, _POINTS + 1)]


def _inside(point: Flat, outline: Sequence[Flat]) -> bool:
    """Whether an outline goes round a point: by how often it crosses the level line to the point's right."""
    x, y = point
    inside = False
    x0, y0 = outline[-1]
    for x1, y1 in outline:
        if (y0 > y) != (y1 > y) and x < x0 + (y - y0) * (x1 - x0) / (y1 - y0):
            inside = not inside
        x0, y0 = x1, y1
    return inside

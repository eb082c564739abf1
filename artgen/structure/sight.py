"""Sight: how well a standing reader sees each face of a structure.

The reader stands on the floor straight in front of the face's middle. Takes outlines in space; gives `Sight`s.
"""

from collections.abc import Iterable, Mapping
from math import atan2, degrees, hypot
from typing import TYPE_CHECKING

from attrs import frozen

from .bays import Bay
from .shape import Shape, Vertex, dot, plane

if TYPE_CHECKING:
    from .vec import Vec

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
            hidden = walls.hide(bay, middle, _eye(middle, n, eye_height - lift, distance))
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
        import numpy as np  # heavy, as shapely is, and few structures have parts that hide others
        import shapely

        walls = [*((bay.plane, bay.outline) for bay in bays), *((plane(outline), outline) for outline in bare)]
        self.planes = [lies for lies, _ in walls]
        self.flat = [shapely.Polygon([lies.place(point) for point in outline]) for lies, outline in walls]
        self.points = np.array([point for _, outline in walls for point in outline])
        self.starts = np.cumsum([0, *(len(outline) for _, outline in walls[:-1])])

    def hide(self, bay: Bay, middle: Vertex, eye: Vertex) -> float:
        """Share of a bay's points that something stands before, seen from ``eye``; 0 where that is behind the bay."""
        import numpy as np
        import shapely

        lies, at = bay.plane, np.array(eye)
        if dot(eye, lies.normal) <= dot(lies.origin, lies.normal) + _IN_FRONT:
            return 0.0
        between = self._between(bay, middle, at)
        if not between:
            return 0.0
        points = _points_of(bay)
        ways = points - at
        before = 1.0 - _IN_FRONT / np.sqrt((ways * ways).sum(axis=1))
        covered = np.zeros(len(points), dtype=bool)
        for wall in between:
            other = self.planes[wall]
            with np.errstate(divide="ignore", invalid="ignore"):  # along the wall: no number is between 0 and 1
                share = (dot(other.origin, other.normal) - dot(eye, other.normal)) / (ways @ other.normal)
            on_way = (share > 0) & (share < before)
            met = at + share[on_way, None] * ways[on_way]
            covered[on_way] |= shapely.contains_xy(self.flat[wall], met @ other.x, met @ other.y)
        return float(covered.mean()) if len(points) else 0.0

    def _between(self, bay: Bay, middle: Vertex, eye: "Vec") -> list[int]:
        """Walls that may reach into the pyramid of sight, eye to bay: that don't lie all beyond one of its sides, but for a
        millimetre, by which a neighbour's edge may."""
        import numpy as np

        (u0, v0), (u1, v1) = (map(pick, zip(*bay.flat, strict=True)) for pick in (min, max))
        corners = np.array([bay.plane.point(u, v) for u, v in ((u0, v0), (u1, v0), (u1, v1), (u0, v1))]) - eye
        nexts = corners[[1, 2, 3, 0]]
        inwards = corners[:, [2, 0, 1]] * nexts[:, [1, 2, 0]] - corners[:, [1, 2, 0]] * nexts[:, [2, 0, 1]]  # × product
        sides = np.concatenate([inwards, [bay.plane.normal, np.array(middle) - eye]])
        limits = sides @ eye
        limits[4] = dot(bay.plane.normal, bay.plane.origin)
        limits += _IN_FRONT * np.sqrt((sides * sides).sum(axis=1))
        beyond = self.points @ sides.T < limits
        gone = np.logical_and.reduceat(beyond, self.starts, axis=0).any(axis=1)
        found: list[int] = np.nonzero(~gone)[0].tolist()
        return found


def _points_of(bay: Bay) -> "Vec":
    """Points spread evenly over a bay."""
    import numpy as np
    import shapely

    us, vs = np.array(bay.flat).T
    spread = np.outer(np.arange(1, _POINTS + 1), _SPREAD) % 1.0
    u, v = us.min() + spread[:, 0] * np.ptp(us), vs.min() + spread[:, 1] * np.ptp(vs)
    on_it = shapely.contains_xy(shapely.Polygon(bay.flat), u, v)
    lies = bay.plane
    found: Vec = np.array(lies.origin) + np.outer(u[on_it], lies.x) + np.outer(v[on_it], lies.y)
    return found

"""Sight: how well a standing reader sees each face of a structure.

The reader stands on the floor straight in front of the face's middle. Takes outlines in space; gives `Sight`s.
"""

from collections.abc import Iterable, Mapping, Sequence
from math import atan2, degrees, hypot
from typing import TYPE_CHECKING

from attrs import frozen

from .bays import Bay
from .shape import Shape, Vertex, dot, normal

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

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


def sight(outline: tuple[Vertex, ...], lift: float, eye_height: float, distance: float, hidden: float = 0.0) -> Sight:
    """Sight of a face by a reader ``distance`` mm away, with nothing between but what hides the share ``hidden``."""
    return _sight(_middle(outline), normal(outline), lift, eye_height, distance, hidden)


def sights(
    shape: Shape, panels: Mapping[int, Bay], lift: float, eye_height: float, distance: float
) -> dict[int, Sight]:
    """Sight of each bay that has a panel, by its number. Those bays and the shape's bare sides may hide others; open ones
    hide nothing."""
    behind = _behind_others(shape, panels.values())
    walls = [*(bay.outline for bay in panels.values()), *shape.bare] if behind else []
    found = {}
    for number, bay in panels.items():
        middle, n = _middle(bay.outline), bay.plane.normal
        hidden = 0.0
        if bay.face.name in behind:
            hidden = _hidden(bay, _eye(middle, n, eye_height - lift, distance), walls)
        found[number] = _sight(middle, n, lift, eye_height, distance, hidden)
    return found


def _sight(middle: Vertex, n: Vertex, lift: float, eye_height: float, distance: float, hidden: float) -> Sight:
    height = middle[2] + lift
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


def _hidden(bay: Bay, eye: Vertex, walls: Sequence[tuple[Vertex, ...]]) -> float:
    """Share of a bay's points that one of the ``walls`` stands before, seen from ``eye``."""
    import numpy as np  # heavy, as shapely is, and few structures have parts that hide others
    import shapely

    us, vs = np.array(bay.flat).T
    steps = np.outer(np.arange(1, _POINTS + 1), _SPREAD) % 1.0
    u, v = us.min() + steps[:, 0] * np.ptp(us), vs.min() + steps[:, 1] * np.ptp(vs)
    on_it = shapely.contains_xy(shapely.Polygon(bay.flat), u, v)
    points = np.array([bay.plane.point(a, b) for a, b in zip(u[on_it].tolist(), v[on_it].tolist(), strict=True)])
    if not len(points):
        return 0.0
    # fans of triangles: a point lies in an outline, concave ones too, if it lies in an odd number of its fan's
    fans = [(wall[0], wall[i], wall[i + 1], n) for n, wall in enumerate(walls) for i in range(1, len(wall) - 1)]
    a, b, c = (np.array([fan[i] for fan in fans]) for i in range(3))
    crossed = _crossed(np.array(eye), points, a, b, c)
    owner = np.array([n for *_, n in fans])
    covered = np.zeros((len(walls), len(points)), dtype=int)
    np.add.at(covered, owner, crossed)
    return float(((covered % 2).sum(axis=0) > 0).mean())


def _crossed(eye: "Vec", points: "Vec", a: "Vec", b: "Vec", c: "Vec") -> "NDArray[np.bool_]":
    """Triangles (rows) that the lines from the eye to the points (columns) run through, before they are there
    (T. Möller, B. Trumbore, Fast, minimum storage ray/triangle intersection, 1997)."""
    import numpy as np

    ways = points - eye
    one, two, off = b - a, c - a, eye - a
    with np.errstate(divide="ignore", invalid="ignore"):
        across = np.cross(ways[None], two[:, None])
        share = 1.0 / (across * one[:, None]).sum(axis=2)  # lines along the triangle give none: comparisons are False
        u = (across * off[:, None]).sum(axis=2) * share
        turned = np.cross(off, one)
        v = (ways[None] * turned[:, None]).sum(axis=2) * share
        at = (two * turned).sum(axis=1)[:, None] * share
        before = 1.0 - _IN_FRONT / np.linalg.norm(ways, axis=1)
        crossed: NDArray[np.bool_] = (u >= 0) & (v >= 0) & (u + v <= 1) & (at > 0) & (at < before)
    return crossed

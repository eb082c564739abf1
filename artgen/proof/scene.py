"""What of a structure can be seen, as flat surfaces in space: the sides with their panels, their backs, bare metal, feet.

Takes a sized structure; gives `Surface`s in structure millimetres, seen from outside (vertices anticlockwise). Pictures and
the page that turns draw the same list.
"""

from collections.abc import Iterator
from typing import Literal

import numpy as np
from attrs import frozen
from shapely import MultiPoint

from ..sizing.panel import SizedStructure
from ..structure.shape import Vertex, dot, normal
from ..structure.vec import Vec

# "panel": dressed; "open": its frame alone; "back": a dressed side from behind; "side": the metal's depth at a free edge;
# "bare": an outer side that is never dressed; "foot"
Role = Literal["panel", "open", "back", "side", "bare", "foot"]

_FOOT = 45.0  # mm: half a foot's width; a hint, no size of a real one
_DEEPEST = 700.0  # mm: two sides farther apart don't belong to one frame
_WIDER = 0.03  # of the largest side: the shadow's reach beyond what stands
_TALL = 0.936  # eye height over stature of a standing adult, from memory of published body sizes (about 1640 / 1755 mm)


@frozen
class Surface:
    """One flat surface. ``number`` = the panel's, 0 for what belongs to none."""

    role: Role
    outline: tuple[Vertex, ...]
    number: int = 0


def surfaces(structure: SizedStructure) -> tuple[Surface, ...]:
    """All surfaces, of panels first."""
    dressed = {panel.number for panel in structure.panels}
    pairs = list(zip(structure.numbers, structure.bays, strict=True))
    found = [Surface("panel" if number in dressed else "open", bay.outline, number) for number, bay in pairs]
    if not _closed(structure, dressed):
        found += [Surface("back", bay.outline[::-1], number) for number, bay in pairs if number in dressed]
    found += [Surface("side", outline) for outline in _sides(structure, dressed)]
    found += [Surface("bare", outline) for outline in structure.bare]
    found += [Surface("foot", outline) for outline in _feet(structure)]
    return tuple(found)


def _closed(structure: SizedStructure, dressed: set[int]) -> bool:
    """Whether panels close the structure all round, so that no back is ever seen."""
    if not dressed.issuperset(structure.numbers):
        return False
    for bay in structure.bays:
        for edge, met in enumerate(bay.neighbours):
            a, b = (np.asarray(bay.outline[(edge + i) % len(bay.outline)]) for i in (0, 1))
            if sum(one.end - one.start for one in met) < float(np.linalg.norm(b - a)) - 1.0:
                return False
    return True


def _sides(structure: SizedStructure, dressed: set[int]) -> Iterator[tuple[Vertex, ...]]:
    """The frames' depth at edges that meet nothing, so that a wall has a thickness."""
    profile = {panel.number: panel.frame_profile.depth for panel in structure.panels}
    for number, bay in zip(structure.numbers, structure.bays, strict=True):
        if number not in dressed:
            continue
        n = np.array(bay.plane.normal)
        back = -n * _behind(structure, bay.outline, profile[number])
        for edge, met in enumerate(bay.neighbours):
            if not met:
                a, b = (np.asarray(bay.outline[(edge + i) % len(bay.outline)]) for i in (0, 1))
                yield tuple(_vertex(p) for p in (b, a, a + back, b + back))


def _behind(structure: SizedStructure, outline: tuple[Vertex, ...], depth: float) -> float:
    """mm to the frame's other side, where it has one; else the profile's ``depth``."""
    n = normal(outline)
    far = [depth]
    for other in (*structure.bare, *(bay.outline for bay in structure.bays)):
        away = dot(n, outline[0]) - dot(n, other[0])
        if 1.0 < away < _DEEPEST and dot(n, normal(other)) < -0.9999:
            far.append(away)
    return min(far[1:], default=depth)


def _feet(structure: SizedStructure) -> Iterator[tuple[Vertex, ...]]:
    """A small block under each lowest corner of what stands on feet."""
    if structure.hung or structure.lift < 1.0:
        return
    points = [vertex for bay in structure.bays for vertex in bay.outline]
    low = min(z for _, _, z in points)
    for x, y in sorted({(round(x, 3), round(y, 3)) for x, y, z in points if z - low < 1.0}):
        ring = [(x - _FOOT, y - _FOOT), (x + _FOOT, y - _FOOT), (x + _FOOT, y + _FOOT), (x - _FOOT, y + _FOOT)]
        for (ax, ay), (bx, by) in zip(ring, (*ring[1:], ring[0]), strict=True):
            floor = low - structure.lift
            yield (ax, ay, floor), (bx, by, floor), (bx, by, low), (ax, ay, low)


def ground(structure: SizedStructure) -> tuple[Vertex, ...]:
    """What stands or hangs, seen from above, on the floor and a little wider."""
    points = [(x, y) for surface in surfaces(structure) for x, y, _ in surface.outline]
    ring = MultiPoint(points).convex_hull.buffer(_WIDER * max(structure.overall)).exterior.coords[:-1]
    return tuple((float(x), float(y), -structure.lift) for x, y in ring)


def cables(structure: SizedStructure) -> tuple[Vertex, ...]:
    """Where what hangs is held: its highest vertices."""
    if not structure.hung:
        return ()
    points = sorted({tuple(round(c, 3) for c in vertex) for bay in structure.bays for vertex in bay.outline})
    top = max(z for _, _, z in points)
    return tuple((x, y, z) for x, y, z in points if top - z < 1.0)


def stature(eye_height: float) -> float:
    """mm from the floor to the top of the head of a person whose eyes are ``eye_height`` up."""
    return eye_height / _TALL


def person() -> tuple[tuple[tuple[float, float], ...], ...]:
    """A plain standing figure from the front, as closed outlines: x from its middle, y from the floor, 1 = stature. Ours."""
    half = [
        (0.0, 0.46), (0.012, 0.30), (0.014, 0.04), (0.012, 0.0), (0.066, 0.0), (0.070, 0.014), (0.054, 0.045),
        (0.062, 0.20), (0.070, 0.30), (0.086, 0.44), (0.094, 0.50), (0.086, 0.60), (0.092, 0.70), (0.112, 0.64),
        (0.120, 0.55), (0.114, 0.43), (0.132, 0.42), (0.146, 0.53), (0.142, 0.65), (0.128, 0.765), (0.108, 0.806),
        (0.062, 0.826), (0.030, 0.842), (0.028, 0.872),
    ]  # fmt: skip
    left = [(-x, y) for x, y in reversed(half)]
    turns = np.linspace(0.0, 2.0 * np.pi, 24, endpoint=False)
    head = tuple((float(0.047 * np.cos(t)), float(0.934 + 0.066 * np.sin(t))) for t in turns)
    return (*half, *left), head


def _vertex(point: Vec) -> Vertex:
    return float(point[0]), float(point[1]), float(point[2])

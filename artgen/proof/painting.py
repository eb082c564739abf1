"""In which order flat surfaces are painted, so that near ones cover far ones: exactly, not by their middles.

Of two surfaces that overlap in the picture, the one that is nearer where they overlap is painted later. Flat surfaces that
do not cut through one another have such an order unless three or more cover each other in a ring; then the farthest middle
of those left goes first (M. Newell, R. Newell, T. Sancha, 1972, put the same question).
"""

from collections.abc import Sequence
from heapq import heapify, heappop, heappush

import numpy as np
from shapely import STRtree
from shapely.geometry import Polygon

from ..structure.shape import normal
from ..structure.vec import Vec
from ..structure.view import View
from .scene import Surface

_INWARDS = 0.5  # mm that an overlap must be wide: edges that touch overlap by float dust
_LEVEL = 0.05  # mm: surfaces nearer to each other along the line of sight are one plane


def painting_order(surfaces: Sequence[Surface], view: View) -> list[Surface]:
    """Those of the surfaces that are turned to the viewer, in the order in which to paint them."""
    seen = [surface for surface in surfaces if view.sees(surface.outline)]
    right, up, toward = view.axes()
    flat = [np.asarray(surface.outline) @ np.stack([right, up], axis=1) for surface in seen]
    shapes = [Polygon(points).buffer(0) for points in flat]
    later: list[list[int]] = [[] for _ in seen]
    waits = [0] * len(seen)
    for i, j in zip(*STRtree(shapes).query(shapes), strict=True):
        if i < j:
            near = _nearer(seen[i], seen[j], shapes[i], shapes[j], view)
            if near:
                first, second = (int(j), int(i)) if near > 0 else (int(i), int(j))
                later[first].append(second)
                waits[second] += 1
    middles = [float(np.asarray(surface.outline).mean(axis=0) @ toward) for surface in seen]
    return [seen[i] for i in _sorted(middles, later, waits)]


def _sorted(middles: Sequence[float], later: Sequence[Sequence[int]], waits: list[int]) -> list[int]:
    ready = [(middles[i], i) for i in range(len(middles)) if not waits[i]]
    heapify(ready)
    left = set(range(len(middles)))
    order: list[int] = []
    while left:
        i = heappop(ready)[1] if ready else min(left, key=lambda i: (middles[i], i))
        if i not in left:
            continue
        left.discard(i)
        order.append(i)
        for after in later[i]:
            waits[after] -= 1
            if not waits[after] and after in left:
                heappush(ready, (middles[after], after))
    return order


def _nearer(one: Surface, other: Surface, a: Polygon, b: Polygon, view: View) -> float:
    """More than 0 where ``one`` stands before ``other``, less where behind, 0 where neither covers the other."""
    both = a.intersection(b).buffer(-_INWARDS)
    if both.is_empty:
        return 0.0
    point = both.representative_point()
    ahead = _depth(one, point.x, point.y, view) - _depth(other, point.x, point.y, view)
    return 0.0 if abs(ahead) < _LEVEL else float(ahead)


def _depth(surface: Surface, x: float, y: float, view: View) -> float:
    """How far towards the viewer a surface's plane stands at a place of the picture plane."""
    right, up, toward = view.axes()
    n: Vec = np.array(normal(surface.outline))
    start = right * x + up * y
    return float((np.asarray(surface.outline[0]) - start) @ n / (toward @ n))

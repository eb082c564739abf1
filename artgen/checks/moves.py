"""The shortest move that brings a word into a region, or how much smaller it must be to go in at all.

Plane geometry in full-size mm. A region may have any outline, holes and several parts; words are convex.
"""

from itertools import product
from math import floor, hypot

from attrs import frozen
from shapely import MultiPoint, Point, Polygon, difference, prepare, union_all
from shapely.affinity import scale as scaled
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from ..sizing.outline import Outline

_TOUCH = 1e-7  # mm
# mm: overlays snap to this grid, since those in floating point were seen to lose whole parts where edges fall together
_GRID = 1e-8


@frozen
class Move:
    """``dx``, ``dy`` in the plane; ``page_dx``, ``page_dy``: the same move along the page's own axes, as its designer sees it."""

    dx: float
    dy: float
    page_dx: float
    page_dy: float


def standing_places(word: Outline, region: BaseGeometry) -> BaseGeometry:
    """All moves t for which word + t lies in the region: the region eroded by the word.

    A move is barred where some edge of the region would cut the word: edge ⊕ (−word), a hull of sums of vertices.
    """
    x0, y0 = word[0]
    places = []
    for part in getattr(region, "geoms", [region]):
        if part.is_empty:
            continue
        inside = Polygon(
            [(x - x0, y - y0) for x, y in part.exterior.coords],
            [[(x - x0, y - y0) for x, y in ring.coords] for ring in part.interiors],
        )
        barred = [
            MultiPoint([(p[0] - v[0], p[1] - v[1]) for p in (a, b) for v in word]).convex_hull
            for ring in (part.exterior, *part.interiors)
            for a, b in zip(ring.coords, ring.coords[1:], strict=False)
        ]
        left = difference(inside, union_all(barred, grid_size=_GRID), grid_size=_GRID)
        # slivers as thin as the grid are no places
        places.append(left.buffer(-_TOUCH, join_style="mitre").buffer(_TOUCH, join_style="mitre"))
    return union_all(places) if places else Polygon()


def shortest(word: Outline, region: BaseGeometry, turn: tuple[float, float]) -> Move | None:
    """The shortest move into the region, in whole mm of the page's axes where that clears it too; None: it can't go in.

    ``turn`` = (cos, sin) of the page's x axis in the plane.
    """
    places = standing_places(word, region)
    if places.is_empty or places.area == 0:
        return None
    nearest = nearest_points(places, Point(0, 0))[0]
    c, s = turn
    page = (nearest.x * c + nearest.y * s, nearest.y * c - nearest.x * s)
    grown = places.buffer(_TOUCH)
    prepare(grown)
    for unit, spread in ((1.0, 4), (0.1, 1)):  # near a sharp vertex a few whole mm more may be needed
        steps = [[(floor(v / unit) + i) * unit for i in range(1 - spread, spread + 1)] for v in page]
        options = [(x, y) for x, y in product(*steps) if grown.contains(Point(x * c - y * s, x * s + y * c))]
        if options:
            x, y = min(options, key=lambda o: (hypot(*o), o))
            return Move(x * c - y * s, x * s + y * c, round(x, 1) + 0.0, round(y, 1) + 0.0)
    return Move(nearest.x, nearest.y, *page)


def fitting_scale(word: Outline, region: BaseGeometry) -> float:
    """The largest size at which the word goes into the region, as a share of its own (0 if it never does)."""
    low, high = 0.0, 1.0
    shape = Polygon(word)
    for _ in range(12):
        half = (low + high) / 2
        smaller = tuple(scaled(shape, half, half, origin=(0, 0)).exterior.coords[:-1]) if half else word
        fits = standing_places(smaller, region).area > 0
        low, high = (half, high) if fits else (low, half)
    return low

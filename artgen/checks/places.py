"""Where on which panel something of a page comes to lie: page mm to a panel's sewn frame."""

from collections.abc import Iterable, Sequence
from math import atan2, cos, degrees, hypot, radians, sin

from attrs import frozen
from shapely import MultiPoint, Point, Polygon
from shapely.geometry.base import BaseGeometry

from ..placing import Laid
from ..sizing.outline import Outline, bounds
from ..sizing.panel import Panel, apply, inverse, placed
from ..survey import LaidSeen, PlacedWord
from .finding import Box

_THIN = 0.01  # mm: lines and points get so much body, to have a place at all


@frozen
class Place:
    """``panel`` = the one with most of it, ``panels`` = all that it is on, ``box`` = the part of it on ``panel``: x, y, w, h."""

    panel: int
    panels: tuple[int, ...]
    box: Box


def place_of(laid: Laid, points: Iterable[tuple[float, float]]) -> Place | None:
    """Where the convex hull of points of the page (mm of its frame) lies; None if outside the art size of all panels."""
    shape = MultiPoint([apply(laid.matrix, point) for point in points]).convex_hull
    if shape.area == 0:
        shape = shape.buffer(_THIN, join_style="mitre")
    shares: list[tuple[float, int, BaseGeometry]] = []
    for index, (panel, matrix) in enumerate(zip(laid.target.panels, laid.target.places, strict=True)):
        part = Polygon(placed(matrix, panel.art)).intersection(shape)
        if part.area > 0:
            shown = Polygon(placed(matrix, panel.visible)).intersection(shape).area
            shares.append((shown * 1e6 + part.area, index, part))
    if not shares:
        return None
    _, main, part = max(shares, key=lambda share: (share[0], -share[1]))
    numbers = laid.target.numbers
    return Place(numbers[main], tuple(numbers[index] for _, index, _ in shares), box_in(laid, main, part))


def box_in(laid: Laid, index: int, shape: BaseGeometry) -> Box:
    """Bounds of a shape of the target's plane in the sewn frame of its ``index``-th panel: x, y, w, h."""
    ring = [point for part in getattr(shape, "geoms", [shape]) for point in part.exterior.coords]
    x0, y0, x1, y1 = bounds(placed(inverse(laid.target.places[index]), tuple(ring)))
    return round(x0, 2), round(y0, 2), round(x1 - x0, 2), round(y1 - y0, 2)


def around(boxes: Sequence[Box]) -> Box:
    """The box round boxes of one panel."""
    x0, y0 = min(box[0] for box in boxes), min(box[1] for box in boxes)
    x1, y1 = max(box[0] + box[2] for box in boxes), max(box[1] + box[3] for box in boxes)
    return x0, y0, round(x1 - x0, 2), round(y1 - y0, 2)


def corners(rect: tuple[float, float, float, float]) -> list[tuple[float, float]]:
    """The four corners of x0, y0, x1, y1."""
    x0, y0, x1, y1 = rect
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


@frozen
class OnPanel:
    """A word on the panel in whose visible part its middle lies. ``quad`` in the panel's sewn frame; ``off`` = anticlockwise
    degrees by which it runs off the level of its panel when that hangs, (−180, 180]."""

    word: PlacedWord
    panel: Panel
    quad: Outline
    off: float

    @property
    def box(self) -> Box:
        x0, y0, x1, y1 = bounds(self.quad)
        return round(x0, 2), round(y0, 2), round(x1 - x0, 2), round(y1 - y0, 2)

    @property
    def baseline(self) -> tuple[float, float]:
        """The left end of its baseline: below its top by its capital."""
        (x0, y0), (x3, y3) = self.quad[0], self.quad[3]
        share = min(1.0, self.word.capital / max(hypot(x3 - x0, y3 - y0), 1e-9))
        return x3 + (x0 - x3) * share, y3 + (y0 - y3) * share


def words_on_panels(one: LaidSeen) -> list[OnPanel]:
    """The words of a laid page whose middle shows, each on its panel, in the page's order."""
    members = [
        (panel, inverse(place), Polygon(panel.visible))
        for panel, place in zip(one.laid.target.panels, one.laid.target.places, strict=True)
    ]
    found = []
    for word in one.words:
        x, y = (sum(point[axis] for point in word.quad) / 4 for axis in (0, 1))
        for panel, back, shown in members:
            middle = apply(back, (x, y))
            if shown.contains(Point(middle)):
                turn = radians(word.angle)
                along = apply(back, (x + cos(turn), y + sin(turn)))
                found.append(OnPanel(word, panel, placed(back, word.quad), _off(middle, along, panel.upright_deg)))
                break
    return found


def _off(middle: tuple[float, float], along: tuple[float, float], upright: float) -> float:
    angle = degrees(atan2(along[1] - middle[1], along[0] - middle[0])) - upright
    return 180.0 - (180.0 - angle) % 360.0

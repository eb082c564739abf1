"""How a panel lies on its template's page: scale, place, margin, and the size of the letters on it."""

from collections.abc import Sequence
from math import atan2, cos, degrees, radians, sin

from attrs import frozen

from ..drawing.fonts import CAP_HEIGHT
from ..drawing.inks import base_line_width
from ..drawing.marks import Point
from ..drawing.pieces import Rect
from ..sizing.outline import Outline, size
from ..sizing.panel import Affine, Panel, apply, placed
from ..sizing.ways import Way, turn_of, ways

SCALES = (1, 2, 3, 4, 5, 8, 10, 12, 20)  # ours: what designers use
MAX_PAGE = 5080.0  # mm: 14,400 units of 1/72 in, ISO 32000-1 Annex C
_LIKED = 2500.0  # mm: pages under this open well everywhere (ours)
_A3 = (420.0, 297.0)  # ISO 216
_CAPITALS = 2.52  # mm: the least height of capitals of ISO 3098-1 is 2.5, here when the page is printed on A3


@frozen
class Sheet:
    """How a panel's sewn frame lies on the page: ``place`` maps sewn mm to page mm; ``line`` = width of a thin line;
    ``margins`` = what the page is larger than the art size: left, bottom, right, top."""

    width: float
    height: float
    place: Affine
    line: float
    scale: int
    margins: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0)

    def at(self, point: Point) -> Point:
        return apply(self.place, point)

    def outline(self, points: Outline) -> Outline:
        return placed(self.place, points)

    def mm(self, full: float) -> float:
        """Page millimetres of a full-size length."""
        return full / self.scale

    @property
    def art(self) -> Rect:
        """The art size's bounding box: the page less its margins."""
        left, bottom, right, top = self.margins
        return Rect(left, bottom, self.width - right, self.height - top)

    @property
    def letters(self) -> float:
        """Size (em) of all lettering but titles, mm."""
        return lettering(self.width, self.height)


def lettering(width: float, height: float) -> float:
    """Size (em) in mm of letters that are still read when the page is printed to fit A3, either way round."""
    long, short = max(width, height), min(width, height)
    return _CAPITALS / CAP_HEIGHT * max(long / _A3[0], short / _A3[1])


def page_size(panel: Panel, way: Way) -> tuple[float, float]:
    """Width and height of the art size's bounding box at full size, as it lies."""
    return size(placed(turn_of(panel, way), panel.art))


def default_scale(panels: Sequence[Panel]) -> int:
    """The largest scale at which every page stays under 2.5 m a side."""
    return liked_scale(max(max(page_size(panel, way)) for panel in panels for way in ways(panel)))


def liked_scale(longest: float) -> int:
    """The largest scale at which a side of ``longest`` mm stays under 2.5 m."""
    return next((scale for scale in SCALES if longest / scale < _LIKED), SCALES[-1])


def sheet_of(panel: Panel, scale: int, way: Way = "sewn") -> Sheet:
    """The page of a panel without a margin: art size at 1:``scale``."""
    w, h = page_size(panel, way)
    a, b, c, d, e, f = (v / scale for v in turn_of(panel, way))
    return Sheet(w / scale, h / scale, (a, b, c, d, e, f), base_line_width(max(w, h) / scale), scale)


def page_up(panel: Panel, sheet: Sheet) -> float:
    """Anticlockwise degrees from page x to the direction that is upright when the panel hangs."""
    a, b = sheet.at((0.0, 0.0)), sheet.at((cos(radians(90 + panel.upright_deg)), sin(radians(90 + panel.upright_deg))))
    return degrees(atan2(b[1] - a[1], b[0] - a[0]))

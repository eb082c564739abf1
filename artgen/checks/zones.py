"""The zones of a laid page's target, in its plane: what shows, what is safe, where seams, shadows and keep-outs lie.

Takes a laid page; gives shapes in full-size mm.
"""

from functools import cached_property
from math import hypot
from typing import Literal

from attrs import define
from shapely import LineString, Polygon, union_all
from shapely.geometry.base import BaseGeometry

from ..sizing.outline import bounds
from ..sizing.panel import Affine, Panel, inverse, placed
from ..survey import LaidSeen
from .finding import Box

AreaKind = Literal["shadow", "keep-out"]


@define(slots=False)
class Zones:
    """The zones of a laid page's target, in its plane."""

    seen: LaidSeen
    over: float
    tall: float

    @cached_property
    def members(self) -> list[tuple[Panel, Affine]]:
        target = self.seen.laid.target
        return list(zip(target.panels, target.places, strict=True))

    def _zone(self, panel: Panel, place: Affine, name: str) -> BaseGeometry:
        outline = getattr(panel, name)
        return Polygon(placed(place, outline)) if outline else Polygon()

    @cached_property
    def visible(self) -> list[BaseGeometry]:
        return [self._zone(panel, place, "visible") for panel, place in self.members]

    @cached_property
    def inner(self) -> list[BaseGeometry]:
        """Visible less what does not count."""
        return [zone.buffer(-self.over, join_style="mitre") for zone in self.visible]

    @cached_property
    def safe(self) -> list[BaseGeometry]:
        return [self._zone(panel, place, "safe") for panel, place in self.members]

    @cached_property
    def art(self) -> BaseGeometry:
        return union_all([self._zone(panel, place, "art") for panel, place in self.members])

    @cached_property
    def seams(self) -> list[tuple[int, LineString, tuple[float, float, float]]]:
        """(index of its panel, the seam across the cut, (at, low, high))."""
        found = []
        for i, (panel, place) in enumerate(self.members):
            x0, y0, x1, y1 = bounds(panel.cut)
            for seam in panel.seams:
                a, b = ((seam.at, y0), (seam.at, y1)) if seam.axis == "x" else ((x0, seam.at), (x1, seam.at))
                found.append((i, LineString(placed(place, (a, b))), (seam.at, seam.low, seam.high)))
        return found

    @cached_property
    def areas(self) -> list[tuple[int, AreaKind, str, BaseGeometry]]:
        """(index of its panel, kind, name, area) of shadows and keep-outs."""
        found: list[tuple[int, AreaKind, str, BaseGeometry]] = []
        for i, (panel, place) in enumerate(self.members):
            for shadow in panel.shadows:
                found.append((i, "shadow", shadow.kind, Polygon(placed(place, shadow.outline))))
            for keep in panel.keep_outs:
                found.append((i, "keep-out", keep.name, Polygon(placed(place, keep.outline))))
        return found

    @cached_property
    def runs_over(self) -> bool:
        wrap = self.seen.laid.target.wrap
        return wrap is not None and wrap.text_over_corners

    @cached_property
    def joined(self) -> BaseGeometry:
        """What shows of the whole wrap, its reveals counted in: for text that may run over corners."""
        reveal = max((edge.reveal or 0.0 for panel, _ in self.members for edge in panel.edges), default=0.0) + 1
        return union_all(self.visible).buffer(reveal, join_style="mitre").buffer(-reveal, join_style="mitre")

    @cached_property
    def allowed(self) -> BaseGeometry:
        """Safe for text, seams apart."""
        if not self.runs_over:
            return union_all(self.safe)
        inset = max(edge.safe for panel, _ in self.members for edge in panel.edges)
        return self.joined.buffer(-inset, join_style="mitre")

    @cached_property
    def free(self) -> BaseGeometry:
        """Where a word may stand: safe, and clear of seams, shadows and keep-outs."""
        free = self.allowed
        for i, line, _ in self.seams:
            free = free.difference(line.buffer(self.members[i][0].seam_clearance, cap_style="flat"))
        for *_, area in self.areas:
            free = free.difference(area)
        return free

    @cached_property
    def page_turn(self) -> tuple[float, float]:
        """(cos, sin) of the page's x axis in the plane."""
        a, b = self.seen.laid.matrix[:2]
        length = hypot(a, b)
        return a / length, b / length

    def box(self, index: int, shape: BaseGeometry) -> Box:
        """Bounding box of a shape of the plane in one panel's sewn frame: x, y, w, h."""
        ring = placed(inverse(self.members[index][1]), tuple(shape.exterior.coords[:-1]))
        x0, y0, x1, y1 = bounds(ring)
        return round(x0, 2), round(y0, 2), round(x1 - x0, 2), round(y1 - y0, 2)

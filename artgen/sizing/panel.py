"""What sizing gives: panels with every size, zone, drop and neighbour. Millimetres.

Outlines are in the panel's sewn frame: origin at the lower left of the art size's bounding box, x right, y up, seen
from outside, an edge level. It is the art page at full scale.
"""

from typing import Literal

from attrs import field, frozen

from ..profiles import Fabric, Frame, Roll, Strip
from ..structure.bays import Bay
from ..structure.shape import Vertex
from ..structure.sight import Sight
from .outline import Outline, Point

Axis = Literal["x", "y"]
ToSpace = tuple[Vertex, Vertex, Vertex]  # origin, x and y unit vectors of a sewn frame in space
Affine = tuple[float, float, float, float, float, float]  # x' = a x + c y + e, y' = b x + d y + f


@frozen
class Met:
    """A neighbour along an edge: ``start``–``end`` in mm of frame from the edge's first vertex. ``joint``: a bay of the same
    face (else a corner). ``reveal`` = bare metal between the two fold lines."""

    panel: int
    edge: int
    start: float
    end: float
    joint: bool
    reveal: float


@frozen
class EdgeSums:
    """What goes to or off the metal at one edge."""

    name: str
    setback: float
    seat_depth: float
    turn_in: float
    bleed: float
    safe: float

    @property
    def allowance(self) -> float:
        """All cloth beyond the fold line."""
        return self.seat_depth + self.turn_in


@frozen
class PanelEdge(EdgeSums):
    """One edge. ``start``, ``end`` = its vertices on the cut outline; ``strip`` = length of strip to cut, relaxed; ``reveal`` =
    the first neighbour's."""

    start: Point
    end: Point
    met: tuple[Met, ...]
    reveal: float | None
    strip: float


@frozen
class Drop:
    """One printed piece: its share ``start``–``end`` of the cut along ``axis``, its print sheet, and from where to where
    (``reach``, the other coordinate) the panel's art size goes there."""

    number: str
    axis: Axis
    start: float
    end: float
    sheet: tuple[float, float]
    reach: tuple[float, float]


@frozen
class Seam:
    """A sewn line between two drops, at ``at`` along ``axis``; it could stand anywhere from ``low`` to ``high``."""

    axis: Axis
    at: float
    low: float
    high: float


@frozen
class Shadow:
    """Where hardware stands between lamp and cloth, seen by its ``kind``."""

    kind: Literal["lamp bar", "brace", "joint"]
    outline: Outline


@frozen
class KeepOut:
    """An area that takes no art that matters, by its ``name``; ``hole``: the cloth is cut out there."""

    name: str
    hole: bool
    outline: Outline


@frozen
class Panel:
    """One piece of sewn cloth, in every size.

    ``safe_lacks`` = mm by which it is too small for its safe insets, where ``safe`` is None. ``relax`` = relaxed over
    stretched, per axis. ``print_sheet`` is k × art size, or art size itself where the RIP applies k. ``old_panel`` = sewn
    size of the old panel that this one is made after. ``reading_distance`` = mm to the nearest reader.
    """

    number: int
    bay: Bay
    blank: bool
    frame_profile: Frame
    strip: Strip
    fabric: Fabric
    roll: Roll
    upright_deg: float
    to_space: ToSpace
    frame: Outline
    visible: Outline
    finished: Outline
    cut: Outline
    art: Outline
    safe: Outline | None
    edges: tuple[PanelEdge, ...]
    sight: Sight
    sewn_size: tuple[float, float]
    sewn_cut_size: tuple[float, float]
    printed_cut_size: tuple[float, float]
    print_sheet: tuple[float, float]
    factor: tuple[float, float]
    turned: bool
    drops: tuple[Drop, ...]
    seams: tuple[Seam, ...]
    seam_clearance: float
    shadows: tuple[Shadow, ...]
    safe_lacks: float
    relax: tuple[float, float]
    old_panel: tuple[float, ...]
    keep_outs: tuple[KeepOut, ...]
    reading_distance: float

    @property
    def stands(self) -> bool:
        """Whether it is upright or leans by at most 30°: frame data say where hardware stands behind such panels alone."""
        return abs(self.sight.tilt) <= 30.0

    @property
    def strip_total(self) -> float:
        return sum(edge.strip for edge in self.edges)


@frozen
class Wrap:
    """A chain of panels unfolded into one plane. ``places`` = each panel's sewn frame → the wrap's plane, whose origin is
    the lower left of the wrap's art size."""

    panels: tuple[int, ...]
    places: tuple[Affine, ...]
    file: str
    page: int
    behind: Literal["on", "closed"]
    text_over_corners: bool


@frozen
class SizedStructure:
    """A structure with its panels. ``standing`` = floor to the highest point of the metal; ``bare`` = outer sides of the metal
    that no panel dresses."""

    index: int
    name: str
    kind: str
    lit: bool
    copies: int
    overall: tuple[float, float, float]
    lift: float
    hung: bool
    bays: tuple[Bay, ...]
    numbers: tuple[int, ...]  # the number of each bay; open bays have one too
    panels: tuple[Panel, ...]
    last_panel: int | None = None
    bare: tuple[tuple[Vertex, ...], ...] = ()

    @property
    def standing(self) -> float:
        return self.overall[2] + self.lift

    @property
    def by_sight(self) -> tuple[Panel, ...]:
        """Panels as the reader sees them, the best first: of a hung cube the lower ones."""
        return tuple(sorted(self.panels, key=lambda panel: (-round(panel.sight.seen, 3), panel.number)))


@frozen
class Sizing:
    """All structures of an order."""

    structures: tuple[SizedStructure, ...]
    wraps: tuple[Wrap, ...] = field(default=())

    @property
    def panels(self) -> tuple[Panel, ...]:
        return tuple(panel for structure in self.structures for panel in structure.panels)

    @property
    def strips(self) -> dict[str, float]:
        """Millimetres of strip in all by strip profile, copies counted."""
        found: dict[str, float] = {}
        for structure in self.structures:
            for panel in structure.panels:
                name = panel.strip.name
                found[name] = found.get(name, 0.0) + panel.strip_total * structure.copies
        return found

    def panel(self, number: int) -> Panel:
        return next(panel for panel in self.panels if panel.number == number)


def apply(matrix: Affine, point: Point) -> Point:
    a, b, c, d, e, f = matrix
    x, y = point
    return a * x + c * y + e, b * x + d * y + f


def placed(matrix: Affine, outline: Outline) -> Outline:
    return tuple(apply(matrix, point) for point in outline)


def inverse(matrix: Affine) -> Affine:
    a, b, c, d, e, f = matrix
    det = a * d - b * c
    return d / det, -b / det, -c / det, a / det, (c * f - d * e) / det, (b * e - a * f) / det


def after(second: Affine, first: Affine) -> Affine:
    """The matrix that applies ``first``, then ``second``."""
    a, b, c, d, e, f = first
    (x, y) = apply(second, (e, f))
    p, q, r, s, _, _ = second
    return p * a + r * b, q * a + s * b, p * c + r * d, q * c + s * d, x, y

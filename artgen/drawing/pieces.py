"""Pieces of a technical drawing: points and lengths in, neutral marks out.

All lengths and places are millimetres on the page, x to the right, y up, angles anticlockwise in degrees.
Dimension lines and arrowheads follow ISO 129-1: thin continuous lines, closed filled narrow heads, the
value above the line and parallel to it, readable from the bottom or from the right. What the standard
leaves open is our choice.
"""

import math
from collections.abc import Iterable, Sequence

from attrs import evolve, frozen

from .fonts import text_width
from .inks import BLACK, WHITE
from .marks import Anchor, Ink, Mark, Path, Point, Stroke, Text

_HEAD_ANGLE = 20.0  # whole angle of an arrowhead; ISO 129-1 gives narrow heads 15° to 30°
_HALO_PART = 0.24  # halo width over the text size, ours
_TEXT_LIFT = 0.35  # baseline above its dimension line, over the text size, ours


@frozen
class Rect:
    """An upright rectangle on the page: lower left and upper right corner, mm."""

    x0: float
    y0: float
    x1: float
    y1: float

    @property
    def width(self) -> float:
        return self.x1 - self.x0

    @property
    def height(self) -> float:
        return self.y1 - self.y0

    @property
    def centre(self) -> Point:
        return ((self.x0 + self.x1) / 2, (self.y0 + self.y1) / 2)

    @property
    def corners(self) -> tuple[Point, ...]:
        """Anticlockwise from the lower left."""
        return ((self.x0, self.y0), (self.x1, self.y0), (self.x1, self.y1), (self.x0, self.y1))

    def inset(self, by: float) -> "Rect":
        """The rectangle with each side moved inwards."""
        return Rect(self.x0 + by, self.y0 + by, self.x1 - by, self.y1 - by)

    def columns(self, count: int, gap: float = 0.0) -> "tuple[Rect, ...]":
        """``count`` equal parts side by side, ``gap`` mm between them."""
        part = (self.width - gap * (count - 1)) / count
        lefts = [self.x0 + (part + gap) * index for index in range(count)]
        return tuple(Rect(left, self.y0, left + part, self.y1) for left in lefts)


def line(a: Point, b: Point, stroke: Stroke) -> Path:
    """A straight line."""
    return Path(((a, b),), stroke, closed=False)


def frame(rect: Rect, stroke: Stroke | None = None, fill: Ink | None = None) -> Path:
    """A rectangle, stroked, filled or both."""
    return Path((rect.corners,), stroke, fill)


def circle(
    centre: Point, radius: float, stroke: Stroke | None = None, fill: Ink | None = None, points: int = 64
) -> Path:
    """A circle as a regular polygon; with 64 points it strays from the round by 0.12 % of the radius."""
    turns = [2 * math.pi * step / points for step in range(points)]
    ring = tuple((centre[0] + radius * math.cos(turn), centre[1] + radius * math.sin(turn)) for turn in turns)
    return Path((ring,), stroke, fill)


def arrowhead(tip: Point, direction: float, length: float, ink: Ink) -> Path:
    """A closed, filled, narrow head whose tip points along ``direction`` (degrees)."""
    half = length * math.tan(math.radians(_HEAD_ANGLE / 2))
    along, across = _axes(direction)
    back = _moved(tip, along, -length)
    return Path(((tip, _moved(back, across, half), _moved(back, across, -half)),), fill=ink)


def arrow(a: Point, b: Point, stroke: Stroke, head: float) -> tuple[Mark, ...]:
    """A line from ``a`` with a head of ``head`` mm whose tip is at ``b``; the points must differ."""
    direction = _direction(a, b)
    # the line ends inside the head, or its square end would show beside the tip
    neck = _moved(b, _axes(direction)[0], -min(head, math.dist(a, b)) * 0.9)
    return (line(a, neck, stroke), arrowhead(b, direction, head, stroke.ink))


def label(
    string: str,
    at: Point,
    size: float,
    ink: Ink = BLACK,
    *,
    anchor: Anchor = "middle",
    angle: float = 0.0,
    bold: bool = False,
    halo_ink: Ink = WHITE,
) -> Text:
    """Text with a halo, for standing on art or on lines."""
    return Text(string, at, size, ink, anchor, angle, bold, halo=size * _HALO_PART, halo_ink=halo_ink)


def text_corners(text: Text) -> tuple[Point, ...]:
    """The box of a line of text, from its descent to its ascent (0.22 under, 0.75 over the baseline of the
    size), anticlockwise from the lower left as one reads it."""
    width = text_width(text.string, text.size, text.bold)
    left = {"start": 0.0, "middle": -width / 2, "end": -width}[text.anchor]
    along, across = _axes(text.angle)
    low, high = -0.22 * text.size, 0.75 * text.size
    return tuple(
        _moved(_moved(text.at, along, right), across, up)
        for right, up in ((left, low), (left + width, low), (left + width, high), (left, high))
    )


def dimension_line(
    a: Point,
    b: Point,
    offset: float,
    string: str,
    *,
    ink: Ink = BLACK,
    width: float = 0.18,
    size: float = 2.5,
    halo: bool = False,
) -> tuple[Mark, ...]:
    """A dimension between two points, after ISO 129-1.

    The dimension line lies ``offset`` mm from the line a to b: to the left of the way from a to b if
    positive, to the right if negative, on it if 0. Extension lines begin a little off the points and end
    a little past the dimension line. Where heads don't fit between them, they stand outside and point
    inwards; where the value doesn't, it stands outside too, after the end that is read last. Raises
    `ValueError` when a and b are one.
    """
    reach = math.dist(a, b)
    if reach == 0:
        raise ValueError(f"a dimension needs two different points, and both are {a}")
    if not _reads_upright(_direction(a, b)):
        a, b, offset = b, a, -offset
    direction = _direction(a, b)
    along, across = _axes(direction)
    start, end = _moved(a, across, offset), _moved(b, across, offset)
    head = max(size, 8 * width)
    value = text_width(string, size)
    heads_inside, text_inside = reach >= 2.5 * head, reach >= value + size / 2
    if heads_inside:
        parts, free = [(0.9 * head, reach - 0.9 * head)], reach
    else:
        parts, free = [(-2 * head, -0.9 * head), (0.0, reach)], reach + head
    if not text_inside:
        parts.append((free - 0.1 * head, free + size / 2 + value))
    elif not heads_inside:
        parts.append((free - 0.1 * head, free + head))
    stroke = Stroke(ink, width)
    text_foot = _moved(start, along, reach / 2 if text_inside else free + size / 2)
    text = Text(
        string,
        _moved(text_foot, across, _TEXT_LIFT * size),
        size,
        ink,
        "middle" if text_inside else "start",
        direction,
        halo=size * _HALO_PART if halo else None,
        halo_ink=WHITE if halo else None,
    )
    return (
        *_extension_lines((a, b), (start, end), 8 * width, stroke),
        Path(
            tuple((_moved(start, along, t0), _moved(start, along, t1)) for t0, t1 in parts),
            stroke,
            closed=False,
        ),
        arrowhead(start, direction + (180 if heads_inside else 0), head, ink),
        arrowhead(end, direction + (0 if heads_inside else 180), head, ink),
        text,
    )


def _extension_lines(
    points: tuple[Point, Point], feet: tuple[Point, Point], past: float, stroke: Stroke
) -> tuple[Mark, ...]:
    """From near the points to a little past the dimension line; ISO 129-1 draws about 8 line widths past."""
    reach = math.dist(points[0], feet[0])
    if reach == 0:
        return ()
    outwards, _ = _axes(_direction(points[0], feet[0]))
    gap = min(past, reach / 2)
    return tuple(
        line(_moved(point, outwards, gap), _moved(foot, outwards, past), stroke)
        for point, foot in zip(points, feet, strict=True)
    )


def hatch(rings: Sequence[Sequence[Point]], spacing: float, angle: float, stroke: Stroke) -> Path:
    """Parallel lines ``spacing`` mm apart inside an area, as one path of open subpaths.

    ``rings`` are closed outlines, filled even-odd, so that a ring inside another is a hole; concave ones
    are fine. The lines hang half a spacing off the page's origin: areas side by side hatch alike,
    and edges at whole multiples of the spacing are not drawn over.
    """
    from shapely import MultiLineString, Polygon  # heavy, and few drawings hatch

    area = Polygon()
    for ring in rings:
        area = area.symmetric_difference(Polygon(ring).buffer(0))
    if area.is_empty:
        return Path((), stroke, closed=False)
    along, across = _axes(angle)
    x0, y0, x1, y1 = area.bounds
    corners = Rect(x0, y0, x1, y1).corners
    ups = [x * across[0] + y * across[1] for x, y in corners]
    rights = [x * along[0] + y * along[1] for x, y in corners]
    rows = range(math.floor(min(ups) / spacing), math.ceil(max(ups) / spacing))
    ends = (min(rights), max(rights))
    lines = [
        tuple(_moved(_moved((0.0, 0.0), across, (row + 0.5) * spacing), along, end) for end in ends) for row in rows
    ]
    clipped = MultiLineString(lines).intersection(area)
    pieces = [tuple(part.coords) for part in getattr(clipped, "geoms", [clipped]) if part.length > 0]
    return Path(tuple(sorted(pieces)), stroke, closed=False)


def moved(marks: Iterable[Path | Text], x: float, y: float, turn: float = 0.0) -> list[Path | Text]:
    """Marks turned about the origin by ``turn`` degrees, then shifted."""
    along, across = _axes(turn)

    def at(point: Point) -> Point:
        return (x + point[0] * along[0] + point[1] * across[0], y + point[0] * along[1] + point[1] * across[1])

    made: list[Path | Text] = []
    for mark in marks:
        if isinstance(mark, Path):
            made.append(evolve(mark, subpaths=tuple(tuple(at(p) for p in part) for part in mark.subpaths)))
        else:
            made.append(evolve(mark, at=at(mark.at), angle=mark.angle + turn))
    return made


def level_text(angle: float) -> float:
    """The angle at which text along a line is read from the bottom or from the right of the page."""
    angle = (angle + 180.0) % 360.0 - 180.0
    return angle if _reads_upright(angle) else angle + (180.0 if angle <= 0 else -180.0)


def _direction(a: Point, b: Point) -> float:
    return math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))


def _reads_upright(direction: float) -> bool:
    """Whether text along it is read from the bottom or from the right of the page."""
    return -90 + 1e-6 < direction <= 90 + 1e-6


def _axes(direction: float) -> tuple[Point, Point]:
    """Unit vectors along a direction and to its left."""
    turn = math.radians(direction)
    return (math.cos(turn), math.sin(turn)), (-math.sin(turn), math.cos(turn))


def _moved(point: Point, axis: Point, by: float) -> Point:
    return (point[0] + axis[0] * by, point[1] + axis[1] * by)

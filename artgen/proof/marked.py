"""One panel's art on a page: its picture, guides over it at their places, findings numbered in the margin round it.

Takes a panel, its picture and its numbered items; gives marks in page millimetres. The same outlines that the checks
test and that the template shows. Nothing is written on the art: numbers stand outside, led to by lines.
"""

from collections.abc import Iterable, Sequence
from math import atan2, ceil, degrees, hypot

import numpy as np
from attrs import evolve, frozen
from PIL import Image, ImageDraw
from shapely import Polygon

from ..drawing.fonts import CAP_HEIGHT, text_width
from ..drawing.inks import BLACK, DARK_GREY, GREY, PALE_GREY, VERMILLION, WHITE
from ..drawing.marks import Ink, Mark, Path, Point, Stroke, Text
from ..drawing.marks import Picture as PictureMark
from ..drawing.pieces import Rect, circle, dimension_line, hatch, label, line
from ..sizing.outline import Outline, bounds, size
from ..sizing.panel import Panel, placed
from ..sizing.ways import turn_of, ways
from ..survey import Picture
from ..template import Sheet, guide_layers, sheet_of
from ..units import MM_PER_INCH, mm_text
from ..words import Words
from .issue import Issue

RING = 16.0  # mm left of and under the art: neighbours' numbers, numbers of findings, sizes
RIM = 12.5  # mm right of and over it, where no sizes stand
_NUMBERS = 8.6  # mm from the art to the middles of the findings' numbers
_NAMES = 2.2  # mm from the art to the neighbours' numbers
_RADIUS = 2.5  # mm
_LINE = 0.2  # mm, a thin line
_DOTS = 1.5  # how much larger the dots of the safe line are than on a template: they stand on white
_VEIL = 0.42  # how much white lies over art that is hidden in the frame
_MOST_MARKS = 12  # of one item on one page
_LONG, _OFF_END = 40.0, 9.0  # mm: a longer outline gets its number near its end, clear of neighbours' numbers
_LEAST_MARK = 2.4  # mm, the smallest outlined box


@frozen
class Spot:
    """Where a panel's art lies on the page: level as one reads it, at 1:``scale``. ``sheet`` = its own little page."""

    panel: Panel
    sheet: Sheet
    left: float
    bottom: float

    def at(self, point: Point) -> Point:
        x, y = self.sheet.at(point)
        return x + self.left, y + self.bottom

    def outline(self, outline: Iterable[Point]) -> Outline:
        return tuple(self.at(point) for point in outline)

    @property
    def box(self) -> Rect:
        return Rect(self.left, self.bottom, self.left + self.sheet.width, self.bottom + self.sheet.height)


def reading_size(panel: Panel) -> tuple[float, float]:
    """Size in mm of the art as it hangs."""
    return size(placed(turn_of(panel, ways(panel)[-1]), panel.art))


def spot_in(panel: Panel, room: Rect) -> Spot:
    """The art as large as fits the room less its ring, at a whole scale, in the middle at the room's top."""
    w, h = reading_size(panel)
    scale = max(1, ceil(max(w / (room.width - RING - RIM), h / (room.height - RING - RIM)) - 1e-9))
    sheet = evolve(sheet_of(panel, scale, ways(panel)[-1]), line=_LINE)
    left = room.x0 + RING + (room.width - RING - RIM - sheet.width) / 2
    return Spot(panel, sheet, left, room.y1 - RIM - sheet.height)


def art_marks(spot: Spot, picture: Picture, say: Words, issue: Issue, *, hidden: bool = True) -> list[Mark]:
    """The picture, veiled where the frame hides it; without what is ``hidden``, cut to what shows."""
    ring = spot.outline(spot.panel.art if hidden else spot.panel.visible)
    veiled = _veiled(spot, picture, issue.ppi)
    x0, y0, x1, y1 = bounds(spot.panel.art)
    (ox, oy), (ax, ay), (bx, by) = spot.at((x0, y0)), spot.at((x1, y0)), spot.at((x0, y1))
    matrix = (ax - ox, ay - oy, bx - ox, by - oy, ox, oy)
    alt = say("proof.alt.panel", number=spot.panel.number)
    return [PictureMark(veiled.width, veiled.height, veiled.tobytes(), matrix, (ring,), alt, issue.jpeg)]


def _veiled(spot: Spot, picture: Picture, ppi: float) -> Image.Image:
    image = Image.frombytes("RGB", (picture.width, picture.height), picture.rgb)
    x0, y0, x1, y1 = bounds(spot.panel.art)
    wanted = [ceil(spot.sheet.mm(side) / float(MM_PER_INCH) * ppi) for side in (x1 - x0, y1 - y0)]
    shown = (max(1, min(image.width, wanted[0])), max(1, min(image.height, wanted[1])))
    if shown != image.size:
        image = image.resize(shown, Image.Resampling.LANCZOS)
    finer = 2
    mask = Image.new("L", (shown[0] * finer, shown[1] * finer), round(255 * _VEIL))
    fx, fy = shown[0] * finer / (x1 - x0), shown[1] * finer / (y1 - y0)
    ring = [((x - x0) * fx - 0.5, (y1 - y) * fy - 0.5) for x, y in spot.panel.visible]
    ImageDraw.Draw(mask).polygon(ring, fill=0)
    image.paste((255, 255, 255), (0, 0), mask.reduce(finer))
    return image


def empty_marks(spot: Spot, words: str) -> list[Mark]:
    """In place of a picture: a hatch (none for plain cloth), and the reason in words."""
    marks: list[Mark] = []
    if not spot.panel.blank:
        marks.append(hatch([spot.outline(spot.panel.visible)], 4.0, 45.0, Stroke(PALE_GREY, 0.18)))
    x0, y0, x1, y1 = bounds(spot.outline(spot.panel.visible))
    x, y = (x0 + x1) / 2, (y0 + y1) / 2
    tall = 4.0 * min(1.0, 0.8 * (x1 - x0) / text_width(words, 4.0, True))
    pad = tall * 0.8
    half = text_width(words, tall, True) / 2 + pad
    plate = Rect(x - half, y - tall, x + half, y + tall)
    marks.append(Path((plate.corners,), fill=WHITE))
    marks.append(Text(words, (x, y - tall * CAP_HEIGHT / 2), tall, DARK_GREY, "middle", bold=True))
    return marks


def plain(ink: Ink) -> Ink:
    """A guide ink as an ordinary colour: a proof is looked at, it has no plates."""
    return Ink(ink.name, ink.rgb, ink.cmyk)


def guide_marks(spot: Spot, say: Words) -> list[Mark]:
    """The template's own guide lines, each on a white under-stroke. Neighbours are told by number instead of a line."""
    marks: list[Mark] = []
    for layer in guide_layers(spot.panel, spot.sheet, say):
        if layer.id == "guide-neighbour":
            continue
        for mark in layer.marks:
            assert isinstance(mark, Path) and mark.stroke is not None
            shifted = tuple(tuple((x + spot.left, y + spot.bottom) for x, y in part) for part in mark.subpaths)
            more = _DOTS if layer.id == "guide-safe" else 1.0
            dash = tuple(part * more for part in mark.stroke.dash)
            stroke = evolve(mark.stroke, ink=plain(mark.stroke.ink), width=mark.stroke.width * more, dash=dash)
            under = Stroke(WHITE, stroke.width + 1.1 * spot.sheet.line)
            marks += [Path(shifted, under, closed=mark.closed), Path(shifted, stroke, closed=mark.closed)]
    return marks


def neighbour_marks(spot: Spot, say: Words) -> list[Mark]:
    """At each edge, outside the art, the number of the panel that meets it there."""
    marks: list[Mark] = []
    panel = spot.panel
    for index, edge in enumerate(panel.edges):
        a, b = spot.at(panel.art[index]), spot.at(panel.art[(index + 1) % len(panel.art)])
        along, out, length = _edge_axes(a, b)
        full = hypot(
            *(q - p for p, q in zip(panel.frame[index], panel.frame[(index + 1) % len(panel.frame)], strict=True))
        )
        for met in edge.met:
            share = (met.start + met.end) / 2 / full
            string = say("proof.meets.joint" if met.joint else "proof.meets.corner", panel=met.panel)
            if text_width(string, 2.3) > length:
                string = str(met.panel)
            at = (
                a[0] + along[0] * length * share + out[0] * _NAMES,
                a[1] + along[1] * length * share + out[1] * _NAMES,
            )
            marks.append(_edge_text(string, at, along, 2.3))
    return marks


def _edge_axes(a: Point, b: Point) -> tuple[Point, Point, float]:
    length = hypot(b[0] - a[0], b[1] - a[1])
    along = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
    return along, (along[1], -along[0]), length


def _edge_text(string: str, middle: Point, along: Point, tall: float) -> Text:
    angle = degrees(atan2(along[1], along[0]))
    if not -90 + 1e-6 < angle <= 90 + 1e-6:
        angle += 180 if angle <= 0 else -180
    turn = np.radians(angle)
    drop = tall * CAP_HEIGHT / 2
    at = (middle[0] + float(np.sin(turn)) * drop, middle[1] - float(np.cos(turn)) * drop)
    return label(string, at, tall, DARK_GREY, angle=angle)


def size_marks(spot: Spot) -> list[Mark]:
    """What shows, as dimension lines under the art and left of it; along the lower edges where it hangs on a tip."""
    panel = spot.panel
    if len(panel.visible) != 4:
        return []
    marks: list[Mark] = []
    pairs = list(zip(panel.visible, [*panel.visible[1:], panel.visible[0]], strict=True))
    low = sorted(range(4), key=lambda i: sum(spot.at(p)[1] for p in pairs[i]))
    left = min(
        range(4), key=lambda i: (round(sum(spot.at(p)[0] for p in pairs[i]), 6), sum(spot.at(p)[1] for p in pairs[i]))
    )
    for index in dict.fromkeys((low[0], left)):
        a, b = pairs[index]
        away = spot.sheet.mm(panel.edges[index].allowance + panel.edges[index].bleed) + RING - 3.0
        full = hypot(b[0] - a[0], b[1] - a[1])
        marks += dimension_line(spot.at(a), spot.at(b), -away, mm_text(full), ink=GREY, width=0.13, size=2.3)
    return marks


@frozen
class Marked:
    """A place on the page that a number is led to."""

    number: int
    ring: Outline
    severity: str


_KINDS: dict[str, Stroke] = {
    "error": Stroke(VERMILLION, 0.55),
    "warning": Stroke(VERMILLION, 0.45, (1.4, 0.9)),
    "note": Stroke(GREY, 0.35, (0.6, 0.6)),
}


def marked(spot: Spot, number: int, severity: str, places: Sequence[Outline]) -> list[Marked]:
    """The places of one item as they are outlined on the page: a little off what they hold, never tiny."""
    found = []
    grown = spot.sheet.line / _LINE
    least = _LEAST_MARK * grown
    for place in places[:_MOST_MARKS]:
        ring = Polygon(spot.outline(place)).convex_hull.buffer(0.6 * grown, join_style="mitre", mitre_limit=2.0)
        x0, y0, x1, y1 = ring.bounds
        if x1 - x0 < least or y1 - y0 < least:
            ring = ring.envelope.buffer((least - min(x1 - x0, y1 - y0)) / 2, join_style="mitre")
        found.append(Marked(number, tuple((float(x), float(y)) for x, y in ring.exterior.coords[:-1]), severity))
    return found


def outlined(found: Sequence[Marked]) -> list[Mark]:
    """The outlines alone, on white under-strokes."""
    marks: list[Mark] = []
    for one in found:
        stroke = _KINDS[one.severity]
        marks.append(Path((one.ring,), Stroke(WHITE, stroke.width + 0.6)))
        marks.append(Path((one.ring,), stroke))
    return marks


def finding_marks(spot: Spot, found: Sequence[Marked]) -> list[Mark]:
    """Outlined places, and their numbers in the ring round the art with leader lines; numbers never overlap."""
    marks = outlined(found)
    for one, centre, foot in _spread(spot.box, found):
        way = hypot(centre[0] - foot[0], centre[1] - foot[1])
        if way > _RADIUS + 0.3:
            stroke = _KINDS[one.severity]
            end = tuple(c + (f - c) * _RADIUS / way for c, f in zip(centre, foot, strict=True))
            marks.append(line((end[0], end[1]), foot, Stroke(WHITE, 0.8)))
            marks.append(line((end[0], end[1]), foot, Stroke(stroke.ink, 0.3)))
        marks += badge(one.number, one.severity, centre)
    return marks


def badge(number: int, severity: str, centre: Point) -> list[Mark]:
    """A finding's number in a circle: filled where something must change."""
    ink = _KINDS[severity].ink
    full = severity == "error"
    tall = 2.9
    return [
        circle(centre, _RADIUS, Stroke(ink, 0.35), ink if full else WHITE),
        Text(
            str(number),
            (centre[0], centre[1] - tall * CAP_HEIGHT / 2),
            tall,
            WHITE if full else BLACK,
            "middle",
            bold=True,
        ),
    ]


def _spread(art: Rect, found: Sequence[Marked]) -> list[tuple[Marked, Point, Point]]:
    """(place, middle of its number, foot of its leader line): each on the side of the art that it is nearest to."""
    sides: dict[str, list[tuple[float, Marked, Point]]] = {"left": [], "right": [], "top": [], "bottom": []}
    for one in found:
        x0, y0, x1, y1 = bounds(one.ring)
        gaps = {"right": art.x1 - x1, "left": x0 - art.x0, "top": art.y1 - y1, "bottom": y0 - art.y0}
        side = min(gaps, key=lambda name: round(gaps[name], 3))  # a tie: the right one
        if side in ("left", "right"):
            along = (y0 + y1) / 2 if y1 - y0 < _LONG else y1 - _OFF_END
        else:
            along = (x0 + x1) / 2 if x1 - x0 < _LONG else x0 + _OFF_END
        sides[side].append((along, one, _crossing(one.ring, side, along)))
    spread: list[tuple[Marked, Point, Point]] = []
    for side, members in sides.items():
        members.sort(key=lambda item: (item[0], item[1].number))
        span = (art.y0, art.y1) if side in ("left", "right") else (art.x0, art.x1)
        for (_, one, foot), along in zip(members, _apart([item[0] for item in members], span), strict=True):
            where = {
                "left": (art.x0 - _NUMBERS, along),
                "right": (art.x1 + _NUMBERS, along),
                "top": (along, art.y1 + _NUMBERS),
                "bottom": (along, art.y0 - _NUMBERS),
            }[side]
            spread.append((one, where, foot))
    return sorted(spread, key=lambda item: item[0].number)


def _crossing(ring: Outline, side: str, at: float) -> Point:
    x0, y0, x1, y1 = Polygon(ring).bounds
    if side in ("left", "right"):
        hits = _hits(ring, at, 1)
        return (min(hits, default=x0), at) if side == "left" else (max(hits, default=x1), at)
    hits = _hits(ring, at, 0)
    return (at, max(hits, default=y1)) if side == "top" else (at, min(hits, default=y0))


def _hits(ring: Outline, at: float, axis: int) -> list[float]:
    """Where a level (axis 1) or upright (axis 0) line through ``at`` meets the ring: the other coordinate."""
    found = []
    for p, q in zip(ring, (*ring[1:], ring[0]), strict=True):
        if min(p[axis], q[axis]) <= at <= max(p[axis], q[axis]) and p[axis] != q[axis]:
            share = (at - p[axis]) / (q[axis] - p[axis])
            found.append(p[1 - axis] + share * (q[1 - axis] - p[1 - axis]))
    return found


def _apart(wanted: Sequence[float], span: tuple[float, float]) -> list[float]:
    """Sorted places moved as little as needed to stand a number's width apart, from the low end up."""
    step = 2 * _RADIUS + 0.8
    spots: list[float] = []
    for want in wanted:
        spots.append(max(want, spots[-1] + step) if spots else want)
    if spots and spots[-1] > span[1] + _NUMBERS / 2:
        top = span[1]
        for index in range(len(spots) - 1, -1, -1):
            spots[index] = min(spots[index], top)
            top = spots[index] - step
    return spots

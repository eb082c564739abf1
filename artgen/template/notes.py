"""Notes of one panel's template: number, way up, sizes, legend, key plan, neighbours' numbers, pull tab.

Everything that is read stands in one block laid out in units of the label size and fitted into the safe area, so
that it can collide with no guide line; only neighbours' numbers and the pull tab stand at their edges.
"""

from math import atan2, cos, degrees, hypot, radians, sin

from shapely import LineString, Polygon, box, prepare
from shapely import Point as ShapelyPoint
from shapely.geometry.base import BaseGeometry

from ..drawing.fonts import CAP_HEIGHT, text_width, wrap_text
from ..drawing.inks import FAINT_GREY, GUIDE_NOTES, WHITE, Guide, guide_stroke
from ..drawing.marks import Ink, Mark, Path, Point, Stroke, Text
from ..drawing.pieces import Rect, arrow, dimension_line, hatch, label
from ..sizing.names import where
from ..sizing.outline import Outline, bounds, offset, size
from ..sizing.panel import KeepOut, Panel, PanelEdge, SizedStructure
from ..units import inch_text, mm_text
from ..words import Words
from .guides import Sheet, seam_line
from .key_plan import key_plan

_GUIDES: dict[str, Guide] = {
    "art-edge": "art edge",
    "cut": "cut",
    "fold": "fold",
    "safe": "safe",
    "seam": "seam",
    "neighbour": "neighbour",
    "shadow": "shadow",
    "keep-out": "shadow",
}
_STEPS = 6  # points a side at which room for the notes is looked for in polygons
_LEAST_FREE = 0.15  # of the area
_WIDE = 40.0  # the block's width in units of the label size
_GHOST = Ink("Guide number", FAINT_GREY.rgb, FAINT_GREY.cmyk, spot=True)


def note_marks(panel: Panel, structure: SizedStructure, sheet: Sheet, say: Words) -> list[Mark]:
    """All marks of the notes layer. ``upright`` on the page follows from the sheet's own turn."""
    room = _room(panel, sheet)
    unit = min(room.width / _WIDE, max(sheet.width, sheet.height) / 130)
    block = _Block(panel, structure, sheet, say, unit)
    height = block.height()
    if height > room.height:
        unit *= room.height / height
        block = _Block(panel, structure, sheet, say, unit)
        height = block.height()
    marks = _dimensions(panel, sheet, unit, say)
    marks += block.marks(room.centre[0] - unit * _WIDE / 2, room.centre[1] + height / 2)
    marks += _neighbours(panel, sheet, unit, say)
    marks += _pull_tab(panel, sheet, unit, say)
    marks += [mark for keep in panel.keep_outs for mark in _keep_out_label(keep, sheet, unit, say)]
    return marks


def page_up(panel: Panel, sheet: Sheet) -> float:
    """Anticlockwise degrees from page x to the direction that is upright when the panel hangs."""
    a, b = sheet.at((0.0, 0.0)), sheet.at((cos(radians(90 + panel.upright_deg)), sin(radians(90 + panel.upright_deg))))
    return degrees(atan2(b[1] - a[1], b[0] - a[0]))


def _band(panel: Panel) -> float:
    """Full-size width of the band along the fold lines in which edges are labelled: the safe inset, less on small panels."""
    return min(*(edge.safe for edge in panel.edges), 0.12 * min(size(panel.visible)))


def _inner(panel: Panel) -> Outline:
    """What shows, less that band."""
    return offset(panel.visible, [-_band(panel)] * len(panel.edges))


def _room(panel: Panel, sheet: Sheet) -> Rect:
    outline = sheet.outline(_inner(panel))
    area = _widest(panel, sheet, Polygon(outline))
    x0, y0, x1, y1 = area.bounds
    centre = area.centroid if area.contains(area.centroid) else area.representative_point()
    best = Rect(centre.x, centre.y, centre.x, centre.y)
    if abs(area.area - (x1 - x0) * (y1 - y0)) < 1e-6 * area.area:
        best = Rect(x0, y0, x1, y1)
    else:
        prepare(area)
        for at in [(centre.x, centre.y), *_grid(area)]:
            trial = _largest(area, at)
            best = trial if trial.width * trial.height > best.width * best.height * 1.001 else best
    margin = min(best.width, best.height) * 0.14  # room for the dimension lines along two sides
    return best.inset(margin)


def _largest(area: Polygon, at: Point) -> Rect:
    """About the largest rectangle of a handy proportion round a point of the area."""
    x0, y0, x1, y1 = area.bounds
    best = Rect(*at, *at)
    for proportion in (0.5, 0.8, 1.0, 1.25, 1.6, 2.2):
        low, high = 0.0, max(x1 - x0, y1 - y0)
        for _ in range(24):
            half = (low + high) / 2
            trial = box(at[0] - half, at[1] - half / proportion, at[0] + half, at[1] + half / proportion)
            low, high = (half, high) if area.contains(trial) else (low, half)
        if low * low / proportion > best.width * best.height / 4:
            best = Rect(at[0] - low, at[1] - low / proportion, at[0] + low, at[1] + low / proportion)
    return best


def _grid(area: Polygon) -> list[Point]:
    """Points spread over the area, to find the widest room in it."""
    x0, y0, x1, y1 = area.bounds
    steps = [(i + 0.5) / _STEPS for i in range(_STEPS)]
    points = [(x0 + a * (x1 - x0), y0 + b * (y1 - y0)) for b in steps for a in steps]
    return [point for point in points if area.contains(ShapelyPoint(point))]


def _widest(panel: Panel, sheet: Sheet, area: Polygon) -> Polygon:
    """The widest part of the area clear of seams and keep-outs: notes there would be hard to read, and a bad example."""
    for seam in panel.seams:
        band = LineString([sheet.at(p) for p in seam_line(panel, seam)]).buffer(sheet.mm(panel.seam_clearance))
        area = max(_parts(area.difference(band)), key=lambda part: (round(part.area, 6), -part.bounds[0]))
    for keep in panel.keep_outs:
        free = area.difference(Polygon(sheet.outline(keep.outline)))
        if free.area > _LEAST_FREE * area.area:  # else the notes stand on it: they have to stand somewhere
            area = max(_parts(free), key=lambda part: (round(part.area, 6), -part.bounds[0]))
    return area


def _parts(shape: BaseGeometry) -> list[Polygon]:
    return list(getattr(shape, "geoms", [shape]))


def ghost_number(panel: Panel, sheet: Sheet) -> list[Mark]:
    """The panel's number, large and faint, for a layer below all lines."""
    string, room = str(panel.number), _room(panel, sheet)
    tall = min(room.height * 0.9, room.width * 0.9 / (text_width(string, 1.0, True) / CAP_HEIGHT)) / CAP_HEIGHT
    x, y = room.centre
    return [Text(string, (x, y - tall * CAP_HEIGHT / 2), tall, _GHOST, "middle", bold=True)]


class _Block:
    """Rows of notes, measured first and drawn from the top down."""

    def __init__(self, panel: Panel, structure: SizedStructure, sheet: Sheet, say: Words, unit: float) -> None:
        self.panel, self.structure, self.sheet, self.say, self.unit = panel, structure, sheet, say, unit
        self.lines = self._lines()
        self.legend = self._legend()

    def _lines(self) -> list[tuple[str, float]]:
        """(text, size in units), wrapped to the block's width less the key plan."""
        panel, sheet, say = self.panel, self.sheet, self.say
        v, u = size(panel.visible)
        page = f"{mm_text(sheet.width)} × {mm_text(sheet.height)}"
        full = f"{mm_text(sheet.width * sheet.scale)} × {mm_text(sheet.height * sheet.scale)}"
        inches = f"{inch_text(sheet.width * sheet.scale)} × {inch_text(sheet.height * sheet.scale)}"
        shows = "template.visible" if sheet.place[1] == 0 else "template.visible-tip"
        scale = say("template.scale.full") if sheet.scale == 1 else say("template.scale", scale=sheet.scale)
        texts = [
            (where(self.structure, panel, say), 1.5),
            (scale, 1.0),
            (say("template.page", page=page), 1.0),
            (say("template.full", full=full, inches=inches), 1.0),
            (say(shows, visible=f"{mm_text(v)} × {mm_text(u)}"), 1.0),
            (say("template.name", number=panel.number), 1.0),
            (say("template.hide"), 1.0),
        ]
        wide = (_WIDE - 13) * self.unit
        return [(line, rel) for text, rel in texts for line in wrap_text(text, rel * self.unit, wide)]

    def _legend(self) -> list[tuple[str, str]]:
        panel, say = self.panel, self.say
        rows = ["art-edge", "cut", "fold"] + (["safe"] if panel.safe else [])
        rows += ["seam"] if panel.seams else []
        rows += ["neighbour"] if any(edge.met for edge in panel.edges) else []
        rows += ["shadow"] if panel.shadows else []
        rows += ["keep-out"] if panel.keep_outs else []
        return [(row, say(f"template.line.{row}", clearance=mm_text(panel.seam_clearance))) for row in rows]

    def height(self) -> float:
        """mm from the top of the title to the foot of the scale bar."""
        text = 3.4 + sum(rel * 1.45 for _, rel in self.lines)
        return (max(text, 13.5) + 1.2 + len(self.legend) * 1.7 + 3.2) * self.unit

    def marks(self, left: float, top: float) -> list[Mark]:
        u, marks = self.unit, list[Mark]()
        title = self.say("template.panel", number=self.panel.number)
        y = top - 3.0 * u * CAP_HEIGHT
        marks.append(Text(title, (left, y), 3.0 * u, GUIDE_NOTES, bold=True))
        y -= 1.4 * u
        for line, rel in self.lines:
            y -= rel * 1.45 * u
            marks.append(Text(line, (left, y + 0.4 * rel * u), rel * u, GUIDE_NOTES))
        right = left + _WIDE * u
        plan = Rect(right - 12 * u, top - 8.4 * u, right - 1 * u, top)
        marks += key_plan(self.structure, [self.panel.number], plan, 0.08 * u)
        marks += self._up(right - 6.5 * u, top - 11.2 * u)
        y = min(y, top - 13.5 * u) - 1.2 * u
        for row, text in self.legend:
            y -= 1.7 * u
            marks += _sample(_GUIDES[row], left, y, u, self.sheet.line)
            marks.append(Text(text, (left + 7 * u, y), u, GUIDE_NOTES))
        marks += self._bar(left, y - 2.6 * u)
        return marks

    def _up(self, x: float, y: float) -> list[Mark]:
        """An arrow to upright and a level line across its foot."""
        u = self.unit
        turn = radians(page_up(self.panel, self.sheet))
        along, across = (cos(turn), sin(turn)), (-sin(turn), cos(turn))
        foot, tip = (x - 1.7 * u * along[0], y - 1.7 * u * along[1]), (x + 1.7 * u * along[0], y + 1.7 * u * along[1])
        stroke = Stroke(GUIDE_NOTES, 0.16 * u)
        level = tuple((foot[0] + s * 2.2 * u * across[0], foot[1] + s * 2.2 * u * across[1]) for s in (1, -1))
        key = "template.up" if abs(self.panel.sight.tilt) < 89 else "template.up-level"
        return [
            *arrow(foot, tip, stroke, 1.1 * u),
            Path((level,), Stroke(GUIDE_NOTES, 0.08 * u), closed=False),
            Text(self.say(key), (x, y - 3.3 * u), 0.8 * u, GUIDE_NOTES, "middle"),
        ]

    def _bar(self, left: float, y: float) -> list[Mark]:
        """A bar of 100 mm at full size, less on small panels: a misread scale shows at once."""
        u = self.unit
        full = next(mm for mm in (100, 50, 20, 10, 5, 1) if self.sheet.mm(mm) <= 0.6 * _WIDE * u or mm == 1)
        length = self.sheet.mm(full)
        stroke = Stroke(GUIDE_NOTES, 0.1 * u)
        ends = [((left + s * length, y), (left + s * length, y + 0.7 * u)) for s in (0, 1)]
        bar = ((left, y + 0.35 * u), (left + length, y + 0.35 * u))
        text = Text(self.say("template.bar", mm=full), (left + length + 0.8 * u, y + 0.05 * u), u, GUIDE_NOTES)
        return [Path((*ends, bar), stroke, closed=False), text]


def _sample(guide: Guide, left: float, y: float, unit: float, width: float) -> list[Mark]:
    """A line of the legend as it is drawn, 6 units long; areas as a hatched box."""
    stroke = guide_stroke(guide, width)
    if guide != "shadow":
        return [Path((((left, y + 0.35 * unit), (left + 6 * unit, y + 0.35 * unit)),), stroke, closed=False)]
    ring = Rect(left, y - 0.2 * unit, left + 6 * unit, y + 0.9 * unit).corners
    fine = guide_stroke(guide, width * 0.6)
    return [*(hatch([ring], 0.5 * unit, angle, fine) for angle in (45.0, -45.0)), Path((ring,), stroke)]


def _dimensions(panel: Panel, sheet: Sheet, unit: float, say: Words) -> list[Mark]:
    """Page and visible sizes, inside the safe area along its lower and left sides (squarely lying panels only)."""
    outline = sheet.outline(_inner(panel))
    if len(panel.visible) != 4 or any(abs(a[0] - b[0]) > 1e-6 and abs(a[1] - b[1]) > 1e-6 for a, b in _sides(outline)):
        return []
    x0, y0, _, _ = bounds(outline)
    page, seen = (0.0, 0.0, sheet.width, sheet.height), bounds(sheet.outline(panel.visible))
    marks: list[Mark] = []
    step = 2.1 * unit
    for i, (key, rect) in enumerate((("page", page), ("visible", seen)), start=1):
        text = [say(f"template.dim.{key}", mm=mm_text(full)) for full in _full(rect, sheet)]
        y, x = y0 + i * step - 0.9 * unit, x0 + i * step
        kinds = {"ink": GUIDE_NOTES, "width": sheet.line, "size": unit, "halo": True}
        marks += dimension_line((rect[0], y), (rect[2], y), 0.0, text[0], **kinds)  # type: ignore[arg-type]
        marks += dimension_line((x, rect[1]), (x, rect[3]), 0.0, text[1], **kinds)  # type: ignore[arg-type]
    return marks


def _full(box: tuple[float, float, float, float], sheet: Sheet) -> tuple[float, float]:
    return (box[2] - box[0]) * sheet.scale, (box[3] - box[1]) * sheet.scale


def _sides(outline: tuple[Point, ...]) -> list[tuple[Point, Point]]:
    return list(zip(outline, [*outline[1:], outline[0]], strict=True))


def _edge_frame(panel: Panel, sheet: Sheet, index: int) -> tuple[Point, Point, Point, float]:
    """Middle of an edge's fold line on the page, unit vectors along and outwards, and its length."""
    a, b = sheet.at(panel.visible[index]), sheet.at(panel.visible[(index + 1) % len(panel.visible)])
    length = hypot(b[0] - a[0], b[1] - a[1])
    along = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
    return ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2), along, (along[1], -along[0]), length


def _neighbours(panel: Panel, sheet: Sheet, unit: float, say: Words) -> list[Mark]:
    """Which panel meets an edge: an arrow outwards and the neighbour's number, between fold line and safe."""
    marks: list[Mark] = []
    for index, edge in enumerate(panel.edges):
        if not edge.met:
            continue
        (x, y), along, out, length = _edge_frame(panel, sheet, index)
        tall = min(unit * 1.1, sheet.mm(_band(panel)) * 0.6, length / 8)
        for met in edge.met:
            share = (met.start + met.end) / 2
            full = hypot(
                panel.frame[index][0] - panel.frame[(index + 1) % len(panel.frame)][0],
                panel.frame[index][1] - panel.frame[(index + 1) % len(panel.frame)][1],
            )
            slide = (share / full - 0.5) * length + length / 4 * 0.5
            depth = sheet.mm(_band(panel)) / 2
            at = (x + along[0] * slide - out[0] * depth, y + along[1] * slide - out[1] * depth)
            string = say("template.meets.joint" if met.joint else "template.meets.corner", panel=met.panel)
            marks += _edge_label(string, at, along, out, tall, length)
    return marks


def _edge_label(string: str, at: Point, along: Point, out: Point, tall: float, length: float) -> list[Mark]:
    wide = text_width(string, tall)
    if wide > length * 0.4:
        tall *= length * 0.4 / wide
        wide = length * 0.4
    angle = degrees(atan2(along[1], along[0]))
    if not -90 + 1e-6 < angle <= 90 + 1e-6:
        angle += 180 if angle <= 0 else -180
    turn = radians(angle)
    up = (-sin(turn), cos(turn))
    base = (at[0] - up[0] * tall * CAP_HEIGHT / 2, at[1] - up[1] * tall * CAP_HEIGHT / 2)
    reach = wide / 2 + tall * 0.9
    stem = (at[0] + cos(turn) * reach, at[1] + sin(turn) * reach)
    head = (stem[0] + out[0] * tall * 0.7, stem[1] + out[1] * tall * 0.7)
    foot = (stem[0] - out[0] * tall * 0.7, stem[1] - out[1] * tall * 0.7)
    stroke = Stroke(GUIDE_NOTES, tall * 0.12)
    return [label(string, base, tall, GUIDE_NOTES, angle=angle), *arrow(foot, head, stroke, tall * 0.8)]


def tab_edge(panel: Panel) -> int:
    """The edge that takes the pull tab: the one that looks down most when the panel hangs (a tie: the first)."""
    down = radians(panel.upright_deg - 90)

    def drop(index: int) -> float:
        (x0, y0), (x1, y1) = panel.visible[index], panel.visible[(index + 1) % len(panel.visible)]
        length = hypot(x1 - x0, y1 - y0)
        return round((y1 - y0) / length * cos(down) - (x1 - x0) / length * sin(down), 6)

    return max(range(len(panel.visible)), key=lambda i: (drop(i), -i))


def _keep_out_label(keep: KeepOut, sheet: Sheet, unit: float, say: Words) -> list[Mark]:
    """What is kept out, on a white plate in the middle of its area, no larger than goes in."""
    string = say("template.keep-out.hole" if keep.hole else "template.keep-out")
    string = say("template.keep-out.named", what=string, name=keep.name) if keep.name else string
    x0, y0, x1, y1 = bounds(sheet.outline(keep.outline))
    tall = min(1.4 * unit, 0.7 * (x1 - x0) / text_width(string, 1.0), 0.4 * (y1 - y0))
    wide = text_width(string, tall) + tall
    x, y = (x0 + x1) / 2, (y0 + y1) / 2
    plate = Rect(x - wide / 2, y - tall * 0.8, x + wide / 2, y + tall * 0.8)
    text = Text(string, (x, y - tall * CAP_HEIGHT / 2), tall, GUIDE_NOTES, "middle")
    return [Path((plate.corners,), fill=WHITE), text]


def _pull_tab(panel: Panel, sheet: Sheet, unit: float, say: Words) -> list[Mark]:
    index = tab_edge(panel)
    edge: PanelEdge = panel.edges[index]
    (x, y), along, out, length = _edge_frame(panel, sheet, index)
    wide, deep = min(sheet.mm(60.0), length / 8), sheet.mm(max(edge.allowance, 10.0))
    # off the middle, where the neighbour's number may stand
    x, y = x - along[0] * length / 6, y - along[1] * length / 6
    ring = tuple(
        (x + along[0] * s * wide / 2 + out[0] * t * deep, y + along[1] * s * wide / 2 + out[1] * t * deep)
        for s, t in ((-1, 0), (-0.8, 1), (0.8, 1), (1, 0))
    )
    depth = sheet.mm(_band(panel)) / 2
    tall = min(unit, depth)
    at = (x - out[0] * depth, y - out[1] * depth)
    angle = degrees(atan2(along[1], along[0]))
    if not -90 + 1e-6 < angle <= 90 + 1e-6:
        angle += 180 if angle <= 0 else -180
    up = (-sin(radians(angle)), cos(radians(angle)))
    base = (at[0] - up[0] * tall * CAP_HEIGHT / 2, at[1] - up[1] * tall * CAP_HEIGHT / 2)
    return [
        Path((ring,), Stroke(GUIDE_NOTES, sheet.line)),
        label(say("template.tab"), base, tall, GUIDE_NOTES, angle=angle),
    ]

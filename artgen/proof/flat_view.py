"""All sides of each structure laid into one plane with the art on them: what meets what, before it is folded up."""

from math import atan2, ceil, cos, degrees, radians, sin

from attrs import evolve
from shapely import MultiPolygon, Polygon
from shapely import Point as Spot

from ..drawing.fonts import CAP_HEIGHT
from ..drawing.inks import BLACK, WHITE
from ..drawing.marks import Mark, Path, Point, Stroke, Text
from ..drawing.paper import CAPTION, Paper
from ..drawing.pieces import circle, line
from ..drawing.typeset import lines_height
from ..job import Job
from ..sizing.outline import bounds
from ..sizing.panel import Affine, Panel, SizedStructure
from ..structure.net import Net, net
from ..template import Sheet
from ..words import Words
from . import marked
from .issue import Issue
from .wrap_page import panel_marks, places_on

_LINE = 0.2
_FOLDED = Stroke(BLACK, 0.18, (4.3, 0.54, 0.09, 0.54))  # ISO 128-2: long dash, dot, gaps
_OPEN = Stroke(BLACK, 0.18)
_TALLEST = 0.345  # of a sheet's height: two structures to a sheet
_HEAD = 12.0  # mm for a structure's name
_NUMBER, _PLATE = 3.4, 2.9  # mm: a panel's number, the radius of its plate


def flat_views(paper: Paper, job: Job, say: Words, issue: Issue) -> None:
    """Every structure of more than one panel on sheets of their own, several to a sheet as they fit."""
    structures = [structure for structure in job.sizing.structures if len(structure.panels) > 1]
    if not structures:
        return
    paper.new_page()
    paper.heading(say("proof.flat"), 1)
    paper.paragraph(say("proof.flat.text"))
    for structure in structures:
        _flat_view(paper, job, structure, say, issue)


def _flat_view(paper: Paper, job: Job, structure: SizedStructure, say: Words, issue: Issue) -> None:
    flat = _turned(structure, net(structure.bays))
    x0, y0, x1, y1 = bounds([point for outline in flat.outlines for point in outline])
    most = paper.body.height * _TALLEST
    scale = max(1, ceil(max((x1 - x0) / paper.body.width, (y1 - y0) / most)))
    note = lines_height(1, CAPTION) + 4.2
    if paper.room().height < (y1 - y0) / scale + note + _HEAD:
        paper.new_page()
    paper.heading(structure.name, 2)
    box = paper.claim((y1 - y0) / scale)
    left = box.x0 + (box.width - (x1 - x0) / scale) / 2
    onto: Affine = (1 / scale, 0.0, 0.0, 1 / scale, left - x0 / scale, box.y0 - y0 / scale)
    paper.place(_marks(job, structure, flat, onto, say, issue))
    paper.space(1.6)
    paper.caption(say("proof.flat.scale" if flat.whole else "proof.flat.scale.apart", scale=scale))


def _turned(structure: SizedStructure, flat: Net) -> Net:
    """The net turned so that as many panels as can be are level to read; as it lies, where that is as good."""
    panels = {panel.number: panel for panel in structure.panels}
    leans = []
    for number, outline in zip(structure.numbers, flat.outlines, strict=True):
        if number in panels:
            c, s, *_ = _place(panels[number], outline)
            leans.append(round(degrees(atan2(s, c)) + panels[number].upright_deg, 3) % 360.0)
    turn = max([0.0, *leans], key=lambda lean: sum(abs(lean - other) < 0.5 for other in leans))
    c, s = cos(radians(-turn)), sin(radians(-turn))

    def at(point: Point) -> Point:
        return c * point[0] - s * point[1], s * point[0] + c * point[1]

    return evolve(
        flat,
        outlines=tuple(tuple(map(at, outline)) for outline in flat.outlines),
        joined=tuple(evolve(one, start=at(one.start), end=at(one.end)) for one in flat.joined),
    )


def _marks(job: Job, structure: SizedStructure, flat: Net, onto: Affine, say: Words, issue: Issue) -> list[Mark]:
    k, _, _, _, dx, dy = onto

    def at(point: Point) -> Point:
        return point[0] * k + dx, point[1] * k + dy

    panels = {panel.number: panel for panel in structure.panels}
    marks: list[Mark] = []
    numbers: list[Mark] = []
    for number, outline in zip(structure.numbers, flat.outlines, strict=True):
        ring = tuple(at(point) for point in outline)
        if number not in panels:
            marks.append(Path((ring,), _OPEN))
            continue
        spot = _spot(panels[number], ring, round(1 / k))
        marks += panel_marks(job, spot, say, issue)
        numbers += _number(job, spot)
    for joined in flat.joined:  # what is folded, not cut
        a, b = at(joined.start), at(joined.end)
        marks += [line(a, b, Stroke(WHITE, 0.6)), line(a, b, _FOLDED)]
    return marks + numbers


def _spot(panel: Panel, ring: tuple[Point, ...], scale: int) -> marked.Spot:
    """The panel where its metal lies on the sheet."""
    x0, y0, x1, y1 = bounds(ring)
    return marked.Spot(panel, Sheet(x1 - x0, y1 - y0, _place(panel, ring), _LINE, scale), 0.0, 0.0)


def _place(panel: Panel, ring: tuple[Point, ...]) -> Affine:
    """Sewn frame → the ring's plane: the metal's first edge comes to lie on the ring's."""
    (ax, ay), (bx, by) = panel.frame[0], panel.frame[1]
    (px, py), (qx, qy) = ring[0], ring[1]
    dx, dy = bx - ax, by - ay
    ux, uy = qx - px, qy - py
    square = dx * dx + dy * dy
    c, s = (dx * ux + dy * uy) / square, (dx * uy - dy * ux) / square
    return c, s, -s, c, px - c * ax + s * ay, py - s * ax - c * ay


def _number(job: Job, spot: marked.Spot) -> list[Mark]:
    """Its number on a small plate in a corner: the one farthest from what was found, the lowest where that is no matter."""
    ring = spot.outline(spot.panel.visible)
    shape = Polygon(ring).buffer(-_PLATE - 0.8)
    if shape.is_empty:
        return []
    inner = shape if shape.geom_type == "Polygon" else max(shape.geoms, key=lambda part: part.area)
    found = MultiPolygon([Polygon(one.ring) for one in places_on(job, spot)])

    def clear(point: tuple[float, ...]) -> tuple[float, float, float]:
        away = 99.0 if found.is_empty else min(2 * _PLATE, found.distance(Spot(point)))
        return round(away, 3), -round(point[1], 3), -round(point[0], 3)

    x, y = max(inner.exterior.coords, key=clear)
    tall = _NUMBER if spot.panel.number < 100 else 0.75 * _NUMBER
    return [
        circle((x, y), _PLATE, Stroke(BLACK, 0.18), WHITE),
        Text(str(spot.panel.number), (x, y - tall * CAP_HEIGHT / 2), tall, BLACK, "middle", bold=True),
    ]

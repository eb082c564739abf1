"""All sides of each structure laid into one plane with the art on them: what meets what, before it is folded up."""

from math import ceil

from shapely import Polygon

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
from .wrap_page import panel_marks

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
    flat = net(structure.bays)
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
        numbers += _number(spot)
    for joined in flat.joined:  # what is folded, not cut
        a, b = at(joined.start), at(joined.end)
        marks += [line(a, b, Stroke(WHITE, 0.6)), line(a, b, _FOLDED)]
    return marks + numbers


def _spot(panel: Panel, ring: tuple[Point, ...], scale: int) -> marked.Spot:
    """Where the panel lies: its metal's first edge on that of the ring."""
    (ax, ay), (bx, by) = panel.frame[0], panel.frame[1]
    (px, py), (qx, qy) = ring[0], ring[1]
    dx, dy = bx - ax, by - ay
    ux, uy = qx - px, qy - py
    square = dx * dx + dy * dy
    c, s = (dx * ux + dy * uy) / square, (dx * uy - dy * ux) / square
    place: Affine = (c, s, -s, c, px - c * ax + s * ay, py - s * ax - c * ay)
    x0, y0, x1, y1 = bounds(ring)
    return marked.Spot(panel, Sheet(x1 - x0, y1 - y0, place, _LINE, scale), 0.0, 0.0)


def _number(spot: marked.Spot) -> list[Mark]:
    """Its number on a small plate in the corner that is lowest on the sheet, clear of most lettering."""
    ring = spot.outline(spot.panel.visible)
    shape = Polygon(ring).buffer(-_PLATE - 0.8)
    if shape.is_empty:
        return []
    inner = shape if shape.geom_type == "Polygon" else max(shape.geoms, key=lambda part: part.area)
    x, y = min(inner.exterior.coords, key=lambda point: (round(point[1], 3), round(point[0], 3)))
    tall = _NUMBER if spot.panel.number < 100 else 0.75 * _NUMBER
    return [
        circle((x, y), _PLATE, Stroke(BLACK, 0.18), WHITE),
        Text(str(spot.panel.number), (x, y - tall * CAP_HEIGHT / 2), tall, BLACK, "middle", bold=True),
    ]

"""The net sheet: every side of a structure unfolded into one plane, with the panels' numbers, sides and which way is up.

Takes a sized structure; draws on a paper's sheet, one a structure.
"""

from math import atan2, cos, degrees, radians, sin

from shapely import LineString, Polygon

from ..drawing.fonts import CAP_HEIGHT, fit_text, text_width
from ..drawing.inks import BLACK, DARK_GREY, FAINT_GREY, WHITE
from ..drawing.marks import Drawing, Mark, Path, Point, Stroke, Text
from ..drawing.paper import CAPTION, SMALL, Paper
from ..drawing.pieces import Rect, arrow, line
from ..drawing.title_block import TitleBlock
from ..sizing.names import side
from ..sizing.outline import Outline, bounds, size
from ..sizing.panel import Panel, SizedStructure, Sizing
from ..structure.net import net
from ..units import mm_text
from ..words import Words
from .margin import Head, block_words

_EDGE, _FOLDED = Stroke(BLACK, 0.5), Stroke(BLACK, 0.18, (4.3, 0.54, 0.09, 0.54))  # ISO 128-2: long dash, dot, gaps
_LARGEST, _LEAST = 14.0, 2.6  # mm, a panel's number
_SCALES = (1, 2, 5, 10, 15, 20, 25, 30, 40, 50, 75, 100, 200, 500)  # those of ISO 5455 and some between


def net_sheets(sizing: Sizing, head: Head, sheet: str, say: Words) -> list[Drawing]:
    """A sheet a structure, A4 or Letter, landscape."""
    block = TitleBlock(
        "",
        say("net.title"),
        " · ".join(part for part in (head.name, head.client) if part),
        say("net.type"),
        head.number,
        date_of_issue=head.date,
        words=block_words(say),
    )
    paper = Paper(block, sheet="letter" if sheet == "letter" else "a4", landscape=True)
    first = True
    for structure in sizing.structures:
        if structure.panels:
            if not first:
                paper.new_page()
            first = False
            _sheet(paper, structure, say)
    return paper.pages()


def _sheet(paper: Paper, structure: SizedStructure, say: Words) -> None:
    paper.heading(structure.name, 1)
    flat = net(structure.bays)
    x0, y0, x1, y1 = bounds([point for outline in flat.outlines for point in outline])
    room = paper.claim(paper.room().height)
    box = Rect(room.x0, room.y0 + 13.0, room.x1, room.y1)
    scale = next((s for s in _SCALES if (x1 - x0) / s <= box.width and (y1 - y0) / s <= box.height), _SCALES[-1])
    left = box.x0 + (box.width - (x1 - x0) / scale) / 2
    low = box.y0 + (box.height - (y1 - y0) / scale) / 2

    def at(point: Point) -> Point:
        return left + (point[0] - x0) / scale, low + (point[1] - y0) / scale

    panels = {panel.number: panel for panel in structure.panels}
    marks: list[Mark] = []
    for number, outline in zip(structure.numbers, flat.outlines, strict=True):
        ring = tuple(at(point) for point in outline)
        marks.append(Path((ring,), _EDGE, None if number in panels else FAINT_GREY))
    for joined in flat.joined:  # drawn over the outlines: what is folded, not cut
        a, b = at(joined.start), at(joined.end)
        marks += [line(a, b, Stroke(WHITE, 0.7)), line(a, b, _FOLDED)]
    for number, outline in zip(structure.numbers, flat.outlines, strict=True):
        if number in panels:
            marks += _panel(panels[number], tuple(at(point) for point in outline), say)
    paper.place(marks)
    paper.place(_foot(Rect(room.x0, room.y0, room.x1, room.y0 + 10.0), scale, flat.whole, say))


def _panel(panel: Panel, ring: Outline, say: Words) -> list[Mark]:
    """Its number, an arrow to its upright, its side and page size as far as there is room."""
    shape = Polygon(ring)
    middle = shape.centroid if shape.contains(shape.centroid) else shape.representative_point()
    x, y = float(middle.x), float(middle.y)
    room = 2 * float(middle.distance(shape.exterior))
    tall = min(_LARGEST, max(_LEAST, 0.5 * room))
    wide = text_width(str(panel.number), tall, True)
    w, h = size(panel.art)
    below = [(side(panel, say), SMALL), (say("net.page", mm=f"{mm_text(w)} × {mm_text(h)}"), CAPTION)]
    shown = [(text, em) for text, em in below if text_width(text, em) < _level_room(shape, x, y - tall)]
    if room < tall * CAP_HEIGHT + 9.0:
        shown = []
    y += sum(em * 1.4 for _, em in shown) / 2
    length = 0.7 * tall
    left = x - (wide + 0.5 * tall) / 2
    marks: list[Mark] = [Text(str(panel.number), (left, y - tall * CAP_HEIGHT / 2), tall, BLACK, bold=True)]
    turn = radians(_upright(panel, ring))
    centre = (left + wide + 0.5 * tall, y)
    foot, tip = ((centre[0] + s * length / 2 * cos(turn), centre[1] + s * length / 2 * sin(turn)) for s in (-1.0, 1.0))
    marks += arrow(foot, tip, Stroke(BLACK, 0.25), min(2.2, 0.4 * length))
    base = y - tall * CAP_HEIGHT / 2 - 0.8
    for text, em in shown:
        base -= em * 1.4
        marks.append(Text(text, (x, base + 0.35 * em), em, DARK_GREY, "middle"))
    return marks


def _level_room(shape: Polygon, x: float, y: float) -> float:
    """How wide a shape is on a level line, as far as it reaches to both sides of x."""
    x0, _, x1, _ = shape.bounds
    cut = LineString([(x0 - 1.0, y), (x1 + 1.0, y)]).intersection(shape)
    parts = [part.bounds for part in getattr(cut, "geoms", [cut]) if not part.is_empty]
    return next((2 * min(x - b[0], b[2] - x) * 0.94 for b in parts if b[0] <= x <= b[2]), 0.0)


def _upright(panel: Panel, ring: Outline) -> float:
    """Degrees anticlockwise from the sheet's x to upright: the panel's own, turned as its metal lies in the net."""
    (ax, ay), (bx, by) = panel.frame[0], panel.frame[1]
    (px, py), (qx, qy) = ring[0], ring[1]
    turned = degrees(atan2(qy - py, qx - px) - atan2(by - ay, bx - ax))
    return 90.0 + panel.upright_deg + turned


def _foot(box: Rect, scale: int, whole: bool, say: Words) -> list[Mark]:
    """What the lines mean."""
    high = box.y0 + 3.0
    marks: list[Mark] = []
    left = box.x0
    for text, stroke in ((say("net.edge"), _EDGE), (say("net.folded"), _FOLDED)):
        marks.append(line((left, high + 0.9), (left + 12.0, high + 0.9), stroke))
        marks.append(Text(text, (left + 14.0, high), SMALL, BLACK))
        left += 14.0 + text_width(text, SMALL) + 8.0
    texts = [say("net.up"), say("net.scale", scale=scale), *([] if whole else [say("net.apart")])]
    marks.append(Text(fit_text("  ".join(texts), SMALL, box.x1 - left), (left, high), SMALL, BLACK))
    return marks

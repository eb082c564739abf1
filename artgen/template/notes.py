"""All that is written on one template, laid so that nothing meets: labels at their places, then notes where room is left.

Layout adapts by trying: every block of notes has several shapes, upright or turned, and takes the first for which the
safe area has room, else what shows, else the page; where no block goes in whole, its cards are placed one by one.
"""

from collections.abc import Callable, Sequence

from attrs import frozen

from ..drawing.fonts import text_width
from ..drawing.inks import GUIDE_NUMBER
from ..drawing.marks import Path, Point, Text
from ..drawing.pieces import Rect
from ..drawing.room import Cells, Room
from ..sizing.names import edge_name
from ..sizing.outline import Outline, bounds
from ..sizing.panel import SizedStructure
from ..units import mm_text
from .cards import Arrangement, Card, Notes, arrangements
from .guides import seam_bands, seam_line
from .labels import Labels
from .sheet import Sheet
from .tags import tab_place, tag_place

_CELL = 0.2  # of the letters' size
_AIR = 0.6  # kept free around a block of notes, over the letters' size …
_LESS_AIR = 0.45  # … and around a card that stands alone
_NARROW = 14.0  # letter sizes: no dimension line stands inside what is narrower, the sizes are written out
_LEAST_NUMBER = 4.0  # the faint number is left out where it would be smaller than so many letter sizes


@frozen
class Written:
    """Marks of the layers that hold writing. ``left_out`` = names of cards for which there was no room."""

    notes: tuple[Path | Text, ...]
    sizes: tuple[Path | Text, ...]
    number: tuple[Text, ...]
    left_out: tuple[str, ...]


def write(notes: Notes) -> Written:
    """Everything written on a template."""
    sheet, panel, say = notes.sheet, notes.panel, notes.say
    room = _room(notes)
    labels = Labels(panel, sheet, room, say)
    _name_areas(labels, notes)
    _name_edges(labels, notes.structure)
    _name_seams(labels)
    narrow, high = _narrow(labels)
    if narrow and high:  # the lower edge is short: its names go before what can stand anywhere
        _name_tabs(labels)
    placed, left_out = _cards(notes, room)
    if not (narrow and high):
        _name_tabs(labels)
    _dimensions(labels, sheet)
    return Written((*labels.notes, *placed), tuple(labels.sizes), tuple(_number(notes, room)), left_out)


def _room(notes: Notes) -> Room:
    """The page with its lines."""
    sheet, panel = notes.sheet, notes.panel
    room = Room(sheet.width, sheet.height, _CELL * notes.unit)
    for outline in (panel.art, panel.cut, panel.visible, *([panel.safe] if panel.safe else [])):
        room.draw(sheet.outline(outline), closed=True)
    for place in (tab_place(panel), tag_place(panel)):
        room.cover(sheet.outline(place))
    for edge, (a, b) in zip(panel.edges, _sides(sheet.outline(panel.frame)), strict=True):
        if edge.met:
            room.draw((a, b))
    for seam in panel.seams:
        a, b = seam_line(panel, seam)
        room.draw((sheet.at(a), sheet.at(b)))
        bands = seam_bands(panel, seam, panel.seam_clearance)
        if len(bands) == 2:
            room.cover([sheet.at(p) for p in (*bands[0], *reversed(bands[1]))])
    if sheet.margins[0]:  # the margin is for dimension lines and the title block
        art, page = sheet.art, Rect(0.0, 0.0, sheet.width, sheet.height)
        for side in (
            Rect(page.x0, page.y0, art.x0, page.y1),
            Rect(art.x1, page.y0, page.x1, page.y1),
            Rect(page.x0, page.y0, page.x1, art.y0),
            Rect(page.x0, art.y1, page.x1, page.y1),
        ):
            room.cover(side.corners)
    for outline in (*(band.outline for band in panel.shadows), *(keep.outline for keep in panel.keep_outs)):
        room.cover(sheet.outline(outline))
    return room


def _sides(outline: Outline) -> list[tuple[Point, Point]]:
    return list(zip(outline, [*outline[1:], outline[0]], strict=True))


def _name_areas(labels: Labels, notes: Notes) -> None:
    """What is kept out, and which hardware throws a shadow: on the area if it takes the words, else beside it."""
    sheet, say = notes.sheet, notes.say
    named: list[tuple[str, Outline]] = []
    for keep in notes.panel.keep_outs:
        what = say("template.keep-out.hole" if keep.hole else "template.keep-out")
        named.append((say("template.keep-out.named", what=what, name=keep.name) if keep.name else what, keep.outline))
    named += [(say(f"template.shadow.{band.kind.replace(' ', '-')}"), band.outline) for band in notes.panel.shadows]
    for text, outline in named:
        ring = sheet.outline(outline)
        if not labels.inside(text, ring):
            x0, y0, x1, y1 = bounds(ring)
            labels.callout(text, ((x0 + x1) / 2, (y0 + y1) / 2), dot=True)


def _narrow(labels: Labels) -> tuple[bool, bool]:
    """Whether what shows is narrow for its letters, and whether it is higher than wide."""
    x0, y0, x1, y1 = bounds(labels.sheet.outline(labels.panel.visible))
    return min(x1 - x0, y1 - y0) < _NARROW * labels.unit, y1 - y0 > x1 - x0


def _name_tabs(labels: Labels) -> None:
    named = []
    for key, place in (("template.tab", tab_place(labels.panel)), ("template.tag", tag_place(labels.panel))):
        ring = labels.sheet.outline(place)
        named.append((labels.say(key), (sum(p[0] for p in ring) / 4, sum(p[1] for p in ring) / 4)))
    labels.callouts(named)


def _name_edges(labels: Labels, structure: SizedStructure) -> None:
    panels = {panel.number: panel for panel in structure.panels}
    narrow, _ = _narrow(labels)
    for index, edge in enumerate(labels.panel.edges):
        for met in edge.met:
            other = panels.get(met.panel)  # an open bay has a number, and no panel
            labels.neighbour(index, met, edge_name(other, met.edge, labels.say) if other is not None else "", narrow)


def _dimensions(labels: Labels, sheet: Sheet) -> None:
    """Page and visible sizes: in the margin where there is one, else inside, along the lower and left sides."""
    u, panel, art = labels.unit, labels.panel, sheet.art
    shown = bounds(sheet.outline(panel.visible))
    square = len(panel.visible) == 4 and all(
        abs(a[0] - b[0]) < 1e-6 or abs(a[1] - b[1]) < 1e-6 for a, b in _sides(sheet.outline(panel.visible))
    )
    left, bottom = sheet.margins[:2]
    for axis, (low, high, first, far, margin) in enumerate(
        (
            (art.x0, art.x1, art.y0, art.y1, bottom),
            (art.y0, art.y1, art.x0, art.x1, left),
        )
    ):
        if margin:
            labels.dimension("page", low, high, axis, [first - 4.0 * u], first)
            if square:
                labels.dimension("visible", shown[axis], shown[axis + 2], axis, [first - 1.6 * u], shown[1 - axis])
            continue
        if _narrow(labels)[0]:
            continue
        start = shown[1 - axis] if square else first
        places = [start + 0.3 * u * n for n in range(2, 3 + round(0.4 * (far - first) / (0.3 * u)))]
        labels.dimension("page", low, high, axis, places)
        if square:
            labels.dimension("visible", shown[axis], shown[axis + 2], axis, places)


def _name_seams(labels: Labels) -> None:
    panel, sheet, say = labels.panel, labels.sheet, labels.say
    text = say("template.seam", allowance=mm_text(panel.fabric.seam_allowance), clearance=mm_text(panel.seam_clearance))
    within = labels.room.inside(sheet.outline(panel.visible))
    for seam in panel.seams:
        a, b = seam_line(panel, seam)
        for share in (0.86, 0.75, 0.6, 0.3):
            anchor = sheet.at((a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share))
            if labels.callout(text, anchor, within):
                break


def _cards(notes: Notes, room: Room) -> tuple[list[Path | Text], tuple[str, ...]]:
    """The notes as one block, or card by card."""
    sheet, panel = notes.sheet, notes.panel
    shows = room.inside(sheet.outline(panel.visible))
    safe = room.inside(sheet.outline(panel.safe)) if panel.safe else shows
    x0, y0, x1, y1 = bounds(sheet.outline(panel.safe or panel.visible))
    tall, wide = arrangements(notes)
    is_wide = x1 - x0 > 1.25 * (y1 - y0)
    wanted = (x0 + (x1 - x0) * 0.36, (y0 + y1) / 2) if is_wide else ((x0 + x1) / 2, y0 + (y1 - y0) * 0.62)
    air = _AIR * notes.unit
    shapes = wide if is_wide else tall
    found = _first(room, shapes, lambda w, h: wanted, (safe,), air) or _first(
        room, shapes, lambda w, h: wanted, (shows,), air
    )
    if found is not None:
        return found[0], ()
    corner = (x0, y1) if is_wide else wanted
    return _one_by_one(notes, room, corner, (safe, shows))


def _first(
    room: Room,
    shapes: Sequence[Arrangement],
    wanted: Callable[[float, float], Point],
    zones: Sequence[Cells | None],
    air: float,
    *,
    over_lines: bool = False,
) -> tuple[list[Path | Text], Rect] | None:
    """The best liked shape that goes anywhere, upright or else turned, in the first zone that takes it, as it lies on the page.
    ``wanted`` = where the middle of a box so wide and high should be."""
    cards = [shape() for shape in shapes]
    for turn in (0.0, 90.0):
        for card in cards:
            for zone in zones:
                wide, high = (card.width, card.height) if turn == 0 else (card.height, card.width)
                wide, high = wide + 2 * air, high + 2 * air
                box = room.place(wide, high, wanted(wide, high), zone, over_lines=over_lines)
                if box is not None:
                    room.write(box.inset(air * 0.5).corners)
                    return card.at(box.x0 + air, box.y0 + air, turn), box
    return None


def _one_by_one(
    notes: Notes, room: Room, start: Point, zones: Sequence[Cells]
) -> tuple[list[Path | Text], tuple[str, ...]]:
    """Cards where each finds room, the most needed first, each below the one before if it can; those that must be there
    may in the end stand over lines."""
    widths = (100, 60, 40, 30, 22, 16, 12)

    def each(make: Callable[[float, bool], Card]) -> list[Arrangement]:
        return [lambda w=w, j=j: make(w, j) for j in (False, True) for w in widths]  # type: ignore[misc]

    wanted_cards: list[tuple[str, bool, list[Arrangement]]] = [
        ("head", True, [lambda: notes.head(22), lambda: notes.head(14), notes.line, lambda: notes.head(9)]),
        ("up", True, [notes.up, lambda: notes.up(0.8)]),
        ("bar", True, [notes.bar]),
        ("sizes", True, [notes.table, *each(notes.sizes), *[lambda w=w: notes.brief(w) for w in widths]]),
        ("plan", False, [lambda h=h: notes.plan(h) for h in (6.5, 4.5, 3.0, 2.0)]),  # type: ignore[misc]
        ("hints", False, each(notes.hints)),
        ("legend", False, [lambda w=w, c=c: notes.legend(w, c) for w, c in ((26, 1), (18, 1), (26, 4), (24, 8))]),  # type: ignore[misc]
    ]
    marks: list[Path | Text] = []
    left_out = []
    corner = start
    for name, must, shapes in wanted_cards:

        def below(wide: float, high: float, corner: Point = corner) -> Point:
            return corner[0] + wide / 2, corner[1] - high / 2

        air = _LESS_AIR * notes.unit
        found = _first(room, shapes, below, zones, air) or _first(room, shapes, below, (None,), air)
        if found is None and must:
            found = _first(room, shapes, below, zones, air, over_lines=True)
        if found is None:
            left_out.append(name)
            continue
        marks += found[0]
        corner = found[1].x0, found[1].y0
    return marks, tuple(left_out)


def _number(notes: Notes, room: Room) -> list[Text]:
    """The panel's number, large and faint, where it is largest and covers no word."""
    string, sheet, panel = str(notes.panel.number), notes.sheet, notes.panel
    shows = room.inside(sheet.outline(panel.visible))
    x0, y0, x1, y1 = bounds(sheet.outline(panel.visible))
    wide = text_width(string, 1.0, True)
    low, high = _LEAST_NUMBER * notes.unit, min(y1 - y0, (x1 - x0) / wide)
    best: tuple[float, Rect] | None = None
    for _ in range(9):
        tall = (low + high) / 2
        box = room.place(wide * tall, 0.97 * tall, ((x0 + x1) / 2, (y0 + y1) / 2), shows, over_lines=True)
        if box is None:
            high = tall
        else:
            low, best = tall, (tall, box)
    if best is None:
        return []
    tall, box = best
    tall *= 0.9
    at = (box.centre[0], box.centre[1] - (0.75 - 0.22) / 2 * tall)
    return [Text(string, at, tall, GUIDE_NUMBER, "middle", bold=True)]

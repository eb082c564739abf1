"""All that is written on one template, laid so that nothing meets: labels at their places, then notes where room is left.

Layout adapts by trying: every block of notes has several shapes, upright or turned, and takes the first for which the
safe area has room, else what shows, else the page; where no block goes in whole, its cards are placed one by one.
"""

from collections.abc import Callable, Sequence

from attrs import define, field, frozen

from ..drawing.fonts import text_width
from ..drawing.inks import GUIDE_NUMBER, GUIDE_WHITE
from ..drawing.marks import Path, Point, Text
from ..drawing.pieces import Rect, frame
from ..drawing.room import Cells, Room
from ..sizing.outline import bounds
from ..sizing.panel import Panel
from .cards import Arrangement, Card, Notes, arrangements
from .guides import under
from .labels import Labels, plates
from .naming import dimensions, draw_panel, is_narrow, name_areas, name_edges, name_seams, name_tabs, page_room
from .sheet import Sheet

_AIR = 0.6  # kept free around a block of notes, over the letters' size …
_LESS_AIR = 0.45  # … and around a card that stands alone
_LEAST_NUMBER = 4.0  # the faint number is left out where it would be smaller than so many letter sizes


@frozen
class Written:
    """Marks of the layers that hold writing. ``white`` = what lies under them; ``left_out`` = names of cards for which there was
    no room."""

    notes: tuple[Path | Text, ...]
    sizes: tuple[Path | Text, ...]
    number: tuple[Text, ...]
    white: tuple[Path, ...]
    left_out: tuple[str, ...]


@define
class Placed:
    """Cards that have found their places: their marks, a white plate under each, and names of those that have not."""

    marks: list[Path | Text] = field(factory=list)
    plates: list[Path] = field(factory=list)
    left_out: list[str] = field(factory=list)

    def add(self, marks: list[Path | Text], box: Rect) -> None:
        self.marks += marks
        self.plates.append(frame(box, fill=GUIDE_WHITE))


def write(notes: Notes) -> Written:
    """Everything written on a template."""
    sheet, panel = notes.sheet, notes.panel
    room = page_room(sheet)
    draw_panel(room, panel, sheet)
    labels = Labels(panel, sheet, room, notes.say)
    name_areas(labels)
    name_edges(labels, notes.structure)
    name_seams(labels)
    narrow, high = is_narrow(labels)
    if narrow and high:  # the lower edge is short: its names go before what can stand anywhere
        name_tabs(labels)
    placed = place_cards(notes, room)
    if not (narrow and high):
        name_tabs(labels)
    dimensions(labels)
    number = faint_number(panel, sheet, room)
    white = (
        *under((*labels.notes, *labels.sizes), sheet.line),
        *plates((*labels.notes, *labels.sizes)),
        *placed.plates,
    )
    return Written((*labels.notes, *placed.marks), tuple(labels.sizes), tuple(number), white, tuple(placed.left_out))


def place_cards(notes: Notes, room: Room) -> Placed:
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
        placed = Placed()
        placed.add(found[0], found[1].inset(air * 0.5))
        return placed
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
    cards: dict[int, Card] = {}
    for turn in (0.0, 90.0):
        for index, shape in enumerate(shapes):
            if index not in cards:  # made when it is its turn: most are not needed
                cards[index] = shape()
            card = cards[index]
            for zone in zones:
                wide, high = (card.width, card.height) if turn == 0 else (card.height, card.width)
                wide, high = wide + 2 * air, high + 2 * air
                box = room.place(wide, high, wanted(wide, high), zone, over_lines=over_lines)
                if box is not None:
                    room.write(box.inset(air * 0.5).corners)
                    return card.at(box.x0 + air, box.y0 + air, turn), box
    return None


def _one_by_one(notes: Notes, room: Room, start: Point, zones: Sequence[Cells]) -> Placed:
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
    placed = Placed()
    corner = start
    for name, must, shapes in wanted_cards:

        def below(wide: float, high: float, corner: Point = corner) -> Point:
            return corner[0] + wide / 2, corner[1] - high / 2

        air = _LESS_AIR * notes.unit
        found = _first(room, shapes, below, zones, air) or _first(room, shapes, below, (None,), air)
        if found is None and must:
            found = _first(room, shapes, below, zones, air, over_lines=True)
        if found is None:
            placed.left_out.append(name)
            continue
        placed.add(found[0], found[1].inset(air * 0.5))
        corner = found[1].x0, found[1].y0
    return placed


def faint_number(panel: Panel, sheet: Sheet, room: Room) -> list[Text]:
    """The panel's number, large and faint, where it is largest and covers no word."""
    string, unit = str(panel.number), sheet.letters
    shows = room.inside(sheet.outline(panel.visible))
    for keep in panel.keep_outs:
        shows &= ~room.inside(sheet.outline(keep.outline))
    x0, y0, x1, y1 = bounds(sheet.outline(panel.visible))
    wide = text_width(string, 1.0, True)
    low, high = _LEAST_NUMBER * unit, min(y1 - y0, (x1 - x0) / wide)
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
    room.write(box.corners)
    at = (box.centre[0], box.centre[1] - (0.75 - 0.22) / 2 * tall)
    return [Text(string, at, tall, GUIDE_NUMBER, "middle", bold=True)]

"""Labels that belong to a place: neighbours at their edges, names of seams, shadows, tabs, and dimension lines.

For each, candidates in the order in which they are liked: along its edge or turned, longer words or shorter, near or
further in; the first that touches no line and no other label is taken. One that fits nowhere near its place stands
where there is room, and a leader line leads to it.
"""

from collections.abc import Iterable, Iterator, Sequence
from math import atan2, cos, degrees, hypot, radians, sin

from ..drawing.fonts import CAP_HEIGHT, text_width
from ..drawing.inks import GUIDE_NOTES, GUIDE_WHITE
from ..drawing.marks import Path, Point, Stroke, Text
from ..drawing.pieces import Rect, arrow, circle, dimension_line, level_text, line, text_corners
from ..drawing.room import Cells, Room
from ..sizing.names import EDGES, edge_name
from ..sizing.outline import Outline, bounds
from ..sizing.panel import Met, Panel
from ..units import inch_text, mm_text
from ..words import Words
from .sheet import Sheet

_AIR = 0.2  # around a label, over its size
_APART = 1.9  # between dimension lines, over the size of letters
_LEADER = 1.2  # a leader line's least length, over the size of letters
_CLEAR = 0.4  # of a dimension line to anything written, over the size of letters
_NEAR = 0.5  # of a label to its fold line, at most
_SLIDES = (0.0, 3.0, -3.0, 6.0, -6.0, 10.0, -10.0, 15.0, -15.0, 22.0, -22.0)  # along an edge, in letter sizes


class Labels:
    """The labels of one page in the making, and the room that they leave."""

    def __init__(self, panel: Panel, sheet: Sheet, room: Room, say: Words) -> None:
        self.panel, self.sheet, self.room, self.say = panel, sheet, room, say
        self.unit = sheet.letters
        self.stroke = Stroke(GUIDE_NOTES, max(sheet.line, 0.06 * self.unit))
        self.notes: list[Path | Text] = []
        self.sizes: list[Path | Text] = []
        self._lines: tuple[list[float], list[float]] = (
            [],
            [],
        )  # where dimension lines lie, level ones and upright ones

    # neighbours

    def neighbour(self, index: int, met: Met, other: str, narrow: bool) -> None:
        """Which panel meets an edge, and with which edge of its own: an arrow outwards and words, fewer where it is
        ``narrow``. ``other`` = its edge's name; an open bay's is empty."""
        a, b = (self.sheet.at(self.panel.frame[i % len(self.panel.frame)]) for i in (index, index + 1))
        full = hypot(b[0] - a[0], b[1] - a[1])
        along = ((b[0] - a[0]) / full, (b[1] - a[1]) / full)
        out = (along[1], -along[0])
        share = self.sheet.mm((met.start + met.end) / 2)
        edge = self.panel.edges[index]
        foot = (a[0] + along[0] * share, a[1] + along[1] * share)
        deep = self.sheet.mm(edge.setback)
        fold = (foot[0] - out[0] * deep, foot[1] - out[1] * deep)
        stretch = self.sheet.mm(met.end - met.start)
        numbered = edge.name not in EDGES
        own = self.say("template.meets.own", own=edge_name(self.panel, index, self.say)) if numbered else ""
        values = {"own": own, "panel": met.panel, "edge": other, "reveal": mm_text(met.reveal)}
        keys = (f"{'joint' if met.joint else 'corner'}.full", "short", "least") if other else ("open",)
        texts = [self.say(f"template.meets.{key}", **values) for key in keys]
        if narrow and len(texts) == 3:
            texts = texts[1:]
        safe = self.sheet.mm(edge.safe)
        for text, quad, angle, stem in self._edge_candidates(texts, fold, along, out, stretch, safe, deep):
            if self.room.free(quad) and self.room.free(stem, over_lines=True):
                self._write_edge(text, quad, angle, stem)
                return
        self.callout(texts[-1], foot)

    def _edge_candidates(
        self, texts: Sequence[str], fold: Point, along: Point, out: Point, stretch: float, safe: float, deep: float
    ) -> Iterator[tuple[str, Outline, float, tuple[Point, Point]]]:
        """(words, the box with the arrow's foot in it, angle, arrow): along the edge first, then across it."""
        u = self.unit
        angle = level_text(degrees(atan2(along[1], along[0])))
        across = level_text(degrees(atan2(out[1], out[0])))
        tall = (1.0 + _AIR) * u
        depths = [max(0.15 * u, min(_NEAR * u, (safe - tall) / 2)), safe + 0.3 * u, safe + 2.2 * u, safe + 4.0 * u]
        brief = [*texts[1:], texts[0]]  # inside the safe area words are in the way of art: fewer
        for depth, text in [(depths[0], text) for text in texts] + [(d, text) for text in brief for d in depths[1:]]:
            wide = text_width(text, u) + (1.7 + 2 * _AIR) * u
            for slide in _SLIDES:
                shift = slide * u
                if wide <= stretch and abs(shift) + wide / 2 <= stretch / 2:
                    yield self._along(text, fold, along, out, angle, shift, depth, wide, tall, deep)
        for text in brief:
            wide = text_width(text, u) + 2 * _AIR * u
            for depth in (1.4 * u, safe + 1.4 * u):
                for slide in _SLIDES:
                    if abs(slide) * u + tall / 2 <= stretch / 2:
                        yield self._across(text, fold, along, out, across, slide * u, depth, wide, tall, deep)

    def _along(
        self,
        text: str,
        fold: Point,
        along: Point,
        out: Point,
        angle: float,
        slide: float,
        depth: float,
        wide: float,
        tall: float,
        deep: float,
    ) -> tuple[str, Outline, float, tuple[Point, Point]]:
        quad = _box(fold, along, out, slide - wide / 2, slide + wide / 2, -depth - tall, -depth)
        reads = (cos(radians(angle)), sin(radians(angle)))
        # the arrow stands before the words as they are read
        before = 1.0 if reads[0] * along[0] + reads[1] * along[1] < 0 else -1.0
        at = slide + before * (wide / 2 - 0.75 * self.unit)
        return (
            text,
            quad,
            angle,
            (_off(fold, along, out, at, -depth - tall + 0.2 * self.unit), _off(fold, along, out, at, deep)),
        )

    def _across(
        self,
        text: str,
        fold: Point,
        along: Point,
        out: Point,
        angle: float,
        slide: float,
        depth: float,
        wide: float,
        tall: float,
        deep: float,
    ) -> tuple[str, Outline, float, tuple[Point, Point]]:
        quad = _box(fold, along, out, slide - tall / 2, slide + tall / 2, -depth - wide, -depth)
        stem = (_off(fold, along, out, slide, -depth + 0.1 * self.unit), _off(fold, along, out, slide, deep))
        return text, quad, angle, stem

    def _write_edge(self, text: str, quad: Outline, angle: float, stem: tuple[Point, Point]) -> None:
        u = self.unit
        reads = (cos(radians(angle)), sin(radians(angle)))
        rises = (-reads[1], reads[0])
        far = max(p[0] * reads[0] + p[1] * reads[1] for p in quad)
        rise = [p[0] * rises[0] + p[1] * rises[1] for p in quad]
        wide = text_width(text, u)
        run = far - _AIR * u - wide
        foot = (min(rise) + max(rise)) / 2 - CAP_HEIGHT / 2 * u
        at = (reads[0] * run + rises[0] * foot, reads[1] * run + rises[1] * foot)
        self.notes += [*_arrow(*stem, self.stroke, 0.9 * u), Text(text, at, u, GUIDE_NOTES, angle=angle)]
        self.room.write(quad)
        self.room.write(stem)

    # names of places

    def callout(
        self,
        text: str,
        anchor: Point,
        within: Cells | None = None,
        *,
        dot: bool = False,
        turns: Sequence[float] = (0.0, 90.0),
        over_lines: bool = False,
    ) -> bool:
        """Words in a free place near a point, level or else turned, and a leader line to it; False if there is none."""
        u = self.unit
        along, across = text_width(text, u) + 2 * _AIR * u, (1.0 + 2 * _AIR) * u
        for turn, reach in ((turn, reach) for reach in (7.0, 60.0) for turn in turns):
            wide, tall = (along, across) if turn == 0 else (across, along)
            for box in self.room.around(wide, tall, anchor, _LEADER * u, within, over_lines=over_lines):
                foot = _foot(box, anchor)
                far = hypot(anchor[0] - foot[0], anchor[1] - foot[1]) / u
                if _LEADER < far < reach and self.room.free((foot, anchor), over_lines=True):
                    self._write(text, box, turn)
                    self._lead(foot, anchor, dot)
                    return True
        return False

    def callouts(self, named: Sequence[tuple[str, Point]]) -> None:
        """Several of them that belong together: all level, or all turned, or as it goes; in the end over lines."""
        for turns, over_lines in (((0.0,), False), ((90.0,), False), ((0.0, 90.0), False), ((0.0, 90.0), True)):
            notes, written = list(self.notes), self.room.written.copy()
            done = [self.callout(text, at, dot=True, turns=turns, over_lines=over_lines) for text, at in named]
            if all(done) or over_lines:
                return
            self.notes = notes
            self.room.forget(written)

    def inside(self, text: str, outline: Outline) -> bool:
        """Words on a white plate in the middle of an area, if they fit there."""
        u = self.unit
        x0, y0, x1, y1 = bounds(outline)
        wide, tall = text_width(text, u) + 2 * _AIR * u, (1.0 + 2 * _AIR) * u
        if wide > 0.9 * (x1 - x0) or tall > 0.9 * (y1 - y0):
            return False
        for share in (0.5, 0.25, 0.75, 0.12, 0.88):
            middle = x0 + (x1 - x0) * share
            box = Rect(middle - wide / 2, (y0 + y1 - tall) / 2, middle + wide / 2, (y0 + y1 + tall) / 2)
            within = self.room.inside(outline) & self.room.inside(box.corners)
            if (within == self.room.inside(box.corners)).all() and self.room.free(box.corners, over_lines=True):
                self.notes.append(Path((box.corners,), fill=GUIDE_WHITE))
                self._write(text, box)
                return True
        return False

    def _write(self, text: str, box: Rect, turn: float = 0.0) -> None:
        u = self.unit
        base = CAP_HEIGHT / 2 * u
        x, y = box.centre
        at = (box.x0 + _AIR * u, y - base) if turn == 0 else (x + base, box.y0 + _AIR * u)
        self.notes.append(Text(text, at, u, GUIDE_NOTES, angle=turn))
        self.room.write(box.corners)

    def _lead(self, foot: Point, anchor: Point, dot: bool) -> None:
        if dot:  # ISO 128-22: leader lines end in a dot inside an outline, in an arrow at a line
            self.notes += [
                line(foot, anchor, self.stroke),
                circle(anchor, 0.22 * self.unit, fill=GUIDE_NOTES, points=24),
            ]
        else:
            self.notes += _arrow(foot, anchor, self.stroke, 0.9 * self.unit)
        self.room.write((foot, anchor))

    # dimensions

    def dimension(
        self, key: str, low: float, high: float, axis: int, places: Sequence[float], origin: float | None = None
    ) -> bool:
        """A dimension line from ``low`` to ``high`` along an axis (0 = x) at the first of ``places`` (the other coordinate)
        where neither it nor its words meet anything written; the words no line either. ``origin`` = where extension lines
        start from, for a line out in a margin."""
        u = self.unit
        full = (high - low) * self.sheet.scale
        for form in ("both", "mm"):
            text = self.say(f"template.dim.{key}.{form}", mm=mm_text(full), inches=inch_text(full))
            wide = text_width(text, u) + 2 * _AIR * u
            if wide > (0.8 if origin is None else 1.0) * (high - low):
                continue
            for at in places:
                if any(abs(at - other) < _APART * u for other in self._lines[axis]):
                    continue
                ends = ((low, at), (high, at)) if axis == 0 else ((at, low), (at, high))
                if not self.room.free(_strip(ends, self.room.cell, _CLEAR * u), over_lines=True):
                    continue
                for share in (0.5, 0.4, 0.6, 0.3, 0.7, 0.22, 0.78):
                    if self._dimension(text, ends, axis, low + (high - low) * share, origin):
                        return True
        return False

    def _dimension(self, text: str, ends: tuple[Point, Point], axis: int, middle: float, origin: float | None) -> bool:
        u = self.unit
        lift = 0.35 * u
        at = ends[0][1 - axis]
        mark = (
            Text(text, (middle, at + lift), u, GUIDE_NOTES, "middle")
            if axis == 0
            else Text(text, (at - lift, middle), u, GUIDE_NOTES, "middle", 90.0)
        )
        box = Rect(*bounds(text_corners(mark))).inset(0.02 * u)
        if not self.room.free(box.corners, over_lines=origin is not None):
            return False
        offset = 0.0
        if origin is not None:
            offset = at - origin if axis == 0 else origin - at
            (ax, ay), (bx, by) = ends
            ends = ((ax, origin), (bx, origin)) if axis == 0 else ((origin, ay), (origin, by))
        self.sizes += [
            part
            for part in dimension_line(*ends, offset, "", ink=GUIDE_NOTES, width=self.stroke.width, size=0.9 * u)
            if isinstance(part, Path)
        ]
        self.sizes.append(mark)
        self._lines[axis].append(at)
        self.room.draw(ends)  # other dimension lines and leaders may cross it, words may not
        self.room.write(box.corners)
        return True


def _strip(ends: tuple[Point, Point], short: float, half: float) -> Outline:
    """A strip along a line, ``half`` wide to either side; a little short of its ends, which may lie on the page's edge."""
    (x0, y0), (x1, y1) = ends
    length = hypot(x1 - x0, y1 - y0)
    along = ((x1 - x0) / length, (y1 - y0) / length)
    return _box(ends[0], along, (along[1], -along[0]), short, length - short, -half, half)


def _arrow(foot: Point, tip: Point, stroke: Stroke, head: float) -> list[Path]:
    return [part for part in arrow(foot, tip, stroke, head) if isinstance(part, Path)]


def _off(origin: Point, along: Point, out: Point, run: float, rise: float) -> Point:
    return origin[0] + along[0] * run + out[0] * rise, origin[1] + along[1] * run + out[1] * rise


def _box(origin: Point, along: Point, out: Point, r0: float, r1: float, s0: float, s1: float) -> Outline:
    return tuple(_off(origin, along, out, r, s) for r, s in ((r0, s0), (r1, s0), (r1, s1), (r0, s1)))


def _foot(box: Rect, anchor: Point) -> Point:
    """The middle of the side of a box from which a leader to a point starts."""
    if box.x0 <= anchor[0] <= box.x1:
        return anchor[0], box.y0 if anchor[1] < box.y0 else box.y1
    if box.y0 <= anchor[1] <= box.y1:
        return box.x0 if anchor[0] < box.x0 else box.x1, anchor[1]
    return box.x0 if anchor[0] < box.x0 else box.x1, (box.y0 + box.y1) / 2


def plates(marks: Iterable[Path | Text]) -> list[Path]:
    """A white plate under each line of text."""
    return [Path((text_corners(mark),), fill=GUIDE_WHITE) for mark in marks if isinstance(mark, Text)]

"""Cards: the blocks of notes that a template may hold, each laid out from its own lower left corner, none placed yet.

Takes a panel and what is said of it; gives `Card`s in page mm, every line of text at the page's one size of lettering
(titles larger). A block of cards is a card.
"""

from collections.abc import Callable, Sequence
from math import ceil, cos, radians, sin

from attrs import frozen

from ..drawing.fonts import CAP_HEIGHT, text_width, wrap_text
from ..drawing.inks import GUIDE_FOLD, GUIDE_NOTES, GUIDE_WHITE, Guide, guide_stroke
from ..drawing.marks import Path, Stroke, Text
from ..drawing.pieces import Rect, arrow, moved
from ..sizing.names import where
from ..sizing.outline import size
from ..sizing.panel import Panel, SizedStructure
from ..sizing.ways import ways
from ..units import inch_text, mm_text, pixels
from ..words import Words
from .guides import hatched
from .key_plan import key_plan, seen_from
from .sheet import Sheet, page_up

PITCH = 1.5  # baseline to baseline, over the size
_ABOVE, _BELOW = 0.75, 0.25  # of a line's size, over and under its baseline


@frozen
class Card:
    """Marks from their own lower left corner, and their size."""

    width: float
    height: float
    marks: tuple[Path | Text, ...]

    def at(self, x: float, y: float, turn: float = 0.0) -> list[Path | Text]:
        """The marks with the lower left corner of the card, as it lies on the page, at x, y; ``turn`` 0 or 90."""
        return moved(self.marks, x, y) if turn == 0 else moved(self.marks, x + self.height, y, 90.0)


def lines(texts: Sequence[tuple[str, float, bool]], width: float) -> Card:
    """Lines of text one under another, (text, size, bold), wrapped to ``width``."""
    marks: list[Path | Text] = []
    y, wide = 0.0, 0.0
    for text, tall, bold in texts:
        for line in wrap_text(text, tall, width, bold):
            first = not marks
            y -= _ABOVE * tall if first else PITCH * tall
            marks.append(Text(line, (0.0, y), tall, GUIDE_NOTES, bold=bold))
            wide = max(wide, text_width(line, tall, bold))
    high = -y + _BELOW * (texts[-1][1] if texts else 0.0)
    return Card(wide, high, tuple(moved(marks, 0.0, high)))


def stack(cards: Sequence[Card], gap: float) -> Card:
    """One under another, left edges in line."""
    high = sum(card.height for card in cards) + gap * (len(cards) - 1)
    marks: list[Path | Text] = []
    top = high
    for card in cards:
        marks += card.at(0.0, top - card.height)
        top -= card.height + gap
    return Card(max(card.width for card in cards), high, tuple(marks))


def row(cards: Sequence[Card], gap: float) -> Card:
    """Side by side, tops in line."""
    high = max(card.height for card in cards)
    marks: list[Path | Text] = []
    left = 0.0
    for card in cards:
        marks += card.at(left, high - card.height)
        left += card.width + gap
    return Card(left - gap, high, tuple(marks))


@frozen
class Notes:
    """What stands on the cards of one template. ``because`` says why its scale is not the one asked for, or is empty;
    ``together`` = panels that share one picture with this one."""

    panel: Panel
    structure: SizedStructure
    sheet: Sheet
    say: Words
    ppi: int
    because: str = ""
    together: tuple[int, ...] = ()

    @property
    def unit(self) -> float:
        return self.sheet.letters

    def head(self, width: float) -> Card:
        """Number, structure and side, scale; ``width`` in letter sizes."""
        u, say = self.unit, self.say
        key = "template.scale.full" if self.sheet.scale == 1 else "template.scale"
        texts = [
            (say("template.panel", number=self.panel.number), 2.4 * u, True),
            (where(self.structure, self.panel, say), u, True),
            (say(key, scale=self.sheet.scale), u, False),
        ]
        more = [text for text in (self.way(), self.because) if text]
        return lines([*texts, *((text, u, False) for text in more)], width * u)

    def way(self) -> str:
        """Which of its two pages this is, of a panel that hangs on a tip."""
        if len(ways(self.panel)) == 1:
            return ""
        return self.say("template.way.sewn" if abs(self.sheet.place[1]) < 1e-12 else "template.way.reading")

    def line(self) -> Card:
        """The head on one line, for the narrowest panels."""
        u, say = self.unit, self.say
        key = "template.scale.full" if self.sheet.scale == 1 else "template.scale"
        text = f"{where(self.structure, self.panel, say)}. {say(key, scale=self.sheet.scale)}."
        text += "".join(f" {more}." for more in (self.way(), self.because) if more)
        title = lines([(say("template.panel", number=self.panel.number), 1.4 * u, True)], 1e6)
        return row([title, lines([(text, u, False)], 1e6)], u)

    def sizes_at_full_scale(self) -> list[tuple[str, tuple[float, float]]]:
        """(word, width and height at full size) of the page, the cut and what shows, as they lie on this page."""
        sheet, panel = self.sheet, self.panel
        square = abs(sheet.place[1]) < 1e-12
        full = [(name, size(sheet.outline(outline))) for name, outline in (("page", panel.art), ("cut", panel.cut))]
        found = [(name, (w * sheet.scale, h * sheet.scale)) for name, (w, h) in full]
        shows = "visible" if square else "visible-tip"
        return [*(found if square else found[:1]), (shows, size(panel.visible))]

    def table(self) -> Card:
        """Sizes in mm, in and pixels at full size, and this page's own where that is smaller."""
        u, say = self.unit, self.say
        rows = [["", say("template.sizes.mm"), say("template.sizes.in"), say("template.sizes.px", ppi=self.ppi)]]
        for name, (w, h) in self.sizes_at_full_scale():
            rows.append(
                [
                    say(f"template.size.{name}"),
                    f"{mm_text(w)} × {mm_text(h)}",
                    f"{inch_text(w)} × {inch_text(h)}",
                    f"{pixels(w, self.ppi)} × {pixels(h, self.ppi)}" if name != "visible-tip" else "",
                ]
            )
        if self.sheet.scale != 1:
            w, h = self.sheet.art.width, self.sheet.art.height
            rows.append(
                [say("template.size.here"), f"{mm_text(w)} × {mm_text(h)}", f"{inch_text(w)} × {inch_text(h)}", ""]
            )
        widths = [max(text_width(line[i], u, n == 0) for n, line in enumerate(rows)) for i in range(4)]
        lefts = [sum(widths[:i]) + 1.2 * u * i for i in range(4)]
        high = (_ABOVE + PITCH * (len(rows) - 1) + _BELOW) * u
        marks = [
            Text(text, (left, high - (_ABOVE + PITCH * n) * u), u, GUIDE_NOTES, bold=n == 0)
            for n, line in enumerate(rows)
            for left, text in zip(lefts, line, strict=True)
            if text
        ]
        return Card(lefts[-1] + widths[-1], high, tuple(marks))

    def sizes(self, width: float, joined: bool = False) -> Card:
        """The same as sentences, each on its own line or one after another."""
        u, say = self.unit, self.say
        texts = []
        for name, (w, h) in self.sizes_at_full_scale():
            mm, inches = f"{mm_text(w)} × {mm_text(h)}", f"{inch_text(w)} × {inch_text(h)}"
            px = f"{pixels(w, self.ppi)} × {pixels(h, self.ppi)}"
            texts.append(say(f"template.says.{name}", mm=mm, inches=inches, px=px, ppi=self.ppi))
        if self.sheet.scale != 1:
            w, h = self.sheet.art.width, self.sheet.art.height
            texts.append(say("template.says.here", mm=f"{mm_text(w)} × {mm_text(h)}"))
        if joined:
            texts = [" ".join(texts)]
        return lines([(text, u, False) for text in texts], width * u)

    def brief(self, width: float) -> Card:
        """The sizes of the page and of what shows, in one sentence."""
        (_, (w, h)), (_, (v, t)) = self.sizes_at_full_scale()[0], self.sizes_at_full_scale()[-1]
        text = self.say(
            "template.says.brief",
            mm=f"{mm_text(w)} × {mm_text(h)}",
            inches=f"{inch_text(w)} × {inch_text(h)}",
            px=f"{pixels(w, self.ppi)} × {pixels(h, self.ppi)}",
            ppi=self.ppi,
            shows=f"{mm_text(v)} × {mm_text(t)}",
        )
        return lines([(text, self.unit, False)], width * self.unit)

    def hints(self, width: float, joined: bool = False) -> Card:
        """What to do before the file is sent."""
        send = self.say("template.name", number=self.panel.number)
        if self.panel.blank:
            send = self.say("template.blank")
        elif self.together:
            send = self.say("template.together", numbers=", ".join(map(str, self.together)))
        texts = [send, self.say("template.hide")]
        texts = [" ".join(texts)] if joined else texts
        return lines([(text, self.unit, False) for text in texts], width * self.unit)

    def filled(self) -> list[int]:
        """The panels that the key plan fills."""
        return [self.panel.number]

    def guides(self) -> list[Guide]:
        panel = self.panel
        found: list[tuple[Guide, bool]] = [
            ("art edge", True),
            ("cut", True),
            ("fold", True),
            ("safe", panel.safe is not None),
            ("seam", bool(panel.seams)),
            ("neighbour", any(edge.met for edge in panel.edges)),
            ("shadow", bool(panel.shadows)),
            ("keep-out", bool(panel.keep_outs)),
        ]
        return [guide for guide, there in found if there]

    def legend(self, width: float, columns: int = 1) -> Card:
        """Each kind of line and what it means, ``width`` letter sizes a column."""
        u, panel = self.unit, self.panel
        values = {"clearance": mm_text(panel.seam_clearance), "allowance": mm_text(panel.fabric.seam_allowance)}
        parts: list[Card] = []
        for guide in self.guides():
            text = lines(
                [(self.say(f"template.line.{guide.replace(' ', '-')}", **values), u, False)], (width - 5.5) * u
            )
            sample = moved(_sample(guide, u, self.sheet.line), 0.0, text.height - (_ABOVE - 0.33) * u)
            parts.append(Card(5.5 * u + text.width, text.height, (*sample, *text.at(5.5 * u, 0.0))))
        each = ceil(len(parts) / columns)
        return row([stack(parts[i : i + each], 0.5 * u) for i in range(0, len(parts), each)], 2 * u)

    def bar(self) -> Card:
        """A bar of 100 mm at full size: a misread scale shows at once."""
        u = self.unit
        length = self.sheet.mm(100.0)
        stroke = Stroke(GUIDE_NOTES, max(self.sheet.line, 0.07 * u))
        inset = stroke.width / 2
        ends = [((x, 0.15 * u), (x, 0.85 * u)) for x in (inset, inset + length)]
        bar = Path((*ends, ((inset, 0.5 * u), (inset + length, 0.5 * u))), stroke, closed=False)
        text = self.say("template.bar", mm=100)
        left = length + 0.7 * u
        mark = Text(text, (left, (0.5 - CAP_HEIGHT / 2) * u), u, GUIDE_NOTES)
        return Card(left + text_width(text, u), u, (bar, mark))

    def plan(self, high: float) -> Card:
        """The key plan, ``high`` letter sizes, and from where it is seen where that is not the front."""
        u = self.unit
        drawn = key_plan(
            self.structure,
            self.filled(),
            Rect(0, 0, 12 * u, high * u),
            0.07 * u,
            GUIDE_NOTES,
            GUIDE_FOLD,
            GUIDE_WHITE,
        )
        xs = [x for mark in drawn for part in mark.subpaths for x, _ in part]
        ys = [y for mark in drawn for part in mark.subpaths for _, y in part]
        card = Card(max(xs) - min(xs), max(ys) - min(ys), tuple(moved(drawn, -min(xs), -min(ys))))
        said = seen_from(self.structure, self.filled())
        captions = [lines([(self.say(f"template.seen.{way}"), u, False)], 12 * u) for way in said]
        return stack([card, *captions], 0.6 * u)

    def up(self, half: float = 1.6) -> Card:
        """An arrow to upright, 2 × ``half`` letter sizes long, a level line across its foot."""
        u = self.unit
        turn = radians(page_up(self.panel, self.sheet))
        along, across = (cos(turn), sin(turn)), (-sin(turn), cos(turn))
        foot, tip = (-half * u * along[0], -half * u * along[1]), (half * u * along[0], half * u * along[1])
        level = tuple((foot[0] + s * half * u * across[0], foot[1] + s * half * u * across[1]) for s in (1, -1))
        marks = [
            *arrow(foot, tip, Stroke(GUIDE_NOTES, 0.16 * u), 1.1 * u),
            Path((level,), Stroke(GUIDE_NOTES, 0.1 * u), closed=False),
        ]
        points = [p for mark in marks if isinstance(mark, Path) for part in mark.subpaths for p in part]
        x0, y0, x1, y1 = (f(p[i] for p in points) for f, i in ((min, 0), (min, 1), (max, 0), (max, 1)))
        picture = Card(x1 - x0, y1 - y0, tuple(moved([m for m in marks if isinstance(m, Path)], -x0, -y0)))
        flat = abs(self.panel.sight.tilt) >= 89
        return _beside(picture, lines([(self.say("template.up-level" if flat else "template.up"), u, False)], 8 * u), u)


def _beside(picture: Card, text: Card, gap: float) -> Card:
    """A picture and its words to the right of it, middles in line."""
    high = max(picture.height, text.height)
    marks = [
        *picture.at(0.0, (high - picture.height) / 2),
        *text.at(picture.width + gap, (high - text.height) / 2),
    ]
    return Card(picture.width + gap + text.width, high, tuple(marks))


def _sample(guide: Guide, unit: float, width: float) -> list[Path]:
    """A line of the legend as it is drawn, its middle at the origin's height; areas as a hatched box."""
    if guide not in ("shadow", "keep-out", "frame"):
        return [Path((((0.0, 0.0), (4.6 * unit, 0.0)),), guide_stroke(guide, width), closed=False)]
    ring = Rect(0.0, -0.42 * unit, 4.6 * unit, 0.42 * unit).corners
    return hatched(ring, guide, width, 0.5 * unit)


Arrangement = Callable[[], Card]


def arrangements(notes: Notes) -> tuple[list[Arrangement], list[Arrangement]]:
    """Whole blocks of all cards: those for rooms that are taller than wide, liked best first, and those for wide ones."""
    u = notes.unit

    def figure() -> Card:
        return stack([notes.plan(6.5), notes.up()], 1.2 * u)

    def text(width: float, table: bool) -> Card:
        sizes = notes.table() if table else notes.sizes(width)
        return stack([notes.head(width), sizes, notes.hints(max(width, sizes.width / u))], 1.2 * u)

    def key(width: float) -> Card:
        return stack([notes.legend(width), notes.bar()], 1.2 * u)

    def block(width: float, table: bool) -> Arrangement:
        def made() -> Card:
            sizes = notes.table() if table else notes.sizes(width)
            wide = max(width, sizes.width / u)
            top = row([notes.head(wide - 15), figure()], 2 * u)
            return stack([top, sizes, notes.hints(wide), notes.legend(wide), notes.bar()], 1.4 * u)

        return made

    def column(width: float) -> Arrangement:
        return lambda: stack([text(width, False), figure(), key(width)], 1.4 * u)

    def columns(width: float, table: bool) -> Arrangement:
        return lambda: row([text(width, table), key(26), figure()], 3 * u)

    def band(width: float) -> Arrangement:
        return lambda: row(
            [
                notes.head(16),
                notes.sizes(width),
                notes.hints(18),
                notes.legend(26, 2),
                stack([notes.up(), notes.bar()], u),
                notes.plan(5.0),
            ],
            2.5 * u,
        )

    def strip(width: float) -> Arrangement:
        def made() -> Card:
            words = stack([notes.line(), notes.hints(200, True)], 0.3 * u)
            return row([words, notes.sizes(width, True), notes.up(), stack([notes.plan(2.0), notes.bar()], u)], 2 * u)

        return made

    tall = [block(30, True), block(30, False), block(26, False), column(26), column(21), column(17)]
    wide = [columns(30, True), columns(28, False), block(30, True), band(26), band(40), strip(34)]
    return [*tall, columns(30, True), columns(24, False), band(26), strip(34)], [*wide, *tall[1:]]

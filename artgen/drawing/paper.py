"""The one page maker: words, tables and pictures in, the sheets of a paper out.

A `Paper` flows blocks down an A4 or Letter sheet, opens new sheets as they fill, and gives each a title
block. Places are millimetres, origin at the sheet's lower left, y up; text sizes are the em in
millimetres.
"""

from collections.abc import Iterable, Sequence
from typing import Literal

from .fonts import text_width, wrap_text
from .inks import BLACK, DARK_GREY
from .marks import Drawing, Ink, Layer, Mark
from .pieces import Rect
from .table import Row, Table, lay_table
from .title_block import HEIGHT, WIDEST, TitleBlock, title_block_marks
from .typeset import Align, line_pitch, lines_height, set_lines

Sheet = Literal["a4", "letter"]

# Portrait, width × height: ISO 216 A4; ANSI/ASME Y14.1 A, which is 8 1/2 by 11 inches
_SHEETS: dict[Sheet, tuple[float, float]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
_LEFT, _RIGHT, _TOP, _BOTTOM = 20.0, 15.0, 17.0, 12.0  # the left one leaves room for filing holes (ISO 5457)
_OVER_BLOCK = 7.0  # between the flow and the title block

BODY, SMALL, CAPTION = 3.4, 2.9, 2.5
_HEADINGS = {1: (7.0, 0.0, 2.6), 2: (4.5, 6.0, 1.4), 3: (3.4, 3.6, 0.6)}  # size, room over and under
_KEPT = 15.0  # mm that must follow a heading on its sheet
_MEASURE = 44.0  # widest running line over its size, about 90 characters: longer ones lose the eye
_AFTER, _AFTER_TABLE = 2.4, 3.6  # after a paragraph or a list; after a table
_TURN = 1e-6  # mm; sums of heights may miss the page's foot by rounding alone


class Paper:
    """Sheets of one paper in the making. ``title_block`` serves all sheets; numbers are added at the end."""

    def __init__(self, title_block: TitleBlock, *, sheet: Sheet = "a4", landscape: bool = False) -> None:
        width, height = _SHEETS[sheet]
        self.width, self.height = (height, width) if landscape else (width, height)
        block = min(self.width - _LEFT - _RIGHT, WIDEST)
        right = self.width - _RIGHT
        self._block = title_block
        self._block_box = Rect(right - block, _BOTTOM, right, _BOTTOM + HEIGHT)
        self.body = Rect(_LEFT, _BOTTOM + HEIGHT + _OVER_BLOCK, right, self.height - _TOP)
        self._sheets: list[list[Mark]] = []
        self._names: list[str] = []
        self.new_page()

    def new_page(self) -> None:
        """Opens a new sheet; what follows stands there."""
        self._sheets.append([])
        self._names.append("")
        self._top = self.body.y1

    def room(self) -> Rect:
        """What is left of the current sheet's body."""
        return Rect(self.body.x0, self.body.y0, self.body.x1, self._top)

    def claim(self, height: float) -> Rect:
        """A box across the body, ``height`` mm high, on this sheet or a new one; the flow goes on below it.

        Raises `ValueError` when no sheet is high enough.
        """
        if height > self.body.height + _TURN:
            raise ValueError(f"a sheet has {self.body.height:.1f} mm of height to fill, not {height:.1f} mm")
        if height > self.room().height + _TURN:
            self.new_page()
        self._top -= height
        return Rect(self.body.x0, self._top, self.body.x1, self._top + height)

    def space(self, height: float) -> None:
        """Room before the next block; none at the head of a sheet."""
        if self._top < self.body.y1:
            self._top = max(self.body.y0, self._top - height)

    def place(self, marks: Iterable[Mark]) -> None:
        """Marks in sheet millimetres, put on the current sheet as they are."""
        self._sheets[-1].extend(marks)

    def heading(self, text: str, level: Literal[1, 2, 3] = 2) -> None:
        """A heading that stays with what follows it; the first of a sheet names it in the bookmarks."""
        size, over, under = _HEADINGS[level]
        lines = wrap_text(text, size, self.body.width, bold=True)
        height = lines_height(len(lines), size)
        self.space(over)
        if height + under + _KEPT > self.room().height:
            self.new_page()
        box = self.claim(height)
        self.place(set_lines(lines, box.x0, box.y1, box.width, size, bold=True))
        self._names[-1] = self._names[-1] or text
        self.space(under)

    def paragraph(
        self, text: str, *, size: float = BODY, bold: bool = False, ink: Ink = BLACK, align: Align = "left"
    ) -> None:
        """Wrapped text; it may run over sheets, never with a single line before or after the break."""
        width = min(self.body.width, _MEASURE * size)
        self._flow(wrap_text(text, size, width, bold), self.body.x0, width, size, bold, ink, align)
        self.space(_AFTER)

    def bullets(self, items: Iterable[str], *, size: float = BODY) -> None:
        """A list, a bullet before each item."""
        indent = 1.3 * size
        left, width = self.body.x0 + indent, min(self.body.width, _MEASURE * size) - indent
        for item in items:
            lines = wrap_text(item, size, width)
            self._flow(lines, left, width, size, False, BLACK, "left", bullet=True)
            self.space(0.6)
        self.space(_AFTER - 0.6)

    def key_values(self, pairs: Sequence[tuple[str, str]], *, columns: int = 1, size: float = BODY) -> None:
        """Names in grey with their values beside them, row by row in ``columns`` columns."""
        gap = 6.0
        column = (self.body.width - gap * (columns - 1)) / columns
        names = min(max((text_width(name, size) for name, _ in pairs), default=0.0) + 3.0, 0.45 * column)
        for start in range(0, len(pairs), columns):
            cells = [
                (wrap_text(name, size, names - 2.0), wrap_text(value, size, column - names))
                for name, value in pairs[start : start + columns]
            ]
            height = lines_height(max(max(len(name), len(value)) for name, value in cells), size)
            box = self.claim(height + 0.5)
            for index, (name, value) in enumerate(cells):
                left = box.x0 + index * (column + gap)
                self.place(set_lines(name, left, box.y1, names, size, ink=DARK_GREY))
                self.place(set_lines(value, left + names, box.y1, column - names, size))
        self.space(_AFTER)

    def table(
        self,
        headers: Sequence[str],
        rows: Sequence[Sequence[str]],
        widths: Sequence[float] | None = None,
        *,
        align: Sequence[Align] | None = None,
        size: float = SMALL,
    ) -> None:
        """A table across the body. ``widths`` are shares of it; None fits them to the cells.

        The header row stands again at the head of each sheet; a row is never cut, unless it is higher than a
        whole sheet. Raises `ValueError` for a row with too many or too few cells.
        """
        table = lay_table(headers, rows, self.body.width, size, widths, align)
        head = table.height(table.head)
        most = self.body.height - head
        parts: list[Row] = []
        for row in table.rows:
            parts += table.split(row, most) if table.height(row) > most else [row]
        if head + (table.height(parts[0]) if parts else 0.0) > self.room().height:
            self.new_page()
        self._row(table, table.head)
        for row in parts:
            if table.height(row) > self.room().height + _TURN:
                self.new_page()
                self._row(table, table.head)
            self._row(table, row)
        self.space(_AFTER_TABLE)

    def _row(self, table: Table, row: Row) -> None:
        box = self.claim(table.height(row))
        self.place(table.marks(row, box.x0, box.y1))

    def caption(self, text: str) -> None:
        """A line or more under a picture or a table."""
        self.paragraph(text, size=CAPTION, ink=DARK_GREY)

    def pages(self) -> list[Drawing]:
        """The sheets as drawings, numbered in their title blocks."""
        count = len(self._sheets)
        drawings = []
        for number, (marks, name) in enumerate(zip(self._sheets, self._names, strict=True), start=1):
            block = title_block_marks(self._block, number, count, self._block_box)
            layer = Layer("sheet", self._block.title, (*marks, *block))
            drawings.append(Drawing(self.width, self.height, (layer,), name or self._block.title))
        return drawings

    def _flow(
        self,
        lines: Sequence[str],
        left: float,
        width: float,
        size: float,
        bold: bool,
        ink: Ink,
        align: Align,
        bullet: bool = False,
    ) -> None:
        """Lines down the sheet and on to the next, two at least on either side of a break."""
        rest = list(lines)
        while rest:
            fit = int((self.room().height + _TURN) / line_pitch(size))
            if fit < len(rest):
                fit = min(fit, len(rest) - 2)
                if fit < 2 and self._top < self.body.y1:
                    self.new_page()
                    continue
            now = max(1, min(fit, len(rest)))
            box = self.claim(lines_height(now, size))
            if bullet:
                self.place(set_lines(["•"], self.body.x0, box.y1, left - self.body.x0, size, ink=ink))
                bullet = False
            self.place(set_lines(rest[:now], left, box.y1, width, size, align=align, bold=bold, ink=ink))
            rest = rest[now:]

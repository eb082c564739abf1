"""Tables: headers and rows of strings in, laid-out rows with their heights and marks out.

Widths are fitted to what the cells hold unless they are given; cells wrap; rules are thin and level, with
none upright. Millimetres, y up.
"""

from collections.abc import Sequence

from attrs import frozen

from .fonts import text_width, wrap_text
from .inks import BLACK, DARK_GREY, PALE_GREY
from .marks import Mark, Stroke
from .pieces import line
from .typeset import Align, lines_height, set_lines

_PAD_X, _PAD_Y = 1.5, 0.95  # mm beside and over the text of a cell
_STRETCH = 1.6  # a short table stays together: its columns grow no further than this
_SLACK = 0.01  # mm; a column fitted to a text must not wrap it by rounding
_HEAD_RULE = Stroke(BLACK, 0.25)
_ROW_RULE = Stroke(PALE_GREY, 0.13)


@frozen
class Row:
    """One row: the lines of each cell."""

    cells: tuple[tuple[str, ...], ...]
    head: bool = False

    @property
    def line_count(self) -> int:
        return max((len(lines) for lines in self.cells), default=1)


@frozen
class Table:
    """A laid-out table: columns ``widths`` mm wide, ``align`` for each, text of ``size`` mm."""

    widths: tuple[float, ...]
    align: tuple[Align, ...]
    size: float
    head: Row
    rows: tuple[Row, ...]

    def height(self, row: Row) -> float:
        return lines_height(row.line_count, self.size) + 2 * _PAD_Y

    def marks(self, row: Row, left: float, top: float) -> tuple[Mark, ...]:
        """The row drawn with its upper left corner at (left, top), a rule under it."""
        marks: list[Mark] = []
        ink = DARK_GREY if row.head else BLACK
        for lines, (shift, room), align in zip(row.cells, _rooms(self.widths), self.align, strict=True):
            marks += set_lines(lines, left + shift, top - _PAD_Y, room, self.size, align=align, bold=row.head, ink=ink)
        low, right = top - self.height(row), left + sum(self.widths)
        marks.append(line((left, low), (right, low), _HEAD_RULE if row.head else _ROW_RULE))
        return tuple(marks)

    def split(self, row: Row, height: float) -> tuple[Row, ...]:
        """A row that no page can hold, cut between its lines into rows at most ``height`` mm high."""
        most = max(1, int((height - 2 * _PAD_Y) / lines_height(1, self.size)))
        return tuple(
            Row(tuple(lines[start : start + most] for lines in row.cells)) for start in range(0, row.line_count, most)
        )


def lay_table(
    headers: Sequence[str],
    rows: Sequence[Sequence[str]],
    width: float,
    size: float,
    shares: Sequence[float] | None,
    align: Sequence[Align] | None,
) -> Table:
    """The table laid ``width`` mm wide. Raises `ValueError` where a row has not one cell for each header."""
    count = len(headers)
    for number, row in enumerate(rows, start=1):
        if len(row) != count:
            raise ValueError(f"row {number} of a table with {count} columns has {len(row)} cells: {list(row)}")
    for name, given in (("widths", shares), ("alignments", align)):
        if given is not None and len(given) != count:
            raise ValueError(f"a table with {count} columns needs {count} {name}, got {len(given)}")
    widths = (
        _fitted(headers, rows, width, size)
        if shares is None
        else tuple(share * width / sum(shares) for share in shares)
    )
    rooms = [room for _, room in _rooms(widths)]

    def lay(cells: Sequence[str], head: bool) -> Row:
        wrapped = (tuple(wrap_text(cell, size, room, head)) for cell, room in zip(cells, rooms, strict=True))
        return Row(tuple(wrapped), head)

    left: Align = "left"
    sides = tuple(align or [left] * count)
    return Table(widths, sides, size, lay(headers, True), tuple(lay(row, False) for row in rows))


def _rooms(widths: Sequence[float]) -> list[tuple[float, float]]:
    """Where each column's text begins from the table's left, and its width: the outer columns stand flush with
    the text around the table."""
    rooms = []
    begin = 0.0
    for index, width in enumerate(widths):
        left = 0.0 if index == 0 else _PAD_X
        right = 0.0 if index == len(widths) - 1 else _PAD_X
        rooms.append((begin + left, width - left - right))
        begin += width
    return rooms


def _fitted(headers: Sequence[str], rows: Sequence[Sequence[str]], width: float, size: float) -> tuple[float, ...]:
    """A column that likes less than an equal share of what is left gets what it likes; the others share
    the rest, never less than their longest word needs. Where even the words don't fit, all shrink alike
    and words break.
    """
    least, liked = [], []
    for index, header in enumerate(headers):
        cells = [(header, True), *((row[index], False) for row in rows)]
        words = [(word, bold) for cell, bold in cells for word in cell.split()]
        parts = [(part, bold) for cell, bold in cells for part in cell.split("\n")]
        room = 2 * _PAD_X + _SLACK
        least.append(max((text_width(word, size, bold) for word, bold in words), default=0.0) + room)
        liked.append(max(text_width(part, size, bold) for part, bold in parts) + room)
    if sum(liked) <= width or sum(least) >= width:
        wanted = liked if sum(liked) <= width else least
        stretch = min(width / sum(wanted), _STRETCH)
        return tuple(each * stretch for each in wanted)
    widths = [0.0] * len(headers)
    left, later = width, sum(least)
    for count, index in enumerate(sorted(range(len(headers)), key=lambda index: (liked[index], index))):
        later -= least[index]
        share = left / (len(headers) - count)
        widths[index] = max(least[index], min(liked[index], share, left - later))
        left -= widths[index]
    return tuple(widths)

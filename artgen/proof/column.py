"""A narrow column of text beside a picture: strings in, marks placed on a paper's current sheet."""

from artgen.drawing.fonts import wrap_text
from artgen.drawing.inks import BLACK
from artgen.drawing.marks import Ink, Mark
from artgen.drawing.paper import Paper
from artgen.drawing.pieces import Rect
from artgen.drawing.typeset import lines_height, set_lines


class Column:
    """Text from the top of ``box`` down. ``top`` = where the next block begins, page mm."""

    def __init__(self, paper: Paper, box: Rect) -> None:
        self._paper, self.box, self.top = paper, box, box.y1

    @property
    def left_over(self) -> float:
        """mm of height that are still free."""
        return self.top - self.box.y0

    def height(self, string: str, size: float, bold: bool = False, indent: float = 0.0) -> float:
        return lines_height(len(wrap_text(string, size, self.box.width - indent, bold)), size)

    def text(
        self, string: str, size: float, *, bold: bool = False, ink: Ink = BLACK, indent: float = 0.0, after: float = 0.0
    ) -> None:
        """A wrapped paragraph; the caller has made sure that it fits."""
        lines = wrap_text(string, size, self.box.width - indent, bold)
        self._paper.place(
            set_lines(lines, self.box.x0 + indent, self.top, self.box.width - indent, size, bold=bold, ink=ink)
        )
        self.top -= lines_height(len(lines), size) + after

    def place(self, marks: list[Mark], height: float) -> None:
        """Marks already in page mm, that take ``height`` mm of the column."""
        self._paper.place(marks)
        self.top -= height

"""The test piece: a page to print on cloth, with crosses a known distance apart, and what to do with it.

Nine crosses give three readings in each direction, as ISO 3759 marks a specimen; its least distances (350 mm between
marks, 50 mm to the edge) are kept.
"""

from ..drawing.inks import BLACK
from ..drawing.marks import Drawing, Layer, Mark, Path, Stroke, Text
from ..drawing.pieces import Rect, arrow, circle, dimension_line, frame
from ..drawing.typeset import set_paragraph
from ..words import Words

SIDE = 1000.0  # mm between the outer crosses: half a millimetre of reading is 0.05 % of it
_MARGIN = 60.0
_ARM = 15.0
_LINE = Stroke(BLACK, 0.35)


def test_piece(say: Words) -> Drawing:
    """The page, at full size; its y lies along the roll."""
    low, high = _MARGIN, _MARGIN + SIDE
    middle = (low + high) / 2
    page = SIDE + 2 * _MARGIN
    marks: list[Mark] = [frame(Rect(5.0, 5.0, page - 5.0, page - 5.0), Stroke(BLACK, 0.7))]
    for x in (low, middle, high):
        for y in (low, middle, high):
            marks += _cross(x, y)
    inset = 60.0  # the readings' lines stand off the crosses, so that the tape can lie on them
    text = say("test.side", mm=f"{SIDE:g}")
    marks += dimension_line((low, low), (high, low), inset, text, size=9.0, width=0.5)
    marks += dimension_line((low, low), (low, high), -inset, text, size=9.0, width=0.5)
    marks += _ways(say, low + inset, low + inset)
    marks += _words(say, Rect(low + 170, low + 190, high - 60, middle - 40))
    marks += _blanks(say, Rect(low + 170, middle + 60, high - 60, high - 120))
    title = say("test.title")
    marks.append(Text(title, (low + 170, high - 90), 26.0, BLACK, bold=True))
    return Drawing(page, page, (Layer("test-piece", title, tuple(marks)),), title)


def _cross(x: float, y: float) -> list[Mark]:
    arms = (((x - _ARM, y), (x + _ARM, y)), ((x, y - _ARM), (x, y + _ARM)))
    return [Path(arms, _LINE, closed=False), circle((x, y), _ARM / 2, _LINE)]


def _ways(say: Words, x: float, y: float) -> list[Mark]:
    """Two arrows that say which way of the page lies which way of the roll."""
    stroke = Stroke(BLACK, 1.0)
    x, y = x + 40.0, y + 40.0
    return [
        *arrow((x, y), (x + 260, y), stroke, 14.0),
        *arrow((x, y), (x, y + 260), stroke, 14.0),
        Text(say("test.across"), (x + 20, y + 8), 16.0, BLACK, bold=True),
        Text(say("test.along"), (x - 8, y + 20), 16.0, BLACK, angle=90.0, bold=True),
    ]


def _words(say: Words, box: Rect) -> list[Mark]:
    marks: list[Mark] = []
    top = box.y1
    for step in range(1, 5):
        marks.append(Text(f"{step}", (box.x0, top - 13.5), 13.0, BLACK, bold=True))
        lines, height = set_paragraph(say(f"test.{step}"), box.x0 + 20, top, box.width - 20, 13.0)
        marks += lines
        top -= height + 6.0
    return marks


def _blanks(say: Words, box: Rect) -> list[Mark]:
    """Lines to write on before the piece is heated."""
    marks: list[Mark] = []
    for row, key in enumerate(("test.lot", "test.printer")):
        y = box.y1 - 60.0 - 70.0 * row
        marks.append(Text(say(key), (box.x0, y), 16.0, BLACK))
        marks.append(Path((((box.x0 + 130, y - 3), (box.x1, y - 3)),), _LINE, closed=False))
    return marks

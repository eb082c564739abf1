"""The measuring sheet: what to measure on a frame with a strip seated, drawn, and a table to write readings into."""

from collections.abc import Sequence

from ..drawing.fonts import wrap_text
from ..drawing.inks import BLACK, DARK_GREY, GREY, PALE_GREY, WHITE
from ..drawing.marks import Drawing, Mark, Path, Point, Stroke, Text
from ..drawing.paper import CAPTION, SMALL, Paper
from ..drawing.pieces import Rect, dimension_line, frame, hatch, line
from ..drawing.title_block import TitleBlock
from ..drawing.typeset import set_lines
from ..words import Words

_THIN, _THICK, _CLOTH = Stroke(BLACK, 0.18), Stroke(BLACK, 0.5), Stroke(BLACK, 0.8)
_DASHED = Stroke(BLACK, 0.25, (3.0, 1.2))
_BOXES, _WIDE = 3, 18.0  # to write into, in each row
_SIZE = 3.4  # of the letters on dimension lines
# letter on the drawing (or none), word key, key of the profile
_ROWS = (
    ("s", "s", "frame: setback"),
    ("t", "t", "frame: seat_depth"),
    ("w", "w", "strip: width"),
    ("d", "d", "strip: thickness"),
    ("h", "h", "strip: turn_in"),
    ("g", "g", "strip: gap"),
    ("a", "depth", "frame: depth"),
    ("", "r", "frame: reveal"),
    ("", "brace", "frame: brace_width, brace_above"),
    ("", "lamp", "frame: lamp_bar_width"),
    ("", "joint", "frame: upright_length, joint_width"),
)


def measuring_sheet(say: Words) -> list[Drawing]:
    """One A4 sheet."""
    block = TitleBlock("", say("measure.title"), say("measure.frame"), say("measure.type"))
    paper = Paper(block)
    paper.heading(say("measure.title"), 1)
    paper.paragraph(say("measure.how"))
    box = paper.claim(82.0)
    left, right = box.columns(2, 6.0)
    paper.place(_section(say, left))
    paper.place(_corner(say, right))
    paper.space(3.0)
    _head(paper, say)
    for row in _ROWS:
        _row(paper, *row, say=say)
    paper.space(4.0)
    _signature(paper, [say(f"measure.{key}") for key in ("tally", "by", "day")])
    return paper.pages()


def _section(say: Words, box: Rect) -> list[Mark]:
    """The channel cut across: the front of the frame is at the top, its outer edge on the left."""
    x0, y0 = box.x0 + 19.0, box.y0 + 16.0

    def at(x: float, y: float) -> Point:
        return (x0 + x, y0 + y)

    metal = tuple(at(*p) for p in ((0, 0), (40, 0), (40, 40), (18, 40), (18, 8), (8, 8), (8, 40), (0, 40)))
    strip = Rect(*at(12.4, 12.0), *at(16.2, 33.0))
    cloth = tuple(at(*p) for p in ((58, 40.8), (17.2, 40.8), (17.2, 11.0), (11.4, 11.0), (11.4, 18.0)))
    marks: list[Mark] = [
        hatch([metal], 2.2, 45.0, Stroke(GREY, 0.13)),
        Path((metal,), _THICK),
        frame(strip, _THIN, PALE_GREY),
        Path((cloth,), _CLOTH, closed=False),
        line(at(18, 43), at(18, 58), _DASHED),
        Text(say("measure.section.fold"), at(19, 56), CAPTION, DARK_GREY),
        Text(say("measure.section.cloth"), at(58, 43), CAPTION, DARK_GREY, "end"),
        Text(say("measure.section.strip"), at(12.4, 35.4), CAPTION, BLACK, "middle"),
        Text(say("measure.section.metal"), at(29, 3.0), CAPTION, BLACK, "middle", halo=0.8, halo_ink=WHITE),
        *dimension_line(at(0, 40), at(18, 40), 8.0, "s", size=_SIZE),
        *dimension_line(at(18, 40), at(18, 11), 28.0, "t", size=_SIZE),
        *dimension_line(at(40, 40), at(40, 0), 15.0, "a", size=_SIZE),
        *dimension_line(at(12.4, 12.0), at(12.4, 33.0), 18.0, "w", size=_SIZE),
        *dimension_line(at(12.4, 12.0), at(16.2, 12.0), -17.0, "d", size=_SIZE),
        *dimension_line(at(11.4, 11.0), at(11.4, 18.0), 24.0, "h", size=_SIZE),
    ]
    return [*marks, *_title(say("measure.section"), box)]


def _corner(say: Words, box: Rect) -> list[Mark]:
    """A panel's corner from behind: cloth, two strips, and the gap between them and the other edge's fold line."""
    x0, y0 = box.x0 + 16.0, box.y0 + 20.0

    def at(x: float, y: float) -> Point:
        return (x0 + x, y0 + y)

    # the far ends are broken off
    cloth = [at(*p) for p in ((0, 52), (0, 0), (60, 0))]
    broken = [at(*p) for p in ((60, 0), (58, 14), (61, 28), (57, 41), (59, 52), (40, 50), (22, 54), (0, 52))]
    marks: list[Mark] = [
        Path((tuple(cloth),), _THICK, closed=False),
        Path((tuple(broken),), _THIN, closed=False),
        frame(Rect(*at(20, 4), *at(58.5, 12)), _THIN, PALE_GREY),
        frame(Rect(*at(4, 20), *at(12, 52)), _THIN, PALE_GREY),
        line(at(13, -3), at(13, 56), _DASHED),
        line(at(-3, 13), at(63, 13), _DASHED),
        Text(say("measure.section.fold"), at(54, 14.2), CAPTION, DARK_GREY, "end"),
        Text(say("measure.section.strip"), at(40, 7.0), CAPTION, BLACK, "middle"),
        Text(say("measure.corner.cloth"), at(36, 32), CAPTION, DARK_GREY, "middle"),
        *dimension_line(at(13, 4), at(20, 4), -11.0, "g", size=_SIZE),
        *dimension_line(at(4, 13), at(4, 20), 11.0, "g", size=_SIZE),
    ]
    return [*marks, *_title(say("measure.corner"), box)]


def _title(text: str, box: Rect) -> Sequence[Mark]:
    lines = wrap_text(text, SMALL, box.width)
    return set_lines(lines, box.x0, box.y0 + 4.0 * len(lines), box.width, SMALL, bold=True)


def _head(paper: Paper, say: Words) -> None:
    box = paper.claim(5.0)
    room = box.width - _BOXES * _WIDE
    marks = [
        Text(say("measure.what"), (box.x0 + 8.0, box.y0 + 1.3), CAPTION, DARK_GREY),
        Text(say("measure.key"), (box.x0 + room - 52.0, box.y0 + 1.3), CAPTION, DARK_GREY),
    ]
    for n in range(_BOXES):
        left = box.x0 + room + n * _WIDE
        marks.append(Text(say("measure.reading", n=n + 1), (left + 1.0, box.y0 + 1.3), CAPTION, DARK_GREY))
    paper.place(marks)


def _row(paper: Paper, letter: str, word: str, key: str, *, say: Words) -> None:
    """A letter, what it is, where it goes, and three boxes to write into."""
    box = paper.claim(8.6)
    room = box.width - _BOXES * _WIDE
    marks: list[Mark] = [line((box.x0, box.y0), (box.x0 + room, box.y0), Stroke(PALE_GREY, 0.13))]
    if letter:
        marks.append(Text(letter, (box.x0 + 1.0, box.y0 + 3.0), 4.2, BLACK, bold=True))
    lines = wrap_text(say(f"measure.{word}"), SMALL, room - 62.0)
    middle = box.y0 + box.height / 2
    marks += set_lines(lines, box.x0 + 8.0, middle + 2.0 * len(lines), room - 62.0, SMALL)
    lines = wrap_text(key, SMALL, 50.0)
    marks += set_lines(lines, box.x0 + room - 52.0, middle + 2.0 * len(lines), 50.0, SMALL, ink=DARK_GREY)
    for n in range(_BOXES):
        left = box.x0 + room + n * _WIDE
        marks.append(frame(Rect(left, box.y0, left + _WIDE, box.y1), Stroke(BLACK, 0.25)))
    paper.place(marks)


def _signature(paper: Paper, names: Sequence[str]) -> None:
    box = paper.claim(12.0)
    for name, part in zip(names, box.columns(len(names), 6.0), strict=True):
        paper.place(
            [
                line((part.x0, part.y0 + 4.5), (part.x1, part.y0 + 4.5), _THIN),
                Text(name, (part.x0, part.y0 + 1.0), CAPTION, DARK_GREY),
            ]
        )

"""The title block of every sheet: the data fields of ISO 7200 in, marks in a layout of ours out."""

from attrs import field, frozen

from .fonts import CAP_HEIGHT, fit_text, text_width, wrap_text
from .inks import BLACK, DARK_GREY, GREY
from .marks import Mark, Stroke, Text
from .pieces import Rect, frame, line

HEIGHT = 22.5  # mm, three rows
WIDEST = 180.0  # mm; ISO 7200 lets a title block be that wide at most

_OUTLINE = Stroke(BLACK, 0.35)
_RULE = Stroke(GREY, 0.13)
_LABEL, _VALUE, _TITLE, _SUPPLEMENT = 1.9, 2.9, 4.4, 2.9
_SMALLEST_TITLE = 3.0
_PAD = 1.5


@frozen
class TitleBlockWords:
    """The names of the fields in the paper's language; ``of`` holds {n} and {m}, sheet n of m."""

    owner: str = "Legal owner"
    creator: str = "Created by"
    approver: str = "Approved by"
    title: str = "Title"
    document_type: str = "Document type"
    identification: str = "Identification number"
    revision: str = "Revision"
    date_of_issue: str = "Date of issue"
    sheet: str = "Sheet"
    of: str = "{n} of {m}"


@frozen
class TitleBlock:
    """The data fields of ISO 7200 that papers carry; an empty one is left blank, to be filled in by hand."""

    owner: str
    title: str
    supplementary_title: str = ""
    document_type: str = ""
    identification: str = ""
    revision: str = ""
    date_of_issue: str = ""
    creator: str = ""
    approver: str = ""
    words: TitleBlockWords = field(factory=TitleBlockWords)


def title_block_marks(block: TitleBlock, sheet: int, sheets: int, box: Rect) -> tuple[Mark, ...]:
    """The block drawn to fill ``box``; what is too long for its field ends with an ellipsis."""
    words = block.words
    row = box.height / 3
    x0, x1, x2, x3 = box.x0, box.x0 + 0.27 * box.width, box.x0 + 0.68 * box.width, box.x1
    x_half = (x2 + x3) / 2
    y1, y2 = box.y0 + row, box.y0 + 2 * row
    marks: list[Mark] = [
        line((x0, y1), (x3, y1), _RULE),
        line((x0, y2), (x1, y2), _RULE),
        line((x2, y2), (x3, y2), _RULE),
        line((x1, box.y0), (x1, box.y1), _RULE),
        line((x2, box.y0), (x2, box.y1), _RULE),
        line((x_half, y1), (x_half, y2), _RULE),
    ]
    fields = (
        (words.owner, block.owner, Rect(x0, y2, x1, box.y1)),
        (words.creator, block.creator, Rect(x0, y1, x1, y2)),
        (words.approver, block.approver, Rect(x0, box.y0, x1, y1)),
        (words.document_type, block.document_type, Rect(x1, box.y0, x2, y1)),
        (words.identification, block.identification, Rect(x2, y2, x3, box.y1)),
        (words.revision, block.revision, Rect(x2, y1, x_half, y2)),
        (words.date_of_issue, block.date_of_issue, Rect(x_half, y1, x3, y2)),
        (words.sheet, words.of.format(n=sheet, m=sheets), Rect(x2, box.y0, x3, y1)),
    )
    for name, value, cell in fields:
        marks += _field(name, value, cell)
    marks += _title(block, Rect(x1, y1, x2, box.y1))
    marks.append(frame(box, _OUTLINE))
    return tuple(marks)


def _field(name: str, value: str, cell: Rect) -> list[Mark]:
    width = cell.width - 2 * _PAD
    marks = [_label(name, cell)]
    if value:
        string = fit_text(value, _VALUE, width)
        marks.append(Text(string, (cell.x0 + _PAD, cell.y0 + 1.6), _VALUE, BLACK))
    return list(marks)


def _title(block: TitleBlock, cell: Rect) -> list[Mark]:
    """Title and supplementary title; a long title first shrinks, then takes two lines, then is cut."""
    width = cell.width - 2 * _PAD
    size = _TITLE
    while size > _SMALLEST_TITLE and text_width(block.title, size, bold=True) > width:
        size -= 0.1
    lines = wrap_text(block.title, size, width, bold=True)
    if len(lines) > 2:
        lines = [lines[0], fit_text(" ".join(lines[1:]), size, width, bold=True)]
    marks: list[Mark] = [_label(block.words.title, cell)]
    low = cell.y0 + 1.9 + (_SUPPLEMENT * 1.35 if block.supplementary_title else 0)
    pitch = size * 1.15
    # one or two lines, centred between the label and what stands below
    middle = (low + cell.y1 - _PAD - _LABEL) / 2
    top = middle + (len(lines) - 1) * pitch / 2 - CAP_HEIGHT * size / 2
    marks += [
        Text(string, (cell.x0 + _PAD, top - index * pitch), size, BLACK, bold=True)
        for index, string in enumerate(lines)
    ]
    if block.supplementary_title:
        string = fit_text(block.supplementary_title, _SUPPLEMENT, width)
        marks.append(Text(string, (cell.x0 + _PAD, cell.y0 + 1.9), _SUPPLEMENT, DARK_GREY))
    return marks


def _label(name: str, cell: Rect) -> Text:
    string = fit_text(name, _LABEL, cell.width - 2 * _PAD)
    return Text(string, (cell.x0 + _PAD, cell.y1 - 1.1 - CAP_HEIGHT * _LABEL), _LABEL, GREY)

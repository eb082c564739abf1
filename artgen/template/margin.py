"""A margin round a template: room for dimension lines outside the art, and a strip with the title block's fields."""

from collections.abc import Sequence

from attrs import evolve, frozen

from ..drawing.inks import GUIDE_NOTES, base_line_width
from ..drawing.marks import Path, Text
from ..drawing.pieces import moved
from ..drawing.title_block import TitleBlockWords
from ..drawing.title_strip import Field, title_strip
from ..words import Words
from .sheet import Sheet, lettering

_NEAR, _FAR = 2.0, 6.6  # margins without and with two dimension lines, over the size of letters
_TURNED = 2.2  # a page so much higher than wide has its strip along the right side


@frozen
class Head:
    """What a title block says of an order. All may be empty but the name."""

    name: str
    number: str = ""
    client: str = ""
    date: str = ""


def fields(head: Head, title: str, supplement: str, scale: int, sheet: str, say: Words) -> list[Field]:
    """The fields of ISO 7200 that a template has, its title first. ``sheet`` = "3 of 15", or empty."""
    return [
        Field(say("block.title"), title, title=True),
        Field(say("block.supplement"), supplement),
        Field(say("block.document-type"), say("block.template")),
        Field(say("block.order"), head.name),
        Field(say("block.identification"), head.number),
        Field(say("block.client"), head.client),
        Field(say("block.date"), head.date),
        Field(say("block.scale"), f"1:{scale}"),
        Field(say("block.sheet"), sheet),
    ]


def block_words(say: Words) -> TitleBlockWords:
    """The names of a paper's title block."""
    return TitleBlockWords(
        owner=say("block.owner"),
        creator=say("block.creator"),
        approver=say("block.approver"),
        title=say("block.title"),
        document_type=say("block.document-type"),
        identification=say("block.identification"),
        revision=say("block.revision"),
        date_of_issue=say("block.date"),
        sheet=say("block.sheet"),
        of=say("block.of", n="{n}", m="{m}"),
    )


def with_margin(sheet: Sheet, shown: Sequence[Field]) -> Sheet:
    """The sheet with margins that hold dimension lines left and below, and the strip below them or on the right."""
    turned = sheet.height > _TURNED * sheet.width
    w, h = sheet.width, sheet.height
    u = lettering(w, h)
    margins = (0.0, 0.0, 0.0, 0.0)
    for _ in range(40):  # letters grow with the page, and the margins with the letters: it settles
        around = w + (_NEAR + _FAR) * u, h + (_NEAR + _FAR) * u
        _, strip = title_strip(shown, around[1 if turned else 0] - 2 * u, u, GUIDE_NOTES, u / 20)
        right, bottom = (strip + u, 0.0) if turned else (0.0, strip + u)
        margins = (_FAR * u, _FAR * u + bottom, _NEAR * u + right, _NEAR * u)
        u = lettering(w + margins[0] + margins[2], h + margins[1] + margins[3])
    a, b, c, d, e, f = sheet.place
    wide, high = w + margins[0] + margins[2], h + margins[1] + margins[3]
    return evolve(
        sheet,
        width=wide,
        height=high,
        place=(a, b, c, d, e + margins[0], f + margins[1]),
        line=base_line_width(max(wide, high)),
        margins=margins,
    )


def strip_marks(sheet: Sheet, shown: Sequence[Field]) -> list[Path | Text]:
    """The strip in the sheet's margin."""
    u = sheet.letters
    turned = sheet.art.height > _TURNED * sheet.art.width
    long = (sheet.height if turned else sheet.width) - 2 * u
    marks, _ = title_strip(shown, long, u, GUIDE_NOTES, sheet.line)
    return moved(marks, sheet.width - 0.7 * u, u, 90.0) if turned else moved(marks, u, 0.7 * u)

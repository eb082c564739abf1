"""A title block as a strip: the data fields of ISO 7200 side by side, names over values, for pages of any shape.

Lengths are page mm; all text has one size, so that a strip stays readable on a page that is printed much smaller.
"""

from collections.abc import Sequence

from attrs import frozen

from .fonts import fit_text, text_width
from .marks import Ink, Path, Stroke, Text
from .pieces import Rect, frame, line

_PAD, _ROW = 0.7, 2.9  # beside the text of a cell, and a row's height, over the text's size
_NAME, _VALUE = 1.0, 2.35  # baselines under a row's top


@frozen
class Field:
    """A data field: its name in the paper's language, and what it holds. The title is set bold."""

    name: str
    value: str
    title: bool = False


def title_strip(
    fields: Sequence[Field], width: float, size: float, ink: Ink, stroke: float
) -> tuple[list[Path | Text], float]:
    """The strip drawn from its lower left corner at the origin, ``width`` mm wide, and its height. Fields without a value are
    left out; a value wider than the strip ends with an ellipsis."""
    rows: list[list[tuple[Field, float]]] = [[]]
    for one in fields:
        if not one.value:
            continue
        wide = max(text_width(one.name, size), text_width(one.value, size, one.title)) + 2 * _PAD * size
        wide = min(wide, width)
        if rows[-1] and sum(w for _, w in rows[-1]) + wide > width:
            rows.append([])
        rows[-1].append((one, wide))
    high = len(rows) * _ROW * size
    rule = Stroke(ink, stroke)
    marks: list[Path | Text] = [frame(Rect(0.0, 0.0, width, high), rule)]
    for number, cells in enumerate(rows):
        top, left = high - number * _ROW * size, 0.0
        stretch = width / sum(wide for _, wide in cells)
        if number:
            marks.append(line((0.0, top), (width, top), rule))
        for one, wide in cells:
            if left:
                marks.append(line((left, top), (left, top - _ROW * size), rule))
            room = wide * stretch - 2 * _PAD * size + 1e-9
            at = left + _PAD * size
            marks.append(Text(fit_text(one.name, size, room), (at, top - _NAME * size), size, ink))
            value = fit_text(one.value, size, room, one.title)
            marks.append(Text(value, (at, top - _VALUE * size), size, ink, bold=one.title))
            left += wide * stretch
    return marks, high

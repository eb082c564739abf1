"""Lines of text in a column: strings in, `Text` marks out, all lines of one size on one pitch.

Places are page millimetres, y up; sizes are the em in millimetres; ``top`` is the upper edge of the first
line.
"""

from collections.abc import Sequence
from typing import Literal

from .fonts import CAP_HEIGHT, wrap_text
from .inks import BLACK
from .marks import Anchor, Ink, Text

Align = Literal["left", "centre", "right"]

_LEADING = 1.38  # line pitch over size: ours, for lines of 60 to 110 characters
_ANCHORS: dict[Align, tuple[Anchor, float]] = {
    "left": ("start", 0.0),
    "centre": ("middle", 0.5),
    "right": ("end", 1.0),
}


def line_pitch(size: float) -> float:
    """Baseline to baseline, mm."""
    return size * _LEADING


def lines_height(count: int, size: float) -> float:
    """Height in mm of ``count`` lines."""
    return count * line_pitch(size)


def set_lines(
    lines: Sequence[str],
    left: float,
    top: float,
    width: float,
    size: float,
    *,
    align: Align = "left",
    bold: bool = False,
    ink: Ink = BLACK,
) -> tuple[Text, ...]:
    """One mark for each line that isn't empty; capitals stand centred in their line."""
    anchor, share = _ANCHORS[align]
    pitch = line_pitch(size)
    first = top - (pitch + CAP_HEIGHT * size) / 2
    return tuple(
        Text(string, (left + share * width, first - index * pitch), size, ink, anchor, bold=bold)
        for index, string in enumerate(lines)
        if string.strip()
    )


def set_paragraph(
    string: str,
    left: float,
    top: float,
    width: float,
    size: float,
    *,
    align: Align = "left",
    bold: bool = False,
    ink: Ink = BLACK,
) -> tuple[tuple[Text, ...], float]:
    """The string wrapped into ``width`` mm: its marks, and the height that they take."""
    lines = wrap_text(string, size, width, bold)
    marks = set_lines(lines, left, top, width, size, align=align, bold=bold, ink=ink)
    return marks, lines_height(len(lines), size)

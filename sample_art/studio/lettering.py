"""Type: the exhibit's faces, how wide a line runs, and where the ink of each word lies.

Takes text, a face and a size; gives lines with a baseline in full-size millimetres, y up. Fonts come from the
packages font-source-serif-pro and font-source-sans-pro (SIL Open Font License), found by path.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path as FilePath

from fontTools.pens.boundsPen import BoundsPen
from fontTools.pens.recordingPen import DecomposingRecordingPen
from fontTools.ttLib import TTFont

from .palette import Ink
from .paths import Mark, Path, Step, filled

HEAD, SUB, BODY, LABEL = "head", "sub", "body", "label"
_FILES = {
    HEAD: ("font_source_serif_pro", "SourceSerifPro-Semibold.ttf"),
    SUB: ("font_source_serif_pro", "SourceSerifPro-It.ttf"),
    BODY: ("font_source_sans_pro", "SourceSansPro-Regular.ttf"),
    LABEL: ("font_source_sans_pro", "SourceSansPro-Semibold.ttf"),
}

Box = tuple[float, float, float, float]  # x, y, width, height


@cache
def font_file(face: str) -> FilePath:
    """Where the face's TrueType file lies in its package."""
    package, name = _FILES[face]
    root = FilePath(str(files(package)))
    return next(iter(sorted(root.rglob(name))))


@cache
def _font(face: str) -> TTFont:
    return TTFont(font_file(face), lazy=True)


@cache
def _glyph(face: str, letter: str) -> tuple[float, Box | None]:
    """(advance, ink box x0 y0 x1 y1 or None) of one letter, in ems."""
    font = _font(face)
    em, glyphs = font["head"].unitsPerEm, font.getGlyphSet()
    name = font.getBestCmap()[ord(letter)]
    pen = BoundsPen(glyphs)
    glyphs[name].draw(pen)
    box = tuple(v / em for v in pen.bounds) if pen.bounds else None
    return glyphs[name].width / em, box  # type: ignore[return-value]


@dataclass(frozen=True)
class Line:
    """One line of text from a baseline point; size is the em in mm at full size."""

    text: str
    face: str
    size: float
    x: float
    y: float
    ink: Ink

    def words(self) -> list[tuple[str, Box]]:
        """Each word with the box of its ink (x, y, w, h), mm at full size."""
        found: list[tuple[str, Box]] = []
        pen, word, boxes = self.x, "", []
        for letter in self.text + " ":
            advance, box = _glyph(self.face, letter)
            if letter == " ":
                if boxes:
                    x0, y0 = min(b[0] for b in boxes), min(b[1] for b in boxes)
                    found.append((word, (x0, y0, max(b[2] for b in boxes) - x0, max(b[3] for b in boxes) - y0)))
                word, boxes = "", []
            else:
                word += letter
                if box:
                    s = self.size
                    boxes.append((pen + box[0] * s, self.y + box[1] * s, pen + box[2] * s, self.y + box[3] * s))
            pen += advance * self.size
        return found


def width(text: str, face: str, size: float) -> float:
    """How far the pen travels along the text, mm, without kerning (the writers set none either)."""
    return sum(_glyph(face, letter)[0] for letter in text) * size


def line(text: str, face: str, size: float, x: float, y: float, ink: Ink, align: str = "left") -> Line:
    """A line set from the left of x, or centred on x ("centre"), or ending at x ("right")."""
    share = {"left": 0.0, "centre": 0.5, "right": 1.0}[align]
    return Line(text, face, size, x - share * width(text, face, size), y, ink)


def column(
    text: str,
    face: str,
    size: float,
    x: float,
    y: float,
    measure: float,
    ink: Ink,
    leading: float = 1.32,
    align: str = "left",
) -> list[Line]:
    """Text broken into lines no wider than ``measure``; y is the first baseline. Lines are evened out."""
    words = text.split()

    def broken(limit: float) -> list[str]:
        rows = [words[0]]
        for word in words[1:]:
            longer = f"{rows[-1]} {word}"
            if width(longer, face, size) <= limit:
                rows[-1] = longer
            else:
                rows.append(word)
        return rows

    count, limit = len(broken(measure)), measure
    # narrow the column as long as it takes no more lines, so that no line is left with one short word
    while limit > 0.7 * measure and len(broken(limit - 0.01 * measure)) == count:
        limit -= 0.01 * measure
    return [line(row, face, size, x, y - i * leading * size, ink, align) for i, row in enumerate(broken(limit))]


Block = tuple[str | tuple[str, ...], str, float, Ink, float, float]  # words, face, size, ink, leading, gap above


def stack(blocks: Sequence[Block], x: float, top: float, measure: float, align: str = "left") -> list[Line]:
    """Blocks of text one under another from the level ``top``: a tuple keeps its own line breaks, a string is broken."""
    rows: list[Line] = []
    y = top
    for words, face, size, ink, leading, gap in blocks:
        y -= gap + size * 0.72
        if isinstance(words, str):
            made = column(words, face, size, x, y, measure, ink, leading, align)
        else:
            made = [line(t, face, size, x, y - i * leading * size, ink, align) for i, t in enumerate(words)]
        rows += made
        y = made[-1].y - size * 0.22
    return rows


def outlined(row: Line) -> list[Mark]:
    """The line as filled outlines, one mark a letter: lettering that is no longer text to a program."""
    font = _font(row.face)
    em, glyphs, names = font["head"].unitsPerEm, font.getGlyphSet(), font.getBestCmap()
    marks: list[Mark] = []
    pen_x = row.x
    for letter in row.text:
        pen = DecomposingRecordingPen(glyphs)
        glyphs[names[ord(letter)]].draw(pen)
        path = _path(pen.value, row.size / em, pen_x, row.y)
        if path:
            marks.append(filled(path, row.ink))
        pen_x += _glyph(row.face, letter)[0] * row.size
    return marks


def _path(record: list[tuple[str, tuple]], scale: float, dx: float, dy: float) -> Path:
    """A glyph's drawing commands as a path; quadratic splines are raised to cubics."""
    steps: list[Step] = []
    here = (0.0, 0.0)

    def put(p: tuple[float, float]) -> tuple[float, float]:
        return dx + p[0] * scale, dy + p[1] * scale

    for name, points in record:
        if name in ("moveTo", "lineTo"):
            here = points[0]
            steps.append(("M" if name == "moveTo" else "L", put(here)))
        elif name == "qCurveTo":
            for control, end in _quadratics(points):
                c1 = (here[0] + (control[0] - here[0]) * 2 / 3, here[1] + (control[1] - here[1]) * 2 / 3)
                c2 = (end[0] + (control[0] - end[0]) * 2 / 3, end[1] + (control[1] - end[1]) * 2 / 3)
                steps.append(("C", (*put(c1), *put(c2), *put(end))))
                here = end
        else:
            steps.append(("Z", ()))
    return tuple(steps)


def _quadratics(points: tuple) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """A TrueType spline as (control, end) pairs: between two controls lies an implied point half-way."""
    *controls, last = points
    pairs = []
    for a, b in itertools.pairwise(controls):
        pairs.append((a, ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)))
    pairs.append((controls[-1], last))
    return pairs

"""Lettering for the labelled set, and its truth. Takes words, a font and a place; gives glyph outlines in the target's plane.

Where ink lies comes from the font's own outlines (fontTools) and sums of our own: nothing of artgen's reading is used.
"""

import importlib.util
from functools import cache
from pathlib import Path

import numpy as np
from attrs import frozen
from fontTools.pens.basePen import BasePen
from fontTools.ttLib import TTFont
from shapely import MultiPoint, union_all
from shapely.geometry.base import BaseGeometry

Ops = list[tuple[str, np.ndarray]]  # "m", "l", "c", "h", and their points


class _Cubic(BasePen):
    """Outlines as moves, lines and cubics; quadratics are raised by the base class."""

    def __init__(self, glyphs):
        super().__init__(glyphs)
        self.ops: Ops = []

    def _moveTo(self, p):  # noqa: N802
        self.ops.append(("m", np.array([p], float)))

    def _lineTo(self, p):  # noqa: N802
        self.ops.append(("l", np.array([p], float)))

    def _curveToOne(self, a, b, c):  # noqa: N802
        self.ops.append(("c", np.array([a, b, c], float)))

    def _closePath(self):  # noqa: N802
        self.ops.append(("h", np.zeros((0, 2))))


@cache
def font_path(package: str, file: str) -> Path:
    found = importlib.util.find_spec(package)
    assert found is not None and found.origin is not None, f"{package} is missing: pip install -e '.[test]'"
    return Path(found.origin).parent / "files" / file


@cache
def _font(package: str, file: str):
    font = TTFont(font_path(package, file))
    return font, font.getGlyphSet(), font.getBestCmap(), font["head"].unitsPerEm


@cache
def glyph(face: tuple[str, str], char: str) -> tuple[float, tuple]:
    """(advance in ems, outline operations in ems)."""
    _, glyphs, cmap, em = _font(*face)
    name = cmap[ord(char)]
    pen = _Cubic(glyphs)
    glyphs[name].draw(pen)
    return glyphs[name].width / em, tuple((op, points / em) for op, points in pen.ops)


@frozen
class Word:
    """A word as it lies in the plane: its glyphs' outlines, mm; ``ink`` = the hulls of its glyphs together."""

    text: str
    ops: tuple
    ink: BaseGeometry


@frozen
class Phrase:
    """A line of words about the origin of its own frame: baseline along x (or an arc), then placed by ``at``."""

    words: tuple[Word, ...]
    size: float
    angle: float
    bow: float
    start: tuple[float, float]
    text: str
    face: tuple[str, str]
    spaced: float

    def at(self, dx: float, dy: float) -> "Phrase":
        moved = tuple(
            Word(w.text, tuple((op, p + np.array([dx, dy])) for op, p in w.ops), shifted(w.ink, dx, dy))
            for w in self.words
        )
        start = (self.start[0] + dx, self.start[1] + dy)
        return Phrase(moved, self.size, self.angle, self.bow, start, self.text, self.face, self.spaced)


def shifted(shape: BaseGeometry, dx: float, dy: float) -> BaseGeometry:
    from shapely.affinity import translate

    return translate(shape, dx, dy)


def set_phrase(text: str, face: tuple[str, str], size: float, angle: float, bow: float, spaced: float) -> Phrase:
    """``angle`` in degrees; ``bow`` = radius of the arc in ems (0: straight); ``spaced`` = extra em between letters."""
    letters, pen = [], 0.0
    for char in text:
        advance, ops = glyph(face, char)
        letters.append((char, pen, ops))
        pen += advance + spaced
    turn = np.radians(angle)
    rotate = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    words, current = [], []
    for char, x, ops in [*letters, (" ", pen, ())]:
        if char == " ":
            if current:
                words.append(_word(current, size, rotate))
            current = []
            continue
        advance = glyph(face, char)[0]
        current.append((char, [(op, _bent(points, x, advance, pen / 2, bow)) for op, points in ops]))
    start = rotate @ (np.array([-pen / 2, 0.0]) * size)
    return Phrase(tuple(words), size, angle, bow, (float(start[0]), float(start[1])), text, face, spaced)


def _bent(points: np.ndarray, x: float, advance: float, middle: float, bow: float) -> np.ndarray:
    if not len(points):
        return points
    if not bow:
        return points + np.array([x - middle, 0.0])
    # each letter stands upright on the arc, as programs set text on a path
    a = (x + advance / 2 - middle) / bow
    c, s = np.cos(-a), np.sin(-a)
    own = (points - np.array([advance / 2, 0.0])) @ np.array([[c, s], [-s, c]])
    return own + np.array([bow * np.sin(a), bow * (np.cos(a) - 1)])


def _word(letters, size: float, rotate: np.ndarray) -> Word:
    ops, hulls = [], []
    for _, outline in letters:
        placed = [(op, (points * size) @ rotate.T) for op, points in outline]
        ops += placed
        points = [p for _, part in placed for p in part]
        hulls.append(MultiPoint(points).convex_hull)
    return Word("".join(char for char, _ in letters), tuple(ops), union_all(hulls))

"""Live text of a PDF page as words. Takes a pdfium page, gives `Word` records in the page frame (see `facts`).

A word's box hugs the ink of its glyphs along its baseline; the width of an outline's stroke is not counted. A word ends at
white space, stored or seen by pdfium, where the baseline changes, and at gaps; scripts without spaces may stay one run.
"""

import math
from collections.abc import Iterable, Iterator
from typing import Any

import pypdfium2.raw as pdfium

from .facts import Point, Rect, Word
from .glyphs import Glyph, GlyphReader
from .layers import hidden_text
from .mapping import Matrix, apply, inverse, then, vertices_of

MAX_WORDS = 20_000  # ours: words taken from one page
MAX_LETTERS = 200  # ours: letters kept of one word; its box is that of all of them
_GAP = 0.5  # ours: em between the ink of two glyphs that parts words
_BACK = 2.0  # ours: em that a glyph may stand back from the one before (kerning, accents, right-to-left)
_LIFT = 0.6  # ours: em by which a raised or lowered glyph may leave the baseline
_TURN = math.radians(1.0)  # ours: turn of the baseline that parts words (text on a curve)


def page_words(
    page: Any, to_frame: Matrix, crop: Rect, layers: frozenset[str] = frozenset()
) -> tuple[tuple[Word, ...], tuple[str, ...]]:
    """(words that paint inside ``crop``, what was not seen).

    ``page`` = pdfium page handle, ``to_frame`` = its user space → page frame, ``crop`` = in user space, ``layers`` = names
    of the layers that are off.
    """
    text_page = pdfium.FPDFText_LoadPage(page)
    if not text_page:
        return (), ("its live text could not be read",)
    try:
        words: list[Word] = []
        for run in _runs(GlyphReader(text_page, hidden_text(page, layers)).glyphs()):
            word = _word(run, to_frame, crop)
            if word is None:
                continue
            if len(words) == MAX_WORDS:
                return tuple(words), (f"words after the first {MAX_WORDS} (the limit a page)",)
            words.append(word)
        return tuple(words), ()
    finally:
        pdfium.FPDFText_ClosePage(text_page)


def _runs(glyphs: Iterable[Glyph]) -> Iterator[list[Glyph]]:
    """The glyphs cut into words, in their order."""
    run: list[Glyph] = []
    for glyph in glyphs:
        if run and (glyph.ink is None or not _joins(run, glyph)):
            yield run
            run = []
        if glyph.ink is not None:
            run.append(glyph)
    if run:
        yield run


def _joins(run: list[Glyph], glyph: Glyph) -> bool:
    """Whether ``glyph`` goes on with the word ``run``, judged in the text space of the word's last glyph."""
    last = run[-1]
    if abs(_turn(last.matrix, glyph.matrix)) > _TURN:
        return False
    assert last.ink is not None
    assert glyph.ink is not None
    across = then(glyph.matrix, inverse(last.matrix))
    box = [apply(across, point) for point in vertices_of(glyph.ink)]
    left, right = min(x for x, _ in box), max(x for x, _ in box)
    if abs(across[5]) > _LIFT and not _stacked(last.ink, across):
        return False
    return left - last.ink[2] <= _GAP and last.ink[0] - right <= _GAP and across[4] >= -_BACK


def _stacked(ink: Rect, across: Matrix) -> bool:
    """Whether the next origin stands one step below, as in vertical writing."""
    return abs(across[4]) < 0.25 and -1.5 < across[5] < -_LIFT and ink[2] - ink[0] > 0.5


def _turn(one: Matrix, other: Matrix) -> float:
    return math.atan2(one[0] * other[1] - one[1] * other[0], one[0] * other[0] + one[1] * other[1])


def _word(run: list[Glyph], to_frame: Matrix, crop: Rect) -> Word | None:
    """The word that ``run`` makes; None if all of it lies outside ``crop``."""
    first = run[0].matrix
    if not any(_meets(glyph, crop) for glyph in run):
        return None
    placed = then(first, to_frame)
    em = math.hypot(placed[0], placed[1])
    along: Point = (placed[0] / em, placed[1] / em)
    up: Point = (-along[1], along[0])
    if up[0] * placed[2] + up[1] * placed[3] < 0:  # mirrored text: its own "up" is the other side
        up = (-up[0], -up[1])
    inks = [point for glyph in run for point in _ink_in_frame(glyph, to_frame)]
    along_values = [_from(point, placed, along) for point in inks]
    up_values = [_from(point, placed, up) for point in inks]
    u0, u1, v0, v1 = min(along_values), max(along_values), min(up_values), max(up_values)
    quad = tuple(
        (placed[4] + u * along[0] + v * up[0], placed[5] + u * along[1] + v * up[1])
        for u, v in ((u0, v0), (u1, v0), (u1, v1), (u0, v1))
    )
    text = "".join(glyph.text for glyph in run).encode("utf-16", "surrogatepass").decode("utf-16", "replace")
    return Word(
        text=text if len(text) <= MAX_LETTERS else text[:MAX_LETTERS] + "…",
        quad=(quad[0], quad[1], quad[2], quad[3]),
        size=abs(placed[0] * placed[3] - placed[1] * placed[2]) / em,
        capital=max(v1, 0.0),
        angle=_degrees(along),
        font=run[0].font,
    )


def _ink_in_frame(glyph: Glyph, to_frame: Matrix) -> list[Point]:
    assert glyph.ink is not None
    matrix = then(glyph.matrix, to_frame)
    return [apply(matrix, point) for point in vertices_of(glyph.ink)]


def _meets(glyph: Glyph, crop: Rect) -> bool:
    """Whether the bounds of a glyph's ink meet ``crop``; both in user space."""
    assert glyph.ink is not None
    points = [apply(glyph.matrix, point) for point in vertices_of(glyph.ink)]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return max(xs) > crop[0] and min(xs) < crop[2] and max(ys) > crop[1] and min(ys) < crop[3]


def _from(point: Point, placed: Matrix, axis: Point) -> float:
    return (point[0] - placed[4]) * axis[0] + (point[1] - placed[5]) * axis[1]


def _degrees(along: Point) -> float:
    """Anticlockwise degrees of a unit vector, in (−180, 180], multiples of 90 exact."""
    angle = math.degrees(math.atan2(along[1], along[0]))
    quarter = round(angle / 90) * 90.0
    angle = quarter if abs(angle - quarter) < 1e-4 else angle
    return 180.0 if angle == -180.0 else angle + 0.0

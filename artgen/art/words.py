"""Live text of a PDF page as words. Takes a pdfium page, gives `WordColumns` in the page frame (see `facts`).

A word's box hugs the ink of its glyphs along its baseline; the width of an outline's stroke is not counted. A word ends at
white space, stored or seen by pdfium, where the baseline changes, at gaps, and where text that shows meets text that
doesn't; scripts without spaces may stay one run.
"""

import math
from typing import Any

import numpy as np
import pypdfium2.raw as pdfium
from attrs import define

from .facts import Rect, Unseen
from .glyphs import GlyphReader, Glyphs, Item, Numbers, text_of
from .layers import hidden_text
from .mapping import Matrix, apply_rect

MAX_WORDS = 20_000  # ours: words taken from one page
MAX_LETTERS = 200  # ours: letters kept of one word; its box is that of all of them
_GAP = 0.5  # ours: em between the ink of two glyphs that parts words
_BACK = 2.0  # ours: em that a glyph may stand back from the one before (kerning, accents, right-to-left)
_LIFT = 0.6  # ours: em by which a raised or lowered glyph may leave the baseline
_TURN = math.radians(1.0)  # ours: turn of the baseline that parts words (text on a curve)


@define
class WordColumns:
    """Words as columns: row n of each is one word, fields as in `facts.Word`. ``quads`` is n × 4 × 2, mm.

    ``items[first[n]]`` to ``items[last[n]]`` = the text objects that hold it; ``clips`` = words that only cut what follows.
    """

    texts: list[str]
    fonts: list[str]
    unseen: list[Unseen]
    quads: Numbers
    sizes: Numbers
    capitals: Numbers
    angles: Numbers
    first: list[int]
    last: list[int]
    items: tuple[Item, ...]
    clips: Numbers

    def __len__(self) -> int:
        return len(self.texts)


def page_words(
    page: Any,
    to_frame: Matrix,
    crop: Rect,
    layers: frozenset[str] = frozenset(),
    reader: GlyphReader | None = None,
) -> tuple[WordColumns, tuple[str, ...]]:
    """(words of the page, what was not seen). Why a word doesn't show is told as far as the text itself says it.

    ``page`` = pdfium page handle, ``to_frame`` = its user space → page frame, ``crop`` = in user space, ``layers`` = names
    of the layers that are off.
    """
    text_page = pdfium.FPDFText_LoadPage(page)
    if not text_page:
        return no_words(), ("its live text could not be read",)
    try:
        glyphs = (reader or GlyphReader()).read(text_page)
    finally:
        pdfium.FPDFText_ClosePage(text_page)
    hidden = hidden_text(page, layers)
    off = np.array([item.handle.value in hidden for item in glyphs.items], bool)
    starts = word_starts(glyphs, off)
    too_many = len(starts) > MAX_WORDS
    end = int(starts[MAX_WORDS]) if too_many else len(glyphs.codes)
    words = _words(glyphs, starts[:MAX_WORDS], end, to_frame)
    _tell_unseen(words, off, apply_rect(to_frame, crop))
    return words, (f"words after the first {MAX_WORDS} (the limit a page)",) if too_many else ()


def no_words() -> WordColumns:
    none = np.empty(0)
    return WordColumns([], [], [], np.empty((0, 4, 2)), none, none, none, [], [], (), np.empty(0, bool))


def word_starts(glyphs: Glyphs, off: Numbers) -> Numbers:
    """Rows of the glyphs with which words begin. ``off`` tells of each item whether its layer is."""
    if not len(glyphs.codes):
        return np.empty(0, np.int64)
    paints = np.array(["ink", "nothing", "clip"])
    state = np.array([list(paints).index(item.paint) for item in glyphs.items]) * 2 + off
    parts = np.ones(len(glyphs.codes), bool)
    parts[1:] = glyphs.parted[1:] | (np.diff(state[glyphs.item]) != 0) | ~_joins(glyphs.matrix, glyphs.ink)
    return np.flatnonzero(parts)


def _joins(matrix: Numbers, ink: Numbers) -> Numbers:
    """Whether each glyph but the first goes on with the word of the one before, judged in that one's text space."""
    last, this = matrix[:-1], matrix[1:]
    turn = np.arctan2(
        last[:, 0] * this[:, 1] - last[:, 1] * this[:, 0], last[:, 0] * this[:, 0] + last[:, 1] * this[:, 1]
    )
    across = _through(this, _turned_round(last))
    left, _, right, _ = _bounds(_placed(across, ink[1:])).T
    before = ink[:-1]
    lifted = abs(across[:, 5]) > _LIFT
    # one step below, as in vertical writing
    stacked = (
        (abs(across[:, 4]) < 0.25) & (across[:, 5] > -1.5) & (across[:, 5] < 0) & (before[:, 2] - before[:, 0] > 0.5)
    )
    near = (left - before[:, 2] <= _GAP) & (before[:, 0] - right <= _GAP) & (across[:, 4] >= -_BACK)
    joined: Numbers = (abs(turn) <= _TURN) & near & (~lifted | stacked)
    return joined


def _words(glyphs: Glyphs, starts: Numbers, end: int, to_frame: Matrix) -> WordColumns:
    if not len(starts):
        return no_words()
    counts = np.diff(np.append(starts, end))
    matrix, ink = glyphs.matrix[:end], glyphs.ink[:end]
    placed = _through(matrix, np.array([to_frame], float))
    first = placed[starts]
    em = np.hypot(first[:, 0], first[:, 1])
    along = first[:, :2] / em[:, None]
    up = np.stack([-along[:, 1], along[:, 0]], 1)
    up[(up * first[:, 2:4]).sum(1) < 0] *= -1  # mirrored text: its own "up" is the other side
    points = _placed(placed, ink) - np.repeat(first[:, 4:6], counts, 0)[:, None, :]
    u = (points * np.repeat(along, counts, 0)[:, None, :]).sum(2)
    v = (points * np.repeat(up, counts, 0)[:, None, :]).sum(2)
    u0, u1 = np.minimum.reduceat(u.min(1), starts), np.maximum.reduceat(u.max(1), starts)
    v0, v1 = np.minimum.reduceat(v.min(1), starts), np.maximum.reduceat(v.max(1), starts)
    quads = np.stack([p[:, None] * along + q[:, None] * up for p, q in ((u0, v0), (u1, v0), (u1, v1), (u0, v1))], 1)
    quads += first[:, None, 4:6]
    item = glyphs.item[:end]
    low, high = np.minimum.reduceat(item, starts).tolist(), np.maximum.reduceat(item, starts).tolist()
    of = [glyphs.items[index] for index in item[starts].tolist()]
    return WordColumns(
        texts=_texts(glyphs.codes[:end], starts, counts),
        fonts=[item.font_name for item in of],
        unseen=["invisible" if item.paint == "nothing" else "" for item in of],
        quads=quads,
        sizes=abs(first[:, 0] * first[:, 3] - first[:, 1] * first[:, 2]) / em,
        capitals=np.maximum(v1, 0.0),
        angles=_degrees(along),
        first=low,
        last=high,
        items=glyphs.items,
        clips=np.array([item.paint == "clip" for item in of], bool),
    )


def _texts(codes: Numbers, starts: Numbers, counts: Numbers) -> list[str]:
    plain = (codes >= 32) & (codes < 0xD800) & (codes != 0xAD)
    if plain.all():
        whole = codes.astype("<u4").tobytes().decode("utf-32-le")
        texts = [whole[at : at + count] for at, count in zip(starts.tolist(), counts.tolist(), strict=True)]
    else:
        texts = [text_of(codes[at : at + count]) for at, count in zip(starts.tolist(), counts.tolist(), strict=True)]
    return [text if len(text) <= MAX_LETTERS else text[:MAX_LETTERS] + "…" for text in texts]


def _tell_unseen(words: WordColumns, off: Numbers, crop: Rect) -> None:
    """What needs no picture: invisible text was told before; text on a layer that is off; text outside the crop box."""
    if not len(words):
        return
    low, high = words.quads.min(1), words.quads.max(1)
    outside = (low[:, 0] >= crop[2]) | (high[:, 0] <= crop[0]) | (low[:, 1] >= crop[3]) | (high[:, 1] <= crop[1])
    for row, (away, first) in enumerate(zip(outside.tolist(), words.first, strict=True)):
        if away:
            words.unseen[row] = "outside-page"
        elif off[first]:
            words.unseen[row] = "layer-off"


def _through(first: Numbers, second: Numbers) -> Numbers:
    """Row by row the mapping that does ``first`` and after it ``second`` (see `mapping`)."""
    a, b, c, d, e, f = first.T
    p, q, r, s, t, u = second.T
    return np.stack(
        [a * p + b * r, a * q + b * s, c * p + d * r, c * q + d * s, e * p + f * r + t, e * q + f * s + u], 1
    )


def _turned_round(matrix: Numbers) -> Numbers:
    a, b, c, d, e, f = matrix.T
    det = a * d - b * c
    return np.stack([d / det, -b / det, -c / det, a / det, (c * f - d * e) / det, (b * e - a * f) / det], 1)


def _placed(matrix: Numbers, box: Numbers) -> Numbers:
    """n × 4 × 2: where the vertices of each box land."""
    x, y = box[:, [0, 2, 2, 0]], box[:, [1, 1, 3, 3]]
    a, b, c, d, e, f = (column[:, None] for column in matrix.T)
    return np.stack([a * x + c * y + e, b * x + d * y + f], 2)


def _bounds(points: Numbers) -> Numbers:
    return np.hstack([points.min(1), points.max(1)])


def _degrees(along: Numbers) -> Numbers:
    """Anticlockwise degrees of unit vectors, in (−180, 180], multiples of 90 exact."""
    angle = np.degrees(np.arctan2(along[:, 1], along[:, 0]))
    quarter = np.round(angle / 90) * 90.0
    angle = np.where(abs(angle - quarter) < 1e-4, quarter, angle)
    return np.where(angle == -180.0, 180.0, angle + 0.0)

"""Live text of a PDF page as words. Takes a pdfium page, gives `WordColumns` in the page frame (see `facts`).

A word's box hugs the ink of its glyphs along its baseline, its hull hugs it on every side; the width of an outline's stroke is
not counted. Where a word ends is told by `splitting`; scripts without spaces may stay one run.
"""

from typing import Any

import numpy as np
import pypdfium2.raw as pdfium
from attrs import define

from .facts import Rect, Unseen
from .glyphs import GlyphReader, Glyphs, Item, text_of
from .hulls import hulls_of
from .layers import hidden_text
from .mapping import Matrix, apply_rect
from .mapping_rows import Numbers, through
from .splitting import word_starts

MAX_WORDS = 20_000  # ours: words taken from one page
MAX_LETTERS = 200  # ours: letters kept of one word; its box is that of all of them
MAX_HULLS = 2_000  # ours: words of a file that get a hull, the largest of a page first; for others the box is the hull
_TOLERANCE = 1e-3  # ours: em that a hull may lack, beside what the outlines of its glyphs do
_SLANT = 1e-3  # ours: cosine between baseline and stems from which letters count as slanted by the page


@define
class WordColumns:
    """Words as columns: row n of each is one word, fields as in `facts.Word`. ``quads`` is n × 4 × 2, mm; ``hulls`` = of some
    rows the vertices, k × 2: for the others the quad is the hull.

    ``items[first[n]]`` to ``items[last[n]]`` = the text objects that hold it; ``clips`` = words that only cut what follows.
    """

    texts: list[str]
    fonts: list[str]
    unseen: list[Unseen]
    quads: Numbers
    hulls: dict[int, Numbers]
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
    hulls: int = MAX_HULLS,
) -> tuple[WordColumns, tuple[str, ...]]:
    """(words of the page, what was not seen). Why a word doesn't show is told as far as the text itself says it.

    ``page`` = pdfium page handle, ``to_frame`` = its user space → page frame, ``crop`` = in user space, ``layers`` = names
    of the layers that are off, ``hulls`` = the most words that get a hull of their own.
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
    words = _words(glyphs, starts[:MAX_WORDS], end, to_frame, hulls)
    _tell_unseen(words, off, apply_rect(to_frame, crop))
    return words, (f"words after the first {MAX_WORDS} (the limit a page)",) if too_many else ()


def no_words() -> WordColumns:
    none = np.empty(0)
    return WordColumns([], [], [], np.empty((0, 4, 2)), {}, none, none, none, [], [], (), np.empty(0, bool))


def _words(glyphs: Glyphs, starts: Numbers, end: int, to_frame: Matrix, hulls: int) -> WordColumns:
    if not len(starts):
        return no_words()
    counts = np.diff(np.append(starts, end))
    matrix, ink = through(glyphs.matrix[:end], np.array([to_frame], float)), glyphs.ink[:end]
    first = matrix[starts]
    em = np.hypot(first[:, 0], first[:, 1])
    sizes = abs(first[:, 0] * first[:, 3] - first[:, 1] * first[:, 2]) / em
    along = first[:, :2] / em[:, None]
    bent = _bent(matrix, glyphs.item[:end], starts, counts)
    if bent.any():
        along[bent] = _middle_direction(matrix, starts, counts)[bent]
    up = np.stack([-along[:, 1], along[:, 0]], 1)
    up[(up * first[:, 2:4]).sum(1) < 0] *= -1  # mirrored text: its own "up" is the other side
    (u0, u1), (v0, v1) = _span(matrix, ink, starts, counts, along), _span(matrix, ink, starts, counts, up)
    capitals = np.maximum(v1 - (first[:, 4:6] * up).sum(1), 0.0)
    if bent.any():  # each letter over its own baseline
        tall = ink[:, 3] * abs(matrix[:, 0] * matrix[:, 3] - matrix[:, 1] * matrix[:, 2])
        tall = np.maximum.reduceat(tall / np.hypot(matrix[:, 0], matrix[:, 1]), starts)
        capitals[bent] = np.maximum(tall[bent], 0.0)
    found = _hulls(glyphs, matrix, starts, counts, sizes, hulls)
    slanted = abs((first[:, :2] * first[:, 2:4]).sum(1)) > _SLANT * em * np.hypot(first[:, 2], first[:, 3])
    for row in np.flatnonzero(slanted | bent).tolist():
        if row in found:  # the corners of slanted boxes lie outside the ink
            u, v = found[row] @ along[row], found[row] @ up[row]
            u0[row], u1[row], v0[row], v1[row] = u.min(), u.max(), v.min(), v.max()
    corners = ((u0, v0), (u1, v0), (u1, v1), (u0, v1))
    quads = np.stack([u[:, None] * along + v[:, None] * up for u, v in corners], 1)
    item = glyphs.item[:end]
    low, high = np.minimum.reduceat(item, starts).tolist(), np.maximum.reduceat(item, starts).tolist()
    of = [glyphs.items[index] for index in item[starts].tolist()]
    return WordColumns(
        texts=_texts(glyphs.codes[:end], starts, counts),
        fonts=[item.font_name for item in of],
        unseen=["invisible" if item.paint == "nothing" else "" for item in of],
        quads=quads,
        hulls=found,
        sizes=sizes,
        capitals=capitals,
        angles=_degrees(along),
        first=low,
        last=high,
        items=glyphs.items,
        clips=np.array([item.paint == "clip" for item in of], bool),
    )


def _span(matrix: Numbers, ink: Numbers, starts: Numbers, counts: Numbers, axis: Numbers) -> tuple[Numbers, Numbers]:
    """(least, most) along each word's unit vector ``axis`` that its glyphs' boxes reach."""
    a, b, c, d, e, f = matrix.T
    x0, y0, x1, y1 = ink.T
    p, q = np.repeat(axis[:, 0], counts), np.repeat(axis[:, 1], counts)
    wide, high, place = a * p + b * q, c * p + d * q, e * p + f * q
    left, right, foot, head = wide * x0, wide * x1, high * y0, high * y1
    least = np.minimum.reduceat(place + np.minimum(left, right) + np.minimum(foot, head), starts)
    return least, np.maximum.reduceat(place + np.maximum(left, right) + np.maximum(foot, head), starts)


def _bent(matrix: Numbers, item: Numbers, starts: Numbers, counts: Numbers) -> Numbers:
    """Which words turn on their way, as on a curve."""
    bent = np.zeros(len(starts), bool)
    other = np.flatnonzero(np.diff(item))
    other = other[(matrix[other, :2] != matrix[other + 1, :2]).any(1)]
    if not len(other):
        return bent
    a, b = matrix[:, 0], matrix[:, 1]
    p, q = (np.repeat(matrix[starts, column], counts) for column in (0, 1))
    cosine = (a * p + b * q) / (np.hypot(a, b) * np.hypot(p, q))
    bent[:] = np.minimum.reduceat(cosine, starts) < 1 - 1e-6
    return bent


def _middle_direction(matrix: Numbers, starts: Numbers, counts: Numbers) -> Numbers:
    """Unit vectors: the mean of the letters' baselines; the first one's where they go full circle."""
    each = matrix[:, :2] / np.hypot(matrix[:, 0], matrix[:, 1])[:, None]
    mean = np.add.reduceat(each, starts, 0) / counts[:, None]
    mean = np.where(np.hypot(*mean.T)[:, None] > 0.1, mean, each[starts])
    along: Numbers = mean / np.hypot(*mean.T)[:, None]
    return along


def _hulls(
    glyphs: Glyphs, matrix: Numbers, starts: Numbers, counts: Numbers, sizes: Numbers, most: int
) -> dict[int, Numbers]:
    """Hulls of the largest words, by row."""
    chosen = np.sort(np.argsort(-sizes, kind="stable")[: max(most, 0)])
    if not len(chosen):
        return {}
    counts = counts[chosen]
    rows = _ranges(starts[chosen], counts)
    corners = [glyphs.ink[:, [0, 1, 2, 1, 2, 3, 0, 3]].reshape(-1, 4, 2)]
    outlines = [one.hull for one in glyphs.outlines]
    many = np.array([len(hull) for hull in outlines], int)
    which = glyphs.outline[rows]
    boxed = (which < 0) | (many[which] < 3) if len(many) else np.ones(len(rows), bool)
    taken = np.where(boxed, 4, many[which] if len(many) else 4)
    # the points of all outlines in one column, after them the corners of the boxes
    column = np.vstack([*outlines, corners[0][rows[boxed]].reshape(-1, 2)])
    at = np.append(0, np.cumsum(many))[np.where(boxed, 0, which)]
    at[boxed] = many.sum() + 4 * np.arange(boxed.sum())
    points = column[_ranges(at, taken)]
    a, b, c, d, e, f = np.repeat(matrix[rows], taken, 0).T
    x, y = points.T
    ends = np.append(0, np.cumsum(taken))[np.append(0, np.cumsum(counts))]
    polygons = hulls_of(np.stack([a * x + c * y + e, b * x + d * y + f], 1), ends[:-1], _TOLERANCE * sizes[chosen])
    return {row: hull for row, hull in zip(chosen.tolist(), polygons, strict=True) if len(hull) >= 3}


def _ranges(starts: Numbers, counts: Numbers) -> Numbers:
    """The numbers from each start on, as many as its count, one after the other."""
    ends = np.cumsum(counts)
    found: Numbers = np.arange(ends[-1]) + np.repeat(starts - (ends - counts), counts)
    return found


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
        if off[first]:
            words.unseen[row] = "layer-off"
        elif away and not words.unseen[row]:
            words.unseen[row] = "outside-page"


def _degrees(along: Numbers) -> Numbers:
    """Anticlockwise degrees of unit vectors, in (−180, 180], multiples of 90 exact."""
    angle = np.degrees(np.arctan2(along[:, 1], along[:, 0]))
    quarter = np.round(angle / 90) * 90.0
    angle = np.where(abs(angle - quarter) < 1e-4, quarter, angle)
    return np.where(angle == -180.0, 180.0, angle + 0.0)

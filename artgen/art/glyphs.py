"""The ink box of each glyph of a page in its own text space. Takes a pdfium text page, gives `Glyphs`, as columns.

pdfium gives a glyph's box along the axes of the page, whatever way the glyph is turned. Where the font's outline agrees
with it, the outline's bounds are the ink. Else the box that hugs the glyph is won back: a box w × h at its place in text
space, sent through the glyph's mapping (a, b, c, d), has on the page the centre that its own centre maps to, and the
extents W = |a| w + |c| h and H = |b| w + |d| h.
"""

import ctypes
from collections import deque
from collections.abc import Callable, Iterator
from itertools import repeat
from typing import Any, Literal

import numpy as np
import pypdfium2.raw as pdfium
from attrs import define, field, frozen

from .calls import Handle, bare, cells, handle
from .facts import Rect
from .mapping import Matrix, apply, apply_rect, inverse
from .mapping_rows import Numbers
from .outlines import Outline, outlines_of

_AGREE = 0.03  # ours: how far, in em, an outline's bounds may lie from the box that pdfium gives
_UPRIGHT = 1e-4  # sine below which a glyph counts as turned by a multiple of 90°
_WELL_POSED = 0.25  # ours: below this the two equations are too nearly one (within about 7° of 45°)
_SAME = 2e-3  # ours: share by which two boxes of one glyph may differ in size, being of single precision
_AT_ONCE = 8192  # glyphs asked for in one go
_STROKED = (1, 2, 5, 6)  # text rendering modes: ISO 32000-1 table 106
_SPACES = np.array([code for code in range(0x3001) if chr(code).isspace()])
_FLAT, _NONE = -1, -2  # of no item
_UNSAID = (0x00, 0xFFFE, 0xFFFF)

_OVERHANG, _BEARING = 0.35, 0.45  # ours: em by which a glyph's ink may end past its advance, or before it

_count = bare(pdfium.FPDFText_CountChars)
_unicode = bare(pdfium.FPDFText_GetUnicode, ctypes.c_uint)
_generated = bare(pdfium.FPDFText_IsGenerated)
_text_object = bare(pdfium.FPDFText_GetTextObject, Handle)
_char_box = bare(pdfium.FPDFText_GetCharBox)
_char_origin = bare(pdfium.FPDFText_GetCharOrigin)
_font_of = bare(pdfium.FPDFTextObj_GetFont, Handle)
_mode_of = bare(pdfium.FPDFTextObj_GetTextRenderMode)
_fill_of = bare(pdfium.FPDFPageObj_GetFillColor)
_stroke_of = bare(pdfium.FPDFPageObj_GetStrokeColor)
_font_size = bare(pdfium.FPDFText_GetFontSize, ctypes.c_double)
_char_matrix = bare(pdfium.FPDFText_GetMatrix)
_raw_matrix, _raw_colour = pdfium.FS_MATRIX(), (ctypes.c_uint * 4)()
_MATRIX_CELL, _COLOUR_CELLS = ctypes.byref(_raw_matrix), cells(_raw_colour, 1, 0, 4)

Paint = Literal["ink", "nothing", "clip"]


@frozen
class Item:
    """One text object. ``paint``: "nothing" for invisible text, "clip" for text that only cuts what follows; ``mode`` = text
    rendering mode; ``fill`` = red, green, blue, alpha of 255, None for patterns; ``font`` = pdfium's, by its address."""

    handle: Handle
    paint: Paint
    font: Handle
    font_name: str = ""
    embedded: bool = True
    mode: int = 0
    fill: tuple[int, int, int, int] | None = None

    @property
    def font_at(self) -> int:
        return self.font.value or 0


@frozen
class Glyphs:
    """Every glyph that has an extent, in pdfium's reading order; row n of each column is one glyph.

    ``codes`` = Unicode; ``matrix`` (n × 6) = text space in em, origin on the baseline → user space of the page in points;
    ``ink`` (n × 4) = box in text space; ``advance`` = em to where the next glyph is due; ``item`` = index into ``items``;
    ``parted`` = white space stands before it, ``stored`` = the file's own, not only seen by pdfium; ``outline`` = index into
    ``outlines``, −1 where the ink is not the outline's.
    """

    codes: Numbers
    matrix: Numbers
    ink: Numbers
    advance: Numbers
    item: Numbers
    parted: Numbers
    stored: Numbers
    outline: Numbers
    items: tuple[Item, ...]
    outlines: tuple[Outline, ...] = ()


@define
class GlyphReader:
    """Reads the glyphs of a document's pages; keeps the outline boxes of the fonts that it met.

    A font is known by its address: keep a page open until the next one is read, so that no other font can take it.
    """

    _boxes: Any = field(factory=lambda: (ctypes.c_double * (4 * _AT_ONCE))())
    _cells: list[list[Any]] = field(factory=list)
    _outlines: dict[tuple[int, int], Outline] = field(factory=dict)

    def __attrs_post_init__(self) -> None:
        self._cells = [cells(self._boxes, 4, start, _AT_ONCE) for start in range(4)]

    def read(self, text_page: Any) -> Glyphs:
        """All glyphs of a pdfium text page."""
        page = handle(text_page)
        count = _count(page)
        codes = _codes(text_page, page, count)
        space = np.isin(codes, _SPACES)
        items, matrices, item_of = _items(page, codes, space)
        fonts = {item.font_at for item in items}
        self._outlines = {key: look for key, look in self._outlines.items() if key[0] in fonts}
        wanted = np.flatnonzero(~space & (item_of >= 0))
        boxes = self._ask(_char_box, page, wanted, 4)[:, (0, 2, 1, 3)]  # pdfium: left, right, bottom, top
        origins = self._origins(page, wanted, codes, matrices, item_of, items, boxes)
        real = (
            (boxes[:, 2] - boxes[:, 0] > 1e-6)
            & (boxes[:, 3] - boxes[:, 1] > 1e-6)
            & np.isfinite(origins[:, 0] + origins[:, 1])
        )
        blank, rows = space | (item_of < 0), wanted[real]
        stored = blank.copy()
        stored[item_of == _NONE] = False
        spaces = np.flatnonzero(space & (item_of != _NONE))
        stored[spaces] = np.fromiter(map(_generated, repeat(page), spaces.tolist()), int, len(spaces)) != 1
        parted, stored = (np.diff(np.cumsum(which)[rows], prepend=0) > 0 for which in (blank, stored))
        codes, item = codes[rows], item_of[rows]
        matrix = np.hstack([matrices[item], origins[real]]) if len(item) else np.empty((0, 6))
        ink, outline, apart, outlines = self._inks(items, codes, item, matrix, boxes[real])
        advance = np.array([one.advance for one in outlines])[outline] if outlines else np.empty(0)
        doubtful = ~((advance > 0) & (advance > ink[:, 2] - _OVERHANG) & (advance < ink[:, 2] + _BEARING))
        advance[doubtful] = ink[doubtful, 2]
        outline[apart] = -1
        return Glyphs(codes, matrix, ink, advance, item, parted, stored, outline, items, outlines)

    def _ask(self, call: Callable[..., int], page: Handle, wanted: Numbers, width: int) -> Numbers:
        """``width`` numbers of each of the ``wanted`` characters; NaN where pdfium has none."""
        found = np.empty((len(wanted), width))
        numbers = np.frombuffer(self._boxes).reshape(-1, 4)
        for start in range(0, len(wanted), _AT_ONCE):
            part = wanted[start : start + _AT_ONCE].tolist()
            numbers[: len(part)] = np.nan  # what a failed call leaves
            deque(map(call, repeat(page), part, *self._cells[:width]), maxlen=0)
            found[start : start + len(part)] = numbers[: len(part), :width]
        return found

    def _origins(
        self,
        page: Handle,
        wanted: Numbers,
        codes: Numbers,
        matrices: Numbers,
        item_of: Numbers,
        items: tuple[Item, ...],
        boxes: Numbers,
    ) -> Numbers:
        """Where the glyphs' origins stand. A glyph of the same letter, font and mapping, whose box is of the same size, has its
        origin at the same place in its box: only the first of them is asked for, and each whose box is another."""
        if not len(wanted):
            return np.empty((0, 2))
        fonts = {at: number for number, at in enumerate(dict.fromkeys(one.font_at for one in items))}
        look = np.column_stack([matrices, [fonts[one.font_at] for one in items]])
        looks = np.unique(look, axis=0, return_inverse=True)[1].reshape(-1) if len(items) > 1 else np.zeros(1, np.int64)
        keys = looks[item_of[wanted]] << 32 | codes[wanted].astype(np.int64)
        _, first, each = np.unique(keys, return_index=True, return_inverse=True)
        each = each.reshape(-1)
        low, high = boxes[:, :2], boxes[:, 2:]
        offset = self._ask(_char_origin, page, wanted[first], 2) - low[first]
        origins: Numbers = low + offset[each]
        size = high - low
        other = ~(abs(size - size[first][each]) <= _SAME * (abs(size) + 1e-9)).all(1)
        if other.any():
            origins[other] = self._ask(_char_origin, page, wanted[other], 2)
        return origins

    def _inks(
        self, items: tuple[Item, ...], codes: Numbers, item: Numbers, matrix: Numbers, boxes: Numbers
    ) -> tuple[Numbers, Numbers, Numbers, tuple[Outline, ...]]:
        """(ink boxes in text space, from outlines where they agree with the boxes along the page's axes; index of each
        glyph's outline; where it does not agree; the outlines)."""
        fonts = {at: number for number, at in enumerate({one.font_at for one in items})}
        first = {fonts[one.font_at]: one for one in items}
        font = np.array([fonts[one.font_at] for one in items], np.int64)[item] if items else np.empty(0, np.int64)
        keys, each = np.unique(font << 32 | codes.astype(np.int64), return_inverse=True)
        each = each.reshape(-1)
        looks = self._looks([(first[key >> 32], key & 0xFFFFFFFF) for key in keys.tolist()])
        nowhere = (np.nan,) * 4
        ink: Numbers = np.array([look.bounds or nowhere for look in looks]).reshape(-1, 4)[each]
        # the outline first: pdfium rounds its boxes to 0.001 em, and makes those of composite fonts about 1.5 % too tall
        a, b, c, d, e, f = matrix.T
        x0, y0, x1, y1 = ink.T
        off = np.zeros(len(ink))
        for low, high, along, up, origin in ((0, 2, a, c, e), (1, 3, b, d, f)):
            ends, sides = (along * x0, along * x1), (up * y0, up * y1)
            off = np.maximum(off, abs(origin + np.minimum(*ends) + np.minimum(*sides) - boxes[:, low]))
            off = np.maximum(off, abs(origin + np.maximum(*ends) + np.maximum(*sides) - boxes[:, high]))
        apart = ~(off <= _AGREE * np.hypot(c, d))  # NaN, where there is no outline, is apart too
        for row in np.flatnonzero(apart).tolist():
            one: Matrix = tuple(matrix[row].tolist())
            box: Rect = tuple(boxes[row].tolist())
            ink[row] = _won_back(one, box, looks[int(each[row])].advance)
        return ink, each, apart, looks

    def _looks(self, keys: list[tuple[Item, int]]) -> tuple[Outline, ...]:
        """The glyphs that the items' fonts show for their codes."""
        new = {(item.font_at, code): item.font for item, code in keys if (item.font_at, code) not in self._outlines}
        fonts = [(ctypes.cast(font, pdfium.FPDF_FONT) if at else None, code) for (at, code), font in new.items()]
        self._outlines.update(zip(new, outlines_of(fonts), strict=True))
        return tuple(self._outlines[item.font_at, code] for item, code in keys)


def text_of(codes: Numbers) -> str:
    """The letters of ``codes``; what the file doesn't say is the replacement character."""
    return "".join(map(_letter, codes.tolist())).encode("utf-16", "surrogatepass").decode("utf-16", "replace")


def _letter(code: int) -> str:
    if code in _UNSAID:
        return "\N{REPLACEMENT CHARACTER}"  # paints, but the file doesn't say which letter
    if code in (0x02, 0xAD):
        return "-"  # how pdfium marks a hyphen at a line's end
    return chr(code) if code <= 0x10FFFF else "\N{REPLACEMENT CHARACTER}"


def _codes(text_page: Any, page: Handle, count: int) -> Numbers:
    """Unicode of every character: all at once where the text has one unit a character, else one by one."""
    units = (ctypes.c_ushort * (count + 1))()
    if pdfium.FPDFText_GetText(text_page, 0, count, units) == count + 1:
        codes: Numbers = np.ctypeslib.as_array(units)[:count].astype(np.uint32)
        if not ((codes >= 0xD800) & (codes < 0xE000)).any() and (codes != 0).all():
            return codes
    return np.fromiter(map(_unicode, repeat(page), range(count)), np.uint32, count)


def _items(page: Handle, codes: Numbers, space: Numbers) -> tuple[tuple[Item, ...], Numbers, Numbers]:
    """(text objects that have an extent, their mappings' first four numbers, index of each character's, `_FLAT` where its
    object has no extent, `_NONE` where it has none)."""
    found: dict[int, int] = {}
    items: list[Item] = []
    matrices: list[tuple[float, float, float, float]] = []
    item_of = np.full(len(codes), _FLAT)
    names: dict[int, tuple[str, bool]] = {}
    for start, end, pointer in _spans(page, codes):
        inked = start + int(np.argmin(space[start:end]))
        if not pointer.value:
            item_of[start:end] = _NONE
        if not pointer.value or space[inked]:  # white space alone has no mapping
            continue
        if pointer.value not in found:
            linear = _linear(page, inked)
            if linear is None:
                continue
            found[pointer.value] = len(items)
            items.append(_item(pointer, names))
            matrices.append(linear)
        item_of[start:end] = found[pointer.value]
    return tuple(items), np.array(matrices, float).reshape(-1, 4), item_of


def _spans(page: Handle, codes: Numbers) -> Iterator[tuple[int, int, Handle]]:
    """(first, after last, text object) of each stretch of characters; an object's characters stand side by side.

    Looked for at the line's end first, where most objects end, then by doubling steps and halving.
    """
    count, start = len(codes), 0
    ends = [*np.flatnonzero((codes == 13) | (codes == 10)).tolist(), count]
    line = 0
    while start < count:
        pointer = _text_object(page, start)
        here = pointer.value
        if not here:  # pdfium's own white space stands everywhere, not side by side
            yield start, start + 1, pointer
            start += 1
            continue
        while ends[line] <= start and ends[line] < count:
            line += 1
        same, step = start, 1
        if ends[line] - 1 > start and _text_object(page, ends[line] - 1).value == here:
            same = ends[line] - 1
        while same + step < count and _text_object(page, same + step).value == here:
            same += step
            step *= 2
        other = min(same + step, count)
        while other - same > 1:
            middle = (same + other) // 2
            if _text_object(page, middle).value == here:
                same = middle
            else:
                other = middle
        yield start, other, pointer
        start = other


def _item(pointer: Handle, names: dict[int, tuple[str, bool]]) -> Item:
    font = _font_of(pointer)
    at = font.value or 0
    if at not in names:
        names[at] = _font_name(font) if at else ("", False)
    mode = _mode_of(pointer)
    mode = mode if 0 <= mode <= 7 else 0
    fill = _colour(_fill_of, pointer)
    return Item(pointer, _paint(pointer, mode, fill), font, *names[at], mode, fill)


def _linear(page: Handle, index: int) -> tuple[float, float, float, float] | None:
    """Em units → user space without the place; None where it would flatten the glyph."""
    if not _char_matrix(page, index, _MATRIX_CELL):
        return None
    raw, size = _raw_matrix, _font_size(page, index)
    found = (raw.a * size, raw.b * size, raw.c * size, raw.d * size)
    # so worded, it refuses NaN and infinity too
    return found if 1e-12 < abs(found[0] * found[3] - found[1] * found[2]) < 1e18 else None


def _paint(pointer: Handle, mode: int, fill: tuple[int, int, int, int] | None) -> Paint:
    if mode in (3, 7):
        return "nothing" if mode == 3 else "clip"
    alphas = []
    if mode not in (1, 5):
        alphas.append(fill[3] if fill else 255)
    if mode in _STROKED:
        stroke = _colour(_stroke_of, pointer)
        alphas.append(stroke[3] if stroke else 255)
    return "ink" if any(alphas) else "nothing"


def _colour(read: Callable[..., int], pointer: Handle) -> tuple[int, int, int, int] | None:
    if not read(pointer, *_COLOUR_CELLS):
        return None
    red, green, blue, alpha = _raw_colour
    return (red & 255, green & 255, blue & 255, alpha & 255)


def _font_name(font: Handle) -> tuple[str, bool]:
    """(name, whether the font came with the file)."""
    pointer = ctypes.cast(font, pdfium.FPDF_FONT)
    buffer = ctypes.create_string_buffer(256)
    length = pdfium.FPDFFont_GetBaseFontName(pointer, buffer, 256)
    name = buffer.value.decode("utf-8", "replace") if 0 < length <= 256 else ""
    # a subset carries six capitals and a plus before its name: ISO 32000-1 9.6.4
    return name[7:] if name[6:7] == "+" else name, pdfium.FPDFFont_GetIsEmbedded(pointer) == 1


def _won_back(matrix: Matrix, box: Rect, advance: float) -> Rect:
    """Ink box in text space from the box along the page's axes."""
    a, b, c, d = (abs(value) for value in matrix[:4])
    if (b < _UPRIGHT * max(a, b) and c < _UPRIGHT * max(c, d)) or (
        a < _UPRIGHT * max(a, b) and d < _UPRIGHT * max(c, d)
    ):
        return apply_rect(inverse(matrix), box)
    x, y = apply(inverse(matrix), ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2))
    wide, high = box[2] - box[0], box[3] - box[1]
    det = a * d - b * c
    if abs(det) > _WELL_POSED * (a * a + b * b) ** 0.5 * (c * c + d * d) ** 0.5:
        w, h = (d * wide - c * high) / det, (a * high - b * wide) / det
    else:
        # near 45° both equations say the same: the advance stands in for the width (marked as our estimate)
        w = min(advance or 0.5, wide / a)
        h = (wide - a * w) / c
    w, h = max(w, 0.0), max(h, 0.0)
    return (x - w / 2, y - h / 2, x + w / 2, y + h / 2)

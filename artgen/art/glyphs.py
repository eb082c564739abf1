"""The ink box of each glyph of a page in its own text space. Takes a pdfium text page, gives `Glyph` records.

pdfium gives a glyph's box along the axes of the page, whatever way the glyph is turned. The box that hugs the glyph is
won back from it: a box w × h at its place in text space, sent through the glyph's mapping (a, b, c, d), has on the page
the centre that its own centre maps to, and the extents W = |a| w + |c| h and H = |b| w + |d| h.
"""

import ctypes
import math
from collections.abc import Iterator
from typing import Any

import pypdfium2.raw as pdfium
from attrs import frozen

from .facts import Rect
from .layers import address
from .mapping import Matrix, apply, apply_rect, bounds, inverse

_AGREE = 0.03  # ours: how far, in em, an outline's bounds may lie from the box that pdfium gives
_UPRIGHT = 1e-4  # sine below which a glyph counts as turned by a multiple of 90°
_WELL_POSED = 0.25  # ours: below this the two equations are too nearly one (within about 7° of 45°)
_INVISIBLE = (3, 7)  # text rendering modes that paint nothing: ISO 32000-1 table 106
_STROKED = (1, 2, 5, 6)


@frozen
class Glyph:
    """One glyph that paints, or a gap between words (``ink`` None).

    ``matrix`` = text space in em, origin on the baseline → user space of the page, in points; ``ink`` = its box in
    text space.
    """

    text: str
    matrix: Matrix
    ink: Rect | None
    font: str = ""


@frozen
class _Style:
    """What the glyphs of one text object share: whether they paint, pdfium's font and where it stands, its name."""

    paints: bool
    font: Any
    font_at: int
    name: str


class GlyphReader:
    """Reads the glyphs of one text page; keeps the outline boxes of the fonts that it met."""

    def __init__(self, text_page: Any, hidden: frozenset[int] = frozenset()) -> None:
        """``hidden`` = addresses of text objects that are not drawn (see `layers`)."""
        self._page = text_page
        self._hidden = hidden
        self._outlines: dict[tuple[int, int], tuple[Rect | None, float]] = {}
        self._fonts: dict[int, str] = {}
        self._style_of = -1
        self._last_style = _Style(False, None, 0, "")

    def glyphs(self) -> Iterator[Glyph]:
        """Every character in pdfium's reading order; those that paint nothing come as gaps or not at all."""
        for index in range(pdfium.FPDFText_CountChars(self._page)):
            glyph = self._glyph(index)
            if glyph is not None:
                yield glyph

    def _glyph(self, index: int) -> Glyph | None:
        code = pdfium.FPDFText_GetUnicode(self._page, index)
        text = _text_of(code)
        matrix = self._matrix(index)
        if text.isspace() or pdfium.FPDFText_IsGenerated(self._page, index) == 1 or matrix is None:
            return Glyph(" ", matrix or (0.0, 0.0, 0.0, 0.0, 0.0, 0.0), None)
        style = self._style(index)
        box = self._box(index) if style.paints else None
        if box is None:
            return None
        return Glyph(text, matrix, self._ink(matrix, box, style, code), style.name)

    def _style(self, index: int) -> _Style:
        """The look of the text object that the character belongs to; its neighbours mostly share it."""
        item = pdfium.FPDFText_GetTextObject(self._page, index)
        place = address(item)
        if place != self._style_of:
            paints = bool(item) and place not in self._hidden and self._paints(index, item)
            font = pdfium.FPDFTextObj_GetFont(item) if paints else None
            self._style_of, self._last_style = place, _Style(paints, font, address(font), self._font_name(font))
        return self._last_style

    def _matrix(self, index: int) -> Matrix | None:
        """Em units at the glyph's origin → user space; None where it would flatten the glyph."""
        raw, x, y = pdfium.FS_MATRIX(), ctypes.c_double(), ctypes.c_double()
        if not pdfium.FPDFText_GetMatrix(self._page, index, raw):
            return None
        if not pdfium.FPDFText_GetCharOrigin(self._page, index, x, y):
            return None
        size = pdfium.FPDFText_GetFontSize(self._page, index)
        matrix = (raw.a * size, raw.b * size, raw.c * size, raw.d * size, x.value, y.value)
        finite = all(math.isfinite(value) for value in matrix)
        return matrix if finite and abs(matrix[0] * matrix[3] - matrix[1] * matrix[2]) > 1e-12 else None

    def _box(self, index: int) -> Rect | None:
        left, right, bottom, top = (ctypes.c_double() for _ in range(4))
        if not pdfium.FPDFText_GetCharBox(self._page, index, left, right, bottom, top):
            return None
        box = (left.value, bottom.value, right.value, top.value)
        return box if box[2] - box[0] > 1e-6 and box[3] - box[1] > 1e-6 else None

    def _paints(self, index: int, item: Any) -> bool:
        mode = pdfium.FPDFTextObj_GetTextRenderMode(item)
        if mode in _INVISIBLE:
            return False
        alphas = []
        if mode not in (1, 5):
            alphas.append(self._alpha(pdfium.FPDFText_GetFillColor, index))
        if mode in _STROKED:
            alphas.append(self._alpha(pdfium.FPDFText_GetStrokeColor, index))
        return any(alpha > 0 for alpha in alphas)

    def _alpha(self, read: Any, index: int) -> int:
        red, green, blue, alpha = (ctypes.c_uint() for _ in range(4))
        return alpha.value if read(self._page, index, red, green, blue, alpha) else 255

    def _font_name(self, font: Any) -> str:
        key = address(font)
        if key not in self._fonts:
            buffer = ctypes.create_string_buffer(256)
            length = pdfium.FPDFFont_GetBaseFontName(font, buffer, 256) if font else 0
            name = buffer.value.decode("utf-8", "replace") if 0 < length <= 256 else ""
            # a subset carries six capitals and a plus before its name: ISO 32000-1 9.6.4
            self._fonts[key] = name[7:] if name[6:7] == "+" else name
        return self._fonts[key]

    def _ink(self, matrix: Matrix, box: Rect, style: _Style, code: int) -> Rect:
        """Ink box in text space from the box along the page's axes."""
        outline, advance = self._outline(style, code)
        a, b, c, d = matrix[:4]
        # the outline first: pdfium rounds its boxes to 0.001 em, and makes those of composite fonts about 1.5 % too tall
        if outline is not None and _agrees(apply_rect(matrix, outline), box, _em(matrix)):
            return outline
        if _quarter_turned(matrix):
            return apply_rect(inverse(matrix), box)
        x, y = apply(inverse(matrix), ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2))
        wide, high = box[2] - box[0], box[3] - box[1]
        a, b, c, d = abs(a), abs(b), abs(c), abs(d)
        det = a * d - b * c
        if abs(det) > _WELL_POSED * (a * a + b * b) ** 0.5 * (c * c + d * d) ** 0.5:
            w, h = (d * wide - c * high) / det, (a * high - b * wide) / det
        else:
            # near 45° both equations say the same: the advance stands in for the width (marked as our estimate)
            w = min(advance or 0.5, wide / a)
            h = (wide - a * w) / c
        w, h = max(w, 0.0), max(h, 0.0)
        return (x - w / 2, y - h / 2, x + w / 2, y + h / 2)

    def _outline(self, style: _Style, code: int) -> tuple[Rect | None, float]:
        """(bounds of the outline, advance) in em of the glyph that the font shows for ``code``."""
        key = (style.font_at, code)
        if key not in self._outlines:
            found = (_outline_bounds(style.font, code), _advance(style.font, code)) if style.font else (None, 0.0)
            self._outlines[key] = found
        return self._outlines[key]


def _outline_bounds(font: Any, code: int) -> Rect | None:
    path = pdfium.FPDFFont_GetGlyphPath(font, code, 1.0)  # gives em whatever size is asked for
    count = pdfium.FPDFGlyphPath_CountGlyphSegments(path) if path else 0
    points = []
    for number in range(count):
        segment = pdfium.FPDFGlyphPath_GetGlyphPathSegment(path, number)
        x, y = ctypes.c_float(), ctypes.c_float()
        if pdfium.FPDFPathSegment_GetPoint(segment, x, y):
            points.append((x.value, y.value))
    return bounds(points) if points else None


def _advance(font: Any, code: int) -> float:
    width = ctypes.c_float()
    return width.value if pdfium.FPDFFont_GetGlyphWidth(font, code, 1.0, width) else 0.0


def _text_of(code: int) -> str:
    if code in (0x00, 0xFFFE, 0xFFFF):
        return "\N{REPLACEMENT CHARACTER}"  # paints, but the file doesn't say which letter
    if code in (0x02, 0xAD):
        return "-"  # how pdfium marks a hyphen at a line's end
    return chr(code)


def _em(matrix: Matrix) -> float:
    return math.hypot(matrix[2], matrix[3])


def _quarter_turned(matrix: Matrix) -> bool:
    a, b, c, d = (abs(value) for value in matrix[:4])
    along, up = max(a, b), max(c, d)
    return (b < _UPRIGHT * along and c < _UPRIGHT * up) or (a < _UPRIGHT * along and d < _UPRIGHT * up)


def _agrees(one: Rect, other: Rect, em: float) -> bool:
    return all(abs(p - q) <= _AGREE * em for p, q in zip(one, other, strict=True))

"""Strokes and thin fills of a PDF page. Takes a pdfium page, gives `Lines` in the page frame (see `facts`).

A stroke's width is that of its pen at its thinnest on the page: width × the smaller stretch of the mapping. A fill of up to
eight straight segments is as thick as its area over half its outline's length, which is what a long thin one measures
across; others as the smaller side of their bounds.
"""

import ctypes
import math
from itertools import repeat
from typing import Any

import numpy as np
import pypdfium2.raw as pdfium
from attrs import define, field

from . import calls
from .calls import Handle, bare
from .facts import Lines, Point, Rect, Thin
from .faults import ABSURD_MM
from .mapping import Matrix, apply, apply_rect, then
from .mapping_rows import Numbers

MAX_OBJECTS = 1_000_000  # ours: objects looked at on one page
MAX_DEPTH = 30  # ours: forms inside forms
MAX_THIN = 50  # ours: the thinnest that are listed
_THIN_MM = 2.0  # ours: a fill whose bounds are wider is measured only if it is of few segments
_FEW = 8
_AT_ONCE = 8192

_draw_mode = bare(pdfium.FPDFPath_GetDrawMode)
_stroke_width = bare(pdfium.FPDFPageObj_GetStrokeWidth)
_matrix = bare(pdfium.FPDFPageObj_GetMatrix)
_bounds = bare(pdfium.FPDFPageObj_GetBounds)
_segments = bare(pdfium.FPDFPath_CountSegments)
_segment = bare(pdfium.FPDFPath_GetPathSegment, Handle)
_point = bare(pdfium.FPDFPathSegment_GetPoint)
_curved = bare(pdfium.FPDFPathSegment_GetType)


@define
class _Found:
    """Counts, and (width, kind, bounds in the page frame) of the thinnest so far."""

    strokes: int = 0
    fills: int = 0
    thin: list[Thin] = field(factory=list)

    def add(self, more: list[Thin]) -> None:
        self.thin = sorted([*self.thin, *more], key=lambda one: (one.width, one.where))[:MAX_THIN]

    @property
    def most(self) -> float:
        """Width from which on nothing is listed any more."""
        return self.thin[-1].width if len(self.thin) == MAX_THIN else math.inf


def page_lines(page: Any, to_frame: Matrix) -> tuple[Lines, tuple[str, ...]]:
    """(lines, what was not seen) of a pdfium page (handle); ``to_frame`` = its user space → page frame."""
    raw = calls.handle(page)
    found, left, cut = _Found(), MAX_OBJECTS, False
    level = [(raw, to_frame, True)]
    for _depth in range(MAX_DEPTH):
        below: list[tuple[Handle, Matrix, bool]] = []
        for holder, matrix, is_page in level:
            count = calls.page_objects(holder) if is_page else calls.form_objects(holder)
            cut |= count > left
            count = max(0, min(count, left))
            left -= count
            get = calls.page_object if is_page else calls.form_object
            for start in range(0, count, _AT_ONCE):
                below += _objects(
                    found, list(map(get, repeat(holder), range(start, min(count, start + _AT_ONCE)))), matrix
                )
        level = below
        if not level:
            break
    rest = (f"lines after the first {MAX_OBJECTS:,} objects (the limit a page)",) if cut or level else ()
    return Lines(found.strokes, found.fills, tuple(found.thin)), rest


def _objects(found: _Found, items: list[Handle], matrix: Matrix) -> list[tuple[Handle, Matrix, bool]]:
    """Takes in the paths among ``items``, which stand in a space that ``matrix`` maps to the page frame; gives the forms."""
    kinds = list(map(calls.kind_of, items))
    paths = [item for item, kind in zip(items, kinds, strict=True) if kind == pdfium.FPDF_PAGEOBJ_PATH]
    forms = []
    for item, kind in zip(items, kinds, strict=True):
        if kind == pdfium.FPDF_PAGEOBJ_FORM:
            own = _asked(_matrix, [item], 6)[0].tolist()
            forms.append((item, then((own[0], own[1], own[2], own[3], own[4], own[5]), matrix), False))
    if paths:
        modes = _modes(paths)
        _take_strokes(found, [item for item, (_, stroked) in zip(paths, modes, strict=True) if stroked], matrix)
        _take_fills(found, [item for item, (fill, _) in zip(paths, modes, strict=True) if fill], matrix)
    return forms


def _modes(paths: list[Handle]) -> list[tuple[int, int]]:
    fill, stroke = (ctypes.c_int * len(paths))(), (ctypes.c_int * len(paths))()
    asked = map(_draw_mode, paths, calls.cells(fill, 1, 0, len(paths)), calls.cells(stroke, 1, 0, len(paths)))
    return [(fill[n], stroke[n]) if known else (0, 0) for n, known in enumerate(asked)]


def _take_strokes(found: _Found, paths: list[Handle], matrix: Matrix) -> None:
    found.strokes += len(paths)
    if not paths:
        return
    widths = _asked(_stroke_width, paths, 1)[:, 0] * _least_stretch(_through(_asked(_matrix, paths, 6), matrix))
    rows = np.flatnonzero(widths < min(found.most, ABSURD_MM))
    rows = rows[np.argsort(widths[rows], kind="stable")][:MAX_THIN]
    found.add([Thin("stroke", float(widths[row]), _where(paths[row], matrix)) for row in rows.tolist()])


def _take_fills(found: _Found, paths: list[Handle], matrix: Matrix) -> None:
    found.fills += len(paths)
    if not paths:
        return
    boxes = _four(paths)
    scale = _least_stretch(np.array([matrix]))[0]
    sides = np.minimum(boxes[:, 2] - boxes[:, 0], boxes[:, 3] - boxes[:, 1]) * scale
    made = []
    for row, item in enumerate(paths):
        width = float(sides[row])
        if _segments(item) <= _FEW:
            width = min(width, _across(item, matrix))
        if width < min(found.most, _THIN_MM):
            made.append((width, row))
    made = sorted(made)[:MAX_THIN]
    found.add([Thin("fill", width, _where(paths[row], matrix)) for width, row in made])


def _across(item: Handle, matrix: Matrix) -> float:
    """Thickness in mm of a path of straight segments; infinite if it is none."""
    own = _asked(_matrix, [item], 6)[0].tolist()
    place = then((own[0], own[1], own[2], own[3], own[4], own[5]), matrix)
    x, y = ctypes.c_float(), ctypes.c_float()
    points: list[Point] = []
    for index in range(_segments(item)):
        segment = _segment(item, index)
        if _curved(segment) == pdfium.FPDF_SEGMENT_BEZIERTO or not _point(segment, ctypes.byref(x), ctypes.byref(y)):
            return math.inf
        points.append(apply(place, (x.value, y.value)))
    sides = list(zip(points, points[1:] + points[:1], strict=True))
    around = sum(math.dist(p, q) for p, q in sides)
    area = abs(sum(p[0] * q[1] - p[1] * q[0] for p, q in sides)) / 2
    return 2 * area / around if around > 0 else math.inf


def _asked(call: Any, items: list[Handle], width: int) -> Numbers:
    """``width`` numbers of each item; NaN where pdfium has none."""
    answers = (ctypes.c_float * (width * len(items)))()
    numbers = np.frombuffer(answers, np.float32).reshape(-1, width)  # type: ignore[call-overload]
    known = np.fromiter(map(call, items, calls.cells(answers, width, 0, len(items))), np.int64, len(items))
    return np.where(known[:, None] != 0, numbers, np.nan).astype(float)


def _four(items: list[Handle]) -> Numbers:
    """Bounds of each item in the space that it stands in."""
    answers = (ctypes.c_float * (4 * len(items)))()
    places = [calls.cells(answers, 4, start, len(items)) for start in range(4)]
    known = np.fromiter(map(_bounds, items, *places), np.int64, len(items))
    numbers = np.frombuffer(answers, np.float32).reshape(-1, 4)  # type: ignore[call-overload]
    return np.where(known[:, None] != 0, numbers, np.nan).astype(float)


def _where(item: Handle, matrix: Matrix) -> Rect:
    """Bounds in the page frame, cut at 1 km."""
    box = np.nan_to_num(_four([item])[0]).tolist()
    far = apply_rect(matrix, (box[0], box[1], box[2], box[3]))
    x0, y0, x1, y1 = (min(max(value, -ABSURD_MM), ABSURD_MM) for value in far)
    return (x0, y0, x1, y1)


def _through(first: Numbers, second: Matrix) -> Numbers:
    a, b, c, d = first[:, 0], first[:, 1], first[:, 2], first[:, 3]
    p, q, r, s = second[:4]
    return np.stack([a * p + b * r, a * q + b * s, c * p + d * r, c * q + d * s], 1)


def _least_stretch(matrix: Numbers) -> Numbers:
    """The smaller singular value of each mapping's linear part."""
    a, b, c, d = matrix[:, 0], matrix[:, 1], matrix[:, 2], matrix[:, 3]
    # half the difference of the two lengths whose half sum is the larger one: closed form of a 2 × 2
    return np.asarray(abs(np.hypot(a + d, b - c) - np.hypot(a - d, b + c)) / 2)

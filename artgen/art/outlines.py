"""The outlines of glyphs of fonts that pdfium holds: bounds of its ink, its convex hull, its advance; all in em."""

import ctypes
from collections.abc import Sequence
from typing import Any

import numpy as np
import pypdfium2.raw as pdfium
from attrs import frozen

from .facts import Rect
from .hulls import hulls_of
from .mapping_rows import Numbers

_STEPS = np.linspace(0.0, 1.0, 17)[1:]  # a quarter of a circle of 1 em is met to 0.0003 em
_TOLERANCE = 1e-3  # ours: em that the hull may lack
_MOST_SEGMENTS = 20_000  # ours: an outline of more is judged by what comes first


@frozen
class Outline:
    """``bounds`` = None where the font has no outline for it; ``hull`` = k × 2, anticlockwise, empty then."""

    bounds: Rect | None
    hull: Numbers
    advance: float


def outlines_of(glyphs: Sequence[tuple[Any, int]]) -> list[Outline]:
    """The glyphs that fonts show for Unicode codes, given as (font or None, code)."""
    # gives em whatever size is asked for
    drawn = [_points(pdfium.FPDFFont_GetGlyphPath(font, code, 1.0) if font else None) for font, code in glyphs]
    counts = np.array([len(points) for points in drawn], int)
    some = np.flatnonzero(counts)
    hulls = [np.empty((0, 2))] * len(drawn)
    if len(some):
        starts = np.cumsum(counts[some]) - counts[some]
        for row, hull in zip(
            some.tolist(), hulls_of(np.vstack(drawn), starts, np.full(len(some), _TOLERANCE)), strict=True
        ):
            hulls[row] = hull
    return [
        Outline(_bounds(points), hull, _advance(font, code) if font else 0.0)
        for points, hull, (font, code) in zip(drawn, hulls, glyphs, strict=True)
    ]


def _bounds(points: Numbers) -> Rect | None:
    if not len(points):
        return None
    (x0, y0), (x1, y1) = points.min(0).tolist(), points.max(0).tolist()
    return x0, y0, x1, y1


def _advance(font: Any, code: int) -> float:
    width = ctypes.c_float()
    return width.value if pdfium.FPDFFont_GetGlyphWidth(font, code, 1.0, width) else 0.0


def _points(path: Any) -> Numbers:
    """Points of an outline's ink, n × 2: vertices, and points of its curves with their extremes among them."""
    count = pdfium.FPDFGlyphPath_CountGlyphSegments(path) if path else 0
    corners: list[tuple[float, float]] = []
    curves: list[tuple[float, float]] = []
    x, y = ctypes.c_float(), ctypes.c_float()
    here, bends = (0.0, 0.0), 0
    for number in range(max(0, min(count, _MOST_SEGMENTS))):
        segment = pdfium.FPDFGlyphPath_GetGlyphPathSegment(path, number)
        if not pdfium.FPDFPathSegment_GetPoint(segment, x, y):
            continue
        point = (x.value, y.value)
        if pdfium.FPDFPathSegment_GetType(segment) == pdfium.FPDF_SEGMENT_BEZIERTO:
            # three in a row: two control points and the end
            if bends == 0:
                curves.append(here)
            curves.append(point)
            bends = (bends + 1) % 3
            if bends == 0:
                here = point
        else:
            corners.append(point)
            here, bends = point, 0
    whole = len(curves) // 4 * 4
    found = [np.array(corners, float).reshape(-1, 2)]
    if whole:
        found += _on_curves(np.array(curves[:whole], float).reshape(-1, 4, 2))
    points = np.vstack(found)
    finite: Numbers = points[np.isfinite(points).all(1)]
    return finite


def _on_curves(curves: Numbers) -> list[Numbers]:
    """Points of cubic curves (n × 4 × 2): at even steps, and where they turn back along x or y."""
    a, b, c, d = curves.transpose(1, 0, 2)
    found = [_at(curves, np.broadcast_to(_STEPS, (len(curves), len(_STEPS))))]
    # the derivative's zeros: (d − 3c + 3b − a) t² + 2 (c − 2b + a) t + (b − a)
    p, q, r = d - 3 * c + 3 * b - a, 2 * (c - 2 * b + a), b - a
    with np.errstate(all="ignore"):
        root = np.sqrt(q * q - 4 * p * r)
        straight = abs(p) < 1e-9
        times = [np.where(straight, -r / q, (-q + sign * root) / (2 * p)) for sign in (1, -1)]
    turns = np.hstack(times)
    found.append(_at(curves, np.where((turns > 0) & (turns < 1), turns, 0.0)))
    return [points.reshape(-1, 2) for points in found]


def _at(curves: Numbers, times: Numbers) -> Numbers:
    """n × m × 2 points of n curves at n × m times."""
    t = times[:, :, None]
    a, b, c, d = (point[:, None, :] for point in curves.transpose(1, 0, 2))
    u = 1 - t
    points: Numbers = u**3 * a + 3 * u * u * t * b + 3 * u * t * t * c + t**3 * d
    return points

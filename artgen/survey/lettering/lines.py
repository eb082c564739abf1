"""The detector's map to lines of text: their outlines in the target's plane, those of several views merged."""

from collections.abc import Iterable
from math import atan2, degrees, hypot

import numpy as np
from attrs import frozen
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon, STRtree, union_all
from shapely.geometry.base import BaseGeometry

from ...sizing.panel import placed
from .models import lines_map
from .views import Picture

_SURE = 0.3  # the map's threshold (its authors')
_LINE = 0.4  # mean of the map over a line, for it to count (tuned: reading weeds out what is none)
_GROW = 1.6  # the map shows the middle of a line: grown by this × area / perimeter (its authors')
_DETAIL = 0.05  # ours: what is finer is left out before growing, as a share of the growth
_LEAST = 3.0  # px: thinner ones are dust
_KNOWN, _HEAP = 0.5, 0.5  # ours: share of a less exact line; height beside it
_AS_SURE = 0.75  # ours: a heap's lines are nearly as sure as what it looks like from afar; bits of a pattern are not
_COVERED = 0.7  # ours: share of a line inside another for both to be one


@frozen
class Line:
    """A line of text. ``outline`` in the plane, mm, bent as the text is; ``box`` = (middle x, y, length, height, degrees of
    its longer side); ``cut``: the view ends in it."""

    outline: Polygon
    box: tuple[float, float, float, float, float]
    score: float
    step: float
    cut: bool


def lines_in(view: Picture) -> list[Line]:
    """What the detector sees in one view."""
    import cv2  # optional: it comes with the extra

    found = lines_map(view.rgb)
    mask = (found > _SURE).astype(np.uint8)
    contours, _ = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_SIMPLE)
    kept = []
    for contour in contours:
        if len(contour) < 3 or min(cv2.minAreaRect(contour)[1]) < _LEAST - 1:
            continue
        score = _score(found, np.asarray(contour))
        if score < _LINE:
            continue
        shape = Polygon(np.asarray(contour)[:, 0, :] + 0.5).buffer(0)
        if shape.is_empty or shape.length == 0:
            continue
        shape = _grown(shape, shape.area * _GROW / shape.length)
        if not isinstance(shape, Polygon):
            continue
        rows, columns = view.rgb.shape[:2]
        x0, y0, x1, y1 = shape.bounds
        cut = x0 <= 1 or y0 <= 1 or x1 >= columns - 1 or y1 >= rows - 1
        outline = Polygon(placed(view.to_plane, tuple(shape.exterior.coords[:-1])))
        kept.append(Line(outline, box_of(np.array(outline.exterior.coords)), score, view.step, cut))
    return kept


def _grown(shape: BaseGeometry, by: float) -> BaseGeometry:
    """Details much finer than the growth don't show after it, but those of a large tangle would take seconds: they go first."""
    fine = _DETAIL * by
    if isinstance(shape, MultiPolygon):  # parts that hang together by a corner
        shape = MultiPolygon([part for part in shape.geoms if part.area >= fine * fine])
    return shape.simplify(fine).buffer(by, quad_segs=4).simplify(0.5)


def _score(found: NDArray[np.float32], contour: NDArray[np.int32]) -> float:
    import cv2  # optional: it comes with the extra

    x, y, w, h = cv2.boundingRect(contour)
    mask = np.zeros((h, w), np.uint8)
    cv2.fillPoly(mask, [contour - np.array([[x, y]])], 1)
    return float(cv2.mean(found[y : y + h, x : x + w], mask)[0])


def box_of(points: NDArray[np.float64]) -> tuple[float, float, float, float, float]:
    """The smallest rectangle round points: middle, longer side, shorter side, degrees of the longer side in ±90."""
    import cv2  # optional: it comes with the extra

    corners = np.asarray(cv2.boxPoints(cv2.minAreaRect(points.astype(np.float32))), dtype=float)
    a, b = corners[1] - corners[0], corners[2] - corners[1]
    if hypot(*a) < hypot(*b):
        a, b = b, a
    angle = degrees(atan2(a[1], a[0]))
    angle -= 180 * round(angle / 180)
    middle = corners.mean(axis=0)
    return float(middle[0]), float(middle[1]), float(hypot(*a)), float(hypot(*b)), angle


def merged(found: Iterable[Line]) -> list[Line]:
    """Each line once: of two that lie on each other the taller stays, but a coarse one that runs lines together goes."""
    kept: list[Line] = []
    for line in sorted(found, key=lambda one: -one.outline.area):
        if not any(_same(line, other) for other in kept):
            kept.append(line)
    return [line for line in kept if not _several(line, kept)]


def added(kept: list[Line], found: Iterable[Line]) -> list[Line]:
    """``kept``, and of less exact lines those that are new: not half known, and no heap of smaller lines."""
    more = list(kept)
    for line in sorted(found, key=lambda one: -one.outline.area):
        near = [other for other in more if other.outline.intersects(line.outline)]
        known = union_all([other.outline for other in near]).intersection(line.outline).area
        heap = any(
            other.box[3] < _HEAP * line.box[3]
            and other.score > _AS_SURE * line.score
            and other.outline.intersection(line.outline).area > _COVERED * other.outline.area
            for other in near
        )
        if known <= _KNOWN * line.outline.area and not heap:
            more.append(line)
    return more


def _same(line: Line, other: Line) -> bool:
    if not line.outline.intersects(other.outline):
        return False
    return bool(line.outline.intersection(other.outline).area >= _COVERED * line.outline.area) and (
        line.box[3] > 0.6 * other.box[3] or line.step >= other.step or other.box[3] > 60 * line.step
    )


def _several(line: Line, kept: list[Line]) -> bool:
    """Whether two or more finer lines of less height fill it."""
    inside = [
        other
        for other in kept
        if other is not line
        and other.step < line.step
        and other.box[3] < 0.6 * line.box[3]
        and other.outline.intersection(line.outline).area > _COVERED * other.outline.area
    ]
    return len(inside) > 1 and sum(other.outline.area for other in inside) > 0.5 * line.outline.area


def explained(line: BaseGeometry, live: STRtree, share: float) -> bool:
    """Whether live words cover at least ``share`` of it."""
    near = [live.geometries[i] for i in live.query(line)]
    covered = Polygon()
    for shape in near:
        covered = covered.union(shape)
    return bool(covered.intersection(line).area >= share * line.area)

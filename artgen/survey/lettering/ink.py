"""A line of text to the words in it: where its ink begins and ends, and where the gaps are.

Takes the plane's picture and a line's outline; gives each word's box of ink in the plane, with how far it may be wrong.
Ink is told from its ground by colour: two colours are sought inside the line, and the one that the line's surroundings
share is the ground. Where that parts nothing, the line's own outline stands for its ink, with a larger doubt.
"""

from collections.abc import Iterable, Sequence
from math import cos, hypot, radians, sin

import numpy as np
from attrs import evolve, frozen
from numpy.typing import NDArray

from ...sizing.outline import Outline, Point
from ...sizing.panel import Affine, inverse, placed
from .lines import Line, box_of
from .models import Rgb
from .views import Picture

_FINE = 200  # px over a line's height, where the picture has them
_ASIDE, _ABOVE = 0.6, 0.35  # margins beyond the line's box, in heights of it
_CUT_ASIDE = 4.0  # the same along the line, where the view ended in it
_GAP = 0.3  # ours: a gap between words, in heights of the ink; letters stand closer
_NARROW, _WIDER, _MANY = 0.2, 2.2, 4  # ours: where there are many gaps, one of so many heights and times the usual one
_ALIKE, _LETTER = 1.8, 1.1  # ours: gaps that differ less, between pieces no wider than so many heights, part letters
# measured: share of a line's outline that its words' boxes have, nearly always, and at least; with less it is something else
_USUAL, _TRUE = (0.5, 1.3), 0.35
_PIECE = 0.05  # ours: share of the ink from which a piece counts
_RIM = 0.2  # heights by which a line's outline goes past its ink at most (measured: 0.12, spread 0.06)
_DOUBT = 0.12  # ours: heights by which an outline that stands for its ink may be wrong
_NEARLY = 4.0  # degrees: outlines wobble, and designers set text along axes: so near to one it is along it
_BENT = 0.25  # heights: a line that bends more is straightened before its gaps are sought

Mask = NDArray[np.bool_]


@frozen
class InkWord:
    """``quad`` in the plane: lower left, lower right, upper right, upper left as the line runs; ``hull`` = vertices of the
    convex polygon round its ink; ``reach`` = the same round all that the detector takes for its lettering, less the rim that it
    always adds; ``slack`` = mm by which any side may be wrong; ``height`` = mm of its ink across the line; ``angle`` = degrees of
    the line; ``whole``: its ink is one piece, as a bar's or a picture's edge is, while letters are several."""

    quad: Outline
    slack: float
    height: float
    angle: float
    whole: bool = False
    hull: Outline | None = None
    reach: Outline = ()


def words_in(pictures: Sequence[Picture], line: Line, tilt: float) -> list[InkWord]:
    """The words of a line, as it runs, by the first picture that shows their ink clearly and about as large as the line is,
    else, in doubt, by the first that shows it clearly, else by the last that shows any. ``tilt`` = the direction that a line
    without one of its own has."""
    clearly: list[InkWord] = []
    best: list[InkWord] = []
    for picture in pictures:
        found, clear = _words_in(picture, line, tilt)
        if clear and _USUAL[0] <= _share(found, line) <= _USUAL[1]:
            return found
        if clear and not clearly:
            clearly = [evolve(word, slack=max(word.slack, _DOUBT * line.box[3])) for word in found]
        best = found
    return clearly or best


def _share(found: list[InkWord], line: Line) -> float:
    """How large the boxes of words are beside their line's outline."""
    return sum(_area(word.quad) for word in found) / float(line.outline.area)


def _area(rectangle: Outline) -> float:
    (x0, y0), (x1, y1), _, (x3, y3) = rectangle
    return hypot(x1 - x0, y1 - y0) * hypot(x3 - x0, y3 - y0)


def _words_in(picture: Picture, line: Line, tilt: float) -> tuple[list[InkWord], bool]:
    x, y, length, height, angle = line.box
    if length < 1.3 * height:  # as high as long: it runs as level text does
        angle, length, height = _along(line, tilt)
    elif abs(_from_axes(angle - tilt)) < _NEARLY:
        angle, length, height = _along(line, angle - _from_axes(angle - tilt))
    step = max(picture.step, height / _FINE)
    aside = (_CUT_ASIDE if line.cut else _ASIDE) * height
    columns, rows = (int(np.ceil((n + 2 * m) / step)) for n, m in ((length, aside), (height, _ABOVE * height)))
    columns = min(columns, 6000)
    c, s = cos(radians(angle)), sin(radians(angle))
    u, v = -columns / 2 * step, rows / 2 * step  # the crop's upper left, from its middle
    window: Affine = (step * c, step * s, step * s, -step * c, x + u * c - v * s, y + u * s + v * c)
    rgb = picture.part(window, columns, rows, step).seen(window, columns, rows)
    core = _drawn(line.outline.exterior.coords, window, columns, rows)
    high, wide = picture.rgb.shape[:2]
    there = _drawn(placed(picture.to_plane, ((0, 0), (wide, 0), (wide, high), (0, high))), window, columns, rows)
    parted = _ink(rgb, core & there, there, height / step)
    if parted is None:
        return [InkWord(_boxed(core, window), _DOUBT * height, height, angle)], False
    ink, clear = parted
    slack = step if clear else max(step, _DOUBT * height)
    bow = _bow(core)
    kernel = max(1, round(_RIM * height / step))
    certain = ~_grown(~core, kernel) & there
    parts = _split(_straight(ink, bow), height / step)
    found = []
    for number, (start, end) in enumerate(parts):
        part = _columns(ink, start, end)
        if part.sum() < 4:
            continue
        quad, turned = (_boxed(part, window), angle) if bow is None else _turned_box(part, window)
        (x0, y0), (x3, y3) = quad[0], quad[3]
        # between words there is a gap to be seen: only the line's own ends are open
        reach = _columns(certain, start if number else 0, end if number < len(parts) - 1 else columns)
        found.append(
            InkWord(
                quad,
                slack,
                hypot(x3 - x0, y3 - y0),
                turned,
                _whole(part),
                _hull(part, window),
                _hull(reach, window) if reach.any() else (),
            )
        )
    if _share(found, line) < _TRUE:
        return [InkWord(_boxed(core, window), _DOUBT * height, height, angle)], False
    return found, clear


def _columns(mask: Mask, start: int, end: int) -> Mask:
    """The mask from one column to another."""
    part = mask.copy()
    part[:, :start] = part[:, end:] = False
    return part


def _from_axes(angle: float) -> float:
    """Degrees from the nearest of level, upright and the slants half-way."""
    return angle - 45 * round(angle / 45)


def _along(line: Line, angle: float) -> tuple[float, float, float]:
    """(degrees, length, height) of a line's box in axes turned by ``angle``."""
    points = np.array(line.outline.exterior.coords)
    c, s = cos(radians(angle)), sin(radians(angle))
    along, across = points @ [c, s], points @ [-s, c]
    return angle, float(np.ptp(along)), float(np.ptp(across))


def _drawn(outline: Iterable[Point], window: Affine, columns: int, rows: int) -> Mask:
    """An outline of the plane as pixels of the crop."""
    import cv2  # optional: it comes with the extra

    ring = np.array(placed(inverse(window), tuple((x, y) for x, y in outline)))
    drawn = np.zeros((rows, columns), np.uint8)
    cv2.fillPoly(drawn, [np.round(ring - 0.5).astype(np.int32)], 1)
    return drawn.astype(bool)


def _ink(rgb: Rgb, core: Mask, there: Mask, height: float) -> tuple[Mask, bool] | None:
    """Which pixels of the crop are ink of this line, and whether that is clear; None where its colours don't part. Beyond
    ``there`` is no picture."""
    import cv2  # optional: it comes with the extra

    if core.sum() < 16:
        return None
    colours = np.asarray(cv2.cvtColor(rgb, cv2.COLOR_RGB2LAB), dtype=np.float32)
    reach = max(2, round(0.12 * height))
    around = _grown(core, reach) & ~core & there
    if not around.any():
        return None
    inside = colours[core]
    if len(inside) > 20_000:
        inside = inside[:: len(inside) // 20_000 + 1]
    criteria = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 20, 0.5)
    cv2.setRNGSeed(1)
    _, _, centres = cv2.kmeans(inside, 2, np.empty((0, 1), np.int32), criteria, 2, cv2.KMEANS_PP_CENTERS)
    centres = np.asarray(centres)
    if np.linalg.norm(centres[0] - centres[1]) < 8:
        return None
    nearer = ((colours - centres[0]) ** 2).sum(axis=2) > ((colours - centres[1]) ** 2).sum(axis=2)
    shares = [(float((nearer[core] == i).mean()), float((nearer[around] == i).mean())) for i in (0, 1)]
    which = max((0, 1), key=lambda i: shares[i][0] - shares[i][1])
    if shares[which][1] > 0.35 or not 0.04 < shares[which][0] < 0.9:
        return None
    return _own((nearer == which) & there, core, reach)


def _own(ink: Mask, core: Mask, reach: int) -> tuple[Mask, bool]:
    """(ink in pieces that lie mostly in the line, and of what lies half in it that half; whether nothing runs past it).

    What only runs past the line goes: rules, leaves, edges of pictures, the joints of bricks even where letters touch them.
    """
    import cv2  # optional: it comes with the extra

    near, far = _grown(core, reach), _grown(core, 4 * reach)
    count, labels, stats, _ = cv2.connectedComponentsWithStats(ink.astype(np.uint8), connectivity=8)
    labels = np.asarray(labels)
    size = np.asarray(stats)[:, cv2.CC_STAT_AREA].astype(float)
    within = np.bincount(labels[near], minlength=count)
    own, half = (within > 0.75 * size) & (size >= 3), (within > 0.3 * size) & (size >= 3)
    own[0] = half[0] = False
    # ascenders and descenders stick out of the outline, but end soon
    outside = ink & ~near
    count, pieces = cv2.connectedComponents(outside.astype(np.uint8), connectivity=8)
    pieces = np.asarray(pieces)
    passing = np.bincount(pieces[~far], minlength=count) > 0
    passing[0] = False
    runs_past: Mask = passing[pieces] & own[labels]
    found: Mask = (own[labels] & far & ~passing[pieces]) | (half[labels] & core)
    return found, not runs_past.any()


def _whole(ink: Mask) -> bool:
    import cv2  # optional: it comes with the extra

    _, _, stats, _ = cv2.connectedComponentsWithStats(ink.astype(np.uint8), connectivity=8)
    sizes = np.asarray(stats)[1:, cv2.CC_STAT_AREA]
    return bool((sizes > _PIECE * sizes.sum()).sum() < 2)


def _grown(mask: Mask, reach: int) -> Mask:
    """All within so many pixels of the mask."""
    import cv2  # optional: it comes with the extra

    if not mask.any():
        return mask.copy()  # there is nothing to be so far from
    away = cv2.distanceTransform((~mask).astype(np.uint8), cv2.DIST_L2, cv2.DIST_MASK_PRECISE)
    found: Mask = np.asarray(away) <= reach
    return found


def _bow(core: Mask) -> NDArray[np.int32] | None:
    """By how many rows each column of a bent line lies lower than its ends' mean; None for a straight one."""
    filled = core.any(axis=0)
    columns = np.flatnonzero(filled)
    if len(columns) < 8:
        return None
    middles = (core[:, columns] * np.arange(len(core))[:, None]).sum(axis=0) / core[:, columns].sum(axis=0)
    fit = np.polyfit(columns, middles, 2)
    curve = np.polyval(fit, np.arange(core.shape[1]))
    thickness = float(np.median(core[:, columns].sum(axis=0)))
    if np.ptp(curve[columns]) < _BENT * thickness:
        return None
    bow: NDArray[np.int32] = np.round(curve - curve[columns].mean()).astype(np.int32)
    return bow


def _straight(ink: Mask, bow: NDArray[np.int32] | None) -> Mask:
    if bow is None:
        return ink
    rows = np.arange(len(ink))[:, None] + bow[None, :]
    inside = (rows >= 0) & (rows < len(ink))
    straight: Mask = ink[np.clip(rows, 0, len(ink) - 1), np.arange(ink.shape[1])[None, :]] & inside
    return straight


def _split(ink: Mask, height: float) -> list[tuple[int, int]]:
    """(first, past the last) columns of each word."""
    filled = ink.any(axis=0)
    rows = np.flatnonzero(ink.any(axis=1))
    if not filled.any():
        return []
    tall = min(float(rows[-1] - rows[0] + 1), height)
    turns = np.flatnonzero(np.diff(np.concatenate([[0], filled.astype(np.int8), [0]])))
    starts, ends = turns[::2], turns[1::2]
    gaps = starts[1:] - ends[:-1]
    limit = _GAP * tall
    if len(gaps) > 1 and gaps.max() < _ALIKE * gaps.min() and (ends - starts).max() < _LETTER * tall:
        limit = float(gaps.max()) + 1  # letters, widely spaced
    elif len(gaps) >= _MANY:
        limit = max(_NARROW * tall, _WIDER * float(np.median(gaps)))
    words = [(int(starts[0]), int(ends[0]))]
    for gap, start, end in zip(gaps, starts[1:], ends[1:], strict=True):
        if gap >= limit:
            words.append((int(start), int(end)))
        else:
            words[-1] = (words[-1][0], int(end))
    return words


def _boxed(mask: Mask, window: Affine) -> Outline:
    """The mask's box along the crop's axes, in the plane."""
    rows, columns = np.flatnonzero(mask.any(axis=1)), np.flatnonzero(mask.any(axis=0))
    if not len(rows):
        return placed(window, ((0, 0), (0, 0), (0, 0), (0, 0)))
    x0, x1, y0, y1 = float(columns[0]), float(columns[-1] + 1), float(rows[0]), float(rows[-1] + 1)
    return placed(window, ((x0, y1), (x1, y1), (x1, y0), (x0, y0)))


def _hull(mask: Mask, window: Affine) -> Outline:
    """The convex polygon round the mask's pixels, in the plane."""
    import cv2  # optional: it comes with the extra

    y, x = np.nonzero(mask)
    corners = np.concatenate([np.stack([x + i, y + j], axis=1) for i in (0, 1) for j in (0, 1)])
    ring = np.asarray(cv2.convexHull(corners.astype(np.int32)))[:, 0, :]
    return placed(window, tuple((float(u), float(v)) for u, v in ring))


def _turned_box(mask: Mask, window: Affine) -> tuple[Outline, float]:
    """The smallest rectangle round the mask, in the plane: letters on a bent line stand slanting."""
    import cv2  # optional: it comes with the extra

    y, x = np.nonzero(mask)
    ring = np.asarray(cv2.convexHull(np.stack([x, y], axis=1).astype(np.int32)))[:, 0, :] + 0.5
    points = np.array(placed(window, tuple((float(u), float(v)) for u, v in ring)))
    mx, my, length, height, angle = box_of(points)
    c, s, half, up = cos(radians(angle)), sin(radians(angle)), length / 2, height / 2
    corners = ((-half, -up), (half, -up), (half, up), (-half, up))
    return tuple((mx + u * c - v * s, my + u * s + v * c) for u, v in corners), angle

"""Finder patterns of QR codes, told from their runs dark, light, dark, light, dark of 1 : 1 : 3 : 1 : 1 (ISO/IEC 18004, 6.3.3).

Takes grey rows; gives squares on whose three corners such patterns stand: QR codes, whether they decode or not. A picture is
looked at coarser and coarser, since codes are of any size.
"""

from collections.abc import Iterator
from itertools import combinations
from math import hypot

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from ..art.codes import Grey
from ..sizing.outline import Point

_RATIOS = np.array([1.0, 1.0, 3.0, 1.0, 1.0])
_OFF = 0.5  # modules by which a run may be off; three times so much in the middle, as readers allow
_LEVELS = 4  # ours: how often a picture is halved
_LEAST_SIDE = 60  # px: smaller pictures are not halved further
_WINDOW = 16  # px: side of the blocks over three of which, each way, light and dark are told apart
_LEAST_MODULE = 1.3  # ours: px; below it runs of noise look like patterns
_ALIKE = 0.8  # ours: share of the modules of the three patterns that must be as the standard draws them
_CONTRAST = 4.0  # levels of 255 by which dark must be under the mean, light over it
_MOST_RUNS = 800  # ours: of one picture; more are a texture's
_MOST = 60  # ours: patterns of one picture that are combined; more stand in no code but in a texture


# dark modules of a pattern
_PATTERN = np.ones((7, 7), bool)
_PATTERN[1:6, 1:6] = False
_PATTERN[2:5, 2:5] = True


@frozen
class Finder:
    """The middle of a pattern, and a module's size along the row, px."""

    x: float
    y: float
    module: float


@frozen
class Square:
    """Corners of the code that three patterns make: upper left, upper right, lower right, lower left, px."""

    quad: tuple[Point, Point, Point, Point]
    module: float


def squares(grey: Grey, fine: bool = True) -> list[Square]:
    """Where QR codes stand by their patterns, dark on light or light on dark, the surest first. ``fine``: at the picture's own
    pixels too, not only coarser."""
    found: list[Square] = []
    level, factor = grey, 1
    for number in range(_LEVELS):
        for dark in _darks(level) if fine or number else ():
            for square in _combined(_finders(dark)):
                if modules_of(level, square) is None:
                    continue
                quad = tuple((x * factor, y * factor) for x, y in square.quad)
                made = Square(quad, square.module * factor)  # type: ignore[arg-type]
                if not any(_same(made, other) for other in found):
                    found.append(made)
        if min(level.shape) < 2 * _LEAST_SIDE:
            break
        rows, columns = (side // 2 for side in level.shape)
        part = level[: rows * 2, : columns * 2].astype(np.uint16)
        level = ((part[::2, ::2] + part[1::2, ::2] + part[::2, 1::2] + part[1::2, 1::2] + 2) // 4).astype(np.uint8)
        factor *= 2
    return found


def _finders(dark: NDArray[np.bool_]) -> list[Finder]:
    found: list[list[float]] = []
    for y, x, module in _runs(dark):
        up = _across(dark, x, y, module)
        if up is None:
            continue
        middle, tall = up
        if not 0.6 < tall / module < 1.7:  # a code that leans is as wide along rows as along columns
            continue
        near = next((one for one in found if hypot(one[0] - x, one[1] - middle) < 2.5 * module), None)
        if near is None:
            found.append([x, middle, (module + tall) / 2, 1])
        else:
            near[3] += 1
    return [Finder(x, y, module) for x, y, module, seen in found if seen >= max(2.0, 0.8 * module)]


def _darks(grey: Grey) -> Iterator[NDArray[np.bool_]]:
    """What is darker than its surroundings on average, and what is lighter."""
    rows, columns = grey.shape
    tall, wide = -(-rows // _WINDOW), -(-columns // _WINDOW)
    padded = np.pad(grey, ((0, tall * _WINDOW - rows), (0, wide * _WINDOW - columns)), mode="edge")
    blocks = padded.reshape(tall, _WINDOW, wide, _WINDOW).mean(axis=(1, 3), dtype=np.float32)
    around = np.pad(blocks, 1, mode="edge")
    mean = sum(around[y : y + tall, x : x + wide] for y in range(3) for x in range(3)) / 9
    mean = np.repeat(np.repeat(mean, _WINDOW, axis=0), _WINDOW, axis=1)[:rows, :columns]
    yield grey < mean - _CONTRAST
    yield grey > mean + _CONTRAST


def _runs(dark: NDArray[np.bool_]) -> Iterator[tuple[int, float, float]]:
    """(row, middle, module) of each run along a row that looks like a pattern."""
    rows, columns = dark.shape
    padded = np.zeros((rows, columns + 2), bool)
    padded[:, 1:-1] = dark
    flat = padded.ravel()
    edges = np.flatnonzero(flat[1:] != flat[:-1]) + 1
    if len(edges) < 6:
        return
    lengths = np.diff(edges).astype(float)
    starts = edges[:-1]
    begins_dark = flat[starts]
    five = np.stack([lengths[i : len(lengths) - 4 + i] for i in range(5)], axis=1)
    module = five.sum(axis=1) / 7
    off = np.abs(five - _RATIOS * module[:, None])
    limit = _OFF * module[:, None] * _RATIOS
    same_row = starts[: len(five)] // (columns + 2) == (starts[: len(five)] + five.sum(axis=1) - 1).astype(int) // (
        columns + 2
    )
    good = begins_dark[: len(five)] & (off <= limit).all(axis=1) & same_row & (module >= _LEAST_MODULE)
    if good.sum() > _MOST_RUNS:
        return
    for index in np.flatnonzero(good):
        row, start = divmod(int(starts[index]), columns + 2)
        yield row, start - 1 + float(five[index].sum()) / 2, float(module[index])


def _across(dark: NDArray[np.bool_], x: float, y: int, module: float) -> tuple[float, float] | None:
    """(middle, module) of the same pattern down a column, None where there is none."""
    most = int(6 * module) + 2
    top, low = max(0, y - most - 1), min(dark.shape[0], y + most + 2)
    column = dark[top:low, min(int(x), dark.shape[1] - 1)].tolist()  # numpy is slow one by one
    if not column[y - top]:
        return None
    edges: list[list[int]] = []
    for step in (-1, 1):
        at, colour = y, True
        found: list[int] = []
        while len(found) < 3 and top <= at < low and abs(at - y) <= most:
            if column[at - top] != colour:
                found.append(at)
                colour = not colour
            at += step
        if len(found) == 2 and (at < 0 or at >= dark.shape[0]):
            found.append(at)
        if len(found) < 3:
            return None
        edges.append(found)
    up, down = edges
    lengths = np.array(
        [up[1] - up[2], up[0] - up[1], down[0] - up[0] - 1, down[1] - down[0], down[2] - down[1]], dtype=float
    )
    tall = lengths.sum() / 7
    if (np.abs(lengths - _RATIOS * tall) > _OFF * tall * _RATIOS + 0.5).any():
        return None
    return (up[0] + down[0] + 1) / 2, float(tall)


def _combined(found: list[Finder]) -> Iterator[Square]:
    """Squares with a pattern on three corners: two sides alike, at a right angle, of at least 21 modules (version 1)."""
    if len(found) > _MOST:
        return
    for three in combinations(found, 3):
        modules = [one.module for one in three]
        if max(modules) > 1.5 * min(modules):
            continue
        module = sum(modules) / 3
        for i in range(3):
            corner, a, b = three[i], three[i - 1], three[i - 2]
            ux, uy, vx, vy = a.x - corner.x, a.y - corner.y, b.x - corner.x, b.y - corner.y
            one, other = hypot(ux, uy), hypot(vx, vy)
            if not one or not other or abs(ux * vx + uy * vy) > 0.12 * one * other or not 0.87 < one / other < 1.15:
                continue
            # along a slanted row a module looks up to √2 as long
            if not 8.5 < one / module < 175:
                continue
            if ux * vy - uy * vx < 0:  # y down: right, then down
                ux, uy, vx, vy = vx, vy, ux, uy
            rim = 3.5 * module * abs_cos(ux, uy) / one
            ex, ey, fx, fy = ux * rim, uy * rim, vx * rim, vy * rim
            p = (corner.x - ex - fx, corner.y - ey - fy)
            q = (corner.x + ux + ex - fx, corner.y + uy + ey - fy)
            s = (corner.x + vx - ex + fx, corner.y + vy - ey + fy)
            r = (q[0] + s[0] - p[0], q[1] + s[1] - p[1])
            yield Square((p, q, r, s), module * abs_cos(ux, uy))


def modules_of(grey: Grey, square: Square) -> int | None:
    """How many modules a side of the code has, if three of its corners are finder patterns; None if not."""
    (px, py), (qx, qy), _, (sx, sy) = square.quad
    side = hypot(qx - px, qy - py)
    nearest = round((side / square.module - 17) / 4)
    for count in sorted((17 + 4 * v for v in (nearest, nearest - 1, nearest + 1) if 1 <= v <= 40), key=lambda n: n):
        at = np.concatenate([np.arange(7), np.arange(count - 7, count)]) + 0.5
        u, v = np.meshgrid(at / count, at / count)
        x = np.clip((px + (qx - px) * u + (sx - px) * v).astype(int), 0, grey.shape[1] - 1)
        y = np.clip((py + (qy - py) * u + (sy - py) * v).astype(int), 0, grey.shape[0] - 1)
        values = grey[y, x].astype(float)
        dark = values < (np.percentile(values, 10) + np.percentile(values, 90)) / 2
        three = (dark[:7, :7], dark[:7, 7:], dark[7:, :7])
        alike = np.mean([part == _PATTERN for part in three])
        if max(alike, 1 - alike) >= _ALIKE:  # or light on dark
            return count
    return None


def abs_cos(x: float, y: float) -> float:
    """How much shorter a module is than it looks along rows and columns, for a code that leans this way."""
    return max(abs(x), abs(y)) / hypot(x, y)


def _same(one: Square, other: Square) -> bool:
    (ax, ay), (bx, by) = _middle(one), _middle(other)
    side = hypot(one.quad[1][0] - one.quad[0][0], one.quad[1][1] - one.quad[0][1])
    return hypot(ax - bx, ay - by) < side / 4


def _middle(one: Square) -> Point:
    return sum(x for x, _ in one.quad) / 4, sum(y for _, y in one.quad) / 4

"""Convex hulls of many small sets of points at once: rows of points in, one polygon a set out.

From the extremes along both axes, the farthest point beyond each edge is taken in, round by round; each vertex is thus one
of the points, and what is left out lies within the tolerance of an edge, or is what the last round would still find.
"""

import numpy as np

from .mapping_rows import Numbers

ROUNDS = 4
MAX_VERTICES = 4 * 2**ROUNDS


def hulls_of(points: Numbers, starts: Numbers, tolerance: Numbers) -> list[Numbers]:
    """Polygons (k × 2, anticlockwise, k ≤ `MAX_VERTICES`) round the sets of ``points`` (n × 2) that begin at ``starts``; a set
    may lack up to ``tolerance`` (one number each). A set on one line or point has less than three vertices."""
    of = np.repeat(np.arange(len(starts)), np.diff(np.append(starts, len(points))))
    x, y = points[:, 0].copy(), points[:, 1].copy()
    at_x, at_y = _extremes(x, y, starts, of)
    for _ in range(ROUNDS):
        at_x, at_y, outside = _round(at_x, at_y, x, y, of, tolerance)
        x, y, of = x[outside], y[outside], of[outside]
    new = (at_x != np.roll(at_x, 1, 1)) | (at_y != np.roll(at_y, 1, 1))
    new[:, 0] |= ~new.any(1)
    vertices = np.stack([at_x[new], at_y[new]], 1)
    return np.split(vertices, np.cumsum(new.sum(1))[:-1])


def _extremes(x: Numbers, y: Numbers, starts: Numbers, of: Numbers) -> tuple[Numbers, Numbers]:
    """Sets × 4: x and y of the lowest, rightmost, highest, leftmost point of each set."""
    rows = []
    for value in (-y, x, y, -x):
        best = np.flatnonzero(value == np.maximum.reduceat(value, starts)[of])
        rows.append(best[np.diff(of[best], prepend=-1) > 0])  # of those alike the first
    found = np.stack(rows, 1)
    return x[found], y[found]


def _round(
    at_x: Numbers, at_y: Numbers, x: Numbers, y: Numbers, of: Numbers, tolerance: Numbers
) -> tuple[Numbers, Numbers, Numbers]:
    """(vertices with one more on each edge, a repeat where there is none; which points may still be outside)."""
    more_x, more_y = np.repeat(at_x, 2, 1), np.repeat(at_y, 2, 1)
    along_x, along_y = np.roll(at_x, -1, 1) - at_x, np.roll(at_y, -1, 1) - at_y
    length = np.hypot(along_x, along_y)
    length[length == 0] = 1.0
    out_x, out_y = along_y / length, -along_x / length
    edge = out_x * at_x + out_y * at_y + tolerance[:, None]
    outside, counts = np.zeros(len(x), bool), np.bincount(of, minlength=len(at_x))
    for side in range(at_x.shape[1] if len(x) else 0):
        beyond = x * np.repeat(out_x[:, side], counts)
        beyond += y * np.repeat(out_y[:, side], counts)
        beyond -= np.repeat(edge[:, side], counts)
        rows = np.flatnonzero(beyond > 0)
        if not len(rows):
            continue
        outside[rows] = True
        beyond, sets = beyond[rows], of[rows]
        first = np.flatnonzero(np.diff(sets, prepend=-1))
        most = np.maximum.reduceat(beyond, first)
        best = np.flatnonzero(beyond == np.repeat(most, np.diff(np.append(first, len(sets)))))
        best = best[np.diff(sets[best], prepend=-1) > 0]
        more_x[sets[first], 2 * side + 1], more_y[sets[first], 2 * side + 1] = x[rows[best]], y[rows[best]]
    return more_x, more_y, outside

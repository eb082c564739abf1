"""Plane mappings row by row, as columns: n × 6 numbers, each row as in `mapping`."""

from typing import Any

import numpy as np

Numbers = np.ndarray[Any, Any]


def through(first: Numbers, second: Numbers) -> Numbers:
    """Row by row the mapping that does ``first`` and after it ``second``."""
    a, b, c, d, e, f = first.T
    p, q, r, s, t, u = second.T
    return np.stack(
        [a * p + b * r, a * q + b * s, c * p + d * r, c * q + d * s, e * p + f * r + t, e * q + f * s + u], 1
    )


def turned_round(matrix: Numbers) -> Numbers:
    """The mappings back."""
    a, b, c, d, e, f = matrix.T
    det = a * d - b * c
    return np.stack([d / det, -b / det, -c / det, a / det, (c * f - d * e) / det, (b * e - a * f) / det], 1)


def placed(matrix: Numbers, box: Numbers) -> Numbers:
    """n × 4 × 2: where the vertices of each box (n × 4: x0, y0, x1, y1) land, anticlockwise from (x0, y0)."""
    x, y = box[:, [0, 2, 2, 0]], box[:, [1, 1, 3, 3]]
    a, b, c, d, e, f = (column[:, None] for column in matrix.T)
    return np.stack([a * x + c * y + e, b * x + d * y + f], 2)


def bounds_of(points: Numbers) -> Numbers:
    """n × 4 bounds of n × m × 2 points."""
    return np.hstack([points.min(1), points.max(1)])

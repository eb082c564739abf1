"""Cutting rendered pixels to an outline. Takes RGBA rows and a convex outline in output pixels, changes alpha in place."""

import math
from typing import Any

import numpy as np

_ROWS = 64  # ours: so many are faded at a time
Size = tuple[int, int]


def clip(pixels: np.ndarray[Any, Any], outline: list[tuple[float, float]]) -> None:
    """Fades alpha to 0 outside the convex ``outline`` (output pixels, x right, y down), half a pixel soft."""
    height, width = pixels.shape[:2]
    area = sum(p[0] * q[1] - q[0] * p[1] for p, q in _sides(outline))
    x = (np.arange(width, dtype=np.float32) + 0.5)[None, :]
    for p, q in _sides(outline):
        length = math.copysign(math.dist(p, q), area)
        across, down = -(q[1] - p[1]) / length, (q[0] - p[0]) / length
        rest = -(across * p[0] + down * p[1]) + 0.5  # signed distance to the side, plus half a pixel = coverage
        for top in range(0, height, _ROWS):  # most rows lie inside, and those that don't need room for their numbers
            low = min(top + _ROWS, height)
            ends = [across * u + down * v + rest for u in (0.5, width - 0.5) for v in (top + 0.5, low - 0.5)]
            if min(ends) >= 1:
                continue
            y = (np.arange(top, low, dtype=np.float32) + 0.5)[:, None]
            cover = np.clip(across * x + down * y + np.float32(rest), 0, 1)
            pixels[top:low, :, 3] = np.rint(pixels[top:low, :, 3] * cover).astype(np.uint8)


def _sides(outline: list[tuple[float, float]]) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    return list(zip(outline, outline[1:] + outline[:1], strict=True))

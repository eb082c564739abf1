"""How far paint goes past each fold line: read from a panel's preview, a thin band along every edge."""

from math import hypot

import numpy as np
from attrs import frozen

from ..sizing.panel import Panel
from .previews import Preview

_WHITE = 250  # ours: a ground lighter than this in every channel is white cloth and needs no bleed
_GROUND = 0.05  # ours: share of an edge that must carry paint before its bleed counts
_SHARE = 0.25  # ours: a quarter of the painted length ending early is a line, not the end of one leaf


@frozen
class EdgeBand:
    """One edge. ``reach`` = mm past the fold line to which its paint goes without a break, at most ``needed`` (the whole of
    allowance and bleed); None where the ground at the fold line is white or unpainted."""

    edge: int
    reach: float | None
    needed: float


def edge_bands(panel: Panel, seen: Preview) -> tuple[EdgeBand, ...]:
    found = []
    for index, edge in enumerate(panel.edges):
        needed = edge.allowance + edge.bleed
        found.append(EdgeBand(index, _reach(panel, seen, index, needed), needed))
    return tuple(found)


def _reach(panel: Panel, seen: Preview, index: int, needed: float) -> float | None:
    (x0, y0), (x1, y1) = panel.visible[index], panel.visible[(index + 1) % len(panel.visible)]
    length = hypot(x1 - x0, y1 - y0)
    along, out = ((x1 - x0) / length, (y1 - y0) / length), ((y1 - y0) / length, (x0 - x1) / length)
    places = (np.arange(max(1, int(length / seen.step))) + 0.5) * seen.step
    # half a pixel steps outwards, from just inside the fold line; the last one stays within the art size
    depths = np.arange(-1.5 * seen.step, needed, seen.step / 2)
    x = x0 + along[0] * places[:, None] + out[0] * depths[None, :]
    y = y0 + along[1] * places[:, None] + out[1] * depths[None, :]
    pixels = seen.at(x, y)
    painted = pixels[:, :, 3] > 127
    ground = painted[:, 0] & (pixels[:, 0, :3].min(axis=1) < _WHITE)
    if ground.mean() < _GROUND:
        return None
    rows = painted[ground]
    ends = np.where(rows.all(axis=1), len(depths), np.argmin(rows, axis=1))
    reached = np.sort(ends)[int(len(ends) * _SHARE)]
    return needed if reached >= len(depths) - 2 else float(max(0.0, depths[reached]))

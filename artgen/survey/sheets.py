"""A laid page's whole plane in grey, put together from the previews of its panels: what is looked for marks and codes."""

from collections.abc import Mapping
from math import ceil, hypot

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

from ..art.codes import Grey
from ..placing import Laid
from ..sizing.outline import bounds
from ..sizing.panel import Affine, after, inverse, placed
from .previews import Preview


@frozen
class Sheet:
    """Grey rows and where they lie: ``to_plane`` maps pixels (x right, y down) to the target's plane."""

    grey: Grey = field(repr=False, eq=False)
    to_plane: Affine

    @property
    def step(self) -> float:
        """mm a pixel."""
        return hypot(self.to_plane[0], self.to_plane[1])


def sheet_of(laid: Laid, previews: Mapping[int, Preview]) -> Sheet:
    """The target's plane in grey, cloth white. Of a wrap each place is taken from the panel whose middle is nearest there."""
    target = laid.target
    if len(target.panels) == 1:
        seen = previews[target.numbers[0]]
        rows = seen.rgba.shape[0]
        down: Affine = (seen.step, 0.0, 0.0, -seen.step, 0.0, rows * seen.step)
        return Sheet(grey_of(seen.rgba), after(target.places[0], down))
    step = max(seen.step for seen in previews.values())
    x0, y0, x1, y1 = bounds([point for outline in target.outline("art") for point in outline])
    columns, rows = ceil((x1 - x0) / step), ceil((y1 - y0) / step)
    to_plane: Affine = (step, 0.0, 0.0, -step, x0, y0 + rows * step)
    grey = np.full((rows, columns), 255, np.uint8)
    nearest = np.full((rows, columns), np.inf, np.float32)
    for panel, place in zip(target.panels, target.places, strict=True):
        px0, py0, px1, py1 = bounds(placed(place, panel.art))
        left, right = (int(np.clip((v - x0) / step, 0, columns)) for v in (px0, px1))
        top, low = (int(np.clip(rows - (v - y0) / step, 0, rows)) for v in (py1, py0))
        x = x0 + (np.arange(left, right) + 0.5) * step
        y = y0 + (rows - np.arange(top, low) - 0.5) * step
        # how far outside what shows of the panel: what shows of a panel is its own
        vx0, vy0, vx1, vy1 = bounds(placed(place, panel.visible))
        off_x, off_y = (np.abs(v - (a + b) / 2) - (b - a) / 2 for v, a, b in ((x, vx0, vx1), (y, vy0, vy1)))
        off = np.maximum(off_x[None, :], off_y[:, None])
        own = off < nearest[top:low, left:right]
        shown = _sampled(previews[panel.number], inverse(place), x, y)
        grey[top:low, left:right][own] = shown[own]
        nearest[top:low, left:right][own] = off[own]
    return Sheet(grey, to_plane)


def _sampled(seen: Preview, to_panel: Affine, x: NDArray[np.floating], y: NDArray[np.floating]) -> Grey:
    """A preview in grey at a grid of places of the plane; white outside it."""
    grey = np.pad(grey_of(seen.rgba), 1, constant_values=255)
    rows, columns = seen.rgba.shape[:2]
    a, b, c, d, e, f = to_panel
    if abs(b) + abs(c) < 1e-9:
        i, j = np.floor((a * x + e) / seen.step), rows - 1 - np.floor((d * y + f) / seen.step)
        at = np.clip(i, -1, columns).astype(int) + 1, np.clip(j, -1, rows).astype(int) + 1
        found: Grey = grey[at[1][:, None], at[0][None, :]]
        return found
    gx, gy = np.meshgrid(x, y)
    i = np.floor((a * gx + c * gy + e) / seen.step)
    j = rows - 1 - np.floor((b * gx + d * gy + f) / seen.step)
    turned: Grey = grey[np.clip(j, -1, rows).astype(int) + 1, np.clip(i, -1, columns).astype(int) + 1]
    return turned


def grey_of(rgba: NDArray[np.uint8]) -> Grey:
    """Luma on white (ITU-R BT.601 weights)."""
    alpha = rgba[..., 3].astype(np.uint32)
    luma = (
        rgba[..., 0].astype(np.uint32) * 299 + rgba[..., 1].astype(np.uint32) * 587 + rgba[..., 2] * np.uint32(114)
    ) // 1000
    return np.asarray((luma * alpha + 255 * (255 - alpha)) // 255, dtype=np.uint8)

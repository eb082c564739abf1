"""Where paint stops along a straight line, short of the edge of the art size, and white or nothing follows.

Takes a panel's preview; gives at most one `Stop` an edge. A ground that is white of itself stops nowhere; nor does paint that
fades out, ends in a shape of its own, or alternates with white.
"""

from math import hypot

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from ..sizing.panel import Panel
from .previews import Preview

# all ours, chosen on the tuning half of the samples
_BLANK = 243  # levels: what is lighter in every channel is white; a little under pure white, since JPEG rings
_INSIDE = 12.0  # mm before the fold line from which a stop counts: further in, a white frame is meant to be seen
_DEEP = 30.0  # mm of paint before the stop: less is a keyline, not a ground
_STRAIGHT, _PAST, _LEAST = (
    0.8,
    0.03,
    0.15,
)  # shares: of paint that stops on the line, goes past it, of the edge that has paint
_JUMP = 18.0  # levels by which paint differs from white where it stops; less is a fade
_SLACK = 3.0  # mm before the edge of the art size that count as the edge
_LOOK, _RUN, _ALSO = (
    300.0,
    5.0,
    0.4,
)  # mm inwards in which white bands so wide tell a pattern, on such a share of the edge

Bools = NDArray[np.bool_]


@frozen
class Stop:
    """``at`` = mm past the fold line (before it: below 0) at which paint stops along ``edge``; ``share`` = of the edge's length
    that has paint to stop. ``white``: white paint follows, else nothing."""

    edge: int
    at: float
    share: float
    white: bool


def stops(panel: Panel, seen: Preview) -> tuple[Stop, ...]:
    found = (_stop(panel, seen, index) for index in range(len(panel.edges)))
    return tuple(stop for stop in found if stop is not None)


def _stop(panel: Panel, seen: Preview, index: int) -> Stop | None:
    edge, step = panel.edges[index], seen.step
    depths = np.arange(-_INSIDE - _DEEP, edge.allowance + edge.bleed - step / 2, step / 2)
    pixels = _across(panel, seen, index, depths)
    blank = _blank(pixels)
    ends = blank.shape[1] - np.argmin(blank[:, ::-1], axis=1)  # samples to the last one that is painted
    ends[blank.all(axis=1)] = 0
    deep = round(_DEEP / (step / 2))
    so_far = np.cumsum(np.pad(blank, ((0, 0), (1, 0))), axis=1)
    rows, starts = np.arange(len(ends)), np.maximum(ends - deep, 0)
    painted = (ends >= deep) & (so_far[rows, ends] - so_far[rows, starts] < 0.1 * deep)
    if painted.mean() < _LEAST:
        return None
    own = ends[painted]
    near = 3  # half pixels: a line that falls between two
    counts = np.convolve(np.bincount(own, minlength=len(depths) + 1), np.ones(2 * near + 1), mode="same")
    at = int(counts.argmax())
    last = len(depths) - round(_SLACK / (step / 2))
    if at >= last or counts[at] < _STRAIGHT * len(own) or (own > at + near).mean() > _PAST:
        return None
    if painted.mean() < (blank[:, deep - 1] == 0).mean() * _STRAIGHT:  # paint at the fold line that is no ground
        return None
    middle = float(np.median(own[np.abs(own - at) <= near]))
    inner = pixels[painted][:, max(0, int(middle) - 6) : max(1, int(middle) - 3), :3].astype(float)
    if np.median(255 - inner.min(axis=2).mean(axis=1)) < _JUMP:
        return None
    if _alternates(panel, seen, index, painted, float(depths[int(middle) - 1])):
        return None
    after = pixels[painted][:, min(len(depths) - 1, int(middle) + 3), 3]
    return Stop(
        index,
        round(float(depths[int(middle) - 1]) + step / 4, 2),
        round(float(painted.mean()), 3),
        bool(np.median(after) > 127),
    )


def _across(panel: Panel, seen: Preview, index: int, depths: NDArray[np.float64]) -> NDArray[np.uint8]:
    """Positions along an edge × depths past its fold line × RGBA."""
    (x0, y0), (x1, y1) = panel.visible[index], panel.visible[(index + 1) % len(panel.visible)]
    length = hypot(x1 - x0, y1 - y0)
    along, out = ((x1 - x0) / length, (y1 - y0) / length), ((y1 - y0) / length, (x0 - x1) / length)
    places = (np.arange(max(1, int(length / seen.step))) + 0.5) * seen.step
    x = x0 + along[0] * places[:, None] + out[0] * depths[None, :]
    y = y0 + along[1] * places[:, None] + out[1] * depths[None, :]
    return seen.at(x, y)


def _blank(pixels: NDArray[np.uint8]) -> Bools:
    red, green, blue, alpha = (pixels[:, :, channel] for channel in range(4))
    return np.asarray((alpha <= 127) | (np.minimum(np.minimum(red, green), blue) >= _BLANK))


def _alternates(panel: Panel, seen: Preview, index: int, painted: Bools, stop: float) -> bool:
    """Whether white bands lie further in too, as in stripes and checks."""
    depths = np.arange(stop - _LOOK, stop - _DEEP, seen.step)
    blank = _blank(_across(panel, seen, index, depths))[painted]
    run = max(2, round(_RUN / seen.step))
    sums = np.cumsum(np.pad(blank, ((0, 0), (1, 0))), axis=1)
    whole: Bools = (sums[:, run:] - sums[:, :-run] == run).any(axis=1)
    return bool(whole.mean() >= _ALSO)

"""Where the pull tab and the number tag are sewn on: both on the edge that hangs lowest, hidden in the channel.

Outlines in the sewn frame, mm. That a tab at the bottom takes a panel out again is common practice; its place and size are
ours.
"""

from math import cos, hypot, radians

from ..sizing.outline import Outline
from ..sizing.panel import Panel

_TAB, _TAG = 60.0, 40.0  # mm along the edge, less on short ones
_TAB_AT, _TAG_AT = 0.16, 0.86  # of the edge, clear of its middle and its ends


def tab_edge(panel: Panel) -> int:
    """The edge that takes the pull tab: the one that looks down most when the panel hangs (a tie: the first)."""
    down = radians(panel.upright_deg - 90)

    def drop(index: int) -> float:
        (x0, y0), (x1, y1) = _edge(panel, index)
        length = hypot(x1 - x0, y1 - y0)
        # outwards from an anticlockwise edge is to its right: (dy, −dx)
        return round(((y1 - y0) * cos(down) - (x1 - x0) * cos(down - radians(90))) / length, 6)

    return max(range(len(panel.visible)), key=lambda i: (drop(i), -i))


def tab_place(panel: Panel) -> Outline:
    """The pull tab, wider at the fold line."""
    return _beyond(panel, _TAB_AT, _TAB, 0.8)


def tag_place(panel: Panel) -> Outline:
    """The tag with the panel's number."""
    return _beyond(panel, _TAG_AT, _TAG, 1.0)


def _edge(panel: Panel, index: int) -> tuple[tuple[float, float], tuple[float, float]]:
    return panel.visible[index], panel.visible[(index + 1) % len(panel.visible)]


def _beyond(panel: Panel, share: float, wide: float, taper: float) -> Outline:
    """A shape from the fold line outwards, as deep as the allowance."""
    index = tab_edge(panel)
    (x0, y0), (x1, y1) = _edge(panel, index)
    length = hypot(x1 - x0, y1 - y0)
    ax, ay = (x1 - x0) / length, (y1 - y0) / length
    half, deep = min(wide, length / 6) / 2, panel.edges[index].allowance
    x, y = x0 + ax * length * share, y0 + ay * length * share
    points = ((-half, 0.0), (-half * taper, deep), (half * taper, deep), (half, 0.0))
    return tuple((x + ax * s + ay * t, y + ay * s - ax * t) for s, t in points)

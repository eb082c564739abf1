"""What is done with the cloth at a panel's corners, where two allowances meet: cuts inside the cut outline.

``square-notch``: all that lies beyond both fold lines goes. ``cut-45``: its outer half goes, straight from fold line to
fold line (45° where the corner is square). ``folded``: nothing is cut.
"""

from math import hypot

from .outline import Outline, Point, edges
from .panel import Panel

# Sines of the turn, ours: a corner that turns by less than 30° needs no cut, and one sharper than 20° has its tip cut square
_FLAT, _SHARP = 0.5, 0.342


def corner_cuts(panel: Panel) -> tuple[Outline, ...]:
    """Lines, from edge to edge of the cut outline, along which corners are cut; one for each corner of ``visible`` that
    juts out."""
    if panel.strip.corner == "folded":
        return ()
    found = []
    count = len(panel.visible)
    lines = edges(panel.visible)
    for i, fold in enumerate(panel.visible):
        before, after = lines[i - 1], lines[i]
        u, v = _way(before), _way(after)
        turn = u[0] * v[1] - u[1] * v[0]
        if turn < (_FLAT if u[0] * v[0] + u[1] * v[1] > 0 else _SHARP):
            continue
        # each fold line runs on to the other edge's cut
        one, other = panel.edges[i].allowance / turn, panel.edges[(i - 1) % count].allowance / turn
        onward = (fold[0] + u[0] * one, fold[1] + u[1] * one)
        back = (fold[0] - v[0] * other, fold[1] - v[1] * other)
        found.append((back, fold, onward) if panel.strip.corner == "square-notch" else (back, onward))
    return tuple(found)


def _way(line: tuple[Point, Point]) -> Point:
    (x0, y0), (x1, y1) = line
    length = hypot(x1 - x0, y1 - y0)
    return (x1 - x0) / length, (y1 - y0) / length

"""Shadows on internally lit structures: where hardware stands between lamp and cloth (frame data, common practice)."""

from math import ceil, cos, hypot, radians
from typing import Literal

from ..profiles import Frame
from .outline import Outline, area
from .panel import Shadow, ToSpace

LEANS = cos(radians(30.0)) - 1e-9  # a face that leans more is no upright one (as for numbers)
Kind = Literal["lamp bar", "brace", "joint"]


def bands(frame: Frame, height: float) -> list[tuple[Kind, float, float]]:
    """(what throws it, from, to) in mm above the metal's foot: the lamp bar under the top, a brace at mid height of tall
    frames, and joints of uprights."""
    found: list[tuple[Kind, float, float]] = [
        ("lamp bar", height - frame.setback - frame.lamp_bar_width, height - frame.setback)
    ]
    if height > frame.brace_above:
        found.append(("brace", (height - frame.brace_width) / 2, (height + frame.brace_width) / 2))
    if frame.upright_length is not None and frame.joint_width is not None:
        for n in range(1, ceil(height / frame.upright_length)):
            at, half = n * frame.upright_length, frame.joint_width / 2
            found.append(("joint", at - half, at + half))
    return found


def shadows(visible: Outline, to_space: ToSpace, frame: Frame, height: float) -> tuple[Shadow, ...]:
    """Shadow bands of a panel that stands upright or leans by at most 30°. ``height`` = mm of the structure's metal.

    A frame that leans is measured along its slope, as its uprights run. What hardware lies over a face that leans more, or
    is level, frame data don't say.
    """
    origin, x, y = to_space
    rise = hypot(x[2], y[2])  # cosine of the lean
    if rise < LEANS:
        return ()
    foot = origin[2] / rise
    found = []
    for kind, low, high in bands(frame, height / rise):
        for part in _between(visible, (x[2] / rise, y[2] / rise), low - foot, high - foot):
            found.append(Shadow(kind, part))
    return tuple(found)


def _between(outline: Outline, up: tuple[float, float], low: float, high: float) -> list[Outline]:
    """Parts of the outline that lie from ``low`` to ``high`` along ``up``."""
    from shapely import Polygon, intersection  # heavy, and few structures are lit

    ux, uy = up
    right = [x * uy - y * ux for x, y in outline]
    corners = ((min(right), low), (max(right), low), (max(right), high), (min(right), high))
    band = Polygon([(r * uy + u * ux, u * uy - r * ux) for r, u in corners])
    part = intersection(Polygon(outline), band)
    rings = [each.exterior.coords[:-1] for each in getattr(part, "geoms", [part]) if each.area > 0]
    outlines = [tuple((float(x), float(y)) for x, y in ring) for ring in rings]
    return sorted(ring if area(ring) > 0 else ring[::-1] for ring in outlines)

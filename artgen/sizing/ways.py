"""The two ways a panel's page may lie: sewn-way, and reading-way where upright is not along an edge."""

from math import cos, radians, sin
from typing import Literal

from .outline import bounds
from .panel import Affine, Panel, placed

Way = Literal["sewn", "reading"]


def ways(panel: Panel) -> tuple[Way, ...]:
    """Sewn-way always; reading-way too where upright is not along an edge."""
    return ("sewn",) if abs(panel.upright_deg) % 90 < 1e-6 else ("sewn", "reading")


def turn_of(panel: Panel, way: Way) -> Affine:
    """Sewn frame → the page at full size, whose origin is the lower left of the art size's bounding box as it lies."""
    if way == "sewn":
        return 1.0, 0.0, 0.0, 1.0, 0.0, 0.0
    turn = radians(-panel.upright_deg)  # lays upright along page y
    c, s = cos(turn), sin(turn)
    x0, y0, _, _ = bounds(placed((c, s, -s, c, 0.0, 0.0), panel.art))
    return c, s, -s, c, -x0, -y0

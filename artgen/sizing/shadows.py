"""Shadows on internally lit structures: where hardware stands between lamp and cloth (frame data, common practice)."""

from attrs import evolve
from shapely import box, intersection
from shapely.geometry import Polygon

from .outline import bounds
from .panel import Panel, Shadow


def shadows(panel: Panel, height: float) -> Panel:
    """The panel with its shadow bands. ``height`` = mm of the structure's metal; only upright panels have any."""
    _, _, up = panel.to_space
    if abs(up[2] - 1.0) > 1e-9:
        return panel
    floor = -panel.to_space[0][2]  # y of z = 0 in the sewn frame
    frame = panel.frame_profile
    bands = [("lamp bar", height - frame.setback - frame.lamp_bar_width, height - frame.setback)]
    if height > frame.brace_above:
        bands.append(("brace", (height - frame.brace_width) / 2, (height + frame.brace_width) / 2))
    x0, _, x1, _ = bounds(panel.visible)
    seen = Polygon(panel.visible)
    found = []
    for kind, low, high in bands:
        part = intersection(seen, box(x0, low + floor, x1, high + floor))
        if part.area > 0 and part.geom_type == "Polygon":
            outline = tuple((float(x), float(y)) for x, y in part.exterior.coords[:-1])
            found.append(Shadow(kind, outline))  # type: ignore[arg-type]
    return evolve(panel, shadows=tuple(found))

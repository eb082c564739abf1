"""Keep-outs and openings of a panel: from the order's places to outlines in the sewn frame."""

from collections.abc import Sequence
from math import cos, pi, sin

from ..order import KeepOut as Asked
from ..typed import Faults
from .outline import Outline, bounds
from .panel import KeepOut

_ROUND = 96  # sides of a circle's outline: it strays from the round by 0.05 % of the radius
_TOUCH = 1e-6  # mm


def keep_outs(asked: Sequence[Asked], visible: Outline) -> tuple[KeepOut, ...]:
    """Outlines of what is kept out, placed from the lower left of the visible's bounding box. Raises `Faults`, each with the
    place in the list, where one lies beyond what shows, or an opening would run into the edge."""
    if not asked:
        return ()
    from shapely.geometry import Polygon  # heavy, and few panels have any

    x0, y0, _, _ = bounds(visible)
    shows = Polygon(visible)
    faults: list[tuple[str, str]] = []
    found = []
    for number, keep in enumerate(asked, start=1):
        outline = _outline(keep, x0, y0)
        area = Polygon(outline)
        if area.intersection(shows).area <= _TOUCH:
            faults.append((f"keep_out {number}", "lies beyond what shows of the panel"))
        elif keep.hole and not shows.buffer(-_TOUCH).contains(area):
            faults.append(
                (
                    f"keep_out {number}",
                    "an opening must lie inside what shows; for a door to the edge use bays and an open one",
                )
            )
        found.append(KeepOut(keep.name, keep.hole, outline))
    if faults:
        raise Faults(faults)
    return tuple(found)


def _outline(keep: Asked, x0: float, y0: float) -> Outline:
    x, y = x0 + keep.at[0], y0 + keep.at[1]
    if keep.diameter is not None:
        r = keep.diameter / 2
        turns = [2 * pi * i / _ROUND for i in range(_ROUND)]
        return tuple((x + r * cos(turn), y + r * sin(turn)) for turn in turns)
    w, h = keep.size
    return (x, y), (x + w, y), (x + w, y + h), (x, y + h)

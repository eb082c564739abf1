"""`line-too-thin`: strokes, and slivers of fills, that cloth does not hold. One finding a panel.

Thin fills that lie side by side are the steps of a shade, and small dots are no lines: neither is counted.
"""

from collections.abc import Iterator

from ...art.facts import Rect, Thin
from ..finding import Finding
from ..places import around, corners, place_of
from ..rule import Number, Rule, Seen

_LONG = 5.0  # ours: a fill that is less than so many times as long as it is wide is a dot


def find(seen: Seen) -> Iterator[Finding]:
    least = seen.number("line-too-thin", "least")
    for one in seen.all.laid:
        thin = [each for each in one.laid.facts.lines.thinnest if round(each.width * one.laid.scale, 3) < least]
        fills = [each.where for each in thin if each.kind == "fill"]
        by_panel: dict[int, list[tuple[Thin, tuple[float, float, float, float]]]] = {}
        for each in thin:
            if each.kind == "fill" and (not _is_long(each) or any(_side_by_side(each.where, other) for other in fills)):
                continue
            place = place_of(one.laid, corners(each.where))
            if place is not None:
                by_panel.setdefault(place.panel, []).append((each, place.box))
        for panel, found in by_panel.items():
            worst, box = min(found, key=lambda pair: (pair[0].width, pair[1]))
            yield Finding(
                "line-too-thin",
                "warning",
                panel=panel,
                file=one.laid.claim.file,
                page=one.laid.claim.page,
                where=box if len(found) == 1 else around([box for _, box in found]),
                evidence={
                    "width_mm": round(worst.width * one.laid.scale, 3),
                    "least_mm": least,
                    "count": len(found),
                    "kind": worst.kind,
                    "thinnest_mm": list(box),
                    "panels": [panel],
                    "scale": one.laid.scale,
                },
                say="many" if len(found) > 1 else "",
            )


def _is_long(fill: Thin) -> bool:
    x0, y0, x1, y1 = fill.where
    return max(x1 - x0, y1 - y0) >= _LONG * max(fill.width, 1e-9)


def _side_by_side(one: Rect, other: Rect) -> bool:
    """Whether two thin fills touch along their length, as the steps of a shade do."""
    if one == other:
        return False
    along, across = (0, 1) if one[2] - one[0] >= one[3] - one[1] else (1, 0)
    length = one[along + 2] - one[along]
    shared = min(one[along + 2], other[along + 2]) - max(one[along], other[along])
    gap = max(one[across], other[across]) - min(one[across + 2], other[across + 2])
    return shared > length / 2 and gap <= (one[across + 2] - one[across]) / 2


RULE = Rule("line-too-thin", "warning", "client", "image", find, numbers=(Number("least", 0.35, "mm", "ours"),))

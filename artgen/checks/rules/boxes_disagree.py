"""`boxes-disagree`: page boxes that place the art differently, or of which one is not heeded as it is nested wrongly.

ISO 32000-1 14.11.2: trim, bleed and art boxes lie inside the media box; a trim box lies inside the bleed box. Boxes that place
the art alike are left alone, however they are nested.
"""

from collections.abc import Iterator
from math import hypot

from attrs import evolve

from ...art.facts import PageFacts, Rect
from ...placing import Claim, Laid, lay, tolerance
from ...sizing.panel import apply
from ..finding import Finding
from ..rule import Rule, Seen

_ZONES = {"trim": ("cut",), "bleed": ("art",), "crop": ("art", "cut"), "media": ("art", "cut")}
_SLIP = 0.05  # mm of the page: boxes are rounded by the programs that write them (ours)


def find(seen: Seen) -> Iterator[Finding]:
    for one in seen.all.laid:
        laid = one.laid
        if laid.by_hand:
            continue
        readings = _readings(laid)
        apart = max((_apart(laid, other) for other in readings.values()), default=0.0)
        if apart <= 2 * tolerance(laid.facts, laid.scale):
            continue
        nested = [f"{inner} outside {outer}" for inner, outer in _nested_wrongly(laid.facts)]
        worst = max(readings, key=lambda name: _apart(laid, readings[name]))
        yield Finding(
            "boxes-disagree",
            "warning",
            "shop",
            panel=laid.target.numbers[0],
            file=laid.claim.file,
            page=laid.claim.page,
            evidence={
                "apart_mm": round(apart, 1),
                "page_box": worst,
                "nested_wrongly": nested,
                "panels": list(laid.target.numbers),
                "scale": laid.scale,
            },
            say="nested" if nested else "",
        )


def _readings(laid: Laid) -> dict[str, Laid]:
    """How each box alone would lay the page, of those that fit the zone that they stand for."""
    found = {}
    bare = Claim(laid.claim.target, laid.claim.file, laid.claim.page)
    for name, box in laid.facts.boxes.items():
        boxes = {"media": box, name: box}
        alone = lay(bare, evolve(laid.facts, boxes=boxes))
        if alone.fits in _ZONES[name]:
            found[name] = alone
    return found


def _apart(one: Laid, other: Laid) -> float:
    """mm at full size between where two readings put the corners of the media box."""
    x0, y0, x1, y1 = one.facts.boxes["media"]
    pairs = [
        (apply(one.matrix, point), apply(other.matrix, point)) for point in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    ]
    return max(hypot(a[0] - b[0], a[1] - b[1]) for a, b in pairs)


def _nested_wrongly(facts: PageFacts) -> list[tuple[str, str]]:
    """(box, the box that it should lie inside) of the page's boxes."""
    inside = [("trim", "bleed"), ("trim", "media"), ("bleed", "media"), ("crop", "media")]
    boxes = facts.boxes
    return [(a, b) for a, b in inside if a in boxes and b in boxes and not _within(boxes[a], boxes[b])]


def _within(inner: Rect, outer: Rect) -> bool:
    low = all(inner[axis] >= outer[axis] - _SLIP for axis in (0, 1))
    return low and all(inner[axis] <= outer[axis] + _SLIP for axis in (2, 3))


RULE = Rule("boxes-disagree", "warning", "shop", "fit", find)

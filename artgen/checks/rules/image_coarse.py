"""`image-coarse`: a picture with fewer pixels than its reader can tell.

Effective pixels an inch at full size, along rows and columns, the coarser counts. Small pictures are left alone. One under a soft
mask that is not stored as a photograph is, as shadows and glows are, is a note for the shop: they need no detail.
"""

from collections.abc import Iterator
from math import hypot

from ...art.facts import Image
from ...placing import Laid
from ...sizing.resolution import needed_ppi
from ...units import pixels
from ..finding import Finding, Severity
from ..places import place_of
from ..rule import Number, Rule, Seen

_PHOTOGRAPHS = {"DCTDecode", "JPXDecode"}


def find(seen: Seen) -> Iterator[Finding]:
    floor, most, acuity, bad, small = (
        seen.number("image-coarse", name) for name in ("floor_ppi", "most_ppi", "acuity", "error_ppi", "small")
    )
    for one in seen.all.laid:
        off = _layers_off(seen, one.laid)
        for image in one.laid.facts.images:
            sides = [length * one.laid.scale for length in _sides(image)]
            ppi = [value / one.laid.scale for value in image.ppi]
            if max(sides) < small or image.layer in off or image.clip == () or min(ppi) <= 0:
                continue
            place = place_of(one.laid, image.clip or image.quad)
            if place is None:
                continue
            distance = seen.all.sizing.panel(place.panel).reading_distance
            need = needed_ppi(distance, floor, most, acuity)
            if round(min(ppi), 1) >= need:
                continue
            soft = image.masked == "soft" and not _PHOTOGRAPHS & set(image.filters)
            severity: Severity = "note" if soft else "error" if min(ppi) < bad else "warning"
            yield Finding(
                "image-coarse",
                severity,
                "shop" if soft else "client",
                panel=place.panel,
                file=one.laid.claim.file,
                page=one.laid.claim.page,
                where=place.box,
                evidence={
                    "ppi": [round(value, 1) for value in ppi],
                    "needed_ppi": need,
                    "pixels": list(image.pixels),
                    "needed_pixels": [pixels(side, need) for side in sides],
                    "size_mm": [round(side, 1) for side in sides],
                    "sharp_at": round(min(ppi) / need, 3),
                    "reading_distance_mm": distance,
                    "panels": list(place.panels),
                    "scale": one.laid.scale,
                },
                say="soft" if soft else "",
            )


def _sides(image: Image) -> tuple[float, float]:
    """Lengths of its rows and of its columns on the page, mm."""
    (x0, y0), (x1, y1), _, (x3, y3) = image.quad
    return hypot(x1 - x0, y1 - y0), hypot(x3 - x0, y3 - y0)


def _layers_off(seen: Seen, laid: Laid) -> set[str]:
    layers = getattr(seen.all.files.get(laid.claim.file), "layers", ())
    return {layer.name for layer in layers if not layer.shown} - {layer.name for layer in layers if layer.shown} - {""}


RULE = Rule(
    "image-coarse",
    "error",
    "client",
    "image",
    find,
    numbers=(
        Number("floor_ppi", 60.0, "ppi", "ours"),
        Number("most_ppi", 100.0, "ppi", "ours"),
        Number("acuity", 87.32, "ppi at 1 m", "half a minute of arc a pixel: 3437.75 over inches (geometry)"),
        Number("error_ppi", 36.0, "ppi", "ours"),
        Number("small", 50.0, "mm", "ours"),
    ),
)

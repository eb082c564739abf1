"""`image-soft`: a large picture with pixels enough, but with the detail of one of far fewer: it was enlarged."""

from collections.abc import Iterator

from ...sizing.resolution import needed_ppi
from ..finding import Finding
from ..places import place_of
from ..rule import Number, Rule, Seen


def find(seen: Seen) -> Iterator[Finding]:
    floor, most, acuity = (seen.number("image-coarse", name) for name in ("floor_ppi", "most_ppi", "acuity"))
    share = seen.number("image-soft", "share")
    for one in seen.all.laid:
        for image in one.details or ():
            place = place_of(one.laid, image.on_page)
            if place is None:
                continue
            distance = seen.all.sizing.panel(place.panel).reading_distance
            need = needed_ppi(distance, floor, most, acuity)
            if round(image.ppi, 1) < need or image.detail >= need * share / 100:
                continue
            yield Finding(
                "image-soft",
                "note",
                panel=place.panel,
                file=one.laid.claim.file,
                page=one.laid.claim.page,
                where=place.box,
                evidence={
                    "has_ppi": round(image.ppi, 1),
                    "detail_ppi": image.detail,
                    "needed_ppi": need,
                    "pixels": list(image.pixels),
                    "detail_across": round(image.pixels[0] * image.detail / image.ppi),
                    "reading_distance_mm": distance,
                    "panels": list(place.panels),
                    "scale": one.laid.scale,
                },
            )


RULE = Rule(
    "image-soft",
    "note",
    "client",
    "image",
    find,
    needs=("details",),
    numbers=(Number("share", 60.0, "%", "ours"),),
)

"""`black-plain`: large areas of black ink alone, told from the file's fills. Text, pictures and what overprints are left out."""

from collections.abc import Iterator

from ..finding import Finding
from ..places import around, corners, place_of
from ..rule import Number, Rule, Seen


def find(seen: Seen) -> Iterator[Finding]:
    least = seen.number("black-plain", "least") * 100  # cm² to mm²
    for one in seen.all.laid:
        areas: dict[int, list[tuple[float, tuple[float, float, float, float]]]] = {}
        for fill in one.laid.facts.ink.black:
            place = place_of(one.laid, corners(fill.where))
            if place is not None:
                areas.setdefault(place.panel, []).append((fill.area * one.laid.scale**2, place.box))
        for panel, fills in sorted(areas.items()):
            large = [(area, box) for area, box in fills if area >= least]
            if large:
                total = sum(area for area, _ in large)
                yield Finding(
                    "black-plain",
                    "note",
                    panel=panel,
                    file=one.laid.claim.file,
                    page=one.laid.claim.page,
                    where=around([box for _, box in large]),
                    evidence={
                        "area_cm2": round(total / 100),
                        "count": len(large),
                        "panels": [panel],
                        "scale": one.laid.scale,
                    },
                )


RULE = Rule("black-plain", "note", "client", "colour", find, numbers=(Number("least", 500.0, "cm²", "ours"),))

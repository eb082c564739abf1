"""`overprint-white`: white that is set to overprint, so that it vanishes in print though a screen shows it."""

from collections.abc import Iterator

from ..finding import Finding
from ..places import around, corners, place_of
from ..rule import Rule, Seen


def find(seen: Seen) -> Iterator[Finding]:
    for one in seen.all.laid:
        overprint = one.laid.facts.overprint
        if not overprint.white:
            continue
        places = [place for where in overprint.white_at if (place := place_of(one.laid, corners(where))) is not None]
        if overprint.white_at and not places:
            continue  # all of it lies outside the art size
        panel = places[0].panel if places else one.laid.target.numbers[0]
        yield Finding(
            "overprint-white",
            "error",
            panel=panel,
            file=one.laid.claim.file,
            page=one.laid.claim.page,
            where=around([place.box for place in places if place.panel == panel]) if places else None,
            evidence={
                "panels": sorted({number for place in places for number in place.panels}) or [panel],
                "count": overprint.white,
                "modes": list(overprint.modes),
            },
            say="" if overprint.white == 1 else "many",
        )


RULE = Rule("overprint-white", "error", "client", "colour", find)

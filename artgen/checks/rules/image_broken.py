"""`image-broken`: a picture inside a file that can't be decoded, or lacks data."""

from collections.abc import Iterator

from ...art.facts import FileFacts
from ..finding import Finding
from ..places import place_of
from ..rule import Rule, Seen


def find(seen: Seen) -> Iterator[Finding]:
    for one in seen.all.laid:
        claim = one.laid.claim
        facts = seen.all.files.get(claim.file)
        if not isinstance(facts, FileFacts):
            continue
        for broken in facts.broken:
            same = [image for image in one.laid.facts.images if image.pixels == broken.pixels]
            if not same and len(facts.pages) > 1:
                continue  # it stands on another page
            place = next((place for image in same if (place := place_of(one.laid, image.quad)) is not None), None)
            yield Finding(
                "image-broken",
                "error",
                panel=place.panel if place is not None else one.laid.target.numbers[0],
                file=claim.file,
                page=claim.page,
                where=place.box if place is not None else None,
                evidence={"pixels": list(broken.pixels), "why": broken.why, "panels": list(one.laid.target.numbers)},
                say="" if broken.pixels[0] else "unsized",
            )


RULE = Rule("image-broken", "error", "client", "image", find)

"""`colour-space`: device RGB, which says nothing of what its numbers look like.

An SVG's colours are sRGB by its standard, and an RGB output intent says what a PDF's are.
"""

from collections.abc import Iterator

from ...art.facts import FileFacts
from ..finding import Finding
from ..rule import Rule, Seen

_RGB = ("DeviceRGB", "RGB")


def find(seen: Seen) -> Iterator[Finding]:
    for one in seen.all.laid:
        claim = one.laid.claim
        facts = seen.all.files.get(claim.file)
        if not isinstance(facts, FileFacts) or facts.format == "svg":
            continue
        if facts.intents and any(profile.space == "RGB" for profile in facts.profiles):
            continue
        spaces = [
            *one.laid.facts.ink.spaces,
            *(image.space for image in one.laid.facts.images if image.space is not None),
        ]
        if any((space.family in _RGB or space.base in _RGB) and not space.profile for space in spaces):
            yield Finding(
                "colour-space",
                "warning",
                "shop",
                panel=one.laid.target.numbers[0],
                file=claim.file,
                page=claim.page,
                evidence={
                    "panels": list(one.laid.target.numbers),
                    "spaces": sorted({space.family for space in spaces}),
                },
            )


RULE = Rule("colour-space", "warning", "shop", "colour", find)

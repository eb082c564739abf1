"""`transparency-space`: transparency that blends in RGB though the art is in CMYK, so that its colours shift."""

from collections.abc import Iterator

from ..finding import Finding
from ..rule import Rule, Seen

_RGB = ("DeviceRGB", "CalRGB", "ICCBased 3")


def find(seen: Seen) -> Iterator[Finding]:
    for one in seen.all.laid:
        used = one.laid.facts.transparency
        rgb = [space for space in used.groups if space in _RGB]
        spaces = [
            *one.laid.facts.ink.spaces,
            *(image.space for image in one.laid.facts.images if image.space is not None),
        ]
        cmyk = any(
            "DeviceCMYK" in (space.family, space.base) or (space.family == "ICCBased" and space.parts == 4)
            for space in spaces
        )
        if rgb and cmyk and (used.alpha < 1.0 or used.blends or used.soft_masks):
            yield Finding(
                "transparency-space",
                "note",
                "shop",
                panel=one.laid.target.numbers[0],
                file=one.laid.claim.file,
                page=one.laid.claim.page,
                evidence={"panels": list(one.laid.target.numbers), "spaces": rgb},
            )


RULE = Rule("transparency-space", "note", "shop", "colour", find)

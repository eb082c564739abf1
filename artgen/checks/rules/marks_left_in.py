"""`marks-left-in`: crop marks inside the art size. Guides that were left in draw ticks too, and are told by themselves."""

from collections.abc import Iterator

from ..finding import Finding
from ..guides import guides_left
from ..rule import Rule, Seen


def find(seen: Seen) -> Iterator[Finding]:
    for one in seen.all.laid:
        for marks in one.crop_marks or ():
            if guides_left(seen.all, one):
                continue
            yield Finding(
                "marks-left-in",
                "warning",
                panel=one.laid.target.numbers[0],
                file=one.laid.claim.file,
                page=one.laid.claim.page,
                evidence={
                    "inset_mm": list(marks.inset),
                    "length_mm": marks.length,
                    "corners": marks.corners,
                    "panels": list(one.laid.target.numbers),
                    "scale": one.laid.scale,
                },
            )


RULE = Rule("marks-left-in", "warning", "client", "fit", find, needs=("crop_marks",))

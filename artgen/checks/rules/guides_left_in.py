"""`guides-left-in`: a template's guides in the art: layers and inks by name, else lines where this panel's guides would stand."""

from collections.abc import Iterator

from ..finding import Finding
from ..guides import guides_left
from ..rule import Rule, Seen


def find(seen: Seen) -> Iterator[Finding]:
    for one in seen.all.laid:
        left = guides_left(seen.all, one)
        if left:
            yield Finding(
                "guides-left-in",
                "error",
                panel=one.laid.target.numbers[0],
                file=one.laid.claim.file,
                page=one.laid.claim.page,
                evidence={
                    "layers": list(left.layers),
                    "inks": list(left.inks),
                    "guide_lines": list(left.lines),
                    "panels": list(one.laid.target.numbers),
                },
                say="layers" if left.layers else "inks" if left.inks else "lines",
            )


RULE = Rule("guides-left-in", "error", "client", "fit", find, needs=("guides",))

"""`spot-colour`: named inks, and two names that look like one ink's. A warning where the order lists the inks that may be.

The guides' own inks are left out: guides that were left in are another rule's matter.
"""

import re
from collections.abc import Iterator

from ...template.traces import guide_inks
from ..finding import Finding
from ..rule import Rule, Seen

# how swatch books end a name: on coated or uncoated paper, and as built of process inks (common practice, no source)
_PAPER = re.compile(r"\b(?:c|u|m|cv|cvc|cvu|cp|up|ec)$")


def find(seen: Seen) -> Iterator[Finding]:
    allowed = {_bare(name) for name in seen.names("spot-colour", "allowed")}
    for one in seen.all.laid:
        named = one.laid.facts.ink.spots
        spots = [name for name in named if name not in guide_inks(named)]
        if not spots:
            continue
        strange = [name for name in spots if allowed and _bare(name) not in allowed]
        twins = [name for name in spots if sum(_bare(other) == _bare(name) for other in spots) > 1]
        yield Finding(
            "spot-colour",
            "warning" if strange else "note",
            panel=one.laid.target.numbers[0],
            file=one.laid.claim.file,
            page=one.laid.claim.page,
            evidence={"panels": list(one.laid.target.numbers), "inks": spots, "not_allowed": strange, "twins": twins},
            say="strange" if strange else "twins" if twins else "",
        )


def _bare(name: str) -> str:
    """The name without case, spaces, signs, and the paper that a swatch book adds."""
    words = re.sub(r"[^a-z0-9]+", " ", name.casefold()).strip()
    return _PAPER.sub("", words).replace(" ", "")


RULE = Rule("spot-colour", "warning", "client", "colour", find, lists=("allowed",))

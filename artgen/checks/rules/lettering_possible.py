"""`lettering-possible`: what looks like lettering over a fold line, corner, joint or seam, and could not be read.

A warning where letters can be made out in it. Else a note that only the shop gets to see, since stripes, leaves and windows
look like lettering too: the one who checks the file looks, the client is not asked about every leaf.
"""

from collections.abc import Iterator

from attrs import evolve

from ..finding import Finding
from ..rule import Rule, Seen
from ..text import OVER_A_LINE
from .words_over import finding


def find(seen: Seen) -> Iterator[Finding]:
    told: set[int] = set()
    for verdict in seen.words:
        first = verdict.words[0]
        # one shape over several lines is one thing to look at
        if verdict.kind in OVER_A_LINE and not first.read and not told & set(map(id, verdict.words)):
            say = "seam" if verdict.kind == "tall-seam" else verdict.kind
            if first.letters:
                yield finding(verdict, "lettering-possible", "warning", say)
            elif not verdict.doubt:
                yield evolve(finding(verdict, "lettering-possible", "note", say), audience="shop")
            else:
                continue
            told |= set(map(id, verdict.words))


RULE = Rule("lettering-possible", "warning", "client", "text", find, needs=("words",))

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
    for verdict in seen.words:
        if verdict.kind in OVER_A_LINE and not verdict.words[0].read:
            say = "seam" if verdict.kind == "tall-seam" else verdict.kind
            if verdict.words[0].letters:
                yield finding(verdict, "lettering-possible", "warning", say)
            elif not verdict.doubt:
                yield evolve(finding(verdict, "lettering-possible", "note", say), audience="shop")


RULE = Rule("lettering-possible", "warning", "client", "text", find, needs=("words",))

"""`lettering-possible`: what looks like lettering over a fold line, corner, joint or seam, and could not be read.

A warning where letters can be made out in it, else a note: stripes, leaves and windows look like lettering too.
"""

from collections.abc import Iterator

from ..finding import Finding
from ..rule import Rule, Seen
from ..text import Kind
from .words_over import finding

_OVER: tuple[Kind, ...] = ("corner", "joint", "tuck", "seam", "tall-seam")


def find(seen: Seen) -> Iterator[Finding]:
    for verdict in seen.words:
        if verdict.kind in _OVER and not verdict.word.read:
            say = "seam" if verdict.kind == "tall-seam" else verdict.kind
            yield finding(verdict, "lettering-possible", "warning" if verdict.word.letters else "note", say)


RULE = Rule("lettering-possible", "warning", "client", find)

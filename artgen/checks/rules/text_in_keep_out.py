"""`text-in-keep-out`: a word in an area that the order keeps free: a screen, a door handle, a cable's way out."""

from collections.abc import Iterator

from ..finding import Finding
from ..rule import Rule, Seen
from .words_over import findings


def find(seen: Seen) -> Iterator[Finding]:
    return findings(seen, "text-in-keep-out", {"keep-out": ("error", "")})


RULE = Rule("text-in-keep-out", "error", "client", "text", find, needs=("words",))

"""`text-crosses-corner`: a word with ink in what shows of two panels of a wrap that meet at a corner."""

from collections.abc import Iterator

from ..finding import Finding
from ..rule import Rule, Seen
from .words_over import findings


def find(seen: Seen) -> Iterator[Finding]:
    return findings(seen, "text-crosses-corner", {"corner": ("error", "")})


RULE = Rule("text-crosses-corner", "error", "client", "text", find, needs=("words",))

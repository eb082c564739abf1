"""`text-in-tuck`: a word across a fold line; one wholly beyond it is a note."""

from collections.abc import Iterator

from ..finding import Finding
from ..rule import Rule, Seen
from .words_over import findings


def find(seen: Seen) -> Iterator[Finding]:
    return findings(seen, "text-in-tuck", {"tuck": ("error", ""), "beyond": ("note", "beyond")})


RULE = Rule("text-in-tuck", "error", "client", "text", find, needs=("words",))

"""`text-outside-safe`: a word that shows whole, but nearer to a fold line than sewing and fitting allow."""

from collections.abc import Iterator

from ..finding import Finding
from ..rule import Rule, Seen
from .words_over import findings


def find(seen: Seen) -> Iterator[Finding]:
    return findings(seen, "text-outside-safe", {"safe": ("warning", "")})


RULE = Rule("text-outside-safe", "warning", "client", "text", find, needs=("words",))

"""`text-in-shadow`: a word where hardware stands between lamp and cloth of a lit structure."""

from collections.abc import Iterator

from ..finding import Finding
from ..rule import Rule, Seen
from .words_over import findings


def find(seen: Seen) -> Iterator[Finding]:
    return findings(seen, "text-in-shadow", {"shadow": ("warning", "")})


RULE = Rule("text-in-shadow", "warning", "client", "text", find, needs=("words",))

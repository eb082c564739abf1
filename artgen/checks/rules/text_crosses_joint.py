"""`text-crosses-joint`: a word with ink in what shows of two bays of one face."""

from collections.abc import Iterator

from ..finding import Finding
from ..rule import Rule, Seen
from .words_over import findings


def find(seen: Seen) -> Iterator[Finding]:
    return findings(seen, "text-crosses-joint", {"joint": ("error", "")})


RULE = Rule("text-crosses-joint", "error", "client", "text", find, needs=("words",))

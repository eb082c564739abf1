"""`text-crosses-seam`: a word over the sewn line between two drops, or too near it."""

from collections.abc import Iterator

from ..finding import Finding, Severity
from ..rule import Number, Rule, Seen
from ..text import Kind
from .words_over import findings


def find(seen: Seen) -> Iterator[Finding]:
    kinds: dict[Kind, tuple[Severity, str]] = {
        "seam": ("error", ""),
        "tall-seam": ("warning", "tall"),
        "near-seam": ("warning", "near"),
    }
    return findings(seen, "text-crosses-seam", kinds)


RULE = Rule(
    "text-crosses-seam",
    "error",
    "client",
    "text",
    find,
    needs=("words",),
    numbers=(Number("tall", 300.0, "mm", "ours"),),  # a sewn join through capitals higher than this is hardly seen
)

"""`reference-missing`: a file that refers to another one, which did not come and is never fetched."""

from collections.abc import Iterator

from ...art.facts import FileFacts
from ..finding import Finding
from ..rule import Rule, Seen
from .files import of_panels

_NO_PICTURES = ("document type: ", "entity ")  # declarations of an SVG: nothing that would be seen


def find(seen: Seen) -> Iterator[Finding]:
    for name, numbers, facts in of_panels(seen):
        wanted = (
            [one for one in facts.blocked if not one.startswith(_NO_PICTURES)] if isinstance(facts, FileFacts) else []
        )
        if wanted:
            yield Finding(
                "reference-missing",
                "error",
                panel=numbers[0] if numbers else None,
                file=name,
                evidence={"panels": numbers, "wanted": wanted[:20], "count": len(wanted)},
            )


RULE = Rule("reference-missing", "error", "client", "image", find)

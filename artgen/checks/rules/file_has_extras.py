"""`file-has-extras`: scripts, attachments, form fields, comments, media, and pages that no panel takes. None of it is printed."""

from collections.abc import Iterator

from ...art.facts import ExtraKind, FileFacts
from ..finding import Finding
from ..rule import Rule, Seen
from .files import of_panels

_TOLD: tuple[ExtraKind, ...] = (
    "script",
    "attachment",
    "form-field",
    "comment",
    "media",
    "action",
)  # links lead nowhere on cloth


def find(seen: Seen) -> Iterator[Finding]:
    for name, numbers, facts in of_panels(seen):
        if not isinstance(facts, FileFacts):
            continue
        counts = {kind: sum(extra.count for extra in facts.extras if extra.kind == kind) for kind in _TOLD}
        counts = {kind: count for kind, count in counts.items() if count}
        asked = {claim.page for claim in seen.all.claims.claims if claim.file == name}
        unused = [number for number in range(1, len(facts.pages) + 1) if number not in asked]
        if counts or unused:
            yield Finding(
                "file-has-extras",
                "note",
                panel=numbers[0] if numbers else None,
                file=name,
                evidence={"panels": numbers, "pages": len(facts.pages), "unused_pages": unused, "extras": counts},
                say="pages" if not counts else "both" if unused else "",
            )


RULE = Rule("file-has-extras", "note", "client", "file", find)

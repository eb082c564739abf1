"""`file-misnamed`: a file whose content is not what its name says; it is read by its content."""

from collections.abc import Iterator

from ...art.facts import FileFacts
from ..finding import Finding
from ..rule import Rule, Seen
from .files import of_panels


def find(seen: Seen) -> Iterator[Finding]:
    for name, numbers, outcome in of_panels(seen):
        if isinstance(outcome, FileFacts) and outcome.named is not None:
            yield Finding(
                "file-misnamed",
                "note",
                panel=numbers[0] if numbers else None,
                file=name,
                evidence={"panels": numbers, "is": outcome.format, "named": outcome.named},
            )


RULE = Rule("file-misnamed", "note", "client", "file", find)

"""`file-damaged`: an error where a file could not be read, a warning where it was mended while reading."""

from collections.abc import Iterator

from ...art.facts import FileFacts
from ..finding import Finding
from ..rule import Rule, Seen
from .files import faults, of_panels


def find(seen: Seen) -> Iterator[Finding]:
    yield from faults(seen, "file-damaged", {"empty", "damaged", "unsupported"})
    for name, numbers, outcome in of_panels(seen):
        if isinstance(outcome, FileFacts) and outcome.repaired:
            yield Finding(
                "file-damaged",
                "warning",
                panel=numbers[0] if numbers else None,
                file=name,
                evidence={"panels": numbers, "detail": "; ".join(outcome.repaired)},
                say="repaired",
            )


RULE = Rule("file-damaged", "error", "client", "file", find)

"""What the rules about whole files share: the claims of each file that was read, and why one could not be."""

from collections.abc import Iterator

from ...art.facts import FaultKind, FileFacts, FileFault
from ..finding import Finding
from ..rule import Seen


def of_panels(seen: Seen) -> Iterator[tuple[str, list[int], FileFacts | FileFault]]:
    """(file, the panels that take it, outcome), by name."""
    for name in sorted(seen.all.files):
        numbers = [n for claim in seen.all.claims.claims if claim.file == name for n in claim.target.numbers]
        yield name, numbers, seen.all.files[name]


def faults(seen: Seen, rule: str, kinds: set[FaultKind]) -> Iterator[Finding]:
    """An error for every file that could not be read for one of these reasons."""
    for name, numbers, outcome in of_panels(seen):
        if isinstance(outcome, FileFault) and outcome.kind in kinds:
            yield Finding(
                rule,
                "error",
                panel=numbers[0] if numbers else None,
                file=name,
                evidence={"panels": numbers, "kind": outcome.kind, "detail": outcome.detail},
            )

"""`file-changed`: a file that differs from the one that was approved. What was approved comes in as plain hashes."""

from collections.abc import Iterator

from ..finding import Finding
from ..rule import Rule, Seen
from .files import of_panels


def find(seen: Seen) -> Iterator[Finding]:
    approved = seen.all.approved
    if not approved:
        return
    for name, numbers, _ in of_panels(seen):
        now = seen.all.hashes.get(name)
        if now is None or now == approved.get(name):
            continue
        yield Finding(
            "file-changed",
            "error",
            panel=numbers[0] if numbers else None,
            file=name,
            evidence={"panels": numbers, "approved": approved.get(name, "")[:12], "now": now[:12]},
            say="" if name in approved else "new",
        )


RULE = Rule("file-changed", "error", "client", "file", find, needs=("hashes", "approved"))

"""`file-changed`: a file that differs from the one that was approved. What was approved comes in as plain hashes."""

from collections.abc import Iterator

from ..finding import Finding
from ..rule import Rule, Seen
from .files import of_panels


def find(seen: Seen) -> Iterator[Finding]:
    for name, numbers, _ in of_panels(seen):
        now = seen.all.hashes.get(name)
        signed = {number: seen.all.approved[number].get(name) for number in numbers if number in seen.all.approved}
        differ = [number for number, was in signed.items() if was != now]
        if now is None or not differ:
            continue
        was = signed[differ[0]] or ""
        yield Finding(
            "file-changed",
            "error",
            panel=differ[0],
            file=name,
            evidence={"panels": differ, "approved": was[:12], "now": now[:12]},
            say="" if was else "new",
        )


RULE = Rule("file-changed", "error", "client", "file", find, needs=("hashes", "approved"))

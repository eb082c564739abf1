"""`art-ambiguous`: two or more files whose names claim one panel."""

from collections.abc import Iterator

from ..finding import Finding
from ..rule import Rule, Seen


def find(seen: Seen) -> Iterator[Finding]:
    for number, files in seen.all.claims.ambiguous:
        yield Finding("art-ambiguous", "error", panel=number, evidence={"panels": [number], "files": list(files)})


RULE = Rule("art-ambiguous", "error", "client", "fit", find)

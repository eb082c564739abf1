"""`art-extra`: files in the art folder that no panel takes."""

from collections.abc import Iterator

from ..finding import Finding
from ..rule import Rule, Seen


def find(seen: Seen) -> Iterator[Finding]:
    for name in seen.all.claims.extra:
        yield Finding("art-extra", "note", file=name)


RULE = Rule("art-extra", "note", "client", "fit", find)

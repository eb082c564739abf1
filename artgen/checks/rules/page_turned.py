"""`page-turned`: a page that fits only lying on its side."""

from collections.abc import Iterator

from ..finding import Finding
from ..rule import Rule, Seen


def find(seen: Seen) -> Iterator[Finding]:
    for one in seen.all.laid:
        laid = one.laid
        if laid.turn and not laid.by_hand:
            yield Finding(
                "page-turned",
                "note",
                panel=laid.target.numbers[0],
                file=laid.claim.file,
                page=laid.claim.page,
                evidence={"turn_deg": laid.turn, "panels": list(laid.target.numbers)},
            )


RULE = Rule("page-turned", "note", "client", "fit", find)

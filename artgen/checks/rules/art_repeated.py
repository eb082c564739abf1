"""`art-repeated`: the same picture on two panels, from two files or pages. Pictures that one page paints on several panels,
because the order says so, are as they should be."""

from collections.abc import Iterator

from ..finding import Finding
from ..rule import Rule, Seen


def find(seen: Seen) -> Iterator[Finding]:
    found: dict[str, list[tuple[int, str, int]]] = {}
    for one in seen.all.laid:
        claim = one.laid.claim
        for number, look in (one.fingerprints or {}).items():
            if look:
                found.setdefault(look, []).append((number, claim.file, claim.page))
    for same in found.values():
        sources = {(file, page) for _, file, page in same}
        if len(sources) < 2:
            continue
        number, file, page = same[0]
        yield Finding(
            "art-repeated",
            "note",
            panel=number,
            file=file,
            page=page,
            evidence={
                "panels": [each for each, _, _ in same],
                "files": list(dict.fromkeys(name for _, name, _ in same)),
            },
        )


RULE = Rule("art-repeated", "note", "client", "fit", find, needs=("fingerprints",))

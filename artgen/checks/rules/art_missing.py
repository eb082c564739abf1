"""`art-missing`: a panel that needs art and has none, or whose named file or page is not there."""

from collections.abc import Iterator

from ...art.facts import FileFacts
from ..finding import Finding
from ..rule import Rule, Seen


def find(seen: Seen) -> Iterator[Finding]:
    for number in seen.all.claims.missing:
        yield Finding("art-missing", "error", panel=number, evidence={"panels": [number]})
    for claim in seen.all.claims.claims:
        if claim.file not in seen.all.files:
            numbers = list(claim.target.numbers)
            yield Finding(
                "art-missing", "error", panel=numbers[0], file=claim.file, evidence={"panels": numbers}, say="no-file"
            )
    for claim in seen.all.no_page:
        facts = seen.all.files[claim.file]
        numbers = list(claim.target.numbers)
        pages = len(facts.pages) if isinstance(facts, FileFacts) else 0
        yield Finding(
            "art-missing",
            "error",
            panel=numbers[0],
            file=claim.file,
            page=claim.page,
            evidence={"panels": numbers, "pages": pages},
            say="no-page",
        )


RULE = Rule("art-missing", "error", "client", "fit", find)

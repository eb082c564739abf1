"""`art-missing`: a panel that needs art and has none, or whose named file or page is not there.

A file or page that several panels were to take is missing once.
"""

from collections.abc import Iterator

from ...art.facts import FileFacts
from ..finding import Finding
from ..rule import Rule, Seen


def find(seen: Seen) -> Iterator[Finding]:
    for number in seen.all.claims.missing:
        yield Finding("art-missing", "error", panel=number, evidence={"panels": [number]})
    absent: dict[str, list[int]] = {}
    for claim in seen.all.claims.claims:
        if claim.file not in seen.all.files:
            absent.setdefault(claim.file, []).extend(claim.target.numbers)
    for file, numbers in absent.items():
        yield Finding("art-missing", "error", panel=numbers[0], file=file, evidence={"panels": numbers}, say="no-file")
    short: dict[tuple[str, int], list[int]] = {}
    for claim in seen.all.no_page:
        short.setdefault((claim.file, claim.page), []).extend(claim.target.numbers)
    for (file, page), numbers in short.items():
        facts = seen.all.files[file]
        pages = len(facts.pages) if isinstance(facts, FileFacts) else 0
        evidence = {"panels": numbers, "pages": pages}
        yield Finding("art-missing", "error", panel=numbers[0], file=file, page=page, evidence=evidence, say="no-page")


RULE = Rule("art-missing", "error", "client", "fit", find)

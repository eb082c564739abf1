"""`font-not-embedded`: text whose font did not come with the file, so that another one would stand in. One finding a page."""

from collections.abc import Iterator

from ...art.facts import FileFacts
from ..finding import Finding
from ..places import around, place_of
from ..rule import Rule, Seen


def find(seen: Seen) -> Iterator[Finding]:
    for one in seen.all.laid:
        claim = one.laid.claim
        facts = seen.all.files.get(claim.file)
        lacking = [word for word in one.laid.facts.words if not word.embedded and not word.unseen]
        places = [(word, place) for word in lacking if (place := place_of(one.laid, word.quad)) is not None]
        fonts = [word.font or "?" for word, _ in places]
        if isinstance(facts, FileFacts) and facts.stand_in_fonts:
            fonts += facts.stand_in_fonts
        if not fonts:
            continue
        panel = places[0][1].panel if places else one.laid.target.numbers[0]
        yield Finding(
            "font-not-embedded",
            "error",
            panel=panel,
            file=claim.file,
            page=claim.page,
            where=around([place.box for _, place in places if place.panel == panel]) if places else None,
            evidence={
                "panels": sorted({place.panel for _, place in places}) or [panel],
                "fonts": list(dict.fromkeys(fonts))[:20],
                "words": len(places),
                "first": places[0][0].text if places else "",
            },
            say="stand-in" if not places else "one" if len(places) == 1 else "",
        )


RULE = Rule("font-not-embedded", "error", "client", "text", find)

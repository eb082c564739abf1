"""`text-unseen`: live text that paints nothing, or can't be told from its ground. One finding a panel and reason.

Text on layers that are off is `layer-hidden`; text outside the page's crop box is outside the art.
"""

from collections.abc import Iterator

from ...art.facts import Word
from ..finding import Finding
from ..places import Place, around, place_of
from ..rule import Rule, Seen

_TOLD = ("invisible", "clipped", "covered", "ground")


def find(seen: Seen) -> Iterator[Finding]:
    for one in seen.all.laid:
        found: dict[tuple[int, str], list[tuple[Word, Place]]] = {}
        for word in one.laid.facts.words:
            if word.unseen in _TOLD:
                place = place_of(one.laid, word.quad)
                if place is not None:
                    found.setdefault((place.panel, word.unseen), []).append((word, place))
        for (panel, why), words in found.items():
            yield Finding(
                "text-unseen",
                "note",
                panel=panel,
                file=one.laid.claim.file,
                page=one.laid.claim.page,
                where=around([place.box for _, place in words]),
                evidence={
                    "text": " ".join(word.text for word, _ in words[:5]),
                    "count": len(words),
                    "why": why,
                    "panels": [panel],
                },
                say=why,
            )


RULE = Rule("text-unseen", "note", "client", "text", find)

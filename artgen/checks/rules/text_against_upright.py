"""`text-against-upright`: words that are not level when the panel hangs. One note a panel.

Words up or down a panel are a choice, and on a level face there is no "up".
"""

from collections import Counter
from collections.abc import Iterator

from ..finding import Finding
from ..places import OnPanel, around, words_on_panels
from ..rule import Number, Rule, Seen

_LEVEL_FACE = 89.0  # degrees: a face that leans more lies level


def find(seen: Seen) -> Iterator[Finding]:
    within = seen.number("text-against-upright", "within")
    for one in seen.all.laid:
        found: dict[int, list[OnPanel]] = {}
        for on in words_on_panels(one):
            if on.word.read and abs(on.panel.sight.tilt) < _LEVEL_FACE and round(abs(_askew(on.off)), 1) > within:
                found.setdefault(on.panel.number, []).append(on)
        for number, words in found.items():
            angle, count = Counter(round(_askew(on.off)) for on in words).most_common(1)[0]
            yield Finding(
                "text-against-upright",
                "note",
                panel=number,
                file=one.laid.claim.file,
                page=one.laid.claim.page,
                where=around([on.box for on in words]),
                evidence={
                    "text": " ".join(on.word.text for on in words[:5]),
                    "count": len(words),
                    "angle_deg": angle,
                    "at_that_angle": count,
                    "panels": [number],
                },
                say="all" if len(words) > 1 else "",
            )


def _askew(off: float) -> float:
    """Degrees off the nearest of level and upright, [−45, 45)."""
    return (off + 45.0) % 90.0 - 45.0


RULE = Rule(
    "text-against-upright",
    "note",
    "client",
    "text",
    find,
    needs=("words",),
    numbers=(Number("within", 5.0, "°", "ours"),),
)

"""`page-turned`: a page that fits only lying on its side; one whose live words run upside down once the panel hangs.

Words that are seen in pixels don't tell: a picture's lettering is read whichever way up it is.
"""

from collections.abc import Iterator

from ...survey import LaidSeen
from ..finding import Finding, Severity
from ..places import words_on_panels
from ..rule import Number, Rule, Seen

_LEVEL_FACE = 89.0  # degrees: on a face that leans more there is no "up"


def find(seen: Seen) -> Iterator[Finding]:
    share, letters = (seen.number("page-turned", name) for name in ("share", "letters"))
    for one in seen.all.laid:
        laid = one.laid
        evidence: dict[str, object] = {"turn_deg": laid.turn, "panels": list(laid.target.numbers)}
        by_hand = laid.claim.by_hand
        down, of = _upside_down(one)
        if down >= letters and 100 * down > share * of and not (by_hand is not None and by_hand.turn is not None):
            evidence |= {"then_deg": (laid.turn + 180) % 360, "letters": of, "upside_down": down}
            yield _finding(one, "warning", evidence, "upside-down")
        elif laid.turn and not laid.by_hand:
            yield _finding(one, "note", evidence, "")


def _finding(one: LaidSeen, severity: Severity, evidence: dict[str, object], say: str) -> Finding:
    laid = one.laid
    return Finding(
        "page-turned",
        severity,
        panel=laid.target.numbers[0],
        file=laid.claim.file,
        page=laid.claim.page,
        evidence=evidence,
        say=say,
    )


def _upside_down(one: LaidSeen) -> tuple[int, int]:
    """(letters that stand on their heads, letters in all) on faces that are not level."""
    down = total = 0
    for on in words_on_panels(one):
        if on.word.source == "live" and abs(on.panel.sight.tilt) < _LEVEL_FACE:
            total += len(on.word.text)
            down += len(on.word.text) if abs(on.off) > 135.0 else 0
    return down, total


RULE = Rule(
    "page-turned",
    "warning",
    "client",
    "fit",
    find,
    needs=("words",),
    numbers=(Number("share", 50.0, "%", "ours"), Number("letters", 3.0, "letters", "ours")),
)

"""`black-built`: small text built of several inks, black among them. Off unless an order or a shop switches it on."""

from collections.abc import Iterator

from ..finding import Finding
from ..rule import Number, Rule, Seen


def find(seen: Seen) -> Iterator[Finding]:
    small, most = seen.number("black-built", "small"), seen.number("black-built", "inks")
    for one in seen.all.laid:
        scale = one.laid.scale
        built = [text for text in one.laid.facts.ink.text if "Black" in text.inks and len(text.inks) >= most]
        built = [text for text in built if round(text.least * scale, 3) < small]
        if built:
            worst = min(built, key=lambda text: (text.least, text.inks))
            yield Finding(
                "black-built",
                "note",
                panel=one.laid.target.numbers[0],
                file=one.laid.claim.file,
                page=one.laid.claim.page,
                evidence={
                    "inks": list(worst.inks),
                    "size_mm": round(worst.least * scale, 1),
                    "small_mm": small,
                    "panels": list(one.laid.target.numbers),
                },
            )


RULE = Rule(
    "black-built",
    "note",
    "client",
    "colour",
    find,
    numbers=(Number("inks", 2.0, "inks", "ours"), Number("small", 20.0, "mm", "ours")),
    off=True,
)

"""Words where they stand: in the plane of their target, at full size."""

from math import atan2, degrees

from attrs import frozen

from ..placing import Laid
from ..sizing.outline import Outline
from ..sizing.panel import apply


@frozen
class PlacedWord:
    """One word. ``quad`` in the target's plane, full-size mm: lower left, lower right, upper right, upper left as read.

    ``capital`` = height of its tallest ink over the baseline, mm at full size. ``angle`` = degrees anticlockwise from the
    plane's x.
    """

    text: str
    quad: Outline
    capital: float
    angle: float


def placed_words(laid: Laid) -> tuple[PlacedWord, ...]:
    """All words of a laid page that show, in the file's order."""
    found = []
    for word in laid.facts.words:
        if word.unseen:
            continue
        quad = tuple(apply(laid.matrix, point) for point in word.quad)
        (x0, y0), (x1, y1) = quad[0], quad[1]
        found.append(PlacedWord(word.text, quad, word.capital * laid.scale, degrees(atan2(y1 - y0, x1 - x0))))
    return tuple(found)

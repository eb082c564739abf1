"""Words where they stand: in the plane of their target, at full size."""

from math import atan2, degrees
from typing import Literal

from attrs import field, frozen
from shapely import MultiPoint, Polygon

from ..art.facts import Unseen
from ..placing import Laid
from ..sizing.outline import Outline
from ..sizing.panel import apply


@frozen
class PlacedWord:
    """One word. ``quad`` in the target's plane, full-size mm: lower left, lower right, upper right, upper left as read;
    ``hull`` = vertices of the convex polygon that hugs its ink.

    ``capital`` = height of its tallest ink over the baseline, mm at full size (of a seen word: the height of its ink).
    ``angle`` = degrees anticlockwise from the plane's x. ``source``: "live" text of the file, or "seen" in its pixels, as
    text turned to outlines or flattened is. A seen word that could not be ``read`` has no text, and ``letters`` tells whether
    single letters could be made out in it; ``confidence`` = how sure the detector is that it is lettering, and once read, the
    reader of its letters; ``slack`` = mm by which any side of ``quad`` and ``hull`` may be wrong; ``reach`` = vertices of what
    may be its ink too, though its colour does not tell; ``layer`` = name of the layer that a live word is on, ``em`` = its font
    size, mm at full size.
    """

    text: str
    quad: Outline
    capital: float
    angle: float
    source: Literal["live", "seen"] = "live"
    read: bool = True
    letters: bool = True
    confidence: float = 1.0
    slack: float = 0.0
    reach: Outline = ()
    layer: str = ""
    em: float = 0.0
    _hull: Outline | None = field(default=None, alias="hull")

    @property
    def hull(self) -> Outline:
        """``quad`` where no closer polygon is known; a word given another quad can't keep the old one's."""
        return self._hull or self.quad

    @property
    def sure(self) -> Polygon:
        """Where its ink reaches for certain: the hull less its slack on every side."""
        return self._out(self.hull, -self.slack)

    @property
    def whole(self) -> Polygon:
        """Where its ink may reach: the hull and its slack on every side, and what else may be ink."""
        return self._out((*self.hull, *self.reach), self.slack)

    @staticmethod
    def _out(points: Outline, by: float) -> Polygon:
        shape = MultiPoint(points).convex_hull
        moved = shape.buffer(by, join_style="mitre") if by else shape
        return moved if isinstance(moved, Polygon) else Polygon()


def placed_words(laid: Laid) -> tuple[PlacedWord, ...]:
    """All words of live text on a laid page that show, in the file's order."""
    return _placed(laid, "")


def words_off_page(laid: Laid) -> tuple[PlacedWord, ...]:
    """Words of live text beyond the page's edge: of a line that runs off it, or of what lies about beside it."""
    return _placed(laid, "outside-page")


def _placed(laid: Laid, unseen: Unseen) -> tuple[PlacedWord, ...]:
    found = []
    for word in laid.facts.words:
        if word.unseen != unseen:
            continue
        quad, hull = (tuple(apply(laid.matrix, point) for point in outline) for outline in (word.quad, word.hull))
        (x0, y0), (x1, y1) = quad[0], quad[1]
        angle = degrees(atan2(y1 - y0, x1 - x0))
        em = word.size * laid.scale
        found.append(PlacedWord(word.text, quad, word.capital * laid.scale, angle, hull=hull, layer=word.layer, em=em))
    return tuple(found)

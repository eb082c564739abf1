"""Lettering that is no live text: outlined, or flattened into pixels. Found and read in the pixels of placed art.

Takes a laid page, its live words, and what it shows in `plane_window`; gives `PlacedWord`s with ``source`` "seen" in the
target's plane. `find` looks and measures; `read` reads those that are asked for, since reading costs more than finding.
Without the extra ``artgen[reading]`` nothing is found: ask `available` first. The same pixels give the same words.
"""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from functools import partial

from attrs import field, frozen
from shapely import Polygon, STRtree

from ...placing import Laid
from ...sizing.outline import bounds
from ..words import PlacedWord
from .ground import lettering_alone
from .ink import words_in
from .lines import Line, added, explained, lines_in, merged
from .models import available, in_turn
from .reader import read_word
from .views import Picture, Pictures, blue_views, clear_views, in_blue, on_cloth, plane_window, tilt_of, views

__all__ = ["CONTRAST", "Lettering", "Picture", "available", "find", "on_cloth", "plane_window", "read"]

CONTRAST = 35  # levels of 255: below it lettering is often missed (measured)
_SMALL_PX = 10.0  # em in px from which lettering is found (measured)
_LINE_LIVE, _WORD_LIVE = 0.6, 0.35  # ours: share of a line, of a word, that live words account for
_SURE = 0.5  # score of a line from which it is worth a note even if no letter can be made out in it (measured)
_MOST = 0.6  # ours: with so much of a word in another, both are one
_PLAIN = 0.8  # ours: score of a line from which it is worth reading though another lies over it
_GROUND = 0.7  # ours: a box that is more than this of the plane holds its ground, no line
_NEAR = 0.35  # heights by which a live word accounts for what is round it, gaps and descenders


@frozen
class Lettering:
    """The words seen on one laid page, unread. ``vague`` = those of them that the detector is not sure of, or saw only in a
    coarse view, or whose ink is one piece; ``smallest`` = em in mm from which letters are found; ``pictures``: without its
    ground, if colours tell that; and as it is, and in blue light."""

    words: tuple[PlacedWord, ...]
    vague: frozenset[PlacedWord]
    smallest: float
    pictures: Pictures = field(repr=False, eq=False)


def find(picture: Picture, laid: Laid, live: Sequence[PlacedWord], at_once: int = 1) -> Lettering:
    """Lettering on a laid page that its live words don't account for; so many views are looked at ``at_once``."""
    shapes = [shape for word in live if (shape := Polygon(word.quad)).is_valid and shape.area > 0]
    exact = STRtree(shapes)
    round_about = STRtree([shape.buffer(_NEAR * min(_sides(shape))) for shape in shapes])

    def new(shown: Iterable[Picture]) -> list[Line]:
        found = [line for lines in in_turn(lines_in, shown, at_once) for line in lines]
        found = [line for line in found if line.box[2] * line.box[3] < _GROUND * picture.area]
        return [line for line in found if not explained(line.outline, round_about, _LINE_LIVE)]

    clear = lettering_alone(picture)
    blue = in_blue(picture)
    pictures: Pictures = (*([] if clear is None else [(clear,)]), (picture, blue))
    flat = tuple(one for kind in pictures for one in kind)
    words: dict[PlacedWord, bool] = {}
    for shown in (
        *([] if clear is None else [clear_views(clear, laid)]),
        views(picture, laid),
        blue_views(blue, laid),
    ):
        for lines in _lines(shown, new):
            for word, is_vague in _words(flat, lines, exact, tilt_of(laid)):
                # seen in several pictures alike
                if not any(_covers(word, other) and _covers(other, word) for other in words):
                    words[word] = is_vague
    vague = frozenset(word for word, is_vague in words.items() if is_vague)
    return Lettering(tuple(words), vague, _SMALL_PX * picture.step, pictures)


def read(seen: Lettering, asked: Collection[PlacedWord], at_once: int = 1) -> tuple[PlacedWord, ...]:
    """All words, those ``asked`` for with what they say, or as the words that they turn out to be; else with whether letters
    can be made out in them. Of a vague one without letters nothing is left, nor of what a better read word lies over."""
    asked = [word for word in seen.words if word in asked]
    inner = {word for word in asked if any(other is not word and _covers(other, word) for other in asked)}
    found: dict[PlacedWord, tuple[PlacedWord, ...]] = {}
    for some in ([word for word in asked if word not in inner], [word for word in asked if word in inner]):
        known = [one for parts in found.values() for one in parts if one.read]
        some = [word for word in some if not any(_covers(one, word) for one in known)]
        found |= zip(some, in_turn(partial(read_word, seen.pictures), some, at_once), strict=True)
    words = [
        one
        for word in seen.words
        for one in found.get(word, (word,))
        if word not in found or one.letters or word not in seen.vague
    ]
    kept: list[PlacedWord] = []
    for word in sorted(words, key=lambda one: (not one.read, not one.letters)):
        if not any(_covers(other, word) for other in kept if other.read or (other.letters and not word.letters)):
            kept.append(word)
    return tuple(kept)


def _lines(shown: Iterator[list[Picture]], look: Callable[[list[Picture]], list[Line]]) -> Iterator[dict[Line, bool]]:
    """Lines of one picture and whether they are sure: first all without those that others hold; then of these, one by one, what a
    view shows plainly, since a word and what it stands on may have been taken for one."""
    every = look(next(shown))
    first = lines = merged(every)
    for less_exact in shown:
        found = look(less_exact)
        lines = added(lines, found)
        every += found
    kept = dict.fromkeys(lines, False) | {line: line.score >= _SURE for line in first}
    yield kept
    yield from ({line: False} for line in every if line.score >= _PLAIN and not line.cut and line not in kept)


def _words(
    pictures: Sequence[Picture], lines: Mapping[Line, bool], live: STRtree, tilt: float
) -> Iterator[tuple[PlacedWord, bool]]:
    """(word, whether it is vague) of each line, without what live words account for. Of words on each other the last that holds
    most of the others stays."""
    found: list[tuple[PlacedWord, bool]] = []
    for line, sure in lines.items():
        for ink in words_in(pictures, line, tilt):
            shape = Polygon(ink.quad)
            word = PlacedWord(
                "",
                ink.quad,
                ink.height,
                ink.angle,
                "seen",
                read=False,
                letters=False,
                confidence=round(line.score, 3),
                slack=ink.slack,
                hull=ink.hull,
                reach=ink.reach,
            )
            if shape.area == 0 or explained(shape, live, _WORD_LIVE) or any(_covers(one, word) for one, _ in found):
                continue
            found = [(one, vague) for one, vague in found if not _covers(word, one)]
            found.append((word, ink.whole or not sure))
    yield from found


def _covers(word: PlacedWord, other: PlacedWord) -> bool:
    """Whether most of ``other`` lies in ``word``."""
    ax0, ay0, ax1, ay1 = bounds(word.quad)
    bx0, by0, bx1, by1 = bounds(other.quad)
    if ax1 < bx0 or bx1 < ax0 or ay1 < by0 or by1 < ay0:
        return False
    mine, its = Polygon(word.quad), Polygon(other.quad)
    return mine.intersects(its) and bool(mine.intersection(its).area > _MOST * its.area)


def _sides(shape: Polygon) -> tuple[float, float]:
    a, b, c = shape.exterior.coords[:3]
    return ((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5, ((b[0] - c[0]) ** 2 + (b[1] - c[1]) ** 2) ** 0.5

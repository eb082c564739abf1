"""Lettering that is no live text: outlined, or flattened into pixels. Found and read in the pixels of placed art.

Takes a laid page and its live words; gives `PlacedWord`s with ``source`` "seen" in the target's plane. `find` looks and
measures; `read` reads those that are asked for, since reading costs more than finding. Without the extra
``artgen[reading]`` nothing is found: ask `available` first. The same pixels give the same words.
"""

from collections.abc import Iterable, Sequence
from functools import partial
from pathlib import Path

from attrs import field, frozen
from shapely import Polygon, STRtree

from ...art.facts import FileFault
from ...placing import Laid
from ..words import PlacedWord
from .ink import InkWord, words_in
from .lines import Line, added, explained, lines_in, merged
from .models import available, in_turn
from .reader import read_word
from .views import Picture, more_views, plane_picture, tilt_of, views

__all__ = ["CONTRAST", "Lettering", "available", "find", "read"]

CONTRAST = 35  # levels of 255: below it lettering is often missed (measured)
_SMALL_PX = 10.0  # em in px from which lettering is found (measured)
_LINE_LIVE, _WORD_LIVE = 0.6, 0.35  # ours: share of a line, of a word, that live words account for
_SURE = 0.5  # score of a line from which it is worth a note even if no letter can be made out in it (measured)
_NEAR = 0.35  # heights by which a live word accounts for what is round it, gaps and descenders


@frozen
class Lettering:
    """The words seen on one laid page, unread. ``vague`` = those of them that the detector is not sure of, or saw only in a
    coarse view, or whose ink is one piece; ``smallest`` = em in mm from which letters are found."""

    words: tuple[PlacedWord, ...]
    vague: frozenset[PlacedWord]
    smallest: float
    picture: Picture = field(repr=False, eq=False)


def find(file: Path, laid: Laid, live: Sequence[PlacedWord]) -> Lettering | FileFault:
    """Lettering on a laid page that its live words don't account for."""
    picture = plane_picture(file, laid)
    if isinstance(picture, FileFault):
        return picture
    shapes = [shape for word in live if (shape := Polygon(word.quad)).is_valid and shape.area > 0]
    exact = STRtree(shapes)
    round_about = STRtree([shape.buffer(_NEAR * min(_sides(shape))) for shape in shapes])

    def new(shown: Iterable[Picture]) -> list[Line]:
        found = [line for lines in in_turn(lines_in, shown) for line in lines]
        return [line for line in found if not explained(line.outline, round_about, _LINE_LIVE)]

    lines = merged(new(views(picture, laid)))
    sure = {line for line in lines if line.score >= _SURE}
    for shown in more_views(picture, laid):
        lines = added(lines, new(shown))
    words: list[PlacedWord] = []
    vague: set[PlacedWord] = set()
    for line in lines:
        for word in words_in(picture, line, tilt_of(laid)):
            shape = Polygon(word.quad)
            if shape.area == 0 or explained(shape, exact, _WORD_LIVE) or _known(shape, words):
                continue
            words = [other for other in words if not _known(Polygon(other.quad), [word])]
            words.append(
                PlacedWord(
                    "",
                    word.quad,
                    word.height,
                    word.angle,
                    "seen",
                    read=False,
                    letters=False,
                    confidence=round(line.score, 3),
                    slack=word.slack,
                )
            )
            if line not in sure or word.whole:
                vague.add(words[-1])
    return Lettering(tuple(words), frozenset(vague), _SMALL_PX * picture.step, picture)


def read(seen: Lettering, words: Sequence[PlacedWord]) -> dict[PlacedWord, tuple[PlacedWord, ...]]:
    """Each word with what it says, or the words that it turns out to be; else with whether letters can be made out in it. Of
    a vague one without letters nothing is left."""
    found = in_turn(partial(read_word, seen.picture), words)
    return {
        word: tuple(one for one in parts if one.letters or word not in seen.vague)
        for word, parts in zip(words, found, strict=True)
    }


def _sides(shape: Polygon) -> tuple[float, float]:
    a, b, c = shape.exterior.coords[:3]
    return ((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5, ((b[0] - c[0]) ** 2 + (b[1] - c[1]) ** 2) ** 0.5


def _known(shape: Polygon, words: Sequence[PlacedWord | InkWord]) -> bool:
    """Whether one of these words has most of this one in it: they are one, seen in two views."""
    for word in words:
        other = Polygon(word.quad)
        if other.intersects(shape) and other.intersection(shape).area > 0.6 * shape.area:
            return True
    return False

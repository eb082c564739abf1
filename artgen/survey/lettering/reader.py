"""A seen word to what it says. Takes the plane's picture and the word's box; tries the ways up that its box allows."""

import re
from math import cos, hypot, inf, radians, sin
from statistics import median

from attrs import evolve, frozen
from shapely import MultiPoint, Polygon

from ...sizing.outline import Outline
from ...sizing.panel import Affine, placed
from ..words import PlacedWord
from .models import Reading, read_line
from .views import Picture, Pictures

# Tuned on the tuning half of the labelled set, where nearly all true words read at 0.9 and more.
_READ, _LETTERS = 0.75, 2  # mean certainty of the letters, and how many different ones, for a word to count as read
_SHORT, _FEW = 3, 0.9  # so short a word needs this certainty: two strokes often look like two letters, petals like 83
_VARIED = 5  # rows of one sign, as stripes read, are no word: at most so many letters for each different one
# Letters that make no word. How sure the detector must be of several different ones, and of one alone; then what one reading of
# them must have, the same where there is one kind of picture to read, the mean of readings in two kinds that share a letter.
_BELIEVED, _SURELY, _ALONE, _BOTH = (0.7, 0.75), 0.9, (0.7, 0.75), (0.65, 0.85)
_MANY, _SPELT = 5, 0.6  # so many different letters are enough with this certainty: nothing else looks like that
_TWICE = 0.95  # read the same in two kinds, so surely, they count whatever the detector thinks
_SAME = 0.65  # share of one sign among the letters from which they are a row of dots or bars, no word
_LIKELY = 0.5  # how sure the detector must be for letters alone to count
_SIGNS = set("&@%€$£§?")  # they count as letters do
# bars and rings are shapes as likely as letters; rows of dots, pebbles and drops read as all of these
_SHAPES = set("1IilCcoO0")
_RINGS = set("0OoQCcDGe3689")
# from here on signs are many, and stars look like some: so much more certainty, and a lone one counts for nothing
_IDEOGRAPHS, _SURER = "\u2e80", 0.15
_MOSTLY = 0.6  # share of letters and digits among the signs
_ROUND = 0.12  # margin, in heights
_CONTEXT = 1.2  # heights to either side that are read too where a word alone says nothing
_FINE = 64  # px over a word's height are enough to read it
_ROUGH = 0.1  # ours: heights by which it may be wrong all the same
_WIDE = 0.4  # ours: heights to either side of its middle that a lone sign may take, as an ampersand does
_SPACED = 3  # so many single letters in a row are one word, widely spaced
_INNER = 0.06  # ours: heights by which a word's end beside a space is drawn in, since the reader tells places roughly
_LONG = 2.0  # a word longer than this many times its height is not tried standing


@frozen
class _Try:
    """One way up of a word: what it reads as, and the crop that was read: its window onto the plane, its size and its margin
    in px."""

    reading: Reading
    window: Affine
    size: tuple[int, int]
    margin: tuple[float, float]


def read_word(pictures: Pictures, word: PlacedWord) -> tuple[PlacedWord, ...]:
    """The word read, if any way up in any of the pictures reads surely enough, or the words that it turns out to be; else the
    word with whether it has something of letters."""
    found: list[list[list[Reading]]] = []
    for kind in pictures:
        found.append([])
        for picture in kind:
            tries = [_read(picture, word, turn) for turn in _turns(word)]
            best = max(tries, key=lambda one: (_says(one.reading), one.reading.score))
            if _says(best.reading):
                word = evolve(
                    word, text=best.reading.text, read=True, letters=True, confidence=round(best.reading.score, 3)
                )
                return _parted(word, best)
            found[-1].append([one.reading for one in tries])
    if word.confidence < _LIKELY:
        return (word,)
    if _lettered(found, word.confidence):
        return (evolve(word, letters=True),)
    about = [_read(one, word, turn, _CONTEXT).reading for kind in pictures for one in kind for turn in _turns(word)]
    return (evolve(word, letters=any(_tells(one) for one in about)),)


def _parted(word: PlacedWord, found: _Try) -> tuple[PlacedWord, ...]:
    """The word, or those that the reader saw spaces between: their ink could not be parted, or stood too close."""
    text, places = found.reading.text, found.reading.places
    parts = [(part.start(), part.end()) for part in re.finditer(r"\S+", text)]
    if len(parts) < 2 or (len(parts) >= _SPACED and all(end - first == 1 for first, end in parts)):
        return (word,)
    columns, rows = found.size
    aside, above = found.margin
    height = rows - 2 * above
    steps = [places[i + 1] - places[i] for first, end in parts for i in range(first, end - 1)]
    usual = median(steps) / 2 * columns if steps else height / 4
    slack = max(word.slack, _ROUGH * word.capital)
    made = []
    for number, (first, end) in enumerate(parts):
        x0, x1 = aside, columns - aside
        half = usual if end - first > 1 else max(usual, _WIDE * height)
        if number:
            x0 = max(places[first] * columns - half, places[parts[number - 1][1] - 1] * columns) + _INNER * height
        if number < len(parts) - 1:
            x1 = min(places[end - 1] * columns + half, places[parts[number + 1][0]] * columns) - _INNER * height
        if x1 > x0:
            y0, y1 = above, rows - above
            quad = placed(found.window, ((x0, y1), (x1, y1), (x1, y0), (x0, y0)))
            hull, reach = _within(word.hull, quad), _within(word.reach, quad) or ()
            made.append(evolve(word, text=text[first:end], quad=quad, hull=hull, reach=reach, slack=slack))
    return tuple(made)


def _within(hull: Outline, quad: Outline) -> Outline | None:
    """What of a hull lies in a part of its word."""
    if not hull:
        return None
    part = MultiPoint(hull).convex_hull.intersection(Polygon(quad))
    return tuple((x, y) for x, y in part.exterior.coords[:-1]) if isinstance(part, Polygon) and part.area > 0 else None


def _letters(found: Reading) -> list[str]:
    return [char for char in found.text if char.isalnum() or char in _SIGNS]


def _certainty(found: Reading) -> float:
    return found.score - (_SURER if any(char >= _IDEOGRAPHS for char in found.text) else 0.0)


def _says(found: Reading) -> bool:
    letters = _letters(found)
    mostly = len(letters) >= _MOSTLY * len(found.text.replace(" ", ""))
    different = len(set(letters))
    varied = len(letters) <= _VARIED * different and not _row(letters)
    shapes = _SHAPES if len(letters) > _SHORT else _SHAPES | _RINGS
    words = different >= _LETTERS and varied and mostly and not shapes.issuperset(letters)
    return words and _certainty(found) >= (_READ if len(letters) > _SHORT else _FEW)


def _row(letters: list[str]) -> bool:
    """Whether they are mostly one sign: dots in a row read DOOOO, bars alll. Three letters are too few to tell."""
    return len(letters) > 3 and max(letters.count(one) for one in letters) >= _SAME * len(letters)


def _rings(letters: list[str]) -> bool:
    return len(letters) > 1 and _RINGS.issuperset(letters)


def _tells(context: Reading) -> bool:
    """Whether a word with what stands beside it reads as letters, though alone it does not."""
    letters = _letters(context)
    return _says(context) and len(letters) > _LETTERS and not _rings(letters)


def _lettered(read: list[list[list[Reading]]], detected: float) -> bool:
    """Whether letters can be made out, though no word: surely in one picture, or less surely in pictures of two kinds.
    ``read`` by kind and picture: what it says, ways up in one order; ``detected`` = how sure the detector is."""
    for number, kind in enumerate(read):
        others = [picture for other in read[:number] + read[number + 1 :] for picture in other]
        for way, one in ((way, one) for picture in kind for way, one in enumerate(picture)):
            again = [picture[way] for picture in others]
            letters, score = set(_letters(one)), _certainty(one)
            if score >= _TWICE and any(o.score >= _TWICE and _alike(o, one) for o in again):
                return True
            if not _shows(one):
                continue
            lone = len(letters) == 1
            if len(letters) >= _MANY and score >= _SPELT and detected >= _BELIEVED[lone]:
                return True
            echo = max((o.score for o in again if letters & set(_letters(o)) - _SHAPES), default=0.0)
            surely = inf if lone and letters <= _RINGS else _SURELY  # a drop reads as a D in every light
            enough = surely if others else _ALONE[lone]
            if detected >= _BELIEVED[lone] and (score >= enough or (score + echo) / 2 >= _BOTH[lone]):
                return True
    return False


def _alike(found: Reading, other: Reading) -> bool:
    """Whether two readings are the same letters, no bars and no row."""
    letters = _letters(found)
    return letters == _letters(other) and not _SHAPES.issuperset(letters) and not _row(letters)


def _shows(found: Reading) -> bool:
    """Whether it could be letters at all."""
    letters = _letters(found)
    if not letters or _row(letters) or _rings(letters):
        return False
    return len(set(letters)) > 1 or (letters[0] not in _SHAPES and letters[0] < _IDEOGRAPHS)


def _turns(word: PlacedWord) -> tuple[int, ...]:
    (x0, y0), (x1, y1), (x2, y2) = word.quad[:3]
    length, height = hypot(x1 - x0, y1 - y0), hypot(x2 - x1, y2 - y1)
    if length > _LONG * height:
        return (0, 180)
    return (0, 90, 180, 270) if height < _LONG * length else (90, 270)


def _read(picture: Picture, word: PlacedWord, turn: int, context: float = 0.0) -> _Try:
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = word.quad
    length, height = hypot(x1 - x0, y1 - y0), hypot(x2 - x1, y2 - y1)
    if turn in (90, 270):
        length, height = height, length
    margin = _ROUND * height + picture.step
    aside = margin + context * height
    wide, high = length + 2 * aside, height + 2 * margin
    step = max(high / _FINE, picture.step / 2)
    columns, rows = max(8, round(wide / step)), max(8, round(high / step))
    angle = radians(word.angle + turn)
    c, s = cos(angle), sin(angle)
    u, v = -wide / 2, high / 2
    x, y = (x0 + x1 + x2 + x3) / 4, (y0 + y1 + y2 + y3) / 4
    window: Affine = (wide / columns * c, wide / columns * s, high / rows * s, -high / rows * c, 0.0, 0.0)
    window = (*window[:4], x + u * c - v * s, y + u * s + v * c)
    reading = read_line(picture.part(window, columns, rows, step).seen(window, columns, rows))
    return _Try(reading, window, (columns, rows), (aside / wide * columns, margin / high * rows))

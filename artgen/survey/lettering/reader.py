"""A seen word to what it says. Takes the plane's picture and the word's box; tries the ways up that its box allows."""

import re
from collections.abc import Sequence
from math import cos, hypot, radians, sin
from statistics import median

from attrs import evolve, frozen
from shapely import MultiPoint, Polygon

from ...sizing.outline import Outline
from ...sizing.panel import Affine, placed
from ..words import PlacedWord
from .models import Reading, read_line
from .views import Picture

# Tuned on the tuning half of the labelled set, where nearly all true words read at 0.9 and more.
_READ, _LETTERS = 0.75, 2  # mean certainty of the letters, and how many different ones, for a word to count as read
_SHORT, _FEW = 2, 0.9  # so short a word needs this certainty: two strokes often look like two letters
_VARIED = 5  # rows of one sign, as stripes read, are no word: at most so many letters for each different one
_SEEN, _LONE = 0.5, 0.65  # certainty from which letters at all make it lettering; a lone letter needs more
_SURELY, _ALONE = 0.8, 0.6  # from here on one reading will do; the same where there is one picture to read
_BELIEVED = 0.75  # how sure the detector must be for less sure readings to count at all
_ECHO = 0.2  # else the other picture must give a letter of it with this certainty, the same way up
_SAME = 0.65  # share of one sign among the letters from which they are a row of dots or bars, no word
_LIKELY = 0.5  # how sure the detector must be for letters alone to count
_SIGNS = set("&@%€$£§?")  # they count as letters do
# bars and rings are shapes as likely as letters
_SHAPES = set("1IilCcoO0")
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


def read_word(pictures: Sequence[Picture], word: PlacedWord) -> tuple[PlacedWord, ...]:
    """The word read, if any way up in any of the pictures reads surely enough, or the words that it turns out to be; else the
    word with whether it has something of letters."""
    found: list[list[_Try]] = []
    for picture in pictures:
        tries = [_read(picture, word, turn) for turn in _turns(word)]
        best = max(tries, key=lambda one: (_says(one.reading), one.reading.score))
        if _says(best.reading):
            word = evolve(
                word, text=best.reading.text, read=True, letters=True, confidence=round(best.reading.score, 3)
            )
            return _parted(word, best)
        found.append(tries)
    if word.confidence < _LIKELY:
        return (word,)
    if _lettered([[one.reading for one in tries] for tries in found], word.confidence >= _BELIEVED):
        return (evolve(word, letters=True),)
    about = [_read(picture, word, turn, _CONTEXT).reading for picture in pictures for turn in _turns(word)]
    return (evolve(word, letters=any(_says(one) and len(_letters(one)) > _LETTERS for one in about)),)


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


def _needs(found: Reading, score: float) -> bool:
    return found.score >= score + (_SURER if any(char >= _IDEOGRAPHS for char in found.text) else 0.0)


def _says(found: Reading) -> bool:
    letters = _letters(found)
    mostly = len(letters) >= _MOSTLY * len(found.text.replace(" ", ""))
    different = len(set(letters))
    varied = len(letters) <= _VARIED * different and not _row(letters)
    words = different >= _LETTERS and varied and mostly and not _SHAPES.issuperset(letters)
    return words and _needs(found, _READ if len(letters) > _SHORT else _FEW)


def _row(letters: list[str]) -> bool:
    """Whether they are mostly one sign: dots in a row read DOOOO, bars alll. Three letters are too few to tell."""
    return len(letters) > 3 and max(letters.count(one) for one in letters) >= _SAME * len(letters)


def _lettered(read: list[list[Reading]], believed: bool) -> bool:
    """Whether letters can be made out, though no word: surely in one of the pictures, or, where the detector is to be
    ``believed``, less surely in both of them. ``read`` = what each picture says, the same ways up."""
    for number, readings in enumerate(read):
        for way, one in enumerate(readings):
            if not _shows(one):
                continue
            others = [again[way] for again in read[:number] + read[number + 1 :]]
            echoed = any(o.score >= _ECHO and set(_letters(o)) & set(_letters(one)) for o in others)
            enough = _ALONE if believed and not others else _SURELY
            if one.score >= enough or (believed and echoed):
                return True
    return False


def _shows(found: Reading) -> bool:
    letters = _letters(found)
    if _row(letters):
        return False
    if len(set(letters)) > 1:
        return _needs(found, _SEEN)
    return bool(letters) and letters[0] not in _SHAPES and letters[0] < _IDEOGRAPHS and found.score >= _LONE


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

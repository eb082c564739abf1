"""A seen word to what it says. Takes the plane's picture and the word's box; tries the ways up that its box allows."""

from math import cos, hypot, radians, sin

from attrs import evolve

from ...sizing.panel import Affine
from ..words import PlacedWord
from .models import Reading, read_line
from .views import Picture

# Tuned on the tuning half of the labelled set, where nearly all true words read at 0.9 and more.
_READ, _LETTERS = 0.75, 2  # mean certainty of the letters, and how many different ones, for a word to count as read
_SHORT, _FEW = 2, 0.9  # so short a word needs this certainty: two strokes often look like two letters
_VARIED = 5  # rows of one sign, as stripes read, are no word: at most so many letters for each different one
_SEEN, _LONE = 0.5, 0.65  # certainty from which letters at all make it lettering; a lone letter needs more
_SHAPES = set("1IiloO0")  # a bar or a ring alone is a shape as likely as a letter
# from here on signs are many, and stars look like some: so much more certainty, and a lone one counts for nothing
_IDEOGRAPHS, _SURER = "\u2e80", 0.15
_MOSTLY = 0.6  # share of letters and digits among the signs
_ROUND = 0.12  # margin, in heights
_CONTEXT = 1.2  # heights to either side that are read too where a word alone says nothing
_FINE = 64  # px over a word's height are enough to read it
_LONG = 2.0  # a word longer than this many times its height is not tried standing


def read_word(picture: Picture, word: PlacedWord) -> PlacedWord | None:
    """The word read, if any way up reads surely enough; as it was if it only has something of letters; else None."""
    found = [_read(picture, word, turn) for turn in _turns(word)]
    best = max(found, key=lambda one: (_says(one), one.score))
    if _says(best):
        return evolve(word, text=best.text, read=True, confidence=round(best.score, 3))
    if any(_shows(one) for one in found):
        return word
    about = [_read(picture, word, turn, _CONTEXT) for turn in _turns(word)]
    return word if any(_says(one) and len(_letters(one)) > _LETTERS for one in about) else None


def _letters(found: Reading) -> list[str]:
    return [char for char in found.text if char.isalnum()]


def _needs(found: Reading, score: float) -> bool:
    return found.score >= score + (_SURER if any(char >= _IDEOGRAPHS for char in found.text) else 0.0)


def _says(found: Reading) -> bool:
    letters = _letters(found)
    mostly = len(letters) >= _MOSTLY * len(found.text.replace(" ", ""))
    different = len(set(letters))
    words = different >= _LETTERS and len(letters) <= _VARIED * different and mostly
    return words and _needs(found, _READ if len(letters) > _SHORT else _FEW)


def _shows(found: Reading) -> bool:
    letters = _letters(found)
    if len(set(letters)) > 1:
        return _needs(found, _SEEN)
    return bool(letters) and letters[0] not in _SHAPES and letters[0] < _IDEOGRAPHS and found.score >= _LONE


def _turns(word: PlacedWord) -> tuple[int, ...]:
    (x0, y0), (x1, y1), (x2, y2) = word.quad[:3]
    length, height = hypot(x1 - x0, y1 - y0), hypot(x2 - x1, y2 - y1)
    if length > _LONG * height:
        return (0, 180)
    return (0, 90, 180, 270) if height < _LONG * length else (90, 270)


def _read(picture: Picture, word: PlacedWord, turn: int, context: float = 0.0) -> Reading:
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = word.quad
    length, height = hypot(x1 - x0, y1 - y0), hypot(x2 - x1, y2 - y1)
    if turn in (90, 270):
        length, height = height, length
    margin = _ROUND * height + picture.step
    wide, high = length + 2 * (margin + context * height), height + 2 * margin
    step = max(high / _FINE, picture.step / 2)
    columns, rows = max(8, round(wide / step)), max(8, round(high / step))
    angle = radians(word.angle + turn)
    c, s = cos(angle), sin(angle)
    u, v = -wide / 2, high / 2
    x, y = (x0 + x1 + x2 + x3) / 4, (y0 + y1 + y2 + y3) / 4
    window: Affine = (wide / columns * c, wide / columns * s, high / rows * s, -high / rows * c, 0.0, 0.0)
    window = (*window[:4], x + u * c - v * s, y + u * s + v * c)
    return read_line(picture.part(window, columns, rows, step).seen(window, columns, rows))

"""A seen word to what it says. Takes the plane's picture and the word's box; tries the ways up that its box allows."""

from math import cos, hypot, radians, sin

from attrs import evolve

from ...sizing.panel import Affine
from ..words import PlacedWord
from .models import Reading, read_line
from .views import Picture

_SURE = 0.5  # mean certainty of the letters (measured)
_LETTERS = 2  # fewer letters or digits are as likely a shape
_ROUND = 0.12  # margin, in heights
_FINE = 64  # px over a word's height are enough to read it
_LONG = 2.0  # a word longer than this many times its height is not tried standing


def read_word(picture: Picture, word: PlacedWord) -> PlacedWord:
    """The word read, if any way up reads surely enough."""
    best = max((_read(picture, word, turn) for turn in _turns(word)), key=lambda found: _worth(found))
    if not readable(best):
        return word
    return evolve(word, text=best.text, read=True, confidence=round(best.score, 3))


def readable(found: Reading) -> bool:
    """Whether a reading is taken for a word."""
    return found.score >= _SURE and _letters(found) >= _LETTERS


def _worth(found: Reading) -> tuple[bool, float]:
    return readable(found), found.score


def _letters(found: Reading) -> int:
    return sum(char.isalnum() for char in found.text)


def _turns(word: PlacedWord) -> tuple[int, ...]:
    (x0, y0), (x1, y1), (x2, y2) = word.quad[:3]
    length, height = hypot(x1 - x0, y1 - y0), hypot(x2 - x1, y2 - y1)
    if length > _LONG * height:
        return (0, 180)
    return (0, 90, 180, 270) if height < _LONG * length else (90, 270)


def _read(picture: Picture, word: PlacedWord, turn: int) -> Reading:
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = word.quad
    length, height = hypot(x1 - x0, y1 - y0), hypot(x2 - x1, y2 - y1)
    if turn in (90, 270):
        length, height = height, length
    margin = _ROUND * height + picture.step
    wide, high = length + 2 * margin, height + 2 * margin
    step = max(high / _FINE, picture.step / 2)
    columns, rows = max(8, round(wide / step)), max(8, round(high / step))
    angle = radians(word.angle + turn)
    c, s = cos(angle), sin(angle)
    u, v = -wide / 2, high / 2
    x, y = (x0 + x1 + x2 + x3) / 4, (y0 + y1 + y2 + y3) / 4
    window: Affine = (wide / columns * c, wide / columns * s, high / rows * s, -high / rows * c, 0.0, 0.0)
    window = (*window[:4], x + u * c - v * s, y + u * s + v * c)
    return read_line(picture.coarser(step).seen(window, columns, rows))

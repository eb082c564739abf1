"""Which words stand on one line of text: they move together. Plane geometry in full-size mm."""

from collections.abc import Collection, Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from ..sizing.outline import Outline
from ..survey import PlacedWord

# all ours: words of one line run the same way, overlap across it by half, and differ in height as "sun" and "Ålgåg" do; spaces
# are a third of an em or so, and letter-spaced headlines have wider ones; columns of a table stand farther apart
_TURN = 3.0  # degrees
_OVERLAP = 0.5
_HEIGHTS = 2.5
_GAP = 1.2  # of the higher word's capital
# ours: a word beside the art is more likely a slug or a spare copy; it ends a line only a word space behind it and set as large
_SPACE = 0.5  # of the higher word's capital
_ALIKE = 1.05  # the larger em over the smaller
_LAP = 0.3


class Lines:
    """The lines of one page's words. ``beside`` = ids of those that lie beside the art."""

    def __init__(self, words: Sequence[PlacedWord], beside: Collection[int] = ()) -> None:
        self.words = words
        self._beside = [id(word) in beside for word in words]
        self._quads: NDArray[np.float64] = np.array([word.quad for word in words], dtype=float).reshape(-1, 4, 2)
        self._angles = np.array([word.angle for word in words], dtype=float)
        self._capitals = np.array([word.capital for word in words], dtype=float)
        self._at = {id(word): index for index, word in enumerate(words)}
        self._line: dict[int, tuple[PlacedWord, ...]] = {}

    def of(self, word: PlacedWord) -> tuple[PlacedWord, ...]:
        """All words of the line that ``word`` stands on, as they are read."""
        index = self._at[id(word)]
        if index not in self._line:
            found = self._find(index)
            for each in found:
                self._line.setdefault(each, tuple(self.words[i] for i in found))
        return self._line[index]

    def _find(self, index: int) -> list[int]:
        turn = np.radians(self._angles[index])
        along, up = np.array([np.cos(turn), np.sin(turn)]), np.array([-np.sin(turn), np.cos(turn)])
        u, v = self._quads @ along, self._quads @ up
        left, right, low, high = u.min(1), u.max(1), v.min(1), v.max(1)
        tall = high - low
        shared = np.minimum(high, high[index]) - np.maximum(low, low[index])
        off = np.abs((self._angles - self._angles[index] + 180) % 360 - 180)
        fits = (
            (off <= _TURN)
            & (shared >= _OVERLAP * np.minimum(tall, tall[index]))
            & (np.maximum(tall, tall[index]) <= _HEIGHTS * np.minimum(tall, tall[index]))
        )
        fits[index] = True
        row = sorted(np.flatnonzero(fits).tolist(), key=lambda i: (left[i], i))
        at = row.index(index)
        first = last = at
        while first > 0 and self._next(left, right, row[first - 1], row[first]):
            first -= 1
        while last + 1 < len(row) and self._next(left, right, row[last], row[last + 1]):
            last += 1
        return row[first : last + 1]

    def _next(self, left: NDArray[np.float64], right: NDArray[np.float64], one: int, other: int) -> bool:
        high = max(self._capitals[one], self._capitals[other])
        near = _GAP
        if self._beside[one] or self._beside[other]:
            low, large = sorted((self.words[one].em, self.words[other].em))
            if large > _ALIKE * low:
                return False
            near = _SPACE
        return bool(-_LAP * high <= left[other] - right[one] <= near * high)


def box_along(words: Iterable[PlacedWord]) -> Outline:
    """The box round words of one line, along it: lower left, lower right, upper right, upper left."""
    listed = list(words)
    if len(listed) == 1:
        return listed[0].quad
    turn = np.radians(listed[0].angle)
    along, up = np.array([np.cos(turn), np.sin(turn)]), np.array([-np.sin(turn), np.cos(turn)])
    points = np.array([point for word in listed for point in word.quad])
    u, v = points @ along, points @ up
    ring = ((u.min(), v.min()), (u.max(), v.min()), (u.max(), v.max()), (u.min(), v.max()))
    return tuple((float(a * along[0] + b * up[0]), float(a * along[1] + b * up[1])) for a, b in ring)

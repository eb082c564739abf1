"""Where words begin among the glyphs of a page. Takes `Glyphs`, gives rows.

First each glyph is judged against the one before: white space, stored or seen by pdfium, a gap, a change of baseline part
words. Where that leaves letters alone or in twos, as in letter-spaced headlines and on curves, their gaps are compared with
one another: gaps that are alike are gaps between letters, clearly larger ones part words. Stored white space always parts,
but for single capitals evenly typed with spaces between.
"""

from collections.abc import Iterator

import numpy as np
from attrs import frozen

from .glyphs import Glyphs
from .mapping_rows import Numbers, bounds_of, placed, through, turned_round

# all ours; lengths in em of the glyph before
_GAP = 0.5  # between the ink of two glyphs, parts words where nothing else is known
_FAR = 6.0  # a gap that no letter-spacing makes
_BACK, _BACK_LEFTWARDS = 2.0, 5.0  # that a glyph may stand back from the one before (kerning, accents; right-to-left)
_LIFT = 0.6  # by which a raised or lowered glyph may leave the baseline
_STRAIGHT, _CURVED = (
    np.radians(1.0),
    np.radians(40.0),
)  # turn of the baseline: of one line; from letter to letter of a curve
_OFF_CURVE = 0.25  # by which a letter may stand beside the curve
_TIGHT = 0.1  # mean space between the letters of a word that is set as usual
_SPACE = 0.14  # least that a word space adds to the space between letters
_MORE = 1.3  # and times the space between letters that a word space has at least
_UNEVEN, _UNEVEN_SHARE = 0.2, 0.25  # by which kerning makes spaces between letters differ, and the share of them
_WIDEST = 2.3  # space between letters of one word
_LOOSE = 0.3  # space between letters from which cells of a table look like letters of a word
_CAPITALS = 4  # single capitals typed with spaces that make a headline
_SIZES = 1.5  # ratio of sizes that are never set as one
_LEFTWARDS = ((0x590, 0x8FF), (0xFB1D, 0xFDFF), (0xFE70, 0xFEFF))  # Hebrew to Arabic extended, their presentation forms


@frozen
class _Pairs:
    """Each glyph but the first against the one before. ``hard`` = never of one word; ``ink`` = gap between their ink,
    ``pen`` = space set between their advances; ``turned`` = as from letter to letter of a curve."""

    hard: Numbers
    ink: Numbers
    pen: Numbers
    turned: Numbers


def word_starts(glyphs: Glyphs, off: Numbers) -> Numbers:
    """Rows of the glyphs with which words begin. ``off`` tells of each item whether its layer is."""
    count = len(glyphs.codes)
    if not count:
        return np.empty(0, np.int64)
    paints = ("ink", "nothing", "clip")
    state = np.array([paints.index(item.paint) for item in glyphs.items]) * 2 + off
    pairs = _pairs(glyphs)
    hard = pairs.hard | (np.diff(state[glyphs.item]) != 0)
    parted = glyphs.parted[1:]
    cut = hard | parted | (pairs.ink > _GAP) | (pairs.turned & (abs(pairs.pen) > _GAP))
    starts = np.append(0, np.flatnonzero(cut) + 1)
    alone = np.diff(starts, append=count) == 1
    guessed = cut & ~hard & ~(parted & glyphs.stored[1:])
    if guessed.any() or (alone[3:] & alone[2:-1] & alone[1:-2] & alone[:-3]).any():
        for first, last in _loose(glyphs, pairs, hard, starts):
            _regroup(glyphs, pairs, hard, cut, first, last)
        starts = np.append(0, np.flatnonzero(cut) + 1)
    return starts


def _pairs(glyphs: Glyphs) -> _Pairs:
    matrix, ink, advance = glyphs.matrix, glyphs.ink, glyphs.advance
    a, b, c, d = matrix[:-1, :4].T
    dx, dy = matrix[1:, 4] - matrix[:-1, 4], matrix[1:, 5] - matrix[:-1, 5]
    det = a * d - b * c
    x, y = (d * dx - c * dy) / det, (a * dy - b * dx) / det  # this origin in the text space of the glyph before
    left, right, step = ink[1:, 0] + x, ink[1:, 2] + x, advance[1:]
    turn = np.zeros(len(x))
    other = np.flatnonzero(np.diff(glyphs.item))
    if len(other):  # perhaps of another size, slant or direction
        last, this = matrix[other], matrix[other + 1]
        across = through(this, turned_round(last))
        bounds = bounds_of(placed(across, ink[other + 1]))
        left[other], right[other] = bounds[:, 0], bounds[:, 2]
        step = step.copy()
        step[other] *= np.hypot(across[:, 0], across[:, 1])
        turn[other] = _turn(last, this)
    before = ink[:-1]
    # one step below, as in vertical writing
    stacked = (abs(x) < 0.25) & (y > -1.5) & (y < 0) & (before[:, 2] - before[:, 0] > 0.5)
    back = np.full(len(x), _BACK)
    if (glyphs.codes >= _LEFTWARDS[0][0]).any():
        back[_leftwards(glyphs.codes[1:])] = _BACK_LEFTWARDS
    gap = np.maximum(left - before[:, 2], before[:, 0] - right)
    pen = np.where(x >= 0, x - advance[:-1], -x - step)  # leftwards: from this one's end to where the one before begins
    lifted = abs(y) > _LIFT
    turned = abs(turn) > _STRAIGHT
    if turned.any():  # seen along the middle of both directions
        ahead, half = x - advance[:-1], turn / 2
        along, aside = ahead * np.cos(half) + y * np.sin(half), y * np.cos(half) - ahead * np.sin(half)
        pen, gap = np.where(turned, along, pen), np.where(turned, along, gap)
        lifted = np.where(turned, abs(aside) > _OFF_CURVE, lifted)
    gap[stacked & lifted], pen[stacked & lifted] = 0.0, 0.0
    hard = (abs(turn) > _CURVED) | (lifted & ~stacked) | (x < -back) | ~(gap <= _FAR)
    return _Pairs(hard, gap, pen, turned)


def _turn(last: Numbers, this: Numbers) -> Numbers:
    """Radians anticlockwise in the text space of ``last`` from its baseline to that of ``this``."""
    cross = last[:, 0] * this[:, 1] - last[:, 1] * this[:, 0]
    turn = np.arctan2(cross, last[:, 0] * this[:, 0] + last[:, 1] * this[:, 1])
    mirrored: Numbers = np.where(last[:, 0] * last[:, 3] - last[:, 1] * last[:, 2] < 0, -turn, turn)
    return mirrored


def _leftwards(codes: Numbers) -> Numbers:
    found = np.zeros(len(codes), bool)
    for low, high in _LEFTWARDS:
        found |= (codes >= low) & (codes <= high)
    return found


def _loose(glyphs: Glyphs, pairs: _Pairs, hard: Numbers, starts: Numbers) -> Iterator[tuple[int, int]]:
    """(first glyph, after the last) of each stretch of a line in which no word is set as usual."""
    ends = np.append(starts[1:], len(glyphs.codes))
    sizes = ends - starts
    sums = np.append(0.0, np.cumsum(pairs.pen))
    inner = (sums[ends - 1] - sums[starts]) / np.maximum(sizes - 1, 1)
    tight = (sizes >= 3) & (inner < _TIGHT)
    em = np.hypot(glyphs.matrix[starts, 2], glyphs.matrix[starts, 3])
    new_line = np.append(True, hard[starts[1:] - 1] | ~(abs(np.log(em[1:] / em[:-1])) < np.log(_SIZES)))
    first = -1
    for number, (usual, new) in enumerate(zip(tight.tolist(), new_line.tolist(), strict=True)):
        if first >= 0 and (usual or new):
            yield int(starts[first]), int(starts[number])
            first = -1
        if first < 0 and not usual:
            first = number
    if first >= 0:
        yield int(starts[first]), len(glyphs.codes)


def _regroup(glyphs: Glyphs, pairs: _Pairs, hard: Numbers, cut: Numbers, first: int, end: int) -> None:
    """Parts one stretch anew, in ``cut``, if the spaces between its letters are alike; else leaves it."""
    here = slice(first, end - 1)
    if end - first < 3 or not cut[here].any():
        return
    space = pairs.pen[here]
    stored = glyphs.parted[first + 1 : end] & glyphs.stored[first + 1 : end]
    if stored.all():
        letters = "".join(map(chr, glyphs.codes[first:end].tolist()))
        if end - first >= _CAPITALS and letters.isupper() and letters.isalpha():
            usual = _usual(space)
            if _even(space[space <= 1.5 * usual], usual):
                cut[here] = space > 1.5 * usual
        return
    usual = _usual(space[~stored])
    letter = ~stored & (space <= _MORE * usual + _SPACE)
    if letter.sum() < 2 or not _even(space[letter], usual):
        return
    # as far from a word that is set as usual on the same line: words of one letter
    beside = [pair for pair in (first - 1, end - 1) if 0 <= pair < len(hard) and not hard[pair]]
    if usual > _TIGHT and any(pairs.pen[pair] <= _MORE * usual + _SPACE for pair in beside):
        return
    if usual > _LOOSE:
        apart = letter & (np.diff(glyphs.item[first:end]) != 0)
        places = np.flatnonzero(apart)
        codes = glyphs.codes[first:end]
        if not all(chr(code).isalpha() for code in np.concatenate([codes[places], codes[places + 1]]).tolist()):
            return  # cells of a table, marks on a scale
    cut[here] = ~letter


def _usual(spaces: Numbers) -> float:
    """The space between letters, if some are such: words have more than one letter, so the lower ones."""
    return max(0.0, float(np.sort(spaces)[len(spaces) // 4])) if len(spaces) else np.inf


def _even(spaces: Numbers, usual: float) -> bool:
    """Whether the spaces are alike. Of many one may be less: some programs forget the first."""
    if usual > _WIDEST or len(spaces) < 2:
        return False
    least = np.sort(spaces)[1 if len(spaces) > 4 else 0]
    return float(spaces.max() - least) <= _UNEVEN + _UNEVEN_SHARE * usual

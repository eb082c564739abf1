"""Words across the border: columns in the child, a plain table on the way, checked `Word` records in the parent.

Lengths travel as whole picometres and angles as billionths of a degree: whole numbers are written and read back several
times faster than decimals, and a page may hold 20,000 words. What all words share is listed once.
"""

from typing import Any

import numpy as np

from .facts import Unseen, Word
from .faults import ABSURD_MM
from .hulls import MAX_VERTICES
from .looks import looks_of
from .words import MAX_HULLS, MAX_LETTERS, MAX_WORDS, WordColumns

_PER_UNIT = 1e9
_UNSEEN: tuple[Unseen, ...] = ("", "invisible", "layer-off", "outside-page", "clipped", "covered", "ground")
_FAR = 100 * ABSURD_MM  # what lies farther off is no word of any panel
_WIDTH = 11  # numbers a word: quad, size, capital, angle
_COLUMNS = {"texts", "look", "looks", "unseen", "numbers", "hulled", "vertices", "hulls"}
Table = dict[str, Any]


def packed(words: WordColumns) -> Table:
    """The plain table of ``words``. Words beyond all bounds are left out."""
    numbers = np.hstack(
        [words.quads.reshape(-1, 8), words.sizes[:, None], words.capitals[:, None], words.angles[:, None]]
    )
    kept: Any = (abs(numbers) <= _FAR).all(1)  # so worded, it leaves out NaN too
    if words.hulls:
        own, ends = list(words.hulls), np.cumsum([len(hull) for hull in words.hulls.values()])
        far = (abs(np.vstack(list(words.hulls.values()))) > _FAR).any(1)
        kept[np.array(own)[np.add.reduceat(far, np.append(0, ends[:-1])) > 0]] = False
    rows = np.flatnonzero(kept).tolist()
    hulled = [place for place, row in enumerate(rows) if row in words.hulls] if words.hulls else []
    looks, look = looks_of(words)
    unseen = [_UNSEEN.index(why) if why else 0 for why in words.unseen]
    whole = kept.all()
    vertices = [words.hulls[rows[place]] for place in hulled]
    return {
        "texts": words.texts if whole else [words.texts[row] for row in rows],
        "look": look if whole else [look[row] for row in rows],
        "looks": [[one.font, one.embedded, one.colour, one.mode, one.layer] for one in looks],
        "unseen": unseen if whole else [unseen[row] for row in rows],
        "numbers": _plain(numbers[kept]),
        "hulled": hulled,
        "vertices": list(map(len, vertices)),
        "hulls": _plain(np.vstack(vertices)) if vertices else [],
    }


def _plain(numbers: Any) -> list[int]:
    plain: list[int] = np.rint(numbers * _PER_UNIT).astype(np.int64).ravel().tolist()
    return plain


def unpacked(table: object, text: Any) -> tuple[Word, ...]:
    """The words of a table from a child. ``text`` checks a string. Raises `ValueError` if the table makes no sense."""
    if not isinstance(table, dict) or set(table) != _COLUMNS:
        raise ValueError("expected a table of words")
    texts, look, unseen = table["texts"], table["look"], table["unseen"]
    if not isinstance(texts, list) or len(texts) > MAX_WORDS or not isinstance(table["looks"], list):
        raise ValueError("too many words")
    looks = [_look(one, text) for one in table["looks"]]
    which, why = _whole(look, len(texts), len(looks)), _whole(unseen, len(texts), len(_UNSEEN))
    numbers = _numbers(table["numbers"], len(texts))
    points = list(zip(*numbers[:, :8].reshape(-1, 2).T.tolist(), strict=True)) if len(texts) else []
    quads = list(zip(points[0::4], points[1::4], points[2::4], points[3::4], strict=True))
    hulls = _hulls(table, quads)
    sizes, capitals, angles = numbers[:, 8:].T.tolist()
    # columns in the order of the fields: this is done for a hundred thousand words
    font, embedded, colour, mode, layer = ([looks[n][part] for n in which] for part in range(5))
    reasons = [_UNSEEN[n] for n in why]
    columns = (_texts(texts, text), quads, sizes, capitals, angles, font, reasons, embedded, colour, mode, layer, hulls)
    return tuple(map(Word, *columns))


def _hulls(table: Table, quads: list[Any]) -> list[Any]:
    """The hull of each word: its own where the table holds one, else its quad."""
    hulled, vertices = table["hulled"], table["vertices"]
    if not isinstance(hulled, list) or len(hulled) > min(MAX_HULLS, len(quads)):
        raise ValueError("too many hulls")
    rows, counts = _whole(hulled, len(hulled), len(quads)), _whole(vertices, len(hulled), MAX_VERTICES + 1)
    if len(set(rows)) < len(rows) or not all(count >= 3 for count in counts):
        raise ValueError("hulls that are none")
    numbers = _lengths(table["hulls"], 2 * sum(counts)).reshape(-1, 2)
    points, at = list(zip(*numbers.T.tolist(), strict=True)) if counts else [], 0
    hulls = list(quads)
    for row, count in zip(rows, counts, strict=True):
        hulls[row] = tuple(points[at : at + count])
        at += count
    return hulls


def _texts(texts: list[Any], text: Any) -> list[str]:
    if not all(type(one) is str and len(one) <= MAX_LETTERS + 1 for one in texts):
        raise ValueError("a word that is no text or too long")
    # each is looked at only if one of them holds what must not come through
    return texts if "".join(texts).isprintable() else [text(one, str) for one in texts]


def _look(value: object, text: Any) -> tuple[str, bool, str, int, str]:
    match value:
        case [str(font), bool(embedded), str(colour), int(mode), str(layer)] if 0 <= mode <= 7 and len(colour) <= 6:
            return text(font, str), embedded, text(colour, str), mode, text(layer, str)
    raise ValueError("the look of a word")


def _whole(values: object, count: int, under: int) -> list[int]:
    """``count`` whole numbers from 0 to under ``under``."""
    if (
        not isinstance(values, list)
        or len(values) != count
        or not all(type(n) is int and 0 <= n < under for n in values)
    ):
        raise ValueError("expected a whole number for each word")
    return values


def _numbers(values: object, count: int) -> Any:
    numbers = _lengths(values, count * _WIDTH).reshape(-1, _WIDTH)
    if (numbers[:, 8:10] < 0).any() or (numbers[:, 10] <= -180).any() or (numbers[:, 10] > 180).any():
        raise ValueError("a word's size or angle")
    return numbers


def _lengths(values: object, count: int) -> Any:
    if not isinstance(values, list) or len(values) != count or not set(map(type, values)) <= {int}:
        raise ValueError("expected eleven numbers for each word, and two for each vertex")
    try:
        numbers = np.array(values, np.int64) / _PER_UNIT
    except OverflowError:
        raise ValueError("a word's place is beyond all bounds") from None
    if not (abs(numbers) <= _FAR).all():
        raise ValueError("a word's place is beyond all bounds")
    return numbers

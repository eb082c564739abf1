"""`text-too-small`: capitals lower than the reading distance asks. One note a panel; advice, never a verdict.

The heights are those of ADA 2010 Standards 703.5.5: by how high the baseline stands, a least height and a distance up to which it
holds; farther away an eighth of an inch more a foot. Lower than 40 in there is no row. On a face that leans, the height that the
reader sees counts. Only words with a letter of full height are measured.
"""

import unicodedata
from collections.abc import Iterator
from math import cos, hypot, radians, sin

from ...sizing.panel import Panel
from ...survey import LaidSeen
from ...units import MM_PER_INCH
from ..finding import Finding
from ..places import OnPanel, words_on_panels
from ..rule import Number, Rule, Seen

_IN = float(MM_PER_INCH)
# (baseline higher than, in; least height, in; up to a distance of, in)
_ROWS = ((120.0, 3.0, 252.0), (70.0, 2.0, 180.0), (40.0, 0.625, 72.0))
_TALL = set("bdfhkl")
_UPRIGHT = 1.0  # degrees: a face that leans less is seen as it is


def least_capital(baseline: float, distance: float, slope: float = 1 / 96) -> float | None:
    """mm that a capital must have, its baseline so many mm above the floor, read from so many mm away; None lower than 40 in.

    ``slope`` = mm more for each mm beyond the row's distance: an eighth of an inch a foot."""
    for height, least, reach in _ROWS:
        if baseline > height * _IN or (height == 40.0 and baseline >= height * _IN):
            return (least + max(0.0, distance / _IN - reach) * slope) * _IN
    return None


def find(seen: Seen) -> Iterator[Finding]:
    slope = seen.number("text-too-small", "slope") / 1000.0
    for one in seen.all.laid:
        worst: dict[int, list[tuple[float, float, float, float, OnPanel]]] = {}
        for on in words_on_panels(one):
            if not on.word.read or not _full_height(on.word.text):
                continue
            need = least_capital(height_above_floor(seen, on.panel, on.baseline), on.panel.reading_distance, slope)
            shown = on.word.capital * _seen_share(on)
            if need is not None and shown > 0 and round(shown, 1) < round(need, 1):
                row = (shown / need, shown, need, on.word.capital, on)
                worst.setdefault(on.panel.number, []).append(row)
        for number, rows in worst.items():
            yield _finding(one, number, rows)


def _finding(one: LaidSeen, number: int, rows: list[tuple[float, float, float, float, OnPanel]]) -> Finding:
    _, shown, need, capital, on = min(rows, key=lambda row: (row[0], row[4].box))
    tilted = shown < 0.95 * capital
    return Finding(
        "text-too-small",
        "note",
        panel=number,
        file=one.laid.claim.file,
        page=one.laid.claim.page,
        where=on.box,
        evidence={
            "text": on.word.text,
            "count": len(rows),
            "capital_mm": round(capital, 1),
            "seen_mm": round(shown, 1),
            "needed_mm": round(need * capital / shown, 1),
            "reading_distance_mm": on.panel.reading_distance,
            "panels": [number],
        },
        say="tilted" if tilted else "",
    )


def _full_height(text: str) -> bool:
    """Whether a letter of it is as high as a capital, or nearly."""
    return any(unicodedata.category(char) in ("Lu", "Nd", "Lo") or char in _TALL for char in text)


def height_above_floor(seen: Seen, panel: Panel, point: tuple[float, float]) -> float:
    """mm from the floor to a point of a panel's sewn frame."""
    lift = next(one.lift for one in seen.all.sizing.structures for each in one.panels if each.number == panel.number)
    origin, x, y = panel.to_space
    return origin[2] + point[0] * x[2] + point[1] * y[2] + lift


def _seen_share(on: OnPanel) -> float:
    """Share of the letters' height that the reader sees of a face that leans: the part along its upright is foreshortened."""
    turn, share = radians(on.off), on.panel.sight.share
    if abs(on.panel.sight.tilt) < _UPRIGHT:
        return 1.0
    return hypot(cos(turn) * share, sin(turn)) if share > 0 else 0.0


RULE = Rule(
    "text-too-small",
    "note",
    "client",
    "text",
    find,
    needs=("words",),
    numbers=(Number("slope", 10.42, "mm per m", "ADA 2010 703.5.5: 1/8 in per foot, beyond each row's distance"),),
)

"""`mark-at-risk`: a compact graphic, as a logo is, over a line. Words, codes and guides are told by their own rules."""

from collections.abc import Iterator

from attrs import evolve
from shapely import Polygon

from ...survey import LaidSeen, PlacedWord
from ..finding import Finding
from ..guides import guides_left
from ..rule import Rule, Seen
from ..text import Kind, judge_lines
from .words_over import finding

_SAYS: dict[Kind, str] = {"corner": "corner", "joint": "joint", "tuck": "tuck", "seam": "seam", "tall-seam": "seam"}
_TEXT = 0.15  # ours: share of a graphic's box that words or codes cover: then it is lettering
_OF_WORDS = ("text", "source", "capital_mm", "read", "confidence", "within_mm", "line")


def find(seen: Seen) -> Iterator[Finding]:
    over = seen.number("all", "over")
    for one in seen.all.laid:
        if not one.graphics or guides_left(seen.all, one):
            continue
        for graphic in one.graphics:
            shape = Polygon(graphic.quad)
            if _lettered(one, shape):
                continue
            word = PlacedWord("", graphic.quad, 0.0, 0.0, "seen")
            told = [v for v in judge_lines(evolve(one, words=(word,)), over=over) if v.kind in _SAYS]
            for verdict in told[:1]:
                said = finding(verdict, "mark-at-risk", "note", _SAYS[verdict.kind])
                x0, y0, x1, y1 = graphic.box
                evidence = {key: value for key, value in said.evidence.items() if key not in _OF_WORDS}
                yield evolve(said, evidence=evidence | {"size_mm": [round(x1 - x0), round(y1 - y0)]})


def _lettered(one: LaidSeen, shape: Polygon) -> bool:
    quads = [*(word.quad for word in one.words), *(code.quad for code in one.codes or ())]
    return any(shape.intersection(Polygon(quad).buffer(0)).area > _TEXT * shape.area for quad in quads)


RULE = Rule("mark-at-risk", "note", "client", "cut", find, needs=("graphics",))

"""What of a laid page is a template's: layers and inks by name, lines that were seen, and words, which are no client's text. A
code's modules, which look like lettering, are none either."""

from collections.abc import Sequence

from attrs import evolve, frozen
from shapely import Polygon

from ..art.facts import FileFacts
from ..survey import LaidSeen, PlacedWord, is_templates, template_lines
from ..template.traces import guide_inks, is_guide_layer
from ..words import words
from .finding import Observations

_IN_CODE = 0.5  # ours: share of a seen word that lies in a code


@frozen
class GuidesLeft:
    """Guides that show: names of layers and of inks, kinds of lines."""

    layers: tuple[str, ...]
    inks: tuple[str, ...]
    lines: tuple[str, ...]

    def __bool__(self) -> bool:
        return bool(self.layers or self.inks or self.lines)


def guides_left(seen: Observations, one: LaidSeen) -> GuidesLeft:
    """What was left in of a template on one laid page. Guide layers that are off, and inks on them alone, are as asked for."""
    facts = seen.files.get(one.laid.claim.file)
    layers = facts.layers if isinstance(facts, FileFacts) else ()
    ours = [layer for layer in layers if one.laid.claim.page in layer.pages and is_guide_layer(layer.name)]
    shown = tuple(dict.fromkeys(layer.name for layer in ours if layer.shown))
    inks = guide_inks(one.laid.facts.ink.spots) if shown or not ours else ()
    lines = [kind for panel in one.laid.target.numbers for kind in lines_left(one, panel)]
    return GuidesLeft(shown, inks, tuple(dict.fromkeys(lines)))


def lines_left(one: LaidSeen, panel: int) -> tuple[str, ...]:
    """Kinds of a template's lines that are seen on a panel."""
    found = (one.guides or {}).get(panel)
    return found.seen if found is not None else ()


def clients_words_alone(seen: Observations) -> Observations:
    """The same without words that are a template's, on its layers and where guides were left in at its words' places; and without
    what was taken for lettering in a code."""
    return evolve(seen, laid=tuple(_clean(seen, one) for one in seen.laid))


def _clean(seen: Observations, one: LaidSeen) -> LaidSeen:
    facts = one.laid.facts
    live = tuple(word for word in facts.words if not is_guide_layer(word.layer))
    placed = tuple(word for word in one.words if not is_guide_layer(word.layer))
    if guides_left(seen, one):
        places = template_lines(one.laid, seen.sizing, words())
        placed = tuple(word for word in placed if not is_templates(word, places))
    codes = [Polygon(code.quad).buffer(code.module) for code in one.codes or ()]
    placed = tuple(word for word in placed if word.source == "live" or not _inside(word, codes))
    if len(live) < len(facts.words):
        one = evolve(one, laid=evolve(one.laid, facts=evolve(facts, words=live)))
    return evolve(one, words=placed) if len(placed) < len(one.words) else one


def _inside(word: PlacedWord, codes: Sequence[Polygon]) -> bool:
    shape = Polygon(word.quad).buffer(0)
    return any(code.intersection(shape).area > _IN_CODE * shape.area for code in codes)

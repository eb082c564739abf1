"""How much work it is to draw an SVG, counted before it is drawn. Takes the parsed tree, gives a number of plain elements.

A small file can be endless work: a group that draws another twice, thirty levels deep, is a thousand million elements. The
weights are measured on the converter (cairosvg 2.9: 0.2 to 0.4 ms a plain element); what style sheets bring in from other
elements is not counted, and the child's time limit stands behind all of it.
"""

import re
from collections.abc import Iterator, Mapping
from typing import Any

from attrs import define, field

ENDLESS = float("inf")
_PER_MEGAPIXEL = 1000.0  # elements that decoding and packing a picture is worth
_PER_LETTER = 0.2  # letters are set one by one
_PER_DATA = 1 / 400  # of a character of path data
_PER_PLACE = 0.05  # the converter looks for what `use` names from the top of the file, each time anew
_BY_URL = ("pattern", "clipPath", "mask", "marker")  # drawn wherever an attribute names them
_FRAGMENT = re.compile(r"url\(\s*['\"]?\s*#([^'\")\s]+)")
_NUMBER = re.compile(r"[-+]?\.?\d[\d.]*")


def work(root: Any, megapixels: Mapping[Any, float]) -> float:
    """Plain elements that drawing ``root`` amounts to; `ENDLESS` for one that draws itself. ``megapixels`` of its pictures."""
    counter = _Counter(megapixels)
    for place, element in enumerate(root.iter()):
        if element.get("id"):
            counter.named.setdefault(element.get("id"), (element, place))
    return counter.of(root)


@define
class _Counter:
    megapixels: Mapping[Any, float]
    named: dict[str, tuple[Any, int]] = field(factory=dict)
    known: dict[Any, float] = field(factory=dict)
    under_way: set[Any] = field(factory=set)

    def of(self, root: Any) -> float:
        """By a stack of its own: chains of references may be longer than Python's."""
        todo = [root]
        while todo:
            element = todo[-1]
            if element in self.known:
                todo.pop()
                continue
            parts = [*((child, 1.0) for child in element), *self._drawn_too(element)]
            open_parts = [part for part, _ in parts if part not in self.known]
            if element in self.under_way and open_parts:  # they were opened before, and one of them leads back here
                return ENDLESS
            if open_parts:
                self.under_way.add(element)
                todo += open_parts
                continue
            self.known[element] = self._own(element) + sum(times * self.known[part] for part, times in parts)
            todo.pop()
        return self.known[root]

    def _own(self, element: Any) -> float:
        data = len(element.get("d", "")) + len(element.get("points", ""))
        letters = len(element.text or "") + len(element.tail or "")
        cost = 1 + _PER_DATA * data + _PER_MEGAPIXEL * self.megapixels.get(element, 0.0)
        if _local(element) in ("text", "tspan", "textPath", "tref"):
            cost += _PER_LETTER * letters
        target = self._used(element)
        return cost + (_PER_PLACE * self.named[target][1] if target else 0)

    def _used(self, element: Any) -> str:
        if _local(element) != "use":
            return ""
        href = next((value for name, value in element.attrib.items() if name.rpartition("}")[2] == "href"), "")
        name = href.strip().removeprefix("#")
        return name if name in self.named else ""

    def _drawn_too(self, element: Any) -> Iterator[tuple[Any, float]]:
        """(what else is drawn with ``element``, how many times)."""
        target = self._used(element)
        if target:
            yield self.named[target][0], 1.0
        for name, value in element.attrib.items():
            for fragment in _FRAGMENT.findall(value) if "url(" in value else ():
                drawn, _ = self.named.get(fragment, (None, 0))
                if drawn is not None and _local(drawn) in _BY_URL:
                    yield drawn, self._vertices(element) if "marker" in name or "marker" in value else 1.0

    def _vertices(self, element: Any) -> float:
        return 1.0 + len(_NUMBER.findall(element.get("d", "") + " " + element.get("points", ""))) / 2


def _local(element: Any) -> str:
    return element.tag.rpartition("}")[2] if isinstance(element.tag, str) else ""

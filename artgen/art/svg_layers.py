"""Layers of an SVG: its named groups, as drawing programs write them. Takes the tree inside the child process.

SVG has no layers. A program's layer is a group near the root, named by its label, else by its id; one that is hidden has
``display: none``, by an attribute, its style or a class.
"""

import re
from collections.abc import Iterator
from typing import Any

from .facts import Layer

MAX_LAYERS = 1_000  # ours: as of a PDF
_DEEP = 3  # ours: groups inside groups that may be layers
_LABEL = "{http://www.inkscape.org/namespaces/inkscape}label"  # of the open editor's own namespace
_PAINTS = {"path", "rect", "circle", "ellipse", "line", "polyline", "polygon", "text", "image", "use"}
_NONE = re.compile(r"display\s*:\s*none", re.IGNORECASE)
_RULE = re.compile(r"([^{}]*)\{([^{}]*)\}")
_CLASS = re.compile(r"\.([\w-]+)")


def svg_layers(root: Any) -> tuple[Layer, ...]:
    """Named groups down to `_DEEP` below the root, each with whether it shows and whether anything is drawn in it."""
    hidden = _hidden_classes(root)
    return tuple(found for found, _ in zip(_groups(root, hidden, True, 0), range(MAX_LAYERS), strict=False))


def _groups(parent: Any, hidden: frozenset[str], shown: bool, depth: int) -> Iterator[Layer]:
    for element in parent:
        if _local(element) != "g":
            continue
        shows = shown and not _is_hidden(element, hidden)
        name = element.get(_LABEL) or element.get("id")
        if name:
            drawn = any(_local(child) in _PAINTS for child in element.iter())
            yield Layer(name[:200], shows, shows, (1,) if drawn else ())
        if depth + 1 < _DEEP:
            yield from _groups(element, hidden, shows, depth + 1)


def _is_hidden(element: Any, hidden: frozenset[str]) -> bool:
    return (
        element.get("display") == "none"
        or bool(_NONE.search(element.get("style", "")))
        or not hidden.isdisjoint(element.get("class", "").split())
    )


def _hidden_classes(root: Any) -> frozenset[str]:
    found: set[str] = set()
    for element in root.iter():
        if _local(element) == "style" and element.text:
            for selectors, body in _RULE.findall(element.text):
                if _NONE.search(body):
                    found |= set(_CLASS.findall(selectors))
    return frozenset(found)


def _local(element: Any) -> str:
    return element.tag.rpartition("}")[2] if isinstance(element.tag, str) else ""

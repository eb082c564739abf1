"""How the words of a page look beside their outlines: font, colour, mode, layer. Takes pdfium text objects, gives `Look`."""

import ctypes

import pypdfium2.raw as pdfium
from attrs import frozen

from . import calls
from .glyphs import Item
from .layers import layer_of
from .words import WordColumns


@frozen
class Look:
    """What the words of one text object share; fields as in `facts.Word`."""

    font: str
    embedded: bool
    colour: str
    mode: int
    layer: str


def looks_of(words: WordColumns) -> tuple[list[Look], list[int]]:
    """(looks, index of each word's): that of the text object in which it begins."""
    table: dict[Look, int] = {}
    of_item = {first: table.setdefault(_look(words.items[first]), len(table)) for first in dict.fromkeys(words.first)}
    return list(table), [of_item[first] for first in words.first]


def _look(item: Item) -> Look:
    red, green, blue, _ = item.fill or (0, 0, 0, 0)
    colour = f"{red:02X}{green:02X}{blue:02X}" if item.fill else ""
    marked = calls.marks_of(item.handle) > 0
    layer = layer_of(ctypes.cast(item.handle, pdfium.FPDF_PAGEOBJECT)) if marked else ""
    return Look(item.font_name, item.embedded, colour, item.mode, layer)

"""How the words of a page look beside their outlines: font, colour, mode, layer. Takes pdfium text objects, gives `Look`."""

import ctypes
from typing import Any

import pypdfium2.raw as pdfium
from attrs import frozen

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


def colour_of(item: Any) -> str:
    """Fill of a page object as RRGGBB; empty where it is none that could be said so."""
    red, green, blue, alpha = (ctypes.c_uint() for _ in range(4))
    if not pdfium.FPDFPageObj_GetFillColor(item, red, green, blue, alpha):
        return ""
    return f"{red.value & 255:02X}{green.value & 255:02X}{blue.value & 255:02X}"


def _look(item: Item) -> Look:
    pointer = ctypes.cast(item.handle, pdfium.FPDF_PAGEOBJECT)
    embedded = bool(item.font) and pdfium.FPDFFont_GetIsEmbedded(item.font) == 1
    mode = pdfium.FPDFTextObj_GetTextRenderMode(pointer)
    return Look(item.font_name, embedded, colour_of(pointer), mode if 0 <= mode <= 7 else 0, layer_of(pointer))

"""Text on layers that are off. Takes names of layers and a pdfium page, gives the text objects that hide.

pdfium draws no object on a hidden layer but still lists its text. Layers are told by name, since pdfium gives no more; a
name that a shown layer bears too does not hide. Layers set on a form as a whole (its own /OC entry), and rules that
combine layers, are not followed. ISO 32000-1 8.11.
"""

import ctypes
from typing import Any

import pypdfium2.raw as pdfium

from .calls import address

_MAX_DEPTH = 30  # ours: forms inside forms
_MAX_OBJECTS = 1_000_000  # ours: objects looked at on one page


def hidden_text(page: Any, layers: frozenset[str]) -> frozenset[int]:
    """Addresses of the text objects of a pdfium page (handle) that stand on one of ``layers``."""
    found: set[int] = set()
    if not layers:
        return frozenset()
    top = [pdfium.FPDFPage_GetObject(page, index) for index in range(pdfium.FPDFPage_CountObjects(page))]
    level, left = [(item, False) for item in top], _MAX_OBJECTS
    for _depth in range(_MAX_DEPTH):
        below: list[tuple[Any, bool]] = []
        for item, inside_hidden in level[:left]:
            hides = inside_hidden or _marked(item, layers)
            kind = pdfium.FPDFPageObj_GetType(item)
            if kind == pdfium.FPDF_PAGEOBJ_TEXT and hides:
                found.add(address(item))
            elif kind == pdfium.FPDF_PAGEOBJ_FORM:
                count = pdfium.FPDFFormObj_CountObjects(item)
                below += [(pdfium.FPDFFormObj_GetObject(item, index), hides) for index in range(count)]
        left -= len(level)
        if not below or left <= 0:
            break
        level = below
    return frozenset(found)


def layer_of(item: Any) -> str:
    """Name of the layer on which the innermost of the object's marks puts it; empty for none."""
    return (_layers_of(item) or [""])[-1]


def by_rule(item: Any) -> bool:
    """Whether one of the object's marks puts it under a rule that combines layers, which has no name."""
    return "" in _layers_of(item)


def _marked(item: Any, layers: frozenset[str]) -> bool:
    """Whether one of the object's marks puts it on one of ``layers``."""
    return any(name in layers for name in _layers_of(item))


def _layers_of(item: Any) -> list[str]:
    found = []
    for index in range(max(0, pdfium.FPDFPageObj_CountMarks(item))):
        mark = pdfium.FPDFPageObj_GetMark(item, index)
        if _text(pdfium.FPDFPageObjMark_GetName, mark) == "OC":
            found.append(_text(pdfium.FPDFPageObjMark_GetParamStringValue, mark, b"Name"))
    return found


def _text(read: Any, mark: Any, *key: bytes) -> str:
    """A UTF-16 text that pdfium writes into a buffer; empty if there is none or it is too long to be a name."""
    buffer, length = ctypes.create_string_buffer(2048), ctypes.c_ulong()
    array = ctypes.cast(buffer, ctypes.POINTER(ctypes.c_ushort))
    if not read(mark, *key, array, 2048, length) or not 2 <= length.value <= 2048:
        return ""
    return buffer.raw[: length.value - 2].decode("utf-16-le", "replace")

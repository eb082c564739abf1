"""What words stand on. Takes a pdfium page, gives its objects sorted into text and the rest, and which words could be hidden."""

import ctypes
from typing import Any

import numpy as np
import pypdfium2.raw as pdfium
from attrs import define, field

from . import calls
from .calls import Handle
from .facts import Rect
from .glyphs import Item
from .mapping import Matrix, apply_rect, vertices_of
from .mapping_rows import Numbers
from .words import WordColumns

MAX_OBJECTS = 1_000_000  # ours: objects looked at on one page
MAX_DEPTH = 30  # ours: forms inside forms
_MANY = 5_000  # ours: with more objects than this any word may have something under or over it
_CELLS = 64  # ours: the page is cut into so many columns and rows to tell what may touch
_PALE = 200  # ours: of 255; text lighter than this may be lost on bare cloth

_has_transparency = calls.bare(pdfium.FPDFPageObj_HasTransparency)
_bounds = calls.bare(pdfium.FPDFPageObj_GetBounds)
_clip_path = calls.bare(pdfium.FPDFPageObj_GetClipPath, Handle)
_clip_count = calls.bare(pdfium.FPDFClipPath_CountPaths)


@define
class Ground:
    """``text`` and ``other`` = every object that paints, in forms too; ``top`` = objects of the page itself that are no
    text; ``nested`` = addresses of text objects inside forms."""

    text: list[Handle] = field(factory=list)
    other: list[Handle] = field(factory=list)
    top: list[Handle] = field(factory=list)
    nested: set[int] = field(factory=set)


def leaves(page: Any) -> Ground:
    """The objects of a pdfium page (handle)."""
    raw = calls.handle(page)
    found = Ground()
    level = [calls.page_object(raw, index) for index in range(min(calls.page_objects(raw), MAX_OBJECTS))]
    left = MAX_OBJECTS
    for depth in range(MAX_DEPTH):
        below: list[Handle] = []
        for item in level:
            kind = calls.kind_of(item)
            if kind == pdfium.FPDF_PAGEOBJ_TEXT:
                found.text.append(item)
                if depth:
                    found.nested.add(item.value or 0)
                continue
            if not depth:
                found.top.append(item)
            if kind == pdfium.FPDF_PAGEOBJ_FORM:
                below += [calls.form_object(item, index) for index in range(min(calls.form_objects(item), left))]
            else:
                found.other.append(item)
        left -= len(level)
        if not below or left <= 0:
            break
        level = below[:left]
    return found


def doubtful(ground: Ground, words: WordColumns, quads: Numbers, shown: Matrix, size: tuple[float, float]) -> Numbers:
    """Which words could be hidden: all but dark ones of the page itself, unclipped, that touch nothing else.

    ``quads`` and ``size`` on pdfium's plane; ``shown`` = user space → that plane.
    """
    if len(ground.top) > _MANY:
        return np.ones(len(words), bool)
    suspect = {n: _suspect(words.items[n], ground) for n in set(words.first) | set(words.last)}
    found = np.array([suspect[a] or suspect[b] for a, b in zip(words.first, words.last, strict=True)], bool)
    if not ground.top:
        return found
    taken = np.zeros((_CELLS, _CELLS), bool)
    for item in ground.top:
        low, high = _cells(np.array(vertices_of(apply_rect(shown, _box(item)))), size)
        taken[low[0] : high[0] + 1, low[1] : high[1] + 1] = True
    if taken.all():
        return np.ones(len(words), bool)
    for row in np.flatnonzero(~found).tolist():
        low, high = _cells(quads[row], size)
        found[row] = taken[low[0] : high[0] + 1, low[1] : high[1] + 1].any()
    return found


def _suspect(item: Item, ground: Ground) -> bool:
    """Whether a text object may not show for a reason of its own: pale, in a form, clipped, marked, see-through."""
    if item.mode not in (0, 2) or item.fill is None or min(item.fill[:3]) > _PALE or item.fill[3] < 255:
        return True
    if item.handle.value in ground.nested or calls.marks_of(item.handle) > 0 or _has_transparency(item.handle):
        return True
    clip = _clip_path(item.handle)
    return bool(clip.value) and _clip_count(clip) > 0


def _box(item: Handle) -> Rect:
    left, bottom, right, top = (ctypes.c_float() for _ in range(4))
    if not _bounds(item, *map(ctypes.byref, (left, bottom, right, top))):
        return (-1e9, -1e9, 1e9, 1e9)  # unknown: it may be anywhere
    return (left.value, bottom.value, right.value, top.value)


def _cells(points: Numbers, size: tuple[float, float]) -> tuple[list[int], list[int]]:
    """(row, column) of the first and of the last cell that the bounds of ``points`` meet."""
    share = np.nan_to_num(points / size * _CELLS, nan=0.0)
    low, high = np.clip(share.min(0), 0, _CELLS - 1), np.clip(share.max(0), 0, _CELLS - 1)
    return [int(low[1]), int(low[0])], [int(high[1]), int(high[0])]

"""Faces and profiles to panels: the one geometry that templates, checks, proofs and print files share.

Takes an order and the table of kinds; gives a `Sizing`. Raises `TableError` with every fault that only the geometry
shows: faces too small for their setbacks, panels that don't exist, wraps that are no chain.
"""

import gc
from collections.abc import Iterator, Mapping
from contextlib import contextmanager

from .. import order as orders
from .. import profiles
from ..structure.kinds.kind import Kind
from ..typed import TableError
from .panel import Drop, Panel, PanelEdge, SizedStructure, Sizing, Wrap
from .panels import Found, size_shape

__all__ = ["Drop", "Panel", "PanelEdge", "SizedStructure", "Sizing", "Wrap", "size_order", "size_shape"]


def size_order(order: orders.Order, kinds: Mapping[str, Kind]) -> Sizing:
    """Every structure of an order, numbers running through. Raises `TableError`."""
    with _uncollected():
        return _size_order(order, kinds)


@contextmanager
def _uncollected() -> Iterator[None]:
    """Without the garbage collector: sizing makes no cycles, but so many small records that live on that the collector,
    walking them all again and again, makes a panel of a large order a quarter dearer than one of a small one."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.freeze()
            gc.unfreeze()  # the two together: all that lives counts as old, and is not walked at once
            gc.enable()


def _size_order(order: orders.Order, kinds: Mapping[str, Kind]) -> Sizing:
    faults: Found = []
    sized: list[SizedStructure] = []
    first = 1
    for index, structure in enumerate(order.structures):
        depth = profiles.load(profiles.Frame, structure.settings.frame).depth
        shape = kinds[structure.kind].faces(structure.keys, depth, structure.bays)
        made, wrong = size_shape(shape, structure, first, index)
        faults += [
            (f"structure {index + 1}, {path}" if path else f"structure {index + 1}", what) for path, what in wrong
        ]
        if made is not None:
            sized.append(made)
            first = made.numbers[-1] + 1
        elif wrong:
            break  # later numbers depend on this structure
    panels = {panel.number: panel for structure in sized for panel in structure.panels}
    wraps: list[Wrap] = []
    if not faults:
        wraps, faults = _wraps(order, panels)
        faults += _claims(order, panels)
    if faults:
        raise TableError("order.toml", faults)
    return Sizing(tuple(sized), tuple(wraps))


def _wraps(order: orders.Order, panels: dict[int, Panel]) -> tuple[list[Wrap], Found]:
    if not order.wraps:
        return [], []
    from . import wraps as wrapping  # heavy, and many orders have none

    wraps: list[Wrap] = []
    faults: Found = []
    for index, asked in enumerate(order.wraps, start=1):
        wrap, wrong = wrapping.lay(asked, panels)
        faults += [(f"wrap {index}, {path}", what) for path, what in wrong]
        wraps += [wrap] if wrap is not None else []
    return wraps, faults


def _claims(order: orders.Order, panels: Mapping[int, Panel]) -> Found:
    """Panels named by art and silences that don't exist, take none, or are named twice in the order."""
    faults: Found = []
    taken: dict[int, str] = {}
    for index, wrap in enumerate(order.wraps, start=1):
        for number in wrap.panels:
            if number in taken:
                faults.append((f"wrap {index}, panels", f"panel {number} has its art from {taken[number]} already"))
            taken[number] = f"wrap {index}"
    for index, art in enumerate(order.art, start=1):
        for number in art.panels:
            if number not in panels:
                faults.append((f"art {index}, panels", f"there is no panel {number}"))
            elif panels[number].blank:
                faults.append((f"art {index}, panels", f"panel {number} is blank: it takes no art"))
            elif number in taken:
                faults.append((f"art {index}, panels", f"panel {number} has its art from {taken[number]} already"))
            taken[number] = f"art {index}"
    for index, silence in enumerate(order.silences, start=1):
        if silence.panel is not None and silence.panel not in panels:
            faults.append((f"silence {index}, panel", f"there is no panel {silence.panel}"))
    return faults

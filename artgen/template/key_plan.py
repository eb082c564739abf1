"""Key plan: a structure in axonometry with one panel filled, small enough for a corner of any page."""

from collections.abc import Sequence
from typing import Literal

from ..drawing.inks import BLACK, BLUE, WHITE
from ..drawing.marks import Ink, Path, Stroke
from ..drawing.pieces import Rect
from ..sizing.panel import SizedStructure
from ..structure.bays import Bay
from ..structure.view import View

# Viewpoints in order of liking; the last two look up from below, for hung cubes and undersides.
VIEWS = (View(28, 18), View(-152, 18), View(28, -22), View(-152, -22))


def view_of(bay: Bay, hung: bool) -> View:
    """The viewpoint from which a bay is seen best; hung structures are looked up at first."""
    order = (*VIEWS[2:], *VIEWS[:2]) if hung else VIEWS
    for view in order:
        if view.sees(bay.outline) and view.facing(bay.outline) > 0.25:
            return view
    return max(order, key=lambda view: view.facing(bay.outline))


def key_plan(
    structure: SizedStructure,
    filled: Sequence[int],
    box: Rect,
    width: float,
    ink: Ink = BLACK,
    fill: Ink = BLUE,
    paper: Ink = WHITE,
) -> tuple[Path, ...]:
    """Outlines of every bay that is seen, those of the panels ``filled`` painted, fitted into ``box``; lines ``width`` mm,
    ``paper`` what covers lines that are not seen."""
    view = _view(structure, filled)
    flat = [(n, bay, [view.project(v) for v in bay.outline]) for n, bay in _drawn(structure, view)]
    xs = [x for _, _, points in flat for x, _ in points]
    ys = [y for _, _, points in flat for _, y in points]
    span = max(max(xs) - min(xs), 1e-6), max(max(ys) - min(ys), 1e-6)
    factor = min(box.width / span[0], box.height / span[1])
    dx = box.x0 + (box.width - span[0] * factor) / 2 - min(xs) * factor
    dy = box.y0 + (box.height - span[1] * factor) / 2 - min(ys) * factor
    stroke = Stroke(ink, width, cap="round")
    return tuple(
        Path((tuple((x * factor + dx, y * factor + dy) for x, y in points),), stroke, fill if n in filled else paper)
        for n, _, points in flat
    )


def _view(structure: SizedStructure, filled: Sequence[int]) -> View:
    chosen = next(bay for n, bay in zip(structure.numbers, structure.bays, strict=True) if n in filled)
    return view_of(chosen, structure.hung)


def seen_from(structure: SizedStructure, filled: Sequence[int]) -> tuple[Literal["behind", "below"], ...]:
    """From where the key plan of panels is seen, where that is not from the front and above."""
    view = _view(structure, filled)
    behind: tuple[Literal["behind"], ...] = ("behind",) if abs(view.azimuth) > 90 else ()
    below: tuple[Literal["below"], ...] = ("below",) if view.elevation < 0 else ()
    return (*behind, *below)


def _drawn(structure: SizedStructure, view: View) -> list[tuple[int, Bay]]:
    """Bays turned to the viewer, far ones first, so that near ones cover them."""
    seen = [(n, bay) for n, bay in zip(structure.numbers, structure.bays, strict=True) if view.sees(bay.outline)]
    return sorted(seen, key=lambda item: view.depth(item[1].outline))

"""From where a structure is shown: the fewest viewpoints from which every dressed side is seen well."""

from ..sizing.panel import Panel, SizedStructure
from ..structure.view import View

_WELL = 0.25  # cosine to the line of sight, ours: flatter sides can't be read
_SQUARE = View(18.0, 10.0)  # one-sided walls, nearly square on
_STANDING, _HUNG = 18.0, -10.0  # elevation: hung structures are seen from slightly below
_TURNS = (28.0, 0.0, 15.0, 45.0, 60.0, -28.0)  # azimuths of the first view, in order of liking
_UNDERSIDE = -60.0  # degrees of tilt: nobody sees these sides of what stands on the floor


def viewpoints(structure: SizedStructure) -> tuple[View, ...]:
    """One view, or two that look at each other, as few as show all sides."""
    panels = [panel for panel in structure.panels if structure.hung or panel.sight.tilt > _UNDERSIDE]
    panels = panels or list(structure.panels)
    if not panels:
        return (_SQUARE,)
    if _worst((_SQUARE,), panels) > _WELL:
        return (_SQUARE,)
    elevation = _HUNG if structure.hung else _STANDING
    best: tuple[float, tuple[View, ...]] = (-2.0, ())
    for turn in _TURNS:
        for views in ((View(turn, elevation),), (View(turn, elevation), View(turn - 180.0, elevation))):
            worst = _worst(views, panels)
            if worst > _WELL:
                return views
            if worst > best[0]:
                best = (worst, views)
    return best[1]


def _worst(views: tuple[View, ...], panels: list[Panel]) -> float:
    """How square the flattest panel is seen in the view that shows it best."""
    return min(max(view.facing(panel.bay.outline) for view in views) for panel in panels)


def unseen(structure: SizedStructure, views: tuple[View, ...]) -> list[int]:
    """Panels that no view shows."""
    return [p.number for p in structure.panels if all(view.facing(p.bay.outline) <= 0.02 for view in views)]

"""From where a structure is shown: on paper from the fewest viewpoints, in picture files from all that show something new."""

from itertools import product

import numpy as np
from attrs import frozen
from shapely import contains_xy
from shapely.geometry import Polygon

from ..sizing.panel import Panel, SizedStructure
from ..structure.shape import normal
from ..structure.vec import Vec
from ..structure.view import View

_WELL = 0.25  # cosine to the line of sight, ours: flatter sides can't be read
_SQUARE = View(18.0, 10.0)  # one-sided walls, nearly square on
_STANDING, _HUNG = 18.0, -10.0  # elevation: hung structures are seen from slightly below
_HIGH = 50.0  # elevation from which level sides over eye height are seen
_TURNS = (28.0, 0.0, 15.0, 45.0, 60.0, -28.0, -45.0)  # azimuths of the first view, in order of liking
_UNDERSIDE = -60.0  # degrees of tilt: nobody sees these sides of what stands on the floor
_BEFORE = 1.0  # mm: what stands less far before a point is its own metal
_SPREAD = (0.1, 0.35, 0.65, 0.9)  # where along both sides of a panel's box it is looked whether something hides it

# azimuths of picture files, and what they are called: where the viewer stands; then from how high, by elevation
_ROUND = {28.0: "front-right", -28.0: "front-left", 152.0: "back-right", -152.0: "back-left"}
_BELOW = -14.0  # elevation: what hangs is looked up at first


@frozen
class NamedView:
    """A viewpoint of a picture file: ``name`` = where the viewer stands, in words for a file's name."""

    name: str
    view: View


def named_views(structure: SizedStructure) -> tuple[NamedView, ...]:
    """Views that each show well a panel, or two panels that meet, which none before shows: the first always."""
    lowest = -90.0 if structure.hung else _UNDERSIDE
    panels = {panel.number: panel for panel in structure.panels if panel.sight.tilt > lowest}
    alone = {frozenset({number}) for number in panels}
    pairs = {frozenset({n, met.panel}) for n, panel in panels.items() for edge in panel.edges for met in edge.met}
    new = alone | {pair for pair in pairs if pair <= set(panels)}
    heights = ((_BELOW, ""), (_STANDING, "from-above")) if structure.hung else ((_STANDING, ""), (_HIGH, "from-above"))
    found: list[NamedView] = []
    for (high, from_where), (turn, name) in product(heights, _ROUND.items()):
        view = View(turn, high)
        well = {number for number, how in shown(structure, view).items() if how > _WELL}
        if not found or any(thing <= well for thing in new):
            found.append(NamedView("-".join(part for part in (name, from_where) if part), view))
        new = {thing for thing in new if not thing <= well}
        new = (
            new if high == heights[0][0] and turn != list(_ROUND)[-1] else new & alone
        )  # a second round for panels alone
    return tuple(found)


def viewpoints(structure: SizedStructure) -> tuple[View, ...]:
    """One view, or two that look at each other, as few as show all sides."""
    panels = [panel for panel in structure.panels if structure.hung or panel.sight.tilt > _UNDERSIDE]
    panels = panels or list(structure.panels)
    if not panels:
        return (_SQUARE,)
    if _worst(structure, (_SQUARE,), panels) > _WELL:
        return (_SQUARE,)
    elevation = _HUNG if structure.hung else _STANDING
    best: tuple[float, tuple[View, ...]] = (-2.0, ())
    for turn in _TURNS:
        for views in ((View(turn, elevation),), (View(turn, elevation), View(turn - 180.0, elevation))):
            worst = _worst(structure, views, panels)
            if worst > _WELL:
                return views
            if worst > best[0] + 1e-9:
                best = (worst, views)
    return best[1]


def shown(structure: SizedStructure, view: View) -> dict[int, float]:
    """How well a view shows each panel: the cosine to the line of sight, times the share that nothing else hides."""
    facing = {panel.number: view.facing(panel.bay.outline) for panel in structure.panels}
    turned = [panel for panel in structure.panels if facing[panel.number] > 0.0]
    if not turned:
        return facing
    points = [_points(panel) for panel in turned]
    hidden = _hidden(structure, view, np.concatenate(points))
    at = 0
    for panel, own in zip(turned, points, strict=True):
        facing[panel.number] *= 1.0 - float(hidden[at : at + len(own)].mean())
        at += len(own)
    return facing


def _points(panel: Panel) -> Vec:
    """Points in space spread over what shows of a panel."""
    x, y = (np.array([p[i] for p in panel.visible]) for i in (0, 1))
    u, v = (side.min() + np.array(_SPREAD) * np.ptp(side) for side in (x, y))
    grid = np.array([(a, b) for a in u for b in v])
    grid = grid[contains_xy(Polygon(panel.visible), grid[:, 0], grid[:, 1])]
    grid = grid if len(grid) else np.array([[x.mean(), y.mean()]])
    origin, along, up = (np.asarray(vector) for vector in panel.to_space)
    return np.asarray(origin + grid[:, :1] * along + grid[:, 1:] * up)


def _hidden(structure: SizedStructure, view: View, points: Vec) -> Vec:
    """Which points have a panel or bare metal between them and the viewer."""
    right, up, toward = view.axes()
    x, y, near = points @ right, points @ up, points @ toward
    hidden = np.zeros(len(points), dtype=bool)
    for outline in (*(panel.bay.outline for panel in structure.panels), *structure.bare):
        corners, n = np.asarray(outline), np.array(normal(outline))
        slope = float(n @ toward)
        if abs(slope) < 1e-6:  # edge on
            continue
        # along the line of sight through a point, the plane of the outline stands so far before it
        before = ((corners[0] - points) @ n) / slope
        flat = corners @ np.stack([right, up], axis=1)
        low, high = flat.min(axis=0), flat.max(axis=0)
        ask = np.nonzero((before > _BEFORE) & (x > low[0]) & (x < high[0]) & (y > low[1]) & (y < high[1]) & ~hidden)[0]
        if len(ask) and float((corners @ toward).max()) > near[ask].min():
            hidden[ask] |= contains_xy(Polygon(flat), x[ask], y[ask])
    return hidden


def _worst(structure: SizedStructure, views: tuple[View, ...], panels: list[Panel]) -> float:
    """How well the worst panel is shown in the view that shows it best."""
    seen = [shown(structure, view) for view in views]
    return min(max(one[panel.number] for one in seen) for panel in panels)


def unseen(structure: SizedStructure, views: tuple[View, ...]) -> list[int]:
    """Panels that no view shows."""
    seen = [shown(structure, view) for view in views]
    return [p.number for p in structure.panels if all(one[p.number] <= 0.02 for one in seen)]

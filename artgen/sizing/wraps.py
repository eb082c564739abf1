"""Wraps: a chain of neighbouring panels unfolded into one plane, art running on behind the reveals or closed up."""

import numpy as np
from shapely.geometry import Polygon

from .. import order
from .outline import Outline, Point, bounds
from .panel import Affine, Met, Panel, Wrap, apply, placed

_STILL: Affine = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
_OVERLAP = 1e-6  # of the smaller panel: less is float dust


def lay(asked: order.Wrap, panels: dict[int, Panel]) -> tuple[Wrap | None, list[tuple[str, str]]]:
    """The wrap in its plane, or what is wrong with it: (path below the wrap, what) pairs."""
    faults = []
    for number in asked.panels:
        if number not in panels:
            faults.append(("panels", f"there is no panel {number}"))
        elif panels[number].blank:
            faults.append(("panels", f"panel {number} is blank: it takes no art"))
    if faults:
        return None, faults
    places: list[Affine] = [_STILL]
    running_on: list[Affine] = [_STILL]
    for here, there in zip(asked.panels, asked.panels[1:], strict=False):
        found = _meeting(panels[here], there)
        if found is None:
            return None, [("panels", f"panel {here} does not meet panel {there}: a wrap is a chain of neighbours")]
        index, met = found
        places.append(_next(panels[here], index, met, panels[there], places[-1], asked.behind))
        running_on.append(_next(panels[here], index, met, panels[there], running_on[-1], "on"))
    # judged running on: closed up, a chain round a joint may lie on itself by a reveal, which costs no picture
    faults = _on_one_another(asked, running_on, panels)
    if faults:
        return None, faults
    reach = [bounds(placed(place, panels[n].art)) for n, place in zip(asked.panels, places, strict=True)]
    x0, y0 = min(r[0] for r in reach), min(r[1] for r in reach)
    # rounded to 1e-9 mm: float dust of the unfolding must not show as a size of its own
    shifted = tuple((a, b, c, d, round(e - x0, 9) + 0.0, round(f - y0, 9) + 0.0) for a, b, c, d, e, f in places)
    return Wrap(asked.panels, shifted, asked.file, asked.page, asked.behind, asked.text_over_corners), []


def _on_one_another(asked: order.Wrap, places: list[Affine], panels: dict[int, Panel]) -> list[tuple[str, str]]:
    """Panels of the chain that would take the same part of the page: a chain that turns back onto itself."""
    seen = [Polygon(placed(place, panels[n].visible)) for n, place in zip(asked.panels, places, strict=True)]
    return [
        (
            "panels",
            f"panels {asked.panels[i]} and {asked.panels[j]} would lie on one another on the flat page; split the wrap",
        )
        for j in range(len(seen))
        for i in range(j)
        if seen[i].intersection(seen[j]).area > _OVERLAP * min(seen[i].area, seen[j].area)
    ]


def _meeting(panel: Panel, other: int) -> tuple[int, Met] | None:
    for index, edge in enumerate(panel.edges):
        for met in edge.met:
            if met.panel == other:
                return index, met
    return None


def _next(here: Panel, index: int, met: Met, there: Panel, place: Affine, behind: str) -> Affine:
    """The place of ``there``: its fold line beside that of ``here``, a reveal (or nothing) apart, metal meeting metal."""
    p0, p1 = (np.array(apply(place, p)) for p in _segment(here.frame, index))
    way = (p1 - p0) / np.linalg.norm(p1 - p0)
    out = np.array([way[1], -way[0]])
    q0, q1 = (np.array(q) for q in _segment(there.frame, met.edge))
    back = (q0 - q1) / np.linalg.norm(q0 - q1)  # the neighbour's edge runs the other way
    cos, sin = float(back @ way), float(back[0] * way[1] - back[1] * way[0])
    turn = np.array([[cos, -sin], [sin, cos]])
    # one point of metal in both sewn frames, through space
    space = _in_space(here, met.start, _segment(here.frame, index))
    theirs = turn @ np.array(_in_sewn(there, space))
    mine = p0 + way * met.start
    slip = mine - theirs
    edge, facing = here.edges[index], there.edges[met.edge]
    gap = met.reveal if behind == "on" else 0.0
    fold = float(out @ p0) - edge.setback
    other_fold = float(out @ (turn @ q0 + slip)) + facing.setback
    slip = slip + out * (fold + gap - other_fold)
    cos, sin = round(cos, 12) + 0.0, round(sin, 12) + 0.0
    return cos, sin, -sin + 0.0, cos, float(slip[0]), float(slip[1])


def _segment(outline: Outline, index: int) -> tuple[Point, Point]:
    return outline[index], outline[(index + 1) % len(outline)]


def _in_space(panel: Panel, along: float, segment: tuple[Point, Point]) -> np.ndarray:
    origin, x, y = (np.array(v) for v in panel.to_space)
    way = np.array(segment[1]) - np.array(segment[0])
    point = np.array(segment[0]) + way / np.linalg.norm(way) * along
    return np.asarray(origin + x * point[0] + y * point[1])


def _in_sewn(panel: Panel, point: np.ndarray) -> tuple[float, float]:
    origin, x, y = (np.array(v) for v in panel.to_space)
    return float((point - origin) @ x), float((point - origin) @ y)

"""The sums of one panel: a bay and its profiles in, every size and zone out (docs/sums.md has them in words).

Per edge ``s`` setback, ``t`` seat depth, ``w`` strip width, ``h`` turn-in, ``b`` bleed; per axis ``e`` stretch, ``c`` change.
"""

from math import hypot, inf

import numpy as np
from attrs import evolve, frozen

from ..order import EdgeSettings, Settings
from ..profiles import Fabric, Frame, Roll, Strip
from ..structure.bays import Bay
from ..structure.shape import normal, sewn_axes
from .outline import Outline, Point, TooSmall, bounds, edges, offset, scale, shift, size
from .panel import PanelEdge

EDGE_KEYS = ("setback", "seat_depth", "turn_in", "bleed", "safe")  # what an order may set for one edge


class SizeFault(ValueError):
    """A panel that can't be; the message says by how much and what to change."""


@frozen
class Made:
    """What a panel is made of."""

    frame: Frame
    strip: Strip
    fabric: Fabric
    roll: Roll
    settings: Settings

    @property
    def bleed(self) -> float:
        return self.roll.bleed if self.settings.bleed is None else self.settings.bleed

    @property
    def safe(self) -> float:
        return self.fabric.safe if self.settings.safe is None else self.settings.safe

    @property
    def seam_clearance(self) -> float:
        given = self.settings.seam_clearance
        return self.fabric.seam_clearance if given is None else given

    def factors(self, turned: bool) -> tuple[float, float, float, float]:
        """(1 + e) along sewn x and y, then (1 + c): a standing panel has sewn y along the roll, a turned one sewn x."""
        f = self.fabric
        across, along = (1 + f.stretch_across, 1 + f.change_across), (1 + f.stretch_along, 1 + f.change_along)
        x, y = (along, across) if turned else (across, along)
        return x[0], y[0], x[1], y[1]


@frozen
class Flat:
    """A bay's metal laid into its sewn frame, before the origin is known: ``outline``, the turn of upright against sewn y,
    and the frame's place in space."""

    outline: Outline
    upright_deg: float
    origin: tuple[float, float, float]
    x_axis: tuple[float, float, float]
    y_axis: tuple[float, float, float]


def lay_flat(bay: Bay) -> Flat:
    """The sewn frame: the upright frame turned by the smallest angle that lays an edge level (tie: anticlockwise)."""
    n = normal(bay.outline)
    sewn_x, sewn_y, upright = sewn_axes(bay.outline)
    points = np.asarray(bay.outline)
    flat = tuple(zip((points @ sewn_x).tolist(), (points @ sewn_y).tolist(), strict=True))
    origin = (n @ points[0]) * n
    return Flat(_level(flat), upright, _triple(origin), _triple(sewn_x), _triple(sewn_y))


def _level(outline: Outline) -> Outline:
    """The outline without float dust: points of a level or upright edge share their coordinate exactly."""
    return tuple((round(x, 9), round(y, 9)) for x, y in outline)


def _triple(v: np.ndarray) -> tuple[float, float, float]:
    return float(v[0]), float(v[1]), float(v[2])


def edge_names(outline: Outline) -> list[str]:
    """ "left", "right", "top", "bottom" where exactly one edge faces that way squarely; else "1", "2" … in order."""
    facing = {(1, 0): "right", (-1, 0): "left", (0, 1): "top", (0, -1): "bottom"}
    found = []
    for (x0, y0), (x1, y1) in edges(outline):
        length = hypot(x1 - x0, y1 - y0)
        out = (round((y1 - y0) / length, 6), round((x0 - x1) / length, 6))
        found.append(facing.get((int(out[0]), int(out[1])), "") if all(v in (-1, 0, 1) for v in out) else "")
    return [name if name and found.count(name) == 1 else str(i + 1) for i, name in enumerate(found)]


@frozen
class Zones:
    """All outlines of a panel in its sewn frame (origin already at the art size's lower left)."""

    frame: Outline
    visible: Outline
    finished: Outline
    cut: Outline
    art: Outline
    safe: Outline | None
    shift: Point


def zones(outline: Outline, given: list[PanelEdge]) -> Zones:
    """Every outline by per-edge sums. Raises `SizeFault` if the setbacks use the face up."""
    try:
        visible = offset(outline, [-edge.setback for edge in given])
    except TooSmall:
        w, h = size(outline)
        taken = max(edge.setback for edge in given) * 2
        raise SizeFault(
            f"a frame of {w:.1f} × {h:.1f} mm leaves nothing to see: its setbacks take {taken:.1f} mm"
        ) from None
    art = offset(visible, [edge.allowance + edge.bleed for edge in given])
    x0, y0, _, _ = bounds(art)
    try:
        safe = shift(offset(visible, [-edge.safe for edge in given]), -x0, -y0)
    except TooSmall:
        safe = None  # no text fits; templates and checks say so
    return Zones(
        frame=shift(outline, -x0, -y0),
        visible=shift(visible, -x0, -y0),
        finished=shift(offset(visible, [edge.seat_depth for edge in given]), -x0, -y0),
        cut=shift(offset(visible, [edge.allowance for edge in given]), -x0, -y0),
        art=shift(art, -x0, -y0),
        safe=safe,
        shift=(x0, y0),
    )


@frozen
class Printed:
    """Sizes on the sewing table and in print (w, h of the bounding box), and the print factor per axis."""

    sewn: tuple[float, float]
    sewn_cut: tuple[float, float]
    printed_cut: tuple[float, float]
    factor: tuple[float, float]
    sheet: tuple[float, float]


def printed(found: Zones, given: list[PanelEdge], made: Made, turned: bool) -> Printed:
    """Stretch and change: what the visible outline must be when relaxed, and printed before the heat."""
    ex, ey, cx, cy = made.factors(turned)
    w = made.strip.width
    stretched = offset(found.visible, [edge.seat_depth - w for edge in given], mitre=inf)
    relaxed = scale(stretched, 1 / ex, 1 / ey)
    sewn = size(offset(relaxed, [w] * len(given)))
    sewn_cut = size(offset(relaxed, [w + edge.turn_in for edge in given]))
    cut, art = size(found.cut), size(found.art)
    printed_cut = (sewn_cut[0] / cx, sewn_cut[1] / cy)
    factor = (printed_cut[0] / cut[0], printed_cut[1] / cut[1])
    return Printed(sewn, sewn_cut, printed_cut, factor, (art[0] * factor[0], art[1] * factor[1]))


def edge_sums(outline: Outline, made: Made, own: dict[int, EdgeSettings]) -> list[PanelEdge]:
    """Each edge's own numbers, from the profiles or the order; places, neighbours and strip come later."""
    found = []
    for i, name in enumerate(edge_names(outline)):
        edge = PanelEdge(
            name=name,
            start=(0.0, 0.0),
            end=(0.0, 0.0),
            setback=made.frame.setback,
            seat_depth=made.frame.seat_depth,
            turn_in=made.strip.turn_in,
            bleed=made.bleed,
            safe=made.safe,
            met=(),
            reveal=None,
            strip=0.0,
        )
        override = own.get(i)
        if override is not None:
            edge = evolve(edge, **{k: getattr(override, k) for k in EDGE_KEYS if getattr(override, k) is not None})
        if made.strip.width > edge.seat_depth:
            raise SizeFault(
                f"edge {name}: the strip is {made.strip.width:g} mm wide, its seat only {edge.seat_depth:g} mm deep; "
                "take a narrower strip or measure the seat again"
            )
        found.append(edge)
    return found


def strip_length(start: Point, end: Point, made: Made, turned: bool) -> float:
    """Strip for one edge whose fold line runs from ``start`` to ``end``: relaxed, less a gap at each panel corner."""
    ex, ey, _, _ = made.factors(turned)
    return hypot((end[0] - start[0]) / ex, (end[1] - start[1]) / ey) - 2 * made.strip.gap

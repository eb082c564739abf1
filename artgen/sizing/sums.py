"""The sums of one panel: a bay and its profiles in, every size and zone out (docs/sums.md has them in words).

Per edge ``s`` setback, ``t`` seat depth, ``w`` strip width, ``h`` turn-in, ``b`` bleed; per axis ``e`` stretch, ``c`` change.
"""

from collections.abc import Mapping, Sequence
from math import hypot, inf

from attrs import frozen

from ..order import EdgeSettings, Settings
from ..profiles import Fabric, Frame, Roll, Strip
from ..typed import Give
from .outline import (
    Box,
    Outline,
    Point,
    TooSmall,
    bounds,
    crosses_itself,
    edge_length,
    edges,
    is_convex,
    offset,
    offset_edges,
    scale,
    shift,
    size,
    within,
)
from .panel import EdgeSums

EDGE_KEYS = ("setback", "seat_depth", "turn_in", "bleed", "safe")  # what an order may set for one edge
_SQUARE = 5e-7  # of its length: an edge that strays less from level or upright is that


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

    def gives(self, turned: bool) -> tuple[tuple[Give, Give], tuple[Give, Give]]:
        """(stretch, change) along sewn x, then y: a standing panel has sewn y along the roll, a turned one sewn x."""
        f = self.fabric
        across, along = (f.stretch_across, f.change_across), (f.stretch_along, f.change_along)
        return (along, across) if turned else (across, along)


def edge_names(outline: Outline) -> list[str]:
    """ "left", "right", "top", "bottom" where exactly one edge faces that way squarely; else "1", "2" … in order."""
    found = []
    for (x0, y0), (x1, y1) in edges(outline):
        dx, dy = x1 - x0, y1 - y0
        dust = _SQUARE * (abs(dx) + abs(dy))
        along, up = abs(dy) < dust, abs(dx) < dust
        found.append(("bottom" if dx > 0 else "top") if along else ("right" if dy > 0 else "left") if up else "")
    return [name if name and found.count(name) == 1 else str(i + 1) for i, name in enumerate(found)]


@frozen
class Zones:
    """All outlines of a panel in its sewn frame (origin already at the art size's lower left). ``cut_edges`` = start and end
    of each edge on the cut; ``cut_box``, ``art_box`` = their bounds; ``safe_lacks`` = mm by which the panel is too small for
    its safe insets."""

    frame: Outline
    visible: Outline
    finished: Outline
    cut: Outline
    art: Outline
    safe: Outline | None
    safe_lacks: float
    cut_edges: list[tuple[Point, Point]]
    shift: Point
    cut_box: Box
    art_box: Box


def zones(outline: Outline, given: Sequence[EdgeSums]) -> Zones:
    """Every outline by per-edge sums. Raises `SizeFault`, which says by how much, where the panel can't be."""
    convex = is_convex(outline)
    visible = _inside(outline, given, convex)
    around = [edge.allowance + edge.bleed for edge in given]
    art = _outside(visible, around, given, "art size", convex)[0]
    x0, y0, x1, y1 = bounds(art)
    visible, art = shift(visible, -x0, -y0), shift(art, -x0, -y0)
    finished = _outside(visible, [edge.seat_depth for edge in given], given, "finished size", convex)[0]
    cut, cut_edges = _outside(visible, [edge.allowance for edge in given], given, "cut", convex)
    safe, lacks = _safe(visible, given, convex)
    return Zones(
        shift(outline, -x0, -y0),
        visible,
        finished,
        cut,
        art,
        safe,
        lacks,
        cut_edges,
        (x0, y0),
        bounds(cut),
        (0.0, 0.0, x1 - x0, y1 - y0),
    )


def _inside(outline: Outline, given: Sequence[EdgeSums], convex: bool) -> Outline:
    insets = [-edge.setback for edge in given]
    try:
        visible = offset(outline, insets)
    except TooSmall as small:
        w, h = size(outline)
        long = edge_length(outline, small.edge)
        raise SizeFault(
            f"a frame of {w:.1f} × {h:.1f} mm leaves nothing to see along its edge {given[small.edge].name}: "
            f"of {long:.1f} mm the setbacks beside it take {long + small.lacks:.1f} mm, {small.lacks:.1f} mm too much"
        ) from None
    if not convex and crosses_itself(visible):
        w, h = size(outline)
        share = _most(outline, insets)
        raise SizeFault(
            f"a frame of {w:.1f} × {h:.1f} mm leaves nothing to see where it is narrowest: its setbacks may be "
            f"{share * 100:.1f} % of what they are, {(1 - share) * max(e.setback for e in given):.1f} mm less a side"
        )
    return visible


def _outside(
    visible: Outline, distances: list[float], given: Sequence[EdgeSums], what: str, convex: bool
) -> tuple[Outline, list[tuple[Point, Point]]]:
    """The visible outline moved outwards. Cloth of a concave panel can be in its own way."""
    try:
        found, moved = offset_edges(visible, distances)
    except TooSmall as small:
        raise SizeFault(
            f"the cloth beside edge {given[small.edge].name} is in its own way: at its {what} it overlaps by "
            f"{small.lacks:.1f} mm; give these edges less seat depth, turn-in or bleed"
        ) from None
    if not convex and crosses_itself(found):
        share = _most(visible, distances)
        raise SizeFault(
            f"the cloth is in its own way where the panel folds in on itself: its {what} lies {max(distances):.1f} mm "
            f"beyond the fold line, and {share * max(distances):.1f} mm is the most"
        )
    return found, moved


def _most(outline: Outline, distances: list[float]) -> float:
    """The largest share of the distances by which a concave outline can be moved without crossing itself."""
    low, high = 0.0, 1.0
    for _ in range(30):
        middle = (low + high) / 2
        try:
            fails = crosses_itself(offset(outline, [d * middle for d in distances]))
        except TooSmall:
            fails = True
        low, high = (low, middle) if fails else (middle, high)
    return low


def _safe(visible: Outline, given: Sequence[EdgeSums], convex: bool) -> tuple[Outline | None, float]:
    """Where text is safe; else None, and by how many mm the panel is too small for any. Templates and checks say so."""
    insets = [edge.safe for edge in given]
    try:
        safe = offset(visible, [-inset for inset in insets])
        if convex or not crosses_itself(safe):
            return safe, 0.0
        lacks = 0.0
    except TooSmall as small:
        lacks = small.lacks
    left = within(visible, insets)  # short edges may be used up and leave room all the same
    return left, lacks if left is None else 0.0


@frozen
class Printed:
    """Sizes on the sewing table and in print (w, h of the bounding box). Per axis: ``relax`` = relaxed over stretched,
    ``shrink`` = printed over sewn, ``factor`` = the print factor k, ``applied`` = what of it artgen applies to sheets."""

    sewn: tuple[float, float]
    sewn_cut: tuple[float, float]
    printed_cut: tuple[float, float]
    factor: tuple[float, float]
    applied: tuple[float, float]
    sheet: tuple[float, float]
    relax: tuple[float, float]
    shrink: tuple[float, float]


def printed(found: Zones, given: Sequence[EdgeSums], made: Made, turned: bool) -> Printed:
    """Stretch and change: what the visible outline must be when relaxed, and printed before the heat."""
    (stretch_x, change_x), (stretch_y, change_y) = made.gives(turned)
    w = made.strip.lies
    relax, relaxed = _relaxed(found.visible, given, w, stretch_x, stretch_y)
    sewn = size(offset(relaxed, [w] * len(given)))
    sewn_cut = size(offset(relaxed, [w + edge.turn_in for edge in given]))
    x0, y0, x1, y1 = found.cut_box
    cut, art = (x1 - x0, y1 - y0), found.art_box[2:]
    printed_cut = (change_x.undone(sewn_cut[0]), change_y.undone(sewn_cut[1]))
    if min(printed_cut) <= 0:
        raise SizeFault(
            f"a panel of {sewn_cut[0]:.1f} × {sewn_cut[1]:.1f} mm is less than its cloth changes in the heat"
        )
    factor = (printed_cut[0] / cut[0], printed_cut[1] / cut[1])
    applied = (1.0, 1.0) if made.settings.compensate == "rip" else factor
    sheet = (art[0] * applied[0], art[1] * applied[1])
    shrink = (printed_cut[0] / sewn_cut[0], printed_cut[1] / sewn_cut[1])
    return Printed(sewn, sewn_cut, printed_cut, factor, applied, sheet, relax, shrink)


def _relaxed(
    visible: Outline, given: Sequence[EdgeSums], w: float, stretch_x: Give, stretch_y: Give
) -> tuple[tuple[float, float], Outline]:
    """What stretches, all cloth but that on the strip, before it is stretched."""
    stretched = offset(visible, [edge.seat_depth - w for edge in given], mitre=inf)
    wide, high = size(stretched)
    relax = (stretch_x.undone(wide) / wide, stretch_y.undone(high) / high)
    if min(relax) <= 0:
        raise SizeFault(f"a panel that shows {wide:.1f} × {high:.1f} mm is less than its cloth is stretched by")
    return relax, scale(stretched, *relax)


def refitted(outline: Outline, given: Sequence[EdgeSums], made: Made, turned: bool, sewn: tuple[float, ...]) -> Outline:
    """The metal that an old panel, measured as sewn, was made for: the outline scaled about its middle until its panel is
    sewn as large. Raises `SizeFault` if it is more than a tenth off what the order says."""
    (stretch_x, _), (stretch_y, _) = made.gives(turned)
    x0, y0, x1, y1 = bounds(outline)
    kx = ky = 1.0
    for step in range(100):
        trial = shift(scale(shift(outline, -(x0 + x1) / 2, -(y0 + y1) / 2), kx, ky), (x0 + x1) / 2, (y0 + y1) / 2)
        visible = _inside(trial, given, is_convex(outline))
        w = made.strip.lies
        wide, high = size(offset(_relaxed(visible, given, w, stretch_x, stretch_y)[1], [w] * len(given)))
        dx, dy = sewn[0] - wide, sewn[1] - high
        if step == 0 and (abs(dx) > wide / 10 or abs(dy) > high / 10):
            raise SizeFault(
                f"sewn_size {sewn[0]:.1f} × {sewn[1]:.1f} mm is no panel of this frame, whose panel is sewn "
                f"{wide:.1f} × {high:.1f} mm; give width, then height, as its page lies"
            )
        if max(abs(dx), abs(dy)) < 1e-10:
            break
        kx += dx * (1 + stretch_x.share) / (x1 - x0)
        ky += dy * (1 + stretch_y.share) / (y1 - y0)
    return trial


def edge_sums(outline: Outline, made: Made, own: Mapping[int, EdgeSettings]) -> tuple[EdgeSums, ...]:
    """Each edge's numbers: ``own`` by its index, where the order gives some; else the profiles'."""
    usual = (made.frame.setback, made.frame.seat_depth, made.strip.turned_in, made.bleed, made.safe)
    found = []
    for i, name in enumerate(edge_names(outline)):
        values = usual
        if i in own:
            asked = (getattr(own[i], key) for key in EDGE_KEYS)
            values = tuple(v if ask is None else ask for v, ask in zip(usual, asked, strict=True))  # type: ignore[assignment]
        seat, lies = values[1], made.strip.lies
        if lies > seat:
            raise SizeFault(
                f"edge {name}: the strip is {lies:g} mm wide, its seat only {seat:g} mm deep, {lies - seat:g} mm too "
                "little; take a narrower strip or measure the seat again"
            )
        found.append(EdgeSums(name, *values))
    return tuple(found)


def strip_length(name: str, start: Point, end: Point, relax: tuple[float, float], gap: float) -> float:
    """Strip for one edge whose fold line runs from ``start`` to ``end``: relaxed, less a gap at each panel corner."""
    fold = hypot((end[0] - start[0]) * relax[0], (end[1] - start[1]) * relax[1])
    if fold <= 2 * gap:
        raise SizeFault(
            f"edge {name}: {fold:.1f} mm leaves no strip between two gaps of {gap:g} mm, {2 * gap - fold:.1f} mm too little"
        )
    return fold - 2 * gap

"""The sums of one panel written out: every step with its number and where that came from.

Takes a sized panel and the order's table of its structure; gives steps as data. Sentences are in the words table.
"""

from typing import Literal

from attrs import frozen

from ..order import Structure
from ..profiles import Fabric, Frame, Roll, Strip
from ..typed import Give
from .outline import bounds, edge_length, size
from .panel import Drop, Panel, PanelEdge

Sign = Literal["", "−", "+", "÷", "×", "="]
Unit = Literal["mm", "share", "factor"]


@frozen
class Origin:
    """Where a number came from: a profile and its source, the order and its key there, the strip's method, or nobody said and
    artgen's default stands."""

    kind: Literal["profile", "method", "order", "default"]
    name: str
    detail: str = ""


@frozen
class Step:
    """One line of a sum: ``what`` is a key of the words table, ``of`` the edge, corner or drop that it belongs to."""

    sign: Sign
    what: str
    value: float
    of: str = ""
    unit: Unit = "mm"
    origin: Origin | None = None


@frozen
class Sum:
    """Lines that belong together. ``what`` is a key of the words table; ``squarely`` False: sizes of a bounding box, whose
    edges move each by its own numbers and so don't add up along an axis."""

    what: str
    steps: tuple[Step, ...]
    squarely: bool = True


_HOME = {"setback": "frame", "seat_depth": "frame", "turn_in": "strip", "bleed": "roll", "safe": "fabric"}


def explain(panel: Panel, structure: Structure) -> list[Sum]:
    """All sums of a panel, in the order in which they build on each other."""
    sums = [_made_of(panel, structure)]
    named = {edge.name: edge for edge in panel.edges}
    square = len(panel.edges) == 4 and set(named) == {"left", "right", "top", "bottom"}
    for axis, pair in ((0, ("left", "right")), (1, ("bottom", "top"))):
        sums.append(_axis(panel, structure, axis, [named[name] for name in pair] if square else []))
    if not square:
        sums.append(Sum("edges", tuple(step for edge in panel.edges for step in _edge(panel, structure, edge))))
    sums.append(_safe(panel, structure))
    sums.append(_strip(panel))
    if len(panel.drops) > 1:
        sums.append(_drops(panel, structure))
    return sums


def _made_of(panel: Panel, structure: Structure) -> Sum:
    steps = []
    for family, profile in _profiles(panel).items():
        table = next((t for t in structure.panel if t.panel == panel.number), None)
        origin = _setting(structure, family)
        if family == "fabric" and table is not None and table.fabric is not None:
            origin = Origin("order", f"panel {panel.number}", "fabric")
        steps.append(Step("", f"profile.{family}", 0.0, profile.name, origin=origin))
    return Sum("made-of", tuple(steps))


def _profiles(panel: Panel) -> "dict[str, Frame | Strip | Fabric | Roll]":
    return {"frame": panel.frame_profile, "strip": panel.strip, "fabric": panel.fabric, "roll": panel.roll}


def _profile(panel: Panel, family: str, key: str) -> Origin:
    profile = _profiles(panel)[family]
    if key not in profile.sources:
        return Origin("method", profile.name, panel.strip.method)
    return Origin("profile", f"{family} {profile.name}", profile.sources[key])


def origin_of(panel: Panel, structure: Structure, edge: PanelEdge, key: str) -> Origin:
    """Where an edge has its setback, seat depth, turn-in, bleed or safe inset from."""
    number = panel.edges.index(edge) + 1
    for path, table in structure.edge_tables:
        mine = table.panel == panel.number and table.edge in (edge.name, number)
        if mine and getattr(table, key) is not None:
            return Origin("order", f"{structure.name}, {path}")
    if getattr(structure.settings, key, None) is not None:
        return _setting(structure, key)
    return _profile(panel, _HOME[key], key)


def _edge(panel: Panel, structure: Structure, edge: PanelEdge) -> list[Step]:
    return [
        Step("", key, getattr(edge, key), edge.name, origin=origin_of(panel, structure, edge, key)) for key in _HOME
    ]


def _axis(panel: Panel, structure: Structure, axis: int, pair: list[PanelEdge]) -> Sum:
    strip = panel.strip

    def terms(sign: Sign, key: str) -> list[Step]:
        return [
            Step(sign, key, getattr(edge, key), edge.name, origin=origin_of(panel, structure, edge, key))
            for edge in pair
        ]

    def result(what: str, value: float) -> list[Step]:
        return [Step("=", what, value)]

    old = panel.old_panel
    metal = Origin("order", f"panel {panel.number}", "sewn_size") if old else Origin("order", structure.name)
    steps = [Step("", "frame", size(panel.frame)[axis], origin=metal)]
    steps += terms("−", "setback") + result("visible", size(panel.visible)[axis])
    steps += terms("+", "seat_depth") + result("finished", size(panel.finished)[axis])
    steps += terms("+", "turn_in") + result("cut", size(panel.cut)[axis])
    steps += terms("+", "bleed") + result("art", size(panel.art)[axis])
    way = "along" if (axis == 0) == panel.turned else "across"
    seats, width = [Step("", "visible", size(panel.visible)[axis])], _profile(panel, "strip", _width_key(strip))
    for edge in pair:
        seats.append(Step("+", "soft", edge.seat_depth - strip.lies, edge.name, origin=width))
    steps += seats if pair else []
    stretch: Give = getattr(panel.fabric, f"stretch_{way}")
    steps.append(_give(stretch, f"stretch-{way}", _profile(panel, "fabric", f"stretch_{way}")))
    steps += [Step("+", "on-strip", strip.lies, edge.name, origin=width) for edge in pair]
    steps += result("sewn", panel.sewn_size[axis])
    steps += terms("+", "turn_in") + result("sewn-cut", panel.sewn_cut_size[axis])
    change: Give = getattr(panel.fabric, f"change_{way}")
    steps.append(_give(change, f"change-{way}", _profile(panel, "fabric", f"change_{way}")))
    steps += result("printed-cut", panel.printed_cut_size[axis])
    steps.append(Step("÷", "cut", size(panel.cut)[axis]))
    steps.append(Step("=", "factor", panel.factor[axis], unit="factor"))
    steps.append(Step("×", "art", size(panel.art)[axis]))
    steps += result("on-roll", panel.factor[axis] * size(panel.art)[axis])
    if structure.settings.compensate == "rip":
        steps.append(Step("", "sheet-rip", panel.print_sheet[axis], origin=_setting(structure, "compensate")))
    return Sum(f"axis.{'xy'[axis]}.{way}", tuple(steps), squarely=bool(pair))


def _width_key(strip: Strip) -> str:
    return "thickness" if strip.method == "edge" else "width"


def _setting(structure: Structure, key: str) -> Origin:
    """Where a setting of the whole structure was made."""
    home = structure.set_in.get(key)
    if home is None:
        return Origin("default", key)
    return Origin("order", structure.name if home == "structure" else home, key)


def _give(give: Give, what: str, origin: Origin) -> Step:
    if give.mm:
        return Step("−", what, give.mm, origin=origin)
    return Step("÷", what, give.share, unit="share", origin=origin)


def _safe(panel: Panel, structure: Structure) -> Sum:
    steps = [
        Step("", "safe", edge.safe, edge.name, origin=origin_of(panel, structure, edge, "safe")) for edge in panel.edges
    ]
    if panel.safe is None:
        steps.append(Step("=", "safe-lacks", panel.safe_lacks))
    return Sum("safe", tuple(steps))


def _strip(panel: Panel) -> Sum:
    steps: list[Step] = []
    gap = _profile(panel, "strip", "gap")
    for index, edge in enumerate(panel.edges):
        steps.append(Step("", "fold", edge_length(panel.visible, index), edge.name))
        steps.append(Step("", "relaxed", edge.strip + 2 * panel.strip.gap, edge.name))
        steps.append(Step("−", "gaps", 2 * panel.strip.gap, edge.name, origin=gap))
        steps.append(Step("=", "strip", edge.strip, edge.name))
    steps.append(Step("=", "strip-total", panel.strip_total))
    return Sum("strip", tuple(steps))


def _drops(panel: Panel, structure: Structure) -> Sum:
    steps: list[Step] = []
    axis = 0 if panel.drops[0].axis == "x" else 1
    allowance = _profile(panel, "fabric", "seam_allowance")
    steps.append(Step("", "seam-allowance", panel.fabric.seam_allowance, origin=allowance))
    roll = _profile(panel, "roll", "printable_width")
    steps.append(Step("", "printable", panel.roll.printable_width, origin=roll))
    table = next((t for t in structure.panel if t.panel == panel.number), None)
    given = Origin("order", f"panel {panel.number}", "seams") if table is not None and table.seams else None
    for seam in panel.seams:
        steps.append(Step("", "seam", seam.at, origin=given))
        steps += [Step("", "seam-low", seam.low), Step("", "seam-high", seam.high)]
    for drop in panel.drops:
        steps += _drop(panel, drop, axis)
    return Sum("drops", tuple(steps))


def _drop(panel: Panel, drop: Drop, axis: int) -> list[Step]:
    art, cut, k = bounds(panel.art), bounds(panel.cut), panel.factor[axis]
    low, high = drop is panel.drops[0], drop is panel.drops[-1]
    steps = [Step("", "share", drop.end - drop.start, drop.number)]
    steps += [Step("+", "bleed-low", cut[axis] - art[axis])] if low else []
    steps += [Step("+", "bleed-high", art[axis + 2] - cut[axis + 2])] if high else []
    steps.append(Step("×", "factor", k, unit="factor"))
    printed = panel.fabric.seam_allowance * panel.printed_cut_size[axis] / panel.sewn_cut_size[axis]
    steps += [Step("+", "seam-allowance-printed", printed)] * ((not low) + (not high))
    if panel.print_sheet[axis] != k * size(panel.art)[axis]:
        steps.append(Step("÷", "factor-rip", k, unit="factor"))
    return [*steps, Step("=", "drop", drop.sheet[axis], drop.number)]

"""Faces and profiles to panels: the one geometry that templates, checks, proofs and print files share.

Takes an order and the table of kinds; gives a `Sizing`. Raises `TableError` with every fault that only the geometry
shows: faces too small for their setbacks, panels that don't exist, wraps that are no chain.
"""

import gc
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from math import inf

from attrs import evolve

from .. import order as orders
from .. import profiles
from ..structure.bays import Bay, split
from ..structure.kinds.kind import Kind
from ..structure.shape import Shape, extents
from ..structure.view import sight
from ..typed import TableError
from . import drops as dropping
from . import wraps as wrapping
from .panel import Drop, Met, Panel, PanelEdge, SizedStructure, Sizing, Wrap
from .shadows import shadows
from .sums import (
    EDGE_KEYS,
    Flat,
    Made,
    Printed,
    SizeFault,
    edge_names,
    edge_sums,
    lay_flat,
    printed,
    refitted,
    strip_length,
    zones,
)

__all__ = ["Drop", "Panel", "PanelEdge", "SizedStructure", "Sizing", "Wrap", "size_order", "size_shape"]

Found = list[tuple[str, str]]


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
        for index, asked in enumerate(order.wraps, start=1):
            wrap, wrong = wrapping.lay(asked, panels)
            faults += [(f"wrap {index}, {path}", what) for path, what in wrong]
            wraps += [wrap] if wrap is not None else []
        faults += _claims(order, panels)
    if faults:
        raise TableError("order.toml", faults)
    return Sizing(tuple(sized), tuple(wraps))


def size_shape(
    shape: Shape, structure: orders.Structure, first: int, index: int
) -> tuple[SizedStructure | None, Found]:
    """One structure of any faces at all, its panels numbered from ``first``; or what is wrong with it."""
    try:
        bays = split(shape, structure.bays)
    except ValueError as error:
        return None, [("bays", str(error))]
    numbers = tuple(range(first, first + len(bays)))
    faults = _unknown_panels(structure, numbers) + _set_twice(structure)
    own = {setting.panel: setting for setting in structure.panel}
    wanted = [(n, bay) for n, bay in zip(numbers, bays, strict=True) if not (n in own and own[n].open)]
    lift = float(structure.feet if structure.hang_height is None else structure.hang_height)
    panels: list[Panel] = []
    made: dict[str | None, Made] = {}  # by the panel's own fabric: profiles are looked up once
    for number, bay in wanted:
        setting = own.get(number, orders.PanelSettings(number))
        if setting.fabric not in made:
            made[setting.fabric] = _made(structure, setting)
        try:
            panels.append(_panel(number, bay, made[setting.fabric], setting, structure, lift))
        except SizeFault as fault:
            faults.append((f"panel {number}", str(fault)))
        except _EdgeFault as fault:
            faults.append((fault.path, str(fault)))
    if faults:
        return None, faults
    panels, faults = _dropped(_met(panels, bays, first), structure, own, lift)
    if faults:
        return None, faults
    overall = extents(shape)
    lit = structure.lit == "inside"
    return SizedStructure(
        index,
        structure.name,
        structure.kind,
        lit,
        structure.copies,
        overall,
        lift,
        structure.hang_height is not None,
        tuple(bays),
        numbers,
        tuple(shadows(panel, overall[2]) if lit else panel for panel in panels),
        structure.last_panel,
    ), []


class _EdgeFault(ValueError):
    def __init__(self, path: str, what: str) -> None:
        self.path = path
        super().__init__(what)


def _unknown_panels(structure: orders.Structure, numbers: tuple[int, ...]) -> Found:
    span = f"its panels are {numbers[0]} to {numbers[-1]}"
    asked = [(f"{path}, panel", edge.panel) for path, edge in structure.edge_tables]
    asked += [(f"panel {i}, panel", panel.panel) for i, panel in enumerate(structure.panel, start=1)]
    if structure.last_panel is not None:
        asked.append(("last_panel", structure.last_panel))
    return [(path, f"this structure has no panel {n}: {span}") for path, n in asked if n not in numbers]


def _set_twice(structure: orders.Structure) -> Found:
    numbers = [setting.panel for setting in structure.panel]
    return [
        (f"panel {i}, panel", f"panel {n} has a table already; put its keys into one")
        for i, n in enumerate(numbers, start=1)
        if n in numbers[: i - 1]
    ]


def _claims(order: orders.Order, panels: Mapping[int, Panel]) -> Found:
    """Panels named by art that don't exist, take none, or are named twice in the order."""
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
    return faults


def _made(structure: orders.Structure, setting: orders.PanelSettings) -> Made:
    s = structure.settings
    return Made(
        profiles.load(profiles.Frame, s.frame),
        profiles.load(profiles.Strip, s.strip),
        profiles.load(profiles.Fabric, setting.fabric or s.fabric),
        profiles.load(profiles.Roll, s.roll),
        s,
    )


def _panel(
    number: int, bay: Bay, made: Made, setting: orders.PanelSettings, structure: orders.Structure, lift: float
) -> Panel:
    """A panel standing on the roll, alone: neighbours and drops come once all panels are known."""
    flat = lay_flat(bay)
    own = _own_edges(number, flat, structure)
    given = edge_sums(flat.outline, made, own)
    if setting.sewn_size:
        flat = refitted(flat, given, made, bool(setting.turn), setting.sewn_size)
    found = zones(flat.outline, given)
    dx, dy = found.shift
    origin = tuple(o + dx * x + dy * y for o, x, y in zip(flat.origin, flat.x_axis, flat.y_axis, strict=True))
    edges = tuple(edge.placed(a, b) for edge, (a, b) in zip(given, found.cut_edges, strict=True))
    settings = structure.settings
    return Panel(
        number=number,
        bay=bay,
        blank=setting.blank,
        frame_profile=made.frame,
        strip=made.strip,
        fabric=made.fabric,
        roll=made.roll,
        upright_deg=flat.upright_deg,
        to_space=(origin, flat.x_axis, flat.y_axis),  # type: ignore[arg-type]
        frame=found.frame,
        visible=found.visible,
        finished=found.finished,
        cut=found.cut,
        art=found.art,
        safe=found.safe,
        edges=edges,
        sight=sight(bay.outline, lift, settings.eye_height, settings.reading_distance),
        seam_clearance=made.seam_clearance,
        safe_lacks=found.safe_lacks,
        old_panel=setting.sewn_size,
    )


def _own_edges(number: int, flat: Flat, structure: orders.Structure) -> dict[int, orders.EdgeSettings]:
    own = [(path, setting) for path, setting in structure.edge_tables if setting.panel == number]
    names = edge_names(flat.outline) if own else []
    found: dict[int, orders.EdgeSettings] = {}
    for path, setting in own:
        index = setting.edge - 1 if isinstance(setting.edge, int) else -1
        if setting.edge in names:
            index = names.index(str(setting.edge))
        if not 0 <= index < len(names):
            raise _EdgeFault(f"{path}, edge", f"panel {number} has no edge {setting.edge!r}: it has {', '.join(names)}")
        earlier = found.get(index, setting)
        given = {key: getattr(setting, key) for key in EDGE_KEYS if getattr(setting, key) is not None}
        for key, value in given.items():
            if getattr(earlier, key) not in (None, value):
                raise _EdgeFault(f"{path}, {key}", f"this edge has another {key} already; take one of them out")
        found[index] = evolve(earlier, **given)
    return found


def _met(panels: list[Panel], bays: list[Bay], first: int) -> list[Panel]:
    by_number = {panel.number: panel for panel in panels}
    found = []
    for panel in panels:
        edges = []
        for index, edge in enumerate(panel.edges):
            neighbours = bays[panel.number - first].neighbours[index]
            met = tuple(
                Met(first + n.bay, n.edge, n.start, n.end, n.joint) for n in neighbours if first + n.bay in by_number
            )
            reveal: float | None = panel.frame_profile.reveal
            if met and reveal is None:
                reveal = edge.setback + by_number[met[0].panel].edges[met[0].edge].setback
            edges.append(evolve(edge, met=met, reveal=reveal if met else None))
        found.append(evolve(panel, edges=tuple(edges)))
    return found


def _dropped(
    panels: list[Panel], structure: orders.Structure, own: Mapping[int, orders.PanelSettings], lift: float
) -> tuple[list[Panel], Found]:
    """One cloth direction per structure and fabric: standing, unless turning all its panels gives fewer drops in all.

    Panels that the order turns, or whose seams or sewn size it gives, keep to that and don't count.
    """
    turn: dict[int, bool] = {}
    faults: Found = []
    lit = structure.lit == "inside"
    by_fabric: dict[str, list[Panel]] = {}
    for panel in panels:
        setting = own.get(panel.number)
        if setting is not None and (setting.turn is not None or setting.seams or setting.sewn_size):
            turn[panel.number] = bool(setting.turn)
        else:
            by_fabric.setdefault(panel.fabric.name, []).append(panel)
    cuts: dict[tuple[int, bool], tuple[Printed, dropping.Cut]] = {}

    def cut(panel: Panel, turned: bool) -> tuple[Printed, dropping.Cut]:
        key = (panel.number, turned)
        if key not in cuts:
            cuts[key] = _cut(panel, structure, turned)
        return cuts[key]

    def drops(group: list[Panel], turned: bool) -> float:
        """Drops of all of them, one way of the cloth; no end of them where one can't be made so."""
        try:
            return sum(dropping.count(cut(panel, turned)[1]) for panel in group)
        except SizeFault:
            return inf

    for group in by_fabric.values():
        standing = drops(group, False)
        # a drop a panel can't be bettered
        turn_all = group[0].fabric.may_turn and standing > len(group) and drops(group, True) < standing
        turn |= {panel.number: turn_all for panel in group}
    made = []
    for panel in panels:
        setting, turned = own.get(panel.number), turn[panel.number]
        try:
            sizes, across = cut(panel, turned)
            band = dropping.at_eye_height(panel, across, lift, structure.settings.eye_height) if lit else None
            places = dropping.given(across, setting.seams) if setting and setting.seams else None
            places = dropping.balanced(across, band) if places is None else places
            made.append(_turned(panel, sizes, across, places, turned))
        except SizeFault as fault:
            faults.append((f"panel {panel.number}", str(fault)))
    return made, faults


def _cut(panel: Panel, structure: orders.Structure, turned: bool) -> tuple[Printed, dropping.Cut]:
    made = Made(panel.frame_profile, panel.strip, panel.fabric, panel.roll, structure.settings)
    sizes = printed(panel, panel.edges, made, turned)
    return sizes, dropping.measure(panel, sizes, made, turned)


def _turned(panel: Panel, sizes: Printed, cut: dropping.Cut, places: Sequence[float], turned: bool) -> Panel:
    drops, seams = dropping.split(cut, panel.number, sizes.sheet, panel.art, places)
    folds = zip(panel.edges, panel.visible, [*panel.visible[1:], panel.visible[0]], strict=True)
    edges = tuple(edge.stripped(strip_length(edge.name, a, b, sizes.relax, panel.strip.gap)) for edge, a, b in folds)
    return evolve(
        panel,
        edges=edges,
        sewn_size=sizes.sewn,
        sewn_cut_size=sizes.sewn_cut,
        printed_cut_size=sizes.printed_cut,
        print_sheet=sizes.sheet,
        factor=sizes.factor,
        relax=sizes.relax,
        drops=drops,
        seams=seams,
        turned=turned,
    )

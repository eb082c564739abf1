"""One structure: its faces and profiles to panels, each made whole once all that it needs is known.

Takes a shape and the order's table of its structure; gives a `SizedStructure`, or (path, what) pairs for what is wrong.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from math import inf

from attrs import evolve, frozen

from .. import order as orders
from .. import profiles
from ..structure.bays import Bay, Neighbour, split
from ..structure.shape import Shape, extents
from ..structure.sight import Sight, sights
from ..typed import Faults
from . import drops as dropping
from .keep_outs import keep_outs
from .outline import Outline
from .panel import EdgeSums, KeepOut, Met, Panel, PanelEdge, SizedStructure, ToSpace
from .shadows import shadows
from .sums import (
    EDGE_KEYS,
    Made,
    Printed,
    SizeFault,
    Zones,
    edge_names,
    edge_sums,
    printed,
    refitted,
    strip_length,
    zones,
)

Found = list[tuple[str, str]]
_NOTHING_OWN: dict[int, orders.EdgeSettings] = {}


@frozen
class _Laid:
    """A panel alone: its zones, and where they are in space."""

    number: int
    bay: Bay
    setting: orders.PanelSettings
    made: Made
    edges: tuple[EdgeSums, ...]
    zones: Zones
    to_space: ToSpace
    keep_outs: tuple[KeepOut, ...]


_OnRoll = Callable[[_Laid, bool], tuple[Printed, dropping.Cut]]


class _EdgeFault(ValueError):
    def __init__(self, path: str, what: str) -> None:
        self.path = path
        super().__init__(what)


def size_shape(
    shape: Shape, structure: orders.Structure, first: int, index: int
) -> tuple[SizedStructure | None, Found]:
    """One structure of any faces at all, its panels numbered from ``first``; or what is wrong with it."""
    try:
        bays = split(shape, structure.bays)
    except Faults as error:
        return None, [(f"bays, {face}", what) for face, what in error.parts]
    numbers = tuple(range(first, first + len(bays)))
    faults = _unknown_panels(structure, numbers) + _set_twice(structure)
    laid, wrong = _lay(bays, numbers, structure)
    faults += wrong
    if faults:
        return None, faults
    overall = extents(shape)
    lift = float(structure.feet if structure.hang_height is None else structure.hang_height)
    settings = structure.settings
    with_panels = {each.number: each.bay for each in laid.values()}
    seen = sights(shape, with_panels, lift, settings.eye_height, settings.reading_distance)
    on_roll = _measured(settings)
    turned = _turned(laid.values(), on_roll)
    panels = []
    for number, each in laid.items():
        met = [
            tuple([_met(each, n, edge, laid[first + n.bay]) for n in found if first + n.bay in laid])
            for edge, found in zip(each.edges, each.bay.neighbours, strict=True)
        ]
        try:
            panels.append(_panel(each, met, seen[number], turned[number], on_roll, structure, lift, overall[2]))
        except SizeFault as fault:
            faults.append((f"panel {number}", str(fault)))
    if faults:
        return None, faults
    return SizedStructure(
        index=index,
        name=structure.name,
        kind=structure.kind,
        lit=structure.lit == "inside",
        copies=structure.copies,
        overall=overall,
        lift=lift,
        hung=structure.hang_height is not None,
        bays=tuple(bays),
        numbers=numbers,
        panels=tuple(panels),
        last_panel=structure.last_panel,
        bare=shape.bare,
    ), []


def _unknown_panels(structure: orders.Structure, numbers: tuple[int, ...]) -> Found:
    span = f"its panels are {numbers[0]} to {numbers[-1]}"
    asked = [(f"{path}, panel", edge.panel) for path, edge in structure.edge_tables]
    asked += [(f"panel {i}, panel", panel.panel) for i, panel in enumerate(structure.panel, start=1)]
    if structure.last_panel is not None:
        asked.append(("last_panel", structure.last_panel))
    return [
        (path, f"this structure has no panel {n}: {span}") for path, n in asked if not numbers[0] <= n <= numbers[-1]
    ]


def _set_twice(structure: orders.Structure) -> Found:
    found: Found = []
    seen: set[int] = set()
    for i, setting in enumerate(structure.panel, start=1):
        if setting.panel in seen:
            found.append((f"panel {i}, panel", f"panel {setting.panel} has a table already; put its keys into one"))
        seen.add(setting.panel)
    return found


def _lay(bays: Sequence[Bay], numbers: Sequence[int], structure: orders.Structure) -> tuple[dict[int, _Laid], Found]:
    """Every panel alone, by its number; open bays have none."""
    settings = {setting.panel: setting for setting in structure.panel}
    edge_tables: dict[int, list[tuple[str, orders.EdgeSettings]]] = {}
    for path, table in structure.edge_tables:
        edge_tables.setdefault(table.panel, []).append((path, table))
    made: dict[str | None, Made] = {}  # by the panel's own fabric: profiles are looked up once
    laid: dict[int, _Laid] = {}
    faults: Found = []
    for number, bay in zip(numbers, bays, strict=True):
        setting = settings.get(number) or orders.PanelSettings(number)
        if setting.open:
            continue
        if setting.fabric not in made:
            made[setting.fabric] = _made(structure.settings, setting)
        try:
            own = _own_edges(number, bay.flat, edge_tables[number]) if number in edge_tables else _NOTHING_OWN
            laid[number] = _laid(number, bay, made[setting.fabric], setting, own)
        except SizeFault as fault:
            faults.append((f"panel {number}", str(fault)))
        except _EdgeFault as fault:
            faults.append((fault.path, str(fault)))
        except Faults as error:
            table_number = structure.panel.index(setting) + 1
            faults += [(f"panel {table_number}, {path}", what) for path, what in error.parts]
    return laid, faults


def _made(settings: orders.Settings, setting: orders.PanelSettings) -> Made:
    return Made(
        profiles.load(profiles.Frame, settings.frame),
        profiles.load(profiles.Strip, settings.strip),
        profiles.load(profiles.Fabric, setting.fabric or settings.fabric),
        profiles.load(profiles.Roll, settings.roll),
        settings,
    )


def _own_edges(
    number: int, outline: Outline, tables: Sequence[tuple[str, orders.EdgeSettings]]
) -> dict[int, orders.EdgeSettings]:
    """What the order gives for edges of one panel, by their indices. Raises `_EdgeFault`."""
    names = edge_names(outline)
    found: dict[int, orders.EdgeSettings] = {}
    for path, setting in tables:
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


def _laid(
    number: int, bay: Bay, made: Made, setting: orders.PanelSettings, own: Mapping[int, orders.EdgeSettings]
) -> _Laid:
    outline = bay.flat
    edges = edge_sums(outline, made, own)
    if setting.sewn_size:
        outline = refitted(outline, edges, made, bool(setting.turn), setting.sewn_size)
    found = zones(outline, edges)
    plane = bay.plane
    to_space = (plane.point(*found.shift), plane.x, plane.y)
    return _Laid(number, bay, setting, made, edges, found, to_space, keep_outs(setting.keep_out, found.visible))


def _met(here: _Laid, met: Neighbour, edge: EdgeSums, there: _Laid) -> Met:
    given = here.made.frame.reveal
    reveal = edge.setback + there.edges[met.edge].setback if given is None else given
    return Met(there.number, met.edge, met.start, met.end, met.joint, reveal)


def _measured(settings: orders.Settings) -> _OnRoll:
    """What each panel measures printed, and across its roll, standing or turned; each reckoned once. Raises `SizeFault`."""
    found: dict[tuple[int, bool], tuple[Printed, dropping.Cut]] = {}

    def on_roll(laid: _Laid, turned: bool) -> tuple[Printed, dropping.Cut]:
        key = (laid.number, turned)
        if key not in found:
            sizes = printed(laid.zones, laid.edges, laid.made, turned)
            found[key] = (sizes, dropping.measure(laid.zones, sizes, laid.made, turned))
        return found[key]

    return on_roll


def _turned(laid: Iterable[_Laid], on_roll: _OnRoll) -> dict[int, bool]:
    """Whether each panel lies turned on its roll. One direction per structure and fabric: standing, unless turning all its
    panels gives fewer drops in all.

    Panels that the order turns, or whose seams or sewn size it gives, keep to that and don't count.
    """
    turned: dict[int, bool] = {}
    by_fabric: dict[str, list[_Laid]] = {}
    for each in laid:
        setting = each.setting
        if setting.turn is not None or setting.seams or setting.sewn_size:
            turned[each.number] = bool(setting.turn)
        else:
            by_fabric.setdefault(each.made.fabric.name, []).append(each)

    def drops(group: list[_Laid], turned: bool) -> float:
        """Drops of all of them, one way of the cloth; no end of them where one can't be made so."""
        try:
            return sum(dropping.count(on_roll(each, turned)[1]) for each in group)
        except SizeFault:
            return inf

    for group in by_fabric.values():
        standing = drops(group, False)
        # a drop a panel can't be bettered
        turn_all = group[0].made.fabric.may_turn and standing > len(group) and drops(group, True) < standing
        turned |= {each.number: turn_all for each in group}
    return turned


def _panel(
    laid: _Laid,
    met: Sequence[tuple[Met, ...]],
    seen: Sight,
    turned: bool,
    on_roll: _OnRoll,
    structure: orders.Structure,
    lift: float,
    height: float,
) -> Panel:
    """The panel whole. ``height`` = mm of the structure's metal. Raises `SizeFault`."""
    made, zone, setting = laid.made, laid.zones, laid.setting
    lit = structure.lit == "inside"
    sizes, across = on_roll(laid, turned)
    if setting.seams:
        places = dropping.given(across, setting.seams)
    else:
        eye = structure.settings.eye_height
        band = dropping.at_eye_height(zone.visible, laid.to_space, across, lift, eye) if lit else None
        places = dropping.balanced(across, band)
    drops, seams = dropping.split(across, laid.number, sizes.sheet, zone.art, places)
    return Panel(
        number=laid.number,
        bay=laid.bay,
        blank=setting.blank,
        frame_profile=made.frame,
        strip=made.strip,
        fabric=made.fabric,
        roll=made.roll,
        upright_deg=laid.bay.plane.upright_deg,
        to_space=laid.to_space,
        frame=zone.frame,
        visible=zone.visible,
        finished=zone.finished,
        cut=zone.cut,
        art=zone.art,
        safe=zone.safe,
        edges=_edges(laid, met, sizes.relax),
        sight=seen,
        sewn_size=sizes.sewn,
        sewn_cut_size=sizes.sewn_cut,
        printed_cut_size=sizes.printed_cut,
        print_sheet=sizes.sheet,
        factor=sizes.factor,
        turned=turned,
        drops=drops,
        seams=seams,
        seam_clearance=made.seam_clearance,
        shadows=shadows(zone.visible, laid.to_space, made.frame, height) if lit else (),
        safe_lacks=zone.safe_lacks,
        relax=sizes.relax,
        old_panel=setting.sewn_size,
        keep_outs=laid.keep_outs,
        reading_distance=structure.settings.reading_distance,
    )


def _edges(laid: _Laid, met: Sequence[tuple[Met, ...]], relax: tuple[float, float]) -> tuple[PanelEdge, ...]:
    visible, gap = laid.zones.visible, laid.made.strip.gap
    folds = zip(laid.edges, visible, (*visible[1:], visible[0]), laid.zones.cut_edges, met, strict=True)
    return tuple(
        PanelEdge(
            e.name,
            e.setback,
            e.seat_depth,
            e.turn_in,
            e.bleed,
            e.safe,
            start,
            end,
            found,
            found[0].reveal if found else None,
            strip_length(e.name, a, b, relax, gap),
        )
        for e, a, b, (start, end), found in folds
    )

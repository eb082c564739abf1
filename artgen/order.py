"""`order.toml` to a validated order: every fault at once, each with its path.

Takes the TOML text and the table of kinds (each kind's file holds its own keys); gives an `Order` in millimetres.
What needs the geometry (do these panels exist, is this wrap a chain) is checked where the geometry is: in sizing.
"""

import datetime
from collections.abc import Callable, Mapping
from pathlib import Path, PurePosixPath
from typing import Any, Literal, NewType, Protocol

import attrs
from attrs import field, frozen
from cattrs import BaseValidationError, Converter

from . import parts, profiles
from .parts import BayRow, KeepOut
from .profiles import FabricName, FrameName, RollName, StripName
from .typed import (
    Beside,
    Count,
    Fault,
    Faults,
    Inset,
    Length,
    Size,
    TableError,
    Title,
    flatten,
    make_converter,
    nearest,
    read_beside,
    read_toml,
    structure,
)

Day = NewType("Day", str)  # ISO 8601 calendar date
EDGE_NAMES = ("left", "right", "top", "bottom")
MOST_FILE_NAME = 1000  # ours: papers show it
MAIL_FIELDS = {"to": "to", "from": "sender", "answer_by": "answer_by"}  # Python has the word "from" for itself

# Keys of the order's language that this version reads but can't yet honour. An order that uses one is refused:
# a key that is quietly passed over would be a wrong panel.
NOT_YET = {"silence": "silencing of rules", "colour_profile": "colour profiles"}


class KindLike(Protocol):
    """What the order must know of a kind; `artgen.structure.kinds.Kind` is one."""

    @property
    def name(self) -> str: ...
    @property
    def keys(self) -> type: ...
    @property
    def front_face(self) -> str | None: ...
    @property
    def hung(self) -> bool: ...
    @property
    def faces(self) -> Any: ...


@frozen
class Settings:
    """What a structure is made of and judged by; ``[defaults]``, overridden per structure. None: the profile's value."""

    frame: FrameName = FrameName("standard")
    strip: StripName = StripName("flat-14")
    fabric: FabricName = FabricName("display-knit")
    roll: RollName = RollName("wide-3200")
    bleed: Inset | None = None
    safe: Inset | None = None
    seam_clearance: Inset | None = None
    reading_distance: Size = Size(3000.0)
    eye_height: Size = Size(1600.0)
    compensate: Literal["print", "rip"] = "print"
    paper: Literal["a4", "letter"] = "a4"


@frozen
class EdgeSettings:
    """``[[structure.edge]]``: one edge of one panel, named or numbered from 1 in its sewn frame."""

    panel: int
    edge: str | int
    setback: Inset | None = None
    seat_depth: Inset | None = None
    turn_in: Inset | None = None
    bleed: Inset | None = None
    safe: Inset | None = None


@frozen
class PanelSettings:
    """``[[structure.panel]]``. ``turn``: along or across the roll by hand; None leaves it to the sums. ``seams``: their places
    along the full-size page. ``sewn_size``: width, height of an old panel as sewn, in the sewn frame."""

    panel: int
    fabric: FabricName | None = None
    blank: bool = False
    open: bool = False
    turn: bool | None = None
    seams: tuple[Size, ...] = ()
    sewn_size: tuple[Size, ...] = ()
    keep_out: tuple[KeepOut, ...] = ()


@frozen(kw_only=True)
class Common:
    """The keys that every structure has, whatever its kind."""

    name: Title
    kind: str
    lit: Literal["none", "inside"] = "none"
    copies: Count = Count(1)
    feet: Inset = Inset(0.0)
    hang_height: Inset | None = None
    last_panel: int | None = None
    edge: tuple[EdgeSettings, ...] = ()
    edges: tuple[EdgeSettings, ...] = ()  # the same, also where a kind's own `edge` is a length
    panel: tuple[PanelSettings, ...] = ()


@frozen(kw_only=True)
class Structure(Common):
    """One ``[[structure]]``. ``keys`` = the kind's own keys; ``bays`` = rows by face name, top row first; ``set_in`` =
    where a setting was made, "structure" or "defaults"; one that is not there has the profile's or artgen's own value."""

    keys: Any
    settings: Settings
    bays: dict[str, tuple[BayRow, ...]] = field(factory=dict)
    set_in: dict[str, str] = field(factory=dict)

    @property
    def edge_tables(self) -> list[tuple[str, EdgeSettings]]:
        """(its path, table) of every table about one edge."""
        tables = (("edge", self.edge), ("edges", self.edges))
        return [(f"{key} {i}", table) for key, found in tables for i, table in enumerate(found, start=1)]


@frozen
class Art:
    """``[[art]]``: a file for one or more panels, and how it is laid where its size does not say."""

    panels: tuple[int, ...]
    file: str
    page: int = 1
    way: Literal["sewn", "reading"] | None = None
    fit: Literal["fill", "contain"] | None = None
    scale: float | None = None
    move: tuple[Length, ...] = ()
    turn: Literal[0, 90, 180, 270] | None = None


@frozen
class Wrap:
    """``[[wrap]]``: one page across a chain of panels. ``behind``: the art runs on behind the reveals, or is closed up."""

    panels: tuple[int, ...]
    file: str
    page: int = 1
    behind: Literal["on", "closed"] = "on"
    text_over_corners: bool = False


@frozen
class Mail:
    to: Title = Title("")
    sender: Title = Title("")
    answer_by: Day | None = None


@frozen
class Order:
    """One piece of work. ``folder`` holds the order file; client art lies in its ``art/``."""

    folder: Path
    name: str
    structures: tuple[Structure, ...]
    settings: Settings
    number: str = ""
    client: str = ""
    date: Day | None = None
    due: Day | None = None
    language: Literal["en"] = "en"
    art: tuple[Art, ...] = ()
    wraps: tuple[Wrap, ...] = ()
    mail: Mail = field(factory=Mail)


@frozen
class _File:
    """The order file's own layout."""

    schema: Literal[1]
    name: Title
    structure: tuple[Structure, ...]
    number: Title = Title("")
    client: Title = Title("")
    date: Day | None = None
    due: Day | None = None
    language: Literal["en"] = "en"
    defaults: Settings = field(factory=Settings)
    mail: Mail = field(factory=Mail)
    art: tuple[Art, ...] = ()
    wrap: tuple[Wrap, ...] = ()


def order_file(where: Path) -> Path:
    """The order file that ``where`` (a folder or the file) names."""
    return where / "order.toml" if where.is_dir() else where


def load(where: Path, kinds: Mapping[str, KindLike]) -> Order:
    """The order in a folder or file. Raises `TableError` with every fault."""
    path = order_file(where)
    tables = read_toml(path, "order")
    return from_tables(tables, kinds, folder=path.resolve().parent, where=path.name)


def from_tables(tables: Mapping[str, Any], kinds: Mapping[str, KindLike], folder: Path, where: str) -> Order:
    """The order in plain tables, as `tomllib` gives them. Raises `TableError` with every fault."""
    converter = _converter(kinds, tables.get("defaults"), folder)
    faults = _not_yet(tables)
    try:
        file = structure(converter, _without_not_yet(tables), _File, where)
    except TableError as error:
        raise TableError(where, [*error.faults, *faults]) from None
    if not file.structure:
        faults.append(("structure", "an order needs at least one"))
    if faults:
        raise TableError(where, faults)
    return Order(
        folder,
        file.name,
        file.structure,
        file.defaults,
        file.number,
        file.client,
        file.date,
        file.due,
        file.language,
        file.art,
        file.wrap,
        file.mail,
    )


def _converter(kinds: Mapping[str, KindLike], defaults: object, folder: Path) -> Converter:
    converter = make_converter()
    converter.register_structure_hook(Beside, lambda value, _: read_beside(folder, value))
    plain_keep_out = converter.get_structure_hook(KeepOut)
    converter.register_structure_hook(KeepOut, lambda value, cls: parts.keep_out(plain_keep_out(value, cls)))
    converter.register_structure_hook(Day, lambda value, _: _day(value))
    for family, name_type in profiles.NAME_TYPES.items():
        converter.register_structure_hook(name_type, _profile_name(family))
    converter.register_structure_hook(str | int, lambda value, _: _edge_name(value))
    plain_panel = converter.get_structure_hook(PanelSettings)
    converter.register_structure_hook(PanelSettings, lambda value, cls: _panel(plain_panel(value, cls)))
    plain_art = converter.get_structure_hook(Art)
    converter.register_structure_hook(Art, lambda value, cls: _art(plain_art, value, cls))
    plain_wrap = converter.get_structure_hook(Wrap)
    converter.register_structure_hook(Wrap, lambda value, cls: _wrap(plain_wrap(value, cls)))
    plain_mail = converter.get_structure_hook(Mail)
    converter.register_structure_hook(Mail, lambda value, cls: _mail(plain_mail, value, cls))
    shared = defaults if isinstance(defaults, Mapping) else {}
    converter.register_structure_hook(Structure, lambda value, _: _structure(converter, kinds, shared, value))
    return converter


def _profile_name(family: str) -> Callable[[Any, Any], str]:
    return lambda value, _: profiles.known(family, value)


def _structure(converter: Converter, kinds: Mapping[str, KindLike], shared: Mapping[str, Any], value: Any) -> Structure:
    if not isinstance(value, Mapping):
        raise Fault(f"expected a table of keys, got {value!r}")
    kind = kinds.get(value["kind"]) if isinstance(value.get("kind"), str) else None
    if kind is None:
        what = "missing" if "kind" not in value else f"no kind named {value['kind']!r}"
        raise Faults([("kind", what + nearest(str(value.get("kind", "")), kinds))])
    own = {name for name in _names(kind.keys) if not (name == "edge" and isinstance(value.get(name), list))}
    settings = set(_names(Settings))
    common = set(_names(Common)) - own
    faults: list[tuple[str, str]] = [
        (key, "unknown key" + nearest(key, own | settings | common | {"bays"}))
        for key in sorted(set(value) - own - settings - common - {"bays"})
    ]
    keys = _try(converter, {k: v for k, v in value.items() if k in own}, kind.keys, faults)
    # a fault of [defaults] is reported there, once; what a structure sets is judged on its own
    _try(converter, {k: v for k, v in value.items() if k in settings}, Settings, faults)
    body = _try(converter, {k: v for k, v in value.items() if k in common}, Common, faults)
    bays = _bays(converter, kind, value.get("bays"), faults)
    try:
        merged = converter.structure({**_valid(shared), **{k: v for k, v in value.items() if k in settings}}, Settings)
    except (BaseValidationError, Fault):
        merged = Settings()
    if not faults and keys is not None:
        try:
            shape = kind.faces(keys, profiles.load(profiles.Frame, merged.frame).depth, bays)
            faults += _bay_faces(shape, bays)
        except (Faults, TableError) as error:
            faults += list(error.parts) if isinstance(error, Faults) else []
    if faults or keys is None or body is None:
        raise Faults(faults)
    hang = body.hang_height if body.hang_height is not None else Inset(2500.0) if kind.hung else None
    values = {name: getattr(body, name) for name in _names(Common)}
    set_in = dict.fromkeys(_valid(shared), "defaults") | {key: "structure" for key in value if key in settings}
    values |= {"hang_height": hang, "set_in": set_in}
    return Structure(**values, keys=keys, settings=merged, bays=bays)


def _try(converter: Converter, value: Mapping[str, Any], cls: type, faults: list[tuple[str, str]]) -> Any:
    try:
        return converter.structure(value, cls)
    except (BaseValidationError, Fault) as error:
        faults += flatten(error, "")
        return None


def _bays(
    converter: Converter, kind: KindLike, value: Any, faults: list[tuple[str, str]]
) -> dict[str, tuple[BayRow, ...]]:
    if value is None:
        return {}
    if kind.front_face is None and not isinstance(value, Mapping):
        faults.append(("bays", f"a {kind.name} has no face that is its front; name the face: bays.f1 = …"))
        return {}
    tables = value if isinstance(value, Mapping) else {str(kind.front_face): value}
    found: dict[str, tuple[BayRow, ...]] = {}
    for face, rows in tables.items():
        path = "bays" if not isinstance(value, Mapping) else f"bays, {face}"
        try:
            found[face] = parts.bay_rows(converter, rows)
        except (BaseValidationError, Fault) as error:
            faults += flatten(error, path)
    return found


def _bay_faces(shape: Any, bays: Mapping[str, Any]) -> list[tuple[str, str]]:
    faces = {face.name for face in shape.faces}
    return [("bays", f"no face named '{name}'" + nearest(name, faces)) for name in bays if name not in faces]


def _valid(shared: Mapping[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in shared.items() if key in _names(Settings)}


def _edge_name(value: object) -> str | int:
    if value in EDGE_NAMES or (type(value) is int and value >= 1):
        return value
    raise Fault(f"expected one of {', '.join(EDGE_NAMES)}, or an edge's number from 1, got {value!r}")


def _panel(panel: PanelSettings) -> PanelSettings:
    if panel.sewn_size and len(panel.sewn_size) != 2:
        raise Faults([("sewn_size", "expected two lengths: width and height of the old panel as it lies sewn")])
    return panel


def _art(plain: Any, value: Any, cls: type) -> Art:
    if isinstance(value, Mapping) and "panel" in value:
        if "panels" in value:
            raise Faults([("panel", "give either panel or panels")])
        value = {**{k: v for k, v in value.items() if k != "panel"}, "panels": [value["panel"]]}
    art: Art = plain(value, cls)
    wrong = []
    if not art.panels:
        wrong.append(("panels", "expected at least one panel"))
    wrong += _file_faults(art.file)
    if art.page < 1:
        wrong.append(("page", f"expected 1 or more, got {art.page}"))
    if art.move and len(art.move) != 2:
        wrong.append(("move", "expected two lengths: to the right, up"))
    if art.scale is not None and not 0.001 <= art.scale <= 1000:
        wrong.append(("scale", f"expected how many times larger than the file the panel is, got {art.scale:g}"))
    if wrong:
        raise Faults(wrong)
    return art


def _file_faults(name: str) -> list[tuple[str, str]]:
    """Art lies in the order's folder, or the order could not be sent on, and papers would show a machine's paths."""
    if not name.strip():
        return [("file", "expected a file's name")]
    if len(name) > MOST_FILE_NAME:
        return [("file", f"expected at most {MOST_FILE_NAME} characters, got {len(name):,}")]
    path = PurePosixPath(name)
    if path.is_absolute() or ".." in path.parts:
        return [("file", f"expected a file below art/, got {name!r}; copy it there")]
    return []


def _wrap(wrap: Wrap) -> Wrap:
    wrong = []
    if len(wrap.panels) < 2 or len(set(wrap.panels)) != len(wrap.panels):
        wrong.append(("panels", "expected two or more different panels, in the order in which they meet"))
    wrong += _file_faults(wrap.file)
    if wrap.page < 1:
        wrong.append(("page", f"expected 1 or more, got {wrap.page}"))
    if wrong:
        raise Faults(wrong)
    return wrap


def _mail(plain: Any, value: Any, cls: type) -> Mail:
    if not isinstance(value, Mapping):
        raise Fault(f"expected a table of keys, got {value!r}")
    wrong = [(key, "unknown key" + nearest(key, MAIL_FIELDS)) for key in sorted(set(value) - set(MAIL_FIELDS))]
    try:
        mail: Mail = plain({field: value[key] for key, field in MAIL_FIELDS.items() if key in value}, cls)
    except BaseValidationError as error:
        keys = {field: key for key, field in MAIL_FIELDS.items()}
        wrong += [(keys[field], what) for field, what in flatten(error, "")]
    if wrong:
        raise Faults(wrong)
    return mail


def _day(value: object) -> str:
    if isinstance(value, datetime.date) and not isinstance(value, datetime.datetime):
        return value.isoformat()
    try:
        return datetime.date.fromisoformat(value if isinstance(value, str) else "").isoformat()
    except ValueError:
        raise Fault(f"expected a date such as '2026-03-02', got {value!r}") from None


def _names(cls: type) -> list[str]:
    return [f.name for f in attrs.fields(cls)]


def _not_yet(tables: Any, path: str = "") -> list[tuple[str, str]]:
    found: list[tuple[str, str]] = []
    items = tables.items() if isinstance(tables, Mapping) else enumerate(tables, 1) if isinstance(tables, list) else ()
    for key, value in items:
        below = f"{path} {key}" if isinstance(key, int) else f"{path}, {key}" if path else str(key)
        if key in NOT_YET:
            found.append((below, f"not supported yet ({NOT_YET[key]}): take it out, and see to it by hand"))
        elif isinstance(value, Mapping | list):
            found += _not_yet(value, below)
    return found


def _without_not_yet(tables: Any) -> Any:
    if isinstance(tables, Mapping):
        return {key: _without_not_yet(value) for key, value in tables.items() if key not in NOT_YET}
    if isinstance(tables, list):
        return [_without_not_yet(value) for value in tables]
    return tables

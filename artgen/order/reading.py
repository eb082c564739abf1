"""`order.toml` to a validated order: every fault at once, each with its path.

Takes the TOML text, the table of kinds (each kind's file holds its own keys) and the names of the rules; gives an `Order`.
What needs the geometry (do these panels exist, is this wrap a chain) is checked where the geometry is: in sizing.
"""

from collections.abc import Mapping
from pathlib import Path
from typing import Any, Protocol

import attrs
from cattrs import BaseValidationError, Converter

from .. import profiles
from ..typed import Fault, Faults, Inset, TableError, flatten, nearest, read_toml, structure
from .records import BayRow, Common, File, Order, Settings, Structure
from .rule_tables import KnownRules, no_rules
from .tables import bay_rows, tables_converter

# Keys of the order's language that this version reads but can't yet honour. An order that uses one is refused:
# a key that is quietly passed over would be a wrong panel.
NOT_YET = {"colour_profile": "colour profiles"}


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


def order_file(where: Path) -> Path:
    """The order file that ``where`` (a folder or the file) names."""
    return where / "order.toml" if where.is_dir() else where


def load(where: Path, kinds: Mapping[str, KindLike], rules: KnownRules = no_rules) -> Order:
    """The order in a folder or file. Raises `TableError` with every fault."""
    path = order_file(where)
    tables = read_toml(path, "order")
    return from_tables(tables, kinds, folder=path.resolve().parent, where=path.name, rules=rules)


def from_tables(
    tables: Mapping[str, Any], kinds: Mapping[str, KindLike], folder: Path, where: str, rules: KnownRules = no_rules
) -> Order:
    """The order in plain tables, as `tomllib` gives them. Raises `TableError` with every fault."""
    converter = _converter(kinds, tables.get("defaults"), folder, rules)
    faults = _not_yet(tables)
    try:
        file = structure(converter, _without_not_yet(tables), File, where)
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
        file.checks,
        file.silence,
    )


def _converter(kinds: Mapping[str, KindLike], defaults: object, folder: Path, rules: KnownRules) -> Converter:
    converter = tables_converter(folder, rules)
    shared = defaults if isinstance(defaults, Mapping) else {}
    converter.register_structure_hook(Structure, lambda value, _: _structure(converter, kinds, shared, value))
    return converter


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
        except Faults as error:
            faults += error.parts
        except TableError:  # of the frame profile: sizing reports it, once
            pass
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
            found[face] = bay_rows(converter, rows)
        except (BaseValidationError, Fault) as error:
            faults += flatten(error, path)
    return found


def _bay_faces(shape: Any, bays: Mapping[str, Any]) -> list[tuple[str, str]]:
    faces = {face.name for face in shape.faces}
    return [("bays", f"no face named '{name}'" + nearest(name, faces)) for name in bays if name not in faces]


def _valid(shared: Mapping[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in shared.items() if key in _names(Settings)}


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

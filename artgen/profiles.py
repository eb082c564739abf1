"""The shop's data: frame, strip, fabric and roll profiles, from TOML files to typed records.

A profile file holds a ``title`` and one table per value, ``value`` and ``source``: no number without its owner. A shop
keeps its own in a folder that `OWN` names; a profile there comes before one of the same name that ships.
"""

import os
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any, Literal, NewType, TypeVar

from attrs import field, frozen

from .resources import resource
from .typed import Fault, Give, Inset, Size, TableError, make_converter, nearest, read_toml, structure

OWN = "ARTGEN_PROFILES"  # environment: the shop's folder, with frame/, strip/, fabric/, roll/ in it

Method = Literal["flat", "folded", "edge"]
Corner = Literal["folded", "cut-45", "square-notch"]


@frozen
class Frame:
    """The aluminium frame. All mm. ``reveal`` None: the two setbacks that meet. Shadows matter on lit structures.

    ``upright_length`` None: uprights have no joints, or none that throw a shadow.
    """

    name: str
    title: str
    setback: Inset  # outer edge of the metal to the fold line
    seat_depth: Inset  # fold line to the far end of the seated strip
    depth: Size  # of a wall's frame
    fitting_shift: Inset  # how far a panel may be shifted when it is fitted
    brace_above: Size  # frames higher than this have a brace at mid height
    brace_width: Size
    lamp_bar_width: Size  # at the top of a lit structure
    reveal: Inset | None = None
    upright_length: Size | None = None  # the pieces that uprights are joined of, from the floor up
    joint_width: Size | None = None
    sources: dict[str, str] = field(factory=dict, eq=False)


@frozen
class Strip:
    """The edge strip and how it is sewn: ``flat`` and turned into the channel with the cloth on it, the cloth ``folded``
    round it, or standing on its ``edge``. All mm. ``turn_in`` None: what the method takes."""

    name: str
    title: str
    width: Size  # the strip itself
    thickness: Size
    method: Method
    gap: Inset  # left free at a panel corner, each side
    corner: Corner  # what is done with the cloth at a panel corner
    turn_in: Inset | None = None  # cloth that the sewing folds round or under the strip
    sources: dict[str, str] = field(factory=dict, eq=False)

    @property
    def lies(self) -> float:
        """w: cloth that lies on the strip and does not stretch. On a strip that stands, that is its edge."""
        return self.thickness if self.method == "edge" else self.width

    @property
    def turned_in(self) -> float:
        """h: cloth folded round or under the strip. Folded round, it covers the far edge and the back."""
        if self.turn_in is not None:
            return self.turn_in
        return self.thickness + self.width if self.method == "folded" else 0.0


@frozen
class Fabric:
    """The cloth. ``across`` and ``along`` are the roll's axes; change is signed, shrink negative (ISO 5077's sign)."""

    name: str
    title: str
    stretch_across: Give
    stretch_along: Give
    change_across: Give
    change_along: Give
    seam_allowance: Inset
    sewing_tolerance: Inset
    safe: Inset  # how far text keeps from a fold line
    seam_clearance: Inset  # how far text keeps from a seam
    may_turn: bool  # False: nap or sheen shows a turned panel
    sources: dict[str, str] = field(factory=dict, eq=False)


@frozen
class Roll:
    """What the printer takes. All mm. ``margin`` = cloth that stays white at each side of what is printed."""

    name: str
    title: str
    printable_width: Size
    bleed: Inset
    margin: Inset | None = None
    sources: dict[str, str] = field(factory=dict, eq=False)


Profile = TypeVar("Profile", Frame, Strip, Fabric, Roll)
FrameName = NewType("FrameName", str)
StripName = NewType("StripName", str)
FabricName = NewType("FabricName", str)
RollName = NewType("RollName", str)
NAME_TYPES = {"frame": FrameName, "strip": StripName, "fabric": FabricName, "roll": RollName}
FAMILIES: dict[str, type] = {"frame": Frame, "strip": Strip, "fabric": Fabric, "roll": Roll}


def own_folder() -> Path | None:
    """The shop's own folder of profiles, if the environment names one. Raises `TableError` if there is no such folder."""
    named = os.environ.get(OWN, "").strip()
    if named and not Path(named).is_dir():
        raise TableError(OWN, [("", f"names no folder: {named!r}")])
    return Path(named) if named else None


def names(family: str) -> list[str]:
    """Names of the profiles of a family ("frame", "strip", "fabric", "roll"), sorted."""
    return sorted(_files(family, own_folder()))


def file_of(family: str, name: str) -> Path:
    """The file of a profile that `known` knows."""
    return _files(family, own_folder())[name]


@cache
def _files(family: str, own: Path | None) -> dict[str, Path]:
    """Name → file; the shop's own hide those that ship."""
    folders = [resource("profiles"), *([own] if own is not None else [])]
    return {path.stem: path for folder in folders for path in sorted((folder / family).glob("*.toml"))}


def known(family: str, name: object) -> str:
    """``name`` if the family has such a profile. Raises `Fault` that names the nearest."""
    there = _files(family, own_folder())
    if not isinstance(name, str) or name not in there:
        raise Fault(f"no {family} profile named {name!r}" + nearest(str(name), there))
    return name


def load(family: type[Profile], name: str) -> Profile:
    """The profile ``name``. Raises `TableError` with every fault of its file, or if there is none of that name."""
    profile: Profile = _load(next(key for key, cls in FAMILIES.items() if cls is family), name, own_folder())
    return profile


@cache
def _load(family: str, name: str, own: Path | None) -> Any:
    try:
        known(family, name)
    except Fault as fault:
        raise TableError(family, [("", str(fault))]) from None
    return _read(family, _files(family, own)[name])


@cache
def _read(family: str, path: Path) -> Any:
    return read(FAMILIES[family], path)


def read(family: type[Profile], path: Path) -> Profile:
    """The profile in one file. Raises `TableError` with every fault."""
    tables = read_toml(path, "profile")
    values: dict[str, Any] = {"name": path.stem}
    sources: dict[str, str] = {}
    faults: list[tuple[str, str]] = []
    for key, table in tables.items():
        if key == "title":
            values[key] = table
        elif not isinstance(table, dict) or set(table) != {"value", "source"} or not str(table["source"]).strip():
            faults.append((key, "expected a table with 'value' and 'source'"))
        elif key in values or key == "sources":  # fields that no file sets
            faults.append((key, "unknown key"))
        else:
            values[key], sources[key] = table["value"], str(table["source"])
    try:
        profile = structure(make_converter(), values | {"sources": sources}, family, path.name)
        faults += _TOGETHER.get(family, lambda _: [])(profile)
    except TableError as error:
        reported = dict(faults)
        faults += [(key, what) for key, what in error.faults if key not in reported]
    if faults:
        raise TableError(path.name, faults)
    return profile


def _frame_together(frame: Frame) -> list[tuple[str, str]]:
    pair = {"upright_length": frame.upright_length, "joint_width": frame.joint_width}
    missing = [key for key, value in pair.items() if value is None]
    what = "missing: joints of uprights need both their distance and their width"
    return [(missing[0], what)] if len(missing) == 1 else []


# what only several values together show, by family
_TOGETHER: dict[type, Callable[[Any], list[tuple[str, str]]]] = {Frame: _frame_together}

"""The shop's data: frame, strip, fabric and roll profiles, from TOML files to typed records.

A profile file holds a ``title`` and one table per value, ``value`` and ``source``: no number without its owner.
"""

from functools import cache
from pathlib import Path
from typing import Any, NewType, TypeVar

from attrs import field, frozen

from .resources import resource
from .typed import Fault, Inset, Share, Size, TableError, make_converter, nearest, read_toml, structure


@frozen
class Frame:
    """The aluminium frame. All mm. ``reveal`` None: the two setbacks that meet. Shadows matter on lit structures."""

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
    sources: dict[str, str] = field(factory=dict, eq=False)


@frozen
class Strip:
    """The edge strip and how it is sewn. All mm."""

    name: str
    title: str
    width: Size  # cloth that lies on the strip and does not stretch
    thickness: Size
    turn_in: Inset  # cloth that the sewing folds round or under the strip
    gap: Inset  # left free at a panel corner, each side
    sources: dict[str, str] = field(factory=dict, eq=False)


@frozen
class Fabric:
    """The cloth. ``across`` and ``along`` are the roll's axes; change is signed, shrink negative (ISO 5077's sign)."""

    name: str
    title: str
    stretch_across: Share
    stretch_along: Share
    change_across: Share
    change_along: Share
    seam_allowance: Inset
    sewing_tolerance: Inset
    safe: Inset  # how far text keeps from a fold line
    seam_clearance: Inset  # how far text keeps from a seam
    may_turn: bool  # False: nap or sheen shows a turned panel
    sources: dict[str, str] = field(factory=dict, eq=False)


@frozen
class Roll:
    """What the printer takes. All mm."""

    name: str
    title: str
    printable_width: Size
    bleed: Inset
    sources: dict[str, str] = field(factory=dict, eq=False)


Profile = TypeVar("Profile", Frame, Strip, Fabric, Roll)
FrameName = NewType("FrameName", str)
StripName = NewType("StripName", str)
FabricName = NewType("FabricName", str)
RollName = NewType("RollName", str)
NAME_TYPES = {"frame": FrameName, "strip": StripName, "fabric": FabricName, "roll": RollName}
FAMILIES: dict[str, type] = {"frame": Frame, "strip": Strip, "fabric": Fabric, "roll": Roll}


def names(family: str) -> list[str]:
    """Names of the profiles of a family ("frame", "strip", "fabric", "roll"), sorted."""
    return sorted(path.stem for path in (resource("profiles") / family).glob("*.toml"))


def known(family: str, name: object) -> str:
    """``name`` if the family has such a profile. Raises `Fault` that names the nearest."""
    if not isinstance(name, str) or name not in names(family):
        raise Fault(f"no {family} profile named {name!r}" + nearest(str(name), names(family)))
    return name


@cache
def load(family: type[Profile], name: str) -> Profile:
    """The profile ``name``. Raises `TableError` with every fault of its file, or if there is none of that name."""
    folder = next(key for key, cls in FAMILIES.items() if cls is family)
    try:
        known(folder, name)
    except Fault as fault:
        raise TableError(folder, [("", str(fault))]) from None
    return read(family, resource("profiles") / folder / f"{name}.toml")


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
    except TableError as error:
        reported = dict(faults)
        faults += [(key, what) for key, what in error.faults if key not in reported]
    if faults:
        raise TableError(path.name, faults)
    return profile

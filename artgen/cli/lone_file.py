"""An order for one file that came without one: a wall of one panel, its frame as large as the user says.

Takes the file, its frame's size and names of profiles; gives the order, its sizing, and in words what was assumed.
"""

from collections.abc import Mapping
from pathlib import Path

from ..order import Order, from_tables
from ..sizing import Sizing, size_order
from ..structure.kinds import KINDS
from ..typed import MOST_TITLE, TableError
from ..units import mm_text
from ..words import words

PROFILES = ("frame", "strip", "fabric", "roll")


def lone_order(
    file: Path, width: str | None, height: str | None, named: Mapping[str, str | None]
) -> tuple[Order, Sizing, tuple[str, ...]]:
    """Raises `TableError` with every fault, each with the option that it is in."""
    faults = [
        (f"--{name}", "is missing: a file without an order needs the frame's width and height")
        for name, value in (("width", width), ("height", height))
        if value is None
    ]
    if not file.is_file():
        what = (
            "is a folder; with --width and --height one file is checked" if file.is_dir() else "there is no such file"
        )
        faults.append((str(file), what))
    if faults:
        raise TableError("check", faults)
    name = file.stem[:MOST_TITLE] or file.name[:MOST_TITLE]
    tables = {
        "schema": 1,
        "name": name,
        "defaults": {key: value for key, value in named.items() if value is not None},
        "structure": [{"name": name, "kind": "wall", "width": width, "height": height}],
        "art": [{"panel": 1, "file": file.name}],
    }
    try:
        order = from_tables(tables, KINDS, file.resolve().parent, "check")
        sizing = size_order(order, KINDS)
    except TableError as error:
        raise TableError("check", [(_option(path), what) for path, what in error.faults]) from None
    return order, sizing, _assumed(order, sizing, named)


def _option(path: str) -> str:
    """The option that a fault of the made-up order comes from."""
    last = path.rpartition(", ")[2]
    return f"--{last}" if last in ("width", "height", *PROFILES) else path


def _assumed(order: Order, sizing: Sizing, named: Mapping[str, str | None]) -> tuple[str, ...]:
    say = words(order.language)
    settings = order.structures[0].settings
    x, _, z = sizing.structures[0].overall
    taken = [(key, getattr(settings, key)) for key in PROFILES]
    chosen = ", ".join(say(f"alone.{key}", name=name) for key, name in taken)
    found = [say("alone.panel", size=f"{mm_text(x)} × {mm_text(z)}"), say("alone.profiles", profiles=chosen)]
    return (*found, say("alone.reader", distance=mm_text(settings.reading_distance)))

"""What a kind is: a name, the keys that it takes in an order, and a function that makes faces of them."""

from collections.abc import Callable, Mapping
from typing import Any, Literal

from attrs import frozen

from ...order import BayRow
from ..shape import Shape

# Rows of bays by face name, top row first; a face without bays is not in it.
BayRows = Mapping[str, tuple[BayRow, ...]]


@frozen
class Flag:
    """A size that `artgen new` takes as ``--name``. ``default``: what it writes when no flag is given; several where the
    flag may be repeated."""

    name: str
    help: str
    default: str | tuple[str, ...]
    what: Literal["length", "count", "angle"] = "length"


@frozen
class Form:
    """One way of giving a kind's sizes: the ``flags`` of `artgen new`, and the TOML ``lines`` that it writes for them, with
    ``{name}`` for each."""

    flags: tuple[Flag, ...]
    lines: str


@frozen
class Kind:
    """``keys`` = attrs class of the kind's own keys; ``faces(keys, depth, bays)`` = the shape, ``depth`` in mm being the
    frame profile's. It raises `artgen.typed.Faults` where keys contradict one another. ``forms``: the ways of giving its
    sizes, the usual one first; ``front_face`` names the face that bare ``bays`` split (None: the kind has no such face)."""

    name: str
    title: str
    keys: type
    faces: Callable[[Any, float, BayRows], Shape]
    forms: tuple[Form, ...]
    front_face: str | None = None
    hung: bool = False


def span(rows: tuple[BayRow, ...] | None) -> tuple[float | None, float | None]:
    """(width, height) of a face as its bays give it; None where they don't say."""
    if not rows:
        return None, None
    width = next((float(sum(row.widths)) for row in rows if row.widths), None)
    heights = [row.height for row in rows]
    return width, None if None in heights else float(sum(height for height in heights if height is not None))


def both_sides(front: str, back: str, bays: BayRows) -> list[tuple[str, str]]:
    """Faults of two sides of one row of frames, of which only one is split into bays."""
    given = [name for name in (front, back) if name in bays]
    if len(given) != 1:
        return []
    other = back if given[0] == front else front
    return [("bays", f"the frames have two sides, so both need bays: add bays.{other} beside bays.{given[0]}")]

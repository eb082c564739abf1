"""What a kind is: a name, the keys that it takes in an order, and a function that makes faces of them."""

from collections.abc import Callable, Mapping
from typing import Any

from attrs import frozen

from ..shape import Shape

# Widths of bays by face name, left to right; a face without bays is not in it.
BayWidths = Mapping[str, tuple[float, ...]]


@frozen
class Kind:
    """``keys`` = attrs class of the kind's own keys; ``faces(keys, depth, bays)`` = the shape, ``depth`` in mm being the
    frame profile's. It raises `artgen.typed.Faults` where keys contradict one another. ``lines`` = the TOML lines that
    `artgen new` writes for it, with ``{key}`` for each of ``sizes``; ``front_face`` names the face that bare ``bays`` split
    (None: the kind has no such face)."""

    name: str
    title: str
    keys: type
    faces: Callable[[Any, float, BayWidths], Shape]
    sizes: tuple[str, ...]
    lines: str
    front_face: str | None = None
    hung: bool = False

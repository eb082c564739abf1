"""The table of kinds. A new kind is one file beside this one and one line here."""

from . import box, hung_cube, wall
from .kind import Kind

KINDS: dict[str, Kind] = {kind.name: kind for kind in (box.KIND, wall.KIND, hung_cube.KIND)}

__all__ = ["KINDS", "Kind"]

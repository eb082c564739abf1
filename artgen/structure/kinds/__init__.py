"""The table of kinds. A new kind is one file beside this one and one line here."""

from . import box, column, custom, hung_cube, run, wall
from .kind import Kind

KINDS: dict[str, Kind] = {kind.KIND.name: kind.KIND for kind in (box, wall, hung_cube, column, run, custom)}

__all__ = ["KINDS", "Kind"]

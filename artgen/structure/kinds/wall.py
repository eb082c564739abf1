"""`wall`: one upright side, or two back to back, a frame's depth apart."""

from typing import Literal

from attrs import frozen

from ...typed import Faults, Size
from ..shape import Face, Shape
from .kind import BayWidths, Kind


@frozen
class WallKeys:
    """Frame sizes. ``width`` may be left out where bays give it; ``depth`` defaults to the frame profile's."""

    height: Size
    width: Size | None = None
    depth: Size | None = None
    faces: Literal[1, 2] = 1


def faces(keys: WallKeys, depth: float, bays: BayWidths) -> Shape:
    widths = [sum(widths) for widths in bays.values()]
    if keys.width is None and not widths:
        raise Faults([("width", "missing (a wall needs a width, or bays whose widths add up to it)")])
    if keys.faces == 2 and len(bays) == 1:
        given = next(iter(bays))
        other = "back" if given == "front" else "front"
        raise Faults([("bays", f"a wall of two sides needs them for both: add bays.{other} beside bays.{given}")])
    w = keys.width if keys.width is not None else widths[0]
    h, d = keys.height, keys.depth if keys.depth is not None else depth
    sides = [Face("front", ((0.0, 0.0, 0.0), (w, 0.0, 0.0), (w, 0.0, h), (0.0, 0.0, h)))]
    if keys.faces == 2:
        sides.append(Face("back", ((w, d, 0.0), (0.0, d, 0.0), (0.0, d, h), (w, d, h))))
    return Shape(tuple(sides), numbering="along", depth=d)


KIND = Kind(
    name="wall",
    title="wall",
    keys=WallKeys,
    faces=faces,
    sizes=("width", "height"),
    lines="""\
width = "{width}"      # outer edge to outer edge of the metal
height = "{height}"     # of the metal alone, without feet
faces = 1              # 2 = dressed on both sides
# bays.front = ["1000 mm", "1000 mm"]   # frames side by side, left to right as one looks at them, instead of width
# bays.back = ["1000 mm", "1000 mm"]    # where faces = 2
""",
    front_face="front",
)

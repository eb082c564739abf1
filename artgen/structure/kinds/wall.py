"""`wall`: one upright side, or two back to back, a frame's depth apart."""

from typing import Literal

from attrs import frozen

from ...typed import Faults, Size
from ..shape import Face, Shape
from .kind import BayRows, Flag, Form, Kind, both_sides, span


@frozen
class WallKeys:
    """Frame sizes. ``width`` and ``height`` may be left out where bays give them; ``depth`` defaults to the frame profile's."""

    height: Size | None = None
    width: Size | None = None
    depth: Size | None = None
    faces: Literal[1, 2] = 1


def faces(keys: WallKeys, depth: float, bays: BayRows) -> Shape:
    spans = [span(rows) for rows in bays.values()]
    w = keys.width if keys.width is not None else next((s[0] for s in spans if s[0] is not None), None)
    h = keys.height if keys.height is not None else next((s[1] for s in spans if s[1] is not None), None)
    wrong = both_sides("front", "back", bays) if keys.faces == 2 else []
    if w is None:
        wrong.append(("width", "missing (a wall needs a width, or bays whose widths add up to it)"))
    if h is None:
        wrong.append(("height", "missing (a wall needs a height, or rows of bays whose heights add up to it)"))
    if wrong or w is None or h is None:
        raise Faults(wrong)
    d = keys.depth if keys.depth is not None else depth
    front = ((0.0, 0.0, 0.0), (w, 0.0, 0.0), (w, 0.0, h), (0.0, 0.0, h))
    back = ((w, d, 0.0), (0.0, d, 0.0), (0.0, d, h), (w, d, h))
    if keys.faces == 1:
        return Shape((Face("front", front),), numbering="along", bare=(back,))
    return Shape((Face("front", front), Face("back", back)), numbering="along")


KIND = Kind(
    name="wall",
    title="wall",
    keys=WallKeys,
    faces=faces,
    forms=(
        Form(
            flags=(
                Flag("width", "outer width of the metal", "1000 mm"),
                Flag("height", "height of the metal", "2400 mm"),
            ),
            lines="""\
width = {width}      # outer edge to outer edge of the metal
height = {height}     # of the metal alone, without feet
faces = 1              # 2 = dressed on both sides
# bays.front = ["1000 mm", "1000 mm"]   # frames side by side, left to right as one looks at them, instead of width
# bays.front = [["1 m", "1 m"], ["2 m"]] # rows of them, the top row first; a row may be {{ height = "1 m", widths = ["2 m"] }}
# bays.back = ["1000 mm", "1000 mm"]    # where faces = 2
""",
        ),
    ),
    front_face="front",
)

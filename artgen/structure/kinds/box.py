"""`box`: four upright sides, a top and a bottom, any of which may be left out."""

from typing import Literal

from attrs import frozen

from ...typed import Faults, Size
from ..shape import Face, Shape
from .kind import BayWidths, Kind

Side = Literal["front", "right", "back", "left", "top", "bottom"]


@frozen
class BoxKeys:
    """Frame sizes: width along x, depth along y."""

    width: Size
    depth: Size
    height: Size
    omit: tuple[Side, ...] = ()


def faces(keys: BoxKeys, depth: float, bays: BayWidths) -> Shape:
    w, d, h = keys.width, keys.depth, keys.height
    a, b, c, e = (0.0, 0.0, 0.0), (w, 0.0, 0.0), (w, d, 0.0), (0.0, d, 0.0)
    a2, b2, c2, e2 = (0.0, 0.0, h), (w, 0.0, h), (w, d, h), (0.0, d, h)
    sides = (
        Face("front", (a, b, b2, a2)),
        Face("right", (b, c, c2, b2)),
        Face("back", (c, e, e2, c2)),
        Face("left", (e, a, a2, e2)),
        Face("top", (a2, b2, c2, e2)),
        Face("bottom", (e, c, b, a)),
    )
    kept = tuple(face for face in sides if face.name not in keys.omit)
    if not kept:
        raise Faults([("omit", "leaves no face at all")])
    return Shape(kept)


KIND = Kind(
    name="box",
    title="box",
    keys=BoxKeys,
    faces=faces,
    sizes=("width", "depth", "height"),
    lines="""\
width = "{width}"      # outer edge to outer edge of the metal, seen from the front
depth = "{depth}"      # front to back
height = "{height}"     # of the metal alone, without feet
omit = ["bottom"]      # faces without a panel: front, right, back, left, top, bottom
""",
    front_face="front",
)

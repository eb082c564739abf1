"""`box`: four upright sides, a top and a bottom, any of which may be left out."""

from typing import Literal

from attrs import frozen

from ...typed import Faults, Size
from ..shape import Face, Shape
from .kind import BayRows, Flag, Form, Kind, span

Side = Literal["front", "right", "back", "left", "top", "bottom"]


@frozen
class BoxKeys:
    """Frame sizes: width along x, depth along y. Each may be left out where bays give it."""

    width: Size | None = None
    depth: Size | None = None
    height: Size | None = None
    omit: tuple[Side, ...] = ()


def faces(keys: BoxKeys, depth: float, bays: BayRows) -> Shape:
    w, d, h = _sizes(keys, bays)
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


_SPANS: dict[str, tuple[str, str]] = {  # what width and height of each side are
    "front": ("width", "height"),
    "right": ("depth", "height"),
    "back": ("width", "height"),
    "left": ("depth", "height"),
    "top": ("width", "depth"),
    "bottom": ("width", "depth"),
}


def _sizes(keys: BoxKeys, bays: BayRows) -> tuple[float, float, float]:
    sizes: dict[str, float | None] = {"width": keys.width, "depth": keys.depth, "height": keys.height}
    for side, names in _SPANS.items():
        for name, length in zip(names, span(bays.get(side)), strict=True):
            if sizes[name] is None:
                sizes[name] = length
    w, d, h = sizes["width"], sizes["depth"], sizes["height"]
    if w is None or d is None or h is None:
        raise Faults([(name, "missing (bays may give it instead)") for name, length in sizes.items() if length is None])
    return w, d, h


KIND = Kind(
    name="box",
    title="box",
    keys=BoxKeys,
    faces=faces,
    forms=(
        Form(
            flags=(
                Flag("width", "outer width of the metal", "1000 mm"),
                Flag("depth", "outer depth", "1000 mm"),
                Flag("height", "height of the metal", "2400 mm"),
            ),
            lines="""\
width = {width}      # outer edge to outer edge of the metal, seen from the front
depth = {depth}      # front to back
height = {height}     # of the metal alone, without feet
omit = ["bottom"]      # faces without a panel: front, right, back, left, top, bottom
# bays.front = [["500 mm", "500 mm"], ["1000 mm"]]   # frames of one side, the top row first; bays.right = … for another
""",
        ),
    ),
    front_face="front",
)

"""Axonometry with the art on it: a sized structure, its panels' pictures and a viewpoint in, RGB pixels out.

Every face that is seen gets its art where the cloth shows, its metal round it in light grey, and a soft shade by the
way it looks. The projection is parallel, so each panel's picture comes to lie by one affine map: picture pixels → sewn
mm → space → picture plane → pixels. Pixels count from the upper left, x right, y down.
"""

from collections.abc import Mapping, Sequence
from math import ceil, floor, hypot

import numpy as np
from attrs import field, frozen
from PIL import Image, ImageDraw, ImageFilter
from shapely import MultiPoint

from ..sizing.outline import bounds
from ..sizing.panel import Panel, SizedStructure
from ..structure.bays import Bay
from ..structure.shape import Vertex, normal
from ..structure.vec import Vec
from ..structure.view import View
from ..survey import Picture

Pixel = tuple[float, float]
Colour = tuple[int, int, int]

_FINE = 2  # the canvas is drawn this many times larger, then reduced
_MARGIN = 0.02  # of the larger side, around everything
_CABLE = 0.22  # how much of a hung structure's height is left free over it for its cable
_DARKEST = 0.82
_METAL: Colour = (214, 216, 218)
_SIDE_METAL: Colour = (196, 198, 201)
_OUTLINE: Colour = (138, 140, 143)
_NO_ART: Colour = (240, 240, 240)
_HATCH: Colour = (208, 208, 208)
_CLOTH: Colour = (252, 252, 252)
_SHADOW = 70  # of 255, under the middle of what stands


@frozen
class Axonometry:
    """RGB rows from the top. ``per_mm`` = pixels a mm of the picture plane; ``left``, ``top`` = the plane's place of the
    upper left pixel corner, mm."""

    width: int
    height: int
    rgb: bytes = field(repr=False)
    view: View
    per_mm: float
    left: float
    top: float

    def at(self, point: Vertex) -> Pixel:
        """Where a point in space stands in the picture."""
        x, y = self.view.project(point)
        return (x - self.left) * self.per_mm, (self.top - y) * self.per_mm


@frozen
class _Frame:
    """The part of the picture plane that is shown."""

    x0: float
    y0: float
    x1: float
    y1: float


def shade(outline: Sequence[Vertex], view: View) -> float:
    """How bright a face is, 0.82 to 1.0: the light comes over the viewer's left shoulder."""
    right, up, toward = view.axes()
    light = 0.72 * toward + 0.55 * up - 0.42 * right
    facing = float(np.dot(normal(tuple(outline)), light / np.linalg.norm(light)))
    return _DARKEST + (1.0 - _DARKEST) * max(0.0, min(1.0, facing))


def axonometry(
    structure: SizedStructure, pictures: Mapping[int, Picture], view: View, width: int, height: int
) -> Axonometry:
    """The structure as large as fits ``width`` × ``height`` pixels, on white; the picture is cut to what is shown."""
    shown = _shown(structure, view)
    per_mm = min(width / (shown.x1 - shown.x0), height / (shown.y1 - shown.y0))
    w, h = max(1, floor((shown.x1 - shown.x0) * per_mm)), max(1, floor((shown.y1 - shown.y0) * per_mm))
    canvas = _Canvas(w, h, view, per_mm, shown)
    if not structure.hung:
        canvas.shadow(_ground(structure))
    panels = {panel.number: panel for panel in structure.panels}
    for number, bay, outline in _in_order(structure, view):
        if bay is None:
            canvas.metal(outline, _SIDE_METAL)
        elif number in panels:
            canvas.metal(outline, _METAL)
            canvas.cloth(panels[number], pictures.get(number))
        else:
            canvas.opening(outline)
    rgb = canvas.image.reduce(_FINE).tobytes()
    return Axonometry(w, h, rgb, view, per_mm, shown.x0, shown.y1)


def _in_order(structure: SizedStructure, view: View) -> list[tuple[int, Bay | None, tuple[Vertex, ...]]]:
    """(number, bay, outline) of what is turned to the viewer, far ones first; the frames' own sides have no bay."""
    found: list[tuple[int, Bay | None, tuple[Vertex, ...]]] = [
        (number, bay, bay.outline) for number, bay in zip(structure.numbers, structure.bays, strict=True)
    ]
    found += [(0, None, outline) for outline in (*_sides(structure), *structure.bare)]
    seen = [item for item in found if view.sees(item[2])]
    return sorted(seen, key=lambda item: (view.depth(item[2]), item[1] is not None))


def _sides(structure: SizedStructure) -> list[tuple[Vertex, ...]]:
    """The frames' depth at edges that meet nothing, so that a wall has a thickness."""
    depth = {panel.number: panel.frame_profile.depth for panel in structure.panels}
    found = []
    for number, bay in zip(structure.numbers, structure.bays, strict=True):
        back = -np.array(bay.plane.normal) * depth.get(number, 0.0)
        for edge, met in enumerate(bay.neighbours):
            if met or not back.any():
                continue
            a, b = (np.asarray(bay.outline[(edge + i) % len(bay.outline)]) for i in (0, 1))
            found.append(tuple(_vertex(p) for p in (b, a, a + back, b + back)))
    return found


def _vertex(point: Vec) -> Vertex:
    return float(point[0]), float(point[1]), float(point[2])


def _ground(structure: SizedStructure) -> tuple[Vertex, ...]:
    """What stands, seen from above, on the floor and a little wider."""
    points = [(x, y) for bay in structure.bays for x, y, _ in bay.outline]
    points += [(x, y) for outline in _sides(structure) for x, y, _ in outline]
    wider = 0.03 * max(structure.overall)
    ring = MultiPoint(points).convex_hull.buffer(wider).exterior.coords[:-1]
    return tuple((float(x), float(y), -structure.lift) for x, y in ring)


def _shown(structure: SizedStructure, view: View) -> _Frame:
    points = [vertex for bay in structure.bays for vertex in bay.outline]
    points += [vertex for outline in _sides(structure) for vertex in outline]
    if structure.hung:
        x, y, z = max(points, key=lambda vertex: vertex[2])
        points.append((x, y, z + _CABLE * structure.overall[2]))
    else:
        points += _ground(structure)
    flat = np.array([view.project(point) for point in points])
    (x0, y0), (x1, y1) = flat.min(axis=0), flat.max(axis=0)
    margin = _MARGIN * max(x1 - x0, y1 - y0)
    return _Frame(float(x0 - margin), float(y0 - margin), float(x1 + margin), float(y1 + margin))


class _Canvas:
    """The picture in the making, ``_FINE`` times as large."""

    def __init__(self, width: int, height: int, view: View, per_mm: float, shown: _Frame) -> None:
        self.image = Image.new("RGB", (width * _FINE, height * _FINE), (255, 255, 255))
        self.view, self.k, self.shown = view, per_mm * _FINE, shown

    def at(self, point: Vertex) -> Pixel:
        x, y = self.view.project(point)
        return (x - self.shown.x0) * self.k, (self.shown.y1 - y) * self.k

    def shadow(self, outline: Sequence[Vertex]) -> None:
        mask = Image.new("L", self.image.size)
        ImageDraw.Draw(mask).polygon([self.at(point) for point in outline], fill=_SHADOW)
        soft = mask.filter(ImageFilter.GaussianBlur(max(self.image.size) * 0.006))
        self.image.paste((0, 0, 0), (0, 0), soft)

    def metal(self, outline: Sequence[Vertex], colour: Colour) -> None:
        ring = [self.at(point) for point in outline]
        bright = shade(outline, self.view)
        self._fill(ring, tuple(round(part * bright) for part in colour))
        self._line(ring, 1)

    def opening(self, outline: Sequence[Vertex]) -> None:
        """A bay without a panel: its frame's outline alone."""
        self._line([self.at(point) for point in outline], 2)

    def cloth(self, panel: Panel, picture: Picture | None) -> None:
        """The panel's art (plain cloth, or a hatch where art is still to come) inside its fold lines."""
        place = self._sewn_to_canvas(panel)
        ring = [(float(x), float(y)) for x, y in np.array([[x, y, 1.0] for x, y in panel.visible]) @ place.T]
        bright = shade(panel.bay.outline, self.view)
        if picture is None:
            self._fill(ring, tuple(round(part * bright) for part in (_CLOTH if panel.blank else _NO_ART)))
            if not panel.blank:
                self._hatched(ring)
            return
        x0, y0, x1, y1 = _box(ring, self.image.size)
        if x1 <= x0 or y1 <= y0:
            return
        warped = _warped(panel, picture, place, (x0, y0, x1, y1))
        self.image.paste(warped.point(lambda value: round(value * bright)), (x0, y0), _mask(ring, (x0, y0, x1, y1)))

    def _sewn_to_canvas(self, panel: Panel) -> Vec:
        """2 × 3: sewn (x, y, 1) → canvas pixels."""
        origin, x, y = (np.asarray(vector) for vector in panel.to_space)
        right, up, _ = self.view.axes()
        k = self.k
        return np.array(
            [
                [k * (x @ right), k * (y @ right), k * (origin @ right - self.shown.x0)],
                [-k * (x @ up), -k * (y @ up), k * (self.shown.y1 - origin @ up)],
            ]
        )

    def _fill(self, ring: Sequence[Pixel], colour: tuple[int, ...]) -> None:
        box = _box(ring, self.image.size)
        if box[2] > box[0] and box[3] > box[1]:
            self.image.paste(colour, box, _mask(ring, box))

    def _line(self, ring: Sequence[Pixel], width: int) -> None:
        points = [(x - 0.5, y - 0.5) for x, y in (*ring, ring[0])]
        ImageDraw.Draw(self.image).line(points, fill=_OUTLINE, width=width * _FINE // 2 or 1, joint="curve")

    def _hatched(self, ring: Sequence[Pixel]) -> None:
        box = _box(ring, self.image.size)
        x, y = np.meshgrid(np.arange(box[0], box[2]), np.arange(box[1], box[3]))
        step = max(12, round(max(self.image.size) / 60))
        lines = Image.fromarray(np.where((x + y) % step < 2, 255, 0).astype(np.uint8))
        inside = Image.new("L", lines.size)
        inside.paste(lines, (0, 0), _mask(ring, box))
        self.image.paste(_HATCH, (box[0], box[1]), inside)


def _box(ring: Sequence[Pixel], size: tuple[int, int]) -> tuple[int, int, int, int]:
    """Whole pixels that hold the ring, inside the canvas."""
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    return (
        max(0, floor(min(xs)) - 1),
        max(0, floor(min(ys)) - 1),
        min(size[0], ceil(max(xs)) + 1),
        min(size[1], ceil(max(ys)) + 1),
    )


def _mask(ring: Sequence[Pixel], box: tuple[int, int, int, int]) -> Image.Image:
    """How much of each pixel of the box lies in the ring."""
    finer = 2
    mask = Image.new("L", ((box[2] - box[0]) * finer, (box[3] - box[1]) * finer))
    # the library counts places from the middle of a pixel
    points = [((x - box[0]) * finer - 0.5, (y - box[1]) * finer - 0.5) for x, y in ring]
    ImageDraw.Draw(mask).polygon(points, fill=255)
    return mask.reduce(finer)


def _warped(panel: Panel, picture: Picture, place: Vec, box: tuple[int, int, int, int]) -> Image.Image:
    """The picture laid on the box of the canvas: first reduced along its own axes, or fine art would flicker."""
    x0, y0, x1, y1 = bounds(panel.art)
    image = Image.frombytes("RGB", (picture.width, picture.height), picture.rgb)
    across = ceil((x1 - x0) * hypot(place[0, 0], place[1, 0]))
    down = ceil((y1 - y0) * hypot(place[0, 1], place[1, 1]))
    size = (max(1, min(picture.width, across)), max(1, min(picture.height, down)))
    if size != image.size:
        image = image.resize(size, Image.Resampling.BOX if size[0] * 3 < image.width else Image.Resampling.LANCZOS)
    to_sewn = np.array([[(x1 - x0) / size[0], 0.0, x0], [0.0, -(y1 - y0) / size[1], y1], [0.0, 0.0, 1.0]])
    shift = np.array([[1.0, 0.0, -box[0]], [0.0, 1.0, -box[1]], [0.0, 0.0, 1.0]])
    back = np.linalg.inv(shift @ np.vstack([place, [0.0, 0.0, 1.0]]) @ to_sewn)
    # repeated past its borders, or interpolation would mix black into the outermost pixels
    data = tuple(float(v) for v in back[:2].ravel())
    return image.transform((box[2] - box[0], box[3] - box[1]), Image.Transform.AFFINE, data, Image.Resampling.BICUBIC)

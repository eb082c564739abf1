"""Axonometry with the art on it: a sized structure, its panels' pictures and a viewpoint in, RGB pixels out.

Every face that is seen gets its art where the cloth shows, its metal round it in light grey, and a soft shade by the
way it looks; backs, free edges, feet, cables and the shadow on the floor are hinted. The projection is parallel, so each
panel's picture comes to lie by one affine map: picture pixels → sewn mm → space → picture plane → pixels. Pixels count
from the upper left, x right, y down. Memory grows with the canvas and with one panel's picture at a time.
"""

from collections.abc import Mapping, Sequence
from math import ceil, cos, floor, hypot, radians

import numpy as np
from attrs import field, frozen
from PIL import Image, ImageChops, ImageDraw, ImageFilter

from ..sizing.outline import bounds
from ..sizing.panel import Panel, SizedStructure
from ..structure.shape import Vertex, normal
from ..structure.vec import Vec
from ..structure.view import View
from ..survey import Picture
from .painting import painting_order
from .scene import Role, Surface, cables, ground, person, stature, surfaces

Pixel = tuple[float, float]
Colour = tuple[int, int, int]

_FINE = 2  # the canvas is drawn this many times larger, then reduced
_MARGIN = 0.02  # of the larger side, around everything
_CABLE = 0.22  # how much of a hung structure's height is left free over it for its cable
_DARKEST = 0.82
_METAL: dict[Role, Colour] = {
    "panel": (214, 216, 218), "back": (226, 225, 222), "side": (196, 198, 201), "bare": (220, 221, 222), "foot": (120, 122, 125),
}  # fmt: skip
_OUTLINE: Colour = (138, 140, 143)
_STITCH: Colour = (203, 203, 200)  # the fold line on a back
_NO_ART: Colour = (240, 240, 240)
_HATCH: Colour = (208, 208, 208)
_CLOTH: Colour = (252, 252, 252)
_PERSON: Colour = (184, 188, 192)
_CABLE_INK: Colour = (77, 77, 77)
_SOFT, _HARD = 52, 46  # of 255: the wide shadow, and the narrow one where things touch the floor
_SHADOW: Colour = (38, 40, 46)
_COARSE = 8  # shadows are soft: they are drawn this many times smaller
_BESIDE = 0.16  # of the structure's width in the picture: gap to the person


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
    structure: SizedStructure,
    pictures: Mapping[int, Picture],
    view: View,
    width: int,
    height: int,
    eye_height: float | None = None,
) -> Axonometry:
    """The structure as large as fits ``width`` × ``height`` pixels, on white; the picture is cut to what is shown.

    ``eye_height``: a person whose eyes are so many mm over the floor stands beside it; None: nobody, and what hangs is
    shown without the floor.
    """
    shown = _shown(structure, view, eye_height)
    per_mm = min(width / (shown.x1 - shown.x0), height / (shown.y1 - shown.y0))
    w, h = max(1, floor((shown.x1 - shown.x0) * per_mm)), max(1, floor((shown.y1 - shown.y0) * per_mm))
    canvas = _Canvas(w, h, view, per_mm, shown)
    if view.elevation > 0 and (eye_height is not None or not structure.hung):
        canvas.shadow(ground(structure), touches=not structure.hung)
    if eye_height is not None:
        canvas.person(_beside(structure, view, eye_height))
    panels = {panel.number: panel for panel in structure.panels}
    for surface in painting_order(surfaces(structure), view):
        canvas.surface(surface)
        if surface.role == "panel":
            canvas.cloth(panels[surface.number], pictures.get(surface.number))
        elif surface.role == "back":
            canvas.back(panels[surface.number])
    canvas.hold(cables(structure))
    rgb = canvas.image.reduce(_FINE).tobytes()
    return Axonometry(w, h, rgb, view, per_mm, shown.x0, shown.y1)


def _flat(structure: SizedStructure, view: View) -> Vec:
    """Every vertex of the structure in the picture plane, mm."""
    right, up, _ = view.axes()
    points = np.array([vertex for surface in surfaces(structure) for vertex in surface.outline])
    return np.asarray(points @ np.stack([right, up], axis=1))


def _beside(structure: SizedStructure, view: View, eye_height: float) -> tuple[tuple[Pixel, ...], ...]:
    """A person's outlines in the picture plane, mm: right of the structure, on the floor, level with its middle."""
    flat = _flat(structure, view)
    tall = stature(eye_height)
    x0, x1 = float(flat[:, 0].min()), float(flat[:, 0].max())
    x = x1 + _BESIDE * tall + max(_BESIDE * tall, 0.04 * (x1 - x0))
    middle = np.array([vertex for bay in structure.bays for vertex in bay.outline]).mean(axis=0)
    foot = view.project((float(middle[0]), float(middle[1]), -structure.lift))[1]
    upright = cos(radians(view.elevation))
    return tuple(tuple((x + px * tall, foot + py * tall * upright) for px, py in ring) for ring in person())


def _shown(structure: SizedStructure, view: View, eye_height: float | None) -> _Frame:
    points = [(float(x), float(y)) for x, y in _flat(structure, view)]
    for x, y, z in cables(structure):
        points.append(view.project((x, y, z + _CABLE * structure.overall[2])))
    if eye_height is not None or not structure.hung:
        points += [view.project(point) for point in ground(structure)]
    if eye_height is not None:
        points += [point for ring in _beside(structure, view, eye_height) for point in ring]
    (x0, y0), (x1, y1) = np.min(points, axis=0), np.max(points, axis=0)
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

    def shadow(self, outline: Sequence[Vertex], *, touches: bool) -> None:
        """Soft and wide, and where something ``touches`` the floor narrow and darker too."""
        layers = ((1.14, _SOFT, 0.022), (1.0, _HARD, 0.006)) if touches else ((0.9, _HARD, 0.03),)
        self._darken([self.at(point) for point in outline], layers)

    def _darken(self, outline: Sequence[Pixel], layers: Sequence[tuple[float, int, float]]) -> None:
        """Shadows of an outline laid over one another: how much wider, how dark, how blurred over the canvas's side."""
        size = (ceil(self.image.width / _COARSE), ceil(self.image.height / _COARSE))
        ring = np.array(outline) / _COARSE
        middle = ring.mean(axis=0)
        reach = max(size)
        mask = Image.new("L", size)
        for wider, dark, blur in layers:
            part = Image.new("L", size)
            points = [(float(x), float(y)) for x, y in middle + (ring - middle) * wider]
            ImageDraw.Draw(part).polygon(points, fill=dark)
            mask = ImageChops.add(mask, part.filter(ImageFilter.GaussianBlur(reach * blur)))
        self.image.paste(_SHADOW, (0, 0), mask.resize(self.image.size, Image.Resampling.BICUBIC))

    def person(self, outlines: Sequence[Sequence[Pixel]]) -> None:
        """Outlines in mm of the picture plane."""
        if self.view.elevation > 0:
            x0, x1 = (pick(x for outline in outlines for x, _ in outline) for pick in (min, max))
            foot = min(y for outline in outlines for _, y in outline)
            wide, tall = 0.44 * (x1 - x0), 0.44 * (x1 - x0) * self.view.axes()[2][2]
            turns = np.linspace(0.0, 2.0 * np.pi, 32)
            ring = [((x0 + x1) / 2 + wide * np.cos(t), foot + tall * np.sin(t)) for t in turns]
            self._darken(
                [((x - self.shown.x0) * self.k, (self.shown.y1 - y) * self.k) for x, y in ring], ((1.0, _HARD, 0.006),)
            )
        for outline in outlines:
            self._fill([((x - self.shown.x0) * self.k, (self.shown.y1 - y) * self.k) for x, y in outline], _PERSON)

    def surface(self, surface: Surface) -> None:
        """Bare metal or a back in its shade; a bay without a panel: its frame's outline alone."""
        ring = [self.at(point) for point in surface.outline]
        if surface.role == "open":
            self._line(ring, 2)
            return
        bright = shade(surface.outline, self.view)
        self._fill(ring, tuple(round(part * bright) for part in _METAL[surface.role]))
        self._line(ring, 1)

    def back(self, panel: Panel) -> None:
        """A panel from behind: plain cloth, where its edge is sewn told by a line."""
        place = self._sewn_to_canvas(panel)
        ring = [(float(x), float(y)) for x, y in np.array([[x, y, 1.0] for x, y in panel.visible]) @ place.T]
        self._line(ring, 1, _STITCH)

    def hold(self, points: Sequence[Vertex]) -> None:
        """Cables from points straight up, out of the picture."""
        draw = ImageDraw.Draw(self.image)
        wide = max(1, round(max(self.image.size) / 360))
        for x, y in map(self.at, points):
            draw.line([(x, y), (x, 0)], fill=_CABLE_INK, width=wide)
            draw.ellipse([x - 1.6 * wide, y - 1.6 * wide, x + 1.6 * wide, y + 1.6 * wide], fill=_CABLE_INK)

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

    def _line(self, ring: Sequence[Pixel], width: int, colour: Colour = _OUTLINE) -> None:
        points = [(x - 0.5, y - 0.5) for x, y in (*ring, ring[0])]
        ImageDraw.Draw(self.image).line(points, fill=colour, width=width * _FINE // 2 or 1, joint="curve")

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

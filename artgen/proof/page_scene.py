"""A structure as flat elements for the screen's page: where each lies in space, as a browser's 3-D transforms have it.

A browser counts x right, y down, z towards the viewer, in its own pixels; structure mm become that by
(x, y, z) → ``UNIT`` × (x − cx, cz − z, cy − y) about the scene's middle c. An element is a rectangle with its origin at the
upper left; its ``matrix3d`` takes that rectangle to its place. The script turns the whole by azimuth and elevation alone.
"""

from collections.abc import Sequence
from typing import Any

import numpy as np

from ..sizing.outline import bounds
from ..sizing.panel import Panel, SizedStructure
from ..structure.shape import Vertex, plane
from ..structure.vec import Vec
from ..structure.view import View
from .page_panels import down, reading_spot
from .pictures import shade
from .scene import Surface, cables, ground, person, stature, surfaces

_LONGEST = 1400.0  # pixels of the longest side of a scene before it is zoomed
_LIGHT = View(20.0, 20.0)  # the lamp of the room stays where it is while one walks round
_APART = 480.0  # mm from the structure to the person


def scene(structure: SizedStructure, eye_height: float) -> dict[str, Any]:
    """Everything that the script needs of a structure, as plain data."""
    points = np.array([vertex for surface in surfaces(structure) for vertex in surface.outline])
    low, high = points.min(axis=0), points.max(axis=0)
    tall = stature(eye_height)
    floor = -structure.lift
    top = max(float(high[2]), floor + tall)
    middle = np.array([(low[0] + high[0]) / 2, (low[1] + high[1]) / 2, (floor + top) / 2])
    unit = _LONGEST / max(float(np.ptp(points[:, 0])), float(np.ptp(points[:, 1])), top - floor)
    into = _Into(middle, unit)
    beside = (float(high[0]) + _APART, float(low[1]) - 0.2 * _APART, floor)
    panels = {panel.number: panel for panel in structure.panels}
    reach = float(np.hypot(points[:, 0] - middle[0], points[:, 1] - middle[1]).max())
    return {
        "unit": unit,
        "middle": [float(v) for v in middle],
        "reach": reach * unit,
        "radius": max(reach, float(np.hypot(beside[0] - middle[0], beside[1] - middle[1])) + 0.2 * tall) * unit,
        "height": (top - floor) * unit,
        "hung": structure.hung,
        "faces": [
            into.panel(surface, panels[surface.number]) if surface.role == "panel" else into.plain(surface)
            for surface in surfaces(structure)
        ],
        "floor": into.floor(structure, beside),
        "cables": [into.at(point) for point in cables(structure)],
        "person": {"at": into.at(beside), "tall": tall * unit, "rings": [list(map(list, ring)) for ring in person()]},
    }


class _Into:
    """Structure mm to scene pixels."""

    def __init__(self, middle: Vec, unit: float) -> None:
        self.middle, self.unit = middle, unit

    def at(self, point: Vertex) -> list[float]:
        x, y, z = (np.asarray(point) - self.middle) * self.unit
        return [round(float(v), 4) for v in (x, -z, -y)]

    def matrix(self, origin: Vertex, x: Vertex, y: Vertex, n: Vertex) -> list[float]:
        """Column by column: an element's x, y (down) and z axes, and its upper left corner."""

        def way(v: Vertex, sign: float) -> list[float]:
            return [sign * v[0], -sign * v[2], -sign * v[1], 0.0]

        made = [*way(x, 1.0), *way(y, -1.0), *way(n, 1.0), *self.at(origin), 1.0]
        return [round(v, 6) + 0.0 for v in made]

    def plain(self, surface: Surface) -> dict[str, Any]:
        """An element of one colour."""
        lies = plane(surface.outline)
        flat = [lies.place(point) for point in surface.outline]
        x0, y0, x1, y1 = bounds(flat)
        corner = lies.point(x0, y1)
        return {
            "role": surface.role,
            "number": surface.number,
            "matrix": self.matrix(corner, lies.x, lies.y, lies.normal),
            "size": [(x1 - x0) * self.unit, (y1 - y0) * self.unit],
            "ring": self._ring(flat, x0, y1),
            "shade": round(1.0 - shade(surface.outline, _LIGHT), 3),
        }

    def panel(self, surface: Surface, panel: Panel) -> dict[str, Any]:
        """The metal of a panel, and where on it the picture lies that the flat panel shows."""
        origin, x, y = panel.to_space
        x0, _, x1, y1 = bounds(panel.frame)
        _, y0, _, _ = bounds(panel.frame)
        corner = tuple(origin[i] + x0 * x[i] + y1 * y[i] for i in range(3))
        ax0, ay0, ax1, ay1 = bounds(panel.art)
        spot = reading_spot(panel)
        # from the flat panel's page, mm with y down, to this element's pixels
        (ox, oy), (ux, uy), (vx, vy) = (down(spot, point) for point in ((x0, y1), (x0 + 1, y1), (x0, y1 - 1)))
        a, b, c, d = ux - ox, uy - oy, vx - ox, vy - oy
        det = a * d - b * c
        k = self.unit / det
        return {
            "role": "panel",
            "number": panel.number,
            "matrix": self.matrix((corner[0], corner[1], corner[2]), x, y, panel.bay.plane.normal),
            "size": [(x1 - x0) * self.unit, (y1 - y0) * self.unit],
            "ring": self._ring(panel.frame, x0, y1),
            "shade": round(1.0 - shade(surface.outline, _LIGHT), 3),
            "art": [v * self.unit for v in (ax0 - x0, y1 - ay1, ax1 - ax0, ay1 - ay0)],
            "cloth": self._ring(panel.visible, ax0, ay1),
            "bands": [self._ring(band.outline, x0, y1) for band in panel.shadows],
            "page": [d * k, -b * k, -c * k, a * k, (c * oy - d * ox) * k, (b * ox - a * oy) * k],
        }

    def _ring(self, outline: Sequence[Sequence[float]], left: float, top: float) -> list[list[float]]:
        return [[round((x - left) * self.unit, 3), round((top - y) * self.unit, 3)] for x, y in outline]

    def floor(self, structure: SizedStructure, beside: Vertex) -> dict[str, Any]:
        """A round piece of floor, and on it the outline of what stands over it, and where the person stands."""
        ring = ground(structure)
        xs, ys = [p[0] for p in ring], [p[1] for p in ring]
        reach = max(max(xs) - min(xs), max(ys) - min(ys)) * 0.5 + 2500.0
        cx, cy = (max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2
        corner = (cx - reach, cy + reach, ring[0][2])
        return {
            "matrix": self.matrix(corner, (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
            "size": [2 * reach * self.unit] * 2,
            "ring": self._ring([(x, y) for x, y, _ in ring], corner[0], corner[1]),
            "metre": 1000.0 * self.unit,
            "feet": self._ring([beside[:2]], corner[0], corner[1])[0],
        }

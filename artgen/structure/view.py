"""Axonometry: where points in space stand in a picture, and which faces are turned to the viewer.

One parallel projection for every picture: proof, key plan, sheets. Picture coordinates are mm, x right, y up.
"""

from math import cos, radians, sin

import numpy as np
from attrs import frozen

from .shape import Vertex, normal
from .vec import Vec


@frozen
class View:
    """From where one looks: ``azimuth`` degrees anticlockwise from the front (seen from above), ``elevation`` above level."""

    azimuth: float
    elevation: float

    def axes(self) -> tuple[Vec, Vec, Vec]:
        """Unit vectors in space: picture x, picture y, and towards the viewer."""
        a, e = radians(self.azimuth - 90.0), radians(self.elevation)
        toward = np.array([cos(a) * cos(e), sin(a) * cos(e), sin(e)])
        right = np.array([-sin(a), cos(a), 0.0])
        return right, np.cross(toward, right), toward

    def project(self, point: Vertex) -> tuple[float, float]:
        right, up, _ = self.axes()
        p = np.asarray(point)
        return float(p @ right), float(p @ up)

    def sees(self, outline: tuple[Vertex, ...]) -> bool:
        """Whether the outside of a flat face is turned to the viewer."""
        return self.facing(outline) > 1e-9

    def facing(self, outline: tuple[Vertex, ...]) -> float:
        """Cosine between a face's normal and the line of sight: 1 seen square on, 0 edge on, less than 0 from behind."""
        return float(np.dot(normal(outline), self.axes()[2]))

    def depth(self, outline: tuple[Vertex, ...]) -> float:
        """Middle of a face along the line of sight; nearer faces have more."""
        return float(np.asarray(outline).mean(axis=0) @ self.axes()[2])

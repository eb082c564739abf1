"""Axonometry and sight: where points in space stand in a picture, and which faces are seen.

One parallel projection for every picture: proof, key plan, sheets. Picture coordinates are mm, x right, y up.
"""

from math import atan2, cos, degrees, radians, sin

import numpy as np
from attrs import frozen

from .shape import Vec, Vertex, normal


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
        return float(normal(outline) @ self.axes()[2])

    def depth(self, outline: tuple[Vertex, ...]) -> float:
        """Middle of a face along the line of sight; nearer faces have more."""
        return float(np.asarray(outline).mean(axis=0) @ self.axes()[2])


@frozen
class Sight:
    """How a standing reader sees a face. ``height`` = mm from floor to its middle; ``tilt`` = degrees by which it leans: 0
    upright, more than 0 looks up, less looks down; ``seen`` = share of its true height that the reader's eye gets
    (foreshortening; 0 = it can't be seen)."""

    height: float
    tilt: float
    seen: float


def sight(outline: tuple[Vertex, ...], lift: float, eye_height: float, distance: float) -> Sight:
    """Sight of a face by a reader straight in front of its middle, ``distance`` mm away on the floor."""
    n = normal(outline)
    middle = np.asarray(outline).mean(axis=0)
    height = float(middle[2]) + lift
    level = float(np.hypot(n[0], n[1]))
    tilt = degrees(atan2(float(n[2]), level))
    # in the upright plane through the face's normal: the eye stands `distance` out and at eye height
    out, rise = distance, eye_height - height
    toward = (out * level + rise * float(n[2])) / float(np.hypot(out, rise))
    return Sight(height, round(tilt, 6) + 0.0, max(0.0, round(toward, 6)))

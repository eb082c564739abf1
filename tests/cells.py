"""Art of numbered cells, and where each cell must lie in space: reckoned from the metal's outline, not from the package."""

import numpy as np
from shapely import Point, Polygon
from zoo import order

from artgen.checks import Observations
from artgen.job import Job
from artgen.placing import Claims
from artgen.sizing import size_order
from artgen.sizing.panel import Panel
from artgen.structure.kinds import KINDS
from artgen.survey import Picture

CELLS = 4
COLOURS = [
    (230, 25, 75), (60, 180, 75), (255, 225, 25), (0, 130, 200), (245, 130, 48), (145, 30, 180), (70, 240, 240), (240, 50, 230),
    (210, 245, 60), (250, 190, 212), (0, 128, 128), (128, 0, 0), (170, 255, 195), (128, 128, 0), (0, 0, 128), (20, 20, 20),
]  # fmt: skip


def cells(turn: int = 0, pixels: int = 40) -> Picture:
    """4 × 4 cells, numbered along rows from the upper left; ``turn`` shifts the colours for each panel."""
    grid = np.array([COLOURS[(i + turn) % 16] for i in range(16)], np.uint8).reshape(CELLS, CELLS, 3)
    side = CELLS * pixels
    return Picture(side, side, np.kron(grid, np.ones((pixels, pixels, 1), np.uint8)).astype(np.uint8).tobytes())


def colour(number: int, row: int, column: int) -> np.ndarray:
    """What the cell of a panel's art is painted in by `job_of_cells`."""
    return np.array(COLOURS[(row * CELLS + column + 3 * number) % 16], float)


def job_of_cells(body: str, findings=(), pixels: int = 40) -> Job:
    """A checked order whose every panel carries its own cells."""
    made = order(body)
    sizing = size_order(made, KINDS)
    pictures = {panel.number: cells(3 * panel.number, pixels) for panel in sizing.panels}
    return Job(made, sizing, Observations(sizing, Claims(()), {}, ()), tuple(findings), (), pictures)


def axes(panel: Panel) -> tuple[np.ndarray, np.ndarray]:
    """The sewn x and y of a panel in space: upright is world-up laid onto the face (structure +y where it is level), x is to
    its right seen from outside; the sewn frame is that turned back by ``upright_deg``."""
    outline = np.asarray(panel.bay.outline)
    n = np.zeros(3)  # Newell: the area's normal, whatever the outline
    for a, b in zip(outline, np.roll(outline, -1, axis=0), strict=True):
        n += np.cross(a - outline[0], b - outline[0])
    n /= np.linalg.norm(n)
    up = np.array([0.0, 1.0, 0.0]) if abs(n[2]) > np.cos(np.radians(1.0)) else np.array([0.0, 0.0, 1.0])
    up = up - n * (up @ n)
    up /= np.linalg.norm(up)
    right = np.cross(up, n)
    turn = np.radians(panel.upright_deg)
    return right * np.cos(turn) - up * np.sin(turn), up * np.cos(turn) + right * np.sin(turn)


def places(panel: Panel) -> list[tuple[int, int, np.ndarray]]:
    """(row, column, point in space) of every cell's middle that shows: the art page begins at the sewn frame's origin."""
    x, y = axes(panel)
    w, h = (max(p[i] for p in panel.art) for i in (0, 1))
    corner, (fx, fy) = np.asarray(panel.bay.outline[0]), panel.frame[0]
    shows = Polygon(panel.visible).buffer(-0.03 * max(w, h))
    found = []
    for row in range(CELLS):
        for column in range(CELLS):
            sx, sy = (column + 0.5) / CELLS * w, (1 - (row + 0.5) / CELLS) * h
            if shows.contains(Point(sx, sy)):
                found.append((row, column, corner + (sx - fx) * x + (sy - fy) * y))
    return found

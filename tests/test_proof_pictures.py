"""The axonometry against a projection written anew here: vertices within 1 px, art un-mirrored, unturned, on its own face."""

from math import atan2, cos, hypot, pi, radians, sin

import numpy as np
import pytest
from zoo import BOX, COLUMN, HUNG_CUBE, LOWER_CUBE, THREE_BAY_WALL, TWO_SIDED_WALL, WALL, sized

from artgen.job import Picture
from artgen.proof.pictures import Axonometry, axonometry, shade
from artgen.proof.views import shown, unseen, viewpoints
from artgen.sizing import SizedStructure
from artgen.sizing.panel import Panel
from artgen.structure.view import View

CELLS = 4
COLOURS = [
    (230, 25, 75), (60, 180, 75), (255, 225, 25), (0, 130, 200), (245, 130, 48), (145, 30, 180), (70, 240, 240), (240, 50, 230),
    (210, 245, 60), (250, 190, 212), (0, 128, 128), (128, 0, 0), (170, 255, 195), (128, 128, 0), (0, 0, 128), (20, 20, 20),
]  # fmt: skip
BODIES = {
    "box": BOX, "wall": WALL, "two-sided wall": TWO_SIDED_WALL, "bays": THREE_BAY_WALL, "hung cube": HUNG_CUBE,
    "lower cube": LOWER_CUBE, "column": COLUMN,
}  # fmt: skip


def cells(turn: int = 0) -> Picture:
    """4 × 4 cells of 40 px, numbered along rows from the upper left; ``turn`` shifts the colours for each panel."""
    grid = np.array([COLOURS[(i + turn) % 16] for i in range(16)], np.uint8).reshape(CELLS, CELLS, 3)
    return Picture(160, 160, np.kron(grid, np.ones((40, 40, 1), np.uint8)).astype(np.uint8).tobytes())


def plane(view: View, point: tuple[float, float, float]) -> tuple[float, float]:
    """Parallel projection by two turns: the structure turned by −azimuth about z, then tipped by the elevation.

    After the first turn the viewer stands at −y. Picture x is that x; picture y = z cos e + y sin e.
    """
    x, y, z = point
    a, e = radians(-view.azimuth), radians(view.elevation)
    x, y = x * cos(a) - y * sin(a), x * sin(a) + y * cos(a)
    return x, z * cos(e) + y * sin(e)


def expected(seen: Axonometry, view: View, structure: SizedStructure, point: tuple[float, float, float]):
    """Pixels of a point: scaled and shifted by what two far-apart vertices of the picture give."""
    vertices = [v for bay in structure.bays for v in bay.outline]
    low = min(vertices, key=lambda v: plane(view, v))
    x0, y0 = plane(view, low)
    px, py = seen.at(low)
    x, y = plane(view, point)
    return px + (x - x0) * seen.per_mm, py - (y - y0) * seen.per_mm


def pixel(seen: Axonometry, at: tuple[float, float]) -> np.ndarray:
    image = np.frombuffer(seen.rgb, np.uint8).reshape(seen.height, seen.width, 3)
    return image[int(at[1]), int(at[0])].astype(float)


def in_space(panel: Panel, x: float, y: float) -> tuple[float, float, float]:
    """A place of the art, x to the right and y up from its middle in mm, set out from the metal's own outline in space: the
    middle of the metal is the middle of the art where all edges are alike, and the sewn axes run along its edges."""
    outline = np.asarray(panel.bay.outline)
    middle = outline.mean(axis=0)
    if panel.upright_deg == 0:  # the panel stands on an edge: x runs from lower left to lower right
        low = np.argsort(np.round(outline[:, 2], 6), kind="stable")[:2]
        across = outline[low[1]] - outline[low[0]]
        n = np.cross(outline[1] - outline[0], outline[2] - outline[1])
        up = outline[np.argmax(outline[:, 2])][2] - outline[low[0]][2] > 1
        if not up:  # level: upright is structure +y
            xa, ya = np.array([1.0, 0, 0]) * np.sign(n[2]), np.array([0.0, 1, 0])
        else:
            ya = np.array([0.0, 0, 1])
            xa = np.cross(ya, n / np.linalg.norm(n))
        assert abs(abs(across @ xa) - np.linalg.norm(across)) < 1e-6 or not up
    else:  # hung on a tip: seen from outside, upright lies 45° to the right of sewn y (−45°), so sewn y runs up to the left
        n = np.cross(outline[1] - outline[0], outline[2] - outline[1])
        n /= np.linalg.norm(n)
        up = np.array([0.0, 0, 1]) - n * n[2]
        up /= np.linalg.norm(up)
        right = np.cross(up, n)
        assert panel.upright_deg == pytest.approx(-45)
        ya, xa = (up - right) / np.sqrt(2), (up + right) / np.sqrt(2)
    return tuple(middle + x * xa + y * ya)


@pytest.mark.parametrize("name", BODIES)
def test_vertices_stand_where_another_projection_puts_them(name):
    structure = sized(BODIES[name]).structures[0]
    for view in viewpoints(structure):
        seen = axonometry(structure, {}, view, 300, 300)
        for bay in structure.bays:
            for vertex in bay.outline:
                x, y = seen.at(vertex)
                ex, ey = expected(seen, view, structure, vertex)
                assert hypot(x - ex, y - ey) < 1
                assert 0 <= x <= seen.width and 0 <= y <= seen.height


@pytest.mark.parametrize("name", BODIES)
def test_every_cell_of_the_art_lies_on_its_own_face_unmirrored_and_unturned(name):
    structure = sized(BODIES[name]).structures[0]
    pictures = {panel.number: cells(3 * panel.number) for panel in structure.panels}
    checked = set()
    for view in viewpoints(structure):
        seen = axonometry(structure, pictures, view, 440, 440)
        for panel in structure.panels:
            if view.facing(panel.bay.outline) < 0.1:
                continue
            w, h = (max(p[i] for p in panel.art) for i in (0, 1))
            bright = shade(panel.bay.outline, view)
            for row in range(CELLS):
                for column in range(CELLS):
                    x, y = ((column + 0.5) / CELLS - 0.5) * w, (0.5 - (row + 0.5) / CELLS) * h
                    at = expected(seen, view, structure, in_space(panel, x, y))
                    colour = np.array(COLOURS[(row * CELLS + column + 3 * panel.number) % 16]) * bright
                    assert abs(pixel(seen, at) - colour).max() <= 2, (name, panel.number, row, column)
            checked.add(panel.number)
    assert checked == {panel.number for panel in structure.panels} - set(unseen(structure, viewpoints(structure)))


def test_metal_shows_where_the_reveal_is_and_art_inside_the_fold_line():
    structure = sized(WALL).structures[0]
    view = View(0.0, 0.0)  # square on: 3000 × 2400 mm of metal
    white = Picture(10, 10, bytes([255, 0, 0]) * 100)
    seen = axonometry(structure, {1: white}, view, 1400, 1400)
    setback = 6.0  # mm, the default frame's
    for inwards, red in ((setback / 2, False), (setback + 2.5, True)):
        colour = pixel(seen, expected(seen, view, structure, (inwards, 0.0, 1200.0)))
        assert (colour[0] > 150 and colour[1] < 60) == red, (inwards, colour)


def test_shading_keeps_to_its_range_and_differs_between_faces_that_meet():
    structure = sized(BOX).structures[0]
    view = View(28.0, 18.0)
    found = [shade(bay.outline, view) for bay in structure.bays]
    assert all(0.82 <= value <= 1.0 for value in found)
    front, right, top = (found[i] for i in (0, 1, 4))
    assert len({round(front, 2), round(right, 2), round(top, 2)}) == 3


def test_every_upright_side_and_every_side_of_what_hangs_is_seen_well():
    """Normals against the lines of sight by angles alone: an upright side at azimuth t is seen at cos(t − a) cos e."""
    box = sized(BOX).structures[0]
    for panel in box.panels[:4]:
        a, b = panel.bay.outline[:2]
        side = atan2(b[1] - a[1], b[0] - a[0]) * 180 / pi  # a face's lower edge runs at its azimuth from the front
        best = max(cos(radians(side - view.azimuth)) * cos(radians(view.elevation)) for view in viewpoints(box))
        assert best > 0.25
    for body in (HUNG_CUBE, LOWER_CUBE):
        cube = sized(body).structures[0]
        assert unseen(cube, viewpoints(cube)) == []
        assert all(view.elevation < 0 for view in viewpoints(cube))
    assert len(viewpoints(sized(WALL).structures[0])) == 1
    assert len(viewpoints(sized(TWO_SIDED_WALL).structures[0])) == 2


def test_open_bays_show_the_ground_behind_and_blank_ones_plain_cloth():
    body = WALL + "[[structure.panel]]\npanel = 1\nopen = true\n"
    view = View(0.0, 0.0)
    structure = sized(body).structures[0]
    seen = axonometry(structure, {}, view, 300, 300)
    assert pixel(seen, expected(seen, view, structure, (1500.0, 0.0, 1800.0))).min() == 255
    structure = sized(body.replace("open", "blank")).structures[0]
    seen = axonometry(structure, {}, view, 300, 300)
    bare = pixel(seen, expected(seen, view, structure, (1500.0, 0.0, 1800.0)))
    assert bare.min() == bare.max() < 255


INWARD = """
[[structure]]
name = "bay"
kind = "run"
lengths = ["2000 mm", "1500 mm", "1000 mm"]
angles = [-90, -60]
height = "2400 mm"
"""


def test_a_view_in_which_panels_hide_one_another_is_not_chosen():
    """The wings of a run that turns to the reader stand before its first length, seen from their side."""
    structure = sized(INWARD).structures[0]
    from_behind_the_wing, from_the_open_side = (shown(structure, View(azimuth, 18.0)) for azimuth in (60.0, -40.0))
    assert from_behind_the_wing[1] < 0.1 < 0.5 < from_the_open_side[1]
    assert unseen(structure, viewpoints(structure)) == []
    convex = sized(COLUMN).structures[0]
    for panel in convex.panels:  # nothing of a convex shape hides another part of it
        view = View(28.0, 18.0)
        assert max(0.0, shown(convex, view)[panel.number]) == pytest.approx(max(0.0, view.facing(panel.bay.outline)))

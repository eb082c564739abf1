"""The axonometry against a projection written anew here: vertices within 1 px, art un-mirrored, unturned, on its own face."""

from math import atan2, cos, hypot, pi, radians, sin

import numpy as np
import pytest
from cells import colour, job_of_cells, places
from zoo import BOX, COLUMN, HUNG_CUBE, LOWER_CUBE, ORDERS, TWO_SIDED_WALL, WALL, sized

from artgen.proof.pictures import Axonometry, axonometry, shade
from artgen.proof.scene import surfaces
from artgen.proof.views import named_views, shown, unseen, viewpoints
from artgen.sizing import SizedStructure
from artgen.sizing.panel import Panel
from artgen.structure.view import View
from artgen.survey import Picture


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


@pytest.mark.parametrize("name", ORDERS)
def test_vertices_stand_where_another_projection_puts_them(name):
    structure = sized(ORDERS[name]).structures[0]
    for view in viewpoints(structure):
        seen = axonometry(structure, {}, view, 300, 300)
        for bay in structure.bays:
            for vertex in bay.outline:
                x, y = seen.at(vertex)
                ex, ey = expected(seen, view, structure, vertex)
                assert hypot(x - ex, y - ey) < 1
                assert 0 <= x <= seen.width and 0 <= y <= seen.height


@pytest.mark.parametrize("name", ORDERS)
def test_every_cell_of_the_art_lies_on_its_own_face_unmirrored_and_unturned(name):
    """In every picture that is made of a structure of every kind; cells that another surface stands before are left out."""
    job = job_of_cells(ORDERS[name])
    (structure,) = job.sizing.structures
    checked = {panel.number: 0 for panel in structure.panels}
    for view in {*viewpoints(structure), *(one.view for one in named_views(structure))}:
        seen = axonometry(structure, job.pictures, view, 440, 440)
        for panel in structure.panels:
            if view.facing(panel.bay.outline) < 0.1:
                continue
            bright = shade(panel.bay.outline, view)
            for row, column, point in places(panel):
                if not hidden(structure, panel, point, view):
                    wanted = colour(panel.number, row, column) * bright
                    at = expected(seen, view, structure, tuple(point))
                    assert abs(pixel(seen, at) - wanted).max() <= 2, (name, panel.number, row, column)
                    checked[panel.number] += 1
    never = set(unseen(structure, viewpoints(structure)))
    assert all(count for number, count in checked.items() if number not in never), checked


def hidden(structure: SizedStructure, panel: Panel, point: np.ndarray, view: View) -> bool:
    """Whether a ray from the point to the viewer meets any flat surface of the structure (Möller and Trumbore, 1997: each is
    cut into triangles from its first vertex, with signs, so that concave outlines count right)."""
    a, e = radians(view.azimuth - 90), radians(view.elevation)
    ray = np.array([cos(a) * cos(e), sin(a) * cos(e), sin(e)])
    for surface in surfaces(structure):
        outline = np.asarray(surface.outline)
        if surface.number == panel.number and surface.role == "panel":
            continue
        hits = 0.0
        for i in range(1, len(outline) - 1):
            u, v = outline[i] - outline[0], outline[i + 1] - outline[0]
            det = u @ np.cross(ray, v)
            if abs(det) < 1e-9:
                continue
            off = point - outline[0]
            s, q = (off @ np.cross(ray, v)) / det, np.cross(off, u)
            t, far = (ray @ q) / det, (v @ q) / det
            if s >= -0.01 and t >= -0.01 and s + t <= 1.01 and far > 1.0:
                hits += 1
        if hits:
            return True
    return False


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

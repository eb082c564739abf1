"""Art of numbered cells over chains of panels: every panel shows the cells that its place in the chain calls for.

The chain is unfolded here in space: each panel is turned about the metal edge that it shares with the one before, by the
angle between their normals (Rodrigues' formula), until all lie in the first one's plane. Nothing of the wrap's own
unfolding is used; running on, a reveal is the metal between two fold lines, so the turned metal itself is the plane.
"""

from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
import zoo
from PIL import Image
from shapely.geometry import Polygon
from zoo import normal

from artgen.art import FileFacts, read
from artgen.order import Wrap as Asked
from artgen.order import load
from artgen.placing import claim
from artgen.placing import lay as lay_page
from artgen.sizing import Panel, size_order
from artgen.sizing.panel import apply
from artgen.sizing.wraps import lay
from artgen.structure.kinds import KINDS
from artgen.structure.shape import Face, Shape
from artgen.survey import Preview, preview

CELL = 100.0  # mm
STEP = 5.0  # mm a pixel of the test art
CHAINS = [
    ("box", (1, 2, 3, 4)),
    ("box", (3, 4, 1, 2)),  # a closed chain begun elsewhere
    ("box", (4, 3, 2, 1)),  # and the other way round
    ("box", (1, 5, 3)),  # over the top
    ("hung cube", (1, 2, 4, 5)),
    ("column", (2, 3, 4, 5, 1)),
    ("column with a notch", (1, 2, 3, 4, 5, 6)),
    ("run", (1, 2, 3)),
    ("two-sided run", (4, 5, 6)),
    ("wedge", (2, 1, 4)),
    ("stacked bays", (1, 3, 4)),  # down a side, over a joint of two bays with one
    ("stacked bays", (2, 3, 6, 7, 8)),  # down, round the corner, along, down
]


def unfolded(panels: list[Panel], behind: str) -> list[tuple[np.ndarray, np.ndarray]]:
    """Turn and shift that take each panel from its place in space into the first one's plane."""
    found = [(np.eye(3), np.zeros(3))]
    for here, there in pairwise(panels):
        index, met = next((i, m) for i, e in enumerate(here.edges) for m in e.met if m.panel == there.number)
        turn, shift = found[-1]
        a, b = (np.asarray(here.bay.outline[(index + i) % len(here.bay.outline)]) for i in (0, 1))
        axis = (b - a) / np.linalg.norm(b - a)
        n, m = normal(here.bay.outline), normal(there.bay.outline)
        angle = -np.arctan2(float(np.cross(n, m) @ axis), float(n @ m))  # turns m back onto n
        k = np.array([[0, -axis[2], axis[1]], [axis[2], 0, -axis[0]], [-axis[1], axis[0], 0]])
        spin = np.eye(3) + np.sin(angle) * k + (1 - np.cos(angle)) * k @ k
        moved = a - spin @ a
        if behind == "closed":  # both fold lines onto one: back by the two setbacks
            moved = moved - np.cross(axis, n) * (here.edges[index].setback + there.edges[met.edge].setback)
        found.append((turn @ spin, turn @ moved + shift))
    return found


def in_plane(panels: list[Panel], behind: str) -> tuple[list[list[np.ndarray]], np.ndarray]:
    """Matrix and shift, sewn frame → plane, for each panel; and the lower left of all art sizes."""
    origin, x, y = (np.asarray(v) for v in panels[0].to_space)
    maps = []
    for panel, (turn, shift) in zip(panels, unfolded(panels, behind), strict=True):
        o, u, v = (np.asarray(w) for w in panel.to_space)
        columns = [np.array([(turn @ w) @ x, (turn @ w) @ y]) for w in (u, v)]
        at = turn @ o + shift - origin
        maps.append([np.stack(columns, axis=1), np.array([at @ x, at @ y])])
    corners = [m @ np.array(p) + t for panel, (m, t) in zip(panels, maps, strict=True) for p in panel.art]
    return maps, np.min(corners, axis=0)


def all_chains(panels: dict[int, Panel], longest: int) -> list[tuple[int, ...]]:
    meets = {n: {m.panel for e in p.edges for m in e.met} for n, p in panels.items()}
    found = chains = [(n,) for n in panels]
    for _ in range(longest - 1):
        chains = [(*chain, n) for chain in chains for n in sorted(meets[chain[-1]] - set(chain))]
        found = found + chains
    return [chain for chain in found if len(chain) > 1]


@pytest.mark.parametrize("behind", ["on", "closed"])
@pytest.mark.parametrize("name", [*zoo.ORDERS, *zoo.BARE])
def test_every_chain_lies_as_it_unfolds_in_space(name: str, behind: str) -> None:
    panels = {p.number: p for p in zoo.all_sized()[name].panels}
    for chain in all_chains(panels, 4):
        wrap, faults = lay(Asked(chain, "a.pdf", behind=behind), panels)  # type: ignore[arg-type]
        if wrap is None:  # refused where panels would lie on one another: they do
            assert "lie on one another" in faults[0][1]
            assert overlapping([panels[n] for n in chain])
            continue
        maps, low = in_plane([panels[n] for n in chain], behind)
        for number, place, (m, t) in zip(chain, wrap.places, maps, strict=True):
            for point in panels[number].visible:
                assert np.abs(np.array(apply(place, point)) - (m @ np.array(point) + t - low)).max() < 1e-6


def overlapping(panels: list[Panel]) -> bool:
    maps, _ = in_plane(panels, "on")
    shapes = [Polygon([m @ np.array(q) + t for q in p.visible]) for p, (m, t) in zip(panels, maps, strict=True)]
    return any(a.intersection(b).area > 1e-4 * a.area for i, a in enumerate(shapes) for b in shapes[:i])


def cell_art(width: float, height: float) -> Image.Image:
    """Cells of 100 mm, each with a colour of its own: its column in red and green, its row in blue; 0, 0 lower left."""
    columns, rows = round(width / STEP), round(height / STEP)
    x, y = (np.arange(columns) + 0.5) * width / columns, (np.arange(rows)[::-1] + 0.5) * height / rows
    column, row = np.meshgrid(np.floor(x / CELL).astype(int), np.floor(y / CELL).astype(int))
    return Image.fromarray(np.stack([column % 12 * 20, column // 12 * 20, row % 60 * 4], axis=2).astype(np.uint8))


def test_a_chain_that_turns_back_onto_itself_is_refused() -> None:
    """Six triangles in a saw-toothed ring have over 360° about their point: laid flat, the last lies on the first."""
    ring = [np.array([np.cos(a), np.sin(a), 0.35 * (-1) ** i]) for i, a in enumerate(np.arange(6) * np.pi / 3)]
    points = [tuple(map(float, 1500 * p / np.linalg.norm(p))) for p in ring]
    tip = (0.0, 0.0, 0.0)
    faces = [Face(f"f{i + 1}", (tip, points[i], points[(i + 1) % 6])) for i in range(6)]  # type: ignore[arg-type]
    panels = {p.number: p for p in zoo.size_bare(Shape(tuple(faces), numbering="along")).panels}
    around = sum(np.arccos(np.dot(p, q) / 1500**2) for p, q in pairwise([*map(np.array, points), np.array(points[0])]))
    assert around > 2 * np.pi  # so the whole ring can't lie flat
    assert lay(Asked((1, 2, 3), "a.pdf"), panels)[0] is not None
    wrap, faults = lay(Asked((1, 2, 3, 4, 5, 6), "a.pdf"), panels)
    assert wrap is None and faults == [
        ("panels", "panels 1 and 6 would lie on one another on the flat page; split the wrap")
    ]


@pytest.mark.parametrize("behind", ["on", "closed"])
@pytest.mark.parametrize(("name", "chain"), CHAINS)
def test_numbered_cells_come_out_right(name: str, chain: tuple[int, ...], behind: str, tmp_path: Path) -> None:
    head = 'schema = 1\nname = "Test piece"\n'
    wrap = f'[[wrap]]\npanels = {list(chain)}\nfile = "cells.png"\nbehind = "{behind}"\n'
    (tmp_path / "order.toml").write_text(head + zoo.ORDERS[name] + wrap, encoding="utf-8")
    order = load(tmp_path, KINDS)
    sizing = size_order(order, KINDS)
    panels = [sizing.panel(n) for n in chain]
    maps, low = in_plane(panels, behind)
    corners = [m @ np.array(p) + t - low for panel, (m, t) in zip(panels, maps, strict=True) for p in panel.art]
    width, height = np.max(corners, axis=0)
    (tmp_path / "art").mkdir()
    file = tmp_path / "art" / "cells.png"
    cell_art(width, height).save(file)
    facts = read(file)
    assert isinstance(facts, FileFacts)
    laid = lay_page(claim(order, sizing, ["cells.png"]).claims[0], facts.pages[0])
    compared = 0
    for panel, (m, t) in zip(panels, maps, strict=True):
        seen = preview(file, laid, panel, 400_000)
        assert isinstance(seen, Preview)
        x0, y0, x1, y1 = (f(p[i] for p in panel.visible) for f in (min, max) for i in (0, 1))
        for u in np.arange(x0 + 5, x1 - 5, 57.0):
            for v in np.arange(y0 + 5, y1 - 5, 87.0):
                if not inside(panel, u, v):
                    continue
                at = m @ np.array([u, v]) + t - low
                if (
                    min(min(c % CELL, CELL - c % CELL) for c in at) < 12.0
                ):  # too near to a cell's edge for pixels of 5 mm
                    continue
                column, row = (int(c // CELL) for c in at)
                colour = seen.at(np.array([u]), np.array([v]))[0, :3].astype(int)
                assert np.abs(colour - (column % 12 * 20, column // 12 * 20, row % 60 * 4)).max() < 2, (
                    panel.number,
                    u,
                    v,
                )
                compared += 1
    assert compared > 60 * len(chain)


def inside(panel: Panel, u: float, v: float) -> bool:
    """Within what shows, for convex panels: left of every edge."""
    ring = np.array(panel.visible)
    d = np.roll(ring, -1, axis=0) - ring
    return bool(np.all(d[:, 0] * (v - ring[:, 1]) - d[:, 1] * (u - ring[:, 0]) > 0))

"""Numbered cells in the PDF: on each panel's page and on the sheets laid flat no art is mirrored, turned or swapped, on any
face of every kind. Turns are reckoned from space: a panel's own axes, and how far one side is folded from the next."""

from math import atan2, degrees, hypot

import numpy as np
import pytest
from cells import CELLS, axes, colour, job_of_cells
from test_proof_pdf import SAY
from zoo import ORDERS

from artgen.drawing.marks import Picture
from artgen.proof import Issue, proof_paper


@pytest.fixture(scope="module", params=ORDERS)
def laid(request):
    """(the one structure, pictures of the sheets laid flat by panel, pictures of each panel's own page by panel)"""
    job = job_of_cells(ORDERS[request.param])
    (structure,) = job.sizing.structures
    flat: dict[int, Picture] = {}
    own: dict[int, list[Picture]] = {panel.number: [] for panel in structure.panels}
    number = None
    for page in proof_paper(job, SAY, Issue()).pages():
        if page.title.startswith("Panel "):
            number = int(page.title.split(" ")[1].rstrip(":,"))
        for mark in page.layers[0].marks:
            if isinstance(mark, Picture) and mark.alt.startswith("Artwork of panel "):
                shown = int(mark.alt.split(" ")[-1])
                if number is None:
                    flat[shown] = mark
                else:
                    assert shown == number, "the page of one panel shows another's art"
                    own[shown].append(mark)
    return structure, flat, own


def turn_and_sense(mark, panel):
    """(degrees anticlockwise by which the picture lies turned, whether it is unmirrored and unstretched)"""
    a, b, c, d, *_ = mark.matrix
    w, h = hypot(a, b), hypot(c, d)
    wide, high = (max(p[i] for p in panel.art) for i in (0, 1))
    square = abs(a * c + b * d) < 1e-6 * w * h and abs(w / h - wide / high) < 1e-6 * w / h
    return degrees(atan2(b, a)), a * d - b * c > 0 and square


def assert_holds_its_own_cells(mark, number, panel):
    image = np.frombuffer(mark.rgb, np.uint8).reshape(mark.height, mark.width, 3).astype(float)
    for row in range(CELLS):
        for column in range(CELLS):
            x, y = (column + 0.5) / CELLS, (row + 0.5) / CELLS
            seen = image[int(y * mark.height), int(x * mark.width)]
            wanted = colour(number, row, column)
            # over what is hidden in the frame lies a veil of white: 0.42 of it at most
            veiled = np.round(wanted + (255 - wanted) * 0.42)
            assert min(abs(seen - wanted).max(), abs(seen - veiled).max()) <= 3, (number, row, column)


def test_each_panels_page_shows_its_own_art_as_it_hangs(laid):
    structure, _, own = laid
    for panel in structure.panels:
        assert own[panel.number]
        for mark in own[panel.number]:
            turn, sound = turn_and_sense(mark, panel)
            assert sound
            # upright is level with the page's edge: the sewn frame lies turned back by upright_deg, which is 0 or −45 here
            wanted = -panel.upright_deg if panel.upright_deg % 90 else 0.0
            assert turn == pytest.approx(wanted, abs=1e-6)
            assert_holds_its_own_cells(mark, panel.number, panel)


def test_laid_flat_each_side_shows_its_own_art_unmirrored_and_meets_its_neighbour(laid):
    structure, flat, _ = laid
    if len(structure.panels) == 1:
        assert flat == {}
        return
    assert set(flat) == {panel.number for panel in structure.panels}
    panels = {panel.number: panel for panel in structure.panels}
    for number, mark in flat.items():
        assert turn_and_sense(mark, panels[number])[1]
        assert_holds_its_own_cells(mark, number, panels[number])
    bound = 0
    for number, panel in panels.items():
        for edge in panel.edges:
            for met in edge.met:
                if met.panel not in panels or met.panel < number:
                    continue
                other = panels[met.panel]
                here, there = _shared(panel, flat[number], other), _shared(other, flat[met.panel], panel)
                if max(np.abs(here - there).max(axis=1)) > 0.02:
                    continue  # this edge is cut, not folded
                bound += 1
                # folded about one line, both sides lie on their own side of it
                middles = [_middle(flat[n], panels[n]) for n in (number, met.panel)]
                along = here[1] - here[0]
                sides = [np.cross([*along, 0], [*(m - here[0]), 0])[2] for m in middles]
                assert sides[0] * sides[1] < 0
    assert bound >= 1 or all(not edge.met for panel in panels.values() for edge in panel.edges)


def _shared(panel, mark, other):
    """The two ends, in space, of what two panels' metal shares, laid on the sheet by the first one's picture."""
    mine, theirs = (np.asarray(one.bay.outline) for one in (panel, other))
    ends = []
    for a, b in zip(mine, np.roll(mine, -1, axis=0), strict=True):
        way = (b - a) / np.linalg.norm(b - a)
        for c, d in zip(theirs, np.roll(theirs, -1, axis=0), strict=True):
            s, t = sorted(((c - a) @ way, (d - a) @ way))
            off = max(np.linalg.norm(c - a - way * ((c - a) @ way)), np.linalg.norm(d - a - way * ((d - a) @ way)))
            low, high = max(s, 0.0), min(t, float(np.linalg.norm(b - a)))
            if off < 0.01 and high - low > 1.0:
                ends = sorted([tuple(np.round(a + way * v, 3)) for v in (low, high)])
    x, y = axes(panel)
    corner, (fx, fy) = mine[0], panel.frame[0]
    w, h = (max(p[i] for p in panel.art) for i in (0, 1))
    a, b, c, d, e, f = mark.matrix
    placed = []
    for end in ends:
        u, v = ((np.asarray(end) - corner) @ x + fx) / w, ((np.asarray(end) - corner) @ y + fy) / h
        placed.append([a * u + c * v + e, b * u + d * v + f])
    return np.asarray(placed)


def _middle(mark, panel):
    """The middle of a panel's metal on the sheet."""
    a, b, c, d, e, f = mark.matrix
    w, h = (max(p[i] for p in panel.art) for i in (0, 1))
    u, v = np.mean(panel.frame, axis=0) / (w, h)
    return np.array([a * u + c * v + e, b * u + d * v + f])

"""What is written on templates: over all sizes and shapes no two labels meet, all stay on the page, none is too small on A3,
and none stands on a line; what must be there is there. Boxes are tested with shapely, not with the cells that placed them."""

import math

import zoo
from shapely import LineString, Polygon, STRtree

from artgen.drawing.fonts import CAP_HEIGHT
from artgen.drawing.marks import Drawing, Path, Text
from artgen.drawing.pieces import text_corners
from artgen.drawing.room import Room
from artgen.sizing.panel import Panel, SizedStructure
from artgen.sizing.ways import ways
from artgen.template import Head, default_scale, template
from artgen.words import words

SAY = words()
WIDE, HIGH = (150, 300, 600, 1000, 2000, 3300, 5000), (150, 300, 600, 1000, 2000, 3300)


def wall(width: int, height: int, more: str = "") -> str:
    return f'[[structure]]\nname = "wall"\nkind = "wall"\nwidth = "{width} mm"\nheight = "{height} mm"\n{more}'


def box(width: int, depth: int, height: int) -> str:
    return (
        f'[[structure]]\nname = "box"\nkind = "box"\nlit = "inside"\nwidth = "{width} mm"\ndepth = "{depth} mm"\n'
        f'height = "{height} mm"\n'
    )


def cube(edge: int) -> str:
    return f'[[structure]]\nname = "cube"\nkind = "hung-cube"\nedge = "{edge} mm"\n'


KEEP_OUTS = """
[[structure.panel]]
panel = 1
[[structure.panel.keep_out]]
name = "screen"
hole = true
at = ["900 mm", "1100 mm"]
size = ["800 mm", "500 mm"]
[[structure.panel.keep_out]]
name = "cable exit"
at = ["2300 mm", "100 mm"]
diameter = "120 mm"
"""
BODIES = (
    *(wall(w, h) for w in WIDE for h in HIGH),
    wall(5000, 3300, 'roll = "narrow-1600"\nlit = "inside"\n'),  # four drops
    wall(4500, 3300, 'roll = "narrow-1600"\n'),  # three drops
    wall(3000, 2400, KEEP_OUTS),
    *(box(w, d, h) for w, d, h in ((150, 150, 150), (300, 200, 900), (1000, 800, 2600), (1200, 1000, 4400))),
    *(cube(edge) for edge in (300, 1500)),
    '[[structure]]\nname = "column"\nkind = "column"\ncount = 3\nwidth = "200 mm"\nheight = "3300 mm"\n',
    zoo.WEDGE,
    zoo.TOWER,
    zoo.L_COLUMN,
    zoo.POSTED_RUN,
)


def structures() -> list[SizedStructure]:
    found = [structure for body in BODIES for structure in zoo.sized(body).structures]
    return [*found, *(zoo.size_bare(shape) for shape in zoo.BARE.values())]


def drawn() -> list[tuple[SizedStructure, Panel, Drawing]]:
    """Every panel both ways; each second one with a margin."""
    found = []
    for structure in structures():
        scale = default_scale(structure.panels)
        for panel in structure.panels:
            for way in ways(panel):
                margin = Head("Peat", "QBT-0417", "Quillmere Bog Trust", "2026-03-02") if len(found) % 2 else None
                drawing = template(panel, structure, SAY, scale, way, margin=margin, place="1 of 9")
                found.append((structure, panel, drawing))
    return found


DRAWN = drawn()


def texts(drawing: Drawing) -> list[Text]:
    return [mark for layer in drawing.layers for mark in layer.marks if isinstance(mark, Text)]


def on_a3(drawing: Drawing) -> float:
    """By how much the page is enlarged when it is fitted to A3, 420 × 297 mm (ISO 216), either way round."""
    w, h = max(drawing.width, drawing.height), min(drawing.width, drawing.height)
    return min(420 / w, 297 / h)


def test_there_are_enough_panels() -> None:
    assert len({(s.name, p.number, round(d.width), round(d.height)) for s, p, d in DRAWN}) >= 60


def test_no_two_label_boxes_meet_and_all_stay_on_the_page() -> None:
    for structure, panel, drawing in DRAWN:
        page = Polygon([(0, 0), (drawing.width, 0), (drawing.width, drawing.height), (0, drawing.height)])
        found = texts(drawing)
        boxes = [Polygon(text_corners(text)) for text in found]
        assert all(page.buffer(1e-6).contains(one) for one in boxes), (structure.name, panel.number)
        tree = STRtree(boxes)
        for i, j in tree.query(boxes, predicate="intersects").T:
            if i < j:
                what = (structure.name, panel.number, drawing.width, found[i].string, found[j].string)
                assert boxes[i].intersection(boxes[j]).area < 1e-9, what


def test_no_label_is_under_two_and_a_half_millimetres_on_a3() -> None:
    """Measured at capitals, as ISO 3098 measures letters; their size (em) is larger still."""
    for structure, panel, drawing in DRAWN:
        least = min(text.size for text in texts(drawing)) * CAP_HEIGHT * on_a3(drawing)
        assert least >= 2.5, (structure.name, panel.number, least)


ZONES = {"guide-cut", "guide-fold", "guide-safe", "guide-seam", "guide-neighbour", "guide-art-edge", "guide-keep-out"}


def test_labels_stand_clear_of_the_lines_of_zones() -> None:
    """All but the faint number, and words on plates of their own in a hatched area; of the narrowest panels' few."""
    over = 0
    for _, _, drawing in DRAWN:
        lines = [
            LineString([*part, part[0]] if mark.closed else part)
            for layer in drawing.layers
            if layer.id in ZONES
            for mark in layer.marks
            if isinstance(mark, Path) and len(mark.subpaths) == 1
            for part in mark.subpaths
        ]
        tree = STRtree(lines)
        for layer in drawing.layers:
            for mark in layer.marks:
                if isinstance(mark, Text) and layer.id in ("guide-notes", "guide-sizes"):
                    over += len(tree.query(Polygon(text_corners(mark)), predicate="intersects")) > 0
    assert over <= 0.01 * sum(len(texts(drawing)) for _, _, drawing in DRAWN)


def test_every_template_says_its_number_sizes_scale_and_which_way_is_up() -> None:
    for structure, panel, drawing in DRAWN:
        said = " ".join(text.string for text in texts(drawing))
        name = (structure.name, panel.number, drawing.width, drawing.height)
        assert f"Panel {panel.number}" in said, name
        assert "100 mm at full size" in said, name
        assert "this way up" in said or "this edge to the back" in said, name
        assert "Drawn at" in said, name
        assert "pixels" in said, name
        for text in ("pull tab", "number tag"):
            assert text in said, (*name, text)


def test_the_bar_is_a_hundred_millimetres_of_cloth() -> None:
    for structure, panel, drawing in DRAWN:
        notes = next(layer for layer in drawing.layers if layer.id == "guide-notes")
        text = next(m for m in notes.marks if isinstance(m, Text) and m.string.startswith("100 mm"))
        # what the page's scale is, from what its head says
        said = [m.string for m in texts(drawing)]
        scale = next((int(s.split("1:")[1].split(":")[0]) for s in said if "Drawn at 1:" in s), 1)
        lengths = [
            math.dist(*part)
            for mark in notes.marks
            if isinstance(mark, Path) and len(mark.subpaths) == 3
            for part in mark.subpaths
        ]
        assert min(abs(length - 100 / scale) for length in lengths) < 1e-6, (structure.name, panel.number, text)


def test_each_edge_that_is_met_names_the_panel_that_meets_it() -> None:
    for structure, panel, drawing in DRAWN:
        said = [text.string for text in texts(drawing)]
        for edge in panel.edges:
            for met in edge.met:
                assert any(f"panel {met.panel}" in s for s in said), (structure.name, panel.number, met.panel)


def test_the_key_plan_says_when_it_is_seen_from_behind() -> None:
    body = wall(3000, 2400, "faces = 2\n")
    structure = zoo.sized(body).structures[0]
    front, back = (template(panel, structure, SAY, 2) for panel in structure.panels)
    assert "seen from behind" not in {text.string for text in texts(front)}
    assert "seen from behind" in {text.string for text in texts(back)}


def test_a_room_gives_the_nearest_free_place_and_none_that_is_taken() -> None:
    room = Room(100.0, 50.0, 0.5)
    room.draw([(50.0, 0.0), (50.0, 50.0)])
    first = room.place(20.0, 10.0, (48.0, 25.0))
    assert first is not None and first.x1 <= 50.0 and first.x0 > 28.0  # left of the line, as near to it as goes
    room.write(first.corners)
    second = room.place(20.0, 10.0, (48.0, 25.0))
    assert second is not None
    assert Polygon(second.corners).intersection(Polygon(first.corners)).area == 0
    assert room.place(60.0, 10.0, (48.0, 25.0)) is None  # wider than either side of the line
    assert room.place(60.0, 10.0, (48.0, 25.0), over_lines=True) is not None
    assert not room.free(((45.0, 20.0), (55.0, 20.0), (55.0, 22.0), (45.0, 22.0)))
    assert not room.free(((95.0, 20.0), (105.0, 20.0), (105.0, 22.0), (95.0, 22.0)))  # beyond the page

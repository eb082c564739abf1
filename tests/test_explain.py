"""Sums written out: each line's arithmetic is done again from the lines before it, and origins are what the order says."""

import pytest
import zoo
from zoo import BOX, near

from artgen.cli.explain import explained
from artgen.sizing import Sizing
from artgen.sizing.explain import Origin, Step, Sum, explain
from artgen.sizing.outline import size

RECTANGLES = ["box", "wall", "hung cube"]


def sums(body: str, number: int = 1) -> dict[str, Sum]:
    order = zoo.order(body)
    sizing = zoo.sized(body)
    structure = next(s for s in sizing.structures if number in [p.number for p in s.panels])
    return {each.what: each for each in explain(sizing.panel(number), order.structures[structure.index])}


def steps(found: Sum, what: str) -> list[Step]:
    return [step for step in found.steps if step.what == what]


def reckoned(found: Sum) -> None:
    """Does every line's sum again from the line before."""
    total = 0.0
    for step in found.steps:
        if step.sign == "=":
            assert step.value == pytest.approx(total, abs=1e-9), step
        elif step.sign == "":
            total = step.value
        elif step.sign == "+":
            total += step.value
        elif step.sign == "−":
            total -= step.value
        elif step.sign == "×":
            total *= step.value
        else:
            total /= 1 + step.value if step.unit == "share" else step.value


@pytest.mark.parametrize("name", RECTANGLES)
@pytest.mark.parametrize("more", ["", 'fabric = "light-knit"\n', 'strip = "folded-12"\n', 'bleed = "7 mm"\n'])
def test_the_sums_of_an_axis_come_out(name: str, more: str) -> None:
    found = sums(zoo.ORDERS[name] + more)
    for what in ("axis.x.across", "axis.y.along"):
        assert found[what].squarely
        reckoned(found[what])
        assert [s.what for s in found[what].steps if s.sign == "="] == [
            "visible", "finished", "cut", "art", "sewn", "sewn-cut", "printed-cut", "factor", "on-roll"
        ]  # fmt: skip


def test_every_number_of_the_sums_has_its_origin() -> None:
    for each in sums(BOX + 'fabric = "light-knit"\n').values():
        for step in each.steps:
            if step.sign in ("+", "−", "÷") and step.what != "cut":
                assert step.origin is not None, step


def test_drops_come_out_too() -> None:
    for more in ("", 'compensate = "rip"\n'):
        body = f'[[structure]]\nname = "w"\nkind = "wall"\nwidth = "8000 mm"\nheight = "5000 mm"\n{more}'
        body += 'fabric = "brushed-knit"\n'
        found = sums(body)["drops"]
        reckoned(Sum("drops", tuple(s for s in found.steps if s.what not in ("seam", "seam-low", "seam-high"))))
        assert len(steps(found, "drop")) == len(zoo.sized(body).panels[0].drops) == 3


def test_where_numbers_come_from() -> None:
    body = (
        '[defaults]\nsafe = "45 mm"\n' + BOX + 'bleed = "30 mm"\nstrip = "folded-12"\n'
        '[[structure.edges]]\npanel = 1\nedge = "left"\nsetback = "9 mm"\n'
        '[[structure.edges]]\npanel = 2\nedge = "left"\nseat_depth = "19 mm"\n'
    )
    found = sums(body)
    width = found["axis.x.across"]
    left, right = steps(width, "setback")
    assert (left.of, left.value, left.origin) == ("left", 9.0, Origin("order", "tower, edges 1"))
    measure = "common practice, no source: measure your frame"
    assert (right.of, right.value, right.origin) == ("right", zoo.S, Origin("profile", "frame standard", measure))
    assert {step.origin for step in steps(width, "bleed")} == {Origin("order", "tower", "bleed")}
    assert {step.origin for step in steps(width, "turn_in")} == {Origin("method", "folded-12", "folded")}
    assert {step.origin for step in steps(found["safe"], "safe")} == {Origin("order", "defaults", "safe")}
    made = {step.what: step.origin for step in found["made-of"].steps}
    assert made["profile.strip"] == Origin("order", "tower", "strip")
    assert made["profile.frame"] == Origin("default", "frame")
    assert {step.origin for step in steps(sums(body, 2)["axis.x.across"], "seat_depth")} == {
        Origin("order", "tower, edges 2"),
        Origin("profile", "frame standard", measure),
    }


def test_a_turned_panel_has_its_width_along_the_roll() -> None:
    body = '[[structure]]\nname = "w"\nkind = "wall"\nwidth = "5600 mm"\nheight = "2000 mm"\n'
    found = sums(body)
    (stretch,) = steps(found["axis.x.along"], "stretch-along")
    assert stretch.value == pytest.approx(zoo.E_ALONG)
    reckoned(found["axis.x.along"])


def test_a_polygon_shows_its_edges_and_the_sizes_of_its_box(monkeypatch: pytest.MonkeyPatch) -> None:
    made = zoo.size_bare(zoo.L_FACE)
    panel = made.panels[0]
    found = {each.what: each for each in explain(panel, zoo.bare_structure())}
    assert not found["axis.x.across"].squarely
    values = {step.what: step.value for step in found["axis.x.across"].steps if step.sign == "="}
    assert values["visible"] == size(panel.visible)[0] and values["sewn"] == panel.sewn_size[0]
    assert len(steps(found["edges"], "setback")) == 6
    text = explained(zoo.order(BOX), Sizing((made,)), 1)
    assert "bounding box" in text and "setback, edge 3" in text


def test_as_a_person_reads_it() -> None:
    body = BOX + '[[structure.edge]]\npanel = 1\nedge = "left"\nsetback = "9 mm"\n'
    lines = explained(zoo.order(body), zoo.sized(body), 1).splitlines()
    # the worked example's width, less 3 of setback
    assert any(line.split() == ["=", "visible", "985"] for line in lines)
    assert any("setback, left" in line and line.endswith("order, tower, edge 1") for line in lines)
    assert any("1 − 1.2 %" in line and "fabric display-knit: common practice" in line for line in lines)
    assert near(float(next(line.split()[-1] for line in lines if "strip of the panel" in line)), 8480.1659, within=6e-5)

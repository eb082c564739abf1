"""What people call a panel on paper: its structure and side, in words."""

from math import atan2, degrees

from ..words import Words
from .panel import Panel, SizedStructure

_NAMED = ("front", "right", "back", "left", "top", "bottom")
EDGES = ("left", "right", "top", "bottom")


def side(panel: Panel, say: Words) -> str:
    """What a person calls the side: front, right side …; a leaning one by where it looks; else by its own name."""
    name = panel.bay.face.name
    if name in _NAMED:
        return say(f"face.{name}")
    tilt = panel.sight.tilt
    if panel.stands or abs(tilt) > 89:
        return say("face.other", name=name)
    x, y, _ = panel.bay.plane.normal
    eighth = round((degrees(atan2(y, x)) + 90) / 45) % 8  # 0 = to the front, then anticlockwise from above
    return say("face.upper" if tilt > 0 else "face.lower", towards=say(f"towards.{eighth}"))


def where(structure: SizedStructure, panel: Panel, say: Words) -> str:
    """ "Bog core, right side"; bays are told apart by their place."""
    bay = panel.bay
    key = "template.where"
    if bay.rows > 1:
        key = "template.row" if bay.columns == 1 else "template.row-bay"
    elif bay.columns > 1:
        key = "template.bay"
    return say(key, structure=structure.name, face=side(panel, say), row=bay.row, column=bay.column)


def edge_name(panel: Panel, index: int, say: Words) -> str:
    """ "left edge" of a panel in its sewn frame; "edge 3" where edges have numbers."""
    name = panel.edges[index].name
    return say(f"edge-of.{name}") if name in EDGES else say("edge-of.other", name=name)


def upright_side(panel: Panel, index: int, say: Words) -> str:
    """On which side of a panel an edge lies as it hangs, read from outside: "right", "lower left" …"""
    (ax, ay), (bx, by) = panel.frame[index], panel.frame[(index + 1) % len(panel.frame)]
    # outlines run anticlockwise, so what lies outside is to the right of an edge; upright is then laid along y
    out = degrees(atan2(ax - bx, by - ay)) - panel.upright_deg
    return say(f"side-of.{round(out / 45.0) % 8}")

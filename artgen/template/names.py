"""What people call a panel on paper: its structure and side, in words."""

from ..sizing.panel import Panel, SizedStructure
from ..words import Words

_NAMED = ("front", "right", "back", "left", "top", "bottom")


def side(panel: Panel, say: Words) -> str:
    """ "front", "right side", "lower side f4" …"""
    name = panel.bay.face.name
    if name in _NAMED:
        return say(f"face.{name}")
    tilt = panel.sight.tilt
    return say("face.upper" if tilt > 30 else "face.lower" if tilt < -30 else "face.other", name=name)


def where(structure: SizedStructure, panel: Panel, say: Words) -> str:
    """ "Bog core, right side"; bays are told apart by their place."""
    bays = [bay for bay in structure.bays if bay.face.name == panel.bay.face.name]
    key = "template.bay" if len(bays) > 1 else "template.where"
    return say(key, structure=structure.name, face=side(panel, say), column=panel.bay.column)

"""The faults planted in the first order, as data: rule, panel, and where a finding must point, from the drawing itself.

Places are rectangles (x, y, width, height) in the named panel's sewn frame, mm, origin at the lower left of its art
size. A word's place is the box of its ink as set, moved off the wrap or turned out of the reading-way page.
"""

from __future__ import annotations

from dataclasses import dataclass

from . import bog_core, copy_text, horizon, raindrop, seasons_wall
from .lettering import Box, Line

FOLD = 44.0  # art edge to fold line: allowance 15 + 4, bleed 25
SIDE = raindrop.SQUARE


@dataclass(frozen=True)
class Fault:
    """One planted fault; ``text`` the words concerned, if any."""

    rule: str
    panel: int
    near_mm: Box
    what: str
    text: str = ""


def _place(lines: list[Line], word: str, baseline_of: str = "") -> Box:
    """Where the word is set; ``baseline_of`` picks the line that holds those words too."""
    boxes = [box for row in lines if baseline_of in row.text for text, box in row.words() if text == word]
    assert len(boxes) == 1, f"{word!r} is set {len(boxes)} times"
    return boxes[0]


def _on_wrap(box: Box, left: float) -> Box:
    return box[0] - left, box[1], box[2], box[3]


def planted() -> list[Fault]:
    """The seven faults of the first order."""
    headline = copy_text.CORE_HEADLINE_ONE_TOO_WIDE[-1]
    forest = _place(bog_core.core_lines(spread=True), "forest", headline)
    summer = _place(seasons_wall.wall_lines(stepped=True), "summer,")
    ten = _place(horizon.horizon_lines(one_line=True), "ten")
    address = raindrop.box_to_sewn(_place(raindrop.rain_face_lines(low_address=True), copy_text.WEB))
    whole = (0.0, 0.0, SIDE, SIDE)
    return [
        Fault(
            "text-crosses-corner",
            1,
            _on_wrap(forest, bog_core.LEFTS[0]),
            "The headline was broken one line too wide: its last word runs round the corner from the front to the right side.",
            "forest",
        ),
        Fault(
            "text-crosses-joint",
            7,
            _on_wrap(summer, seasons_wall.LEFTS[1]),
            "The middle phrase was set too far to the right: its last word stands half on the next bay.",
            "summer,",
        ),
        Fault(
            "text-crosses-seam",
            9,
            ten,
            "The headline was centred on the wall, where the sewn line between the two drops goes through a word.",
            "ten",
        ),
        Fault(
            "text-in-tuck",
            13,
            address,
            "The web address hangs so near the lowest tip that both its ends run over the fold lines.",
            copy_text.WEB,
        ),
        Fault(
            "page-wrong-size",
            5,
            (0.0, 0.0, 1076.0, 876.0),
            "The picture was made at the size of the frame, 1000 × 800 mm, without the cloth that turns in.",
        ),
        Fault(
            "bleed-missing",
            11,
            whole,
            "The page is just what one sees, 1488 × 1488 mm: nothing is painted past the fold line.",
        ),
        Fault("art-ambiguous", 12, whole, "Two files claim the panel: an earlier PDF was sent along with the new SVG."),
    ]


def as_toml(faults: list[Fault]) -> str:
    """The list as TOML, numbers to 0.01 mm."""
    parts = [
        "# What is wrong on purpose in this order's art. Written by draw.py from the drawing itself.",
        "schema = 1",
        "",
    ]
    for f in faults:
        parts += ["[[fault]]", f'rule = "{f.rule}"', f"panel = {f.panel}", 'severity = "error"']
        parts.append("near_mm = [" + ", ".join(f"{v:.2f}" for v in f.near_mm) + "]")
        if f.text:
            parts.append(f'text = "{f.text}"')
        parts += [f'what = "{f.what}"', ""]
    return "\n".join(parts)

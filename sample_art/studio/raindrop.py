"""The hung cube: one column of weather and water from its top tip to its bottom tip. Panels 10–15.

Drawn reading-way: the square stands on its tip in the middle of a page of 2228.801 mm, up is up. A face's colours
follow its true height on the cube, so that neighbouring faces meet in the same colour along every corner.
"""

from __future__ import annotations

import math
import random

from . import copy_text as say
from .animals import dragonfly, nymph
from .ground import rings
from .lettering import BODY, HEAD, LABEL, SUB, Box, Line, line, outlined, stack
from .palette import (
    AMBER,
    AMBER_DEEP,
    AMBER_PALE,
    COTTON,
    DAWN,
    HEATHER_DEEP,
    MIST,
    PEAT_BLACK,
    PEAT_DEEP,
    SKY_PALE,
    SLATE,
    SLATE_DEEP,
    Ink,
    mix,
    ramp,
)
from .paths import Mark, Point, blade, ellipse, filled, rectangle, smooth, stroked, turned, under
from .plants import GOLDS, GREENS, REDS, head_of_moss, moss_shoot
from .wood_and_stone import drop

SQUARE = 1576.0  # art size of a face
PAGE = SQUARE * math.sqrt(2)  # reading-way
MIDDLE = PAGE / 2
TIP = 1500.0 / math.sqrt(2)  # from the middle of a face to a tip of its metal

COLUMN: list[tuple[float, Ink]] = [
    (0.0, PEAT_BLACK),
    (0.16, PEAT_DEEP),
    (0.27, mix(AMBER_DEEP, PEAT_DEEP, 0.55)),
    (0.4, AMBER_DEEP),
    (0.47, AMBER),
    (0.499, AMBER_PALE),
    (0.501, mix(DAWN, COTTON, 0.3)),
    (0.58, MIST),
    (0.7, SKY_PALE),
    (0.85, SLATE),
    (1.0, mix(SLATE_DEEP, SLATE, 0.25)),
]


def to_sewn(x: float, y: float) -> Point:
    """A place on the reading-way page in the sewn frame: turned 45° clockwise about the middle of the square."""
    u, v, s = x - MIDDLE, y - MIDDLE, math.sqrt(0.5)
    return SQUARE / 2 + s * (u + v), SQUARE / 2 + s * (v - u)


def box_to_sewn(box: Box) -> Box:
    """The box round a reading-way box once it is turned into the sewn frame."""
    x, y, w, h = box
    corners = [to_sewn(x + i * w, y + j * h) for i in (0, 1) for j in (0, 1)]
    x0, y0 = min(p[0] for p in corners), min(p[1] for p in corners)
    return x0, y0, max(p[0] for p in corners) - x0, max(p[1] for p in corners) - y0


def _column(upper: bool, rng: random.Random) -> list[Mark]:
    """The face's share of the column: an upper face shows heights 1 to 1/3 of the cube, a lower one 2/3 to 0."""
    base = 1 / 3 if upper else 0.0
    marks = [filled(rectangle(-60, -60, PAGE + 120, PAGE + 120), ramp(COLUMN, base + 0.7))]
    levels = [i / 48 for i in range(48, -4, -1)]
    for h in levels:
        y = MIDDLE - TIP + 3 * TIP * (h - base)
        if not -80 < y < PAGE + 80:
            continue
        phase, long = rng.uniform(0, math.tau), rng.uniform(0.8, 1.6)
        points = []
        for i in range(41):
            x = -60 + (PAGE + 120) * i / 40
            still = max(0.0, 1 - (abs(x - MIDDLE) + abs(y - MIDDLE)) / (0.96 * TIP))  # nothing moves at the corners
            points.append(
                (
                    x,
                    y
                    + 26
                    * min(1.0, 2.2 * still)
                    * math.sin(math.tau * long * x / 900 + phase)
                    * (0.2 if h == 0.5 else 1),
                )
            )
        marks.append(filled(under(points, -80), ramp(COLUMN, h - 1 / 96)))
    return marks


def _inside(x: float, y: float, room: float) -> bool:
    return abs(x - MIDDLE) + abs(y - MIDDLE) < TIP - 60 - room


def _grid(step: float, rng: random.Random, loose: float) -> list[Point]:
    """Staggered places over the page."""
    n = int(PAGE / step) + 2
    return [
        ((i + 0.5 * (j % 2)) * step + rng.uniform(-loose, loose), j * step * 0.8 + rng.uniform(-loose, loose))
        for j in range(int(n * 1.3))
        for i in range(n)
    ]


def falling_drops() -> list[Mark]:
    """Panel 10: drops growing as they fall, rings where they meet the water."""
    rng = random.Random(10)
    marks = _column(True, rng)
    water = MIDDLE - 0.5 * TIP
    for x, y in _grid(168, rng, 26):
        r = 15 + 34 * (MIDDLE + TIP - y) / (1.5 * TIP)
        if y > water + 110 and _inside(x, y, 2 * r):
            deep = ramp(COLUMN, 0.62 + 0.3 * (y - water) / TIP)
            marks += drop(x, y, r, (mix(SLATE_DEEP, deep, 0.15), mix(SLATE, deep, 0.1), SKY_PALE, MIST))
    for x, y, s in ((MIDDLE - 210, water - 95, 1.0), (MIDDLE + 240, water - 70, 0.8), (MIDDLE + 10, water - 250, 1.1)):
        marks += rings(x, y, [s * r for r in (24, 52, 86, 126)], 0.34, COTTON, AMBER, 8)
    return marks


def slanting_rain() -> list[Mark]:
    """Panel 11: a shower blown across the face."""
    rng = random.Random(11)
    marks = _column(True, rng)
    water = MIDDLE - 0.5 * TIP
    for x, y in _grid(84, rng, 30):
        long = rng.uniform(90, 230)
        ex, ey = x - 0.34 * long, y - 0.94 * long
        if ey > water + 30 and _inside(x, y, 0) and _inside(ex, ey, 0):
            tone = (COTTON, MIST, SLATE_DEEP, mix(SLATE, SKY_PALE, 0.4))[rng.randrange(4)]
            marks.append(filled(blade(ex, ey, math.atan2(0.94, 0.34), long, rng.uniform(7, 13)), tone))
    for x, y, s in (
        (MIDDLE - 270, water - 70, 0.8),
        (MIDDLE - 60, water - 150, 1.1),
        (MIDDLE + 200, water - 90, 0.9),
        (MIDDLE + 40, water - 320, 0.9),
    ):
        marks += rings(x, y, [s * r for r in (22, 48, 80, 118)], 0.34, COTTON, AMBER, 8)
    return marks


def floating_moss() -> list[Mark]:
    """Panel 12: moss heads from above, drifting like stars, thicker towards the water."""
    rng = random.Random(12)
    marks = _column(True, rng)
    for x, y in sorted(_grid(132, rng, 24), key=lambda p: -p[1]):
        r = 26 + 62 * (MIDDLE + TIP - y) / (2 * TIP) * rng.uniform(0.8, 1.15)
        if _inside(x, y, 1.3 * r):
            warm = (y - MIDDLE) / TIP + rng.gauss(0, 0.22)
            marks += head_of_moss(x, y, r, rng, REDS if warm < -0.42 else GOLDS if warm < -0.2 else GREENS)
    return marks


def _bubbles(rng: random.Random, count: int, low: float = -0.6) -> list[Mark]:
    """Marsh gas rising in threads from the dark (``low``: from where, in tips below the middle), each with its glint."""
    marks: list[Mark] = []
    for i in range(count):
        t = (i + 0.5) / count
        side = (-1, 1, 1, -1, 1, -1)[i % 6]
        y = MIDDLE + TIP * (low + (0.22 - low) * t)
        room = TIP - 130 - abs(y - MIDDLE)
        x = MIDDLE + side * min(room, 590 + 30 * math.sin(7 * t)) * (0.94 + 0.06 * math.sin(11 * t + side))
        r = 7 + 15 * t * rng.uniform(0.6, 1.15)
        ground = ramp(COLUMN, (y - MIDDLE + TIP) / (3 * TIP))
        marks.append(filled(ellipse(x, y, r, r), mix(ground, AMBER_PALE, 0.55)))
        marks.append(filled(ellipse(x + r * 0.1, y - r * 0.08, r * 0.8, r * 0.8), mix(ground, AMBER, 0.3)))
        marks.append(filled(ellipse(x - r * 0.34, y + r * 0.36, r * 0.24, r * 0.18, 0.7), COTTON))
    return marks


def rain_face_marks() -> list[Mark]:
    """Panel 13: a shower over the pool, one great ring where the first drop fell."""
    rng = random.Random(13)
    marks = _column(False, rng)
    water = MIDDLE + 0.5 * TIP
    for x, y, r in (
        (0, 250, 66),
        (-170, 150, 40),
        (185, 165, 46),
        (-40, 120, 30),
        (80, 60, 26),
        (-270, 62, 26),
        (300, 70, 24),
        (-120, 330, 26),
        (110, 375, 22),
    ):
        if _inside(MIDDLE + x, water + y, 0):
            marks += drop(MIDDLE + x, water + y, r, (SLATE_DEEP, SLATE, SKY_PALE, MIST))
    marks += rings(MIDDLE, water - 74, (52, 104, 164, 232, 308), 0.2, COTTON, AMBER, 9)
    return marks + _bubbles(rng, 34)


def rain_face_lines(low_address: bool) -> list[Line]:
    """Panel 13's live text; ``low_address`` hangs the web address so low that it runs over the fold lines."""
    blocks = (
        (say.DROP_RAIN_TITLE, HEAD, 176, COTTON, 1.02, 0.0),
        (say.DROP_RAIN_BODY, BODY, 54, COTTON, 1.34, 66.0),
    )
    rows = stack(blocks, MIDDLE, MIDDLE + 330, 960, "centre")
    return [*rows, line(say.WEB, LABEL, 60, MIDDLE, MIDDLE - (778 if low_address else 470), AMBER_PALE, "centre")]


def sponge_face_marks() -> list[Mark]:
    """Panel 14: moss at the water line and the figure, all lettering outlined."""
    rng = random.Random(14)
    marks = _column(False, rng)
    water = MIDDLE + 0.5 * TIP
    marks += _bubbles(rng, 22, -0.36)
    for row in (0, 1):
        for i in range(15):
            u = 2 * (i + 0.5 * row) / 14 - 1
            x, y = MIDDLE + u * 385, water - 140 - 46 * row + 26 * math.cos(3 * u)
            pick = REDS if i in (3, 4, 11) else GOLDS if i in (7, 12) else GREENS
            if _inside(x, y + 250, 40):
                marks += moss_shoot(x, y, rng.uniform(215, 275) * (1 - 0.28 * abs(u)), rng, pick, u * 26)
    marks += drop(
        MIDDLE, MIDDLE - 60, 330, (mix(AMBER_DEEP, PEAT_DEEP, 0.25), AMBER, mix(AMBER, AMBER_PALE, 0.5), AMBER_PALE)
    )
    for row in sponge_face_lines():
        marks += outlined(row)
    return marks


def sponge_face_lines() -> list[Line]:
    """The lines that panel 14 shows as outlines."""
    figure = line(say.DROP_SPONGE_FIGURE, HEAD, 250, MIDDLE + 6, MIDDLE - 268, PEAT_BLACK, "centre")
    return [figure, *stack(((say.DROP_SPONGE_BODY, SUB, 62, COTTON, 1.3, 0.0),), MIDDLE, MIDDLE - 438, 640, "centre")]


def flight_face_marks() -> list[Mark]:
    """Panel 15: a hawker over the pool, its ripples, and reeds below."""
    rng = random.Random(15)
    marks = _column(False, rng)
    water = MIDDLE + 0.5 * TIP
    marks += rings(MIDDLE, water - 62, (60, 118, 184, 256), 0.17, COTTON, AMBER, 8)
    marks.append(filled(ellipse(MIDDLE, water - 62, 120, 10), mix(AMBER, AMBER_DEEP, 0.6)))
    marks += turned(
        dragonfly(body=mix(HEATHER_DEEP, SLATE_DEEP, 0.5), wing=COTTON), MIDDLE - 14, water + 178, 0.42, 0.62
    )
    marks += _bubbles(rng, 26)
    stem = [
        (MIDDLE + 60, MIDDLE - 0.82 * TIP),
        (MIDDLE + 34, MIDDLE - 0.66 * TIP),
        (MIDDLE + 42, MIDDLE - 0.36 * TIP),
        (MIDDLE + 20, MIDDLE - 0.29 * TIP),
    ]
    marks.append(stroked(smooth(stem), mix(AMBER_DEEP, PEAT_DEEP, 0.2), 15))
    marks += turned(nymph(mix(AMBER, AMBER_DEEP, 0.5)), MIDDLE + 32, MIDDLE - 0.52 * TIP, 0.06, 1.05)
    return marks


def flight_face_lines() -> list[Line]:
    """Panel 15's live text."""
    blocks = (
        (say.DROP_FLIGHT_TITLE, HEAD, 150, COTTON, 1.04, 0.0),
        (say.DROP_FLIGHT_BODY, BODY, 54, COTTON, 1.34, 60.0),
    )
    return stack(blocks, MIDDLE, MIDDLE + 300, 860, "centre")

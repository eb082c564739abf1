"""The box: a core of bog at its true size, its strata running round all four corners without a break.

Gives the wrap of panels 1–4. The page is 3676 × 2676 mm; the strata repeat after 3600 mm, the way round the metal,
so the right edge of panel 4 meets the left edge of panel 1 as well.
"""

from __future__ import annotations

import math
import random

from . import copy_text as say
from .ground import Level, fibres, grass_edge, sampled
from .lettering import BODY, HEAD, LABEL, SUB, Line, column, line, stack
from .palette import (
    AMBER_PALE,
    CLAY,
    COTTON,
    DAWN,
    FIBRE,
    MIST,
    MOSS,
    MOSS_BRIGHT,
    MOSS_DEEP,
    MOSS_PALE,
    PEAT,
    PEAT_BLACK,
    PEAT_DEEP,
    PEAT_WARM,
    SAND,
    SKY_PALE,
    STRAW,
    Ink,
    mix,
)
from .paths import Mark, blade, ellipse, extent, filled, limb, moved, rectangle, stroked, under, waves
from .plants import GOLDS, GREENS, REDS, cotton_grass, heather, moss_shoot, sundew
from .wood_and_stone import birch, bog_oak, stone

WIDTH, HEIGHT, ROUND = 3676.0, 2676.0, 3600.0
LEFTS = (0.0, 1000.0, 1800.0, 2800.0)  # where each panel's art size begins on the wrap: its visible left − 44
GROUND = 2290.0  # today's surface: the top of the scale of years
X0, X1 = -60.0, WIDTH + 60

# from the top down: (depth of the layer's upper level, its ink, its strands' tint, how uneven it is)
LAYERS: tuple[tuple[float, Ink, Ink, float], ...] = (
    (105, mix(FIBRE, MOSS, 0.35), STRAW, 20),
    (190, mix(FIBRE, PEAT_WARM, 0.3), STRAW, 16),
    (275, PEAT_WARM, FIBRE, 16),
    (420, mix(PEAT_WARM, PEAT, 0.75), FIBRE, 18),
    (610, PEAT, PEAT_WARM, 18),
    (660, mix(PEAT_WARM, PEAT, 0.3), FIBRE, 14),
    (705, mix(PEAT, PEAT_DEEP, 0.45), PEAT_WARM, 18),
    (900, PEAT_DEEP, PEAT_WARM, 22),
    (1105, mix(PEAT_DEEP, PEAT_WARM, 0.55), FIBRE, 12),
    (1135, mix(PEAT_DEEP, PEAT, 0.4), PEAT_WARM, 14),
    (1330, mix(PEAT_DEEP, PEAT, 0.6), PEAT_WARM, 20),
    (1500, PEAT_BLACK, PEAT_DEEP, 10),  # an old fire
    (1522, mix(PEAT, MOSS_DEEP, 0.22), PEAT_WARM, 16),
    (1700, mix(PEAT_DEEP, PEAT, 0.5), PEAT_WARM, 20),
    (1890, mix(PEAT, MOSS_DEEP, 0.55), MOSS, 18),  # reeds, when this was a lake
    (2118, mix(CLAY, PEAT_DEEP, 0.55), CLAY, 16),
    (2152, CLAY, MIST, 12),
    (2200, mix(CLAY, SAND, 0.45), SAND, 12),
)


def _around(marks: list[Mark]) -> list[Mark]:
    """The marks again one round earlier and later, where those reach the page."""
    kept = list(marks)
    for shift in (-ROUND, ROUND):
        for mark in moved(marks, lambda x, y, s=shift: (x + s, y)):
            x0, _, x1, _ = extent(mark.path)
            if x1 > X0 and x0 < X1:
                kept.append(mark)
    return kept


def _levels() -> list[Level]:
    rng = random.Random(417)
    made: list[Level] = []
    for depth, _, _, rough in LAYERS:
        wave = waves(rng, ROUND, rough * 0.55, (1, 2, 5, 9, 16))
        made.append(lambda x, d=depth, w=wave: GROUND - d + w(x))
    return made


def surface(x: float) -> float:
    """Today's surface of the living moss: hummocks and hollows."""
    return GROUND + _SURFACE(x)


_SURFACE = waves(random.Random(9), ROUND, 17, (2, 3, 7, 11))


def _sky() -> list[Mark]:
    marks = [filled(rectangle(X0, GROUND - 200, X1 - X0, HEIGHT - GROUND + 260), SKY_PALE)]
    rng = random.Random(3)
    for i, share in enumerate((0.12, 0.3, 0.5, 0.7, 0.86, 1.0)):
        wave = waves(rng, ROUND, 16, (1, 2, 3))
        level = [(x, HEIGHT - 30 - i * 66 + y) for x, y in sampled(wave, X0, X1, 120)]
        marks.append(
            filled(under(level, GROUND - 200), mix(mix(SKY_PALE, MIST, share), DAWN, max(0.0, share * 1.7 - 0.7)))
        )
    far = waves(rng, ROUND, 13, (3, 5, 8))
    marks.append(
        filled(
            under([(x, GROUND + 62 + y) for x, y in sampled(far, X0, X1, 80)], GROUND - 200), mix(SKY_PALE, MOSS, 0.35)
        )
    )
    return marks


def _trees() -> list[Mark]:
    rng = random.Random(51)
    marks: list[Mark] = []
    for x, h in ((1490, 250), (1590, 330), (1668, 215), (2540, 235), (3330, 310), (3420, 225)):
        marks += birch(x, GROUND + 34, h, rng, (MOSS, MOSS_BRIGHT, MOSS_PALE), rng.uniform(-0.1, 0.1))
    return marks


def _strata() -> list[Mark]:
    rng = random.Random(77)
    levels = _levels()
    marks = [filled(under(sampled(surface, X0, X1, 40), -60), MOSS)]
    for i, (_, ink, tint, _) in enumerate(LAYERS):
        high = levels[i]
        low: Level = levels[i + 1] if i + 1 < len(levels) else (lambda x: -40.0)
        marks.append(filled(under(sampled(high, X0, X1, 45), -60), ink))
        thick = (LAYERS[i + 1][0] if i + 1 < len(LAYERS) else HEIGHT) - LAYERS[i][0]
        soft = 0.34 if i > 2 else 0.7  # quiet behind the lettering, lively near the surface
        inks = (mix(ink, tint, soft), mix(ink, tint, soft * 0.5), mix(ink, PEAT_BLACK, 0.35))
        marks += fibres(0, WIDTH, low, high, inks, int(26 + thick * 0.75), rng, ROUND)
    return marks


def _buried() -> list[Mark]:
    """What lies in the peat: roots reaching down, a birch log, the bog oak, stones in the clay."""
    rng = random.Random(1203)
    marks: list[Mark] = []
    for _ in range(70):
        x, reach = rng.uniform(0, ROUND), rng.uniform(60, 300)
        points = [
            (x, GROUND - 40),
            (x + rng.uniform(-18, 18), GROUND - 40 - reach * 0.5),
            (x + rng.uniform(-40, 40), GROUND - 60 - reach),
        ]
        marks.append(filled(limb(points, [4.5, 3, 1.2]), mix(FIBRE, STRAW, rng.random() * 0.6)))
    log = [(2250, 652), (2400, 668), (2560, 660), (2720, 672)]
    marks.append(filled(limb(log, [52, 58, 54, 46]), mix(STRAW, FIBRE, 0.45)))
    marks.append(filled(limb([(x, y + 9) for x, y in log], [20, 24, 22, 16]), mix(SAND, FIBRE, 0.2)))
    for x in (2280, 2345, 2390, 2475, 2530, 2610, 2655):
        marks.append(
            filled(blade(x, 656 + rng.uniform(-6, 20), rng.uniform(-0.1, 0.1), rng.uniform(20, 46), 7), PEAT_DEEP)
        )
    end = (2722, 672)
    for share, ink in ((1.0, FIBRE), (0.82, SAND), (0.56, mix(SAND, FIBRE, 0.4)), (0.4, SAND), (0.16, FIBRE)):
        marks.append(filled(ellipse(*end, 13 * share, 24 * share, 0.08), ink))
    marks += bog_oak(3210, 560, 330, rng, PEAT_BLACK, mix(PEAT_WARM, FIBRE, 0.25))
    for _ in range(46):
        r = rng.uniform(9, 40)
        marks += stone(rng.uniform(0, ROUND), rng.uniform(-6, 78), r, rng, mix(CLAY, SAND, rng.random()))
    return marks


def _living() -> list[Mark]:
    """The living layer: shoots of moss all round, and above them what grows from it."""
    rng = random.Random(2024)
    marks: list[Mark] = []
    inks = (GREENS, GREENS, GREENS, GOLDS, REDS)
    back = grass_edge(surface, 0, ROUND, 110, 260, (MOSS, MOSS_BRIGHT, mix(MOSS_PALE, STRAW, 0.5)), rng)
    marks += back
    for row, (count, sink, tall) in enumerate(((118, 95, 150), (112, 130, 160), (104, 168, 165))):
        for i in range(count):
            x = ROUND * (i + 0.5 * (row % 2) + rng.uniform(-0.3, 0.3)) / count
            cluster = math.sin(math.tau * x / ROUND * 5 + row * 0.4) + 0.6 * math.sin(math.tau * x / ROUND * 9 + 2)
            drift = cluster + rng.gauss(0, 0.42)
            pick = inks[4] if drift > 1.25 else inks[3] if drift < -1.3 else inks[0]
            marks += moss_shoot(x, surface(x) - sink, tall * rng.uniform(0.8, 1.1), rng, pick, rng.uniform(-14, 14))
    for x, h, lean in (
        (150, 280, 50),
        (236, 205, 44),
        (300, 305, 66),
        (892, 230, 46),
        (960, 288, 60),
        (1150, 240, 52),
        (1880, 295, 58),
        (1962, 225, 44),
        (2290, 270, 54),
        (2700, 230, 50),
        (2770, 300, 62),
        (3060, 250, 50),
        (3530, 285, 54),
    ):
        marks += cotton_grass(x, surface(x) - 20, h, lean, rng)
    for x, h in (
        (556, 150),
        (590, 180),
        (612, 195),
        (648, 140),
        (2118, 165),
        (2140, 185),
        (2176, 150),
        (3180, 160),
        (3215, 190),
        (3240, 150),
        (1330, 150),
        (1352, 178),
        (1390, 165),
    ):
        marks += heather(x, surface(x) - 20, h, rng)
    for x in (745, 2460, 3350):
        marks += sundew(x, surface(x) - 4, 175, rng, (0.45, 1.05, 1.6, 2.15, 2.75))
    return marks


def core_marks() -> list[Mark]:
    """The whole wrap's picture."""
    sky_part = _sky()
    turning = _around(_trees())
    return sky_part + turning + _strata() + _around(_buried()) + _around(_living()) + _scale_marks()


def _depth(years: float) -> float:
    return GROUND - years


def _scale_marks() -> list[Mark]:
    """The scale of years on the right side: one bar a century, longer ones where there is something to say."""
    marks = [stroked((("M", (1196, _depth(300))), ("L", (1196, _depth(2000)))), STRAW, 4)]
    for years in range(300, 2001, 100):
        y, long = _depth(years), years % 500 == 0
        reach, ink, width = (74, COTTON, 6) if long else (40, STRAW, 4)
        marks.append(stroked((("M", (1196, y)), ("L", (1196 + reach, y))), ink, width))
    return marks


def _front(spread: bool) -> list[Line]:
    head = say.CORE_HEADLINE_ONE_TOO_WIDE if spread else say.CORE_HEADLINE
    lines = [line(t, HEAD, 208, 112, 1838 - i * 206, COTTON) for i, t in enumerate(head)]
    words = ((say.CORE_SUB, SUB, 78, AMBER_PALE, 1.22, 0.0), (say.CORE_BODY, BODY, 46, COTTON, 1.36, 56.0))
    return lines + stack(words, 116, 1300, 850)


def _scale() -> list[Line]:
    x = 1300
    lines = stack(((say.CORE_SCALE_TITLE, SUB, 78, AMBER_PALE, 1.14, 0.0),), x, 2046, 478)
    for years, label, words in say.CORE_SCALE:
        y = _depth(years)
        lines.append(line(label, LABEL, 62, x, y - 20, COTTON))
        lines += column(words, BODY, 46, x, y - 84, 474, MIST, 1.26)
    return lines


def _back() -> list[Line]:
    words = (
        (say.CORE_CARBON_TITLE, HEAD, 168, COTTON, 1.0, 0.0),
        (say.CORE_CARBON_SUB, SUB, 70, AMBER_PALE, 1.24, 70.0),
        (say.CORE_CARBON_BODY, BODY, 46, COTTON, 1.36, 56.0),
    )
    return stack(words, 1912, 1920, 850)


def _left() -> list[Line]:
    words = (
        (say.CORE_OAK_TITLE, HEAD, 150, COTTON, 1.0, 0.0),
        (say.CORE_OAK_SUB, SUB, 70, AMBER_PALE, 1.24, 60.0),
        (say.CORE_OAK_BODY, BODY, 46, COTTON, 1.36, 50.0),
    )
    return stack(words, 2912, 1920, 660)


def core_lines(spread: bool) -> list[Line]:
    """All live text of the wrap; ``spread`` sets the headline a line too wide, over the corner of panels 1 and 2."""
    return _front(spread) + _scale() + _back() + _left()

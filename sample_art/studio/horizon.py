"""The long wall: the bog at first light, a boardwalk going out into it. Panel 9, 5676 × 2576 mm.

Its cloth is too wide for the roll and may not be turned, so a seam stands upright in the middle, at x = 2838.
"""

from __future__ import annotations

import math
import random

from . import copy_text as say
from .animals import dragonfly
from .ground import Level, band, boardwalk, grass_edge, pool, rings, sky, sun
from .lettering import BODY, HEAD, LABEL, SUB, Line, line, stack, width
from .palette import (
    AMBER,
    AMBER_DEEP,
    AMBER_PALE,
    COTTON,
    DAWN,
    FIBRE,
    HEATHER,
    HEATHER_DEEP,
    HEATHER_PALE,
    MIST,
    MOSS,
    MOSS_BRIGHT,
    MOSS_DEEP,
    MOSS_NIGHT,
    MOSS_PALE,
    PEAT,
    PEAT_BLACK,
    PEAT_DEEP,
    PEAT_WARM,
    ROSE,
    SKY_PALE,
    SLATE,
    STRAW,
    WINE,
    Ink,
    mix,
)
from .paths import Mark, blade, filled, turned, waves
from .plants import GOLDS, GREENS, REDS, cotton_grass, head_of_moss, heather, moss_shoot, tussock
from .wood_and_stone import birch, bog_oak

WIDTH, HEIGHT = 5676.0, 2576.0
SEAM = 2838.0
EYE = 1060.0  # the horizon's level
X0, X1 = -80.0, WIDTH + 80


def _level(rng: random.Random, base: float, rough: float, harmonics: tuple[int, ...]) -> Level:
    wave = waves(rng, WIDTH * 1.1, rough, harmonics)
    return lambda x: base + wave(x)


def _heaven() -> list[Mark]:
    rng = random.Random(12)
    stops = [
        (0.0, COTTON),
        (0.14, mix(DAWN, COTTON, 0.3)),
        (0.36, DAWN),
        (0.58, mix(ROSE, DAWN, 0.45)),
        (0.8, mix(HEATHER_PALE, ROSE, 0.5)),
        (1.0, mix(HEATHER_PALE, SKY_PALE, 0.35)),
    ]
    marks = sky(WIDTH, EYE - 60, HEIGHT, stops, 17, rng)
    halo = (mix(DAWN, COTTON, 0.45), mix(DAWN, AMBER_PALE, 0.22), mix(DAWN, AMBER_PALE, 0.42))
    marks += sun(3540, EYE + 150, 150, halo, mix(AMBER_PALE, COTTON, 0.1))
    for i in range(11):
        k = abs(i - 4)
        x, y, s = 2330 + i * 74, 1520 - k * 30 + i * 4, 34 - i
        for side in (1, -1):
            marks.append(filled(blade(x, y, math.pi / 2 - side * 1.1, s, s * 0.26, -side * 0.7), PEAT_DEEP))
    return marks


def _hills() -> list[Mark]:
    rng = random.Random(27)
    marks: list[Mark] = []
    layers = (
        (EYE + 175, 40, mix(HEATHER_PALE, ROSE, 0.25), (1, 2, 5)),
        (EYE + 112, 30, mix(HEATHER, HEATHER_PALE, 0.62), (2, 3, 7)),
        (EYE + 58, 20, mix(mix(HEATHER, SLATE, 0.45), HEATHER_PALE, 0.25), (2, 5, 9)),
    )
    for base, rough, ink, harmonics in layers:
        marks.append(band(_level(rng, base, rough, harmonics), X0, X1, -60, ink, 110))
    marks.append(band(_level(rng, EYE + 30, 8, (1, 3, 4)), X0, X1, -60, mix(MIST, DAWN, 0.4), 150))
    wood = _level(rng, EYE + 12, 7, (4, 9, 15))
    marks += grass_edge(wood, -40, WIDTH + 40, 62, 420, (mix(SLATE, MOSS_DEEP, 0.5), mix(SLATE, MOSS, 0.4)), rng)
    marks.append(band(wood, X0, X1, -60, mix(SLATE, MOSS_DEEP, 0.45), 60))
    marks.append(band(_level(rng, EYE - 14, 6, (2, 3)), X0, X1, -60, mix(MIST, MOSS_PALE, 0.4), 150))
    return marks


def _plain() -> list[Mark]:
    """Hummocks and pools from the horizon to the near bank, each row larger, darker and redder than the last."""
    rng = random.Random(43)
    rows: tuple[tuple[float, float, Ink, tuple[Ink, ...], float, int], ...] = (
        (1010, 6, mix(MOSS_PALE, STRAW, 0.35), (MOSS_BRIGHT, STRAW), 26, 260),
        (945, 9, mix(MOSS_BRIGHT, STRAW, 0.35), (MOSS_BRIGHT, MOSS, AMBER), 40, 240),
        (850, 14, mix(MOSS_BRIGHT, MOSS, 0.45), (MOSS, MOSS_BRIGHT, mix(AMBER, MOSS, 0.4)), 62, 230),
        (715, 20, mix(MOSS, AMBER_DEEP, 0.22), (MOSS_BRIGHT, MOSS, AMBER), 92, 220),
        (540, 28, mix(MOSS, MOSS_DEEP, 0.55), (MOSS_BRIGHT, MOSS, STRAW), 130, 210),
    )
    ponds = {
        945: ((700, 968, 230, 12), (1900, 972, 260, 12), (3750, 966, 330, 13), (5000, 972, 260, 12)),
        850: ((300, 885, 300, 20), (1480, 890, 330, 20), (3560, 886, 430, 23), (4650, 884, 330, 19)),
        715: ((900, 770, 420, 30), (3850, 768, 520, 36), (5300, 764, 330, 30)),
        540: ((560, 612, 480, 44), (4560, 606, 640, 52)),
    }
    waters = (mix(SLATE, HEATHER_PALE, 0.45), mix(HEATHER_PALE, ROSE, 0.5), DAWN)
    marks: list[Mark] = []
    for base, rough, ink, blades, tall, count in rows:
        for x, y, rx, ry in ponds.get(int(base), ()):
            marks += pool(x, y, rx, ry, rng, mix(PEAT_DEEP, ink, 0.3), waters, COTTON)
            if ry > 28:
                marks += rings(
                    x - rx * 0.2, y - ry * 0.15, [rx * k for k in (0.04, 0.08, 0.13, 0.19)], 0.13, COTTON, waters[1], 4
                )
        land = _level(rng, base - 60, rough, (2, 5, 9, 14))
        marks += grass_edge(land, -40, WIDTH + 40, tall, count, (*blades, ink), rng)
        marks.append(band(land, X0, X1, -60, ink, 70))
        for _ in range(int(count * 0.5)):
            x = rng.uniform(0, WIDTH)
            y = land(x) - rng.uniform(0.1, 0.9) * (70 + tall)
            patch = (mix(WINE, ink, 0.35), mix(AMBER, ink, 0.4), mix(MOSS_BRIGHT, ink, 0.45), mix(ink, MOSS_DEEP, 0.4))[
                rng.randrange(4)
            ]
            marks.append(
                filled(blade(x, y, rng.uniform(-0.06, 0.06), tall * rng.uniform(1.2, 3.4), tall * 0.14), patch)
            )
        if base == 945:
            for x, h in ((1190, 420), (1330, 560), (1450, 380), (5060, 470), (5180, 620), (5330, 430), (5450, 520)):
                marks += birch(
                    x,
                    land(x) - 6,
                    h,
                    rng,
                    (MOSS, MOSS_BRIGHT, MOSS_PALE) if x < 3000 else (MOSS_BRIGHT, AMBER_PALE, MOSS),
                    rng.uniform(-0.08, 0.1),
                )
    return marks


def _hollow() -> list[Mark]:
    """The wet ground beside the boards: tufts and cushions of moss."""
    rng = random.Random(71)
    marks: list[Mark] = []
    for y in range(460, -40, -34):
        for x0, x1 in ((1480, 2150), (2560, 3620)):
            for _ in range(3):
                x, size = rng.uniform(x0, x1), 70 + (460 - y) * 0.24
                if rng.random() < 0.55:
                    marks += tussock(
                        x,
                        y,
                        size * rng.uniform(0.9, 1.5),
                        rng,
                        (MOSS, mix(MOSS, MOSS_BRIGHT, 0.5), mix(STRAW, MOSS, 0.4)),
                        9,
                    )
                else:
                    marks += head_of_moss(x, y, size * 0.42, rng, REDS if rng.random() < 0.16 else GREENS)
    return marks


def _way() -> list[Mark]:
    way = [
        (2050, -90, 560),
        (2270, 190, 400),
        (2640, 430, 255),
        (2700, 610, 165),
        (2500, 745, 104),
        (2470, 850, 66),
        (2640, 925, 40),
        (2760, 972, 23),
    ]
    boards = (mix(SAND_LIGHT, FIBRE, 0.25), mix(STRAW, MIST, 0.45), mix(SAND_LIGHT, SLATE, 0.3), mix(STRAW, FIBRE, 0.4))
    return boardwalk(way, boards, PEAT_DEEP, 84, random.Random(5))


SAND_LIGHT = mix(STRAW, MIST, 0.5)


def _bank(x0: float, x1: float, top: float, rng: random.Random, tip_left: bool) -> list[Mark]:
    """The near bank at one end of the wall: a cut edge of peat under living moss."""

    def slope(x: float) -> float:
        t = min(1.0, max(0.0, (x - x0) / (x1 - x0)))
        t = 1 - t if tip_left else t
        return top * max(0.0, 1 - t**2.2) + 16 * math.sin(x / 83) + 9 * math.sin(x / 37) - 30

    marks = [band(slope, x0, x1, -60, PEAT_DEEP, 40)]
    marks.append(band(lambda x: slope(x) * 0.66 - 20, x0, x1, -60, mix(PEAT_DEEP, PEAT_BLACK, 0.6), 40))
    for _ in range(150):
        x = rng.uniform(x0, x1)
        y = slope(x) * rng.uniform(0.05, 0.85)
        if y > 0:
            marks.append(
                filled(
                    blade(x, y, rng.uniform(-0.12, 0.12), rng.uniform(60, 240), 6),
                    mix(PEAT, PEAT_WARM if rng.random() < 0.4 else PEAT_BLACK, rng.random() * 0.7),
                )
            )
    half = int((x1 - x0) / 44)
    for i in range(2 * half):
        x, sink = x0 + 44 * (i % half + 0.5 * (i // half) + rng.uniform(-0.3, 0.3)), 84 + 40 * (i // half)
        drift = math.sin(x / 210) + rng.gauss(0, 0.5)
        inks = REDS if drift > 1.1 else GOLDS if drift < -1.2 else GREENS
        if slope(x) > 40:
            marks += moss_shoot(x, slope(x) - sink, rng.uniform(202, 236), rng, inks, rng.uniform(-16, 16))
    return marks


def _near() -> list[Mark]:
    rng = random.Random(88)
    marks: list[Mark] = []
    marks += _bank(-80, 1500, 420, rng, False)
    for x, h, lean in (
        (120, 1050, 170),
        (230, 820, 130),
        (330, 1180, 190),
        (470, 900, 150),
        (590, 1040, 180),
        (720, 760, 120),
        (860, 620, 110),
        (40, 700, 120),
    ):
        marks += cotton_grass(x, 360 - x * 0.12, h, lean, rng)
    for x, h in ((1010, 380), (1060, 450), (1115, 400), (1165, 330), (960, 310)):
        marks += heather(x, 250 - (x - 900) * 0.3, h, rng)
    marks += _bank(3350, WIDTH + 80, 440, rng, True)
    marks += bog_oak(4700, 470, 400, rng, PEAT_BLACK, mix(PEAT_WARM, FIBRE, 0.3))
    for i in range(30):
        marks += moss_shoot(
            4230 + i * 34,
            -110 + 120 * math.sin(math.pi * i / 29) + rng.uniform(-14, 14),
            rng.uniform(202, 250),
            rng,
            REDS if i % 7 == 3 else GREENS,
            rng.uniform(-16, 16),
        )
    for x, h in ((4990, 420), (5040, 520), (5100, 470), (5160, 560), (5220, 430), (5270, 500), (5330, 380)):
        marks += heather(x, 340, h, rng)
    for x, h, lean in ((5420, 520, -90), (5520, 400, -70), (5600, 600, -100), (5340, 380, -70)):
        marks += cotton_grass(x, 330, h, lean, rng)
    for x, h in ((1300, 360), (3560, 330), (3780, 420), (4060, 360)):
        marks += tussock(x, 70 if x < 3700 else 120, h, rng, (MOSS_BRIGHT, MOSS, STRAW), 17)
    marks += turned(dragonfly(body=mix(HEATHER_DEEP, SLATE, 0.2)), 4150, 900, -0.7, 0.52)
    return marks


def horizon_marks() -> list[Mark]:
    """The whole panel's picture."""
    return _heaven() + _hills() + _plain() + _hollow() + _way() + _near()


def horizon_lines(one_line: bool) -> list[Line]:
    """All live text; ``one_line`` runs the headline across the seam, else it stands in two lines clear of it."""
    lines: list[Line] = []
    first, second = say.HORIZON_HEADLINE
    if one_line:
        size = 236.0
        whole = f"{first} {second}"
        lines.append(line(whole, HEAD, size, SEAM - 0.5 * width(whole, HEAD, size), 2190, PEAT_BLACK))
    else:
        lines += [line(t, HEAD, 270, 190, 2170 - i * 280, PEAT_BLACK) for i, t in enumerate((first, second))]
    lines += stack(((say.HORIZON_SUB, SUB, 92, PEAT_DEEP, 1.25, 0.0),), 198, 1760, 2300)
    rules: list = [((say.HORIZON_TITLE,), LABEL, 92, MOSS_NIGHT, 1.0, 0.0)]
    rules += [(words, BODY, 62, PEAT_BLACK, 1.3, 34.0) for words in say.HORIZON_BODY]
    lines += stack(rules, 3960, 1990, 1560)
    return lines

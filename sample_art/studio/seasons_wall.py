"""The wall of three bays: one bog plain running on behind both joints, in spring, summer and autumn.

Gives the wrap of panels 6–8, 3076 × 2376 mm; visible 44–1032, 1044–2032, 2044–3032.
"""

from __future__ import annotations

import math
import random

from . import copy_text as say
from .animals import dragonfly
from .ground import Level, band, grass_edge, pool, rings, sampled, sun
from .lettering import BODY, HEAD, SUB, Line, line, stack, width
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
    WINE_BRIGHT,
    Ink,
    mix,
    ramp,
)
from .paths import Mark, blade, filled, rectangle, turned, under, waves
from .plants import GOLDS, GREENS, REDS, cotton_grass, heather, moss_shoot, sundew, sundew_stalk, tussock
from .wood_and_stone import birch

WIDTH, HEIGHT = 3076.0, 2376.0
LEFTS = (0.0, 1000.0, 2000.0)  # where each bay's art size begins on the wrap
SPRING, SUMMER, AUTUMN = 500.0, 1540.0, 2560.0  # the middle of each season on the page
COLUMNS = 72  # the seasons pass in this many narrow steps of colour


def _season(x: float, spring: Ink, summer: Ink, autumn: Ink) -> Ink:
    return ramp([(SPRING, spring), (SUMMER, summer), (AUTUMN, autumn)], x)


def _passing(level: Level, floor: float, inks: tuple[Ink, Ink, Ink]) -> list[Mark]:
    """A layer whose colour passes through the seasons: steps painted from the left, each on to the right edge."""
    marks = []
    for i in range(COLUMNS):
        x = -60 + (WIDTH + 120) * i / COLUMNS
        ink = _season(x + WIDTH / COLUMNS / 2, *inks)
        points = sampled(level, x, WIDTH + 60, 120)
        if i:  # a sloping start hides the step
            path = (("M", (x - 60, floor)), ("L", points[0]), *under(points, floor)[1:-2], ("Z", ()))
            marks.append(filled(path, ink))
        else:
            marks.append(filled(under(points, floor), ink))
    return marks


def _sky() -> list[Mark]:
    rng = random.Random(8)
    tops = (mix(SKY_PALE, MIST, 0.35), mix(DAWN, COTTON, 0.2), mix(ROSE, HEATHER_PALE, 0.45))
    lows = (COTTON, mix(DAWN, AMBER_PALE, 0.35), mix(AMBER_PALE, ROSE, 0.6))
    marks = [filled(rectangle(-60, 900, WIDTH + 120, 1600), tops[0])]
    for i in range(7):
        share = i / 6
        wave = waves(rng, WIDTH, 20, (1, 2, 3))
        base = 2460 - 225 * i
        inks = tuple(mix(a, b, share) for a, b in zip(tops, lows, strict=True))
        marks += _passing(lambda x, b=base, w=wave: b + w(x), 880, inks)  # type: ignore[arg-type]
    return marks


def _distance() -> list[Mark]:
    rng = random.Random(15)
    marks: list[Mark] = []
    layers = (
        (1090, 26, (SKY_PALE, mix(HEATHER_PALE, SKY_PALE, 0.45), mix(HEATHER_PALE, ROSE, 0.35))),
        (1020, 22, (mix(SLATE, SKY_PALE, 0.5), mix(HEATHER, SKY_PALE, 0.55), mix(HEATHER, ROSE, 0.35))),
        (950, 12, (mix(MOSS, SLATE, 0.5), mix(MOSS, SKY_PALE, 0.3), mix(FIBRE, HEATHER, 0.4))),
        (880, 10, (mix(MOSS_PALE, MOSS, 0.4), mix(MOSS_PALE, MOSS_BRIGHT, 0.5), mix(STRAW, AMBER, 0.5))),
    )
    for level, rough, inks in layers:
        wave = waves(rng, WIDTH * 1.3, rough, (1, 3, 5, 8))
        marks += _passing(lambda x, b=level, w=wave: b + w(x), -60, inks)  # type: ignore[misc]
        if level == 950:
            for x, h, leaves in (
                (212, 250, (MOSS_BRIGHT, MOSS_PALE)),
                (300, 330, (MOSS_BRIGHT, MOSS_PALE, MOSS)),
                (392, 220, (MOSS_BRIGHT, MOSS_PALE)),
                (1760, 240, (MOSS, MOSS_DEEP, MOSS_BRIGHT)),
                (2700, 330, (AMBER, AMBER_PALE, WINE_BRIGHT)),
                (2800, 260, (AMBER, AMBER_DEEP)),
                (2900, 300, ()),
            ):
                marks += birch(x, 896, h + 30, rng, leaves, rng.uniform(-0.1, 0.12))
    return marks


def _plain() -> list[Mark]:
    """The near bog: pools between hummocks, darker and fuller towards the foot of the wall."""
    rng = random.Random(33)
    marks: list[Mark] = []
    rows = (
        (800, 12, (MOSS_PALE, MOSS_BRIGHT, AMBER), (MOSS_BRIGHT, MOSS, AMBER_DEEP), 50),
        (700, 16, (MOSS_BRIGHT, MOSS, mix(WINE_BRIGHT, AMBER, 0.4)), (MOSS, MOSS_DEEP, WINE), 64),
        (560, 22, (MOSS, mix(MOSS, MOSS_DEEP, 0.5), WINE), (MOSS_BRIGHT, MOSS, WINE_BRIGHT), 90),
        (400, 30, (mix(MOSS, MOSS_DEEP, 0.6), MOSS_DEEP, mix(WINE, PEAT_DEEP, 0.4)), (MOSS_BRIGHT, MOSS, AMBER), 110),
    )
    waters = (
        (mix(SLATE, SKY_PALE, 0.2), SKY_PALE, MIST),
        (mix(AMBER_DEEP, PEAT, 0.4), AMBER, mix(DAWN, AMBER_PALE, 0.4)),
        (mix(HEATHER_DEEP, PEAT, 0.4), HEATHER, ROSE),
    )
    ponds = {
        700: (
            (250, 742, 150, 16),
            (880, 760, 120, 12),
            (1340, 748, 170, 16),
            (1900, 752, 130, 13),
            (2380, 745, 170, 16),
        ),
        560: ((690, 632, 230, 30), (1690, 630, 250, 32), (2740, 628, 230, 30)),
        400: ((330, 490, 260, 44), (1280, 486, 270, 42), (2250, 484, 290, 44)),
    }
    for level, rough, land, blades, tall in rows:
        for px, py, rx, ry in ponds.get(level, ()):
            which = 0 if px < 1038 else 1 if px < 2038 else 2
            marks += pool(px, py, rx, ry, rng, mix(PEAT_DEEP, land[which], 0.25), waters[which], COTTON)
            if ry > 25:
                marks += rings(
                    px + rx * 0.25,
                    py - ry * 0.1,
                    [rx * k for k in (0.05, 0.1, 0.16, 0.23)],
                    0.16,
                    COTTON,
                    waters[which][1],
                    3,
                )
        wave = waves(rng, WIDTH * 1.2, rough, (2, 4, 7, 11))

        def height(x: float, b: float = level - 60, w: Level = wave) -> float:
            return b + w(x)

        for i, ink in enumerate(blades):
            x0 = -40 + i * 1020
            back = mix(ink, land[i], 0.45)
            marks += grass_edge(height, x0, x0 + 1080, tall, 62, (ink, back, land[i]), rng)
        marks += _passing(height, -60, land)
    marks.append(band(waves_at(rng, 215, 18), -60, WIDTH + 60, -60, PEAT_DEEP, 60))
    marks.append(band(waves_at(rng, 96, 12), -60, WIDTH + 60, -60, PEAT_BLACK, 60))
    for _ in range(150):
        x, y = rng.uniform(-20, WIDTH), rng.uniform(4, 190)
        marks.append(
            filled(
                blade(x, y, rng.uniform(-0.12, 0.12), rng.uniform(60, 210), 5),
                mix(PEAT_WARM if y > 90 else PEAT, PEAT_DEEP, rng.uniform(0.2, 0.8)),
            )
        )
    return marks


def waves_at(rng: random.Random, base: float, rough: float) -> Level:
    """A level that wanders about ``base`` across the wall."""
    wave = waves(rng, WIDTH * 1.1, rough, (2, 3, 6, 10))
    return lambda x: base + wave(x)


def _foreground() -> list[Mark]:
    rng = random.Random(61)
    marks: list[Mark] = []
    for i in range(132):
        x = -30 + (WIDTH + 60) * (i % 66 + 0.5 * (i // 66) + rng.uniform(-0.3, 0.3)) / 66
        drift = (x - 1538) / 1538 + rng.gauss(0, 0.28)
        inks = REDS if drift > 0.62 else GOLDS if drift > 0.38 else GREENS
        marks += moss_shoot(
            x, 168 - 40 * (i // 66) + rng.uniform(-16, 10), rng.uniform(202, 245), rng, inks, rng.uniform(-14, 14)
        )
    for x, h, n in ((110, 330, 17), (960, 260, 14), (1130, 300, 15), (2090, 300, 15), (2960, 340, 17)):
        ink = (MOSS_BRIGHT, MOSS, MOSS_PALE) if x < 2000 else (AMBER, STRAW, AMBER_DEEP)
        marks += tussock(x, 240, h, rng, ink, n)
    for x, h, lean in (
        (170, 760, 110),
        (262, 610, 96),
        (330, 900, 140),
        (430, 700, 120),
        (520, 540, 90),
        (640, 800, 130),
        (760, 620, 104),
        (850, 470, 84),
        (90, 520, 80),
    ):
        marks += cotton_grass(x, 230, h, lean, rng)
    marks += sundew_stalk(1488, 330, 640, 70, rng)
    marks += sundew(1460, 330, 400, rng, (0.12, 0.62, 1.12, 1.72, 2.28, 2.82, 3.2))
    for x, h in ((1800, 420), (1846, 500), (1902, 450), (1950, 380), (2000, 430), (1768, 330)):
        marks += heather(x, 250, h, rng)
    for x, h in ((2150, 400), (2205, 340), (2830, 420), (2880, 360)):
        marks += heather(x, 250, h, rng, (PEAT, mix(HEATHER, FIBRE, 0.5), mix(HEATHER_PALE, STRAW, 0.4)))
    for x, h, lean in ((2430, 470, 100), (2520, 380, 84), (2640, 520, 110)):
        marks += cotton_grass(x, 240, h, lean, rng, AMBER_DEEP)
    marks += turned(dragonfly(), 1236, 905, 0.72, 0.37)
    return marks


def _birds() -> list[Mark]:
    """A skein going south over the autumn bay."""
    marks = []
    for i in range(9):
        k = abs(i - 3)
        x, y, s = 2330 + i * 52, 1250 + (3 - k) * 26 - 0.6 * i * 8, 26 - i * 0.8
        for side in (1, -1):
            marks.append(filled(blade(x, y, math.pi / 2 - side * 1.12, s, s * 0.26, -side * 0.7), PEAT_DEEP))
    return marks


def wall_marks() -> list[Mark]:
    """The whole wrap's picture."""
    light = sun(
        2380, 1085, 96, (mix(AMBER_PALE, ROSE, 0.62), mix(AMBER_PALE, ROSE, 0.4)), mix(AMBER_PALE, COTTON, 0.35)
    )
    return _sky() + light + _birds() + _distance() + _plain() + _foreground()


def wall_lines(stepped: bool) -> list[Line]:
    """All live text; ``stepped`` pushes one word of the middle phrase over the joint of panels 7 and 8."""
    ink, size, y = MOSS_NIGHT, 96, 2120
    left = 112.0
    lines: list[Line] = []
    for i, phrase in enumerate(say.WALL_LINE):
        x = LEFTS[i] + left
        if i == 1 and stepped:
            first, word = say.WALL_LINE_STEP
            lines.append(line(first, SUB, size, x + 175, y, ink))
            lines.append(line(word, SUB, size, x + 175 + width(first + " ", SUB, size), y, ink))
        else:
            lines.append(line(phrase, SUB, size, x, y, ink))
    for i, (name, words) in enumerate(say.WALL_SEASONS):
        blocks = (((name,), HEAD, 190, PEAT_DEEP, 1.0, 0.0), (words, BODY, 46, PEAT_BLACK, 1.36, 44.0))
        lines += stack(blocks, LEFTS[i] + left, 1960, 850)
    return lines

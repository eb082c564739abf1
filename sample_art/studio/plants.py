"""The bog's plants and its dragonfly, each a list of marks from a foot point (or about the origin), mm, y up."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence

from .palette import (
    AMBER,
    AMBER_DEEP,
    AMBER_PALE,
    COTTON,
    FIBRE,
    HEATHER,
    HEATHER_DEEP,
    HEATHER_PALE,
    MIST,
    MOSS,
    MOSS_BRIGHT,
    MOSS_DEEP,
    MOSS_PALE,
    PEAT,
    PEAT_DEEP,
    SLATE,
    STRAW,
    WINE,
    WINE_BRIGHT,
    Ink,
    mix,
)
from .paths import Mark, blade, disc, ellipse, filled, limb, smooth, stroked

UP = math.pi / 2
GREENS = (MOSS_DEEP, MOSS, MOSS_BRIGHT, MOSS_PALE)
REDS = (mix(WINE, PEAT_DEEP, 0.4), WINE, WINE_BRIGHT, mix(WINE_BRIGHT, STRAW, 0.5))
GOLDS = (AMBER_DEEP, AMBER, AMBER_PALE, mix(AMBER_PALE, MOSS_PALE, 0.5))


def head_of_moss(x: float, y: float, r: float, rng: random.Random, inks: Sequence[Ink] = GREENS) -> list[Mark]:
    """A sphagnum head from above: three whorls of pointed branches, lightest in the middle."""
    marks: list[Mark] = []
    turn = rng.uniform(0, math.tau)
    for share, count, ink in ((1.0, 13, inks[0]), (0.86, 11, inks[1]), (0.62, 9, inks[2]), (0.36, 7, inks[3])):
        for i in range(count):
            angle = turn + math.tau * i / count + rng.uniform(-0.12, 0.12)
            length = r * share * rng.uniform(0.86, 1.04)
            marks.append(filled(blade(x, y, angle, length, length * 0.34, rng.uniform(-0.5, 0.5)), ink))
        turn += 0.31
    return marks


def moss_shoot(
    x: float, y: float, height: float, rng: random.Random, inks: Sequence[Ink] = GREENS, lean: float = 0.0
) -> list[Mark]:
    """A sphagnum shoot from the side: stem, tiers of spreading and hanging branches, a crowded head."""
    top = (x + lean, y + height)
    stem = [(x, y), (x + lean * 0.25, y + height * 0.4), (x + lean * 0.65, y + height * 0.75), top]
    marks = [stroked(smooth(stem), mix(inks[1], STRAW, 0.45), height * 0.018)]
    near = height > 200  # a shoot seen close shows all its branches
    tiers = 7 if near else 5
    for tier in range(tiers):
        t = 0.06 + 0.84 * tier / tiers
        px, py = x + lean * t * (0.5 + 0.5 * t), y + height * t
        size = height * (0.17 + 0.04 * math.sin(3 * t)) * rng.uniform(0.9, 1.1)
        ink = mix(mix(inks[0], inks[1], t), FIBRE, max(0.0, 0.62 - 1.15 * t))  # the foot is dying back into peat
        for side in (1, -1):
            hang = UP - side * rng.uniform(2.5, 2.8)
            marks.append(filled(blade(px, py, hang, size * 0.8, size * 0.17, side * 0.3), mix(ink, STRAW, 0.22)))
            spread = UP - side * rng.uniform(1.4, 2.0)
            marks.append(filled(blade(px, py, spread, size, size * 0.23, -side * 0.7), ink))
            if near:
                marks.append(
                    filled(
                        blade(px, py, spread + side * 0.45, size * 0.85, size * 0.2, -side * 0.6),
                        mix(ink, inks[2], 0.35),
                    )
                )
    whorls = ((0.25, 11, 1.75, inks[1]), (0.21, 9, 1.35, inks[2]), (0.13, 6, 0.9, inks[3]))
    for share, full, reach, ink in whorls:
        count = full if near else full - 2
        for i in range(count):
            off = reach * (2 * i / (count - 1) - 1)
            length = height * share * rng.uniform(0.88, 1.05) * (1 - 0.1 * abs(off))
            marks.append(
                filled(blade(top[0], top[1] - height * 0.02, UP - off, length, length * 0.25, -off * 0.35), ink)
            )
    return marks


def cotton_grass(x: float, y: float, height: float, lean: float, rng: random.Random, stem: Ink = MOSS) -> list[Mark]:
    """One cotton grass: a bowed stem and a silky tuft that the wind combs to the side it leans to."""
    tip = (x + lean, y + height)
    line = [(x, y), (x + lean * 0.18, y + height * 0.5), (x + lean * 0.62, y + height * 0.88), tip]
    marks = [stroked(smooth(line), stem, 2.5 + height * 0.004)]
    r = 30 + height * 0.08
    side = 1 if lean >= 0 else -1
    hang = -UP + side * 0.62
    cx, cy = tip[0] + math.cos(hang) * r * 0.42, tip[1] + math.sin(hang) * r * 0.42
    marks.append(filled(ellipse(cx, cy, r * 0.5, r * 0.38, hang), MIST))
    for layer, ink in ((1.12, mix(MIST, SLATE, 0.32)), (1.02, MIST), (0.92, mix(MIST, COTTON, 0.6)), (0.84, COTTON)):
        for _ in range(30):
            off = rng.gauss(0, 0.62)
            length = r * layer * rng.uniform(0.8, 1.15) * (1 - 0.16 * abs(off))
            px, py = tip[0] + rng.uniform(-0.07, 0.07) * r, tip[1] + rng.uniform(-0.07, 0.07) * r
            marks.append(
                filled(blade(px, py, hang + off, length, r * 0.085, side * rng.uniform(0.2, 0.9) - off * 0.35), ink)
            )
    for off in (-0.35, 0.45):
        marks.append(filled(blade(tip[0], tip[1] + r * 0.02, hang + off, r * 0.2, r * 0.1), mix(FIBRE, STRAW, 0.3)))
    return marks


def tussock(x: float, y: float, height: float, rng: random.Random, inks: Sequence[Ink], count: int = 16) -> list[Mark]:
    """A tuft of grass blades fanning from one foot."""
    marks = []
    for i in range(count):
        off = 1.05 * (2 * i / (count - 1) - 1) + rng.uniform(-0.12, 0.12)
        length = height * rng.uniform(0.55, 1.0) * (1 - 0.25 * abs(off))
        ink = inks[rng.randrange(len(inks))]
        marks.append(
            filled(blade(x + off * height * 0.06, y, UP - off * 0.8, length, height * 0.045 + 1.5, -off * 0.5), ink)
        )
    rng.shuffle(marks)
    return marks


def heather(
    x: float, y: float, height: float, rng: random.Random, inks: Sequence[Ink] = (HEATHER_DEEP, HEATHER, HEATHER_PALE)
) -> list[Mark]:
    """A sprig of heather: woody stem, needle leaves, a spire of bells."""
    lean = rng.uniform(-0.25, 0.25) * height
    marks = [
        stroked(smooth([(x, y), (x + lean * 0.3, y + height * 0.5), (x + lean, y + height)]), PEAT, height * 0.016)
    ]
    rows = round(12 + height / 22)
    for i in range(rows):
        t = 0.1 + 0.9 * i / rows
        px, py = x + lean * (0.35 * t + 0.65 * t * t), y + height * t
        size = height * (1.12 if t > 0.42 else 1.3) / rows * (1.15 - 0.55 * t)
        for side in (1, -1):
            angle = UP - side * rng.uniform(0.7, 1.1)
            if t < 0.42:
                marks.append(filled(blade(px, py, angle, size * 1.5, size * 0.4), MOSS_DEEP if side > 0 else MOSS))
            else:
                cx, cy = px + math.cos(angle) * size, py + math.sin(angle) * size
                ink = inks[1] if rng.random() < 0.6 else inks[0] if side < 0 else inks[2]
                marks.append(filled(ellipse(cx, cy, size * 0.85, size * 0.55, angle), ink))
    return marks


def sundew(
    x: float, y: float, size: float, rng: random.Random, leaves: Sequence[float], ground: Ink = MOSS
) -> list[Mark]:
    """A round-leaved sundew: stalked spoons at the given angles, red hairs, each with its drop."""
    marks: list[Mark] = []
    for angle in leaves:
        reach = size * rng.uniform(0.62, 0.8)
        bend = rng.uniform(-0.25, 0.25)
        cx, cy = x + reach * math.cos(angle), y + reach * math.sin(angle)
        mid = (x + reach * 0.5 * math.cos(angle + bend), y + reach * 0.5 * math.sin(angle + bend))
        stalk = limb([(x, y), mid, (cx, cy)], [size * 0.042, size * 0.034, size * 0.046])
        marks.append(filled(stalk, mix(ground, MOSS_BRIGHT, 0.55)))
        marks.append(stroked(smooth([(x, y), mid, (cx, cy)]), WINE_BRIGHT, size * 0.011))
        marks += _spoon(cx, cy, size * 0.17 * rng.uniform(0.9, 1.1), angle, rng)
    marks += head_of_moss(x, y, size * 0.12, rng, (WINE, WINE_BRIGHT, MOSS_BRIGHT, MOSS_PALE))
    return marks


def _spoon(x: float, y: float, r: float, angle: float, rng: random.Random) -> list[Mark]:
    """One leaf: a round blade fringed with hairs that end in a gland inside a clear drop."""
    hairs: list[Mark] = []
    drops: list[Mark] = []

    def hair(a: float, root: float, tip: float, drop: float) -> None:
        start = (x + root * r * math.cos(a), y + root * r * math.sin(a))
        end = (x + tip * r * math.cos(a), y + tip * r * math.sin(a))
        bow = rng.uniform(-0.08, 0.08) * r
        mid = ((start[0] + end[0]) / 2 - math.sin(a) * bow, (start[1] + end[1]) / 2 + math.cos(a) * bow)
        hairs.append(stroked(smooth([start, mid, end]), WINE_BRIGHT, r * 0.035))
        d = r * drop
        drops.append(filled(disc(*end, d), AMBER_PALE))
        drops.append(filled(disc(end[0], end[1], d * 0.55), WINE))
        drops.append(filled(disc(end[0] - d * 0.36, end[1] + d * 0.4, d * 0.26), COTTON))

    count = 30
    for i in range(count):
        a = angle + math.tau * (i + 0.5) / count + rng.uniform(-0.07, 0.07)
        stretch = 1.42 + 0.34 * math.cos(a - angle) + rng.uniform(-0.14, 0.2)
        hair(a, 0.8, stretch, 0.1 * rng.uniform(0.8, 1.3))
    for i in range(17):
        a, root = angle + 2.4 * i, 0.8 * math.sqrt((i + 0.5) / 17)
        hair(a, root, root + 0.14, 0.055 * rng.uniform(0.85, 1.2))
    face = [
        filled(ellipse(x, y, r * 1.02, r * 0.92, angle), WINE_BRIGHT),
        filled(ellipse(x - r * 0.02, y + r * 0.04, r * 0.95, r * 0.84, angle), mix(WINE_BRIGHT, MOSS_BRIGHT, 0.45)),
        filled(ellipse(x - r * 0.05, y + r * 0.07, r * 0.84, r * 0.72, angle), MOSS_BRIGHT),
        filled(ellipse(x - r * 0.12, y + r * 0.16, r * 0.55, r * 0.42, angle), mix(MOSS_BRIGHT, MOSS_PALE, 0.6)),
    ]
    return hairs[:count] + face + hairs[count:] + drops


def sundew_stalk(x: float, y: float, height: float, lean: float, rng: random.Random) -> list[Mark]:
    """The sundew's flower stalk: bare, crooked over at the top, small white flowers on one side."""
    crook = [
        (x, y),
        (x + lean * 0.2, y + height * 0.55),
        (x + lean * 0.55, y + height * 0.93),
        (x + lean, y + height),
        (x + lean * 1.5, y + height * 0.94),
    ]
    marks = [stroked(smooth(crook), mix(MOSS, WINE, 0.5), height * 0.012)]
    for i, (t, px) in enumerate(((0.8, 0.42), (0.87, 0.5), (0.94, 0.58), (1.0, 0.9), (0.97, 1.3))):
        cx, cy, r = x + lean * px, y + height * t, height * 0.026
        marks.append(filled(ellipse(cx, cy - r * 0.6, r * 0.6, r), MOSS))
        for p in range(5 if i > 1 else 3):
            a = UP + (p - (2 if i > 1 else 1)) * 0.62 + rng.uniform(-0.1, 0.1)
            marks.append(filled(blade(cx, cy, a, r * 2.0, r * 1.1), COTTON if p % 2 else MIST))
        marks.append(filled(disc(cx, cy + r * 0.4, r * 0.4), AMBER_PALE))
    return marks

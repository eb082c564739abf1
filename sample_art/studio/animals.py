"""The bog's dragonfly and its young, about the origin, mm, y up; set down with ``turned``."""

from __future__ import annotations

import math

from .palette import (
    AMBER_DEEP,
    AMBER_PALE,
    COTTON,
    PEAT_BLACK,
    PEAT_DEEP,
    SKY_PALE,
    SLATE,
    SLATE_DEEP,
    Ink,
    mix,
)
from .paths import Mark, Point, blade, disc, ellipse, filled, smooth, stroked

UP = math.pi / 2


def dragonfly(wing: Ink = COTTON, vein: Ink = PEAT_DEEP, body: Ink = SLATE_DEEP, band: Ink = AMBER_PALE) -> list[Mark]:
    """A hawker from above, about the origin, head up, wings 1000 mm across; set down with ``turned``."""
    fore = [(18, 64), (120, 112), (300, 140), (440, 142), (497, 122), (488, 86), (420, 62), (260, 40), (90, 30)]
    hind = [
        (18, 30),
        (130, 34),
        (300, 22),
        (420, 0),
        (455, -34),
        (425, -74),
        (330, -98),
        (200, -100),
        (90, -74),
        (30, -10),
    ]
    marks: list[Mark] = []
    for s in (1, -1):
        marks += _wing([(s * x, y) for x, y in hind], (s * 22, 20), s, wing, vein)
        marks += _wing([(s * x, y) for x, y in fore], (s * 22, 52), s, wing, vein)
    for i in range(9):
        y, w = -22 - i * 50, 15 - abs(i - 2) * 0.6
        w = w * (0.8 if i == 2 else 1)
        marks.append(filled(ellipse(0, y - 25, w, 29), body))
        for s in (1, -1):
            marks.append(filled(ellipse(s * w * 0.48, y - 13, w * 0.3, 7.5), band))
        marks.append(filled(ellipse(0, y - 40, w * 0.42, 4), mix(body, SKY_PALE, 0.5)))
    for s in (1, -1):
        marks.append(filled(blade(s * 5, -472, -UP + s * 0.12, 44, 9), body))
    marks.append(filled(ellipse(0, 40, 31, 58), mix(body, PEAT_BLACK, 0.3)))
    for s in (1, -1):
        marks.append(filled(ellipse(s * 14, 52, 5.5, 32, -s * 0.16), band))
        marks.append(filled(ellipse(s * 19, 12, 4.5, 17, -s * 0.5), mix(body, SKY_PALE, 0.6)))
    for s in (1, -1):
        marks.append(filled(ellipse(s * 16, 109, 21, 18, s * 0.35), mix(body, SLATE, 0.6)))
        marks.append(filled(ellipse(s * 19, 113, 9, 6, s * 0.5), SKY_PALE))
    marks.append(filled(ellipse(0, 122, 9, 8), band))
    return marks


def _wing(outline: list[Point], root: Point, side: int, wing: Ink, vein: Ink) -> list[Mark]:
    """A wing: membrane, long veins fanning from the root, a ladder of short ones, the dark cell near the tip."""
    n = len(outline)
    half = n // 2 + 1
    lead, trail = outline[:half], outline[half:][::-1]
    marks = [filled(smooth(outline, closed=True), wing), stroked(smooth([root, *lead[1:]]), vein, 3.2)]

    def rib(t: float, level: float) -> Point:
        def along(points: list[Point], u: float) -> Point:
            k = min(int(u * (len(points) - 1)), len(points) - 2)
            f = u * (len(points) - 1) - k
            return points[k][0] + (points[k + 1][0] - points[k][0]) * f, points[k][1] + (
                points[k + 1][1] - points[k][1]
            ) * f

        a, b = along(lead, t), along([root, *trail, lead[-1]], t)
        return a[0] + (b[0] - a[0]) * level, a[1] + (b[1] - a[1]) * level

    levels = (0.1, 0.28, 0.48, 0.7, 0.88)
    tone = mix(vein, wing, 0.25)
    for level in levels:
        marks.append(stroked(smooth([root, *(rib(t, level) for t in (0.15, 0.3, 0.45, 0.6, 0.75, 0.9))]), tone, 1.7))
    marks.append(stroked(smooth(outline, closed=True), vein, 2.0))
    for i in range(4, 26):
        t = i / 27
        for k, (u, v) in enumerate(zip((0.0, *levels), (*levels, 1.0), strict=True)):
            shift = 0.018 * (k % 2)
            marks.append(
                stroked((("M", rib(t + shift, u)), ("L", rib(t + shift + 0.006, v))), mix(vein, wing, 0.5), 1.1)
            )
    cell = [rib(0.8, 0.0), rib(0.9, 0.0), rib(0.9, 0.13), rib(0.8, 0.13)]
    marks.append(filled((("M", cell[0]), *(("L", p) for p in cell[1:]), ("Z", ())), AMBER_DEEP))
    return marks


def nymph(body: Ink = AMBER_DEEP, light: Ink = AMBER_PALE) -> list[Mark]:
    """A dragonfly's young from above, about the origin, head up, 300 mm long; set down with ``turned``."""
    marks: list[Mark] = []
    for s in (1, -1):
        for y, reach, fall in ((70, 86, 60), (45, 104, 10), (20, 96, -70)):
            knee, foot = (s * reach * 0.62, y + fall * 0.3 + 26), (s * reach, y + fall)
            marks.append(stroked(smooth([(s * 12, y), knee, foot]), body, 7))
    for i in range(9):
        w = 31 * math.sin(0.55 + 2.0 * (i + 0.6) / 9) + 2
        y = -4 - 17.5 * i
        marks.append(filled(ellipse(0, y, w, 13), body if i % 2 else mix(body, light, 0.16)))
        marks.append(filled(ellipse(0, y + 2, w * 0.34, 4), mix(body, light, 0.6)))
    for s in (1, -1, 0):
        marks.append(filled(blade(s * 6, -150, -UP + s * 0.35, 34, 12), body))
        marks.append(filled(blade(s * 13, 42, -UP + s * 0.2, 78, 22, -s * 0.2), mix(body, light, 0.4)))
    marks.append(filled(ellipse(0, 52, 27, 38), body))
    marks.append(filled(ellipse(0, 98, 30, 20), mix(body, light, 0.16)))
    for s in (1, -1):
        marks.append(filled(ellipse(s * 23, 104, 11, 13, -s * 0.4), mix(body, PEAT_BLACK, 0.65)))
        marks.append(filled(disc(s * 21, 108, 3.4), light))
        marks.append(stroked(smooth([(s * 9, 116), (s * 14, 130), (s * 22, 138)]), body, 3))
    return marks

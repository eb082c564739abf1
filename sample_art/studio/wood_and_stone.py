"""Birches, bog oak, stones and water drops, each from a foot point or middle, mm, y up."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence

from .palette import (
    COTTON,
    FIBRE,
    MIST,
    PEAT,
    PEAT_BLACK,
    PEAT_DEEP,
    SLATE,
    Ink,
    mix,
)
from .paths import Mark, Point, blade, blob, disc, ellipse, filled, limb, smooth, stroked

UP = math.pi / 2


def birch(
    x: float, y: float, height: float, rng: random.Random, leaves: Sequence[Ink] = (), lean: float = 0.04
) -> list[Mark]:
    """A bog birch: white bark with dark bands, fine hanging branches, leaves if any inks are given."""
    w = height * 0.034
    line = [(x + lean * height * t * t + w * 0.4 * math.sin(5 * t), y + height * t) for t in (0, 0.25, 0.5, 0.75, 1)]
    marks: list[Mark] = []
    twigs: list[Point] = []
    for i in range(15):
        t = 0.3 + 0.66 * i / 15
        px, py = x + lean * height * t * t, y + height * t
        side = 1 if rng.random() < (0.75 if i % 2 else 0.25) else -1
        reach = height * (0.34 - 0.26 * t) * rng.uniform(0.55, 1.25)
        mid = (px + side * reach * 0.42, py + reach * rng.uniform(0.5, 0.85))
        end = (px + side * reach, py + reach * rng.uniform(0.3, 0.75))
        marks.append(stroked(smooth([(px, py), mid, end]), PEAT, w * 0.16))
        for k in range(5):
            u = 0.4 + 0.6 * k / 4
            bx, by = px + side * reach * u, py + reach * (0.62 * math.sin(u * 2.2))
            drop = height * rng.uniform(0.05, 0.11)
            marks.append(
                stroked(
                    smooth([(bx, by), (bx + side * drop * 0.3, by - drop * 0.4), (bx + side * drop * 0.35, by - drop)]),
                    PEAT,
                    w * 0.07,
                )
            )
            twigs += [
                (bx + side * drop * 0.3 * v + rng.uniform(-w, w), by - drop * v) for v in (0.15, 0.45, 0.75, 1.05)
            ]
    marks.append(filled(limb(line, [w, w * 0.8, w * 0.6, w * 0.38, w * 0.12]), COTTON))
    marks.append(
        filled(
            limb(
                [(px + w * 0.26 * (1 - k / 5), py) for k, (px, py) in enumerate(line)],
                [w * 0.42, w * 0.34, w * 0.26, w * 0.16, w * 0.06],
            ),
            mix(MIST, SLATE, 0.25),
        )
    )
    for _ in range(int(height / 26)):
        t = rng.uniform(0.01, 0.9) ** 1.3
        half = w * (1 - 0.78 * t) * rng.uniform(0.12, 0.32)
        cx = x + lean * height * t * t + w * 0.4 * math.sin(5 * t) + rng.uniform(-0.2, 0.2) * w * (1 - t)
        marks.append(filled(ellipse(cx, y + height * t, half, max(1.0, half * 0.24), 0.1), PEAT_DEEP))
    for px, py in twigs if leaves else ():
        ink = leaves[rng.randrange(len(leaves))]
        marks.append(filled(blade(px, py, rng.uniform(-2.4, -0.7), height * 0.033, height * 0.019), ink))
    return marks


def bog_oak(
    x: float, y: float, size: float, rng: random.Random, dark: Ink = PEAT_BLACK, grain: Ink = PEAT
) -> list[Mark]:
    """A stump of bog oak on its roots: black, broken off, its grain laid bare."""
    marks: list[Mark] = []
    roots = (
        (-1.05, 0.2, 0.15),
        (-0.62, 0.55, 0.16),
        (-0.2, 0.74, 0.12),
        (0.3, 0.7, 0.14),
        (0.72, 0.42, 0.17),
        (1.15, 0.12, 0.13),
    )
    for dx, drop, thick in roots:
        knee = (x + dx * size * 0.5, y - drop * size * 0.22 + rng.uniform(-0.03, 0.03) * size)
        toe = (x + dx * size * 0.92, y - drop * size * 0.62)
        tip = (x + dx * size * 1.2 + rng.uniform(-0.1, 0.1) * size, y - drop * size * 0.9)
        points = [(x + dx * size * 0.12, y + size * 0.3), knee, toe, tip]
        marks.append(filled(limb(points, [size * thick * 1.5, size * thick, size * thick * 0.55, size * 0.02]), dark))
        for k in (-0.22, 0.12):
            shifted = [
                (px + k * size * thick * (1 - i / 4), py + k * size * thick * (1 - i / 4))
                for i, (px, py) in enumerate(points[:3])
            ]
            marks.append(stroked(smooth(shifted), grain, size * 0.009))
    crown = [
        (-0.34, 0.05),
        (-0.27, 0.5),
        (-0.3, 0.92),
        (-0.2, 1.2),
        (-0.15, 0.98),
        (-0.05, 1.08),
        (0.0, 0.94),
        (0.08, 1.02),
        (0.13, 0.84),
        (0.22, 0.9),
        (0.26, 0.5),
        (0.36, 0.05),
    ]
    trunk: list[Point] = [(x + u * size, y + v * size) for u, v in crown]
    marks.append(
        filled(
            (
                ("M", trunk[0]),
                *smooth(trunk[:3])[1:],
                *(("L", p) for p in trunk[3:9]),
                *smooth(trunk[9:])[1:],
                ("Z", ()),
            ),
            dark,
        )
    )
    for i in range(11):
        u = -0.25 + 0.05 * i
        top = 0.88 + 0.06 * math.sin(i * 2.1) - 1.6 * max(0.0, u - 0.08)  # the right side is broken lower
        sway = rng.uniform(-0.02, 0.02)
        points = [
            (x + size * (u * 1.15), y + size * rng.uniform(-0.02, 0.22)),
            (x + size * (u * 0.95 + sway), y + size * 0.45),
            (x + size * (u * 0.9), y + size * top * rng.uniform(0.7, 0.95)),
        ]
        marks.append(stroked(smooth(points), mix(grain, FIBRE, 0.2 * (i % 3)), size * 0.008))
    marks.append(
        filled(ellipse(x - size * 0.04, y + size * 0.5, size * 0.055, size * 0.085, 0.2), mix(dark, grain, 0.5))
    )
    marks.append(filled(ellipse(x - size * 0.035, y + size * 0.5, size * 0.03, size * 0.05, 0.2), dark))
    return marks


def drop(x: float, y: float, r: float, inks: Sequence[Ink], wet: Ink = COTTON) -> list[Mark]:
    """A hanging water drop, its point up; the last ink is the lightest, at the far side of the light."""
    shape: list[Point] = [
        (x, y + r * 1.9),
        (x + r * 0.42, y + r * 0.92),
        (x + r * 0.97, y + r * 0.1),
        (x + r * 0.68, y - r * 0.76),
        (x, y - r),
        (x - r * 0.68, y - r * 0.76),
        (x - r * 0.97, y + r * 0.1),
        (x - r * 0.42, y + r * 0.92),
    ]
    marks = []
    for i, ink in enumerate(inks):
        k = 1 - 0.2 * i
        points = [(x + (px - x) * k + r * 0.07 * i, y + (py - y) * k - r * 0.1 * i) for px, py in shape]
        body = smooth(points, closed=True) if i else (("M", points[0]), *smooth([*points, points[0]])[1:], ("Z", ()))
        marks.append(filled(body, ink))
    marks.append(filled(ellipse(x - r * 0.48, y + r * 0.2, r * 0.1, r * 0.27, -0.35), wet))
    marks.append(filled(disc(x - r * 0.3, y + r * 0.6, r * 0.06), wet))
    return marks


def stone(x: float, y: float, r: float, rng: random.Random, ink: Ink) -> list[Mark]:
    """A boulder-clay stone with a lit upper side."""
    flat = rng.uniform(0.55, 0.85)
    return [
        filled(blob(x, y, r, r * flat, rng, 0.1), mix(ink, PEAT_BLACK, 0.35)),
        filled(blob(x - r * 0.06, y + r * 0.1, r * 0.86, r * flat * 0.78, rng, 0.08), ink),
        filled(ellipse(x - r * 0.25, y + r * flat * 0.32, r * 0.36, r * 0.13, 0.2), mix(ink, COTTON, 0.35)),
    ]

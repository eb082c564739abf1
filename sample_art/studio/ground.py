"""The ground: strata of peat, bands of land and sky, pools, rain rings. All in full-size mm, y up."""

from __future__ import annotations

import itertools
import math
import random
from collections.abc import Callable, Sequence

from .palette import Ink, mix, ramp
from .paths import Mark, blade, blob, disc, ellipse, filled, polygon, rectangle, smooth, stroked, under

Level = Callable[[float], float]


def sampled(level: Level, x0: float, x1: float, step: float) -> list[tuple[float, float]]:
    """Points of a level from x0 to x1, at most ``step`` apart."""
    n = max(2, math.ceil((x1 - x0) / step))
    return [(x0 + (x1 - x0) * i / n, level(x0 + (x1 - x0) * i / n)) for i in range(n + 1)]


def band(level: Level, x0: float, x1: float, floor: float, ink: Ink, step: float = 90) -> Mark:
    """Everything under a level."""
    return filled(under(sampled(level, x0, x1, step), floor), ink)


def sky(
    width: float, y0: float, y1: float, stops: Sequence[tuple[float, Ink]], steps: int, rng: random.Random
) -> list[Mark]:
    """A sky of soft, nearly level washes from y0 up to y1; ``stops`` run from 0 (low) to 1 (high)."""
    marks = [filled(rectangle(-60, y0 - 60, width + 120, y1 - y0 + 120), stops[-1][1])]
    for i in range(steps, 0, -1):
        t = (i - 0.5) / steps
        y = y0 + (y1 - y0) * i / steps
        swell = (y1 - y0) / steps * 0.55
        phase, long = rng.uniform(0, math.tau), rng.uniform(0.8, 1.9) * math.tau / width

        def level(x: float, y: float = y, swell: float = swell, phase: float = phase, long: float = long) -> float:
            return y + swell * math.sin(long * x + phase) + 0.4 * swell * math.sin(2.7 * long * x - phase)

        marks.append(band(level, -60, width + 60, y0 - 60, ramp(list(stops), t), 160))
    return marks


def fibres(
    x0: float,
    x1: float,
    low: Level,
    high: Level,
    inks: Sequence[Ink],
    count: int,
    rng: random.Random,
    period: float | None = None,
) -> list[Mark]:
    """Short strands lying along the layer between two levels; with a period they run on round the structure."""
    marks = []
    for _ in range(count):
        x = rng.uniform(x0, x1 if period is None else x0 + period)
        share, length = rng.random(), rng.uniform(40, 230)
        ink, width = inks[rng.randrange(len(inks))], rng.uniform(1.2, 4.2)
        bow = rng.uniform(-5, 5)
        for shift in (0.0,) if period is None else (-period, 0.0, period):
            if x + shift > x1 + 20 or x + shift + length < x0 - 20:
                continue
            points = []
            for k in range(4):
                px = x + shift + length * k / 3
                y0, y1 = low(px), high(px)
                points.append((px, y0 + (y1 - y0) * (0.06 + 0.88 * share) + bow * math.sin(k)))
            marks.append(stroked(smooth(points), ink, width))
    return marks


def pool(
    x: float, y: float, rx: float, ry: float, rng: random.Random, bank: Ink, waters: Sequence[Ink], glint: Ink
) -> list[Mark]:
    """A bog pool seen low: dark bank, water that lightens towards the far side, level glints."""
    seed = rng.random()
    marks = [filled(blob(x + rx * 0.004, y + ry * 0.13, rx * 1.008, ry * 1.02, random.Random(seed), 0.1, 11), bank)]
    for i, ink in enumerate(waters):
        k = 1 - 0.24 * i
        marks.append(
            filled(blob(x + rx * 0.05 * i, y + ry * 0.14 * i, rx * k, ry * k * 0.94, random.Random(seed), 0.1, 11), ink)
        )
    for _ in range(7):
        u, v = rng.uniform(-0.55, 0.45), rng.uniform(-0.6, 0.5)
        half = rx * rng.uniform(0.06, 0.22) * (1 - abs(v))
        marks.append(
            stroked(
                (("M", (x + u * rx - half, y + v * ry)), ("L", (x + u * rx + half, y + v * ry))),
                glint,
                max(1.2, ry * 0.03),
            )
        )
    return marks


def rings(x: float, y: float, radii: Sequence[float], flat: float, ink: Ink, ground: Ink, width: float) -> list[Mark]:
    """Rain rings, paling outwards; ``flat`` is how low they are seen (1 = from above)."""
    last = len(radii)
    return [
        stroked(ellipse(x, y, r, r * flat), mix(ink, ground, 0.8 * i / last), width * (1 - 0.5 * i / last))
        for i, r in enumerate(radii)
    ]


def sun(x: float, y: float, r: float, halo: Sequence[Ink], disc_ink: Ink) -> list[Mark]:
    """A low sun in haloes, the widest first."""
    n = len(halo)
    marks = [filled(disc(x, y, r * (1 + 1.1 * (n - i))), ink) for i, ink in enumerate(halo)]
    return [*marks, filled(disc(x, y, r), disc_ink)]


def grass_edge(
    level: Level, x0: float, x1: float, height: float, count: int, inks: Sequence[Ink], rng: random.Random
) -> list[Mark]:
    """Single blades along the edge of a layer of land."""
    marks = []
    for _ in range(count):
        x = rng.uniform(x0, x1)
        h = height * rng.uniform(0.4, 1.0)
        ink = inks[rng.randrange(len(inks))]
        marks.append(
            filled(
                blade(
                    x,
                    level(x) - h * 0.15,
                    math.pi / 2 + rng.gauss(-0.1, 0.28),
                    h,
                    2.2 + h * 0.05,
                    rng.uniform(-0.6, 0.6),
                ),
                ink,
            )
        )
    return marks


def boardwalk(
    path: Sequence[tuple[float, float, float]], inks: Sequence[Ink], edge: Ink, planks: int, rng: random.Random
) -> list[Mark]:
    """Boards laid across a way given as (x, y, half width) from near to far; boards shorten with distance."""

    def at(t: float) -> tuple[float, float, float]:
        k = min(int(t * (len(path) - 1)), len(path) - 2)
        f = t * (len(path) - 1) - k
        p0, p1, p2, p3 = (path[min(max(k + d, 0), len(path) - 1)] for d in (-1, 0, 1, 2))
        values = []
        for a, b, c, d in zip(p0, p1, p2, p3, strict=True):
            values.append(
                0.5 * (2 * b + (c - a) * f + (2 * a - 5 * b + 4 * c - d) * f * f + (3 * b - a - 3 * c + d) * f**3)
            )
        return values[0], values[1], values[2]

    edges = [at(i / 60) for i in range(61)]
    rim = [(x - w * 1.03, y) for x, y, w in edges] + [(x + w * 1.03, y - w * 0.05) for x, y, w in edges[::-1]]
    marks = [filled(polygon(rim), edge)]
    far = path[-1][2] / path[0][2]
    places = [(1 - far ** (i / planks)) / (1 - far) for i in range(planks + 1)]
    for a, b in itertools.pairwise(places):
        x0, y0, w0 = at(a)
        x1, y1, w1 = at(a + (b - a) * 0.84)
        tilt = rng.uniform(-0.04, 0.04) * w0
        ink = inks[rng.randrange(len(inks))]
        marks.append(
            filled(
                polygon([(x0 - w0, y0 + tilt), (x0 + w0, y0 - tilt), (x1 + w1, y1 - tilt), (x1 - w1, y1 + tilt)]), ink
            )
        )
        if w0 > 60:
            grain = mix(ink, edge, 0.35)
            for k in (0.3, 0.62):
                y = y0 + (y1 - y0) * k
                marks.append(
                    stroked(
                        (("M", (x0 - w0 * rng.uniform(0.4, 0.9), y)), ("L", (x0 + w0 * rng.uniform(0.2, 0.9), y))),
                        grain,
                        w0 * 0.008,
                    )
                )
    return marks

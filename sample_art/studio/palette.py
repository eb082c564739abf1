"""The exhibit's colours. Every ink carries its sRGB and its CMYK recipe, so that one drawing serves both;
the sRGB value is how the recipe looks when a common viewer turns it to screen colours, so faces drawn in
either meet without a step.

No recipe exceeds 240 % total ink: a limit that most textile printers accept (common practice, no source).
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass


@dataclass(frozen=True)
class Ink:
    """One colour: ``rgb`` 0–255 in sRGB, ``cmyk`` 0–1 in device inks."""

    rgb: tuple[float, float, float]
    cmyk: tuple[float, float, float, float]

    @property
    def hex(self) -> str:
        """The sRGB value as ``#rrggbb``."""
        return "#" + "".join(f"{round(v):02x}" for v in self.rgb)


def _ink(hex_rgb: str, *cmyk: int) -> Ink:
    red, green, blue = (int(hex_rgb[i : i + 2], 16) for i in (0, 2, 4))
    cyan, magenta, yellow, black = (v / 100 for v in cmyk)
    return Ink((red, green, blue), (cyan, magenta, yellow, black))


def mix(a: Ink, b: Ink, share: float) -> Ink:
    """``a`` with ``share`` (0–1) of ``b``, both recipes alike."""

    def blend(p: tuple[float, ...], q: tuple[float, ...]) -> tuple[float, ...]:
        return tuple(u + (v - u) * share for u, v in zip(p, q, strict=True))

    return Ink(blend(a.rgb, b.rgb), blend(a.cmyk, b.cmyk))  # type: ignore[arg-type]


def ramp(stops: list[tuple[float, Ink]], at: float) -> Ink:
    """The colour at ``at`` on a scale of (place, ink) stops in rising order; the ends run on."""
    if at <= stops[0][0]:
        return stops[0][1]
    for (p, a), (q, b) in itertools.pairwise(stops):
        if at <= q:
            return mix(a, b, (at - p) / (q - p))
    return stops[-1][1]


PEAT_BLACK = _ink("20150e", 42, 52, 59, 88)
PEAT_DEEP = _ink("342318", 42, 56, 64, 78)
PEAT = _ink("523626", 41, 62, 72, 59)
PEAT_WARM = _ink("6f4b31", 35, 60, 76, 43)
FIBRE = _ink("9b7048", 27, 49, 73, 22)
STRAW = _ink("ceae74", 15, 26, 59, 6)
CLAY = _ink("808a88", 42, 28, 33, 20)
SAND = _ink("dac8a0", 12, 16, 38, 3)

MOSS_NIGHT = _ink("1f3527", 66, 38, 64, 72)
MOSS_DEEP = _ink("33502f", 65, 31, 79, 55)
MOSS = _ink("5e7c38", 55, 20, 89, 31)
MOSS_BRIGHT = _ink("93a73f", 41, 13, 92, 11)
MOSS_PALE = _ink("cacf85", 22, 8, 58, 1)
WINE = _ink("8a3340", 24, 84, 59, 34)
WINE_BRIGHT = _ink("b74f49", 16, 78, 67, 14)

HEATHER_DEEP = _ink("4b3558", 65, 76, 28, 41)
HEATHER = _ink("805a8c", 45, 66, 7, 18)
HEATHER_PALE = _ink("b69cbb", 25, 37, 7, 4)

COTTON = _ink("f9f5e9", 2, 3, 8, 0)
MIST = _ink("e3e4dc", 9, 6, 11, 1)
DAWN = _ink("f6dfbc", 3, 11, 27, 0)
ROSE = _ink("e5bea6", 9, 26, 32, 0)
SKY_PALE = _ink("b9cdce", 26, 10, 15, 1)
SLATE = _ink("6c8c98", 55, 29, 27, 13)
SLATE_DEEP = _ink("30505b", 75, 48, 40, 41)

AMBER_PALE = _ink("e9b660", 8, 29, 72, 0)
AMBER = _ink("c67d26", 17, 54, 100, 7)
AMBER_DEEP = _ink("86491a", 29, 70, 100, 33)

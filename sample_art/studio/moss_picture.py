"""The box's top panel: a close picture of sphagnum, made of drawn heads in depth, blurred and grained like a photograph.

Gives a TIFF, JPEG-compressed, with its resolution and an sRGB colour profile.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from pathlib import Path as FilePath

import numpy as np
from PIL import Image, ImageDraw, ImageFilter

from artgen.units import MM_PER_INCH

from .palette import MOSS, MOSS_BRIGHT, MOSS_DEEP, MOSS_PALE, PEAT_BLACK, Ink
from .paths import Path
from .plants import head_of_moss
from .writers import srgb_profile

PPI = 64  # a little over the 60 that a picture needs at 3 m and more
ART = (1076.0, 876.0)  # the panel's art size, mm
_TONES = ((0.0, PEAT_BLACK), (0.26, MOSS_DEEP), (0.52, MOSS), (0.76, MOSS_BRIGHT), (1.0, MOSS_PALE))


def pixels(mm: float) -> int:
    """Whole pixels for a length."""
    return round(mm * PPI / float(MM_PER_INCH))


def _flat(path: Path) -> list[tuple[float, float]]:
    """The path as a polygon, five chords to a curve."""
    points: list[tuple[float, float]] = []
    for name, n in path:
        if name in ("M", "L"):
            points.append((n[0], n[1]))
        elif name == "C":
            x0, y0 = points[-1]
            for k in range(1, 6):
                t, s = k / 5, 1 - k / 5
                a, b, c, d = s**3, 3 * s * s * t, 3 * s * t * t, t**3
                points.append((a * x0 + b * n[0] + c * n[2] + d * n[4], a * y0 + b * n[1] + c * n[3] + d * n[5]))
    return points


def _grey(level: float) -> Ink:
    return Ink((level, level, level), (0, 0, 0, 1 - level / 255))


def _layer(picture: Image.Image, rng: random.Random, count: int, radius: float, light: float) -> None:
    """One depth of moss heads strewn over the picture."""
    draw = ImageDraw.Draw(picture)
    w, h = picture.size
    for _ in range(count):
        x, y = rng.uniform(-radius, w + radius), rng.uniform(-radius, h + radius)
        r, bright = radius * rng.uniform(0.7, 1.2), light * rng.uniform(0.78, 1.12)
        tones: Sequence[Ink] = [_grey(bright * k) for k in (0.42, 0.62, 0.83, 1.0)]
        for mark in head_of_moss(x, y, r, rng, tones):
            assert mark.fill is not None
            draw.polygon(_flat(mark.path), fill=round(min(255.0, mark.fill.rgb[0] * rng.uniform(0.88, 1.1))))


def moss_picture() -> Image.Image:
    """The picture at the panel's art size, RGB."""
    rng = random.Random(5)
    size = (pixels(ART[0]), pixels(ART[1]))
    picture = Image.new("L", size, 16)
    for count, radius, light, blur in (
        (620, 150, 66, 9.0),
        (430, 165, 112, 5.0),
        (300, 175, 160, 2.2),
        (210, 185, 205, 0.0),
        (60, 205, 240, 0.0),
    ):
        _layer(picture, rng, count, radius, light)
        if blur:
            picture = picture.filter(ImageFilter.GaussianBlur(blur))
    picture = picture.filter(ImageFilter.GaussianBlur(0.6))
    grey = np.asarray(picture, dtype=np.float32) / 255
    ys, xs = np.mgrid[0 : size[1], 0 : size[0]].astype(np.float32)
    off = np.hypot((xs / size[0] - 0.46) * 1.1, ys / size[1] - 0.44)
    grey *= np.clip(1.12 - 0.55 * off, 0.5, 1.1)
    grain = np.random.default_rng(5).normal(0, 1, grey.shape).astype(np.float32)
    grey = np.clip(grey + 0.012 * grain, 0, 1)
    places = [p for p, _ in _TONES]
    bands = [np.interp(grey, places, [ink.rgb[i] for _, ink in _TONES]) for i in range(3)]
    return Image.fromarray(np.stack(bands, axis=-1).round().astype(np.uint8), "RGB")


def save_moss(file: FilePath, picture: Image.Image, size: tuple[float, float]) -> None:
    """The middle of the picture at ``size`` mm as a TIFF."""
    w, h = pixels(size[0]), pixels(size[1])
    x, y = (picture.width - w) // 2, (picture.height - h) // 2
    part = picture.crop((x, y, x + w, y + h))
    part.save(file, compression="jpeg", quality=52, dpi=(PPI, PPI), icc_profile=srgb_profile())

"""Grounds for the labelled set: pictures without lettering. Takes a generator of chance and a size, gives RGB rows.

The photographs are those that scikit-image carries in its wheel and that show no lettering.
"""

import importlib.util
from collections.abc import Callable
from functools import cache
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw, ImageFilter
from scipy.spatial import cKDTree

Rng = np.random.Generator
Ground = Callable[[Rng, int, int], Image.Image]


def colour(rng: Rng) -> tuple[int, int, int]:
    base = rng.integers(20, 236)
    return tuple(int(v) for v in np.clip(base + rng.integers(-60, 61, 3), 0, 255))


def flat(rng: Rng, w: int, h: int) -> Image.Image:
    return Image.new("RGB", (w, h), colour(rng))


def gradient(rng: Rng, w: int, h: int) -> Image.Image:
    a, b = np.array(colour(rng), float), np.array(colour(rng), float)
    turn = rng.uniform(0, np.pi)
    y, x = np.mgrid[0:h, 0:w]
    t = (x / w * np.cos(turn) + y / h * np.sin(turn))[..., None]
    t = (t - t.min()) / np.ptp(t)
    return Image.fromarray((a + (b - a) * t).astype(np.uint8))


def noise(rng: Rng, w: int, h: int) -> Image.Image:
    base = np.array(colour(rng), float)
    grain = rng.normal(0, rng.uniform(6, 16), (h, w, 1))
    return Image.fromarray(np.clip(base + grain, 0, 255).astype(np.uint8))


def clouds(rng: Rng, w: int, h: int) -> Image.Image:
    total = np.zeros((h, w))
    for octave in range(5):
        n = 3 * 2**octave
        small = Image.fromarray((rng.random((n, n)) * 255).astype(np.uint8))
        total += np.asarray(small.resize((w, h), Image.Resampling.BICUBIC), float) / 2**octave
    total = (total - total.min()) / np.ptp(total)
    a, b = np.array(colour(rng), float), np.array(colour(rng), float)
    return Image.fromarray((a + (b - a) * total[..., None]).astype(np.uint8))


def bokeh(rng: Rng, w: int, h: int) -> Image.Image:
    image = gradient(rng, w, h)
    for _ in range(int(rng.integers(15, 50))):
        layer = Image.new("RGB", (w, h), colour(rng))
        mask = Image.new("L", (w, h))
        r, x, y = rng.uniform(0.02, 0.1) * h, rng.uniform(0, w), rng.uniform(0, h)
        ImageDraw.Draw(mask).ellipse((x - r, y - r, x + r, y + r), fill=int(rng.integers(40, 120)))
        image.paste(layer, mask=mask)
    return image.filter(ImageFilter.GaussianBlur(float(rng.uniform(1, 4))))


def bricks(rng: Rng, w: int, h: int) -> Image.Image:
    image = Image.new("RGB", (w, h), colour(rng))
    draw = ImageDraw.Draw(image)
    high = int(rng.integers(h // 40 + 4, h // 12))
    wide, joint, base = int(high * rng.uniform(2, 3)), max(1, high // 10), np.array(colour(rng))
    for row, y in enumerate(range(0, h, high)):
        for x in range(-wide + (row % 2) * wide // 2, w, wide):
            shade = tuple(int(v) for v in np.clip(base + rng.integers(-14, 15), 0, 255))
            draw.rectangle((x + joint, y + joint, x + wide - 1, y + high - 1), fill=shade)
    return image


def dots(rng: Rng, w: int, h: int) -> Image.Image:
    image = flat(rng, w, h)
    draw = ImageDraw.Draw(image)
    pitch, paint = int(rng.integers(h // 40 + 4, h // 10)), colour(rng)
    r = pitch * rng.uniform(0.15, 0.4)
    for y in range(0, h + pitch, pitch):
        for x in range(0, w + pitch, pitch):
            draw.ellipse((x - r, y - r, x + r, y + r), fill=paint)
    return image


def blades(rng: Rng, w: int, h: int) -> Image.Image:
    image = gradient(rng, w, h)
    draw = ImageDraw.Draw(image)
    paints = [colour(rng) for _ in range(3)]
    for _ in range(400):
        x, y, length, lean = rng.uniform(0, w), rng.uniform(0, h), rng.uniform(0.03, 0.12) * h, rng.normal(0, 0.4)
        end = (x + np.sin(lean) * length, y - np.cos(lean) * length)
        draw.line((x, y, *end), fill=paints[int(rng.integers(3))], width=int(rng.integers(1, 5)))
    return image


def grit(rng: Rng, w: int, h: int) -> Image.Image:
    """Coarse grain of strong contrast, as sand, turf and plaster have."""
    total = np.zeros((h, w))
    for _ in range(3):
        pitch = rng.uniform(1.5, 12)
        small = Image.fromarray((rng.random((int(h / pitch) + 2, int(w / pitch) + 2)) * 255).astype(np.uint8))
        total += np.asarray(small.resize((w, h), Image.Resampling.BICUBIC), float) * rng.uniform(0.5, 1)
    total = np.clip((total - total.mean()) / total.std() * rng.uniform(20, 55), -110, 110)
    base = rng.uniform(60, 196) + np.array([*rng.uniform(-25, 25, 3)])
    return Image.fromarray(np.clip(base + total[..., None], 0, 255).astype(np.uint8))


def sprigs(rng: Rng, w: int, h: int) -> Image.Image:
    """Stems with leaflets in a few greens, on each other."""
    image = clouds(rng, w, h)
    draw = ImageDraw.Draw(image)
    base = np.array(colour(rng))
    for _ in range(int(rng.integers(30, 120))):
        x, y, turn, leaf = rng.uniform(0, w), rng.uniform(0, h), rng.uniform(0, 2 * np.pi), rng.uniform(0.01, 0.04) * h
        paint = tuple(int(v) for v in np.clip(base + rng.integers(-70, 71, 3), 0, 255))
        for k in range(int(rng.integers(3, 9))):
            u, v = x + np.cos(turn) * leaf * k, y + np.sin(turn) * leaf * k
            for side in (-1, 1):
                q = turn + side * 1.1
                draw.line((u, v, u + np.cos(q) * leaf, v + np.sin(q) * leaf), fill=paint, width=max(2, int(leaf / 3)))
    return image


def confetti(rng: Rng, w: int, h: int) -> Image.Image:
    """Small bars, triangles, bows and bent strips, strewn."""
    image = gradient(rng, w, h)
    draw = ImageDraw.Draw(image)
    paints = [colour(rng) for _ in range(5)]
    for _ in range(int(rng.integers(40, 300))):
        x, y, a, turn = rng.uniform(0, w), rng.uniform(0, h), rng.uniform(0.008, 0.04) * h, rng.uniform(0, 360)
        paint, kind = paints[int(rng.integers(5))], int(rng.integers(3))
        if kind == 0:
            draw.regular_polygon((x, y, a), 3, turn, fill=paint)
        elif kind == 1:
            draw.arc(
                (x - a, y - a, x + a, y + a), turn, turn + rng.uniform(60, 250), fill=paint, width=max(2, int(a / 3))
            )
        else:
            along = np.radians(turn + np.array([0.0, rng.uniform(-70, 70)]))
            mid = (x + a * np.cos(along[0]), y + a * np.sin(along[0]))
            end = (mid[0] + a * np.cos(along[1]), mid[1] + a * np.sin(along[1]))
            draw.line((x, y, *mid, *end), fill=paint, width=max(2, int(a / 3)), joint="curve")
    return image


def scales(rng: Rng, w: int, h: int) -> Image.Image:
    """Rows of round shingles, each row half a step aside."""
    image = flat(rng, w, h)
    draw = ImageDraw.Draw(image)
    pitch, edge = int(rng.integers(h // 30 + 4, h // 9)), colour(rng)
    paints = [colour(rng) for _ in range(int(rng.integers(1, 4)))]
    for row, y in enumerate(range(-pitch, h + pitch, max(2, pitch // 2))):
        for x in range(-pitch + (row % 2) * pitch // 2, w + pitch, pitch):
            fill = paints[int(rng.integers(len(paints)))]
            draw.ellipse((x, y, x + pitch, y + pitch), fill=fill, outline=edge, width=max(1, pitch // 14))
    return image


def trellis(rng: Rng, w: int, h: int) -> Image.Image:
    """Slats across each other, level or aslant, open between."""
    image = clouds(rng, w, h)
    draw = ImageDraw.Draw(image)
    pitch, lean, paint = rng.uniform(h / 30 + 6, h / 7), rng.choice([0.0, 0.6, 1.0]), colour(rng)
    wide, reach = max(2, int(pitch * rng.uniform(0.08, 0.3))), w + h
    for at in np.arange(-reach, reach, pitch):
        draw.line((at, 0, at + lean * h, h), fill=paint, width=wide)
        draw.line((0, at, w, at) if lean == 0 else (at, h, at + lean * h, 0), fill=paint, width=wide)
    return image


def blossoms(rng: Rng, w: int, h: int) -> Image.Image:
    """Round flowers of several petals."""
    image = gradient(rng, w, h)
    draw = ImageDraw.Draw(image)
    for _ in range(int(rng.integers(15, 80))):
        x, y, a = rng.uniform(0, w), rng.uniform(0, h), rng.uniform(0.01, 0.07) * h
        count, start, paint = int(rng.integers(4, 9)), rng.uniform(0, 6), colour(rng)
        for k in range(count):
            u, v = x + a * np.cos(start + k * 2 * np.pi / count), y + a * np.sin(start + k * 2 * np.pi / count)
            draw.ellipse(
                (u - a * 0.6, v - a * 0.6, u + a * 0.6, v + a * 0.6), fill=paint, outline=tuple(c // 2 for c in paint)
            )
        draw.ellipse((x - a * 0.5, y - a * 0.5, x + a * 0.5, y + a * 0.5), fill=colour(rng))
    return image


def mosaic(rng: Rng, w: int, h: int) -> Image.Image:
    """Broken tiles: each point has the colour of the nearest of many centres, with joints between."""
    centres = rng.uniform(0, 1, (int(rng.integers(60, 400)), 2)) * (w, h)
    paints = np.array([colour(rng) for _ in range(int(rng.integers(3, 9)))], np.uint8)
    paints = paints[rng.integers(0, len(paints), len(centres))]
    y, x = np.mgrid[0:h:2, 0:w:2]
    tree = cKDTree(centres)
    away, nearest = tree.query(np.stack([x.ravel(), y.ravel()], axis=1), k=2)
    shown = paints[nearest[:, 0]]
    shown[away[:, 1] - away[:, 0] < h * rng.uniform(0.004, 0.02)] = colour(rng)
    small = Image.fromarray(shown.reshape(*x.shape, 3))
    return small.resize((w, h), Image.Resampling.BICUBIC)


def flock(rng: Rng, w: int, h: int) -> Image.Image:
    """Birds far off, boats and tents: strokes and wedges that stand alone."""
    image = clouds(rng, w, h)
    draw = ImageDraw.Draw(image)
    for _ in range(int(rng.integers(8, 40))):
        x, y, a, paint = rng.uniform(0, w), rng.uniform(0, h), rng.uniform(0.015, 0.09) * h, colour(rng)
        rise, wide = rng.uniform(0.3, 0.8) * a, max(2, int(a * rng.uniform(0.08, 0.25)))
        if rng.random() < 0.5:
            draw.line((x - a, y - rise, x, y, x + a, y - rise), fill=paint, width=wide, joint="curve")
        else:
            draw.polygon((x - a, y, x + a, y, x + 0.6 * a, y + 0.5 * rise, x - 0.6 * a, y + 0.5 * rise), fill=paint)
            draw.polygon((x, y - 0.1 * a, x, y - 1.6 * a, x + 0.8 * a, y - 0.1 * a), fill=paint)
    return image


def leaves(rng: Rng, w: int, h: int) -> Image.Image:
    image = gradient(rng, w, h)
    draw = ImageDraw.Draw(image)
    paints = [colour(rng) for _ in range(4)]
    for _ in range(int(rng.integers(60, 260))):
        x, y, a, turn = rng.uniform(0, w), rng.uniform(0, h), rng.uniform(0.01, 0.06) * h, rng.uniform(0, 2 * np.pi)
        t = np.linspace(0, np.pi, 12)
        side = np.concatenate([np.stack([np.cos(t) * a, np.sin(t) * a * 0.35]).T] * 2)
        side[12:, 1] *= -1
        side[12:] = side[12:][::-1]
        c, s = np.cos(turn), np.sin(turn)
        draw.polygon([(x + u * c - v * s, y + u * s + v * c) for u, v in side], fill=paints[int(rng.integers(4))])
    return image


def stripes(rng: Rng, w: int, h: int) -> Image.Image:
    y, x = np.mgrid[0:h, 0:w]
    turn, pitch = rng.uniform(0, np.pi), rng.uniform(h / 60 + 4, h / 8)
    wave = np.sin((x * np.cos(turn) + y * np.sin(turn)) / pitch * 2 * np.pi) > rng.uniform(-0.5, 0.5)
    a, b = np.array(colour(rng)), np.array(colour(rng))
    return Image.fromarray(np.where(wave[..., None], a, b).astype(np.uint8))


def zebra(rng: Rng, w: int, h: int) -> Image.Image:
    y, x = np.mgrid[0:h, 0:w]
    bend = np.asarray(clouds(rng, w, h).convert("L"), float) / 255
    bent = np.sin((x + y * rng.uniform(-1, 1)) / rng.uniform(h / 30 + 4, h / 8) * 2 * np.pi + bend * rng.uniform(4, 12))
    a, b = np.array(colour(rng)), np.array(colour(rng))
    return Image.fromarray(np.where((bent > 0)[..., None], a, b).astype(np.uint8))


def rings(rng: Rng, w: int, h: int) -> Image.Image:
    image = flat(rng, w, h)
    draw = ImageDraw.Draw(image)
    for _ in range(int(rng.integers(8, 40))):
        r, x, y, paint = rng.uniform(0.02, 0.2) * h, rng.uniform(0, w), rng.uniform(0, h), colour(rng)
        for k in range(int(rng.integers(1, 5))):
            q = r * (1 - k / 5)
            draw.ellipse((x - q, y - q, x + q, y + q), outline=paint, width=max(2, int(r / 14)))
    return image


def windows(rng: Rng, w: int, h: int) -> Image.Image:
    image = gradient(rng, w, h)
    draw = ImageDraw.Draw(image)
    wide, high = int(rng.integers(h // 40 + 6, h // 10)), int(rng.integers(h // 30 + 6, h // 8))
    paints = [colour(rng), colour(rng)]
    for y in range(high // 2, h, int(high * 1.6)):
        for x in range(wide // 2, w, int(wide * 1.7)):
            draw.rectangle((x, y, x + wide, y + high), fill=paints[int(rng.random() < 0.3)])
            draw.line((x + wide // 2, y, x + wide // 2, y + high), fill=(30, 30, 30), width=max(1, wide // 14))
    return image


def weave(rng: Rng, w: int, h: int) -> Image.Image:
    y, x = np.mgrid[0:h, 0:w]
    pitch = int(rng.integers(6, h // 20 + 8))
    over = ((x // pitch) + (y // pitch)) % 2 == 0
    tone = np.where(over, np.abs(np.sin(x / pitch * np.pi)), np.abs(np.sin(y / pitch * np.pi)))
    a, b = np.array(colour(rng), float), np.array(colour(rng), float)
    return Image.fromarray((a + (b - a) * tone[..., None]).astype(np.uint8))


def stars(rng: Rng, w: int, h: int) -> Image.Image:
    image = flat(rng, w, h)
    draw = ImageDraw.Draw(image)
    for _ in range(int(rng.integers(20, 120))):
        r, x, y, n = rng.uniform(0.01, 0.05) * h, rng.uniform(0, w), rng.uniform(0, h), int(rng.integers(4, 9))
        inner, start = rng.uniform(0.3, 0.6), rng.uniform(0, np.pi)
        turns = [(start + k * np.pi / n, r if k % 2 else r * inner) for k in range(2 * n)]
        draw.polygon([(x + q * np.cos(t), y + q * np.sin(t)) for t, q in turns], fill=colour(rng))
    return image


def pebbles(rng: Rng, w: int, h: int) -> Image.Image:
    image = flat(rng, w, h)
    draw = ImageDraw.Draw(image)
    for _ in range(int(rng.integers(200, 700))):
        x, y, a = rng.uniform(0, w), rng.uniform(0, h), rng.uniform(0.008, 0.05) * h
        b, paint = a * rng.uniform(0.6, 1), colour(rng)
        draw.ellipse((x - a, y - b, x + a, y + b), fill=paint, outline=tuple(v // 2 for v in paint))
    return image


def _photo(names: tuple[str, ...]) -> Ground:
    def photo(rng: Rng, w: int, h: int) -> Image.Image:
        image = _opened(names[int(rng.integers(len(names)))])
        scale = max(w / image.width, h / image.height) * rng.uniform(1.0, 1.3)
        big = image.resize((int(image.width * scale) + 1, int(image.height * scale) + 1), Image.Resampling.BICUBIC)
        x, y = int(rng.integers(0, big.width - w + 1)), int(rng.integers(0, big.height - h + 1))
        return big.crop((x, y, x + w, y + h))

    return photo


@cache
def _opened(name: str) -> Image.Image:
    found = importlib.util.find_spec("skimage")
    assert found is not None and found.origin is not None, "scikit-image is missing: pip install -e '.[test]'"
    return Image.open(Path(found.origin).parent / "data" / name).convert("RGB")


photo_tuning = _photo(("brick.png", "chelsea.png", "moon.png", "ihc.png"))
photo_reported = _photo(("coffee.png", "grass.png", "gravel.png", "hubble_deep_field.jpg", "retina.jpg", "camera.png"))

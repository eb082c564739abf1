"""The pages of the labelled set: art files, and which of their words cross which line. Same half and number, same page.

Ranges, fixed before the first run; both halves share them, and differ in fonts, words, grounds, layouts and seeds:
- sizes: em from 2 % to 60 % of the target's height, evenly in the logarithm, as far as a word of it goes on the target
- directions against level: 0° (60 %), 90° either way (16 %), 45° either way (12 %), on an arc of 6 to 16 em (12 %)
- forms: live text (10 %), outlined (35 %), flattened to JPEG of quality 60 to 92 (35 %) or TIFF (20 %), 1800 to 3200 px long
- contrast with the ground under a word: 90 to 180 of 255 levels of tone; low (14 %): 40 to 70
- letter-spaced by 0.05 to 0.2 em: 10 %; phrases of 1 to 4 words
- a place on a line: the line goes through a word (75 %) at 10 to 90 % of it, past a fold line without a neighbour by 5 to
  40 mm; or through a gap between words, or the word ends 3 to 60 mm short of the line (25 %)
- a true crossing has ink at least 5 mm past the line on the side with less of it; 0.5 to 5 mm are counted neither way
"""

from pathlib import Path

import grounds
import numpy as np
from attrs import frozen
from lettering import Phrase, Word, font_path, set_phrase
from PIL import Image
from pypdfium2 import PdfDocument
from reportlab.lib.utils import ImageReader
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas
from shapely import LineString, Polygon, union_all
from shapely.affinity import affine_transform

from artgen.placing import Target
from artgen.sizing.outline import bounds
from artgen.sizing.panel import placed
from artgen.sizing.ways import turn_of

MM = 72 / 25.4
DEEP, OVER = 5.0, 0.5  # mm: a true crossing; past a line at all
Rng = np.random.Generator


@frozen
class Half:
    """``layouts``: (tables of an order, panels of its wrap or its one panel)."""

    name: str
    seed: int
    faces: tuple[tuple[str, str], ...]
    words: str
    under: tuple[grounds.Ground, ...]
    blank: tuple[grounds.Ground, ...]
    layouts: tuple[tuple[str, tuple[int, ...]], ...]


def _box(w: int, d: int, h: int) -> str:
    return f'[[structure]]\nname="a"\nkind="box"\nwidth="{w} mm"\ndepth="{d} mm"\nheight="{h} mm"\n'


def _wall(w: int, h: int, more: str = "") -> str:
    return f'[[structure]]\nname="a"\nkind="wall"\nwidth="{w} mm"\nheight="{h} mm"\n{more}'


def _bays(h: int, *w: int) -> str:
    return f'[[structure]]\nname="a"\nkind="wall"\nheight="{h} mm"\nbays={[f"{v} mm" for v in w]}\n'.replace("'", '"')


def _cube(edge: int) -> str:
    return f'[[structure]]\nname="a"\nkind="hung-cube"\nedge="{edge} mm"\n'


NAP = 'fabric="brushed-knit"\n'
TUNING = Half(
    "tuning",
    1000,
    (
        ("font_source_sans_pro", "SourceSansPro-Regular.ttf"),
        ("font_source_serif_pro", "SourceSerifPro-Semibold.ttf"),
        ("font_roboto", "Roboto-Bold.ttf"),
        ("font_caladea", "Caladea-Italic.ttf"),
    ),
    "Harbour lights and paper boats under the old bridge Museum of Salt Open Daily Welcome SUMMER NORTH 2026 a slow river "
    "tells every stone its name Fishing Village Fresh bread & salt from 7 ovens TICKETS Garden",
    (
        grounds.flat,
        grounds.gradient,
        grounds.noise,
        grounds.bokeh,
        grounds.bricks,
        grounds.photo_tuning,
        grounds.zebra,
        grounds.photo_tuning,
        grounds.dots,
        grounds.blades,
        grounds.zebra,
        grounds.grit,
        grounds.sprigs,
        grounds.grit,
        grounds.scales,
        grounds.blossoms,
        grounds.mosaic,
    ),
    (
        grounds.grit,
        grounds.sprigs,
        grounds.bokeh,
        grounds.bricks,
        grounds.dots,
        grounds.blades,
        grounds.zebra,
        grounds.noise,
        grounds.photo_tuning,
        grounds.confetti,
        grounds.scales,
        grounds.trellis,
        grounds.blossoms,
        grounds.mosaic,
        grounds.flock,
        grounds.photo_tuning,
    ),
    (
        (_box(1000, 800, 2400), (1, 2, 3, 4)),
        (_bays(2400, 900, 1200, 700), (1, 2, 3)),
        (_wall(5000, 2400, NAP), (1,)),
        (_wall(2000, 2400), (1,)),
        (_cube(1200), (4,)),
    ),
)
REPORTED = Half(
    "reported",
    15000,
    (
        ("font_lato", "Lato-Regular.ttf"),
        ("font_lato", "Lato-Black.ttf"),
        ("font_hanken_grotesk", "HankenGrotesk-Medium.otf"),
        ("font_fjallaone", "FjallaOne-Regular.ttf"),
        ("font_fredoka_one", "FredokaOne-Regular.ttf"),
        ("font_caladea", "Caladea-Bold.ttf"),
    ),
    "The Clockmaker walks home through autumn rain Orchard Festival Wild Honey since 1884 Taste & see what grows between "
    "quiet hills WINTER MARKET Level 3 Enter here Botanical letters for small gardeners Kitchen Stories OPEN bird song",
    (
        grounds.flat,
        grounds.gradient,
        grounds.clouds,
        grounds.bokeh,
        grounds.leaves,
        grounds.stripes,
        grounds.photo_reported,
    ),
    (
        grounds.leaves,
        grounds.stripes,
        grounds.rings,
        grounds.windows,
        grounds.weave,
        grounds.stars,
        grounds.pebbles,
        grounds.clouds,
        grounds.photo_reported,
        grounds.photo_reported,
    ),
    (
        (_box(1200, 900, 2800), (1, 2, 3)),
        (_bays(2200, 1000, 1000, 1000, 800), (1, 2, 3, 4)),
        (_wall(5600, 2500, NAP), (1,)),
        (_wall(3000, 2000), (1,)),
        (_box(700, 700, 2000), (1,)),
        (_cube(1500), (5,)),
    ),
)
HALVES = {half.name: half for half in (TUNING, REPORTED)}


@frozen
class Zones:
    """The target's lines by sums of our own: what shows of each panel, and the seams, in the plane."""

    visible: tuple[Polygon, ...]
    art: Polygon
    seams: tuple[LineString, ...]
    joints: frozenset[tuple[int, int]]


@frozen
class Truth:
    """A word of a page. ``crosses`` = kinds of line that it goes over by `DEEP`, ``touches`` by `OVER`."""

    word: Word
    crosses: frozenset[str]
    touches: frozenset[str]
    tags: tuple[str, ...]


def zones_of(target: Target) -> Zones:
    pairs = list(zip(target.panels, target.places, strict=True))
    seams = []
    for panel, place in pairs:
        x0, y0, x1, y1 = bounds(panel.visible)
        for seam in panel.seams:
            ends = ((seam.at, y0), (seam.at, y1)) if seam.axis == "x" else ((x0, seam.at), (x1, seam.at))
            seams.append(LineString(placed(place, ends)))
    joints = {
        (i, i + 1)
        for i, (panel, _) in enumerate(pairs[:-1])
        if any(met.joint for e in panel.edges for met in e.met if met.panel == pairs[i + 1][0].number)
    }
    art = union_all([Polygon(placed(place, panel.art)) for panel, place in pairs])
    visible = tuple(Polygon(placed(place, panel.visible)) for panel, place in pairs)
    return Zones(visible, art, tuple(seams), frozenset(joints))


def crossed(ink, zones: Zones, by: float) -> frozenset[str]:
    """Kinds of line with ink at least ``by`` mm past them on either side."""
    found = set()
    inside = [zone.buffer(-by, join_style="mitre").intersects(ink) for zone in zones.visible]
    for i in range(len(inside) - 1):
        if inside[i] and inside[i + 1]:
            found.add("joint" if (i, i + 1) in zones.joints else "corner")
    shown = union_all([zone.buffer(7, join_style="mitre") for zone in zones.visible]).buffer(-7, join_style="mitre")
    out = ink.intersection(zones.art).difference(shown.buffer(by, join_style="mitre"))
    if any(inside) and out.area > 0.01:
        found.add("tuck")
    for seam in zones.seams:
        (x0, y0), (x1, y1) = seam.coords
        xs = [p for part in getattr(ink, "geoms", [ink]) for p in part.exterior.coords]
        across = [((x - x0) * (y1 - y0) - (y - y0) * (x1 - x0)) / seam.length for x, y in xs]
        if min(across) < -by and max(across) > by and seam.intersects(ink.convex_hull):
            found.add("seam")
    return frozenset(found)


@frozen
class Place:
    """A line to set words on: a point of it, its direction, the way out (both unit vectors), and whether nothing shows
    beyond it."""

    at: tuple[float, float]
    along: tuple[float, float]
    out: tuple[float, float]
    outer: bool


def places(rng: Rng, zones: Zones) -> Place:
    lines = [
        (LineString((p, q)), z)
        for z in zones.visible
        for p, q in zip(z.exterior.coords, z.exterior.coords[1:], strict=False)
    ]
    lines += [(seam, None) for seam in zones.seams] * 3
    inner = [
        i for i, (line, zone) in enumerate(lines)
        if zone is None or any(z is not zone and z.distance(line.centroid) < 20 for z in zones.visible)
    ]  # fmt: skip
    pick = inner[int(rng.integers(len(inner)))] if inner and rng.random() < 0.6 else int(rng.integers(len(lines)))
    line = lines[pick][0]
    (x0, y0), (x1, y1) = line.coords
    along = ((x1 - x0) / line.length, (y1 - y0) / line.length)
    t = rng.uniform(0.12, 0.88) * line.length
    return Place((x0 + along[0] * t, y0 + along[1] * t), along, (along[1], -along[0]), pick not in inner)


def phrase_of(rng: Rng, half: Half, size: float, angle: float, bow: float, count: int) -> Phrase:
    words = half.words.split()
    start = int(rng.integers(len(words) - count + 1))
    text = " ".join(words[start : start + count])
    if rng.random() < 0.25:
        text = text.upper()
    spaced = float(rng.uniform(0.05, 0.2)) if rng.random() < 0.1 else 0.0
    return set_phrase(text, half.faces[int(rng.integers(len(half.faces)))], size, angle, bow, spaced)


def _laid_down(rng: Rng, phrase: Phrase, place: Place) -> Phrase:
    """The phrase moved so that the line goes through one of its words, or through a gap, or passes it by."""
    through = rng.random() < 0.75
    out, along = np.array(place.out), np.array(place.along)
    index = int(rng.integers(len(phrase.words)))

    def reach(ink) -> tuple[float, float]:
        ring = np.concatenate([np.array(p.exterior.coords) for p in getattr(ink, "geoms", [ink])])
        return float((ring @ out).min()), float((ring @ out).max())

    low, high = reach(phrase.words[index].ink)
    if through and place.outer:
        shift = rng.uniform(5, 40) - high  # what lies beyond is cut off by the page soon
    elif through:
        shift = -(low + rng.uniform(0.1, 0.9) * (high - low))
    elif not place.outer and index + 1 < len(phrase.words) and reach(phrase.words[index + 1].ink)[0] > high:
        shift = -(high + reach(phrase.words[index + 1].ink)[0]) / 2
    else:
        high = max(reach(word.ink)[1] for word in phrase.words)
        shift = -high - rng.uniform(3, 60)
    middle = np.array(phrase.words[index].ink.centroid.coords[0])
    move = along * (np.array(place.at) @ along - middle @ along) + out * (np.array(place.at) @ out + shift)
    return phrase.at(float(move[0]), float(move[1]))


def lettered(rng: Rng, half: Half, zones: Zones, level: float, live: bool) -> list[tuple[Phrase, tuple[str, ...]]]:
    """Phrases that don't lie on each other, with their tags."""
    _, low, _, high = zones.art.bounds
    height = high - low
    taken, found = [], []
    for _ in range(int(rng.integers(6, 12)) * 6):
        if len(found) >= 9:
            break
        size = float(np.exp(rng.uniform(np.log(0.02), np.log(0.6)))) * height
        kind = rng.random()
        angle, bow, tag = level, 0.0, "0°"
        if 0.6 <= kind < 0.76:
            angle, tag = level + float(rng.choice([-90, 90])), "90°"
        elif 0.76 <= kind < 0.88:
            angle, tag = level + float(rng.choice([-45, 45])), "45°"
        elif kind >= 0.88 and not live:
            bow, tag = float(rng.choice([-1, 1]) * rng.uniform(6, 16)), "curved"
        count = int(rng.integers(1, 5)) if size < 0.15 * height else 1
        place = places(rng, zones)
        phrase = _laid_down(rng, phrase_of(rng, half, size, angle, bow, count), place)
        hull = union_all([word.ink for word in phrase.words]).convex_hull
        if hull.intersection(zones.art).area < (0.7 if not place.outer else 0.5) * hull.area:
            continue
        room = hull.buffer(max(8.0, 0.25 * size))
        if any(room.intersects(other) for other in taken):
            continue
        taken.append(room)
        share = size / height
        band = "em 2-5 %" if share < 0.05 else "em 5-15 %" if share < 0.15 else "em 15-60 %"
        found.append((phrase, (tag, band)))
    return found


def make(half: Half, number: int, target: Target, folder: Path, lettering: bool) -> tuple[str, list[Truth]]:
    """Write a page's file (its name is given back) and tell its words."""
    rng = np.random.default_rng([half.seed, number, int(lettering)])
    zones = zones_of(target)
    x0, y0, x1, y1 = zones.art.bounds
    w, h = x1 - x0, y1 - y0
    # a panel that hangs on a tip has its page reading-way: level text is level there
    way = turn_of(target.panels[0], "reading") if target.wrap is None else turn_of(target.panels[0], "sewn")
    tilted = abs(way[1]) > 1e-6
    if tilted:
        px = placed(way, target.panels[0].art)
        _, _, w, h = bounds(px)
        x0 = y0 = 0.0
    to_page = way if tilted else (1.0, 0.0, 0.0, 1.0, -x0, -y0)
    level = target.panels[0].upright_deg if tilted else 0.0
    form = str(rng.choice(["live", "outlined", "jpeg", "tiff"], p=[0.1, 0.35, 0.35, 0.2]))
    kinds = half.under if lettering else half.blank
    ground = kinds[number % len(kinds)]
    per = float(rng.uniform(900, 1600)) / max(w, h)
    image = ground(rng, round(w * per), round(h * per))
    found = lettered(rng, half, zones, level, form == "live") if lettering else []
    if form == "live":
        found = [(p, tags) for p, tags in found if p.face[1].endswith(".ttf")]
    truths = []
    scale = 10.0
    file = folder / f"page-{number}-panel-{target.panels[0].number}.pdf"
    canvas = Canvas(str(file), pagesize=(w / scale * MM, h / scale * MM), invariant=1)
    canvas.drawImage(ImageReader(image), 0, 0, w / scale * MM, h / scale * MM)
    canvas.scale(MM / scale, MM / scale)
    canvas.transform(*to_page)
    for phrase, tags in found:
        tone, low = _tone(rng, image, phrase, to_page, per, h)
        tags = (form, *tags, *(["low contrast"] if low else []), f"over {ground.__name__}")
        canvas.setFillColorRGB(tone, tone, tone)
        (_live if form == "live" else _outlined)(canvas, phrase)
        for word in phrase.words:
            truths.append(Truth(word, crossed(word.ink, zones, DEEP), crossed(word.ink, zones, OVER), tags))
    canvas.save()
    if form in ("jpeg", "tiff"):
        # whole dots an inch, as JPEG states them
        dpi = round(float(rng.uniform(1800, 3200)) / (max(w, h) / scale / 25.4))
        with PdfDocument(file) as document:
            flat = document[0].render(scale=dpi / 72).to_pil().convert("RGB")
        # pdfium rounds up: a pixel too many is over the half pixel that placing allows for
        flat = flat.crop(
            (0, 0, *(min(had, round(v / scale / 25.4 * dpi)) for had, v in zip(flat.size, (w, h), strict=True)))
        )
        file.unlink()
        file = file.with_suffix(".jpg" if form == "jpeg" else ".tif")
        options = {"quality": int(rng.integers(60, 93))} if form == "jpeg" else {"compression": "tiff_lzw"}
        flat.save(file, dpi=(dpi, dpi), **options)
    return file.name, truths


def _tone(rng: Rng, image: Image.Image, phrase: Phrase, to_page, per: float, h: float) -> tuple[float, bool]:
    """A grey that stands off the ground under the phrase by the wanted levels."""
    hull = affine_transform(
        union_all([w.ink for w in phrase.words]), [to_page[0], to_page[2], to_page[1], to_page[3], *to_page[4:]]
    )
    x0, y0, x1, y1 = hull.bounds
    cut = (
        max(0, int(x0 * per)),
        max(0, int((h - y1) * per)),
        min(image.width, int(x1 * per) + 1),
        min(image.height, int((h - y0) * per) + 1),
    )
    ground = float(np.asarray(image.crop(cut).convert("L"), float).mean())
    low = bool(rng.random() < 0.14)
    off = float(rng.uniform(40, 70) if low else rng.uniform(90, 180))
    tone = ground + off if ground < 127 else ground - off
    return float(np.clip(tone, 0, 255)) / 255, low


def _outlined(canvas: Canvas, phrase: Phrase) -> None:
    path = canvas.beginPath()
    for word in phrase.words:
        for op, points in word.ops:
            flat = [float(v) for p in points for v in p]
            {"m": path.moveTo, "l": path.lineTo, "c": path.curveTo, "h": path.close}[op](*flat)
    canvas.drawPath(path, stroke=0, fill=1, fillMode=1)


def _live(canvas: Canvas, phrase: Phrase) -> None:
    name = phrase.face[1]
    if name not in pdfmetrics.getRegisteredFontNames():
        pdfmetrics.registerFont(TTFont(name, font_path(*phrase.face)))
    turn = np.radians(phrase.angle)
    text = canvas.beginText()
    text.setFont(name, phrase.size)
    c, s = float(np.cos(turn)), float(np.sin(turn))
    text.setTextTransform(c, s, -s, c, *phrase.start)
    text.setCharSpace(phrase.spaced * phrase.size)
    text.textOut(phrase.text)
    canvas.drawText(text)

"""Art for the rules that look at pixels, half of it innocent, half guilty. Takes a generator of chance, a target and a folder;
writes one file at 1:1 or 1:10 and gives its name. Same seed, same files.
"""

import io
import sys
from collections.abc import Callable
from pathlib import Path

import cairosvg
import numpy as np
from attrs import frozen
from PIL import Image, ImageDraw
from pypdfium2 import PdfDocument
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "lettering"))
import grounds

from artgen.drawing.marks import Drawing
from artgen.drawing.pdf import write_pdf
from artgen.drawing.svg import write_svg
from artgen.placing import Target
from artgen.sizing import Sizing
from artgen.sizing.outline import bounds
from artgen.template import template, wrap_template
from artgen.words import words

MM = 72 / 25.4
Rng = np.random.Generator
RASTERS = ("jpg", "png", "tif")
GROUNDS = {
    "tuning": (
        grounds.flat, grounds.gradient, grounds.noise, grounds.bokeh, grounds.bricks, grounds.photo_tuning, grounds.zebra,
        grounds.dots, grounds.blades, grounds.grit, grounds.sprigs, grounds.weave,
    ),
    "reported": (
        grounds.flat, grounds.gradient, grounds.clouds, grounds.bokeh, grounds.leaves, grounds.photo_reported, grounds.stripes,
        grounds.rings, grounds.windows, grounds.stars, grounds.pebbles, grounds.photo_reported,
    ),
}  # fmt: skip


@frozen
class Asked:
    """What a sample is made for. ``guilty``: with the fault that ``rule`` looks for."""

    rule: str
    half: str
    number: int
    guilty: bool
    target: Target
    sizing: Sizing

    @property
    def rng(self) -> Rng:
        seed = {"tuning": 100, "reported": 900}[self.half]
        return np.random.default_rng([seed, *self.rule.encode(), self.number, int(self.guilty)])

    @property
    def size(self) -> tuple[float, float]:
        x0, y0, x1, y1 = bounds([p for outline in self.target.outline("art") for p in outline])
        return x1 - x0, y1 - y0


Maker = Callable[[Asked, Rng, Path], str]


@frozen
class Page:
    """A picture over the art size, ``per`` = its pixels a mm at full size."""

    image: Image.Image
    per: float
    size: tuple[float, float]

    def at(self, x: float, y: float) -> tuple[float, float]:
        """Pixels of a place of the plane, mm from the lower left of the art size."""
        return x * self.per, (self.size[1] - y) * self.per


def page(asked: Asked, rng: Rng, white: float = 0.0, per: tuple[float, float] = (1.0, 2.0)) -> Page:
    """A ground over the whole art size, at random fineness; with a chance of ``white`` just white."""
    w, h = asked.size
    fine = float(rng.uniform(*per))
    fine = min(fine, (9e6 / (w * h)) ** 0.5)
    columns, rows = round(w * fine), round(h * fine)
    if rng.random() < white:
        return Page(Image.new("RGB", (columns, rows), "white"), fine, (w, h))
    kinds = GROUNDS[asked.half]
    ground = kinds[int(rng.integers(len(kinds)))]
    coarse = min(1.0, 1500 / max(columns, rows)) if ground not in (grounds.noise, grounds.grit) else 1.0
    made = ground(rng, max(40, round(columns * coarse)), max(40, round(rows * coarse)))
    return Page(made.resize((columns, rows), Image.Resampling.BICUBIC), fine, (w, h))


def stem(asked: Asked) -> str:
    return f"{asked.rule}-{asked.number}-{'guilty' if asked.guilty else 'innocent'}"


def save(asked: Asked, rng: Rng, made: Page, folder: Path, kinds: tuple[str, ...] = (*RASTERS, "pdf")) -> str:
    """The picture as a file of one of some kinds, of art size at 1:1 or 1:10."""
    kind, scale = str(rng.choice(kinds)), int(rng.choice([1, 10]))
    name = f"{stem(asked)}.{kind}"
    if kind == "pdf":
        w, h = made.size[0] / scale * MM, made.size[1] / scale * MM
        canvas = Canvas(str(folder / name), pagesize=(w, h), invariant=1)
        canvas.drawImage(ImageReader(made.image), 0, 0, w, h, mask="auto")
        canvas.save()
        return name
    # whole dots an inch, and as many pixels as that asks for
    dpi = max(1, round(made.per * scale * 25.4))
    columns, rows = (max(1, round(side / scale * dpi / 25.4)) for side in made.size)
    image = (
        made.image.resize((columns, rows), Image.Resampling.BICUBIC)
        if made.image.size != (columns, rows)
        else made.image
    )
    options: dict[str, object] = {
        "jpg": {"quality": int(rng.integers(60, 93))},
        "tif": {"compression": "tiff_lzw"},
    }.get(kind, {})
    image.save(folder / name, dpi=(dpi, dpi), **options)
    return name


# guides


def _template(asked: Asked, scale: int, way: str = "sewn") -> Drawing:
    say, target = words(), asked.target
    structure = next(s for s in asked.sizing.structures if any(p.number == target.numbers[0] for p in s.panels))
    if target.wrap is not None:
        return wrap_template(target.wrap, target.panels, structure, say, scale, ppi=100)
    return template(target.panels[0], structure, say, scale)


def _some_layers(drawing: Drawing, rng: Rng) -> Drawing:
    """A template of which some layers were switched off, but not those that one would see first."""
    from attrs import evolve

    if rng.random() < 0.4:
        return drawing
    must = str(rng.choice(["guide-fold", "guide-safe"]))
    kept = tuple(layer for layer in drawing.layers if layer.id == must or rng.random() < 0.6)
    return evolve(drawing, layers=kept)


def guides_guilty(asked: Asked, rng: Rng, folder: Path) -> str:
    """The template's lines over a ground: flattened to a raster, or an SVG turned into a PDF without layers."""
    scale = int(rng.choice([1, 2, 4, 10]))
    drawing = _some_layers(_template(asked, scale), rng)
    made = page(asked, rng, white=0.2)
    form = str(rng.choice(["raster", "raster", "flat-pdf"]))
    if form == "flat-pdf":
        svg = write_svg(drawing).decode()
        data = io.BytesIO()
        made.image.save(data, "JPEG", quality=88)
        import base64

        picture = (
            f'<image x="0" y="0" width="{drawing.width}" height="{drawing.height}" preserveAspectRatio="none" '
            f'xlink:href="data:image/jpeg;base64,{base64.b64encode(data.getvalue()).decode()}"/>'
        )
        head = svg.index(">", svg.index("<svg")) + 1
        name = f"{stem(asked)}.pdf"
        (folder / name).write_bytes(cairosvg.svg2pdf(bytestring=(svg[:head] + picture + svg[head:]).encode()))
        return name
    pdf = write_pdf([drawing], title="t")
    with PdfDocument(pdf) as document:
        drawn = document[0].render(scale=made.image.width / document[0].get_width(), fill_color=(0, 0, 0, 0)).to_pil()
    lines = drawn.convert("RGBA").resize(made.image.size, Image.Resampling.BILINEAR)
    image = made.image.copy()
    image.paste(lines, mask=lines.getchannel("A"))
    made = Page(image, made.per, made.size)
    if rng.random() < 0.15:
        return _cmyk(asked, made, folder)
    return save(asked, rng, made, folder)


def _cmyk(asked: Asked, made: Page, folder: Path) -> str:
    name = f"{stem(asked)}.tif"
    dpi = max(1, round(made.per * 10 * 25.4))
    size = tuple(max(1, round(side / 10 * dpi / 25.4)) for side in made.size)
    made.image.convert("CMYK").resize(size).save(folder / name, dpi=(dpi, dpi), compression="tiff_lzw")
    return name


def guides_innocent(asked: Asked, rng: Rng, folder: Path) -> str:
    """Grounds, some with rules, frames and grids in a guide's colours, at places that are not all a guide's."""
    made = page(asked, rng, white=0.25)
    draw = ImageDraw.Draw(made.image)
    w, h = made.size
    inks = [(0, 114, 178), (230, 159, 0), (0, 0, 0), (204, 121, 167), (0, 158, 115), (255, 255, 255)]
    kind = str(rng.choice(["plain", "frame", "grid", "stripes", "one line", "band"]))
    ink = inks[int(rng.integers(len(inks)))]
    wide = max(1, round(float(rng.uniform(1, 12)) * made.per))
    if kind == "frame":  # a keyline well inside, or near the fold line but not on it
        d = float(rng.choice([rng.uniform(52, 70), rng.uniform(95, 260)]))
        draw.rectangle((*made.at(d, h - d), *made.at(w - d, d)), outline=ink, width=wide)
    elif kind == "grid":
        pitch = float(rng.uniform(25, 300))
        for x in np.arange(rng.uniform(0, pitch), w, pitch):
            draw.line((*made.at(x, 0), *made.at(x, h)), fill=ink, width=wide)
        for y in np.arange(rng.uniform(0, pitch), h, pitch):
            draw.line((*made.at(0, y), *made.at(w, y)), fill=ink, width=wide)
    elif kind == "stripes":
        pitch = float(rng.uniform(6, 60))
        for x in np.arange(0, w, pitch):
            draw.line((*made.at(x, 0), *made.at(x, h)), fill=ink, width=max(1, round(pitch * made.per / 2)))
    elif kind == "one line":  # a rule along one fold line
        draw.line((*made.at(44, 0), *made.at(44, h)), fill=ink, width=wide)
    elif kind == "band":  # a coloured field that ends at the fold line all round
        draw.rectangle((*made.at(44, h - 44), *made.at(w - 44, 44)), fill=ink)
    return save(asked, rng, made, folder)


# paint that stops


def unpainted_guilty(asked: Asked, rng: Rng, folder: Path) -> str:
    """A ground at the visible, finished, cut or frame size, or a little shifted, on a page of art size."""
    made = page(asked, rng)
    w, h = made.size
    kind = str(rng.choice(["visible", "finished", "cut", "frame", "shifted", "one side"]))
    deep = {"visible": 44.0, "finished": 29.0, "cut": 25.0, "frame": 38.0}.get(kind, 0.0)
    left, low, right, top = (deep,) * 4
    if kind == "shifted":
        dx, dy = (float(rng.uniform(12, 40)) for _ in range(2))
        left, right, low, top = (dx, 0.0, dy, 0.0) if rng.random() < 0.5 else (0.0, dx, 0.0, dy)
    elif kind == "one side":
        left = float(rng.uniform(8, 44))
    box = (*made.at(left, h - top), *made.at(w - right, low))
    part = made.image.crop(tuple(round(v) for v in box))
    clear = rng.random() < 0.4
    sheet = Image.new("RGBA", made.image.size, (255, 255, 255, 0 if clear else 255))
    sheet.paste(part, (round(box[0]), round(box[1])))
    made = Page(sheet if clear else sheet.convert("RGB"), made.per, made.size)
    return save(asked, rng, made, folder, ("png", "tif", "pdf") if clear else (*RASTERS, "pdf"))


def unpainted_innocent(asked: Asked, rng: Rng, folder: Path) -> str:
    """Grounds to the edge; white grounds with shapes, keylines, fades, checks, frames that are meant."""
    kind = str(rng.choice(["full", "shapes", "keyline", "fade", "stripes", "frame", "photo box", "full"]))
    made = page(asked, rng, white=0.0 if kind in ("full", "frame") else 1.0)
    draw = ImageDraw.Draw(made.image)
    w, h = made.size
    ink = grounds.colour(rng)
    if kind == "shapes":
        for _ in range(int(rng.integers(8, 60))):
            x, y, r = rng.uniform(0, w), rng.uniform(0, h), rng.uniform(20, 220)
            draw.ellipse((*made.at(x - r, y + r), *made.at(x + r, y - r)), fill=grounds.colour(rng))
    elif kind == "keyline":
        d = float(rng.uniform(36, 70))
        draw.rectangle(
            (*made.at(d, h - d), *made.at(w - d, d)), outline=ink, width=max(1, round(rng.uniform(1, 14) * made.per))
        )
    elif kind == "fade":
        columns, rows = made.image.size
        reach = float(rng.uniform(60, 500)) * made.per
        y, x = np.mgrid[0:rows, 0:columns]
        t = np.clip(np.minimum(np.minimum(x, columns - x), np.minimum(y, rows - y)) / reach, 0, 1)[..., None]
        made = Page(Image.fromarray((255 + (np.array(ink) - 255.0) * t).astype(np.uint8)), made.per, made.size)
    elif kind == "stripes":
        pitch = float(rng.uniform(40, 260))
        along = bool(rng.random() < 0.5)
        for v in np.arange(-rng.uniform(0, pitch), w if along else h, pitch):
            a, b = (made.at(v, h), made.at(v + pitch / 2, 0)) if along else (made.at(0, v + pitch / 2), made.at(w, v))
            draw.rectangle((*a, *b), fill=ink)
    elif kind == "frame":  # a white frame that one sees
        d = float(rng.uniform(44 + 25, 44 + 120))
        wide = round(d * made.per)
        draw.rectangle((0, 0, made.image.width, made.image.height), outline="white", width=wide)
    elif kind == "photo box":  # a picture well inside, on white
        x0, y0 = rng.uniform(0.15, 0.3) * w, rng.uniform(0.15, 0.3) * h
        inner = page(asked, rng)
        size = (round(0.5 * made.image.width), round(0.5 * made.image.height))
        made.image.paste(inner.image.resize(size), tuple(round(v) for v in made.at(x0, h - y0)))
    return save(asked, rng, made, folder)


# crop marks


def marks_guilty(asked: Asked, rng: Rng, folder: Path) -> str:
    """Ticks at four corners round a rectangle inside the art size: strokes of a PDF, or flattened with the rest."""
    made = page(asked, rng, white=0.4, per=(1.0, 2.5))
    w, h = made.size
    scale = int(rng.choice([1, 10]))
    inset = float(rng.choice([25.0, 44.0, rng.uniform(10, 90)]))
    wide = float(rng.choice([0.25, 0.5, 1.0])) * scale * 25.4 / 72  # points
    gap = min(float(rng.choice([2.1, 3.0, 5.0])) * scale, 0.6 * inset)
    long = min(float(rng.choice([5.0, 6.4, 10.0])) * scale, inset - gap + 5)
    columns, rows = made.image.size
    # so light that one sees them: on dark art nobody would
    ground = Image.blend(made.image, Image.new("RGB", made.image.size, "white"), 0.55)
    lines = []
    for x, way_x in ((inset, -1), (w - inset, 1)):
        for y, way_y in ((inset, -1), (h - inset, 1)):
            lines.append(((x, y + way_y * gap), (x, y + way_y * (gap + long))))
            lines.append(((x + way_x * gap, y), (x + way_x * (gap + long), y)))
    if rng.random() < 0.45:
        name = f"{stem(asked)}.pdf"
        canvas = Canvas(str(folder / name), pagesize=(w / scale * MM, h / scale * MM), invariant=1)
        canvas.drawImage(ImageReader(ground), 0, 0, w / scale * MM, h / scale * MM)
        canvas.scale(MM / scale, MM / scale)
        canvas.setLineWidth(wide)
        for a, b in lines:
            canvas.line(*a, *b)
        canvas.save()
        return name
    # flattened as a program would: a thin line covers part of a pixel
    fine = 4
    for a, b in lines:
        (x0, y0), (x1, y1) = made.at(*a), made.at(*b)
        half = max(wide * made.per, 0.3) / 2
        box = (min(x0, x1) - (half if x0 == x1 else 0), min(y0, y1) - (half if y0 == y1 else 0))
        end = (max(x0, x1) + (half if x0 == x1 else 0), max(y0, y1) + (half if y0 == y1 else 0))
        left, top = int(box[0]) - 2, int(box[1]) - 2
        size = (int(end[0] - left) + 4, int(end[1] - top) + 4)
        mask = Image.new("L", (size[0] * fine, size[1] * fine))
        ImageDraw.Draw(mask).rectangle(
            ((box[0] - left) * fine, (box[1] - top) * fine, (end[0] - left) * fine - 1, (end[1] - top) * fine - 1),
            fill=255,
        )
        ground.paste((0, 0, 0), (left, top), mask.resize(size, Image.Resampling.BOX))
    return save(asked, rng, Page(ground, made.per, made.size), folder)


def marks_innocent(asked: Asked, rng: Rng, folder: Path) -> str:
    """Grounds, and what has thin lines near the corners: frames, rulers, hatches, corner ornaments, marks beside the art size."""
    made = page(asked, rng, white=0.3)
    draw = ImageDraw.Draw(made.image)
    w, h = made.size
    ink = (20, 20, 20) if rng.random() < 0.6 else grounds.colour(rng)
    thin = max(1, round(rng.uniform(0.5, 4) * made.per))
    kind = str(rng.choice(["plain", "frame", "double frame", "ruler", "hatch", "ornament", "grid", "beside"]))
    if kind in ("frame", "double frame"):
        for d in (30.0, 50.0)[: 1 if kind == "frame" else 2]:
            draw.rectangle((*made.at(d, h - d), *made.at(w - d, d)), outline=ink, width=thin)
    elif kind == "ruler":
        pitch = float(rng.uniform(5, 40))
        for x in np.arange(0, w, pitch):
            draw.line((*made.at(x, 0), *made.at(x, rng.uniform(15, 40))), fill=ink, width=thin)
    elif kind == "hatch":
        for x in np.arange(0, w, float(rng.uniform(8, 50))):
            draw.line((*made.at(x, 0), *made.at(x, h)), fill=ink, width=thin)
    elif kind == "ornament":  # brackets that open at the corners
        d, long = float(rng.uniform(60, 120)), float(rng.uniform(40, 120))
        for x, sx in ((d, 1), (w - d, -1)):
            for y, sy in ((d, 1), (h - d, -1)):
                draw.line((*made.at(x, y), *made.at(x + sx * long, y)), fill=ink, width=thin)
                draw.line((*made.at(x, y), *made.at(x, y + sy * long)), fill=ink, width=thin)
    elif kind == "grid":
        pitch = float(rng.uniform(20, 120))
        for x in np.arange(0, w, pitch):
            draw.line((*made.at(x, 0), *made.at(x, h)), fill=ink, width=thin)
        for y in np.arange(0, h, pitch):
            draw.line((*made.at(0, y), *made.at(w, y)), fill=ink, width=thin)
    if kind != "beside":
        return save(asked, rng, made, folder)
    name, more = f"{stem(asked)}.pdf", 40.0  # a page with marks outside the art size, as it should be
    canvas = Canvas(str(folder / name), pagesize=((w / 10 + 2 * more) * MM, (h / 10 + 2 * more) * MM), invariant=1)
    canvas.setTrimBox(tuple(v * MM for v in (more + 2.5, more + 2.5, more + w / 10 - 2.5, more + h / 10 - 2.5)))
    canvas.setBleedBox(tuple(v * MM for v in (more, more, more + w / 10, more + h / 10)))
    canvas.drawImage(ImageReader(made.image), more * MM, more * MM, w / 10 * MM, h / 10 * MM)
    canvas.setLineWidth(0.25)
    for x in (more + 2.5, more + w / 10 - 2.5):
        canvas.line(x * MM, 0, x * MM, 30 * MM)
        canvas.line(x * MM, (h / 10 + 2 * more) * MM, x * MM, (h / 10 + 2 * more - 30) * MM)
    for y in (more + 2.5, more + h / 10 - 2.5):
        canvas.line(0, y * MM, 30 * MM, y * MM)
        canvas.line((w / 10 + 2 * more) * MM, y * MM, (w / 10 + 2 * more - 30) * MM, y * MM)
    canvas.save()
    return name


MAKERS: dict[str, tuple[Maker, Maker]] = {
    "guides-left-in": (guides_guilty, guides_innocent),
    "bleed-unpainted": (unpainted_guilty, unpainted_innocent),
    "marks-left-in": (marks_guilty, marks_innocent),
}

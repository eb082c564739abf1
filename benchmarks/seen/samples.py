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
from PIL import Image, ImageDraw, ImageFilter
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


# enlarged pictures


def _photo(asked: Asked, rng: Rng, columns: int, rows: int) -> Image.Image:
    """A picture with detail in every pixel: photographs side by side, mirrored so that they go on; or drawn so fine."""
    photos = {
        "tuning": ("brick.png", "chelsea.png", "moon.png", "ihc.png"),
        "reported": ("coffee.png", "grass.png", "gravel.png", "hubble_deep_field.jpg", "retina.jpg", "camera.png"),
    }[asked.half]
    if rng.random() < 0.6:
        tile = grounds._opened(photos[int(rng.integers(len(photos)))])
        side = Image.new("RGB", (2 * tile.width, tile.height))
        side.paste(tile, (0, 0))
        side.paste(tile.transpose(Image.Transpose.FLIP_LEFT_RIGHT), (tile.width, 0))
        four = Image.new("RGB", (side.width, 2 * side.height))
        four.paste(side, (0, 0))
        four.paste(side.transpose(Image.Transpose.FLIP_TOP_BOTTOM), (0, side.height))
        whole = Image.new("RGB", (columns, rows))
        for x in range(0, columns, four.width):
            for y in range(0, rows, four.height):
                whole.paste(four, (x, y))
        return whole
    kinds = {
        "tuning": (grounds.blades, grounds.grit, grounds.sprigs),
        "reported": (grounds.leaves, grounds.pebbles, grounds.stars),
    }
    made = kinds[asked.half][int(rng.integers(3))](rng, columns, rows)
    return made.filter(ImageFilter.GaussianBlur(float(rng.uniform(0.3, 0.7))))


def _saved_fine(asked: Asked, rng: Rng, image: Image.Image, ppi: float, folder: Path, words: bool) -> str:
    """At its own pixels, no more scaling; a PDF may have letters over the picture."""
    kind, scale = str(rng.choice(["jpg", "tif", "png", "pdf", "pdf"])), int(rng.choice([1, 10]))
    name = f"{stem(asked)}.{kind}"
    w, h = asked.size
    if kind != "pdf":
        dpi = ppi * scale
        options: dict[str, object] = {
            "jpg": {"quality": int(rng.integers(65, 93))},
            "tif": {"compression": "tiff_lzw"},
        }.get(kind, {})
        image.save(folder / name, dpi=(dpi, dpi), **options)
        return name
    canvas = Canvas(str(folder / name), pagesize=(w / scale * MM, h / scale * MM), invariant=1)
    canvas.drawImage(ImageReader(image), 0, 0, w / scale * MM, h / scale * MM)
    if words:
        canvas.setFont("Helvetica-Bold", 0.12 * w / scale * MM)
        canvas.drawString(0.1 * w / scale * MM, 0.5 * h / scale * MM, "Moss & peat")
    canvas.save()
    return name


def soft_guilty(asked: Asked, rng: Rng, folder: Path) -> str:
    """A picture of 8 to 20 true pixels an inch at full size, enlarged to 60 to 120."""
    w, h = asked.size
    true, ppi = float(rng.uniform(8, 20)), float(rng.choice([60, 72, 100, 120]))
    small = _photo(asked, rng, round(w * true / 25.4), round(h * true / 25.4))
    way = (Image.Resampling.BICUBIC, Image.Resampling.BILINEAR, Image.Resampling.LANCZOS)[int(rng.integers(3))]
    return _saved_fine(
        asked,
        rng,
        small.resize((round(w * ppi / 25.4), round(h * ppi / 25.4)), way),
        ppi,
        folder,
        bool(rng.random() < 0.5),
    )


def soft_innocent(asked: Asked, rng: Rng, folder: Path) -> str:
    """True detail at 60 to 110 pixels an inch: all over, under a wide sky, with one sharp part, or none that anyone expects."""
    w, h = asked.size
    ppi = float(rng.choice([60, 72, 90, 110]))
    columns, rows = round(w * ppi / 25.4), round(h * ppi / 25.4)
    kind = str(rng.choice(["all over", "sky", "shallow focus", "shadow", "gradient", "bokeh", "poster", "poster"]))
    if kind == "poster":  # large flat shapes with sharp edges
        flat = grounds.flat(rng, columns, rows)
        draw = ImageDraw.Draw(flat)
        for _ in range(int(rng.integers(3, 12))):
            x, y, r = rng.uniform(0, columns), rng.uniform(0, rows), rng.uniform(0.05, 0.3) * columns
            turns = rng.uniform(0, 2 * np.pi) + np.linspace(0, 2 * np.pi, int(rng.integers(3, 40)), endpoint=False)
            draw.polygon([(x + r * np.cos(t), y + r * np.sin(t)) for t in turns], fill=grounds.colour(rng))
        soft = flat.filter(ImageFilter.GaussianBlur(float(rng.uniform(0.3, 0.7))))
        return _saved_fine(asked, rng, soft, ppi, folder, bool(rng.random() < 0.5))
    if kind in ("gradient", "bokeh"):
        maker = grounds.gradient if kind == "gradient" else grounds.clouds
        return _saved_fine(asked, rng, maker(rng, columns, rows), ppi, folder, words=True)
    sharp = _photo(asked, rng, columns, rows)
    if kind == "sky":
        sky = grounds.gradient(rng, columns, round(rows * 0.75)).filter(ImageFilter.GaussianBlur(3))
        sharp.paste(sky, (0, 0))
    elif kind == "shallow focus":
        blurred = sharp.filter(ImageFilter.GaussianBlur(float(rng.uniform(5, 15))))
        mask = Image.new("L", sharp.size)
        r, x, y = (
            rng.uniform(0.14, 0.25) * min(columns, rows),
            rng.uniform(0.3, 0.7) * columns,
            rng.uniform(0.3, 0.7) * rows,
        )
        ImageDraw.Draw(mask).ellipse((x - r, y - r, x + r, y + r), fill=255)
        blurred.paste(sharp, mask=mask.filter(ImageFilter.GaussianBlur(r / 6)))
        sharp = blurred
    elif kind == "shadow":
        dark = Image.new("RGB", sharp.size, (12, 12, 16))
        sharp = Image.blend(sharp, dark, 0.55)
    return _saved_fine(asked, rng, sharp, ppi, folder, bool(rng.random() < 0.5))


# graphics over lines


def _logo(rng: Rng, side: int, ink: tuple[int, int, int]) -> Image.Image:
    """A made-up emblem in one or two inks on nothing."""
    image = Image.new("RGBA", (side, side))
    draw = ImageDraw.Draw(image)
    second = grounds.colour(rng)
    kind = int(rng.integers(4))
    q = side / 10
    if kind == 0:
        draw.ellipse((0, 0, side - 1, side - 1), fill=ink)
        draw.polygon([(5 * q, q), (8 * q, 7 * q), (2 * q, 7 * q)], fill=second)
    elif kind == 1:
        draw.polygon([(5 * q, 0), (10 * q, 4 * q), (8 * q, 10 * q), (2 * q, 10 * q), (0, 4 * q)], fill=ink)
    elif kind == 2:
        draw.rounded_rectangle((0, 2 * q, side - 1, 8 * q), radius=2 * q, fill=ink)
        draw.ellipse((3 * q, 3 * q, 7 * q, 7 * q), fill=second)
    else:
        for k in range(3):
            draw.ellipse((k * 3 * q, k * 2 * q, k * 3 * q + 4 * q, k * 2 * q + 6 * q), fill=ink if k % 2 else second)
    return image


def _plain(asked: Asked, rng: Rng) -> Page:
    """A plain ground, white, flat or fading a little."""
    made = page(asked, rng, white=1.0)
    kind = float(rng.random())
    if kind < 0.35:
        return made
    if kind < 0.75:
        return Page(Image.new("RGB", made.image.size, grounds.colour(rng)), made.per, made.size)
    a = np.array(grounds.colour(rng), float)
    t = np.linspace(0, 1, made.image.height)[:, None, None]
    rows = np.clip(a + t * rng.uniform(-40, 40), 0, 255).astype(np.uint8)
    return Page(Image.fromarray(np.broadcast_to(rows, (*made.image.size[::-1], 3)).copy()), made.per, made.size)


def _apart(rng: Rng, ground: tuple[int, ...]) -> tuple[int, int, int]:
    """A colour that stands off a ground."""
    while True:
        ink = grounds.colour(rng)
        light = [0.299 * c[0] + 0.587 * c[1] + 0.114 * c[2] for c in (ink, ground)]
        if abs(light[0] - light[1]) > 60:
            return ink


def _crossings(asked: Asked) -> list[tuple[float, float, bool]]:
    """(x, y, whether the line is upright) of middles of lines inside the art size."""
    from artgen.survey.lettering.views import lines

    found = []
    for (x0, y0), (x1, y1) in lines(type("Laid", (), {"target": asked.target})()):
        if abs(x0 - x1) < 1 or abs(y0 - y1) < 1:
            found.append(((x0 + x1) / 2, (y0 + y1) / 2, abs(x0 - x1) < 1))
    return found


def graphic_guilty(asked: Asked, rng: Rng, folder: Path) -> str:
    """An emblem of 60 to 300 mm over a fold line, joint or seam, 10 to 50 % of it past the line."""
    made = _plain(asked, rng)
    w, h = made.size
    places = _crossings(asked)
    x, y, upright = places[int(rng.integers(len(places)))]
    outer = min(x, y, w - x, h - y) < 60
    side = float(rng.uniform(60, 0.3 * min(w, h)))
    past = float(rng.uniform(0.1, 0.5)) * side
    if outer:
        past = min(past, 24.0)
    side_way = 1 if (x > w / 2 if upright else y > h / 2) else -1
    cx, cy = (x - side_way * (side / 2 - past), y) if upright else (x, y - side_way * (side / 2 - past))
    along = float(rng.uniform(-0.25, 0.25))
    cx, cy = (cx, cy + along * h) if upright else (cx + along * w, cy)
    px, py = made.at(cx - side / 2, cy + side / 2)
    pixel = made.image.getpixel(
        (min(max(int(px), 0), made.image.width - 1), min(max(int(py), 0), made.image.height - 1))
    )
    mark = _logo(rng, round(side * made.per), _apart(rng, pixel))
    made.image.paste(mark, (round(px), round(py)), mark)
    return save(asked, rng, made, folder)


def graphic_innocent(asked: Asked, rng: Rng, folder: Path) -> str:
    """Emblems clear of lines, grounds, photographs, patterns, hills and rays that run out over the edge."""
    kind = str(rng.choice(["clear", "ground", "pattern", "hills", "rays", "box"]))
    if kind == "ground":
        return save(asked, rng, page(asked, rng), folder)
    made = _plain(asked, rng)
    w, h = made.size
    draw = ImageDraw.Draw(made.image)
    ink = _apart(rng, made.image.getpixel((made.image.width // 2, made.image.height // 2)))
    if kind == "clear":
        places = _crossings(asked)
        for _ in range(60):
            side = float(rng.uniform(60, 0.25 * min(w, h)))
            x, y = rng.uniform(50, w - 50 - side), rng.uniform(50, h - 50 - side)
            near = [abs((x if up else y) + side / 2 - (px if up else py)) < side / 2 + 12 for px, py, up in places]
            if not any(near):
                px, py = made.at(x, y + side)
                mark = _logo(rng, round(side * made.per), ink)
                made.image.paste(mark, (round(px), round(py)), mark)
                break
    elif kind == "pattern":
        pitch = float(rng.uniform(70, 260))
        mark = _logo(rng, round(pitch * made.per * rng.uniform(0.4, 0.7)), ink)
        for x in np.arange(-pitch, w + pitch, pitch):
            for y in np.arange(-pitch, h + pitch, pitch):
                px, py = made.at(x, y)
                made.image.paste(mark, (round(px), round(py)), mark)
    elif kind == "hills":
        xs = np.linspace(0, w, 60)
        ys = h * 0.3 + 0.12 * h * np.sin(xs / w * rng.uniform(4, 12)) + 0.05 * h * np.sin(xs / w * 31)
        draw.polygon([made.at(0, 0), *[made.at(x, y) for x, y in zip(xs, ys, strict=True)], made.at(w, 0)], fill=ink)
    elif kind == "rays":
        for turn in np.linspace(0, 2 * np.pi, 18):
            ends = [(w / 2 + 2 * w * np.cos(t), h / 2 + 2 * h * np.sin(t)) for t in (turn, turn + 0.17)]
            draw.polygon([made.at(w / 2, h / 2), *[made.at(*p) for p in ends]], fill=ink)
    else:  # a photograph that runs out over one edge
        inner = page(asked, rng)
        size = (round(0.6 * made.image.width), round(0.5 * made.image.height))
        made.image.paste(inner.image.resize(size), (-round(0.1 * made.image.width), round(0.3 * made.image.height)))
    return save(asked, rng, made, folder)


MAKERS: dict[str, tuple[Maker, Maker]] = {
    "guides-left-in": (guides_guilty, guides_innocent),
    "bleed-unpainted": (unpainted_guilty, unpainted_innocent),
    "marks-left-in": (marks_guilty, marks_innocent),
    "image-soft": (soft_guilty, soft_innocent),
    "mark-at-risk": (graphic_guilty, graphic_innocent),
}

"""Writers: marks and lines in full-size millimetres to PDF (two libraries) and SVG, the same bytes every time.

Each takes the page at full size and the scale it is drawn at (10 = 1:10). CMYK pages carry device inks; RGB pages
carry an sRGB colour profile as their default space and output intent.
"""

from __future__ import annotations

import datetime
import io
import warnings
from collections.abc import Sequence
from pathlib import Path as FilePath

import pikepdf
import svgwrite
from fpdf import FPDF
from fpdf.drawing import DeviceRGB, PaintedPath
from fpdf.enums import PathPaintRule
from PIL import ImageCms
from reportlab import rl_config
from reportlab.pdfbase.pdfmetrics import registerFont
from reportlab.pdfbase.ttfonts import TTFont as ReportlabFont
from reportlab.pdfgen.canvas import Canvas

from artgen.units import PT_PER_MM

from .lettering import Line, font_file
from .paths import Mark, Path

STAMP = datetime.datetime(2026, 3, 2, 9, 0, tzinfo=datetime.UTC)  # the order's date: files must not change by the clock

pikepdf.settings.set_flate_compression_level(9)

Size = tuple[float, float]


def srgb_profile() -> bytes:
    """The sRGB profile without the moment it was made (header bytes 24–35, ICC.1:2022 table 17)."""
    raw = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    raw[24:36] = bytes([0x07, 0xEA, 0, 3, 0, 2, 0, 0, 0, 0, 0, 0])
    return bytes(raw)


def cmyk_pdf(
    file: FilePath, size: Size, scale: float, marks: Sequence[Mark], lines: Sequence[Line], title: str
) -> None:
    """A PDF in device CMYK by reportlab, live text with embedded fonts."""
    unit = PT_PER_MM / scale
    rl_config.useA85 = 0  # plain binary streams, a fifth smaller
    made = io.BytesIO()
    canvas = Canvas(made, pagesize=(size[0] * unit, size[1] * unit), invariant=1, pageCompression=1)
    canvas.setTitle(title)
    canvas.setAuthor("Quillmere Bog Trust")
    canvas.setLineCap(1)
    canvas.setLineJoin(1)
    digits = 1 if scale <= 4 else 2  # of a point on the page: 0.07 mm at full size or finer
    fill = stroke = None
    for mark in marks:
        path = canvas.beginPath()
        for name, n in mark.path:
            p = [round(v * unit, digits) for v in n]
            if name == "M":
                path.moveTo(*p)
            elif name == "L":
                path.lineTo(*p)
            elif name == "C":
                path.curveTo(*p)
            else:
                path.close()
        if mark.fill and mark.fill != fill:
            fill = mark.fill
            canvas.setFillColorCMYK(*(round(v, 3) for v in fill.cmyk))
        if mark.stroke:
            if mark.stroke != stroke:
                stroke = mark.stroke
                canvas.setStrokeColorCMYK(*(round(v, 3) for v in stroke.cmyk))
            canvas.setLineWidth(round(mark.width * unit, 3))
        canvas.drawPath(path, stroke=int(mark.stroke is not None), fill=int(mark.fill is not None))
    for row in lines:
        registerFont(ReportlabFont(row.face, str(font_file(row.face))))
        canvas.setFont(row.face, row.size * unit)
        canvas.setFillColorCMYK(*row.ink.cmyk)
        canvas.drawString(row.x * unit, row.y * unit, row.text)
    canvas.save()
    _without_stock_font(made, file)


def _without_stock_font(made: io.BytesIO, file: FilePath) -> None:
    """Takes out the unembedded Helvetica that reportlab names at the head of every page and that sets nothing."""
    head = b"BT /F1 12 Tf 14.4 TL ET"
    made.seek(0)
    with pikepdf.open(made) as pdf:
        page = pdf.pages[0]
        content = page.Contents.read_bytes()
        assert content.count(b"/F1 ") == 1 and head in content
        page.Contents = pdf.make_stream(content.replace(head, b"", 1))
        del page.Resources.Font["/F1"]
        pdf.save(file, deterministic_id=True, compress_streams=True, recompress_flate=True)


def rgb_pdf(file: FilePath, size: Size, scale: float, marks: Sequence[Mark], lines: Sequence[Line], title: str) -> None:
    """A PDF in sRGB by fpdf2, live text with embedded fonts."""
    pdf = FPDF(unit="mm", format=(size[0] / scale, size[1] / scale))
    pdf.set_creation_date(STAMP)
    pdf.set_title(title)
    pdf.set_author("Quillmere Bog Trust")
    pdf.set_auto_page_break(False)
    pdf.add_page()
    top = size[1] / scale
    with pdf.drawing_context() as drawing:
        for mark in marks:
            drawing.add_item(_painted(mark, scale, top))
    for face in sorted({row.face for row in lines}):
        pdf.add_font(face, fname=str(font_file(face)))
    for row in lines:
        pdf.set_font(row.face, size=row.size / scale * PT_PER_MM)
        pdf.set_text_color(*(round(v) for v in row.ink.rgb))
        pdf.text(row.x / scale, top - row.y / scale, row.text)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        raw = bytes(pdf.output())
    _with_profile(raw, file)


def _painted(mark: Mark, scale: float, top: float) -> PaintedPath:
    """The mark as an fpdf2 path: page millimetres, y down."""
    path = PaintedPath()
    for name, n in mark.path:
        p = [round(v / scale if i % 2 == 0 else top - v / scale, 2) for i, v in enumerate(n)]
        if name == "M":
            path.move_to(*p)
        elif name == "L":
            path.line_to(*p)
        elif name == "C":
            path.curve_to(*p)
        else:
            path.close()
    path.style.auto_close = False
    path.style.fill_color = DeviceRGB(*(round(v) / 255 for v in mark.fill.rgb)) if mark.fill else None
    path.style.stroke_color = DeviceRGB(*(round(v) / 255 for v in mark.stroke.rgb)) if mark.stroke else None
    if mark.stroke:
        path.style.stroke_width = mark.width / scale
        path.style.stroke_cap_style = "round"
        path.style.stroke_join_style = "round"
    path.style.paint_rule = {
        (True, True): PathPaintRule.STROKE_FILL_NONZERO,
        (True, False): PathPaintRule.FILL_NONZERO,
        (False, True): PathPaintRule.STROKE,
    }[(mark.fill is not None, mark.stroke is not None)]
    return path


def _with_profile(raw: bytes, file: FilePath) -> None:
    """Declares what the file's RGB means: sRGB as default space of the page and as output intent."""
    with pikepdf.open(io.BytesIO(raw)) as pdf:
        profile = pdf.make_stream(srgb_profile(), N=3)
        space = pikepdf.Array([pikepdf.Name.ICCBased, profile])
        resources = pdf.pages[0].Resources
        resources.ColorSpace = pikepdf.Dictionary(DefaultRGB=space)
        intent = pikepdf.Dictionary(
            Type=pikepdf.Name.OutputIntent,
            S=pikepdf.Name.GTS_PDFX,
            OutputConditionIdentifier="sRGB IEC61966-2.1",
            RegistryName="http://www.color.org",
            DestOutputProfile=profile,
        )
        for needless in ("/OpenAction", "/PageLayout"):
            del pdf.Root[needless]
        pdf.Root.OutputIntents = pikepdf.Array([intent])
        pdf.save(file, deterministic_id=True, compress_streams=True, recompress_flate=True)


def svg(file: FilePath, size: Size, scale: float, marks: Sequence[Mark], title: str) -> None:
    """An SVG in page millimetres (viewBox in mm), y down, paths only."""
    w, h = (round(v / scale, 4) for v in size)
    drawing = svgwrite.Drawing(str(file), size=(f"{w}mm", f"{h}mm"), viewBox=f"0 0 {w} {h}", debug=False)
    drawing.set_desc(title=title)
    picture = drawing.add(drawing.g(fill="none", stroke_linecap="round", stroke_linejoin="round"))
    for mark in marks:
        look = {"fill": mark.fill.hex} if mark.fill else {}
        if mark.stroke:
            look |= {"stroke": mark.stroke.hex, "stroke_width": f"{mark.width / scale:.3g}"}
        picture.add(drawing.path(d=_svg_data(mark.path, scale, size[1]), **look))
    drawing.save(pretty=False)


def _svg_data(path: Path, scale: float, top: float) -> str:
    """Path data in page mm to 0.01, curves relative to where the pen is, which is shorter."""
    parts = []
    here = (0.0, 0.0)
    for name, n in path:
        p = [round((v if i % 2 == 0 else top - v) / scale, 2) for i, v in enumerate(n)]
        if name == "C":
            moves = [f"{v - here[i % 2]:.2f}".rstrip("0").rstrip(".") for i, v in enumerate(p)]
            parts.append("c" + " ".join(m.replace("0.", ".", 1) if m.startswith(("0.", "-0.")) else m for m in moves))
        else:
            parts.append(name + " ".join(f"{v:g}" for v in p))
        here = (p[-2], p[-1]) if p else here
    return "".join(parts)

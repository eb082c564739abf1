"""Images, colours, lines, layers and extras of PDFs, against sums by hand; pages made by reportlab, fpdf2 and pikepdf.

Effective resolution by hand: an image of n pixels whose side is placed s points long has n / (s / 72) pixels an inch.
"""

import base64
import hashlib
import io
import math
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import fpdf
import pikepdf
import pytest
from pikepdf import Array, Dictionary, Name
from PIL import Image as Picture
from PIL import ImageCms
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

from artgen.art import read
from artgen.art.answers import checked
from artgen.art.colours import Colours
from artgen.art.content import page_content
from artgen.art.facts import ColourSpace, FileFacts, PageFacts, Point
from artgen.art.layer_states import LayerStates
from artgen.art.tasks import read_task
from artgen.units import MM_PER_PT

PT = MM_PER_PT


def facts_in(folder: Path, data: bytes) -> FileFacts:
    file = folder / "page.pdf"
    file.write_bytes(data)
    facts = checked(read_task(file, {}, folder))
    assert isinstance(facts, FileFacts), facts
    return facts


def picture(wide: int, high: int, mode: str = "RGB") -> Picture.Image:
    return Picture.new(mode, (wide, high), 77 if mode == "L" else (200, 30, 90, 40)[: len(mode)])


def built(content: bytes, resources: dict[str, Any], change: Callable[[pikepdf.Pdf], None] | None = None) -> bytes:
    """A page of 1000 × 1000 pt with this content; values of ``resources`` are made in the document."""
    pdf = pikepdf.new()
    pdf.add_blank_page(page_size=(1000, 1000))
    pdf.pages[0].Contents = pdf.make_stream(content)
    made = {kind: value(pdf) if callable(value) else value for kind, value in resources.items()}
    pdf.pages[0].Resources = Dictionary({f"/{kind}": value for kind, value in made.items()})
    if change is not None:
        change(pdf)
    data = io.BytesIO()
    pdf.save(data)
    return data.getvalue()


def raw_image(pdf: pikepdf.Pdf, wide: int, high: int, space: Any, parts: int = 1, **more: Any) -> Any:
    stream = pdf.make_stream(bytes(wide * high * parts))
    entries = {
        "Type": Name.XObject,
        "Subtype": Name.Image,
        "Width": wide,
        "Height": high,
        "BitsPerComponent": 8,
        **more,
    }
    if space is not None:
        entries["ColorSpace"] = space
    for key, value in entries.items():
        stream[f"/{key}"] = value
    return stream


def form(pdf: pikepdf.Pdf, content: bytes, resources: Any, **more: Any) -> Any:
    stream = pdf.make_stream(content)
    stream.Type, stream.Subtype, stream.BBox, stream.Resources = (
        Name.XObject,
        Name.Form,
        [-2000, -2000, 2000, 2000],
        resources,
    )
    for key, value in more.items():
        stream[f"/{key}"] = value
    return stream


def near(points: Any, expected: list[Point], within: float = 1e-3) -> bool:
    return all(math.dist(p, q) < within for p, q in zip(points, expected, strict=True))


# images


@pytest.mark.parametrize("degrees", [0, 30, 45, 90, -120])
def test_resolution_of_a_turned_image_by_reportlab(tmp_path: Path, degrees: float) -> None:
    """600 × 300 pixels on 144 × 216 pt = 2 × 3 in: 300 and 100 pixels an inch, whatever the turn."""
    data = io.BytesIO()
    canvas = Canvas(data, pagesize=(1000, 1000))
    canvas.translate(500, 500)
    canvas.rotate(degrees)
    canvas.drawImage(ImageReader(picture(600, 300)), 0, 0, 144, 216)
    canvas.save()
    (image,) = facts_in(tmp_path, data.getvalue()).pages[0].images
    assert image.pixels == (600, 300)
    assert image.ppi == pytest.approx((300, 100), rel=1e-3)
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    corners = [(0, 0), (144, 0), (144, 216), (0, 216)]
    expected = [((500 + x * cos - y * sin) * PT, (500 + x * sin + y * cos) * PT) for x, y in corners]
    assert near(image.quad, expected, 0.01)


def test_resolution_by_fpdf2(tmp_path: Path) -> None:
    """254 × 127 pixels on 50.8 × 25.4 mm = 2 × 1 in: 127 pixels an inch both ways."""
    data = io.BytesIO()
    picture(254, 127).save(data, "PNG")
    pdf = fpdf.FPDF(unit="mm", format=(300, 300))
    pdf.add_page()
    with pdf.rotation(17, 100, 100):
        pdf.image(data, 100, 100, 50.8, 25.4)
    (image,) = facts_in(tmp_path, bytes(pdf.output())).pages[0].images
    assert image.ppi == pytest.approx((127, 127), rel=1e-3)


@pytest.mark.parametrize("degrees", [0, 33])
@pytest.mark.parametrize("skew", [0, 25])
@pytest.mark.parametrize(("rotate", "unit"), [(0, 1.0), (90, 1.0), (270, 2.5)])
def test_resolution_in_nested_forms_turned_and_skewed(
    tmp_path: Path, degrees: float, skew: float, rotate: int, unit: float
) -> None:
    """Page × 2 → form turned by its /Matrix → form × 0.5 skewed along x → 100 × 80 pt. A skew by angle s along x keeps the
    rows' length, 2 · 0.5 · 100, and stretches the columns to 2 · 0.5 · 80 / cos s."""

    def forms(pdf: pikepdf.Pdf) -> Any:
        image = raw_image(pdf, 400, 240, Name.DeviceGray)
        lean = math.tan(math.radians(skew))
        inner = form(
            pdf,
            f"0.5 0 {0.5 * lean:.9f} 0.5 0 0 cm q 100 0 0 80 0 0 cm /Im Do Q".encode(),
            Dictionary(XObject=Dictionary(Im=image)),
        )
        cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
        outer = form(pdf, b"/In Do", Dictionary(XObject=Dictionary(In=inner)), Matrix=[cos, sin, -sin, cos, 0, 0])
        return Dictionary(Out=outer)

    def change(pdf: pikepdf.Pdf) -> None:
        pdf.pages[0].Rotate, pdf.pages[0].UserUnit = rotate, unit

    data = built(b"q 2 0 0 2 300 300 cm /Out Do Q", {"XObject": forms}, change)
    (image,) = facts_in(tmp_path, data).pages[0].images
    columns = 80 / math.cos(math.radians(skew))
    assert image.ppi == pytest.approx((400 / (100 * unit / 72), 240 / (columns * unit / 72)), rel=1e-3)


def test_what_images_are(tmp_path: Path) -> None:
    def images(pdf: pikepdf.Pdf) -> Any:
        profile = pdf.make_stream(b"not a profile")
        profile.N = 4
        lab = Array([Name.Lab, Dictionary(WhitePoint=[0.96, 1, 0.82])])
        alternate = Dictionary(FunctionType=2, Domain=[0, 1], C0=[0, 0, 0, 0], C1=[0, 1, 1, 0], N=1)
        spot = Array([Name.Separation, Name("/Moss Green"), Name.DeviceCMYK, alternate])
        spots = Array([Name.DeviceN, Array([Name.Cyan, Name("/Varnish")]), Name.DeviceCMYK, alternate])
        indexed = Array([Name.Indexed, Array([Name.ICCBased, profile]), 1, b"\0" * 8])
        soft = raw_image(pdf, 4, 4, Name.DeviceGray)
        return Dictionary(
            A=raw_image(pdf, 8, 8, Name.DeviceCMYK, 4, SMask=soft),
            B=raw_image(pdf, 8, 8, indexed),
            C=raw_image(pdf, 8, 8, spot, Mask=[0, 0]),
            D=raw_image(pdf, 8, 8, spots, 2),
            E=raw_image(pdf, 8, 8, None, ImageMask=True, BitsPerComponent=1),
            F=raw_image(pdf, 8, 8, lab, 3),
            G=raw_image(pdf, 8, 8, Array([Name.ICCBased, profile]), 4, Filter=Name.DCTDecode),
        )

    content = b" ".join(b"q 72 0 0 72 0 0 cm /%c Do Q" % letter for letter in b"ABCDEFG")
    facts = facts_in(tmp_path, built(content, {"XObject": images}))
    a, b, c, d, e, f, g = facts.pages[0].images
    (profile,) = facts.profiles
    assert a.space == ColourSpace("DeviceCMYK", parts=4)
    assert (a.masked, a.bits, a.filters) == ("soft", 8, ("FlateDecode",))  # the writer packs what has no filter
    assert b.space == ColourSpace("Indexed", "ICCBased", parts=1, profile=profile.hash)
    assert c.space == ColourSpace("Separation", "DeviceCMYK", ("Moss Green",), 1)
    assert c.masked == "colour-key"
    assert d.space == ColourSpace("DeviceN", "DeviceCMYK", ("Cyan", "Varnish"), 2)
    assert (e.space, e.stencil, e.bits) == (None, True, 1)
    assert f.space == ColourSpace("Lab", parts=3)
    assert g.space == ColourSpace("ICCBased", parts=4, profile=profile.hash)
    assert g.filters == ("DCTDecode",)
    assert facts.pages[0].ink.spots == ("Moss Green", "Varnish")


def test_profile_description_and_hash(tmp_path: Path) -> None:
    """A profile that lcms makes and describes itself; its hash by hashlib."""
    made = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB"))
    data = made.tobytes()

    def images(pdf: pikepdf.Pdf) -> Any:
        profile = pdf.make_stream(data)
        profile.N = 3
        return Dictionary(A=raw_image(pdf, 8, 8, Array([Name.ICCBased, profile]), 3))

    (profile,) = facts_in(tmp_path, built(b"/A Do", {"XObject": images})).profiles
    assert profile.hash == hashlib.sha256(data).hexdigest()
    assert profile.description == ImageCms.getProfileDescription(made).strip()
    assert profile.space == "RGB"


def test_inline_images(tmp_path: Path) -> None:
    content = b"q 36 0 0 72 0 0 cm BI /W 4 /H 2 /CS /G /BPC 8 /F /AHx ID 0011223344556677> EI Q"
    content += b" q 72 0 0 72 0 0 cm BI /W 8 /H 1 /IM true ID \xff EI Q"
    one, two = facts_in(tmp_path, built(content, {})).pages[0].images
    assert one.inline
    assert (one.pixels, one.bits, one.filters) == ((4, 2), 8, ("ASCIIHexDecode",))
    assert one.space == ColourSpace("DeviceGray", parts=1)
    assert one.ppi == pytest.approx((8, 2))
    assert two.stencil


def test_what_clips_an_image(tmp_path: Path) -> None:
    """Image at (100, 100)–(300, 300): clipped by a rectangle, by a triangle, by a form's BBox, by nothing, to nothing."""

    def objects(pdf: pikepdf.Pdf) -> Any:
        image = raw_image(pdf, 8, 8, Name.DeviceGray)
        boxed = form(pdf, b"q 200 0 0 200 100 100 cm /Im Do Q", Dictionary(XObject=Dictionary(Im=image)))
        boxed.BBox = [0, 0, 200, 1000]
        return Dictionary(Im=image, Box=boxed)

    place = b"200 0 0 200 100 100 cm /Im Do Q "
    content = b"q 50 150 400 100 re W n " + place
    content += b"q 0 0 m 500 0 l 0 500 l h W* n " + place
    content += b"/Box Do q 0 0 900 900 re W n " + place + b"q 0 0 50 50 re W n " + place
    images = facts_in(tmp_path, built(content, {"XObject": objects})).pages[0].images
    by_box, by_triangle, by_form, by_none, to_nothing = (image.clip for image in images)

    def extent(region: Any) -> tuple[float, ...]:
        xs, ys = [x / PT for x, _ in region], [y / PT for _, y in region]
        return (min(xs), min(ys), max(xs), max(ys))

    assert extent(by_box) == pytest.approx((100, 150, 300, 250))
    # x + y ≤ 500 cuts off the corner (300, 300)
    assert by_triangle is not None
    corners = {(round(x / PT, 6), round(y / PT, 6)) for x, y in by_triangle}
    assert corners == {(100, 100), (300, 100), (300, 200), (200, 300), (100, 300)}
    assert extent(by_form) == pytest.approx((100, 100, 200, 300))
    assert by_none is None
    assert to_nothing == ()


def test_an_image_in_a_tiling_pattern(tmp_path: Path) -> None:
    """Pattern matrix × 2, image of 90 pixels on 10 pt in it: 20 pt, 324 pixels an inch; the page's own cm counts for nothing."""

    def patterns(pdf: pikepdf.Pdf) -> Any:
        cell = pdf.make_stream(b"q 10 0 0 10 0 0 cm /Im Do Q")
        image = raw_image(pdf, 90, 90, Name.DeviceRGB, 3)
        entries = {"PatternType": 1, "PaintType": 1, "TilingType": 1, "BBox": [0, 0, 20, 20], "XStep": 20, "YStep": 20}
        for key, value in entries.items():
            cell[f"/{key}"] = value
        cell.Matrix, cell.Resources = [2, 0, 0, 2, 0, 0], Dictionary(XObject=Dictionary(Im=image))
        return Dictionary(P=cell)

    content = b"5 0 0 5 0 0 cm /Pattern cs /P scn 0 0 100 100 re f"
    page = facts_in(tmp_path, built(content, {"Pattern": patterns})).pages[0]
    (image,) = page.images
    assert image.within == "pattern"
    assert image.ppi == pytest.approx((324, 324))
    assert ColourSpace("DeviceRGB", parts=3) in page.ink.spaces


# colours


def test_spaces_are_those_that_paint(tmp_path: Path) -> None:
    def spaces(pdf: pikepdf.Pdf) -> Any:
        tint = Dictionary(FunctionType=2, Domain=[0, 1], C0=[0, 0, 0, 0], C1=[1, 0, 0, 0], N=1)
        return Dictionary(
            Used=Array([Name.Separation, Name("/Peat 7"), Name.DeviceCMYK, tint]),
            Unused=Array([Name.Separation, Name.Sphagnum, Name.DeviceCMYK, tint]),
        )

    content = b"1 0 0 rg /Unused cs 0.5 0 0 0.1 k 0 0 9 9 re f /Used CS 0.5 SCN 0 0 m 9 9 l S 0.3 g 0 0 m n"
    ink = facts_in(tmp_path, built(content, {"ColorSpace": spaces})).pages[0].ink
    assert [space.family for space in ink.spaces] == ["DeviceCMYK", "Separation"]
    assert ink.spots == ("Peat 7",)


def test_colours_of_shadings_and_type_3_glyphs(tmp_path: Path) -> None:
    def shadings(pdf: pikepdf.Pdf) -> Any:
        ramp = Dictionary(FunctionType=2, Domain=[0, 1], C0=[0, 0, 0], C1=[1, 0, 0], N=1)
        return Dictionary(S=Dictionary(ShadingType=2, ColorSpace=Name.DeviceRGB, Coords=[0, 0, 9, 9], Function=ramp))

    def fonts(pdf: pikepdf.Pdf) -> Any:
        glyph = pdf.make_stream(b"1000 0 d0 0 1 0 0 k 0 0 700 700 re f")
        return Dictionary(
            F=Dictionary(
                Type=Name.Font,
                Subtype=Name.Type3,
                FontBBox=[0, 0, 1000, 1000],
                FontMatrix=[0.001, 0, 0, 0.001, 0, 0],
                CharProcs=Dictionary(A=glyph),
                Encoding=Dictionary(Type=Name.Encoding, Differences=[65, Name.A]),
                FirstChar=65,
                LastChar=65,
                Widths=[1000],
                Resources=Dictionary(),
            )
        )

    ink = facts_in(tmp_path, built(b"/S sh BT /F 20 Tf (A) Tj ET", {"Shading": shadings, "Font": fonts})).pages[0].ink
    assert {space.family for space in ink.spaces} == {"DeviceRGB", "DeviceCMYK", "DeviceGray"}


def test_overprint_and_white_that_overprints(tmp_path: Path) -> None:
    states = {
        "/Off": Dictionary(OP=False),
        "/Both": Dictionary(OP=True, OPM=1),
        "/Strokes": Dictionary(OP=True, op=False, OPM=0),
    }
    content = b"0 0 0 0 k 0 0 9 9 re f /Both gs 0 0 0 0 k 100 200 50 20 re f 0 0 0 1 k 0 0 9 9 re f"
    content += b" /Strokes gs 1 0 0 0 K 0 0 m 9 9 l S 0 0 0 0 k 0 0 9 9 re f"
    content += b" /Both gs 2 0 0 2 0 0 cm 1 g BT /F 10 Tf 30 40 Td (a) Tj ET"
    font = Dictionary(Type=Name.Font, Subtype=Name.Type1, BaseFont=Name.Helvetica)
    page = facts_in(tmp_path, built(content, {"ExtGState": Dictionary(states), "Font": Dictionary(F=font)})).pages[0]
    over = page.overprint
    assert (over.fills, over.strokes, over.modes, over.white) == (3, 1, (0, 1), 2)
    assert over.white_at[0] == pytest.approx([100 * PT, 200 * PT, 150 * PT, 220 * PT])
    assert over.white_at[1] == pytest.approx([60 * PT, 80 * PT, 60 * PT, 80 * PT])


def test_what_text_is_filled_with(tmp_path: Path) -> None:
    """Sizes: font size × text matrix × mapping, in points; of each set of several inks the least, and how many pieces."""
    font = Dictionary(Type=Name.Font, Subtype=Name.Type1, BaseFont=Name.Helvetica)
    content = b"0 0 0 1 k BT /F 12 Tf (a) Tj ET"  # black alone
    content += b" q 2 0 0 2 0 0 cm .2 0 .1 .9 k BT /F 1 Tf 9 0 0 9 30 40 Tm (a) Tj (b) Tj ET Q"  # three inks, 18
    content += b" .1 0 .3 .8 k BT /F 7 Tf (a) Tj ET"  # three inks, 7
    content += b" 1 0 0 rg BT /F 3 Tf (a) Tj ET"  # no inks
    content += b" 0 0 0 1 k BT 3 Tr /F 2 Tf (a) Tj ET"  # paints nothing
    page = facts_in(tmp_path, built(content, {"Font": Dictionary(F=font)})).pages[0]
    assert [(text.inks, text.count) for text in page.ink.text] == [(("Cyan", "Yellow", "Black"), 3)]
    assert [text.least for text in page.ink.text] == pytest.approx([7 * PT])


def test_transparency(tmp_path: Path) -> None:
    def states(pdf: pikepdf.Pdf) -> Any:
        mask = form(pdf, b"0 0 9 9 re f", Dictionary(), Group=Dictionary(S=Name.Transparency, CS=Name.DeviceGray))
        return Dictionary(
            Faint=Dictionary(ca=0.25, CA=0.1),
            Multiply=Dictionary(BM=Name.Multiply),
            Masked=Dictionary(SMask=Dictionary(S=Name.Luminosity, G=mask)),
            Unused=Dictionary(BM=Name.Hue),
        )

    def forms(pdf: pikepdf.Pdf) -> Any:
        return Dictionary(G=form(pdf, b"", Dictionary(), Group=Dictionary(S=Name.Transparency, CS=Name.DeviceRGB)))

    def change(pdf: pikepdf.Pdf) -> None:
        pdf.pages[0].Group = Dictionary(S=Name.Transparency, CS=Name.DeviceCMYK)

    content = b"q /Faint gs 0 0 9 9 re f Q q /Multiply gs 0 0 9 9 re f Q /G Do /Unused gs"
    seen = facts_in(tmp_path, built(content, {"ExtGState": states, "XObject": forms}, change)).pages[0].transparency
    assert (seen.alpha, seen.blends, seen.soft_masks) == (0.25, ("Multiply",), False)
    assert seen.groups == ("DeviceCMYK", "DeviceRGB")
    content = b"/Masked gs 0 0 9 9 re f"
    assert facts_in(tmp_path, built(content, {"ExtGState": states})).pages[0].transparency.soft_masks


# layers


def test_layers_their_states_and_marks(tmp_path: Path) -> None:
    def change(pdf: pikepdf.Pdf) -> None:
        made = [pdf.make_indirect(Dictionary(Type=Name.OCG, Name=name)) for name in ("Art", "Guides", "Empty", "View")]
        made[3].Usage = Dictionary(Print=Dictionary(PrintState=Name.OFF))
        applied = Dictionary(Event=Name.Print, OCGs=Array([made[3]]), Category=Array([Name.Print]))
        pdf.Root.OCProperties = Dictionary(OCGs=Array(made), D=Dictionary(OFF=Array([made[1]]), AS=Array([applied])))
        rule = pdf.make_indirect(Dictionary(Type=Name.OCMD, OCGs=Array(made[:2]), P=Name.AllOff))
        pdf.pages[0].Resources.Properties = Dictionary(A=made[0], G=made[1], E=made[2], R=rule)
        pdf.pages[0].Resources.XObject.Im.OC = made[3]

    content = b"/OC /G BDC 0 0 9 9 re f /Im Do EMC /OC /E BDC EMC 0 0 9 9 re f /OC /R BDC 0 0 m 9 9 l S EMC /Im Do"
    images = {"XObject": lambda pdf: Dictionary(Im=raw_image(pdf, 8, 8, Name.DeviceGray))}
    facts = facts_in(tmp_path, built(content, images, change))
    assert [(layer.name, layer.shown, layer.printed, layer.pages) for layer in facts.layers] == [
        ("Art", True, True, (1,)),  # by the rule that names it
        ("Guides", False, False, (1,)),
        ("Empty", True, True, ()),
        ("View", True, False, (1,)),
    ]
    assert [image.layer for image in facts.pages[0].images] == ["View", "View"]


# lines


def test_widths_of_strokes_and_fills(tmp_path: Path) -> None:
    """1 pt under a stretch of 2 × 0.5 is 0.5 pt at its thinnest; 0.2 pt in a form × 3 is 0.6 pt; a bar of 40 × 0.3 pt turned
    by 20° is as thick as it is at 0°."""

    def forms(pdf: pikepdf.Pdf) -> Any:
        return Dictionary(F=form(pdf, b"0.2 w 0 0 m 9 9 l S", Dictionary()))

    cos, sin = math.cos(math.radians(20)), math.sin(math.radians(20))
    content = b"q 2 0 0 0.5 0 0 cm 1 w 10 10 m 90 90 l S Q q 3 0 0 3 500 500 cm /F Do Q 200 200 300 300 re f"
    content += f" q {cos} {sin} {-sin} {cos} 300 300 cm 0 0 40 0.3 re f Q".encode()
    lines = facts_in(tmp_path, built(content, {"XObject": forms})).pages[0].lines
    assert (lines.strokes, lines.fills) == (2, 2)
    bar, stretched, formed = lines.thinnest
    assert bar.kind == "fill"
    # area over half the outline: 40 · 0.3 / (40 + 0.3), 0.7 % under the bar's own 0.3 pt
    assert bar.width == pytest.approx(12 / 40.3 * PT, rel=1e-3)
    assert (stretched.kind, stretched.width) == ("stroke", pytest.approx(0.5 * PT))
    assert formed.width == pytest.approx(0.6 * PT, rel=1e-5)
    assert formed.where[0] == pytest.approx(500 * PT, abs=0.5)


# the file


def test_extras_and_what_lies_outside(tmp_path: Path) -> None:
    def change(pdf: pikepdf.Pdf) -> None:
        script = Dictionary(S=Name.JavaScript, JS="app.alert(1)")
        pdf.Root.Names = Dictionary(JavaScript=Dictionary(Names=Array(["hello", script])))
        pdf.attachments["notes.txt"] = b"peat"
        pdf.Root.OutputIntents = Array(
            [Dictionary(S=Name.GTS_PDFX, OutputConditionIdentifier="Cloth 7", Info="made up")]
        )
        notes = [
            Dictionary(Type=Name.Annot, Subtype=Name.Text, Rect=[0, 0, 9, 9]),
            Dictionary(Type=Name.Annot, Subtype=Name.Text, Rect=[0, 0, 9, 9]),
            pdf.make_indirect(
                Dictionary(Type=Name.Annot, Subtype=Name.Widget, FT=Name.Tx, T="size", Rect=[0, 0, 9, 9])
            ),
            Dictionary(Subtype=Name.Link, Rect=[0, 0, 9, 9], A=Dictionary(S=Name.URI, URI="http://art.test/")),
            Dictionary(Subtype=Name.Link, Rect=[0, 0, 9, 9], A=Dictionary(S=Name.GoToR, F="other.pdf")),
        ]
        pdf.pages[0].Annots = Array(notes)
        pdf.Root.AcroForm = Dictionary(Fields=Array([notes[2]]))

    def objects(pdf: pikepdf.Pdf) -> Any:
        away = raw_image(pdf, 8, 8, Name.DeviceGray)
        away.F = "photo.raw"
        proxy = form(pdf, b"", Dictionary())
        proxy.OPI = Dictionary({"/1.3": Dictionary(F="lowres.tif", Version=1.3)})
        referring = form(pdf, b"", Dictionary(), Ref=Dictionary(F="book.pdf", Page=3))
        return Dictionary(A=away, P=proxy, R=referring)

    facts = facts_in(tmp_path, built(b"/A Do /P Do /R Do", {"XObject": objects}, change))
    assert {(extra.kind, extra.name, extra.page, extra.count) for extra in facts.extras} == {
        ("script", "hello", 0, 1),
        ("attachment", "notes.txt", 0, 1),
        ("comment", "Text", 1, 2),
        ("form-field", "", 1, 1),
        ("link", "http://art.test/", 1, 1),
        ("link", "GoToR other.pdf", 1, 1),
    }
    assert facts.intents == ("Cloth 7, made up",)
    assert facts.blocked == (
        "an outside file: photo.raw",
        "an OPI picture: lowres.tif",
        "a page of another file: book.pdf",
    )


# bounds


def test_forms_that_draw_themselves_end(tmp_path: Path) -> None:
    def forms(pdf: pikepdf.Pdf) -> Any:
        one = form(pdf, b"/Two Do 0 0 0 1 k 0 0 9 9 re f", Dictionary())
        two = form(pdf, b"/One Do", Dictionary(XObject=Dictionary(One=one)))
        one.Resources = Dictionary(XObject=Dictionary(Two=two))
        return Dictionary(One=one)

    page = facts_in(tmp_path, built(b"/One Do", {"XObject": forms})).pages[0]
    assert [space.family for space in page.ink.spaces] == ["DeviceCMYK"]


def test_a_tree_of_forms_is_cut_off_and_said(tmp_path: Path) -> None:
    """Ten levels, each drawn ten times by the next: 10¹⁰ forms."""

    def forms(pdf: pikepdf.Pdf) -> Any:
        below = form(pdf, b"0 0 9 9 re f", Dictionary())
        for _ in range(10):
            below = form(pdf, b"/N Do " * 10, Dictionary(XObject=Dictionary(N=below)))
        return Dictionary(N=below)

    content = built(b"/N Do", {"XObject": forms})
    pdf = pikepdf.open(io.BytesIO(content))
    start = time.monotonic()
    found = page_content(pdf.pages[0], (1, 0, 0, 1, 0, 0), Colours(), LayerStates())
    assert time.monotonic() - start < 20
    assert any("20000 forms" in line for line in found.not_seen)


def test_lists_are_bounded_and_say_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("artgen.art.content.MAX_IMAGES", 3)
    images = {"XObject": lambda pdf: Dictionary(Im=raw_image(pdf, 8, 8, Name.DeviceGray))}
    page = facts_in(tmp_path, built(b"/Im Do " * 5, images)).pages[0]
    assert len(page.images) == 3
    assert any("images after the first 3" in line for line in page.not_seen)


@pytest.mark.parametrize(
    ("limit", "value", "said"),
    [
        ("MAX_OPERATORS", 9, "past 9 operators"),
        ("MAX_CONTENT_BYTES", 90, "past 90 bytes"),
        ("PAGE_SECONDS", -1, "past -1 s"),
    ],
)
def test_a_walk_past_its_limit_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, limit: str, value: int, said: str
) -> None:
    monkeypatch.setattr(f"artgen.art.walk.{limit}", value)
    monkeypatch.setattr("artgen.art.walk._SURELY_SHORT", 0)
    page = facts_in(tmp_path, built(b"0 0 9 9 re f " * 20, {})).pages[0]
    assert any(said in line for line in page.not_seen)
    assert page.lines.fills == 20


def test_a_walk_out_of_memory_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def out_of_memory(*_: object) -> None:
        raise MemoryError

    monkeypatch.setattr("artgen.art.walk.pikepdf.parse_content_stream", out_of_memory)
    page = facts_in(tmp_path, built(b"0 0 9 9 re f", {})).pages[0]
    assert any("too much memory" in line for line in page.not_seen)


def test_more_lines_than_are_listed(tmp_path: Path) -> None:
    content = b" ".join(b"%.3f w 0 0 m %d 9 l S" % (1 + n / 1000, n) for n in range(500))
    lines = facts_in(tmp_path, built(content, {})).pages[0].lines
    assert lines.strokes == 500
    assert [thin.width for thin in lines.thinnest] == pytest.approx([(1 + n / 1000) * PT for n in range(50)])


def test_damaged_content_is_said(tmp_path: Path) -> None:
    page = facts_in(tmp_path, built(b"0 0 9 9 re f Q Q Q EMC EMC /None gs /None cs /None scn /None Do q q", {})).pages[
        0
    ]
    assert page.lines.fills == 1


def test_an_image_placed_nowhere(tmp_path: Path) -> None:
    images = {"XObject": lambda pdf: Dictionary(Im=raw_image(pdf, 8, 8, Name.DeviceGray))}
    content = b"q 0 0 0 0 9 9 cm /Im Do Q q 9000000000 0 0 9 0 0 cm /Im Do Q q 0.000001 0 0 9 0 0 cm /Im Do Q"
    page = facts_in(tmp_path, built(content, images)).pages[0]
    assert len(page.images) == 2
    assert page.images[0].ppi == (0, 0)
    assert page.images[1].ppi == pytest.approx((1e7, 8 / (9 / 72)))  # 576,000,000 an inch are told as the most that is
    assert any("past 1 km" in line for line in page.not_seen)


# SVG and rasters


def test_an_image_in_an_svg(tmp_path: Path) -> None:
    """200 × 100 pixels placed 50.8 × 25.4 mm: 100 pixels an inch; through a confined child."""
    data = io.BytesIO()
    picture(200, 100).save(data, "PNG")
    link = "data:image/png;base64," + base64.b64encode(data.getvalue()).decode()
    file = tmp_path / "panel-1.svg"
    file.write_text(
        f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="200mm" height="100mm" '
        f'viewBox="0 0 200 100"><image x="10" y="20" width="50.8" height="25.4" xlink:href="{link}"/></svg>'
    )
    facts = read(file)
    assert isinstance(facts, FileFacts)
    (image,) = facts.pages[0].images
    assert image.ppi == pytest.approx((100, 100), rel=1e-3)
    assert near(image.quad, [(10, 54.6), (60.8, 54.6), (60.8, 80), (10, 80)], 0.01)


@pytest.mark.parametrize(("mode", "family", "parts"), [("L", "Grey", 1), ("RGB", "RGB", 3), ("CMYK", "CMYK", 4)])
def test_a_raster_is_one_image(tmp_path: Path, mode: str, family: str, parts: int) -> None:
    file = tmp_path / "panel-1.tif"
    picture(300, 150, mode).save(file, dpi=(100, 50), compression="tiff_lzw")
    page = raster_page(file)
    (image,) = page.images
    assert image.space == ColourSpace(family, parts=parts)
    assert (image.pixels, image.bits) == ((300, 150), 8)
    assert image.ppi == pytest.approx((100, 50), rel=1e-4)
    assert near(image.quad, [(0, 0), (76.2, 0), (76.2, 76.2), (0, 76.2)])


def test_a_turned_raster(tmp_path: Path) -> None:
    """Orientation 6: the stored picture is shown turned clockwise by 90°, so its lower left is the page's upper left."""
    file = tmp_path / "panel-1.jpg"
    exif = Picture.Exif()
    exif[0x0112] = 6
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    picture(254, 127).save(file, dpi=(127, 127), exif=exif, icc_profile=profile)
    facts = checked(read_task(file, {}, tmp_path))
    assert isinstance(facts, FileFacts)
    (image,) = facts.pages[0].images
    assert image.ppi == pytest.approx((127, 127), rel=1e-3)
    assert near(image.quad, [(0, 50.8), (0, 0), (25.4, 0), (25.4, 50.8)], 0.01)
    assert [one.hash for one in facts.profiles] == [image.space.profile if image.space else ""]


def raster_page(file: Path) -> PageFacts:
    facts = checked(read_task(file, {}, file.parent))
    assert isinstance(facts, FileFacts), facts
    return facts.pages[0]


def test_an_old_name_in_latin_1(tmp_path: Path) -> None:
    """Names are UTF-8 by the standard; /Gr#fcn, as old programs write it, is no UTF-8."""

    def change(pdf: pikepdf.Pdf) -> None:
        pdf.pages[0].Resources = pikepdf.Object.parse(
            b"<< /ColorSpace << /S [/Separation /Gr#fcn /DeviceCMYK << /FunctionType 2 /Domain [0 1] /N 1 >>] >> >>"
        )

    content = b"/S cs 0.5 scn 0 0 9 9 re f"
    assert facts_in(tmp_path, built(content, {}, change)).pages[0].ink.spots == ("Grün",)

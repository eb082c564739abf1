"""The rules that look at pixels, end to end: files made here, places worked out on paper, the report's words read.

Bays of 600 × 500 mm: 588 × 488 shows, cut 626 × 526, art size 676 × 576; fold lines 44 mm in from the art size's sides.
"""

import io
from pathlib import Path

import art_made
import cairosvg
import pikepdf
import pytest
from art_made import PT, Lettering
from codes_made import TEXT, ean13, pdf_with, picture_with, qr
from PIL import Image
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

from artgen import job
from artgen.checks import Finding
from artgen.checks.wording import sentences
from artgen.drawing.pdf import write_pdf
from artgen.drawing.png import render_pdf
from artgen.drawing.svg import write_svg
from artgen.job import Job
from artgen.order import load
from artgen.sizing import size_order
from artgen.structure.kinds import KINDS
from artgen.template import template
from artgen.words import words

HEAD = 'schema = 1\nname = "Small wall"\n'
ART = (676.0, 576.0)
FOLD, RIGHT, HIGH = 44.0, 632.0, 532.0
SAY = words()


def wall(bays: int, more: str = "") -> str:
    widths = ", ".join(['"600 mm"'] * bays)
    return f'{HEAD}[[structure]]\nname = "wall"\nkind = "wall"\nheight = "500 mm"\nbays = [{widths}]\n{more}'


def run(folder: Path, text: str) -> Job:
    (folder / "art").mkdir(exist_ok=True)
    (folder / "order.toml").write_text(text, encoding="utf-8")
    order = load(folder, KINDS)
    return job.run(order, size_order(order, KINDS))


def of(done: Job, rule: str) -> dict[int | None, Finding]:
    return {finding.panel: finding for finding in done.findings if finding.rule == rule}


def client(done: Job) -> list[Finding]:
    return [finding for finding in done.findings if finding.audience == "client"]


def told(finding: Finding) -> str:
    said = sentences(finding, SAY)
    return f"{said.message} {said.advice}"


# guides


def drawing(folder: Path, scale: int = 1):
    (folder / "art").mkdir(exist_ok=True)
    (folder / "order.toml").write_text(wall(1), encoding="utf-8")
    order = load(folder, KINDS)
    structure = size_order(order, KINDS).structures[0]
    return template(structure.panels[0], structure, SAY, scale)


def with_ground(svg: bytes, w: float, h: float) -> bytes:
    text = svg.decode()
    head = text.index(">", text.index("<svg")) + 1
    return f'{text[:head]}<rect width="{w}" height="{h}" fill="#7a9a5b"/>{text[head:]}'.encode()


def art_with_guides(folder: Path, form: str) -> None:
    made = drawing(folder)
    svg = with_ground(write_svg(made), made.width, made.height)
    file = folder / "art" / "panel-1"
    if form == "svg":
        file.with_suffix(".svg").write_bytes(svg)
    elif form == "layers":
        file.with_suffix(".pdf").write_bytes(write_pdf([made], title="t"))
    elif form == "flat pdf":
        file.with_suffix(".pdf").write_bytes(cairosvg.svg2pdf(bytestring=svg))
    else:
        flat = render_pdf(cairosvg.svg2pdf(bytestring=svg), width=1352)
        Image.open(io.BytesIO(flat)).convert("RGB").save(file.with_suffix(".jpg"), dpi=(50.8, 50.8), quality=85)


@pytest.mark.parametrize(
    ("form", "say", "words_of_it"),
    [
        ("layers", "layers", "Guide: cut"),
        ("svg", "layers", "guide-cut"),
        ("flat pdf", "lines", "the fold line"),
        ("jpeg", "lines", "the fold line"),
    ],
)
def test_guides_left_in_are_said_by_the_strongest_evidence(
    form: str, say: str, words_of_it: str, tmp_path: Path
) -> None:
    art_with_guides(tmp_path, form)
    done = run(tmp_path, wall(1))
    finding = of(done, "guides-left-in")[1]
    assert (finding.severity, finding.say) == ("error", say)
    assert words_of_it in told(finding)
    assert [f.rule for f in done.findings if f.severity == "error"] == ["guides-left-in"]


@pytest.mark.reading
@pytest.mark.parametrize("form", ["layers", "svg", "jpeg"])
def test_words_of_the_template_are_no_clients_text(form: str, tmp_path: Path) -> None:
    art_with_guides(tmp_path, form)
    done = run(tmp_path, wall(1))
    assert [f.rule for f in done.findings if f.rule.startswith(("text-", "lettering-"))] == []


def test_guides_that_were_hidden_are_as_asked(tmp_path: Path) -> None:
    made = drawing(tmp_path)
    svg = with_ground(write_svg(made), made.width, made.height).decode()
    for layer in made.layers:
        if layer.id != "art":
            svg = svg.replace(f'<g id="{layer.id}"', f'<g display="none" id="{layer.id}"')
    (tmp_path / "art" / "panel-1.svg").write_text(svg)
    assert run(tmp_path, wall(1)).findings == ()


def test_a_client_word_over_a_line_is_found_beside_the_guides(tmp_path: Path) -> None:
    """ "peat" of the client over the right fold line of a template whose layers are still there."""
    made = drawing(tmp_path)
    art = art_made.pdf(tmp_path / "words.pdf", ART, [Lettering("peat", RIGHT - 40, 130, 60)], (0, 0, *ART))
    import pikepdf

    guides = tmp_path / "guides.pdf"
    guides.write_bytes(write_pdf([made], title="t"))
    with pikepdf.open(guides) as document, pikepdf.open(art) as words_in:
        document.pages[0].add_underlay(words_in.pages[0], pikepdf.Rectangle(document.pages[0].mediabox))
        document.save(tmp_path / "art" / "panel-1.pdf")
    done = run(tmp_path, wall(1))
    assert {(f.rule, f.evidence.get("text")) for f in done.findings if f.severity == "error"} == {
        ("guides-left-in", None),
        ("text-in-tuck", "peat"),
    }


# crop marks


def crop_marks(
    file: Path,
    inset: float,
    corners: int = 4,
    width: float = 0.3,
    gap: float = 3.0,
    long: float = 10.0,
    beside: float = 0.0,
) -> None:
    """Ticks round a rectangle ``inset`` mm in from the art size; ``beside`` = the page is larger by so much all round."""
    w, h = ART[0] + 2 * beside, ART[1] + 2 * beside
    canvas = Canvas(str(file), pagesize=(w * PT, h * PT), invariant=1)
    if beside:
        canvas.setBleedBox(tuple(v * PT for v in (beside, beside, beside + ART[0], beside + ART[1])))
    canvas.scale(PT, PT)
    canvas.setFillColorRGB(0.85, 0.9, 0.8)
    canvas.rect(0, 0, w, h, stroke=0, fill=1)
    canvas.setLineWidth(width)
    deep = inset + beside
    places = [(x, y) for x in (deep, w - deep) for y in (deep, h - deep)]
    for x, y in places[:corners]:
        out_x, out_y = (-1 if x < w / 2 else 1), (-1 if y < h / 2 else 1)
        canvas.line(x, y + out_y * gap, x, y + out_y * (gap + long))
        canvas.line(x + out_x * gap, y, x + out_x * (gap + long), y)
    canvas.save()


@pytest.mark.parametrize(("corners", "found"), [(4, True), (3, True), (2, False)])
def test_crop_marks_at_most_corners(corners: int, found: bool, tmp_path: Path) -> None:
    (tmp_path / "art").mkdir()
    crop_marks(tmp_path / "art" / "panel-1.pdf", 25.0, corners)
    findings = of(run(tmp_path, wall(1)), "marks-left-in")
    assert bool(findings) is found
    if found:
        assert findings[1].severity == "warning"
        assert findings[1].evidence["inset_mm"] == pytest.approx([25, 25], abs=0.2)
        assert "25 × 25 mm in from its edges" in told(findings[1])


def test_crop_marks_beside_the_art_size_do_no_harm(tmp_path: Path) -> None:
    (tmp_path / "art").mkdir()
    crop_marks(tmp_path / "art" / "panel-1.pdf", -2.0, beside=30.0)
    assert [f.rule for f in client(run(tmp_path, wall(1)))] == []


def test_crop_marks_in_a_picture(tmp_path: Path) -> None:
    (tmp_path / "art").mkdir()
    crop_marks(tmp_path / "a.pdf", 30.0, width=1.0, long=14.0)
    flat = render_pdf((tmp_path / "a.pdf").read_bytes(), width=1352)
    Image.open(io.BytesIO(flat)).convert("RGB").save(tmp_path / "art" / "panel-1.jpg", dpi=(50.8, 50.8), quality=85)
    finding = of(run(tmp_path, wall(1)), "marks-left-in")[1]
    assert finding.evidence["inset_mm"] == pytest.approx([30, 30], abs=2)


# bleed that is not painted

CASES = {  # panel: paint to so many mm past the fold line, all round; severity and sentence
    1: (44.0, None),
    2: (40.0, ("note", "")),
    3: (24.0, ("note", "")),
    4: (19.0, ("warning", "")),
    5: (6.0, ("warning", "")),
    6: (4.0, ("error", "")),
    7: (0.0, ("error", "")),
    8: (-6.0, ("error", "before")),
}


@pytest.mark.parametrize("white", [True, False])
def test_paint_that_stops_though_the_page_goes_on(white: bool, tmp_path: Path) -> None:
    for number, (past, _) in CASES.items():
        file = tmp_path / "art" / f"panel-{number}.pdf"
        file.parent.mkdir(exist_ok=True)
        canvas = Canvas(str(file), pagesize=(ART[0] * PT, ART[1] * PT), invariant=1)
        canvas.scale(PT, PT)
        if white:
            canvas.setFillColorRGB(1, 1, 1)
            canvas.rect(0, 0, *ART, stroke=0, fill=1)
        canvas.setFillColorRGB(0.2, 0.4, 0.2)
        x, y = FOLD - past, FOLD - past
        canvas.rect(x, y, ART[0] - 2 * x, ART[1] - 2 * y, stroke=0, fill=1)
        canvas.save()
    done = run(tmp_path, wall(8))
    found = {panel: (f.severity, f.say) for panel, f in of(done, "bleed-unpainted").items()}
    assert found == {n: expected for n, (_, expected) in CASES.items() if expected}
    assert of(done, "bleed-missing") == {}  # one cause, one finding
    for number, finding in of(done, "bleed-unpainted").items():
        past = CASES[number][0]  # type: ignore[index]
        assert finding.evidence["lacks_mm"] == pytest.approx(44 - past, abs=1.0)
        assert finding.evidence["white"] is white
        assert "on every side" in told(finding)


def test_a_page_that_ends_early_is_missing_bleed_not_unpainted(tmp_path: Path) -> None:
    art_made.pdf(tmp_path / "art" / "panel-1.pdf", (588, 488), ground=(0, 0, 588, 488))
    done = run(tmp_path, wall(1))
    assert [f.rule for f in client(done)] == ["bleed-missing"]


# codes

MODULE = 100 / 29  # of a code 100 mm wide


def codes(folder: Path, text: str = wall(1)) -> list[Finding]:
    return [f for f in run(folder, text).findings if f.rule == "code-at-risk"]


@pytest.mark.parametrize(
    ("x", "say"), [(300.0, None), (RIGHT - 100 + 0.3, "edge"), (RIGHT - 100 + 2.0, "tuck"), (RIGHT - 70, "tuck")]
)
def test_a_code_and_the_fold_line(x: float, say: str | None, tmp_path: Path) -> None:
    """100 mm wide, at x from the art size's left; the fold line is at 632."""
    (tmp_path / "art").mkdir()
    pdf_with(tmp_path / "art" / "panel-1.pdf", ART, [qr(x, 200, 100)])
    found = codes(tmp_path)
    assert [f.say for f in found] == ([say] if say else [])
    for finding in found:
        assert finding.severity == "error"
        assert TEXT in told(finding)
        assert finding.evidence["text"] == TEXT
        if say == "tuck":
            assert finding.evidence["depth_mm"] == pytest.approx(x + 100 - RIGHT, abs=1.2)
            assert finding.evidence["move_mm"][0] < 0
    if say == "edge":
        assert found[0].evidence["lacks_mm"] == pytest.approx(4 * MODULE, abs=1.5)


@pytest.mark.parametrize(("gap", "says"), [(4.8 * MODULE, []), (3.0 * MODULE, ["edge"])])
def test_the_frame_is_no_quiet_zone(gap: float, says: list[str], tmp_path: Path) -> None:
    (tmp_path / "art").mkdir()
    pdf_with(tmp_path / "art" / "panel-1.pdf", ART, [qr(RIGHT - 100 - gap, 200, 100)])
    assert [f.say for f in codes(tmp_path)] == says


@pytest.mark.parametrize(("quiet", "says"), [(4.0, []), (3.0, ["quiet"]), (1.0, ["quiet"])])
def test_a_code_without_its_quiet_zone(quiet: float, says: list[str], tmp_path: Path) -> None:
    (tmp_path / "art").mkdir()
    pdf_with(tmp_path / "art" / "panel-1.pdf", ART, [qr(250, 200, 150, quiet=quiet)])
    found = codes(tmp_path)
    assert [f.say for f in found] == says
    for finding in found:
        module = 150 / 29
        assert finding.evidence["lacks_mm"] == pytest.approx((4 - quiet) * module, abs=0.6 * module)
        assert finding.evidence["needs_modules"] == 4
        assert "(4 of its modules)" in told(finding)


def test_a_code_that_does_not_decode(tmp_path: Path) -> None:
    (tmp_path / "art").mkdir()
    picture_with(tmp_path / "art" / "panel-1.png", ART, [qr(250, 200, 150)], per=2.0, spoil=True)
    (finding,) = codes(tmp_path)
    assert (finding.say, finding.evidence["decodes"], finding.evidence["text"]) == ("unread", False, "")
    assert "looks like a QR code" in told(finding)


def test_a_code_over_a_joint(tmp_path: Path) -> None:
    """Two bays with 12 mm of frame between: the wrap is 2 · 676 − 2 · 44 + 12 = 1276 wide, its joint at 638."""
    (tmp_path / "art").mkdir()
    pdf_with(tmp_path / "art" / "both.pdf", (1276.0, 576.0), [qr(638 - 60, 200, 120)])
    wrap = '[[wrap]]\npanels = [1, 2]\nfile = "art/both.pdf"\ntext_over_corners = true\n'
    (finding,) = codes(tmp_path, wall(2, wrap))
    assert (finding.say, finding.evidence["panels"]) == ("joint", [1, 2])


def test_a_barcode_s_quiet_zone_is_its_own(tmp_path: Path) -> None:
    """11 modules on the left: 5 are there; 7 on the right are enough with 12 (GS1 General Specifications, from memory)."""
    (tmp_path / "art").mkdir()
    pdf_with(tmp_path / "art" / "panel-1.pdf", ART, [ean13("4006381333931", 150, 200, 285, 120, quiet=5.0)])
    (finding,) = codes(tmp_path)
    assert (finding.say, finding.evidence["code"]) == ("quiet", "EAN13")
    assert finding.evidence["lacks_mm"] == pytest.approx(6 * 3, abs=3.5)
    assert "barcode" in told(finding)


@pytest.mark.reading
def test_a_code_is_no_lettering(tmp_path: Path) -> None:
    (tmp_path / "art").mkdir()
    pdf_with(tmp_path / "art" / "panel-1.pdf", ART, [qr(RIGHT - 70, 200, 100)])
    done = run(tmp_path, wall(1))
    assert [f.rule for f in client(done)] == ["code-at-risk"]


def test_what_a_code_says_is_foreign_text(tmp_path: Path) -> None:
    (tmp_path / "art").mkdir()
    pdf_with(tmp_path / "art" / "panel-1.pdf", ART, [qr(RIGHT - 90, 200, 120, text="a\u202eb{panel}")])
    (finding,) = codes(tmp_path)
    assert "\u202e" not in told(finding)
    assert "{panel}" in told(finding)


# enlarged pictures


def photograph(columns: int, rows: int) -> Image.Image:
    """Detail in every pixel: noise whose power falls with the square of the frequency, as pictures' does."""
    import numpy as np

    rng = np.random.default_rng(5)
    fy, fx = np.fft.fftfreq(rows)[:, None], np.fft.fftfreq(columns)[None, :]
    far = np.hypot(fx, fy)
    far[0, 0] = 1.0
    waves = np.fft.fft2(rng.normal(size=(rows, columns))) / far
    grey = np.fft.ifft2(waves).real
    grey = (grey - grey.mean()) / grey.std() * 55 + 128
    return Image.fromarray(np.clip(grey, 0, 255).astype(np.uint8)).convert("RGB")


@pytest.mark.parametrize(("times", "soft"), [(1, False), (2, False), (5, True), (10, True)])
def test_an_enlarged_picture_is_soft(times: int, soft: bool, tmp_path: Path) -> None:
    """100 pixels an inch at full size, 60 needed at 3 m: enlarged by 2 it has the detail of 50, by 5 of 20. Under 36 is soft."""
    (tmp_path / "art").mkdir()
    columns, rows = round(ART[0] / 25.4 * 100), round(ART[1] / 25.4 * 100)
    image = photograph(columns // times, rows // times).resize((columns, rows), Image.Resampling.BICUBIC)
    image.save(tmp_path / "art" / "panel-1.jpg", dpi=(100, 100), quality=88)
    found = of(run(tmp_path, wall(1)), "image-soft")
    assert bool(found) is soft
    if soft:
        assert found[1].severity == "note"
        assert found[1].evidence["detail_ppi"] == pytest.approx(100 / times, rel=0.6)
        assert "was enlarged" in told(found[1])


# graphics over lines


def emblem(
    file: Path, x: float, times: int = 1, ground: tuple[float, float, float] = (1.0, 1.0, 1.0), tail: bool = False
) -> None:
    """A disc 120 mm wide, its left edge at ``x``, in the middle of the height; ``times`` = smaller ones in rows."""
    file.parent.mkdir(exist_ok=True)
    canvas = Canvas(str(file), pagesize=(ART[0] * PT, ART[1] * PT), invariant=1)
    canvas.scale(PT, PT)
    canvas.setFillColorRGB(1, 1, 1)
    canvas.rect(0, 0, *ART, stroke=0, fill=1)
    canvas.setFillColorRGB(0.1, 0.25, 0.45)
    if tail:
        canvas.rect(x + 60, 280, ART[0], 20, stroke=0, fill=1)
    side = 120.0 if times == 1 else 50.0
    for row in range(times):
        for column in range(times):
            left, low = (x, 228.0) if times == 1 else (10 + column * 78, 10 + row * 78)
            canvas.circle(left + side / 2, low + side / 2, side / 2, stroke=0, fill=1)
    canvas.save()


@pytest.mark.parametrize(("past", "found"), [(-200.0, False), (-3.0, False), (3.0, False), (8.0, True), (20.0, True)])
def test_an_emblem_and_the_fold_line(past: float, found: bool, tmp_path: Path) -> None:
    """Its right edge so far past the fold line; 5 mm count, in cells of 5 mm."""
    emblem(tmp_path / "art" / "panel-1.pdf", RIGHT - 120 + past)
    findings = of(run(tmp_path, wall(1)), "mark-at-risk")
    assert bool(findings) is found
    if found:
        assert (findings[1].severity, findings[1].say) == ("note", "tuck")
        assert findings[1].evidence["size_mm"] == pytest.approx([120, 120], abs=10)
        assert findings[1].evidence["depth_mm"] == pytest.approx(past, abs=6)
        assert "mm left" in told(findings[1])


@pytest.mark.parametrize("kind", ["pattern", "runs out"])
def test_patterns_and_what_runs_out_are_no_emblem(kind: str, tmp_path: Path) -> None:
    emblem(tmp_path / "art" / "panel-1.pdf", RIGHT - 100, times=9 if kind == "pattern" else 1, tail=kind == "runs out")
    assert of(run(tmp_path, wall(1)), "mark-at-risk") == {}


def test_a_word_over_the_line_is_no_graphic(tmp_path: Path) -> None:
    word = Lettering("forest", RIGHT - 100, 260, 60)
    art_made.pdf(tmp_path / "art" / "panel-1.pdf", ART, [word], (0, 0, *ART))
    done = run(tmp_path, wall(1))
    assert of(done, "mark-at-risk") == {}
    assert of(done, "text-in-tuck")


def test_images_that_are_not_measured_are_told(tmp_path: Path) -> None:
    """Nine pictures side by side; the eight with the most pixels are measured."""
    (tmp_path / "art").mkdir()
    w, h = ART[0] / 3, ART[1] / 3
    canvas = Canvas(str(tmp_path / "art" / "panel-1.pdf"), pagesize=(ART[0] * PT, ART[1] * PT), invariant=1)
    canvas.scale(PT, PT)
    for number in range(9):
        side = 480 + 10 * number
        canvas.drawImage(ImageReader(photograph(side, side)), number % 3 * w, number // 3 * h, w, h)
    canvas.save()
    done = run(tmp_path, wall(1))
    (left,) = (one for one in done.not_examined if "480 × 480" in one.why)
    assert "enlarged" in left.what
    assert "490 × 490" not in left.why


def test_an_image_that_can_not_be_unpacked_is_told_as_not_measured(tmp_path: Path) -> None:
    (tmp_path / "art").mkdir()
    with pikepdf.new() as pdf:
        page = pdf.add_blank_page(page_size=(ART[0] * PT, ART[1] * PT))
        image = pikepdf.Stream(pdf, b"no JPEG 2000 at all" * 50)
        image.Type, image.Subtype, image.Filter = pikepdf.Name.XObject, pikepdf.Name.Image, pikepdf.Name.JPXDecode
        image.Width = image.Height = 1600
        image.ColorSpace, image.BitsPerComponent = pikepdf.Name.DeviceRGB, 8
        page.Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(I=pdf.make_indirect(image)))
        page.Contents = pdf.make_stream(f"{ART[0] * PT} 0 0 {ART[1] * PT} 0 0 cm /I Do".encode())
        pdf.save(tmp_path / "art" / "panel-1.pdf")
    done = run(tmp_path, wall(1))
    assert any("1,600 × 1,600" in one.why and "enlarged" in one.what for one in done.not_examined)

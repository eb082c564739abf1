"""Templates: page = art size, every zone where the sizing has it, guides on layers of their own, read back by libraries
that did not write them (svgelements, pdfplumber, pikepdf), opened and separated by qpdf, poppler, pdfium and Ghostscript."""

import io
import os
import shutil
import subprocess
import sys
import xml.etree.ElementTree as ET
from pathlib import Path

import pdfplumber
import pikepdf
import pypdfium2
import pytest
import svgelements
from PIL import Image, ImageChops, ImageStat
from zoo import sized

from artgen.drawing.pdf import write_pdf
from artgen.drawing.png import render_pdf
from artgen.drawing.svg import write_svg
from artgen.sizing.outline import bounds
from artgen.sizing.panel import Panel, SizedStructure, placed
from artgen.sizing.ways import turn_of
from artgen.template import MAX_PAGE, SCALES, Head, default_scale, page_up, sheet_of, template, ways, wrap_template
from artgen.words import words

SAY = words()
MM = 25.4 / 72  # 1 inch = 25.4 mm (1959 agreement) = 72 units (ISO 32000-1 8.3.2.3)

CASES = {
    "box": 'kind = "box"\nwidth = "1000 mm"\ndepth = "800 mm"\nheight = "2600 mm"\nlit = "inside"',
    "bays": 'kind = "wall"\nheight = "2300 mm"\nbays = ["1000 mm", "700 mm"]',
    "wide": 'kind = "wall"\nwidth = "5600 mm"\nheight = "2500 mm"\nfabric = "brushed-knit"',
    "cube": 'kind = "hung-cube"\nedge = "1500 mm"',
    "small": 'kind = "box"\nwidth = "220 mm"\ndepth = "220 mm"\nheight = "300 mm"',
}


def panels(case: str) -> list[tuple[SizedStructure, Panel]]:
    sizing = sized(f'[[structure]]\nname = "test"\n{CASES[case]}\n')
    return [(s, p) for s in sizing.structures for p in s.panels]


@pytest.mark.parametrize("case", CASES)
@pytest.mark.parametrize("scale", [1, 10])
def test_page_boxes_are_the_art_and_cut_sizes(case: str, scale: int) -> None:
    # expected: frame − 2·6 (setback) + 2·(15 seat + 4 turn-in) = cut, + 2·25 bleed = art (docs/sums.md)
    for structure, panel in panels(case):
        w, h = (b - a for a, b in zip(bounds(panel.frame)[:2], bounds(panel.frame)[2:], strict=True))
        art = ((w - 12 + 38 + 50) / scale, (h - 12 + 38 + 50) / scale)
        if max(art) > MAX_PAGE:
            continue
        pdf = write_pdf([template(panel, structure, SAY, scale)], title="t")
        with pdfplumber.open(io.BytesIO(pdf)) as document:
            page = document.pages[0]
            assert float(page.width) * MM == pytest.approx(art[0], abs=0.01)
            assert float(page.height) * MM == pytest.approx(art[1], abs=0.01)
            x0, y0, x1, y1 = (float(v) * MM for v in page.trimbox)
        assert x1 - x0 == pytest.approx((w - 12 + 38) / scale, abs=0.01)
        assert y1 - y0 == pytest.approx((h - 12 + 38) / scale, abs=0.01)
        assert (x0, y0) == pytest.approx((25 / scale, 25 / scale), abs=0.01)


# Sizes from 100 to 5000 mm; the expected corners are sums over the frame's, written out (docs/sums.md): setback 6, seat
# depth 15, turn-in 4, bleed 25, safe inset 40, from the frame's edge inwards
INSETS = {"guide-art-edge": -(15 + 4 + 25 - 6), "guide-cut": -(15 + 4 - 6), "guide-fold": 6, "guide-safe": 6 + 40}
SIZES = [(100, 100), (150, 2000), (420, 297), (1000, 3300), (5000, 3300), (5000, 150)]


def wall(width: int, height: int) -> tuple[SizedStructure, Panel]:
    sizing = sized(f'[[structure]]\nname = "w"\nkind = "wall"\nwidth = "{width} mm"\nheight = "{height} mm"\n')
    return sizing.structures[0], sizing.panels[0]


def expected(width: int, height: int, scale: int) -> dict[str, list[tuple[float, float]]]:
    """Corners on the page, whose lower left is that of the art size."""
    found = {}
    for layer, inset in INSETS.items():
        if layer == "guide-safe" and min(width, height) <= 2 * inset:
            continue
        x0, x1 = (v - INSETS["guide-art-edge"] for v in (inset, width - inset))
        y0, y1 = (v - INSETS["guide-art-edge"] for v in (inset, height - inset))
        found[layer] = [(x / scale, y / scale) for x, y in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))]
    return found


@pytest.mark.parametrize("scale", SCALES)
@pytest.mark.parametrize("size", SIZES)
def test_zones_stand_in_the_svg_to_a_hundredth(size: tuple[int, int], scale: int) -> None:
    """Read back by svgelements, in pixels of 1/96 inch through the file's own width, height and viewBox."""
    structure, panel = wall(*size)
    drawing = template(panel, structure, SAY, scale)
    svg = svgelements.SVG.parse(io.BytesIO(write_svg(drawing)))
    px = 25.4 / 96
    assert svg.width * px == pytest.approx(drawing.width, abs=0.01)
    groups = {each.id: each for each in svg if isinstance(each, svgelements.Group)}
    assert next(iter(groups)) == "art", "the empty art layer lies under the guides"
    for layer, corners in expected(*size, scale).items():
        path = next(each for each in groups[layer] if isinstance(each, svgelements.Path))
        got = [(p.x * px, drawing.height - p.y * px) for p in path.as_points()]  # SVG's y runs down
        for x, y in corners:
            assert min(max(abs(x - a), abs(y - b)) for a, b in got) < 0.01
        assert all(min(max(abs(x - a), abs(y - b)) for x, y in corners) < 0.01 for a, b in got)


def layer_points(pdf: bytes) -> dict[str, list[list[tuple[float, float]]]]:
    """Corners, mm, of every path of each layer of the first page, read by pikepdf."""
    found: dict[str, list[list[tuple[float, float]]]] = {}
    with pikepdf.open(io.BytesIO(pdf)) as document:
        page = document.pages[0]
        names = {str(key): str(group.Name) for key, group in page.Resources.Properties.items()}
        layer, path = "", list[tuple[float, float]]()
        for operands, operator in pikepdf.parse_content_stream(page):
            match str(operator):
                case "BDC":
                    layer = names[str(operands[1])]
                case "m":
                    path = [(float(operands[0]) * MM, float(operands[1]) * MM)]
                    found.setdefault(layer, []).append(path)
                case "l":
                    path.append((float(operands[0]) * MM, float(operands[1]) * MM))
    return found


@pytest.mark.parametrize("scale", SCALES)
@pytest.mark.parametrize("size", SIZES)
def test_zones_stand_in_the_pdf_to_a_twentieth(size: tuple[int, int], scale: int) -> None:
    structure, panel = wall(*size)
    if max(size) + 76 > MAX_PAGE * scale:
        return
    found = layer_points(write_pdf([template(panel, structure, SAY, scale)], title="t"))
    for layer, corners in expected(*size, scale).items():
        got = found[SAY(f"template.layer.{layer.removeprefix('guide-')}")][0]
        assert len(got) == 4
        for x, y in corners:
            assert min(max(abs(x - a), abs(y - b)) for a, b in got) < 0.05


@pytest.mark.parametrize("scale", [1, 3, 10, 20])
def test_a_cube_hung_by_its_tip_stands_on_it_in_both_files(scale: int) -> None:
    """Reading-way: the square on its tip. Edge 1500: art 1576, cut 1526, visible 1488, safe 1408 (docs/sums.md), diagonals
    times √2, all about the page's middle."""
    structure, panel = panels("cube")[3]
    drawing = template(panel, structure, SAY, scale, "reading")
    middle = 1576 * 2**0.5 / 2 / scale
    found = layer_points(write_pdf([drawing], title="t"))
    svg = svgelements.SVG.parse(io.BytesIO(write_svg(drawing)))
    groups = {each.id: each for each in svg if isinstance(each, svgelements.Group)}
    for layer, side in (("art-edge", 1576), ("cut", 1526), ("fold", 1488), ("safe", 1408)):
        reach = side * 2**0.5 / 2 / scale
        tips = {(middle, middle - reach), (middle + reach, middle), (middle, middle + reach), (middle - reach, middle)}
        path = next(each for each in groups[f"guide-{layer}"] if isinstance(each, svgelements.Path))
        drawn = [(p.x * 25.4 / 96, drawing.height - p.y * 25.4 / 96) for p in path.as_points()]
        for got, within in ((found[SAY(f"template.layer.{layer}")][0], 0.05), (drawn, 0.01)):
            for x, y in tips:
                assert min(max(abs(x - a), abs(y - b)) for a, b in got) < within


def test_seams_and_their_allowances_stand_in_the_pdf() -> None:
    structure, panel = panels("wide")[0]
    lines = layer_points(write_pdf([template(panel, structure, SAY, 3)], title="t"))[SAY("template.layer.seam")]
    # two drops of equal shares of the cut, 5600 − 12 + 38 = 5626: the seam in its middle, 25 bleed from the page's edge
    at = 25 + 5626 / 2
    assert [line[0][0] * 3 for line in lines] == pytest.approx([at, at - 10, at + 10], abs=0.05)
    assert lines[0][1][1] * 3 == pytest.approx(2500 - 12 + 38 + 50, abs=0.05)


def test_a_margin_lies_round_the_art_size() -> None:
    for case in CASES:
        for structure, panel in panels(case):
            scale = default_scale([panel])
            bare, drawing = (template(panel, structure, SAY, scale, margin=m) for m in (None, Head("Peat")))
            pdf = write_pdf([drawing], title="t")
            with pdfplumber.open(io.BytesIO(pdf)) as document:
                page = document.pages[0]
                media, bleed, trim = ([float(v) * MM for v in box] for box in (page.bbox, page.bleedbox, page.trimbox))
            assert bare.boxes is not None
            assert bleed[2] - bleed[0] == pytest.approx(bare.width, abs=0.01)
            assert bleed[3] - bleed[1] == pytest.approx(bare.height, abs=0.01)
            assert trim[2] - trim[0] == pytest.approx(bare.boxes.trim[2] - bare.boxes.trim[0], abs=0.01)
            assert media[0] < bleed[0] < trim[0] < trim[2] < bleed[2] < media[2]
            assert media[1] < bleed[1] < trim[1] < trim[3] < bleed[3] < media[3]


# Group and type of ISO 19593-1 as the public PDF object model lists them, by our layers
STEPS = {
    "art-edge": ("/Structural", "/Bleed"),
    "cut": ("/Structural", "/Cutting"),
    "fold": ("/Structural", "/Folding"),
    "safe": ("/Positions", "/ContentArea"),
    "sizes": ("/Dimensions", None),
    "notes": ("/Legend", None),
}
INKS = {
    "white": {"Guide white"},
    "number": {"Guide number"},
    "shadow": {"Guide hatch"},
    "keep-out": {"Guide hatch"},
    "art-edge": {"Guide art edge"},
    "cut": {"Guide cut"},
    "fold": {"Guide fold"},
    "safe": {"Guide safe"},
    "seam": {"Guide seam"},
    "neighbour": {"Guide neighbour"},
    "tab": {"Guide notes"},
    "sizes": {"Guide notes"},
}


def test_layers_are_named_locked_shown_and_carry_their_steps() -> None:
    for case in CASES:
        structure, panel = panels(case)[0]
        pdf = write_pdf([template(panel, structure, SAY, 3)], title="t")
        with pikepdf.open(io.BytesIO(pdf)) as document:
            properties = document.Root.OCProperties
            names = [str(group.Name) for group in properties.OCGs]
            assert names[0] == SAY("template.layer.art")
            assert "/Usage" not in properties.OCGs[0], "the art prints"
            guides = [group for group in properties.OCGs if str(group.Name).startswith("Guide")]
            assert len(guides) == len(names) - 1
            assert {group.objgen for group in guides} == {group.objgen for group in properties.D.Locked}
            assert all(group.Usage.Print.PrintState == "/OFF" for group in guides)
            assert {group.objgen for group in properties.D.AS[0].OCGs} == {group.objgen for group in guides}
            assert "/OFF" not in properties.D and properties.D.get("/BaseState", "/ON") == "/ON"
            steps = {
                str(group.Name): (
                    str(group.GTS_Metadata.GTS_ProcStepsGroup),
                    str(kind) if (kind := group.GTS_Metadata.get("/GTS_ProcStepsType")) is not None else None,
                )
                for group in properties.OCGs
                if "/GTS_Metadata" in group
            }
        wanted = {SAY(f"template.layer.{name}"): step for name, step in STEPS.items()}
        assert steps == {name: step for name, step in wanted.items() if name in names}


def test_every_layer_paints_in_its_own_inks_overprinting_and_nothing_is_transparent() -> None:
    structure, panel = panels("box")[0]
    pdf = write_pdf([template(panel, structure, SAY, 2, margin=Head("Peat"))], title="t")
    used: dict[str, set[str]] = {}
    with pikepdf.open(io.BytesIO(pdf)) as document:
        page = document.pages[0]
        names = {str(key): str(group.Name) for key, group in page.Resources.Properties.items()}
        inks = {str(key): str(space[1])[1:] for key, space in page.Resources.ColorSpace.items()}
        states = page.Resources.ExtGState
        assert all(not {"/CA", "/ca", "/SMask", "/BM"} & set(state.keys()) for state in states.values())
        assert "/Group" not in page
        layer, overprints = "", False
        for operands, operator in pikepdf.parse_content_stream(page):
            name = str(operator)
            if name == "BDC":
                layer = names[str(operands[1])]
            elif name in ("cs", "CS"):
                used.setdefault(layer, set()).add(inks[str(operands[0])])
            elif name in ("scn", "SCN"):
                assert float(operands[0]) == 1
            elif name == "gs":
                overprints = bool(states[str(operands[0])].OP) and bool(states[str(operands[0])].op)
            assert name not in ("rg", "RG", "g", "G", "k", "K"), "guides are spot inks"
            if name in ("S", "f*", "B*", "Tj"):
                assert overprints, layer
    for name, wanted in INKS.items():
        layer = SAY(f"template.layer.{name}")
        assert used.get(layer, wanted) <= wanted


def test_the_layers_in_the_docs_are_the_layers_that_are_drawn() -> None:
    """Of panels with everything, and of a wrap."""
    lit = 'lit = "inside"\nfabric = "brushed-knit"\n[[structure.panel]]\npanel = 1\n[[structure.panel.keep_out]]\n'
    bays = '[[structure]]\nname = "w"\nkind = "wall"\nheight = "2400 mm"\nbays = ["4000 mm", "900 mm"]\n'
    sizing = sized(
        bays
        + lit
        + 'at = ["90 mm", "900 mm"]\nsize = ["300 mm", "200 mm"]\n[[wrap]]\npanels = [1, 2]\nfile = "w.pdf"\n'
    )
    structure, panels = sizing.structures[0], sizing.panels
    drawings = [
        template(panels[0], structure, SAY, 4, margin=Head("Peat")),
        wrap_template(sizing.wraps[0], panels, structure, SAY, 4, ppi=60),
    ]
    made = {
        layer.id: layer.step and ", ".join(part for part in (layer.step.group, layer.step.type) if part)
        for drawing in drawings
        for layer in drawing.layers
    }
    page = (Path(__file__).parents[1] / "docs" / "templates.md").read_text(encoding="utf-8")
    rows = [line.split("|") for line in page.splitlines() if line.startswith(("| `art`", "| `guide-"))]
    assert {row[1].strip(" `"): row[4].strip() or None for row in rows} == made
    for row in rows:
        name = row[1].strip(" `").removeprefix("guide-")
        assert name not in INKS or INKS[name] == {row[3].strip()}


def run(*command: str | Path, **more: object) -> subprocess.CompletedProcess[bytes]:
    if shutil.which(str(command[0])) is None:
        pytest.skip(f"{command[0]} is not installed")
    return subprocess.run([str(part) for part in command], capture_output=True, check=False, **more)  # type: ignore[call-overload,no-any-return]


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    folder = tmp_path_factory.mktemp("templates")
    made = []
    for case in CASES:
        for structure, panel in panels(case)[:2]:
            for way in ways(panel):
                path = folder / f"{case}-{panel.number}-{way}.pdf"
                drawing = template(panel, structure, SAY, default_scale([panel]), way, margin=Head("Peat"))
                path.write_bytes(write_pdf([drawing], title="t"))
                made.append(path)
    return made


def test_qpdf_poppler_ghostscript_and_pdfium_open_it_without_a_warning(files: list[Path]) -> None:
    for path in files:
        checked = run("qpdf", "--check", path)
        assert checked.returncode == 0 and b"WARNING" not in checked.stdout + checked.stderr
        assert run("pdfinfo", path).stderr == b""
        shown = run("pdftoppm", "-r", "8", "-png", path, path.with_suffix(""))
        assert (shown.returncode, shown.stderr) == (0, b"")
        drawn = run("gs", "-q", "-dBATCH", "-dNOPAUSE", "-dSAFER", "-sDEVICE=nullpage", path)
        assert (drawn.returncode, drawn.stdout + drawn.stderr) == (0, b"")
        with pikepdf.open(path) as opened:
            assert opened.check_pdf_syntax() == [] and opened.get_warnings() == []
        with pypdfium2.PdfDocument(path) as document:
            assert document[0].render(scale=0.1).to_pil().getbbox()


def plates(path: Path, folder: Path) -> dict[str, int]:
    """Darkest pixel of each plate that Ghostscript's tiffsep makes: 255 = no ink."""
    folder.mkdir()
    size = [f"-r{150 if path.stem.startswith('small') else 30}", "-sDEVICE=tiffsep", f"-sOutputFile={folder}/p.tif"]
    done = run("gs", "-q", "-dBATCH", "-dNOPAUSE", "-dSAFER", *size, path)
    assert done.returncode == 0, done.stderr
    found = {}
    for plate in folder.glob("p(*).tif"):
        with Image.open(plate) as image:
            found[plate.name[2:-5]] = int(image.convert("L").getextrema()[0])
    return found


def test_guides_put_off_leave_no_plate_and_left_on_each_has_its_own(tmp_path: Path) -> None:
    """Most RIPs pass the print state over, and so does Ghostscript: what is in /D /OFF is what counts. A lit box and a wall
    with a seam have all the guides between them."""
    seen: set[str] = set()
    for case in ("box", "wide"):
        structure, panel = panels(case)[0]
        path, off = tmp_path / f"{case}.pdf", tmp_path / f"{case}-off.pdf"
        path.write_bytes(write_pdf([template(panel, structure, SAY, 5)], title="t"))
        with pikepdf.open(path) as document:
            groups = document.Root.OCProperties.OCGs
            document.Root.OCProperties.D.OFF = pikepdf.Array([g for g in groups if str(g.Name).startswith("Guide")])
            document.save(off)
        shown = plates(path, tmp_path / f"{case}-on")
        assert all(shown[name] == 255 for name in ("Cyan", "Magenta", "Yellow", "Black"))
        seen |= {name for name, least in shown.items() if least < 255}
        hidden = plates(off, tmp_path / f"{case}-hidden")
        assert all(least == 255 for least in hidden.values()), hidden
    assert seen == {ink for inks in INKS.values() for ink in inks}


def test_the_same_panel_gives_the_same_bytes() -> None:
    for case in CASES:
        structure, panel = panels(case)[0]
        first, again = (template(panel, structure, SAY, 4, margin=Head("Peat")) for _ in range(2))
        assert write_svg(first) == write_svg(again)
        assert write_pdf([first], title="t") == write_pdf([again], title="t")


def test_a_machine_without_fonts_shows_the_same_pixels(files: list[Path], tmp_path: Path) -> None:
    bare = tmp_path / "fonts.conf"
    bare.write_text('<?xml version="1.0"?><!DOCTYPE fontconfig SYSTEM "fonts.dtd"><fontconfig></fontconfig>')
    without = {**os.environ, "FONTCONFIG_FILE": str(bare), "HOME": str(tmp_path)}
    for path in files[:3]:
        with_fonts = run("pdftoppm", "-r", "20", path).stdout
        assert with_fonts and with_fonts == run("pdftoppm", "-r", "20", path, env=without).stdout
    structure, panel = panels("box")[0]
    svg = tmp_path / "t.svg"
    svg.write_bytes(write_svg(template(panel, structure, SAY, 4)))
    try:
        import cairosvg  # noqa: F401
    except OSError as error:
        pytest.skip(f"cairosvg needs the system library libcairo: {error}")
    draw = "import sys, cairosvg; sys.stdout.buffer.write(cairosvg.svg2png(url=sys.argv[1], output_width=800))"
    shown = [run(sys.executable, "-c", draw, svg, env=env).stdout for env in (dict(os.environ), without)]
    assert shown[0] and shown[0] == shown[1]


def test_an_svg_has_layers_with_titles_and_nothing_from_outside() -> None:
    structure, panel = panels("box")[0]
    svg = write_svg(template(panel, structure, SAY, 4))
    root = ET.fromstring(svg)
    assert root.get("width", "").endswith("mm") and root.get("height", "").endswith("mm")
    groups = [each for each in root if each.tag.endswith("}g")]
    assert groups[0].get("id") == "art"
    assert all(g.find("{http://www.w3.org/2000/svg}title") is not None for g in groups)
    assert b"<text" not in svg and b"href" not in svg and b"url(" not in svg and b"opacity" not in svg


def test_reading_way_lays_upright_up_the_page() -> None:
    for _, panel in panels("cube"):
        assert page_up(panel, sheet_of(panel, 1, "sewn")) == pytest.approx(45.0)  # −45° from sewn y, which is 90°
        assert page_up(panel, sheet_of(panel, 1, "reading")) == pytest.approx(90.0)
        # a square of 1576 on its tip: 1576 · √2 across
        assert sheet_of(panel, 1, "reading").width == pytest.approx(1576 * 2**0.5, abs=1e-6)
        tips = placed(turn_of(panel, "reading"), panel.visible)
        assert bounds(tips)[3] - bounds(tips)[1] == pytest.approx(1488 * 2**0.5, abs=1e-6)


def test_a_panel_that_hangs_on_a_tip_says_which_of_its_pages_it_is() -> None:
    structure, panel = panels("cube")[0]
    for way, wanted in (("sewn", "As the cloth is sewn"), ("reading", "text is level here")):
        pdf = write_pdf([template(panel, structure, SAY, 2, way)], title="t")  # type: ignore[arg-type]
        with pdfplumber.open(io.BytesIO(pdf)) as document:
            assert wanted in document.pages[0].extract_text()


def test_text_of_a_template_is_searchable_and_says_size_number_and_neighbours() -> None:
    structure, panel = panels("box")[1]
    pdf = write_pdf([template(panel, structure, SAY, 2)], title="t")
    with pdfplumber.open(io.BytesIO(pdf)) as document:
        text = document.pages[0].extract_text()
    for wanted in (
        "Panel 2",
        "876 × 2676",
        "788 × 2588",
        '34 1/2"',
        "2070 × 6322",
        "100 mm at full size",
        "this way up",
        "panel 6, left edge",
    ):
        assert wanted in text


@pytest.mark.parametrize("case", CASES)
def test_an_svg_template_stays_under_400_kb(case: str) -> None:
    for structure, panel in panels(case):
        assert len(write_svg(template(panel, structure, SAY, default_scale([panel])))) < 400_000


@pytest.mark.parametrize("case", ["box", "wide", "cube"])
def test_the_svg_and_the_pdf_of_a_panel_look_alike(case: str) -> None:
    """cairosvg draws the one, pdfium the other; the same page moved by 1 % of its width differs far more."""
    try:
        import cairosvg
    except OSError as error:
        pytest.skip(f"cairosvg needs the system library libcairo: {error}")
    structure, panel = panels(case)[0]
    drawing = template(panel, structure, SAY, default_scale([panel]))
    wide = 1200
    drawn = [
        cairosvg.svg2png(bytestring=write_svg(drawing), output_width=wide, background_color="white"),
        render_pdf(write_pdf([drawing], title="t"), width=wide),
    ]
    high = round(wide * drawing.height / drawing.width)
    svg, pdf = (Image.open(io.BytesIO(png)).convert("L").resize((wide, high)) for png in drawn)

    def apart(a: Image.Image, b: Image.Image) -> float:
        return ImageStat.Stat(ImageChops.difference(a, b)).mean[0]

    assert ImageStat.Stat(pdf).mean[0] < 254  # not a blank page
    assert apart(svg, pdf) < 0.35 * apart(svg, ImageChops.offset(pdf, wide // 100, wide // 100))

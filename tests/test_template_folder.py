"""The designer's folder: wraps with the frame between panels, net sheet, spec sheet, the page that shows them; made whole, alike
on one core and on more, and stopped without a half file."""

import contextlib
import html.parser
import io
import os
import pty
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pdfplumber
import pypdfium2
import pytest
import zoo
from click.testing import CliRunner
from shapely import Polygon, STRtree
from test_template import MM, layer_points, run

from artgen.cli import main
from artgen.cli.template_folder import folder_files, templates
from artgen.drawing.fonts import CAP_HEIGHT
from artgen.drawing.marks import Drawing, Text
from artgen.drawing.pdf import write_pdf
from artgen.drawing.pieces import text_corners
from artgen.sizing.resolution import needed_ppi
from artgen.template import Head, template, wrap_size, wrap_template
from artgen.template.net_sheet import net_sheets
from artgen.template.spec_sheet import Asked, spec_sheet
from artgen.template.web_page import Entry, File, Group, Paper, web_page
from artgen.words import words

SAY = words()
HEAD = Head("Peat", "QBT-0417", "Quillmere Bog Trust", "2026-03-02")
SAMPLE = Path(__file__).resolve().parents[1] / "sample_art" / "first"
CHAIN = '[[wrap]]\npanels = [1, 2, 3, 4]\nfile = "art/round.pdf"\n'
CLOSED = CHAIN + 'behind = "closed"\n'
TIP = '[[wrap]]\npanels = [1, 4, 2]\nfile = "art/tip.pdf"\n'  # a hung cube's faces, one turned against the other
BAYS = '[[wrap]]\npanels = [1, 2, 3]\nfile = "bays.pdf"\n'


def drawn(body: str, scale: int, margin: Head | None = None) -> Drawing:
    sizing = zoo.sized(body)
    wrap = sizing.wraps[0]
    panels = [sizing.panel(number) for number in wrap.panels]
    return wrap_template(wrap, panels, sizing.structures[0], SAY, scale, ppi=60, margin=margin)


def test_a_wrap_shows_the_bare_frame_between_its_panels() -> None:
    """Sums of docs/sums.md for 1000 × 800: Σ visible 3552, three reveals of 12, allowances 2 · 19 and bleeds 2 · 25: 3676."""
    for body, wide, reveal in ((zoo.BOX + CHAIN, 3676.0, 12.0), (zoo.BOX + CLOSED, 3640.0, 0.0)):
        drawing = drawn(body, 4)
        assert (drawing.width * 4, drawing.height * 4) == pytest.approx((wide, 3376.0))
        assert drawing.boxes is not None
        x0, y0, x1, y1 = (4 * v for v in drawing.boxes.trim)
        assert (x0, y0, x1, y1) == pytest.approx((25, 25, wide - 25, 3376 - 25))
        points = layer_points(write_pdf([drawing], title="t"))
        folds = points[SAY("template.layer.fold")]
        lefts = [44.0]  # 25 bleed and 19 allowance, then visible widths and reveals in turn
        for shown in (988, 788, 988):
            lefts.append(lefts[-1] + shown + reveal)
        assert [min(x for x, _ in ring) * 4 for ring in folds] == pytest.approx(lefts, abs=0.05)
        frames = points.get(SAY("template.layer.frame"), [])
        rings = [ring for ring in frames if len(ring) == 4]
        assert len(rings) == (3 if reveal else 0)
        for ring, left in zip(rings, lefts[1:], strict=False):
            assert min(x for x, _ in ring) * 4 == pytest.approx(left - reveal, abs=0.05)
            assert max(x for x, _ in ring) * 4 == pytest.approx(left, abs=0.05)


@pytest.mark.parametrize("body", [zoo.BOX + CHAIN, zoo.BOX + CLOSED, zoo.THREE_BAY_WALL + BAYS, zoo.HUNG_CUBE + TIP])
@pytest.mark.parametrize("margin", [None, HEAD])
def test_labels_of_a_wrap_keep_apart_and_are_read_on_a3(body: str, margin: Head | None) -> None:
    drawing = drawn(body, 5, margin)
    texts = [mark for layer in drawing.layers for mark in layer.marks if isinstance(mark, Text)]
    boxes = [Polygon(text_corners(text)) for text in texts]
    page = Polygon([(0, 0), (drawing.width, 0), (drawing.width, drawing.height), (0, drawing.height)]).buffer(1e-6)
    assert all(page.contains(box) for box in boxes)
    for i, j in STRtree(boxes).query(boxes, predicate="intersects").T:
        assert i >= j or boxes[i].intersection(boxes[j]).area < 1e-9, (texts[i].string, texts[j].string)
    long, short = max(drawing.width, drawing.height), min(drawing.width, drawing.height)
    assert min(text.size for text in texts) * CAP_HEIGHT * min(420 / long, 297 / short) >= 2.5
    said = " ".join(text.string for text in texts)
    assert "100 mm at full size" in said and "in one" in said
    for number in zoo.sized(body).wraps[0].panels:
        assert f"Panel {number}" in said or str(number) in [text.string for text in texts]


def test_a_wraps_page_is_its_art_size() -> None:
    sizing = zoo.sized(zoo.HUNG_CUBE + TIP)
    panels = [sizing.panel(number) for number in sizing.wraps[0].panels]
    w, h = wrap_size(sizing.wraps[0], panels)
    drawing = drawn(zoo.HUNG_CUBE + TIP, 2, HEAD)
    assert drawing.boxes is not None
    x0, y0, x1, y1 = drawing.boxes.bleed
    assert ((x1 - x0) * 2, (y1 - y0) * 2) == pytest.approx((w, h))


def text_of(drawings: list[Drawing]) -> list[str]:
    with pdfplumber.open(io.BytesIO(write_pdf(drawings, title="t"))) as document:
        return [page.extract_text() for page in document.pages]


@pytest.mark.parametrize("name", zoo.ORDERS)
def test_the_net_sheet_has_every_panel_and_stays_on_its_page(name: str) -> None:
    sizing = zoo.sized(zoo.ORDERS[name])
    for sheet in ("a4", "letter"):
        pages = net_sheets(sizing, HEAD, sheet, SAY)
        assert len(pages) == 1
        texts = [m for layer in pages[0].layers for m in layer.marks if isinstance(m, Text)]
        assert {str(panel.number) for panel in sizing.panels} <= {text.string for text in texts}
        page = Polygon([(0, 0), (pages[0].width, 0), (pages[0].width, pages[0].height), (0, pages[0].height)])
        assert all(page.contains(Polygon(text_corners(text))) for text in texts)


def spec(body: str, sheet: str = "a4", distance: float = 3000.0) -> list[Drawing]:
    return spec_sheet(Asked(zoo.sized(body), HEAD, sheet, (needed_ppi(distance),), (distance,)), SAY)


@pytest.mark.parametrize(("sheet", "size"), [("a4", (210, 297)), ("letter", (215.9, 279.4))])
def test_the_spec_sheet_has_one_or_two_pages_in_plain_words(sheet: str, size: tuple[float, float]) -> None:
    pages = spec(zoo.BOX + CHAIN, sheet)
    assert 1 <= len(pages) <= 2
    assert all((page.width, page.height) == pytest.approx(size) for page in pages)
    said = " ".join(" ".join(text_of(pages)).split())
    # page sizes by the worked example: 1076 × 3376 and 876 × 3376 at full size, a half, a quarter, a tenth
    for wanted in ("1076 × 3376", "538 × 1688", "269 × 844", "107.6 × 337.6", "876 × 3376", "round.pdf"):
        assert wanted in said
    for wanted in ("PDF", "CMYK", "fonts", "25 mm all round", "60 pixels an inch", "panel-", "Where not to put text"):
        assert wanted in said


def test_the_spec_sheet_has_the_scales_of_the_templates(folder: Path) -> None:
    """The sample's wall of 5600 is drawn at 1:3, which is none of the usual scales: 5676 / 3 × 2576 / 3."""
    with pdfplumber.open(folder / "spec.pdf") as document:
        said = " ".join(document.pages[0].extract_text().split())
    assert "1:3" in said and "1892 × 858.7" in said


def test_a_near_reader_is_asked_for_more_pixels() -> None:
    """87.32 over metres, between 60 and 100: half a minute of arc, 3437.75 over inches."""
    assert [needed_ppi(d) for d in (500, 1000, 1200, 1455, 3000, 10_000)] == [100, 88, 73, 61, 60, 60]
    assert "73 pixels an inch" in " ".join(text_of(spec(zoo.WALL, distance=1200.0)))


class Reader(html.parser.HTMLParser):
    """Links, pictures and headings of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.links: list[str] = []
        self.pictures: list[dict[str, str | None]] = []
        self.headings: list[int] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = dict(attrs)
        if tag == "a":
            self.links.append(found["href"] or "")
        elif tag == "img":
            self.pictures.append(found)
        elif re.fullmatch("h[1-6]", tag):
            self.headings.append(int(tag[1]))


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("designer")
    done = CliRunner().invoke(main, ["template", str(SAMPLE), "--out", str(out)])
    assert done.exit_code == 0, done.output
    return out


def test_the_page_links_all_files_and_reads_without_network_or_pictures(folder: Path) -> None:
    page = (folder / "index.html").read_text(encoding="utf-8")
    reader = Reader()
    reader.feed(page)
    there = {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}
    assert set(reader.links) | {str(p["src"]) for p in reader.pictures} == there - {"index.html"}
    assert "://" not in page and "<script" not in page and "@import" not in page and "url(" not in page
    assert all(p["alt"] and p["width"] and p["height"] for p in reader.pictures)
    assert len({p["alt"] for p in reader.pictures}) == len(reader.pictures)
    assert reader.headings[0] == 1 and reader.headings.count(1) == 1
    assert all(b - a <= 1 for a, b in zip(reader.headings, reader.headings[1:], strict=False))
    assert 'lang="en"' in page and "prefers-color-scheme: dark" in page and "width=device-width" in page


def test_what_an_order_says_is_escaped_on_the_page() -> None:
    evil = "<script>alert('x')</script>&\""
    entry = Entry(evil, evil, ((evil, evil),), "a b.png", evil, 1, 1, (File("a#b.svg", "SVG", "1 kB"),))
    page = web_page(Head(evil, evil, evil, ""), [Group(evil, (entry,))], [Paper("s.pdf", evil)], [evil], "en", SAY)
    assert b"<script" not in page and page.count(b"&lt;script&gt;") >= 9
    assert b'href="a%23b.svg"' in page and b'src="a%20b.png"' in page


def test_previews_and_papers_open(folder: Path) -> None:
    for name in ("spec.pdf", "net.pdf", "wrap-1-2-3-4.pdf"):
        with pypdfium2.PdfDocument(folder / name) as document:
            assert len(document) >= 1
    with pdfplumber.open(folder / "wrap-1-2-3-4.pdf") as document:
        page = document.pages[0]
        # Σ visible 3552, three reveals of 12, 2 · 19 and 2 · 25, at 1:2
        assert float(page.width) * MM == pytest.approx(3676 / 2, abs=0.01)


def test_panels_of_a_wrap_and_plain_ones_say_so(folder: Path, tmp_path: Path) -> None:
    with pdfplumber.open(folder / "panel-02.pdf") as document:
        assert "one picture across panels 1, 2, 3, 4" in " ".join(document.pages[0].extract_text().split())
    with pdfplumber.open(folder / "panel-09.pdf") as document:
        assert "Keep “panel-9” in your file's name." in document.pages[0].extract_text()
    structure = zoo.sized(zoo.BOX + "[[structure.panel]]\npanel = 2\nblank = true\n").structures[0]
    drawing = template(structure.panels[1], structure, SAY, 2)
    assert "needs no artwork" in " ".join(text_of([drawing]))


def test_all_papers_and_templates_of_a_folder_are_sound_pdfs(folder: Path) -> None:
    for path in folder.glob("*.pdf"):
        checked = run("qpdf", "--check", path)
        assert checked.returncode == 0 and b"WARNING" not in checked.stdout + checked.stderr, path.name
        drawn = run("gs", "-q", "-dBATCH", "-dNOPAUSE", "-dSAFER", "-sDEVICE=nullpage", path)
        assert (drawn.returncode, drawn.stdout + drawn.stderr) == (0, b""), path.name
        assert run("pdfinfo", path).stderr == b""


def test_one_core_and_more_give_the_same_bytes() -> None:
    body = zoo.BOX + zoo.HUNG_CUBE + zoo.THREE_BAY_WALL
    order, sizing = zoo.order(body), zoo.sized(body)
    alone, together = (list(templates(order, sizing, ["svg", "pdf"], None, workers=n)) for n in (1, 2))
    assert alone == together and len(alone) == 2 * (6 + 2 * 6 + 3)


def test_the_folder_is_the_same_each_time() -> None:
    order, sizing = zoo.order(zoo.BOX + CHAIN), zoo.sized(zoo.BOX + CHAIN)
    first, again = (list(folder_files(order, sizing, ["svg", "pdf", "png"], None)) for _ in range(2))
    assert first == again


def test_a_page_too_large_for_a_pdf_takes_the_next_scale_and_says_so(tmp_path: Path) -> None:
    (tmp_path / "order.toml").write_text(
        'schema = 1\nname = "w"\n[[structure]]\nname = "w"\nkind = "wall"\nwidth = "6000 mm"\nheight = "1000 mm"\n'
    )
    done = CliRunner().invoke(main, ["template", str(tmp_path), "--scale", "1:1", "--as", "pdf"])
    assert done.exit_code == 0 and "1:1 is over a PDF page's 5080 mm, so it is drawn at 1:2" in done.output
    with pdfplumber.open(tmp_path / "templates" / "panel-1.pdf") as document:
        said = document.pages[0].extract_text()
    assert "Drawn at 1:2" in said and "5080 mm" in said


WALL = '[[structure]]\nname = "w{n}"\nkind = "wall"\nheight = "2400 mm"\nbays = ["900 mm", "1000 mm", "1100 mm"]\n'
MANY = 'schema = 1\nname = "many"\n' + "".join(WALL.format(n=n) for n in range(20))


@pytest.mark.slow
def test_a_long_run_tells_a_terminal_how_far_it_is(tmp_path: Path) -> None:
    (tmp_path / "order.toml").write_text(MANY)
    terminal, inner = pty.openpty()
    command = [str(Path(sys.executable).parent / "artgen"), "template", str(tmp_path), "--as", "svg"]
    with subprocess.Popen(command, stderr=inner, start_new_session=True) as running:
        os.close(inner)
        said = b""
        with contextlib.suppress(OSError):  # the other end is closed
            while data := os.read(terminal, 65536):
                said += data
    os.close(terminal)
    assert running.returncode == 0
    assert b"\r\033[2Kp" in said and b"files in" in said


def test_stopped_it_leaves_whole_files_and_no_process(tmp_path: Path) -> None:
    (tmp_path / "order.toml").write_text(MANY)
    out = tmp_path / "templates"
    command = [str(Path(sys.executable).parent / "artgen"), "template", str(tmp_path)]
    running = subprocess.Popen(command, stderr=subprocess.PIPE, start_new_session=True)
    try:
        until = time.monotonic() + 60
        while time.monotonic() < until and len(list(out.glob("*.pdf"))) < 3:
            time.sleep(0.01)
        os.killpg(running.pid, signal.SIGINT)  # as Ctrl-C at a terminal
        _, said = running.communicate(timeout=60)
    finally:
        with contextlib.suppress(ProcessLookupError):
            os.killpg(running.pid, signal.SIGKILL)
    assert running.returncode == 2 and b"stopped" in said and b"Traceback" not in said
    files = [path for path in out.rglob("*") if path.is_file()]
    assert 3 <= len([f for f in files if f.suffix == ".pdf"]) < 60, "it was stopped in the middle"
    assert not (out / "index.html").exists()
    for path in files:
        data = path.read_bytes()
        end = {".pdf": b"%%EOF", ".svg": b"</svg>", ".png": b"IEND\xaeB`\x82"}[path.suffix]
        assert data.rstrip(b"\r\n").endswith(end), path.name
    with pytest.raises(ProcessLookupError):
        os.killpg(running.pid, 0)

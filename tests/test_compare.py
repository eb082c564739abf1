"""What changed between two revisions: that, and nothing else. Art is made with words and shapes at known places."""

import io
import random
import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pikepdf
import pytest
from art_made import PT, ink
from PIL import Image, ImageDraw, ImageFilter
from recording import ORDER
from reportlab.pdfgen.canvas import Canvas

from artgen import job as jobs
from artgen.checks import Finding, Observations
from artgen.cli.work import open_order
from artgen.comparing import Kept, compare, kept_of, manifest_bytes, read_manifest
from artgen.comparing.changes import Between, _findings
from artgen.comparing.difference import TOLERANCE, difference
from artgen.comparing.kept import KeptFinding
from artgen.comparing.saying import lines, report
from artgen.comparing.sheet import changes_sheet
from artgen.comparing.web_page import web_page
from artgen.drawing.marks import Text
from artgen.drawing.paper import Paper
from artgen.drawing.title_block import TitleBlock
from artgen.job import Job, Picture
from artgen.order import from_tables
from artgen.placing import Claims
from artgen.sizing import size_order
from artgen.structure.kinds import KINDS
from artgen.typed import TableError
from artgen.words import words

SAY = words("en")
# frame less two setbacks of 6, plus two allowances of 15 + 4, plus two bleeds of 25: 600 → 676, 500 → 576 (design's sums)
PAGE = (676.0, 576.0)
Word = tuple[str, float, float]  # its text, the start of its baseline, mm
HERE: dict[int, tuple[tuple[float, float, float], list[Word]]] = {
    1: ((0.8, 0.9, 0.8), [("Sphagnum", 150.0, 300.0), ("peat", 150.0, 150.0)]),
    2: ((0.9, 0.8, 0.7), [("cranberry", 150.0, 300.0)]),
}
EM = 60.0


def page(file: Path, ground: tuple[float, float, float], said: list[Word], patch: Any = None) -> None:
    canvas = Canvas(str(file), (PAGE[0] * PT, PAGE[1] * PT), invariant=True)
    canvas.scale(PT, PT)
    canvas.setFillColorRGB(*ground)
    canvas.rect(0, 0, *PAGE, stroke=0, fill=1)
    if patch is not None:
        (x, y, w, h), colour = patch
        canvas.setFillColorRGB(*colour)
        canvas.rect(x, y, w, h, stroke=0, fill=1)
    canvas.setFillColorRGB(0.1, 0.1, 0.2)
    canvas.setFont("Sans", EM)
    for text, x, y in said:
        canvas.drawString(x, y, text)
    canvas.save()


def order_in(folder: Path) -> Path:
    (folder / "art").mkdir(parents=True)
    (folder / "order.toml").write_text(ORDER, encoding="utf-8")
    for number, (ground, said) in HERE.items():
        page(folder / "art" / f"panel-{number}.pdf", ground, said)
    return folder


def kept(folder: Path, revision: str = "A") -> Kept:
    order, sizing = open_order(folder)
    art = {f"art/{path.name}": path.read_bytes().hex()[-64:] for path in sorted((folder / "art").iterdir())}
    return kept_of(jobs.run(order, sizing), revision, {"order": "x", "art": art}, SAY)


@pytest.fixture(scope="module")
def first(tmp_path_factory: pytest.TempPathFactory) -> Kept:
    with pytest.MonkeyPatch.context() as patch:  # as the shared fixture does, which comes after this one
        patch.setattr("artgen.job.reading_available", lambda: False)
        return kept(order_in(tmp_path_factory.mktemp("first")))


def word_box(text: str, x: float, y: float) -> tuple[float, float, float, float]:
    x0, y0, x1, y1 = (v * EM for v in ink(text))
    return x + x0, y + y0, x + x1, y + y1


def inside(place: tuple[float, float, float, float], box: tuple[float, float, float, float], by: float = 3.0) -> bool:
    """``by`` mm = two points of a kept picture."""
    x, y, w, h = place
    return x >= box[0] - by and y >= box[1] - by and x + w <= box[2] + by and y + h <= box[3] + by


# ---- the four trials


def test_a_moved_word_shows_that_word_and_nothing_else(first: Kept, tmp_path: Path) -> None:
    folder = order_in(tmp_path / "o")
    page(folder / "art" / "panel-1.pdf", HERE[1][0], [("Sphagnum", 230.0, 280.0), HERE[1][1][1]])
    between = compare(first, kept(folder, "B"))
    (change,) = between.panels
    assert (change.panel.number, change.kind, between.same) == (1, "places", (2,))
    old, new = word_box("Sphagnum", 150.0, 300.0), word_box("Sphagnum", 230.0, 280.0)
    both = (old[0], new[1], new[2], old[3])
    assert change.places
    assert all(inside(place, both) for place in change.places)
    assert [(w.text, w.kind) for w in change.words] == [("Sphagnum", "moved")]
    assert change.words[0].by == pytest.approx((80.0, -20.0), abs=0.5)
    said = "\n".join(report(between, SAY, "Moss", "T-7"))
    assert "“Sphagnum” moved 80 mm right and 20 mm down." in said
    assert "peat" not in said and "cranberry" not in said
    assert (between.went, between.came) == ((), ())
    # every pixel of the word's old and new place that is not common to both, and none outside
    assert change.marked is not None
    red = np.asarray(change.marked)
    rows, columns = np.nonzero((red == (213, 94, 0)).all(axis=2))
    k = PAGE[0] / red.shape[1]
    assert columns.min() * k == pytest.approx(old[0], abs=12)  # the frame round the places stands a few points off
    assert columns.max() * k == pytest.approx(new[2], abs=12)
    assert PAGE[1] - rows.max() * k == pytest.approx(new[1], abs=12)


def test_a_changed_colour_is_one_place_of_its_own_shape(first: Kept, tmp_path: Path) -> None:
    folder = order_in(tmp_path / "o")
    patch = (400.0, 100.0, 120.0, 80.0)
    page(folder / "art" / "panel-2.pdf", *HERE[2], patch=(patch, (0.9, 0.8, 0.7)))
    assert compare(first, kept(folder)).panels == ()  # in the ground's own colour it can't be seen
    page(folder / "art" / "panel-2.pdf", *HERE[2], patch=(patch, (0.9, 0.65, 0.7)))  # 38 of 255 levels of one colour
    (change,) = compare(first, kept(folder)).panels
    assert (change.panel.number, change.kind, change.words) == (2, "places", ())
    assert change.places == (pytest.approx(patch, abs=2.5),)
    page(folder / "art" / "panel-2.pdf", (0.7, 0.8, 0.9), HERE[2][1])
    (change,) = compare(first, kept(folder)).panels
    assert (change.panel.number, change.kind) == (2, "whole")


def test_two_swapped_panels_are_said_as_swapped(first: Kept, tmp_path: Path) -> None:
    folder = order_in(tmp_path / "o")
    for number in (1, 2):
        page(folder / "art" / f"panel-{number}.pdf", *HERE[3 - number])
    between = compare(first, kept(folder, "B"))
    assert [(c.panel.number, c.kind, c.other) for c in between.panels] == [(1, "swapped", 2), (2, "swapped", 1)]
    assert sum("swapped" in line for line in lines(between, SAY)) == 1
    page(folder / "art" / "panel-2.pdf", *HERE[2])  # panel 1 alone carries what was panel 2's
    (change,) = compare(first, kept(folder, "B")).panels
    assert (change.panel.number, change.kind, change.other) == (1, "taken", 2)


def test_a_file_that_was_saved_anew_is_no_change(first: Kept, tmp_path: Path) -> None:
    folder = order_in(tmp_path / "o")
    file = folder / "art" / "panel-1.pdf"
    before = file.read_bytes()
    with pikepdf.open(file) as pdf:
        pdf.save(tmp_path / "again.pdf", object_stream_mode=pikepdf.ObjectStreamMode.generate, recompress_flate=True)
    file.write_bytes((tmp_path / "again.pdf").read_bytes())
    assert file.read_bytes() != before
    between = compare(first, kept(folder, "B"))
    assert between.nothing
    assert (between.same, between.resaved) == ((1, 2), (1,))
    assert "Another file that looks the same: panel 1." in "\n".join(report(between, SAY, "Moss", ""))


def test_what_changes_under_the_frame_alone_is_said_as_that(first: Kept, tmp_path: Path) -> None:
    folder = order_in(tmp_path / "o")
    page(
        folder / "art" / "panel-1.pdf", *HERE[1], patch=((0.0, 0.0, 30.0, PAGE[1]), (0.2, 0.2, 0.2))
    )  # fold line: 44 mm in
    (change,) = compare(first, kept(folder)).panels
    assert (change.panel.number, change.kind) == (1, "hidden")
    page(folder / "art" / "panel-1.pdf", *HERE[1], patch=((0.0, 0.0, 50.0, PAGE[1]), (0.2, 0.2, 0.2)))
    (change,) = compare(first, kept(folder)).panels
    assert change.kind == "places"


def test_art_that_comes_or_goes_and_findings_that_went_came_and_stayed(first: Kept, tmp_path: Path) -> None:
    folder = order_in(tmp_path / "o")
    (folder / "art" / "panel-2.pdf").unlink()
    page(folder / "art" / "panel-1.pdf", HERE[1][0], [("Sphagnum", 350.0, 300.0), HERE[1][1][1]])  # over the right edge
    second = kept(folder, "B")
    between = compare(first, second)
    assert [(c.panel.number, c.kind) for c in between.panels] == [(1, "places"), (2, "no-art")]
    assert {f.rule for f in between.came} >= {"art-missing"}
    assert any(f.text == "Sphagnum" for f in between.came)
    back = compare(second, first)
    assert [(c.panel.number, c.kind) for c in back.panels] == [(1, "places"), (2, "first-art")]
    assert (back.went, back.came) == (between.came, between.went)
    assert compare(second, second).stayed == second.manifest.findings


def finding(**more: Any) -> KeptFinding:
    values = {"rule": "text-in-tuck", "severity": "error", "audience": "client", "panel": 1, "file": "a.pdf", "page": 1}
    values |= {"where_mm": (0.0, 0.0, 1.0, 1.0), "message": "m", "advice": "a", "text": "moss", "say": ""}
    return KeptFinding(**{**values, **more})


def test_findings_are_told_again_by_fault_not_by_place_or_file() -> None:
    here, there = finding(), finding(where_mm=(50.0, 0.0, 1.0, 1.0), file="b.pdf")
    assert _findings([here], [there]) == ((), (), (there,))
    assert _findings([here, here], [there]) == ((here,), (), (there,))  # one of two words of the same text is mended
    milder = finding(severity="warning")
    assert _findings([here], [milder]) == ((here,), (milder,), ())
    loose, other = finding(panel=None, text=""), finding(panel=None, text="", file="b.pdf")
    assert _findings([loose], [other]) == ((loose,), (other,), ())


# ---- pictures


def disc(at: float, size: int = 200) -> Image.Image:
    """A disc whose edge is anti-aliased, its middle at a fraction of a pixel."""
    fine = Image.new("RGB", (size * 8, size * 8), (230, 220, 200))
    ImageDraw.Draw(fine).ellipse([v + at * 8 for v in (400, 400, 1100, 1100)], fill=(20, 40, 90))
    return fine.reduce(8)


def test_what_only_falls_otherwise_on_the_grid_is_forgiven() -> None:
    for shift in (0.25, 0.5, 0.75, 1.0):
        assert difference(disc(0.0), disc(shift)).boxes == ()
    plain = np.abs(np.asarray(disc(0.0), dtype=int) - np.asarray(disc(0.5), dtype=int)).max(axis=2)
    assert (plain > TOLERANCE).sum() > 100  # point against point, it would be a change


def test_what_moved_further_is_not() -> None:
    found = difference(disc(0.0), disc(4.0))
    assert found.boxes
    assert all(box[0] >= 45 and box[2] <= 145 for box in found.boxes)


def test_both_ways_count_the_same() -> None:
    a, b = disc(0.0), Image.new("RGB", (200, 200), (230, 220, 200))
    assert (difference(a, b).mask == difference(b, a).mask).all()
    assert difference(a, b).boxes == difference(b, a).boxes == (pytest.approx((50, 50, 138, 138), abs=2),)


def test_what_jpeg_does_to_a_picture_is_forgiven() -> None:
    rng = random.Random(3)
    picture = disc(0.3)
    draw = ImageDraw.Draw(picture)
    for _ in range(40):
        x, y = rng.randrange(180), rng.randrange(180)
        draw.ellipse((x, y, x + 14, y + 14), fill=tuple(rng.randrange(256) for _ in range(3)))
    data = io.BytesIO()
    blurred = picture.filter(ImageFilter.GaussianBlur(1))
    blurred.save(data, "JPEG", quality=90)
    again = Image.open(data).convert("RGB")
    assert difference(blurred, again).share < 0.001


def test_a_colour_counts_from_just_over_the_tolerance() -> None:
    base = Image.new("RGB", (100, 100), (100, 100, 100))
    for step, expected in ((TOLERANCE, 0), (TOLERANCE + 1, 1)):
        other = base.copy()
        other.paste((100, 100 + step, 100), (40, 40, 60, 60))
        assert len(difference(base, other).boxes) == expected


def test_places_far_apart_are_two_and_near_ones_are_one() -> None:
    base = Image.new("RGB", (1000, 500), "white")
    other = base.copy()
    for left in (100, 116, 700):
        other.paste("black", (left, 200, left + 10, 220))
    assert difference(base, other).boxes == ((100, 200, 126, 220), (700, 200, 710, 220))


def test_a_hung_cube_is_shown_as_one_reads_it(tmp_path: Path) -> None:
    """Its sewn frame stands on a corner: the picture is turned by 45°, and moves are told as read."""
    folder = tmp_path / "cube"
    (folder / "art").mkdir(parents=True)
    text = ORDER.replace(
        'kind = "wall"\nheight = "500 mm"\nbays = ["600 mm", "600 mm"]', 'kind = "hung-cube"\nedge = "600 mm"'
    )
    (folder / "order.toml").write_text(text, encoding="utf-8")
    side = 676.0
    found = []
    for at in (300.0, 360.0):
        canvas = Canvas(str(folder / "art" / "panel-1.pdf"), (side * PT, side * PT), invariant=True)
        canvas.scale(PT, PT)
        canvas.translate(at, at)
        canvas.rotate(-45)  # upright is 45° clockwise of sewn up
        canvas.setFont("Sans", EM)
        canvas.drawCentredString(0, 0, "moss")
        canvas.save()
        found.append(kept(folder))
    assert found[0].manifest.panels[0].upright_deg == pytest.approx(-45.0)
    (change,) = compare(*found).panels
    # (60, 60) in the sewn frame lies along upright: 60 × √2 up
    assert change.words[0].by == pytest.approx((0.0, 84.9), abs=0.5)
    assert change.after is not None
    rows, columns = np.nonzero(np.asarray(change.after).max(axis=2) < 60)
    assert np.ptp(columns) > 1.8 * np.ptp(rows)  # the word lies level


# ---- kept and shown


def test_what_is_kept_comes_back(first: Kept) -> None:
    assert read_manifest(manifest_bytes(first.manifest), "it") == first.manifest
    assert sorted(first.pictures) == [1, 2]
    for data in first.pictures.values():
        assert len(data) < 400_000
        with Image.open(io.BytesIO(data)) as image:
            assert image.width * image.height <= 810_000
            assert image.width / image.height == pytest.approx(PAGE[0] / PAGE[1], rel=0.005)


@pytest.mark.parametrize("data", [b"", b"[]", b"{}", b'{"schema": 2}', b"[" * 100_000, b'{"schema": 1, "panels": [3]}'])
def test_what_is_no_manifest_is_said(data: bytes) -> None:
    with pytest.raises(TableError):
        read_manifest(data, "revision.json")


def many_changes(panels: int, findings: int) -> Between:
    """More than a sheet holds."""
    text = ORDER.replace('["600 mm", "600 mm"]', str(["600 mm"] * panels).replace("'", '"'))
    order = from_tables(tomllib.loads(text), KINDS, folder=Path("nowhere"), where="order.toml")
    sizing = size_order(order, KINDS)

    def job(shade: int, wrong: tuple[Finding, ...]) -> Job:
        rgb = np.full((576, 676, 3), 200, dtype=np.uint8)
        rgb[100:300, 100:500] = shade
        pictures = {panel.number: Picture(676, 576, rgb.tobytes()) for panel in sizing.panels}
        return Job(order, sizing, Observations(sizing, Claims(()), {}, ()), wrong, (), pictures)

    long = "a word of which the name is long " * 3
    wrong = tuple(
        Finding("text-in-tuck", "error", panel=1 + n % panels, evidence={"text": f"{long}{n}", "depth_mm": 3.0})
        for n in range(findings)
    )
    old, new = job(40, wrong[: findings // 2]), job(90, wrong[findings // 3 :])
    return compare(kept_of(old, "A", {"order": "1"}, SAY), kept_of(new, "B", {"order": "2"}, SAY))


@pytest.mark.parametrize(("panels", "findings"), [(1, 0), (2, 3), (12, 60)])
@pytest.mark.parametrize("sheet", ["a4", "letter"])
def test_the_proof_says_it_on_one_sheet(panels: int, findings: int, sheet: Any) -> None:
    between = many_changes(panels, findings)
    paper = Paper(TitleBlock("", "Moss"), sheet=sheet)
    changes_sheet(paper, between, SAY)
    pages = paper.pages()
    assert len(pages) == 2  # the one that a paper opens with, and ours
    strings = " ".join(mark.string for layer in pages[1].layers for mark in layer.marks if isinstance(mark, Text))
    assert "What changed from proof A to proof B" in strings
    for number in range(1, panels + 1):
        assert str(number) in strings


def test_the_page_asks_for_nothing_and_escapes_what_is_foreign(first: Kept, tmp_path: Path) -> None:
    folder = order_in(tmp_path / "o")
    page(folder / "art" / "panel-1.pdf", HERE[1][0], [("<b>peat", 150.0, 300.0)])
    html = web_page(compare(first, kept(folder, "B")), '"><script>x</script>', "T", "en", SAY).decode()
    assert "<script" not in html and "<b>peat" not in html
    assert "&lt;b&gt;peat" in html
    assert "default-src 'none'" in html
    assert "http" not in html.replace("http-equiv", "")
    assert web_page(compare(first, first), "Moss", "T", "en", SAY).decode().count("Nothing changed") == 1


@pytest.mark.parametrize("width", [390, 1024])
def test_the_page_in_a_browser(first: Kept, tmp_path: Path, open_page: Any, width: int) -> None:
    folder = order_in(tmp_path / "o")
    page(folder / "art" / "panel-1.pdf", HERE[1][0], [("Sphagnum", 350.0, 300.0)])
    file = tmp_path / "changes.html"
    file.write_bytes(web_page(compare(first, kept(folder, "B")), "Moss", "T-7", "en", SAY))
    opened = open_page(file, width)
    assert opened.errors == [] and [r for r in opened.requests if not r.startswith("data:")] == []
    assert opened.serious_faults() == []
    assert opened.page.evaluate("document.documentElement.scrollWidth") <= width

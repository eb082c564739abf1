"""From files to findings, end to end. Every file is made here with its faults at places worked out from the font's outlines
(fontTools) and the worked example's givens; then the fault is mended in the way that the finding says, and drawn again.
"""

import hashlib
import json
import struct
import subprocess
import sys
import zlib
from pathlib import Path

import art_made
import bad_art
import pytest
import quick
import zoo
from art_made import Lettering
from attrs import evolve

from artgen import job
from artgen.checks import Finding, numbers_of
from artgen.checks.wording import sentences
from artgen.job import Job
from artgen.order import load
from artgen.sizing import size_order
from artgen.structure.kinds import KINDS
from artgen.survey import reading_available
from artgen.words import words

HEAD = 'schema = 1\nname = "Small wall"\n'
# bays of 600 × 500: 588 × 488 shows, cut 626 × 526, art size 676 × 576; fold lines at 44 of the art size's left and foot
FOLD, RIGHT, HIGH = 44.0, 44.0 + 588, 44.0 + 488
ART, CUT, VISIBLE, FRAME = (676.0, 576.0), (626.0, 526.0), (588.0, 488.0), (600.0, 500.0)


def wall(bays: int) -> str:
    widths = ", ".join(['"600 mm"'] * bays)
    return f'{HEAD}[[structure]]\nname = "wall"\nkind = "wall"\nheight = "500 mm"\nbays = [{widths}]\n'


BOX = HEAD + (
    '[[structure]]\nname = "box"\nkind = "box"\nwidth = "600 mm"\ndepth = "400 mm"\nheight = "500 mm"\n'
    'omit = ["top", "bottom"]\n'
)


# the art made here is RGB of few pixels with small letters at odd angles, the same again and again: other tests' matters
OTHERS = ("colour-space", "image-coarse", "text-too-small", "text-against-upright", "art-repeated")
QUIET = "".join(f'[checks.{rule}]\nseverity = "off"\n' for rule in OTHERS)


def run(folder: Path, text: str, only: int | None = None) -> Job:
    (folder / "order.toml").write_text(text + QUIET, encoding="utf-8")
    order = load(folder, KINDS, numbers_of)
    return job.run(order, size_order(order, KINDS), only=only)


def text_findings(done: Job) -> dict[int | None, list[Finding]]:
    found: dict[int | None, list[Finding]] = {}
    for finding in done.findings:
        if finding.rule.startswith("text-"):
            found.setdefault(finding.panel, []).append(finding)
    return found


def rules(done: Job) -> list[tuple[int | None, str, str]]:
    return [(finding.panel, finding.rule, finding.severity) for finding in done.findings]


def reaching(word: Lettering, to_x: float) -> Lettering:
    """The word, moved level so that its rightmost ink ends at ``to_x``."""
    return evolve(word, x=word.x + to_x - max(x for x, _ in word.outline))


# live text, in PDFs of every make

PDFS = {  # panel: scale, inset of the page against the art size, angle, in nested forms
    1: (1.0, 0.0, 0.0, False),
    2: (1.0, 0.0, 90.0, True),
    3: (10.0, 0.0, 37.0, True),
    4: (10.0, 25.0, -140.0, True),
    5: (4.0, 25.0, 180.0, False),
    6: (2.0, 0.0, -20.0, True),
}
PAST = 10.4  # mm by which each word runs over the right fold line


def draw_words(folder: Path, at: dict[int, Lettering]) -> None:
    for number, (scale, inset, _, nested) in PDFS.items():
        page = tuple((side - 2 * inset) / scale for side in ART)
        word = at[number]
        on_page = Lettering(
            word.text, (word.x - inset) / scale, (word.y - inset) / scale, word.size / scale, word.angle
        )
        ground = (0, 0, *page)
        art_made.pdf(folder / "art" / f"panel-{number}.pdf", page, [on_page], ground, nested)  # type: ignore[arg-type]


def test_live_text_is_found_where_it_stands_and_the_move_clears_it(tmp_path: Path) -> None:
    words_at = {
        n: reaching(Lettering("forest", 300, 280, 60, angle), RIGHT + PAST) for n, (_, _, angle, _) in PDFS.items()
    }
    draw_words(tmp_path, words_at)
    done = run(tmp_path, wall(6))
    found = text_findings(done)
    assert sorted(found) == [1, 2, 3, 4, 5, 6]  # type: ignore[type-var]
    mended = {}
    for number, word in words_at.items():
        (finding,) = found[number]
        assert (finding.rule, finding.severity, finding.evidence["text"]) == ("text-in-tuck", "error", "forest")
        assert finding.evidence["depth_mm"] == pytest.approx(PAST, abs=0.1)
        for point, expected in zip(finding.evidence["quad_mm"], word.quad, strict=True):
            assert point == pytest.approx(expected, abs=0.1)
        xs, ys = zip(*word.quad, strict=True)
        box = (min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))
        assert finding.where == pytest.approx(box, abs=0.1)
        dx, dy = finding.evidence["move_mm"]
        assert (dx, dy) == pytest.approx((-51, 0), abs=1e-9)  # 10.4 past and 40 safe, up to whole mm
        mended[number] = evolve(word, x=word.x + dx, y=word.y + dy)
    draw_words(tmp_path, mended)
    again = run(tmp_path, wall(6))
    assert text_findings(again) == {}
    assert again.errors == 0


def test_the_move_in_words_holds_on_the_page(tmp_path: Path) -> None:
    """At 1:10 the sentence gives both: 51 mm at full size, 5.1 mm on the page."""
    word = reaching(Lettering("forest", 300, 280, 60), RIGHT + PAST)
    on_page = Lettering("forest", word.x / 10, word.y / 10, 6)
    art_made.pdf(tmp_path / "art" / "panel-1.pdf", (67.6, 57.6), [on_page], (0, 0, 67.6, 57.6))
    done = run(tmp_path, wall(2))
    (finding,) = text_findings(done)[1]
    advice = sentences(finding, words()).advice
    assert "51 mm left at full size" in advice
    assert "5.1 mm left on the 1:10 page" in advice


def test_a_word_round_a_corner_of_a_wrap(tmp_path: Path) -> None:
    """Front 588 and right side 388 with 12 of metal between; the word ends 25.4 mm past the right side's fold line."""
    width = 44 + 588 + 12 + 388 + 44
    word = reaching(Lettering("forest", 300, 280, 100), RIGHT + 12 + 25.4)
    file = tmp_path / "art" / "round.pdf"
    wrap = BOX + '[[wrap]]\npanels = [1, 2]\nfile = "round.pdf"\n'
    art_made.pdf(file, (width, 576), [word], (0, 0, width, 576))
    found = text_findings(run(tmp_path, wrap))
    (finding,) = found[1]
    assert (finding.rule, finding.evidence["panels"]) == ("text-crosses-corner", [1, 2])
    assert finding.evidence["depth_mm"] == pytest.approx(25.4, abs=0.1)
    dx, dy = finding.evidence["move_mm"]
    assert (dx, dy) == pytest.approx((-(25 + 12 + 40 + 1), 0), abs=1e-9)
    art_made.pdf(file, (width, 576), [evolve(word, x=word.x + dx)], (0, 0, width, 576))
    assert text_findings(run(tmp_path, wrap)) == {}


# SVG


def test_live_text_in_an_svg(tmp_path: Path) -> None:
    """No font came with it, so its width is nobody's; where it starts and how it reads is known."""
    art_made.svg(tmp_path / "art" / "panel-1.svg", ART, Lettering("forest", 20, 250, 60), outlined=False)
    done = run(tmp_path, wall(1))
    (finding,) = text_findings(done)[1]
    assert (finding.rule, finding.evidence["text"]) == ("text-in-tuck", "forest")
    assert finding.evidence["quad_mm"][0] == pytest.approx((20, 250), abs=3)
    assert any("Peat Grotesk" in one.what and "stand-in" in one.why for one in done.not_examined)


def test_a_word_that_runs_off_an_svg_s_page_is_measured_whole(tmp_path: Path) -> None:
    """Its end lies outside the page: the move must clear all of it, and does when the file is drawn anew."""
    word = Lettering("Crossing", RIGHT - 100, 250, 80)
    art_made.svg(tmp_path / "art" / "panel-1.svg", ART, word, outlined=False)
    found = [f for f in run(tmp_path, wall(1)).findings if f.rule == "text-in-tuck"]
    assert [f.evidence["text"] for f in found] == ["Crossing"]
    past = max(x for x, _ in word.quad) - RIGHT  # the font's own outlines (fontTools)
    assert max(x for x, _ in word.quad) > ART[0] + 50
    assert found[0].evidence["depth_mm"] == pytest.approx(past, abs=0.5)
    dx, dy = found[0].evidence["move_mm"]
    art_made.svg(tmp_path / "art" / "panel-1.svg", ART, evolve(word, x=word.x + dx, y=word.y + dy), outlined=False)
    assert not text_findings(run(tmp_path, wall(1)))


@pytest.mark.reading
@pytest.mark.skipif(not reading_available(), reason="artgen[reading] is not installed")
def test_outlined_text_is_found_and_read(tmp_path: Path) -> None:
    art_made.svg(tmp_path / "art" / "panel-1.svg", ART, Lettering("forest", 20, 250, 60), outlined=True)
    done = run(tmp_path, wall(1))
    (finding,) = done.findings
    assert (finding.rule, finding.severity, finding.evidence["text"]) == ("text-in-tuck", "error", "forest")
    assert any("outlines" in one.what and "mm" in one.why for one in done.not_examined)
    # it was drawn: the word's own ink stands on the ground of the panel's picture
    picture = done.pictures[1]
    step = ART[0] / picture.width
    at = lambda x, y: picture.rgb[3 * (int((ART[1] - y) / step) * picture.width + int(x / step)) :][:3]  # noqa: E731
    inks = [at(x, 250 + 20) for x in range(25, 180)]
    assert any(ink[0] > 200 for ink in inks)
    assert at(600, 100)[0] < 100


# rasters


def test_rasters_lie_by_their_tags(tmp_path: Path) -> None:
    """PNG at 1000 pixels a metre, JPEG at 127 an inch (0.2 mm) as 1:5, TIFF at 25.4 an inch, one PNG without a tag."""
    art_made.raster(tmp_path / "art" / "panel-1.png", (676, 576), 25.4)
    art_made.raster(tmp_path / "art" / "panel-2.jpg", (676, 576), 127)
    art_made.raster(tmp_path / "art" / "panel-3.tif", (626, 526), 25.4)  # cut size
    art_made.raster(tmp_path / "art" / "panel-4.png", (1352, 1152), None)
    done = run(tmp_path, wall(4))
    assert rules(done) == [(3, "bleed-missing", "warning")]
    laid = {one.laid.target.numbers[0]: one.laid for one in done.observations.laid}
    assert {n: (one.fits, one.way) for n, one in laid.items()} == {
        1: ("art", "sewn"),
        2: ("art", "sewn"),
        3: ("cut", "sewn"),
        4: ("art", "sewn"),
    }
    assert [laid[n].scale for n in (1, 2, 3)] == [1, 5, 1]


def test_a_picture_on_a_square_panel_without_a_size(tmp_path: Path) -> None:
    art_made.raster(tmp_path / "art" / "panel-1.png", (500, 500), None)
    text = HEAD + zoo.WALL.replace("3000", "500").replace("2400", "500")
    done = run(tmp_path, text)
    (finding,) = [f for f in done.findings if f.rule == "page-wrong-size"]
    assert (finding.severity, finding.say) == ("warning", "assumed")
    assert finding.evidence["taken"] == "art"
    assert "frame" in finding.evidence["instead"]


# bleed


def test_bleed_is_measured_on_paint(tmp_path: Path) -> None:
    """Past the fold: 44 the page, 22 the cut and 3, 5 what fitting may show. Paint 0, 2, 10, 19 and 30 mm past it, where the page
    itself ends (2, 3) or goes on."""
    art = tmp_path / "art"
    art_made.pdf(art / "panel-1.pdf", ART, ground=(0, 0, *ART))
    art_made.pdf(art / "panel-2.pdf", CUT, ground=(0, 0, *CUT))
    art_made.pdf(art / "panel-3.pdf", VISIBLE, ground=(0, 0, *VISIBLE))
    art_made.pdf(art / "panel-4.pdf", VISIBLE, ground=(0, 0, *VISIBLE), colour=(1, 1, 1))
    for number, past in ((5, 2), (6, 10), (7, 30)):
        art_made.pdf(art / f"panel-{number}.pdf", ART, ground=(0, 0, RIGHT + past, ART[1]))  # stops short on the right
    art_made.pdf(art / "panel-8.pdf", ART)  # nothing painted: white cloth
    done = run(tmp_path, wall(8))
    found = {f.panel: (f.severity, f.evidence["reach_mm"], f.evidence["edges"]) for f in done.findings}
    assert {f.panel: f.rule for f in done.findings} == {
        **dict.fromkeys((2, 3), "bleed-missing"),
        **dict.fromkeys((5, 6, 7), "bleed-unpainted"),
    }
    expected = {
        2: ("warning", 19, {"bottom", "right", "top", "left"}),
        3: ("error", 0, {"bottom", "right", "top", "left"}),
        5: ("error", 2, {"right"}),
        6: ("warning", 10, {"right"}),
        7: ("note", 30, {"right"}),
    }
    assert sorted(found) == sorted(expected)  # type: ignore[type-var]
    for number, (severity, reach, edges) in expected.items():
        assert (found[number][0], set(found[number][2])) == (severity, edges)
        assert found[number][1] == pytest.approx(reach, abs=1.6)


@pytest.mark.reading  # the edge of the paint is no lettering
def test_a_page_of_frame_size_is_said_once(tmp_path: Path) -> None:
    art_made.pdf(tmp_path / "art" / "panel-1.pdf", FRAME, ground=(0, 0, *FRAME))
    done = run(tmp_path, wall(1))
    assert rules(done) == [(1, "page-wrong-size", "error")]
    evidence = done.findings[0].evidence
    assert done.findings[0].say == "frame"
    assert evidence["wanted_mm"] == pytest.approx(ART)
    assert evidence["short_mm"] == pytest.approx((38, 38))
    assert evidence["fill_scale"] == pytest.approx(max(676 / 600, 576 / 500), abs=1e-4)
    assert evidence["fill_cuts_mm"] == pytest.approx((600 * 1.152 - 676, 0), abs=0.1)


def test_a_page_that_fits_nothing_is_still_surveyed(tmp_path: Path) -> None:
    """700 × 300: no size. Laid where it goes in whole, its word is judged all the same."""
    word = Lettering("forest", 5, 150, 40)
    art_made.pdf(tmp_path / "art" / "panel-1.pdf", (700, 300), [word], (0, 0, 700, 300))
    done = run(tmp_path, wall(1))
    # the page's left edge lies on some zone's, so at 44 mm at most; the word begins under 5 mm from it: never safe
    (first, second) = done.findings
    assert (first.rule, first.severity) == ("page-wrong-size", "error")
    assert second.rule in ("text-in-tuck", "text-outside-safe")
    assert second.evidence["text"] == "forest"
    assert first.say == "nothing"


def test_a_page_on_its_side_is_a_note(tmp_path: Path) -> None:
    art_made.pdf(tmp_path / "art" / "panel-1.pdf", (57.6, 67.6), ground=(0, 0, 57.6, 67.6))
    assert rules(run(tmp_path, wall(1))) == [(1, "page-turned", "note")]


# what is missing


def test_files_and_pages_that_are_not_there(tmp_path: Path) -> None:
    art_made.pdf(tmp_path / "art" / "one.pdf", ART, ground=(0, 0, *ART))
    text = wall(4) + (
        '[[art]]\npanel = 1\nfile = "one.pdf"\npage = 3\n'
        '[[art]]\npanel = 2\nfile = "none.pdf"\n'
        '[[art]]\npanel = 3\nfile = "one.pdf"\n'
    )
    done = run(tmp_path, text)
    assert [(f.panel, f.rule, f.say) for f in done.findings] == [
        (1, "art-missing", "no-page"),
        (2, "art-missing", "no-file"),
        (4, "art-missing", ""),
    ]
    assert done.findings[0].evidence["pages"] == 1
    assert list(done.pictures) == [3]


def test_one_panel_alone(tmp_path: Path) -> None:
    for number in (1, 2):
        art_made.pdf(tmp_path / "art" / f"panel-{number}.pdf", FRAME)
    art_made.pdf(tmp_path / "art" / "logo.pdf", FRAME)
    done = run(tmp_path, wall(3), only=2)
    assert rules(done) == [(2, "page-wrong-size", "error")]
    assert list(done.observations.files) == ["panel-2.pdf"]


def test_a_file_whose_paint_can_not_be_read_is_an_error(tmp_path: Path) -> None:
    """A PNG whose header is whole and whose pixels are missing: its facts can be read, its paint can't."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", *(round(side) for side in ART), 8, 2, 0, 0, 0)
    png = b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(bytes(1000))) + chunk(b"IEND", b"")
    (tmp_path / "art").mkdir()
    (tmp_path / "art" / "panel-1.png").write_bytes(png)
    found = [f for f in run(tmp_path, wall(1)).findings if f.severity == "error"]
    assert [(f.rule, f.panel) for f in found] == [("file-damaged", 1)]


def test_a_page_that_is_only_moved_keeps_its_size(tmp_path: Path) -> None:
    """A page of cut size at 1:1, moved 7 mm right and 3 mm down: its word stands so much further, no larger."""
    word = Lettering("peat", 175, 225, 60)
    art_made.pdf(tmp_path / "art" / "moved.pdf", CUT, [word])
    for more, (dx, dy) in (('move = ["7 mm", "-3 mm"]', (7, -3)), ("turn = 0", (0, 0))):
        text = wall(1) + f'[[art]]\npanel = 1\nfile = "moved.pdf"\n{more}\n'
        (seen,) = run(tmp_path, text).observations.laid
        assert seen.laid.scale == pytest.approx(1.0)
        inset = 25  # the art size has a bleed of 25 mm round the cut
        got = [(x - inset - dx, y - inset - dy) for x, y in seen.words[0].quad]
        assert min(x for x, _ in got) == pytest.approx(min(x for x, _ in word.quad), abs=0.3)
        assert min(y for _, y in got) == pytest.approx(min(y for _, y in word.quad), abs=0.3)


def test_hidden_files_are_left_out(tmp_path: Path) -> None:
    art_made.pdf(tmp_path / "art" / "sub" / "panel-1.pdf", ART, ground=(0, 0, *ART))
    (tmp_path / "art" / ".panel-1.pdf").write_bytes(b"x")
    (tmp_path / "art" / ".cache").mkdir()
    (tmp_path / "art" / ".cache" / "panel-1.pdf").write_bytes(b"x")
    done = run(tmp_path, wall(1))
    assert rules(done) == []
    assert list(done.observations.files) == ["sub/panel-1.pdf"]


def test_the_same_twice(tmp_path: Path) -> None:
    word = Lettering("forest", 20, 250, 60, 17)
    art_made.pdf(tmp_path / "art" / "panel-1.pdf", FRAME, [word], nested=True)
    first, second = run(tmp_path, wall(2)), run(tmp_path, wall(2))
    assert first.findings == second.findings
    assert first.not_examined == second.not_examined
    assert first.pictures == second.pictures


# an order full of bad files


def test_bad_files_in_one_order(tmp_path: Path) -> None:
    """A PDF cut in half, a PNG that calls itself a PDF, an empty file, a locked PDF, a bomb, a PNG of 50,000 × 50,000 and a
    name with umlauts, among good panels, through the program itself."""
    art = tmp_path / "art"
    art.mkdir()
    for maker in (bad_art.empty, bad_art.cut_pdf, bad_art.locked_pdf, bad_art.misnamed_png, bad_art.huge_png):
        maker(art)
    bad_art.bomb_pdf(art)
    umlauts = "Größe der Tür – 'neu' (2).pdf"
    art_made.pdf(art / umlauts, ART, ground=(0, 0, *ART))
    art_made.pdf(art / "panel-8.pdf", ART, [reaching(Lettering("forest", 300, 250, 60), RIGHT + PAST)], (0, 0, *ART))
    art_made.pdf(art / "panel-9.pdf", ART, ground=(0, 0, *ART))
    text = wall(9) + f'[[art]]\npanel = 6\nfile = "{umlauts}"\n'
    (tmp_path / "order.toml").write_text(text + QUIET, encoding="utf-8")
    before = digests(tmp_path)
    done = subprocess.run(
        [Path(sys.executable).with_name("artgen"), "check", tmp_path, "--json", "-"],
        capture_output=True,
        env=quick.environment(PYTHONWARNINGS="error"),
        timeout=120,
    )
    assert done.returncode == 1
    assert b"Traceback" not in done.stderr
    assert done.stderr == b""
    found = json.loads(done.stdout)["findings"]
    by_panel: dict[int, set[tuple[str, str]]] = {n: set() for n in range(1, 10)}
    for finding in found:
        by_panel[finding["panel"]].add((finding["rule"], finding["severity"]))
        assert str(tmp_path) not in json.dumps(finding)  # no machine's paths
    # what runs out of memory inside a library ends as "damaged, or needs more than …"
    bomb = by_panel.pop(5)
    assert len(bomb) == 1
    assert bomb < {("file-over-limit", "error"), ("file-damaged", "error")}
    assert by_panel == {
        1: {("file-damaged", "error")},
        2: {("file-damaged", "error")},
        3: {("file-locked", "error")},
        4: {("file-misnamed", "note"), ("page-wrong-size", "error")},
        6: set(),
        7: {("file-over-limit", "error")},
        8: {("text-in-tuck", "error")},
        9: set(),
    }
    assert digests(tmp_path) == before  # every client file as it was, and nothing beside them


def digests(folder: Path) -> dict[str, str]:
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in folder.rglob("*")
        if path.is_file()
    }

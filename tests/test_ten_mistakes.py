"""The ten commonest mistakes of client files, each made on art that is otherwise good, and the report read as a person does.

The order: a wall of two bays, 1200 and 900 mm wide, 1000 mm high. With the worked example's givens art sizes are 1276 × 1076 and
976 × 1076 mm, fold lines at 44, what shows 1188 and 888 × 988 mm.
"""

import re
from collections.abc import Callable
from pathlib import Path

import art_made  # registers the font
import pikepdf
import pytest
from click.testing import CliRunner
from PIL import Image
from reportlab.lib.colors import CMYKColor, CMYKColorSep
from reportlab.pdfgen.canvas import Canvas

from artgen.cli import main

MM = art_made.PT
WALL = '[[structure]]\nname = "wall"\nkind = "wall"\nheight = "1000 mm"\nbays = ["1200 mm", "900 mm"]\n'
ORDER = f'schema = 1\nname = "Moor"\n{WALL}'
SIZES = {1: (1276.0, 1076.0), 2: (976.0, 1076.0)}
MOSS, SAND, RUST = CMYKColor(0.6, 0.3, 0.8, 0.2), CMYKColor(0.05, 0.08, 0.2, 0), CMYKColor(0.2, 0.7, 0.8, 0.1)
Draw = Callable[[Canvas], None]


def art(
    file: Path,
    size: tuple[float, float],
    *more: Draw,
    scale: float = 10.0,
    ground: tuple[float, float, float, float] | None = None,
    words: str = "OPEN ALL YEAR",
    at: tuple[float, float] | None = None,
    font: str = "Sans",
    colour: CMYKColor = MOSS,
    turn: int = 0,
    pages: int = 1,
) -> Path:
    """Good art unless asked otherwise: process colours, embedded font, a painted ground to the page's edge, a headline in
    the safe area. Drawn in mm at full size."""
    file.parent.mkdir(parents=True, exist_ok=True)
    w, h = size
    page = (h, w) if turn % 180 else (w, h)
    canvas = Canvas(str(file), pagesize=(page[0] * MM / scale, page[1] * MM / scale), invariant=1)
    for _ in range(pages):
        canvas.scale(MM / scale, MM / scale)
        canvas.translate({90: h, 180: w}.get(turn, 0), {180: h, 270: w}.get(turn, 0))
        canvas.rotate(turn)
        canvas.setFillColor(colour)
        canvas.rect(*(ground or (0, 0, w, h)), stroke=0, fill=1)
        canvas.setFillColor(RUST)
        canvas.circle(w / 2, h / 3, 150, stroke=0, fill=1)
        canvas.setFillColor(SAND)
        canvas.setFont(font, 90)
        canvas.drawString(*(at or (w / 2 - 300, 750)), words)
        for draw in more:
            draw(canvas)
        canvas.showPage()
    canvas.save()
    return file


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """An order with good art for both panels; a test spoils panel 1's."""
    (tmp_path / "order.toml").write_text(ORDER, encoding="utf-8")
    for number, size in SIZES.items():
        art(tmp_path / "art" / f"panel-{number}.pdf", size, words="OPEN ALL YEAR" if number == 1 else "COME IN")
    return tmp_path


def report(folder: Path) -> str:
    """What the terminal shows, its lines joined."""
    result = CliRunner().invoke(main, ["check", str(folder)])
    assert result.exit_code in (0, 1), result.output
    return " ".join(result.output.split())


def counts(text: str) -> tuple[int, int]:
    """Errors and warnings that the report counts."""
    match = re.search(r"Errors: (\d+)\. Warnings: (\d+)\.", text)
    assert match
    return int(match[1]), int(match[2])


def says(text: str, *sentences: str) -> None:
    for sentence in sentences:
        assert sentence in text, text


def test_good_art_has_neither_errors_nor_warnings(folder: Path) -> None:
    text = report(folder)
    assert counts(text) == (0, 0), text
    assert "Notes: 0" in text, text


def test_1_built_at_frame_size(folder: Path) -> None:
    art(folder / "art" / "panel-1.pdf", (1200, 1000))
    text = report(folder)
    assert counts(text) == (1, 0)
    says(
        text,
        "The page is as large as the frame (1200 × 1000 mm at full size), not as the artwork must be (1276 × 1076 mm): it is "
        "38 mm a side short, so there is no bleed.",
        "Make the page 1276 × 1076 mm at full size, keep everything where it is, and let the ground run out to the new edges.",
    )


def test_2_wrong_proportion(folder: Path) -> None:
    art(folder / "art" / "panel-1.pdf", (1276, 900))
    text = report(folder)
    assert counts(text)[0] == 1
    says(
        text,
        "which is no size of panel 1 at any usual scale; 1276 × 1076 mm at full size is wanted",
        "Make it again on the template.",
    )
    says(text, "scale 119.6 % fills the page and cuts 249.5 mm of the width")  # 1076 / 900; 1276 × 1.19556 − 1276


def test_2_an_old_template(folder: Path) -> None:
    """Made for a frame with 10 mm bleed: 30 mm less each way."""
    art(folder / "art" / "panel-1.pdf", (1246, 1046))
    text = report(folder)
    assert counts(text)[0] == 1
    says(text, "The page is 124.6 × 104.6 mm, which is no size of panel 1")
    says(
        text, "taken as a 1:10 page, scale 102.9 % fills the page and cuts 5."
    )  # 1076 / 1046; 1246 × 1.02868 − 1276 = 5.7


def test_3_no_bleed(folder: Path) -> None:
    """Made at what shows: 1188 × 988."""
    art(folder / "art" / "panel-1.pdf", (1188, 988))
    text = report(folder)
    assert counts(text) == (1, 0)
    says(text, "The paint ends 0 mm past the edge of what shows of panel 1 (on every side); 44 mm are needed.")
    says(text, "Let the ground run out to the page edge of the template on every side.")


def test_3_a_ground_that_stops_at_the_cut(folder: Path) -> None:
    """19 mm past the fold line, where the page goes to 44."""
    art(folder / "art" / "panel-1.pdf", SIZES[1], ground=(25, 25, 1226, 1026))
    text = report(folder)
    assert counts(text) == (0, 1)
    says(text, "the paint of panel 1 stops 19", "past the edge of what shows (on every side)", "44 mm are needed")
    says(text, "Let the ground run out to the page edge of the template on every side.")


def test_4_text_at_an_edge(folder: Path) -> None:
    """The headline begins at 30, 14 mm past the fold line less what its first letter leaves free."""
    art(folder / "art" / "panel-1.pdf", SIZES[1], at=(30, 750))
    text = report(folder)
    assert counts(text) == (1, 0)
    says(text, "“OPEN” runs over the edge of what shows of panel 1, by", "it is cut off there.")
    says(text, "Move the whole line “OPEN ALL YEAR”", "mm right at full size (", "on the 1:10 page)")


def test_4_text_over_a_joint(folder: Path) -> None:
    """One picture over both bays; the joint stands at 44 + 1188, with 12 mm of frame."""
    for number in SIZES:
        (folder / "art" / f"panel-{number}.pdf").unlink()
    (folder / "order.toml").write_text(ORDER + '[[wrap]]\npanels = [1, 2]\nfile = "wall.pdf"\n', encoding="utf-8")
    wide = 44 + 1188 + 12 + 888 + 44
    art(folder / "art" / "wall.pdf", (wide, 1076), at=(800, 750))
    text = report(folder)
    assert counts(text)[0] == 1
    says(
        text,
        "“YEAR” runs over the join between panels 1 and 2, by",
        "Move the whole line “OPEN ALL YEAR”",
        "mm left at full size",
    )


def test_4_text_over_a_seam(folder: Path) -> None:
    """On a roll of 1600, 1580 printable, a wall of 1900 has a seam in its middle, at 25 + 1926 / 2."""
    text = ORDER.replace(
        'bays = ["1200 mm", "900 mm"]', 'width = "1900 mm"\nfabric = "brushed-knit"\nroll = "narrow-1600"'
    )
    (folder / "order.toml").write_text(text, encoding="utf-8")
    (folder / "art" / "panel-2.pdf").unlink()
    art(folder / "art" / "panel-1.pdf", (1976, 1076), at=(700, 750))
    said = report(folder)
    assert counts(said)[0] == 1
    says(
        said,
        "stands over the sewn join of panel 1, by",
        "Or ask for the join elsewhere: it stands 988 mm from the start",
    )


def logo(x: float, y: float) -> Draw:
    """A disc of 120 mm with a smaller one and a bar in it, its middle at (x, y)."""

    def draw(canvas: Canvas) -> None:
        for colour, radius in ((SAND, 60), (MOSS, 40), (SAND, 25)):
            canvas.setFillColor(colour)
            canvas.circle(x, y, radius, stroke=0, fill=1)
        canvas.rect(x - 55, y - 8, 110, 16, stroke=0, fill=1)

    return draw


def graphic_by(text: str, where: str) -> float:
    """By how many mm the report says that the graphic is wrong; it has the way out too."""
    match = re.search(rf"A graphic of about 12\d × 12\d mm {where}, by about (\d+) mm", text)
    assert match, text
    says(text, "If it must stay whole: Move it", "with what it would run into")
    return float(match[1])


def test_4_a_logo_at_an_edge(folder: Path) -> None:
    """The right fold line stands at 44 + 1188; the logo's right rim 20 mm past it."""
    art(folder / "art" / "panel-1.pdf", SIZES[1], logo(1232 + 20 - 60, 300))
    text = report(folder)
    assert counts(text) == (0, 0)
    assert graphic_by(text, "runs over the edge of what shows of panel 1") == pytest.approx(20, abs=6)


def test_4_a_logo_over_a_joint(folder: Path) -> None:
    """Its middle 10 mm left of the joint's: the rim 60 - 10 - 6 mm past the joint's 12 mm of frame."""
    for number in SIZES:
        (folder / "art" / f"panel-{number}.pdf").unlink()
    (folder / "order.toml").write_text(ORDER + '[[wrap]]\npanels = [1, 2]\nfile = "wall.pdf"\n', encoding="utf-8")
    wide = 44 + 1188 + 12 + 888 + 44
    art(folder / "art" / "wall.pdf", (wide, 1076), logo(1232 + 6 - 10, 800), at=(300, 750))
    text = report(folder)
    assert counts(text) == (0, 0)
    assert graphic_by(text, "runs over the join between panels 1 and 2") == pytest.approx(44, abs=6)


def test_4_a_logo_over_a_seam(folder: Path) -> None:
    text = ORDER.replace(
        'bays = ["1200 mm", "900 mm"]', 'width = "1900 mm"\nfabric = "brushed-knit"\nroll = "narrow-1600"'
    )
    (folder / "order.toml").write_text(text, encoding="utf-8")
    (folder / "art" / "panel-2.pdf").unlink()
    art(folder / "art" / "panel-1.pdf", (1976, 1076), logo(988 - 20, 850), at=(1100, 750))
    said = report(folder)
    assert counts(said) == (0, 0)
    assert graphic_by(said, "stands over the sewn join of panel 1") == pytest.approx(40, abs=6)


def test_5_a_web_image_blown_up(folder: Path) -> None:
    """400 × 300 pixels over 800 × 600 mm: 12.7 pixels an inch; 60 an inch are 1,890 across."""
    picture = folder / "heron.jpg"
    Image.effect_noise((400, 300), 60).convert("CMYK").save(picture)
    art(folder / "art" / "panel-1.pdf", SIZES[1], lambda canvas: canvas.drawImage(str(picture), 200, 100, 800, 600))
    text = report(folder)
    assert counts(text) == (1, 0)
    says(text, "The image of 800 × 600 mm at full size has 12 pixels an inch; readers 3 m away can tell 60.")
    says(text, "It needs 1,890 pixels across, has 400. Send it with more pixels, or place it at 21 % of its size.")


def test_6_a_font_missing(folder: Path) -> None:
    art(folder / "art" / "panel-1.pdf", SIZES[1], font="Helvetica")
    text = report(folder)
    assert counts(text) == (1, 0)
    says(text, "3 words are set in a font that is not in the file (Helvetica), “OPEN” first of all.")
    says(text, "Save it anew with all fonts embedded, or turn the text to outlines.")


def test_6_a_link_missing(folder: Path) -> None:
    (folder / "art" / "panel-1.pdf").unlink()
    (folder / "art" / "panel-1.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="127.6mm" height="107.6mm" '
        'viewBox="0 0 1276 1076"><rect width="1276" height="1076" fill="#486b3c"/>'
        '<image xlink:href="../links/heron.jpg" x="200" y="200" width="400" height="300"/></svg>',
        encoding="utf-8",
    )
    text = report(folder)
    assert counts(text) == (1, 0)
    says(
        text,
        "The file refers to what did not come with it: ../links/heron.jpg.",
        "Embed all images and fonts when saving",
    )


def test_7_guides_left_in(folder: Path) -> None:
    """The art under the template's own page, whose guide layers nobody switched off."""
    assert CliRunner().invoke(main, ["template", str(folder), "--as", "pdf", "--scale", "1:10"]).exit_code == 0
    made = folder / "art" / "panel-1.pdf"
    with pikepdf.open(made) as page, pikepdf.open(folder / "templates" / "panel-1.pdf") as template:
        template.pages[0].add_underlay(page.pages[0])
        template.save(folder / "both.pdf")
    (folder / "both.pdf").replace(made)
    text = report(folder)
    assert counts(text)[0] == 1
    says(text, "The template's guides are still in the artwork of panel 1", "Hide or delete these layers")


def test_7_marks_left_in(folder: Path) -> None:
    """Crop marks of 45 mm at full size, 60 mm in from the page's edges."""

    def marks(canvas: Canvas) -> None:
        canvas.setStrokeColor(CMYKColor(0, 0, 0, 1))
        canvas.setLineWidth(2.5)
        w, h = SIZES[1]
        for x in (60, w - 60):
            for y, to in ((5, 50), (h - 5, h - 50)):
                canvas.line(x, y, x, to)
        for y in (60, h - 60):
            for x, to in ((5, 50), (w - 5, w - 50)):
                canvas.line(x, y, to, y)

    art(folder / "art" / "panel-1.pdf", SIZES[1], marks, colour=CMYKColor(0.05, 0.05, 0.1, 0))
    says(report(folder), "There are crop marks inside the artwork of panel 1", "without printers' marks")


def test_8_the_wrong_panel(folder: Path) -> None:
    art(folder / "art" / "panel-1.pdf", SIZES[2])
    text = report(folder)
    assert counts(text)[0] == 1
    says(
        text,
        "no size of panel 1 at any usual scale, but just right for panel 2.",
        "Look whether two files were mixed up",
    )


def test_8_two_versions(folder: Path) -> None:
    art(folder / "art" / "panel-1_v2.pdf", SIZES[1])
    text = report(folder)
    assert counts(text) == (1, 0)
    says(
        text,
        "More than one file claims panel 1: panel-1.pdf, panel-1_v2.pdf.",
        "Keep the one that counts, or name it in the order.",
    )


def test_8_a_number_misread(folder: Path) -> None:
    (folder / "art" / "panel-1.pdf").rename(folder / "art" / "panel-7.pdf")
    text = report(folder)
    assert counts(text) == (1, 0)
    says(text, "There is no artwork for panel 1.", "No panel takes panel-7.pdf.")


def test_8_the_same_file_twice(folder: Path) -> None:
    text = ORDER.replace('"900 mm"', '"1200 mm"')
    (folder / "order.toml").write_text(text, encoding="utf-8")
    art(folder / "art" / "panel-2.pdf", SIZES[1])
    said = report(folder)
    assert counts(said) == (0, 0)
    says(said, "The same picture is on panels 1 and 2: panel-1.pdf, panel-2.pdf.")


def test_9_rgb_without_a_profile(folder: Path) -> None:
    def rgb(canvas: Canvas) -> None:
        canvas.setFillColorRGB(0.3, 0.5, 0.2)
        canvas.circle(900, 300, 100, stroke=0, fill=1)

    art(folder / "art" / "panel-1.pdf", SIZES[1], rgb)
    text = report(folder)
    assert counts(text) == (0, 1)
    says(text, "The file has RGB colours without a colour profile, so what they look like is a guess.")


def test_9_named_inks(folder: Path) -> None:
    def spot(canvas: Canvas) -> None:
        canvas.setFillColor(CMYKColorSep(0.6, 0.2, 0.9, 0.1, spotName="Bog moss 12 C"))
        canvas.circle(900, 300, 100, stroke=0, fill=1)

    art(folder / "art" / "panel-1.pdf", SIZES[1], spot)
    text = report(folder)
    assert counts(text) == (0, 0)
    says(text, "The file paints with named inks: Bog moss 12 C.")
    (folder / "order.toml").write_text(ORDER + '[checks.spot-colour]\nallowed = ["Rust 3"]\n', encoding="utf-8")
    text = report(folder)
    assert counts(text) == (0, 1)
    says(text, "The file paints with named inks that the order does not allow: Bog moss 12 C.")


def test_9_weak_black(folder: Path) -> None:
    """600 × 500 mm of black ink alone: 3,000 cm²."""

    def black(canvas: Canvas) -> None:
        canvas.setFillColor(CMYKColor(0, 0, 0, 1))
        canvas.rect(300, 100, 600, 500, stroke=0, fill=1)

    art(folder / "art" / "panel-1.pdf", SIZES[1], black)
    text = report(folder)
    assert counts(text) == (0, 0)
    says(text, "cm² of panel 1 are filled with black ink alone, which looks grey on cloth.", "black of several inks")


def test_9_white_that_overprints(folder: Path) -> None:
    def white(canvas: Canvas) -> None:
        canvas.setFillColor(CMYKColor(0, 0, 0, 0))
        canvas.setFillOverprint(True)
        canvas.rect(300, 200, 200, 100, stroke=0, fill=1)

    art(folder / "art" / "panel-1.pdf", SIZES[1], white)
    text = report(folder)
    assert counts(text) == (1, 0)
    says(text, "Something white is set to overprint: a screen shows it, the print does not.")


def test_10_a_page_on_its_side(folder: Path) -> None:
    """Drawn turned clockwise: laid anticlockwise by 90° it is upright again."""
    art(folder / "art" / "panel-1.pdf", SIZES[1], turn=270)
    text = report(folder)
    assert counts(text) == (0, 0)
    says(text, "The page lies on its side; it was turned by 90° for panel 1.")


def test_10_a_page_on_its_side_the_other_way(folder: Path) -> None:
    art(folder / "art" / "panel-1.pdf", SIZES[1], turn=90)
    text = report(folder)
    assert counts(text) == (0, 1)
    says(text, "The words of panel 1 run upside down", "write turn = 270 for this file in the order")
    (folder / "order.toml").write_text(
        ORDER + '[[art]]\npanel = 1\nfile = "panel-1.pdf"\nturn = 270\n', encoding="utf-8"
    )
    assert counts(report(folder)) == (0, 0)


def test_10_a_page_upside_down(folder: Path) -> None:
    art(folder / "art" / "panel-1.pdf", SIZES[1], turn=180)
    text = report(folder)
    assert counts(text) == (0, 1)
    says(
        text,
        "The words of panel 1 run upside down: 11 of 11 letters stand on their heads.",
        "Turn the page by 180°",
    )


def test_10_several_pages(folder: Path) -> None:
    art(folder / "art" / "panel-1.pdf", SIZES[1], pages=3)
    text = report(folder)
    assert counts(text) == (0, 0)
    says(text, "panel-1.pdf has 3 pages, and no panel takes page 2, 3.", "name the file and the page in the order")

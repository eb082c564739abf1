"""Which words show and why others don't, on pages built so that the answer is known; files are read in confined children."""

import io
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pikepdf
import pytest
from PIL import Image
from reportlab.lib.colors import CMYKColor, Color
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

from artgen.art import read
from artgen.art.facts import FileFacts, PageFacts
from artgen.art.tasks import read_task
from artgen.placing import Claim, Laid, Target
from artgen.survey import placed_words


def page_of(
    folder: Path, draw: Callable[[Canvas], None], change: Callable[[pikepdf.Pdf], None] | None = None
) -> PageFacts:
    """Facts of a page of 600 × 600 pt."""
    data = io.BytesIO()
    canvas = Canvas(data, pagesize=(600, 600), invariant=1)
    canvas.setFont("Helvetica", 40)
    draw(canvas)
    canvas.showPage()
    canvas.save()
    file = folder / "panel-1.pdf"
    with pikepdf.open(io.BytesIO(data.getvalue())) as pdf:
        if change is not None:
            change(pdf)
        pdf.save(file)
    facts = read(file)
    assert isinstance(facts, FileFacts), facts
    return facts.pages[0]


def unseen(page: PageFacts) -> dict[str, str]:
    assert page.not_seen == ()
    return {word.text: word.unseen for word in page.words}


def say(canvas: Canvas, text: str, x: float = 100, y: float = 300, **fill: float) -> None:
    canvas.saveState()
    canvas.setFillColor(
        Color(fill.get("red", 0), fill.get("green", 0), fill.get("blue", 0), alpha=fill.get("alpha", 1))
    )
    canvas.drawString(x, y, text)
    canvas.restoreState()


def box(canvas: Canvas, grey: float, x: float = 50, y: float = 250, wide: float = 400, high: float = 150) -> None:
    canvas.setFillGray(grey)
    canvas.rect(x, y, wide, high, stroke=0, fill=1)


def photo(seed: int = 3) -> ImageReader:
    """Noise of every brightness, as a photograph of moss has it."""
    noise = np.random.default_rng(seed).integers(0, 256, (200, 200, 3)).astype(np.uint8)
    return ImageReader(Image.fromarray(noise))


def test_over_and_under_a_filled_rectangle(tmp_path: Path) -> None:
    def draw(canvas: Canvas) -> None:
        say(canvas, "under")
        box(canvas, 0.8)
        say(canvas, "over", y=350)

    assert unseen(page_of(tmp_path, draw)) == {"under": "covered", "over": ""}


def test_under_an_opaque_image_and_on_it(tmp_path: Path) -> None:
    def draw(canvas: Canvas) -> None:
        say(canvas, "under")
        canvas.drawImage(photo(), 50, 200, 400, 250)
        say(canvas, "moss", y=380, red=1, green=1, blue=1)

    assert unseen(page_of(tmp_path, draw)) == {"under": "covered", "moss": ""}


def test_half_covered_shows(tmp_path: Path) -> None:
    def draw(canvas: Canvas) -> None:
        say(canvas, "peat")
        box(canvas, 0.5, x=140)

    assert unseen(page_of(tmp_path, draw)) == {"peat": ""}


def test_the_colour_of_its_ground(tmp_path: Path) -> None:
    def draw(canvas: Canvas) -> None:
        say(canvas, "white", y=500, red=1, green=1, blue=1)  # on bare cloth
        box(canvas, 0.4)
        say(canvas, "same", red=0.4, green=0.4, blue=0.4)
        say(canvas, "near", y=350, red=0.45, green=0.45, blue=0.45)  # 13 of 255 apart

    assert unseen(page_of(tmp_path, draw)) == {"white": "ground", "same": "ground", "near": ""}


def test_half_transparent_shows_and_clear_does_not(tmp_path: Path) -> None:
    def draw(canvas: Canvas) -> None:
        say(canvas, "half", alpha=0.5)
        say(canvas, "clear", y=400, alpha=0)

    assert unseen(page_of(tmp_path, draw)) == {"half": "", "clear": "invisible"}


def test_invisible_and_clipping_modes(tmp_path: Path) -> None:
    """Mode 3 paints nothing. Mode 7 only cuts: it shows where something is painted through it."""

    def draw(canvas: Canvas) -> None:
        for mode, y, word in ((3, 500, "scan"), (7, 400, "bare"), (7, 300, "filled")):
            canvas.saveState()
            line = canvas.beginText(100, y)
            line.setTextRenderMode(mode)
            line.textOut(word)
            canvas.drawText(line)
            if word == "filled":
                canvas.drawImage(photo(), 50, 250, 300, 150)
            canvas.restoreState()

    assert unseen(page_of(tmp_path, draw)) == {"scan": "invisible", "bare": "invisible", "filled": ""}


def test_clipped_away_and_clipped_in_part(tmp_path: Path) -> None:
    def draw(canvas: Canvas) -> None:
        for y, word, wide in ((400, "gone", 20), (300, "part", 100)):
            canvas.saveState()
            path = canvas.beginPath()
            path.rect(60, y - 20, wide, 80)
            canvas.clipPath(path, stroke=0)
            say(canvas, word, y=y)
            canvas.restoreState()

    assert unseen(page_of(tmp_path, draw)) == {"gone": "clipped", "part": ""}


@pytest.mark.parametrize("rotate", [0, 90, 180, 270])
def test_outside_the_crop_box_and_turned_pages(tmp_path: Path, rotate: int) -> None:
    """The page is turned and cropped to x ≥ 80, y ≥ 200; the words themselves lean at 30°."""

    def draw(canvas: Canvas) -> None:
        say(canvas, "off", y=20)
        canvas.saveState()
        canvas.translate(200, 300)
        canvas.rotate(30)
        say(canvas, "under", 0, 0)
        canvas.setFillGray(0.7)
        canvas.rect(-10, -20, 120, 70, stroke=0, fill=1)
        say(canvas, "over", 0, 80)
        canvas.restoreState()

    def change(pdf: pikepdf.Pdf) -> None:
        pdf.pages[0].CropBox, pdf.pages[0].Rotate = [80, 200, 600, 600], rotate

    assert unseen(page_of(tmp_path, draw, change)) == {"off": "outside-page", "under": "covered", "over": ""}


def test_in_nested_forms(tmp_path: Path) -> None:
    """A form in a form: one word is covered inside it, one by what the page paints over it, one shows."""

    def draw(canvas: Canvas) -> None:
        canvas.beginForm("inner")
        canvas.setFont("Helvetica", 40)
        say(canvas, "inside", 10, 20)
        box(canvas, 0.6, 5, 8, 200, 50)
        say(canvas, "shown", 10, 80)
        say(canvas, "later", 10, 140)
        canvas.endForm()
        canvas.beginForm("outer")
        canvas.rotate(20)
        canvas.doForm("inner")
        canvas.endForm()
        canvas.translate(200, 200)
        canvas.doForm("outer")
        canvas.rotate(20)
        box(canvas, 0.9, 5, 128, 200, 50)

    assert unseen(page_of(tmp_path, draw)) == {"inside": "covered", "shown": "", "later": "covered"}


def layered(pdf: pikepdf.Pdf, form_too: bool = False) -> None:
    """Names used in the page's content: /On, /Off, and /Both, shown only while Off is (a membership dictionary)."""
    made = {name: pdf.make_indirect(pikepdf.Dictionary(Type=pikepdf.Name.OCG, Name=name)) for name in ("On", "Off")}
    made["Both"] = pdf.make_indirect(
        pikepdf.Dictionary(Type=pikepdf.Name.OCMD, OCGs=[made["On"], made["Off"]], P=pikepdf.Name.AllOn)
    )
    pdf.Root.OCProperties = pikepdf.Dictionary(
        OCGs=[made["On"], made["Off"]], D=pikepdf.Dictionary(OFF=[made["Off"]], Order=[made["On"], made["Off"]])
    )
    pdf.pages[0].Resources.Properties = pikepdf.Dictionary({f"/{name}": layer for name, layer in made.items()})
    if form_too:
        for form in pdf.pages[0].Resources.XObject.values():
            form.OC = made["Off"]


def test_on_layers(tmp_path: Path) -> None:
    def draw(canvas: Canvas) -> None:
        for y, layer in ((200, "On"), (300, "Off"), (400, "Both")):
            canvas._code.append(f"/OC /{layer} BDC")
            say(canvas, layer.lower(), y=y)
            canvas._code.append("EMC")

    page = page_of(tmp_path, draw, layered)
    assert unseen(page) == {"on": "", "off": "layer-off", "both": "layer-off"}
    assert {word.text: word.layer for word in page.words}["on"] == "On"


def test_a_form_on_a_layer_that_is_off(tmp_path: Path) -> None:
    """The form's own /OC entry hides it; its text bears no mark."""

    def draw(canvas: Canvas) -> None:
        canvas.beginForm("form", 0, 0, 300, 100)
        canvas.setFont("Helvetica", 40)
        say(canvas, "formed", 10, 10)
        canvas.endForm()
        canvas.translate(100, 300)
        canvas.doForm("form")
        say(canvas, "plain", 0, 100)

    page = page_of(tmp_path, draw, lambda pdf: layered(pdf, form_too=True))
    assert unseen(page) == {"formed": "layer-off", "plain": ""}


def test_under_another_word(tmp_path: Path) -> None:
    """A word painted under an image on which another word stands at the same place; and one word painted twice."""

    def draw(canvas: Canvas) -> None:
        say(canvas, "under")
        box(canvas, 0.9)
        say(canvas, "over")
        say(canvas, "twice", y=450)
        say(canvas, "twice", y=450)

    page = page_of(tmp_path, draw)
    assert [(word.text, word.unseen) for word in page.words if word.text != "twice"] == [
        ("under", "covered"),
        ("over", ""),
    ]
    assert any(word.unseen == "" for word in page.words if word.text == "twice")


def test_small_words_are_judged_in_closer_pictures(tmp_path: Path) -> None:
    """On a page with a headline of 300 pt, words of 2 pt are less than a pixel high in the page's own picture."""

    def draw(canvas: Canvas) -> None:
        for name in range(20):
            canvas.setFont("Helvetica", 40)
            say(canvas, f"head{name}", x=20, y=20 + 28 * name)
        canvas.setFont("Helvetica", 2)
        say(canvas, "tiny", 500, 300)
        say(canvas, "lost", 500, 320)
        box(canvas, 1, 490, 310, 100, 40)

    found = unseen(page_of(tmp_path, draw))
    assert found["lost"] == "covered"
    assert found["tiny"] == ""


def test_a_page_that_takes_too_long_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def draw(canvas: Canvas) -> None:
        say(canvas, "under")
        box(canvas, 0.8)
        for index in range(3000):
            canvas.line(0, index / 5, 600, 600 - index / 5)

    page_of(tmp_path, draw)
    monkeypatch.setattr("artgen.art.unseen.PAGE_SECONDS", 0.0)
    page = read_task(tmp_path / "panel-1.pdf", {}, tmp_path)["facts"]["pages"][0]
    assert page["words"]["unseen"] == [0]
    assert any("too long" in line for line in page["not_seen"])


def test_spot_white_on_black_shows(tmp_path: Path) -> None:
    def draw(canvas: Canvas) -> None:
        canvas.setFillColor(CMYKColor(0, 0, 0, 1))
        canvas.rect(0, 0, 600, 600, stroke=0, fill=1)
        say(canvas, "white", red=1, green=1, blue=1)

    assert unseen(page_of(tmp_path, draw)) == {"white": ""}


def test_words_that_do_not_show_are_not_placed(tmp_path: Path) -> None:
    def draw(canvas: Canvas) -> None:
        say(canvas, "under")
        box(canvas, 0.8)
        say(canvas, "over", y=350)

    page = page_of(tmp_path, draw)
    laid = Laid(Claim(Target((), ()), "panel-1.pdf", 1), page, (1, 0, 0, 1, 0, 0), 1.0, "art")
    assert [word.text for word in placed_words(laid)] == ["over"]


def test_off_the_page_is_said_only_of_what_would_show(tmp_path: Path) -> None:
    """Beside a page of 500 × 300 points: painted text, invisible text, and text on a layer that is off."""
    with pikepdf.new() as pdf:
        page = pdf.add_blank_page(page_size=(500, 300))
        helvetica = pikepdf.Dictionary(
            Type=pikepdf.Name.Font, Subtype=pikepdf.Name.Type1, BaseFont=pikepdf.Name.Helvetica
        )
        off = pdf.make_indirect(pikepdf.Dictionary(Type=pikepdf.Name.OCG, Name=pikepdf.String("other language")))
        pdf.Root.OCProperties = pikepdf.Dictionary(OCGs=[off], D=pikepdf.Dictionary(OFF=[off]))
        page.Resources = pikepdf.Dictionary(Font=pikepdf.Dictionary(F=helvetica), Properties=pikepdf.Dictionary(P=off))
        page.Contents = pdf.make_stream(
            b"BT /F 40 Tf 510 200 Td (Fair) Tj ET BT 3 Tr /F 40 Tf 510 100 Td (ghost) Tj ET"
            b" /OC /P BDC BT 0 Tr /F 40 Tf 510 20 Td (Markt) Tj ET EMC"
        )
        pdf.save(tmp_path / "page.pdf")
    facts = read(tmp_path / "page.pdf")
    assert isinstance(facts, FileFacts)
    told = {word.text: word.unseen for word in facts.pages[0].words}
    assert told == {"Fair": "outside-page", "ghost": "invisible", "Markt": "layer-off"}

"""The proof as a client gets it: read back with another library; what it must hold, and what it must not."""

import io
from collections import Counter
from functools import cache
from itertools import combinations
from pathlib import Path

import numpy as np
import pdfplumber
import pikepdf
import pytest
from cells import job_of_cells
from click.testing import CliRunner
from shapely import Polygon
from zoo import LOWER_CUBE, TOWER, TWO_SIDED_RUN, WEDGE, order

from artgen.checks import Finding, NotExamined, Observations
from artgen.checks.wording import MOST_WORDS, sentences
from artgen.cli import main
from artgen.drawing.marks import Text
from artgen.drawing.pieces import text_corners
from artgen.job import Job
from artgen.placing import Claims
from artgen.proof import Issue, judged, proof_paper, proof_pdf
from artgen.sizing import size_order
from artgen.structure.kinds import KINDS
from artgen.survey import Picture
from artgen.words import words

SAY = words("en")
BODY = """
number = "T-0042"
client = "Testers of Long Names, Limited and Partners of the Lower Valley"
date = "2031-05-06"
due = "2031-06-07"
[[structure]]
name = "Tower"
kind = "box"
lit = "inside"
width = "1000 mm"
depth = "800 mm"
height = "3300 mm"
[[structure.panel]]
panel = 5
blank = true
[[structure]]
name = "A wall with a name that is quite long"
kind = "wall"
width = "5600 mm"
height = "2500 mm"
fabric = "brushed-knit"
[[structure]]
name = "Drop"
kind = "hung-cube"
edge = "1500 mm"
[[wrap]]
panels = [1, 2, 3, 4]
file = "round.pdf"
"""
PANELS = 6 + 1 + 6
MISSING = 8


def picture(panel, longest=800):
    """Soft noise in colour, which packs badly: a picture as heavy as a photograph."""
    w, h = (max(p[i] for p in panel.art) for i in (0, 1))
    k = longest / max(w, h)
    rng = np.random.default_rng(panel.number)
    rows, columns = max(1, round(h * k)), max(1, round(w * k))
    rgb = rng.integers(60, 200, (rows, columns, 3), dtype=np.uint8)
    return Picture(columns, rows, rgb.tobytes())


def word(panel, x, y, rule="text-in-tuck", severity="error", say="", text="Sphagnum"):
    evidence = {"text": text, "depth_mm": 12.5, "panels": [panel], "move_on_page_mm": [33.0, 0.0], "scale": 1.0}
    return Finding(rule, severity, panel=panel, where=(x, y, 180.0, 60.0), evidence=evidence, say=say)


FINDINGS = (
    word(1, 20.0, 1500.0),
    word(1, 20.0, 1700.0),
    word(1, 20.0, 1590.0, "text-outside-safe", "warning", text="moss"),
    word(7, 2700.0, 1200.0, "text-outside-safe", "warning", text="heather"),
    word(9, 700.0, 700.0, "text-in-tuck", "note", "beyond", text="cotton grass"),
    Finding("art-missing", "error", panel=MISSING, evidence={"panels": [MISSING]}),
    Finding("art-extra", "note", file="letter.txt"),
    Finding("file-misnamed", "note", audience="shop", panel=2, file="x", evidence={"named": "PDF", "is": "TIFF"}),
)
NOT_EXAMINED = (NotExamined("flattened text", "this version finds live text only"),)


def judged_with(findings):
    made = order(BODY)
    sizing = size_order(made, KINDS)
    pictures = {p.number: picture(p) for p in sizing.panels if not p.blank and p.number != MISSING}
    return Job(made, sizing, Observations(sizing, Claims(()), {}, ()), findings, NOT_EXAMINED, pictures)


@cache
def job():
    return judged_with(FINDINGS)


@cache
def proof():
    return proof_pdf(job(), SAY, Issue("C"))


@cache
def pages():
    """The text of each page in the order in which it was written, white space left out."""
    with pdfplumber.open(io.BytesIO(proof())) as pdf:
        return ["".join(char["text"] for char in page.chars).replace(" ", "") for page in pdf.pages]


def squeezed(text):
    return "".join(text.split())


def page_of(number):
    (found,) = (text for text in pages() if text.startswith(f"Panel{number}:"))
    return found


def test_every_sheet_says_order_number_revision_and_how_many_there_are():
    # cover, table, all that was found, two structures laid flat on one sheet, a wrap, a page for each panel, limits, decision
    assert len(pages()) == 3 + 1 + 1 + PANELS + 2
    for n, text in enumerate(pages(), start=1):
        assert "T-0042" in text
        assert "Revision" + "C" in text.replace("Dateoforder", "")
        assert f"{n}of{len(pages())}" in text
    assert "RevisionC" in pages()[0]


def test_cover_counts_what_must_change_and_names_the_panels():
    text = pages()[0]
    # two tucked words of panel 1, each with its own way out; the missing art of panel 8 is told once, on its own line
    assert "2thingsmustchangebeforeprinting:panel1No" in text
    assert "Noartworkyetforpanel8" in text
    assert "2thingstolookat:panels1and7" in text
    assert "2remarks" in text  # panel 9's, and the file that no panel takes; what is for the shop alone stays there
    for fact in ("Testpiece", "TestersofLongNames", "2031-05-06", "2031-06-07"):
        assert fact in text


def test_table_tells_the_state_of_every_panel():
    with pdfplumber.open(io.BytesIO(proof())) as pdf:
        lines = pdf.pages[1].extract_text().splitlines()
    states = {1: "must change", 2: "ready", 5: "plain cloth", 7: "please look at", 8: "no artwork yet", 9: "ready"}
    for number in range(1, PANELS + 1):
        (row,) = (line for line in lines if line.split(" ")[0] == str(number))
        assert row.endswith(states.get(number, "ready"))
    assert any("988 × 3288" in line and line.startswith("1 ") for line in lines)  # 1000 − 2 × 6, 3300 − 2 × 6


def test_all_that_was_found_stands_on_one_list_each_cause_once():
    (text,) = (text for text in pages() if text.startswith(squeezed(SAY("proof.found"))))
    must, rest = text.split(squeezed(SAY("proof.found.warning")), 1)
    look, noted = rest.split(squeezed(SAY("proof.found.note")), 1)
    assert must.count("Sphagnum") == 2 and "Thereisnoartworkforpanel8" in must
    assert "moss" in look and "heather" in look and "heather" not in must + noted
    assert "cottongrass" in noted and "letter.txt" in noted
    assert "file-misnamed" not in text and text.count("letter.txt") == 1  # what is for the shop alone stays there


@pytest.mark.parametrize("finding", [f for f in FINDINGS if f.panel and f.audience == "client"][2:])
def test_each_findings_sentences_stand_on_its_panels_page(finding):
    text = page_of(finding.panel)
    said = sentences(finding, SAY)
    assert squeezed(said.message) in text
    assert squeezed(said.advice) in text
    assert squeezed(SAY(f"proof.weight.{finding.severity}")) in text


def test_every_word_is_said_with_its_own_way_out():
    assert page_of(1).count("runsovertheedge") == 2


def test_many_words_of_one_kind_are_named_once_and_counted():
    many = MOST_WORDS + 1
    made = judged_with(tuple(word(1, 20.0, 300.0 + 200.0 * i) for i in range(many)))
    (item,) = judged.items(made, 1)
    assert len(item.members) == many
    assert judged.summary(made).must_change == 1
    (few,) = {len(judged.items(judged_with(tuple(word(1, 20.0, 300.0 + 200.0 * i) for i in range(MOST_WORDS))), 1))}
    assert few == MOST_WORDS


def test_clean_blank_and_unseen_panels_say_so():
    assert squeezed(SAY("proof.items.none")) in page_of(2)
    assert squeezed(SAY("proof.items.blank")) in page_of(5)
    assert squeezed(SAY("proof.items.none")) not in page_of(8)
    unseen = Job(job().order, job().sizing, job().observations, (), NOT_EXAMINED, {})
    assert judged.state(unseen, job().sizing.panel(1)) == "not-shown"


def test_client_reads_no_word_of_the_trade():
    for text in pages():
        for word_ in ("foldline", "tuck", "turn-in", "setback", "reveal", "sewnframe"):
            assert word_ not in text.lower()


def test_limits_cautions_and_decision():
    limits, decision = pages()[-2:]
    assert "flattenedtext" in limits
    for key, name in (("hung", "Drop"), ("tall", "Tower,Awallwithanamethatisquitelong"), ("lit", "Tower")):
        assert squeezed(SAY(f"proof.caution.{key}", names=name)) in limits
    for key in ("approved", "noted", "redo"):
        assert squeezed(SAY(f"proof.box.{key}.text")) in decision
    assert "doesnotreleaseprinting" in decision
    assert squeezed(SAY("proof.decision.open", n=2)) in decision
    for key in ("name", "date", "sign"):
        assert squeezed(SAY(f"proof.decision.{key}")) in decision
    assert "1234567891011" in decision  # a tick for each panel


def test_same_job_same_bytes():
    assert proof_pdf(job(), SAY, Issue("C")) == proof()


def test_only_pixels_of_the_art_go_in_and_the_file_stays_small():
    assert len(proof()) <= 10_000_000
    with pikepdf.open(io.BytesIO(proof())) as pdf:
        assert not {"/AcroForm", "/OCProperties", "/Names", "/AA", "/OpenAction", "/Metadata"} & set(pdf.Root.keys())
        kinds = Counter(
            str(o.get("/Subtype")) for o in pdf.objects if isinstance(o, pikepdf.Stream) and "/Subtype" in o
        )
        assert set(kinds) <= {"/Image", "/XML", "/Type1C", "/CIDFontType0C", "/OpenType"}
        titles = [item.title for item in pdf.open_outline().root]
    assert len(titles) == len(pages())
    assert sum(title.startswith("Panel ") for title in titles) == PANELS


def many():
    """Thirty causes on one panel, from its foot to its head."""
    rules = ["text-in-tuck", "text-outside-safe", "text-crosses-seam"]
    evidence = {"depth_mm": 3.0, "panels": [1], "fits_at": 0.4, "seam_at_mm": 5.0, "seam_range_mm": [1.0, 9.0]}
    return judged_with(
        tuple(
            Finding(
                rules[i % 3],
                "error",
                panel=1,
                file=f"part-{i}.pdf",
                where=(40.0, 60.0 + 100.0 * i, 200.0, 60.0),
                evidence={"text": f"word{i}", **evidence},
            )
            for i in range(30)
        )
    )


def test_many_findings_run_on_to_further_sheets_and_none_is_lost():
    sheets = proof_paper(many(), SAY).pages()
    strings = " ".join(m.string for page in sheets for layer in page.layers for m in layer.marks if isinstance(m, Text))
    for i in range(30):
        assert f"“word{i}”" in strings
    assert any(page.title == "Panel 1, continued" for page in sheets)


def letter():
    """Structures of many kinds on Letter sheets, which are lower than A4."""
    return job_of_cells(
        '[defaults]\npaper = "letter"\n' + "".join((TOWER, TWO_SIDED_RUN, WEDGE, LOWER_CUBE)), FINDINGS[:2]
    )


@pytest.mark.parametrize("make", [job, many, letter])
def test_no_text_overlaps_another_or_leaves_its_page(make):
    for page in proof_paper(make(), SAY).pages():
        texts = [mark for layer in page.layers for mark in layer.marks if isinstance(mark, Text)]
        # a tenth of the size off each box: ascent and descent reach past most letters
        boxes = [(text, Polygon(text_corners(text)).buffer(-0.1 * text.size)) for text in texts]
        for text, box in boxes:
            x0, y0, x1, y1 = box.bounds
            assert x0 >= 5 and y0 >= 5 and x1 <= page.width - 5 and y1 <= page.height - 5, (page.title, text.string)
        for (a, first), (b, second) in combinations(boxes, 2):
            assert not first.intersects(second), (page.title, a.string, b.string)


@pytest.mark.parametrize("letter", ["W", "i", "a b ", "\u6ce5"])
def test_the_longest_names_do_not_stop_papers(tmp_path: Path, letter: str) -> None:
    """200 characters, the most that an order may hold, in every place that papers show."""
    name = (letter * 200)[:200]
    text = (
        f'schema = 1\nname = "{name}"\nnumber = "{name}"\nclient = "{name}"\n'
        f'[mail]\nto = "{name}"\nfrom = "{name}"\n'
        f'[[structure]]\nname = "{name}"\nkind = "wall"\nwidth = "600 mm"\nheight = "500 mm"\n'
    )
    (tmp_path / "order.toml").write_text(text, encoding="utf-8")
    for command in (["proof"], ["template", "--as", "svg,pdf"], ["size"]):
        result = CliRunner().invoke(main, [command[0], str(tmp_path), *command[1:]])
        assert result.exit_code == (1 if command == ["proof"] else 0), result.output  # no art: an error was found
    assert (tmp_path / "proofs" / "A" / "proof.pdf").read_bytes().startswith(b"%PDF-")

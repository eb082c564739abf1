"""Papers: every block read back from the PDF by a library that did not write it."""

import io
import itertools

import pdfplumber
import pytest

from artgen.drawing import inks
from artgen.drawing.marks import Path, Text
from artgen.drawing.paper import Paper
from artgen.drawing.pdf import write_pdf
from artgen.drawing.pieces import Rect, text_corners
from artgen.drawing.title_block import TitleBlock, title_block_marks
from artgen.drawing.typeset import set_paragraph

PT_TO_MM = 25.4 / 72
BLOCK = TitleBlock(
    "The display house",
    "Peat, the slow forest",
    "Proof for approval",
    "Proof",
    identification="2024-117-P",
    revision="B",
    date_of_issue="2024-05-14",
    creator="M. Alder",
)
LONG = "peat_front-view_FINAL_version-2_without-any-space-at-all-in-its-name_checked_and_sent_again.pdf"
KINDS = [
    pytest.param("a4", False, (210.0, 297.0), id="a4"),
    pytest.param("a4", True, (297.0, 210.0), id="a4-landscape"),
    pytest.param("letter", False, (8.5 * 25.4, 11 * 25.4), id="letter"),
    pytest.param("letter", True, (11 * 25.4, 8.5 * 25.4), id="letter-landscape"),
]


def full(sheet: str, landscape: bool) -> Paper:
    """A paper with every kind of block, and words that hardly fit."""
    paper = Paper(BLOCK, sheet=sheet, landscape=landscape)  # type: ignore[arg-type]
    paper.heading("Peat, the slow forest " + "and its many words " * 8, 1)
    paper.paragraph("Please read it, look at every picture, and tell us your decision. " * 30)
    paper.key_values([("Order", "2024-117"), ("Display", LONG), ("A name " * 12, "x")], columns=2)
    paper.heading("Findings")
    paper.bullets(["Keep words 40 mm from the edge of what you see. " * 5, LONG, "short"])
    rows = [[f"R{number:02d}", "the word crosses the corner " * (number % 5), LONG] for number in range(40)]
    paper.table(["Row", "What was found", "File"], rows)
    paper.caption("All sizes in millimetres.")
    return paper


def texts(drawing_marks: tuple[object, ...]) -> list[Text]:
    return [mark for mark in drawing_marks if isinstance(mark, Text)]


@pytest.mark.parametrize(("sheet", "landscape", "size"), KINDS)
def test_no_text_outside_the_margins_and_none_over_the_title_block(
    sheet: str, landscape: bool, size: tuple[float, float]
) -> None:
    paper = full(sheet, landscape)
    pages = paper.pages()
    block_height = 22.5
    with pdfplumber.open(io.BytesIO(write_pdf(pages, title="Paper"))) as document:
        for page in document.pages:
            assert (float(page.width) * PT_TO_MM, float(page.height) * PT_TO_MM) == pytest.approx(size, abs=0.001)
            for char in page.chars:
                x0, x1 = char["x0"] * PT_TO_MM, char["x1"] * PT_TO_MM
                assert 20 - 0.01 <= x0 <= x1 <= size[0] - 15 + 0.01, char["text"]
                baseline = char["matrix"][5] * PT_TO_MM
                assert baseline >= 12
                in_block = baseline <= 12 + block_height
                assert in_block or baseline >= paper.body.y0
                assert baseline <= paper.body.y1


@pytest.mark.parametrize(("sheet", "landscape", "size"), KINDS[:2])
def test_lines_of_text_never_overlap(sheet: str, landscape: bool, size: tuple[float, float]) -> None:
    for page in full(sheet, landscape).pages():
        boxes = [text_corners(text) for text in texts(page.layers[0].marks) if text.string != "•"]
        spans = [(low[0], low[1], high[0], high[1]) for low, _, high, _ in boxes]
        for a, b in itertools.combinations(spans, 2):
            apart = a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] + 0.2 or b[3] <= a[1] + 0.2
            assert apart, (a, b)


def test_rows_are_whole_and_the_header_returns_on_every_sheet() -> None:
    paper = Paper(BLOCK)
    count = 60
    cell = " ".join(f"w{number}" for number in range(40))
    paper.table(["Row", "Words"], [[f"R{row:02d}", f"{cell} end{row:02d}"] for row in range(count)])
    pages = paper.pages()
    assert len(pages) > 2
    seen = []
    with pdfplumber.open(io.BytesIO(write_pdf(pages, title="Table"))) as document:
        for page in document.pages:
            words = [word["text"] for word in page.extract_words()]
            assert words[:2] == ["Row", "Words"]
            begun = [word[1:] for word in words if word.startswith("R") and word[1:].isdigit()]
            ended = [word[3:] for word in words if word.startswith("end")]
            assert begun == ended
            seen += begun
    assert seen == [f"{row:02d}" for row in range(count)]


def test_a_row_higher_than_a_sheet_goes_on_without_losing_a_word() -> None:
    paper = Paper(BLOCK)
    words = [f"w{number}" for number in range(3000)]
    paper.table(["Key", "Words"], [["k", " ".join(words)]])
    with pdfplumber.open(io.BytesIO(write_pdf(paper.pages(), title="Row"))) as document:
        found = [word["text"] for page in document.pages for word in page.extract_words()]
    assert [word for word in found if word[0] == "w" and word[1:].isdigit()] == words


def test_a_paragraph_keeps_two_lines_on_either_side_of_a_break() -> None:
    words = "one two three four five six seven eight nine ten eleven twelve " * 5
    for left in range(4, 40, 3):
        paper = Paper(BLOCK)
        paper.claim(paper.body.height - left)
        paper.paragraph(words)
        heights = [
            {text.at[1] for text in texts(page.layers[0].marks) if text.at[1] > paper.body.y0} for page in paper.pages()
        ]
        assert all(len(baselines) != 1 for baselines in heights), left
        assert sum(map(len, heights)) >= 3


def test_a_heading_never_ends_a_sheet() -> None:
    for left in range(2, 60, 4):
        paper = Paper(BLOCK)
        paper.claim(paper.body.height - left)
        paper.heading("Sizes")
        paper.paragraph("A line that follows. " * 30)
        for page in paper.pages():
            body = [text for text in texts(page.layers[0].marks) if text.at[1] > paper.body.y0]
            if any(text.string == "Sizes" for text in body):
                assert len(body) >= 3, left


def test_sheets_are_numbered_and_named() -> None:
    paper = Paper(BLOCK)
    paper.heading("First")
    paper.new_page()
    paper.new_page()
    paper.heading("Third")
    pages = paper.pages()
    assert [page.title for page in pages] == ["First", BLOCK.title, "Third"]
    for number, page in enumerate(pages, start=1):
        strings = {text.string for text in texts(page.layers[0].marks)}
        assert f"{number} of 3" in strings
        assert {BLOCK.owner, BLOCK.title, BLOCK.document_type, BLOCK.identification} <= strings
        assert {BLOCK.revision, BLOCK.date_of_issue, BLOCK.creator, BLOCK.supplementary_title} <= strings


@pytest.mark.parametrize("width", [175.0, 180.0, 120.0])
def test_title_block_holds_any_length_of_words(width: float) -> None:
    long = "a very long name that no field of a title block can hold in full, whatever its size " * 2
    box = Rect(20, 12, 20 + width, 12 + 22.5)
    block = TitleBlock(long, long, long, long, long, long, long, long, long)
    for text in texts(title_block_marks(block, 1, 1, box)):
        corners = text_corners(text)
        assert all(box.x0 <= x <= box.x1 and box.y0 <= y <= box.y1 for x, y in corners), text.string


def test_table_columns_follow_their_words() -> None:
    paper = Paper(BLOCK)
    paper.table(["No.", "Size", "Remark"], [["1", "1076 × 3376", "a long remark " * 20], ["2", "876 × 3376", ""]])
    strings = [text.string for text in texts(paper.pages()[0].layers[0].marks)]
    assert {"No.", "Size", "Remark", "1076 × 3376", "876 × 3376"} <= set(strings)  # short cells unbroken


def test_wrong_tables_and_boxes_say_what_is_wrong() -> None:
    paper = Paper(BLOCK)
    with pytest.raises(ValueError, match="row 2 of a table with 2 columns has 1 cells"):
        paper.table(["A", "B"], [["1", "2"], ["3"]])
    with pytest.raises(ValueError, match="needs 2 widths, got 3"):
        paper.table(["A", "B"], [["1", "2"]], widths=[1, 2, 3])
    with pytest.raises(ValueError, match="mm of height"):
        paper.claim(400)


def test_boxes_go_down_the_sheet_and_on_to_the_next() -> None:
    paper = Paper(BLOCK)
    first = paper.claim(100)
    assert first.y1 == paper.body.y1
    assert paper.room().y1 == first.y0
    paper.claim(100)
    third = paper.claim(100)
    assert third.y1 == paper.body.y1
    paper.place([Path((third.corners,), fill=inks.GREY)])
    assert [
        sum(isinstance(mark, Path) and mark.fill is inks.GREY for mark in page.layers[0].marks)
        for page in paper.pages()
    ] == [0, 1]


@pytest.mark.parametrize("align", ["left", "centre", "right"])
def test_a_paragraph_for_a_box_stays_in_its_column(align: str) -> None:
    string = "Please read it, look at every picture, and tell us. " * 6
    marks, height = set_paragraph(string, 30, 200, 55, 3.4, align=align)  # type: ignore[arg-type]
    corners = [point for text in marks for point in text_corners(text)]
    assert min(x for x, _ in corners) >= 30 - 1e-9
    assert max(x for x, _ in corners) <= 85 + 1e-9
    assert max(y for _, y in corners) <= 200
    assert min(y for _, y in corners) >= 200 - height
    assert " ".join(text.string for text in marks).split() == string.split()

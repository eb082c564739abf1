"""The files of one revision: their names, that the pictures are what they say, and that the weight weighs."""

import io

import pytest
from PIL import Image
from test_proof_pdf import SAY, job
from zoo import COLUMN, HUNG_CUBE, TWO_SIDED_WALL, WALL, sized

from artgen.drawing.paper import Paper
from artgen.proof import Changes, Issue, proof_files, proof_paper, proof_pdf
from artgen.proof.views import named_views, shown


@pytest.fixture(scope="module")
def files():
    return dict(proof_files(job(), SAY, Issue("B", "light")))


def test_a_revision_has_its_pdf_and_pictures_named_after_structure_and_viewpoint(files):
    names = list(files)
    assert names[0] == "proof.pdf" and len(names) == len(set(names))
    views = [name for name in names if name.startswith("views/")]
    assert "views/tower-front-right.png" in views
    assert any(name.startswith("views/a-wall-with-a-name-that-is-quite-long-") for name in views)
    for name in views:
        with Image.open(io.BytesIO(files[name])) as picture:
            assert picture.format == "PNG" and picture.mode == "RGB"
            assert 880 <= max(picture.size) <= 900


def test_same_job_same_bytes(files):
    assert dict(proof_files(job(), SAY, Issue("B", "light"))) == files


def test_a_light_proof_weighs_less_and_shows_the_same_sheets(files):
    full = proof_pdf(job(), SAY, Issue("B"))
    assert len(files["proof.pdf"]) < 0.6 * len(full)


def test_what_changed_stands_after_the_cover_on_sheets_of_its_own():
    def draw(paper: Paper) -> None:
        paper.new_page()
        paper.heading("What changed since revision A", 1)
        paper.paragraph("The word moved.")

    titles = [page.title for page in proof_paper(job(), SAY, Issue("B", changes=Changes("A", draw))).pages()]
    assert titles[1] == "What changed since revision A"
    assert len(titles) == len(proof_paper(job(), SAY).pages()) + 1


@pytest.mark.parametrize(
    ("body", "names"),
    [
        (WALL, ["front-right"]),
        (TWO_SIDED_WALL, ["front-right", "back-right"]),
        (HUNG_CUBE, ["front-right", "front-left", "back-right", "back-left"]),
    ],
)
def test_only_views_that_show_something_new(body, names):
    assert [view.name for view in named_views(sized(body).structures[0])] == names


def test_every_panel_that_a_visitor_can_see_is_in_a_picture():
    for body in (WALL, TWO_SIDED_WALL, HUNG_CUBE, COLUMN):
        structure = sized(body).structures[0]
        views = [shown(structure, view.view) for view in named_views(structure)]
        for panel in structure.panels:
            if panel.sight.tilt > -60 or structure.hung:
                assert max(view[panel.number] for view in views) > 0.25

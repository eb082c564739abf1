"""What of a template is told again in a file that comes back: names of layers and inks, through real files of our own writers."""

from pathlib import Path

import pytest
import zoo

from artgen.art import read
from artgen.art.facts import FileFacts
from artgen.drawing.pdf import write_pdf
from artgen.drawing.svg import write_svg
from artgen.template import default_scale, template
from artgen.template.traces import guide_inks, is_guide_layer
from artgen.words import words

SIZED = zoo.sized(zoo.BOX).structures[0]
DRAWING = template(SIZED.panels[0], SIZED, words(), default_scale(SIZED.panels))


def facts_of(file: Path, data: bytes) -> FileFacts:
    file.write_bytes(data)
    found = read(file)
    assert isinstance(found, FileFacts)
    return found


@pytest.mark.parametrize("name", [layer.id for layer in DRAWING.layers] + [layer.title for layer in DRAWING.layers])
def test_every_guide_layer_is_known_by_id_and_by_title(name: str) -> None:
    art = name in ("art", words()("template.layer.art"))
    assert is_guide_layer(name) is not art


@pytest.mark.parametrize(
    "name",
    [
        "Guide_x3A__cut",
        "guide_x2D_fold",
        "guide-cut-2",
        "Guide: fold line copy",
        "GUIDE: SAFE FOR TEXT",
        "guide_seam_1",
    ],
)
def test_names_changed_on_the_way_are_known(name: str) -> None:
    assert is_guide_layer(name)


@pytest.mark.parametrize(
    "name", ["", "Cut", "guide", "Guides", "fold line", "safe", "margin", "guide dog", "Layer 1", "notes"]
)
def test_a_clients_own_layers_are_not(name: str) -> None:
    assert not is_guide_layer(name)


def test_layers_and_inks_of_a_templates_pdf(tmp_path: Path) -> None:
    facts = facts_of(tmp_path / "a.pdf", write_pdf([DRAWING], title="t"))
    guides = [layer for layer in facts.layers if is_guide_layer(layer.name)]
    assert len(guides) == len(DRAWING.layers) - 1
    assert all(layer.shown and layer.pages == (1,) for layer in guides)
    assert {"Guide fold", "Guide cut", "Guide safe"} <= set(guide_inks(facts.pages[0].ink.spots))


def test_layers_of_a_templates_svg(tmp_path: Path) -> None:
    facts = facts_of(tmp_path / "a.svg", write_svg(DRAWING))
    assert [layer.name for layer in facts.layers] == [layer.id for layer in DRAWING.layers]
    assert {layer.name: layer.pages for layer in facts.layers} == {
        layer.id: () if layer.id == "art" else (1,) for layer in DRAWING.layers
    }


@pytest.mark.parametrize(
    ("hide", "style"),
    [
        ('display="none"', ""),
        ('style="opacity:1;display: none"', ""),
        ('class="a b"', "<style>.b,.c{display:none}</style>"),
    ],
)
def test_a_hidden_group_of_an_svg_is_a_hidden_layer(hide: str, style: str, tmp_path: Path) -> None:
    body = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="10mm" height="10mm">{style}<g id="top" {hide}>'
        '<g id="inner"><rect width="1" height="1"/></g></g><g id="open"><rect width="1" height="1"/></g></svg>'
    )
    facts = facts_of(tmp_path / "a.svg", body.encode())
    assert [(layer.name, layer.shown) for layer in facts.layers] == [("top", False), ("inner", False), ("open", True)]

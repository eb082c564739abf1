"""Nothing that a client's file refers to outside itself is reached, and each such thing is named in the report.

Witnesses: a socket that listens and that nobody may call, and a picture beside the file that must not come to be drawn.
What the child asks of the system meanwhile is watched in test_traced.py.
"""

import json
import socket
import subprocess
import sys
import time
from base64 import b64encode
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

import hostile_art
import pytest
import pyvips
import quick
from PIL import Image

from artgen.art import FileFacts, FileFault, Pixels, pixels, read, reading, svg, svg_work
from artgen.art.faults import ArtFault

ARTGEN = Path(sys.executable).with_name("artgen")
WALL = 'schema = 1\nname = "Moor"\n[[structure]]\nname = "wall"\nkind = "wall"\nheight = "500 mm"\nwidth = "600 mm"\n'


@pytest.fixture
def url() -> Iterator[str]:
    """An address where something listens; that nobody has called is asserted at the end."""
    with socket.create_server(("127.0.0.1", 0)) as listening:
        listening.setblocking(False)
        yield f"http://127.0.0.1:{listening.getsockname()[1]}"
        with pytest.raises(BlockingIOError):
            listening.accept()


def test_the_witness_hears(tmp_path: Path) -> None:
    """The converter by itself, allowed everything, calls the address: what is tested below is a danger, and would be heard."""
    with socket.create_server(("127.0.0.1", 0)) as listening:
        address = f"http://127.0.0.1:{listening.getsockname()[1]}"
        file, _ = hostile_art.svg(tmp_path, "image by address", address, tmp_path)
        code = "import cairosvg, sys; cairosvg.svg2pdf(bytestring=open(sys.argv[1], 'rb').read(), unsafe=True)"
        calling = subprocess.Popen([sys.executable, "-c", code, file], stderr=subprocess.DEVNULL)
        listening.settimeout(30)
        listening.accept()[0].close()
        calling.wait(30)


def report(folder: Path) -> str:
    """All that `artgen check` says was not examined, of the file in the folder's art/."""
    (folder / "order.toml").write_text(WALL, encoding="utf-8")
    done = subprocess.run(
        [ARTGEN, "check", folder, "--json", "-"], capture_output=True, timeout=120, env=quick.environment()
    )
    assert done.returncode in (0, 1), done.stderr
    return "\n".join(f"{one['what']}: {one['why']}" for one in json.loads(done.stdout)["not_examined"])


def art(folder: Path) -> tuple[Path, Path]:
    """(the order's art folder, the secret in it)."""
    (folder / "art").mkdir()
    return folder / "art", hostile_art.secret_png(folder / "art")


@pytest.mark.parametrize("way", hostile_art.SVG_WAYS)
def test_an_svg_reaches_nothing_and_what_it_wanted_is_named(tmp_path: Path, url: str, way: str) -> None:
    folder, secret = art(tmp_path)
    file, named = hostile_art.svg(folder, way, url, secret)
    facts = read(file)
    assert isinstance(facts, FileFacts), facts
    told = [*facts.blocked, *facts.pages[0].not_seen, *(extra.name for extra in facts.extras)]
    assert any(named in one for one in told), told
    page = facts.pages[0]
    drawn = pixels(file, 0, (page.width / 40, 0, 0, -page.height / 40, 0, page.height), 40, 40)
    assert isinstance(drawn, Pixels)
    assert bytes([255, 0, 255]) not in drawn.rgba  # the secret's colour


def test_an_svg_report_names_what_was_not_read(tmp_path: Path, url: str) -> None:
    """Through the whole program, all ways that can stand in one file together."""
    folder, secret = art(tmp_path)
    values = {"url": url, "secret": str(secret), "inner": "PHN2Zy8+"}
    ways = [(within, named) for before, within, named in hostile_art.SVG_WAYS.values() if not before]
    body = "".join(within.format(**values) for within, _ in ways)
    head = f'<svg {hostile_art.SVG_NS} width="676mm" height="576mm">'
    (folder / "panel-1.svg").write_text(f"{head}{body}</svg>", encoding="utf-8")
    said = report(tmp_path)
    addresses = [named.format(**values) for _, named in ways]
    # a report names the first twenty and counts the rest
    assert sum(address in said for address in addresses) >= 20
    assert "more" in said
    assert "links out of it, which are not followed" in said
    assert "scripts" in said and "foreignObject" in said


def test_a_pdf_reaches_nothing_and_what_it_wanted_is_named(tmp_path: Path, url: str) -> None:
    folder, secret = art(tmp_path)
    file, named = hostile_art.pdf(folder, url, secret)
    said = report(tmp_path)
    for one in named:
        assert one in said, one
    drawn = pixels(file, 0, (1, 0, 0, -1, 0, 576), 676, 576)
    assert isinstance(drawn, Pixels)
    assert bytes([255, 0, 255]) not in drawn.rgba


def test_w3c_s_own_document_types_are_no_news(tmp_path: Path) -> None:
    dtd = '<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">'
    (tmp_path / "a.svg").write_text(f'{dtd}<svg {hostile_art.SVG_NS} width="9mm" height="9mm"/>')
    assert svg.scan(tmp_path / "a.svg").blocked == ()


def test_very_many_references_are_counted(tmp_path: Path) -> None:
    body = "".join(f'<image href="{n}.png"/>' for n in range(1000))
    (tmp_path / "a.svg").write_text(f'<svg {hostile_art.SVG_NS} width="9mm" height="9mm">{body}</svg>')
    blocked = svg.scan(tmp_path / "a.svg").blocked
    assert blocked[:2] == ("0.png", "1.png")
    assert blocked[-1] == "and 900 more references"
    assert len(blocked) == 101


# pictures written into an SVG


def written(image: Image.Image, format: str, **options: object) -> bytes:
    data = BytesIO()
    image.save(data, format, **options)
    return data.getvalue()


def svg_with(folder: Path, *pictures: bytes, label: str = "image/png") -> Path:
    tags = (
        f'<image x="{20 * n}" width="20" height="20" href="data:{label};base64,{b64encode(data).decode()}"/>'
        for n, data in enumerate(pictures)
    )
    file = folder / "panel-1.svg"
    head = (
        f'<svg {hostile_art.SVG_NS} width="{20 * len(pictures)}mm" height="20mm" viewBox="0 0 {20 * len(pictures)} 20">'
    )
    file.write_text(f"{head}{''.join(tags)}</svg>", encoding="utf-8")
    return file


RED = Image.new("RGB", (8, 8), (250, 0, 0))


@pytest.mark.parametrize("format", ["PNG", "JPEG", "TIFF", "WEBP"])
def test_pictures_of_our_formats_are_drawn_whatever_they_are_called(tmp_path: Path, format: str) -> None:
    file = svg_with(tmp_path, written(RED, format), label="image/x-unknown")
    facts = read(file)
    assert isinstance(facts, FileFacts)
    assert facts.pages[0].not_seen == ()
    drawn = pixels(file, 0, (1, 0, 0, -1, 0, 20), 20, 20)
    assert isinstance(drawn, Pixels)
    red, green, blue, alpha = drawn.rgba[4 * 210 :][:4]
    assert red > 240 and green < 10 and blue < 10 and alpha == 255


@pytest.mark.parametrize("format", ["GIF", "BMP", "PPM", "TGA", "EPS", "PCX", "JPEG2000", "PDF"])
def test_pictures_of_other_formats_are_not_drawn_and_named(tmp_path: Path, format: str) -> None:
    """The converter's picture library would read them; one sound picture beside is still drawn."""
    file = svg_with(tmp_path, written(RED, format), written(RED, "PNG"))
    facts = read(file)
    assert isinstance(facts, FileFacts), facts
    assert len(facts.pages[0].not_seen) == 1 and "a picture in it" in facts.pages[0].not_seen[0]
    drawn = pixels(file, 0, (1, 0, 0, -1, 0, 20), 40, 20)
    assert isinstance(drawn, Pixels)
    pixel = lambda x: drawn.rgba[4 * (10 * 40 + x) :][:4]  # noqa: E731
    assert pixel(10)[3] == 0
    assert pixel(30)[0] > 240


def test_a_damaged_picture_does_not_end_the_file(tmp_path: Path) -> None:
    """cairo calls a damaged PNG a lack of memory."""
    for format in ("PNG", "JPEG"):
        whole = written(Image.effect_noise((60, 60), 50).convert("RGB"), format)
        file = svg_with(tmp_path, whole[: len(whole) // 2], written(RED, "PNG"))
        facts = read(file)
        assert isinstance(facts, FileFacts), facts
        assert facts.pages[0].not_seen == ("a picture in it that is damaged",)


def test_pictures_are_counted_as_work(tmp_path: Path) -> None:
    """400 megapixels in a few kB of PNG."""
    huge = written(Image.new("1", (20_000, 20_000)), "PNG")
    assert len(huge) < 100_000
    with pytest.raises(ArtFault) as caught:
        svg.scan(svg_with(tmp_path, huge))
    assert caught.value.fault.kind == "over-limit"


# work that unfolds


@pytest.mark.parametrize("way", ["use", "pattern"])
def test_a_drawing_that_doubles_thirty_times_is_refused_at_once(tmp_path: Path, way: str) -> None:
    file = hostile_art.doubling_svg(tmp_path, 30, way)
    assert file.stat().st_size < 10_000
    read(file)  # the fork server runs
    start = time.monotonic()
    fault = read(file)
    assert isinstance(fault, FileFault)
    assert (fault.kind, fault.format) == ("over-limit", "svg")
    assert "300,000" in fault.detail
    assert time.monotonic() - start < 3


def test_a_drawing_that_doubles_a_few_times_is_drawn(tmp_path: Path) -> None:
    assert isinstance(read(hostile_art.doubling_svg(tmp_path, 5)), FileFacts)


@pytest.mark.parametrize(
    "body",
    [
        '<g id="a"><use href="#a"/></g>',
        '<g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g>',
        '<pattern id="a" width="9" height="9"><rect width="9" height="9" fill="url(#a)"/></pattern>',
    ],
)
def test_a_drawing_that_draws_itself_is_refused(tmp_path: Path, body: str) -> None:
    (tmp_path / "a.svg").write_text(f'<svg {hostile_art.SVG_NS} width="9mm" height="9mm">{body}</svg>')
    fault = read(tmp_path / "a.svg")
    assert isinstance(fault, FileFault)
    assert fault.kind == "over-limit" and "without end" in fault.detail


@pytest.mark.parametrize(
    "use", ["<use/>", '<use href=""/>', '<use href="#"/>', '<use href="o.svg#a"/>', '<use id="#s" x="9"/>']
)
def test_a_use_that_names_nothing_draws_nothing(tmp_path: Path, use: str) -> None:
    """SVG 2, 5.5: it is not drawn. The converter would take it for the whole file, which holds it."""
    head = f'<svg {hostile_art.SVG_NS} width="20mm" height="20mm" viewBox="0 0 20 20"><rect width="5" height="20" fill="red"/>'
    (tmp_path / "a.svg").write_text(f'{head}<g transform="translate(7 0)">{use * 5}</g></svg>')
    assert isinstance(read(tmp_path / "a.svg"), FileFacts)
    drawn = pixels(tmp_path / "a.svg", 0, (1, 0, 0, -1, 0, 20), 20, 20)
    assert isinstance(drawn, Pixels)
    row = [drawn.rgba[4 * (10 * 20 + x) + 3] for x in range(20)]
    assert row == [255] * 5 + [0] * 15


def test_uses_are_counted_exactly(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A root, a group of 9, and n uses of it, each with its own element, a group and 9: 11 + 11 n; what the converter spends on
    looking each up is left out here."""
    monkeypatch.setattr(svg_work, "_PER_PLACE", 0.0)
    body = f'<g id="a">{"<rect/>" * 9}</g>' + '<use href="#a"/>' * 7
    (tmp_path / "a.svg").write_text(f'<svg {hostile_art.SVG_NS} width="9mm" height="9mm">{body}</svg>')
    root = svg.scan(tmp_path / "a.svg").root
    assert svg_work.work(root, {}) == 11 + 11 * 7


def test_millions_of_elements_are_not_read_to_the_end(tmp_path: Path) -> None:
    (tmp_path / "a.svg").write_text(f'<svg {hostile_art.SVG_NS} width="9mm" height="9mm">{"<g/>" * 3_000_000}</svg>')
    start = time.monotonic()
    fault = read(tmp_path / "a.svg")
    assert isinstance(fault, FileFault)
    assert fault.kind == "over-limit" and "200,000 elements" in fault.detail
    assert time.monotonic() - start < 15


def test_short_entities_that_unfold_to_gigabytes_are_over_the_limit(tmp_path: Path) -> None:
    """Twenty million times a thousand letters: 20 GB."""
    head = f'<!DOCTYPE svg [<!ENTITY e "{"x" * 999}">]><svg {hostile_art.SVG_NS} width="9mm" height="9mm"><text>'
    (tmp_path / "a.svg").write_text(head + "&e;" * 20_000_000 + "</text></svg>")
    fault = read(tmp_path / "a.svg")
    assert isinstance(fault, FileFault)
    assert fault.kind == "over-limit"


def test_a_picture_that_takes_more_memory_than_there_is_is_not_called_damaged(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A WebP is decoded whole: 9000 × 9000 at 4 bytes are 324 MB, and libwebp and libvips each hold them."""
    pyvips.Image.black(9000, 9000, bands=3).copy(interpretation="srgb").webpsave(
        str(tmp_path / "a.webp"), effort=0, lossless=True
    )
    assert isinstance(read(tmp_path / "a.webp"), FileFacts)
    monkeypatch.setattr(reading, "_LEAST_MEMORY_MB", 700)
    monkeypatch.setattr(reading, "_MOST_MEMORY_MB", 700)
    fault = pixels(tmp_path / "a.webp", 0, (100, 0, 0, -100, 0, 9000), 90, 90)
    assert isinstance(fault, FileFault)
    assert fault.kind == "over-limit", fault

"""The report as people and programs get it: text, JSON against its schema, and the page in a headless Chromium."""

import html.parser
import io
import json
import re
from collections.abc import Callable, Iterator
from math import cos, radians, sin
from pathlib import Path
from typing import Any

import art_made
import jsonschema
import numpy as np
import pytest
from art_made import Lettering
from attrs import evolve
from browser import Opened
from PIL import Image

from artgen import job
from artgen.checks import Finding
from artgen.job import Job
from artgen.order import load
from artgen.report import COPIES, as_html, as_json, as_text
from artgen.report.items import items_of, meant_for
from artgen.report.picture import embedded
from artgen.sizing import size_order
from artgen.structure.kinds import KINDS
from artgen.survey import Picture
from artgen.words import words

ROOT = Path(__file__).resolve().parents[1]
SCHEMA = json.loads((ROOT / "docs" / "check.schema.json").read_text(encoding="utf-8"))
Open = Callable[..., Opened]

# bays of 600 × 500: art size 676 × 576, fold lines 44 from its edges. A cube hung by a tip of 600 edges: art size 676 × 676,
# hung with upright 45° clockwise of sewn y
ORDER = """schema = 1
name = "Bog <b>& moss</b>"
client = "Quillmere \\"Bog\\" Trust"
number = "N-1"
date = "2026-03-02"
[[structure]]
name = "wall"
kind = "wall"
height = "500 mm"
bays = ["600 mm", "600 mm", "600 mm"]
[[structure]]
name = "drop"
kind = "hung-cube"
edge = "600 mm"
"""
ART, CUBE, TILT = (676.0, 576.0), (676.0, 676.0), 17.0
WORD = Lettering("forest", 30, 250, 60, TILT)
EVIL = "<img src=x onerror=alert(1)> & \"quoted\" 'too'.txt"


def checked(folder: Path) -> Job:
    loaded = load(folder, KINDS)
    return job.run(loaded, size_order(loaded, KINDS))


def made(folder: Path) -> Path:
    art = folder / "art"
    art_made.pdf(art / "panel-1.pdf", ART, [WORD], (0, 0, *ART))
    art_made.pdf(art / "panel-2.pdf", (600, 500), ground=(0, 0, 600, 500))  # as large as the frame
    for number in (4, 5, 6, 7, 8, 9):
        cube = {4: [Lettering("rain", 40, 300, 60, -45.0)], 7: [Lettering("Peat", 300, 300, 20, -45.0)]}.get(number, [])
        art_made.pdf(art / f"panel-{number}.pdf", CUBE, cube, (0, 0, *CUBE))
    (art / EVIL).write_text("notes")
    (art / "\u202egnp.exe\x1b[31m.txt").write_text("steers a terminal")
    (folder / "order.toml").write_text(ORDER, encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def done(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Job]:
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr("artgen.job.reading_available", lambda: False)
        patched.setenv("ARTGEN_CACHE", "")
        yield checked(made(tmp_path_factory.mktemp("report")))


@pytest.fixture(scope="module")
def page(done: Job, tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("page") / "report.html"
    file.write_bytes(as_html(done))
    return file


def shop_only(done: Job) -> Job:
    """The same with one more finding, which only the shop must know."""
    return evolve(done, findings=(*done.findings, evolve(done.findings[0], audience="shop")))


# text


def test_the_text_is_grouped_by_panel_the_worst_first(done: Job) -> None:
    lines = as_text(done).splitlines()
    headings = [line for line in lines if re.match(r"^(Panel \d+:|Files|Not examined)", line)]
    numbers = [int(m[1]) for line in headings if (m := re.match(r"Panel (\d+)", line))]
    assert numbers == sorted(numbers) and len(set(numbers)) == len(numbers)
    assert headings[-2:] == ["Files", "Not examined"]
    errors = sum(f.severity == "error" for f in done.findings)
    assert lines[-1].startswith(f"Errors: {errors}.")


def test_colour_only_where_it_is_asked_for_and_nothing_steers_the_terminal(done: Job) -> None:
    assert "\x1b" not in as_text(done) and "\u202e" not in as_text(done)
    assert "\\u202egnp.exe\\u001b[31m.txt" in as_text(done)
    coloured = as_text(done, colour=True)
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == as_text(done)
    assert coloured != as_text(done)


@pytest.mark.parametrize("width", [40, 80, 300])
def test_wrapped_lines_keep_to_the_terminal(done: Job, width: int) -> None:
    wrapped = as_text(done, width=width)
    # a name that has no blank stays whole
    assert all(len(line) <= min(width, 110) or " " not in line.strip() for line in wrapped.splitlines())
    assert wrapped.split() == as_text(done).split()


def test_a_clean_order_is_quiet(tmp_path: Path) -> None:
    art_made.pdf(tmp_path / "art" / "panel-1.pdf", ART, ground=(0, 0, *ART))
    (tmp_path / "order.toml").write_text(
        'schema = 1\nname = "x"\n[[structure]]\nname = "w"\nkind = "wall"\nwidth = "600 mm"\nheight = "500 mm"\n'
    )
    lines = as_text(checked(tmp_path)).splitlines()
    assert [line for line in lines if line and not line.startswith(" ")] == [
        "Not examined",
        "Errors: 0. Warnings: 0. Notes: 0.",
    ]


# a client's copy


def test_a_client_s_copy_leaves_out_what_only_the_shop_must_know(done: Job) -> None:
    both = shop_only(done)
    extra = both.findings[-1]
    assert extra in meant_for("shop", both.findings) and extra not in meant_for("client", both.findings)
    assert len(as_json(both, "client")["findings"]) == len(as_json(both)["findings"]) - 1
    assert as_text(both, "client") == as_text(done, "client")
    assert as_html(both, "client") == as_html(done, "client")
    assert b"shop only" in as_html(both) and b"shop only" not in as_html(both, "client")


def test_a_client_s_copy_speaks_plainly(done: Job) -> None:
    """No names of rules, and the words of the right column of the glossary instead of the left one's."""
    text = as_text(done, "client")
    page = as_html(done, "client").decode()
    shown = re.sub(r"<(script|style)>.*?</\1>|data-\w+=\"[^\"]*\"|<[^>]+>", " ", page, flags=re.DOTALL)
    for rule in {finding.rule for finding in done.findings}:
        assert rule not in text and rule not in re.sub(r"<option.*?</option>", "", shown)
    for word in ("setback", "fold line", "art size", "reveal", "sewn frame", "turn-in", "allowance"):
        assert word not in text and word not in shown
    assert "must change" in text and not re.search(r"\b(errors?|warnings?|notes?)\b(?!\.txt)", text.lower())


def test_what_the_order_silences_is_always_told(done: Job, open_page: Open, tmp_path: Path) -> None:
    """With its reason, in every copy; it counts nowhere and has no mark."""
    first, *rest = done.findings
    silent = evolve(done, findings=tuple(rest), silenced=(evolve(first, silenced="They <want> it so"),))
    for copy in COPIES:
        assert "Reason: They <want> it so" in as_text(silent, copy)
        data = as_json(silent, copy)
        jsonschema.Draft202012Validator(SCHEMA).validate(data)
        assert [one["reason"] for one in data["silenced"]] == ["They <want> it so"]
        assert len(data["findings"]) == len(rest)
        (tmp_path / "page.html").write_bytes(as_html(silent, copy))
        opened = open_page(tmp_path / "page.html")
        assert "They <want> it so" in opened.page.locator("#silenced + ul").inner_text()
        assert opened.page.locator(".finding").count() == len(items_of(rest, words()))
        assert opened.serious_faults() == [] and opened.errors == []


# JSON


def test_the_json_keeps_to_its_schema(done: Job) -> None:
    validator = jsonschema.Draft202012Validator(SCHEMA)
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    for copy in ("shop", "client"):
        data = json.loads(json.dumps(as_json(done, copy)))  # type: ignore[arg-type]
        assert [error.message for error in validator.iter_errors(data)] == []
        assert data["findings"] and data["not_examined"]


@pytest.mark.parametrize(
    "change",
    [
        lambda d: d.update(schema=2),
        lambda d: d.pop("not_examined"),
        lambda d: d["findings"][0].update(severity="fatal"),
        lambda d: d["findings"][0].update(where_mm=[1, 2, 3]),
        lambda d: d["findings"][0].update(panel=0),
        lambda d: d["findings"][0].pop("advice"),
        lambda d: d["findings"][0].update(more=1),
    ],
)
def test_the_schema_refuses_what_is_none(done: Job, change: Callable[[Any], None]) -> None:
    data = json.loads(json.dumps(as_json(done)))
    change(data)
    assert not jsonschema.Draft202012Validator(SCHEMA).is_valid(data)


# the page as a file


class _Reader(html.parser.HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.attributes: list[tuple[str, str, str]] = []
        self.headings: list[int] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.attributes += [(tag, name, value or "") for name, value in attrs]
        if re.fullmatch("h[1-6]", tag):
            self.headings.append(int(tag[1]))


def test_the_page_holds_nothing_that_could_run_or_reach_out(page: Path) -> None:
    reader = _Reader()
    reader.feed(page.read_text(encoding="utf-8"))
    for tag, name, value in reader.attributes:
        assert not name.startswith("on") and name != "style", (tag, name)
        if name in ("href", "src", "action", "data", "poster", "srcset"):
            assert value.startswith(("#", "data:image/webp;base64,")), (tag, value[:50])
    policy = next(value for tag, name, value in reader.attributes if name == "content" and "default-src" in value)
    assert "unsafe" not in policy and policy.startswith("default-src 'none'")
    steps = zip(reader.headings, reader.headings[1:], strict=False)
    assert reader.headings[0] == 1 and all(after - before <= 1 for before, after in steps)


def test_the_same_job_gives_the_same_page(done: Job, page: Path) -> None:
    assert as_html(done) == page.read_bytes()


def test_a_picture_of_noise_takes_no_more_than_its_share() -> None:
    """Six of them as base64 (4/3) and 300 kB of the rest make 3 MB: 6 × 340,000 × 4/3 = 2.72 MB."""
    noise = np.random.default_rng(1).integers(0, 256, (1200, 1250, 3), np.uint8)
    href, (w, h) = embedded(Picture(1250, 1200, noise.tobytes()))
    data = href.removeprefix("data:image/webp;base64,")
    assert len(data) * 3 / 4 <= 340_000 and w / h == pytest.approx(1250 / 1200, rel=0.01)


def test_a_page_without_its_pictures_is_small(done: Job, page: Path) -> None:
    bare = re.sub(rb"data:image/webp;base64,[A-Za-z0-9+/=]+", b"", page.read_bytes())
    assert len(bare) < 300_000


# the page in a browser

RING, WIDE, HIGH, OFF = (
    30,
    560,
    700,
    3,
)  # px: the picture's ring and room, and how far a mark's line keeps from what it holds


def rect(opened: Opened, selector: str) -> dict[str, float]:
    found: dict[str, float] = opened.page.locator(selector).first.evaluate(
        "one => { const r = one.getBoundingClientRect(); return { left: r.left, top: r.top, right: r.right, bottom: r.bottom }; }"
    )
    return found


def polygon(opened: Opened, selector: str) -> list[tuple[float, float]]:
    """Vertices of a mark's ring on the screen."""
    points = opened.page.locator(selector).first.evaluate(
        "one => [...one.points].map(p => { const q = p.matrixTransform(one.getScreenCTM()); return [q.x, q.y]; })"
    )
    return [(x, y) for x, y in points]


def finding_of(done: Job, text: str) -> tuple[int, Finding]:
    for item in items_of(done.findings, words()):
        if item.finding.evidence.get("text") == text:
            return item.number, item.finding
    raise AssertionError(text)


@pytest.mark.parametrize("width", [390, 1024, 1920])
def test_marks_stand_where_the_finding_says(done: Job, page: Path, open_page: Open, width: int) -> None:
    """Panel 1 of 676 × 576 mm: a pixel of its room is s = max(676 / 500, 576 / 640) = 1.352 mm, the ring round it 30 s, so the
    picture is 676 + 60 s wide. Its word's box grows by 3 px on every side, along its own axes."""
    opened = open_page(page, width)
    number, finding = finding_of(done, "forest")
    s = max(ART[0] / (WIDE - 2 * RING), ART[1] / (HIGH - 2 * RING))
    assert s == pytest.approx(1.352)
    svg = rect(opened, "#panel-1 figure svg")
    k = (svg["right"] - svg["left"] - 2) / (ART[0] + 2 * RING * s)  # px a mm; a border of 1 px
    assert finding.where is not None
    x, y, w, h = finding.where
    grow = OFF * s * (cos(radians(TILT)) + sin(radians(TILT)))
    expected = {
        "left": svg["left"] + 1 + (RING * s + x - grow) * k,
        "right": svg["left"] + 1 + (RING * s + x + w + grow) * k,
        "top": svg["top"] + 1 + (RING * s + ART[1] - y - h - grow) * k,
        "bottom": svg["top"] + 1 + (RING * s + ART[1] - y + grow) * k,
    }
    assert rect(opened, f"#m{number}-1 polygon.ring") == pytest.approx(expected, abs=0.6)
    # tilted as the word is: its lower side runs up by tan 17°
    ring = polygon(opened, f"#m{number}-1 polygon.ring")
    low = sorted(ring, key=lambda p: -p[1])[:2]
    sides = sorted(
        ((b[0] - a[0], b[1] - a[1]) for a, b in zip(ring, ring[1:] + ring[:1], strict=True)),
        key=lambda side: -(side[0] ** 2 + side[1] ** 2),
    )
    assert low and abs(sides[0][1] / sides[0][0]) == pytest.approx(np.tan(radians(TILT)), abs=0.01)
    # its number stands beside it and inside the picture
    badge = rect(opened, f"#m{number}-1 circle")
    assert svg["left"] <= badge["left"] and badge["right"] <= svg["right"]


def test_on_a_hung_cube_the_picture_hangs_and_its_marks_with_it(done: Job, page: Path, open_page: Open) -> None:
    """The sewn frame turned by 45° anticlockwise: (x, y) comes to ((x − y) / √2 + 676 / √2, (x + y) / √2), y up. The word is
    level."""
    opened = open_page(page, 1024)
    number, finding = finding_of(done, "rain")
    across = CUBE[0] * 2**0.5
    s = max(across / (WIDE - 2 * RING), across / (HIGH - 2 * RING))
    svg = rect(opened, "#panel-4 figure svg")
    k = (svg["right"] - svg["left"] - 2) / (across + 2 * RING * s)
    turned = [((x - y) / 2**0.5 + across / 2, (x + y) / 2**0.5) for x, y in finding.evidence["quad_mm"]]
    expected = {
        "left": svg["left"] + 1 + (RING * s + min(x for x, _ in turned) - OFF * s) * k,
        "right": svg["left"] + 1 + (RING * s + max(x for x, _ in turned) + OFF * s) * k,
        "top": svg["top"] + 1 + (RING * s + across - max(y for _, y in turned) - OFF * s) * k,
        "bottom": svg["top"] + 1 + (RING * s + across - min(y for _, y in turned) + OFF * s) * k,
    }
    assert rect(opened, f"#m{number}-4 polygon.ring") == pytest.approx(expected, abs=0.8)
    # a finding that holds no outline of its word gets the word's all the same: level here, no diamond
    small = next(item for item in items_of(done.findings, words()) if item.finding.rule == "text-too-small")
    assert "quad_mm" not in small.finding.evidence and small.finding.panel == 7
    ring = polygon(opened, f"#m{small.number}-7 polygon.ring")
    assert len(ring) == 4 and len({round(y) for _, y in ring}) == 2


def test_the_zones_are_those_of_the_panel(page: Path, open_page: Open) -> None:
    """Fold lines 44, cut 25 and safe 84 mm from the art size's edges, all round."""
    opened = open_page(page, 1024)
    s = ART[0] / (WIDE - 2 * RING)
    svg = rect(opened, "#panel-1 figure svg")
    k = (svg["right"] - svg["left"] - 2) / (ART[0] + 2 * RING * s)
    for zone, inset in (("art-edge", 0), ("cut", 25), ("fold", 44), ("safe", 84)):
        found = rect(opened, f"#panel-1 path.zone.{zone}")
        assert found["left"] == pytest.approx(svg["left"] + 1 + (RING * s + inset) * k, abs=0.6)
        assert found["bottom"] == pytest.approx(svg["top"] + 1 + (RING * s + ART[1] - inset) * k, abs=0.6)


def shown(opened: Opened) -> list[str]:
    ids: list[str] = opened.page.evaluate(
        "[...document.querySelectorAll('.finding')].filter(one => one.offsetParent !== null).map(one => one.id)"
    )
    return ids


def test_filters_by_keyboard(done: Job, page: Path, open_page: Open) -> None:
    opened = open_page(page, 1024)
    items = items_of(done.findings, words())
    keys = opened.page.keyboard
    everything = [f"f{item.number}" for item in items]
    assert shown(opened) == everything
    opened.page.locator("[name=panel]").focus()
    keys.press("ArrowDown")  # the first panel
    assert shown(opened) == [f"f{item.number}" for item in items if item.finding.panel == 1]
    keys.press("Home")
    assert shown(opened) == everything
    keys.press("Tab")  # what it is about
    keys.press("ArrowDown")
    family = opened.page.locator("[name=family]").input_value()
    assert family and shown(opened) == [f"f{item.number}" for item in items if item.family == family]
    keys.press("Home")
    keys.press("Tab")  # meant for
    keys.press("Tab")  # how grave: errors
    keys.press("Space")
    assert shown(opened) == [f"f{item.number}" for item in items if item.finding.severity != "error"]
    said = opened.page.locator("[role=status]").inner_text()
    assert said == f"{len(shown(opened))} of {len(items)} findings shown."
    visible = opened.page.locator("a.mark:visible").count()
    assert visible == sum(len(item.members) for item in items if item.finding.severity != "error" and item.panels)
    opened.page.locator("button[type=reset]").focus()
    keys.press("Enter")
    opened.page.wait_for_function(f"document.querySelectorAll('.finding:not([hidden])').length === {len(items)}")
    assert shown(opened) == everything
    assert opened.errors == [] and opened.requests == []


def test_from_number_to_number_and_to_the_picture_by_keyboard(page: Path, open_page: Open) -> None:
    opened = open_page(page, 1024)
    numbers = opened.page.locator("a.no")
    numbers.first.focus()
    opened.page.keyboard.press("ArrowDown")
    assert opened.page.evaluate("document.activeElement.textContent") == numbers.nth(1).inner_text()
    opened.page.keyboard.press("ArrowUp")
    opened.page.keyboard.press("ArrowUp")  # there is none before the first
    assert opened.page.evaluate("document.activeElement.textContent") == numbers.first.inner_text()
    opened.page.keyboard.press("Enter")
    target = opened.page.evaluate("location.hash")
    assert opened.page.locator(f"{target}:target").count() == 1
    assert target == numbers.first.get_attribute("href")
    # and back from the mark to its finding
    opened.page.locator(target).focus()
    opened.page.keyboard.press("Enter")
    assert opened.page.evaluate("location.hash") == opened.page.locator(target).get_attribute("href")


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [390, 1920])
def test_it_is_quiet_and_accessible(page: Path, open_page: Open, scheme: str, width: int) -> None:
    opened = open_page(page, width, color_scheme=scheme)
    assert opened.serious_faults() == []
    assert opened.page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    ground = opened.page.evaluate("getComputedStyle(document.body).backgroundColor")
    light = sum(map(int, re.findall(r"\d+", ground)[:3])) > 3 * 128
    assert light == (scheme == "light")
    assert opened.errors == [] and opened.requests == []


def test_names_and_words_of_files_are_text(page: Path, open_page: Open) -> None:
    opened = open_page(page)
    assert EVIL in opened.page.locator("#panel-files").inner_text()
    assert opened.page.locator("img").count() == 0
    assert "Bog <b>& moss</b>" in opened.page.locator(".block").inner_text()
    assert opened.page.locator(".block b").count() == 0
    assert "\u202e" not in opened.page.content()
    assert opened.errors == []


def test_without_its_script_all_is_shown(done: Job, page: Path, open_page: Open) -> None:
    opened = open_page(page, java_script_enabled=False)
    assert opened.page.locator(".finding:visible").count() == len(items_of(done.findings, words()))
    assert opened.page.locator(".filters:visible").count() == 0
    assert opened.page.get_by_role("heading", name="Not examined").is_visible()


def test_on_paper_filters_are_off_and_panels_have_pages(done: Job, page: Path, open_page: Open) -> None:
    from pypdf import PdfReader

    opened = open_page(page, color_scheme="dark")
    opened.page.locator("[name=panel]").select_option("2")
    opened.page.emulate_media(media="print")
    assert opened.page.locator(".filters:visible").count() == 0
    assert opened.page.locator(".finding:visible").count() == len(items_of(done.findings, words()))
    assert opened.page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"
    text = [sheet.extract_text() for sheet in PdfReader(io.BytesIO(opened.page.pdf(format="A4"))).pages]
    begun = [n for n, one in enumerate(text) for m in re.findall(r"^Panel \d+: ", one, re.MULTILINE) if m]
    assert len(set(begun)) == len(begun) == len(done.sizing.panels)


def test_pictures_are_the_art(done: Job, page: Path, open_page: Open) -> None:
    """The ground that the art was made with, seen in the middle of panel 3's neighbour on the screen."""
    opened = open_page(page, 1024)
    picture = done.pictures[2]
    middle = picture.rgb[3 * (picture.height // 2 * picture.width + picture.width // 2) :][:3]
    shot = Image.open(io.BytesIO(opened.page.locator("#panel-2 figure svg").screenshot())).convert("RGB")
    found = shot.getpixel((shot.width // 2, shot.height // 2))
    assert isinstance(found, tuple) and max(abs(a - b) for a, b in zip(found, middle, strict=True)) <= 12

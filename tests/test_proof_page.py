"""The proof's page in a real browser: where its faces stand, that no art is mirrored, turned or swapped, that every control
works by mouse and keys, that it asks for nothing and says nothing ill.

Places are reckoned anew here, by a perspective of this file's own; the browser's own layout and pixels are the witness.
"""

import base64
import hashlib
import io
import json
import re
from math import cos, hypot, radians, sin

import numpy as np
import pytest
from cells import axes, colour, job_of_cells, places
from PIL import Image
from test_proof_pdf import SAY
from test_proof_pdf import job as full_job
from zoo import BOX, HUNG_CUBE, ORDERS

from artgen.checks import Finding
from artgen.proof import Changes, Issue
from artgen.proof.drawn import data_uri
from artgen.proof.page import Still, proof_page
from artgen.proof.views import named_views

DOT = "data:image/gif;base64,R0lGODlhAQABAIAAAP///wAAACH5BAAAAAAALAAAAAABAAEAAAICRAEAOw=="
LIT = BOX + 'lit = "inside"\n'


def page_of(job, folder, issue=None):
    """The page alone, its still pictures left to a dot."""
    structures = job.sizing.structures
    views = {one.index: named_views(one) for one in structures}
    stills = {one.index: [Still(DOT, 1, 1, f"{one.name}, still")] for one in structures}
    pictures = {number: data_uri(one, Issue()) for number, one in job.pictures.items()}
    file = folder / "proof.html"
    file.write_bytes(proof_page(job, SAY, issue or Issue("B"), views, stills, pictures))
    return file


@pytest.fixture(scope="module")
def full(tmp_path_factory):
    return page_of(full_job(), tmp_path_factory.mktemp("page"))


@pytest.fixture
def opened(open_page):
    """A page whose first display stands; without motion, so that nothing is on its way when it is looked at."""

    def one(file, width=1024, height=800, **options):
        page = open_page(file, width, height, **{"reduced_motion": "reduce", **options})
        page.page.wait_for_selector(".stage .face", state="attached")
        return page

    return one


def turned_to(page, azimuth, elevation):
    """The first display seen from there, by one of the page's own buttons; its stage's box, scale and eye."""
    return page.evaluate(
        """([a, e]) => {
          const button = document.querySelector('.stand-in .controls button.view');
          button.dataset.azimuth = a; button.dataset.elevation = e; button.click();
          const s = document.querySelector('.stage'), r = s.getBoundingClientRect();
          return [r.left + s.clientLeft, r.top + s.clientTop, s.clientWidth, s.clientHeight, +s.dataset.scale, +s.dataset.deep];
        }""",
        [azimuth, elevation],
    )


def seen_at(point, data, azimuth, elevation, stage):
    """Where a point in structure mm stands on the screen: turned by −azimuth about z, tipped by the elevation, then drawn
    from an eye ``deep`` pixels before the picture, straight before the stage's middle."""
    left, top, wide, high, scale, deep = stage
    x, y, z = ((p - m) * data["unit"] * scale for p, m in zip(point, data["middle"], strict=True))
    a, e = radians(-azimuth), radians(elevation)
    x, y = x * cos(a) - y * sin(a), x * sin(a) + y * cos(a)
    up, near = z * cos(e) + y * sin(e), z * sin(e) - y * cos(e)
    grow = deep / (deep - near)
    return left + wide / 2 + x * grow, top + high / 2 - up * grow


def scene(page):
    return json.loads(page.locator("#scenes").text_content())["display-1"]


SPOTS = """() => [...document.querySelectorAll('.stage .face.panel')].map((face) => {
  const spots = JSON.parse(face.dataset.ring).map(([x, y]) => {
    const dot = document.createElement('i');
    Object.assign(dot.style, { position: 'absolute', width: 0, height: 0, left: `${x}px`, top: `${y}px` });
    face.append(dot);
    const box = dot.getBoundingClientRect();
    dot.remove();
    return [box.left, box.top];
  });
  return [Number(face.dataset.number), spots];
})"""


@pytest.mark.parametrize("name", ORDERS)
def test_vertices_stand_where_another_projection_puts_them(name, opened, tmp_path):
    job = job_of_cells(ORDERS[name])
    (structure,) = job.sizing.structures
    page = opened(page_of(job, tmp_path)).page
    outlines = {n: bay.outline for n, bay in zip(structure.numbers, structure.bays, strict=True)}
    for azimuth, elevation in ((28, 18), (-140, 35), (75, -20)):
        stage = turned_to(page, azimuth, elevation)
        found = page.evaluate(SPOTS)
        assert {number for number, _ in found} == {panel.number for panel in structure.panels}
        for number, spots in found:
            for (x, y), vertex in zip(spots, outlines[number], strict=True):
                ex, ey = seen_at(vertex, scene(page), azimuth, elevation, stage)
                assert hypot(x - ex, y - ey) < 1, (name, number, vertex)


@pytest.mark.parametrize("name", ORDERS)
def test_every_cell_lies_on_its_own_face_unmirrored_and_unturned(name, opened, tmp_path):
    job = job_of_cells(ORDERS[name])
    (structure,) = job.sizing.structures
    page = opened(page_of(job, tmp_path)).page
    page.evaluate("document.querySelector('.stage').scrollIntoView()")
    data = scene(page)
    dims = {one["number"]: one["shade"] for one in data["faces"] if one["role"] == "panel"}
    cells_of = {panel.number: places(panel) for panel in structure.panels}
    checked = {panel.number: set() for panel in structure.panels}
    for azimuth, elevation in ((28, 18), (118, 18), (-152, 18), (-62, 18), (-20, -50), (20, 65), (160, 40)):
        if all(len(checked[number]) == len(wanted) for number, wanted in cells_of.items()):
            break
        stage = turned_to(page, azimuth, elevation)
        picture = np.asarray(Image.open(io.BytesIO(page.screenshot())).convert("RGB"), float)
        for panel in structure.panels:
            toward = (sin(radians(azimuth)) * cos(radians(elevation)), -cos(radians(azimuth)) * cos(radians(elevation)))
            if np.cross(*axes(panel)) @ (*toward, sin(radians(elevation))) < 0.2:
                continue  # from behind, or so flat that a pixel holds two cells
            spots = [
                (row, column, seen_at(p, data, azimuth, elevation, stage)) for row, column, p in cells_of[panel.number]
            ]
            tops = page.evaluate(
                "(spots) => spots.map(([x, y]) => document.elementFromPoint(x, y)?.closest('.face')?.dataset.number)",
                [at for *_, at in spots],
            )
            for (row, column, (x, y)), top in zip(spots, tops, strict=True):
                if top != str(panel.number):  # something else stands before it: the browser's own word
                    continue
                wanted = colour(panel.number, row, column) * (1 - dims[panel.number])
                assert abs(picture[int(y), int(x)] - wanted).max() <= 14, (name, panel.number, row, column, azimuth)
                checked[panel.number].add((row, column))
    for panel in structure.panels:
        assert len(checked[panel.number]) >= 0.6 * len(cells_of[panel.number]) > 0, (
            name,
            panel.number,
            checked[panel.number],
        )


def test_from_behind_one_sees_a_bare_back_and_no_mirrored_art(opened, tmp_path):
    """A box without a lid and a front, looked into: the inner sides are plain cloth."""
    job = job_of_cells(BOX + 'omit = ["front", "top"]\n')
    page = opened(page_of(job, tmp_path)).page
    page.evaluate("document.querySelector('.stage').scrollIntoView()")
    (structure,) = job.sizing.structures
    stage = turned_to(page, 0, 20)
    picture = np.asarray(Image.open(io.BytesIO(page.screenshot())).convert("RGB"), float)
    back = next(panel for panel in structure.panels if panel.bay.face.name == "back")
    for _, _, point in places(back):
        x, y = seen_at(point, scene(page), 0, 20, stage)
        seen = picture[int(y), int(x)]
        assert seen.max() - seen.min() < 12 and seen.min() > 150, (point, seen)


def test_it_asks_for_nothing_and_says_nothing_ill_and_axe_finds_no_serious_fault(full, opened):
    for width in (390, 1024, 1920):
        page = opened(full, width=width)
        for box in ("#show-lines", "#show-person"):
            page.page.locator(box).click()
        for index in range(page.page.locator(".display").count()):
            page.page.evaluate(f"document.querySelectorAll('.display')[{index}].scrollIntoView()")
            page.page.wait_for_timeout(100)
        assert page.page.locator(".stage .scene").count() == 3
        assert page.errors == [] and page.requests == []
        assert page.serious_faults() == []
        wide = page.page.evaluate("[document.documentElement.scrollWidth, innerWidth]")
        assert wide[0] <= wide[1], "the page is wider than the screen"


def state(page):
    return page.evaluate(
        "(() => { const d = document.querySelector('.stage').dataset; return [+d.azimuth, +d.elevation, +d.zoom]; })()"
    )


def press(page, act):
    page.locator(".controls").first.locator(f"[data-act={act}]").click()


def test_every_button_does_what_it_says(full, opened):
    page = opened(full).page
    azimuth, elevation, zoom = first = state(page)
    press(page, "left")
    assert state(page) == [azimuth - 15, elevation, zoom]
    press(page, "right")
    press(page, "right")
    assert state(page) == [azimuth + 15, elevation, zoom]
    press(page, "up")
    assert state(page)[1] == elevation + 10
    press(page, "down")
    press(page, "down")
    assert state(page)[1] == elevation - 10
    press(page, "nearer")
    assert state(page)[2] > zoom
    press(page, "farther")
    press(page, "farther")
    assert state(page)[2] < zoom
    press(page, "reset")
    assert state(page) == first
    assert "front right" in page.locator(".where").first.text_content()
    page.get_by_role("button", name="From the back left").first.click()
    assert state(page)[0] == -152
    assert "back left" in page.locator(".where").first.text_content()


def test_keys_turn_and_bring_nearer(full, opened):
    page = opened(full).page
    azimuth, elevation, zoom = first = state(page)
    page.locator(".stage").first.focus()
    for key, wanted in (
        ("ArrowLeft", [azimuth - 15, elevation, zoom]),
        ("ArrowRight", first),
        ("ArrowUp", [azimuth, elevation + 10, zoom]),
        ("ArrowDown", first),
    ):
        page.keyboard.press(key)
        assert state(page) == wanted, key
    page.keyboard.press("+")
    assert state(page)[2] == pytest.approx(1.3)
    page.keyboard.press("Shift+ArrowRight")
    assert "translate(-40px, 0px)" in page.evaluate("document.querySelector('.eye').style.transform")
    page.keyboard.press("-")
    page.keyboard.press("-")
    assert state(page)[2] == pytest.approx(1 / 1.3)
    page.keyboard.press("0")
    assert state(page) == first
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.dataset.act") == "left"  # nobody is held in the picture


def test_mouse_turns_and_the_wheel_brings_nearer_once_the_picture_is_chosen(full, opened):
    page = opened(full).page
    page.locator(".stage").first.scroll_into_view_if_needed()
    box = page.locator(".stage").first.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    azimuth, elevation, zoom = state(page)
    page.mouse.move(x, y)
    page.mouse.wheel(0, -200)
    assert state(page)[2] == zoom  # the page scrolls; the picture is not chosen yet
    box = page.locator(".stage").first.bounding_box()
    y = box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 100, y + 20)
    page.mouse.up()
    # what is dragged to the right comes to the right: one walks to the left
    assert state(page)[:2] == pytest.approx([azimuth - 40, elevation + 6])
    page.mouse.wheel(0, -200)
    page.wait_for_timeout(200)
    assert state(page)[2] > zoom


def test_a_finger_turns_it_and_two_bring_it_nearer(full, opened):
    page = opened(full, width=390, height=844, has_touch=True, is_mobile=True).page
    page.evaluate("document.querySelector('.stage').scrollIntoView()")
    azimuth, _, zoom = state(page)
    box = page.locator(".stage").first.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    touch = page.context.new_cdp_session(page)

    def send(kind, *points):
        touch.send(
            "Input.dispatchTouchEvent",
            {"type": kind, "touchPoints": [{"x": a, "y": b, "id": i} for i, (a, b) in enumerate(points)]},
        )

    send("touchStart", (x, y))
    for step in range(1, 11):
        send("touchMove", (x + 8 * step, y))
    send("touchEnd")
    assert state(page)[0] < azimuth - 15
    send("touchStart", (x - 30, y), (x + 30, y))
    for step in range(1, 9):
        send("touchMove", (x - 30 - 8 * step, y), (x + 30 + 8 * step, y))
    send("touchEnd")
    assert state(page)[2] > zoom * 1.5


def test_switches_show_and_hide(full, opened):
    page = opened(full).page
    finding, line = (
        page.locator("#panel-1 svg.flat .findings polygon").first,
        page.locator("#panel-1 svg.flat g.over.lines path").first,
    )
    in_space = page.locator(".stage .face[data-number='1'] .findings polygon").first
    assert finding.is_visible() and in_space.is_visible() and not line.is_visible()
    page.locator("#show-findings").focus()
    page.keyboard.press("Space")
    assert not finding.is_visible() and not in_space.is_visible()
    page.locator("#show-lines").click()
    assert line.is_visible() and page.locator(".legend").is_visible()
    flat = page.locator("#panel-1 svg.flat")
    assert flat.get_attribute("viewBox") == flat.get_attribute("data-page")
    assert page.locator(".stage .person").first.is_visible()
    page.locator("#show-person").click()
    assert not page.locator(".stage .person").first.is_visible()


def test_light_is_offered_for_lit_structures_alone_and_called_an_approximation(full, opened):
    page = opened(full).page
    assert page.locator("[data-act=light]").count() == 1  # of three displays one is lit
    note = page.locator(".approximate")
    assert not note.is_visible()
    page.locator("[data-act=light]").focus()
    page.keyboard.press("Enter")
    assert page.locator("[data-act=light]").get_attribute("aria-pressed") == "true"
    assert note.is_visible() and "approximation" in note.text_content()
    assert page.locator(".stand-in.lit").count() == 1
    page.locator("[data-act=light]").click()
    assert not note.is_visible()


def test_a_panel_is_looked_at_closer_and_left_again_by_keys(full, opened):
    page = opened(full).page
    page.locator(".closer").first.focus()
    page.keyboard.press("Enter")
    dialog = page.locator("#closer")
    assert dialog.is_visible() and "Panel 1" in page.locator("#closer-name").text_content()
    before = float(page.locator(".pane svg").get_attribute("width"))
    page.keyboard.press("+")
    assert float(page.locator(".pane svg").get_attribute("width")) == pytest.approx(1.5 * before)
    page.locator("[data-zoom='-1']").click()
    assert float(page.locator(".pane svg").get_attribute("width")) == pytest.approx(before)
    page.keyboard.press("Escape")
    assert not dialog.is_visible()
    assert page.evaluate("document.activeElement.classList.contains('closer')")


def test_motion_is_left_out_for_who_asked_for_that_and_shown_to_others(full, opened):
    calm = opened(full).page
    calm.get_by_role("button", name="From the back left").first.click()
    assert state(calm)[0] == -152
    lively = opened(full, reduced_motion="no-preference").page
    lively.get_by_role("button", name="From the back left").first.click()
    assert state(lively)[0] != -152
    lively.wait_for_selector(".stage[data-azimuth='-152']")


def test_without_its_script_it_is_a_still_page_with_pictures(full, open_page):
    page = open_page(full, 1024, 800, java_script_enabled=False).page
    assert page.locator(".stills img").first.is_visible()
    assert not page.locator(".stage").first.is_visible()
    assert not page.locator(".closer").first.is_visible()
    assert page.locator("#panel-1 svg.flat").is_visible()


def test_printed_it_shows_stills_and_every_panel_and_no_control(full, opened):
    page = opened(full).page
    page.emulate_media(media="print")
    assert page.locator(".stills img").first.is_visible()
    for hidden in (".stage", ".controls", ".switches", ".closer"):
        assert not page.locator(hidden).first.is_visible(), hidden
    assert page.locator("#panel-1 svg.flat").is_visible()


def test_the_structure_is_told_in_words(tmp_path, opened):
    finding = Finding("art-missing", "error", panel=2, evidence={"panels": [2]})
    page = opened(page_of(job_of_cells(HUNG_CUBE, [finding]), tmp_path)).page
    words = page.locator("#panel-4").inner_text()
    # panel 4 of a cube hung by a tip looks down at +60°: two upper sides above it, two lower ones beside it
    for side, number in (("upper left", 1), ("upper right", 2), ("lower right", 5), ("lower left", 6)):
        assert re.search(rf"{side}: panel {number}, round the corner", words), words
    assert "no artwork yet" in page.locator("#panel-2").inner_text()
    assert "There is no artwork for panel 2." in page.locator("#panel-2 ol.said li").inner_text()


def test_what_an_order_says_is_escaped_and_runs_nothing(tmp_path, open_page):
    evil = "<script>document.title='ill'</script><img src=x onerror=alert(1)>"
    body = BOX.replace('"tower"', f'"{evil}"') + "[[structure.panel]]\npanel = 5\nblank = true\n"
    changes = Changes("A", lambda paper: None, (evil,))
    page = open_page(page_of(job_of_cells(body), tmp_path, Issue("B", changes=changes)))
    page.page.wait_for_selector(".stage .face", state="attached")
    assert page.page.title() != "ill" and page.errors == [] and page.requests == []
    assert page.page.locator("img[src=x]").count() == 0
    assert page.page.locator(".display h2").first.inner_text() == evil


def test_its_policy_lets_only_its_own_style_and_script_run(full):
    text = full.read_text(encoding="utf-8")
    policy = re.search(r'Content-Security-Policy" content="([^"]+)"', text).group(1).replace("&#39;", "'")
    assert policy.startswith("default-src 'none'; img-src data:; ")
    assert "unsafe" not in policy and "http" not in policy
    for tag, rule in (("style", "style-src"), ("script", "script-src")):
        (inside,) = re.findall(rf"<{tag}>(.*?)</{tag}>", text, re.DOTALL)
        digest = base64.b64encode(hashlib.sha256(inside.encode()).digest()).decode()  # W3C CSP 3: of the element's text
        assert f"{rule} 'sha256-{digest}'" in policy
    assert not re.search(r"<[^>]+\s(style|on[a-z]+)=", text)
    assert "http:" not in text.replace("http://www.w3.org/2000/svg", "") and "https:" not in text

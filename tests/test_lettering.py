"""Lettering that is no live text: pages set by reportlab from known places, then flattened by pdfium; where ink lies comes
from the font's own outlines (`art_made.ink`). The detector's own measure is the labelled set (`benchmarks/lettering`)."""

import re
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import art_made
import numpy as np
import pytest
import zoo
from art_made import Lettering, target_of, upright_word
from attrs import evolve
from pypdfium2 import PdfDocument
from shapely import Polygon

from artgen import job
from artgen.art import read
from artgen.art.facts import FileFacts, FileFault
from artgen.checks import Finding, LaidSeen, Observations, check, wrong_words
from artgen.placing import Claim, Claims, Laid, lay
from artgen.sizing.panel import apply, placed
from artgen.survey import PlacedWord, lettering, lettering_seen, look, looking, placed_words, reading_available
from artgen.survey.lettering import find as find_lettering
from artgen.survey.lettering.ground import lettering_alone
from artgen.survey.lettering.ink import _split, words_in
from artgen.survey.lettering.lines import Line, added
from artgen.survey.lettering.models import Reading
from artgen.survey.lettering.reader import _lettered, _parted, _says, _shows, _tells, _Try
from artgen.survey.lettering.views import Picture, _on_side
from artgen.survey.windows import Rgba, Window, seen_through

needs_reading = pytest.mark.skipif(not reading_available(), reason="artgen[reading] is not installed")
ROOT = Path(__file__).resolve().parents[1]
SEAMED = zoo.WALL.replace("3000", "5600").replace("2400", "2500") + 'fabric = "brushed-knit"\n'
SCALE = 10.0


def page(folder: Path, body: str, words: Sequence[Lettering], dpi: int = 200, wrap: str = "") -> tuple[Path, Laid]:
    """A flattened page at 1:10 on panel 1, or on the wrap; words in mm of the page. ``dpi`` 0: left as a PDF."""
    _, target = target_of(body, None if wrap else 1, wrap)
    xs, ys = zip(*(point for outline in target.outline("art") for point in outline), strict=True)
    size = (max(xs) / SCALE, max(ys) / SCALE)
    file = art_made.pdf(folder / "panel-1.pdf", size, words, (0, 0, *size))
    if dpi:
        with PdfDocument(file) as document:
            image = document[0].render(scale=dpi / 72).to_pil().convert("RGB")
        file = folder / "panel-1.png"
        image.save(file, dpi=(dpi, dpi))
    facts = read(file)
    assert isinstance(facts, FileFacts)
    laid = lay(Claim(target, file.name, 1), facts.pages[0])
    assert laid.fits == "art"
    return file, laid


def plane(file: Path, laid: Laid) -> lettering.Picture:
    window = lettering.plane_window(laid)
    seen = seen_through(file, laid, [window])
    assert not isinstance(seen, FileFault)
    return lettering.on_cloth(seen[0], window)


def findings(file: Path, laid: Laid, body: str, wrap: str = "") -> tuple[Finding, ...]:
    live = placed_words(laid)
    seen = lettering_seen(plane(file, laid), laid, live, wrong_words)
    return checked(laid, body + wrap, (*live, *seen.words))


def checked(laid: Laid, body: str, words: Sequence[PlacedWord]) -> tuple[Finding, ...]:
    """What the rules on words say of them."""
    files = {laid.claim.file: FileFacts("pdf", (laid.facts,))}
    found = check(Observations(zoo.sized(body), Claims((laid.claim,)), files, (LaidSeen(laid, tuple(words)),))).findings
    how_set = ("text-too-small", "text-against-upright")
    return tuple(f for f in found if f.rule.startswith(("text-", "lettering-")) and f.rule not in how_set)


# what is found in pixels


@needs_reading
@pytest.mark.parametrize("angle", [0.0, 90.0, 45.0, 180.0])
def test_a_flattened_word_over_a_fold_line_is_an_error_as_if_it_were_live(tmp_path: Path, angle: float) -> None:
    """Its middle stands on the fold line: 44 mm of cloth and bleed from the page's left edge, 4.4 mm of the page."""
    word = Lettering("harbour", 4.4, 120, 24, angle)
    (x, y) = np.mean(word.quad, axis=0)
    word = evolve(word, x=word.x + 5.4 - x, y=120 + 120 - y)
    file, laid = page(tmp_path, zoo.WALL, [word])
    (finding,) = findings(file, laid, zoo.WALL)
    assert (finding.rule, finding.severity) == ("text-in-tuck", "error")
    if angle == 90:  # lies along the line, whole: the letters can be read
        assert finding.evidence["text"] == "harbour"
    assert (finding.evidence["source"], finding.evidence["read"]) == ("seen", True)


@needs_reading
def test_the_ink_of_a_seen_word_is_where_the_font_puts_it(tmp_path: Path) -> None:
    words = [Lettering("stone", 100, 60, 12), Lettering("paper", 150, 150, 20, 90), Lettering("boats", 60, 110, 15, 45)]
    file, laid = page(tmp_path, zoo.WALL, words)
    seen = find_lettering(plane(file, laid), laid, ())
    assert len(seen.words) == 3
    for word in words:
        wanted = np.array([apply(laid.matrix, point) for point in word.quad])
        middle = wanted.mean(axis=0)
        near = min(seen.words, key=lambda one: float(np.linalg.norm(np.mean(one.quad, axis=0) - middle)))
        # every vertex of the true box has one of the found box within its slack, a pixel and 3 % of the em (turned edges)
        for vertex in wanted:
            off = min(float(np.linalg.norm(np.array(point) - vertex)) for point in near.quad)
            assert off < near.slack + 2 + 0.03 * word.size * SCALE + (8 if word.angle == 45 else 0), (word.text, off)


@needs_reading
def test_a_line_through_the_gap_between_words_cuts_nothing(tmp_path: Path) -> None:
    """The seam of the 5.6 m wall stands in its middle; first the gap lies on it, then the second word."""
    seam = target_of(SEAMED, 1)[1].panels[0].seams[0].at / SCALE
    left, right = art_made.ink("morning"), art_made.ink("market")
    size, gap = 24.0, 7.5  # gap of ink in mm: 75 mm at full size, more than twice the seam clearance
    first = Lettering("morning", seam - gap / 2 - left[2] * size, 120, size)
    second = Lettering("market", seam + gap / 2 - right[0] * size, 120, size)
    file, laid = page(tmp_path, SEAMED, [first, second], 120)
    assert findings(file, laid, SEAMED) == ()
    moved = [evolve(word, x=word.x - gap / 2 - 20) for word in (first, second)]
    file, laid = page(tmp_path, SEAMED, moved, 120)
    (finding,) = findings(file, laid, SEAMED)
    assert (finding.rule, finding.evidence["text"]) == ("text-crosses-seam", "market")


@needs_reading
def test_live_words_are_not_found_again(tmp_path: Path) -> None:
    words = [Lettering("forest", 2, 100, 20), Lettering("peat", 100, 60, 8)]
    file, laid = page(tmp_path, zoo.WALL, words, dpi=0)
    seen = find_lettering(plane(file, laid), laid, placed_words(laid))
    assert seen.words == ()
    (finding,) = findings(file, laid, zoo.WALL)
    assert (finding.rule, finding.evidence["source"]) == ("text-in-tuck", "live")


@needs_reading
def test_a_page_without_lettering_has_none_and_the_same_page_gives_the_same(tmp_path: Path) -> None:
    file, laid = page(tmp_path, zoo.WALL, [])
    assert findings(file, laid, zoo.WALL) == ()
    file, laid = page(tmp_path, zoo.WALL, [Lettering("lantern", 1, 100, 20)])
    assert findings(file, laid, zoo.WALL) == findings(file, laid, zoo.WALL) != ()


# gaps


def columns(*runs: int) -> np.ndarray:
    """A mask 40 rows high: ink and gap in turn, so many columns each."""
    filled = np.concatenate([np.full(n, i % 2 == 0) for i, n in enumerate(runs)])
    return np.tile(filled, (40, 1))


def test_gaps_part_words_from_three_tenths_of_the_height() -> None:
    """40 rows: 12 columns part words, 11 don't."""
    assert len(_split(columns(30, 11, 30), 40)) == 1
    assert _split(columns(30, 12, 30), 40) == [(0, 30), (42, 72)]


def test_in_long_lines_the_usual_gap_counts() -> None:
    """Letters 4 apart: 9 columns part words (2.2 × 4 = 8.8). Letters 10 apart, as spaced capitals are: 12 don't part them."""
    assert len(_split(columns(9, 4, 9, 4, 9, 9, 9, 4, 9), 40)) == 2
    assert len(_split(columns(9, 4, 9, 4, 9, 8, 9, 4, 9), 40)) == 1
    assert len(_split(columns(9, 10, 9, 10, 9, 12, 9, 10, 9), 40)) == 1


def test_letters_alike_and_apart_are_one_word() -> None:
    """Three narrow pieces, 14 apart each: a word widely spaced. Gaps of 14 and 30 part words, and so do wide pieces."""
    assert len(_split(columns(20, 14, 20, 14, 20), 40)) == 1
    assert len(_split(columns(20, 14, 20, 30, 20), 40)) == 3
    assert len(_split(columns(50, 14, 50, 14, 50), 40)) == 3


def line(x: float, y: float, length: float, height: float, score: float = 0.9) -> Line:
    outline = Polygon([(x, y), (x + length, y), (x + length, y + height), (x, y + height)])
    return Line(outline, (x + length / 2, y + height / 2, length, height, 0.0), score, 2.0, False)


def test_a_line_seen_from_afar_is_a_heap_of_lines_only_if_these_are_nearly_as_sure() -> None:
    """0.75 of its score: a paragraph's lines are as sure as the paragraph from afar, bits of a pattern in a word are not."""
    large = line(0, 0, 1000, 400, 0.8)
    assert added([line(100, 100, 300, 100, 0.61)], [large])[1:] == []
    assert added([line(100, 100, 300, 100, 0.6)], [large])[1:] == [large]
    assert added([line(0, 0, 1000, 210, 0.6)], [large])[1:] == []  # more than half of it is known


@needs_reading
def test_words_come_from_the_picture_that_shows_ink_as_large_as_the_line() -> None:
    """In one picture a bit of the line alone has a clear colour: a tenth of it. In the next the word has; it fills 0.6 of the
    line's height and 0.9 of its length."""
    to_plane = (1.0, 0.0, 0.0, -1.0, 0.0, 200.0)
    bit, word = (np.full((200, 400, 3), 240, np.uint8) for _ in range(2))
    bit[95:105, 100:200] = 20
    for left in range(55, 340, 20):
        word[80:116, left : left + 14] = 20
    seen = line(50, 70, 300, 60)
    pictures = [Picture(rgb, 1.0, to_plane) for rgb in (bit, word)]
    for order in (pictures, pictures[::-1]):
        (found,) = words_in(order, seen, 0.0)
        assert Polygon(found.quad).bounds == pytest.approx((55, 84, 349, 120), abs=1)
        assert found.slack == pytest.approx(1)
    # of a line 80 high it is 0.44, less than usual: the same word, but with a doubt of 0.12 of the line's height
    (found,) = words_in(pictures[1:], line(50, 60, 300, 80), 0.0)
    assert Polygon(found.quad).bounds == pytest.approx((55, 84, 349, 120), abs=1)
    assert found.slack == pytest.approx(0.12 * 80)
    # nothing shows it: the line's own outline stands for its ink, with a doubt of 0.12 of its height
    (found,) = words_in(pictures[:1], seen, 0.0)
    assert Polygon(found.quad).bounds == pytest.approx((50, 70, 350, 130), abs=1.5)
    assert found.slack == pytest.approx(0.12 * 60, abs=0.2)


def test_a_view_on_its_side_is_of_the_same_places() -> None:
    """The pixel at column 7, row 3 of 10 × 5 becomes that at column 3, row 2: 9 − 7."""
    rgb = np.arange(150, dtype=np.uint8).reshape(5, 10, 3)
    view = Picture(rgb, 2.0, (2.0, 0.0, 0.0, -2.0, 100.0, 300.0))
    side = _on_side(view)
    assert side.rgb.shape == (10, 5, 3)
    assert (side.rgb[2, 3] == rgb[3, 7]).all()
    assert placed(side.to_plane, ((3.5, 2.5),)) == placed(view.to_plane, ((7.5, 3.5),))


def test_words_that_the_reader_parts_have_their_own_ink() -> None:
    """Eight signs, 40 px apart in a line of 320 × 40 px, 1 px = 1 mm; the fourth is the space."""
    quad = ((0.0, 0.0), (320.0, 0.0), (320.0, 40.0), (0.0, 40.0))
    word = PlacedWord("the moor", quad, 40.0, 0.0, "seen")
    reading = Reading("the moor", 0.9, tuple((i + 0.5) / 8 for i in range(8)))
    parts = _parted(word, _Try(reading, (1.0, 0.0, 0.0, -1.0, 0.0, 40.0), (320, 40), (0.0, 0.0)))
    assert [part.text for part in parts] == ["the", "moor"]
    for part, (low, high) in zip(parts, ((0, 120), (160, 320)), strict=True):
        xs = [x for x, _ in part.quad]
        assert low <= min(xs) < low + 8 and high - 8 < max(xs) <= high
        # what the word's hull leaves of the part's own box, which is told less surely by 0.1 of its height
        assert Polygon(part.hull).equals(Polygon(part.quad))
        assert part.slack == pytest.approx(4.0)


def test_single_letters_in_a_row_are_one_word() -> None:
    quad = ((0.0, 0.0), (280.0, 0.0), (280.0, 40.0), (0.0, 40.0))
    word = PlacedWord("m o o r", quad, 40.0, 0.0, "seen")
    reading = Reading("m o o r", 0.9, tuple((i + 0.5) / 7 for i in range(7)))
    assert _parted(word, _Try(reading, (1.0, 0.0, 0.0, -1.0, 0.0, 40.0), (280, 40), (0.0, 0.0))) == (word,)


def said(*pairs: tuple[str, float]) -> list[Reading]:
    return [Reading(text, score) for text, score in pairs]


def test_letters_count_if_surely_read_or_read_in_two_kinds_of_picture_the_same_way_up() -> None:
    """0.9 will do in one kind of two, 0.7 in the only one; of two kinds whose readings share a letter, a mean of 0.65. Pictures
    of one kind don't bear each other out."""
    nothing = said(("", 0.0), ("", 0.0))
    assert _lettered([[said(("AB", 0.9), ("", 0.0))], [nothing]], 0.7)
    assert not _lettered([[said(("AB", 0.89), ("", 0.0))], [nothing]], 0.7)
    assert not _lettered([[said(("AB", 0.9), ("", 0.0))], [nothing]], 0.69)
    assert _lettered([[said(("AB", 0.7), ("", 0.0))]], 0.7)
    assert not _lettered([[said(("AB", 0.69), ("", 0.0)), said(("AB", 0.69), ("", 0.0))]], 0.7)
    assert _lettered([[nothing, said(("AB", 0.7), ("", 0.0))]], 0.7)
    assert _lettered([[said(("AB", 0.8), ("", 0.0))], [nothing, said(("xB", 0.5), ("", 0.0))]], 0.7)
    assert not _lettered([[said(("AB", 0.79), ("", 0.0))], [said(("xB", 0.5), ("", 0.0))]], 0.7)
    assert not _lettered([[nothing], [said(("AB", 0.8), ("", 0.0)), said(("xB", 0.5), ("", 0.0))]], 0.7)
    assert not _lettered([[said(("AB", 0.8), ("", 0.0))], [said(("", 0.0), ("AB", 0.8))]], 0.7)  # upside down
    assert not _lettered([[said(("AB", 0.8), ("", 0.0))], [said(("xy", 0.8), ("", 0.0))]], 0.7)


def test_many_different_letters_are_enough_with_less_certainty() -> None:
    """Five of them with 0.6; four, or a row of few signs, don't look like lettering alone."""
    nothing = said(("", 0.0))
    assert _lettered([[said(("lower", 0.6))], [nothing]], 0.7)
    assert not _lettered([[said(("lower", 0.59))], [nothing]], 0.7)
    assert not _lettered([[said(("lower", 0.6))], [nothing]], 0.69)
    assert not _lettered([[said(("ower", 0.6))], [nothing]], 0.7)
    assert not _lettered([[said(("OpRO00000", 0.6))], [nothing]], 0.7)


def test_a_lone_letter_must_be_surer() -> None:
    """0.9 in one kind of two, 0.75 in the only one, a mean of 0.85 of two, from a detector sure by 0.75: a bird reads V. Read in
    two kinds by 0.95 it counts whatever the detector thinks."""
    assert _lettered([[said(("B", 0.9))], [said(("", 0.0))]], 0.75)
    assert not _lettered([[said(("B", 0.89))], [said(("", 0.0))]], 0.75)
    assert not _lettered([[said(("V", 0.96))], [said(("", 0.0))]], 0.74)
    assert _lettered([[said(("B", 0.75))]], 0.75) and not _lettered([[said(("B", 0.74))]], 0.75)
    assert _lettered([[said(("B", 0.85))], [said(("B", 0.86))]], 0.75)
    assert not _lettered([[said(("B", 0.85))], [said(("B", 0.84))]], 0.75)
    assert _lettered([[said(("B", 0.95))], [said(("B", 0.96))]], 0.5)
    assert not _lettered([[said(("B", 0.94))], [said(("B", 0.96))]], 0.5)
    # what is as round as a drop counts only where both kinds show it
    assert not _lettered([[said(("D", 0.99))], [said(("", 0.0))]], 0.9)
    assert _lettered([[said(("3", 0.9))], [said(("3", 0.9))]], 0.9)


def test_rings_and_bars_are_no_letters() -> None:
    """A row of pebbles reads as digits, dots as O and D; with what is beside a word they tell nothing either."""
    assert not _lettered([[said(("9-03", 0.95))], [said(("0898.3008", 0.95))]], 0.9)
    assert not _lettered([[said(("I", 0.99))], [said(("I", 0.99))]], 0.9)
    assert not _says(Reading("83", 0.99)) and not _says(Reading("1I", 0.99))
    assert _lettered([[said(("83", 0.95))], [said(("83", 0.95))]], 0.5)  # two kinds agree: it may be a number
    assert not _lettered([[said(("83", 0.94))], [said(("83", 0.95))]], 0.9)
    assert not _lettered([[said(("83", 0.95))], [said(("86", 0.95))]], 0.9)
    assert not _tells(Reading("DOC", 0.99)) and _tells(Reading("DOG1A", 0.99))


def test_a_word_in_another_is_read_only_if_that_one_can_t_be(monkeypatch: pytest.MonkeyPatch) -> None:
    outer, inner = (
        PlacedWord("", ((x0, 0.0), (x1, 0.0), (x1, 80.0), (x0, 80.0)), 80.0, 0.0, "seen", read=False, letters=False)
        for x0, x1 in ((0.0, 500.0), (100.0, 300.0))
    )
    asked: list[PlacedWord] = []

    def read_word(_: object, word: PlacedWord) -> tuple[PlacedWord, ...]:
        asked.append(word)
        return (evolve(word, text="moor", read=word is inner or whole, letters=word is inner or whole),)

    monkeypatch.setattr(lettering, "read_word", read_word)
    seen = lettering.Lettering((outer, inner), frozenset((outer, inner)), 14.0, ())
    whole = True
    (word,) = lettering.read(seen, {outer, inner})
    assert (word.quad, asked) == (outer.quad, [outer])
    whole, asked = False, []
    (word,) = lettering.read(seen, {outer, inner})
    assert (word.quad, asked) == (inner.quad, [outer, inner])


def test_a_short_word_must_be_read_surely() -> None:
    """Up to three letters 0.9, longer ones 0.75."""
    assert _says(Reading("the", 0.9)) and not _says(Reading("the", 0.89))
    assert _says(Reading("moor", 0.75)) and not _says(Reading("moor", 0.74))


def test_a_row_of_one_sign_is_no_word() -> None:
    """Dots in a row read DOOOO with much certainty; of noon each letter is half of it."""
    assert not _says(Reading("DOOOO", 0.95)) and not _shows(Reading("DOOOO", 0.95))
    assert not _says(Reading("alll", 0.95)) and not _shows(Reading("alll", 0.95))
    assert _says(Reading("noon", 0.95)) and _says(Reading("add", 0.95))


# a picture's lettering alone


def test_where_the_whole_plane_is_too_much_its_panels_are_seen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file, laid = page(tmp_path, zoo.WALL, [])
    plain = look(file, laid, wrong_words, reading=False)
    too_much = FileFault("over-limit", "too much")

    def all_but_the_plane(file: Path, laid: Laid, asked: list[Window]) -> list[Rgba] | FileFault:
        return too_much if len(asked) > 1 else seen_through(file, laid, asked)

    monkeypatch.setattr(looking, "seen_through", all_but_the_plane)
    assert look(file, laid, wrong_words, reading=True) == evolve(plain, unread=too_much)
    monkeypatch.setattr(looking, "seen_through", lambda *_: too_much)
    seen = look(file, laid, wrong_words, reading=True)
    assert (seen.fault, seen.unread, seen.pictures, seen.bands) == (too_much, None, {}, {})


@needs_reading
def test_what_fills_the_plane_is_its_ground(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A box of 0.71 of the plane is no line, one of 0.69 is."""
    file, laid = page(tmp_path, zoo.WALL, [])
    x0, y0, x1, y1 = Polygon(laid.target.outline("art")[0]).bounds
    for share, count in ((0.71, 0), (0.69, 1)):
        seen = line(x0, y0, x1 - x0, share * (y1 - y0))
        monkeypatch.setattr(lettering, "lines_in", lambda _, seen=seen: [seen])
        found = find_lettering(plane(file, laid), laid, ())
        assert len(found.words) == count


@needs_reading
@pytest.mark.parametrize("kind", ["flat", "striped", "dotted"])
def test_a_plain_ground_goes_and_what_stands_on_it_stays(kind: str) -> None:
    rgb = patterned(kind)
    rgb[200:280, 300:380] = (20, 20, 20)
    picture = lettering_alone(Picture(rgb, 1.0, (1.0, 0.0, 0.0, -1.0, 0.0, 480.0)))
    assert picture is not None
    assert (picture.step, picture.to_plane) == (1.0, (1.0, 0.0, 0.0, -1.0, 0.0, 480.0))
    dark = picture.rgb[:, :, 0] < 128
    assert dark[202:278, 302:378].all()
    dark[200:280, 300:380] = False
    assert dark.mean() < 0.001


@needs_reading
def test_of_a_picture_the_flat_colours_stay_that_are_in_places_only() -> None:
    """A ground that runs from hue to hue with grain in it, with a flat bar; a flat speckle all over it is ground too."""
    chance = np.random.default_rng(4)
    y, x = np.mgrid[0:480, 0:640]
    rgb = np.stack([x / 4 + 40, y / 3 + 40, 200 - x / 5], axis=2) + chance.normal(0, 9, (480, 640, 1))
    rgb = np.clip(rgb, 0, 255).astype(np.uint8)
    for top in range(0, 480, 40):
        for left in range(0, 640, 40):
            rgb[top + 10 : top + 18, left + 10 : left + 18] = (240, 240, 60)
    rgb[200:280, 300:380] = (20, 20, 20)
    picture = lettering_alone(Picture(rgb, 1.0, (1.0, 0.0, 0.0, -1.0, 0.0, 480.0)))
    assert picture is not None
    dark = picture.rgb[:, :, 0] < 128
    assert dark[202:278, 302:378].all()
    dark[200:280, 300:380] = False
    assert dark.mean() < 0.001


@needs_reading
def test_where_no_colour_tells_there_is_nothing_alone() -> None:
    grain = np.random.default_rng(5).integers(0, 256, (480, 640, 3), dtype=np.uint8)
    assert lettering_alone(Picture(grain, 1.0, (1.0, 0.0, 0.0, -1.0, 0.0, 480.0))) is None


def patterned(kind: str) -> np.ndarray:
    y, x = np.mgrid[0:480, 0:640]
    on = {"flat": x < 0, "striped": (x + y) % 60 < 30, "dotted": (x % 40 - 20) ** 2 + (y % 40 - 20) ** 2 < 100}[kind]
    return np.where(on[:, :, None], (200, 90, 110), (90, 150, 200)).astype(np.uint8)


# what the rules make of seen words


def over_the_fold_line(
    by: float, slack: float, read: bool, letters: bool = True, more: float = 0.0
) -> tuple[Finding, ...]:
    """A seen word with so much ink past the left fold line of a panel alone, and perhaps ``more``."""
    sizing, target = target_of(zoo.WALL, 1)
    laid = art_made.observed(sizing, target, []).laid[0].laid
    fold = min(x for x, _ in target.panels[0].visible)
    quad = upright_word(fold - by, 1000, 300, 100).quad
    reach = upright_word(fold - by - more, 1000, 300, 100).quad if more else ()
    word = PlacedWord("moor" if read else "", quad, 100, 0.0, "seen", read, letters, 0.9, slack, reach)
    return checked(laid, zoo.WALL, [word])


@pytest.mark.parametrize(("read", "rule"), [(True, "text-in-tuck"), (False, "lettering-possible")])
def test_a_seen_word_is_over_a_line_for_certain_only_past_its_own_doubt(read: bool, rule: str) -> None:
    """0.5 mm that do not count, and 2 mm of doubt."""
    (finding,) = over_the_fold_line(2.6, 2.0, read)
    assert finding.rule == rule
    assert finding.severity == ("error" if read else "warning")
    assert finding.evidence["depth_mm"] == pytest.approx(2.6, abs=0.01)
    assert finding.evidence["within_mm"] == 2.0
    # the move clears the whole box, doubt and all: to safe, 40 mm inside the fold line
    assert finding.evidence["move_mm"][0] == pytest.approx(42.6, abs=1.0)


@pytest.mark.parametrize("by", [2.4, -1.4])
@pytest.mark.parametrize(("read", "rule"), [(True, "text-in-tuck"), (False, "lettering-possible")])
def test_within_its_doubt_it_may_be_over_the_line(by: float, read: bool, rule: str) -> None:
    """From 2.5 mm past the line down to 1.5 mm before it: at most 2 mm more of ink are past it."""
    (finding,) = over_the_fold_line(by, 2.0, read)
    assert (finding.rule, finding.severity) == (rule, "warning")
    assert finding.say == ("doubt" if read else "tuck")
    assert finding.evidence["depth_mm"] == pytest.approx(by + 2.0, abs=0.01)


def test_what_may_be_its_ink_too_counts_as_doubt() -> None:
    """Ink ends 10 mm before the fold line; the detector takes 20 mm more for lettering, so 10 mm of it may be past the line, and
    2 mm of slack."""
    (finding,) = over_the_fold_line(-10.0, 2.0, read=True, more=20.0)
    assert (finding.rule, finding.severity, finding.say) == ("text-in-tuck", "warning", "doubt")
    assert finding.evidence["depth_mm"] == pytest.approx(12.0, abs=0.01)
    (finding,) = over_the_fold_line(-10.0, 2.0, read=True, more=5.0)
    assert finding.rule == "text-outside-safe"


def test_a_word_surely_in_the_tuck_may_go_over_the_joint_too() -> None:
    """On a wrap of two bays with a reveal of 12 mm: its ink goes 6 mm into the reveal, what may be ink 20 mm."""
    body = zoo.WALL.replace('width = "3000 mm"', 'bays = ["1000 mm", "1000 mm"]')
    wrap = '[[wrap]]\npanels = [1, 2]\nfile = "wrap"\n'
    sizing, target = target_of(body, None, wrap)
    laid = art_made.observed(sizing, target, []).laid[0].laid
    edge = max(x for x, _ in placed(target.places[0], target.panels[0].visible))
    quad, reach = (upright_word(edge - 294, 1000, 294 + by, 100).quad for by in (6, 20))
    found = checked(laid, body + wrap, [PlacedWord("moor", quad, 100, 0.0, "seen", slack=1.0, reach=reach)])
    assert [(f.rule, f.severity) for f in found] == [("text-in-tuck", "error"), ("text-crosses-joint", "warning")]


@pytest.mark.parametrize("read", [True, False])
def test_short_of_its_doubt_it_is_not(read: bool) -> None:
    assert {f.rule for f in over_the_fold_line(-1.6, 2.0, read)} == ({"text-outside-safe"} if read else set())
    assert over_the_fold_line(-1.0, 2.0, read=False, letters=False) == ()  # a doubt about a doubt


def test_what_can_t_be_read_is_worth_a_doubt_only_over_a_line() -> None:
    assert over_the_fold_line(-10.0, 1.0, read=False) == ()
    (finding,) = over_the_fold_line(-10.0, 1.0, read=True)
    assert finding.rule == "text-outside-safe"


def test_what_has_no_letter_in_it_is_a_note_and_never_silent() -> None:
    (finding,) = over_the_fold_line(10.0, 1.0, read=False, letters=False)
    assert (finding.rule, finding.severity, finding.audience) == ("lettering-possible", "note", "shop")


# without the extra


def test_without_the_extra_the_report_says_what_was_not_seen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(job, "reading_available", lambda: False)
    order = zoo.order(zoo.WALL)
    (tmp_path / "art").mkdir()
    page(tmp_path / "art", zoo.WALL, [Lettering("lantern", 1, 100, 20)])
    (tmp_path / "art" / "panel-1.pdf").unlink()
    done = job.run(evolve(order, folder=tmp_path), zoo.sized(zoo.WALL))
    assert [f for f in done.findings if f.rule.startswith(("text-", "lettering-"))] == []
    (line,) = [one for one in done.not_examined if "outlines" in one.what]
    assert "artgen[reading]" in line.why


# the labelled set


@pytest.mark.slow
@needs_reading
def test_a_sample_of_the_labelled_set() -> None:
    """The set's numbers are printed by `make lettering`; a sample must not fall far below the goals."""
    command = [sys.executable, str(ROOT / "benchmarks" / "lettering" / "measure.py"), "--quick", "--half", "tuning"]
    said = subprocess.run(command, capture_output=True, text=True, check=True, cwd=ROOT).stdout
    shares = {
        what: float(share) for what, share in re.findall(r"^ +(\D+?) +\d+ of \d+ +([\d.]+) %", said, re.MULTILINE)
    }
    assert shares["recall, outlined and pixels"] >= 93
    assert shares["precision of errors"] >= 93
    blank = re.search(r"([\d.]+) false errors, ([\d.]+) false warnings", said)
    assert blank is not None and float(blank[1]) <= 0.2 and float(blank[2]) <= 1.0

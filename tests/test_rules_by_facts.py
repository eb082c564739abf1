"""Rules that judge by what a file states: a sample that passes, one that fails, and the boundary from both sides.

Pages are no files: facts as a reader would give them, at 1:10 with a margin of 50 mm, on the worked example's box (1076 × 3376 mm
of art, fold lines at 44) unless a test says otherwise.
"""

from collections.abc import Sequence
from typing import Any

import pytest
import zoo
from art_made import Ink, observed, target_of, turned_word, upright_word
from attrs import evolve

from artgen.art.facts import (
    Broken,
    ColourProfile,
    ColourSpace,
    Extra,
    FileFacts,
    Image,
    Layer,
    Lines,
    Overprint,
    TextInk,
    Thin,
    Transparency,
)
from artgen.art.facts import Ink as Inks
from artgen.checks import Finding, LaidSeen, Observations, Settings, check, settings
from artgen.checks.rules.text_too_small import least_capital
from artgen.checks.wording import sentences
from artgen.order import RuleSettings
from artgen.placing import Claim, Claims, Target, lay
from artgen.sizing import Sizing
from artgen.words import words

SAY = words()
SIZING, TARGET = target_of(zoo.BOX, 1)
WIDE, HIGH = 1076.0, 3376.0
IN = 25.4


def page_of(
    page: dict[str, Any] | None = None,
    file: dict[str, Any] | None = None,
    inks: Sequence[Ink] = (),
    on: tuple[Sizing, Target] = (SIZING, TARGET),
    way: str = "sewn",
    pages: int = 1,
) -> Observations:
    """Observations of one page with these facts."""
    seen = observed(*on, inks, way)
    (one,) = seen.laid
    facts = evolve(one.laid.facts, **(page or {}))
    laid = evolve(one, laid=evolve(one.laid, facts=facts))
    return evolve(seen, laid=(laid,), files={"art.pdf": FileFacts("pdf", (facts,) * pages, **(file or {}))})


def found(rule: str, seen: Observations, asked: Settings | None = None) -> list[Finding]:
    return [finding for finding in check(seen, asked).findings if finding.rule == rule]


def the(rule: str, seen: Observations, asked: Settings | None = None) -> Finding:
    (finding,) = found(rule, seen, asked)
    said = sentences(finding, SAY)
    assert said.message and said.advice
    assert "{" not in said.message + said.advice
    return finding


def said(finding: Finding) -> str:
    told = sentences(finding, SAY)
    return f"{told.message} {told.advice}"


def at(x: float, y: float, w: float, h: float) -> tuple[float, float, float, float]:
    """x0, y0, x1, y1 on the page of a rectangle of the panel."""
    return x / 10 + 50, y / 10 + 50, (x + w) / 10 + 50, (y + h) / 10 + 50


# images


def image(x: float, y: float, w: float, h: float, pixels: tuple[int, int], **more: Any) -> Image:
    """An image that fills a rectangle of the panel; its ppi on the page by pixels over inches."""
    x0, y0, x1, y1 = at(x, y, w, h)
    ppi = (pixels[0] / ((x1 - x0) / IN), pixels[1] / ((y1 - y0) / IN))
    return Image(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), pixels, ppi, **more)


def placed(ppi: float, metres: float = 3.0, **more: Any) -> tuple[Observations, Image]:
    """A picture of 20 × 10 in at full size, read from so far away."""
    on = target_of(zoo.BOX + f'reading_distance = "{metres} m"\n', 1)
    made = image(200, 500, 20 * IN, 10 * IN, (round(20 * ppi), round(10 * ppi)), **more)
    return page_of({"images": (made,)}, on=on), made


# acuity: half a minute of arc is 87.32 ppi at 1 m, 174.6 at 0.5 m, 29.1 at 3 m (references; 1 / (2 tan 0.5′) over inches)
@pytest.mark.parametrize(("metres", "need"), [(0.5, 100), (1.0, 88), (1.2, 73), (3.0, 60), (10.0, 60)])
def test_an_image_needs_what_its_reader_can_tell(metres: float, need: int) -> None:
    enough, _ = placed(need, metres)
    assert found("image-coarse", enough) == []
    coarse, _ = placed(need - 0.5, metres)
    finding = the("image-coarse", coarse)
    assert (finding.severity, finding.evidence["needed_ppi"]) == ("warning", need)
    assert finding.evidence["needed_pixels"] == [20 * need, 10 * need]
    assert finding.where == pytest.approx((200, 500, 508, 254), abs=0.02)


@pytest.mark.parametrize(("ppi", "severity"), [(35.9, "error"), (36.1, "warning")])
def test_very_coarse_images_are_errors(ppi: float, severity: str) -> None:
    made = image(200, 500, 20 * IN, 10 * IN, ((20 * 1000), 10000))
    made = evolve(made, ppi=(ppi * 10, 600.0))  # at 1:10 the page has ten times as many; the coarser way counts
    assert the("image-coarse", page_of({"images": (made,)})).severity == severity


def test_the_advice_on_an_image_has_its_pixels() -> None:
    seen, _ = placed(31)
    assert "has 31 pixels an inch" in said(the("image-coarse", seen))
    assert "It needs 1,200 pixels across, has 620. Send it with more pixels, or place it at 51 % of its size." in said(
        the("image-coarse", seen)
    )


def test_small_soft_clipped_and_hidden_images_are_left_alone() -> None:
    tiny = image(200, 500, 49.9, 20, (10, 10))
    assert found("image-coarse", page_of({"images": (tiny,)})) == []
    assert found("image-coarse", page_of({"images": (image(200, 500, 50.1, 20, (10, 10)),)})) != []
    outside = image(-300, 500, 200, 200, (10, 10))
    assert found("image-coarse", page_of({"images": (outside,)})) == []
    big = image(200, 500, 300, 300, (10, 10))
    assert found("image-coarse", page_of({"images": (evolve(big, clip=()),)})) == []
    hidden = page_of({"images": (evolve(big, layer="old"),)}, {"layers": (Layer("old", False, False, (1,)),)})
    assert found("image-coarse", hidden) == []
    soft = the("image-coarse", page_of({"images": (evolve(big, masked="soft", filters=("FlateDecode",)),)}))
    assert (soft.severity, soft.audience) == ("note", "shop")
    cut_out = evolve(big, masked="soft", filters=("DCTDecode",))
    assert the("image-coarse", page_of({"images": (cut_out,)})).severity == "error"


def test_numbers_of_an_order_count() -> None:
    seen, _ = placed(60)
    asked = settings(("order.toml", {"image-coarse": RuleSettings(numbers={"floor_ppi": 72.0})}))
    assert the("image-coarse", seen, asked).evidence["needed_ppi"] == 72


def test_a_broken_image_is_an_error_where_it_stands() -> None:
    whole = image(200, 500, 300, 300, (400, 400))
    assert found("image-broken", page_of({"images": (whole,)})) == []
    broken = {"broken": (Broken((400, 400), "has 40 % of its data"),)}
    finding = the("image-broken", page_of({"images": (whole,)}, broken))
    assert (finding.severity, finding.panel) == ("error", 1)
    assert finding.where == pytest.approx((200, 500, 300, 300), abs=0.02)
    assert "400 × 400 pixels can't be drawn whole: it has 40 % of its data." in said(finding)
    # of a file with several pages, one that stands on another page
    assert found("image-broken", page_of({"images": ()}, broken, pages=2)) == []
    assert the("image-broken", page_of({}, {"broken": (Broken((0, 0), "a picture in it that is damaged"),)})).where


def test_references_that_lead_out_of_the_file() -> None:
    assert found("reference-missing", page_of()) == []
    harmless = {"blocked": ("document type: http://example.com/a.dtd", "entity x: y.txt")}
    assert found("reference-missing", page_of({}, harmless)) == []
    finding = the("reference-missing", page_of({}, {"blocked": ("../links/heron.tif", *harmless["blocked"])}))
    assert finding.severity == "error"
    assert "refers to what did not come with it: ../links/heron.tif." in said(finding)


# lines


def thin(kind: Any, width: float, x: float, y: float, w: float, h: float) -> Thin:
    return Thin(kind, width / 10, at(x, y, w, h))


@pytest.mark.parametrize("kind", ["stroke", "fill"])
def test_thin_lines_from_both_sides(kind: str) -> None:
    fine = thin(kind, 0.35, 300, 500, 200, 0.35)
    assert found("line-too-thin", page_of({"lines": Lines(1, 1, (fine,))})) == []
    finding = the("line-too-thin", page_of({"lines": Lines(1, 1, (evolve(fine, width=0.0345),))}))
    assert (finding.severity, finding.evidence["width_mm"], finding.evidence["count"]) == ("warning", 0.345, 1)
    assert "at least 0.35 mm, 0.035 mm on the 1:10 page" in said(finding)


def test_dots_steps_of_a_shade_and_lines_outside_are_no_thin_lines() -> None:
    dot = thin("fill", 0.2, 300, 500, 0.3, 0.2)
    steps = [thin("fill", 0.3, 300, 500 + n * 0.3, 200, 0.3) for n in range(20)]
    outside = thin("stroke", 0.1, -400, 500, 200, 0.1)
    assert found("line-too-thin", page_of({"lines": Lines(9, 9, (dot, *steps, outside))})) == []
    apart = [thin("fill", 0.3, 300, 500 + n * 3.0, 200, 0.3) for n in range(20)]
    finding = the("line-too-thin", page_of({"lines": Lines(0, 20, tuple(apart))}))
    assert finding.evidence["count"] == 20


def test_one_finding_a_panel() -> None:
    sizing, target = target_of(zoo.BOX, wrap='[[wrap]]\npanels = [1, 2, 3, 4]\nfile = "a.pdf"\n')
    lines = tuple(thin("stroke", 0.1 + n / 100, 200 + 300 * n, 500, 90, 0.1) for n in range(10))
    findings = found("line-too-thin", page_of({"lines": Lines(10, 0, lines)}, on=(sizing, target)))
    assert [finding.panel for finding in findings] == [1, 2, 3, 4]
    assert sum(finding.evidence["count"] for finding in findings) == 10


# colour


RGB, ICC = ColourSpace("DeviceRGB", parts=3), ColourSpace("ICCBased", parts=3, profile="ab")
CMYK = ColourSpace("DeviceCMYK", parts=4)


def test_rgb_without_a_profile_is_the_shop_s_warning() -> None:
    for space in (ICC, CMYK, ColourSpace("DeviceGray"), ColourSpace("RGB", parts=3, profile="ab")):
        assert found("colour-space", page_of({"ink": Inks((space,))})) == []
    for space in (RGB, ColourSpace("RGB", parts=3), ColourSpace("Indexed", "DeviceRGB")):
        finding = the("colour-space", page_of({"ink": Inks((space,))}))
        assert (finding.severity, finding.audience) == ("warning", "shop")
    assert found("colour-space", page_of({"images": (image(200, 500, 300, 300, (900, 900), space=RGB),)})) != []


def test_an_output_intent_or_an_svg_says_what_rgb_means() -> None:
    profile = ColourProfile("ab", "some RGB", "RGB")
    bare = {"ink": Inks((RGB,))}
    assert found("colour-space", page_of(bare, {"intents": ("x",), "profiles": (profile,)})) == []
    assert found("colour-space", page_of(bare, {"intents": ("x",), "profiles": (evolve(profile, space="CMYK"),)})) != []
    seen = page_of(bare)
    svg = evolve(seen, files={"art.pdf": FileFacts("svg", (seen.laid[0].laid.facts,))})
    assert found("colour-space", svg) == []


def test_small_text_of_several_inks_is_told_only_where_it_is_asked_for() -> None:
    def seen(em: float, *inks: str) -> list[Finding]:
        facts = page_of({"ink": Inks((CMYK,), (), (TextInk(inks, em / 10, 3),))})
        assert found("black-built", facts) == []
        return found("black-built", facts, settings(("order.toml", {"black-built": RuleSettings("note")})))

    assert seen(20.0, "Cyan", "Black") == []
    assert [finding.evidence["size_mm"] for finding in seen(19.9, "Cyan", "Black")] == [19.9]
    assert seen(10.0, "Black") == seen(10.0, "Cyan", "Yellow") == []


def test_spot_colours() -> None:
    assert found("spot-colour", page_of({"ink": Inks((CMYK,))})) == []
    assert found("spot-colour", page_of({"ink": Inks((CMYK,), ("Guide cut", "Guide fold"))})) == []
    one = page_of({"ink": Inks((CMYK,), ("Moss 12 C",))})
    assert (the("spot-colour", one).severity, the("spot-colour", one).say) == ("note", "")
    twins = the("spot-colour", page_of({"ink": Inks((CMYK,), ("Moss 12 C", "MOSS 12 CVC", "Bog"))}))
    assert twins.evidence["twins"] == ["Moss 12 C", "MOSS 12 CVC"]
    assert twins.severity == "note"
    other = page_of({"ink": Inks((CMYK,), ("Moss 12 C", "Moss 13 C"))})
    assert the("spot-colour", other).evidence["twins"] == []


def test_inks_that_the_order_does_not_allow_are_a_warning() -> None:
    asked = settings(("order.toml", {"spot-colour": RuleSettings(names={"allowed": ("Moss 12",)})}))
    assert the("spot-colour", page_of({"ink": Inks((CMYK,), ("Moss 12 C",))}), asked).severity == "note"
    strange = the("spot-colour", page_of({"ink": Inks((CMYK,), ("Moss 12 C", "Bog"))}), asked)
    assert (strange.severity, strange.evidence["not_allowed"]) == ("warning", ["Bog"])


def test_white_that_overprints() -> None:
    assert found("overprint-white", page_of({"overprint": Overprint(5, 5, (1,))})) == []
    inside = Overprint(1, 0, (1,), 1, (at(300, 500, 100, 50),))
    finding = the("overprint-white", page_of({"overprint": inside}))
    assert finding.severity == "error"
    assert finding.where == pytest.approx((300, 500, 100, 50), abs=0.2)
    assert found("overprint-white", page_of({"overprint": evolve(inside, white_at=(at(-300, 0, 100, 50),))})) == []
    assert "12 white objects" in said(the("overprint-white", page_of({"overprint": evolve(inside, white=12)})))


def test_transparency_that_blends_in_rgb() -> None:
    def seen(groups: tuple[str, ...], alpha: float, space: ColourSpace) -> list[Finding]:
        facts = {"transparency": Transparency(alpha, groups=groups), "ink": Inks((space,))}
        return found("transparency-space", page_of(facts))

    assert [(f.severity, f.audience) for f in seen(("DeviceRGB",), 0.5, CMYK)] == [("note", "shop")]
    assert len(seen(("DeviceCMYK", "ICCBased 3"), 0.5, CMYK)) == 1
    assert seen(("DeviceRGB",), 1.0, CMYK) == []  # nothing is transparent
    assert seen(("DeviceRGB",), 0.5, RGB) == []
    assert seen(("DeviceCMYK",), 0.5, CMYK) == []


# the file


def test_extras_and_pages_that_no_panel_takes() -> None:
    assert found("file-has-extras", page_of()) == []
    assert found("file-has-extras", page_of({}, {"extras": (Extra("link", "example.com"),)})) == []
    extras = {"extras": (Extra("comment", "Text", 1, 3), Extra("script", "x"))}
    assert "holds more than its picture: 1 × script, 3 × comment." in said(the("file-has-extras", page_of({}, extras)))
    pages = the("file-has-extras", page_of(pages=3))
    assert (pages.severity, pages.evidence["unused_pages"]) == ("note", [2, 3])
    assert "has 3 pages, and no panel takes page 2, 3." in said(pages)
    assert the("file-has-extras", page_of({}, extras, pages=2)).say == "both"


def test_layers_that_are_off() -> None:
    def seen(*layers: Layer) -> list[Finding]:
        return found("layer-hidden", page_of({}, {"layers": layers}))

    assert seen(Layer("art", True, True, (1,))) == []
    assert seen(Layer("old", False, False, ())) == []  # nothing on it
    assert seen(Layer("old", False, False, (2,))) == []  # of another page
    assert seen(Layer("Guide: fold line", False, False, (1,))) == []  # our own, as it should be
    (off,) = seen(Layer("old", False, False, (1,)), Layer("older", False, True, (1,)))
    assert (off.severity, off.evidence["layers"]) == ("warning", ["old", "older"])
    (unprinted,) = seen(Layer("notes", True, False, (1,)))
    assert unprinted.say == "unprinted"


def test_a_file_that_differs_from_what_was_approved() -> None:
    seen = evolve(page_of(), hashes={"art.pdf": "a" * 64})
    assert found("file-changed", seen) == []  # nothing was approved
    assert found("file-changed", evolve(seen, approved={1: {"art.pdf": "a" * 64}})) == []
    changed = the("file-changed", evolve(seen, approved={1: {"art.pdf": "b" * 64}}))
    assert (changed.severity, changed.say) == ("error", "")
    assert the("file-changed", evolve(seen, approved={1: {"other.pdf": "b" * 64}})).say == "new"
    assert found("file-changed", evolve(seen, approved={2: {"art.pdf": "b" * 64}})) == []  # another panel's approval


# the same picture twice


def looks(*panels: tuple[int, str, int, str]) -> Observations:
    """(panel, file, page, hash of its picture)."""
    sizing = zoo.sized(zoo.BOX)
    laid = []
    for number, file, page, look in panels:
        claim = Claim(Target((sizing.panel(number),), ((1.0, 0.0, 0.0, 1.0, 0.0, 0.0),)), file, page)
        (one,) = observed(sizing, claim.target, []).laid
        laid.append(LaidSeen(evolve(one.laid, claim=claim), fingerprints={number: look}))
    return Observations(sizing, Claims(tuple(one.laid.claim for one in laid)), {}, tuple(laid))


def test_the_same_picture_on_two_panels() -> None:
    assert found("art-repeated", looks((1, "a.pdf", 1, "x"), (3, "b.pdf", 1, "y"))) == []
    assert found("art-repeated", looks((1, "a.pdf", 1, "x"), (3, "a.pdf", 1, "x"))) == []  # so the order says
    assert found("art-repeated", looks((1, "a.pdf", 1, ""), (3, "b.pdf", 1, ""))) == []  # plain colour
    finding = the("art-repeated", looks((1, "a.pdf", 1, "x"), (2, "c.pdf", 1, "z"), (3, "b.pdf", 1, "x")))
    assert (finding.severity, finding.evidence["panels"], finding.evidence["files"]) == (
        "note",
        [1, 3],
        ["a.pdf", "b.pdf"],
    )
    assert len(found("art-repeated", looks((1, "a.pdf", 1, "x"), (3, "a.pdf", 2, "x")))) == 1


# boxes


def boxed(**boxes: tuple[float, float, float, float]) -> Observations:
    """A page of these boxes in mm, at 1:1, on the 1000 × 800 mm top of the box: art 1076 × 876, cut 1026 × 826."""
    sizing, target = target_of(zoo.BOX, 5)
    claim = Claim(target, "art.pdf", 1)
    facts = evolve(observed(sizing, target, []).laid[0].laid.facts, boxes=dict(boxes), words=())
    laid = lay(claim, facts)
    return Observations(sizing, Claims((claim,)), {"art.pdf": FileFacts("pdf", (facts,))}, (LaidSeen(laid),))


ART_BOX, CUT_BOX = (100.0, 100.0, 1176.0, 976.0), (125.0, 125.0, 1151.0, 951.0)
SHEET = (0.0, 0.0, 1400.0, 1200.0)


def test_boxes_that_place_the_art_differently() -> None:
    assert found("boxes-disagree", boxed(media=SHEET, bleed=ART_BOX, trim=CUT_BOX)) == []
    moved = (
        tuple(value + 5.0 for value in CUT_BOX[:1]) + CUT_BOX[1:2] + tuple(v + 5.0 for v in CUT_BOX[2:3]) + CUT_BOX[3:]
    )
    finding = the("boxes-disagree", boxed(media=SHEET, bleed=ART_BOX, trim=moved))  # type: ignore[arg-type]
    assert (finding.severity, finding.audience, finding.evidence["apart_mm"]) == ("warning", "shop", 5.0)


@pytest.mark.parametrize(("by", "count"), [(1.9, 0), (2.1, 1)])
def test_boxes_apart_from_both_sides_of_the_tolerance(by: float, count: int) -> None:
    x0, y0, x1, y1 = CUT_BOX
    assert len(found("boxes-disagree", boxed(media=SHEET, bleed=ART_BOX, trim=(x0 + by, y0, x1 + by, y1)))) == count


def test_boxes_nested_wrongly_count_only_where_that_moves_the_art() -> None:
    """ISO 32000-1 14.11.2; a trim box that sticks out of the bleed box by 15 mm is not heeded here, elsewhere it is."""
    x0, y0, x1, y1 = CUT_BOX
    finding = the("boxes-disagree", boxed(media=SHEET, bleed=ART_BOX, trim=(x0 + 40, y0, x1 + 40, y1)))
    assert (finding.say, finding.evidence["nested_wrongly"]) == ("nested", ["trim outside bleed"])
    assert finding.evidence["apart_mm"] == 40.0
    page = (0.0, 0.0, 1076.0, 876.0)
    assert found("boxes-disagree", boxed(media=page, crop=(-10.0, -10.0, 1086.0, 886.0))) == []


# pages of a wrong size


def sized(width: float, height: float, number: int = 1) -> Finding:
    """A page of so many mm, without stated boxes, for a panel of the box: its page-wrong-size."""
    seen = boxed(media=(0.0, 0.0, width, height))
    (one,) = seen.laid
    claim = Claim(Target((seen.sizing.panel(number),), ((1.0, 0.0, 0.0, 1.0, 0.0, 0.0),)), "art.pdf", 1)
    laid = LaidSeen(lay(claim, one.laid.facts))
    return the("page-wrong-size", evolve(seen, claims=Claims((claim,)), laid=(laid,)))


def test_what_filling_would_cut() -> None:
    """Art of panel 1: 1076 × 3376. A page of 1000 × 3000 fills it at 3376 / 3000 = 112.5 %, 1125.3 wide: 49.3 too much."""
    assert "Of this file, scale 112.5 % fills the page and cuts 49.3 mm of the width." in said(sized(1000, 3000))
    # 110 × 340 at 1:10: 3376 / 3400 is less than 1076 / 1100; at 99.3 % it is 1092.2 wide: 16.2 too much
    assert "taken as a 1:10 page, scale 99.3 % fills the page and cuts 16.2 mm of the width" in said(sized(110, 340))
    # 269 × 900: filled at 1:4 by the width, 1076 / 1076, and 3600 − 3376 too high
    assert "taken as a 1:4 page, scale 100 % fills the page and cuts 224 mm of the height" in said(sized(269, 900))


def test_a_page_that_is_right_for_other_panels() -> None:
    finding = sized(876, 3376)
    assert (finding.say, finding.evidence["others"]) == ("other", [2, 4])
    assert "just right for panels 2 and 4" in said(finding)
    assert sized(876, 3370).say == "nothing"


def test_a_page_of_frame_size_says_what_is_short() -> None:
    assert "it is 38 mm a side short, so there is no bleed" in said(sized(1000, 3300))


# text: where it may not stand


def test_words_in_the_shadow_of_hardware() -> None:
    """The lamp bar of a lit box: the frame's lamp bar width under the fold line at the top."""
    sizing, target = target_of(zoo.BOX + 'lit = "inside"\n', 1)
    bar = next(shadow for shadow in target.panels[0].shadows if shadow.kind == "lamp bar")
    foot, left = min(y for _, y in bar.outline), 44.0
    for past, count in ((0.4, 0), (0.6, 1)):
        word = upright_word(left + 200, foot - 60 + past, 300, 60)
        assert len(found("text-in-shadow", page_of(inks=[word], on=(sizing, target)))) == count
    finding = the("text-in-shadow", page_of(inks=[word], on=(sizing, target)))
    assert (finding.severity, finding.evidence["name"]) == ("warning", "lamp bar")
    assert finding.evidence["depth_mm"] == pytest.approx(0.6, abs=0.011)
    assert finding.evidence["move_mm"] == [0, -1]
    unlit = target_of(zoo.BOX, 1)
    assert found("text-in-shadow", page_of(inks=[word], on=unlit)) == []


def test_words_in_a_keep_out() -> None:
    area = '{ at = ["200 mm", "900 mm"], size = ["400 mm", "300 mm"], name = "screen" }'
    keep = f"[[structure.panel]]\npanel = 1\nkeep_out = [{area}]\n"
    on = target_of(zoo.BOX + keep, 1)  # in the sewn frame from (244, 944) to (644, 1244)
    for past, count in ((0.4, 0), (0.6, 1)):
        word = upright_word(300, 944 - 60 + past, 100, 60)
        assert len(found("text-in-keep-out", page_of(inks=[word], on=on))) == count
    finding = the("text-in-keep-out", page_of(inks=[word], on=on))
    assert (finding.severity, finding.evidence["name"], finding.evidence["move_mm"]) == ("error", "screen", [0, -1])
    within = the("text-in-keep-out", page_of(inks=[upright_word(300, 1000, 100, 60)], on=on))
    assert within.evidence["move_mm"] == [0, -116]  # down past 944, the nearest way out


# text: how it is set

ADA = [  # ADA 2010 Standards 703.5.5 and the rows worked from it: baseline, distance, least capital, all in inches
    (40.0, 72.0, 0.625),
    (60.0, 60.0, 0.625),
    (60.0, 72.0, 0.625),
    (60.0, 120.0, 1.125),
    (60.0, 240.0, 2.375),
    (70.0, 72.0, 0.625),
    (70.1, 72.0, 2.0),
    (96.0, 180.0, 2.0),
    (96.0, 360.0, 3.875),
    (120.0, 180.0, 2.0),
    (130.0, 252.0, 3.0),
    (130.0, 480.0, 5.375),
]


@pytest.mark.parametrize(("baseline", "distance", "least"), ADA)
def test_letter_heights_of_the_ada_table(baseline: float, distance: float, least: float) -> None:
    assert least_capital(baseline * IN, distance * IN) == pytest.approx(least * IN)


def test_lower_than_40_inches_there_is_no_row() -> None:
    assert least_capital(39.9 * IN, 3000.0) is None


def capitals(high: float, baseline: float, metres: float = 3.0, text: str = "Bog") -> list[Finding]:
    """A word on the front of the box, whose frame stands on the floor: sewn y is 38 mm more than the height."""
    on = target_of(zoo.BOX + f'reading_distance = "{metres} m"\n', 1)
    return found("text-too-small", page_of(inks=[upright_word(200, baseline + 38, 200, high, text=text)], on=on))


def test_small_capitals_from_both_sides() -> None:
    """1500 mm up and 3 m away: 0.625 in and an eighth for each foot over 72 in, (118.11 − 72) / 12 / 8: 28.07 mm."""
    assert capitals(28.1, 1500) == []
    (finding,) = capitals(27.9, 1500)
    assert (finding.severity, finding.evidence["needed_mm"], finding.say) == ("note", 28.1, "")
    assert capitals(50.9, 1800) == []
    assert len(capitals(50.7, 1800)) == 1  # 2 in higher than 70 in
    assert capitals(5.0, 900) == []  # lower than 40 in: no row
    assert capitals(20.0, 1500, text="moos") == []  # no letter of full height to measure


def test_small_text_is_one_note_a_panel() -> None:
    inks = [upright_word(200, 1500 + 100 * n, 200, 10 + n, text="Bog") for n in range(9)]
    finding = the("text-too-small", page_of(inks=inks))
    assert finding.evidence["count"] == 9
    assert "And 8 more like it." in said(finding)


def test_on_a_leaning_face_the_height_that_is_seen_counts() -> None:
    """An upper face of a hung cube leans back by 35.26°; of a level line its reader sees the face's share."""
    sizing, target = target_of(zoo.HUNG_CUBE, 1)
    share = target.panels[0].sight.share
    assert 0.05 < share < 0.95
    middle = (788.0, 788.0)
    need = least_capital(2500 + 1500, 3000.0)
    assert need is not None
    for high, count in ((need / share + 1, 0), (need / share - 1, 1)):
        word = turned_word(*middle, 700, high, -45)  # level when it hangs
        on = (sizing, target)
        findings = found("text-too-small", page_of(inks=[evolve(word, text="Bog")], on=on))
        assert len(findings) == count, (high, share)
    assert findings[0].say == "tilted"
    assert findings[0].evidence["seen_mm"] == pytest.approx((need / share - 1) * share, abs=0.1)


@pytest.mark.parametrize(
    ("angle", "count"), [(0, 0), (4.8, 0), (5.2, 1), (45, 1), (84.8, 1), (85.2, 0), (90, 0), (-90, 0), (180, 0)]
)
def test_words_askew_from_both_sides(angle: float, count: int) -> None:
    word = turned_word(538, 1500, 300, 100, angle)
    assert len(found("text-against-upright", page_of(inks=[word]))) == count


def test_words_askew_are_told_once_with_their_angle() -> None:
    """Set level on the sewn-way page of a hung cube, they hang askew by 45°."""
    on = target_of(zoo.HUNG_CUBE, 4)
    inks = [upright_word(600, 600 + 100 * n, 300, 60, text=f"w{n}") for n in range(3)]
    finding = the("text-against-upright", page_of(inks=inks, on=on))
    assert (finding.severity, abs(finding.evidence["angle_deg"]), finding.evidence["count"]) == ("note", 45, 3)
    reading = [turned_word(788, 700 + 100 * n, 300, 60, -45) for n in range(3)]
    assert found("text-against-upright", page_of(inks=reading, on=on)) == []
    assert (
        found("text-against-upright", page_of(inks=[turned_word(538, 438, 300, 60, 30)], on=target_of(zoo.BOX, 5)))
        == []
    )


def test_words_that_run_upside_down() -> None:
    def turned(angle: float, *more: Ink) -> list[Finding]:
        return found("page-turned", page_of(inks=[turned_word(538, 1500, 300, 100, angle), *more]))

    assert turned(0) == turned(90) == turned(134) == []
    (finding,) = turned(180)
    assert (finding.severity, finding.evidence["then_deg"]) == ("warning", 180)
    assert "write turn = 180 for this file in the order" in said(finding)
    assert len(turned(136)) == 1
    assert turned(180, upright_word(300, 500, 200, 60, text="fenland")) == []  # the most stand upright
    assert len(turned(180, upright_word(300, 500, 200, 60, text="bog"))) == 1
    lid = page_of(inks=[turned_word(538, 438, 300, 60, 180)], on=target_of(zoo.BOX, 5))
    assert found("page-turned", lid) == []  # on a lid there is no up


# text: as live text


def with_words(inks: Sequence[Ink], **changes: Any) -> Observations:
    seen = page_of(inks=inks)
    (one,) = seen.laid
    facts = evolve(one.laid.facts, words=tuple(evolve(word, **changes) for word in one.laid.facts.words))
    return evolve(seen, laid=(evolve(one, laid=evolve(one.laid, facts=facts)),))


INSIDE, OUTSIDE = upright_word(300, 500, 300, 60), upright_word(-400, 500, 300, 60)


def test_fonts_that_are_not_in_the_file() -> None:
    assert found("font-not-embedded", with_words([INSIDE])) == []
    finding = the(
        "font-not-embedded", with_words([INSIDE, upright_word(300, 700, 300, 60)], embedded=False, font="Peat")
    )
    assert (finding.severity, finding.evidence["fonts"], finding.evidence["words"]) == ("error", ["Peat"], 2)
    assert found("font-not-embedded", with_words([OUTSIDE], embedded=False)) == []
    assert found("font-not-embedded", with_words([INSIDE], embedded=False, unseen="invisible")) == []
    assert the("font-not-embedded", page_of({}, {"stand_in_fonts": ("Peat Grotesk",)})).say == "stand-in"


@pytest.mark.parametrize("why", ["invisible", "clipped", "covered", "ground"])
def test_text_that_nobody_sees(why: str) -> None:
    assert found("text-unseen", with_words([INSIDE])) == []
    finding = the("text-unseen", with_words([INSIDE, upright_word(300, 700, 300, 60)], unseen=why))
    assert (finding.severity, finding.evidence["count"], finding.say) == ("note", 2, why)
    assert found("text-unseen", with_words([OUTSIDE], unseen=why)) == []


@pytest.mark.parametrize("why", ["layer-off", "outside-page"])
def test_what_other_rules_tell_is_not_told_as_unseen(why: str) -> None:
    assert found("text-unseen", with_words([INSIDE], unseen=why)) == []

"""Which file a panel takes and where its page comes to lie. Expected places are sums written out from the worked example's
givens in `zoo` (closed forms), for known points of each page; page facts are made by hand, or read from PDFs by pikepdf.
"""

from decimal import Decimal
from math import hypot, sqrt
from pathlib import Path

import pikepdf
import pytest
import zoo
from hypothesis import given
from hypothesis import strategies as st

from artgen.art import answers
from artgen.art.facts import FileFacts, PageFacts
from artgen.art.tasks import read_task
from artgen.order import Art
from artgen.placing import SCALES, ZONES, Claim, Laid, Target, Zone, claim, lay, pages_asked, token_numbers
from artgen.sizing.panel import apply
from artgen.units import MM_PER_PT

STILL = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
ART = zoo.T + zoo.H + zoo.B  # from the fold line to the page edge: 44
# how far each zone's outline lies outside the fold line
BEYOND = {"art": ART, "cut": zoo.T + zoo.H, "finished": zoo.T, "visible": 0.0, "frame": zoo.S}
TOWER = (1000.0, 3300.0)  # metal of panel 1 of the box
CUBE = (1500.0, 1500.0)


def zone_size(metal: tuple[float, float], zone: str) -> tuple[float, float]:
    return (metal[0] - 2 * zoo.S + 2 * BEYOND[zone], metal[1] - 2 * zoo.S + 2 * BEYOND[zone])


def page(width: float, height: float, *, rounding: float = 0.0, **more: object) -> PageFacts:
    boxes = {"media": (0.0, 0.0, width, height)} | dict(more.pop("boxes", {}))  # type: ignore[call-overload]
    return PageFacts(width, height, boxes, rounding, **more)  # type: ignore[arg-type]


def alone(body: str, number: int = 1) -> Target:
    return Target((zoo.sized(body).panel(number),), (STILL,))


def laid(target: Target, facts: PageFacts, **by_hand: object) -> Laid:
    hand = Art(target.numbers, "a.pdf", **by_hand) if by_hand else None  # type: ignore[arg-type]
    return lay(Claim(target, "a.pdf", 1, hand), facts)


# which file a panel takes


@pytest.mark.parametrize(
    ("name", "numbers"),
    [
        ("panel-3.pdf", [3]),
        ("Panel_03.pdf", [3]),
        ("p3.tif", [3]),
        ("P 3.png", [3]),
        ("panel3.svg", [3]),
        ("PANEL 003 final.pdf", [3]),
        ("peat_p07_FINAL.pdf", [7]),
        ("panel-12_v2.pdf", [12]),
        ("p1-p2.pdf", [1, 2]),
        ("panel-1 panel-1.pdf", [1]),
        ("moss/panel-4.pdf", [4]),
        ("panel-2/notes.pdf", []),  # the stem counts, not the folder
        ("v2.pdf", []),
        ("36x144.pdf", []),
        ("p3x.pdf", []),
        ("step3.pdf", []),
        ("strip 3.pdf", []),
        ("panel.pdf", []),
        ("3.pdf", []),
        ("panel-2.5.pdf", [2]),
        ("Größe-p4.pdf", [4]),
        ("öp4.pdf", []),  # a letter before it, of any language, makes it another word
    ],
)
def test_a_panel_in_a_name(name: str, numbers: list[int]) -> None:
    assert token_numbers(name) == numbers


@given(
    st.integers(1, 99999),
    st.sampled_from(["panel", "p", "Panel", "P"]),
    st.sampled_from(["", "-", "_", " ", "-0", "00"]),
)
def test_any_number_is_read_back(number: int, word: str, between: str) -> None:
    if len(between.strip("-_ ") + str(number)) <= 5:
        assert token_numbers(f"peat {word}{between}{number}_v2.pdf") == [number]


def files_of(body: str, files: list[str]) -> tuple[dict[tuple[int, ...], str], tuple, tuple, tuple]:  # type: ignore[type-arg]
    found = claim(zoo.order(body), zoo.sized(body), files)
    return {c.target.numbers: c.file for c in found.claims}, found.missing, found.ambiguous, found.extra


def test_files_go_to_the_panels_they_name() -> None:
    files = ["logo.ai", "p3.tif", "panel-1.pdf", "panel-2 and p4.pdf"]
    taken, missing, ambiguous, extra = files_of(zoo.BOX, files)
    assert taken == {(1,): "panel-1.pdf", (2,): "panel-2 and p4.pdf", (3,): "p3.tif", (4,): "panel-2 and p4.pdf"}
    assert missing == (5, 6)
    assert ambiguous == ()
    assert extra == ("logo.ai",)


def test_two_files_for_one_panel_are_both_named_and_neither_taken() -> None:
    taken, missing, ambiguous, extra = files_of(zoo.WALL, ["panel-1.pdf", "panel-1_v2.pdf"])
    assert taken == {}
    assert missing == ()
    assert ambiguous == ((1, ("panel-1.pdf", "panel-1_v2.pdf")),)
    assert extra == ()


def test_the_order_comes_before_names() -> None:
    body = zoo.BOX + (
        '[[art]]\npanels = [3, 4]\nfile = "sides.pdf"\npage = 2\n'
        '[[wrap]]\npanels = [1, 2]\nfile = "art/round.pdf"\npage = 3\n'
    )
    files = ["panel-1.pdf", "panel-2.pdf", "panel-3.pdf", "panel-5.pdf", "panel-6.pdf", "round.pdf", "sides.pdf"]
    found = claim(zoo.order(body), zoo.sized(body), files)
    assert {c.target.numbers: (c.file, c.page) for c in found.claims} == {
        (1, 2): ("round.pdf", 3),
        (3,): ("sides.pdf", 2),
        (4,): ("sides.pdf", 2),
        (5,): ("panel-5.pdf", 1),
        (6,): ("panel-6.pdf", 1),
    }
    assert found.extra == ("panel-1.pdf", "panel-2.pdf", "panel-3.pdf")
    assert pages_asked(found.claims) == {"round.pdf": [3], "sides.pdf": [2], "panel-5.pdf": [1], "panel-6.pdf": [1]}


def test_blank_and_open_panels_need_no_art() -> None:
    body = zoo.BOX + "".join(
        f"[[structure.panel]]\npanel = {n}\n{key} = true\n" for n, key in ((2, "blank"), (3, "open"))
    )
    taken, missing, _, extra = files_of(body, ["panel-1.pdf", "panel-2.pdf", "panel-3.pdf"])
    assert taken == {(1,): "panel-1.pdf"}
    assert missing == (4, 5, 6)
    assert extra == ("panel-2.pdf", "panel-3.pdf")


# where a page lies: every zone at every scale


@pytest.mark.parametrize("scale", SCALES)
@pytest.mark.parametrize("zone", ZONES)
def test_a_page_of_any_zone_and_scale_lies_on_that_zone(zone: Zone, scale: int) -> None:
    w, h = zone_size(TOWER, zone)
    found = laid(alone(zoo.BOX), page(w / scale, h / scale))
    assert (found.fits, found.scale, found.turn, found.way, found.assumed) == (zone, scale, 0, "sewn", ())
    low = ART - BEYOND[zone]  # the zone's lower left in the sewn frame, whose origin is the art size's
    assert zoo.near(found.matrix, (scale, 0, 0, scale, low, low))
    assert zoo.near(apply(found.matrix, (w / scale, h / scale)), (low + w, low + h))


@pytest.mark.parametrize("scale", SCALES)
@pytest.mark.parametrize("zone", ZONES)
def test_a_page_on_its_side_is_turned(zone: Zone, scale: int) -> None:
    w, h = zone_size(TOWER, zone)
    found = laid(alone(zoo.BOX), page(h / scale, w / scale))
    assert (found.fits, found.scale, found.turn) == (zone, scale, 90)
    low = ART - BEYOND[zone]
    # turned 90° anticlockwise: page x runs up, page y runs to the left
    assert zoo.near(found.matrix, (0, scale, -scale, 0, low + w, low))
    assert zoo.near(apply(found.matrix, (h / scale, w / scale)), (low, low + h))


@pytest.mark.parametrize("scale", SCALES)
@pytest.mark.parametrize("zone", ZONES)
def test_a_hung_cube_takes_sewn_way_pages(zone: Zone, scale: int) -> None:
    side = zone_size(CUBE, zone)[0]
    found = laid(alone(zoo.HUNG_CUBE, 4), page(side / scale, side / scale))
    assert (found.fits, found.scale, found.turn, found.way) == (zone, scale, 0, "sewn")
    low = ART - BEYOND[zone]
    assert zoo.near(found.matrix, (scale, 0, 0, scale, low, low))


@pytest.mark.parametrize("scale", SCALES)
@pytest.mark.parametrize("zone", ZONES)
def test_a_hung_cube_takes_reading_way_pages(zone: Zone, scale: int) -> None:
    """Upright stands 45° clockwise of sewn y: the page's top is the sewn square's upper right vertex."""
    side = zone_size(CUBE, zone)[0]
    across = side * sqrt(2)
    found = laid(alone(zoo.HUNG_CUBE, 4), page(across / scale, across / scale))
    assert (found.fits, found.scale, found.turn, found.way) == (zone, scale, 0, "reading")
    low = ART - BEYOND[zone]
    high, half, full = low + side, across / scale / 2, across / scale
    assert zoo.near(apply(found.matrix, (half, full)), (high, high))
    assert zoo.near(apply(found.matrix, (full, half)), (high, low))
    assert zoo.near(apply(found.matrix, (half, 0)), (low, low))
    assert zoo.near(apply(found.matrix, (0, half)), (low, high))


def test_a_wrap_is_one_page() -> None:
    """Worked example: 3676 × 3376 running on; the right side's fold line stands 44 + 988 + 12 from the page's left."""
    body = zoo.BOX + '[[wrap]]\npanels = [1, 2, 3, 4]\nfile = "a.pdf"\n'
    sizing = zoo.sized(body)
    (one,) = claim(zoo.order(body), sizing, []).claims
    found = lay(one, page(367.6, 337.6))
    assert (found.fits, found.scale) == ("art", 10)
    assert zoo.near(found.matrix, (10, 0, 0, 10, 0, 0))
    right = one.target.outline("visible")[1]
    assert min(x for x, _ in right) == pytest.approx(44 + 988 + 12)


# boxes, tolerances


def test_a_stated_trim_box_is_the_cut_and_comes_first() -> None:
    """Marks around: the page is 40 mm larger each way at 1:10, its trim box 102.6 × 332.6 at (15, 25)."""
    trim = (15.0, 25.0, 15 + 102.6, 25 + 332.6)
    found = laid(alone(zoo.BOX), page(142.6, 372.6, boxes={"trim": trim}))
    assert (found.fits, found.scale) == ("cut", 10)
    assert zoo.near(apply(found.matrix, (15, 25)), (zoo.B, zoo.B))
    assert zoo.near(apply(found.matrix, (117.6, 357.6)), (zoo.B + 1026, zoo.B + 3326))


def test_trim_wins_over_a_media_box_that_fits_too() -> None:
    """The page is the art size at 1:10, its trim box the cut, but off the middle by 1 mm of page."""
    trim = (2.5 + 1, 2.5, 2.5 + 1 + 102.6, 2.5 + 332.6)
    found = laid(alone(zoo.BOX), page(107.6, 337.6, boxes={"trim": trim}))
    assert found.fits == "cut"
    assert zoo.near(found.matrix, (10, 0, 0, 10, -10, 0))


def test_trim_and_bleed_that_both_fit_leave_nothing_to_guess() -> None:
    """As our own templates state them: the trim box is the cut, the bleed box the art size."""
    boxes = {"trim": (2.5, 2.5, 105.1, 335.1), "bleed": (0.0, 0.0, 107.6, 337.6)}
    found = laid(alone(zoo.BOX), page(107.6, 337.6, boxes=boxes))
    assert (found.fits, found.scale, found.assumed) == ("cut", 10, ())
    assert zoo.near(found.matrix, (10, 0, 0, 10, 0, 0))


def test_a_stated_bleed_box_is_the_art_size() -> None:
    found = laid(alone(zoo.BOX), page(200, 400, boxes={"bleed": (20.0, 30.0, 20 + 107.6, 30 + 337.6)}))
    assert (found.fits, found.scale) == ("art", 10)
    assert zoo.near(apply(found.matrix, (20, 30)), (0, 0))


def test_a_trim_box_outside_its_bleed_box_is_left_aside() -> None:
    boxes = {"bleed": (20.0, 30.0, 127.6, 367.6), "trim": (10.0, 30.0, 112.6, 362.6)}
    found = laid(alone(zoo.BOX), page(200, 400, boxes=boxes))
    assert (found.fits, found.scale) == ("art", 10)
    assert zoo.near(apply(found.matrix, (20, 30)), (0, 0))


def test_a_trim_box_of_another_size_gives_way_to_the_page() -> None:
    found = laid(alone(zoo.BOX), page(107.6, 337.6, boxes={"trim": (0.0, 0.0, 50.0, 50.0)}))
    assert (found.fits, found.scale) == ("art", 10)


def test_a_crop_box_counts_before_the_media_box() -> None:
    found = laid(alone(zoo.BOX), page(150, 400, boxes={"crop": (10.0, 12.0, 117.6, 349.6)}))
    assert (found.fits, found.scale) == ("art", 10)
    assert zoo.near(apply(found.matrix, (10, 12)), (0, 0))


@pytest.mark.parametrize("sign", [-1, 1])
@pytest.mark.parametrize(("off", "fits"), [(0.98, "art"), (1.02, None)])
def test_a_millimetre_at_full_size(off: float, sign: int, fits: str | None) -> None:
    assert laid(alone(zoo.BOX), page(1076 + sign * off, 3376)).fits == fits
    assert laid(alone(zoo.BOX), page(1076, 3376 + sign * off)).fits == fits
    assert laid(alone(zoo.BOX), page((1076 + sign * off) / 20, 3376 / 20)).fits == fits


@pytest.mark.parametrize(("off", "fits"), [(3.5, "art"), (3.56, None)])
def test_whole_points_at_one_to_twenty(off: float, fits: str | None) -> None:
    """Half a point is 0.1764 mm; twenty times that is 3.528 mm."""
    found = laid(alone(zoo.BOX), page((1076 + off) / 20, (3376 - off) / 20, rounding=0.5 * MM_PER_PT))
    assert found.fits == fits
    if fits:  # laid about its middle
        assert zoo.near(apply(found.matrix, ((1076 + off) / 40, (3376 - off) / 40)), (538, 1688))


def test_two_zones_closer_than_the_tolerance_are_both_named() -> None:
    """Finished and cut differ by 2 × 4 mm; a page half way, rounded to 4.5 mm, could be either: cut comes first."""
    found = laid(alone(zoo.BOX), page(1022 / 20, 3322 / 20, rounding=4.5 / 20))
    assert (found.fits, found.assumed) == ("cut", ("finished",))


def test_frame_size_is_recognised() -> None:
    found = laid(alone(zoo.BOX), page(100, 330))
    assert (found.fits, found.scale) == ("frame", 10)
    assert zoo.near(apply(found.matrix, (0, 0)), (38, 38))  # 44 less the setback


# through a file


@pytest.mark.parametrize("rotate", [0, 90, 180, 270])
def test_user_unit_and_rotate(tmp_path: Path, rotate: int) -> None:
    """ISO 32000-1 7.7.3.3: a page is shown turned clockwise by /Rotate; one unit is UserUnit points. The trim box stands off
    the middle; its user-space lower left is shown lower left, upper left, upper right, lower right."""
    cut = (1026.0, 3326.0) if rotate % 180 == 0 else (3326.0, 1026.0)
    x0, y0, width, height = 50.0, 200.0, cut[0] + 90, cut[1] + 370
    unit = 10 * MM_PER_PT
    with pikepdf.new() as document:
        document.add_blank_page(page_size=(width / unit, height / unit))
        entries = document.pages[0].obj
        entries["/TrimBox"] = pikepdf.Array([Decimal(f"{v / unit:.6f}") for v in (x0, y0, x0 + cut[0], y0 + cut[1])])
        entries["/UserUnit"], entries["/Rotate"] = 10, rotate
        document.save(tmp_path / "panel-1.pdf")
    facts = answers.checked(read_task(tmp_path / "panel-1.pdf", {}, tmp_path))
    assert isinstance(facts, FileFacts), facts
    found = laid(alone(zoo.BOX), facts.pages[0])
    assert (found.fits, found.scale, found.turn) == ("cut", 1, 0)
    shown = {0: (x0, y0), 90: (y0, width - x0), 180: (width - x0, height - y0), 270: (height - y0, x0)}[rotate]
    low, right, high = zoo.B, zoo.B + 1026, zoo.B + 3326
    sewn = {0: (low, low), 90: (low, high), 180: (right, high), 270: (right, low)}[rotate]
    assert zoo.near(apply(found.matrix, shown), sewn, within=0.01)


# what fits nothing, what has no size


def test_an_odd_scale_is_laid_by_proportion() -> None:
    found = laid(alone(zoo.BOX), page(1076 / 7, 3376 / 7))
    assert found.fits is None
    assert found.scale == pytest.approx(7)
    assert zoo.near(found.matrix, (7, 0, 0, 7, 0, 0))


@given(st.floats(50, 4000), st.floats(50, 4000))
def test_what_fits_nothing_lies_wholly_inside_some_zone_and_in_the_middle(width: float, height: float) -> None:
    found = laid(alone(zoo.BOX), page(width, height))
    if found.fits is not None:
        return
    middle = apply(found.matrix, (width / 2, height / 2))
    assert zoo.near(middle, (538, 1688))  # all zones of this panel share their middle
    corners = [apply(found.matrix, p) for p in ((0, 0), (width, height))]
    spans = sorted(abs(corners[0][i] - corners[1][i]) for i in (0, 1))
    touching = [
        zone
        for zone in ZONES
        if abs(abs(corners[0][0] - corners[1][0]) - zone_size(TOWER, zone)[0]) < 1e-6
        or abs(abs(corners[0][1] - corners[1][1]) - zone_size(TOWER, zone)[1]) < 1e-6
    ]
    assert touching
    assert spans[0] <= zone_size(TOWER, "art")[0] + 1e-6
    assert spans[1] <= zone_size(TOWER, "art")[1] + 1e-6


def test_pixels_alone_are_taken_by_proportion() -> None:
    found = laid(alone(zoo.BOX), page(538, 1688, sized=False, pixels=(538, 1688)))
    assert (found.fits, found.assumed) == ("art", ())
    assert found.scale == pytest.approx(2)
    assert zoo.near(apply(found.matrix, (538, 1688)), (1076, 3376))


def test_a_tag_that_fits_nothing_gives_way_to_proportion() -> None:
    """72 ppi in a picture that a camera or a program made without thought."""
    found = laid(alone(zoo.BOX), page(538 * 0.35, 1688 * 0.35, pixels=(538, 1688), rounding=0.18))
    assert found.fits == "art"
    assert zoo.near(apply(found.matrix, (538 * 0.35, 1688 * 0.35)), (1076, 3376))


@pytest.mark.parametrize(("stretched", "fits"), [(1.0045, "art"), (1.0055, None), (0.9955, "art"), (0.9945, None)])
def test_proportions_within_half_a_percent(stretched: float, fits: str | None) -> None:
    assert laid(alone(zoo.BOX), page(1076 * stretched, 3376, sized=False)).fits == fits


def test_a_square_panel_can_not_tell_by_proportion() -> None:
    found = laid(alone(zoo.HUNG_CUBE, 4), page(3000, 3000, sized=False, pixels=(3000, 3000)))
    assert found.fits == "art"
    assert found.way == "sewn"
    assert found.assumed == ("cut", "finished", "visible", "frame")
    assert found.scale == pytest.approx(1576 / 3000)


def test_a_square_panel_can_tell_by_a_good_tag() -> None:
    """A picture whose tag says 1576 mm at 1:10 leaves nothing to guess."""
    found = laid(alone(zoo.HUNG_CUBE, 4), page(157.6, 157.6, pixels=(788, 788), rounding=0.05))
    assert (found.fits, found.scale, found.assumed) == ("art", 10, ())


# by hand


def test_fill_and_contain() -> None:
    """A page of 100 × 200 on 1076 × 3376: containing needs 10.76 (1076 wide), filling 16.88 (3376 high)."""
    for fit, scale in (("contain", 10.76), ("fill", 16.88)):
        found = laid(alone(zoo.BOX), page(100, 200), fit=fit)
        assert found.by_hand
        assert found.scale == pytest.approx(scale)
        low = (538 - 50 * scale, 1688 - 100 * scale)
        assert zoo.near(found.matrix, (scale, 0, 0, scale, *low))


def test_scale_move_and_turn_by_hand() -> None:
    found = laid(alone(zoo.BOX), page(100, 200), scale=5.0, move=(30.0, -7.0), turn=90)
    # its middle stands on the panel's middle, moved; page x runs up, page y to the left
    assert zoo.near(apply(found.matrix, (50, 100)), (538 + 30, 1688 - 7))
    assert zoo.near(apply(found.matrix, (60, 100)), (568, 1681 + 50))
    assert zoo.near(apply(found.matrix, (50, 110)), (568 - 50, 1681))
    assert found.scale == 5


@pytest.mark.parametrize(("turn", "along"), [(0, (1, 0)), (90, (0, 1)), (180, (-1, 0)), (270, (0, -1))])
def test_turns_by_hand(turn: int, along: tuple[int, int]) -> None:
    found = laid(alone(zoo.BOX), page(100, 200), scale=2.0, turn=turn)
    assert zoo.near(found.matrix[:2], (2 * along[0], 2 * along[1]))


def test_by_hand_reading_way() -> None:
    found = laid(alone(zoo.HUNG_CUBE, 4), page(100, 100), scale=3.0, way="reading")
    assert zoo.near(apply(found.matrix, (50, 50)), (788, 788))
    assert zoo.near(apply(found.matrix, (50, 60)), (788 + 30 / sqrt(2), 788 + 30 / sqrt(2)))


def test_by_hand_a_trim_box_goes_on_the_cut() -> None:
    found = laid(alone(zoo.BOX), page(200, 400, boxes={"trim": (10.0, 20.0, 112.6, 352.6)}), fit="fill")
    assert found.scale == pytest.approx(10)
    assert zoo.near(apply(found.matrix, (10, 20)), (25, 25))


def test_a_way_alone_is_no_place_by_hand() -> None:
    found = laid(alone(zoo.HUNG_CUBE, 4), page(157.6 * sqrt(2), 157.6 * sqrt(2)), way="reading")
    assert (found.by_hand, found.fits, found.way, found.scale) == (False, "art", "reading", 10)
    other = laid(alone(zoo.HUNG_CUBE, 4), page(157.6, 157.6), way="reading")
    assert other.fits is None
    assert other.way == "reading"


def test_every_panel_of_every_shape_takes_its_own_page() -> None:
    """The page that the sums give lies on the art size without a turn, whatever the shape: polygons too."""
    for name, structure in zoo.all_sized().items():
        for panel in structure.panels:
            xs, ys = [x for x, _ in panel.art], [y for _, y in panel.art]
            found = laid(Target((panel,), (STILL,)), page(max(xs) / 10, max(ys) / 10))
            assert (found.fits, found.turn) == ("art", 0), name
            assert hypot(found.matrix[4], found.matrix[5]) < 1e-6

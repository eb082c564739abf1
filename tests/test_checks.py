"""Where text stands, on pages that are no file. Expected findings are arithmetic on half planes (a word's vertices against
fold lines, in NumPy or written out), never the polygons that the checks use. Limits: 0.5 mm past a line, 40 mm safe, 30 mm
seam clearance, capitals of 300 mm (ours; `checks.md` and the default profiles).
"""

import itertools
from math import hypot

import art_made
import numpy as np
import pytest
import zoo
from art_made import Ink, bare_target, observed, target_of, turned_word, upright_word
from attrs import evolve

from artgen.checks import RULES, SEVERITIES, Finding, Observations, check, text
from artgen.placing import Target
from artgen.sizing import Sizing
from artgen.sizing.panel import placed
from artgen.survey import Code

SAFE, CLEARANCE, REVEAL = 40.0, 30.0, 12.0
WIDE_WALL = zoo.WALL.replace("3000", "5600").replace("2400", "2500") + 'fabric = "brushed-knit"\n'
WIDE_CUBE = zoo.HUNG_CUBE.replace("1500", "3500")
WIDE_BAYS = (
    zoo.THREE_BAY_WALL.replace('"900 mm", "1200 mm", "700 mm"', '"3600 mm", "900 mm"') + 'fabric = "brushed-knit"\n'
)
ROUND = '[[wrap]]\npanels = [1, 2, 3, 4]\nfile = "a.pdf"\n'
ALONG = '[[wrap]]\npanels = [1, 2, 3]\nfile = "a.pdf"\n'
PAIR = '[[wrap]]\npanels = [1, 2]\nfile = "a.pdf"\n'
OVER_TOP = '[[wrap]]\npanels = [1, 5, 3]\nfile = "a.pdf"\n'
TARGETS = {
    "box wrap": (*target_of(zoo.BOX, wrap=ROUND), "sewn"),
    "box wrap, closed up": (*target_of(zoo.BOX, wrap=ROUND + 'behind = "closed"\n'), "sewn"),
    "wrap over the top of a box": (*target_of(zoo.BOX, wrap=OVER_TOP), "sewn"),
    "three-bay wall wrap": (*target_of(zoo.THREE_BAY_WALL, wrap=ALONG), "sewn"),
    "wide wall": (*target_of(WIDE_WALL, 1), "sewn"),
    "wrap with a seam": (*target_of(WIDE_BAYS, wrap=PAIR), "sewn"),
    "hung cube": (*target_of(zoo.HUNG_CUBE, 4), "sewn"),
    "hung cube, reading-way": (*target_of(zoo.HUNG_CUBE, 4), "reading"),
    "wide hung cube": (*target_of(WIDE_CUBE, 5), "sewn"),
    "wide hung cube, reading-way": (*target_of(WIDE_CUBE, 5), "reading"),
    "hung cube wrap": (*target_of(zoo.HUNG_CUBE, wrap=PAIR), "sewn"),
    "tetrahedron": (*bare_target(zoo.BARE["tetrahedron"]), "sewn"),
    "L-shaped face": (*bare_target(zoo.L_FACE), "sewn"),
}
SEAMED = [name for name, (_, target, _) in TARGETS.items() if any(panel.seams for panel in target.panels)]
WRAPS = [name for name, (_, target, _) in TARGETS.items() if target.wrap is not None]


PLACES = ("text-crosses-corner", "text-crosses-joint", "text-crosses-seam", "text-in-tuck", "text-outside-safe")


def where_text(seen: Observations) -> tuple[Finding, ...]:
    """What is said of where the words stand; how large and how level they are is another matter."""
    return tuple(finding for finding in check(seen).findings if finding.rule in PLACES)


def found(name: str, *words: Ink) -> tuple[Finding, ...]:
    sizing, target, way = TARGETS[name]
    return where_text(observed(sizing, target, words, way))


def each(name: str, words: list[Ink]) -> list[tuple[Finding, ...]]:
    """The findings of each word, alone on its page."""
    return [found(name, word) for word in words]


def rules(findings: tuple[Finding, ...]) -> list[tuple[str, str, str]]:
    return [(finding.rule, finding.severity, finding.say) for finding in findings]


def the(findings: tuple[Finding, ...]) -> Finding:
    (finding,) = findings
    return finding


def lines(target: Target, zone: str = "visible") -> list[tuple[int, int, np.ndarray, np.ndarray, np.ndarray]]:
    """(member, edge, a point at two fifths, along, outwards) of every edge of a zone, in the plane."""
    made = []
    for member, outline in enumerate(target.outline(zone)):  # type: ignore[arg-type]
        for edge, (a, b) in enumerate(zip(outline, [*outline[1:], outline[0]], strict=True)):
            p, q = np.asarray(a), np.asarray(b)
            along = (q - p) / np.linalg.norm(q - p)
            made.append((member, edge, p * 0.6 + q * 0.4, along, np.array([along[1], -along[0]])))
    return made


def beside(middle: np.ndarray, along: np.ndarray, out: np.ndarray, past: float, deep: float = 20.0) -> Ink:
    """A word of 60 mm along a line, that goes ``past`` it by so much and comes from ``deep`` before it."""
    points = [middle + along * u + out * v for u, v in ((-30, -deep), (30, -deep), (30, past), (-30, past))]
    return Ink(tuple((float(x), float(y)) for x, y in points))


def tip(middle: np.ndarray, along: np.ndarray, out: np.ndarray, past: float) -> Ink:
    """A word that stands askew: one vertex goes past a line, its neighbours lie 15 and 30 mm before it."""
    points = [(0.0, past), (-30.0, past - 30.0), (-15.0, past - 45.0), (15.0, past - 15.0)]
    return Ink(tuple((float(x), float(y)) for x, y in (middle + along * u + out * v for u, v in points)))


def neighbour_in_wrap(target: Target, member: int, edge: int) -> bool:
    panel = target.panels[member]
    others = {target.numbers[i] for i in (member - 1, member + 1) if 0 <= i < len(target.panels)}
    return any(met.panel in others for met in panel.edges[edge].met)


# fold lines


@pytest.mark.parametrize("shape", [beside, tip])
@pytest.mark.parametrize("name", TARGETS)
def test_both_sides_of_every_fold_line(name: str, shape: object) -> None:
    _, target, _ = TARGETS[name]
    closed = target.wrap is not None and target.wrap.behind == "closed"
    places = lines(target)
    short = each(name, [shape(*place[2:], 0.4) for place in places])  # type: ignore[operator]
    over = each(name, [shape(*place[2:], 0.6) for place in places])  # type: ignore[operator]
    for (member, edge, *_), within, past in zip(places, short, over, strict=True):
        number = target.numbers[member]
        assert (the(within).rule, the(within).severity, the(within).panel) == ("text-outside-safe", "warning", number)
        assert the(within).evidence["depth_mm"] == pytest.approx(SAFE + 0.4, abs=0.011)
        met = closed and neighbour_in_wrap(target, member, edge)
        assert the(past).rule == ("text-crosses-corner" if met else "text-in-tuck")
        assert (the(past).severity, the(past).panel) == ("error", number)
        assert the(past).evidence["depth_mm"] == pytest.approx(0.6, abs=0.011)


@pytest.mark.parametrize("name", TARGETS)
def test_both_sides_of_every_safe_line(name: str) -> None:
    _, target, _ = TARGETS[name]
    places = [(member, middle - SAFE * out, along, out) for member, _, middle, along, out in lines(target)]
    assert each(name, [beside(*place[1:], 0.4) for place in places]) == [()] * len(places)
    for (member, *_), past in zip(places, each(name, [beside(*place[1:], 0.6) for place in places]), strict=True):
        assert (the(past).rule, the(past).panel) == ("text-outside-safe", target.numbers[member])
        assert the(past).evidence["depth_mm"] == pytest.approx(0.6, abs=0.011)


@pytest.mark.parametrize("name", TARGETS)
def test_wholly_beyond_is_a_note_and_outside_the_art_nothing(name: str) -> None:
    _, target, _ = TARGETS[name]
    places = [place for place in lines(target) if not neighbour_in_wrap(target, place[0], place[1])]

    def at(past: float, deep: float) -> list[tuple[Finding, ...]]:
        return each(name, [beside(*place[2:], past, deep) for place in places])

    # past the fold line but for 0.4 mm: as good as wholly beyond; 0.6 mm of it shows: cut off
    for (member, *_), beyond in zip(places, at(20, 0.4), strict=True):
        assert rules(beyond) == [("text-in-tuck", "note", "beyond")]
        assert the(beyond).panel == target.numbers[member]
    assert [rules(findings) for findings in at(20, 0.6)] == [[("text-in-tuck", "error", "")]] * len(places)
    page_edge = zoo.T + zoo.H + zoo.B  # 44
    assert [rules(f) for f in at(60, -page_edge + 1)] == [[("text-in-tuck", "note", "beyond")]] * len(places)
    assert at(60, -page_edge - 1) == [()] * len(places)


def outwards(
    place: tuple[int, int, np.ndarray, np.ndarray, np.ndarray], start: float, end: float, text: str, **more: object
) -> Ink:
    """A word 160 mm high that runs outwards over a fold line, from ``start`` to ``end`` mm past it."""
    *_, middle, along, out = place
    points = [middle + out * u - along * v for u, v in ((start, -80), (end, -80), (end, 80), (start, 80))]
    return Ink(tuple((float(x), float(y)) for x, y in points), text, **more)  # type: ignore[arg-type]


@pytest.mark.parametrize("name", ["hung cube", "hung cube, reading-way", "L-shaped face"])
def test_a_line_that_loses_its_last_word_is_cut_off(name: str) -> None:
    """In the tuck, off the art, or off the page (and then not painted): the rest of the line is read without it."""
    for place in lines(TARGETS[name][1]):
        rest = outwards(place, -300, -45, "Summer")  # 5 mm inside the safe area
        for last in (
            outwards(place, 10, 40, "Fair"),
            outwards(place, 25, 160, "Fair", unseen="outside-page"),
        ):
            depth = -last.quad[0][0] + last.quad[1][0], -last.quad[0][1] + last.quad[1][1]
            end = (10 if not last.unseen else 25) + hypot(*depth)
            cut = the(found(name, rest, last))
            assert rules((cut,)) == [("text-in-tuck", "error", "")]
            assert (cut.evidence["text"], cut.evidence["line"]) == ("Fair", "Summer Fair")
            assert cut.evidence["depth_mm"] == pytest.approx(end, abs=0.011)
            # the whole line goes back as far as its last word must
            assert hypot(*cut.evidence["move_mm"]) >= end + SAFE - 0.5 - 0.011
        near = outwards(place, -100, -5, "Summer")
        off_art = outwards(place, 50, 160, "Fair")  # the art ends 44 mm past the fold line, the page later
        assert ("text-in-tuck", "error", "") in rules(found(name, near, off_art))


@pytest.mark.parametrize("name", ["hung cube", "L-shaped face"])
def test_what_lies_about_beside_the_art_is_not_told(name: str) -> None:
    for place in lines(TARGETS[name][1]):
        for unseen in ("", "outside-page"):
            job, number = (outwards(place, at, at + 90, "Job", unseen=unseen) for at in (50, 160))
            assert found(name, job) == ()
            assert found(name, job, number) == ()
            safe = outwards(place, -300, -45, "Summer")
            assert (
                found(name, safe, outwards(place, 46, 160, "Summer", unseen=unseen)) == ()
            )  # over half a capital: a copy
            small = upright_slug(place, unseen)
            assert found(name, outwards(place, -300, -45, "Summer"), small) == ()


def upright_slug(place: tuple[int, int, np.ndarray, np.ndarray, np.ndarray], unseen: str) -> Ink:
    """A word of half the size, as near as a word space, at the height of others."""
    *_, middle, along, out = place
    points = [middle + out * u - along * v for u, v in ((46, -40), (200, -40), (200, 40), (46, 40))]
    return Ink(tuple((float(x), float(y)) for x, y in points), "Job", unseen=unseen)


def test_a_code_is_not_judged_by_a_word_off_the_page() -> None:
    """The word stands where it would end a line that the code began."""
    sizing, target, _ = TARGETS["hung cube"]
    right = max(x for x, _ in target.outline("visible")[0])
    word = upright_word(right + 46, 700, 160, 100, text="JOB42", unseen="outside-page")
    seen = observed(sizing, target, [word])
    quad = tuple((right + x, y) for x, y in ((-230.0, 800.0), (-50.0, 800.0), (-50.0, 700.0), (-230.0, 700.0)))
    code = Code(quad, "QRCode", "peat", True, 5.0, (40.0,) * 4, (20.0,) * 4)  # type: ignore[arg-type]
    seen = evolve(seen, laid=(evolve(seen.laid[0], codes=(code,)),))
    assert [f for f in check(seen).findings if f.rule in ("code-at-risk", "text-in-tuck")] == []


def test_very_many_words_of_one_line_take_little_more_than_few() -> None:
    """Counted, not timed: how often it is asked whether a word shows."""
    sizing, target, way = TARGETS["wide wall"]
    asked: list[int] = []
    shows = text._shows
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(text, "_shows", lambda zones, word: asked.append(1) or shows(zones, word))
        found_in = where_text(observed(sizing, target, [upright_word(60 + 9 * n, 5, 8, 12) for n in range(500)], way))
    assert {f.rule for f in found_in} == {"text-in-tuck"}
    assert len(asked) <= 500


def test_where_text_may_run_over_corners_a_word_behind_the_frame_is_a_note() -> None:
    """A word of 8 mm in the 12 mm of bare frame between two panels of a wrap, the rest of its line on both sides."""
    for keys, severity in (("", "error"), ("text_over_corners = true\n", "note")):
        sizing, target = target_of(zoo.BOX, wrap=ROUND + keys)
        right = max(x for x, _ in target.outline("visible")[0])
        assert min(x for x, _ in target.outline("visible")[1]) == pytest.approx(right + REVEAL)
        words = [
            upright_word(right + at, 600, w, 30, text=t)
            for at, w, t in ((-120, 110, "Me"), (2, 8, "I"), (22, 90, "he"))
        ]
        said = {f.evidence["text"]: f for f in where_text(observed(sizing, target, words))}
        assert (said["I"].rule, said["I"].severity) == ("text-in-tuck", severity)


# corners and joints


@pytest.mark.parametrize("name", WRAPS)
def test_both_sides_of_every_corner_and_joint(name: str) -> None:
    _, target, _ = TARGETS[name]
    assert target.wrap is not None
    gap = REVEAL if target.wrap.behind == "on" else 0.0
    rule = "text-crosses-joint" if name in ("three-bay wall wrap", "wrap with a seam") else "text-crosses-corner"
    crossed = 0
    for member, edge, middle, along, out in lines(target):
        if not neighbour_in_wrap(target, member, edge):
            continue
        crossed += 1
        (other,) = {met.panel for met in target.panels[member].edges[edge].met} & set(target.numbers)
        finding = the(found(name, beside(middle, along, out, gap + 0.4, deep=100)))
        assert finding.rule == (
            "text-in-tuck" if gap else "text-outside-safe"
        )  # past the fold line into the reveal alone
        finding = the(found(name, beside(middle, along, out, gap + 0.6, deep=100)))
        assert (finding.rule, finding.severity) == (rule, "error")
        assert finding.panel == target.numbers[member]  # the one with most of the word
        assert finding.evidence["panels"] == sorted([target.numbers[member], other], key=target.numbers.index)
        assert finding.evidence["depth_mm"] == pytest.approx(0.6, abs=0.011)
    assert crossed == 2 * (len(target.panels) - 1)  # from both sides


def test_a_corner_finding_stands_in_the_named_panel_frame() -> None:
    """The right side's fold line is 44 + 988 + 12 from the left of the plane; in its own frame at 44: 1000 less."""
    finding = the(found("box wrap", upright_word(1000, 500, 300, 50)))  # 32 on the front, 256 on the right side
    assert (finding.rule, finding.panel, finding.evidence["panels"]) == ("text-crosses-corner", 2, [1, 2])
    assert finding.where == pytest.approx((0, 500, 300, 50))
    assert finding.evidence["depth_mm"] == pytest.approx(32)


def test_a_word_over_a_corner_and_cut_off_at_the_foot_is_wrong_twice() -> None:
    """At the foot of the box, fold line at 44: 14 mm are cut off, a corner goes through it. Higher up only the corner counts,
    not that the safe area ends there too."""
    corner, tuck = sorted(found("box wrap", upright_word(900, 30, 300, 50)), key=lambda one: one.rule)
    assert (corner.rule, tuck.rule) == ("text-crosses-corner", "text-in-tuck")
    assert tuck.evidence["depth_mm"] == pytest.approx(14)
    assert rules(found("box wrap", upright_word(900, 50, 300, 50))) == [("text-crosses-corner", "error", "")]
    assert rules(found("box wrap", upright_word(500, 30, 300, 50))) == [("text-in-tuck", "error", "")]
    assert rules(found("box wrap", upright_word(500, 50, 300, 50))) == [("text-outside-safe", "warning", "")]
    both = rules(found("three-bay wall wrap", upright_word(900, 30, 300, 50)))
    assert sorted(both) == [("text-crosses-joint", "error", ""), ("text-in-tuck", "error", "")]
    assert rules(found("three-bay wall wrap", upright_word(900, 50, 300, 50))) == [("text-crosses-joint", "error", "")]


def test_a_seam_is_judged_apart() -> None:
    """The wall's seam stands at 25 + 5626 / 2; the word also runs over the foot's fold line."""
    both = rules(found("wide wall", upright_word(2788, 30, 100, 50)))
    assert sorted(both) == [("text-crosses-seam", "error", ""), ("text-in-tuck", "error", "")]


def test_a_corner_comes_before_a_joint() -> None:
    """A front of two bays and the right side, in one wrap; the word has more on the first bay than round the corner."""
    body = zoo.BOX.replace('"1000 mm"', '"900 mm"') + 'bays = ["700 mm", "200 mm"]\n' + ALONG
    sizing, target = target_of(body)
    assert [panel.bay.face.name for panel in target.panels] == ["front", "front", "right"]
    start = 44 + 688 - 100  # 100 on the first bay, 188 + 24 across the second, 30 on the right side
    findings = where_text(observed(sizing, target, [upright_word(start, 500, 100 + 12 + 188 + 12 + 30, 50)]))
    assert rules(findings) == [("text-crosses-corner", "error", "")]
    assert findings[0].evidence["panels"] == [1, 2, 3]


def test_a_word_over_a_narrow_bay_crosses_joints_not_corners() -> None:
    body = zoo.THREE_BAY_WALL.replace("1200 mm", "150 mm") + ALONG
    sizing, target = target_of(body)
    start = 44 + 888 - 200  # 200 on the first, 138 across the second, 180 on the third
    findings = where_text(observed(sizing, target, [upright_word(start, 500, 200 + 12 + 138 + 12 + 180, 50)]))
    assert rules(findings) == [("text-crosses-joint", "error", "")]
    assert findings[0].evidence["panels"] == [1, 2, 3]


@pytest.mark.parametrize("behind", ["on", "closed"])
def test_text_over_corners_where_the_order_says_so(behind: str) -> None:
    keys = f'behind = "{behind}"\ntext_over_corners = true\n'
    sizing, target = target_of(zoo.BOX, wrap=ROUND + keys)

    def rules_of(word: Ink) -> list[tuple[str, str, str]]:
        return rules(where_text(observed(sizing, target, [word])))

    assert rules_of(upright_word(900, 500, 300, 50)) == []
    assert rules_of(upright_word(900, 43.4, 300, 50)) == [("text-in-tuck", "error", "")]  # 0.6 below the foot's fold
    assert rules_of(upright_word(900, 43.6, 300, 50)) == [("text-outside-safe", "warning", "")]
    assert rules_of(upright_word(900, 83.4, 300, 50)) == [("text-outside-safe", "warning", "")]
    assert rules_of(upright_word(900, 83.6, 300, 50)) == []
    assert rules_of(upright_word(10, 500, 300, 50)) == [("text-in-tuck", "error", "")]  # the wrap's own end


def test_a_wrap_word_is_judged_once() -> None:
    """Closed up, the left end of the right side's art repeats the front's: nothing there is said twice."""
    words = [upright_word(x, 500, 60, 30, text=f"w{x}") for x in range(20, 3640, 70)]
    findings = found("box wrap, closed up", *words)
    texts = [finding.evidence["text"] for finding in findings]
    assert len(texts) == len(set(texts))


# seams


def test_where_the_seams_of_these_targets_stand() -> None:
    """Balanced: cut 5626 and 3526 and (of the first bay) 3626, halved, from the cut's edge at 25."""
    at = {name: [seam.at for panel in TARGETS[name][1].panels for seam in panel.seams] for name in SEAMED}
    assert at["wide wall"] == pytest.approx([25 + 5626 / 2])
    assert at["wide hung cube"] == at["wide hung cube, reading-way"] == pytest.approx([25 + 3526 / 2])
    assert at["wrap with a seam"] == pytest.approx([25 + 3626 / 2])


@pytest.mark.parametrize("side", [-1, 1])
@pytest.mark.parametrize("name", SEAMED)
def test_both_sides_of_every_seam(name: str, side: int) -> None:
    _, target, _ = TARGETS[name]
    for panel, place in zip(target.panels, target.places, strict=True):
        for seam in panel.seams:
            assert seam.axis == "x"
            ((x, _),) = placed(place, ((seam.at, 0.0),))
            middle, along, out = np.array([x, 900.0]), np.array([0.0, -float(side)]), np.array([float(side), 0.0])
            near = the(found(name, beside(middle, along, out, 0.4)))
            assert (near.rule, near.severity, near.say) == ("text-crosses-seam", "warning", "near")
            assert near.evidence["depth_mm"] == 0
            over = the(found(name, beside(middle, along, out, 0.6)))
            assert (over.rule, over.severity, over.say) == ("text-crosses-seam", "error", "")
            assert over.panel == panel.number
            assert over.evidence["depth_mm"] == pytest.approx(0.6, abs=0.011)
            assert over.evidence["seam_at_mm"] == seam.at
            assert found(name, beside(middle, along, out, -CLEARANCE + 0.4, deep=80)) == ()
            close = the(found(name, beside(middle, along, out, -CLEARANCE + 0.6, deep=80)))
            assert (close.severity, close.say) == ("warning", "near")
            assert close.evidence["depth_mm"] == pytest.approx(CLEARANCE - 0.6, abs=0.011)


@pytest.mark.parametrize(("capital", "severity"), [(299.0, "error"), (300.0, "error"), (301.0, "warning")])
def test_large_capitals_bear_a_seam(capital: float, severity: str) -> None:
    finding = the(found("wide wall", upright_word(2500, 900, 700, capital + 60, capital=capital)))
    assert (finding.rule, finding.severity) == ("text-crosses-seam", severity)


def test_a_gap_between_words_on_the_seam() -> None:
    seam = 25 + 5626 / 2
    assert found("wide wall", upright_word(seam - 331, 900, 300, 50), upright_word(seam + 31, 900, 300, 50)) == ()
    close = found("wide wall", upright_word(seam - 310, 900, 300, 50), upright_word(seam + 10, 900, 300, 50))
    assert rules(close) == [("text-crosses-seam", "warning", "near")]  # both of one line: told as one
    assert close[0].evidence["text"] == "Moor Moor"


def test_a_seam_in_the_tuck_alone_is_the_tuck_s_matter() -> None:
    seam = 25 + 5626 / 2
    assert rules(found("wide wall", upright_word(seam - 50, 5, 100, 30))) == [("text-in-tuck", "note", "beyond")]


# any word at all, against arithmetic


def expected_alone(quad: np.ndarray, size: tuple[float, float], seams: list[float]) -> list[tuple[str, str, float]]:
    """(rule, severity, depth) for a word on one rectangular panel. A word meets a rectangle unless an edge direction of
    either parts them (separating axes)."""
    low, high = np.array([44.0, 44.0]), np.array(size) - 44.0

    def past(inset: float) -> float:
        """Most that any vertex goes past one of the four lines."""
        return float(max((low + inset - quad).max(), (quad - high + inset).max()))

    def reach(inset: float) -> float:
        beyond = np.maximum(np.maximum(low + inset - quad, quad - high + inset), 0.0)
        return float(np.hypot(beyond[:, 0], beyond[:, 1]).max())

    def meets(a: np.ndarray, b: np.ndarray) -> bool:
        box = np.array([a, (b[0], a[1]), b, (a[0], b[1])])
        axes = [np.array([1.0, 0.0]), np.array([0.0, 1.0]), quad[1] - quad[0], quad[3] - quad[0]]
        return all((quad @ n).min() <= (box @ n).max() and (box @ n).min() <= (quad @ n).max() for n in axes)

    if not meets(np.zeros(2), np.array(size)):
        return []
    if not meets(low + 0.5, high - 0.5):
        return [("text-in-tuck", "note", reach(0.0))]
    rows = []
    if past(0.0) > 0.5:
        rows.append(("text-in-tuck", "error", reach(0.0)))
    elif past(SAFE) > 0.5:
        rows.append(("text-outside-safe", "warning", reach(SAFE)))
    for at in seams:
        left, right = at - float(quad[:, 0].min()), float(quad[:, 0].max()) - at
        tall = hypot(*(quad[3] - quad[0])) > 300
        if min(left, right) > 0.5:
            rows.append(("text-crosses-seam", "warning" if tall else "error", min(left, right)))
        elif -min(left, right) < CLEARANCE - 0.5:
            rows.append(("text-crosses-seam", "warning", max(0.0, -min(left, right))))
    return rows


@pytest.mark.parametrize("name", ["wide wall", "hung cube", "hung cube, reading-way", "wide hung cube, reading-way"])
def test_any_word_on_a_rectangle(name: str) -> None:
    _, target, _ = TARGETS[name]
    (panel,) = target.panels
    size = (max(x for x, _ in panel.art), max(y for _, y in panel.art))
    random = np.random.default_rng(7)
    words = []
    for index in range(300):
        high = random.uniform(10, 400)
        wide = high * random.uniform(1, 4)
        angle = random.choice([0.0, 90.0, 45.0, random.uniform(-180, 180)])
        x, y = random.uniform(-200, size[0] + 200), random.uniform(-200, size[1] + 200)
        if index % 2:  # half of them near a line that matters
            side = random.choice([44.0, size[0] - 44.0, *(seam.at for seam in panel.seams)])
            x = side + random.uniform(-wide, wide)
        words.append(turned_word(x, y, wide, high, angle))
    kinds = set()
    for word, findings in zip(words, each(name, words), strict=True):
        expected = sorted(expected_alone(np.array(word.quad), size, [seam.at for seam in panel.seams]))
        got = sorted((f.rule, f.severity, f.evidence["depth_mm"]) for f in findings)
        assert [row[:2] for row in got] == [row[:2] for row in expected], word
        assert [row[2] for row in got] == pytest.approx([row[2] for row in expected], abs=0.011), word
        kinds |= {row[:2] for row in expected}
    assert {("text-in-tuck", "error"), ("text-outside-safe", "warning"), ("text-in-tuck", "note")} <= kinds


@pytest.mark.parametrize("name", ["box wrap", "three-bay wall wrap"])
def test_any_level_word_on_a_row_of_panels(name: str) -> None:
    """Level words on level wraps: all is intervals. Which panels show more than 0.5 mm of it; else the one panel's tuck."""
    _, target, _ = TARGETS[name]
    spans = [(min(x for x, _ in o), max(x for x, _ in o)) for o in target.outline("visible")]
    foot, head = 44.0, max(y for _, y in target.outline("visible")[0])
    rule = "text-crosses-joint" if "wall" in name else "text-crosses-corner"
    random = np.random.default_rng(8)
    tally = dict.fromkeys(("crosses", "tuck", "beyond", "safe", "good"), 0)
    words = []
    for _ in range(300):
        w, h = random.uniform(5, 500), random.uniform(5, 200)
        words.append((random.uniform(0, spans[-1][1]), random.uniform(60, head - 250), w, h))
    for (x, y, w, h), findings in zip(words, each(name, [upright_word(*word) for word in words]), strict=True):
        got = rules(findings)
        shown = [i for i, (a, b) in enumerate(spans) if min(x + w, b - 0.5) > max(x, a + 0.5)]
        if len(shown) > 1:
            expected = [(rule, "error", "")]
            tally["crosses"] += 1
        elif not shown:
            expected = [("text-in-tuck", "note", "beyond")]
            tally["beyond"] += 1
        else:
            a, b = spans[shown[0]]
            past = max(a - x, x + w - b)
            close = max(a + SAFE - x, x + w - b + SAFE, foot + SAFE - y)
            if past > 0.5:
                expected = [("text-in-tuck", "error", "")]
                tally["tuck"] += 1
            elif close > 0.5:
                expected = [("text-outside-safe", "warning", "")]
                tally["safe"] += 1
            else:
                expected = []
                tally["good"] += 1
        assert got == expected, (x, y, w, h)
    assert all(tally[key] for key in ("crosses", "tuck", "safe", "good")), tally


# the list as a whole


def test_findings_come_by_panel_then_worst_first() -> None:
    sizing, target, _ = TARGETS["box wrap"]
    words = [upright_word(x, y, 100, 40) for x, y in itertools.product(range(30, 3600, 150), (20, 60, 900))]
    findings = where_text(observed(sizing, target, words))
    keys = [(f.panel, SEVERITIES.index(f.severity)) for f in findings]
    assert keys == sorted(keys)
    assert len({f.panel for f in findings}) == 4


def test_the_order_of_the_words_does_not_matter() -> None:
    sizing, target, _ = TARGETS["wide wall"]
    words = [upright_word(x, 40, 100, 40, text=f"w{x}") for x in range(2000, 3500, 130)]
    there, back = where_text(observed(sizing, target, words)), where_text(observed(sizing, target, words[::-1]))
    assert there == back
    assert there != ()


def test_rules_are_known_by_one_name_each() -> None:
    names = [rule.name for rule in RULES]
    assert len(names) == len(set(names))
    assert all(rule.severity in SEVERITIES and rule.audience in ("client", "shop") for rule in RULES)


def test_no_rule_gives_worse_than_it_says() -> None:
    worst = {rule.name: rule.severity for rule in RULES}
    for name, (sizing, target, way) in TARGETS.items():
        words = [turned_word(x, y, 120, 60, x) for x in range(0, 4000, 170) for y in (30, 90, 500)]
        for finding in check(observed(sizing, target, words, way)).findings:
            assert SEVERITIES.index(finding.severity) >= SEVERITIES.index(worst[finding.rule]), name


def test_an_order_without_art_lists_what_is_missing() -> None:
    sizing: Sizing = zoo.sized(zoo.BOX)
    claims = art_made.Claims((), missing=(1, 2), ambiguous=((3, ("a.pdf", "b.pdf")),), extra=("notes.txt",))
    findings = check(Observations(sizing, claims, {}, ())).findings
    assert [(f.rule, f.severity, f.panel, f.file) for f in findings] == [
        ("art-missing", "error", 1, None),
        ("art-missing", "error", 2, None),
        ("art-ambiguous", "error", 3, None),
        ("art-extra", "note", None, "notes.txt"),
    ]
    assert findings[0].where == pytest.approx((0, 0, 1076, 3376))  # a finding about a whole panel stands on all of it

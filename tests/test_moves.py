"""The move that a finding offers, checked by doing it: 200 and more random words on every kind of target.

The ground to stand on is drawn here again: rectangles and an L by sums from the metal's sizes, the triangle by half
planes. "Shortest" and "can't go in" are tried by brute force over sampled places with `shapely.contains_xy`, and for
rectangles and the triangle by closed forms: a convex word goes into an upright rectangle if its bounding box does, and
into a triangle with unit normals n and side lengths a if Σ a·(d − h(n)) ≥ 0, h = the word's support (Minkowski's sums).
"""

import itertools
from math import cos, hypot, radians, sin

import numpy as np
import pytest
import shapely
import zoo
from art_made import Ink, bare_target, observed, target_of, turned_word, upright_word
from attrs import evolve
from shapely.affinity import translate
from shapely.geometry import MultiPoint, MultiPolygon, Polygon, box
from test_checks import PAIR, ROUND, TARGETS, WIDE_BAYS, where_text

from artgen.checks import Finding
from artgen.checks.moves import fitting_scale, shortest, standing_places
from artgen.placing import Target

COUNT = 210
ROUNDING = 6.0  # mm by which a move in whole millimetres may be longer than the shortest
OVER_CORNERS = "box wrap, text over corners"
NARROW = "hung cube of 600"  # large words don't go in
ALL = TARGETS | {
    OVER_CORNERS: (*target_of(zoo.BOX, wrap=ROUND + "text_over_corners = true\n"), "sewn"),
    NARROW: (*target_of(zoo.HUNG_CUBE.replace("1500", "600"), 2), "reading"),
    "small tetrahedron": (*bare_target(zoo.tetrahedron(900)), "sewn"),
}


def random_words(target: Target, seed: int) -> list[Ink]:
    """All over the page: sizes 10 to 400 mm; level, upright, askew."""
    points = [p for outline in target.outline("art") for p in outline]
    wide, tall = max(x for x, _ in points), max(y for _, y in points)
    random = np.random.default_rng(seed)
    words = []
    for index in range(COUNT):
        high = random.uniform(10, 400)
        long = high * random.uniform(1, 4) if index % 3 else random.uniform(10, 400)
        angle = (0.0, 90.0, 45.0, random.uniform(-180, 180))[index % 4]
        x, y = random.uniform(0, wide), random.uniform(0, tall)
        words.append(evolve(turned_word(x, y, long, high, angle), text=str(index)))
    return words


def findings_of(name: str, words: list[Ink]) -> dict[str, list[Finding]]:
    sizing, target, way = ALL[name]
    by_word: dict[str, list[Finding]] = {}
    for word in words:  # each alone on its page, so that no two make a line
        by_word.setdefault(word.text, []).extend(where_text(observed(sizing, target, [word], way)))
    return {text: findings for text, findings in by_word.items() if findings}


def moved(word: Ink, dx: float, dy: float) -> Ink:
    hull = word.hull and tuple((x + dx, y + dy) for x, y in word.hull)
    return evolve(word, quad=tuple((x + dx, y + dy) for x, y in word.quad), hull=hull)


def resized(word: Ink, factor: float) -> Ink:
    hull = word.hull and tuple((x * factor, y * factor) for x, y in word.hull)
    return evolve(word, quad=tuple((x * factor, y * factor) for x, y in word.quad), hull=hull)


def with_hull(word: Ink, random: np.random.Generator) -> Ink:
    """The word with ink that leaves corners of its quad empty: one point on each side, and up to 12 more inside."""
    (x0, y0), (x1, y1), _, (x3, y3) = word.quad
    sides = [(t, 0.0) for t in random.random(1)] + [(t, 1.0) for t in random.random(1)]
    sides += [(0.0, t) for t in random.random(1)] + [(1.0, t) for t in random.random(1)]
    shares = [*sides, *random.random((random.integers(0, 13), 2))]
    points = [(x0 + u * (x1 - x0) + v * (x3 - x0), y0 + u * (y1 - y0) + v * (y3 - y0)) for u, v in shares]
    return evolve(word, hull=tuple(MultiPoint(points).convex_hull.exterior.coords[:-1]))


# where a word may stand, drawn again: 40 inside the fold lines, 30 off seams


def free_ground(name: str) -> list[Polygon]:
    inset = zoo.T + zoo.H + zoo.B + 40.0  # from the edge of the art size to the safe area: 84
    if name in ("tetrahedron", "small tetrahedron"):
        return [triangle(900 if "small" in name else zoo.TETRAHEDRON_EDGE)]
    if name == "L-shaped face":
        out = zoo.T + zoo.H + zoo.B - zoo.S  # from the metal to the edge of the art size: 38
        k = out + zoo.S + 40.0  # the safe area's first corner
        right, high = out + zoo.L_WIDE - zoo.S - 40, out + zoo.L_HIGH - zoo.S - 40
        foot, stem = out + zoo.L_FOOT - zoo.S - 40, out + zoo.L_STEM - zoo.S - 40
        return [Polygon([(k, k), (right, k), (right, foot), (stem, foot), (stem, high), (k, high)])]
    rows = {
        "box wrap": ([988, 788, 988, 788], 3288, 12),
        "box wrap, closed up": ([988, 788, 988, 788], 3288, 0),
        "three-bay wall wrap": ([888, 1188, 688], 2388, 12),
        "wrap with a seam": ([3588, 888], 2388, 12),
        "wide wall": ([5588], 2488, 0),
    }
    if name == OVER_CORNERS:
        return [box(inset, inset, 44 + 988 * 2 + 788 * 2 + 36 - 40, 44 + 3288 - 40)]
    if name in rows:
        widths, high, gap = rows[name]
        parts, left = [], 44.0
        for width in widths:
            parts.append(box(left + 40, inset, left + width - 40, 44 + high - 40))
            left += width + gap
    elif "wide hung cube" in name:
        parts = [box(inset, inset, 3576 - inset, 3576 - inset)]
    elif name == NARROW:
        parts = [box(inset, inset, 676 - inset, 676 - inset)]
    elif name in ("hung cube", "hung cube, reading-way"):
        parts = [box(inset, inset, 1576 - inset, 1576 - inset)]
    else:
        raise AssertionError(name)
    seam = {"wide wall": 2838, "wrap with a seam": 1838}.get(name, 1788 if "wide" in name else None)
    return [piece for part in parts for piece in parted(part, seam)]


def parted(part: Polygon, seam: float | None) -> list[Polygon]:
    """A rectangle less 30 mm on either side of an upright seam."""
    x0, y0, x1, y1 = part.bounds
    if seam is None or not x0 < seam < x1:
        return [part]
    return [box(x0, y0, seam - 30, y1), box(seam + 30, y0, x1, y1)]


def triangle(edge: float) -> Polygon:
    """The safe area of an equilateral face: 46 mm inside the metal, whose lower left vertex the mitres leave 38 / tan 30°
    from the art size's left, unless they are cut square; so the place is taken from the level edge and the middle."""
    inset = zoo.S + 40.0
    side = edge - 2 * inset * 3**0.5
    out = zoo.T + zoo.H + zoo.B - zoo.S
    # vertices of 60° have mitres of twice the offset, under the limit of three: the outline's left end is at −out·√3
    middle, low = edge / 2 + out * 3**0.5, out + inset
    return Polygon([(middle - side / 2, low), (middle + side / 2, low), (middle, low + side * 3**0.5 / 2)])


KNOWN = [name for name in ALL if name not in ("wrap over the top of a box", "hung cube wrap")]


# the move clears the word


FEW = ("box wrap", OVER_CORNERS, "hung cube, reading-way", "L-shaped face", NARROW)


@pytest.mark.parametrize("hulls", [False, True])
@pytest.mark.parametrize("name", [name if name in FEW else pytest.param(name, marks=pytest.mark.slow) for name in ALL])
def test_the_move_clears_every_word(name: str, hulls: bool) -> None:
    _, target, way = ALL[name]
    words = random_words(target, seed=41)
    if hulls:
        random = np.random.default_rng(40)
        words = [with_hull(word, random) for word in words[:120]]
    before = findings_of(name, words)
    offered = [word for word in words if any("move_mm" in f.evidence for f in before.get(word.text, []))]
    told = [moved(word, *before[word.text][0].evidence["move_mm"]) for word in offered]
    assert len(offered) > 20, "the words try too little"
    assert findings_of(name, told) == {}
    for word in words:
        for finding in before.get(word.text, []):
            assert ("move_mm" in finding.evidence) != ("fits_at" in finding.evidence)
    check_moves_on_page([f.evidence for all_ in before.values() for f in all_ if "move_mm" in f.evidence], way)


def check_moves_on_page(moves: list[dict[str, list[float]]], way: str) -> None:
    """The same move along the page's own axes, which a reading-way page has at 45° to the cloth's. In whole millimetres or
    tenths, but where the free place is smaller than a tenth."""
    turn = radians(45 if way == "reading" else 0)
    odd = 0
    for evidence in moves:
        (dx, dy), page = evidence["move_mm"], evidence["move_on_page_mm"]
        assert zoo.near(page, (dx * cos(turn) - dy * sin(turn), dx * sin(turn) + dy * cos(turn)), within=1e-5)
        odd += not all(abs(v * 10 - round(v * 10)) < 1e-9 for v in page)
    assert odd <= len(moves) / 50


# the move is the shortest


def ring(word: Ink, step: float = 20.0) -> np.ndarray:
    """Points round a word's edge."""
    points = []
    outline = word.hull or word.quad
    for (x0, y0), (x1, y1) in zip(outline, [*outline[1:], outline[0]], strict=True):
        count = max(1, int(hypot(x1 - x0, y1 - y0) / step))
        points += [(x0 + (x1 - x0) * i / count, y0 + (y1 - y0) * i / count) for i in range(count)]
    return np.array(points)


def stands(ground: MultiPolygon, points: np.ndarray, moves: np.ndarray) -> np.ndarray:
    """For each of the moves, whether all points come to lie on the ground; in one part of it, since a word that covers two
    has points between them."""
    at = points[None, :, :] + moves[:, None, :]
    return (
        np.asarray(shapely.contains_xy(ground, at[..., 0].ravel(), at[..., 1].ravel()))
        .reshape(at.shape[:2])
        .all(axis=1)
    )


@pytest.mark.parametrize("name", KNOWN)
def test_no_clearly_shorter_move_clears(name: str) -> None:
    _, target, _ = ALL[name]
    ground = MultiPolygon(free_ground(name))
    shapely.prepare(ground)
    random = np.random.default_rng(42)
    words = [with_hull(word, random) if n % 2 else word for n, word in enumerate(random_words(target, seed=43)[:90])]
    found = findings_of(name, words)
    turns = np.radians(np.arange(0, 360, 10))
    tried = 0
    for word in words:
        move = next((f.evidence["move_mm"] for f in found.get(word.text, []) if "move_mm" in f.evidence), None)
        if move is None or tried == 40:
            continue
        tried += 1
        length = hypot(*move)
        points = ring(word)
        assert stands(ground.buffer(1e-3), points, np.array([move])).all()  # the ground drawn here agrees
        reach = np.linspace(0, max(length - ROUNDING, 0), 12)
        moves = (reach[:, None, None] * np.stack([np.cos(turns), np.sin(turns)], -1)[None]).reshape(-1, 2)
        shorter = moves[stands(ground, points, moves)] if length > ROUNDING else []
        # an inward corner of the ground may stand between two of the points
        shape = Polygon(word.hull or word.quad)
        shorter = [one for one in shorter if ground.contains(translate(shape, *one))]
        assert len(shorter) == 0, (word, move, shorter[:3])
    assert tried > 15


@pytest.mark.parametrize("name", ["hung cube", "wide wall", "box wrap"])
def test_the_shortest_move_into_rectangles(name: str) -> None:
    """Closed form: into each rectangle, along each axis by what the word's bounding box lacks."""
    _, target, _ = ALL[name]
    words = random_words(target, seed=44)[:120]
    found = findings_of(name, words)
    for word in words:
        move = next((f.evidence["move_mm"] for f in found.get(word.text, []) if "move_mm" in f.evidence), None)
        if move is None:
            continue
        x0, y0, x1, y1 = Polygon(word.quad).bounds
        lengths = []
        for part in free_ground(name):
            a, b, c, d = part.bounds
            if c - a >= x1 - x0 and d - b >= y1 - y0:
                lengths.append(hypot(max(a - x0, 0, x1 - c), max(b - y0, 0, y1 - d)))
        assert min(lengths) - 1e-6 <= hypot(*move) <= min(lengths) + 2**0.5 + 1e-6  # up to a whole mm along each axis


# what is too large


def rectangle_fit(word: Ink, parts: list[Polygon]) -> float:
    x0, y0, x1, y1 = Polygon(word.quad).bounds
    return max(min((c - a) / (x1 - x0), (d - b) / (y1 - y0)) for a, b, c, d in (part.bounds for part in parts))


def triangle_fit(word: Ink, part: Polygon) -> float:
    points = np.array(part.exterior.coords)
    quad = np.array(word.quad)
    room = need = 0.0
    for a, b in itertools.pairwise(points):
        length = float(np.linalg.norm(b - a))
        n = np.array([b[1] - a[1], a[0] - b[0]]) / length * (1 if part.exterior.is_ccw else -1)
        room += length * float(n @ a)
        need += length * float((quad @ n).max())
    return room / need


@pytest.mark.parametrize("name", [name for name in KNOWN if name != "L-shaped face"])
def test_how_small_a_word_must_get(name: str) -> None:
    parts = free_ground(name)
    _, target, _ = ALL[name]
    words = random_words(target, seed=45)[:100]
    words += [
        evolve(upright_word(300, 300, w, h), text=f"wide{w}x{h}") for w, h in ((1200, 30), (4000, 100), (60, 3400))
    ]
    found = findings_of(name, words)
    large = 0
    for word in words:
        fits = triangle_fit(word, parts[0]) if "tetra" in name else rectangle_fit(word, parts)
        for finding in found.get(word.text, []):
            large += "fits_at" in finding.evidence
            if "fits_at" in finding.evidence:
                assert fits < 1 + 1e-9
                assert finding.evidence["fits_at"] == pytest.approx(fits, abs=0.001)  # 12 halvings, three decimals
            else:
                assert fits > 1 - 1e-9
    assert large


@pytest.mark.parametrize("name", ["L-shaped face", "tetrahedron", NARROW])
def test_what_is_too_large_goes_in_nowhere_and_smaller_it_does(name: str) -> None:
    """Brute force: a grid of places 20 mm apart over the whole ground, none takes the word; at 94 % of the size that
    is reported, one does."""
    (part,) = free_ground(name)
    ground = MultiPolygon([part])
    shapely.prepare(ground)
    random = np.random.default_rng(46)
    words = [
        evolve(turned_word(700, 700, w, random.uniform(300, 700), a), text=f"{w}at{a}")
        for w in (560, 900, 1500)
        for a in (0.0, 45.0, 90.0, 30.0)
    ]
    found = findings_of(name, words)
    x0, y0, x1, y1 = part.bounds
    grid = np.stack(np.meshgrid(np.arange(x0, x1, 20), np.arange(y0, y1, 20)), -1).reshape(-1, 2)
    tried = 0
    for word in words:
        fits = next((f.evidence["fits_at"] for f in found.get(word.text, []) if "fits_at" in f.evidence), None)
        if fits is None:
            continue
        tried += 1
        from_first = ring(word, step=60.0) - np.array(word.quad[0])
        assert not stands(ground, from_first, grid).any()
        smaller = from_first * fits * 0.94
        assert stands(ground, smaller, grid).any(), (word, fits)
        again = findings_of(name, [resized(word, fits * 0.99)])
        assert all("fits_at" not in f.evidence for f in again.get(word.text, []))
    assert tried >= 4


# the geometry alone


def test_no_place_at_all() -> None:
    square = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
    assert shortest(square, Polygon(), (1.0, 0.0)) is None
    assert fitting_scale(square, Polygon()) == 0
    assert shortest(square, box(0, 0, 9, 100), (1.0, 0.0)) is None
    assert fitting_scale(square, box(0, 0, 9, 100)) == pytest.approx(0.9, abs=2**-12)


def test_a_small_place_is_not_lost() -> None:
    """A word askew in a triangle that leaves it 11 % to spare: its places form the triangle less by that. Overlays in
    floating point found none. Area by closed form: the triangle's, times (1 − 1 / fit)²."""
    ground = triangle(zoo.TETRAHEDRON_EDGE)
    quad = ((1559.717750823784, -37.4905475205897), (779.3433269508758, 648.2633438204056))
    quad += ((600.6438293190055, 444.9068346241561), (1381.018253191913, -240.8470567168393))
    fit = triangle_fit(Ink(quad), ground)
    assert fit == pytest.approx(1.11427, abs=1e-5)
    assert standing_places(quad, ground).area == pytest.approx(ground.area * (1 - 1 / fit) ** 2, rel=1e-6)


def test_a_word_that_stands_well_need_not_move() -> None:
    move = shortest(((5.0, 5.0), (15.0, 5.0), (15.0, 9.0), (5.0, 9.0)), box(0, 0, 100, 100), (1.0, 0.0))
    assert move is not None
    assert (move.dx, move.dy, move.page_dx, move.page_dy) == (0, 0, 0, 0)


def test_places_round_a_hole() -> None:
    """A square of 10 in a square of 100 with a hole of 20 in the middle: (100 − 10)² less (20 + 10)²."""
    ground = box(0, 0, 100, 100).difference(box(40, 40, 60, 60))
    places = standing_places(((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)), ground)
    assert places.area == pytest.approx(90**2 - 30**2)


def test_a_word_does_not_straddle_two_parts() -> None:
    """Two strips of 30 with a gap of 1 between: a word of 40 fits neither, though their sum would hold it."""
    word = ((0.0, 0.0), (40.0, 0.0), (40.0, 5.0), (0.0, 5.0))
    assert shortest(word, MultiPolygon([box(0, 0, 30, 50), box(31, 0, 61, 50)]), (1.0, 0.0)) is None


def test_whole_millimetres_of_the_page() -> None:
    """10.3 mm short on the left: 11 is the least whole move; from the right, −11."""
    left = shortest(((-10.3, 5.0), (5.0, 5.0), (5.0, 9.0), (-10.3, 9.0)), box(0, 0, 100, 100), (1.0, 0.0))
    right = shortest(((90.0, 5.0), (110.3, 5.0), (110.3, 9.0), (90.0, 9.0)), box(0, 0, 100, 100), (1.0, 0.0))
    assert left is not None
    assert right is not None
    assert (left.page_dx, left.page_dy) == (11, 0)
    assert (right.page_dx, right.page_dy) == (-11, 0)


def test_a_seam_in_a_wrap_belongs_to_its_own_panel() -> None:
    """The first bay's seam stands at 1838; words on the second bay know nothing of it."""
    sizing, target = target_of(WIDE_BAYS, wrap=PAIR)
    words = [upright_word(1800, 900, 100, 50), upright_word(3900, 900, 100, 50)]
    found = where_text(observed(sizing, target, words))
    assert [(f.rule, f.panel) for f in found] == [("text-crosses-seam", 1)]
    assert found[0].evidence["move_mm"] in ([-92.0, 0.0], [68.0, 0.0])
    assert hypot(*found[0].evidence["move_mm"]) == 68  # to the right: 1838 + 30 − 1800; to the left: 1900 − 1808

"""`run`: straight lengths of frames at angles, open at both ends: L, U, zigzag; dressed on one side or on both."""

from math import cos, hypot, radians, sin, tan
from typing import Literal

from attrs import frozen

from ...typed import Faults, Size
from ...units import mm_text
from ..shape import Face, Shape, Vertex
from .kind import BayRows, Flag, Form, Kind, both_sides

_MOST = 50  # lengths
_SHARPEST = 150.0  # degrees of turn, ours
_FITS = 1e-6  # mm: float dust is no collision
Line = Literal["front", "middle", "back"]
Flat = tuple[float, float]


@frozen
class RunKeys:
    """``lengths`` along the line that ``measured_on`` names, from corner to corner of that line; ``angles``: degrees of turn
    at each post, 0 straight on, more than 0 to the left as one walks along it left to right in front. ``depth`` defaults
    to the frame profile's. ``corners``: metal meets on the mitre, or a post ``post`` mm deep stands between square ends.
    """

    lengths: tuple[Size, ...]
    height: Size
    angles: tuple[float, ...] = ()
    depth: Size | None = None
    faces: Literal[1, 2] = 1
    measured_on: Line = "front"
    corners: Literal["mitred", "posted"] = "mitred"
    post: Size | None = None


def faces(keys: RunKeys, depth: float, bays: BayRows) -> Shape:
    d = keys.depth if keys.depth is not None else depth
    _given(keys)
    plans = _plans(keys, d)
    _apart(plans)
    h, count = keys.height, len(plans)
    fronts = [Face(f"f{i + 1}", _upright(plan[0], plan[1], h)) for i, plan in enumerate(plans)]
    backs = [_upright(plan[2], plan[3], h) for plan in plans]
    if keys.faces == 1:
        return Shape(tuple(fronts), numbering="along", bare=tuple(backs))
    wrong = [fault for i in range(count) for fault in both_sides(f"f{i + 1}", f"f{2 * count - i}", bays)]
    if wrong:
        raise Faults(wrong)
    second = [Face(f"f{count + i + 1}", back) for i, back in enumerate(reversed(backs))]
    return Shape((*fronts, *second), numbering="along")


def _upright(a: Flat, b: Flat, height: float) -> tuple[Vertex, ...]:
    return (*a, 0.0), (*b, 0.0), (*b, height), (*a, height)


def _given(keys: RunKeys) -> None:
    wrong = []
    if not 1 <= len(keys.lengths) <= _MOST:
        wrong.append(("lengths", f"expected 1 to {_MOST} lengths, got {len(keys.lengths)}"))
    elif len(keys.angles) != len(keys.lengths) - 1:
        wrong.append(
            (
                "angles",
                f"expected one fewer than lengths ({len(keys.lengths) - 1}), one at each post, got {len(keys.angles)}",
            )
        )
    wrong += [
        (f"angles {i}", f"expected a turn of at most {_SHARPEST:g} degrees either way, got {angle:g}")
        for i, angle in enumerate(keys.angles, start=1)
        if abs(angle) > _SHARPEST
    ]
    if keys.post is not None and keys.corners == "mitred":
        wrong.append(("post", 'mitred corners have no posts; say corners = "posted", or leave it out'))
    if wrong:
        raise Faults(wrong)


def _plans(keys: RunKeys, d: float) -> list[tuple[Flat, Flat, Flat, Flat]]:
    """Each frame seen from above: front left, front right, then its back in the same sense (back right, back left).

    Left of the way along the front lies the back, so a turn to the left by a makes a line x behind the front shorter by
    x tan(a/2) at that corner.
    """
    half = [0.0, *(tan(radians(angle) / 2) for angle in keys.angles), 0.0]
    behind = {"front": 0.0, "middle": d / 2, "back": d}[keys.measured_on]
    posted = keys.corners == "posted"
    post = (keys.post if keys.post is not None else d) / 2 if posted else 0.0
    needed = max((abs(h) for h in half), default=0.0) * d / 2
    wrong = []
    if posted and post < needed - _FITS:
        wrong.append(
            ("post", f"the frames run into one another behind the post: it must be {mm_text(2 * needed)} mm deep")
        )
    found, at, way = [], (0.0, 0.0), 0.0  # `at` = corner of the front line
    for i, length in enumerate(keys.lengths):
        first, last = half[i], half[i + 1]
        front = length + behind * (first + last)  # corner to corner of the front line
        # how far from the front line's corners the metal begins and ends, at the front and at the back
        inner = (i > 0, i < len(keys.lengths) - 1)
        if posted:  # square ends, half a post from where the middle lines meet
            start = (d / 2 * first + post * inner[0],) * 2
            end = (front - d / 2 * last - post * inner[1],) * 2
        else:
            start, end = (0.0, d * first), (front, front - d * last)
        if min(end[0] - start[0], end[1] - start[1]) <= _FITS:
            wrong.append(
                (f"lengths {i + 1}", f"its corners use up {mm_text(length)} mm; make it longer or the frame less deep")
            )
        ux, uy = cos(radians(way)), sin(radians(way))

        def place(along: float, back: float, ux: float = ux, uy: float = uy, at: Flat = at) -> Flat:
            return at[0] + along * ux - back * uy, at[1] + along * uy + back * ux

        found.append((place(start[0], 0.0), place(end[0], 0.0), place(end[1], d), place(start[1], d)))
        at = place(front, 0.0)
        way += keys.angles[i] if i < len(keys.angles) else 0.0
    if wrong:
        raise Faults(wrong)
    return _joined(found) if not posted else found


def _joined(plans: list[tuple[Flat, Flat, Flat, Flat]]) -> list[tuple[Flat, Flat, Flat, Flat]]:
    """Frames on the mitre share their corners to the last bit."""
    joined = plans[:1]
    for _, b, c, _ in plans[1:]:
        joined.append((joined[-1][1], b, c, joined[-1][2]))
    return joined


def _apart(plans: list[tuple[Flat, Flat, Flat, Flat]]) -> None:
    """Raises `Faults` where frames stand in one another."""
    wrong = [
        ("angles", f"lengths {i + 1} and {j + 1} stand in one another")
        for j, other in enumerate(plans)
        for i, one in enumerate(plans[:j])
        if not _beyond(one, other) and not _beyond(other, one)
    ]
    if wrong:
        raise Faults(wrong)


def _beyond(one: tuple[Flat, ...], other: tuple[Flat, ...]) -> bool:
    """Whether all of ``other`` lies beyond an edge of ``one``, both anticlockwise. Of two convex outlines that don't overlap,
    one does of the other."""
    for (ax, ay), (bx, by) in zip(one, (*one[1:], one[0]), strict=True):
        dx, dy = bx - ax, by - ay
        most = _FITS * hypot(dx, dy)
        if all(dx * (y - ay) - dy * (x - ax) <= most for x, y in other):
            return True
    return False


KIND = Kind(
    name="run",
    title="run of frames",
    keys=RunKeys,
    faces=faces,
    forms=(
        Form(
            flags=(
                Flag("length", "a length of the run; repeat it", ("2000 mm", "1000 mm")),
                Flag("angle", "turn at a post in degrees, left is more than 0; repeat it", ("90",), "angle"),
                Flag("height", "height of the metal", "2400 mm"),
            ),
            lines="""\
lengths = {length}   # left to right, as one stands in front
angles = {angle}            # degrees of turn at each post: 0 = straight on, more than 0 = to the left as one walks along
height = {height}     # of the metal alone, without feet
faces = 1              # 2 = dressed on both sides
measured_on = "front"  # the line that lengths lie on: "front", "middle" or "back" of the frames
corners = "mitred"     # "posted": square ends and a post between
# post = "100 mm"      # its depth, where corners are posted; default the frame's depth
# depth = "100 mm"     # default the frame profile's
""",
        ),
    ),
    front_face="f1",
)

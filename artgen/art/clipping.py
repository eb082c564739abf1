"""Clip regions as convex polygons. Takes path operators' numbers and polygons, gives polygons in the page frame.

A clip path that is one convex outline of straight lines is kept as it is, any other as the bounds of its points; so a region
is never smaller than what shows.
"""

from collections.abc import Sequence

from .facts import Point
from .mapping import Matrix, apply, bounds, vertices_of

Region = tuple[Point, ...]
_MOST_VERTICES = 32  # ours: a clip of more is kept as its bounds


def outline(path: Sequence[tuple[str, list[float]]], matrix: Matrix) -> Region:
    """The region of a path, given as (operator, numbers) in user space; empty if it has no points."""
    points: list[Point] = []
    plain, starts = True, 0
    for operator, numbers in path:
        if operator == "re" and len(numbers) == 4:
            x, y, w, h = numbers
            corners: list[Point] = [(x, y), (x + w, y), (x + w, y + h), (x, y + h)]
            starts += 1
        elif operator in _NUMBERS and len(numbers) == _NUMBERS[operator]:
            corners = list(zip(numbers[::2], numbers[1::2], strict=True))
            starts += operator == "m"
            plain = plain and operator in ("m", "l")
        else:
            continue
        points += [apply(matrix, point) for point in corners]
    if not points:
        return ()
    whole = _without_repeats(points)
    if plain and starts == 1 and 3 <= len(whole) <= _MOST_VERTICES and _convex(whole):
        return tuple(whole)
    return vertices_of(bounds(points))


def cut(region: Region, by: Region) -> Region:
    """What a convex ``region`` has in common with a convex ``by`` (Sutherland–Hodgman); empty if nothing."""
    sign = 1 if _area(by) >= 0 else -1
    points = list(region)
    for p, q in zip(by, by[1:] + by[:1], strict=True):
        sides = [sign * ((q[0] - p[0]) * (y - p[1]) - (q[1] - p[1]) * (x - p[0])) for x, y in points]
        kept: list[Point] = []
        for n, (point, side) in enumerate(zip(points, sides, strict=True)):
            last, before = points[n - 1], sides[n - 1]
            if (side > 0) != (before > 0) and side != before:
                t = before / (before - side)
                kept.append((last[0] + t * (point[0] - last[0]), last[1] + t * (point[1] - last[1])))
            if side > 0:
                kept.append(point)
        points = kept
        if not points:
            return ()
    return tuple(points)


def shown_of(shape: Region, clip: Region | None) -> Region | None:
    """What ``clip`` leaves of ``shape``; None if all of it."""
    if clip is None:
        return None
    left = cut(shape, clip) if clip else ()
    return None if abs(_area(left)) >= abs(_area(shape)) * (1 - 1e-6) else left


_NUMBERS = {"m": 2, "l": 2, "c": 6, "v": 4, "y": 4}


def _area(region: Sequence[Point]) -> float:
    """Twice the area, positive anticlockwise."""
    return sum(p[0] * q[1] - p[1] * q[0] for p, q in zip(region, [*region[1:], *region[:1]], strict=True))


def _without_repeats(points: list[Point]) -> list[Point]:
    whole = [point for n, point in enumerate(points) if point != points[n - 1]]
    return whole or points[:1]


def _convex(points: list[Point]) -> bool:
    turns = []
    for n, q in enumerate(points):
        p, r = points[n - 1], points[(n + 1) % len(points)]
        turns.append((q[0] - p[0]) * (r[1] - q[1]) - (q[1] - p[1]) * (r[0] - q[0]))
    return all(turn >= 0 for turn in turns) or all(turn <= 0 for turn in turns)

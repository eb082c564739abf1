"""Plane mappings as six numbers. Takes and gives `Matrix`: (a, b, c, d, e, f) sends (x, y) to
(a x + c y + e, b x + d y + f), the order in which PDF writes them (ISO 32000-1 8.3.3)."""

from collections.abc import Iterable

from .facts import Point, Rect

Matrix = tuple[float, float, float, float, float, float]


def then(first: Matrix, second: Matrix) -> Matrix:
    """The mapping that does ``first`` and after it ``second``."""
    a, b, c, d, e, f = first
    p, q, r, s, t, u = second
    return (
        a * p + b * r,
        a * q + b * s,
        c * p + d * r,
        c * q + d * s,
        e * p + f * r + t,
        e * q + f * s + u,
    )


def inverse(matrix: Matrix) -> Matrix:
    """The mapping back. Raises `ValueError` if the matrix flattens the plane."""
    a, b, c, d, e, f = matrix
    det = a * d - b * c
    if not abs(det) > 1e-300:
        raise ValueError(f"the mapping {matrix} has no area, so it can't be turned round")
    return (d / det, -b / det, -c / det, a / det, (c * f - d * e) / det, (b * e - a * f) / det)


def apply(matrix: Matrix, point: Point) -> Point:
    """Where ``point`` lands."""
    a, b, c, d, e, f = matrix
    x, y = point
    return (a * x + c * y + e, b * x + d * y + f)


def bounds(points: Iterable[Point]) -> Rect:
    """Smallest upright rectangle round ``points``."""
    xs, ys = zip(*points, strict=True)
    return (min(xs), min(ys), max(xs), max(ys))


def vertices_of(rect: Rect) -> tuple[Point, Point, Point, Point]:
    """The four vertices, anticlockwise from (x0, y0)."""
    x0, y0, x1, y1 = rect
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def apply_rect(matrix: Matrix, rect: Rect) -> Rect:
    """Bounds of where ``rect`` lands."""
    return bounds(apply(matrix, point) for point in vertices_of(rect))

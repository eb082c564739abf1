"""Areas filled with black ink alone. Takes colours and path operators, gives square millimetres of the page."""

from collections.abc import Sequence
from typing import Any

from attrs import define, field

from .clipping import cut, outline
from .facts import ColourSpace, Filled, Point
from .faults import ABSURD_MM
from .graphics import State, numbers
from .mapping import Matrix, apply, bounds

MAX_BLACK = 50  # ours: shapes listed of one page

_BLACK, _OTHER = 0.95, 0.02  # ours: at least so much black, at most so much of each other ink
_ENDS = {"m": 2, "l": 2, "c": 6, "v": 4, "y": 4}


@define
class BlackFills:
    """Shapes filled with black ink alone, as they are painted. ``met`` = whether there was any."""

    met: bool = False
    shapes: list[Filled] = field(factory=list)
    _last: tuple[Any, Any, bool] = (None, None, False)

    def take(self, state: State, steps: Sequence[tuple[str, list[float]]] | None, even_odd: bool, hidden: bool) -> None:
        """Notes a fill. ``steps`` = its path in user space, None where paths are not read; ``hidden``: on a layer that is off.
        What overprints lies on other inks, and is left out."""
        fill, space, black = self._last
        if fill is not state.fill or space is not state.fill_space:  # colours change seldom
            black = is_plain_black(state.fill_space, numbers(state.fill))
            self._last = state.fill, state.fill_space, black
        if not black or hidden or state.over_fill or state.fill_alpha < 1:
            return
        self.met = True
        region = outline(steps, state.ctm) if steps else ()
        shown = cut(region, state.clip) if region and state.clip is not None else region
        if not steps or not shown or not all(abs(value) <= ABSURD_MM for point in shown for value in point):
            return
        where = bounds(shown)
        area = min(filled_area(steps, state.ctm, even_odd), (where[2] - where[0]) * (where[3] - where[1]))
        self.shapes.append(Filled(area, where))
        if len(self.shapes) > 2 * MAX_BLACK:
            self.shapes = list(self.largest())

    def largest(self) -> tuple[Filled, ...]:
        return tuple(sorted(self.shapes, key=lambda one: -one.area)[:MAX_BLACK])


def is_plain_black(space: ColourSpace, values: Sequence[float]) -> bool:
    """Whether a colour is black ink and nothing else."""
    if space.family == "Separation":
        return space.inks == ("Black",) and len(values) == 1 and values[0] >= _BLACK
    if space.family == "DeviceCMYK" or (space.family == "ICCBased" and space.parts == 4):
        return len(values) == 4 and values[3] >= _BLACK and max(values[:3]) <= _OTHER
    return False


def filled_area(path: Sequence[tuple[str, list[float]]], matrix: Matrix, even_odd: bool) -> float:
    """Area of a filled path, given as (operator, numbers) in user space; curves are taken as straight from end to end. Holes are
    taken off as far as their direction, or with ``even_odd`` their lying inside the largest part, tells."""
    areas = [_area([apply(matrix, point) for point in points]) for points in _parts(path)]
    if not areas:
        return 0.0
    if not even_odd:
        return abs(sum(areas))
    sizes = sorted((abs(area) for area in areas), reverse=True)
    return max(0.0, sizes[0] - sum(sizes[1:]))


def _parts(path: Sequence[tuple[str, list[float]]]) -> list[list[Point]]:
    parts: list[list[Point]] = []
    for operator, values in path:
        if operator == "re" and len(values) == 4:
            x, y, w, h = values
            parts.append([(x, y), (x + w, y), (x + w, y + h), (x, y + h)])
        elif operator in _ENDS and len(values) == _ENDS[operator]:
            if operator == "m" or not parts:
                parts.append([])
            parts[-1].append((values[-2], values[-1]))
    return parts


def _area(points: Sequence[Point]) -> float:
    return sum(p[0] * q[1] - p[1] * q[0] for p, q in zip(points, [*points[1:], *points[:1]], strict=True)) / 2

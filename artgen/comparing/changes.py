"""What changed between two kept revisions. Pure: records and PNG bytes in, records out."""

import io
from collections.abc import Iterable, Mapping, Sequence
from math import cos, hypot, radians, sin
from typing import Any, Literal

import numpy as np
from attrs import evolve, field, frozen
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter

from .difference import Difference, Mask, PixelBox, difference, shown
from .kept import Box, Kept, KeptFinding, KeptPanel, KeptWord

Kind = Literal["new", "gone", "first-art", "no-art", "resized", "swapped", "taken", "whole", "places", "hidden"]
_WHOLE = 0.3  # ours: more of it differs than of the same picture with a thing moved
_SAME_SIZE = 0.5  # mm
_STILL = 3.0  # mm, ours: a word that moved less stands where it stood
_ALIKE = 2.0  # mm
_TOUCH = 6.0  # mm round a place that differs: words there are named
_CLOSE, _ROUND = (
    0.3,
    0.04,
)  # ours, shares of a picture's longer side: the least that is shown closely, and room round it
_THUMB, _LIKE = (
    24,
    4.0,
)  # pixels a side; levels of mean difference: only pictures this like are compared with other panels'


@frozen
class WordChange:
    """``by`` = mm to the right and up, as one reads the panel."""

    text: str
    kind: Literal["moved", "new", "gone"]
    by: tuple[float, float] = (0.0, 0.0)


@frozen
class PanelChange:
    """A panel that is not as it was. ``other`` = the panel that its picture came from, or was swapped with; ``places`` in its
    sewn frame, mm; ``share`` of its picture that differs. Pictures are level, as one reads the panel; ``marked`` = where it
    differs, ``focus`` = the part of them all that holds it."""

    panel: KeptPanel
    kind: Kind
    other: int | None = None
    places: tuple[Box, ...] = ()
    share: float = 1.0
    words: tuple[WordChange, ...] = ()
    before: Image.Image | None = field(default=None, repr=False)
    after: Image.Image | None = field(default=None, repr=False)
    marked: Image.Image | None = field(default=None, repr=False)
    focus: PixelBox | None = None


@frozen
class Between:
    """All that changed. ``same`` = panels that look as they did; ``resaved`` = those among them whose file is another all the
    same; ``order_changed``: the order file is."""

    since: str
    until: str
    panels: tuple[PanelChange, ...]
    same: tuple[int, ...]
    resaved: tuple[int, ...]
    went: tuple[KeptFinding, ...]
    came: tuple[KeptFinding, ...]
    stayed: tuple[KeptFinding, ...]
    order_changed: bool

    @property
    def nothing(self) -> bool:
        return not (self.panels or self.went or self.came)

    def for_client(self) -> "Between":
        """Without what is for the shop alone."""

        def client(findings: Sequence[KeptFinding]) -> tuple[KeptFinding, ...]:
            return tuple(finding for finding in findings if finding.audience == "client")

        return evolve(self, went=client(self.went), came=client(self.came), stayed=client(self.stayed))


def compare(before: Kept, after: Kept) -> Between:
    old = {panel.number: panel for panel in before.manifest.panels}
    new = {panel.number: panel for panel in after.manifest.panels}
    found = []
    for number in sorted({*old, *new}):
        change = _panel(number, old.get(number), new.get(number), before.pictures, after.pictures)
        if change is not None:
            found.append(change)
    found = _travelled(found, before, after)
    same = tuple(number for number in new if number not in {change.panel.number for change in found})
    went, came, stayed = _findings(before.manifest.findings, after.manifest.findings)
    inputs = before.manifest.inputs, after.manifest.inputs
    resaved = tuple(n for n in same if _hashes(inputs[0], old[n]) != _hashes(inputs[1], new[n]))
    changed = inputs[0].get("order") != inputs[1].get("order")
    return Between(
        before.manifest.revision,
        after.manifest.revision,
        tuple(found),
        same,
        resaved,
        went,
        came,
        stayed,
        changed,
    )


def _hashes(inputs: Mapping[str, Any], panel: KeptPanel) -> list[object]:
    """Of a panel's art files, whatever they are called."""
    art = inputs.get("art")
    known = art if isinstance(art, Mapping) else {}
    return [known.get(f"art/{name}", known.get(name)) for name in panel.files]


def _panel(
    number: int, old: KeptPanel | None, new: KeptPanel | None, before: Mapping[int, bytes], after: Mapping[int, bytes]
) -> PanelChange | None:
    a = _level(before.get(number), old)
    b = _level(after.get(number), new)
    if old is None or new is None:
        (panel,) = [one for one in (old, new) if one is not None]
        return PanelChange(panel, "new" if old is None else "gone", before=a, after=b)
    if any(abs(x - y) > _SAME_SIZE for x, y in zip(old.art, new.art, strict=True)):
        return PanelChange(new, "resized", before=a, after=b)
    if a is None or b is None:
        return None if a is b else PanelChange(new, "first-art" if a is None else "no-art", before=a, after=b)
    return _pictures(old, new, _open(before[number]), _open(after[number]))


def _pictures(old: KeptPanel, new: KeptPanel, a: Image.Image, b: Image.Image) -> PanelChange | None:
    if a.size != b.size:  # the art came at another scale, and was looked at on another grid
        size = min(a.size, b.size)
        a, b = (one if one.size == size else one.resize(size, Image.Resampling.BOX) for one in (a, b))
    found = difference(a, b)
    if not found.boxes:
        return None
    places = tuple(_millimetres(box, a.size, new) for box in found.boxes)
    level, mask = _turned(b, new), _turned_mask(found.mask, new)
    kind: Kind = "whole" if found.share > _WHOLE else "places" if _seen(found, new) else "hidden"
    return PanelChange(
        new,
        kind,
        None,
        places,
        found.share,
        _words(old, new, places) if kind == "places" else (),
        _turned(a, new),
        level,
        shown(level, mask),
        _focus(mask),
    )


def _open(png: bytes) -> Image.Image:
    return Image.open(io.BytesIO(png)).convert("RGB")


def _level(png: bytes | None, panel: KeptPanel | None) -> Image.Image | None:
    return _turned(_open(png), panel) if png is not None and panel is not None else None


def _turned(picture: Image.Image, panel: KeptPanel) -> Image.Image:
    """As one reads it."""
    if abs(panel.upright_deg) < 0.01:
        return picture
    return picture.rotate(-panel.upright_deg, Image.Resampling.BICUBIC, expand=True, fillcolor="white")


def _turned_mask(mask: Mask, panel: KeptPanel) -> Mask:
    image = Image.fromarray((mask * np.uint8(255)).astype(np.uint8))
    if abs(panel.upright_deg) >= 0.01:
        image = image.rotate(-panel.upright_deg, Image.Resampling.NEAREST, expand=True)
    return np.asarray(image, dtype=bool)


def _focus(mask: Mask) -> PixelBox:
    """The part of a level picture that is worth looking at closely: all that differs, with room round it."""
    rows, columns = np.nonzero(mask)
    high, wide = mask.shape
    least, room = _CLOSE * max(high, wide), _ROUND * max(high, wide)

    def span(values: NDArray[Any], most: int) -> tuple[int, int]:
        low, top = float(values.min()) - room, float(values.max()) + 1 + room
        short = max(0.0, least - (top - low)) / 2
        return max(0, int(low - short)), min(most, int(top + short) + 1)

    (left, right), (upper, lower) = span(columns, wide), span(rows, high)
    return left, upper, right, lower


def _millimetres(box: tuple[int, int, int, int], size: tuple[int, int], panel: KeptPanel) -> Box:
    left, top, right, bottom = box
    kx, ky = panel.art[0] / size[0], panel.art[1] / size[1]
    return left * kx, (size[1] - bottom) * ky, (right - left) * kx, (bottom - top) * ky


def _seen(found: Difference, panel: KeptPanel) -> bool:
    """Whether any of it lies inside the fold lines, by more than the points that they themselves run over."""
    rows, columns = found.mask.shape
    kx, ky = columns / panel.art[0], rows / panel.art[1]
    inside = Image.new("1", (columns, rows))
    ImageDraw.Draw(inside).polygon([(x * kx - 0.5, rows - y * ky - 0.5) for x, y in panel.visible], fill=1)
    smaller = inside.convert("L").filter(ImageFilter.MinFilter(5))
    return bool((np.asarray(smaller, dtype=bool) & found.mask).any())


def _words(old: KeptPanel, new: KeptPanel, places: Sequence[Box]) -> tuple[WordChange, ...]:
    """Words at the places that differ, that are not where they were."""
    was = [word for word in old.words if any(_meet(word.at, place) for place in places)]
    now = [word for word in new.words if any(_meet(word.at, place) for place in places)]
    for word in list(was):
        twin = next((one for one in now if one.text == word.text and _apart(one, word) <= _STILL), None)
        if twin is not None:
            was.remove(word)
            now.remove(twin)
    found = []
    for word in list(was):
        twins = sorted((one for one in now if one.text == word.text), key=lambda one: _apart(one, word))
        if twins:
            was.remove(word)
            now.remove(twins[0])
            found.append(WordChange(word.text, "moved", _as_read(new, word, twins[0])))
    found = _together(found)
    found += [WordChange(word.text, "new") for word in now]
    return (*found, *(WordChange(word.text, "gone") for word in was))


def _together(moved: Iterable[WordChange]) -> list[WordChange]:
    """Words that follow one another and moved alike are said as one."""
    found: list[WordChange] = []
    for word in moved:
        last = found[-1] if found else None
        if last is not None and max(abs(a - b) for a, b in zip(last.by, word.by, strict=True)) <= _ALIKE:
            found[-1] = evolve(last, text=f"{last.text} {word.text}")
        else:
            found.append(word)
    return found


def _meet(a: Box, b: Box) -> bool:
    return (
        a[0] <= b[0] + b[2] + _TOUCH
        and b[0] <= a[0] + a[2] + _TOUCH
        and a[1] <= b[1] + b[3] + _TOUCH
        and b[1] <= a[1] + a[3] + _TOUCH
    )


def _middle(word: KeptWord) -> tuple[float, float]:
    x, y, w, h = word.at
    return x + w / 2, y + h / 2


def _apart(a: KeptWord, b: KeptWord) -> float:
    return hypot(*(p - q for p, q in zip(_middle(a), _middle(b), strict=True)))


def _as_read(panel: KeptPanel, a: KeptWord, b: KeptWord) -> tuple[float, float]:
    (ax, ay), (bx, by) = _middle(a), _middle(b)
    dx, dy, up = bx - ax, by - ay, radians(panel.upright_deg)
    return dx * cos(up) + dy * sin(up), dy * cos(up) - dx * sin(up)


def _travelled(found: list[PanelChange], before: Kept, after: Kept) -> list[PanelChange]:
    """Panels that carry now what another carried: said as that, and as a swap where it is one."""
    old = {panel.number: panel for panel in before.manifest.panels if panel.number in before.pictures}
    can = [change for change in found if change.kind in ("whole", "places")]
    thumbs = {number: _thumb(before.pictures[number]) for number in old} if can else {}
    came_from: dict[int, int] = {}
    for change in can:
        here = change.panel.number
        picture = _open(after.pictures[here])
        thumb = _thumb(after.pictures[here])
        for there, other in thumbs.items():
            like = float(np.abs(other - thumb).mean()) < _LIKE
            if there == here or not like or old[there].art != change.panel.art:
                continue
            was = _open(before.pictures[there])
            if was.size == picture.size and not difference(was, picture).boxes:
                came_from[here] = there
                break
    return [_with_origin(change, came_from) for change in found]


def _with_origin(change: PanelChange, came_from: Mapping[int, int]) -> PanelChange:
    there = came_from.get(change.panel.number)
    if there is None:
        return change
    swapped = came_from.get(there) == change.panel.number
    return evolve(change, kind="swapped" if swapped else "taken", other=there, words=())


def _thumb(png: bytes) -> Any:
    small = _open(png).resize((_THUMB, _THUMB), Image.Resampling.BOX)
    return np.asarray(small, dtype=np.float32)


def _findings(
    old: Iterable[KeptFinding], new: Iterable[KeptFinding]
) -> tuple[tuple[KeptFinding, ...], tuple[KeptFinding, ...], tuple[KeptFinding, ...]]:
    """(went, came, stayed). The same fault of the same word, or of the same panel or file, is the same finding, wherever it now
    stands."""
    gone = list(old)
    came, stayed = [], []
    for finding in new:
        twins = [one for one in gone if _fault(one) == _fault(finding)]
        if twins:
            gone.remove(min(twins, key=lambda one: _distance(one, finding)))
            stayed.append(finding)
        else:
            came.append(finding)
    return tuple(gone), tuple(came), tuple(stayed)


def _fault(finding: KeptFinding) -> tuple[object, ...]:
    file = finding.file if finding.panel is None else None
    return finding.rule, finding.severity, finding.panel, file, finding.text


def _distance(a: KeptFinding, b: KeptFinding) -> float:
    if a.where_mm is None or b.where_mm is None:
        return 0.0
    return hypot(a.where_mm[0] - b.where_mm[0], a.where_mm[1] - b.where_mm[1])

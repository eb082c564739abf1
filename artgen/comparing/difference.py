"""Two pictures of a panel to where they differ, whatever anti-aliasing did.

A pixel counts only where its colour lies outside all that the other picture shows within one pixel of it, by more than a
tolerance, in either direction: an edge that falls otherwise on the grid is no difference, a word that moved is.
"""

from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
from attrs import frozen
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter

from ..drawing.inks import VERMILLION

Mask = NDArray[Any]
PixelBox = tuple[int, int, int, int]  # left, top, right, bottom
TOLERANCE = 24  # of 255 levels, ours: what JPEG and colour conversion do to flat colours stays below
_LEAST = 3  # ours: fewer pixels are no place that anybody would see
_NEAR = 0.012  # ours: of the picture's longer side; what lies closer is one place


@frozen
class Difference:
    """``mask`` = which pixels differ; ``boxes`` = the places that they make, the largest first."""

    mask: Mask
    boxes: tuple[PixelBox, ...]

    @property
    def share(self) -> float:
        return float(self.mask.mean())


def difference(before: Image.Image, after: Image.Image) -> Difference:
    """Of two RGB pictures of the same size."""
    mask = np.logical_or(_outside(after, before), _outside(before, after))
    found = []
    for box, count in _places(mask):
        if count >= _LEAST:
            found.append((count, box))
        else:
            mask[box[1] : box[3], box[0] : box[2]] = False
    found.sort(key=lambda one: (-one[0], one[1]))
    return Difference(mask, tuple(box for _, box in found))


def _outside(picture: Image.Image, other: Image.Image) -> Mask:
    """Where ``picture`` shows what ``other`` shows nowhere near."""
    here = np.asarray(picture, dtype=np.int16)
    low = np.asarray(other.filter(ImageFilter.MinFilter(3)), dtype=np.int16)
    high = np.asarray(other.filter(ImageFilter.MaxFilter(3)), dtype=np.int16)
    outside = (here < low - TOLERANCE) | (here > high + TOLERANCE)
    return np.asarray(outside.any(axis=2))


def _places(mask: Mask) -> Iterator[tuple[PixelBox, int]]:
    """Groups of pixels that lie near one another: (box, how many)."""
    rows, columns = mask.shape
    cell = max(2, round(_NEAR * max(rows, columns)))
    padded = np.pad(mask, ((0, -rows % cell), (0, -columns % cell)))
    counts = padded.reshape(padded.shape[0] // cell, cell, padded.shape[1] // cell, cell).sum(axis=(1, 3))
    todo = set(zip(*(axis.tolist() for axis in np.nonzero(counts)), strict=True))
    while todo:
        group = [min(todo)]
        todo.remove(group[0])
        for row, column in group:  # grows while it is walked through
            near = {(row + i, column + j) for i in (-1, 0, 1) for j in (-1, 0, 1)} & todo
            todo -= near
            group += sorted(near)
        yield _tight(mask, group, cell), int(sum(counts[at] for at in group))


def _tight(mask: Mask, cells: Sequence[tuple[int, int]], cell: int) -> PixelBox:
    left, top, right, bottom = mask.shape[1], mask.shape[0], 0, 0
    for row, column in cells:
        y, x = row * cell, column * cell
        ys, xs = np.nonzero(mask[y : y + cell, x : x + cell])
        left, right = min(left, x + int(xs.min())), max(right, x + int(xs.max()) + 1)
        top, bottom = min(top, y + int(ys.min())), max(bottom, y + int(ys.max()) + 1)
    return left, top, right, bottom


def shown(after: Image.Image, mask: Mask) -> Image.Image:
    """The later picture, pale and grey, with what differs in vermillion and each place framed."""
    grey = np.asarray(after.convert("L"), dtype=np.float32)
    pale = (200 + grey * (55 / 255)).astype(np.uint8)
    rgb = np.repeat(pale[:, :, None], 3, axis=2)
    rgb[mask] = VERMILLION.rgb
    picture = Image.fromarray(rgb)
    draw = ImageDraw.Draw(picture)
    width = max(2, round(max(picture.size) / 300))
    room = 3 * width
    for (left, top, right, bottom), _ in _places(mask):
        draw.rectangle((left - room, top - room, right + room, bottom + room), outline=VERMILLION.rgb, width=width)
    return picture

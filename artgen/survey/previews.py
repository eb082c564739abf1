"""One picture of each panel's art, over its whole art size: what bands are read from and what the proof shows."""

import hashlib
from pathlib import Path

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

from ..art.facts import FileFault
from ..placing import Laid
from ..sizing.outline import size
from ..sizing.panel import Affine, Panel, after
from .windows import Rgba, Window, seen_through

MOST_PIXELS = 4_000_000  # ours: about 1 mm a pixel on a 1 × 3 m panel, 2 mm on a 6 × 2.5 m wall


@frozen
class Preview:
    """``rgba``: rows from the top over the art size's bounding box, straight alpha; ``step`` = mm a pixel at full size."""

    rgba: Rgba = field(repr=False, eq=False)
    step: float

    def at(self, x: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.uint8]:
        """Pixels at places of the panel's sewn frame, mm; places outside give alpha 0."""
        rows, columns = self.rgba.shape[:2]
        i = np.floor(x / self.step).astype(int)
        j = rows - 1 - np.floor(y / self.step).astype(int)
        inside = (i >= 0) & (i < columns) & (j >= 0) & (j < rows)
        found: NDArray[np.uint8] = self.rgba[np.clip(j, 0, rows - 1), np.clip(i, 0, columns - 1)]
        found[~inside] = 0
        return found


def fingerprint(seen: Preview) -> str:
    """A hash that two previews share if they are the same, pixel for pixel; empty where all of it is one colour."""
    first = seen.rgba[0, 0]
    if (seen.rgba[0] == first).all() and (seen.rgba == first).all():  # one row tells most pictures apart
        return ""
    rows, columns = seen.rgba.shape[:2]
    told = hashlib.sha256(f"{rows} {columns} ".encode())
    told.update(np.ascontiguousarray(seen.rgba).data)
    return told.hexdigest()


def preview(file: Path, laid: Laid, panel: Panel, most: int = MOST_PIXELS) -> Preview | FileFault:
    """The art of one panel of a laid page, as the page repeats behind its reveals too."""
    window = preview_window(laid, panel, most)
    found = seen_through(file, laid, [window])
    return found if isinstance(found, FileFault) else Preview(found[0], window.step)


def preview_window(laid: Laid, panel: Panel, most: int = MOST_PIXELS) -> Window:
    """Where a preview is seen."""
    place = laid.target.places[laid.target.numbers.index(panel.number)]
    w, h = size(panel.art)
    step = max(1.0, (w * h / most) ** 0.5)
    columns, rows = max(1, round(w / step)), max(1, round(h / step))
    down: Affine = (step, 0.0, 0.0, -step, 0.0, rows * step)  # picture pixels → sewn mm
    return Window(after(place, down), columns, rows, step)

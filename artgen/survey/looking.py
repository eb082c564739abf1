"""One laid page, looked at: everything that is seen of it, in one plain record.

Takes a file's path and its laid page; gives a `LaidSeen`. `look` may run in any process, and what it gives depends on the
file's bytes, the page, its place and the panels' geometry alone: so it can be kept. A new observation is a field of
`LaidSeen`, filled in `look`.
"""

from collections.abc import Callable, Collection, Mapping
from pathlib import Path
from typing import Any

import numpy as np
from attrs import evolve, field, frozen
from PIL import Image

from ..art.facts import FileFault
from ..placing import Laid
from .bands import EdgeBand, edge_bands
from .codes import Code
from .crop_marks import CropMarks
from .graphics import Graphic
from .guides import GuideLines
from .lettering import Lettering, on_cloth, plane_window
from .lettering import Picture as PlanePicture
from .lettering import find as find_lettering
from .lettering import read as read_lettering
from .marks import MARKS, Marks, marks_seen
from .previews import Preview, fingerprint, preview_window
from .softness import ImageDetail
from .stops import Stop
from .windows import Rgba, seen_through
from .words import PlacedWord, placed_words

SHOWN_PIXELS = 1_500_000  # ours: a panel's picture in a proof


@frozen
class Picture:
    """A panel's art over its whole art size as a client sees it: RGB rows from the top, white where nothing is painted."""

    width: int
    height: int
    rgb: bytes = field(repr=False)


@frozen
class LaidSeen:
    """A laid page and what the survey saw of it. ``bands``, ``pictures`` and ``fingerprints`` (hashes that like pictures share,
    empty for one colour) by panel number; where the page's paint could not be drawn they are empty, and ``fault`` says why. None:
    not looked at. ``guides`` to ``graphics``: see `Marks`; ``blind`` = why some of these were not made, by name.

    ``unread`` = why lettering that is not live could not be looked for; ``smallest`` = mm of em from which it was found, 0 where
    it was not looked for.
    """

    laid: Laid
    words: tuple[PlacedWord, ...] = ()
    bands: Mapping[int, tuple[EdgeBand, ...]] | None = None
    fingerprints: Mapping[int, str] | None = None
    guides: Mapping[int, GuideLines] | None = None
    stops: Mapping[int, tuple[Stop, ...]] | None = None
    crop_marks: tuple[CropMarks, ...] | None = None
    codes: tuple[Code, ...] | None = None
    details: tuple[ImageDetail, ...] | None = None
    graphics: tuple[Graphic, ...] | None = None
    blind: Mapping[str, str] = field(factory=dict)
    pictures: Mapping[int, Picture] = field(factory=dict, repr=False)
    fault: FileFault | None = None
    unread: FileFault | None = None
    smallest: float = 0.0

    @property
    def missing(self) -> dict[str, str]:
        """Observations that were not made, or in part, by name, with why; rules that need them are told as not examined."""
        if self.fault is None:
            return dict(self.blind)
        return dict.fromkeys(("bands", "fingerprints", *MARKS), self.fault.detail) | dict(self.blind)


Wrongly = Callable[[LaidSeen], Collection[PlacedWord]]


def look(file: Path, laid: Laid, wrongly: Wrongly, reading: bool, at_once: int = 1) -> LaidSeen:
    """All that is seen of a laid page. ``wrongly`` = which of its words stand where words must not: of lettering that is not
    live only these are read. ``reading``: such lettering is looked for, in so many views ``at_once``."""
    drawn, plane = _drawn(file, laid, reading)
    words = placed_words(laid)
    if isinstance(drawn, FileFault):
        marks = marks_seen(file, laid, {})
        return LaidSeen(laid, words, {}, {}, **_of(marks), blind=marks.missing, fault=drawn)
    panels = {panel.number: panel for panel in laid.target.panels}
    marks = marks_seen(file, laid, drawn)
    seen = LaidSeen(
        laid,
        words,
        {number: edge_bands(panels[number], one) for number, one in drawn.items()},
        {number: fingerprint(one) for number, one in drawn.items()},
        **_of(marks),
        blind=marks.missing,
        pictures={number: shown(one) for number, one in drawn.items()},
    )
    del drawn, marks
    if plane is None:
        return seen
    if isinstance(plane, FileFault):
        return evolve(seen, unread=plane)
    more = lettering_seen(plane, laid, words, wrongly, at_once)
    return evolve(seen, words=words + more.words, smallest=more.smallest)


def _of(marks: Marks) -> dict[str, Any]:
    return {name: getattr(marks, name) for name in MARKS}


def _drawn(
    file: Path, laid: Laid, reading: bool
) -> tuple[dict[int, Preview] | FileFault, PlanePicture | FileFault | None]:
    """The preview of each panel, by its number, and where lettering is looked for the picture of the whole plane: all from one
    reading of the file, but where the plane is too much for it."""
    numbers = [panel.number for panel in laid.target.panels]
    asked = [preview_window(laid, panel) for panel in laid.target.panels]

    def previews(found: list[Rgba]) -> dict[int, Preview]:
        return {n: Preview(one, window.step) for n, one, window in zip(numbers, found, asked, strict=True)}

    unread = None
    if reading:
        whole = plane_window(laid)
        found = seen_through(file, laid, [*asked, whole])
        if not isinstance(found, FileFault):
            return previews(found[:-1]), on_cloth(found[-1], whole)
        if found.kind != "over-limit":
            return found, None
        unread = found
    found = seen_through(file, laid, asked)
    return found if isinstance(found, FileFault) else previews(found), unread


def lettering_seen(
    plane: PlanePicture, laid: Laid, live: tuple[PlacedWord, ...], wrongly: Wrongly, at_once: int = 1
) -> Lettering:
    """What is lettering without being live text; what would stand wrongly is read, the rest needs no reading."""
    found = find_lettering(plane, laid, live, at_once)
    return evolve(found, words=read_lettering(found, wrongly(LaidSeen(laid, found.words)), at_once))


def shown(seen: Preview) -> Picture:
    """Composited on white, then averaged over whole blocks: colours as a client's screen shows them."""
    rows, columns = seen.rgba.shape[:2]
    step = max(1, int(np.ceil((rows * columns / SHOWN_PIXELS) ** 0.5)))
    art = Image.frombuffer("RGBA", (columns, rows), seen.rgba, "raw", "RGBA", 0, 1)
    white = Image.new("RGB", art.size, "white")
    white.paste(art, mask=art.getchannel("A"))
    small = white.reduce(step)
    return Picture(small.width, small.height, small.tobytes())

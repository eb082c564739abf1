"""Whether words show. Takes a pdfium page and its `WordColumns`, fills in `unseen`; says what could not be judged.

The page is drawn twice at a bounded size, as it is and with its text switched off: a word shows where the pictures differ.
Words that can't be hidden, dark on bare ground, are not drawn. A word too small for the picture is judged in a closer one.
Words over other words are judged again with only their own text objects switched off. For a word that doesn't show, a
third picture of the text alone tells why. Drawing stops at a time limit; what is not judged by then counts as showing.
"""

import ctypes
import time
from collections.abc import Iterable
from typing import Any

import numpy as np
import pypdfium2.raw as pdfium
from attrs import define, field, frozen

from . import calls
from .calls import Handle
from .clipping import Region, cut
from .facts import Unseen
from .grounds import Ground, doubtful, leaves
from .layers import by_rule
from .mapping import Matrix
from .mapping_rows import Numbers
from .words import WordColumns

PAGE_SECONDS = 15.0  # ours: time to draw one page's pictures for this
MAX_PIXELS = 3_000_000  # ours: of one picture; the text of a 1 × 3 m panel stands at about 1 mm a pixel
MAX_WINDOWS = 12  # ours: closer pictures of one page
MAX_CLASSES = 4  # ours: pictures for words that lie over one another
MAX_OVERLAPPING = 2_000  # ours: words of one page compared with one another
_CAPITAL_PX = 8.0  # ours: height of a capital at which a word is judged with ease
_LEAST_PX = 3.0  # ours: below this a word that makes no difference may only be too small
_DIFFERENCE = 4  # ours: of 255; less can't be told from its ground on cloth
_TRACE = 0.01  # ours: share of a word's box that must change; less is the edge of a neighbour
_LIKE = 12  # ours: of 255; a letter's own colour and the ground's within this are the same
_WINDOW_PX = 1200
_BGRA = pdfium.FPDFBitmap_BGRA


class _TooSlow(Exception):
    """The time for a page's pictures is used up."""


@frozen
class View:
    """A picture's place: pixel = point on pdfium's plane (see `pdf.shown_by_pdfium`) × ``scale`` − (``left``, ``top``)."""

    scale: float
    left: int
    top: int
    width: int
    height: int


@define
class _Page:
    """One open page. ``size`` = (width, height) of its plane in points."""

    raw: Any
    size: tuple[float, float]
    stop_at: float
    ground: Ground = field(init=False)

    def draw(self, view: View, alone: bool = False) -> Numbers:
        """Rows × columns × 4 bytes, BGRA; on white, or on nothing if ``alone``."""
        pixels = np.full((view.height, view.width, 4), 0 if alone else 255, np.uint8)
        place = pixels.ctypes.data_as(ctypes.c_void_p)
        bitmap = pdfium.FPDFBitmap_CreateEx(view.width, view.height, _BGRA, place, view.width * 4)
        if not bitmap:
            raise _TooSlow
        whole = (max(1, round(self.size[0] * view.scale)), max(1, round(self.size[1] * view.scale)))
        pause = pdfium.IFSDK_PAUSE(version=1)
        asked = type(pause.NeedToPauseNow)(lambda _: int(time.monotonic() > self.stop_at))
        pause.NeedToPauseNow = asked
        try:
            state = pdfium.FPDF_RenderPageBitmap_Start(bitmap, self.raw, -view.left, -view.top, *whole, 0, 0, pause)
            done = state == pdfium.FPDF_RENDER_DONE
            pdfium.FPDF_RenderPage_Close(self.raw)
        finally:
            pdfium.FPDFBitmap_Destroy(bitmap)
        if not done:
            raise _TooSlow
        return pixels


def tell_unseen(
    page: Any, words: WordColumns, to_plane: Matrix, shown: Matrix, size: tuple[float, float], stop_at: float
) -> list[str]:
    """Fills in ``words.unseen`` where it is empty and the word doesn't show; gives what was not judged.

    ``page`` = pdfium page handle; ``to_plane`` = page frame → its plane in points, y down, ``shown`` = user space →
    that plane, ``size`` of the plane; ``stop_at`` = monotonic time by which to end.
    """
    asked = np.array([not why for why in words.unseen], bool)
    if not asked.any():
        return []
    a, b, c, d, e, f = to_plane
    x, y = words.quads[..., 0], words.quads[..., 1]
    quads = np.stack([a * x + c * y + e, b * x + d * y + f], 2)
    sheet = _Page(page, size, min(stop_at, time.monotonic() + PAGE_SECONDS))
    sheet.ground = leaves(page)
    asked &= doubtful(sheet.ground, words, quads, shown, size) | words.clips
    if not asked.any():
        return []
    try:
        return _judged(sheet, words, quads, np.flatnonzero(asked), _capitals(words, to_plane))
    except _TooSlow:
        return ["whether its words show: drawing the page takes too long"]
    finally:
        _set(sheet.ground.text, True)
        _set(sheet.ground.other, True)


def on_hidden_forms(words: WordColumns, hidden: list[Region]) -> None:
    """Words that seemed clipped away, but stand in a form whose layer is off (places in the page frame)."""
    for row, why in enumerate(words.unseen):
        if why == "clipped" and any(cut(tuple(map(tuple, words.quads[row].tolist())), region) for region in hidden):
            words.unseen[row] = "layer-off"


def _judged(page: _Page, words: WordColumns, quads: Numbers, rows: Numbers, capitals: Numbers) -> list[str]:
    view = _whole(page.size, float(np.percentile(capitals[rows], 10)))
    shown, hidden, small = _compare(page, words, quads, rows, view, capitals)
    for close in _windows(quads, small, capitals)[:MAX_WINDOWS]:
        inside = np.array([row for row in small if _within(quads[row], close)], int)
        if len(inside):
            seen, dark, _ = _compare(page, words, quads, inside, close, capitals)
            shown, hidden = shown + seen, hidden + dark
            small = [row for row in small if row not in set(inside.tolist())]
    overlaid = [row for row in shown if not words.clips[row]]
    hidden += _over_others(page, words, quads, overlaid, view)
    _reasons(page, words, quads, hidden, view)
    return [f"whether {len(small)} words show: they are too small for the pictures that were drawn"] if small else []


def _compare(
    page: _Page, words: WordColumns, quads: Numbers, rows: Numbers, view: View, capitals: Numbers
) -> tuple[list[int], list[int], list[int]]:
    """Rows that show, that don't, and that are too small for the picture to say so."""
    _set(page.ground.text, True)
    whole = page.draw(view)
    _set(page.ground.text, False)
    without = page.draw(view)
    _set(page.ground.text, True)
    change = _change(whole, without)
    shown: list[int] = []
    hidden: list[int] = []
    small: list[int] = []
    for row in rows.tolist():
        if words.clips[row]:  # text that only cuts what follows shows if there is anything but bare ground
            place = _patch(quads[row], view)
            plain = place is None or int(np.ptp(whole[place[0]][..., :3][place[1]], 0).max(initial=0)) < _DIFFERENCE
            (hidden if plain else shown).append(row)
        elif _shows(change, quads[row], view):
            shown.append(row)
        else:
            (hidden if capitals[row] * view.scale >= _LEAST_PX else small).append(row)
    return shown, hidden, small


def _over_others(page: _Page, words: WordColumns, quads: Numbers, rows: list[int], view: View) -> list[int]:
    """Those of ``rows`` that only seemed to show because a word on top of them does.

    From the bottom up, each time with only the judged words off; what doesn't show stays off, so that of two that hide
    each other one is kept.
    """
    if not 1 < len(rows) <= MAX_OVERLAPPING:
        return []
    low, high = quads[rows].min(1), quads[rows].max(1)
    trim = (high - low) * 0.1
    low, high = low + trim, high - trim
    meet = ((low[:, None] < high[None]) & (low[None] < high[:, None])).all(2)
    item = np.array([words.first[row] for row in rows])
    meet &= item[:, None] != item[None, :]
    hidden: list[int] = []
    gone: list[Handle] = []
    classes: list[list[int]] = []
    for n in np.flatnonzero(meet.any(1)).tolist():
        free = next((one for one in classes if not meet[n, one].any()), None)
        if free is None:
            classes.append([n])
        else:
            free.append(n)
    if len(classes) < 2:
        return []
    whole = page.draw(view)
    for one in classes[:MAX_CLASSES]:
        items = [item for n in one for item in _items(words, rows[n])]
        _set(items, False)
        change = _change(whole, page.draw(view))
        _set(items, True)
        lost = [rows[n] for n in one if not _shows(change, quads[rows[n]], view)]
        kept = {item.value for n in one if rows[n] not in lost for item in _items(words, rows[n])}
        gone += [item for row in lost for item in _items(words, row) if item.value not in kept]
        _set(gone, False)
        hidden += lost
    _set(gone, True)
    return hidden


def _reasons(page: _Page, words: WordColumns, quads: Numbers, hidden: list[int], view: View) -> None:
    """Why words don't show: from a picture of the text alone, and the page without it."""
    if not hidden:
        return
    _set(page.ground.text, False)
    ground = page.draw(view)
    _set(page.ground.text, True)
    _set(page.ground.other, False)
    text = page.draw(view, alone=True)
    _set(page.ground.other, True)
    for row in hidden:
        words.unseen[row] = (
            "invisible" if words.clips[row] else _reason(words, row, _patch(quads[row], view), text, ground)
        )


def _reason(words: WordColumns, row: int, place: Any, text: Numbers, ground: Numbers) -> Unseen:
    if place is not None:
        ink, below = text[place[0]][place[1]], ground[place[0]][place[1]]
        solid = ink[:, 3] >= max(8, int(ink[:, 3].max(initial=0)) // 2)
        if solid.any():
            apart = abs(ink[solid, :3].astype(int) - below[solid, :3]).max(1)
            return "ground" if float(np.median(apart)) <= _LIKE else "covered"
    ruled = any(by_rule(ctypes.cast(item, pdfium.FPDF_PAGEOBJECT)) for item in _items(words, row))
    return "layer-off" if ruled else "clipped"


def _items(words: WordColumns, row: int) -> list[Handle]:
    return [words.items[index].handle for index in range(words.first[row], words.last[row] + 1)]


def _change(one: Numbers, other: Numbers) -> Numbers:
    changed: Numbers = (np.maximum(one, other) - np.minimum(one, other))[..., :3].max(2) >= _DIFFERENCE
    return changed


def _shows(change: Numbers, quad: Numbers, view: View) -> bool:
    place = _patch(quad, view)
    if place is None:
        return False
    inside = change[place[0]][place[1]]
    return bool(inside.sum() >= max(1.0, _TRACE * inside.size))


def _patch(quad: Numbers, view: View) -> tuple[tuple[slice, slice], Numbers] | None:
    """(rows and columns round a quad, which of their pixels lie in it); None if it lies off the picture."""
    points = quad * view.scale - (view.left, view.top)
    (x0, y0), (x1, y1) = np.floor(points.min(0)).astype(int), np.ceil(points.max(0)).astype(int) + 1
    x0, y0, x1, y1 = max(x0, 0), max(y0, 0), min(x1, view.width), min(y1, view.height)
    if x0 >= x1 or y0 >= y1:
        return None
    x, y = np.arange(x0, x1)[None, :] + 0.5, np.arange(y0, y1)[:, None] + 0.5
    inside = np.ones((y1 - y0, x1 - x0), bool)
    area = _area(points)
    for p, q in zip(points, np.roll(points, -1, 0), strict=True):
        side = (q[0] - p[0]) * (y - p[1]) - (q[1] - p[1]) * (x - p[0])
        inside &= side * np.sign(area) >= -0.75 * np.hypot(*(q - p))  # ours: so far outside a soft edge still reaches
    return (slice(y0, y1), slice(x0, x1)), inside


def _area(points: Numbers) -> float:
    x, y = points.T
    return float((x * np.roll(y, -1) - y * np.roll(x, -1)).sum())


def _capitals(words: WordColumns, to_plane: Matrix) -> Numbers:
    """Height of each word's ink in points of the plane."""
    scale = abs(to_plane[0] * to_plane[3] - to_plane[1] * to_plane[2]) ** 0.5
    tall: Numbers = np.linalg.norm(words.quads[:, 3] - words.quads[:, 0], axis=1) * scale
    return np.maximum(tall, 1e-6)


def _whole(size: tuple[float, float], capital: float) -> View:
    """The page as one picture: as large as its smaller words want, at most `MAX_PIXELS`."""
    least = 400 / max(size)
    scale = min(max(_CAPITAL_PX / capital, least), (MAX_PIXELS / (size[0] * size[1])) ** 0.5, 30_000 / max(size))
    return View(scale, 0, 0, max(1, round(size[0] * scale)), max(1, round(size[1] * scale)))


def _windows(quads: Numbers, rows: list[int], capitals: Numbers) -> list[View]:
    """Closer pictures that hold the words ``rows``, the fullest first."""
    count: dict[View, int] = {}
    for row in rows:
        scale = 2.0 ** np.ceil(np.log2(_CAPITAL_PX / capitals[row]))
        x, y = quads[row].mean(0) * scale
        half = _WINDOW_PX // 2
        view = View(float(scale), round(x / half - 1) * half, round(y / half - 1) * half, _WINDOW_PX, _WINDOW_PX)
        count[view] = count.get(view, 0) + 1
    return sorted((view for view in count if abs(view.left) + abs(view.top) < 1_000_000), key=lambda view: -count[view])


def _within(quad: Numbers, view: View) -> bool:
    x, y = quad.mean(0) * view.scale - (view.left, view.top)
    return bool(0 <= x < view.width and 0 <= y < view.height)


def _set(items: Iterable[Handle], active: bool) -> None:
    for item in items:
        calls.set_active(item, int(active))

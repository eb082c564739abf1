"""A target's art as pixels, and the views of it that the detector is shown.

Takes a laid page and what it shows; gives its whole plane as one opaque picture in full-size mm (cloth is white where nothing
is painted), and out of that: the whole at 640 px, long planes in tiles, and bands along every fold line and seam at 2 mm a
pixel; then bands at the picture's own step, the whole coarser, and without its fine texture; and what blue light shows of all
that.
"""

from collections.abc import Iterator
from math import atan2, ceil, cos, degrees, hypot, radians, sin

import numpy as np
from attrs import field, frozen

from ...placing import Laid
from ...sizing.outline import Outline, Point, bounds, edges
from ...sizing.panel import Affine, after, apply, inverse, placed
from ..windows import Rgba, Window
from .models import Rgb

FINEST, COARSEST = 0.75, 1.4  # ours: mm a pixel of the plane's picture, by the plane's size
_ACROSS = 500  # ours: pixels over the plane's shorter side, within these
_CALM = 2.0  # mm a pixel of the bands seen first: finer ones show more words, and more that is none (measured)
_MOST_PIXELS = 30_000_000  # ours: a larger plane is seen coarser
_ROWS = 64  # ours: so many are laid on cloth at a time
_WHOLE = 640  # px along the longer side: where words are found whole (measured)
# (px, whether smoothed): where huge words, and those over stripes or dots, were found (measured on the tuning half of the
# labelled set), the most exact first
_MORE = ((640, True), (320, False), (320, True), (160, False))
_CLEAR = (960, 320, 160)  # px: where words that stand alone were found, the most exact first
_BLUE = (320, 160)  # px: the same in blue light
_TEXTURE = 7  # px: side of the median
_LONGEST = 2.0  # a plane longer than this many times its height is seen in tiles
_REACH, _LEAST_REACH, _MOST_REACH = 0.12, 100.0, 220.0  # ours: half a band, as a share of the plane's shorter side; mm
_BAND = 1280  # px: longer bands are cut, with an overlap
_FLAT = 6  # levels: a view whose colours keep within this holds nothing to find


@frozen
class Picture:
    """``rgb``: rows from the top; ``step`` = mm a pixel; ``to_plane``: pixels (x right, y down, edges at whole numbers) →
    the target's plane."""

    rgb: Rgb = field(repr=False, eq=False)
    step: float
    to_plane: Affine

    @property
    def area(self) -> float:
        rows, columns = self.rgb.shape[:2]
        return float(rows * columns) * self.step**2

    def coarser(self, step: float) -> "Picture":
        """The same at ``step`` mm a pixel, each pixel the average of what it covers; itself if it is no finer."""
        if step <= self.step * 1.01:
            return self
        import cv2  # optional: it comes with the extra

        rows, columns = self.rgb.shape[:2]
        w, h = (max(1, round(n * self.step / step)) for n in (columns, rows))
        small = np.asarray(cv2.resize(self.rgb, (w, h), interpolation=cv2.INTER_AREA), dtype=np.uint8)
        return Picture(small, step, after(self.to_plane, (columns / w, 0.0, 0.0, rows / h, 0.0, 0.0)))

    def part(self, window: Affine, columns: int, rows: int, step: float) -> "Picture":
        """What lies under a window and a little more, at ``step`` mm a pixel: cheaper to coarsen than the whole."""
        high, wide = self.rgb.shape[:2]
        under = placed(after(inverse(self.to_plane), window), ((0, 0), (columns, 0), (columns, rows), (0, rows)))
        x0, y0, x1, y1 = bounds(under)
        rim = 4 * ceil(step / self.step)
        left, top = (int(np.clip(n - rim, 0, most - 1)) for n, most in ((x0, wide), (y0, high)))
        right, low = int(np.clip(x1 + rim, left + 1, wide)), int(np.clip(y1 + rim, top + 1, high))
        cut = after(self.to_plane, (1.0, 0.0, 0.0, 1.0, float(left), float(top)))
        return Picture(self.rgb[top:low, left:right], self.step, cut).coarser(step)

    def seen(self, window: Affine, columns: int, rows: int) -> Rgb:
        """What shows through ``window``, output pixels → plane; beyond the picture its rim goes on."""
        import cv2  # optional: it comes with the extra

        a, b, c, d, e, f = after(inverse(self.to_plane), window)
        # OpenCV counts from pixel centres, we from their edges
        e, f = e + (a + c) / 2 - 0.5, f + (b + d) / 2 - 0.5
        turned = cv2.warpAffine(
            self.rgb,
            np.array([[a, c, e], [b, d, f]]),
            (columns, rows),
            flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP,
            borderMode=cv2.BORDER_REPLICATE,
        )
        return np.asarray(turned, dtype=np.uint8)


# by kind, the kinds told from the page's colours in different ways: what two kinds show alike is there
Pictures = tuple[tuple[Picture, ...], ...]


def plane_window(laid: Laid) -> Window:
    """Where the art over the whole of a target is seen."""
    x0, y0, x1, y1 = bounds([point for outline in laid.target.outline("art") for point in outline])
    w, h = x1 - x0, y1 - y0
    step = float(np.clip(min(w, h) / _ACROSS, FINEST, COARSEST))
    step = max(step, (w * h / _MOST_PIXELS) ** 0.5)
    columns, rows = max(1, ceil(w / step)), max(1, ceil(h / step))
    return Window((step, 0.0, 0.0, -step, x0, y0 + rows * step), columns, rows, step)


def on_cloth(rgba: Rgba, window: Window) -> Picture:
    """What was seen there, on white."""
    rgb = np.ascontiguousarray(rgba[:, :, :3])
    for top in range(0, len(rgb), _ROWS):  # most rows are painted all over, and those that are not need room
        part = rgba[top : top + _ROWS]
        if part[:, :, 3].min() < 255:
            alpha = part[:, :, 3:].astype(np.uint16)
            rgb[top : top + _ROWS] = (part[:, :, :3] * alpha + 255 * (255 - alpha) + 127) // 255
    return Picture(rgb, window.step, window.to_plane)


def views(picture: Picture, laid: Laid) -> Iterator[list[Picture]]:
    """What the detector is to see, blank views left out: first the whole and bands along the lines; then views for what
    these don't show, each list the whole, in tiles if it is long, less exact than the one before."""
    whole = list(_whole(picture, laid, _WHOLE))
    calm = _calm(picture)
    yield [*whole, *_close(picture, laid, calm)]
    if calm > picture.step:
        yield list(_close(picture, laid, picture.step))
    shown = {_WHOLE: whole}
    for side, smooth in _MORE:
        if side not in shown:
            shown[side] = list(_whole(picture, laid, side))
        yield [_smoothed(view) for view in shown[side]] if smooth else shown[side]


def _shorter(picture: Picture) -> float:
    rows, columns = picture.rgb.shape[:2]
    return float(min(rows, columns) * picture.step)


def _calm(picture: Picture) -> float:
    """mm a pixel of the bands that are seen first."""
    return max(picture.step, min(_shorter(picture) / _ACROSS, _CALM))


def _close(picture: Picture, laid: Laid, step: float) -> Iterator[Picture]:
    """Bands along all lines at so many mm a pixel; of a tilted target all of it."""
    shown = picture.coarser(step)
    tilt = tilt_of(laid)
    if tilt:
        yield from _view(shown, _outline(shown), tilt, step)
        return
    reach = float(np.clip(_REACH * _shorter(picture), _LEAST_REACH, _MOST_REACH))
    for band in _bands(laid, reach):
        yield from _view(shown, band, _slant(band), step)


def clear_views(picture: Picture, laid: Laid) -> Iterator[list[Picture]]:
    """The same of a picture in which the lettering stands alone: no pattern hides words in the whole."""
    for side in _CLEAR:
        yield list(_whole(picture, laid, side))


def in_blue(picture: Picture) -> Picture:
    """What blue light shows of it, in grey: warm colours are dark in it that are as light as their ground to the eye."""
    blue = picture.rgb[:, :, 2:]
    return Picture(np.ascontiguousarray(np.repeat(blue, 3, axis=2)), picture.step, picture.to_plane)


def blue_views(picture: Picture, laid: Laid) -> Iterator[list[Picture]]:
    """The same of a picture `in_blue`, on their sides: standing words lie level then, and others stand off their ground in
    another way."""
    yield []
    exact = (*_whole(picture, laid, _WHOLE), *_close(picture, laid, _calm(picture)))
    yield [_on_side(view) for view in exact]
    for side in _BLUE:
        yield [_on_side(view) for view in _whole(picture, laid, side)]


def _on_side(view: Picture) -> Picture:
    to_plane = after(view.to_plane, (0.0, 1.0, -1.0, 0.0, float(view.rgb.shape[1]), 0.0))
    return Picture(np.ascontiguousarray(np.rot90(view.rgb)), view.step, to_plane)


def _whole(picture: Picture, laid: Laid, side: int) -> Iterator[Picture]:
    rows, columns = picture.rgb.shape[:2]
    w, h = columns * picture.step, rows * picture.step
    step = max(picture.step, min(max(w, h), _LONGEST * min(w, h)) / side)
    yield from _view(picture.coarser(step), _outline(picture), tilt_of(laid), step)


def _outline(picture: Picture) -> Outline:
    rows, columns = picture.rgb.shape[:2]
    return placed(picture.to_plane, ((0, 0), (columns, 0), (columns, rows), (0, rows)))


def _smoothed(view: Picture) -> Picture:
    import cv2  # optional: it comes with the extra

    return Picture(np.asarray(cv2.medianBlur(view.rgb, _TEXTURE), dtype=np.uint8), view.step, view.to_plane)


def tilt_of(laid: Laid) -> float:
    """Degrees anticlockwise from the plane's x to where level text runs, within ±45."""
    return _within(laid.target.panels[0].upright_deg if laid.target.wrap is None else 0.0)


def _within(angle: float) -> float:
    turn = angle - 90 * round(angle / 90)
    # at ±45 the nearer axis is no axis: keep the sign that upright has
    return 0.0 if abs(turn) < 1e-6 else turn


def _slant(band: Outline) -> float:
    (x0, y0), (x1, y1) = band[0], band[1]
    return _within(degrees(atan2(y1 - y0, x1 - x0)))


def lines(laid: Laid) -> list[tuple[Point, Point]]:
    """Fold lines and seams of a target, in its plane."""
    found = []
    for panel, place in zip(laid.target.panels, laid.target.places, strict=True):
        found += edges(placed(place, panel.visible))
        x0, y0, x1, y1 = bounds(panel.visible)
        for seam in panel.seams:
            ends = ((seam.at, y0), (seam.at, y1)) if seam.axis == "x" else ((x0, seam.at), (x1, seam.at))
            found.append((apply(place, ends[0]), apply(place, ends[1])))
    return found


def _bands(laid: Laid, reach: float) -> Iterator[Outline]:
    """A rectangle about each line, ``reach`` mm to either side and beyond its ends; lines side by side share one."""
    taken: list[tuple[Point, Point]] = []
    for a, b in sorted(lines(laid), key=lambda line: -hypot(line[1][0] - line[0][0], line[1][1] - line[0][1])):
        if any(_off(a, line) < reach / 4 and _off(b, line) < reach / 4 for line in taken):
            continue
        taken.append((a, b))
        length = hypot(b[0] - a[0], b[1] - a[1])
        ux, uy = (b[0] - a[0]) / length * reach, (b[1] - a[1]) / length * reach
        p, q = (a[0] - ux, a[1] - uy), (b[0] + ux, b[1] + uy)
        yield (p[0] + uy, p[1] - ux), (q[0] + uy, q[1] - ux), (q[0] - uy, q[1] + ux), (p[0] - uy, p[1] + ux)


def _off(p: Point, line: tuple[Point, Point]) -> float:
    (x0, y0), (x1, y1) = line
    length = hypot(x1 - x0, y1 - y0)
    along = ((p[0] - x0) * (x1 - x0) + (p[1] - y0) * (y1 - y0)) / length
    across = ((p[0] - x0) * (y1 - y0) - (p[1] - y0) * (x1 - x0)) / length
    return hypot(across, max(0.0, -along, along - length))


def _view(picture: Picture, outline: Outline, tilt: float, step: float) -> Iterator[Picture]:
    """The bounding rectangle of ``outline`` in axes turned by ``tilt``, in tiles that overlap."""
    c, s = cos(radians(tilt)), sin(radians(tilt))
    turned = [(x * c + y * s, y * c - x * s) for x, y in outline]
    rows, columns = picture.rgb.shape[:2]
    if tilt == 0:  # cut to the picture
        px, py, qx, qy = bounds(placed(picture.to_plane, ((0, 0), (columns, rows))))
        turned = [(min(max(x, px), qx), min(max(y, py), qy)) for x, y in turned]
    x0, y0, x1, y1 = bounds(turned)
    for left, wide in _tiles(ceil((x1 - x0) / step)):
        for top, high in _tiles(ceil((y1 - y0) / step)):
            u, v = x0 + left * step, y1 - top * step
            window: Affine = (step * c, step * s, step * s, -step * c, u * c - v * s, u * s + v * c)
            rgb = picture.seen(window, wide, high)
            if not _is_flat(rgb):
                yield Picture(rgb, step, window)


def _is_flat(rgb: Rgb) -> bool:
    # rows first: numpy is slow over pixels of three
    spread = rgb.max(axis=0).max(axis=0) - rgb.min(axis=0).min(axis=0)
    return bool(spread.max() <= _FLAT)


def _tiles(length: int) -> list[tuple[int, int]]:
    """(start, length) of the pieces of so many pixels."""
    if length <= _BAND:
        return [(0, max(1, length))]
    count = ceil((length - _BAND // 5) / (_BAND - _BAND // 5))
    starts = np.linspace(0, length - _BAND, count).round().astype(int)
    return [(int(start), _BAND) for start in starts]

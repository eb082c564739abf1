"""A picture's lettering without what it stands on, where colour tells them apart.

Takes the plane's picture; gives another with dark letters on white, in which the detector and the reader find words that they
take for part of a pattern. Two ways: where the ground is of few plain colours (flat, striped, dotted, bricks), what differs
from them is dark; where it is none, the flat colours that stand in places only are dark, as print inks are on a photograph.
"""

import numpy as np
from attrs import evolve
from numpy.typing import NDArray

from .models import Rgb
from .views import Picture

# all ours, chosen on the tuning half of the labelled set; colours differ by ΔE*ab (CIE 1976)
_SAMPLE = 640  # px along the longer side: enough to tell the colours
_TILES = 12  # tiles a side, to tell what is all over the page
_MOST = 30  # colours tried
_BLUR = 3  # px: the mixed colours along edges are thinner
# a ground: the radius of its colour, its least share of the page, of a tile to be there, of the tiles; all grounds' share
_RADIUS, _LEAST, _THERE, _SPREAD, _COVERED = 9.0, 0.03, 0.03, 0.6, 0.5
_WHITE, _BLACK = 6.0, 30.0  # difference from the nearest ground up to which all is white, from which all is black
# an ink: levels within which it is flat, the radius of its colour, its least share of the page, of a tile to be there, the
# most of the tiles; the share of it in what is of its colour or near it, since a photograph's colours run into each other
_FLAT, _INK, _LEAST_INK, _HERE, _LOCAL, _SHARP = 10, 4.0, 0.0015, 0.01, 0.5, 0.6
_NEAR, _APART = 10.0, 6.0  # differences: near an ink; another colour
_DARK, _PALE = 6.0, 14.0  # difference from the nearest ink up to which all is black, from which all is white
_DARKEST = np.array([0, -128, -128], dtype=np.float32)  # the least of L*, a*, b*

Lab = NDArray[np.float32]


def lettering_alone(picture: Picture) -> Picture | None:
    """The same picture without its ground; None if no colour tells what that is."""
    colours = grounds(_sampled(picture.rgb))
    if colours:
        return _shaded(picture, colours, _WHITE, _BLACK)
    colours = inks(picture.rgb)
    return _shaded(picture, colours, _PALE, _DARK) if colours else None


def grounds(rgb: Rgb) -> list[Lab]:
    """The plain colours that are all over a page, the commonest first; none if they don't make up enough of it."""
    tiles = _Tiles(rgb)
    lab = _lab(rgb).reshape(-1, 3)
    free = np.ones(len(lab), dtype=bool)
    found, covered = [], 0.0
    for _ in range(_MOST):
        if free.mean() < _LEAST:
            break
        colour = _commonest(lab[free], _RADIUS)
        off = _distance(lab, colour)
        own = free & (off < _RADIUS)
        if own.mean() < _LEAST:
            break
        if tiles.share(own, _THERE) >= _SPREAD:
            found.append(colour)
            covered += float(own.mean())
        free &= off >= 1.3 * _RADIUS
    return found if covered >= _COVERED else []


def inks(rgb: Rgb) -> list[Lab]:
    """The flat colours that stand in some places of a page only, the commonest first."""
    import cv2  # optional: it comes with the extra

    square = np.ones((3, 3), np.uint8)
    levels: Rgb = np.asarray(cv2.dilate(rgb, square) - cv2.erode(rgb, square), dtype=np.uint8)
    small = _sampled(rgb)
    flat = (_sampled(levels).max(axis=2) <= _FLAT).ravel()
    tiles = _Tiles(small)
    lab = _lab(small).reshape(-1, 3)
    free, found = flat.copy(), []
    for _ in range(_MOST):
        if free.mean() < _LEAST_INK:
            break
        colour = _commonest(lab[free], _INK)
        off = _distance(lab, colour)
        own = flat & (off < _INK)
        if own.mean() < _LEAST_INK:
            break
        if own.sum() >= _SHARP * (flat & (off < _NEAR)).sum() and tiles.share(own, _HERE) < _LOCAL:
            found.append(colour)
        free &= off >= _APART
    return found


class _Tiles:
    """A page in squares: how many of them a colour is in."""

    def __init__(self, rgb: Rgb) -> None:
        rows, columns = rgb.shape[:2]
        y, x = np.mgrid[0:rows, 0:columns]
        self.number = (y * _TILES // rows * _TILES + x * _TILES // columns).ravel()
        self.pixels = np.maximum(np.bincount(self.number, minlength=_TILES**2), 1)

    def share(self, own: NDArray[np.bool_], least: float) -> float:
        """Of the tiles, those that hold at least such a share of ``own``."""
        held = np.bincount(self.number[own], minlength=_TILES**2)
        return float((held >= np.maximum(least * self.pixels, 1)).mean())


def _commonest(lab: Lab, radius: float) -> Lab:
    """The colour with most others near it: the fullest bin, moved to the mean of what is near."""
    bins = np.floor((lab - _DARKEST) / radius).astype(np.int64)
    values, counts = np.unique((bins[:, 0] * 256 + bins[:, 1]) * 256 + bins[:, 2], return_counts=True)
    key = int(values[counts.argmax()])
    colour: Lab = (np.array([key >> 16, key >> 8 & 255, key & 255], dtype=np.float32) + 0.5) * radius + _DARKEST
    for _ in range(3):
        near = _distance(lab, colour) < radius
        if not near.any():
            break
        colour = lab[near].mean(axis=0)
    return colour


def _distance(lab: Lab, colour: Lab) -> Lab:
    """How far each pixel's colour is from one. Written out: numpy takes four times as long over an axis of three."""
    off = lab - colour
    off *= off
    found: Lab = np.sqrt(off[..., 0] + off[..., 1] + off[..., 2])
    return found


def _shaded(picture: Picture, colours: list[Lab], white: float, black: float) -> Picture:
    """Grey by how far each pixel is from the nearest of some colours: at ``white`` all is white, at ``black`` black."""
    import cv2  # optional: it comes with the extra

    grey = np.empty_like(picture.rgb)
    for top in range(0, len(grey), 256):  # some rows at a time: colours as floats take much room
        lab = _lab(picture.rgb[top : top + 256])
        off = np.min([_distance(lab, colour) for colour in colours], axis=0)
        dark = np.clip((off - white) / (black - white), 0, 1)
        grey[top : top + 256] = np.round(255 * (1 - dark)).astype(np.uint8)[:, :, None]
    return evolve(picture, rgb=np.asarray(cv2.medianBlur(grey, _BLUR), dtype=np.uint8))


def _sampled(rgb: Rgb) -> Rgb:
    """Every so many pixels: each colour as it is, none mixed."""
    every = max(1, round(max(rgb.shape[:2]) / _SAMPLE))
    return np.ascontiguousarray(rgb[every // 2 :: every, every // 2 :: every])


def _lab(rgb: Rgb) -> Lab:
    import cv2  # optional: it comes with the extra

    return np.asarray(cv2.cvtColor(rgb.astype(np.float32) / 255, cv2.COLOR_RGB2LAB), dtype=np.float32)

"""A picture's lettering without what it stands on, where colour tells them apart.

Takes the plane's picture; gives another with dark letters on white, in which the detector and the reader find words that they
take for part of a pattern. Two ways: where the ground is of few plain colours (flat, striped, dotted, bricks), what differs
from them is dark; where it is none, the flat colours that stand in places only are dark, as print inks are on a photograph.
"""

from functools import reduce

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
_SIDE = 80  # more cubes than a* and b* span
_DARKEST = np.array([0, -128, -128], dtype=np.float32)  # the least of L*, a*, b*

Lab = NDArray[np.float32]  # of a colour: L*, a*, b*; of many: three rows


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
    lab, tile = _lab(rgb), tiles.number
    bins = _bins(lab, _RADIUS)
    everything = lab.shape[1]
    found, covered = [], 0.0
    for _ in range(_MOST):
        if lab.shape[1] < _LEAST * everything:
            break
        colour = _commonest(lab, bins, _RADIUS)
        off = _distance(lab, colour)
        own = off < _RADIUS
        if own.sum() < _LEAST * everything:
            break
        if tiles.share(tile[own], _THERE) >= _SPREAD:
            found.append(colour)
            covered += float(own.sum()) / everything
        other = off >= 1.3 * _RADIUS
        lab, bins, tile = lab[:, other], bins[other], tile[other]
    return found if covered >= _COVERED else []


def inks(rgb: Rgb) -> list[Lab]:
    """The flat colours that stand in some places of a page only, the commonest first."""
    import cv2  # optional: it comes with the extra

    square = np.ones((3, 3), np.uint8)
    levels = _sampled(np.asarray(cv2.dilate(rgb, square) - cv2.erode(rgb, square), dtype=np.uint8))
    flat = np.maximum(np.maximum(levels[:, :, 0], levels[:, :, 1]), levels[:, :, 2]).ravel() <= _FLAT
    small = _sampled(rgb)
    tiles = _Tiles(small)
    lab, tile = _lab(small)[:, flat], tiles.number[flat]
    left, bins, found = lab, _bins(lab, _INK), []
    least = _LEAST_INK * len(flat)
    for _ in range(_MOST):
        if left.shape[1] < least:
            break
        colour = _commonest(left, bins, _INK)
        off = _distance(lab, colour)
        own = off < _INK
        if own.sum() < least:
            break
        if own.sum() >= _SHARP * (off < _NEAR).sum() and tiles.share(tile[own], _HERE) < _LOCAL:
            found.append(colour)
        other = _distance(left, colour) >= _APART
        left, bins = left[:, other], bins[other]
    return found


class _Tiles:
    """A page in squares, ``number`` = which of them each pixel is in: how many of them a colour is in."""

    def __init__(self, rgb: Rgb) -> None:
        rows, columns = rgb.shape[:2]
        down, across = np.arange(rows) * _TILES // rows, np.arange(columns) * _TILES // columns
        self.number = (down[:, None] * _TILES + across[None, :]).ravel()
        self.pixels = np.maximum(np.bincount(self.number, minlength=_TILES**2), 1)

    def share(self, tile: NDArray[np.int64], least: float) -> float:
        """Of the tiles, those of which at least such a share is of a colour; ``tile`` = the tiles of its pixels."""
        held = np.bincount(tile, minlength=_TILES**2)
        return float((held >= np.maximum(least * self.pixels, 1)).mean())


def _bins(lab: Lab, radius: float) -> NDArray[np.int64]:
    """For each pixel the number of the cube of colours that it is in."""
    cubes = np.floor((lab - _DARKEST[:, None]) / radius).astype(np.int64)
    found: NDArray[np.int64] = (cubes[0] * _SIDE + cubes[1]) * _SIDE + cubes[2]
    return found


def _commonest(lab: Lab, bins: NDArray[np.int64], radius: float) -> Lab:
    """The colour with most others near it: the fullest bin, moved to the mean of what is near."""
    number = int(np.bincount(bins).argmax())
    cube = (number // _SIDE**2, number // _SIDE % _SIDE, number % _SIDE)
    colour: Lab = (np.array(cube, dtype=np.float32) + 0.5) * radius + _DARKEST
    for _ in range(3):
        near = _distance(lab, colour) < radius
        if not near.any():
            break
        before, colour = colour, np.array([plane[near].mean() for plane in lab])
        if (before == colour).all():
            break
    return colour


def _distance(lab: Lab, colour: Lab) -> Lab:
    """How far each pixel's colour is from one."""
    found: Lab = np.sqrt(sum((plane - value) ** 2 for plane, value in zip(lab, colour, strict=True)))
    return found


def _shaded(picture: Picture, colours: list[Lab], white: float, black: float) -> Picture:
    """Grey by how far each pixel is from the nearest of some colours: at ``white`` all is white, at ``black`` black."""
    import cv2  # optional: it comes with the extra

    grey = np.empty_like(picture.rgb)
    for top in range(0, len(grey), 256):  # some rows at a time: colours as floats take much room
        part = picture.rgb[top : top + 256]
        lab = _lab(part)
        off = reduce(np.minimum, (_distance(lab, colour) for colour in colours))
        dark = np.clip((off - white) / (black - white), 0, 1)
        grey[top : top + 256] = np.round(255 * (1 - dark)).astype(np.uint8).reshape(*part.shape[:2], 1)
    return evolve(picture, rgb=np.asarray(cv2.medianBlur(grey, _BLUR), dtype=np.uint8))


def _sampled(rgb: Rgb) -> Rgb:
    """Every so many pixels: each colour as it is, none mixed."""
    every = max(1, round(max(rgb.shape[:2]) / _SAMPLE))
    return np.ascontiguousarray(rgb[every // 2 :: every, every // 2 :: every])


def _lab(rgb: Rgb) -> Lab:
    """L*, a*, b* of all pixels, a row each: numpy is slow over pixels of three."""
    import cv2  # optional: it comes with the extra

    lab = cv2.cvtColor(rgb.astype(np.float32) / 255, cv2.COLOR_RGB2LAB)
    return np.ascontiguousarray(np.asarray(lab, dtype=np.float32).reshape(-1, 3).T)

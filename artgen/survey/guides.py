"""Whether a template's lines are seen in a panel's art: in its picture, along the lines where this panel's guides stand.

A guide differs from what lies to both sides of it by its own ink, and by the white that a template puts under its lines. Each
line is looked at in pieces; a kind of line is seen where most pieces of most of its lines show it. Takes a panel's preview and
how its page lies; gives names of lines. Words of the template have places of their own: `template_lines`.
"""

from collections.abc import Iterator
from math import hypot

import numpy as np
from attrs import frozen
from numpy.typing import NDArray
from shapely import Polygon, union_all

from ..drawing.fonts import DESCENT, text_width
from ..drawing.inks import Guide, base_line_width, guide_stroke
from ..drawing.marks import Text
from ..placing import Laid
from ..sizing.outline import Outline, Point, bounds, edges
from ..sizing.panel import Affine, Panel, Sizing, inverse, placed
from ..template import default_scale, liked_scale, seam_line, sheet_of, template, wrap_size, wrap_template
from ..words import Words
from .previews import Preview
from .words import PlacedWord

_KINDS: tuple[Guide, ...] = ("fold", "safe", "cut", "seam")
_HALO = 0.8  # widths of a thin line by which the white under a line is wider on each side
_PIECES = 16  # of a line
_TOLERANCE = 1.0  # mm by which a page that fits may lie off, as in placing
# all ours, chosen on the tuning half: levels by which a line differs from what is beside it; the least share of its own ink,
# or of white, in that; how much of the difference its ink and white may leave unexplained; pieces of a line, lines of a kind
_DIFFERS, _OWN, _PALE, _LEFT, _MOST_PIECES, _MOST_LINES = 14.0, 0.12, 0.2, 0.4, 0.6, 0.7
_OVERLAP = 0.5  # ours: share of a word that lies where the template has one …
_ROUND = 0.45  # … or so many heights round it
_ASCENT = 0.75  # of the size: what stands over the baseline, d and l too

Rgb = NDArray[np.float64]


@frozen
class GuideLines:
    """Of each kind of line that this panel's template has, how much of its length is seen, 0 to 1: in its own ink, or at least
    with the white that lies under it."""

    shares: tuple[tuple[Guide, float, float], ...]

    @property
    def seen(self) -> tuple[Guide, ...]:
        """Kinds that are there for certain. The cut's line is black as many a keyline is, and white is any keyline's colour: they
        count beside another only."""
        inked = tuple(kind for kind, own, _ in self.shares if own >= _MOST_LINES)
        if any(kind in ("fold", "safe") for kind in inked):
            return inked
        found = tuple(kind for kind, own, pale in self.shares if max(own, pale) >= _MOST_LINES)
        return found if len(found) > 1 else ()


def guide_lines(laid: Laid, panel: Panel, seen: Preview) -> GuideLines:
    """What of a panel's guides shows in its picture."""
    x0, y0, x1, y1 = bounds([point for outline in laid.target.outline("art") for point in outline])
    thin = base_line_width(max(x1 - x0, y1 - y0) / laid.scale) * laid.scale
    rgb = _on_white(seen)
    found = []
    for kind in _KINDS:
        lines = list(_lines(panel, kind, alone=laid.target.wrap is None))
        if lines:
            total = sum(_length(line) for line in lines)
            told = [(_length(line), *_shows(rgb, seen.step, line, kind, thin)) for line in lines]
            inked, pale = (sum(one[0] for one in told if one[which]) for which in (1, 2))
            found.append((kind, round(inked / total, 3), round(pale / total, 3)))
    return GuideLines(tuple(found))


@frozen
class TemplateLine:
    """A line of text of a template: ``words`` in lower case, ``box`` in the target's plane."""

    words: frozenset[str]
    box: Outline


def template_lines(laid: Laid, sizing: Sizing, say: Words) -> tuple[TemplateLine, ...]:
    """What is written on the template of a laid page."""
    target = laid.target
    structure = next(s for s in sizing.structures if any(p.number == target.numbers[0] for p in s.panels))
    if target.wrap is not None:
        panels = target.panels
        scale = liked_scale(max(wrap_size(target.wrap, panels)))
        drawing = wrap_template(target.wrap, panels, structure, say, scale, ppi=100)
        to_plane: Affine = (float(scale), 0.0, 0.0, float(scale), 0.0, 0.0)
    else:
        scale = default_scale(structure.panels)
        drawing = template(target.panels[0], structure, say, scale, laid.way)
        to_plane = inverse(sheet_of(target.panels[0], scale, laid.way).place)
    texts = [mark for layer in drawing.layers for mark in layer.marks if isinstance(mark, Text)]
    return tuple(
        TemplateLine(frozenset(text.string.casefold().split()), placed(to_plane, _box(text))) for text in texts
    )


def is_templates(word: PlacedWord, lines: tuple[TemplateLine, ...]) -> bool:
    """Whether a word lies where the template has one; a live one is the same word, too. What could not be read beside guides is
    taken for their lines and hatches."""
    if not word.read:
        return True
    shape = Polygon(word.quad).buffer(0)
    near = [line for line in lines if word.source == "seen" or word.text.casefold() in line.words]
    seen_wide = 0.0 if word.source == "live" else _ROUND  # a seen word's box is rough
    covered = union_all([(box := Polygon(line.box)).buffer(seen_wide * _height(box)) for line in near])
    return bool(covered.intersection(shape).area >= _OVERLAP * shape.area)


def _height(box: Polygon) -> float:
    (x0, y0), (x1, y1), (x2, y2) = box.exterior.coords[:3]
    return min(hypot(x1 - x0, y1 - y0), hypot(x2 - x1, y2 - y1))


def _box(text: Text) -> Outline:
    """Lower left, lower right, upper right, upper left of a line of text with its ascenders and descenders."""
    wide = text_width(text.string, text.size, text.bold)
    shift = {"start": 0.0, "middle": 0.5, "end": 1.0}[text.anchor] * wide
    c, s = np.cos(np.radians(text.angle)), np.sin(np.radians(text.angle))
    x, y = text.at
    low, high = -DESCENT * text.size, _ASCENT * text.size
    corners = ((-shift, low), (wide - shift, low), (wide - shift, high), (-shift, high))
    return tuple((float(x + c * u - s * v), float(y + s * u + c * v)) for u, v in corners)


def _lines(panel: Panel, kind: Guide, alone: bool) -> Iterator[tuple[Point, Point]]:
    if kind == "fold":
        yield from edges(panel.visible)
    elif kind == "safe" and panel.safe is not None:
        yield from edges(panel.safe)
    elif kind == "cut" and alone:  # on a wrap it runs round the whole chain
        yield from edges(panel.cut)
    elif kind == "seam":
        for seam in panel.seams:
            yield seam_line(panel, seam)


def _length(line: tuple[Point, Point]) -> float:
    (x0, y0), (x1, y1) = line
    return hypot(x1 - x0, y1 - y0)


def _on_white(seen: Preview) -> Preview:
    if seen.rgba[:, :, 3].min() == 255:
        return seen
    alpha = seen.rgba[:, :, 3:].astype(np.uint16)
    rgb = (seen.rgba[:, :, :3] * alpha + 255 * (255 - alpha) + 127) // 255
    return Preview(np.concatenate([rgb.astype(np.uint8), seen.rgba[:, :, 3:]], axis=2), seen.step)


def _shows(seen: Preview, step: float, line: tuple[Point, Point], kind: Guide, thin: float) -> tuple[bool, bool]:
    """Whether most pieces of a line show a guide of this kind, and whether they show a white line."""
    stroke = guide_stroke(kind, thin)
    ink = np.array(stroke.ink.rgb, dtype=float)
    near = stroke.width / 2 + _HALO * thin + step  # as far as line and white reach, blurred by a pixel
    reach = _TOLERANCE + step / 2
    length = _length(line)
    if length < 8 * near:
        return False, False
    profile, offsets = _profiles(seen, step, line, near + reach + 3 * step)
    middle = np.flatnonzero(np.abs(offsets) <= reach)
    inked = pale = 0.0
    for at in middle:
        aside = np.abs(offsets - offsets[at])
        beside = (aside > near) & (aside <= near + 2.5 * step)
        left = profile[:, beside & (offsets < offsets[at])].mean(axis=1)
        right = profile[:, beside & (offsets > offsets[at])].mean(axis=1)
        own, white = _is_line(profile[:, at], left, right, ink)
        inked, pale = max(inked, float(own.mean())), max(pale, float(white.mean()))
    return inked >= _MOST_PIECES, pale >= _MOST_PIECES


def _profiles(seen: Preview, step: float, line: tuple[Point, Point], reach: float) -> tuple[Rgb, NDArray[np.float64]]:
    """(pieces × offsets × RGB of the mean colour at so many mm to one side of a line, the offsets)."""
    (x0, y0), (x1, y1) = line
    length = _length(line)
    along, out = ((x1 - x0) / length, (y1 - y0) / length), ((y1 - y0) / length, (x0 - x1) / length)
    count = max(_PIECES, int(length / step) // _PIECES * _PIECES)
    places = (np.arange(count) + 0.5) * length / count
    offsets = np.arange(-reach, reach + step / 4, step / 2)
    x = x0 + along[0] * places[:, None] + out[0] * offsets[None, :]
    y = y0 + along[1] * places[:, None] + out[1] * offsets[None, :]
    colours = seen.at(x, y)[:, :, :3].astype(float)
    return colours.reshape(_PIECES, count // _PIECES, len(offsets), 3).mean(axis=1), offsets


def _is_line(middle: Rgb, left: Rgb, right: Rgb, ink: Rgb) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Whether the middle differs from both sides by shares of the ink and of white, and by little else: (by enough of the ink,
    by enough of white)."""
    across = right - left
    share = ((middle - left) * across).sum(axis=1) / np.maximum((across * across).sum(axis=1), 1e-6)
    beside = left + np.clip(share, 0, 1)[:, None] * across
    off = middle - beside
    size = np.linalg.norm(off, axis=1)
    to_ink, to_white = ink - beside, 255.0 - beside
    own, white = _shares(off, to_ink, to_white)
    rest = np.linalg.norm(off - own[:, None] * to_ink - white[:, None] * to_white, axis=1)
    line = (size >= _DIFFERS) & (rest <= _LEFT * size) & (own + white <= 1.3)
    return line & (own >= _OWN), line & (white >= _PALE)


def _shares(off: Rgb, first: Rgb, second: Rgb) -> tuple[Rgb, Rgb]:
    """Shares of two directions, none below 0, that come nearest to ``off`` (least squares)."""
    aa, bb, ab = (first * first).sum(1), (second * second).sum(1), (first * second).sum(1)
    fa, fb = (off * first).sum(1), (off * second).sum(1)
    det = aa * bb - ab * ab
    apart = det > 1e-3 * aa * bb  # else both lead the same way, or one of them nowhere
    det = np.where(apart, det, 1.0)
    one, two = (fa * bb - fb * ab) / det, (fb * aa - fa * ab) / det
    alone, other = fa / np.maximum(aa, 1.0), fb / np.maximum(bb, 1.0)
    inside = apart & (one >= 0) & (two >= 0)
    better = np.maximum(alone, 0) * fa >= np.maximum(other, 0) * fb  # which one explains more by itself
    own = np.where(inside, one, np.where(better, np.maximum(alone, 0), 0.0))
    return own, np.where(inside, two, np.where(better, 0.0, np.maximum(other, 0)))

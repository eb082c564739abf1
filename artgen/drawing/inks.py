"""The inks and line kinds of every drawing.

Colours are the eight of the colour-blind-safe set of Okabe and Ito (2008), with the RGB and the CMYK that
they publish; greys are plain black tints. Guide inks are spot inks of our own names, so that a template's
lines stand on their own plates and are told from art by name. Line kinds follow ISO 128-2, in multiples of
the line width.
"""

import math
from typing import Literal

from .marks import Ink, Stroke

BLACK = Ink("Black", (0, 0, 0), (0, 0, 0, 1))
WHITE = Ink("White", (255, 255, 255), (0, 0, 0, 0))
DARK_GREY = Ink("Dark grey", (77, 77, 77), (0, 0, 0, 0.7))
GREY = Ink("Grey", (115, 115, 115), (0, 0, 0, 0.55))
PALE_GREY = Ink("Pale grey", (191, 191, 191), (0, 0, 0, 0.25))
FAINT_GREY = Ink("Faint grey", (237, 237, 237), (0, 0, 0, 0.07))

# M. Okabe, K. Ito, Color Universal Design (2002, revised 2008), table of the set: RGB, and CMYK in per cent
ORANGE = Ink("Orange", (230, 159, 0), (0, 0.5, 1, 0))
SKY_BLUE = Ink("Sky blue", (86, 180, 233), (0.8, 0, 0, 0))
BLUISH_GREEN = Ink("Bluish green", (0, 158, 115), (0.97, 0, 0.75, 0))
YELLOW = Ink("Yellow", (240, 228, 66), (0.1, 0.05, 0.9, 0))
BLUE = Ink("Blue", (0, 114, 178), (1, 0.5, 0, 0))
VERMILLION = Ink("Vermillion", (213, 94, 0), (0, 0.8, 1, 0))
REDDISH_PURPLE = Ink("Reddish purple", (204, 121, 167), (0.1, 0.7, 0, 0))

GUIDE_ART_EDGE = Ink("Guide art edge", REDDISH_PURPLE.rgb, REDDISH_PURPLE.cmyk, spot=True)
GUIDE_CUT = Ink("Guide cut", BLACK.rgb, BLACK.cmyk, spot=True)
GUIDE_FOLD = Ink("Guide fold", BLUE.rgb, BLUE.cmyk, spot=True)
GUIDE_SAFE = Ink("Guide safe", ORANGE.rgb, ORANGE.cmyk, spot=True)
GUIDE_SEAM = Ink("Guide seam", BLUISH_GREEN.rgb, BLUISH_GREEN.cmyk, spot=True)
GUIDE_NEIGHBOUR = Ink("Guide neighbour", BLACK.rgb, BLACK.cmyk, spot=True)
GUIDE_HATCH = Ink("Guide hatch", DARK_GREY.rgb, DARK_GREY.cmyk, spot=True)
GUIDE_NOTES = Ink("Guide notes", BLACK.rgb, BLACK.cmyk, spot=True)

GUIDE_NUMBER = Ink("Guide number", FAINT_GREY.rgb, FAINT_GREY.cmyk, spot=True)
GUIDE_WHITE = Ink("Guide white", WHITE.rgb, WHITE.cmyk, spot=True)  # lies under lines and letters, for dark art

# ten: Ghostscript separates no more spot inks on a page, and puts others onto the process plates
GUIDE_INKS = (
    GUIDE_ART_EDGE,
    GUIDE_CUT,
    GUIDE_FOLD,
    GUIDE_SAFE,
    GUIDE_SEAM,
    GUIDE_NEIGHBOUR,
    GUIDE_HATCH,
    GUIDE_NOTES,
    GUIDE_NUMBER,
    GUIDE_WHITE,
)

Guide = Literal["art edge", "cut", "fold", "safe", "seam", "neighbour", "shadow", "keep-out", "frame", "notes"]

# Parts of a line over its width, after ISO 128-2 (annex on line elements): dot 0.5, gap 3, long dash 24
_DOT, _GAP, _LONG_DASH = 0.5, 3.0, 24.0
_THICK = 2.0  # ISO 128-2: thick to thin is 2 : 1

_KINDS: dict[str, tuple[Ink, float, tuple[float, ...], Literal["butt", "round"]]] = {
    # guide: ink, width over the base width, line elements over the drawn width, line ends
    "art edge": (GUIDE_ART_EDGE, 1.0, (_LONG_DASH, _GAP), "butt"),
    "cut": (GUIDE_CUT, 1.0, (), "butt"),
    "fold": (GUIDE_FOLD, _THICK, (), "butt"),
    "safe": (GUIDE_SAFE, _THICK, (0.0, _GAP), "round"),  # round dots as wide as the line: ours, for sight
    "seam": (GUIDE_SEAM, _THICK, (_LONG_DASH, _GAP, _DOT, _GAP, _DOT, _GAP), "butt"),
    "neighbour": (GUIDE_NEIGHBOUR, 1.0, (_LONG_DASH, _GAP, _DOT, _GAP), "butt"),
    "shadow": (GUIDE_HATCH, 1.0, (), "butt"),
    "keep-out": (GUIDE_HATCH, 1.0, (), "butt"),
    "frame": (GUIDE_NEIGHBOUR, 1.0, (), "butt"),
    "notes": (GUIDE_NOTES, 1.0, (), "butt"),
}


def guide_stroke(guide: Guide, base_width: float) -> Stroke:
    """The stroke of a guide, where a thin line is ``base_width`` mm wide at page size."""
    ink, factor, elements, cap = _KINDS[guide]
    width = base_width * factor
    return Stroke(ink, width, tuple(element * width for element in elements), cap)


def base_line_width(longest_side: float) -> float:
    """Width in mm of a thin line on a page whose longest side is ``longest_side`` mm.

    The widths of ISO 128-2 grow by √2 from 0.13 mm; the one nearest to 1/1800 of the side (our choice:
    about half a pixel when the whole page is seen on a screen) is taken, never thinner than 0.13 mm.
    """
    steps = round(2 * math.log2(longest_side / 1800 / 0.125))
    return max(0.13, round(0.125 * 2 ** (steps / 2), 2))

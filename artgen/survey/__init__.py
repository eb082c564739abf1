"""Placed art to observations in full-size millimetres: live words and lettering in a target's
plane, and what each edge's band shows. `look` makes all of them.

Takes a laid page; the pixels come through `artgen.art`. Gives plain records; judges nothing.
"""

from .bands import EdgeBand, edge_bands
from .lettering import CONTRAST, Lettering
from .lettering import available as reading_available
from .looking import LaidSeen, Picture, lettering_seen, look
from .previews import Preview, preview
from .words import PlacedWord, placed_words

__all__ = [
    "CONTRAST",
    "EdgeBand",
    "LaidSeen",
    "Lettering",
    "Picture",
    "PlacedWord",
    "Preview",
    "edge_bands",
    "lettering_seen",
    "look",
    "placed_words",
    "preview",
    "reading_available",
]

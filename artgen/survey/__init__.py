"""Placed art to observations in full-size millimetres: live words and lettering in a target's
plane, and what each edge's band shows.

Takes a laid page; the pixels come through `artgen.art`. Gives plain records; judges nothing.
"""

from .bands import EdgeBand, edge_bands
from .lettering import CONTRAST, Lettering
from .lettering import available as reading_available
from .lettering import find as find_lettering
from .lettering import read as read_lettering
from .previews import Preview, look, preview
from .words import PlacedWord, placed_words

__all__ = [
    "CONTRAST",
    "EdgeBand",
    "Lettering",
    "PlacedWord",
    "Preview",
    "edge_bands",
    "find_lettering",
    "look",
    "placed_words",
    "preview",
    "read_lettering",
    "reading_available",
]

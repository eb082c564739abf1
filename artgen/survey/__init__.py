"""Placed art to observations in full-size millimetres: words in a target's plane, and what each edge's band shows.

Takes a laid page; the pixels come through `artgen.art`. Gives plain records; judges nothing.
"""

from .bands import EdgeBand, edge_bands
from .previews import Preview, preview
from .words import PlacedWord, placed_words

__all__ = ["EdgeBand", "PlacedWord", "Preview", "edge_bands", "placed_words", "preview"]

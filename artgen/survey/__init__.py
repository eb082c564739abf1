"""Placed art to observations in full-size millimetres: live words and lettering in a target's
plane, and what each edge's band shows. `look` makes all of them.

Takes a laid page; the pixels come through `artgen.art`. Gives plain records; judges nothing.
"""

from .bands import EdgeBand, edge_bands
from .codes import Code
from .crop_marks import CropMarks
from .graphics import Graphic
from .guides import GuideLines, is_templates, template_lines
from .lettering import CONTRAST, Lettering
from .lettering import available as reading_available
from .looking import LaidSeen, Picture, lettering_seen, look
from .marks import Marks, marks_seen
from .previews import Preview, preview
from .softness import ImageDetail
from .stops import Stop
from .words import PlacedWord, placed_words, words_off_page

__all__ = [
    "CONTRAST",
    "Code",
    "CropMarks",
    "EdgeBand",
    "Graphic",
    "GuideLines",
    "ImageDetail",
    "LaidSeen",
    "Lettering",
    "Marks",
    "Picture",
    "PlacedWord",
    "Preview",
    "Stop",
    "edge_bands",
    "is_templates",
    "lettering_seen",
    "look",
    "marks_seen",
    "placed_words",
    "preview",
    "reading_available",
    "template_lines",
    "words_off_page",
]

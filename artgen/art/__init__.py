"""Client files: facts and pixels, no judgement. Takes paths, gives the records of `artgen.art.facts`."""

from .facts import FileFacts, FileFault, PageFacts, Pixels, Word
from .mapping import Matrix
from .reading import Window, details, get_ready, pixels, read, recalled, svg_to_pdf, windows

__all__ = [
    "FileFacts",
    "FileFault",
    "Matrix",
    "PageFacts",
    "Pixels",
    "Window",
    "Word",
    "details",
    "get_ready",
    "pixels",
    "read",
    "recalled",
    "svg_to_pdf",
    "windows",
]

"""Client files: facts and pixels, no judgement. Takes paths, gives the records of `artgen.art.facts`."""

from .facts import FileFacts, FileFault, PageFacts, Pixels, Word
from .mapping import Matrix
from .reading import details, pixels, read, recalled, svg_to_pdf, windows

__all__ = [
    "FileFacts",
    "FileFault",
    "Matrix",
    "PageFacts",
    "Pixels",
    "Word",
    "details",
    "pixels",
    "read",
    "recalled",
    "svg_to_pdf",
    "windows",
]

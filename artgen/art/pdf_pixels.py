"""Windows of PDF pages as pixels. Takes a file and a window inside the child process, gives straight 8-bit RGBA rows.

A window maps output pixels (x right, y down from the upper left of the output) to the page frame of `facts`.
"""

import ctypes
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2 as pdfium2
import pypdfium2.raw as pdfium

from .faults import ArtFault
from .mapping import Matrix, apply, apply_rect, inverse, then, vertices_of
from .masking import Size, clip
from .pdf import opened as opened_pdf
from .pdf import page_geometry, shown_by_pdfium

_RGBA_ORDER = 0x10  # FPDF_REVERSE_BYTE_ORDER


def open_pdfium(file: Path) -> Any:
    """The pdfium document. Raises `ArtFault` "damaged" where pdfium can't open what pikepdf could."""
    try:
        return pdfium2.PdfDocument(file)
    except pdfium2.PdfiumError as error:
        raise ArtFault("damaged", f"The PDF can't be drawn ({error}). Save it anew and send it again.", "pdf") from None


def pdf_windows(
    file: Path, page: int, windows: Sequence[tuple[Matrix, Size]], frame: tuple[float, float] | None
) -> Iterator[memoryview]:
    """RGBA rows of page ``page`` (from 0) of a PDF through each window; transparent outside its crop box.

    ``frame`` = (width, height) of the page frame, where that is not the page's own size in mm (converted SVG).
    Layers are drawn as a screen shows them; comments and form fields are not drawn.
    """
    with opened_pdf(file) as pdf:
        if page >= len(pdf.pages):
            raise ArtFault("damaged", f"Page {page + 1} was asked for; the PDF has {len(pdf.pages)}.", "pdf")
        to_frame, media, crop, rotate = page_geometry(pdf.pages[page])
    if frame is not None:
        shown = apply_rect(to_frame, media)
        to_frame = then(to_frame, (frame[0] / shown[2], 0.0, 0.0, frame[1] / shown[3], 0.0, 0.0))
    document = open_pdfium(file)
    try:
        with opened_page(document, page) as opened:
            for window, size in windows:
                to_output = then(to_frame, inverse(window))
                drawn = _draw(opened, then(inverse(shown_by_pdfium(crop, rotate)), to_output), size)
                clip(drawn, [apply(to_output, point) for point in vertices_of(crop)])
                yield drawn.data
    finally:
        document.close()


@contextmanager
def opened_page(document: Any, page: int) -> Iterator[Any]:
    """Page ``page`` (from 0) of a pdfium document, closed afterwards. Raises `ArtFault` "damaged"."""
    try:
        opened = document[page]
    except (pdfium2.PdfiumError, IndexError) as error:
        raise ArtFault("damaged", f"Page {page + 1} can't be drawn ({error}). Save the PDF anew.", "pdf") from None
    try:
        yield opened
    finally:
        opened.close()


@contextmanager
def leafed(document: Any) -> Iterator[Callable[[int], Any]]:
    """A function that opens page n (from 0) of a pdfium document and closes the page before last; all are closed at the end.

    Two stay open so that what both use, fonts above all, is loaded once.
    """
    open_pages: list[Any] = []

    def turn_to(page: int) -> Any:
        try:
            open_pages.append(document[page])
        except (pdfium2.PdfiumError, IndexError) as error:
            raise ArtFault("damaged", f"Page {page + 1} can't be drawn ({error}). Save the PDF anew.", "pdf") from None
        if len(open_pages) > 2:
            open_pages.pop(0).close()
        return open_pages[-1]

    try:
        yield turn_to
    finally:
        for page in open_pages:
            page.close()


def _draw(page: Any, matrix: Matrix, size: Size) -> np.ndarray[Any, Any]:
    width, height = size
    pixels = np.zeros((height, width, 4), np.uint8)
    buffer = pixels.ctypes.data_as(ctypes.c_void_p)
    bitmap = pdfium.FPDFBitmap_CreateEx(width, height, pdfium.FPDFBitmap_BGRA, buffer, width * 4)
    if not bitmap:
        raise MemoryError(f"no bitmap of {width} × {height} pixels")
    try:
        edges = pdfium.FS_RECTF(0, 0, width, height)
        pdfium.FPDF_RenderPageBitmapWithMatrix(bitmap, page.raw, pdfium.FS_MATRIX(*matrix), edges, _RGBA_ORDER)
    finally:
        pdfium.FPDFBitmap_Destroy(bitmap)
    return pixels

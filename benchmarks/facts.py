"""What the facts of PDFs are measured against: bare loops over the same pages, and the pages themselves.

Pages are drawn by reportlab from a fixed seed. Each bare loop does the least that any reader must: open the file, go
through its objects or glyphs, keep nothing.
"""

import ctypes
import io
import random
from pathlib import Path

import pikepdf
import pypdfium2
import pypdfium2.raw as pdfium
from reportlab.pdfgen.canvas import Canvas

PATHS, TEXT_PAGES = 50_000, 300


def paths_page(file: Path, count: int = PATHS) -> None:
    """A page of ``count`` stroked paths of five points each, coloured and of three widths."""
    chance, data = random.Random(1), io.BytesIO()
    canvas = Canvas(data, pagesize=(5000, 5000), invariant=1)
    for _ in range(count):
        canvas.setLineWidth(chance.choice((0.5, 1, 2)))
        canvas.setStrokeColorRGB(chance.random(), 0, 0)
        path = canvas.beginPath()
        path.moveTo(chance.random() * 5000, chance.random() * 5000)
        for _ in range(4):
            path.lineTo(chance.random() * 5000, chance.random() * 5000)
        canvas.drawPath(path)
    canvas.save()
    file.write_bytes(data.getvalue())


def text_pages(file: Path, count: int = TEXT_PAGES) -> None:
    """``count`` pages of 60 lines of 72 letters: about 4,300 glyphs and 680 words a page."""
    chance, data = random.Random(1), io.BytesIO()
    canvas = Canvas(data, pagesize=(595, 842), invariant=1)
    for _ in range(count):
        canvas.setFont("Helvetica", 9)
        for row in range(60):
            words = ("".join(chance.choices("abcdefghijklmnopqrstuvwxyz", k=chance.randint(2, 9))) for _ in range(12))
            canvas.drawString(40, 800 - 13 * row, " ".join(words)[:72])
        canvas.showPage()
    canvas.save()
    file.write_bytes(data.getvalue())


def bare_paths(file: Path) -> int:
    """A bare pdfium walk (kind, mapping, width of every object) and one unfiltered pikepdf parse."""
    document = pypdfium2.PdfDocument(file)
    page = document[0]
    matrix, width = pdfium.FS_MATRIX(), ctypes.c_float()
    count = pdfium.FPDFPage_CountObjects(page.raw)
    for index in range(count):
        item = pdfium.FPDFPage_GetObject(page.raw, index)
        pdfium.FPDFPageObj_GetType(item)
        pdfium.FPDFPageObj_GetMatrix(item, matrix)
        pdfium.FPDFPageObj_GetStrokeWidth(item, width)
    page.close()
    document.close()
    with pikepdf.open(file) as pdf:
        return count + len(pikepdf.parse_content_stream(pdf.pages[0]))


def bare_glyphs(file: Path) -> int:
    """The box of every glyph, asked of pdfium with the same four numbers for the answer each time."""
    document = pypdfium2.PdfDocument(file)
    left, right, bottom, top = (ctypes.c_double() for _ in range(4))
    count = 0
    for page in document:
        text = pdfium.FPDFText_LoadPage(page.raw)
        for index in range(pdfium.FPDFText_CountChars(text)):
            pdfium.FPDFText_GetCharBox(text, index, left, right, bottom, top)
            count += 1
        pdfium.FPDFText_ClosePage(text)
        page.close()
    document.close()
    return count

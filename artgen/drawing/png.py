"""Our own PDFs to pixels, for previews: PDF bytes in, PNG bytes out.

Only for files that `artgen.drawing.pdf` has just written: what clients send is opened in a confined process.
pdfium is not safe in threads, so callers that render at the same time use processes.
"""

import io


def render_pdf(pdf: bytes, page: int = 0, *, width: int) -> bytes:
    """One page (counted from 0) on white, ``width`` pixels wide, height in proportion, as an RGB PNG.

    Raises `IndexError` when the document has no such page, `ValueError` for a width under 1.
    """
    import pypdfium2  # heavy: loads the pdfium library, and few commands render
    import pypdfium2.raw as pdfium

    if width < 1:
        raise ValueError(f"a picture is at least 1 pixel wide, got {width}")
    document = pypdfium2.PdfDocument(pdf)
    try:
        if not 0 <= page < len(document):
            raise IndexError(f"the document has {len(document)} pages, so there is no page {page + 1}")
        leaf = document[page]
        height = max(1, round(width * leaf.get_height() / leaf.get_width()))
        bitmap = pypdfium2.PdfBitmap.new_native(width, height, pdfium.FPDFBitmap_BGR)
        bitmap.fill_rect((255, 255, 255, 255), 0, 0, width, height)
        # the library's own helper rounds the size up, which makes 1001 pixels of 1000
        pdfium.FPDF_RenderPageBitmap(bitmap, leaf, 0, 0, width, height, 0, 0)
        png = io.BytesIO()
        bitmap.to_pil().convert("RGB").save(png, "PNG")
        return png.getvalue()
    finally:
        document.close()

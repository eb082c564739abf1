"""Makers of faulty client files. Each takes a folder, writes one file with one fault into it, gives its path.

A clean file comes first where a fault is a change of one. Nothing here is a real client's file.
"""

import io
import struct
import zipfile
import zlib
from pathlib import Path

import pikepdf
from PIL import Image
from reportlab.pdfgen.canvas import Canvas


def clean_pdf(width: float = 400, height: float = 300) -> bytes:
    """A page (points) with a red field and the word Peat in a built-in font."""
    data = io.BytesIO()
    canvas = Canvas(data, pagesize=(width, height), invariant=1)
    canvas.setFillColorRGB(1, 0, 0)
    canvas.rect(50, 50, 100, 60, stroke=0, fill=1)
    canvas.setFont("Helvetica", 40)
    canvas.drawString(60, 200, "Peat")
    canvas.showPage()
    canvas.save()
    return data.getvalue()


def changed_pdf(**options: object) -> bytes:
    """`clean_pdf` saved anew with pikepdf's save options."""
    data = io.BytesIO()
    with pikepdf.open(io.BytesIO(clean_pdf())) as pdf:
        pdf.save(data, **options)
    return data.getvalue()


def _written(folder: Path, name: str, data: bytes) -> Path:
    file = folder / name
    file.write_bytes(data)
    return file


def empty(folder: Path) -> Path:
    return _written(folder, "panel-1.pdf", b"")


def cut_pdf(folder: Path) -> Path:
    """The first half of a PDF."""
    data = clean_pdf()
    return _written(folder, "panel-2.pdf", data[: len(data) // 2])


def broken_xref_pdf(folder: Path) -> Path:
    """All objects are there, the table of their places is not: readers rebuild it."""
    data = clean_pdf()
    at = data.rindex(b"startxref")
    return _written(folder, "panel-2.pdf", data[:at] + b"startxref\n7\n%%EOF\n")


def locked_pdf(folder: Path) -> Path:
    """Opens only with a password."""
    return _written(folder, "panel-3.pdf", changed_pdf(encryption=pikepdf.Encryption(user="peat", owner="moor")))


def owner_locked_pdf(folder: Path) -> Path:
    """Opens freely; only printing and copying are barred."""
    return _written(folder, "panel-3.pdf", changed_pdf(encryption=pikepdf.Encryption(user="", owner="moor")))


def misnamed_png(folder: Path) -> Path:
    """A PNG that calls itself a PDF."""
    data = io.BytesIO()
    Image.new("RGB", (40, 30), (0, 90, 0)).save(data, "PNG", dpi=(254, 254))
    return _written(folder, "panel-4.pdf", data.getvalue())


def odd_name(folder: Path) -> Path:
    """A sound PDF whose name has spaces, umlauts and a quote."""
    return _written(folder, "Größe der Tür – 'neu' (2).pdf", clean_pdf())


def bomb_pdf(folder: Path, gigabytes: float = 3.0) -> Path:
    """A small file whose page content unfolds to ``gigabytes`` of drawing operators (Flate within Flate)."""
    packer = zlib.compressobj(9)
    piece = b"0 0 m 9 9 l S\n" * 70_000  # about 1 MB
    first = packer.compress(piece) + packer.flush(zlib.Z_FULL_FLUSH)
    again = packer.compress(piece) + packer.flush(zlib.Z_FULL_FLUSH)  # stands alone, so it may be repeated
    count = int(gigabytes * 1000)
    check = 1
    for _ in range(count + 1):
        check = zlib.adler32(piece, check)
    inner = first + again * count + b"\x03\0" + struct.pack(">I", check)  # an empty last block, then the check sum
    outer = zlib.compress(inner, 9)
    with pikepdf.new() as pdf:
        pdf.add_blank_page(page_size=(400, 300))
        stream = pdf.make_stream(b"")
        filters = pikepdf.Array([pikepdf.Name.FlateDecode, pikepdf.Name.FlateDecode])
        stream.write(outer, filter=filters)
        pdf.pages[0].Contents = stream
        data = io.BytesIO()
        pdf.save(data, compress_streams=False, stream_decode_level=pikepdf.StreamDecodeLevel.none)
    return _written(folder, "panel-5.pdf", data.getvalue())


def many_pages_pdf(folder: Path, pages: int = 1_000_000) -> Path:
    """``pages`` pages, packed into one object stream and one cross-reference stream (ISO 32000-1 7.5.7, 7.5.8)."""
    first = 10  # number of the first page's object
    kid = b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 400 300]>> "
    heads = b"".join(b"%d %d " % (first + n, n * len(kid)) for n in range(pages))
    kids = b" ".join(b"%d 0 R" % (first + n) for n in range(pages))
    data, places = b"%PDF-1.5\n", {}
    bodies = {
        1: b"<</Type/Catalog/Pages 2 0 R>>",
        2: b"<</Type/Pages/Count %d/Kids 4 0 R>>" % pages,
        4: b"[" + kids + b"]",
    }
    for number, body in bodies.items():
        places[number] = len(data)
        data += b"%d 0 obj\n%s\nendobj\n" % (number, body)
    places[3] = len(data)
    data += _stream(3, b"/Type/ObjStm/N %d/First %d" % (pages, len(heads)), heads + kid * pages)
    places[5] = start = len(data)
    rows = [struct.pack(">BII", 1, places[n], 0) if n in places else struct.pack(">BII", 0, 0, 0) for n in range(first)]
    rows += [struct.pack(">BII", 2, 3, n) for n in range(pages)]
    data += _stream(5, b"/Type/XRef/W[1 4 4]/Root 1 0 R/Size %d" % (first + pages), b"".join(rows))
    return _written(folder, "panel-6.pdf", data + b"startxref\n%d\n%%%%EOF\n" % start)


def _stream(number: int, entries: bytes, body: bytes) -> bytes:
    packed = zlib.compress(body, 1)
    head = b"%d 0 obj\n<<%s/Filter/FlateDecode/Length %d>>stream\n" % (number, entries, len(packed))
    return head + packed + b"\nendstream\nendobj\n"


def endless_tree_pdf(folder: Path) -> Path:
    """A page tree whose node is its own child."""
    data = clean_pdf()
    assert data.count(b"/Kids [ 3 0 R ]") == 1
    tree = data[: data.index(b"/Kids [ 3 0 R ]")].rindex(b" 0 obj")
    number = data[:tree].rsplit(b"\n", 1)[1]
    return _written(folder, "panel-6.pdf", data.replace(b"/Kids [ 3 0 R ]", b"/Kids [ %s 0 R ]" % number))


def png(width: int, height: int, row: bytes, *, colour: int = 0, chunks: bytes = b"") -> bytes:
    """An 8-bit PNG of equal rows (``colour`` as in IHDR), with more ``chunks`` before its data."""
    packer = zlib.compressobj(1)
    block = (b"\0" + row) * min(height, 64)
    body = b"".join(packer.compress(block) for _ in range(height // min(height, 64)))
    body += packer.compress((b"\0" + row) * (height % min(height, 64))) + packer.flush()
    head = png_chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, colour, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + head + chunks + png_chunk(b"IDAT", body) + png_chunk(b"IEND", b"")


def png_chunk(kind: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


def huge_png(folder: Path) -> Path:
    """50,000 × 50,000 pixels as the header has it; one band of 1 bit a pixel, so that making it is quick."""
    row = b"\0" + bytes(50_000 // 8)
    packer = zlib.compressobj(1)
    block = row * 1000
    body = b"".join(packer.compress(block) for _ in range(50)) + packer.flush()
    head = png_chunk(b"IHDR", struct.pack(">IIBBBBB", 50_000, 50_000, 1, 0, 0, 0, 0))
    data = b"\x89PNG\r\n\x1a\n" + head + png_chunk(b"IDAT", body) + png_chunk(b"IEND", b"")
    return _written(folder, "panel-7.png", data)


def cut_image(folder: Path, format: str) -> Path:
    """The first two thirds of an image in Pillow's ``format``."""
    data = io.BytesIO()
    Image.effect_noise((200, 160), 60).convert("RGB").save(data, format)
    whole = data.getvalue()
    return _written(folder, f"panel-8.{format.lower()}", whole[: len(whole) * 2 // 3])


def spoilt_png(folder: Path) -> Path:
    """Whole by its structure, but its pixel data is rubbish half way."""
    data = bytearray(png(64, 64, bytes(range(64)) * 3, colour=2))
    at = data.index(b"IDAT") + 20
    data[at : at + 30] = b"\xff" * 30
    return _written(folder, "panel-8.png", bytes(data))


def outside_svg(folder: Path) -> Path:
    """Refers to an image file, a style sheet, a paint and an entity outside itself."""
    text = """<?xml version="1.0"?>
<!DOCTYPE svg [<!ENTITY secret SYSTEM "file:///etc/passwd">]>
<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="100mm" height="50mm">
<style>@import url("http://art.test/style.css"); text { font-family: Arial, sans-serif }</style>
<a href="http://art.test/page"><rect width="40" height="40" fill="#00aa00"/></a>
<image xlink:href="photo.jpg" x="0" y="0" width="40" height="40"/>
<rect x="50" width="40" height="40" fill="url(other.svg#paint)"/>
<use href="symbols.svg#leaf"/>
<text x="10" y="80" font-size="20">Peat&secret;</text>
</svg>"""
    return _written(folder, "panel-9.svg", text.encode())


def entity_bomb_svg(folder: Path) -> Path:
    """Ten levels of entities, each naming the next ten times."""
    levels = "".join(f'<!ENTITY e{n + 1} "{f"&e{n};" * 10}">' for n in range(10))
    text = (
        f'<!DOCTYPE svg [<!ENTITY e0 "peat">{levels}]><svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm">'
    )
    return _written(folder, "panel-9.svg", f"{text}<text>&e10;</text></svg>".encode())


def docx(folder: Path) -> Path:
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w") as archive:
        archive.writestr("word/document.xml", "<w:document/>")
    return _written(folder, "panel-10.docx", data.getvalue())

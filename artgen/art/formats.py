"""Which format a file has, by its content; what its name promises. Takes first bytes and a name, gives words.

Signatures are those that each format's own specification states (PDF: ISO 32000-1 7.5.2 and, for junk before the
header, annex H note 13; PNG: ISO/IEC 15948 5.2; TIFF 6.0 section 2 and BigTIFF; JPEG: ITU-T T.81 B.1.1.3; WebP: RIFF;
PSD: its published specification; OpenRaster 0.0.6: its type as the first, unpacked member of a ZIP archive).
"""

import re
from pathlib import Path

from .facts import Format
from .faults import ArtFault

HEAD_BYTES = 65_536  # enough for an SVG whose comments and document type come before its root
_PDF_JUNK = 1024  # bytes before "%PDF-" that common readers allow

_SUFFIXES: dict[str, str] = {
    ".pdf": "pdf",
    ".ai": "pdf",  # an illustration file saved with PDF inside is a PDF
    ".svg": "svg",
    ".tif": "tiff",
    ".tiff": "tiff",
    ".jpg": "jpeg",
    ".jpeg": "jpeg",
    ".jpe": "jpeg",
    ".png": "png",
    ".webp": "webp",
    ".psd": "psd",
    ".psb": "psd",
    ".ora": "ora",
    ".bmp": "bmp",
    ".docx": "docx",
    ".eps": "eps",
    ".gif": "gif",
    ".heic": "heic",
}
_SEND = "Send a PDF, SVG, TIFF, JPEG, PNG or WebP instead."

_OTHERS: tuple[tuple[bytes, int, str], ...] = (  # signature, where it stands, what it seems to be
    (b"%!PS", 0, "a PostScript, EPS or old illustration file"),
    (b"\xc5\xd0\xd3\xc6", 0, "an EPS file with a preview"),
    (b"GIF8", 0, "a GIF image"),
    (b"BM", 0, "a BMP image"),
    (b"\x00\x00\x00\x0cjP  ", 0, "a JPEG 2000 image"),
    (b"\xff\x4f\xff\x51", 0, "a JPEG 2000 codestream"),
    (b"gimp xcf", 0, "a layered image document (XCF)"),
    (b"\x06\x06\xed\xf5\xd8\x1d\x46\xe5", 0, "a page-layout document (INDD)"),
    (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", 0, "an office document"),
    (b"\x1f\x8b", 0, "a gzip-compressed file, perhaps a compressed SVG (SVGZ)"),
    (b"Rar!", 0, "an archive (RAR)"),
    (b"7z\xbc\xaf", 0, "an archive (7z)"),
    (b"{\\rtf", 0, "a text document (RTF)"),
)
_ZIPS: tuple[tuple[bytes, str], ...] = (
    (b"word/", "a text document (DOCX)"),
    (b"ppt/", "a presentation (PPTX)"),
    (b"xl/", "a table (XLSX)"),
    (b"opendocument", "an OpenDocument file"),
)


def recognise(head: bytes) -> Format:
    """The format of a file that begins with ``head`` (its first `HEAD_BYTES`).

    Raises `ArtFault`: "empty" if there are no bytes, "unsupported" with what the file seems to be if it is none of ours.
    """
    if not head:
        raise ArtFault("empty", "The file is empty (0 bytes): it was probably not copied in full. Send it again.")
    if head[:3] == b"\xff\xd8\xff":
        return "jpeg"
    if head[:8] == b"\x89PNG\r\n\x1a\n":
        return "png"
    if head[:4] in (b"II*\0", b"MM\0*", b"II+\0", b"MM\0+"):
        return "tiff"
    if head[:4] == b"RIFF" and head[8:12] == b"WEBP":
        return "webp"
    if head[:6] in (b"8BPS\0\1", b"8BPS\0\2"):
        return "psd"
    if head[:4] == b"PK\x03\x04" and head[30:54] == b"mimetypeimage/openraster":
        return "ora"
    if b"%PDF-" in head[:_PDF_JUNK]:
        return "pdf"
    if _is_svg(head):
        return "svg"
    raise ArtFault("unsupported", f"The file seems to be {_seems(head)}, which can't be laid out. {_SEND}")


def promised(file: Path) -> str | None:
    """The format that the name's suffix promises; None for no suffix or one that promises nothing known."""
    return _SUFFIXES.get(file.suffix.lower())


def _is_svg(head: bytes) -> bool:
    encoding = "utf-16" if head[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig"
    text = head.decode(encoding, "replace")
    text = re.sub(r"<!--.*?(-->|\Z)", "", text, flags=re.DOTALL)
    root = re.search(r"<([A-Za-z_][\w.-]*:)?([A-Za-z_][\w.-]*)[\s/>]", re.sub(r"<!ENTITY[^>]*>", "", text))
    return text.lstrip().startswith("<") and root is not None and root[2] == "svg"


def _seems(head: bytes) -> str:
    for signature, at, words in _OTHERS:
        if head[at : at + len(signature)] == signature:
            return words
    if head[:4] == b"PK\x03\x04":
        return next((words for mark, words in _ZIPS if mark in head), "an archive (ZIP)")
    if head[4:8] == b"ftyp":
        return "a HEIC, AVIF or video file"
    text = head.lstrip()[:15].lower()
    if text.startswith((b"<!doctype html", b"<html")):
        return "a web page"
    if text.startswith(b"<"):
        return "an XML document that is no SVG"
    if b"\0" not in head and all(byte >= 32 or byte in b"\t\n\r\f" for byte in head[:4096]):
        return "plain text"
    return "of a kind that is not known"

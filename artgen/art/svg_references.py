"""What an SVG refers to outside itself: found, named and cut. Takes the parsed tree, changes it and fills a `Cut`.

The converter sees only what is left: fragments of the same file (``#leaf``), and pictures written into the file
(``data:``) that are PNG, JPEG, TIFF or WebP by their content. It is handed such a picture in plain base64, so that it
sees the bytes that were looked at. Whatever writes an address in a way of its own (CSS escapes, comments inside words)
is read as CSS reads it: CSS Syntax 3, sections 4.3.2 and 4.3.7.
"""

import base64
import re
import struct
from io import BytesIO
from typing import Any
from urllib.parse import unquote_to_bytes

from attrs import define, field

from .faults import ArtFault
from .formats import HEAD_BYTES, recognise
from .jpeg import jpeg_tags
from .png import png_tags
from .tiff import tiff_tags
from .webp import webp_tags

MOST_NAMED = 100  # ours: references named of one file; more are counted
_LONGEST = 300  # ours: characters named of one reference
_URL = re.compile(r"(?:url|src)\(\s*(['\"]?)(.*?)\1\s*\)", re.IGNORECASE | re.DOTALL)
_IMPORT = re.compile(r"@import\s*(?:url\(\s*)?['\"]?([^'\")\s;]+)[^;]*;?", re.IGNORECASE)
_COMMENT = re.compile(r"/\*.*?(?:\*/|\Z)", re.DOTALL)
_ESCAPE = re.compile(r"\\(?:([0-9A-Fa-f]{1,6})\s?|([^\n]))")
_FRAGMENT = re.compile(r"\s*(?:#[^()]*)?")
_REFERENCES = ("href", "src", "srcset")  # xlink:href too; "data" of an object
_DRAW_OTHERS = {"use": "defs", "tref": "tspan"}  # what they become where they name nothing
_PICTURES = ("image", "feImage")
_HEADERS = {"tiff": tiff_tags, "jpeg": jpeg_tags, "png": png_tags, "webp": webp_tags}


@define
class Cut:
    """``outside``: references that were cut. ``undrawn``: what is inside the file and is not drawn, in words. ``links``: where
    its links for readers lead. ``pictures`` = (attribute, content, megapixels) of those that were kept, by their element."""

    outside: dict[str, None] = field(factory=dict)
    undrawn: dict[str, None] = field(factory=dict)
    links: dict[str, None] = field(factory=dict)
    pictures: dict[Any, tuple[str, bytes, float]] = field(factory=dict)
    unnamed: int = 0

    def named(self) -> tuple[str, ...]:
        """What was cut, for a report."""
        rest = (f"and {self.unnamed:,} more references",) if self.unnamed else ()
        return (*self.outside, *rest)

    def note(self, reference: str) -> None:
        if len(self.outside) < MOST_NAMED:
            self.outside[reference.strip()[:_LONGEST]] = None
        else:
            self.unnamed += 1


def cut(root: Any, found: Cut) -> None:
    """Cut from the tree every reference that leads out of the file, and pictures that are not to be drawn; note them."""
    for element in root.iter():
        local = _local(element)
        for name, value in list(element.attrib.items()):
            bare = name.rpartition("}")[2]
            if name == "{http://www.w3.org/XML/1998/namespace}base":
                del element.attrib[name]  # it would give fragments another home
            elif bare in _REFERENCES or (bare == "data" and local == "object"):
                _reference(element, name, value, found)
            elif "(" in value:
                element.attrib[name] = _css(value, found)
        if local == "style" and element.text:
            element.text = _css(element.text, found)
        if local in _DRAW_OTHERS and not _names_a_fragment(element):
            # nothing is drawn of one that names nothing; the converter would draw the whole file in its place, again and again
            element.tag = "{http://www.w3.org/2000/svg}" + _DRAW_OTHERS[local]


def _names_a_fragment(element: Any) -> bool:
    """Whether every href that it has, and it has one, is of the form ``#name``."""
    hrefs = [value.strip() for name, value in element.attrib.items() if name.rpartition("}")[2] == "href"]
    return bool(hrefs) and all(len(href) > 1 and href.startswith("#") for href in hrefs)


def _reference(element: Any, name: str, value: str, found: Cut) -> None:
    local = _local(element)
    if _FRAGMENT.fullmatch(value):
        return
    if local == "a":  # a link for readers leads nowhere on cloth; the converter does not follow it
        if len(found.links) < MOST_NAMED:
            found.links[value.strip()[:_LONGEST]] = None
        return
    if not value.strip().lower().startswith("data:"):
        found.note(value)
        del element.attrib[name]
        return
    try:
        if local not in _PICTURES:
            raise ValueError(f"what is written into the file for '{local[:_LONGEST]}'")
        data, megapixels = _picture(value)
    except ValueError as why:
        if len(found.undrawn) < MOST_NAMED:
            found.undrawn[str(why)] = None
        del element.attrib[name]
        return
    element.attrib[name] = "data:;base64," + base64.b64encode(data).decode()
    found.pictures[element] = name, data, megapixels


def _picture(address: str) -> tuple[bytes, float]:
    """(content, megapixels) of a picture's ``data:`` address (RFC 2397). Raises `ValueError`: in words, what is not drawn."""
    head, comma, body = address.strip().partition(",")
    if not comma:
        raise ValueError("a picture in it that is damaged")
    data = unquote_to_bytes(body)
    if head.lower().rstrip().endswith(";base64"):
        try:
            data = base64.b64decode(re.sub(rb"\s", b"", data))
        except ValueError:
            raise ValueError("a picture in it that is damaged") from None
    try:
        format = recognise(data[:HEAD_BYTES])
    except ArtFault as fault:
        raise ValueError(f"a picture in it: {fault.fault.detail.split(',')[0]}") from None
    # a vector picture could refer outside itself, and the converter takes for one whatever holds its tag
    if format in ("svg", "pdf") or (format != "png" and b"<svg" in data):
        raise ValueError(f"a picture in it that is itself {'a PDF' if format == 'pdf' else 'an SVG'}")
    try:
        tags = _HEADERS[format](BytesIO(data))
    except (struct.error, ValueError, EOFError, IndexError, KeyError, TypeError, OSError, OverflowError):
        raise ValueError("a picture in it that is damaged") from None
    return data, tags.width * tags.height / 1e6


def _css(text: str, found: Cut) -> str:
    """``text`` without what leads outside; as it was if nothing does."""
    plain = _plain(text)
    outside: list[str] = []

    def kept(match: re.Match[str]) -> str:
        reference = match[2]
        if _FRAGMENT.fullmatch(reference) or reference.strip().startswith("data:"):
            return match[0]
        outside.append(reference)
        return "none"

    imports = _IMPORT.findall(plain)
    left = _URL.sub(kept, _IMPORT.sub("", plain))
    for reference in [*imports, *outside]:
        found.note(reference)
    return left if imports or outside else text


def _plain(css: str) -> str:
    """CSS without comments and escapes, which are there to hide words in, as far as addresses go."""
    if "/*" in css:
        css = _COMMENT.sub(" ", css)
    return _ESCAPE.sub(_unescaped, css) if "\\" in css else css


def _unescaped(match: re.Match[str]) -> str:
    if match[1] is None:
        return match[2]
    code = int(match[1], 16)
    return chr(code) if 0 < code < 0x110000 and not 0xD800 <= code < 0xE000 else "\ufffd"


def _local(element: Any) -> str:
    return element.tag.rpartition("}")[2] if isinstance(element.tag, str) else ""

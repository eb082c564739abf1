"""What an SVG states, and the SVG as PDF. Takes a file inside the child process, gives `Scan` and PDF bytes.

The scan names every reference that leads out of the file and cuts it (`svg_references`), and counts what drawing the rest
would cost (`svg_work`); the converter sees only what is left. Lengths
follow CSS: 1 px is 1/96 inch (CSS Values and Units 3, section 6.2). Fonts: see `fonts`.
"""

import io
import re
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Any
from xml.etree import ElementTree  # only writes here; defusedxml reads

import pikepdf
from attrs import frozen
from defusedxml.ElementTree import DefusedXMLParser  # type: ignore[import-untyped]

from ..units import MM_PER_INCH, MM_PER_PT
from .facts import Broken, Layer, PageFacts
from .faults import ABSURD_MM, ArtFault
from .fonts import FAMILY, only_our_fonts
from .svg_layers import svg_layers
from .svg_pictures import cut_damaged, our_formats
from .svg_references import Cut, cut
from .svg_work import ENDLESS, work

MAX_BYTES = 64_000_000  # ours
MAX_ELEMENTS = 200_000  # ours: about 40 s of conversion at the measured 0.2 ms an element
MAX_WORK = 300_000  # ours: elements, counted as often as they are drawn, and what text and pictures are worth
MAX_DEPTH = 200  # ours: the converter draws by recursion
MAX_ENTITY = 1_000  # ours: characters of an XML entity; entities inside entities are refused
_LONG_SIDE = (2_000.0, 14_000.0)  # pt, ours: cairo writes 1/256 pt, so small pages are drawn larger, huge ones smaller

_PX_MM = float(MM_PER_INCH / 96)
_MM_PER_UNIT = {
    "": _PX_MM,
    "px": _PX_MM,
    "pt": MM_PER_PT,
    "pc": 12 * MM_PER_PT,
    "in": float(MM_PER_INCH),
    "mm": 1.0,
    "cm": 10.0,
    "q": 0.25,
}
_LENGTH = re.compile(r"\s*\+?(\d*\.?\d+(?:e[+-]?\d+)?|\d+\.)\s*([a-z%]*)\s*", re.IGNORECASE)
_SHEET = re.compile(r"\bhref\s*=\s*['\"]([^'\"]*)", re.IGNORECASE)
_W3C = re.compile(r"https?://www\.w3\.org/", re.IGNORECASE)
_FAMILY = re.compile(r"font-family\s*:\s*([^;}]+)", re.IGNORECASE)
_FONT = re.compile(r"(?<![\w-])font\s*:\s*([^;}]+)", re.IGNORECASE)
_UNDRAWN = {"foreignObject": "foreign content (foreignObject)", "filter": "filter effects", "script": "scripts"}
_GENERIC = {"inherit", "initial", "unset"}


@frozen
class Scan:
    """An SVG made safe. ``root`` = its tree without outward references, which are in ``blocked``; ``links`` are for readers and
    lead nowhere here; ``broken`` = pictures in it that can't be drawn."""

    root: Any
    page: PageFacts
    blocked: tuple[str, ...]
    stand_in_fonts: tuple[str, ...]
    links: tuple[str, ...] = ()
    layers: tuple[Layer, ...] = ()
    broken: tuple[Broken, ...] = ()


class _Builder(ElementTree.TreeBuilder):
    """Stops at too many elements while they are read: millions take minutes and gigabytes."""

    def __init__(self) -> None:
        super().__init__()
        self.count = 0

    def start(self, *what: Any) -> Any:
        self.count += 1
        if self.count > MAX_ELEMENTS:
            raise ArtFault(
                "over-limit", f"The SVG has more than {MAX_ELEMENTS:,} elements, the limit. Send a PDF instead.", "svg"
            )
        return super().start(*what)


class _Parser(DefusedXMLParser):  # type: ignore[misc]
    """Allows short plain entities, as drawing programs write them for namespaces; notes outside ones, refuses nests."""

    def __init__(self, found: Cut) -> None:
        super().__init__(target=_Builder())
        self.found = found
        self.parser.StartDoctypeDeclHandler = self._doctype_begins
        self.parser.ProcessingInstructionHandler = self._instruction

    def _doctype_begins(self, name: str, system: str | None, public: str | None, internal: bool) -> None:
        # the standard's own types bring nothing that would be seen, and half of all SVGs name one
        if system and not _W3C.match(system):
            self.found.note(f"document type: {system}")

    def _instruction(self, target: str, data: str) -> None:
        if target == "xml-stylesheet":
            for reference in _SHEET.findall(data):
                self.found.note(reference)

    def defused_entity_decl(  # the signature is expat's
        self,
        name: str,
        is_parameter: bool,
        value: str | None,
        base: str,
        system: str | None,
        public: str,
        notation: str,
    ) -> None:
        if value is None:
            self.found.note(f"entity {name}: {system}")
        elif len(value) > MAX_ENTITY or "&" in value or "%" in value:
            raise ArtFault(
                "over-limit",
                f"The SVG declares an XML entity ({name}) that unfolds into others or has more than {MAX_ENTITY} "
                "characters. Save it anew as plain SVG, without editing data of the drawing program.",
                "svg",
            )

    def defused_unparsed_entity_decl(self, name: str, base: str, system: str, public: str, notation: str) -> None:
        self.found.note(f"entity {name}: {system}")

    def defused_external_entity_ref_handler(self, context: str, base: str, system: str, public: str) -> int:
        return 1  # skipped: nothing outside is read


def scan(file: Path) -> Scan:
    """Reads an SVG and cuts what leads outside.

    Raises `ArtFault`: damaged (no well-formed XML), unsupported (no SVG root, no size), over-limit (size in bytes, elements,
    depth, entities, extent).
    """
    if file.stat().st_size > MAX_BYTES:
        size = file.stat().st_size / 1e6
        raise ArtFault(
            "over-limit", f"The SVG has {size:,.0f} MB; the limit is {MAX_BYTES / 1e6:.0f} MB. Send a PDF.", "svg"
        )
    found = Cut()
    parser = _Parser(found)
    try:
        parser.feed(file.read_bytes())
        root = parser.close()
    except ElementTree.ParseError as error:
        if "amplification" in str(error):  # the parser's own limit, of entities that unfold to very much
            raise ArtFault(
                "over-limit", f"The SVG unfolds to far more than it holds ({error}). Save it anew as plain SVG.", "svg"
            ) from None
        why = f"The SVG is damaged ({error}): it was probably cut off on the way. Send it again."
        raise ArtFault("damaged", why, "svg") from None
    _check_extent(root)
    undrawn = [words for name, words in _UNDRAWN.items() if any(_local(element) == name for element in root.iter())]
    fonts, layers = _stand_ins(root), svg_layers(root)
    cut(root, found)
    _check_work(work(root, {element: megapixels for element, (_, _, megapixels) in found.pictures.items()}))
    cut_damaged(found)
    page = _page(root, (*undrawn, *found.undrawn))
    broken = tuple(Broken((0, 0), why) for why in found.undrawn if why.startswith("a picture in it"))
    return Scan(root, page, found.named(), fonts, tuple(found.links), layers, broken)


def convert(found: Scan, scratch: Path) -> bytes:
    """The scanned SVG as a one-page PDF of its proportions, at a size that suits the converter.

    Raises `ArtFault`: needs-cairo, damaged (the converter fails on it).
    """
    only_our_fonts(scratch)
    try:
        import cairosvg  # late: slow, and raises OSError where the cairo library is not on the machine
    except (ImportError, OSError):
        raise ArtFault(
            "needs-cairo",
            "Reading an SVG needs the cairo library, which is not on this machine. Install it (Debian and Ubuntu: "
            "apt install libcairo2; macOS: brew install cairo), or send a PDF.",
            "svg",
        ) from None
    width, height = found.page.width, found.page.height
    if found.page.sized:
        width, height = width / MM_PER_PT, height / MM_PER_PT
    low, high = _LONG_SIDE
    scale = min(max(max(width, height), low), high) / max(width, height)
    width, height = round(width * scale, 6), round(height * scale, 6)
    try:
        with our_formats():
            pdf: bytes = cairosvg.svg2pdf(
                bytestring=ElementTree.tostring(_with_surroundings(found.root, width, height))
            )
    except MemoryError:
        raise
    except Exception as error:  # the converter lets anything through that a strange file provokes
        why = f"The SVG can't be drawn ({error.__class__.__name__}: {str(error)[:200]}). Send a PDF."
        raise ArtFault("damaged", why, "svg") from None
    return _page_alone(pdf, width, height)


def _with_surroundings(root: Any, width: float, height: float) -> Any:
    """The drawing on a sheet twice as wide and high: cairo leaves out letters that lie outside its sheet, and a word that
    runs off the page would be measured short."""
    sheet = root.makeelement(
        "{http://www.w3.org/2000/svg}svg",
        {"width": f"{2 * width}pt", "height": f"{2 * height}pt", "viewBox": f"0 0 {2 * width} {2 * height}"},
    )
    place = {"x": width / 2, "y": height / 2, "width": width, "height": height}
    for name, value in place.items():
        root.set(name, f"{value:.6f}")
    root.set("overflow", "visible")
    sheet.append(root)
    return sheet


def _page_alone(pdf: bytes, width: float, height: float) -> bytes:
    """The PDF with the page's own rectangle as its media box; what lies around it is kept, unseen."""
    with pikepdf.open(io.BytesIO(pdf)) as document:
        page = document.pages[0]
        page.MediaBox = pikepdf.Array([width / 2, height / 2, width * 1.5, height * 1.5])
        if "/Info" in document.trailer:
            del document.trailer["/Info"]  # it holds the time: the same SVG gives the same bytes
        out = io.BytesIO()
        document.save(out, static_id=True)
    return out.getvalue()


def _local(element: Any) -> str:
    return element.tag.rpartition("}")[2] if isinstance(element.tag, str) else ""


def _check_extent(root: Any) -> None:
    if _local(root) != "svg":
        raise ArtFault(
            "unsupported", f"The file is XML, but its root is '{_local(root)}', not 'svg'. Send an SVG or a PDF."
        )
    level = [root]
    for _depth in range(MAX_DEPTH + 1):
        level = [child for element in level for child in element]
        if not level:
            return
    raise ArtFault("over-limit", f"The SVG nests its elements deeper than {MAX_DEPTH}, the limit. Send a PDF.", "svg")


def _check_work(amount: float) -> None:
    if amount > MAX_WORK:
        much = "draws itself without end" if amount == ENDLESS else f"comes to {amount:,.0f} elements when it is drawn"
        raise ArtFault(
            "over-limit",
            f"With what its elements draw of one another (use, patterns, masks, markers), its text and its pictures, the SVG "
            f"{much}; the limit is {MAX_WORK:,}. Send a PDF.",
            "svg",
        )


def _stand_ins(root: Any) -> tuple[str, ...]:
    """First family of each list that text may use and that is not ours; nothing if there is no text."""
    if not any(_local(element) == "text" for element in root.iter()):
        return ()
    lists: list[str] = []
    for element in root.iter():
        lists += [element.get("font-family", "")]
        for css in (element.get("style", ""), element.text or "" if _local(element) == "style" else ""):
            lists += _FAMILY.findall(css)
            # the shorthand ends with its families, after the size: CSS Fonts 3 section 4.8
            lists += [re.split(r"\d[\w.%]*(?:\s*/\s*\S+)?\s+", font)[-1] for font in _FONT.findall(css)]
    families = (families.split(",")[0].strip().strip("'\"").strip() for families in lists)
    named = (family for family in families if family and family.lower() not in _GENERIC)
    ours = FAMILY.replace(" ", "").lower()
    return tuple(sorted({family for family in named if family.replace(" ", "").lower() != ours}))


def _page(root: Any, undrawn: tuple[str, ...]) -> PageFacts:
    """The page; sets a viewBox where there is none, so that it may be drawn at any size."""
    stated = [_length(root.get(name, "")) for name in ("width", "height")]
    box = _view_box(root.get("viewBox", ""))
    if stated[0] is not None and stated[1] is not None:
        (width, step_x), (height, step_y) = stated[0], stated[1]
        if box is None:
            root.set("viewBox", f"0 0 {width / _PX_MM:.9g} {height / _PX_MM:.9g}")
        rounding, sized = max(step_x, step_y) / 2, True
    elif box is not None:
        width, height = float(box[2]), float(box[3])
        rounding, sized = max(_last_decimal(number) for number in box[2:]) / 2, False
    else:
        raise ArtFault(
            "unsupported",
            "The SVG states no size: neither a width and a height nor a viewBox. Save it with its size.",
            "svg",
        )
    if max(width, height) > ABSURD_MM:
        raise ArtFault("over-limit", f"The SVG is larger than {ABSURD_MM:,.0f} units or mm, the limit.", "svg")
    return PageFacts(width, height, {"media": (0.0, 0.0, width, height)}, rounding, sized, not_seen=undrawn)


def _length(text: str) -> tuple[float, float] | None:
    """(mm, mm of the last stated decimal) of an absolute CSS length over 0; None for anything else."""
    match = _LENGTH.fullmatch(text)
    if match is None or match[2].lower() not in _MM_PER_UNIT:
        return None
    number = Decimal(match[1])
    unit = _MM_PER_UNIT[match[2].lower()]
    return (float(number) * unit, _last_decimal(number) * unit) if 0 < float(number) < 1e9 else None


def _view_box(text: str) -> tuple[Decimal, ...] | None:
    """The four numbers of a viewBox with area; None for anything else."""
    try:
        numbers = tuple(Decimal(part) for part in re.split(r"[\s,]+", text.strip()))
    except InvalidOperation:
        return None
    if len(numbers) != 4 or not all(number.is_finite() and abs(number) < 10**9 for number in numbers):
        return None
    return numbers if numbers[2] > 0 and numbers[3] > 0 else None


def _last_decimal(number: Decimal) -> float:
    exponent = number.as_tuple().exponent
    return float(10.0 ** min(exponent, 0)) if isinstance(exponent, int) else 1.0

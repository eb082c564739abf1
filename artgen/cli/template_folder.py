"""What a designer's folder holds: a template per panel and per wrap in each format, previews, spec sheet, net sheet, and the
page that shows them all. Made on all processors; names and bytes out, nothing written here."""

import io
from collections.abc import Iterator, Sequence

from attrs import frozen
from PIL import Image

from .. import pool
from ..drawing.marks import Drawing
from ..drawing.pdf import write_pdf
from ..drawing.png import render_pdf
from ..drawing.svg import write_svg
from ..order import Order
from ..sizing.names import where
from ..sizing.outline import size
from ..sizing.panel import Panel, SizedStructure, Sizing, Wrap
from ..sizing.resolution import needed_ppi
from ..sizing.ways import Way, ways
from ..template import MAX_PAGE, SCALES, Head, default_scale, liked_scale, template, wrap_size, wrap_template
from ..template.net_sheet import net_sheets
from ..template.sheet import page_size
from ..template.spec_sheet import Asked as SpecAsked
from ..template.spec_sheet import spec_sheet
from ..template.web_page import Entry, File, Group, Paper, size_words, web_page
from ..units import mm_text, pixels
from ..words import Words, words

FORMATS = ("svg", "pdf", "png")
_PNG_SIDE, _PREVIEW_SIDE = 2000, 700  # px: the longer side of a picture, of a preview


@frozen
class Page:
    """One template to be made, of a panel or (by its place in the order) of a wrap. ``asked`` = the scale that it should
    have; it gets the next that a PDF page can have."""

    stem: str
    panel: int
    way: Way
    wrap: int | None
    asked: int
    place: str


@frozen
class Asked:
    """What all pages of one run share."""

    order: Order
    sizing: Sizing
    formats: tuple[str, ...]
    margin: bool
    previews: bool

    @property
    def head(self) -> Head:
        return Head(self.order.name, self.order.number, self.order.client, self.order.date or "")

    def structure(self, number: int) -> SizedStructure:
        """The structure of a panel."""
        return next(s for s in self.sizing.structures if any(p.number == number for p in s.panels))

    def ppi(self, structure: SizedStructure) -> int:
        return needed_ppi(self.order.structures[structure.index].settings.reading_distance)


@frozen
class Made:
    """One template's files, what to tell a person, and what the folder's page says of it."""

    files: tuple[tuple[str, bytes], ...]
    told: tuple[str, ...]
    entry: Entry | None
    structure: int
    wrap: bool
    scale: int


def templates(
    order: Order,
    sizing: Sizing,
    wanted: Sequence[str],
    asked: int | None,
    *,
    margin: bool = False,
    workers: int | None = None,
) -> Iterator[tuple[str, bytes]]:
    """(file name, content) of every template. Panels of one structure share a scale."""
    shared = Asked(order, sizing, tuple(wanted), margin, previews=False)
    for made in pool.each(make, shared, _pages(order, sizing, asked), workers):
        yield from made.files


def folder_files(
    order: Order, sizing: Sizing, wanted: Sequence[str], asked: int | None, *, margin: bool = False
) -> Iterator[tuple[str, bytes, tuple[str, ...]]]:
    """(file name, content, what to tell) of all that the folder holds; its page comes last."""
    shared = Asked(order, sizing, tuple(wanted), margin, previews=True)
    say = words(order.language)
    found: list[Made] = []
    for made in pool.each(make, shared, _pages(order, sizing, asked)):
        found.append(made)
        for number, (name, data) in enumerate(made.files):
            yield name, data, made.told if number == 0 else ()
    papers = []
    scales = tuple(sorted({made.scale for made in found}))
    for name, key, drawings in (
        ("spec.pdf", "spec", _spec(shared, scales, say)),
        ("net.pdf", "net", _net(shared, say)),
    ):
        title = f"{say(f'{key}.title')}: {order.name}"
        yield name, write_pdf(drawings, title=title, language=order.language), ()
        papers.append(Paper(name, say(f"page.{key}")))
    steps = [say(f"page.step.{step}") for step in ("open", "put", "keep", "send")]
    yield "index.html", web_page(shared.head, _groups(shared, found, say), papers, steps, order.language, say), ()


def _spec(shared: Asked, scales: tuple[int, ...], say: Words) -> list[Drawing]:
    settings = [structure.settings for structure in shared.order.structures]
    distances = tuple(float(one.reading_distance) for one in settings)
    ppi = tuple(needed_ppi(distance) for distance in distances)
    return spec_sheet(SpecAsked(shared.sizing, shared.head, shared.order.settings.paper, ppi, distances, scales), say)


def _net(shared: Asked, say: Words) -> list[Drawing]:
    return net_sheets(shared.sizing, shared.head, shared.order.settings.paper, say)


def _groups(shared: Asked, found: Sequence[Made], say: Words) -> list[Group]:
    groups = []
    for structure in shared.sizing.structures:
        entries = tuple(m.entry for m in found if m.structure == structure.index and not m.wrap and m.entry is not None)
        if entries:
            groups.append(Group(structure.name, entries))
    wraps = tuple(m.entry for m in found if m.wrap and m.entry is not None)
    return [*groups, *([Group(say("page.wraps"), wraps)] if wraps else [])]


def _pages(order: Order, sizing: Sizing, asked: int | None) -> list[Page]:
    say = words(order.language)
    digits = len(str(max((panel.number for panel in sizing.panels), default=0)))
    found: list[tuple[str, int, Way, int | None, int]] = []
    for structure in sizing.structures:
        if not structure.panels:
            continue
        scale = asked if asked is not None else default_scale(structure.panels)
        for panel in structure.panels:
            for way in ways(panel):
                stem = f"panel-{panel.number:0{digits}d}" + ("" if way == "sewn" else "_reading-way")
                found.append((stem, panel.number, way, None, scale))
    for index, wrap in enumerate(sizing.wraps):
        longest = max(wrap_size(wrap, [sizing.panel(number) for number in wrap.panels]))
        # no "panel-" and no "p": the file of a wrap is named in the order, not found by its name
        stem = f"wrap-{'-'.join(map(str, wrap.panels))}"
        found.append((stem, wrap.panels[0], "sewn", index, asked if asked is not None else liked_scale(longest)))
    return [Page(*one, say("block.of", n=n, m=len(found))) for n, one in enumerate(found, start=1)]


def make(shared: Asked, page: Page) -> Made:
    """The files of one page at the first scale from the asked one on at which a PDF can hold it."""
    say = words(shared.order.language)
    structure = shared.structure(page.panel)
    for scale in SCALES[SCALES.index(page.asked) :]:
        drawing = _drawn(shared, page, structure, scale, say)
        if max(drawing.width, drawing.height) <= MAX_PAGE:
            break
    told = []
    if scale != page.asked:
        told = [f"{page.stem}: 1:{page.asked} is over a PDF page's {MAX_PAGE:g} mm, so it is drawn at 1:{scale}"]
    pdf = write_pdf([drawing], title=drawing.title, language=shared.order.language) if _needs_pdf(shared) else b""
    files = [(f"{page.stem}.{kind}", _as(kind, drawing, pdf)) for kind in shared.formats]
    entry = None
    if shared.previews:
        picture = f"previews/{page.stem}.png"
        wide = _width(drawing, _PREVIEW_SIDE)
        files.append((picture, _preview(pdf, wide)))
        shown = tuple(
            File(name, name.rsplit(".", 1)[1].upper(), size_words(len(data), say)) for name, data in files[:-1]
        )
        entry = _entry(shared, page, structure, drawing, scale, picture, wide, shown, say)
    return Made(tuple(files), tuple(told), entry, structure.index, page.wrap is not None, scale)


def _needs_pdf(shared: Asked) -> bool:
    return shared.previews or bool({"pdf", "png"} & set(shared.formats))


def _wrap(shared: Asked, page: Page) -> tuple[Wrap, list[Panel]] | None:
    if page.wrap is None:
        return None
    wrap = shared.sizing.wraps[page.wrap]
    return wrap, [shared.sizing.panel(number) for number in wrap.panels]


def _drawn(shared: Asked, page: Page, structure: SizedStructure, scale: int, say: Words) -> Drawing:
    head = shared.head if shared.margin else None
    ppi = shared.ppi(structure)
    wrap = _wrap(shared, page)
    if wrap is not None:
        return wrap_template(*wrap, structure, say, scale, ppi=ppi, asked=page.asked, margin=head, place=page.place)
    panel = shared.sizing.panel(page.panel)
    together = next((wrap.panels for wrap in shared.sizing.wraps if panel.number in wrap.panels), ())
    return template(
        panel,
        structure,
        say,
        scale,
        page.way,
        ppi=ppi,
        asked=page.asked,
        margin=head,
        place=page.place,
        together=together,
    )


def _width(drawing: Drawing, longest: int) -> int:
    """Pixels across, where the longer side has ``longest``."""
    return max(1, round(longest * min(1.0, drawing.width / drawing.height)))


def _as(kind: str, drawing: Drawing, pdf: bytes) -> bytes:
    if kind == "svg":
        return write_svg(drawing)
    return pdf if kind == "pdf" else render_pdf(pdf, width=_width(drawing, _PNG_SIDE))


def _preview(pdf: bytes, wide: int) -> bytes:
    """Drawn at twice the size and reduced: fine lines stay even."""
    page = Image.open(io.BytesIO(render_pdf(pdf, width=2 * wide)))
    png = io.BytesIO()
    page.resize((wide, max(1, round(page.height * wide / page.width))), Image.Resampling.LANCZOS).save(png, "PNG")
    return png.getvalue()


def _entry(
    shared: Asked,
    page: Page,
    structure: SizedStructure,
    drawing: Drawing,
    scale: int,
    picture: str,
    wide: int,
    files: tuple[File, ...],
    say: Words,
) -> Entry:
    """What the folder's page says of a template."""
    wrap = _wrap(shared, page)
    if wrap is not None:
        full, numbers = wrap_size(*wrap), ", ".join(str(number) for number in wrap[0].panels)
        title, place, shows = say("template.wrap", numbers=numbers), structure.name, None
    else:
        panel = shared.sizing.panel(page.panel)
        full, place, shows = page_size(panel, page.way), where(structure, panel, say), size(panel.visible)
        title = say("page.reading" if page.way == "reading" else "page.panel", number=panel.number)
    w, h = full
    ppi = shared.ppi(structure)
    facts = [
        (say("page.fact.page"), say("page.mm", mm=f"{mm_text(w / scale)} × {mm_text(h / scale)}")),
        (say("page.fact.scale"), f"1:{scale}"),
        *([(say("page.fact.full"), say("page.mm", mm=f"{mm_text(w)} × {mm_text(h)}"))] if scale != 1 else []),
        (say("page.fact.pixels"), f"{pixels(w, ppi)} × {pixels(h, ppi)}"),
    ]
    if shows is not None and page.way == "sewn":
        facts.append((say("page.fact.shows"), say("page.mm", mm=f"{mm_text(shows[0])} × {mm_text(shows[1])}")))
    alt = say("page.alt", title=title, where=place, page=f"{mm_text(w / scale)} × {mm_text(h / scale)}")
    high = max(1, round(wide * drawing.height / drawing.width))
    return Entry(title, place, tuple(facts), picture, alt, wide, high, files)

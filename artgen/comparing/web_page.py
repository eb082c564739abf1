"""The page of what changed between two revisions: one HTML file that asks the network for nothing.

Takes a `Between`; gives HTML bytes.
"""

import base64
import io
from pathlib import Path

from attrs import frozen
from PIL import Image

from ..words import Words
from .changes import Between, PanelChange
from .saying import counts, finding_line, places, remarks, texts, title

_SIDE = 900  # pixels, ours


@frozen
class Shown:
    """A picture as an address, with its caption and what it shows."""

    address: str
    caption: str
    alt: str
    width: int
    height: int


@frozen
class Entry:
    title: str
    texts: tuple[str, ...]
    places: tuple[str, ...]
    pictures: tuple[Shown, ...]


@frozen
class Row:
    kind: str
    name: str
    severity: str
    severity_name: str
    text: str
    advice: str


def web_page(between: Between, name: str, number: str, language: str, say: Words) -> bytes:
    """The page. All that comes from an order or its art is escaped."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined  # only when a page is written

    environment = Environment(
        loader=FileSystemLoader(Path(__file__).parent),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    rows = [
        Row(
            kind,
            say(f"change.found.{kind}"),
            finding.severity,
            say(f"severity.{finding.severity}"),
            finding_line(finding, say),
            finding.advice if kind != "went" else "",
        )
        for kind, findings in (("went", between.went), ("came", between.came), ("stayed", between.stayed))
        for finding in findings
    ]
    text: str = environment.get_template("compare.html.j2").render(
        title=title(between, say),
        order=say("change.of", number=number or "–", name=name),
        entries=[_entry(change, between, say) for change in between.panels],
        remarks=[say("change.nothing")] if between.nothing else [],
        below=remarks(between, say),
        rows=rows,
        counts=counts(between, say) if rows else "",
        language=language,
        say=say,
    )
    return text.encode("utf-8", "backslashreplace")


def _entry(change: PanelChange, between: Between, say: Words) -> Entry:
    number = change.panel.number
    pictures = (
        (change.before, say("change.before", revision=between.since), _alt(number, between.since, say)),
        (change.after, say("change.before", revision=between.until), _alt(number, between.until, say)),
        (change.marked, say("change.marked"), say("change.alt.marked", panel=number)),
    )
    return Entry(
        say("change.panel", panel=number, where=change.panel.where),
        tuple(texts(change, say)),
        tuple(places(change, say)),
        tuple(_shown(picture, caption, alt) for picture, caption, alt in pictures if picture is not None),
    )


def _alt(number: int, revision: str, say: Words) -> str:
    return say("change.alt.before", panel=number, revision=revision)


def _shown(picture: Image.Image, caption: str, alt: str) -> Shown:
    small = picture.copy()
    small.thumbnail((_SIDE, _SIDE), Image.Resampling.LANCZOS)
    data = io.BytesIO()
    small.save(data, "JPEG", quality=85)
    address = "data:image/jpeg;base64," + base64.b64encode(data.getvalue()).decode("ascii")
    return Shown(address, caption, alt, small.width, small.height)

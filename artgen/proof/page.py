"""The proof as a page for the screen: one HTML file that holds all that it shows and asks the network for nothing.

Takes a job, an issue and pictures that are made already; gives HTML bytes. Everything that comes from an order or a file is
escaped. A policy in the page's head lets a browser run and style nothing but what is written here.
"""

import base64
import hashlib
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from attrs import frozen

from ..checks.wording import panel_list
from ..drawing.inks import Guide, guide_stroke
from ..job import Job
from ..sizing.panel import SizedStructure
from ..words import Words
from . import closing, cover
from .issue import Issue
from .page_panels import flat_panels
from .page_scene import scene
from .panel_page import LINES, legend_rows, metres
from .views import NamedView, viewpoints

_HERE = Path(__file__).parent
_ACTS = {"left": "⟲", "right": "⟳", "up": "↑", "down": "↓", "nearer": "+", "farther": "−", "reset": "↺"}


@frozen
class Still:
    """A picture of a structure, for who sees the page without its script or on paper."""

    picture: str
    width: int
    height: int
    alt: str


def proof_page(
    job: Job,
    say: Words,
    issue: Issue,
    views: Mapping[int, Sequence[NamedView]],
    stills: Mapping[int, Sequence[Still]],
    pictures: Mapping[int, str],
) -> bytes:
    """The page. ``views``, ``stills`` by a structure's index; ``pictures`` = addresses by panel number."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined  # only when a page is written

    environment = Environment(
        loader=FileSystemLoader(_HERE), autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )
    style, script = ((_HERE / name).read_text(encoding="utf-8") for name in ("page.css", "page.js"))
    structures = [structure for structure in job.sizing.structures if structure.bays]
    name = job.order.number or say("proof.none")
    text: str = environment.get_template("page.html.j2").render(
        title=say("screen.title", order=name, name=job.order.name, revision=issue.revision),
        policy=policy(style, script),
        style=style,
        script=script,
        language=job.order.language,
        say=say,
        issue=issue,
        order=cover.order_facts(job, say),
        summary=[{"weight": weight, "text": text} for weight, text in cover.summary_lines(job, say)],
        legend=_legend(job, say),
        acts=[(act, say(f"screen.act.{act}"), sign) for act, sign in _ACTS.items()],
        displays=[_display(job, one, say, views[one.index], stills[one.index], pictures) for one in structures],
        limits=closing.limit_texts(job, say),
        answers=[(say(f"proof.box.{key}"), say(f"proof.box.{key}.text")) for key in closing.ANSWERS],
        scenes={_id(one): _scene(job, one) for one in structures},
        words={
            "from": [say(f"screen.from.{n}") for n in range(8)],
            **{key: say(f"screen.{key}") for key in ("above", "below", "level")},
        },
    )
    return text.encode()


def policy(style: str, script: str) -> str:
    """The page's Content-Security-Policy (W3C CSP Level 3): pictures inside the page, and this one style and script."""

    def named(text: str) -> str:
        return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"

    return (
        f"default-src 'none'; img-src data:; style-src {named(style)}; script-src {named(script)}; "
        "base-uri 'none'; form-action 'none'"
    )


def _id(structure: SizedStructure) -> str:
    return f"display-{structure.index + 1}"


def _scene(job: Job, structure: SizedStructure) -> dict[str, Any]:
    first = viewpoints(structure)[0]
    eyes = job.order.structures[structure.index].settings.eye_height
    return scene(structure, eyes) | {"first": [first.azimuth, first.elevation]}


def _display(
    job: Job,
    structure: SizedStructure,
    say: Words,
    views: Sequence[NamedView],
    stills: Sequence[Still],
    pictures: Mapping[int, str],
) -> dict[str, Any]:
    return {
        "id": _id(structure),
        "name": structure.name,
        "numbers": panel_list([panel.number for panel in structure.panels], say),
        "size": _size(structure, say),
        "lit": structure.lit,
        "stills": _two(stills),
        "panels": flat_panels(job, structure, say, pictures),
        "views": [
            {"azimuth": one.view.azimuth, "elevation": one.view.elevation, "words": view_words(one, say)}
            for one in views
        ],
    }


def _two(stills: Sequence[Still]) -> list[Still]:
    """The first, and the one that looks at the other side."""
    return [stills[0], *stills[-1:]] if len(stills) > 1 else list(stills)


def view_words(view: NamedView, say: Words) -> str:
    """ "From the front right, high up"."""
    base = view.name.removesuffix("-from-above")
    words = say(f"screen.view.{base}")
    return words if base == view.name else say("screen.view.from-above", view=words)


def _size(structure: SizedStructure, say: Words) -> str:
    w, d, h = (metres(v) for v in structure.overall)
    key = "screen.size.hung" if structure.hung else "screen.size.feet" if structure.lift >= 1.0 else "screen.size"
    size = say(key, w=w, d=d, h=h, m=metres(structure.lift))
    size = say("screen.size.lit", size=size) if structure.lit else size
    return say("screen.copies", size=size, n=structure.copies) if structure.copies > 1 else size


def _legend(job: Job, say: Words) -> list[dict[str, Any]]:
    """Each kind of line that any panel has, as it is drawn, with what it means."""
    rows = dict.fromkeys(row for panel in job.sizing.panels for row in legend_rows(panel))
    found = []
    for row in LINES:
        if row in rows:
            guide: Guide = LINES[row]
            stroke = guide_stroke(guide, 0.9)
            found.append(
                {
                    "colour": "#{:02x}{:02x}{:02x}".format(*stroke.ink.rgb),
                    "width": round(stroke.width, 2),
                    "dash": " ".join(f"{part * 0.5:.1f}" if part > 4 else f"{part:.1f}" for part in stroke.dash),
                    "round": stroke.cap == "round",
                    "words": say(f"proof.line.{row}"),
                }
            )
    return found

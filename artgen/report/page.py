"""The report as one HTML page that asks the network for nothing: panel pictures with numbered marks, findings, filters.

Takes a job, gives HTML bytes. All that comes from an order or a file is escaped; style and script stand in the page, and its
Content-Security-Policy lets nothing else run. Without its script the page shows all.
"""

import base64
import hashlib
from collections.abc import Sequence
from pathlib import Path

from attrs import frozen
from markupsafe import Markup

from ..checks import FAMILIES, SEVERITIES
from ..checks.wording import panel_list
from ..drawing.inks import BLUE
from ..drawing.pieces import Rect
from ..job import Job
from ..job.standing import State, state_of
from ..sizing.names import where
from ..sizing.outline import size
from ..sizing.panel import Panel, SizedStructure
from ..template import key_plan
from ..units import mm_text
from ..words import Words, plain, words
from .items import Copy, Item, items_of, meant_for, more_of, silenced_of
from .picture import Figure, figure_of, shown_size

_HERE = Path(__file__).parent
PLAN = Rect(2.0, 2.0, 88.0, 62.0)  # px: where the key plan is drawn, in 90 × 64


@frozen
class Sheet:
    """A panel's part of the page. ``also`` = items of other panels that stand on it too; ``plan`` = (SVG points, whether it is
    this panel) of the structure's faces."""

    panel: Panel
    where: str
    facts: tuple[tuple[str, str], ...]
    state: State
    items: tuple[Item, ...]
    also: tuple[Item, ...]
    figure: Figure
    shown: tuple[int, int]
    absent: str
    plan: tuple[tuple[str, bool], ...]

    def count(self, severity: str) -> int:
        """How many things of this weight stand on it, whichever panel they are told with."""
        return sum(item.finding.severity == severity for item in (*self.items, *self.also))


def as_html(job: Job, copy: Copy = "shop") -> bytes:
    """The page, UTF-8. Same job, same bytes."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined  # only when a page is written

    say = words(job.order.language)
    items = items_of(meant_for(copy, job.findings), say)
    sheets = [
        _sheet(job, structure, panel, items, say) for structure in job.sizing.structures for panel in structure.panels
    ]
    quiet, silences = silenced_of(job, copy, say)
    style, script = ((_HERE / name).read_text(encoding="utf-8") for name in ("page.css", "page.js"))
    environment = Environment(
        loader=FileSystemLoader(_HERE),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters["foreign"] = plain
    page: str = environment.get_template("page.html.j2").render(
        order=job.order,
        copy=copy,
        language=job.order.language,
        say=say,
        more=more_of,
        sheets=sheets,
        files=[item for item in items if item.finding.panel is None],
        items=items,
        verdicts=_verdicts(items, copy, say),
        families=_families(items, say),
        severities=[name for name in SEVERITIES if any(item.finding.severity == name for item in items)],
        unexamined=job.not_examined,
        assumed=job.assumed,
        quiet=quiet,
        silences=silences,
        style=Markup(style),  # ours, from the package
        script=Markup(script),
        policy=_policy(style, script),
    )
    return page.encode("utf-8", "backslashreplace")


def _policy(style: str, script: str) -> str:
    """Content Security Policy level 3: pictures from the page itself, our style and our script by their hashes, nothing else."""
    by_hash = (
        "'sha256-" + base64.b64encode(hashlib.sha256(text.encode()).digest()).decode() + "'" for text in (style, script)
    )
    return "default-src 'none'; img-src data:; style-src {}; script-src {}; base-uri 'none'; form-action 'none'".format(
        *by_hash
    )


def _sheet(job: Job, structure: SizedStructure, panel: Panel, items: Sequence[Item], say: Words) -> Sheet:
    mine = tuple(item for item in items if item.finding.panel == panel.number)
    also = tuple(item for item in items if item.finding.panel != panel.number and panel.number in item.panels)
    state = state_of(job, panel, (one for item in items for one in item.members))
    figure = figure_of(job, panel, (*mine, *also), say)
    absent = (
        ""
        if panel.number in job.pictures
        else say(f"report.absent.{state if state in ('blank', 'no-art') else 'other'}")
    )
    facts = tuple(_facts(job, panel, say))
    plan = tuple(
        (" ".join(f"{x:.1f},{PLAN.y0 + PLAN.y1 - y:.1f}" for x, y in face.subpaths[0]), face.fill is BLUE)
        for face in key_plan(structure, [panel.number], PLAN, 0.2, fill=BLUE)
    )
    return Sheet(
        panel, where(structure, panel, say), facts, state, mine, also, figure, shown_size(figure), absent, plan
    )


def _facts(job: Job, panel: Panel, say: Words) -> list[tuple[str, str]]:
    (w, h), (aw, ah) = size(panel.visible), size(panel.art)
    facts = [
        (say("report.fact.visible"), f"{mm_text(w)} × {mm_text(h)} mm"),
        (say("report.fact.page"), f"{mm_text(aw)} × {mm_text(ah)} mm"),
    ]
    for seen in job.observations.laid:
        claim = seen.laid.claim
        if panel.number in claim.target.numbers:
            page = say("report.file.page", file=claim.file, page=claim.page) if claim.page > 1 else claim.file
            facts.append((say("report.fact.file"), page))
            facts.append((say("report.fact.scale"), f"1:{seen.laid.scale:.4g}"))
    return facts


def _verdicts(items: Sequence[Item], copy: Copy, say: Words) -> list[tuple[str, str]]:
    """(severity, sentence): how many things there are of each weight, and on which panels."""
    found: list[tuple[str, str]] = []
    for severity in SEVERITIES:
        mine = [item for item in items if item.finding.severity == severity]
        panels = sorted({number for item in mine for number in item.panels})
        if not mine and severity != "error":
            continue
        key = f"report.sum.{copy}.{severity}" + (".none" if not mine else ".one" if len(mine) == 1 else "")
        text = say(key, n=len(mine))
        found.append((severity, say("report.sum.on", what=text, panels=panel_list(panels, say)) if panels else text))
    return found


def _families(items: Sequence[Item], say: Words) -> list[tuple[str, str]]:
    """(name, words) of the kinds of findings that there are, for the filter."""
    there = {item.family for item in items}
    return [(family, say(f"family.{family}")) for family in FAMILIES if family in there]

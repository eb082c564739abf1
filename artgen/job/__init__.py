"""The one chain from order to findings: claims, facts, placing, survey, checks.

Takes an order and its sizing; reads every wanted file once (in confined children), gives a `Job` that reports, proofs
and prints are made from. Files and pages are worked on side by side, and what is known of a file's bytes already is taken from
the cache: neither changes what comes out. Progress is told through a callback; nothing is printed here.
"""

from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType

from attrs import evolve, field, frozen

from .. import cache, checks
from ..art import FileFacts, FileFault
from ..art.folder import Listing, listing
from ..checks import Finding, NotExamined, Observations, SilenceState
from ..checks.wording import not_examined
from ..confined import machine_fault
from ..order import SHOP_FILE, Order, shop_settings
from ..placing import Claim, Claims, Laid, claim, lay, pages_asked
from ..pool import crew, processors
from ..sizing.panel import Sizing
from ..survey import Picture, reading_available
from ..words import words
from .files import art_of, crew_for, facts_of, looks_at
from .unexamined import not_listed, of_files, of_lettering

Progress = Callable[[str], None]
Approved = Mapping[int, Mapping[str, str]]  # of each panel that was approved, SHA-256 by file name


@frozen
class Job:
    """An order that has been checked. ``pictures`` by panel number; panels without art that could be shown have none.
    ``silenced`` findings count nowhere; ``silences`` = what became of each of the order's.
    ``assumed`` = in words, what was taken for granted where no order says it."""

    order: Order
    sizing: Sizing
    observations: Observations
    findings: tuple[Finding, ...]
    not_examined: tuple[NotExamined, ...]
    pictures: Mapping[int, Picture] = field(factory=dict, repr=False)
    silenced: tuple[Finding, ...] = ()
    silences: tuple[SilenceState, ...] = ()
    assumed: tuple[str, ...] = ()

    @property
    def errors(self) -> int:
        return sum(finding.severity == "error" for finding in self.findings)


def art_files(order: Order) -> Listing:
    """The files below the order's ``art/``. Raises `MachineFault` where that can't be listed."""
    try:
        return listing(order.folder / "art")
    except OSError as error:
        raise machine_fault(
            "the order's folder art/ can't be listed, so nothing is known of its files", error
        ) from None


def run(
    order: Order,
    sizing: Sizing,
    tell: Progress = lambda _: None,
    only: int | None = None,
    pictures: bool = True,
    workers: int | None = None,
    alone: Path | None = None,
    approved: Approved | str = MappingProxyType({}),
) -> Job:
    """Check an order's art. ``only`` = one panel's number: the others are left alone (a wrap goes with its panel). ``pictures``:
    the job is to hold them. ``workers``: at most so many processes; None = as many as there are processors. ``alone`` = the one
    file that the order is made for: no folder is looked into. ``approved`` = what the art is held against, or why that is not
    known."""
    say = words(order.language)
    reading = reading_available()
    listed = art_files(order) if alone is None else Listing(())
    claims = _only(claim(order, sizing, listed.names), only)
    unjudged = () if listed.whole else claims.missing
    claims = evolve(claims, missing=claims.missing if listed.whole else ())
    arts = [art_of(order, name, alone) for name in pages_asked(claims.claims)]
    with crew(crew_for(arts, workers), None) as many:
        files = facts_of(arts, many, lambda of, n: tell(say("progress.reading", n=n, of=of)))
        laid, no_page = _lay(claims, files)
        by_name = {one.name: one for one in arts}
        told = lambda of, n: tell(say("progress.looking", n=n, of=of))  # noqa: E731
        seen = looks_at(laid, by_name, many, told, reading, pictures, workers or processors())
    cache.tidy()
    for one in seen:
        if one.fault is not None:
            # its facts could be read, its paint can't: the file is at fault all the same
            files[one.laid.claim.file] = one.fault
    hashes = {one.name: one.digest for one in arts if one.digest}
    held, unknown = ({}, {"approved": approved}) if isinstance(approved, str) else (approved, {})
    observations = Observations(sizing, claims, files, seen, tuple(no_page), hashes, held, unknown)
    checked = checks.check(observations, _settings(order, only, claims))
    unexamined = (
        *not_listed(listed, unjudged, say),
        *of_files(claims, files, say),
        *(not_examined(one, say) for one in checked.unexamined),
        *of_lettering(seen, reading, say),
    )
    shown = {number: picture for one in seen for number, picture in one.pictures.items()}
    findings, silenced = _of_panel(checked.findings, only), _of_panel(checked.silenced, only)
    return Job(order, sizing, observations, findings, unexamined, shown, silenced, checked.silences)


def _settings(order: Order, only: int | None, claims: Claims) -> checks.Settings:
    """What the order and the shop change of the rules. Of one panel alone, other panels' silences are not judged."""
    silences = tuple(enumerate(order.silences, start=1))
    if only is not None:
        near = {only, *(number for one in claims.claims for number in one.target.numbers)}
        silences = tuple((number, one) for number, one in silences if one.panel in near)
    shop = shop_settings(checks.numbers_of)
    return checks.settings((SHOP_FILE, shop), ("order.toml", order.checks), silences=silences)


def _of_panel(findings: tuple[Finding, ...], only: int | None) -> tuple[Finding, ...]:
    return tuple(one for one in findings if only is None or only in one.panels)


def _only(claims: Claims, panel: int | None) -> Claims:
    if panel is None:
        return claims
    return Claims(
        tuple(one for one in claims.claims if panel in one.target.numbers),
        tuple(n for n in claims.missing if n == panel),
        tuple((n, files) for n, files in claims.ambiguous if n == panel),
    )


def _lay(claims: Claims, files: Mapping[str, FileFacts | FileFault]) -> tuple[list[Laid], list[Claim]]:
    laid: list[Laid] = []
    no_page: list[Claim] = []
    for one in claims.claims:
        facts = files.get(one.file)
        if isinstance(facts, FileFacts):
            if one.page <= len(facts.pages):
                laid.append(lay(one, facts.pages[one.page - 1]))
            else:
                no_page.append(one)
    return laid, no_page

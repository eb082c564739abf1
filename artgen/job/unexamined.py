"""What a check could not look at, and why; always said, never passed over.

Takes what the job found on its way; gives `NotExamined`s in words.
"""

from collections.abc import Mapping, Sequence
from math import ceil

from ..art import FileFacts, FileFault
from ..art.facts import ExtraKind
from ..art.folder import Listing
from ..checks import NotExamined
from ..confined import shortcomings
from ..placing import Claims
from ..survey import CONTRAST, LaidSeen
from ..words import Words

_SAID = 20  # ours: things of one kind that a report names of one file
_BESIDE: tuple[ExtraKind, ...] = ("script", "attachment", "form-field", "comment", "link", "media", "action")


def not_listed(listed: Listing, unjudged: Sequence[int], say: Words) -> list[NotExamined]:
    """What of art/ was not looked into, and the panels whose file may lie there."""
    found = [NotExamined(what, why) for what, why in listed.left_out]
    if unjudged:
        numbers = ", ".join(map(str, unjudged))
        found.append(NotExamined(say("unseen.listing", panels=numbers), say("unseen.listing.why")))
    return found


def of_files(claims: Claims, files: Mapping[str, FileFacts | FileFault], say: Words) -> list[NotExamined]:
    """What of the files was not read."""
    found = [NotExamined(say("unseen.limits"), text) for text in shortcomings()]
    for number, rivals in claims.ambiguous:
        found.append(NotExamined(", ".join(rivals), say("unseen.ambiguous", panel=number)))
    for name, facts in sorted(files.items()):
        if isinstance(facts, FileFault):
            if facts.kind == "needs-cairo":
                found.append(NotExamined(name, facts.detail))
            continue
        found += [NotExamined(name, say("unseen.outside", item=item)) for item in _first(facts.blocked, say)]
        found += _beside(name, facts, say)
        if facts.stand_in_fonts:
            fonts = ", ".join(facts.stand_in_fonts)
            found.append(NotExamined(say("unseen.fonts", file=name, fonts=fonts), say("unseen.fonts.why")))
        for page in facts.pages:
            found += [NotExamined(name, text) for text in page.not_seen]
        asked = {one.page for one in claims.claims if one.file == name}
        if len(facts.pages) > len(asked):
            rest = ", ".join(str(n) for n in range(1, len(facts.pages) + 1) if n not in asked)
            found.append(NotExamined(say("unseen.pages", file=name, pages=rest), say("unseen.pages.why")))
    return found


def of_lettering(seen: Sequence[LaidSeen], reading: bool, say: Words) -> list[NotExamined]:
    """What of text that is not live was not seen."""
    found = [
        NotExamined(say("unseen.pixels", file=one.laid.claim.file), one.unread.detail)
        for one in seen
        if one.unread is not None
    ]
    if not seen:
        return found
    if not reading:
        return [*found, NotExamined(say("unseen.lettering"), say("unseen.lettering.why"))]
    smallest = ceil(max(one.smallest for one in seen))
    why = say("unseen.lettering.some.why", mm=smallest, contrast=CONTRAST)
    return [*found, NotExamined(say("unseen.lettering.some"), why)]


def _beside(name: str, facts: FileFacts, say: Words) -> list[NotExamined]:
    """What a file holds beside its pages, a line a kind; links inside it (without a name) lead nowhere on cloth."""
    found = []
    for kind in _BESIDE:
        mine = [one for one in facts.extras if one.kind == kind and (one.name or kind != "link")]
        if mine:
            names = [one.name for one in mine if one.name]
            said = ", ".join(_first(tuple(dict.fromkeys(names)), say)) or str(sum(one.count for one in mine))
            found.append(NotExamined(say(f"unseen.beside.{kind}", file=name), said))
    return found


def _first(items: tuple[str, ...], say: Words) -> list[str]:
    """The first so many, and how many more there are."""
    more = len(items) - _SAID
    return [*items[:_SAID], *([say("unseen.more", count=f"{more:,}")] if more > 0 else [])]

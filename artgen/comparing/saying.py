"""What changed, in words. Records in, lines out."""

from collections.abc import Iterator

from ..checks.wording import panel_list
from ..units import mm_text
from ..words import Words
from .changes import Between, PanelChange, WordChange
from .kept import KeptFinding

MOST_WORDS, MOST_PLACES = 8, 6  # ours, said of one panel
_LITTLE = 1.0  # mm


def report(between: Between, say: Words, name: str, number: str) -> list[str]:
    """All of it, for a terminal."""
    lines = [title(between, say), say("change.of", number=number or "–", name=name), ""]
    if between.nothing:
        lines.append(say("change.nothing"))
    for change in between.panels:
        lines += [say("change.panel", panel=change.panel.number, where=change.panel.where)]
        lines += [f"  {text}" for text in (*texts(change, say), *places(change, say))]
        lines.append("")
    lines += remarks(between, say)
    rows = [
        (say(f"change.found.{kind}"), finding)
        for kind, findings in (("went", between.went), ("came", between.came), ("stayed", between.stayed))
        for finding in findings
    ]
    if rows:
        lines += ["", say("change.findings"), ""]
        lines += [f"  {kind:<8} {say('severity.' + f.severity):<8} {finding_line(f, say)}" for kind, f in rows]
        lines += ["", counts(between, say)]
    return lines


def title(between: Between, say: Words) -> str:
    return say("change.title", since=between.since, until=between.until)


def lines(between: Between, say: Words) -> tuple[str, ...]:
    """In a few sentences, for the proof's page and the mail."""
    if between.nothing:
        return (say("change.nothing"),)
    found = []
    for change in between.panels:
        if change.kind == "swapped" and change.other is not None and change.other < change.panel.number:
            continue  # said with the other one
        what = " ".join(texts(change, say))
        found.append(say("change.line", panel=_capital(panel_list([change.panel.number], say)), what=what))
    told = [counts(between, say)] if between.went or between.came or between.stayed else []
    return (*found, *remarks(between, say), *told)


def texts(change: PanelChange, say: Words) -> list[str]:
    """What is said of a panel: what kind of change it is, and of which words."""
    n = len(change.places)
    if change.kind == "places":
        found = [say("change.places.one") if n == 1 else say("change.places", n=n)]
    else:
        found = [say(f"change.{change.kind}", other=change.other)]
    words = [_word(word, say) + "." for word in change.words[:MOST_WORDS]]
    if len(change.words) > MOST_WORDS:
        words.append(say("change.word.more", n=len(change.words) - MOST_WORDS) + ".")
    return found + words


def places(change: PanelChange, say: Words) -> Iterator[str]:
    if change.kind not in ("places", "hidden"):
        return
    for x, y, w, h in change.places[:MOST_PLACES]:
        yield say("change.place", x=f"{x:.0f}", y=f"{y:.0f}", w=f"{w:.0f}", h=f"{h:.0f}")
    if len(change.places) > MOST_PLACES:
        yield say("change.place.more", n=len(change.places) - MOST_PLACES)


def _word(word: WordChange, say: Words) -> str:
    if word.kind != "moved":
        return say(f"change.word.{word.kind}", text=word.text)
    right, up = word.by
    ways = [
        say(f"way.{plus if by > 0 else minus}", mm=mm_text(round(abs(by))))
        for by, plus, minus in ((right, "right", "left"), (up, "up", "down"))
        if abs(by) >= _LITTLE
    ]
    if not ways:
        return say("change.word.moved.little", text=word.text)
    way = say("way.and", first=ways[0], second=ways[1]) if len(ways) == 2 else ways[0]
    return say("change.word.moved", text=word.text, way=way)


def remarks(between: Between, say: Words) -> list[str]:
    found = []
    if between.same:
        found.append(say("change.same", panels=panel_list(list(between.same), say)))
    elif between.panels:
        found.append(say("change.same.none"))
    if between.resaved:
        found.append(say("change.resaved", panels=panel_list(list(between.resaved), say)))
    if between.order_changed:
        found.append(say("change.order"))
    return found


def counts(between: Between, say: Words) -> str:
    """Of what was found, by what became of it."""
    return say("change.counts", went=len(between.went), came=len(between.came), stayed=len(between.stayed))


def finding_line(finding: KeptFinding, say: Words) -> str:
    if finding.panel is None or str(finding.panel) in finding.message:
        return say("change.line.plain", message=finding.message)
    return say("change.finding", message=finding.message, panel=panel_list([finding.panel], say))


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]

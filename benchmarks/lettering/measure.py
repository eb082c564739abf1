"""The labelled set of lettering, measured: `python benchmarks/lettering/measure.py`. Half of it (``--half tuning``) was used
to choose numbers; the other (the default) is only reported.

Each page goes through reading, placing, survey and rules as in an order. Printed: of the true crossings of fold lines,
corners, joints and seams the share that got an error or a warning of its line; of the errors of text rules over lines the
share on words that are over that line; false errors and warnings a text-free panel; each with Wilson's 95 % interval.
"""

import argparse
import sys
import tempfile
import time
import tomllib
from collections import Counter
from collections.abc import Iterable
from concurrent.futures import ProcessPoolExecutor
from functools import cache
from math import sqrt
from multiprocessing import get_context
from pathlib import Path

from attrs import frozen
from pages import HALVES, Half, Truth, make
from shapely import Polygon

from artgen import checks
from artgen.art import read
from artgen.checks import LaidSeen, Observations, wrong_words
from artgen.order import from_tables
from artgen.placing import Claim, Claims, Target, lay
from artgen.sizing import Sizing, size_order
from artgen.structure.kinds import KINDS
from artgen.survey import lettering_seen, placed_words, reading_available
from artgen.survey.lettering import on_cloth, plane_window
from artgen.survey.windows import seen_through

TEXT_PAGES, BLANK_PAGES = 96, 48
QUICK = (10, 10)
RULES = {
    "text-crosses-corner": "corner",
    "text-crosses-joint": "joint",
    "text-crosses-seam": "seam",
    "text-in-tuck": "tuck",
}
GOALS = "goals: recall 98 %, precision of errors 95 %, 0.1 false errors and 0.5 false warnings a text-free panel"


@frozen
class Miss:
    page: int
    file: str
    text: str
    tags: tuple[str, ...]
    kinds: tuple[str, ...]


@frozen
class Score:
    """One page. ``found``, ``crossings`` by tag; ``wrong`` = errors on nothing that is over their line."""

    page: int
    text: bool
    crossings: tuple[tuple[tuple[str, ...], bool, bool], ...]  # tags, found, by an error
    errors: int
    right: int
    warnings: int
    notes: int
    misses: tuple[Miss, ...]
    wrong: tuple[str, ...]
    seconds: float


@cache
def _target(tables: str, panels: tuple[int, ...]) -> tuple[Target, Sizing]:
    body = f'schema = 1\nname = "set"\n{tables}'
    if len(panels) > 1:
        body += f'[[wrap]]\npanels = {list(panels)}\nfile = "wrap"\n'
    order = from_tables(tomllib.loads(body), KINDS, folder=Path("order"), where="order.toml")
    sizing = size_order(order, KINDS)
    if sizing.wraps:
        wrap = sizing.wraps[0]
        return Target(tuple(sizing.panel(n) for n in wrap.panels), wrap.places, wrap), sizing
    return Target((sizing.panel(panels[0]),), ((1.0, 0.0, 0.0, 1.0, 0.0, 0.0),)), sizing


def page(name: str, number: int, text: bool) -> Score:
    half = HALVES[name]
    layouts = half.layouts if text else [one for one in half.layouts if len(one[1]) == 1]
    target, sizing = _target(*layouts[number % len(layouts)])
    start = time.monotonic()
    with tempfile.TemporaryDirectory(prefix="lettering-") as folder:
        file, truths = make(half, number, target, Path(folder), text)
        claim = Claim(target, file, 1)
        facts = read(Path(folder) / file)
        start = time.monotonic()
        laid = lay(claim, facts.pages[0])
        assert laid.fits == "art" and abs(laid.scale - 10) < 0.1, (file, laid.scale)
        live = placed_words(laid)
        window = plane_window(laid)
        plane = on_cloth(seen_through(Path(folder) / file, laid, [window])[0], window)
        seen = lettering_seen(plane, laid, live, wrong_words)
    found = checks.check(Observations(sizing, Claims((claim,)), {}, (LaidSeen(laid, (*live, *seen.words)),))).findings
    return _score(number, text, file, truths, found, time.monotonic() - start)


def _score(number, text, name, truths: list[Truth], findings, seconds: float) -> Score:
    marks = [
        (RULES.get(f.rule) or f.say, f.severity, Polygon(f.evidence["quad_mm"]).buffer(0), f)
        for f in findings
        if f.severity != "note" and f.say != "near" and (f.rule in RULES or f.rule == "lettering-possible")
    ]
    crossings, misses = [], []
    for truth in truths:
        if not truth.crosses:
            continue
        hits = [m for m in marks if m[0] in truth.touches and _meet(m[2], truth.word.ink)]
        crossings.append((truth.tags, bool(hits), any(m[1] == "error" for m in hits)))
        if not hits:
            misses.append(Miss(number, name, truth.word.text, truth.tags, tuple(sorted(truth.crosses))))
    errors = [m for m in marks if m[1] == "error"]
    right = [m for m in errors if any(m[0] in t.touches and _meet(m[2], t.word.ink) for t in truths)]
    wrong = tuple(
        f"{m[3].rule} “{m[3].evidence['text']}” {m[3].evidence['source']} by {m[3].evidence['depth_mm']} at {m[3].where}"
        for m in errors
        if m not in right
    )
    warnings = len([m for m in marks if m[1] == "warning"])
    notes = len([f for f in findings if f.rule == "lettering-possible" and f.severity == "note"])
    return Score(
        number, text, tuple(crossings), len(errors), len(right), warnings, notes, tuple(misses), wrong, seconds
    )


def _meet(a, b) -> bool:
    return bool(a.intersection(b.envelope if b.area == 0 else b).area > 0.15 * min(a.area, b.area))


def wilson(k: int, n: int) -> tuple[float, float]:
    """95 % interval of a share (E. B. Wilson 1927)."""
    if n == 0:
        return 0.0, 1.0
    z, p = 1.959964, k / n
    middle, half = p + z * z / (2 * n), z * sqrt(p * (1 - p) / n + z * z / (4 * n * n))
    return (middle - half) / (1 + z * z / n), (middle + half) / (1 + z * z / n)


def _line(what: str, k: int, n: int) -> str:
    low, high = wilson(k, n)
    return f"  {what:<28} {k:>4} of {n:<4} {100 * k / n if n else 0:6.1f} %   ({100 * low:.1f} to {100 * high:.1f})"


def report(scores: list[Score], verbose: bool) -> None:
    text = [s for s in scores if s.text]
    blank = [s for s in scores if not s.text]
    crossings = [c for s in text for c in s.crossings]
    seen = [c for c in crossings if "live" not in c[0]]
    print(f"{len(text)} pages with text, {len(crossings)} true crossings; {len(blank)} text-free panels")
    print(_line("recall, all forms", sum(c[1] for c in crossings), len(crossings)))
    print(_line("recall, outlined and pixels", sum(c[1] for c in seen), len(seen)))
    print(_line("  of these by an error", sum(c[2] for c in seen), len(seen)))
    print(_line("precision of errors", sum(s.right for s in text), sum(s.errors for s in text)))
    if blank:
        wrong, warned = sum(s.errors for s in blank), sum(s.warnings for s in blank)
        print(_line("text-free with an error", sum(s.errors > 0 for s in blank), len(blank)))
        print(_line("text-free with a warning", sum(s.warnings > 0 for s in blank), len(blank)))
        noted = sum(s.notes for s in blank) / len(blank)
        print(
            f"  a text-free panel: {wrong / len(blank):.2f} false errors, {warned / len(blank):.2f} false warnings, "
            f"{noted:.2f} notes on shapes in which no letter can be made out"
        )
    print("  " + GOALS)
    counts: dict[str, Counter[bool]] = {}
    for tags, found, _ in crossings:
        for tag in tags:
            counts.setdefault(tag, Counter())[found] += 1
    for tag in sorted(counts):
        print(_line(tag, counts[tag][True], counts[tag].total()))
    print(f"  {sum(s.seconds for s in scores) / len(scores):.1f} s a page")
    if verbose:
        for score in scores:
            for miss in score.misses:
                print("missed", miss.page, miss.file, miss.text, *miss.tags, *miss.kinds)
            for one in score.wrong:
                print("wrong", score.page, "text" if score.text else "blank", one)


def measured(half: Half, texts: Iterable[int], blanks: Iterable[int], processes: int) -> list[Score]:
    jobs = [(half.name, n, True) for n in texts] + [(half.name, n, False) for n in blanks]
    with ProcessPoolExecutor(processes, mp_context=get_context("spawn")) as pool:
        return list(pool.map(page, *zip(*jobs, strict=True)))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--half", choices=HALVES, default="reported")
    parser.add_argument("--from", dest="first", type=int, default=0, help="number of the first page, to tune on others")
    parser.add_argument("--quick", action="store_true", help="a sample of it")
    parser.add_argument("--verbose", action="store_true", help="every miss and every wrong error")
    parser.add_argument("--processes", type=int, default=2)
    args = parser.parse_args()
    if not reading_available():
        sys.exit("artgen[reading] is not installed: pip install -e '.[reading]'")
    texts, blanks = (range(args.first, args.first + n) for n in (QUICK if args.quick else (TEXT_PAGES, BLANK_PAGES)))
    start = time.monotonic()
    report(
        measured(
            HALVES[args.half],
            texts,
            blanks,
            args.processes,
        ),
        args.verbose,
    )
    print(f"  {time.monotonic() - start:.0f} s in all")


if __name__ == "__main__":
    main()

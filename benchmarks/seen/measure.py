"""False alarms and misses of the rules that look at pixels: `python benchmarks/seen/measure.py`. Half of the samples
(``--half tuning``) was used to choose numbers; the other (the default) is only reported.
"""

import argparse
import sys
import tempfile
import time
import tomllib
from concurrent.futures import ProcessPoolExecutor
from functools import cache
from math import sqrt
from multiprocessing import get_context
from pathlib import Path

from attrs import frozen
from samples import MAKERS, Asked

from artgen.art import read
from artgen.art.facts import FileFacts
from artgen.order import from_tables
from artgen.placing import Claim, Laid, Target, lay
from artgen.sizing import Sizing, size_order
from artgen.structure.kinds import KINDS
from artgen.survey import Preview, preview

EACH = 36
LAYOUTS = (
    ('kind="box"\nwidth="1000 mm"\ndepth="800 mm"\nheight="2000 mm"\n', (1,)),
    ('kind="box"\nwidth="1000 mm"\ndepth="800 mm"\nheight="2000 mm"\n', (5,)),
    ('kind="wall"\nwidth="2400 mm"\nheight="1600 mm"\n', (1,)),
    ('kind="wall"\nheight="1800 mm"\nbays=["900 mm","1200 mm"]\n', (1, 2)),
    ('kind="hung-cube"\nedge="1200 mm"\n', (4,)),
    ('kind="wall"\nwidth="700 mm"\nheight="900 mm"\n', (1,)),
    ('kind="wall"\nwidth="4200 mm"\nheight="2300 mm"\nfabric="brushed-knit"\n', (1,)),
)


@frozen
class Score:
    name: str
    guilty: bool
    found: bool
    said: str
    seconds: float


@cache
def target_of(tables: str, panels: tuple[int, ...]) -> tuple[Target, Sizing]:
    body = f'schema = 1\nname = "set"\n[[structure]]\nname="a"\n{tables}'
    if len(panels) > 1:
        body += f'[[wrap]]\npanels = {list(panels)}\nfile = "wrap"\n'
    order = from_tables(tomllib.loads(body), KINDS, folder=Path("order"), where="order.toml")
    sizing = size_order(order, KINDS)
    if sizing.wraps:
        wrap = sizing.wraps[0]
        return Target(tuple(sizing.panel(n) for n in wrap.panels), wrap.places, wrap), sizing
    return Target((sizing.panel(panels[0]),), ((1.0, 0.0, 0.0, 1.0, 0.0, 0.0),)), sizing


def laid_of(file: Path, target: Target) -> tuple[FileFacts, Laid, dict[int, Preview]]:
    facts = read(file)
    assert isinstance(facts, FileFacts), facts
    laid = lay(Claim(target, file.name, 1), facts.pages[0])
    assert laid.fits in ("art", "cut"), (file, laid.fits, laid.scale)
    pictures = {panel.number: preview(file, laid, panel) for panel in target.panels}
    assert all(isinstance(one, Preview) for one in pictures.values()), pictures
    return facts, laid, pictures  # type: ignore[return-value]


def _guides(file: Path, laid: Laid, facts: FileFacts, pictures: dict[int, Preview]) -> tuple[bool, str]:
    from artgen.survey.guides import guide_lines

    found = {panel.number: guide_lines(laid, panel, pictures[panel.number]) for panel in laid.target.panels}
    return any(one.seen for one in found.values()), str([one.shares for one in found.values()])


def _unpainted(file: Path, laid: Laid, facts: FileFacts, pictures: dict[int, Preview]) -> tuple[bool, str]:
    from artgen.survey.stops import stops

    found = [stop for panel in laid.target.panels for stop in stops(panel, pictures[panel.number])]
    return bool(found), str(found)


def _marks(file: Path, laid: Laid, facts: FileFacts, pictures: dict[int, Preview]) -> tuple[bool, str]:
    from artgen.survey.crop_marks import crop_marks
    from artgen.survey.sheets import sheet_of

    found = crop_marks(laid, sheet_of(laid, pictures))
    return found is not None, str(found)


def _soft(file: Path, laid: Laid, facts: FileFacts, pictures: dict[int, Preview]) -> tuple[bool, str]:
    from artgen.survey.softness import image_details

    found = image_details(file, laid).found
    assert isinstance(found, tuple), found
    return any(one.ppi >= 59 and one.detail < 0.6 * 60 for one in found), str([(one.ppi, one.detail) for one in found])


def _graphics(file: Path, laid: Laid, facts: FileFacts, pictures: dict[int, Preview]) -> tuple[bool, str]:
    from artgen.survey.graphics import graphics_over_lines
    from artgen.survey.sheets import sheet_of

    found = graphics_over_lines(laid, sheet_of(laid, pictures))
    return bool(found), str(found)


RULES = {
    "guides-left-in": _guides,
    "bleed-unpainted": _unpainted,
    "marks-left-in": _marks,
    "image-soft": _soft,
    "mark-at-risk": _graphics,
}
SMALL = {"image-soft": (1, 4, 5), "mark-at-risk": (0, 1, 2, 3, 5, 6)}  # layouts that don't take too long


def sample(rule: str, half: str, number: int, guilty: bool) -> Score:
    chosen = SMALL.get(rule, range(len(LAYOUTS)))
    layout = LAYOUTS[chosen[number % len(chosen)]]
    target, sizing = target_of(*layout)
    asked = Asked(rule, half, number, guilty, target, sizing)
    with tempfile.TemporaryDirectory(prefix="seen-") as folder:
        name = MAKERS[rule][0 if guilty else 1](asked, asked.rng, Path(folder))
        file = Path(folder) / name
        facts, laid, pictures = laid_of(file, target)
        start = time.monotonic()
        found, said = RULES[rule](file, laid, facts, pictures)
        return Score(name, guilty, found, said, time.monotonic() - start)


def wilson(k: int, n: int) -> tuple[float, float]:
    """95 % interval of a share (E. B. Wilson 1927)."""
    z, p = 1.959964, k / n
    middle, half = p + z * z / (2 * n), z * sqrt(p * (1 - p) / n + z * z / (4 * n * n))
    return (middle - half) / (1 + z * z / n), (middle + half) / (1 + z * z / n)


def _line(what: str, k: int, n: int) -> str:
    low, high = wilson(k, n)
    return f"  {what:<16} {k:>3} of {n:<3} {100 * k / n:6.1f} %   ({100 * low:.1f} to {100 * high:.1f})"


def report(rule: str, scores: list[Score], verbose: bool) -> None:
    innocent, guilty = ([s for s in scores if s.guilty is which] for which in (False, True))
    print(rule)
    print(_line("false alarms", sum(s.found for s in innocent), len(innocent)))
    print(_line("missed", sum(not s.found for s in guilty), len(guilty)))
    print(f"  {sum(s.seconds for s in scores) / len(scores):.2f} s a page beside its previews")
    for s in scores:
        if s.found is not s.guilty or verbose:
            print(
                "  ",
                "missed" if s.guilty and not s.found else "false" if s.found and not s.guilty else "right",
                s.name,
                s.said,
            )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("rules", nargs="*", help="some of: " + ", ".join(RULES))
    parser.add_argument("--half", choices=("tuning", "reported"), default="reported")
    parser.add_argument("--each", type=int, default=EACH, help="innocent, and guilty, samples a rule")
    parser.add_argument("--verbose", action="store_true", help="every sample")
    parser.add_argument("--processes", type=int, default=2)
    args = parser.parse_args()
    unknown = set(args.rules) - set(RULES)
    if unknown:
        sys.exit(f"no such rule here: {', '.join(sorted(unknown))}")
    with ProcessPoolExecutor(args.processes, mp_context=get_context("spawn")) as pool:
        for rule in args.rules or RULES:
            jobs = [(rule, args.half, n, guilty) for guilty in (False, True) for n in range(args.each)]
            report(rule, list(pool.map(sample, *zip(*jobs, strict=True))), args.verbose)


if __name__ == "__main__":
    main()

"""What templates cost: all of a 100-panel order as SVG and PDF, on one core against cairosvg, and on two against one."""

import gc
import statistics
import time
import tomllib
from collections.abc import Callable
from pathlib import Path

from artgen import pool
from artgen.cli.template_folder import templates
from artgen.order import Order, from_tables
from artgen.sizing import Sizing, size_order
from artgen.structure.kinds import KINDS

ROUNDS = 3


def order_text(panels: int) -> str:
    """Lit boxes, walls of bays, hung cubes and seamed walls, five panels each time round."""
    parts = []
    for n in range(panels // 20):
        box = f'name = "box {n}"\nkind = "box"\nlit = "inside"\nwidth = "{900 + n} mm"\ndepth = "800 mm"\nheight = "2600 mm"'
        bays = f'name = "bays {n}"\nkind = "wall"\nheight = "2300 mm"\nbays = ["{1000 + n} mm", "900 mm", "800 mm", "700 mm"]'
        cube = f'name = "cube {n}"\nkind = "hung-cube"\nedge = "{1500 + n} mm"'
        wall = f'name = "wall {n}"\nkind = "wall"\nwidth = "{4500 + n} mm"\nheight = "2500 mm"\nroll = "wide-3200"\nfaces = 2'
        tiny = f'name = "tiny {n}"\nkind = "wall"\nwidth = "150 mm"\nheight = "{150 + n} mm"\nfaces = 2'
        parts += [f"[[structure]]\n{body}\n" for body in (box, bays, cube, wall, tiny)]
    return 'schema = 1\nname = "many"\n' + "".join(parts)


def sized(panels: int) -> tuple[Order, Sizing]:
    order = from_tables(tomllib.loads(order_text(panels)), KINDS, Path(), "order.toml")
    return order, size_order(order, KINDS)


def took(run: Callable[[], object]) -> float:
    gc.collect()
    start = time.perf_counter()
    run()
    return time.perf_counter() - start


def spin(workers: int) -> None:
    """A bare loop in sixteen pieces: what a second core gives just now, with whatever else the machine does."""
    list(pool.each(_loop, None, range(16), workers))


def _loop(_: None, piece: int) -> int:
    return sum(i * i for i in range(1_000_000)) + piece


def report(panels: int = 100) -> None:
    """Prints each ratio beside its bar."""
    import cairosvg

    order, sizing = sized(panels)
    assert len(sizing.panels) == panels
    svgs = [data for _, data in templates(order, sizing, ["svg"], None, workers=1)]
    print(
        f"templates: {panels} panels, {len(svgs)} pages; largest SVG {max(map(len, svgs)) / 1000:.0f} kB (bar: 400 kB)"
    )
    against, gains, free = [], [], []
    for each in range(ROUNDS + 1):
        one = took(lambda: list(templates(order, sizing, ["svg", "pdf"], None, workers=1)))
        two = took(lambda: list(templates(order, sizing, ["svg", "pdf"], None, workers=2)))
        if each:  # the first round warms up
            # cairosvg on every fifth page, times five: it takes minutes for all
            some = svgs[::5]
            drawn = took(lambda some=some: [cairosvg.svg2pdf(bytestring=svg) for svg in some])  # type: ignore[misc]
            against.append(one / (drawn * len(svgs) / len(some)))
            gains.append(one / two)
            free.append(took(lambda: spin(1)) / took(lambda: spin(2)))
            print(f"  one core {one:.2f} s, two {two:.2f} s, cairosvg {drawn * len(svgs) / len(some):.1f} s")
    ratio, gain = statistics.median(against), statistics.median(gains)
    print(f"templates, one core over cairosvg: {ratio:.2f}, {'within' if ratio <= 1 else 'OVER'} its bar of 1")
    if pool.processors() < 2:
        print("templates, two cores: not measured, this process has one")
    else:
        print(
            f"templates, one core over two: {gain:.2f} times as fast, {'at least' if gain >= 1.7 else 'UNDER'} its bar of 1.7"
        )
        gained = statistics.median(free)
        print(f"  a bare loop gained {gained:.2f} at the same time; it gains 2 on a machine that does nothing else")


if __name__ == "__main__":
    report()

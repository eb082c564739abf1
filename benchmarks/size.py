"""What sizing costs: orders of 10 to 10,000 panels, and four of shapely's buffers to hold a panel's four zones against."""

import gc
import resource
import statistics
import subprocess
import sys
import time
import tomllib
from collections.abc import Callable
from pathlib import Path

from shapely.geometry import Polygon

from artgen.order import from_tables
from artgen.sizing import Sizing, size_order
from artgen.structure.kinds import KINDS

PANELS = (10, 1000, 10_000)
_BAYS = 10


def order_text(panels: int) -> str:
    """An order of walls of ten bays each."""
    walls = []
    for n in range(panels // _BAYS):
        bays = ", ".join(f'"{700 + 13 * ((n + i) % 50)} mm"' for i in range(_BAYS))
        walls.append(
            f'[[structure]]\nname = "wall {n}"\nkind = "wall"\nheight = "{2400 + n % 90} mm"\nbays = [{bays}]\n'
        )
    return 'schema = 1\nname = "many"\n' + "".join(walls)


def mixed_text(panels: int) -> str:
    """An order of boxes, hung cubes, columns of eight sides and U-shaped runs of two sides in turn: 26 panels of the four."""
    kinds = (
        'kind = "box"\nwidth = "1000 mm"\ndepth = "{n} mm"\nheight = "2400 mm"\n',
        'kind = "hung-cube"\nedge = "{n} mm"\n',
        'kind = "column"\ncount = 8\nwidth = "{n} mm"\nheight = "2400 mm"\n',
        'kind = "run"\nlengths = ["{n} mm", "3 m", "{n} mm"]\nangles = [-90, -90]\nheight = "2400 mm"\nfaces = 2\n',
    )
    made = [kinds[i % 4].format(n=900 + i % 50) for i in range(panels * 4 // 26)]
    tables = [f'[[structure]]\nname = "structure {i}"\n{keys}' for i, keys in enumerate(made)]
    return 'schema = 1\nname = "many"\n' + "".join(tables)


def sizing_of(panels: int) -> Callable[[], Sizing]:
    """A call that sizes an order of so many panels, which is read already."""
    return _sizing(order_text(panels))


def _sizing(text: str) -> Callable[[], Sizing]:
    order = from_tables(tomllib.loads(text), KINDS, Path(), "order.toml")
    return lambda: size_order(order, KINDS)


def mixed_cost() -> tuple[float, float]:
    """Processor seconds a panel of an order of many kinds, and of four buffers: the least of three rounds in turn."""
    run = _sizing(mixed_text(1000))
    panels = len(run().panels)
    taken, buffers = [], []
    for _ in range(3):
        start = time.process_time()
        run()
        taken.append((time.process_time() - start) / panels)
        buffers.append(four_buffers())
    return min(taken), min(buffers)


def rounds_of(rounds: int) -> tuple[dict[int, list[float]], list[float]]:
    """Processor seconds of each round: a panel at each size of order, and four buffers. All in turn, so that what else the
    machine does falls on all alike; small orders are sized again until 1000 panels are done."""
    runs = {n: sizing_of(n) for n in PANELS}
    taken: dict[int, list[float]] = {n: [] for n in PANELS}
    buffers = []
    for each in range(rounds + 1):
        for n, run in runs.items():
            again = max(1, 1000 // n)
            gc.collect()
            start = time.process_time()
            for _ in range(again):
                kept = run()
            took = (time.process_time() - start) / again / n
            del kept
            if each:  # the first round warms up
                taken[n].append(took)
        buffers.append(four_buffers())
    return taken, buffers[1:]


def four_buffers() -> float:
    """Processor seconds for four mitred buffers of one rectangle, one at a time."""
    panel = Polygon([(0, 0), (1000, 0), (1000, 2400), (0, 2400)])
    start = time.process_time()
    for _ in range(1000):
        for out in (-6.0, 9.0, 13.0, 38.0):
            panel.buffer(out, join_style="mitre")
    return (time.process_time() - start) / 1000


def memory_of(panels: int) -> float:
    """Peak megabytes of a process of its own that sizes so many panels, over one that sizes ten."""
    peaks = []
    for n in (10, panels):
        code = f"import size; kept = size.sizing_of({n})(); print(size.peak_memory())"
        command = [sys.executable, "-c", code]
        done = subprocess.run(command, cwd=Path(__file__).parent, capture_output=True, check=True)
        peaks.append(float(done.stdout))
    return peaks[1] - peaks[0]


def peak_memory() -> float:
    """Megabytes that this process has had at most."""
    status = Path("/proc/self/status")  # Linux: its own peak; that of getrusage is passed on from the parent
    if status.exists():
        line = next(line for line in status.read_text(encoding="ascii").splitlines() if line.startswith("VmHWM"))
        return int(line.split()[1]) / 2**10
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 2**20


def report() -> None:
    """Prints each figure beside its bar."""
    costs, buffers = rounds_of(5)
    for n, taken in costs.items():
        ratios = [one / other for one, other in zip(taken, buffers, strict=True)]
        median = statistics.median(ratios)
        print(
            f"size, {n} panels: {min(taken) * 1e6:.0f} µs a panel, {median:.2f} times four buffers (from {min(ratios):.2f} "
            f"to {max(ratios):.2f}), {'within' if median <= 3 else 'OVER'} its bar of 3"
        )
    spreads = [max(row) / min(row) for row in zip(*costs.values(), strict=True)]
    spread = statistics.median(spreads)
    # of the least too: what else the machine does only ever adds
    least = [min(taken) for taken in costs.values()]
    print(
        f"size: dearest over cheapest panel {spread:.2f} in the middle round, {max(least) / min(least):.2f} of the least, "
        f"{'within' if max(least) / min(least) <= 1.2 else 'OVER'} its bar of 1.2"
    )
    mixed, buffers_least = mixed_cost()
    print(
        f"size, boxes, cubes, columns, runs: {mixed * 1e6:.0f} µs a panel, {mixed / buffers_least:.2f} times four buffers, "
        f"{'within' if mixed <= 3 * buffers_least else 'OVER'} its bar of 3"
    )
    memory = {n: memory_of(n) for n in (5000, 10_000)}
    growth = memory[10_000] / memory[5000]
    print(
        f"size: {memory[10_000]:.0f} MB for 10,000 panels and {memory[5000]:.0f} MB for 5,000, ratio {growth:.2f} "
        f"({'within' if growth <= 2.4 else 'OVER'} 2.4: linear is 2)"
    )


if __name__ == "__main__":
    report()

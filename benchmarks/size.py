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


def sizing_of(panels: int) -> Callable[[], Sizing]:
    """A call that sizes an order of so many panels, which is read already."""
    order = from_tables(tomllib.loads(order_text(panels)), KINDS, Path(), "order.toml")
    return lambda: size_order(order, KINDS)


def per_panel(panels: int, rounds: int) -> list[float]:
    """Processor seconds a panel, of each round; small orders are sized again and again until 1000 panels are done."""
    run, again = sizing_of(panels), max(1, 1000 // panels)
    run()
    taken = []
    for _ in range(rounds):
        gc.collect()
        start = time.process_time()
        for _ in range(again):
            run()
        taken.append((time.process_time() - start) / again / panels)
    return taken


def four_buffers(rounds: int) -> list[float]:
    """Processor seconds for four mitred buffers of one rectangle, one at a time, of each round."""
    panel = Polygon([(0, 0), (1000, 0), (1000, 2400), (0, 2400)])
    taken = []
    for _ in range(rounds):
        start = time.process_time()
        for _ in range(1000):
            for out in (-6.0, 9.0, 13.0, 38.0):
                panel.buffer(out, join_style="mitre")
        taken.append((time.process_time() - start) / 1000)
    return taken


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
    rounds = 3
    costs = {n: per_panel(n, rounds) for n in PANELS}
    buffers = four_buffers(rounds)
    for n, taken in costs.items():
        # minima: what the machine does besides only ever adds
        ratio = min(taken) / min(buffers)
        word = "within" if ratio <= 3 else "OVER"
        print(
            f"size, {n} panels: {min(taken) * 1e6:.0f} µs a panel, {ratio:.2f} times four buffers "
            f"(median {statistics.median(taken) / statistics.median(buffers):.2f}), {word} its bar of 3"
        )
    least = [min(taken) for taken in costs.values()]
    spread = max(least) / min(least)
    print(f"size: dearest over cheapest panel {spread:.2f}, {'within' if spread <= 1.2 else 'OVER'} its bar of 1.2")
    memory = {n: memory_of(n) for n in (5000, 10_000)}
    growth = memory[10_000] / memory[5000]
    print(
        f"size: {memory[10_000]:.0f} MB for 10,000 panels and {memory[5000]:.0f} MB for 5,000, ratio {growth:.2f} "
        f"({'within' if growth <= 2.4 else 'OVER'} 2.4: linear is 2)"
    )


if __name__ == "__main__":
    report()

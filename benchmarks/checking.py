"""What `artgen check` costs: against the bare reads, renders and network runs that it needs; on two cores against one; and when
nothing has changed. Six panels of the sample order: the cube that hangs by a tip, PDFs and SVGs."""

import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

from artgen import job, pool
from artgen.art import codes, reading
from artgen.order import load
from artgen.report import as_text
from artgen.resources import resource
from artgen.sizing import size_order
from artgen.structure.kinds import KINDS
from artgen.survey.lettering import models

CUBE = (
    'schema = 1\nname = "six"\n[[structure]]\nname = "Raindrop"\nkind = "hung-cube"\nedge = "1500 mm"\n'
    '[defaults]\nframe = "standard"\nstrip = "flat-14"\nfabric = "display-knit"\nroll = "wide-3200"\n'
)


def six_panels(folder: Path) -> Path:
    """The cube alone, its files named after its own panels."""
    (folder / "art").mkdir(parents=True)
    for file in sorted((resource("sample_art") / "mended" / "art").iterdir()):
        for old in range(10, 16):
            if any(part in file.name for part in (f"p{old}.", f"panel-{old}", f"panel {old}")):
                shutil.copy(file, folder / "art" / f"panel-{old - 9}{file.suffix}")
    assert len(list((folder / "art").iterdir())) == 6
    (folder / "order.toml").write_text(CUBE, encoding="utf-8")
    return folder


def checked(folder: Path, workers: int) -> None:
    """All that the command does between its start and its last line."""
    reading._converted.clear()  # what an earlier run of this process left in memory
    order = load(folder, KINDS)
    as_text(job.run(order, size_order(order, KINDS), workers=workers))


class Bare:
    """What one run asked of the readers, the decoder of codes and the networks, to be done again alone: in this process, one by
    one."""

    def __init__(self, folder: Path) -> None:
        self.tasks: list[tuple[Callable[..., Any], bytes, str, dict[str, Any]]] = []
        self.runs: list[tuple[str, tuple[int, ...]]] = []
        ask, run, decode = reading._ask, models._run, codes.run
        reading._ask = lambda task, file, args: self._asked(task, file, args) or ask(task, file, args)
        codes.run = lambda task, file, args, limits: self._asked(task, file, args) or decode(task, file, args, limits)
        models._run = lambda name, blob: self.runs.append((name, blob.shape)) or run(name, blob)
        try:
            checked(folder, 1)
        finally:
            reading._ask, models._run, codes.run = ask, run, decode
        self.noise = {shape: np.random.default_rng(1).random(shape, np.float32) - 0.5 for _, shape in self.runs}

    def _asked(self, task: Callable[..., Any], file: Path, args: Any) -> None:
        self.tasks.append((task, file.read_bytes(), file.name, dict(args)))

    def again(self) -> None:
        with tempfile.TemporaryDirectory() as name:
            folder = Path(name)
            for task, data, file, args in self.tasks:
                (folder / file).write_bytes(data)
                task(folder / file, args, folder)
        for name, shape in self.runs:
            models._run(name, self.noise[shape])


def command_seconds(folder: Path, kept: Path) -> float:
    """A whole process of the command."""
    artgen = Path(sys.executable).parent / "artgen"
    start = time.perf_counter()
    subprocess.run(
        [str(artgen), "check", str(folder)], stdout=subprocess.DEVNULL, env={**os.environ, "ARTGEN_CACHE": str(kept)}
    )
    return time.perf_counter() - start


def report(side_by_side: Callable[..., tuple[float, list[float]]], say: Callable[..., None]) -> None:
    """Prints each ratio beside its bar."""
    import templates

    os.environ["ARTGEN_CACHE"] = ""
    with tempfile.TemporaryDirectory() as name:
        folder = six_panels(Path(name) / "six")
        bare = Bare(folder)
        print(f"  six panels: {len(bare.tasks)} reads, renders and looks for codes, {len(bare.runs)} network runs")
        say("check, one core, over its bare parts", 1.5, *side_by_side(lambda: checked(folder, 1), bare.again, 3))
        if pool.processors() < 2:
            print("check, two cores: not measured, this process has one")
        else:
            gain, gains = side_by_side(lambda: checked(folder, 1), lambda: checked(folder, 2), 3)
            low, high = min(gains), max(gains)
            print(
                f"check, one core over two: {gain:.2f} times as fast (from {low:.2f} to {high:.2f}), "
                f"{'at least' if gain >= 1.7 else 'UNDER'} its bar of 1.7"
            )
            free = templates.took(lambda: templates.spin(1)) / templates.took(lambda: templates.spin(2))
            print(f"  a bare loop gained {free:.2f} at the same time; it gains 2 on a machine that does nothing else")
        times = []
        for n in range(3):
            kept = Path(name) / f"kept {n}"
            times.append((command_seconds(folder, kept), command_seconds(folder, kept)))
        cold, warm = sorted(times, key=lambda pair: pair[0] / pair[1])[1]
        print(
            f"check, first run over an unchanged second, whole processes: {cold / warm:.1f} times as fast ({cold:.1f} s and "
            f"{warm:.2f} s), {'at least' if cold >= 10 * warm else 'UNDER'} its bar of 10"
        )

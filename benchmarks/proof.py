"""What a proof costs: a picture against Pillow's own transforms, six panels against the renders they need, two cores against
one, and the memory that a picture takes."""

import statistics
import subprocess
import sys
import tempfile
import time
import tomllib
from pathlib import Path

import numpy as np
from PIL import Image

from artgen import pool
from artgen.checks import Observations
from artgen.job import Job
from artgen.order import from_tables
from artgen.placing import Claims
from artgen.proof import Issue, proof_files
from artgen.proof.drawn import all_views
from artgen.proof.pictures import axonometry
from artgen.sizing import size_order
from artgen.structure.kinds import KINDS
from artgen.structure.view import View
from artgen.survey import Picture
from artgen.words import words

ROUNDS = 5
FINE = 2  # the supersampling of both sides
SIDE = 2000
CUBE = '[[structure]]\nname = "cube"\nkind = "hung-cube"\nedge = "1500 mm"\n'
BOX = '[[structure]]\nname = "box {n}"\nkind = "box"\nwidth = "1000 mm"\ndepth = "800 mm"\nheight = "2600 mm"\n'
VIEW = View(28.0, -14.0)


def job_of(body: str, longest: int = 1300) -> Job:
    """Every panel with a picture of soft noise as large as the chain keeps them."""
    order = from_tables(tomllib.loads('schema = 1\nname = "many"\n' + body), KINDS, Path(), "order.toml")
    sizing = size_order(order, KINDS)
    pictures = {}
    rng = np.random.default_rng(1)
    for panel in sizing.panels:
        w, h = (max(p[i] for p in panel.art) for i in (0, 1))
        k = longest / max(w, h)
        noise = rng.integers(60, 200, (round(h * k) // 8 + 1, round(w * k) // 8 + 1, 3), dtype=np.uint8)
        image = Image.fromarray(noise).resize((round(w * k), round(h * k)), Image.Resampling.BICUBIC)
        pictures[panel.number] = Picture(*image.size, image.tobytes())
    return Job(order, sizing, Observations(sizing, Claims(()), {}, ()), (), (), pictures)


def bare(job: Job) -> Image.Image:
    """The same faces by Pillow alone: each picture reduced to about its size, one perspective transform, pasted whole."""
    structure = job.sizing.structures[0]
    probe = axonometry(structure, {}, VIEW, 40, 40)
    k = min(SIDE / probe.width, SIDE / probe.height) * FINE
    canvas = Image.new("RGB", (round(probe.width * k), round(probe.height * k)), "white")
    for panel in structure.panels:
        if VIEW.facing(panel.bay.outline) <= 0:
            continue
        corners = [tuple(k * v for v in probe.at(vertex)) for vertex in panel.bay.outline]
        x0, y0 = (int(min(c[i] for c in corners)) for i in (0, 1))
        x1, y1 = (int(max(c[i] for c in corners)) + 1 for i in (0, 1))
        picture = job.pictures[panel.number]
        image = Image.frombytes("RGB", (picture.width, picture.height), picture.rgb)
        long = max(np.hypot(a[0] - b[0], a[1] - b[1]) for a, b in zip(corners, [*corners[1:], corners[0]], strict=True))
        image = image.reduce(max(1, int(image.width / long)))
        w, h = image.size
        source = [(0, h), (w, h), (w, 0), (0, 0)]
        rows, want = [], []
        for (x, y), (u, v) in zip(corners, source, strict=True):
            x, y = x - x0, y - y0
            rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
            want += [u, v]
        data = np.linalg.solve(np.array(rows, float), np.array(want, float))
        warped = image.transform((x1 - x0, y1 - y0), Image.Transform.PERSPECTIVE, tuple(data), Image.Resampling.BICUBIC)
        canvas.paste(warped, (x0, y0))
    return canvas.reduce(FINE)


def ratios(a, b, rounds: int = ROUNDS) -> tuple[float, list[float]]:  # type: ignore[no-untyped-def]
    """Median of a's time over b's, in turn; the first round is not counted."""
    found = []
    for each in range(rounds + 1):
        took = []
        for run in (a, b) if each % 2 else (b, a):
            start = time.perf_counter()
            run()
            took.append(time.perf_counter() - start)
        took = took if each % 2 else took[::-1]
        if each:
            found.append(took[0] / took[1])
    return statistics.median(found), found


def say(name: str, bar: float, median: float, found: list[float], least: bool = False) -> None:
    good = median >= bar if least else median <= bar
    verdict = ("at least" if good else "UNDER") if least else ("within" if good else "OVER")
    print(f"{name}: {median:.2f} (from {min(found):.2f} to {max(found):.2f}), {verdict} its bar of {bar:g}")


def art_renders(folder: Path, job: Job) -> None:
    """The client's six pages to pixels, each in its confined child: what the chain does before a proof can begin."""
    from artgen.art import pixels

    for panel in job.sizing.panels:
        w, h = (max(p[i] for p in panel.art) for i in (0, 1))
        size = job.pictures[panel.number]
        step = w / size.width
        found = pixels(folder / "art.pdf", 0, (step, 0.0, 0.0, -step, 0.0, h), size.width, size.height)
        assert hasattr(found, "rgba"), found


def make_art(file: Path, job: Job) -> None:
    """One page of a photograph under lines and text, as large as a panel at 1:4."""
    from reportlab.lib.utils import ImageReader
    from reportlab.pdfgen import canvas

    panel = job.sizing.panels[0]
    w, h = (max(p[i] for p in panel.art) * 72 / 25.4 / 4 for i in (0, 1))
    page = canvas.Canvas(str(file), pagesize=(w, h))
    picture = job.pictures[panel.number]
    image = Image.frombytes("RGB", (picture.width, picture.height), picture.rgb).resize(
        (2400, 2400 * picture.height // picture.width)
    )
    page.drawImage(ImageReader(image), 0, 0, w, h)
    page.setFont("Helvetica", 20)
    for row in range(60):
        page.drawString(30, h - 30 - row * 20, "Sphagnum holds twenty times its own weight in water. " * 2)
    page.save()


def report() -> None:
    """Prints each ratio beside its bar."""
    say_ = words()
    cube = job_of(CUBE)
    structure = cube.sizing.structures[0]
    print(f"  one picture of {SIDE} px, {FINE} × supersampled")
    say(
        "proof, a picture over Pillow's perspective transforms",
        2.0,
        *ratios(lambda: axonometry(structure, cube.pictures, VIEW, SIDE, SIDE), lambda: bare(cube)),
    )
    six = job_of(BOX.format(n=1))
    assert len(six.sizing.panels) == 6
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        make_art(folder / "art.pdf", six)

        def renders() -> None:
            art_renders(folder, six)
            for one, view in all_views(six):
                axonometry(one, six.pictures, view.view, 1600, 1600, 1600.0)

        whole = ratios(lambda: list(proof_files(six, say_, Issue(), 1)), renders, 3)
        say("proof, six panels over the renders that they need", 2.0, *whole)

        def views() -> None:
            for one, view in all_views(six):
                axonometry(one, six.pictures, view.view, 1600, 1600, 1600.0)

        median, _ = ratios(lambda: list(proof_files(six, say_, Issue(), 1)), views, 3)
        print(f"  over its pictures of the structure alone, no client page counted: {median:.2f}, for the record")
    many = job_of("".join(BOX.format(n=n) for n in range(6)))
    if pool.processors() < 2:
        print("proof, two cores: not measured, this process has one")
    else:
        start = time.perf_counter()
        list(proof_files(many, say_, Issue(), 1))
        print(f"  36 panels on one core: {time.perf_counter() - start:.1f} s")
        gain = ratios(
            lambda: list(proof_files(many, say_, Issue(), 1)), lambda: list(proof_files(many, say_, Issue(), 2)), 2
        )
        say("proof, 36 panels, one core over two", 1.7, *gain, least=True)
        from templates import spin

        free = ratios(lambda: spin(1), lambda: spin(2), 2)
        print(f"  a bare loop gained {free[0]:.2f} at the same time; it gains 2 on a machine that does nothing else")
    for boxes in (1, 6):
        print(f"  {6 * boxes} panels drawn one after another: {memory(boxes):.0f} MB at most, less their own pictures")


def memory(boxes: int) -> float:
    """MB of a process that draws so many boxes, less what it had before it drew; in a process of its own."""
    run = (
        "import proof, resource as r\n"
        f"job = proof.job_of(''.join(proof.BOX.format(n=n) for n in range({boxes})))\n"
        "peak = lambda: r.getrusage(r.RUSAGE_SELF).ru_maxrss\n"
        "before = peak()\n"
        "for one in job.sizing.structures: proof.axonometry(one, job.pictures, proof.VIEW, 1600, 1600, 1600.0)\n"
        "print(peak() - before)"
    )
    done = subprocess.run(
        [sys.executable, "-c", run], cwd=Path(__file__).parent, capture_output=True, text=True, check=True
    )
    return int(done.stdout) / 1000


if __name__ == "__main__":
    report()

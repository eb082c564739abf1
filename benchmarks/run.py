"""The speed bars, as ratios of times taken side by side: `make bench`, or one of them by name.

Each bar runs both sides in turn, several times, and prints the median ratio with the bar. Whole processes are timed from
outside; where a bar excludes imports, both sides run in one warmed process and only the work is timed. Machines are noisy:
read the ratio, not the seconds.
"""

import argparse
import os
import signal
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import facts
import rasters

ROUNDS = 7
SHARES = (0.25, 0.5, 1.0)  # of the full size, to show how time grows


def side_by_side(
    a: Callable[[], object],
    b: Callable[[], object],
    rounds: int = ROUNDS,
    clock: Callable[[], float] = time.perf_counter,
) -> tuple[float, list[float]]:
    """Median of a's time over b's, taken in turn, and each round's ratio; one round of each is not counted."""
    ratios = []
    for i in range(rounds + 1):
        took = []
        for run in (a, b) if i % 2 else (b, a):
            start = clock()
            run()
            took.append(clock() - start)
        if not i % 2:
            took.reverse()
        if i:
            ratios.append(took[0] / took[1])
    return statistics.median(ratios), ratios


def help_time() -> None:
    """`artgen --help` against `python -c "import click"`, whole processes. Bar: 3."""
    artgen = Path(sys.executable).parent / "artgen"
    _say(
        "help",
        3.0,
        *side_by_side(
            lambda: _process([str(artgen), "--help"]), lambda: _process([sys.executable, "-c", "import click"]), 15
        ),
    )


def template_time() -> None:
    """All templates of a 100-panel order, SVG and PDF: on one core against cairosvg turning the same SVGs into PDF, and on two
    cores against one. Bars: 1, and 1.7 times as fast."""
    import templates

    templates.report()


def paths_facts() -> None:
    """Facts of a page of 50,000 paths against a bare pdfium walk and one unfiltered pikepdf parse. Bar: 2."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "paths.pdf"
        facts.paths_page(file)
        _facts_against("paths", 2.0, file, facts.bare_paths, 5)
        _growth("paths", facts.PATHS, facts.paths_page, file)


def text_facts() -> None:
    """Facts of 300 pages of text, 200,000 words, against a bare pdfium loop over all glyph boxes. Bar: 2.5."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "text.pdf"
        facts.text_pages(file)
        _facts_against("text", 2.5, file, facts.bare_glyphs, 3)
        _growth("pages", facts.TEXT_PAGES, facts.text_pages, file)


def _growth(what: str, most: int, make: Callable[[Path, int], None], file: Path) -> None:
    """Processor time of the facts at three sizes: the least of three, and what each piece takes."""
    from artgen.art.tasks import read_task

    for count in (round(most * share) for share in SHARES):
        make(file, count)
        took = []
        for _ in range(3):
            start = time.process_time()
            read_task(file, {}, file.parent)
            took.append(time.process_time() - start)
        print(f"  {count:,} {what}: {min(took):.2f} s, {min(took) / count * 1e6:,.0f} µs each")


def tiff_time() -> None:
    """A CMYK TIFF of 14,400 × 24,150 px, 1.39 GB, as `artgen check` reads it (benchmarks/rasters.py), against one libvips
    stats pass and the SHA-256 of the file; whole processes. Bars: 2.5, and 400 MB at most. Smaller ones show how time grows
    from what it takes to start, packed ones what unpacking costs; they have no bar."""
    for share in (0.001, *SHARES):
        _tiff_against("plain strips", share, 2.5 if share == 1 else None)
    _tiff_against("LZW tiles", SHARES[0], compression="lzw", tile=True)
    _tiff_against("LZW strips", SHARES[0], compression="lzw")
    _tiff_against("deflate strips", SHARES[0], compression="deflate")


def _tiff_against(name: str, share: float, bar: float | None = None, **options: object) -> None:
    if not rasters.room(share):
        print(f"tiff, {name}: not measured, {tempfile.gettempdir()} has no room for it")
        return
    with tempfile.TemporaryDirectory() as folder:
        file = rasters.order(Path(folder) / "order", share, **options)
        read, bare = rasters.command("read", Path(folder) / "order"), rasters.command("bare", file)
        took: list[float] = []

        def ours() -> None:
            start = time.perf_counter()
            subprocess.run(read, check=True)
            took.append(time.perf_counter() - start)

        result = side_by_side(ours, lambda: subprocess.run(bare, check=True), 3)
        pixels = share * rasters.WIDTH * rasters.HEIGHT / 1e6
        _say(f"tiff, {name}, {pixels:,.0f} megapixels, {file.stat().st_size / 1e9:.2f} GB", bar, *result)
        print(f"  {min(took):.1f} s at best, at most {rasters.peak_mb(read):.0f} MB of memory (bar: 400)")
        start = time.process_time()
        rasters.view(file)
        alone = time.process_time() - start
        print(f"  facts and one picture: {alone:.2f} s of the processor, {alone / pixels * 1000:.1f} ms a megapixel")
        if share == 1:
            start = time.perf_counter()
            artgen = Path(sys.executable).parent / "artgen"
            os.environ["ARTGEN_CACHE"] = ""
            _process([str(artgen), "check", str(Path(folder) / "order")])
            print(f"  the whole of `artgen check`, with the search for lettering: {time.perf_counter() - start:.1f} s")


def _facts_against(name: str, bar: float, file: Path, bare: Callable[[Path], int], rounds: int) -> None:
    """Both in this process, as processor time; then the whole way through a confined child, for the record."""
    from artgen.art import read
    from artgen.art.tasks import read_task

    def full() -> None:
        assert not any(page["not_seen"] for page in read_task(file, {}, file.parent)["facts"]["pages"])

    clock = time.process_time
    _say(name, bar, *side_by_side(full, lambda: bare(file), rounds, clock))
    median, _ = side_by_side(lambda: read(file), lambda: bare(file), 1)
    print(f"  the whole way, with the child's start and the checking of its answer: {median:.2f} of the same")


def check_cost() -> None:
    """`artgen check` of six panels: against the bare reads, renders and network runs that it needs, one network thread a process
    on both sides; on two cores against one; an unchanged second run. Bars: 1.5, 1.7 times as fast, 10 times as fast."""
    import checking

    checking.report(side_by_side, _say)


def size_cost() -> None:
    """Sizing: cost a panel at 10, 1,000 and 10,000 panels and against shapely; `artgen size` of 200 panels against bare
    imports, whole processes. Bars: 3 × four buffers, 20 % apart, 2."""
    import size

    size.report()
    artgen = Path(sys.executable).parent / "artgen"
    with tempfile.TemporaryDirectory() as folder:
        order = Path(folder) / "order.toml"
        bare = [sys.executable, "-c", "import click, cattrs, numpy, shapely"]
        for name, text in (("walls", size.order_text(200)), ("of many kinds", size.mixed_text(200))):
            order.write_text(text, encoding="utf-8")
            ours = [str(artgen), "size", str(order)]
            _say(
                f"size, 200 panels, {name}",
                2.0,
                *side_by_side(lambda ours=ours: _process(ours), lambda: _process(bare), 11),
            )


def proof_time() -> None:
    """A picture of 2000 px against Pillow's own perspective transforms of the same faces; the proof of six panels against the
    renders that it needs (client pages to pixels, pictures of the structure); two cores against one. Bars: 2, 2, and 1.7 times
    as fast."""
    import proof

    proof.report()


def _process(command: list[str]) -> None:
    subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=False)


def _say(name: str, bar: float | None, median: float, ratios: list[float]) -> None:
    verdict = "for the record" if bar is None else f"{'within' if median <= bar else 'OVER'} its bar of {bar:g}"
    print(f"{name}: ratio {median:.2f} (from {min(ratios):.2f} to {max(ratios):.2f}), {verdict}")


BARS = {
    "help": help_time,
    "templates": template_time,
    "check": check_cost,
    "size": size_cost,
    "proof": proof_time,
    "paths": paths_facts,
    "text": text_facts,
    "tiff": tiff_time,
}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(1))  # so that temporary folders, some of them huge, go
    parser.add_argument("bar", nargs="*", choices=[[], *BARS], help="which; default all")
    for name in parser.parse_args().bar or BARS:
        print(f"{name}: {BARS[name].__doc__}")
        BARS[name]()


if __name__ == "__main__":
    main()

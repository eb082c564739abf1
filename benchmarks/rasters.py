"""Large TIFFs to measure with, what is measured, and what it is measured against, each as a process of its own.

``python benchmarks/rasters.py read ORDER`` does what `artgen check` does with a folder, but for the search for lettering
in the picture that was made for it, which costs the same whatever the file: claims, facts, previews, that picture, rules.
``python benchmarks/rasters.py bare FILE`` is one libvips stats pass and the SHA-256 of the file.
"""

import hashlib
import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

WIDTH, HEIGHT = 14_400, 24_150  # pixels: 1.39 GB as CMYK
_BLOCK = 483  # rows made at a time
_ORDER = """
schema = 1
name = "large raster"
[[structure]]
name = "wall"
kind = "wall"
width = "{width:.0f} mm"
height = "{height:.0f} mm"
"""
_PPI = 120


def order(folder: Path, share: float, **options: object) -> Path:
    """An order of one panel, and its TIFF with ``share`` of all pixels, at the panel's art size; gives the TIFF."""
    import tomllib

    from artgen.order import from_tables
    from artgen.sizing import size_order
    from artgen.sizing.outline import size
    from artgen.structure.kinds import KINDS

    width, height = (round(n * share**0.5) for n in (WIDTH, HEIGHT))
    text = _ORDER.format(width=width / _PPI * 25.4 - 50, height=height / _PPI * 25.4 - 50)
    (folder / "art").mkdir(parents=True)
    (folder / "order.toml").write_text(text)
    sizing = size_order(from_tables(tomllib.loads(text), KINDS, folder, "order.toml"), KINDS)
    w, h = size(sizing.panels[0].art)
    file = folder / "art" / "panel-1.tif"
    _tiff(file, width, height, (width / w, height / h), **options)
    return file


def _tiff(file: Path, width: int, height: int, per_mm: tuple[float, float], **options: object) -> None:
    """Slopes of four inks with the grain of a photograph, written from the top in little memory."""
    import pyvips

    grain = np.random.default_rng(1).normal(0, 6, (_BLOCK, width, 4)).astype(np.float32)
    noise = pyvips.Image.new_from_array(grain.astype(np.int8)).replicate(1, -(-height // _BLOCK))
    places = pyvips.Image.xyz(width, height)
    inks = [places[0] * (share * 100 / width) + places[1] * (60 / height) + 30 for share in (1.0, 0.5, 0.2, 0.8)]
    picture = inks[0].bandjoin(inks[1:]) + noise.crop(0, 0, width, height)
    picture = picture.cast("uchar").copy(interpretation="cmyk", xres=per_mm[0], yres=per_mm[1])
    picture.tiffsave(str(file), **options)


def view(file: Path) -> None:
    """Facts and one picture of 4 megapixels of a raster, in this process."""
    from artgen.art.tasks import read_task, windows_task

    page = read_task(file, {}, file.parent)["facts"]["pages"][0]
    step = (page["width"] * page["height"] / 4e6) ** 0.5
    size = (int(page["width"] / step), int(page["height"] / step))
    window = (step, 0.0, 0.0, -step, 0.0, page["height"])
    with tempfile.TemporaryDirectory() as out:
        answer = windows_task(file, {"page": 0, "windows": [[*window, *size]], "frame": None}, Path(out))
    assert answer == {}, answer


def room(share: float) -> bool:
    """Whether the temporary folder has room for such a file and as much again."""
    return shutil.disk_usage(tempfile.gettempdir()).free > 2 * share * WIDTH * HEIGHT * 4


def command(what: str, path: Path) -> list[str]:
    return [sys.executable, __file__, what, str(path)]


def peak_mb(run: list[str]) -> float:
    """Most memory in MB (10^6) that a process and all below it hold at one time: the sum of their resident sets, which
    counts what they share several times. Asked every 20 ms; Linux only."""
    process = subprocess.Popen(run, stdout=subprocess.DEVNULL)
    most = 0
    while process.poll() is None:
        most = max(most, sum(map(_resident, _family(process.pid))))
        time.sleep(0.02)
    return most / 1e6


def _family(pid: int) -> list[int]:
    try:
        threads = list(Path(f"/proc/{pid}/task").iterdir())
        below = [int(child) for thread in threads for child in (thread / "children").read_text().split()]
    except OSError:
        return [pid]
    return [pid, *(one for child in below for one in _family(child))]


def _resident(pid: int) -> int:
    try:
        return int(Path(f"/proc/{pid}/statm").read_text().split()[1]) * os.sysconf("SC_PAGE_SIZE")
    except (OSError, IndexError):
        return 0


def _read(folder: Path) -> None:
    from artgen import job
    from artgen.cli.work import open_order
    from artgen.survey import looking
    from artgen.survey.lettering import Lettering

    os.environ["ARTGEN_CACHE"] = ""  # what is kept would be read, and what is not looked for kept as not there
    looking.lettering_seen = lambda plane, *_: Lettering((), frozenset(), 10 * plane.step, ())
    loaded, sizing = open_order(folder)
    done = job.run(loaded, sizing)
    assert len(done.pictures) == 1 and done.observations.laid[0].smallest > 0, done.findings


def _bare(file: Path) -> None:
    import pyvips

    pyvips.Image.new_from_file(str(file), access="sequential").stats()
    with file.open("rb") as stream:
        hashlib.file_digest(stream, "sha256").hexdigest()


if __name__ == "__main__":
    {"read": _read, "bare": _bare}[sys.argv[1]](Path(sys.argv[2]))

"""How fine the detail of a raster is, whatever holds its numbers. Pictures: noise whose power falls with the square of the
frequency, as pictures' does; enlarged by a whole number, which leaves the finest octaves empty."""

from pathlib import Path

import numpy as np
import pytest
import pyvips
from PIL import Image

from artgen.art.detail import best_squares, raster_detail
from artgen.art.raster import header

SIDE = 768


def picture(times: int) -> np.ndarray:
    """(768, 768) grey levels, enlarged ``times``."""
    side = SIDE // times
    far = np.hypot(np.fft.fftfreq(side)[:, None], np.fft.fftfreq(side)[None, :])
    far[0, 0] = 1.0
    grey = np.fft.ifft2(np.fft.fft2(np.random.default_rng(5).normal(size=(side, side))) / far).real
    levels = np.clip((grey - grey.mean()) / grey.std() * 55 + 128, 0, 255).astype(np.uint8)
    return np.asarray(Image.fromarray(levels).resize((SIDE, SIDE), Image.Resampling.BICUBIC))


def saved(file: Path, kind: str, grey: np.ndarray) -> Path:
    none = np.zeros_like(grey)
    if kind == "grey of 16 bits":
        levels = grey.astype(np.uint16) * 257
        pyvips.Image.new_from_array(levels).copy(interpretation="grey16").tiffsave(str(file))
    elif kind == "black ink alone":
        Image.fromarray(np.dstack([none, none, none, 255 - grey]), "CMYK").save(file)
    elif kind == "colours with a mask":
        mask = (np.indices(grey.shape).sum(axis=0) % 2 * 255).astype(np.uint8)  # finer than any detail
        Image.fromarray(np.dstack([grey, grey, grey, mask]), "RGBA").save(file)
    else:
        Image.fromarray(np.dstack([grey] * 3)).save(file)
    return file


@pytest.mark.parametrize("kind", ["colours", "colours with a mask", "grey of 16 bits", "black ink alone"])
@pytest.mark.parametrize(("times", "least", "most"), [(1, 0.99, 1.0), (4, 0.17, 0.36)])
def test_detail_is_told_whatever_holds_the_numbers(
    kind: str, times: int, least: float, most: float, tmp_path: Path
) -> None:
    """In steps of √2: enlarged 4 times it is a quarter, or a step more or less."""
    file = saved(tmp_path / "picture.tiff", kind, picture(times))
    told = raster_detail(file, header(file, "tiff"))
    assert told is not None
    assert least <= told <= most


def test_squares_with_the_most_contrast_come_first() -> None:
    """Of 4 × 3 squares three hold stripes: steps of 200, 100 and 50 levels from pixel to pixel."""
    sheet = np.full((384, 512, 3), 30, np.uint8)
    for (row, column), level in {(1, 2): 230, (0, 3): 130, (2, 0): 80}.items():
        sheet[row * 128 : row * 128 + 128, column * 128 : column * 128 + 128 : 2] = level
    found = best_squares(iter(np.split(sheet, 3)))
    assert [float(square.max()) for square in found[:4]] == [230, 130, 80, 30]
    assert all(square.shape == (128, 128) for square in found)


def test_a_picture_smaller_than_a_square_tells_nothing(tmp_path: Path) -> None:
    for high, wide in ((100, 100), (500, 100), (100, 500)):
        file = saved(tmp_path / "picture.tiff", "colours", picture(1)[:high, :wide])
        assert raster_detail(file, header(file, "tiff")) is None

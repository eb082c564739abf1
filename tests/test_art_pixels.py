"""Windows of pages: every coloured cell lands where the window's six numbers say, whatever the turn or the format.

The page is a grid of 4 × 3 cells of 10 mm, each with its own colour, in a page of 40 × 30 mm. Cell (column, row), row 0 at
the bottom, has the colour (column × 60, row × 100, 128), so where it lies can be worked out by hand.
"""

import io
import math
import struct
from collections.abc import Callable
from pathlib import Path

import bad_art
import numpy as np
import pikepdf
import pytest
import pyvips
from PIL import Image, ImageCms

from artgen.art import FileFacts, FileFault, Pixels, pixels, raster, raster_pixels, read, reading, windows
from artgen.art.mapping import Matrix, apply
from artgen.art.masking import clip
from artgen.art.raster import pixel_mm
from artgen.art.raster_pixels import raster_windows
from artgen.units import PT_PER_MM

COLUMNS, ROWS, CELL = 4, 3, 10.0
WIDTH, HEIGHT = COLUMNS * CELL, ROWS * CELL


def colour(column: int, row: int) -> tuple[int, int, int]:
    return (column * 60, row * 100, 128)


def as_raster(per_mm: int = 4) -> Image.Image:
    image = Image.new("RGB", (int(WIDTH) * per_mm, int(HEIGHT) * per_mm))
    step = int(CELL) * per_mm
    for column in range(COLUMNS):
        for row in range(ROWS):
            top = (ROWS - 1 - row) * step
            image.paste(colour(column, row), (column * step, top, (column + 1) * step, top + step))
    return image


def write_pdf(file: Path, rotate: int = 0, crop: list[float] | None = None, unit: float = 1.0) -> None:
    """The grid as shown: for a turned page its contents are turned back, the media box begins at (70, 30) points."""
    scale = PT_PER_MM / unit
    w, h = WIDTH * scale, HEIGHT * scale
    place = {
        0: (scale, 0, 0, scale, 0, 0),
        90: (0, scale, -scale, 0, h, 0),
        180: (-scale, 0, 0, -scale, w, h),
        270: (0, -scale, scale, 0, 0, w),
    }[rotate]
    cells = [
        "{:.6f} {:.6f} {:.6f} rg {} {} {} {} re f".format(
            *(c / 255 for c in colour(i, j)), i * CELL, j * CELL, CELL, CELL
        )
        for i in range(COLUMNS)
        for j in range(ROWS)
    ]
    numbers = " ".join(f"{value:.6f}" for value in (*place[:4], place[4] + 70, place[5] + 30))
    with pikepdf.new() as pdf:
        pdf.add_blank_page(page_size=(100, 100))
        page = pdf.pages[0]
        page.MediaBox = [70, 30, 70 + (w if rotate % 180 == 0 else h), 30 + (h if rotate % 180 == 0 else w)]
        page.Rotate, page.UserUnit = rotate, unit
        page.Contents = pdf.make_stream(f"{numbers} cm\n{chr(10).join(cells)}".encode())
        if crop:
            page.CropBox = [70 + crop[0] * scale, 30 + crop[1] * scale, 70 + crop[2] * scale, 30 + crop[3] * scale]
        pdf.save(file)


def write_svg(file: Path, size: str = 'width="40mm" height="30mm"') -> None:
    cells = "".join(
        f'<rect x="{i * CELL}" y="{HEIGHT - (j + 1) * CELL}" width="10" height="10" fill="rgb{colour(i, j)}"/>'
        for i in range(COLUMNS)
        for j in range(ROWS)
    )
    file.write_text(f'<svg xmlns="http://www.w3.org/2000/svg" {size} viewBox="0 0 40 30">{cells}</svg>')


def write_raster(file: Path, **options: object) -> None:
    as_raster().save(file, dpi=(101.6, 101.6), **options)  # 4 pixels a mm


WRITERS: dict[str, Callable[[Path], None]] = {
    "page.pdf": write_pdf,
    "turned.pdf": lambda file: write_pdf(file, 90),
    "upside.pdf": lambda file: write_pdf(file, 180),
    "right.pdf": lambda file: write_pdf(file, 270),
    "unit.pdf": lambda file: write_pdf(file, 90, unit=2.5),
    "page.svg": write_svg,
    "page.tiff": write_raster,
    "lzw.tiff": lambda file: write_raster(file, compression="tiff_lzw"),
    "page.png": write_raster,
}


def seen(file: Path, window: Matrix, width: int, height: int, page: int = 0) -> np.ndarray:
    got = pixels(file, page, window, width, height)
    assert isinstance(got, Pixels), got
    assert (got.width, got.height) == (width, height)
    return np.frombuffer(got.rgba, np.uint8).reshape(height, width, 4)


def upright(scale: float, left: float = 0.0, top: float = HEIGHT) -> Matrix:
    """``scale`` mm a pixel, upper left of the output at (left, top)."""
    return (scale, 0, 0, -scale, left, top)


def tilted(degrees: float, scale: float, size: int) -> Matrix:
    """Output turned anticlockwise by ``degrees`` on the page, its centre on the page's centre."""
    cos, sin = scale * math.cos(math.radians(degrees)), scale * math.sin(math.radians(degrees))
    x, y = apply((cos, sin, sin, -cos, 0, 0), (size / 2, size / 2))
    return (cos, sin, sin, -cos, WIDTH / 2 - x, HEIGHT / 2 - y)


def assert_grid(shot: np.ndarray, window: Matrix, within: int = 2, margin: float = 1.0) -> None:
    """Every pixel whose centre is ``margin`` pixels inside a cell has its colour; outside the page, alpha 0."""
    height, width = shot.shape[:2]
    pixel = math.hypot(window[0], window[1]) * margin
    cells = set()
    for y in range(0, height, 3):
        for x in range(0, width, 3):
            mx, my = apply(window, (x + 0.5, y + 0.5))
            if mx < -pixel or my < -pixel or mx > WIDTH + pixel or my > HEIGHT + pixel:
                assert shot[y, x, 3] == 0, (x, y, mx, my)
            column, row = math.floor(mx / CELL), math.floor(my / CELL)
            inside = min(mx - column * CELL, my - row * CELL, (column + 1) * CELL - mx, (row + 1) * CELL - my)
            if 0 <= column < COLUMNS and 0 <= row < ROWS and inside > pixel:
                cells.add((column, row))
                assert shot[y, x, 3] == 255, (x, y, mx, my)
                expected = colour(column, row)
                assert max(abs(int(p) - q) for p, q in zip(shot[y, x, :3], expected, strict=True)) <= within, (x, y)
    assert len(cells) == COLUMNS * ROWS


@pytest.mark.parametrize("name", WRITERS)
@pytest.mark.parametrize("degrees", [0, 30, 90, 200])
def test_cells_land_where_the_window_says(tmp_path: Path, name: str, degrees: float) -> None:
    file = tmp_path / name
    WRITERS[name](file)
    window = tilted(degrees, 0.37, 150)  # 55.5 mm across: all of the page and its surroundings
    assert_grid(seen(file, window, 150, 150), window, margin=1.5)


@pytest.mark.parametrize("name", ["page.pdf", "page.svg", "page.tiff"])
def test_a_close_view_and_a_far_one(tmp_path: Path, name: str) -> None:
    file = tmp_path / name
    WRITERS[name](file)
    close = seen(file, upright(0.01, 19, 21), 200, 200)  # 100 pixels a mm round the vertex of four cells at (20, 20)
    assert tuple(close[40, 40, :3]) == pytest.approx(colour(1, 2), abs=2)
    assert tuple(close[40, 160, :3]) == pytest.approx(colour(2, 2), abs=2)
    assert tuple(close[160, 40, :3]) == pytest.approx(colour(1, 1), abs=2)
    assert tuple(close[160, 160, :3]) == pytest.approx(colour(2, 1), abs=2)
    rim = seen(file, upright(0.01, -0.1, HEIGHT + 0.1), 40, 40)  # the page begins at pixel (10, 10)
    assert tuple(rim[11, 11]) == pytest.approx((*colour(0, 2), 255), abs=2)
    assert rim[8, 30, 3] == rim[30, 8, 3] == 0
    far = seen(file, upright(10), 4, 3)  # one pixel a cell
    assert tuple(far[0, 3, :3]) == pytest.approx(colour(3, 2), abs=3)
    assert tuple(far[2, 0, :3]) == pytest.approx(colour(0, 0), abs=3)


@pytest.mark.parametrize("name", ["page.pdf", "page.png"])
def test_fine_lines_average_out(tmp_path: Path, name: str) -> None:
    """Black and white lines of one stored pixel, seen 8 pixels to one, are an even grey, not a moiré."""
    stripes = np.zeros((240, 320, 3), np.uint8)
    stripes[:, ::2] = 255
    file = tmp_path / name
    if name.endswith("png"):
        Image.fromarray(stripes).save(file, dpi=(25.4, 25.4))
    else:
        with pikepdf.new() as pdf:
            pdf.add_blank_page(page_size=(320 * PT_PER_MM, 240 * PT_PER_MM))
            image = pdf.make_stream(stripes.tobytes(), Type=pikepdf.Name.XObject, Subtype=pikepdf.Name.Image)
            image.Width, image.Height, image.BitsPerComponent, image.ColorSpace = 320, 240, 8, pikepdf.Name.DeviceRGB
            pdf.pages[0].Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(I=image))
            pdf.pages[0].Contents = pdf.make_stream(b"%.6f 0 0 %.6f 0 0 cm /I Do" % (320 * PT_PER_MM, 240 * PT_PER_MM))
            pdf.save(file)
    shot = seen(file, (8, 0, 0, -8, 0, 240), 40, 30)[2:-2, 2:-2, :3].astype(int)
    assert abs(shot - 127.5).max() < 12


def test_outside_the_crop_box_nothing_is_painted(tmp_path: Path) -> None:
    file = tmp_path / "page.pdf"
    write_pdf(file, crop=[5, 5, 25, 25])  # mm
    shot = seen(file, upright(0.5), 80, 60)
    assert (shot[..., 3] > 0).sum() == (25 - 5) / 0.5 * ((25 - 5) / 0.5)
    assert shot[10, 10, 3] == 255
    assert tuple(shot[10, 10, :3]) == pytest.approx(colour(0, 2), abs=2)  # at (5.25, 24.75) mm
    assert shot[9, 10, 3] == shot[10, 9, 3] == shot[50, 10, 3] == shot[10, 50, 3] == 0


def test_alpha_is_straight(tmp_path: Path) -> None:
    """Half-transparent pure red stays pure red with half alpha, in a PDF and in a PNG."""
    with pikepdf.new() as pdf:
        pdf.add_blank_page(page_size=(100, 100))
        state = pikepdf.Dictionary(Type=pikepdf.Name.ExtGState, ca=0.5)
        pdf.pages[0].Resources = pikepdf.Dictionary(ExtGState=pikepdf.Dictionary(G=state))
        pdf.pages[0].Contents = pdf.make_stream(b"/G gs 1 0 0 rg 20 20 60 60 re f")
        pdf.save(tmp_path / "half.pdf")
    picture = Image.new("RGBA", (100, 100), (0, 0, 0, 0))
    picture.paste((255, 0, 0, 128), (20, 20, 80, 80))
    picture.save(tmp_path / "half.png")
    for name, step in (("half.pdf", 2 / PT_PER_MM), ("half.png", 2.0)):
        top = 100 * step / 2
        shot = seen(tmp_path / name, (step, 0, 0, -step, 0, top), 50, 50)
        assert tuple(shot[25, 25]) == pytest.approx((255, 0, 0, 128), abs=1), name
        assert shot[5, 5, 3] == 0, name


@pytest.mark.parametrize("orientation", range(1, 9))
def test_exif_orientation(tmp_path: Path, orientation: int) -> None:
    """Stored turned or mirrored as the EXIF standard words it (row 0 and column 0 are …), seen the right way."""
    shown = as_raster()
    undo = {
        1: None,
        2: Image.Transpose.FLIP_LEFT_RIGHT,  # 0th row = top, 0th column = right
        3: Image.Transpose.ROTATE_180,
        4: Image.Transpose.FLIP_TOP_BOTTOM,
        5: Image.Transpose.TRANSPOSE,  # 0th row = left, 0th column = top
        6: Image.Transpose.ROTATE_90,  # 0th row = right, 0th column = top
        7: Image.Transpose.TRANSVERSE,
        8: Image.Transpose.ROTATE_270,
    }[orientation]
    stored = shown if undo is None else shown.transpose(undo)
    exif = Image.Exif()
    exif[274] = orientation
    file = tmp_path / "photo.jpg"
    stored.save(file, quality=98, subsampling=0, dpi=(101.6, 101.6), exif=exif)
    page = read(file).pages[0]
    assert page.pixels == (160, 120)
    # JFIF holds whole numbers an inch: 102 for 101.6
    assert (page.width, page.height) == pytest.approx((160 / 102 * 25.4, 120 / 102 * 25.4))
    scale = page.width / 40
    window = upright(1.0 * scale, 0, page.height)
    assert_grid(seen(file, window, 40, 30), upright(1.0), within=4, margin=2.0)


def coloured(colour: list[int], profile: str) -> pyvips.Image:
    """A plain 16 × 16 picture of an sRGB colour in another colour profile, which it carries."""
    plain = pyvips.Image.black(16, 16, bands=3).new_from_image(colour).cast("uchar").copy(interpretation="srgb")
    return plain.icc_transform(profile, input_profile="srgb", intent="relative", depth=8)


def by_littlecms(file: Path) -> tuple[int, ...]:
    """The first pixel as sRGB, through the profile in the file, by another library (Pillow's littlecms)."""
    with Image.open(file) as image:
        source = ImageCms.ImageCmsProfile(io.BytesIO(image.info["icc_profile"]))
        target = ImageCms.createProfile("sRGB")
        intent = ImageCms.Intent.RELATIVE_COLORIMETRIC
        turned = ImageCms.profileToProfile(image, source, target, renderingIntent=intent, outputMode="RGB")
        assert turned is not None
        return tuple(turned.getpixel((8, 8)))


@pytest.mark.parametrize("profile", ["p3", "cmyk"])
def test_the_profile_in_the_file_is_used(tmp_path: Path, profile: str) -> None:
    file = tmp_path / "colour.tiff"
    stored = coloured([190, 90, 80], profile)
    stored.tiffsave(str(file))
    shot = seen(file, (1, 0, 0, -1, 0, 16), 16, 16)[8, 8]
    assert tuple(shot[:3]) == pytest.approx(by_littlecms(file), abs=2)
    assert tuple(shot[:3]) != pytest.approx(stored(8, 8)[:3], abs=5)


def test_a_cmyk_profile_of_its_own_is_used(tmp_path: Path) -> None:
    """A profile unlike the generic one: the same with every number of its table of colours turned over."""
    stored = coloured([190, 90, 80], "cmyk")
    profile = bytearray(stored.get("icc-profile-data"))
    count = struct.unpack_from(">I", profile, 128)[0]
    tags = {name: (at, size) for name, at, size in struct.iter_unpack(">4sII", profile[132 : 132 + 12 * count])}
    for at, size in {tags[name] for name in (b"A2B0", b"A2B1", b"A2B2")}:  # a set: some share one table
        middle = slice(at + size // 10, at + size * 9 // 10)  # past its input curves, before its output curves
        profile[middle] = bytes(255 - value for value in profile[middle])
    changed = stored.copy()
    changed.set_type(pyvips.GValue.blob_type, "icc-profile-data", bytes(profile))
    changed.tiffsave(str(tmp_path / "own.tiff"))
    stored.tiffsave(str(tmp_path / "generic.tiff"))
    window: Matrix = (1, 0, 0, -1, 0, 16)
    own, generic = (seen(tmp_path / f"{name}.tiff", window, 16, 16)[8, 8].astype(int) for name in ("own", "generic"))
    assert tuple(own[:3]) == pytest.approx(by_littlecms(tmp_path / "own.tiff"), abs=2)
    assert tuple(own[:3]) != pytest.approx(tuple(generic[:3]), abs=10)


def test_cmyk_without_a_profile_takes_the_generic_one(tmp_path: Path) -> None:
    """The same inks with the generic profile in the file and with none give the same colour; no ink gives white."""
    stored = coloured([190, 90, 80], "cmyk")
    stored.tiffsave(str(tmp_path / "with.tiff"))
    stored.tiffsave(str(tmp_path / "without.tiff"), keep="none")
    with Image.open(tmp_path / "without.tiff") as image:
        assert "icc_profile" not in image.info
    window: Matrix = (1, 0, 0, -1, 0, 16)
    expected = seen(tmp_path / "with.tiff", window, 16, 16)
    assert np.array_equal(seen(tmp_path / "without.tiff", window, 16, 16), expected)
    Image.new("CMYK", (16, 16)).save(tmp_path / "white.tiff")
    assert seen(tmp_path / "white.tiff", window, 16, 16)[8, 8].min() >= 254


def test_channels_beside_the_picture_are_no_transparency(tmp_path: Path) -> None:
    """A CMYK TIFF with a spot channel (ExtraSamples 0): opaque, and the channel named as not seen."""
    spot = pyvips.Image.black(16, 16, bands=5).new_from_image([0, 0, 0, 0, 90]).cast("uchar")
    file = tmp_path / "spot.tiff"
    spot.copy(interpretation="cmyk").tiffsave(str(file))
    data = bytearray(file.read_bytes())
    at = data.index(bytes([0x52, 0x01]))  # tag 338, ExtraSamples, little-endian: type, count, then its value
    data[at + 8 : at + 10] = b"\0\0"
    file.write_bytes(data)
    facts = read(file)
    assert isinstance(facts, FileFacts)
    assert any("extra channel" in line for line in facts.pages[0].not_seen)
    assert seen(file, (1, 0, 0, -1, 0, 16), 16, 16)[8, 8].min() >= 254


def test_spoilt_pixels_are_a_fault(tmp_path: Path) -> None:
    got = pixels(bad_art.spoilt_png(tmp_path), 0, (1, 0, 0, -1, 0, 64), 64, 64)
    assert isinstance(got, FileFault)
    assert (got.kind, got.format) == ("damaged", "png")


def test_windows_that_make_no_sense(tmp_path: Path) -> None:
    file = tmp_path / "page.png"
    write_raster(file)
    for window, width, height in [((1, 0, 0, 0, 0, 0), 9, 9), (upright(1), 0, 9), (upright(1), 20_000, 20_000)]:
        with pytest.raises(ValueError, match=r"window|mapping"):
            pixels(file, 0, window, width, height)
    assert isinstance(pixels(file, 3, upright(1), 9, 9), FileFault)


def test_several_windows_are_what_each_is_alone(tmp_path: Path) -> None:
    asked = [(upright(1), 40, 30), ((0.5, 0.2, 0.2, -0.5, 3.0, 9.0), 25, 60), (upright(1), 1, 1)]
    for name in ("page.pdf", "page.svg", "page.png"):
        WRITERS[name](tmp_path / name)
        together = windows(tmp_path / name, 0, asked)
        assert together == [pixels(tmp_path / name, 0, *one) for one in asked]
    assert windows(tmp_path / "page.pdf", 0, []) == []


def test_windows_that_are_too_much_together_come_one_after_the_other(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_raster(tmp_path / "page.png")
    asked = [(upright(1), 40, 30), (upright(0.5), 80, 60), (upright(2), 20, 15), (upright(1), 40, 30)]
    expected = windows(tmp_path / "page.png", 0, asked)
    told: list[int] = []
    ask = reading._ask
    monkeypatch.setattr(reading, "_ask", lambda *args: told.append(len(args[2]["windows"])) or ask(*args))
    monkeypatch.setattr(reading, "MAX_OUTPUT_PIXELS", 4_800)  # the largest alone
    assert windows(tmp_path / "page.png", 0, asked) == expected
    assert told == [1, 1, 2]


def large(file: Path, kind: str) -> None:
    """The grid at 12 pixels a mm, which 7 and 8 don't divide: grey values as inks, or turned as EXIF says."""
    image = as_raster(12)
    options: dict[str, object] = {"dpi": (304.8, 304.8)}
    if kind == "turned.jpg":
        exif = Image.Exif()
        exif[274] = 6  # 0th row = right, 0th column = top
        image, options = (
            image.transpose(Image.Transpose.ROTATE_90),
            options | {"exif": exif, "quality": 98, "subsampling": 0},
        )
    if kind == "inks.tiff":
        inks = coloured([0, 0, 0], "cmyk").get("icc-profile-data")
        source, target = ImageCms.createProfile("sRGB"), ImageCms.ImageCmsProfile(io.BytesIO(bytes(inks)))
        image = ImageCms.profileToProfile(image, source, target, outputMode="CMYK")
        options["icc_profile"] = bytes(inks)
    image.save(file, **options)


@pytest.mark.parametrize("kind", ["page.tiff", "inks.tiff", "turned.jpg"])
def test_a_large_raster_is_read_once_for_all_windows(
    kind: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As it is for each alone, but for the edges of cells, which lie within two pixels of where they were."""
    file = tmp_path / kind
    large(file, kind)
    header = raster.header(file, "jpeg" if kind.endswith("jpg") else "tiff")
    fit = pixel_mm(header)[0] * 12  # JFIF holds whole numbers an inch: 305 for 304.8
    asked = [(tuple(value * fit for value in window), size) for window, size in WINDOWS]
    alone = [np.asarray(next(raster_windows(file, header, [one]))) for one in asked]
    opened = raster_pixels.opened
    times: list[Path] = []
    monkeypatch.setattr(raster_pixels, "opened", lambda *args, **more: times.append(args[0]) or opened(*args, **more))
    monkeypatch.setattr(raster_pixels, "_LARGE", 0)
    together = [np.asarray(one) for one in raster_windows(file, header, asked)]
    assert len(times) == 2  # for the smaller copy, and for the window that is finer than that
    for one, other, (window, _) in zip(together, alone, WINDOWS, strict=True):
        if window is not WINDOWS[2][0] and kind != "inks.tiff":  # which can't hold all of these colours
            assert_grid(one, window, within=4, margin=2.0)
        off = abs(one.astype(int) - other)
        assert off[..., 3].max() <= 1
        assert np.quantile(off, 0.9) <= 1
        assert off.mean() < 1.5


WINDOWS: list[tuple[Matrix, tuple[int, int]]] = [
    (upright(0.6), (67, 50)),  # 7.2 stored pixels a pixel: the copy has every seventh
    (tilted(30, 0.75, 80), (80, 80)),
    (upright(0.1, 15, 25), (100, 100)),
]


def test_a_picture_is_clipped_alike_in_all_its_rows() -> None:
    """The middle of a slanted side: coverage by the signed distance of each pixel's centre, worked out here for all at once."""
    rgba = np.full((300, 50, 4), 255, np.uint8)
    outline = [(5.0, 2.0), (40.0, 30.0), (30.0, 290.0), (2.0, 280.0)]
    clip(rgba, outline)
    y, x = np.mgrid[0:300, 0:50] + 0.5
    cover = np.ones((300, 50))
    for (px, py), (qx, qy) in zip(outline, outline[1:] + outline[:1], strict=True):
        inwards = ((qx - px) * (y - py) - (qy - py) * (x - px)) / math.dist((px, py), (qx, qy))
        cover *= np.clip(inwards + 0.5, 0, 1)
    assert abs(rgba[..., 3] - 255 * cover).max() <= 1.5  # rounded once a side
    assert (rgba[..., :3] == 255).all()


def test_a_window_beside_the_page_is_clear(tmp_path: Path) -> None:
    for name in ("page.pdf", "page.png"):
        WRITERS[name](tmp_path / name)
        assert not seen(tmp_path / name, upright(0.5, 500, 500), 20, 20)[..., 3].any()


def test_reading_leaves_the_file_alone(tmp_path: Path) -> None:
    for name in ("page.pdf", "page.svg", "page.png"):
        WRITERS[name](tmp_path / name)
        before = (tmp_path / name).read_bytes()
        read(tmp_path / name)
        seen(tmp_path / name, upright(1), 40, 30)
        assert (tmp_path / name).read_bytes() == before
    assert sorted(path.name for path in tmp_path.iterdir()) == ["page.pdf", "page.png", "page.svg"]


def test_same_input_same_pixels(tmp_path: Path) -> None:
    write_svg(tmp_path / "page.svg")
    window = tilted(30, 0.5, 80)
    first = pixels(tmp_path / "page.svg", 0, window, 80, 80)
    reading._converted.clear()
    assert pixels(tmp_path / "page.svg", 0, window, 80, 80) == first

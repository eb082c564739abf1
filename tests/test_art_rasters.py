"""Rasters as they really come: every way of storing them, by facts and pixels, with another library as the witness.

One picture of flat fields and slopes goes into each file. What libvips wrote is read by Pillow or tifffile, what Pillow
or tifffile wrote by artgen (libvips) and the other one; colours of CMYK go through the profile by Pillow's littlecms.
"""

import io
import struct
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
import pyvips
import tifffile
from attrs import frozen
from numpy.typing import NDArray
from PIL import Image, ImageCms, ImageOps, TiffImagePlugin

from artgen.art import FileFacts, FileFault, PageFacts, answers, jpeg, pixels, raster, read, tiff
from artgen.art.faults import ArtFault
from artgen.art.tasks import read_task

W, H = 160, 120
Pixels8 = NDArray[np.uint8]


def fields() -> Pixels8:
    x, y = np.meshgrid(np.arange(W), np.arange(H))
    rgb = np.stack((x * 255 // W, y * 255 // H, (x + y) // 2), axis=2).astype(np.uint8)
    rgb[30:90, 40:80] = (220, 40, 60)
    rgb[30:90, 80:120] = (20, 90, 200)
    return rgb


RGB = fields()
GREY = RGB[..., 1].copy()
CMYK = np.dstack((RGB, RGB[..., 0] // 4)).astype(np.uint8)
ALPHA = np.where(np.arange(W)[None] < 100, 255, 100).repeat(H, 0).reshape(H, W).astype(np.uint8)


def generic_profile() -> bytes:
    """The CMYK profile that libvips carries."""
    plain = pyvips.Image.black(1, 1, bands=3).copy(interpretation="srgb")
    return bytes(plain.icc_transform("cmyk", input_profile="srgb").get("icc-profile-data"))


def in_rgb(inks: Pixels8) -> Pixels8:
    """CMYK ink to sRGB through the generic profile, by littlecms."""
    source = ImageCms.ImageCmsProfile(io.BytesIO(generic_profile()))
    intent = ImageCms.Intent.RELATIVE_COLORIMETRIC
    image = Image.fromarray(np.ascontiguousarray(inks), "CMYK")
    target = ImageCms.createProfile("sRGB")
    turned = ImageCms.profileToProfile(image, source, target, renderingIntent=intent, outputMode="RGB")
    assert turned is not None
    return np.asarray(turned)


def vips(array: NDArray[np.generic], interpretation: str = "srgb") -> pyvips.Image:
    return pyvips.Image.new_from_array(array).copy(interpretation=interpretation, xres=10, yres=10)  # pixels a mm


def wide(array: Pixels8) -> NDArray[np.uint16]:
    return array.astype(np.uint16) * 257


# witnesses: what another library reads, as RGB or RGBA, colours straight


def by_pillow(file: Path) -> Pixels8:
    with Image.open(file) as image:
        if image.mode == "CMYK":
            return in_rgb(np.asarray(image))
        alpha = image.mode in ("RGBA", "LA", "PA") or "transparency" in image.info
        return np.asarray(image.convert("RGBA" if alpha else "RGB"))


def by_tifffile(file: Path) -> Pixels8:
    """Channels last, the colours alone, brought to 8 bits."""
    with tifffile.TiffFile(file) as opened:
        page = opened.pages[0]
        array = page.asarray()
        if page.planarconfig == 2:
            array = np.moveaxis(array, 0, 2)
        if array.dtype == np.uint16:
            array = (array // 257).astype(np.uint8)
        if array.ndim == 2:
            array = np.repeat(array[..., None], 3, axis=2)
        return in_rgb(array[..., :4]) if page.photometric == 5 else array[..., :3]


@frozen
class Kind:
    """How a file is made, who witnesses it, what its facts must say."""

    make: Callable[[Path], object]
    witness: Callable[[Path], Pixels8]
    space: str = "RGB"
    bits: int = 8
    within: int = 1
    beside: int = 0


def by_vips(
    array: NDArray[np.generic] = RGB, interpretation: str = "srgb", **options: object
) -> Callable[[Path], object]:
    return lambda file: vips(array, interpretation).write_to_file(str(file), **options)


def tiff_file(array: NDArray[np.generic], **options: object) -> Callable[[Path], object]:
    def write(file: Path) -> None:
        big = {key: options.pop(key) for key in ("bigtiff", "byteorder") if key in options}
        with tifffile.TiffWriter(file, **big) as writer:
            writer.write(array, resolution=(254, 254), resolutionunit="INCH", metadata=None, **options)

    return write


def pil(array: Pixels8, mode: str | None = None, **options: object) -> Callable[[Path], object]:
    def write(file: Path) -> None:
        image = Image.fromarray(array, mode) if mode in ("CMYK", "RGBA", "LA") else Image.fromarray(array)
        image = image.convert(mode) if mode in ("P", "1") else image
        image.save(file, dpi=(254, 254), **options)

    return write


def apart(array: NDArray[np.generic]) -> NDArray[np.generic]:
    return np.ascontiguousarray(np.moveaxis(array, 2, 0))


SPOT = np.dstack((CMYK, GREY)).astype(np.uint8)
SPOT_ALPHA = np.dstack((RGB, GREY, ALPHA)).astype(np.uint8)
PAL = np.dstack((RGB, ALPHA))
KINDS: dict[str, Kind] = {
    # TIFF
    "plain-strips.tif": Kind(tiff_file(RGB, rowsperstrip=7), by_pillow),
    "plain-one-strip.tif": Kind(tiff_file(RGB, rowsperstrip=H), by_pillow),
    "lzw-strips.tif": Kind(by_vips(compression="lzw", predictor="none"), by_pillow),
    "lzw-predictor.tif": Kind(by_vips(compression="lzw", predictor="horizontal"), by_pillow),
    "deflate-strips.tif": Kind(tiff_file(RGB, compression="zlib", rowsperstrip=16), by_pillow),
    "deflate-one-strip.tif": Kind(tiff_file(RGB, compression="zlib", rowsperstrip=H), by_tifffile),
    "deflate-predictor.tif": Kind(by_vips(compression="deflate", predictor="horizontal"), by_pillow),
    "packbits.tif": Kind(pil(RGB, compression="packbits"), by_pillow),
    "jpeg-strips.tif": Kind(by_vips(compression="jpeg", Q=90), by_pillow, within=3),
    "plain-tiles.tif": Kind(by_vips(tile=True, tile_width=32, tile_height=48), by_tifffile),
    "lzw-tiles.tif": Kind(by_vips(tile=True, compression="lzw"), by_pillow),
    "deflate-tiles.tif": Kind(by_vips(tile=True, compression="deflate"), by_tifffile),
    "jpeg-tiles.tif": Kind(by_vips(tile=True, compression="jpeg", Q=90), by_pillow, within=3),
    "big.tif": Kind(tiff_file(RGB, bigtiff=True, compression="zlib"), by_tifffile),
    "big-tiles.tif": Kind(by_vips(bigtiff=True, tile=True, compression="lzw"), by_pillow),
    "most-significant-first.tif": Kind(tiff_file(RGB, byteorder=">"), by_pillow),
    "16-bit.tif": Kind(tiff_file(wide(RGB), compression="zlib"), by_tifffile, bits=16),
    "16-bit-first.tif": Kind(tiff_file(wide(RGB), byteorder=">"), by_tifffile, bits=16),
    "16-bit-predictor.tif": Kind(by_vips(wide(RGB), "rgb16", compression="lzw"), by_pillow, bits=16),
    "16-bit-grey.tif": Kind(tiff_file(wide(GREY)), by_tifffile, "Grey", 16),
    "16-bit-cmyk.tif": Kind(tiff_file(wide(CMYK), photometric="separated"), by_tifffile, "CMYK", 16, within=2),
    "apart.tif": Kind(tiff_file(apart(RGB), photometric="rgb", planarconfig="separate", rowsperstrip=9), by_tifffile),
    "apart-deflate.tif": Kind(
        tiff_file(apart(CMYK), photometric="separated", planarconfig="separate", compression="zlib", rowsperstrip=H),
        by_tifffile,
        "CMYK",
        within=2,
    ),
    "apart-16-bit.tif": Kind(
        tiff_file(apart(wide(RGB)), photometric="rgb", planarconfig="separate", byteorder=">"), by_tifffile, bits=16
    ),
    "cmyk.tif": Kind(pil(CMYK, "CMYK"), by_pillow, "CMYK", within=2),
    "cmyk-lzw-tiles.tif": Kind(by_vips(CMYK, "cmyk", tile=True, compression="lzw"), by_pillow, "CMYK", within=2),
    "cmyk-deflate.tif": Kind(by_vips(CMYK, "cmyk", compression="deflate"), by_pillow, "CMYK", within=2),
    "cmyk-jpeg.tif": Kind(by_vips(CMYK, "cmyk", compression="jpeg", Q=95), by_pillow, "CMYK", within=3),
    "cmyk-spot.tif": Kind(
        tiff_file(SPOT, photometric="separated", extrasamples=["unspecified"]), by_tifffile, "CMYK", within=2, beside=1
    ),
    "cmyk-two-spots.tif": Kind(
        tiff_file(
            np.dstack((SPOT, GREY)), photometric="separated", extrasamples=["unspecified"] * 2, compression="zlib"
        ),
        by_tifffile,
        "CMYK",
        within=2,
        beside=2,
    ),
    "alpha.tif": Kind(pil(PAL, "RGBA", compression="tiff_lzw"), by_pillow),
    "grey.tif": Kind(pil(GREY), by_pillow, "Grey"),
    "white-is-zero.tif": Kind(tiff_file(GREY, photometric="miniswhite"), by_pillow, "Grey"),
    "palette.tif": Kind(pil(RGB, "P"), by_pillow),
    "fax.tif": Kind(pil(GREY, "1", compression="group4"), by_pillow, "Grey", 1),
    # JPEG
    "plain.jpg": Kind(pil(RGB, quality=92), by_pillow, within=3),
    "halved-colours.jpg": Kind(pil(RGB, quality=92, subsampling=2), by_pillow, within=3),
    "passes.jpg": Kind(pil(RGB, quality=92, progressive=True), by_pillow, within=3),
    "grey.jpg": Kind(pil(GREY, quality=92), by_pillow, "Grey", within=2),
    "inverted-cmyk.jpg": Kind(pil(CMYK, "CMYK", quality=97), by_pillow, "CMYK", within=4),
    "cmyk-passes.jpg": Kind(pil(CMYK, "CMYK", quality=97, progressive=True), by_pillow, "CMYK", within=4),
    "cmyk-by-vips.jpg": Kind(by_vips(CMYK, "cmyk", Q=97), by_pillow, "CMYK", within=4),
    # PNG
    "plain.png": Kind(pil(RGB), by_pillow),
    "alpha.png": Kind(pil(PAL, "RGBA"), by_pillow),
    "grey.png": Kind(pil(GREY), by_pillow, "Grey"),
    "grey-alpha.png": Kind(pil(np.dstack((GREY, ALPHA)), "LA"), by_pillow, "Grey"),
    "palette.png": Kind(pil(RGB, "P"), by_pillow),
    "palette-alpha.png": Kind(pil(RGB, "P", transparency=3), by_pillow),
    "passes.png": Kind(by_vips(interlace=True), by_pillow),
    "16-bit.png": Kind(by_vips(wide(RGB), "rgb16"), by_pillow, bits=16),
    "bilevel.png": Kind(pil(GREY, "1"), by_pillow, "Grey", 1),
    # WebP
    "plain.webp": Kind(pil(RGB, quality=95), by_pillow, within=2),
    "lossless.webp": Kind(pil(RGB, lossless=True), by_pillow),
    "alpha.webp": Kind(pil(PAL, "RGBA", lossless=True), by_pillow),
}


def told(file: Path) -> FileFacts | FileFault:
    return answers.checked(read_task(file, {}, file.parent))


def page_of(file: Path) -> PageFacts:
    facts = told(file)
    assert isinstance(facts, FileFacts), facts
    return facts.pages[0]


def shown(file: Path, page: PageFacts) -> Pixels8:
    """Its pixels one by one."""
    x, y = page.width / W, page.height / H
    got = pixels(file, 0, (x, 0, 0, -y, 0, page.height), W, H)
    assert not isinstance(got, FileFault), got
    return np.frombuffer(got.rgba, np.uint8).reshape(H, W, 4)


@pytest.mark.parametrize("name", KINDS)
def test_kinds(tmp_path: Path, name: str) -> None:
    kind, file = KINDS[name], tmp_path / name
    kind.make(file)
    page = page_of(file)
    assert page.pixels == (W, H)
    if not name.endswith(("webp", "png")):  # a WebP needs EXIF for it; PNG has whole pixels a metre
        assert (page.width, page.height) == pytest.approx((W / 10, H / 10))
    (image,) = page.images
    assert image.space is not None
    assert (image.space.family, image.bits) == (kind.space, kind.bits)
    assert page.not_seen == (
        (f"{kind.beside} extra channel{'s' * (kind.beside > 1)} beside the picture (spot inks or masks)",)
        if kind.beside
        else ()
    )
    seen, expected = shown(file, page), kind.witness(file)
    alpha = expected[..., 3] if expected.shape[2] == 4 else np.full((H, W), 255)
    assert np.abs(seen[..., 3].astype(int) - alpha).max() <= 1
    solid, faint = alpha == 255, (alpha > 0) & (alpha < 255)
    off = np.abs(seen[..., :3].astype(int) - expected[..., :3])
    assert off[solid].max() <= kind.within
    # straight colours under alpha 100 of 255 are kept in steps of 2.55
    assert not faint.any() or off[faint].max() <= 3


@pytest.mark.parametrize("rows", ["strip", "row"])
@pytest.mark.parametrize("first", ["<", ">"])
def test_planes_in_huge_plain_strips_are_read_in_small_ones(
    tmp_path: Path, rows: str, first: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Same pixels and profile as by libvips' own way; the small size that is huge here stands for 16 MB."""
    inks = wide(CMYK) if rows == "row" else CMYK
    file = tmp_path / "planes.tif"
    profile = generic_profile()
    tiff_file(
        apart(inks),
        photometric="separated",
        planarconfig="separate",
        rowsperstrip=H,
        byteorder=first,
        iccprofile=profile,
    )(file)
    with file.open("rb") as stream:
        assert tiff.tiff_tags(stream).opener is None
    own = pyvips.Image.new_from_file(str(file)).numpy()
    monkeypatch.setattr(tiff, "_HUGE", 0)
    with file.open("rb") as stream:
        opener = tiff.tiff_tags(stream).opener
    assert opener is not None
    image = opener(file)
    assert np.array_equal(image.numpy(), own)
    assert bytes(image.get("icc-profile-data")) == profile
    assert page_of(file).pixels == (W, H)


def test_alpha_after_a_spot_channel(tmp_path: Path) -> None:
    """ExtraSamples says which of the spare channels is alpha: here the second."""
    file = tmp_path / "a.tif"
    tiff_file(SPOT_ALPHA, photometric="rgb", extrasamples=["unspecified", "unassalpha"])(file)
    page = page_of(file)
    assert page.not_seen == ("1 extra channel beside the picture (spot inks or masks)",)
    seen = shown(file, page)
    assert np.array_equal(seen[..., 3], ALPHA)
    assert np.array_equal(seen[ALPHA == 255][:, :3], RGB[ALPHA == 255])


def test_premultiplied_alpha(tmp_path: Path) -> None:
    file = tmp_path / "a.tif"
    multiplied = (RGB * (ALPHA[..., None] / 255)).round().astype(np.uint8)
    tiff_file(np.dstack((multiplied, ALPHA)), photometric="rgb", extrasamples=["assocalpha"])(file)
    seen = shown(file, page_of(file))
    assert np.array_equal(seen[..., 3], ALPHA)
    assert np.abs(seen[..., :3].astype(int) - RGB).max() <= 3  # steps of 2.55 under alpha 100 of 255


@pytest.mark.parametrize("name", ["a.jpg", "a.tif", "a.png", "a.webp"])
@pytest.mark.parametrize("orientation", range(1, 9))
def test_turned_by_their_tags(tmp_path: Path, name: str, orientation: int) -> None:
    """Pillow turns by the same tag; where it does not know the tag in a format, the way is tested for the others."""
    file, exif = tmp_path / name, Image.Exif()
    exif[274] = orientation
    options: dict[str, object] = {"lossless": True} if name.endswith("webp") else {}
    if name.endswith("tif"):
        Image.fromarray(RGB).save(file, tiffinfo={274: orientation})
    else:
        Image.fromarray(RGB).save(file, exif=exif, **options)
    with Image.open(file) as image:
        expected = np.asarray(ImageOps.exif_transpose(image).convert("RGB"))
    page = page_of(file)
    assert page.pixels == (expected.shape[1], expected.shape[0])
    got = pixels(file, 0, (1, 0, 0, -1, 0, page.height), expected.shape[1], expected.shape[0])
    assert not isinstance(got, FileFault)
    seen = np.frombuffer(got.rgba, np.uint8).reshape(*expected.shape[:2], 4)[..., :3]
    assert np.abs(seen.astype(int) - expected).max() <= 3


def test_first_frame_of_an_animation(tmp_path: Path) -> None:
    file = tmp_path / "a.webp"
    other = Image.fromarray(255 - RGB)
    Image.fromarray(RGB).save(file, save_all=True, append_images=[other], lossless=True)
    page = page_of(file)
    assert page.not_seen == ("the frames of an animation after the first",)
    assert np.array_equal(shown(file, page)[..., :3], RGB)


def test_a_tiff_with_layers_is_its_picture(tmp_path: Path) -> None:
    """Layers of image editors stand in a private tag (37724) that other programs pass over; nothing is said of them."""
    file = tmp_path / "a.tif"
    tags = TiffImagePlugin.ImageFileDirectory_v2()
    tags[37724] = b"Adobe Photoshop Document Data Block\0" + bytes(400)
    tags.tagtype[37724] = 7
    Image.fromarray(RGB).save(file, tiffinfo=tags)
    page = page_of(file)
    assert page.not_seen == ()
    assert np.array_equal(shown(file, page)[..., :3], RGB)


# memory, said beforehand


def baseline_in_scans(parts: int) -> bytes:
    """The first scan of a baseline JPEG, which says that it holds so many of the three components."""
    data = io.BytesIO()
    Image.fromarray(RGB).save(data, "JPEG", subsampling=2)
    whole = bytearray(data.getvalue())
    at = whole.index(b"\xff\xda")
    whole[at + 4] = parts
    return bytes(whole)


def test_jpegs_in_passes_need_all_their_coefficients(tmp_path: Path) -> None:
    """16 bits for each: 160 × 120 of lightness and twice 80 × 60 of colour with halved colours, else three times."""
    for subsampling, samples in ((2, W * H * 3 // 2), (0, W * H * 3)):
        for progressive in (True, False):
            data = io.BytesIO()
            Image.fromarray(RGB).save(data, "JPEG", subsampling=subsampling, progressive=progressive)
            assert jpeg.jpeg_tags(data).held == (2 * samples if progressive else 0)
    assert jpeg.jpeg_tags(io.BytesIO(baseline_in_scans(1))).held == 2 * W * H * 3 // 2


def test_a_jpeg_is_walked_in_pieces(monkeypatch: pytest.MonkeyPatch) -> None:
    """Its end is found whatever the pieces, a marker split between two among them, and missed if it is cut off."""
    data = io.BytesIO()
    Image.fromarray(RGB).save(data, "JPEG", quality=99, progressive=True)
    for size in (1, 2, 3, 7, 1 << 20):
        monkeypatch.setattr(jpeg, "_CHUNK", size)
        assert jpeg.jpeg_tags(io.BytesIO(data.getvalue())).cut_off == ""
        assert jpeg.jpeg_tags(io.BytesIO(data.getvalue()[:-2])).cut_off != ""


def test_what_needs_too_much_memory_is_refused_with_the_figure(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each needs W × H × 3 bytes or more; figures: PNG 3 bytes a pixel, JPEG 2 bytes × 3, WebP 8, TIFF all strips."""
    monkeypatch.setattr(raster, "MAX_HELD", 50_000)
    plain = by_vips(compression="lzw", tile=True, tile_width=16, tile_height=16)  # two rows of tiles: 15,360 bytes
    pieces = tiff_file(
        apart(CMYK), photometric="separated", planarconfig="separate", compression="zlib", rowsperstrip=H
    )
    for name, make, said in (
        ("a.png", by_vips(interlace=True), "interlaced"),
        ("a.jpg", pil(RGB, progressive=True), "progressive"),
        ("a.webp", pil(RGB), "TIFF"),
        ("a.tif", pieces, "strips or tiles"),
    ):
        make(tmp_path / name)
        fault = told(tmp_path / name)
        assert isinstance(fault, FileFault), name
        assert fault.kind == "over-limit"
        assert said in fault.detail
        assert "MB" in fault.detail
    for name, make in (("b.png", by_vips()), ("b.jpg", pil(RGB)), ("b.tif", plain)):
        make(tmp_path / name)
        assert isinstance(told(tmp_path / name), FileFacts), name


def test_what_a_tiff_reader_holds() -> None:
    """Sums: 1000 × 500 pixels of 4 bytes. Tiles of 256: two rows of 4 tiles, and a stored one; a packed strip of all rows:
    as stored, and unpacked; apart: all planes, and one more."""
    base = {256: [1000.0], 257: [500.0], 258: [8.0] * 4, 277: [4.0], 259: [5.0]}
    tiles = {322: [256.0], 323: [256.0], 324: [8.0], 325: [90_000.0]}
    assert tiff._held(base | tiles) == 2 * 1024 * 256 * 4 + 90_000
    strip = {273: [8.0], 279: [600_000.0], 278: [500.0]}
    assert tiff._held(base | strip) == 1000 * 500 * 4 + 600_000
    assert tiff._held(base | strip | {259: [1.0]}) == 0
    assert tiff._held(base | strip | {284: [2.0]}) == 1000 * 500 * 5 + 600_000


def test_a_huge_packed_strip_is_read(tmp_path: Path) -> None:
    """60 MB in one strip: more than libvips takes unasked."""
    file = tmp_path / "a.tif"
    tifffile.imwrite(file, np.full((4000, 5000, 3), 90, np.uint8), compression="zlib", rowsperstrip=4000, metadata=None)
    facts = read(file)
    assert isinstance(facts, FileFacts), facts
    got = pixels(file, 0, (50, 0, 0, -50, 0, 4000), 100, 80)
    assert not isinstance(got, FileFault), got
    assert set(got.rgba) == {90, 255}


def test_a_broken_jpeg_header_is_a_fault(tmp_path: Path) -> None:
    for data in (b"\xff\xd8\xff", b"\xff\xd8\xff\xc0" + struct.pack(">H", 4) + b"\x08\x00"):
        (tmp_path / "a.jpg").write_bytes(data)
        with pytest.raises(ArtFault) as caught:
            raster.header(tmp_path / "a.jpg", "jpeg")
        assert caught.value.fault.kind == "damaged"

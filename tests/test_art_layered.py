"""The flattened picture of layered documents: its numbers, its size, and plain refusals where there is none.

Documents are written byte by byte; what they must show is known by the picture that went in, and of plain 8-bit documents
asked of Pillow too.
"""

import io
import zipfile
from pathlib import Path

import layered_made as made
import numpy as np
import pytest
import pyvips
from PIL import Image, ImageCms

from artgen.art import FileFacts, FileFault, answers, pixels, raster, read, streams
from artgen.art.tasks import read_task

W, H = 60, 40
PICTURE = np.zeros((H, W, 3), np.uint8)  # runs and no runs, all of the range
PICTURE[..., 0] = np.arange(W) * 4
PICTURE[..., 1] = np.arange(H)[:, None] * 6
PICTURE[10:20, 10:50] = (200, 40, 90)
PLANES = np.ascontiguousarray(np.moveaxis(PICTURE, 2, 0))
GREY = PICTURE[..., 0]


def told(folder: Path, data: bytes, name: str = "panel-1.psd") -> FileFacts | FileFault:
    (folder / name).write_bytes(data)
    return answers.checked(read_task(folder / name, {}, folder))


def shown(folder: Path, data: bytes, name: str = "panel-1.psd", per_inch: float = 254.0) -> np.ndarray:
    """Its pixels one by one, after facts that say 60 × 40 pixels."""
    facts = told(folder, data, name)
    assert isinstance(facts, FileFacts), facts
    page = facts.pages[0]
    assert page.pixels == (W, H)
    assert (page.width, page.height) == pytest.approx((W * 25.4 / per_inch, H * 25.4 / per_inch))
    step = 25.4 / per_inch
    got = pixels(folder / name, 0, (step, 0, 0, -step, 0, page.height), W, H)
    assert not isinstance(got, FileFault), got
    return np.frombuffer(got.rgba, np.uint8).reshape(H, W, 4)


def by_pillow(file: Path, mode: str = "RGB") -> np.ndarray:
    with Image.open(file) as image:
        return np.asarray(image.convert(mode))


def by_littlecms(inks: np.ndarray) -> np.ndarray:
    """CMYK ink, 255 = full, to sRGB through the generic profile, by another library (Pillow's littlecms)."""
    white = pyvips.Image.black(1, 1, bands=3).copy(interpretation="srgb").icc_transform("cmyk", input_profile="srgb")
    source = ImageCms.ImageCmsProfile(io.BytesIO(bytes(white.get("icc-profile-data"))))
    intent = ImageCms.Intent.RELATIVE_COLORIMETRIC
    image = Image.fromarray(np.ascontiguousarray(inks), "CMYK")
    turned = ImageCms.profileToProfile(
        image, source, ImageCms.createProfile("sRGB"), renderingIntent=intent, outputMode="RGB"
    )
    assert turned is not None
    return np.asarray(turned)


def assert_close(got: np.ndarray, expected: np.ndarray, within: int = 0) -> None:
    assert np.abs(got.astype(int) - expected.astype(int)).max() <= within


@pytest.mark.parametrize("packing", [0, 1])
@pytest.mark.parametrize("big", [False, True])
def test_rgb(tmp_path: Path, packing: int, big: bool) -> None:
    seen = shown(tmp_path, made.psd(PLANES, packing=packing, big=big))
    assert_close(seen[..., :3], PICTURE)
    assert seen[..., 3].min() == 255
    if not big:
        assert_close(seen[..., :3], by_pillow(tmp_path / "panel-1.psd"))


@pytest.mark.parametrize("packing", [0, 1])
def test_strips_of_many_rows_and_of_one(tmp_path: Path, packing: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """How many rows make a strip changes nothing; the last strip may be short."""
    for size in (1, W * 7, W * H * 10):
        monkeypatch.setattr(streams, "_STRIP_BYTES", size)
        (tmp_path / "panel-1.psd").write_bytes(made.psd(PLANES, packing=packing))
        with (tmp_path / "panel-1.psd").open("rb") as stream:
            opener = raster.psd_tags(stream).opener
        assert opener is not None
        assert_close(opener(tmp_path / "panel-1.psd").numpy(), PICTURE)


def test_cmyk_is_stored_as_light(tmp_path: Path) -> None:
    inks = np.concatenate((PICTURE, PICTURE[..., :1] // 3), axis=2)
    seen = shown(tmp_path, made.psd(np.moveaxis(255 - inks, 2, 0), made.CMYK))
    assert_close(seen[..., :3], by_littlecms(inks), 2)
    assert_close(by_pillow(tmp_path / "panel-1.psd", "CMYK"), inks)  # Pillow reads the same inks
    facts = read(tmp_path / "panel-1.psd")
    assert isinstance(facts, FileFacts)
    (space,) = facts.pages[0].ink.spaces
    assert (space.family, space.parts, facts.pages[0].images[0].bits) == ("CMYK", 4, 8)


def test_16_bits(tmp_path: Path) -> None:
    seen = shown(tmp_path, made.psd(PLANES.astype(np.uint16) * 257))
    assert_close(seen[..., :3], PICTURE)
    inks = np.concatenate((PICTURE, PICTURE[..., :1] // 3), axis=2)
    stored = (65535 - np.moveaxis(inks, 2, 0).astype(np.uint16) * 257).astype(np.uint16)
    assert_close(shown(tmp_path, made.psd(stored, made.CMYK))[..., :3], by_littlecms(inks), 2)


def test_grey_bitmap_indexed_and_duotone(tmp_path: Path) -> None:
    grey = made.psd(GREY[None], made.GREY)
    assert_close(shown(tmp_path, grey)[..., :3], np.repeat(GREY[..., None], 3, axis=2))
    assert_close(by_pillow(tmp_path / "panel-1.psd", "L"), GREY)
    bits = GREY > 100  # 1 is black
    bitmap = made.psd(np.packbits(bits, axis=1)[None], made.BITMAP, bits=1, width=W)
    assert_close(shown(tmp_path, bitmap)[..., 0], np.where(bits, 0, 255))
    palette = bytes(range(256)) + bytes(reversed(range(256))) + bytes([77] * 256)
    indexed = made.psd(GREY[None], made.INDEXED, palette=palette)
    assert_close(shown(tmp_path, indexed)[..., :3], np.stack((GREY, 255 - GREY, np.full_like(GREY, 77)), axis=2))
    assert_close(by_pillow(tmp_path / "panel-1.psd"), shown(tmp_path, indexed)[..., :3])
    duotone = told(tmp_path, made.psd(GREY[None], made.DUOTONE, palette=b"its inks"))
    assert isinstance(duotone, FileFacts)
    assert duotone.pages[0].not_seen == ("the inks of its duotone: it is shown in grey",)


def test_lab(tmp_path: Path) -> None:
    """Greys have a = b = 128; the lightness of sRGB grey 119 is 50 (CIE 1976, sRGB curve): 128 of 255."""
    lab = np.full((3, H, W), 128, np.uint8)
    assert_close(shown(tmp_path, made.psd(lab, made.LAB))[..., :3], np.full((H, W, 3), 119), 1)
    lab[0], lab[1], lab[2] = 136, 208, 195  # L 53.3, a 80, b 67: about the red of sRGB (53.2, 80.1, 67.2)
    assert_close(shown(tmp_path, made.psd(lab, made.LAB))[..., :3], np.full((H, W, 3), (255, 0, 0)), 4)
    wide = np.full((3, H, W), 32768, np.uint16)
    assert_close(shown(tmp_path, made.psd(wide, made.LAB))[..., :3], np.full((H, W, 3), 119), 1)


@pytest.mark.parametrize("sixteen", [False, True])
def test_transparency_is_taken_off_white(tmp_path: Path, sixteen: bool) -> None:
    """What is stored is the colour on white: colour × alpha + 255 × (1 - alpha)."""
    alpha = np.zeros((H, W), np.uint8)
    alpha[:, 20:40], alpha[:, 40:] = 128, 255
    share = alpha[None].astype(float) / 255
    stored = PLANES * share + 255 * (1 - share)
    planes = np.concatenate((stored, alpha[None].astype(float)))
    planes = (planes * 257).round().astype(np.uint16) if sixteen else planes.round().astype(np.uint8)
    seen = shown(tmp_path, made.psd(planes, layers=-2, layers_16=sixteen))
    assert_close(seen[..., 3], alpha)
    assert_close(seen[:, 22:38, :3], PICTURE[:, 22:38], 3)
    assert_close(seen[:, 42:, :3], PICTURE[:, 42:], 1)


def test_spare_channels_are_no_transparency(tmp_path: Path) -> None:
    """A fourth channel counts as transparency only if the document says so; else it is a spot ink or a mask."""
    planes = np.concatenate((PLANES, PLANES[:1], PLANES[:1]))
    facts = told(tmp_path, made.psd(planes, layers=2))
    assert isinstance(facts, FileFacts)
    assert facts.pages[0].not_seen == ("2 extra channels beside the picture (spot inks or masks)",)
    assert_close(shown(tmp_path, made.psd(planes, layers=2))[..., :3], PICTURE)
    assert shown(tmp_path, made.psd(planes, layers=2))[..., 3].min() == 255


def test_the_profile_in_the_document_is_used(tmp_path: Path) -> None:
    source = pyvips.Image.new_from_array(PICTURE).copy(interpretation="srgb")
    in_p3 = source.icc_transform("p3", input_profile="srgb", intent="relative", depth=8)
    document = made.psd(np.moveaxis(in_p3.numpy(), 2, 0), profile=bytes(in_p3.get("icc-profile-data")))
    assert_close(shown(tmp_path, document)[12:18, 12:48, :3], PICTURE[12:18, 12:48], 2)
    facts = read(tmp_path / "panel-1.psd")
    assert isinstance(facts, FileFacts)
    assert facts.profiles[0].space == "RGB"


def test_documents_that_state_no_resolution(tmp_path: Path) -> None:
    facts = told(tmp_path, made.psd(PLANES, per_inch=None))
    assert isinstance(facts, FileFacts)
    assert not facts.pages[0].sized


def test_a_name_that_says_otherwise(tmp_path: Path) -> None:
    for name, named in (("a.psd", None), ("a.psb", None), ("a.tif", "tiff")):
        (tmp_path / name).write_bytes(made.psd(PLANES))
        facts = read(tmp_path / name)
        assert isinstance(facts, FileFacts)
        assert (facts.format, facts.named) == ("psd", named)


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (made.psd(PLANES, merged=False, layers=3), "without a flattened picture"),
        (made.psd(PLANES, merged=False, layers=3, big=True), "without a flattened picture"),
        (made.psd(PLANES.astype(np.uint16), merged=False, layers=3, layers_16=True), "without a flattened picture"),
        (made.psd(PLANES, made.MULTICHANNEL), "multichannel"),
        (made.psd(PLANES.astype(np.uint8), bits=32), "32 bits a channel"),
        (made.psd(PLANES, packing=2), "packed in a way"),
    ],
)
def test_refusals_say_what_to_send(tmp_path: Path, data: bytes, said: str) -> None:
    fault = told(tmp_path, data)
    assert isinstance(fault, FileFault), fault
    assert (fault.kind, fault.format) == ("unsupported", "psd")
    assert said in fault.detail
    assert "send" in fault.detail.lower()


@pytest.mark.parametrize("merged", [None, False])
def test_documents_without_layers_are_their_picture(tmp_path: Path, merged: bool | None) -> None:
    assert_close(shown(tmp_path, made.psd(PLANES, merged=merged))[..., :3], PICTURE)


def test_broken_documents(tmp_path: Path) -> None:
    whole = made.psd(PLANES)
    for data in (whole[:-50], whole[:300], whole[:26], whole[:12], whole[:8] + bytes(18)):
        fault = told(tmp_path, data)
        assert isinstance(fault, FileFault), fault
        assert (fault.kind, fault.format) == ("damaged", "psd")
    # whole by its structure, but rows that unpack to nothing (128 is no operation)
    spoilt = bytearray(whole)
    spoilt[-200:-100] = b"\x80" * 100
    (tmp_path / "panel-1.psd").write_bytes(bytes(spoilt))
    got = pixels(tmp_path / "panel-1.psd", 0, (0.1, 0, 0, -0.1, 0, 4), W, H)
    assert isinstance(got, FileFault)
    assert got.kind == "damaged"


def test_a_document_that_claims_too_much(tmp_path: Path) -> None:
    data = bytearray(made.psd(PLANES, big=True))
    data[14:22] = (290_000).to_bytes(4, "big") * 2
    fault = told(tmp_path, bytes(data))
    assert isinstance(fault, FileFault)
    assert fault.kind in ("over-limit", "damaged")


# OpenRaster


@pytest.mark.parametrize("method", [zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED])
def test_openraster(tmp_path: Path, method: int) -> None:
    """Pixels of the picture inside; size from the stack: 60 pixels at 254, 40 at 127 an inch."""
    alpha = np.where(GREY > 100, 255, 90).astype(np.uint8)
    data = made.ora(Image.fromarray(np.dstack((PICTURE, alpha)), "RGBA"), method=method)
    facts = told(tmp_path, data, "panel-1.ora")
    assert isinstance(facts, FileFacts), facts
    assert (facts.format, facts.pages[0].pixels) == ("ora", (W, H))
    assert (facts.pages[0].width, facts.pages[0].height) == pytest.approx((W * 0.1, H * 0.2))
    got = pixels(tmp_path / "panel-1.ora", 0, (0.1, 0, 0, -0.2, 0, 8), W, H)
    assert not isinstance(got, FileFault), got
    seen = np.frombuffer(got.rgba, np.uint8).reshape(H, W, 4)
    assert_close(seen[..., 3], alpha)
    assert_close(seen[..., :3], PICTURE, 3)
    assert_close(seen[alpha == 255][:, :3], PICTURE[alpha == 255])


def test_openraster_without_what_it_needs(tmp_path: Path) -> None:
    none = told(tmp_path, made.ora(None), "panel-1.ora")
    assert isinstance(none, FileFault)
    assert (none.kind, none.format) == ("unsupported", "ora")
    assert "mergedimage.png" in none.detail
    picture = Image.fromarray(PICTURE)
    other = told(tmp_path, made.ora(picture, size=(90, 40)), "panel-1.ora")
    assert isinstance(other, FileFault)
    assert "90 × 40" in other.detail
    cut = told(tmp_path, made.ora(picture)[:-60], "panel-1.ora")
    assert isinstance(cut, FileFault)
    assert cut.kind == "damaged"
    unsized = told(tmp_path, made.ora(picture, attributes=""), "panel-1.ora")
    assert isinstance(unsized, FileFacts)
    assert not unsized.pages[0].sized


def test_openraster_bombs(tmp_path: Path) -> None:
    """Entities in the stack, and a member that unfolds to gigabytes, are refused, and soon."""
    bomb = ' title="&e9;"'
    data = made.ora(Image.fromarray(PICTURE), attributes=bomb)
    fault = told(tmp_path, data, "panel-1.ora")
    assert isinstance(fault, FileFault)
    huge = tmp_path / "huge.ora"
    huge.write_bytes(made.ora(None))
    with zipfile.ZipFile(huge, "a", zipfile.ZIP_DEFLATED) as archive, archive.open("mergedimage.png", "w") as member:
        for _ in range(300):
            member.write(bytes(1 << 20))
    fault = read(huge)
    assert isinstance(fault, FileFault)
    assert fault.format == "ora"

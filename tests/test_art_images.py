"""Images inside PDFs that lack pixels. Each file is written with pikepdf, its data cut by hand; lengths are sums."""

import io
import zlib
from pathlib import Path

import pikepdf
import pytest
from PIL import Image

from artgen.art import FileFacts, FileFault, read
from artgen.art.images import MAX_UNFOLDED

WIDE, HIGH = 300, 200
RGB = bytes(range(256)) * (WIDE * HIGH * 3 // 256 + 1)
RGB = RGB[: WIDE * HIGH * 3]
PNG_ROWS = b"".join(b"\x00" + RGB[y * WIDE * 3 : (y + 1) * WIDE * 3] for y in range(HIGH))


def jpeg() -> bytes:
    out = io.BytesIO()
    Image.frombytes("RGB", (WIDE, HIGH), RGB).save(out, "JPEG")
    return out.getvalue()


def pdf_of(path: Path, data: bytes, **keys: object) -> Path:
    document = pikepdf.new()
    page = document.add_blank_page(page_size=(WIDE, HIGH))
    image = pikepdf.Stream(document, data)
    stated = {"Width": WIDE, "Height": HIGH, "BitsPerComponent": 8, "ColorSpace": pikepdf.Name.DeviceRGB, **keys}
    image.Type, image.Subtype = pikepdf.Name.XObject, pikepdf.Name.Image
    for key, value in stated.items():
        image[f"/{key}"] = value
    page.Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(I=image))
    page.Contents = document.make_stream(b"q %d 0 0 %d 0 0 cm /I Do Q" % (WIDE, HIGH))
    document.save(path, compress_streams=False, stream_decode_level=pikepdf.StreamDecodeLevel.none)
    return path


FLATE, DCT = pikepdf.Name.FlateDecode, pikepdf.Name.DCTDecode
PREDICTED = {"Filter": FLATE, "DecodeParms": pikepdf.Dictionary(Predictor=15, Colors=3, Columns=WIDE)}
WHOLE = {
    "plain": (RGB, {}),
    "flate": (zlib.compress(RGB), {"Filter": FLATE}),
    "flate in a list": (zlib.compress(RGB), {"Filter": pikepdf.Array([FLATE])}),
    "png rows": (zlib.compress(PNG_ROWS), PREDICTED),
    "jpeg": (jpeg(), {"Filter": DCT}),
    "mask": (bytes((WIDE + 7) // 8 * HIGH), {"ImageMask": True, "BitsPerComponent": 1}),
    "grey": (bytes(WIDE * HIGH), {"ColorSpace": pikepdf.Name.DeviceGray}),
    "a filter that is not judged": (b"x", {"Filter": pikepdf.Name.JPXDecode}),
}


@pytest.mark.parametrize("case", WHOLE)
def test_whole_images_are_no_damage(case: str, tmp_path: Path) -> None:
    data, keys = WHOLE[case]
    facts = read(pdf_of(tmp_path / "a.pdf", data, **keys))
    assert isinstance(facts, FileFacts)
    assert facts.repaired == ()
    assert facts.broken == ()


CUT = {
    "plain": (RGB[: len(RGB) // 3], {}, "33 %"),
    "flate": (zlib.compress(RGB[: len(RGB) // 3]), {"Filter": FLATE}, "33 %"),
    "flate that breaks off": (zlib.compress(RGB, 0)[: len(RGB) // 3], {"Filter": FLATE}, "33 %"),
    "png rows": (zlib.compress(PNG_ROWS[: len(PNG_ROWS) // 2]), PREDICTED, "50 %"),
    "jpeg": (jpeg()[: len(jpeg()) // 2], {"Filter": DCT}, "no whole JPEG"),
    "no jpeg": (bytes(5000), {"Filter": DCT}, "no whole JPEG"),
    "no flate": (bytes(range(7, 200)), {"Filter": FLATE}, "0 %"),
}


@pytest.mark.parametrize("case", CUT)
def test_images_that_lack_pixels_are_named(case: str, tmp_path: Path) -> None:
    data, keys, says = CUT[case]
    facts = read(pdf_of(tmp_path / "a.pdf", data, **keys))
    assert isinstance(facts, FileFacts)
    (broken,) = facts.broken
    assert broken.pixels == (300, 200)
    assert says in broken.why


def test_an_image_that_would_be_drawn_falsely_is_refused_from_its_size_alone(tmp_path: Path) -> None:
    side = int((MAX_UNFOLDED / 3) ** 0.5)  # three bytes a pixel
    for more, refused in ((0, False), (10, True)):
        path = pdf_of(tmp_path / "a.pdf", b"x", Width=side + more, Height=side + more, Filter=FLATE)
        found = read(path)
        assert isinstance(found, FileFault) is refused
    assert isinstance(found, FileFault)
    assert found.kind == "over-limit"
    assert f"{3 * (side + 10) ** 2 / 1e6:,.0f} MB of memory" in found.detail
    assert "TIFF" in found.detail

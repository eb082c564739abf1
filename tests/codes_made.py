"""Art with QR codes made by segno, and with barcodes, at known places. Lengths in full-size mm of a panel's sewn frame."""

import io
from pathlib import Path

import segno
from art_made import PT
from attrs import frozen
from PIL import Image, ImageDraw
from reportlab.pdfgen.canvas import Canvas

TEXT = "https://quillmere.example/bog"
MODULES = (
    29  # of this text, 29 bytes at error level M: version 3 (42 bytes; version 2 holds 26), 17 + 4 × 3 (ISO/IEC 18004)
)
L_CODE = {  # EAN-13's left-hand set A and B, and right-hand set C: ISO/IEC 15420 table, written out
    "A": ["0001101", "0011001", "0010011", "0111101", "0100011", "0110001", "0101111", "0111011", "0110111", "0001011"],
    "B": ["0100111", "0110011", "0011011", "0100001", "0011101", "0111001", "0000101", "0010001", "0001001", "0010111"],
    "C": ["1110010", "1100110", "1101100", "1000010", "1011100", "1001110", "1010000", "1000100", "1001000", "1110100"],
}
SETS = ["AAAAAA", "AABABB", "AABBAB", "AABBBA", "ABAABB", "ABBAAB", "ABBBAA", "ABABAB", "ABABBA", "ABBABA"]


@frozen
class Mark:
    """A code as rows of modules, 1 = drawn. ``x``, ``y`` = its lower left corner; ``module`` = mm, ``tall`` = mm of a row;
    ``quiet`` = modules of white round it."""

    rows: tuple[str, ...]
    x: float
    y: float
    module: float
    tall: float
    quiet: float = 4.0
    angle: float = 0.0

    @property
    def size(self) -> tuple[float, float]:
        return len(self.rows[0]) * self.module, len(self.rows) * self.tall


def qr(x: float, y: float, side: float, text: str = TEXT, quiet: float = 4.0, angle: float = 0.0) -> Mark:
    """A QR code ``side`` mm wide without its quiet zone."""
    code = segno.make(text, error="m", micro=False)
    rows = tuple("".join("1" if cell else "0" for cell in row) for row in code.matrix)
    return Mark(rows, x, y, side / len(rows), side / len(rows), quiet, angle)


def ean13(digits: str, x: float, y: float, width: float, height: float, quiet: float = 12.0) -> Mark:
    left = "".join(L_CODE[kind][int(d)] for kind, d in zip(SETS[int(digits[0])], digits[1:7], strict=True))
    right = "".join(L_CODE["C"][int(d)] for d in digits[7:])
    row = "101" + left + "01010" + right + "101"
    assert len(row) == 95
    return Mark((row,), x, y, width / 95, height, quiet)


def pdf_with(
    file: Path,
    size: tuple[float, float],
    marks: list[Mark],
    scale: float = 1.0,
    ground: tuple[float, float, float] = (0.3, 0.5, 0.3),
) -> Path:
    """A PDF of art size at 1:``scale``, codes as fields of vector paint."""
    w, h = (side / scale for side in size)
    canvas = Canvas(str(file), pagesize=(w * PT, h * PT), invariant=1)
    canvas.scale(PT / scale, PT / scale)
    canvas.setFillColorRGB(*ground)
    canvas.rect(0, 0, *size, stroke=0, fill=1)
    for mark in marks:
        canvas.saveState()
        canvas.translate(mark.x, mark.y)
        canvas.rotate(mark.angle)
        wide, high = mark.size
        aside, above = mark.quiet * mark.module, (mark.quiet * mark.module if len(mark.rows) > 1 else 0.0)
        canvas.setFillColorRGB(1, 1, 1)
        canvas.rect(-aside, -above, wide + 2 * aside, high + 2 * above, stroke=0, fill=1)
        canvas.setFillColorRGB(0, 0, 0)
        for r, row in enumerate(mark.rows):
            for c, cell in enumerate(row):
                if cell == "1":  # a hair wider, so that no seam shows between fields
                    canvas.rect(
                        c * mark.module,
                        high - (r + 1) * mark.tall,
                        mark.module * 1.001,
                        mark.tall * 1.001,
                        stroke=0,
                        fill=1,
                    )
        canvas.restoreState()
    canvas.save()
    return file


def picture_with(
    file: Path, size: tuple[float, float], marks: list[Mark], per: float = 1.0, spoil: bool = False
) -> Path:
    """A raster of art size, ``per`` pixels a mm; ``spoil`` = the middle of each code is painted over."""
    image = Image.new("RGB", (round(size[0] * per), round(size[1] * per)), (90, 130, 90))
    draw = ImageDraw.Draw(image)
    for mark in marks:
        wide, high = mark.size
        aside = mark.quiet * mark.module
        x0, y1 = mark.x * per, (size[1] - mark.y) * per
        box = ((x0 - aside * per), y1 - (high + aside) * per, x0 + (wide + aside) * per - 1, y1 + aside * per - 1)
        draw.rectangle(box, fill="white")
        for r, row in enumerate(mark.rows):
            for c, cell in enumerate(row):
                if cell == "1":
                    px, py = x0 + c * mark.module * per, y1 - (high - r * mark.tall) * per
                    draw.rectangle((px, py, px + mark.module * per - 1, py + mark.tall * per - 1), fill="black")
        if spoil:
            mx, my = x0 + wide * per / 2, y1 - high * per / 2
            reach = 0.2 * wide * per
            draw.rectangle((mx - reach, my - reach, mx + 1.2 * reach, my + reach), fill=(200, 60, 40))
    data = io.BytesIO()
    image.save(data, "PNG", dpi=(25.4 * per, 25.4 * per))
    file.write_bytes(data.getvalue())
    return file

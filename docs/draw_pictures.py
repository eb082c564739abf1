"""Draws the pictures of the README with the tool itself: `make pictures`."""

import io
from pathlib import Path

from PIL import Image

from artgen import job
from artgen.cli.template_folder import templates
from artgen.cli.work import open_order
from artgen.drawing.png import render_pdf
from artgen.proof import proof_paper, proof_pdf
from artgen.resources import resource
from artgen.words import words

PICTURES = Path(__file__).parent / "pictures"
WIDE = 900  # px: as wide as a page shows them


def main() -> None:
    order, sizing = open_order(resource("sample_art") / "first")
    made = dict(templates(order, sizing, ["pdf"], None))
    _save("template", render_pdf(made["panel-09.pdf"], width=2 * WIDE), WIDE)
    checked, say = job.run(order, sizing), words(order.language)
    proof = proof_pdf(checked, say)
    titles = [page.title for page in proof_paper(checked, say).pages()]
    panel = next(at for at, title in enumerate(titles) if title.startswith("Panel 1:"))
    _save("proof-cover", render_pdf(proof, 0, width=2 * WIDE), WIDE)
    _save("proof-panel", render_pdf(proof, panel, width=2 * WIDE), WIDE)


def _save(name: str, png: bytes, width: int) -> None:
    """Drawn at twice the size and reduced: lines stay even."""
    page = Image.open(io.BytesIO(png)).convert("RGB")
    page = page.resize((width, round(page.height * width / page.width)), Image.Resampling.LANCZOS)
    page.save(PICTURES / f"{name}.png", optimize=True)


if __name__ == "__main__":
    main()

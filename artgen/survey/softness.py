"""Images that have pixels enough but not the detail: how fine the detail of a laid page's large images is, at full size.

Takes a file and its laid page; the spectrum is measured in the confined child (`art.detail`), once a page and for large images
only. Gives a record for every large image that tells; judges nothing.
"""

from pathlib import Path

from attrs import frozen
from shapely import Polygon

from ..art import details
from ..art.detail import LEAST_SIDE, MOST_IMAGES, MOST_PIXELS
from ..art.facts import FileFault
from ..placing import Laid
from ..sizing.outline import Outline
from ..sizing.panel import placed

_LARGE = 0.05  # ours: share of the largest panel's visible area from which an image is looked at
_ENOUGH = 40.0  # ppi at full size below which there are too few pixels anyway (`image-coarse`)


@frozen
class ImageDetail:
    """``on_page`` = outline of what shows of it, mm of the page; ``ppi`` = pixels an inch at full size, ``detail`` = as many as
    its detail needs."""

    on_page: Outline
    pixels: tuple[int, int]
    ppi: float
    detail: float


@frozen
class Details:
    """``found``: None where nothing could be measured; ``missing`` = what was not, and why."""

    found: tuple[ImageDetail, ...] | None = ()
    missing: str = ""


def image_details(file: Path, laid: Laid) -> Details:
    """The large images of a laid page with pixels enough, and how fine their detail is."""
    least = _LARGE * max(Polygon(panel.visible).area for panel in laid.target.panels)
    visible = [Polygon(outline) for outline in laid.target.outline("visible")]
    asked = []
    for image in laid.facts.images:
        if image.stencil or image.within or min(image.ppi) / laid.scale < _ENOUGH or min(image.pixels) < LEAST_SIDE:
            continue
        on_page = image.clip if image.clip is not None else image.quad
        shape = Polygon(placed(laid.matrix, on_page)).buffer(0) if on_page else Polygon()
        if sum(shape.intersection(one).area for one in visible) >= least:
            asked.append((on_page, image))
    if not asked:
        return Details()
    told = details(file, laid.claim.page - 1)
    if isinstance(told, FileFault):
        return Details(None, told.detail)
    found = []
    for on_page, image in asked:
        share = told.get(image.pixels)
        if share is not None:
            ppi = min(image.ppi) / laid.scale
            found.append(ImageDetail(on_page, image.pixels, ppi, round(ppi * share, 1)))
    left = [f"{w:,} × {h:,}" for w, h in dict.fromkeys(image.pixels for _, image in asked) if (w, h) not in told]
    most = (
        f"{MOST_IMAGES} images of a page, the largest that can be unpacked, of up to {MOST_PIXELS / 1e6:.0f} megapixels"
    )
    return Details(tuple(found), f"images of {', '.join(left)} pixels: measured are {most}" if left else "")

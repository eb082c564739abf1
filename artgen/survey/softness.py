"""Images that have pixels enough but not the detail: how fine the detail of a laid page's large images is, at full size.

Takes a file and its laid page; the spectrum is measured in the confined child (`art.detail`), once a page and for large images
only. Gives a record for every large image that tells; judges nothing.
"""

from math import hypot
from pathlib import Path

from attrs import frozen
from shapely import Polygon

from ..art import details
from ..art.facts import FileFault
from ..placing import Laid
from ..sizing.outline import Outline
from ..sizing.panel import placed

_LARGE = 0.05  # ours: share of the largest panel's visible area from which an image is looked at
_ENOUGH = 40.0  # ppi at full size below which there are too few pixels anyway (`image-coarse`)


@frozen
class ImageDetail:
    """``quad`` in the target's plane; ``ppi`` = pixels an inch at full size, ``detail`` = as many as its detail needs."""

    quad: Outline
    pixels: tuple[int, int]
    ppi: float
    detail: float

    @property
    def width(self) -> float:
        """mm along the rows of the picture."""
        (x0, y0), (x1, y1) = self.quad[:2]
        return hypot(x1 - x0, y1 - y0)


def image_details(file: Path, laid: Laid) -> tuple[ImageDetail, ...] | FileFault:
    """The large images of a laid page with pixels enough, and how fine their detail is."""
    least = _LARGE * max(Polygon(panel.visible).area for panel in laid.target.panels)
    visible = [Polygon(outline) for outline in laid.target.outline("visible")]
    asked = []
    for image in laid.facts.images:
        if image.stencil or image.within or min(image.ppi) / laid.scale < _ENOUGH:
            continue
        quad = placed(laid.matrix, image.quad)
        shape = Polygon(placed(laid.matrix, image.clip if image.clip is not None else image.quad) or quad).buffer(0)
        if sum(shape.intersection(one).area for one in visible) >= least:
            asked.append((quad, image))
    if not asked:
        return ()
    told = details(file, laid.claim.page - 1)
    if isinstance(told, FileFault):
        return told
    return tuple(
        ImageDetail(
            quad, image.pixels, min(image.ppi) / laid.scale, round(min(image.ppi) / laid.scale * told[image.pixels], 1)
        )
        for quad, image in asked
        if image.pixels in told
    )

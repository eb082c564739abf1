"""The only readers that libvips may use: those of the four raster formats that it reads for us. Takes a file, gives an
image that is read on demand.

libvips has readers for more than thirty formats and chooses by content, and by what stands in brackets at the end of a
name; some open further files. All but ours are shut for good when this module is imported.
"""

from pathlib import Path
from typing import Any

import pyvips

_CLASSES = {
    "tiff": "VipsForeignLoadTiff",
    "jpeg": "VipsForeignLoadJpeg",
    "png": "VipsForeignLoadPng",
    "webp": "VipsForeignLoadWebp",
}

pyvips.operation_block_set("VipsForeignLoad", True)
for _name in _CLASSES.values():
    pyvips.operation_block_set(_name, False)
pyvips.cache_set_max(0)  # nothing is done twice here, and what was done would be held


def opened(file: Path, format: str, **options: Any) -> Any:
    """``file`` read as ``format`` and as nothing else, from the top. Raises `pyvips.Error`."""
    return pyvips.Operation.call(f"{format}load", str(file), access="sequential", **options)

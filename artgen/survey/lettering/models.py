"""The two networks that find and read lettering. Takes RGB pixels, gives a map of lines, and strings with a score.

The weights are those that the package rapidocr carries in its wheel: PP-OCRv6 small, detection and recognition (Apache 2.0,
the PaddleOCR authors). They are found by path and run by onnxruntime; the package's own code is not used, nothing is
fetched. Both packages come with the extra ``artgen[reading]``; `available` says whether they are here.
"""

import importlib.util
from collections.abc import Callable, Iterable
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

T = TypeVar("T")
R = TypeVar("R")
Rgb = NDArray[np.uint8]  # rows from the top × columns × 3
_FIND, _READ = "PP-OCRv6_det_small.onnx", "PP-OCRv6_rec_small.onnx"
_GRID = 32  # the detector takes sides that are multiples of this
_HEIGHT = 48  # rows of a line as the reader takes it
_SCALE = ((np.arange(256, dtype=np.float32) / 255 - 0.5) / 0.5).astype(np.float32)  # levels as the networks take them
_LEAST, _MOST = 48, 1600  # columns of a line as the reader takes it (ours)


@frozen
class Reading:
    """``score`` = mean certainty of the letters, 0 to 1; ``places`` = where each sign of ``text`` stands, as a share of the
    line's length."""

    text: str
    score: float
    places: tuple[float, ...] = ()


@cache
def available() -> bool:
    """Whether lettering can be looked for: the packages of the extra are here, with their weights."""
    if any(importlib.util.find_spec(name) is None for name in ("onnxruntime", "cv2")):
        return False
    return all((path := _weights(name)) is not None and path.is_file() for name in (_FIND, _READ))


def lines_map(rgb: Rgb) -> NDArray[np.float32]:
    """For each pixel how surely it lies in the middle of a line of text, 0 to 1; same rows and columns."""
    rows, columns = rgb.shape[:2]
    padded = np.pad(rgb, ((0, -rows % _GRID), (0, -columns % _GRID), (0, 0)), mode="edge")
    found = _run(_FIND, _blob(padded))
    return np.asarray(found[0, 0, :rows, :columns], dtype=np.float32)


def read_line(rgb: Rgb) -> Reading:
    """What one line says; ``rgb`` holds it level and upright, with little margin."""
    import cv2  # optional: it comes with the extra

    rows, columns = rgb.shape[:2]
    wide = int(np.clip(round(columns * _HEIGHT / rows), 8, _MOST))
    shrunk = cv2.resize(rgb, (wide, _HEIGHT), interpolation=cv2.INTER_AREA if rows > _HEIGHT else cv2.INTER_CUBIC)
    if wide < _LEAST:
        shrunk = cv2.copyMakeBorder(shrunk, 0, 0, 0, _LEAST - wide, cv2.BORDER_REPLICATE)
    steps = _run(_READ, _blob(np.asarray(shrunk)))[0]
    best, sure = steps.argmax(axis=1), steps.max(axis=1)
    # one letter a run of equal steps; step 0 stands for none (connectionist temporal classification)
    kept = (best != 0) & np.concatenate([[True], best[1:] != best[:-1]])
    letters = _letters()
    shares = (np.flatnonzero(kept) + 0.5) / len(steps) * max(wide, _LEAST) / wide
    signs = [(sign, float(share)) for i, share in zip(best[kept], shares, strict=True) for sign in letters[i]]
    while signs and signs[0][0].isspace():
        del signs[0]
    while signs and signs[-1][0].isspace():
        del signs[-1]
    text = "".join(sign for sign, _ in signs)
    score = float(sure[kept].mean()) if kept.any() else 0.0
    return Reading(text, score, tuple(min(share, 1.0) for _, share in signs))


def in_turn(work: Callable[[T], R], items: Iterable[T], at_once: int) -> list[R]:
    """``work`` on each item, so many ``at_once`` (each takes up to 300 MB), answers in the items' order. A network uses one core,
    so that its answers don't depend on how many there are."""
    if at_once < 2:
        return [work(item) for item in items]
    with ThreadPoolExecutor(at_once) as pool:
        return list(pool.map(work, items))


def _blob(rgb: Rgb) -> NDArray[np.float32]:
    """One picture as the networks take it: blue, green, red, each -1 to 1."""
    return np.stack([_SCALE[rgb[:, :, channel]] for channel in (2, 1, 0)])[None]


def _run(name: str, blob: NDArray[np.float32]) -> NDArray[np.float32]:
    session = _session(name)
    found: NDArray[np.float32] = session.run(None, {session.get_inputs()[0].name: blob})[0]
    return found


@cache
def _session(name: str) -> Any:
    import onnxruntime  # optional, and heavy: nobody waits for it who needs no reading

    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = options.inter_op_num_threads = 1
    options.enable_cpu_mem_arena = False  # it would keep the memory of the largest picture for good
    options.log_severity_level = 3
    return onnxruntime.InferenceSession(str(_weights(name)), options, providers=["CPUExecutionProvider"])


@cache
def _letters() -> list[str]:
    """Step number → letter. The weights carry the list, without "none" at its start and the space at its end."""
    listed = _session(_READ).get_modelmeta().custom_metadata_map["character"].rstrip("\n").split("\n")
    return ["", *listed, " "]


def _weights(name: str) -> Path | None:
    found = importlib.util.find_spec("rapidocr")
    if found is None or found.origin is None:
        return None
    return Path(found.origin).parent / "models" / name

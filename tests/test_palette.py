"""Guide lines told apart without colour, and by people who see fewer colours.

Witness: colour-science. Simulation: G. M. Machado, M. M. Oliveira, L. A. F. Fernandes (2009), severity 1; difference: CIEDE2000.
"""

import itertools
import warnings

import numpy as np
import pytest

from artgen.drawing import inks
from artgen.drawing.pieces import Rect
from artgen.template.guides import hatched

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # of its optional parts
    import colour

LINES: tuple[inks.Guide, ...] = ("art edge", "cut", "fold", "safe", "seam", "neighbour", "shadow", "keep-out", "frame")


def is_grey(ink: inks.Ink) -> bool:
    return len(set(ink.rgb)) == 1


def seen(rgb: tuple[int, int, int], kind: str) -> np.ndarray:
    """CIE Lab of an sRGB colour, as a dichromat sees it."""
    linear = colour.models.eotf_sRGB(np.array(rgb) / 255)
    matrix = np.eye(3) if kind == "none" else colour.matrix_cvd_Machado2009(kind, 1.0)
    there = np.clip(matrix @ linear, 0, 1)
    return np.asarray(colour.XYZ_to_Lab(colour.RGB_to_XYZ(there, "sRGB", apply_cctf_decoding=False)))


@pytest.mark.filterwarnings("ignore")
@pytest.mark.parametrize("kind", ["none", "Protanomaly", "Deuteranomaly", "Tritanomaly"])  # at severity 1: …anopia
def test_guide_lines_stay_ten_apart(kind: str) -> None:
    shown = {guide: inks.guide_stroke(guide, 0.25).ink for guide in LINES}
    for a, b in itertools.combinations(LINES, 2):
        if is_grey(shown[a]) and is_grey(shown[b]):
            continue
        apart = float(colour.delta_E(seen(shown[a].rgb, kind), seen(shown[b].rgb, kind), method="CIE 2000"))
        assert apart >= 10, (kind, a, b, apart)


@pytest.mark.filterwarnings("ignore")
def test_a_plain_mid_grey_would_fail() -> None:
    """So the test can fail: #808080 against the seam's green in deuteranopia is 8.1 (measured before)."""
    grey, green = seen((128, 128, 128), "Deuteranomaly"), seen(inks.GUIDE_SEAM.rgb, "Deuteranomaly")
    assert float(colour.delta_E(grey, green, method="CIE 2000")) == pytest.approx(8.1, abs=0.1)


def test_every_pair_of_guide_lines_differs_in_kind() -> None:
    def kind(guide: inks.Guide) -> tuple[object, ...]:
        stroke = inks.guide_stroke(guide, 1.0)
        angles: tuple[object, ...] = ()
        if guide in ("shadow", "keep-out", "frame"):
            marks = hatched(Rect(0, 0, 10, 10).corners, guide, 0.1, 1.0)
            angles = tuple(
                round(np.degrees(np.arctan2(y1 - y0, x1 - x0))) % 180
                for mark in marks[:-1]
                for (x0, y0), (x1, y1) in mark.subpaths[:1]
            )
        return stroke.width, stroke.dash, stroke.cap, angles

    kinds = [kind(guide) for guide in LINES]
    assert len(set(kinds)) == len(kinds)
    assert kind("shadow")[3] == (45,) and kind("keep-out")[3] == (45, 135) and kind("frame")[3] == (135,)


def test_guide_inks_have_names_of_their_own() -> None:
    names = [ink.name for ink in inks.GUIDE_INKS]
    assert len(set(names)) == len(names) <= 10, "Ghostscript puts what is over ten onto the process plates (measured)"
    assert all(name.startswith("Guide ") and ink.spot for name, ink in zip(names, inks.GUIDE_INKS, strict=True))

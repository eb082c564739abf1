"""Draws the art of the two sample orders, and the list of the faults planted in the first.

    python sample_art/draw.py [--out DIR]

Takes nothing; writes ``first/art``, ``mended/art`` and ``first/planted.toml`` under DIR (default: this folder).
The same bytes every time: fixed seeds, no clock.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path

from studio import bog_core, horizon, moss_picture, raindrop, seasons_wall
from studio.faults import FOLD, SIDE, as_toml, planted
from studio.lettering import Line
from studio.paths import Mark, moved
from studio.raindrop import PAGE, to_sewn
from studio.writers import cmyk_pdf, rgb_pdf, svg

NOTES = """Quillmere Bog Trust - notes on our mark

Please don't set our name in all capitals. The little drop goes before the name, never after it.
On dark ground the name is in cotton white, on light ground in peat brown.
No mark is wanted on the upper sides of the raindrop, nobody can see it there.
"""


def _wraps(art: Path, faulty: bool, core: Sequence[Mark], wall: Sequence[Mark]) -> None:
    core_size = (bog_core.WIDTH, bog_core.HEIGHT)
    lines = bog_core.core_lines(spread=faulty)
    cmyk_pdf(art / "Quillmere_bog-core_wrap.pdf", core_size, 4, core, lines, "Bog core")
    wall_size = (seasons_wall.WIDTH, seasons_wall.HEIGHT)
    words = seasons_wall.wall_lines(stepped=faulty)
    cmyk_pdf(art / "Quillmere_seasons_wrap.pdf", wall_size, 2, wall, words, "Seasons wall")


def _horizon(art: Path, faulty: bool, marks: Sequence[Mark]) -> None:
    file = art / "Quillmere_Horizon_panel-09_FINAL.pdf"
    lines = horizon.horizon_lines(one_line=faulty)
    rgb_pdf(file, (horizon.WIDTH, horizon.HEIGHT), 10, marks, lines, "Horizon")


def _upper_faces(art: Path, faulty: bool) -> None:
    reading = (PAGE, PAGE)
    cmyk_pdf(art / "Quillmere_raindrop_panel-10.pdf", reading, 5, raindrop.falling_drops(), [], "Raindrop 10")
    rain = moved(raindrop.slanting_rain(), to_sewn)
    side = SIDE
    if faulty:  # trimmed to what one sees: the page ends at the fold line
        side = SIDE - 2 * FOLD
        rain = moved(rain, lambda x, y: (x - FOLD, y - FOLD))
    cmyk_pdf(art / "Quillmere_raindrop_p11.pdf", (side, side), 10, rain, [], "Raindrop 11")
    moss = moved(raindrop.floating_moss(), to_sewn)
    if faulty:
        cmyk_pdf(art / "Quillmere_panel-12.pdf", (SIDE, SIDE), 10, moss, [], "Raindrop 12")
    svg(art / "Quillmere_panel-12_v2.svg", (SIDE, SIDE), 10, moss, "Raindrop 12")


def _lower_faces(art: Path, faulty: bool) -> None:
    reading = (PAGE, PAGE)
    words: Sequence[Line] = raindrop.rain_face_lines(low_address=faulty)
    cmyk_pdf(art / "Quillmere_raindrop_panel-13.pdf", reading, 5, raindrop.rain_face_marks(), words, "Raindrop 13")
    svg(art / "Quillmere_raindrop_panel-14.svg", reading, 10, raindrop.sponge_face_marks(), "Raindrop 14")
    flight = raindrop.flight_face_lines()
    rgb_pdf(art / "Quillmere raindrop panel 15.pdf", reading, 4, raindrop.flight_face_marks(), flight, "Raindrop 15")


def draw(out: Path) -> None:
    """Everything, both orders."""
    core, wall, far = bog_core.core_marks(), seasons_wall.wall_marks(), horizon.horizon_marks()
    moss = moss_picture.moss_picture()
    for name, faulty in (("first", True), ("mended", False)):
        art = out / name / "art"
        art.mkdir(parents=True, exist_ok=True)
        _wraps(art, faulty, core, wall)
        _horizon(art, faulty, far)
        moss_size = (1000.0, 800.0) if faulty else moss_picture.ART
        moss_picture.save_moss(art / "Quillmere_core-top_panel-05.tif", moss, moss_size)
        _upper_faces(art, faulty)
        _lower_faces(art, faulty)
    (out / "first" / "art" / "Quillmere logo notes.txt").write_text(NOTES, encoding="utf-8")
    (out / "first" / "planted.toml").write_text(as_toml(planted()), encoding="utf-8")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description="Draws the art of the sample orders.")
    parser.add_argument("--out", type=Path, default=Path(__file__).parent, help="folder for first/ and mended/")
    draw(parser.parse_args().out)

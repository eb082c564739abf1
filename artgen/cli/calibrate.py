"""`artgen calibrate`: a measured test piece to a fabric profile, and the sheets to measure on."""

from pathlib import Path
from statistics import fmean

import click

from .. import profiles
from ..calibration import SIDE, Readings, fabric_toml, measuring_sheet, panel_error, test_piece
from ..drawing.pdf import write_pdf
from ..profiles import Fabric
from ..typed import Fault, TableError
from ..units import LengthError, mm_text, parse_length
from ..words import Words, words
from .work import guarded, tell, write

_LENGTHS = (1000.0, 2000.0, 3000.0, 5000.0)  # mm of panel that the error is told for
_PLAUSIBLE = 0.1  # share of the side: a reading further off is a slip of the pen (ours)


@click.command()
@click.option(
    "--across", multiple=True, metavar="LENGTH", help="A reading across the roll, after heat; give all three."
)
@click.option("--along", multiple=True, metavar="LENGTH", help="A reading along the roll, after heat; give all three.")
@click.option("--side", default=f"{SIDE:g} mm", show_default=True, help="Distance between the crosses as printed.")
@click.option(
    "--fabric", default="display-knit", show_default=True, help="The profile that the other values come from."
)
@click.option("--lot", default="", help="The lot of cloth, for the profile's title and sources.")
@click.option("--out", default="-", metavar="FILE", help="Write the profile to FILE; default standard output.")
@click.option(
    "--sheets",
    type=click.Path(path_type=Path, file_okay=False),
    metavar="DIR",
    help="Write measuring-sheet.pdf and test-piece.pdf to DIR instead.",
)
@guarded
def command(
    across: tuple[str, ...], along: tuple[str, ...], side: str, fabric: str, lot: str, out: str, sheets: Path | None
) -> int:
    """Turn a measured test piece into a fabric profile for that lot of cloth; or write the sheets to print and measure on."""
    say = words()
    if sheets is not None:
        write(sheets / "measuring-sheet.pdf", write_pdf(measuring_sheet(say), title=say("measure.title")))
        write(sheets / "test-piece.pdf", write_pdf([test_piece(say)], title=say("test.title")))
        tell(f"2 files in {sheets}")
        return 0
    base, readings = _given(across, along, side, fabric)
    write(out, fabric_toml(base, readings, lot, say).encode())
    tell(_errors(readings, say))
    return 0


def _given(across: tuple[str, ...], along: tuple[str, ...], side: str, fabric: str) -> tuple[Fabric, Readings]:
    faults: list[tuple[str, str]] = []
    try:
        profiles.known("fabric", fabric)
    except Fault as fault:
        faults.append(("--fabric", str(fault)))
    wanted = _length("--side", side, None, faults)
    found = {}
    for flag, texts in (("--across", across), ("--along", along)):
        if not texts:
            faults.append((flag, "expected at least one reading of the test piece (--sheets DIR writes one to print)"))
        found[flag] = tuple(_length(flag, text, wanted, faults) for text in texts)
    if faults:
        raise TableError("calibrate", faults)
    return profiles.load(Fabric, fabric), Readings(wanted, found["--across"], found["--along"])


def _length(flag: str, text: str, side: float | None, faults: list[tuple[str, str]]) -> float:
    try:
        mm = parse_length(text)
    except LengthError as error:
        faults.append((flag, str(error)))
        return 0.0
    if mm <= 0:
        faults.append((flag, f"expected a length over 0, got {text!r}"))
    elif side and abs(mm - side) > _PLAUSIBLE * side:
        faults.append((flag, f"expected about {mm_text(side)} mm, got {text!r}"))
    return mm


def _errors(readings: Readings, say: Words) -> str:
    def told(read: tuple[float, ...]) -> str:
        return ", ".join(
            say("calibrate.error.one", length=f"{length / 1000:g}", mm=f"{panel_error(length, read):.2f}")
            for length in _LENGTHS
        )

    lines = [say("calibrate.error", across=told(readings.across), along=told(readings.along))]
    for flag, read in (("across", readings.across), ("along", readings.along)):
        spread = max(read) - min(read)
        if spread > 2 * fmean(read) / 1000:
            lines.append(say("calibrate.spread", way=flag, mm=mm_text(spread)))
    return "\n".join(lines)

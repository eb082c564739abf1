"""Mutated valid files of every format: 300 here, most of them slow, as many as one likes by `python tests/fuzz.py`."""

import tempfile
from collections import Counter
from pathlib import Path

import fuzz
import pytest

from artgen.art import reading

COUNT, SEED = 300, 2


@pytest.mark.parametrize("part", [0, *(pytest.param(part, marks=pytest.mark.slow) for part in range(1, 6))])
def test_mutated_files_end_in_a_record_or_a_fault(part: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder, temporary = tmp_path / "art", tmp_path / "temporary"
    folder.mkdir()
    temporary.mkdir()
    fuzz.judged(
        fuzz.seeds()["png-plain"], folder, tmp_path / "art"
    )  # starts the fork server, whose socket lies elsewhere
    monkeypatch.setattr(reading, "SECONDS", 3.0)
    monkeypatch.setattr(tempfile, "tempdir", str(temporary))
    wrong = {}
    for number in range(part * COUNT // 6, (part + 1) * COUNT // 6):
        name, data = fuzz.made(SEED, number)
        outcome = fuzz.judged(data, folder, temporary)
        if outcome.faults:
            wrong[number, name] = outcome.faults
    assert wrong == {}


@pytest.mark.parametrize("name", fuzz.seeds())
def test_the_files_that_are_mutated_are_sound(name: str, tmp_path: Path) -> None:
    """Read and drawn: what is mutated would otherwise be refused for another reason."""
    (tmp_path / "art").mkdir()
    (tmp_path / "temporary").mkdir()
    outcome = fuzz.judged(fuzz.seeds()[name], tmp_path / "art", tmp_path / "temporary")
    assert outcome.said == f"{name.partition('-')[0]}: read"
    assert outcome.faults == ()


def test_files_are_made_again_from_seed_and_number_and_differ() -> None:
    assert [fuzz.made(1, n) for n in range(40)] == [fuzz.made(1, n) for n in range(40)]
    assert len({fuzz.made(1, n)[1] for n in range(40)} & {fuzz.made(2, n)[1] for n in range(40)}) <= 4
    kinds = Counter(fuzz.made(1, n)[0].partition("-")[0] for n in range(300))
    assert set(kinds) == {"pdf", "svg", "tiff", "jpeg", "png", "webp", "psd", "ora"}
    changed = sum(fuzz.made(1, n)[1] != fuzz.seeds()[fuzz.made(1, n)[0]] for n in range(300))
    assert changed > 270


def test_the_judge_sees_what_is_wrong(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An exception, something left behind, a question that takes too long, a file that was changed."""
    (tmp_path / "temporary").mkdir()
    for number, act in enumerate(("raise", "leave", "wait", "change")):
        folder = tmp_path / str(number)
        folder.mkdir()

        def bad(file: Path, act: str = act) -> object:
            if act == "raise":
                raise ZeroDivisionError
            if act == "leave":
                (tmp_path / "temporary" / "left").write_text("x")
            if act == "change":
                file.write_bytes(b"x")
            return fuzz.FileFault("damaged", "x")

        monkeypatch.setattr(fuzz, "read", bad)
        monkeypatch.setattr(fuzz, "MARGIN", -2 * reading.SECONDS - 1 if act == "wait" else 4.0)
        faults = fuzz.judged(b"peat", folder, tmp_path / "temporary").faults
        assert faults, act
        for path in (tmp_path / "temporary").iterdir():
            path.unlink()

"""What is kept of client files: with it, without it, and with it damaged in every way, the same report; only slower."""

import hashlib
import json
import os
import shutil
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import art_made
import pytest
from art_made import Lettering

from artgen import cache, job
from artgen.art import reading
from artgen.cache import Kept, kept_of, tidy
from artgen.job import Job
from artgen.job import files as files_of_job
from artgen.order import load
from artgen.sizing import size_order
from artgen.structure.kinds import KINDS
from artgen.survey import reading_available

ART = (676.0, 576.0)
ORDER = (
    'schema = 1\nname = "Kept"\n[[structure]]\nname = "wall"\nkind = "wall"\nheight = "500 mm"\n'
    'bays = ["600 mm", "600 mm", "600 mm"]\n'
)


@pytest.fixture
def kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "kept"
    monkeypatch.setenv(cache.SETTING, str(folder))
    return folder


@pytest.fixture
def order(tmp_path: Path) -> Path:
    """A PDF, an SVG and a PNG; words of two over a line."""
    folder = tmp_path / "order"
    art_made.pdf(folder / "art" / "panel-1.pdf", ART, [Lettering("forest", 20, 250, 60, 17)], (0, 0, *ART))
    art_made.svg(folder / "art" / "panel-2.svg", ART, Lettering("moss", 20, 250, 60), outlined=False)
    art_made.raster(folder / "art" / "panel-3.png", (600, 500), 25.4)
    (folder / "order.toml").write_text(ORDER, encoding="utf-8")
    return folder


def run(folder: Path, **options: Any) -> Job:
    """As a process of its own would: an SVG that was read is in no memory."""
    reading._converted.clear()
    loaded = load(folder, KINDS)
    return job.run(loaded, size_order(loaded, KINDS), **options)


def told(done: Job) -> tuple[Any, ...]:
    """All that a report is made of, floats to their last bit."""
    return (
        repr(done.findings),
        repr(done.not_examined),
        {number: (one.width, one.height, one.rgb) for number, one in done.pictures.items()},
        [(repr(seen.words), repr(seen.bands)) for seen in done.observations.laid],
        repr(done.observations.files),
    )


def entries(folder: Path) -> list[Path]:
    return sorted(path for path in folder.rglob("*") if path.is_file())


def test_cold_warm_and_without_are_the_same(order: Path, kept: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    cold = told(run(order))
    assert any("forest" in part for part in cold if isinstance(part, str))
    before = entries(kept)
    assert len(before) == 3 + 1 + 3  # facts of three files, the SVG's PDF, three looks
    asked: list[str] = []
    with monkeypatch.context() as patched:
        patched.setattr(files_of_job, "read", lambda path, kept: asked.append(path.name))
        patched.setattr(files_of_job, "look", lambda path, *rest: asked.append(path.name))
        assert told(run(order)) == cold
    assert asked == [] and entries(kept) == before
    monkeypatch.setenv(cache.SETTING, "")
    assert told(run(order)) == cold
    assert entries(kept) == before


@pytest.mark.reading
@pytest.mark.skipif(not reading_available(), reason="artgen[reading] is not installed")
def test_lettering_that_was_seen_is_kept_as_it_was(tmp_path: Path, kept: Path) -> None:
    art_made.svg(tmp_path / "o" / "art" / "panel-1.svg", ART, Lettering("forest", 20, 250, 60), outlined=True)
    (tmp_path / "o" / "order.toml").write_text(ORDER, encoding="utf-8")
    first = run(tmp_path / "o", only=1)
    assert [word.text for seen in first.observations.laid for word in seen.words if word.source == "seen"] == ["forest"]
    assert told(run(tmp_path / "o", only=1)) == told(first)


def test_without_pictures_nothing_else_changes(order: Path, kept: Path) -> None:
    whole, bare = told(run(order)), told(run(order, pictures=False))
    assert bare[2] == {} and set(whole[2]) == {1, 2, 3}
    assert bare[:2] + bare[3:] == whole[:2] + whole[3:]


def test_two_processes_find_what_one_finds_in_the_same_order(
    order: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nothing is kept here: both look at everything."""
    monkeypatch.setattr("artgen.pool.memory", lambda: 10**12)
    assert told(run(order, workers=1)) == told(run(order, workers=2)) == told(run(order, workers=3))


def cut(data: bytes) -> bytes:
    return data[: len(data) // 2]


def nothing(data: bytes) -> bytes:
    return b""


def foreign(data: bytes) -> bytes:
    return b"\x89PNG\r\n\x1a\n" + data


def flipped(at: float) -> Callable[[bytes], bytes]:
    def flip(data: bytes) -> bytes:
        place = min(len(data) - 1, int(len(data) * at))
        return data[:place] + bytes([data[place] ^ 0x20]) + data[place + 1 :]

    return flip


def longer_than_said(data: bytes) -> bytes:
    head, body = data.split(b"\n", 2)[1], data.split(b"\n", 2)[2]
    table = json.loads(head)
    table["value"][0] = 10**15
    return cache._MAGIC + json.dumps(table).encode() + b"\n" + body


def deep(data: bytes) -> bytes:
    return cache._MAGIC + b"[" * 90_000 + b"\n"


@pytest.mark.parametrize(
    "damage",
    [
        *(cut, nothing, foreign, longer_than_said, deep),
        *(flipped(at) for at in (0.01, 0.7)),
        *(pytest.param(flipped(at), marks=pytest.mark.slow) for at in (0.0, 0.05, 0.3, 1.0)),
    ],
)
def test_damaged_entries_are_as_good_as_none(order: Path, kept: Path, damage: Callable[[bytes], bytes]) -> None:
    right = told(run(order))
    before = {path: path.read_bytes() for path in entries(kept)}
    for path, data in before.items():
        path.write_bytes(damage(data))
    assert told(run(order)) == right
    assert {path: path.read_bytes() for path in entries(kept)} == before  # and they were written anew


def test_swapped_entries_are_as_good_as_none(order: Path, kept: Path) -> None:
    right = told(run(order))
    paths = entries(kept)
    data = [path.read_bytes() for path in paths]
    for path, other in zip(paths, data[1:] + data[:1], strict=True):
        path.write_bytes(other)
    assert told(run(order)) == right


def rewritten(path: Path, change: Callable[[Any], Any]) -> None:
    """An entry whose value was changed by somebody who knows how entries are written."""
    _, head, rest = path.read_bytes().split(b"\n", 2)
    table = json.loads(head)
    length = table["value"][0]
    value = json.dumps(change(json.loads(rest[:length]))).encode()
    table["value"] = [len(value), hashlib.sha256(value).hexdigest()]
    path.write_bytes(cache._MAGIC + json.dumps(table).encode() + b"\n" + value + rest[length:])


def other_panel(value: Any) -> Any:
    return value | {"bands": [[99, bands] for _, bands in value["bands"]]} if "bands" in value else value


def endless(value: Any) -> Any:
    return value | {"smallest": 1e300} if "bands" in value else value


def text_for_number(value: Any) -> Any:
    return value | {"smallest": "large"} if "bands" in value else value


def other_size(value: Any) -> Any:
    if "bands" not in value:
        return value
    return value | {"pictures": [[n, one | {"width": one["width"] + 1}] for n, one in value["pictures"]]}


def other_fields(value: Any) -> Any:
    return value | {"more": 1}


def no_table(value: Any) -> Any:
    return [value]


def no_page(value: Any) -> Any:
    return {"facts": value["facts"] | {"pages": []}} if "facts" in value else value


@pytest.mark.parametrize("change", [other_panel, endless, text_for_number, other_size, other_fields, no_table, no_page])
def test_entries_that_make_no_sense_are_as_good_as_none(order: Path, kept: Path, change: Callable[[Any], Any]) -> None:
    right = told(run(order))
    changed = 0
    for path in entries(kept):
        before = path.read_bytes()
        rewritten(path, change)
        changed += path.read_bytes() != before
    assert changed
    assert told(run(order)) == right


def test_a_picture_that_unfolds_without_end_is_not_unfolded(tmp_path: Path, kept: Path) -> None:
    file = tmp_path / "file"
    file.write_bytes(b"art")
    mine = kept_of(file)
    assert mine is not None
    mine.put({"n": 1}, {}, {"bomb": bytes(1000)})
    (path,) = entries(kept)
    magic, head, body = path.read_bytes().split(b"\n", 2)
    bomb = zlib.compress(bytes(50_000_000), 9)
    table = json.loads(head)
    table["blobs"] = [["bomb", 1000, len(bomb), hashlib.sha256(bomb).hexdigest()]]
    path.write_bytes(magic + b"\n" + json.dumps(table).encode() + b"\n" + body[:2] + bomb)
    found = mine.get({"n": 1})
    assert found is None or len(found.blobs["bomb"]) == 1000


def test_other_bytes_other_panels_other_code_are_looked_at_anew(
    order: Path, kept: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    run(order)
    count = len(entries(kept))
    # as large, with the same time: only the bytes tell
    file = order / "art" / "panel-1.pdf"
    state = file.stat()
    size = len(file.read_bytes())
    art_made.pdf(file, ART, [Lettering("tserof", 20, 250, 60, 17)], (0, 0, *ART))
    file.write_bytes(file.read_bytes()[:size].ljust(size))
    os.utime(file, ns=(state.st_atime_ns, state.st_mtime_ns))
    assert "tserof" in repr(run(order).findings)
    assert len(entries(kept)) == count + 2  # its facts, its look
    # narrower panels: facts hold, looks don't
    (order / "order.toml").write_text(ORDER.replace("600 mm", "590 mm"), encoding="utf-8")
    narrow = told(run(order))
    assert len(entries(kept)) == count + 2 + 3
    monkeypatch.setattr(cache, "stamp", lambda: "another version")
    assert told(run(order)) == narrow
    assert len(entries(kept)) == 2 * count + 2 + 3


def test_a_file_that_changes_while_it_is_read_is_not_kept(tmp_path: Path, kept: Path) -> None:
    file = tmp_path / "file"
    file.write_bytes(b"before")
    mine = kept_of(file)
    assert mine is not None
    file.write_bytes(b"after it was hashed")
    mine.put({}, "of the later bytes")
    assert entries(kept) == [] and mine.get({}) is None


def test_faults_are_not_kept(order: Path, kept: Path) -> None:
    for name in ("panel-1.pdf", "panel-2.svg", "panel-3.png"):
        (order / "art" / name).write_bytes(b"%PDF-1.7 and no more")
    run(order)
    assert entries(kept) == []


def test_a_folder_that_can_not_be_written_is_only_slower(
    order: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    right = told(run(order))
    (tmp_path / "file").write_text("no folder")
    monkeypatch.setenv(cache.SETTING, str(tmp_path / "file"))
    assert told(run(order)) == right
    assert (tmp_path / "file").read_text() == "no folder"


def test_only_the_user_may_look_into_it(order: Path, kept: Path) -> None:
    run(order)
    assert kept.stat().st_mode & 0o077 == 0


def test_it_may_go_at_any_time(order: Path, kept: Path) -> None:
    right = told(run(order))
    shutil.rmtree(kept)
    assert told(run(order)) == right and entries(kept)


def test_what_was_longest_unused_goes_first(tmp_path: Path, kept: Path) -> None:
    """Five entries of a thousand random bytes and a head; over 4,000 bytes in all the oldest go, down to four fifths of that."""
    file = tmp_path / "file"
    file.write_bytes(b"art")
    mine = kept_of(file)
    assert mine is not None
    for n in range(5):
        mine.put({"n": n}, n, {"noise": os.urandom(1000)})
        os.utime(mine._path({"n": n}), (1000 + n, 1000 + n))
    size = mine._path({"n": 0}).stat().st_size
    assert mine.get({"n": 0}) is not None  # used: it is the youngest now
    tidy(5 * size)
    assert len(entries(kept)) == 5
    tidy(4 * size)  # 3.2 entries' worth may stay
    assert [n for n in range(5) if mine._path({"n": n}).exists()] == [0, 3, 4]


def test_what_was_never_finished_goes(kept: Path, tmp_path: Path) -> None:
    file = tmp_path / "file"
    file.write_bytes(b"art")
    mine = kept_of(file)
    assert mine is not None
    mine.put({}, 1)
    old, new = (mine._path({}).with_suffix(f".{n}.part") for n in (1, 2))
    for part in (old, new):
        part.write_bytes(b"x")
    os.utime(old, (1000, 1000))
    (kept / "notes.txt").write_text("somebody's own")
    tidy()
    assert not old.exists() and new.exists() and (kept / "notes.txt").exists()


@pytest.mark.parametrize(
    ("setting", "system", "expected"),
    [
        ({"XDG_CACHE_HOME": "/somewhere"}, "linux", "/somewhere/artgen"),
        ({"XDG_CACHE_HOME": "not/absolute"}, "linux", "/home/moor/.cache/artgen"),  # XDG: relative ones are ignored
        ({}, "linux", "/home/moor/.cache/artgen"),
        ({"XDG_CACHE_HOME": "/somewhere"}, "darwin", "/home/moor/Library/Caches/artgen"),
        ({"ARTGEN_CACHE": "/mine"}, "linux", "/mine"),
        ({"ARTGEN_CACHE": ""}, "linux", None),
    ],
)
def test_where_it_lies(
    setting: dict[str, str], system: str, expected: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("XDG_CACHE_HOME", "ARTGEN_CACHE"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("HOME", "/home/moor")
    monkeypatch.setattr(cache.sys, "platform", system)
    for name, value in setting.items():
        monkeypatch.setenv(name, value)
    found = cache.folder_here()
    assert (None if found is None else str(found)) == expected


def test_keys_and_files_are_told_apart(tmp_path: Path, kept: Path) -> None:
    one, other = tmp_path / "one", tmp_path / "other"
    one.write_bytes(b"1")
    other.write_bytes(b"2")
    mine, its = kept_of(one), kept_of(other)
    assert isinstance(mine, Kept) and isinstance(its, Kept)
    mine.put({"a": 1}, "mine")
    assert mine.get({"a": 2}) is None and its.get({"a": 1}) is None
    found = mine.get({"a": 1})
    assert found is not None and found.value == "mine"
    # the same bytes under another name
    (tmp_path / "copy").write_bytes(b"1")
    copy = kept_of(tmp_path / "copy")
    assert copy is not None and copy.get({"a": 1}) == found

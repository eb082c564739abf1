"""The record: what is written stays, what was changed is found, and where; two writers and a cut never lose an entry."""

import hashlib
import json
import os
import random
import re
import signal
import subprocess
import sys
import time
from datetime import UTC, datetime
from multiprocessing import get_context
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from recording import order_in, proofed, sha

from artgen import record
from artgen.cli import main
from artgen.record.entry import entry_of, timestamp

NOON = datetime(2031, 5, 6, 12, 0, tzinfo=UTC)


def run(*args: object) -> Result:
    return CliRunner().invoke(main, [str(arg) for arg in args])


def decide(folder: Path, say: str = "approved", *more: object, by: str = "Ann") -> Result:
    return run("decide", folder, "--by", by, "--say", say, *more)


def lines_of(folder: Path) -> list[bytes]:
    return (folder / record.NAME).read_bytes().splitlines(keepends=True)


def put(folder: Path, lines: list[bytes]) -> None:
    (folder / record.NAME).write_bytes(b"".join(lines))


def verify(folder: Path) -> Result:
    return run("record", folder, "--verify")


@pytest.fixture
def five(tmp_path: Path) -> Path:
    """Two proofs and three decisions."""
    folder = order_in(tmp_path / "o")
    proofed(folder)
    assert decide(folder, "redo", "--note", "Move it").exit_code == 0
    proofed(folder, "B")
    assert decide(folder, "approved").exit_code == 0
    assert decide(folder, "as-noted", "--panel", 2).exit_code == 0
    return folder


# The hash itself. NIST's published examples for FIPS 180-4 (one block, two blocks), the long message of a million letters
# (FIPS 180-2, appendix B.3, from memory), and the empty one, which the first entry is bound to.
@pytest.mark.parametrize(
    ("message", "digest"),
    [
        (b"", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"),
        (b"abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"),
        (
            b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
            "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
        ),
        (b"a" * 1_000_000, "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"),
    ],
)
def test_hashes_are_sha_256(message: bytes, digest: str, tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(message)
    assert record.file_hash(tmp_path / "file") == digest
    if not message:
        assert digest == record.NOTHING


def test_an_entry_can_be_checked_with_standard_tools(five: Path) -> None:
    """The commands of docs/record.md, run by a shell."""
    text = (Path(__file__).parents[1] / "docs" / "record.md").read_text(encoding="utf-8")
    (command,) = re.findall(r"^(sed -n 3p .*sha256sum)", text, re.MULTILINE)
    if subprocess.run(["sh", "-c", "command -v sha256sum"], capture_output=True).returncode:
        pytest.skip("this system has no sha256sum")
    third, fourth = (json.loads(line) for line in lines_of(five)[2:4])
    said = subprocess.run(["sh", "-c", command], cwd=five, capture_output=True, text=True, check=True).stdout
    assert said.split()[0] == third["sha256"] == fourth["before"]


def test_what_an_entry_holds(five: Path) -> None:
    first, second = (json.loads(line) for line in lines_of(five)[:2])
    assert first["before"] == hashlib.sha256(b"").hexdigest()
    assert second["before"] == first["sha256"]
    for entry in (first, second):
        assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", entry["time"])  # RFC 3339, 5.6
        assert entry["order"] == sha((five / "order.toml").read_bytes())
        assert entry["art"] == {f"art/panel-{n}.pdf": sha(b"art of panel %d" % n) for n in (1, 2)}
    assert first["files"]["proof.pdf"] == second["proof"] == sha(b"proof A")
    assert (second["by"], second["say"], second["note"], second["panel"]) == ("Ann", "redo", "Move it", None)


def test_time_is_utc() -> None:
    assert timestamp(datetime.fromisoformat("1985-04-12T23:20:50.52+02:00")) == "1985-04-12T21:20:50Z"


@pytest.mark.parametrize("time", ["1990-12-31T23:59:60Z", "1996-12-19T16:39:57-08:00", "1985-04-12T23:20:50.52Z"])
def test_other_times_of_rfc_3339_are_read(time: str) -> None:
    """Among its own examples, a leap second."""
    entry = record.Entry.made(1, time, "proof", {}, record.NOTHING)
    assert entry_of(entry.line()) == entry


def test_the_story_in_words(five: Path) -> None:
    told = run("record", five)
    assert told.exit_code == 0
    rows = told.output.splitlines()
    assert [row.split()[0] for row in rows if row[:1].isdigit()] == ["1", "2", "3", "4", "5"]
    assert "Ann on proof A, all panels: do it again" in told.output
    assert "note: Move it" in told.output
    assert "Released for printing: panel 1, as in proof B" in told.output
    assert "Not released: panel 2" in told.output
    assert f"entry 5, {json.loads(lines_of(five)[-1])['sha256']}" in told.output
    assert verify(five).exit_code == 0


# ---- what --verify finds


def rehashed(line: bytes, **changed: object) -> bytes:
    """The entry with other facts and a hash of its own that fits them."""
    entry = entry_of(line)
    facts = {**entry.facts, **{key: value for key, value in changed.items() if key not in ("number", "before")}}
    number, before = changed.get("number", entry.number), changed.get("before", entry.before)
    return record.Entry.made(number, entry.time, entry.what, facts, before).line()  # type: ignore[arg-type]


@pytest.mark.parametrize("place", range(5))
def test_one_changed_byte_is_found_wherever_it_is(five: Path, place: int) -> None:
    lines = lines_of(five)
    rng = random.Random(place)
    for at in [0, len(lines[place]) - 1, *rng.sample(range(1, len(lines[place]) - 1), 25)]:
        changed = bytearray(lines[place])
        changed[at] ^= 1
        put(five, [*lines[:place], bytes(changed), *lines[place + 1 :]])
        found = verify(five)
        assert found.exit_code == 1, at
        # without its newline the last line is no line
        where = f"after entry {place}" if (place, at) == (4, len(lines[4]) - 1) else f"entry {place + 1}"
        assert found.output.startswith(where), (at, found.output)
    put(five, lines)
    assert verify(five).exit_code == 0


def test_every_bit_of_a_short_entry_counts() -> None:
    line = record.Entry.made(1, timestamp(NOON), "decision", {"by": "A"}, record.NOTHING).line()
    for at in range(len(line)):
        for bit in range(8):
            changed = bytearray(line)
            changed[at] ^= 1 << bit
            assert record.log_faults([bytes(changed)]), (at, bit)


@pytest.mark.parametrize("gone", range(4))
def test_a_removed_entry_is_found_where_it_stood(five: Path, gone: int) -> None:
    lines = lines_of(five)
    put(five, [*lines[:gone], *lines[gone + 1 :]])
    found = verify(five)
    assert found.exit_code == 1
    assert found.output.startswith(f"entry {gone + 1}: here stands number {gone + 2} where number {gone + 1} belongs")


def test_an_entry_removed_and_the_rest_numbered_anew_is_found(five: Path) -> None:
    lines = lines_of(five)
    put(five, [lines[0], *(rehashed(line, number=n) for n, line in enumerate(lines[2:], start=2))])
    assert verify(five).output.startswith("entry 2: it is not bound to the entry before it")


@pytest.mark.parametrize("first", range(4))
def test_two_swapped_entries_are_found(five: Path, first: int) -> None:
    lines = lines_of(five)
    lines[first : first + 2] = reversed(lines[first : first + 2])
    put(five, lines)
    found = verify(five)
    assert found.exit_code == 1
    assert found.output.startswith(f"entry {first + 1}: here stands number {first + 2}")


@pytest.mark.parametrize("place", range(4))
def test_an_entry_that_was_changed_and_hashed_anew_alone_is_found(five: Path, place: int) -> None:
    lines = lines_of(five)
    lines[place] = rehashed(lines[place], by="Mallory")
    put(five, lines)
    found = verify(five)
    assert found.exit_code == 1
    assert found.output.startswith(f"entry {place + 2}: it is not bound to the entry before it")


def test_an_entry_written_twice_and_one_put_in_are_found(five: Path) -> None:
    lines = lines_of(five)
    put(five, [*lines[:2], lines[1], *lines[2:]])
    assert verify(five).output.startswith("entry 3: here stands number 2 where number 3 belongs")
    put(five, [*lines[:2], b'{"number":3}\n', *lines[2:]])
    assert verify(five).output.startswith("entry 3: this line is no entry")


def test_a_cut_in_the_middle_is_found(five: Path) -> None:
    whole = (five / record.NAME).read_bytes()
    ends = [sum(map(len, lines_of(five)[:n])) for n in range(6)]
    for cut in random.Random(1).sample(range(1, len(whole) - 1), 40):
        if cut in ends or cut + 1 in ends:
            continue  # between two entries: see the next test; the newline alone is no loss
        (five / record.NAME).write_bytes(whole[:cut])
        found = verify(five)
        assert found.exit_code == 1, cut
        before = max(n for n in range(6) if ends[n] <= cut)
        assert f"after entry {before}: a line that was cut off, {cut - ends[before]} bytes" in found.output


def test_a_cut_at_the_end_shows_by_the_files_that_nobody_knows_and_by_a_kept_head(five: Path) -> None:
    """A chain can't show that its end is gone. What lies on the disk can, and a head that somebody kept."""
    lines = lines_of(five)
    head = json.loads(lines[-1])["sha256"]
    assert head in verify(five).output
    put(five, lines[:2])
    found = verify(five)
    assert found.exit_code == 1
    assert "proofs/B/proof.pdf lies there and no entry knows it" in found.output
    put(five, lines[:4])  # the last decision: nothing on the disk tells
    assert verify(five).exit_code == 0
    assert head not in (five / record.NAME).read_text(encoding="ascii")
    assert "compare the head" in verify(five).output.replace("\n", " ")


def test_files_that_the_record_names_are_compared(five: Path) -> None:
    (five / "proofs" / "A" / "proof.pdf").write_bytes(b"another")
    (five / "proofs" / "B" / "proof.pdf").unlink()
    found = verify(five)
    assert found.exit_code == 1
    assert "entry 1: proofs/A/proof.pdf is not the file that was recorded" in found.output
    assert "entry 3: proofs/B/proof.pdf was recorded and is gone" in found.output


def test_changed_art_is_no_fault_of_the_record(five: Path) -> None:
    (five / "art" / "panel-1.pdf").write_bytes(b"new")
    assert verify(five).exit_code == 0


def test_nothing_is_added_to_a_record_that_was_changed(five: Path) -> None:
    lines = lines_of(five)
    lines[1] = lines[1].replace(b"redo", b"okay")
    put(five, lines)
    refused = decide(five)
    assert refused.exit_code == 2
    assert "from entry 2 on" in refused.output
    assert lines_of(five) == lines


# ---- deciding


def test_only_an_approval_releases_and_the_last_word_counts(tmp_path: Path) -> None:
    folder = order_in(tmp_path / "o")

    def free() -> dict[int, str]:
        return {n: made.revision for n, made in record.released(record.read(folder).entries).items()}

    proofed(folder)
    assert free() == {}
    decide(folder, "as-noted")
    assert free() == {}
    decide(folder, "approved", "--panel", 2)
    assert free() == {2: "A"}
    decide(folder, "approved")
    assert free() == {1: "A", 2: "A"}
    proofed(folder, "B")
    assert free() == {1: "A", 2: "A"}  # a new proof takes nothing back
    decide(folder, "as-noted", "--panel", 1)
    assert free() == {2: "A"}
    decide(folder, "redo")
    assert free() == {}
    decide(folder, "approved", "--revision", "a")
    assert free() == {1: "A", 2: "A"}


def test_a_decision_on_art_that_has_changed_since_says_so_and_counts_for_what_was_seen(tmp_path: Path) -> None:
    folder = order_in(tmp_path / "o")
    proofed(folder, errors=3)
    (folder / "art" / "panel-1.pdf").write_bytes(b"newer")
    (folder / "art" / "extra.pdf").write_bytes(b"newer")
    done = decide(folder)
    assert done.exit_code == 0
    assert "this has changed: art/extra.pdf, art/panel-1.pdf." in done.output
    assert "3 errors were found in proof A" in done.output
    assert record.released(record.read(folder).entries)[1].art_of(1) == {"art/panel-1.pdf": sha(b"art of panel 1")}


def test_a_decision_needs_the_proof_that_was_seen(tmp_path: Path) -> None:
    folder = order_in(tmp_path / "o")
    assert "no proof of this order is on record" in decide(folder).output
    proofed(folder)
    assert "shows no panel 9; its panels: 1, 2" in decide(folder, "redo", "--panel", 9).output
    assert "no revision 'C'; on record: A" in decide(folder, "redo", "--revision", "C").output
    assert "a name of 1 to 200 letters" in decide(folder, by=" ").output
    (folder / "proofs" / "A" / "proof.pdf").write_bytes(b"touched")
    refused = decide(folder)
    assert refused.exit_code == 2
    assert "is not the proof that was recorded" in refused.output
    assert len(lines_of(folder)) == 1


def test_evidence_is_copied_whole_and_bound(tmp_path: Path) -> None:
    folder = order_in(tmp_path / "o")
    proofed(folder)
    mail = tmp_path / "Re: Proof A (yes!).eml"
    mail.write_bytes(os.urandom(300_000))
    for _ in range(2):
        assert decide(folder, "approved", "--attach", mail).exit_code == 0
    names = [name for d in record.decisions(record.read(folder).entries) for name in d.evidence]
    assert names == ["evidence/2-Re_ Proof A (yes_).eml", "evidence/3-Re_ Proof A (yes_).eml"]
    for name in names:
        assert (folder / name).read_bytes() == mail.read_bytes()
    mail.unlink()
    assert verify(folder).exit_code == 0
    (folder / names[1]).chmod(0o644)
    (folder / names[1]).write_bytes(b"forged")
    assert f"entry 3: {names[1]} is not the file that was recorded" in verify(folder).output


def test_evidence_of_a_run_that_was_stopped_is_taken_and_none_is_written_over(tmp_path: Path) -> None:
    folder = order_in(tmp_path / "o")
    for content in (b"one", b"two", b"one"):
        (tmp_path / "mail.eml").write_bytes(content)
        name, digest = record.keep(folder, 2, tmp_path / "mail.eml")
        assert digest == sha(content) == sha((folder / name).read_bytes())
    assert sorted(path.name for path in (folder / "evidence").iterdir()) == ["2-mail (2).eml", "2-mail.eml"]


@pytest.mark.parametrize("name", ["\x1b[2Jx", "../../up", ".hidden", "a" * 250 + ".eml", "泥炭.eml", "no"])
def test_names_of_evidence_are_tame(tmp_path: Path, name: str) -> None:
    file = tmp_path / "in" / name.replace("/", "_")
    file.parent.mkdir()
    file.write_bytes(b"x")
    kept, _ = record.keep(tmp_path, 1, file)
    assert re.fullmatch(r"evidence/1-[A-Za-z0-9 .()+,=@_-]{1,140}", kept)
    assert (tmp_path / kept).is_file()


def test_names_and_notes_do_not_steer_the_terminal(tmp_path: Path) -> None:
    folder = order_in(tmp_path / "o")
    proofed(folder)
    done = decide(folder, "redo", "--note", "a\x1b]0;x\x07\nb\u202e", by="Ann\x1b[31m")
    assert done.exit_code == 0
    told = run("record", folder).output
    for text in (done.output, told):
        assert not {"\x1b", "\x07", "\u202e"} & set(text)
    assert "      b\\u202e\n" in told
    with record.writing(folder) as log:
        log.add(log.next("\x1b[0m", {}, NOON))
    assert "\x1b" not in run("record", folder).output


# ---- foreign and torn records


@pytest.mark.parametrize(
    "facts",
    [
        {"revision": 1},
        {
            "revision": "A",
            "folder": "x",
            "order": "y",
            "art": [],
            "files": {"proof.pdf": 3},
            "panels": {"x": 1, "1": [2]},
        },
        {"revision": "A", "folder": "/dev", "order": "y", "files": {"zero": "0" * 64}},
        {"by": "A", "say": "approved", "revision": "A", "panel": "1"},
    ],
)
def test_entries_of_other_shapes_are_told_and_stop_nothing(tmp_path: Path, facts: dict[str, object]) -> None:
    folder = order_in(tmp_path / "o")
    for what in ("proof", "decision", "printed"):
        with record.writing(folder) as log:
            log.add(log.next(what, facts))
    assert run("record", folder).exit_code == 0
    assert verify(folder).exit_code in (0, 1)
    assert record.released(record.read(folder).entries) == {}


@pytest.mark.parametrize(
    "data", [b"\n", b"{}\n", b"\xff\xfe\n", b"[" * 100_000 + b"\n", b"\r\n", b'{"a":1,"sha256":"0"}\n']
)
def test_what_is_no_record_is_said(tmp_path: Path, data: bytes) -> None:
    folder = order_in(tmp_path / "o")
    (folder / record.NAME).write_bytes(data)
    assert verify(folder).exit_code == 1
    assert run("record", folder).exit_code == 1
    deep = b'{"a":' + b"[" * 100_000 + b"]" * 100_000
    line = deep + b',"sha256":"' + sha(deep).encode() + b'"}\n'
    assert [fault.why for fault in record.log_faults([line])] == ["unreadable"]


def test_a_record_that_is_a_link_or_a_folder_is_refused(tmp_path: Path) -> None:
    folder = order_in(tmp_path / "o")
    (tmp_path / "elsewhere").write_bytes(b"")
    (folder / record.NAME).symlink_to(tmp_path / "elsewhere")
    assert run("record", folder).exit_code == 2
    assert decide(folder).exit_code == 2
    assert (tmp_path / "elsewhere").read_bytes() == b""
    assert run("record", tmp_path / "nothing").exit_code == 2


def test_a_torn_last_line_is_set_aside_and_never_dropped(five: Path) -> None:
    whole = (five / record.NAME).read_bytes()
    last = lines_of(five)[-1]
    for cut in (1, len(last) // 2, len(last) - 2):
        put(five, [whole[: len(whole) - len(last)], last[:cut]])
        assert f"cut off while it was written, {cut} bytes" in run("record", five).output
        done = decide(five, "redo", "--note", "after the cut")
        assert done.exit_code == 0, done.output
        (aside,) = re.findall(r"set aside: (record\.torn-\S+?)\.\n", done.output)
        assert (five / aside).read_bytes() == last[:cut]
        assert json.loads(lines_of(five)[-1])["set_aside"] == {aside: sha(last[:cut])}
        assert verify(five).exit_code == 0
        assert aside in run("record", five).output
        (five / aside).unlink()
        assert f"{aside} was recorded and is gone" in verify(five).output


def test_zeros_that_a_power_cut_left_are_torn_and_a_missing_newline_is_no_loss(five: Path) -> None:
    lines = lines_of(five)
    put(five, [*lines[:4], lines[4][:100] + b"\0" * 200 + b"\n"])
    assert decide(five, "redo").exit_code == 0
    assert len(lines_of(five)) == 5
    put(five, [*lines[:4], lines[4][:-1]])
    assert verify(five).exit_code in (0, 1)
    assert run("record", five).output.count("Ann on proof") == 3
    assert decide(five, "redo").exit_code == 0
    assert lines_of(five)[:5] == lines


def test_a_torn_line_that_a_stopped_run_put_aside_is_named_by_the_next_entry(five: Path) -> None:
    lines = lines_of(five)
    put(five, [*lines, b'{"number":6,'])
    with record.writing(five):
        pass  # stopped before it wrote
    assert lines_of(five) == lines
    assert decide(five, "redo").exit_code == 0
    assert len(json.loads(lines_of(five)[-1])["set_aside"]) == 1
    assert verify(five).exit_code == 0


def test_a_full_disk_leaves_the_record_as_it_was(five: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = (five / record.NAME).read_bytes()
    real = os.write

    def full(handle: int, data: memoryview) -> int:
        if len(data) > 50:
            return real(handle, data[:50])
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("artgen.record.log.os.write", full)
    failed = decide(five, "redo")
    assert failed.exit_code == 2
    assert "nothing was recorded" in failed.output
    assert (five / record.NAME).read_bytes() == before


# ---- killed, and two at once

_WRITES = """
import sys
from pathlib import Path
from artgen import record
folder = Path(sys.argv[1])
while True:
    with record.writing(folder) as log:
        entry = log.next("decision", {"by": "x" * 3000, "say": "redo", "revision": "A", "note": ""})
        log.add(entry)
    sys.stdout.write(f"{entry.number} {entry.sha256}\\n")
    sys.stdout.flush()
"""


def killed_at_random(folder: Path, times: int, seed: int) -> None:
    """Kills a writer again and again. Whatever it confirmed must be there, and the record whole but for a torn end."""
    rng = random.Random(seed)
    confirmed: dict[int, str] = {}
    for _ in range(times):
        with subprocess.Popen(
            [sys.executable, "-c", _WRITES, str(folder)], stdout=subprocess.PIPE, text=True
        ) as writer:
            assert writer.stdout is not None
            said = [writer.stdout.readline()]  # it is at work
            time.sleep(rng.uniform(0.0, 0.05))
            os.kill(writer.pid, signal.SIGKILL)
            said += writer.stdout.readlines()
        for row in said:
            number, _, digest = row.strip().partition(" ")
            if len(digest) == 64:
                assert int(number) not in confirmed
                confirmed[int(number)] = digest
        log = record.read(folder)
        assert record.log_faults(log.lines) == ()
        there = {entry.number: entry.sha256 for entry in log.entries}
        assert confirmed.items() <= there.items()
    assert len(confirmed) >= times


def test_killed_while_writing_nothing_confirmed_is_lost(tmp_path: Path) -> None:
    killed_at_random(tmp_path, 6, seed=1)


@pytest.mark.slow
def test_killed_at_200_random_moments_nothing_confirmed_is_lost(tmp_path: Path) -> None:
    killed_at_random(tmp_path, 200, seed=2)


def _decides(folder: str, name: str, times: int, barrier: object) -> None:
    for n in range(times):
        barrier.wait(60)  # type: ignore[attr-defined]
        done = run("decide", folder, "--by", name, "--say", "redo", "--note", n)
        assert done.exit_code == 0, done.output


@pytest.mark.parametrize("times", [5, pytest.param(50, marks=pytest.mark.slow)])
def test_two_decide_at_once_and_both_are_there(tmp_path: Path, times: int) -> None:
    folder = order_in(tmp_path / "o")
    proofed(folder)
    spawn = get_context("spawn")
    barrier = spawn.Barrier(2)
    both = [spawn.Process(target=_decides, args=(str(folder), name, times, barrier)) for name in ("Ann", "Ben")]
    for one in both:
        one.start()
    for one in both:
        one.join(300)
        assert one.exitcode == 0
    found = record.decisions(record.read(folder).entries)
    for name in ("Ann", "Ben"):
        assert [d.note for d in found if d.by == name] == [str(n) for n in range(times)]
    assert len(found) == 2 * times
    assert verify(folder).exit_code == 0

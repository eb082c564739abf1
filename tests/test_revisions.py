"""Revisions: each whole or not at all, never written over, none where nothing changed; and the mail that goes with one."""

import email
import email.policy
import hashlib
import io
import json
import os
import shutil
import threading
import time
from collections.abc import Iterator
from datetime import datetime
from email.message import EmailMessage
from pathlib import Path
from typing import Any

import pdfplumber
import pytest
from click.testing import CliRunner, Result
from PIL import Image
from test_compare import HERE, ORDER, order_in, page

from artgen import record
from artgen.cli import main
from artgen.proof.mail import addresses
from artgen.revisions import making
from artgen.revisions.letters import letters, place

MAIL = """
[mail]
to = "Ida Fenn <ida@quillmere.example>, nobody"
from = "Print shop <proofs@shop.example>"
answer_by = "2031-05-06"
"""


def run(*args: object) -> Result:
    return CliRunner().invoke(main, [str(arg) for arg in args])


def proof(folder: Path, *more: object) -> Result:
    return run("proof", folder, "--weight", "light", *more)


def bytes_in(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def change(folder: Path, colour: tuple[float, float, float] = (0.3, 0.5, 0.9)) -> None:
    page(folder / "art" / "panel-2.pdf", colour, HERE[2][1])


@pytest.fixture(scope="module", autouse=True)
def _quick_too() -> Iterator[None]:
    """The shared fixture of that kind comes after those of a module."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("artgen.job.reading_available", lambda: False)
        yield


@pytest.fixture(scope="module")
def one(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An order with proof A; tests that go on from it take a copy."""
    folder = order_in(tmp_path_factory.mktemp("one") / "o")
    text = ORDER.replace("[[structure]]", MAIL + "[[structure]]", 1).replace(
        'height = "500 mm"', 'height = "500 mm"\nlit = "inside"'
    )
    (folder / "order.toml").write_text(text, encoding="utf-8")
    done = proof(folder)
    assert done.exit_code == 0, done.output
    return folder


@pytest.fixture
def copy(one: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(one, tmp_path / "o"))


@pytest.fixture(scope="module")
def two(one: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Proofs A and B, and what was said when B was made."""
    folder = Path(shutil.copytree(one, tmp_path_factory.mktemp("two") / "o"))
    change(folder)
    done = proof(folder)
    assert done.exit_code == 0, done.output
    (folder / "said.txt").write_text(done.output)
    return folder


def test_letters_run_on_as_columns_do() -> None:
    assert [letters(n) for n in (1, 2, 26, 27, 52, 53, 702, 703)] == ["A", "B", "Z", "AA", "AZ", "BA", "ZZ", "AAA"]
    assert [place(letters(n)) for n in range(1, 1500)] == list(range(1, 1500))
    assert [place(name) for name in ("", "a", "A1", ".A", "ABCDE", "Ä", "A\n")] == [0] * 7


def test_a_revision_holds_what_is_sent_and_what_comparing_needs(one: Path) -> None:
    files = bytes_in(one / "proofs")
    assert {"A/proof.pdf", "A/mail.eml", "A/revision.json", "A/panels/1.png", "A/panels/2.png"} <= set(files)
    assert any(name.startswith("A/views/") for name in files)
    (entry,) = record.read(one).entries
    assert entry.facts["folder"] == "proofs/A"
    assert entry.facts["panels"] == {"1": ["art/panel-1.pdf"], "2": ["art/panel-2.pdf"]}
    art = {f"art/panel-{n}.pdf": hashlib.sha256((one / f"art/panel-{n}.pdf").read_bytes()).hexdigest() for n in (1, 2)}
    assert entry.facts["art"] == art
    bound = {name.removeprefix("A/"): hashlib.sha256(data).hexdigest() for name, data in files.items()}
    del bound[".proofs.lock"], bound["mail.eml"]
    assert entry.facts["files"] == bound
    assert run("record", one, "--verify").exit_code == 0
    text = "".join(path for path in files) + files["A/revision.json"].decode()
    assert str(one) not in text


def test_every_page_carries_the_revision(two: Path) -> None:
    with pdfplumber.open(two / "proofs" / "B" / "proof.pdf") as pdf:
        texts = [page.extract_text() for page in pdf.pages]
    assert all("draft" not in text for text in texts)
    assert "Revision B" in texts[0]
    (changed,) = [text for text in texts if "What changed from proof A to proof B" in text]
    assert "Panel 2" in changed and "The artwork is another one." in changed


def test_unchanged_input_makes_no_revision_and_names_the_one_that_is_there(copy: Path) -> None:
    before = bytes_in(copy)
    again = proof(copy)
    assert again.exit_code == 0
    assert "Nothing has changed since proof A" in again.output
    os.utime(copy / "art" / "panel-1.pdf")
    assert proof(copy).exit_code == 0
    assert bytes_in(copy) == before


def test_same_input_same_bytes_but_for_the_mails_date_and_entry(one: Path, copy: Path) -> None:
    shutil.rmtree(copy / "proofs")
    (copy / record.NAME).unlink()
    assert proof(copy).exit_code == 0
    first, second = bytes_in(one / "proofs" / "A"), bytes_in(copy / "proofs" / "A")
    mails = [files.pop("mail.eml").decode() for files in (first, second)]
    assert first == second
    numbers = [record.read(folder).entries[0] for folder in (one, copy)]
    parsed = [email.message_from_string(text, policy=email.policy.default) for text in mails]
    plain = [
        one.get_body(("plain",)).get_content().replace(entry.sha256, "…")
        for one, entry in zip(parsed, numbers, strict=True)
    ]
    assert plain[0] == plain[1]
    assert [one.get_boundary() for one in parsed[0].walk()] == [one.get_boundary() for one in parsed[1].walk()]


def test_a_change_makes_the_next_and_leaves_the_one_before(one: Path, two: Path) -> None:
    assert bytes_in(two / "proofs" / "A") == bytes_in(one / "proofs" / "A")
    assert [made.revision for made in record.proofs(record.read(two).entries)] == ["A", "B"]
    assert "Proof B is in" in (two / "said.txt").read_text()
    assert run("record", two, "--verify").exit_code == 0


def test_compare_needs_no_art_and_says_what_changed(two: Path, tmp_path: Path) -> None:
    folder = Path(shutil.copytree(two, tmp_path / "o"))
    shutil.rmtree(folder / "art")
    said = run("compare", folder, "A", "b", "--html", tmp_path / "c.html")
    assert said.exit_code == 0
    assert "The artwork is another one." in said.output
    assert "Looks as it did: panel 1." in said.output
    assert (tmp_path / "c.html").read_bytes().count(b"<img ") == 3
    assert run("compare", folder, "A", "A").output.count("Nothing changed") == 1
    assert "no proof 'C' of this order on record; on record: A, B" in run("compare", folder, "A", "C").output
    (folder / "proofs" / "A" / "panels" / "1.png").write_bytes(b"x")
    refused = run("compare", folder, "A", "B")
    assert refused.exit_code == 2
    assert "panels/1.png is not what was recorded" in refused.output


def test_other_options_make_another_revision(copy: Path) -> None:
    assert run("proof", copy, "--weight", "full").exit_code == 0
    assert [made.revision for made in record.proofs(record.read(copy).entries)] == ["A", "B"]
    mail = parsed(copy / "proofs" / "B" / "mail.eml")
    assert "Nothing changed that can be seen" in mail.get_body(("plain",)).get_content()


def test_another_place_for_the_folders(copy: Path, tmp_path: Path) -> None:
    change(copy)
    assert proof(copy, "--out", tmp_path / "out").exit_code == 0
    assert (tmp_path / "out" / "B" / "proof.pdf").is_file()
    assert not (copy / "proofs" / "B").exists()
    assert run("record", copy, "--verify").exit_code == 0
    assert run("compare", copy, "A", "B").exit_code == 0


# ---- what was approved, and what lies there now


def changed_files(folder: Path) -> list[tuple[int, str]]:
    told = json.loads(run("check", folder, "--json", "-").stdout)
    return [(f["panel"], f["file"]) for f in told["findings"] if f["rule"] == "file-changed"]


def test_check_says_which_art_is_no_longer_what_was_approved(copy: Path) -> None:
    change(copy)
    assert changed_files(copy) == []  # nothing was approved
    run("decide", copy, "--by", "Ida", "--say", "as-noted")
    assert changed_files(copy) == []
    run("decide", copy, "--by", "Ida", "--say", "approved", "--panel", 1)
    assert changed_files(copy) == []  # panel 1 is as it was
    run("decide", copy, "--by", "Ida", "--say", "approved")
    assert changed_files(copy) == [(2, "panel-2.pdf")]
    told = run("check", copy)
    assert told.exit_code == 1
    assert "panel-2.pdf is not the file that was approved" in told.output
    assert proof(copy).exit_code == 0  # the new proof is there to be approved: it does not say so
    run("decide", copy, "--by", "Ida", "--say", "approved")
    assert changed_files(copy) == []


def test_of_a_record_that_was_changed_nothing_is_believed(copy: Path) -> None:
    run("decide", copy, "--by", "Ida", "--say", "approved")
    path = copy / record.NAME
    path.write_bytes(path.read_bytes().replace(b"Ida", b"Eva"))
    change(copy)
    told = json.loads(run("check", copy, "--json", "-").stdout)
    assert [f for f in told["findings"] if f["rule"] == "file-changed"] == []
    assert any("entry 2: its bytes are not those that were written" in one["why"] for one in told["not_examined"])


# ---- whole or not at all


def nothing_left(folder: Path, before: dict[str, bytes]) -> None:
    assert {name: data for name, data in bytes_in(folder).items() if "/art/" not in f"/{name}"} == before


@pytest.mark.parametrize("at", ["mail_bytes", "_settle", "changes_sheet"])
def test_what_fails_leaves_nothing(copy: Path, monkeypatch: pytest.MonkeyPatch, at: str) -> None:
    before = {name: data for name, data in bytes_in(copy).items() if "art/" not in name}
    change(copy)

    def fail(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(making, at, fail)
    done = proof(copy)
    assert done.exit_code == 2
    assert "none was left half-made" in done.output
    nothing_left(copy, before)


def test_a_record_that_can_not_be_written_leaves_no_folder(copy: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = {name: data for name, data in bytes_in(copy).items() if "art/" not in name}
    change(copy)

    def full(path: Path, line: bytes) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("artgen.record.log._append", full)
    done = proof(copy)
    assert done.exit_code == 2
    assert "nothing was recorded" in done.output
    nothing_left(copy, before)


def test_art_that_changes_meanwhile_makes_no_proof(copy: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    change(copy)
    real = making.inputs_of
    calls: list[int] = []

    def changing(*args: Any) -> Any:
        calls.append(1)
        if len(calls) == 2:
            change(copy, (0.1, 0.1, 0.1))
        return real(*args)

    monkeypatch.setattr(making, "inputs_of", changing)
    done = proof(copy)
    assert done.exit_code == 2
    assert "changed while the proof was made" in done.output
    assert not (copy / "proofs" / "B").exists()


def test_a_record_that_was_changed_stops_it_before_the_work(copy: Path) -> None:
    path = copy / record.NAME
    path.write_bytes(path.read_bytes().replace(b'"errors":0', b'"errors":1'))
    change(copy)
    done = proof(copy)
    assert done.exit_code == 2
    assert "not as it was written" in done.output
    assert not (copy / "proofs" / "B").exists()


def test_a_folder_that_nobody_recorded_is_never_written_over(copy: Path) -> None:
    """A maker that was killed between the folder and its entry, or somebody's hand."""
    (copy / "proofs" / "B").mkdir()
    (copy / "proofs" / "B" / "proof.pdf").write_bytes(b"theirs")
    (copy / "proofs" / ".making-x").mkdir()
    change(copy)
    done = proof(copy)
    assert done.exit_code == 0
    assert "lies there without an entry in the record" in done.output
    assert (copy / "proofs" / "B" / "proof.pdf").read_bytes() == b"theirs"
    assert (copy / "proofs" / "C" / "proof.pdf").is_file()
    assert not (copy / "proofs" / ".making-x").exists()
    assert "proofs/B/proof.pdf lies there and no entry knows it" in run("record", copy, "--verify").output


def test_an_old_proof_that_is_gone_stops_no_new_one(copy: Path) -> None:
    (copy / "proofs" / "A" / "revision.json").unlink()
    done = proof(copy)
    assert done.exit_code == 0
    assert "what changed since can't be shown" in done.output
    assert (copy / "proofs" / "B" / "proof.pdf").is_file()


@pytest.mark.parametrize("apart", [False, True])
def test_two_at_once_make_one_revision(copy: Path, monkeypatch: pytest.MonkeyPatch, apart: bool) -> None:
    """Also where each was told another folder: letters are the order's."""
    change(copy)
    said: list[str] = []

    def slow(*args: Any, **kwargs: Any) -> Any:
        time.sleep(0.5)
        return real(*args, **kwargs)

    real = making._revise
    monkeypatch.setattr(making, "_revise", slow)
    from artgen.cli.work import open_order
    from artgen.job import run as run_job
    from artgen.words import words

    order, sizing = open_order(copy)
    found: list[making.Revision] = []

    def make(out: Path | None) -> None:
        job = lambda: run_job(order, sizing)  # noqa: E731
        found.append(making.revise(order, sizing, job, words(), out=out, weight="light", tell=said.append))

    places = [copy / "one", copy / "two"] if apart else [None, None]
    both = [threading.Thread(target=make, args=(place,)) for place in places]
    for each in both:
        each.start()
    for each in both:
        each.join(120)
    assert sorted((made.name, made.new) for made in found) == [("B", False), ("B", True)]
    assert said == ["another artgen is making a proof of this order; waiting for it"]
    assert len(list(copy.rglob("B/proof.pdf"))) == 1


# ---- the mail


def parsed(file: Path) -> EmailMessage:
    message = email.message_from_bytes(file.read_bytes(), policy=email.policy.default)
    assert isinstance(message, EmailMessage)
    return message


def test_the_mail_is_a_mail(two: Path) -> None:
    """Read by Python's own parser: no defects, RFC 5322's lengths of lines, one part of each kind in its place."""
    data = (two / "proofs" / "B" / "mail.eml").read_bytes()
    assert data.replace(b"\r\n", b"").count(b"\n") == 0
    assert max(map(len, data.split(b"\r\n"))) <= 998
    assert data.isascii()
    mail = parsed(two / "proofs" / "B" / "mail.eml")
    for part in mail.walk():
        assert part.defects == []
    assert [part.get_content_type() for part in mail.walk()] == [
        "multipart/mixed",
        "multipart/alternative",
        "text/plain",
        "multipart/related",
        "text/html",
        "image/jpeg",
        "application/pdf",
    ]
    assert mail["To"].addresses[0].addr_spec == "ida@quillmere.example"
    assert len(mail["To"].addresses) == 1  # "nobody" is no address
    assert mail["From"].addresses[0].display_name == "Print shop"
    assert mail["Subject"] == "Proof B of T-7, Moss: please answer by 2031-05-06"
    sent = datetime.fromisoformat(record.read(two).entries[1].time)
    assert mail["Date"].datetime == sent
    assert mail["Message-ID"] is None  # whoever sends it gives it one


def test_the_mail_says_what_to_do_and_carries_the_proof(two: Path) -> None:
    mail = parsed(two / "proofs" / "B" / "mail.eml")
    (pdf,) = mail.iter_attachments()
    assert pdf.get_filename() == "proof-B.pdf"
    assert pdf.get_content() == (two / "proofs" / "B" / "proof.pdf").read_bytes()
    entry = record.read(two).entries[1]
    bodies = [mail.get_body((kind,)).get_content() for kind in ("plain", "html")]
    for body in bodies:
        said = " ".join(body.split())
        assert "Please answer by 2031-05-06" in said
        assert "What changed since proof A" in said
        assert "Panel 2: The artwork is another one." in said
        assert "Approved as noted" in said and "does not release printing" in said
        assert "Wall is lit from inside: a licensed electrician connects it" in said
        assert entry.sha256 in said and entry.facts["files"]["proof.pdf"] in said
    html = bodies[1]
    (picture,) = [part for part in mail.walk() if part.get_content_type() == "image/jpeg"]
    assert f"cid:{picture['Content-ID'].strip('<>')}" in html
    assert "http" not in html and html.count("src=") == 1
    with Image.open(io.BytesIO(picture.get_content())) as image:
        assert image.width <= 1280 and image.height >= 100


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Ann Lee <ann@a.example>", ["ann@a.example"]),
        ("ann@a.example, Ben <ben@b.example>", ["ann@a.example", "ben@b.example"]),
        ("Ann Lee", []),
        ("", []),
        ("ä@b.example", []),
        ("Ann <ann@a.example>\r\nBcc: x@y.example", None),
        ("<>", []),
        ('"Lee, Ann" <ann@a.example>', ["ann@a.example"]),
    ],
)
def test_addresses(text: str, expected: list[str] | None) -> None:
    found = [address.addr_spec for address in addresses(text)]
    assert found == expected or (expected is None and all("\n" not in str(one) for one in addresses(text)))


def test_foreign_words_stay_words(copy: Path) -> None:
    text = (copy / "order.toml").read_text(encoding="utf-8")
    text = text.replace('name = "Moss"', 'name = "<img src=x> Mööß"').replace('to = "Ida', 'to = "Idä')
    (copy / "order.toml").write_text(text, encoding="utf-8")
    assert proof(copy).exit_code == 0
    mail = parsed(copy / "proofs" / "B" / "mail.eml")
    assert "<img src=x> Mööß" in str(mail["Subject"])
    assert mail["To"].addresses[0].display_name == "Idä Fenn"
    assert "&lt;img src=x&gt; Mööß" in mail.get_body(("html",)).get_content()


def test_the_manifest_is_plain_json(one: Path) -> None:
    told = json.loads((one / "proofs" / "A" / "revision.json").read_bytes())
    assert told["schema"] == 1
    assert [panel["number"] for panel in told["panels"]] == [1, 2]
    assert {word["text"] for panel in told["panels"] for word in panel["words"]} == {"Sphagnum", "peat", "cranberry"}

"""What lies in an order's art folder and is, or is not, taken for a client's file: links, loops, very many, what can't be
listed. No file is opened that lies outside."""

import os
from pathlib import Path

import art_made
import pytest

from artgen import job
from artgen.art import folder as folders
from artgen.art.folder import lies_within, listing
from artgen.confined import MachineFault
from artgen.job import Job
from artgen.order import Order, load
from artgen.sizing import size_order
from artgen.structure.kinds import KINDS

HEAD = 'schema = 1\nname = "Moor"\n'
WALL = HEAD + '[[structure]]\nname = "wall"\nkind = "wall"\nheight = "500 mm"\nbays = ["600 mm", "600 mm"]\n'
ART = (676.0, 576.0)


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Lettering in pixels is no matter here, and takes seconds a panel."""
    monkeypatch.setattr(job, "reading_available", lambda: False)


def order_in(folder: Path, text: str = WALL) -> Order:
    (folder / "art").mkdir(exist_ok=True)
    (folder / "order.toml").write_text(text, encoding="utf-8")
    return load(folder, KINDS)


def checked(folder: Path, text: str = WALL) -> Job:
    order = order_in(folder, text)
    return job.run(order, size_order(order, KINDS))


def said(done: Job) -> str:
    return "\n".join(f"{one.what}: {one.why}" for one in done.not_examined)


def test_names_are_sorted_and_hidden_ones_left_out(tmp_path: Path) -> None:
    for name in ("b/x.pdf", "a.pdf", "b-1.pdf", ".hidden", ".cache/y.pdf", "b/.z", "c/d/e.pdf"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text("peat")
    os.mkfifo(tmp_path / "pipe.pdf")
    found = listing(tmp_path)
    assert found.names == ("a.pdf", "b/x.pdf", "b-1.pdf", "c/d/e.pdf")
    assert (found.left_out, found.whole) == ((), True)
    assert listing(tmp_path / "none").names == ()


def test_a_link_out_of_the_order_is_not_read_and_told(tmp_path: Path) -> None:
    """Somebody's own picture must not come to stand in a proof that is sent away."""
    order, elsewhere = tmp_path / "order", tmp_path / "elsewhere"
    order.mkdir()
    (order / "art").mkdir()
    art_made.pdf(elsewhere / "mine.pdf", ART, ground=(0, 0, *ART))
    (order / "art" / "panel-1.pdf").symlink_to(elsewhere / "mine.pdf")
    (order / "art" / "panel-2.pdf").symlink_to(Path("..") / ".." / "elsewhere" / "mine.pdf")
    done = checked(order)
    assert [(f.panel, f.rule, f.severity) for f in done.findings] == [
        (1, "file-damaged", "error"),
        (2, "file-damaged", "error"),
    ]
    assert all("link that leads out of the order" in f.evidence["detail"] for f in done.findings)
    assert not done.pictures


def test_a_name_in_the_order_leads_out_by_no_link_either(tmp_path: Path) -> None:
    order, elsewhere = tmp_path / "order", tmp_path / "elsewhere"
    (order / "art").mkdir(parents=True)
    art_made.pdf(elsewhere / "mine.pdf", ART, ground=(0, 0, *ART))
    (order / "art" / "linked").symlink_to(elsewhere)
    done = checked(order, WALL + '[[art]]\npanels = [1, 2]\nfile = "linked/mine.pdf"\n')
    assert {f.rule for f in done.findings} == {"file-damaged"}
    assert not done.pictures


def test_links_inside_the_order_are_read(tmp_path: Path) -> None:
    art_made.pdf(tmp_path / "received" / "one.pdf", ART, ground=(0, 0, *ART))
    (tmp_path / "art").mkdir()
    (tmp_path / "art" / "panel-1.pdf").symlink_to(Path("..") / "received" / "one.pdf")
    (tmp_path / "art" / "panel-2.pdf").symlink_to("panel-1.pdf")
    done = checked(tmp_path)
    assert done.findings == ()
    assert sorted(done.pictures) == [1, 2]


def test_an_art_folder_that_is_itself_a_link_is_the_shop_s_own_doing(tmp_path: Path) -> None:
    order = tmp_path / "order"
    order.mkdir()
    art_made.pdf(tmp_path / "server" / "panel-1.pdf", ART, ground=(0, 0, *ART))
    (order / "art").symlink_to(tmp_path / "server")
    assert lies_within(order / "art" / "panel-1.pdf", order)
    assert listing(order / "art").names == ("panel-1.pdf",)
    (tmp_path / "server" / "panel-2.pdf").symlink_to(tmp_path / "mine.pdf")
    assert not lies_within(order / "art" / "panel-2.pdf", order)


def test_links_to_folders_are_named_and_loops_end(tmp_path: Path) -> None:
    art = tmp_path / "art"
    art_made.pdf(art / "sub" / "panel-1.pdf", ART, ground=(0, 0, *ART))
    art_made.pdf(art / "sub" / "panel-2.pdf", ART, ground=(0, 0, *ART))
    (art / "sub" / "again").symlink_to(art)
    (art / "itself").symlink_to("itself")
    (art / "panel-2 new.pdf").symlink_to("nowhere.pdf")
    done = checked(tmp_path)
    assert done.findings == ()
    assert "art/sub/again: it is a link to a folder" in said(done)


def test_past_the_cap_nothing_false_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(folders, "MOST_FILES", 3)
    art = tmp_path / "art"
    art_made.pdf(art / "panel-1.pdf", ART, ground=(0, 0, *ART))
    for name in ("a.txt", "b.txt"):
        (art / name).write_text("peat")
    whole = checked(tmp_path)  # three files: not one too many
    assert [(f.panel, f.rule) for f in whole.findings if f.severity == "error"] == [(2, "art-missing")]
    assert "after the first" not in said(whole)
    art_made.pdf(art / "panel-2.pdf", ART, ground=(0, 0, *ART))
    done = checked(tmp_path)
    assert "art-missing" not in {f.rule for f in done.findings}
    assert "files after the first 3 in art/" in said(done)
    assert "whether there is artwork for panel 2" in said(done)


def test_a_folder_in_art_that_can_not_be_listed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "art" / "shut").mkdir(parents=True)
    art_made.pdf(tmp_path / "art" / "panel-1.pdf", ART, ground=(0, 0, *ART))
    _shut(monkeypatch, tmp_path / "art" / "shut")
    done = checked(tmp_path)
    assert done.findings == ()  # panel 2's file may lie in there
    assert "art/shut: it can't be looked at (Permission denied)" in said(done)
    assert "whether there is artwork for panel 2" in said(done)


def test_an_art_folder_that_can_not_be_listed_is_no_fault_of_its_files(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    order = order_in(tmp_path)
    _shut(monkeypatch, tmp_path / "art")
    with pytest.raises(MachineFault, match=r"art/ can't be listed.*Permission denied.*permissions"):
        job.run(order, size_order(order, KINDS))


def _shut(monkeypatch: pytest.MonkeyPatch, shut: Path) -> None:
    """As for a user who may not look into it; the tests may be run by one who may look everywhere."""
    lists = os.scandir

    def listed(path: Path) -> object:
        if path == shut:
            raise PermissionError(13, "Permission denied")
        return lists(path)

    monkeypatch.setattr(folders.os, "scandir", listed)


def test_very_deep_and_very_wide_folders_end(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(folders, "_MOST_FOLDERS", 50)
    for n in range(60):
        (tmp_path / f"{n}").mkdir()
    found = listing(tmp_path)
    assert not found.whole
    assert found.left_out == (("folders after the first 50 in art/", "no order has so many; clear the folder"),)
    monkeypatch.setattr(folders, "_MOST_FOLDERS", 5000)
    for n in range(60):
        (tmp_path / f"{n}" / "link").symlink_to(tmp_path)
    assert len(listing(tmp_path).left_out) == 51  # ours: fifty and the rest


def test_only_one_panel_asked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(folders, "MOST_FILES", 1)
    order = order_in(tmp_path)
    for name in ("a.txt", "b.txt"):
        (tmp_path / "art" / name).write_text("peat")
    done = job.run(order, size_order(order, KINDS), only=2)
    assert done.findings == ()
    assert "artwork for panel 2" in said(done) and "panel 1" not in said(done)

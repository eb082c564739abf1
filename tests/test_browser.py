"""The browser that judges our pages: it must see what is wrong with a page, or its silence says nothing."""

PAGE = '<!doctype html><html lang="en"><title>t</title><main><h1>Panel 1</h1>{}</main></html>'


def test_a_good_page_has_nothing_against_it(tmp_path, open_page):
    (tmp_path / "a.html").write_text(PAGE.format("<p>All is well.</p>"))
    opened = open_page(tmp_path / "a.html")
    assert opened.page.inner_text("h1") == "Panel 1"
    assert (opened.errors, opened.requests, opened.serious_faults()) == ([], [], [])


def test_errors_requests_and_missing_alt_texts_are_seen(tmp_path, open_page):
    faults = '<img src="there.png"><script>console.error("first"); missing();</script>'
    (tmp_path / "a.html").write_text(PAGE.format(faults))
    opened = open_page(tmp_path / "a.html")
    assert "first" in opened.errors and any("missing" in said for said in opened.errors)
    assert [asked.rpartition("/")[2] for asked in opened.requests] == ["there.png"]
    assert [said.split(":")[0] for said in opened.serious_faults()] == ["image-alt"]

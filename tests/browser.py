"""A headless Chromium for tests of pages: what a page logs and asks for is gathered, so that a test can say "nothing".

Witness: the system's Chromium, driven by playwright; accessibility rules by axe-core. Where there is no Chromium, tests that
take `open_page` say so and skip; `.ci/run` installs it and sets ``ARTGEN_ALL_WITNESSES``, and then they fail instead.
"""

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from attrs import define, field

NAMES = ("chromium", "chromium-browser", "google-chrome")
SERIOUS = {"serious", "critical"}


@define
class Opened:
    """A page that was opened from a file. ``page`` = playwright's own; ``errors`` = ill words of the console and what was thrown;
    ``requests`` = every address asked for beside the file itself."""

    page: Any
    errors: list[str] = field(factory=list)
    requests: list[str] = field(factory=list)

    def serious_faults(self) -> list[str]:
        """What axe-core calls serious or critical, each with the first places."""
        from axe_playwright_python.sync_playwright import Axe

        found = Axe().run(self.page).response["violations"]
        return [
            f"{one['id']}: {one['help']}: {[node['target'] for node in one['nodes']][:3]}"
            for one in found
            if one["impact"] in SERIOUS
        ]


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    path = next((found for name in NAMES if (found := shutil.which(name))), None)
    if path is None:
        assert not os.environ.get("ARTGEN_ALL_WITNESSES"), "no Chromium is installed"
        pytest.skip("no Chromium is installed: it is the witness of this test")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        started = driver.chromium.launch(executable_path=path, args=["--no-sandbox", "--disable-gpu"])
        yield started
        started.close()


@pytest.fixture
def open_page(browser: Any) -> Iterator[Callable[..., Opened]]:
    """(file, width, height, any option of a playwright context) → the page, opened from the file."""
    contexts = []

    def open_one(file: Path, width: int = 1024, height: int = 768, **options: Any) -> Opened:
        context = browser.new_context(viewport={"width": width, "height": height}, **options)
        contexts.append(context)
        page = context.new_page()
        opened = Opened(page)
        address = file.resolve().as_uri()
        page.on("console", lambda said: said.type in ("error", "warning") and opened.errors.append(said.text))
        page.on("pageerror", lambda error: opened.errors.append(str(error)))
        page.on("request", lambda asked: asked.url.split("#")[0] != address and opened.requests.append(asked.url))
        page.goto(address)
        return opened

    yield open_one
    for context in contexts:
        context.close()

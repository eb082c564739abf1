"""Shared by all tests: hypothesis repeats itself exactly, leaves nothing behind, and does not mind a busy machine. Lettering in
pixels, which takes seconds a panel, is looked for only where a test is about it (mark "reading"), or slow; processes of a crew,
which take a second to start, where a test is about them. Nothing comes from a cache but in tests of the cache. See `quick` for
commands run as processes of their own."""

import os
import signal

import pytest
from hypothesis import HealthCheck, settings

pytest_plugins = ["browser"]

# a shell starts what runs in its background with Ctrl-C ignored, and what tests start would inherit that
signal.signal(signal.SIGINT, signal.default_int_handler)
# set on some machines, it hides what streams do that hold back what is written, as they do for people
os.environ.pop("PYTHONUNBUFFERED", None)
settings.register_profile(
    "artgen",
    deadline=None,
    database=None,
    derandomize=True,
    max_examples=60,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
)
settings.load_profile("artgen")


@pytest.fixture(autouse=True)
def _quick(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("ARTGEN_CACHE", "")
    if not {"reading", "slow"} & set(request.keywords):
        monkeypatch.setattr("artgen.job.reading_available", lambda: False)
        for name in ("artgen.pool.processors", "artgen.job.processors"):
            monkeypatch.setattr(name, lambda: 1)

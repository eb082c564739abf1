"""Shared by all tests: hypothesis repeats itself exactly, leaves nothing behind, and does not mind a busy machine."""

from hypothesis import HealthCheck, settings

settings.register_profile(
    "artgen",
    deadline=None,
    database=None,
    derandomize=True,
    max_examples=60,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
)
settings.load_profile("artgen")

"""Settings shared by all tests."""

from __future__ import annotations

from hypothesis import settings

# A busy machine is no fault, and a failing example should fail for everybody who runs the same tests.
settings.register_profile("sitesim", deadline=None, derandomize=True)
settings.load_profile("sitesim")

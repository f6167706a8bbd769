"""Settings of property tests: the same cases in every run, and more of them on demand (HYPOTHESIS_PROFILE=deep)."""

from __future__ import annotations

import os

from hypothesis import settings

settings.register_profile("steady", derandomize=True, deadline=None, database=None, print_blob=True)
settings.register_profile("deep", deadline=None, max_examples=2000, print_blob=True)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "steady"))

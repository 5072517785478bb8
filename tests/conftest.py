"""What all tests share."""

import os

from hypothesis import settings

os.environ.setdefault("TEXTUAL_ANIMATIONS", "none")

# How long an example takes depends on what else the machine does; speed is told by benchmarks.
settings.register_profile("house", deadline=None)
settings.load_profile("house")

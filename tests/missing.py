"""What a test does where the machine lacks what it needs.

In: what is lacking, in words. Out: a skipped test on somebody's own machine, a failed
one in continuous integration, which installs everything and is root.
"""

from __future__ import annotations

import os
from typing import NoReturn

import pytest


def missing(message: str) -> NoReturn:
    """Leave the test out, saying why; fail it where tests may not be left out."""
    if os.environ.get("CI"):
        pytest.fail(message)
    pytest.skip(message)

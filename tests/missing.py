"""What a test does where the machine lacks what it needs.

It is skipped on a developer's machine, and fails in continuous integration, which installs everything and
is root.
"""

from __future__ import annotations

import os
import shutil
from typing import NoReturn

import pytest


def missing(message: str) -> NoReturn:
    """Skip the test with a reason; fail it where tests may not be skipped."""
    if os.environ.get("CI"):
        pytest.fail(message)
    pytest.skip(message)


def node() -> str:
    """The path of Node, which runs the scripts of the cab file outside a browser."""
    found = shutil.which("node")
    if found is None:
        missing("Node is not installed (Debian: nodejs): no script can be run outside a browser")
    return found

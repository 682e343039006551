"""How tests wait for a page."""

from __future__ import annotations

import ast

from tests.architecture.declared import ROOT


def test_no_test_waits_by_a_script_that_the_page_may_forbid() -> None:
    """Playwright's `wait_for_function` evaluates its text again inside the page at every frame.

    The cab file's policy forbids that, so such a test passes only where the first evaluation already finds
    what is waited for; and a promise counts as found. `expect` waits without a script of the page's own.
    """
    files = sorted((ROOT / "tests").rglob("*.py"))
    calls = [
        f"{file.relative_to(ROOT)}:{node.lineno}"
        for file in files
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
        if isinstance(node, ast.Attribute) and node.attr == "wait_for_function"
    ]
    assert len(files) > 50
    assert calls == []

"""What axe-core is asked, alike in every engine."""

from __future__ import annotations

from pathlib import Path

import axe_playwright_python

AXE_SOURCE = Path(axe_playwright_python.__file__).parent / "axe.min.js"
"""The script of axe-core that comes with the package for Playwright."""

AA = {"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}}
"""All rules of WCAG 2.2 at levels A and AA, the size of targets among them."""

ENHANCED = {"runOnly": {"type": "rule", "values": ["color-contrast-enhanced"]}}
"""Contrast at level AAA: 7 to 1, and 4.5 to 1 for large text."""

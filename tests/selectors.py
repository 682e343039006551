"""CSS selectors that a browser answers itself.

Playwright's own engine looks into every element of the page for a shadow tree, at every question. The
products have none, and the cab file has 22,700 elements: a question takes 20 ms so, and 3 ms of the browser
alone.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import wraps
from typing import Any
from weakref import WeakSet

import pytest
from playwright.sync_api import BrowserContext, Page, Playwright

ENGINE = "native"
_SCRIPT = """{
  query: (root, selector) => root.querySelector(selector),
  queryAll: (root, selector) => [...root.querySelectorAll(selector)],
}"""
_PLAYWRIGHTS_OWN = re.compile(
    r"""^(?:[\w-]+\s*=|//|\.\.|["'(])"""  # another engine is named, or XPath, or a text in quotes
    r"|:(?:has-text|text|text-is|text-matches|visible|light|nth-match|above|below|near|left-of|right-of)\b"
)
_SELECTING = [
    "check",
    "click",
    "dispatch_event",
    "eval_on_selector",
    "eval_on_selector_all",
    "fill",
    "focus",
    "get_attribute",
    "hover",
    "inner_html",
    "inner_text",
    "input_value",
    "is_checked",
    "is_disabled",
    "is_enabled",
    "is_hidden",
    "is_visible",
    "locator",
    "press",
    "query_selector",
    "query_selector_all",
    "select_option",
    "set_input_files",
    "tap",
    "text_content",
    "uncheck",
    "wait_for_selector",
]
"""Methods of a page whose first argument is a selector."""


def native(selector: str) -> str:
    """The selector for the browser's own engine, or unchanged where only Playwright understands its start."""
    return selector if _PLAYWRIGHTS_OWN.search(selector.split(">>")[0].strip()) else f"{ENGINE}={selector}"


unaware: WeakSet[BrowserContext] = WeakSet()
"""Contexts that were there before Playwright connected to their browser: it tells those of no engine."""


def _selecting(method: Callable[..., Any]) -> Callable[..., Any]:
    @wraps(method)
    def selected(page: Page, selector: str, *others: Any, **named: Any) -> Any:
        return method(page, selector if page.context in unaware else native(selector), *others, **named)

    return selected


@contextmanager
def native_selectors(playwright: Playwright) -> Iterator[None]:
    """All pages take CSS selectors for the browser's own engine meanwhile."""
    playwright.selectors.register(ENGINE, _SCRIPT, content_script=True)
    with pytest.MonkeyPatch.context() as patch:
        for name in _SELECTING:
            patch.setattr(Page, name, _selecting(getattr(Page, name)))
        yield

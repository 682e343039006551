"""The other browsers, as tests/browser has them."""

from tests.browser.conftest import display, firefox, webkit

__all__ = ["display", "firefox", "webkit"]

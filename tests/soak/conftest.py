"""The other browsers, as tests/browser has them."""

from tests.browser.conftest import display, firefox, webkit_binary

__all__ = ["display", "firefox", "webkit_binary"]

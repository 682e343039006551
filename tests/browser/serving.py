"""Small servers for tests: one serves a folder below a path, with planned faults, another is a stranger.

They record every request and what was done with it, so that a test can prove that its fault really occurred.
"""

from __future__ import annotations

import socket
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from enum import StrEnum
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from urllib.parse import unquote, urlsplit

TYPES = {
    ".html": "text/html; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json",
    ".webmanifest": "application/manifest+json",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".pdf": "application/pdf",
    ".txt": "text/plain; charset=utf-8",
    ".woff2": "font/woff2",
}


class Fault(StrEnum):
    """What can happen to one request."""

    KILLED = "killed: the server is gone from here on"
    ERROR_500 = "answered 500"
    TRUNCATED = "half the body with a length that agrees"
    CUT = "half the body with the whole length, then closed"
    DROPPED = "closed without an answer"
    LOGIN = "a login page with status 200"
    REDIRECT = "sent to a login page"
    SILENT = "accepted and never answered"
    CORRUPTED = "one bit turned"
    HELD = "half the body, and the rest when the test lets it go"
    HUGE = "the body and four million bytes more"


MORE_BYTES = 4_000_000
LOGIN_PAGE = b"<!doctype html><title>Guest network</title><p>Accept the terms to go on."


@dataclass
class SiteServer:
    """A folder served below ``prefix``; ``plan`` gives the fault of a path, or None."""

    root: Path
    prefix: str = "/"
    plan: Callable[[str], Fault | None] = lambda path: None
    asked: list[tuple[str, str]] = field(default_factory=list)
    "Each request: the path below the prefix and what was done, 'served', 'missing' or a fault's words."
    dead: bool = False
    "True once a KILLED fault occurred or the test cut the network: every request is dropped."
    released: threading.Event = field(default_factory=threading.Event)
    address: str = ""
    held_behind: bytes = b""
    "Where a HELD body stops: after the first such bytes."

    def fired(self, fault: Fault) -> int:
        """How often a fault really occurred."""
        return sum(1 for _, outcome in self.asked if outcome == fault.value)

    def paths(self) -> list[str]:
        """The requested paths, in order."""
        return [path for path, _ in self.asked]


@contextmanager
def serving(server: SiteServer) -> Iterator[SiteServer]:
    """Run ``server`` on a free local port."""
    httpd = ThreadingHTTPServer(("127.0.0.1", 0), _handler(server))
    httpd.daemon_threads = True
    thread = threading.Thread(target=httpd.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True)
    thread.start()
    server.address = f"http://127.0.0.1:{httpd.server_address[1]}{server.prefix}"
    try:
        yield server
    finally:
        server.released.set()
        httpd.shutdown()
        httpd.server_close()


def _handler(server: SiteServer) -> type[BaseHTTPRequestHandler]:
    class Handler(BaseHTTPRequestHandler):
        protocol_version = "HTTP/1.1"

        def do_GET(self) -> None:
            path = unquote(urlsplit(self.path).path)
            inside = path.startswith(server.prefix)
            name = path[len(server.prefix) :] if inside else path
            fault = Fault.DROPPED if server.dead else server.plan(name) if inside else None
            if fault is Fault.KILLED:
                server.dead = True
            file = server.root / (name + "index.html" if name.endswith("/") or not name else name)
            found = inside and file.is_file()
            server.asked.append((name, fault.value if fault else "served" if found else "missing"))
            if fault in (Fault.KILLED, Fault.DROPPED):
                self.close_connection = True
            elif fault is Fault.SILENT:
                server.released.wait()
                self.close_connection = True
            elif fault is Fault.REDIRECT:
                self._send(302, b"", extra={"Location": server.prefix + "login.html"})
            elif fault is Fault.ERROR_500:
                self._send(500, b"the server is unwell", TYPES[".txt"])
            elif fault is Fault.LOGIN or (name == "login.html" and not found):
                self._send(200, LOGIN_PAGE, TYPES[".html"])
            elif not found:
                self._send(404, b"not here", TYPES[".txt"])
            else:
                self._send_file(file, fault)

        def _send_file(self, file: Path, fault: Fault | None) -> None:
            body = file.read_bytes()
            kind = TYPES.get(file.suffix, "application/octet-stream")
            if fault is Fault.TRUNCATED:
                body = body[: len(body) // 2]
            if fault is Fault.HUGE:
                body += bytes(MORE_BYTES)
            if fault is Fault.CORRUPTED:
                body = bytes([body[0] ^ 1]) + body[1:]
            if fault is Fault.HELD:
                stop = body.index(server.held_behind) + len(server.held_behind)
                self._send(200, body, kind, sent=stop)
                self.wfile.flush()
                server.released.wait()
                self.wfile.write(body[stop:])
            elif fault is Fault.CUT:
                self._send(200, body, kind, sent=len(body) // 2)
                self.close_connection = True
            else:
                self._send(200, body, kind)

        def _send(
            self,
            status: int,
            body: bytes,
            kind: str = "text/plain",
            *,
            sent: int | None = None,
            extra: dict[str, str] | None = None,
        ) -> None:
            self.send_response(status)
            self.send_header("Content-Type", kind)
            self.send_header("Content-Length", str(len(body)))
            self.send_header("Cache-Control", "no-store" if self.path.endswith("sw.js") else "max-age=600")
            for name, value in (extra or {}).items():
                self.send_header(name, value)
            self.end_headers()
            self.wfile.write(body[: len(body) if sent is None else sent])

        def log_message(self, format: str, *args: object) -> None:
            """Keep the test output clean; ``asked`` is the record."""

    return Handler


class Outside:
    """A foreign server that records its requests.

    Chromium may open a bare connection ahead of a frame or a form that the policy then refuses;
    nothing is sent over it, so it is not counted here.
    """

    def __init__(self) -> None:
        self.socket = socket.create_server(("127.0.0.1", 0))
        self.address = f"http://127.0.0.1:{self.socket.getsockname()[1]}/"
        self.asked: list[str] = []
        threading.Thread(target=self._listen, daemon=True).start()

    def hear_own(self, path: str) -> None:
        """Request ``path`` and wait until it is listed: what came before it is listed too."""
        with socket.create_connection(self.socket.getsockname()) as own:
            own.sendall(f"GET /{path} HTTP/1.1\r\n\r\n".encode())
            own.shutdown(socket.SHUT_WR)
            while own.recv(1024):
                pass

    def _listen(self) -> None:
        with suppress(OSError):  # closed at the end of the test
            while True:
                met, _ = self.socket.accept()
                threading.Thread(target=self._hear, args=(met,), daemon=True).start()

    def _hear(self, met: socket.socket) -> None:
        with met, suppress(OSError):
            said = met.recv(4096).decode("latin-1").split(" ")
            if said != [""]:
                self.asked.append(said[1].strip("/") if len(said) > 1 else said[0])

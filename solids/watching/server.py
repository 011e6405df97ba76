"""The page of a followed spec, served on the loopback address and to no one else."""

from __future__ import annotations

import json
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import asdict
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any
from urllib.parse import parse_qs, urlsplit

from solids.watching.followed import Followed

HOST = "127.0.0.1"
PATIENCE = 20.0  # seconds that a page waits for something newer before it asks again


@contextmanager
def serving(followed: Followed, port: int = 0) -> Iterator[str]:
    """Follow and serve until left; the address. `port` 0 takes any that is free. OSError where it is taken."""
    server = ThreadingHTTPServer((HOST, port), _handler(followed))
    server.daemon_threads = True
    stop = threading.Event()
    followed.look()
    workers = [
        threading.Thread(target=followed.follow, args=(stop,), daemon=True),
        threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.1}, daemon=True),
    ]
    for worker in workers:
        worker.start()
    try:
        yield f"http://{HOST}:{server.server_address[1]}/"
    finally:
        stop.set()
        server.shutdown()
        server.server_close()


def watch(followed: Followed, port: int, say: Callable[[str], None]) -> None:
    """Serve until interrupted; `say` is told the address."""
    with serving(followed, port) as address:
        say(address)
        threading.Event().wait()


def _handler(followed: Followed) -> type[BaseHTTPRequestHandler]:
    class Handler(BaseHTTPRequestHandler):
        """Two addresses: the page, and whether there is something newer."""

        server_version = "dryfit"
        sys_version = ""

        def do_GET(self) -> None:
            if not self._is_ours():
                self._answer(403, "text/plain", b"only this machine, by its loopback address\n")
                return
            asked = urlsplit(self.path)
            if asked.path == "/":
                self._answer(200, "text/html; charset=utf-8", followed.page())
            elif asked.path == "/changes":
                told = followed.newer_than(*_known(asked.query), PATIENCE)
                self._answer(200, "application/json", json.dumps(asdict(told), ensure_ascii=False).encode())
            else:
                self._answer(404, "text/plain", b"there is nothing here\n")

        def _is_ours(self) -> bool:
            """Asked by the loopback's own name: a page from elsewhere that has a name lead here can't read the spec."""
            name = self.headers.get("Host", "").rpartition(":")[0]
            return name in (HOST, "localhost")

        def _answer(self, status: int, kind: str, body: bytes) -> None:
            self.send_response(status)
            self.send_header("Content-Type", kind)
            self.send_header("Content-Length", str(len(body)))
            self.send_header("Cache-Control", "no-store")
            self.send_header("X-Content-Type-Options", "nosniff")
            self.send_header("Cross-Origin-Resource-Policy", "same-origin")
            self.end_headers()
            try:
                self.wfile.write(body)
            except (BrokenPipeError, ConnectionResetError):
                self.close_connection = True  # the page was shut while it waited

        def log_message(self, format: str, *args: Any) -> None:
            """Nothing: what is asked for is not news."""

    return Handler


def _known(query: str) -> tuple[int, int]:
    """The version, and what was told of it, that a page has; -1 where it doesn't say."""
    asked = parse_qs(query)
    try:
        return int(asked["version"][0]), int(asked["told"][0])
    except (KeyError, ValueError):
        return -1, -1

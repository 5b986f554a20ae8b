"""A tiny forecast service on 127.0.0.1, in a thread: answers as a test has told it."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer


@dataclass
class Reply:
    """One answer. stall: send nothing until the server is shut; cut: promise more bytes than are sent."""

    status: int = 200
    body: bytes = b"{}"
    headers: dict[str, str] = field(default_factory=dict)
    stall: bool = False
    cut: bool = False


class Service:
    """Answers with `replies` in turn, the last one again and again; `asked` holds the headers of each request."""

    def __init__(self, *replies: Reply) -> None:
        self.replies = list(replies)
        self.asked: list[dict[str, str]] = []
        self.over = threading.Event()
        self.url = ""

    def answer(self, handler: BaseHTTPRequestHandler) -> None:
        reply = self.replies[min(len(self.asked), len(self.replies) - 1)]
        self.asked.append({name.lower(): value for name, value in handler.headers.items()})
        if reply.stall:
            self.over.wait(20)
            return
        handler.send_response(reply.status)
        for name, value in reply.headers.items():
            handler.send_header(name, value)
        handler.send_header("Content-Length", str(len(reply.body) + (500 if reply.cut else 0)))
        handler.end_headers()
        handler.wfile.write(reply.body)


@contextmanager
def serving(*replies: Reply) -> Iterator[Service]:
    """Serve until the block ends."""
    service = Service(*replies)

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            service.answer(self)

        def log_message(self, format: str, *args: object) -> None:
            """Say nothing."""

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    server.daemon_threads = True
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True)
    thread.start()
    service.url = f"http://127.0.0.1:{server.server_address[1]}/point"
    try:
        yield service
    finally:
        service.over.set()
        server.shutdown()
        server.server_close()
        thread.join(5)

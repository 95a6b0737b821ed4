"""A server that sends a built site the way the department's server is asked to: right types, strict policy."""

import sys
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from threading import Thread

POLICY = "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' data:"


class Handler(SimpleHTTPRequestHandler):
    """Files of one folder with the policy header; silent."""

    extensions_map = {
        ".html": "text/html; charset=utf-8", ".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8",
        ".json": "application/json", ".svg": "image/svg+xml", ".png": "image/png", ".woff2": "font/woff2",
        ".wasm": "application/wasm", ".py": "text/plain; charset=utf-8", ".txt": "text/plain; charset=utf-8",
        ".xml": "application/xml", ".webmanifest": "application/manifest+json", "": "application/octet-stream",
    }

    def end_headers(self):
        self.send_header("Content-Security-Policy", POLICY)
        self.send_header("X-Content-Type-Options", "nosniff")
        self.send_header("Cache-Control", "no-cache")
        super().end_headers()

    def log_message(self, *_arguments):
        """Nothing on the terminal: failed requests are reported by the browser's side of the test."""


class _Quiet(ThreadingHTTPServer):
    """A page that is closed while a file is on its way breaks the pipe, and that is no news."""

    def handle_error(self, request, client_address):
        if not isinstance(sys.exc_info()[1], (BrokenPipeError, ConnectionResetError)):
            super().handle_error(request, client_address)


class Server:
    """Serves `folder` on a free port of this machine while the `with` block runs."""

    def __init__(self, folder, handler=Handler):
        self._server = _Quiet(("127.0.0.1", 0), partial(handler, directory=str(folder)))
        self.address = f"http://127.0.0.1:{self._server.server_port}/"

    def __enter__(self):
        Thread(target=self._server.serve_forever, daemon=True).start()
        return self

    def __exit__(self, *_problem):
        self._server.shutdown()
        self._server.server_close()

"""Debian's nginx serving a built site with the department's own configuration, on a free port, as this user."""

import os
import shutil
import socket
import subprocess
import time
from pathlib import Path
from urllib.request import urlopen

CONFIGURATION = Path(__file__).parents[2] / "pvcalc" / "handbook" / "publish" / "hosting" / "nginx.conf"
NO_NGINX = ("The hosting tests need nginx and none was found: install it (Debian: apt-get install nginx-light), or run "
            "`make check-fast`, which leaves them out.")
AROUND = """{user}daemon off; worker_processes 1; pid {here}/nginx.pid; error_log {here}/error.log;
events {{ worker_connections 128; }}
http {{
    include {types}; default_type application/octet-stream; access_log off; sendfile on;
    client_body_temp_path {here}/body; proxy_temp_path {here}/proxy; fastcgi_temp_path {here}/fastcgi;
    uwsgi_temp_path {here}/uwsgi; scgi_temp_path {here}/scgi;
    include {here}/handbook.conf;
}}
"""


def nginx_path() -> str:
    """Path of nginx, or "": Debian keeps it where ordinary users do not look."""
    return shutil.which("nginx") or shutil.which("nginx", path="/usr/sbin:/usr/local/sbin") or ""


def free_ports(count: int) -> list[int]:
    """Ports of this machine that nobody listens on."""
    sockets = [socket.socket() for _ in range(count)]
    for one in sockets:
        one.bind(("127.0.0.1", 0))
    ports = [one.getsockname()[1] for one in sockets]
    for one in sockets:
        one.close()
    return ports


class Nginx:
    """Serves `site` while the `with` block runs; `stop` and `start` are the cut network of a test.

    With `location`, lines of another site's server, a second server holds them; its address is `other`.
    """

    def __init__(self, site, here, location=""):
        self.here, self.process = here, None
        port, second = free_ports(2)
        self.address, self.other = f"http://127.0.0.1:{port}/", f"http://127.0.0.1:{second}/"
        text = CONFIGURATION.read_text(encoding="utf-8")
        for line, ours in (("listen 80;", f"listen 127.0.0.1:{port};"), ("root /srv/handbook;", f"root {site};")):
            assert text.count(line) == 1, f"nginx.conf has no line “{line}” to change"
            text = text.replace(line, ours)
        if location:
            text += f"\nserver {{ listen 127.0.0.1:{second}; {location.replace('http://127.0.0.1:8081/', self.address)} }}\n"
        (here / "handbook.conf").write_text(text, encoding="utf-8")
        user = "user root;\n" if os.geteuid() == 0 else ""  # else nginx gives its rights away and cannot read a test's folder
        (here / "nginx.conf").write_text(AROUND.format(user=user, here=here, types="/etc/nginx/mime.types"), encoding="utf-8")

    def start(self):
        self.process = subprocess.Popen([nginx_path(), "-p", str(self.here), "-c", str(self.here / "nginx.conf")],
                                        stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
        for _ in range(100):
            if self.process.poll() is not None:
                raise RuntimeError(self.process.stdout.read().decode())
            try:
                urlopen(self.address, timeout=5).close()
                return self
            except OSError:
                time.sleep(0.1)
        raise RuntimeError("nginx does not answer")

    def stop(self):
        if self.process:
            self.process.terminate()
            self.process.wait(timeout=20)
            self.process = None

    __enter__ = start

    def __exit__(self, *_problem):
        self.stop()

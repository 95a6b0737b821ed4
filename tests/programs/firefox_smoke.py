"""One visit in Firefox, by hand: `python tests/programs/firefox_smoke.py` (Debian: apt-get install firefox-esr).

Firefox is spoken to in its own remote protocol (WebDriver BiDi), so nothing but the browser is needed. Under the site's
policy, at a phone's width: the page opens, a typed comma is answered with a picture, a refusal stands at its field, the
handbook is saved, and with the server gone the page opens again with the date of its edition and computes.
"""

import base64
import json
import os
import secrets
import shutil
import socket
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))
from tests.browser.serving import Server  # noqa: E402
from tests.conftest import build_site  # noqa: E402

ANSWER = """async () => {
  const block = document.querySelector('section[data-formula="balloon_range_mm"]');
  const until = async (look) => { for (let turn = 0; turn < 600; turn += 1) { if (look()) return true; await new Promise((next) => setTimeout(next, 50)); } return false; };
  block.querySelector(".try__open").click();
  const input = block.querySelector("input");
  const give = (text) => { input.value = text; input.dispatchEvent(new Event("input", { bubbles: true })); };
  give("18,4");
  const answered = await until(() => block.querySelector(".try__picture svg"));
  const shown = block.querySelector(".try__output").textContent;
  give("184");
  await until(() => block.querySelector(".try__fault").textContent);
  const refused = block.querySelector(".try__fault").textContent + block.querySelector(".try__output").textContent;
  give("18.4");
  await until(() => block.querySelector(".try__picture svg"));
  block.querySelector(".try__form").scrollIntoView();
  return JSON.stringify([answered, shown, refused, document.documentElement.scrollWidth - document.documentElement.clientWidth,
    document.querySelector('[data-banner="offline"]').textContent]);
}"""
SAVED = """async () => { await navigator.serviceWorker.ready; return "saved"; }"""


class Socket:
    """Just enough of a WebSocket to send and receive texts."""

    def __init__(self, port, path):
        self._raw = socket.create_connection(("127.0.0.1", port), timeout=120)
        key = base64.b64encode(secrets.token_bytes(16)).decode()
        self._raw.sendall((f"GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nUpgrade: websocket\r\nConnection: Upgrade\r\n"
                           f"Sec-WebSocket-Key: {key}\r\nSec-WebSocket-Version: 13\r\n\r\n").encode())
        head = b""
        while not head.endswith(b"\r\n\r\n"):
            head += self._exactly(1)
        assert b" 101 " in head.splitlines()[0], head

    def send(self, text):
        body, mask = text.encode(), secrets.token_bytes(4)
        size = bytes([0x80 | len(body)]) if len(body) < 126 else bytes([0xFE]) + len(body).to_bytes(2, "big") if len(body) < 65536 \
            else bytes([0xFF]) + len(body).to_bytes(8, "big")
        self._raw.sendall(b"\x81" + size + mask + bytes(byte ^ mask[place % 4] for place, byte in enumerate(body)))

    def receive(self):
        text = b""
        while True:
            first, size = self._exactly(2)
            size = int.from_bytes(self._exactly(2 if size == 126 else 8), "big") if size >= 126 else size
            text += self._exactly(size)
            if first & 0x80:
                return text.decode()

    def _exactly(self, count):
        got = b""
        while len(got) < count:
            part = self._raw.recv(count - len(got))
            assert part, "Firefox hung up"
            got += part
        return got


class Firefox:
    """A headless Firefox with a fresh profile; `ask` sends one command of its protocol."""

    def __init__(self, program, folder):
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            port = free.getsockname()[1]
        self._count = 0
        self._process = subprocess.Popen([program, "--headless", "--no-remote", "--profile", str(folder), "--width", "360", "--height", "740",
                                          f"--remote-debugging-port={port}", "about:blank"],
                                         env={**os.environ, "HOME": str(folder)}, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        for _ in range(240):
            try:
                self._socket = Socket(port, "/session")
                break
            except OSError:
                time.sleep(0.5)
        self.ask("session.new", {"capabilities": {}})
        self.page = self.ask("browsingContext.getTree", {})["contexts"][0]["context"]
        self.ask("browsingContext.setViewport", {"context": self.page, "viewport": {"width": 360, "height": 740}})

    def ask(self, method, values):
        """Result of one command; events that come before it are dropped."""
        self._count += 1
        self._socket.send(json.dumps({"id": self._count, "method": method, "params": values}))
        while True:
            answer = json.loads(self._socket.receive())
            if answer.get("id") == self._count:
                assert answer["type"] == "success", answer
                return answer["result"]

    def open(self, address):
        self.ask("browsingContext.navigate", {"context": self.page, "url": address, "wait": "complete"})

    def call(self, function):
        """What a function of the page returns, as text."""
        told = self.ask("script.callFunction", {"functionDeclaration": function, "awaitPromise": True, "target": {"context": self.page}})
        assert told["type"] == "success", told
        return told["result"]["value"]

    def picture(self, path):
        data = self.ask("browsingContext.captureScreenshot", {"context": self.page})["data"]
        path.write_bytes(base64.b64decode(data))

    def close(self):
        self._process.terminate()
        self._process.wait(timeout=30)


def main():
    program = shutil.which("firefox-esr") or shutil.which("firefox")
    if not program:
        return "Firefox was not found (Debian: apt-get install firefox-esr)."
    kept = ROOT / "build" / "screenshots"
    kept.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        site = Path(folder) / "site"
        build_site(site)
        firefox = Firefox(program, Path(folder))
        try:
            with Server(site) as server:
                address = server.address + "sizing.html"
                firefox.open(address)
                seen(json.loads(firefox.call(ANSWER)), offline=False)
                firefox.picture(kept / "firefox.png")
                assert firefox.call(SAVED) == "saved"
            firefox.open(address)  # the server is gone
            seen(json.loads(firefox.call(ANSWER)), offline=True)
            firefox.picture(kept / "firefox-without-network.png")
        finally:
            firefox.close()
    print(f"{subprocess.run([program, '--version'], capture_output=True, text=True).stdout.strip()}: computes, refuses, and opens without a network.")
    return 0


def seen(told, offline):
    """Hold one answer of the page to what it must say."""
    answered, shown, refused, sideways, banner = told
    plain = shown.replace("\u00a0", " ")
    assert answered and "22.1 mm" in plain and "23.0 mm" in plain, told  # 18.4 × 1.20 and 18.4 × 1.25, by hand
    assert "is outside" in refused and "22.1" not in refused, told
    assert sideways == 0, told
    assert ("Saved copy of the edition of" in banner) == offline, told


if __name__ == "__main__":
    sys.exit(main())

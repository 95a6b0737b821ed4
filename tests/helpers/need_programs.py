"""Says in one sentence, before any test runs, that Chromium or nginx is missing (`make check` asks first)."""

import sys

from pvcalc.handbook.publish.chromium import chromium_path
from tests.browser.nginx import NO_NGINX, nginx_path

NO_BROWSER = ("The browser tests need Chromium and none was found: install it (Debian: apt-get install chromium), "
              "name its path in PVCALC_CHROMIUM, or run `make check-fast`, which leaves them out.")

if __name__ == "__main__":
    sys.exit((0 if nginx_path() else NO_NGINX) if chromium_path() else NO_BROWSER)

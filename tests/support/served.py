"""The page as it is served, and a browser to look at it with."""

import http.client
import json
import os
import re
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from selenium import webdriver

ROOT = Path(__file__).parents[2]
WREN = ROOT / "profiles" / "instruments" / "wren.toml"


@dataclass(frozen=True)
class Served:
    """A page that is running: where, and the token of its run."""

    url: str
    port: int
    token: str
    process: subprocess.Popen[str]

    @property
    def headers(self) -> dict[str, str]:
        """Those that the page itself sends."""
        own = f"127.0.0.1:{self.port}"
        return {
            "Host": own,
            "Origin": f"http://{own}",
            "Content-Type": "application/json",
            "X-Jiggen-Token": self.token,
            "X-Jiggen-Page": "test",
        }

    def send(
        self, body: bytes, headers: Mapping[str, str], *, method: str = "POST", path: str = "/ask"
    ) -> tuple[int, bytes, dict[str, str]]:
        """Returns status, body and headers of a request with exactly these headers."""
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=60)
        try:
            connection.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
            for name, value in headers.items():
                connection.putheader(name, value)
            if method == "POST" and "Transfer-Encoding" not in headers:
                connection.putheader("Content-Length", str(len(body)))
            connection.endheaders(body)
            response = connection.getresponse()
            said = {name.lower(): value for name, value in response.getheaders()}
            return response.status, response.read(), said
        finally:
            connection.close()

    def ask(self, **question: Any) -> dict[str, Any]:
        """Returns the answer to a question that the page might ask."""
        status, body, _ = self.send(json.dumps(question).encode(), self.headers)
        assert status == 200, body
        answer: dict[str, Any] = json.loads(body)
        return answer


@contextmanager
def served(*arguments: str | Path) -> Iterator[Served]:
    """Runs `jiggen page`, and ends it with Ctrl-C, upon which it must leave with 0 and without complaint."""
    command = [sys.executable, "-m", "jiggen", "page", *map(str, arguments), "--no-browser"]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, cwd=ROOT)
    try:
        assert process.stdout
        found = re.search(r"(http://127\.0\.0\.1:(\d+)/)#token=(\S+)", process.stdout.readline())
        assert found, process.stderr and process.stderr.read()
        yield Served(found[1], int(found[2]), found[3], process)
        process.send_signal(signal.SIGINT)
        _, complaints = process.communicate(timeout=20)
        assert process.returncode == 0, complaints
        assert "Traceback" not in complaints
    finally:
        process.kill()
        process.communicate()


def needed(found: str | Path | None, what: str) -> str:
    """Returns where a judge is; without it the test is skipped, or fails when all must be there."""
    if found and Path(found).exists():
        return str(found)
    if os.environ.get("JIGGEN_ALL_JUDGES") == "1":
        pytest.fail(f"{what} is missing")
    pytest.skip(f"{what} is missing")


@contextmanager
def browser(downloads: Path) -> Iterator[webdriver.Chrome]:
    """A browser without a window."""
    chromium = needed(shutil.which("chromium"), "chromium")
    driver = needed(shutil.which("chromedriver"), "chromium-driver")
    options = webdriver.ChromeOptions()
    options.binary_location = chromium
    for each in (
        "--headless=new", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
        "--disable-background-networking", "--disable-component-update", "--disable-sync",
        "--window-size=1280,900",
    ):  # fmt: skip
        options.add_argument(each)
    options.add_experimental_option("prefs", {"download.default_directory": str(downloads)})
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    options.set_capability("unhandledPromptBehavior", "ignore")
    page = webdriver.Chrome(options=options, service=webdriver.ChromeService(driver))
    try:
        yield page
    finally:
        page.quit()

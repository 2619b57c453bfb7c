"""Who may ask the page: raw requests over a socket of Python's own http.client, with headers as an intruder sends them.

Source: Fetch standard (Origin, Sec-Fetch-Site) and RFC 9110, sections 7.2 (Host) and 15.5 (status codes).
"""

import json
import socket
from collections.abc import Iterator
from pathlib import Path

import pytest
from support.served import ROOT, WREN, Served, served

GOOD = json.dumps({"ask": "start"}).encode()


@pytest.fixture(scope="module")
def page() -> Iterator[Served]:
    with served(WREN) as running:
        yield running


def test_the_page_itself_is_answered(page: Served) -> None:
    assert page.ask(ask="start")["ok"]


@pytest.mark.parametrize(
    ("header", "value", "status"),
    [
        ("Host", "evil.example", 421),
        ("Host", "127.0.0.1:{port}.evil.example", 421),
        ("Host", "localhost:{port}", 421),
        ("Host", "127.0.0.1", 421),
        ("Host", "[::1]:{port}", 421),
        ("Host", "", 421),
        ("Origin", "http://evil.example", 403),
        ("Origin", "null", 403),
        ("Origin", "http://127.0.0.1:{port}.evil.example", 403),
        ("Origin", "https://127.0.0.1:{port}", 403),
        ("Origin", None, 403),
        ("X-Jiggen-Token", None, 403),
        ("X-Jiggen-Token", "", 403),
        ("X-Jiggen-Token", "wrong", 403),
        ("Content-Type", "text/plain", 415),
        ("Content-Type", "application/x-www-form-urlencoded", 415),
        ("Sec-Fetch-Site", "cross-site", 403),
    ],
)
def test_a_stranger_is_turned_away(page: Served, header: str, value: str | None, status: int) -> None:
    headers = page.headers
    headers.pop(header, None)
    if value is not None:
        headers[header] = value.replace("{port}", str(page.port))
    found, body, _ = page.send(GOOD, headers)
    assert found == status
    assert json.loads(body)["ok"] is False


def test_a_foreign_host_gets_no_file_either(page: Served) -> None:
    for path in ("/", "/static/main.js"):
        assert page.send(b"", {"Host": "evil.example"}, method="GET", path=path)[0] == 421
        assert page.send(b"", {"Host": page.headers["Host"]}, method="GET", path=path)[0] == 200


def test_a_body_that_is_too_large_is_refused_whether_it_says_so_or_not(page: Served) -> None:
    large = json.dumps({"ask": "start", "text": "x" * 256_000}).encode()
    assert page.send(large, page.headers)[0] == 413
    chunked = b"%x\r\n%b\r\n0\r\n\r\n" % (len(large), large)
    assert page.send(chunked, page.headers | {"Transfer-Encoding": "chunked"})[0] == 413
    assert page.ask(ask="start")["ok"]


@pytest.mark.parametrize("body", [b"", b"[]", b"{", b"[" * 100_000, b'"start"', b'{"ask": ["files"]}'])
def test_a_body_that_is_no_question_is_refused(page: Served, body: bytes) -> None:
    status, answer, _ = page.send(body, page.headers)
    assert status in {200, 400}
    assert json.loads(answer)["ok"] is False


@pytest.mark.parametrize(
    "path", ["/static/../app.py", "/static/%2e%2e/app.py", "/static/..%2fapp.py", "/made/a/b"]
)
def test_no_path_leads_out_of_the_page(page: Served, path: str) -> None:
    assert page.send(b"", {"Host": page.headers["Host"]}, method="GET", path=path)[0] == 404


def test_every_answer_carries_the_rules_for_the_browser(page: Served) -> None:
    for path in ("/", "/static/main.js", "/static/missing.js"):
        headers = page.send(b"", {"Host": page.headers["Host"]}, method="GET", path=path)[2]
        assert "default-src 'none'" in headers["content-security-policy"]
        assert "unsafe" not in headers["content-security-policy"]
        assert headers["x-content-type-options"] == "nosniff"
        assert "access-control-allow-origin" not in headers


def test_it_listens_on_this_machine_alone(page: Served) -> None:
    for family, address in ((socket.AF_INET6, "::1"), (socket.AF_INET, "127.0.0.2")):
        with socket.socket(family, socket.SOCK_STREAM) as other, pytest.raises(OSError, match=r".+"):
            other.connect((address, page.port))


def test_a_text_from_the_page_reads_no_file(page: Served, tmp_path: Path) -> None:
    secret = tmp_path / "secret.scl"
    secret.write_text("! secret\nsecret\n 1\n!\n 2/1\n", encoding="utf-8")
    text = WREN.read_text(encoding="utf-8")
    for name in (str(secret), "../../../../../etc/passwd", "wren.toml"):
        spoilt = text.replace("[neck]\n", f'[neck]\nfret-rule = {{ scl = "{name}" }}\n')
        answer = page.ask(ask="design", text=spoilt)
        assert "no file but one that the page was started with" in answer["faults"][0]["text"]
        for table in ("body", "head"):
            for said in (f'"{name}"', f'{{ file = "{name}" }}', f'{{ value = {{ file = "{name}" }} }}'):
                spoilt = text.replace(f"[{table}]\n", f"[{table}]\noutline = {said}\n")
                answer = page.ask(ask="design", text=spoilt)
                assert "no file but one that the page was started with" in answer["faults"][0]["text"]
    with_profile = text.replace('revision = "A"', f'profile = "{secret.with_suffix("")}"')
    assert "numbers" not in page.ask(ask="design", text=with_profile)
    assert page.ask(ask="design", text=text)["faults"] == []


def test_the_file_that_the_start_names_is_read(tmp_path: Path) -> None:
    (tmp_path / "even.scl").write_text("! even.scl\n!\neven\n 2\n!\n 600.0\n 2/1\n", encoding="utf-8")
    (tmp_path / "other.scl").write_text("! other.scl\n!\nother\n 1\n!\n 2/1\n", encoding="utf-8")
    design = tmp_path / "two.toml"
    text = (
        'schema = "jiggen-design/1"\nname = "Two"\nprofile = "steel-string-14-fret"\n[neck]\nscale = "628 mm"\n'
        'frets = 2\nfret-rule = { scl = "even.scl" }\n[inlays]\nfrets = [1]\ndoubled = []\n[body]\njoint-fret = 2\n'
    )
    design.write_text(text, encoding="utf-8")
    with served(design) as page:
        answer = page.ask(ask="design", text=text)
        assert answer["faults"] == []
        assert answer["tables"]["frets"][1]["from-nut"] == pytest.approx(
            314.0, abs=1e-9
        )  # an octave in two steps
        refused = page.ask(ask="design", text=text.replace("even.scl", "other.scl"))
        assert "no file but one" in refused["faults"][0]["text"]
        assert page.process.poll() is None


def test_the_outlines_that_the_start_names_are_read() -> None:
    design = ROOT / "tests" / "support" / "outlines" / "lapwing.toml"
    text = design.read_text(encoding="utf-8")
    with served(design) as page:
        answer = page.ask(ask="design", text=text)
        assert answer["faults"] == []
        assert [each["file"] for each in answer["tables"]["outlines"]] == [
            "lapwing-body.svg",
            "lapwing-head.svg",
        ]
        waist = answer["numbers"]["body.waist"]
        assert (waist["state"], waist["source"]) == ("solved", "measured from lapwing-body.svg")
        refused = page.ask(ask="design", text=text.replace("lapwing-head.svg", "lapwing-tail.svg"))
        assert "no file but one" in refused["faults"][0]["text"]


def test_a_port_that_is_taken_is_told_and_a_free_one_is_found() -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        with (
            pytest.raises(AssertionError, match="expected a port that nobody else listens on"),
            served("--port", str(port)),
        ):
            pass
    with served() as one, served() as two:
        assert one.port != two.port
        assert one.ask(ask="start")["ok"]
        assert two.ask(ask="start")["ok"]
        status, _, _ = two.send(GOOD, two.headers | {"X-Jiggen-Token": one.token})
        assert status == 403


def test_a_page_that_was_started_with_a_broken_file_shows_it(tmp_path: Path) -> None:
    design = tmp_path / "broken.toml"
    design.write_text("name = \n", encoding="utf-8")
    with served(design) as page:
        start = page.ask(ask="start")
        assert start["text"] == "name = \n"
        assert "expected valid TOML" in page.ask(ask="design", text=start["text"])["faults"][0]["text"]

"""How quickly the page answers and draws, with the Wren. Run on request: `python tests/bench/bench_page.py`.

Wants Chromium and its driver. Times are medians of many edits of the nut's width, after a warm-up.
"""

import statistics
import tempfile
import time
from pathlib import Path

from support.served import ROOT, WREN, Served, browser, served

EDITS = 40
STATIC = ROOT / "jiggen" / "page" / "static"
#: Types a width into the field as a maker does, and tells how long it took from there to the new drawing being laid out.
EDIT = """
const [box, text, done] = arguments, root = document.documentElement;
const before = Number(root.dataset.drawn ?? 0), began = performance.now();
new MutationObserver((_, eye) => {
  if (Number(root.dataset.drawn) > before) {
    eye.disconnect();
    root.getBoundingClientRect();
    done(performance.now() - began);
  }
}).observe(root, { attributes: true });
box.value = text;
box.dispatchEvent(new Event("input", { bubbles: true }));
box.dispatchEvent(new Event("change", { bubbles: true }));
"""


def on_server(page: Served) -> float:
    """Median milliseconds from the question to its answer, with a drawing of the neck, through the loopback."""
    text, times = WREN.read_text("utf-8"), []
    for number in range(EDITS):
        changed = text.replace('"46 mm"', f'"{43 + number / 10} mm"')
        began = time.perf_counter()
        answer = page.ask(ask="design", text=changed, view="neck")
        times.append(time.perf_counter() - began)
        assert answer["faults"] == []
    return 1000.0 * statistics.median(times[5:])


def in_browser(page: Served) -> float:
    """Median milliseconds from an edit to the drawing that it makes."""
    with tempfile.TemporaryDirectory() as folder, browser(Path(folder)) as chromium:
        chromium.get(f"{page.url}#token={page.token}")
        while not chromium.execute_script("return document.documentElement.dataset.drawn"):
            time.sleep(0.02)
        box = chromium.find_element("id", "f-neck_nut-width")
        times = [
            float(chromium.execute_async_script(EDIT, box, f"{43 + number / 10} mm"))
            for number in range(EDITS)
        ]
    return statistics.median(times[5:])


def until_shown() -> float:
    """Median seconds from the command to its page being answered whole, and its first drawing."""
    times = []
    for _ in range(5):
        began = time.perf_counter()
        with served(WREN) as page:
            assert page.send(b"", {"Host": f"127.0.0.1:{page.port}"}, method="GET", path="/")[0] == 200
            page.ask(ask="start")
            page.ask(ask="design", text=WREN.read_text("utf-8"), view="neck")
            times.append(time.perf_counter() - began)
    return statistics.median(times)


def main() -> None:
    """Prints the figures beside what they should be."""
    size = sum(path.stat().st_size for path in STATIC.iterdir())
    print(f"page in all {size / 1000:.0f} kB (at most 150)")
    print(f"from the command to the first drawing {until_shown():.2f} s (at most 1.5)")
    with served(WREN) as page:
        print(f"edit to answer {on_server(page):.0f} ms (at most 40)")
        print(f"edit to drawing in the browser {in_browser(page):.0f} ms (at most 120)")


if __name__ == "__main__":
    main()

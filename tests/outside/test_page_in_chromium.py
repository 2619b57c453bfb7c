"""The page in a real browser: what is typed, drawn, measured and downloaded there is what the core says."""

import os
import subprocess
import sys
import time
import tomllib
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from selenium import webdriver
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from support.served import WREN, Served, browser, needed, served

from jiggen.design.read import design_from_text
from jiggen.reckon import work_out

#: How far a line of the drawing may be off in the browser, mm.
ALLOWED = 0.01


@pytest.fixture(scope="module")
def downloads(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("downloads")


@pytest.fixture(scope="module")
def chromium(downloads: Path) -> Iterator[webdriver.Chrome]:
    with browser(downloads) as page:
        yield page


@pytest.fixture(scope="module")
def wren() -> Iterator[Served]:
    with served(WREN) as running:
        yield running


@pytest.fixture
def page(chromium: webdriver.Chrome, wren: Served) -> webdriver.Chrome:
    """The page, newly opened on the Wren."""
    chromium.execute_script("window.onbeforeunload = null")
    chromium.get("about:blank")
    if "127.0.0.1" in chromium.current_url:  # changes were not saved: the page asks
        chromium.switch_to.alert.accept()
    chromium.get(f"{wren.url}#token={wren.token}")
    until(lambda: drawn(chromium) > 0)
    return chromium


def until(true: Callable[[], object], seconds: float = 30.0) -> None:
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end, "waited in vain"
        time.sleep(0.01)


def drawn(page: webdriver.Chrome) -> int:
    return int(page.execute_script("return document.documentElement.dataset.drawn ?? 0"))


def field(page: webdriver.Chrome, key: str) -> str:
    return f"f-{key.replace('.', '_')}"


def enter(page: webdriver.Chrome, key: str, typed: str) -> None:
    """Types into a field, and waits until the page has answered."""
    box = page.find_element(By.ID, field(page, key))
    box.clear()
    box.send_keys(typed)
    until(lambda: value_in(source(page), key) == typed)


def said(page: webdriver.Chrome, what: str, key: str) -> str:
    """What a field says below it."""
    return page.find_element(By.ID, f"{field(page, key)}-{what}").text


def source(page: webdriver.Chrome) -> str:
    """The text of the design file on the page."""
    return str(page.find_element(By.ID, "source").get_property("value"))


def value_in(text: str, key: str) -> object:
    here = tomllib.loads(text)
    for step in key.split("."):
        here = here[step]
    return here


def status(page: webdriver.Chrome) -> str:
    return page.find_element(By.ID, "status").text


def open_section(page: webdriver.Chrome, name: str) -> None:
    page.execute_script(f"document.getElementById('{name}').open = true")


NUMBERS = (("neck.nut-width", '1 3/4"'), ("strings.spread-at-bridge", "5.6 cm"), ("neck.scale", "25.34in"))


def test_three_numbers_typed_give_the_zip_that_make_gives(
    page: webdriver.Chrome, downloads: Path, tmp_path: Path
) -> None:
    for key, typed in NUMBERS:
        enter(page, key, typed)
    assert "44.45 mm (1.750 in)" in said(page, "said", "neck.nut-width")
    open_section(page, "files")
    page.find_element(By.ID, "make").click()
    found = downloads / "wren.zip"
    until(found.exists)
    design = tmp_path / "wren.toml"
    design.write_text(source(page), encoding="utf-8")
    subprocess.run(
        [sys.executable, "-m", "jiggen", "make", design, "--out", tmp_path], check=True, capture_output=True
    )
    ours = {f"wren/{path.name}": path.read_bytes() for path in (tmp_path / "wren").iterdir()}
    with zipfile.ZipFile(found) as archive:
        assert {name: archive.read(name) for name in archive.namelist()} == ours
    names = [each.text.partition(",")[0] for each in page.find_elements(By.CSS_SELECTOR, "#made a")]
    assert "sheet-1.dxf" in names
    ticket = next(each for each in page.find_elements(By.CSS_SELECTOR, "#made a") if "ticket" in each.text)
    here = page.current_window_handle
    ticket.click()
    until(lambda: len(page.window_handles) == 2)
    page.switch_to.window(next(each for each in page.window_handles if each != here))
    until(lambda: "Wren" in page.find_element(By.TAG_NAME, "body").text)
    assert page.execute_script("return getComputedStyle(document.querySelector('th')).textAlign") == "left"
    page.close()
    page.switch_to.window(here)


def test_fret_lines_of_the_drawing_measure_what_the_layout_says(page: webdriver.Chrome) -> None:
    for key, typed in NUMBERS:
        enter(page, key, typed)
    until(lambda: status(page) == "All numbers agree.")
    text = source(page)
    neck = work_out(design_from_text(text, file="wren.toml"))
    boxes = page.execute_script(
        """return Object.fromEntries([...document.querySelectorAll('#sheet [data-id]')].map(each => {
        const box = each.getBBox(); return [each.dataset.id, [box.x, box.y, box.width, box.height]]; }))"""
    )
    nut = boxes["nut"]
    assert nut[3] == pytest.approx(44.45, abs=ALLOWED)
    assert len(neck.layout.frets) == 18
    for fret in neck.layout.frets:
        x, _, width, height = boxes[f"fret.{fret.number}"]
        assert x - nut[0] == pytest.approx(fret.distance, abs=ALLOWED)
        assert (width, height) == pytest.approx((0.0, fret.width), abs=ALLOWED)
    with pytest.raises(AssertionError):
        assert boxes["fret.7"][0] - nut[0] == pytest.approx(
            neck.layout.frets[6].distance + 0.011, abs=ALLOWED
        )


def test_a_wrong_number_is_told_beside_its_field_and_the_page_goes_on(page: webdriver.Chrome) -> None:
    box = page.find_element(By.ID, field(page, "neck.scale"))
    box.clear()
    box.send_keys("630")
    until(lambda: 'got "630", expected a length with a unit' in said(page, "fault", "neck.scale"))
    assert box.get_attribute("aria-invalid") == "true"
    box.send_keys(" mm")
    until(lambda: status(page) == "All numbers agree.")
    assert said(page, "fault", "neck.scale") == ""
    page.find_element(By.ID, "undo").click()
    until(lambda: box.get_property("value") == "628 mm")
    page.find_element(By.ID, "redo").click()
    until(lambda: box.get_property("value") == "630 mm")


def test_a_broken_file_is_told_and_mended_in_its_text(page: webdriver.Chrome) -> None:
    open_section(page, "text")
    text = page.find_element(By.ID, "source")
    before = source(page)
    text.send_keys(Keys.CONTROL, Keys.HOME)
    text.send_keys("broken = \n")
    until(lambda: "expected valid TOML" in status(page))
    page.execute_script("document.activeElement.blur()")
    page.find_element(By.ID, "undo").click()
    until(lambda: status(page) == "All numbers agree.")
    assert source(page) == before


def test_why_a_number_is_what_it_is(page: webdriver.Chrome) -> None:
    page.execute_script("for (const each of document.querySelectorAll('#groups details')) each.open = true")
    name = field(page, "strings.spread-at-nut")
    assert (
        page.execute_script(f"return document.getElementById('{name}').closest('.field').dataset.state")
        == "solved"
    )
    why = page.find_element(By.CSS_SELECTOR, f"[aria-controls={name}-why]")
    page.execute_script("arguments[0].click()", why)
    until(lambda: "nut width − setbacks, both sides" in said(page, "why", "strings.spread-at-nut"))


def test_the_tape_reads_mm_inches_and_cents(page: webdriver.Chrome) -> None:
    for name, chosen in (("from", "nut"), ("to", "fret 12")):
        page.execute_script(
            "const [one, value] = arguments; const all = document.getElementById(one); all.value = value;"
            " all.dispatchEvent(new Event('change'))",
            name,
            chosen,
        )
    reading = page.find_element(By.ID, "reading").text
    assert "314.00 mm · 12 23/64 in (12.3622)" in reading
    assert "1200.0 cents" in reading
    page.find_element(By.ID, "sheet").send_keys(Keys.ESCAPE, "]")
    assert page.find_element(By.ID, "reading").text.startswith("Fret 1: 35.25 mm")


def test_every_view_can_be_drawn_and_none_runs_a_script(page: webdriver.Chrome) -> None:
    for view in ("plan", "part:nut-rule", "sheet:1", "cut:1"):
        page.execute_script(
            "const all = document.getElementById('view'); all.value = arguments[0];"
            " all.dispatchEvent(new Event('change'))",
            view,
        )
        until(lambda: page.execute_script("return document.querySelectorAll('#sheet path').length") > 3)
        until(lambda: "Drawing" not in status(page))
    elements = page.execute_script(
        "return [...new Set([...document.querySelectorAll('#sheet *')].map(each => each.localName))]"
    )
    assert set(elements) <= {"svg", "g", "path", "circle", "rect"}
    assert page.get_log("browser") == []


def test_a_link_carries_the_whole_design(page: webdriver.Chrome, wren: Served) -> None:
    enter(page, "neck.scale", "640 mm")
    link = page.execute_async_script(
        "const done = arguments[0]; import('/static/share.js').then(async share =>"
        " done(await share.linkTo(document.getElementById('source').value)))"
    )
    text = source(page)
    page.switch_to.new_window("tab")
    try:
        page.get(link)
        until(lambda: drawn(page) > 0)
        assert source(page) == text
        assert page.execute_script("return location.hash") == ""
    finally:
        page.close()
        page.switch_to.window(page.window_handles[0])


def test_leaving_with_unsaved_work_asks_first(page: webdriver.Chrome) -> None:
    enter(page, "neck.scale", "641 mm")
    asked = page.execute_script(
        "const leaving = new Event('beforeunload', {cancelable: true});"
        " dispatchEvent(leaving); return leaving.defaultPrevented"
    )
    assert asked
    page.find_element(By.ID, "save").click()
    asked = page.execute_script(
        "const leaving = new Event('beforeunload', {cancelable: true});"
        " dispatchEvent(leaving); return leaving.defaultPrevented"
    )
    assert not asked


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_has_nothing_serious_to_say(page: webdriver.Chrome, scheme: str) -> None:
    axe = needed(os.environ.get("JIGGEN_AXE"), "axe-core, named by JIGGEN_AXE,")
    page.execute_cdp_cmd(
        "Emulation.setEmulatedMedia", {"features": [{"name": "prefers-color-scheme", "value": scheme}]}
    )
    page.execute_script("for (const each of document.querySelectorAll('details')) each.open = true")
    until(lambda: page.find_elements(By.CSS_SELECTOR, "#derived li"))
    page.execute_script(Path(axe).read_text(encoding="utf-8"))
    found = page.execute_async_script(
        "axe.run(document, {resultTypes: ['violations']}).then(arguments[arguments.length - 1])"
    )
    grave = [
        (each["id"], each["impact"], [node["html"][:120] for node in each["nodes"]][:3])
        for each in found["violations"]
        if each["impact"] in {"serious", "critical"}
    ]
    assert grave == []


@pytest.mark.parametrize("width", [360, 1280, 3840])
def test_nothing_is_wider_than_the_window_and_targets_are_large(page: webdriver.Chrome, width: int) -> None:
    size = {"width": width, "height": 800, "deviceScaleFactor": 1, "mobile": False}
    page.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", size)
    try:
        page.execute_script("for (const each of document.querySelectorAll('details')) each.open = true")
        until(lambda: page.execute_script("return document.documentElement.scrollWidth") <= width, 2.0)
        small = page.execute_script(
            """return [...document.querySelectorAll('button, select, summary, .field input, .checks label')]
            .filter(each => each.offsetParent && each.getBoundingClientRect().height < 44)
            .map(each => each.outerHTML.slice(0, 80))"""
        )
        assert small == []
    finally:
        page.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})


def test_what_was_done_can_be_undone_and_done_again(page: webdriver.Chrome) -> None:
    before = source(page)
    enter(page, "neck.nut-width", "44.5 mm")
    page.find_element(By.ID, "undo").click()
    until(lambda: source(page) == before)
    assert page.find_element(By.ID, field(page, "neck.nut-width")).get_property("value") == "46 mm"
    page.find_element(By.ID, "redo").click()
    until(lambda: value_in(source(page), "neck.nut-width") == "44.5 mm")


def test_big_type_is_bigger_and_goes_back(page: webdriver.Chrome) -> None:
    def height() -> float:
        size = page.execute_script(
            "return parseFloat(getComputedStyle(document.querySelector('#numbers label')).fontSize)"
        )
        return float(size)

    usual = height()
    page.find_element(By.ID, "big").click()
    until(lambda: height() > 1.2 * usual)
    page.find_element(By.ID, "big").click()
    until(lambda: height() == usual)


def test_the_ticket_opens_in_a_tab_and_each_file_can_be_had_alone(
    page: webdriver.Chrome, downloads: Path
) -> None:
    open_section(page, "files")
    page.find_element(By.ID, "make").click()
    until(lambda: page.find_elements(By.CSS_SELECTOR, "#made a"))
    links = {
        each.get_attribute("href").rpartition("/")[2]: each
        for each in page.find_elements(By.CSS_SELECTOR, "#made a")
    }
    links["sheet-1.dxf"].click()
    until((downloads / "sheet-1.dxf").exists)
    links["ticket.html"].click()
    until(lambda: len(page.window_handles) == 2)
    page.switch_to.window(page.window_handles[1])
    try:
        until(lambda: page.title == "Wren, job ticket")
        assert page.find_elements(By.CSS_SELECTOR, "figure svg")
    finally:
        page.close()
        page.switch_to.window(page.window_handles[0])


def test_an_edit_shifts_nothing_on_the_page(page: webdriver.Chrome) -> None:
    """By the browser's own account of layout shifts (Layout Instability API), typed input not excused."""
    page.execute_script(
        "window.shifts = 0; new PerformanceObserver(list => list.getEntries().forEach("
        "each => { window.shifts += each.value; })).observe({type: 'layout-shift'})"
    )
    enter(page, "neck.nut-width", "45 mm")
    enter(page, "strings.spread-at-bridge", "56 mm")
    time.sleep(0.3)
    assert page.execute_script("return window.shifts") < 0.01

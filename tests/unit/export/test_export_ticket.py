"""The job ticket: one file, well formed, with all that whoever stands at the machine must know."""

import re
from dataclasses import replace
from html.parser import HTMLParser

import pytest
from support.furnished import furnished
from support.sheets import job_of, sheet_set
from support.specs import neck_of, wren

from jiggen.export.dxf_frame import DxfVersion
from jiggen.export.options import Options
from jiggen.export.ticket import ticket_as_html
from jiggen.shop.price import Price

VOID = {"meta", "br"}


def ticket(*, design_name: str = "Wren", options: Options | None = None) -> str:
    job = job_of(sheet_set(design_name=design_name), options or Options())
    ((name, data),) = ticket_as_html(job)
    assert name == "ticket.html"
    return data.decode("utf-8")


class Balance(HTMLParser):
    """Fails where an element is closed that was not the last one opened."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.text: list[str] = []

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """An element that closes itself needs no partner."""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.text.append(data)


def text_of(html: str) -> str:
    reader = Balance()
    reader.feed(html)
    reader.close()
    assert reader.open == []
    return " ".join(" ".join(reader.text).split())


def test_it_is_well_formed_and_needs_no_other_file() -> None:
    html = ticket()
    text_of(html)
    assert not re.search(r'(?:src|href)="', html)
    assert "url(" not in html
    assert "<script" not in html


@pytest.mark.parametrize("name", ['<Wren> & "Heron"', "Zaunkönig ½"])
def test_names_are_text_and_never_markup(name: str) -> None:
    assert f"{name}, job ticket" in text_of(ticket(design_name=name))


def test_it_tells_design_material_machine_and_kerf() -> None:
    text = text_of(ticket())
    for words in ("Wren, job ticket", "k3f9a2", "2026-11-25", "Kestrel Yard", "3 mm cast acrylic"):
        assert words in text, words
    assert "The laser in the boat shed" in text
    assert "0.20 mm, coupon of 2026-11-02" in text


def test_operations_stand_in_the_order_of_the_machine_with_their_settings() -> None:
    text = text_of(ticket())
    names = [re.escape(each) for each in ("engrave light", "score lines 0.2 mm deep", "cut-opening through")]
    assert re.search(".*".join(names), text)


def test_each_sheet_is_pictured_and_its_use_told() -> None:
    html = ticket()
    assert html.count("<figure>") == 2
    assert "Sheet 1: Comb, Mitre shoe" in html
    assert re.search(r"\d+% used, \d+ × \d+ mm left", html)


def test_without_speeds_no_time_is_made_up() -> None:
    assert "no time is estimated, since the machine's profile lacks a speed" in ticket()


def test_with_speeds_a_time_is_estimated() -> None:
    job = job_of(sheet_set())
    machine = job.sheet_set.machine
    quick = replace(
        machine, operations=tuple(replace(each, speed_mm_per_s=10.0) for each in machine.operations)
    )
    sheets = replace(
        job.sheet_set,
        workshop=replace(job.sheet_set.workshop, machine=quick),
        sheets=tuple(replace(sheet, machine=quick) for sheet in job.sheet_set.sheets),
    )
    ((_, data),) = ticket_as_html(replace(job, sheet_set=sheets))
    assert re.search(
        r"about \d+ min \d\d s by the machine's profile, and more for what that leaves out", data.decode()
    )


def test_costs_are_told_only_where_there_are_prices() -> None:
    sheets = sheet_set()
    assert "EUR" not in ticket()
    assert "<th>cost</th>" not in ticket().replace(' class="n"', "")
    dear = replace(sheets.workshop.material, price_per_m2=Price(40.0, "EUR"))
    job = job_of(replace(sheets, workshop=replace(sheets.workshop, material=dear)), Options())
    ((_, data),) = ticket_as_html(job)
    text = data.decode("utf-8")
    whole = 40.0 * sheets.sheets[0].width_mm * sheets.sheets[0].height_mm / 1e6
    assert f"the sheet costs {whole:.2f} EUR" in text
    assert "machine's time" not in text  # an hour of it has no price
    assert "<th>cost</th>" in text.replace(' class="n"', "")


def test_numbers_carry_their_sources() -> None:
    text = text_of(ticket())
    assert "Scale length 628.00 24.724 chosen" in text
    assert "String spread at nut 39.00 1.535 solved" in text


def test_numbers_of_a_body_stand_below_those_of_the_neck() -> None:
    neck = neck_of(furnished(wren()))
    job = replace(job_of(sheet_set()), layout=neck.layout)
    ((_, data),) = ticket_as_html(job)
    text = text_of(data.decode("utf-8"))
    assert "What follows from the body's outline." in text
    assert "Saddle line from the neck end 314.00 12.362" in text
    assert "What follows from the body's outline." not in text_of(ticket())


def test_a_coupon_has_no_numbers_of_an_instrument() -> None:
    assert "Numbers and where they come from" not in ticket(options=Options(plan=False))


def test_there_is_something_to_measure_with_room_to_write() -> None:
    html = ticket()
    text = text_of(html)
    assert "After cutting: measure" in text
    assert "comb outline length 220.00 8.661" in text
    assert "comb fret.1 clear width 0.80 0.031" in text
    rows = html[html.index("After cutting") :].count("<tr><td")
    assert html.count('<td class="box"></td>') == 3 * rows


def test_cautions_come_before_anything_is_cut() -> None:
    text = text_of(ticket())
    assert text.index("Ventilate.") < text.index("Order of operations")


def test_a_file_without_units_is_said_to_be_one() -> None:
    assert "R12 cannot store its unit" not in ticket()
    assert "R12 cannot store its unit" in text_of(ticket(options=Options(dxf_version=DxfVersion.R12)))


def test_it_is_made_for_paper_of_any_size_and_for_dark_screens() -> None:
    html = ticket()
    assert "@page { margin:" in html
    assert (
        "size:"
        not in html.split("</style>", maxsplit=1)[0].split("@page", maxsplit=1)[1].split("}", maxsplit=1)[0]
    )
    assert "prefers-color-scheme: dark" in html

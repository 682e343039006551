"""A record goes by the carrier's setting: days after its last entry, and after a week of warning."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from pathlib import Path

import pytest
from forty_paces.authoring.library import Library
from forty_paces.outputs.cab.assistant import cab_html
from forty_paces.outputs.common.context import BuildContext
from playwright.sync_api import BrowserContext, Page, expect

from tests.browsers import go, kept_rows, kept_value, page_at, put_row, reload, written

pytestmark = pytest.mark.browser

NewContext = Callable[..., BrowserContext]
PROJECT = Path(__file__).resolve().parents[2]
START = "2026-11-25T14:00:00-07:00"


def note(page: Page, text: str) -> None:
    """An entry of the record, as a driver types it."""
    go(page, "record")
    page.locator("#record textarea").first.fill(text)
    written(page)


def on_day(page: Page, day: str) -> None:
    """Open the file again on a later day."""
    page.clock.pause_at(f"{day}T14:00:00-07:00")
    reload(page)


def texts(page: Page) -> list[str]:
    return [row[4] for row in kept_rows(page) if row[2] == "fields"]


def test_a_record_is_kept_warned_of_and_erased_by_the_carriers_setting(
    new_context: NewContext, cab_file: Path, library: Library
) -> None:
    assert library.fleet.records_kept_days == 90
    page = page_at(new_context, cab_file, START)
    go(page, "record")
    line, warning = page.locator("[data-expiry]"), page.locator("[data-expiry-warned]")
    banner = page.locator("[data-expiry-start]")
    expect(line).to_have_text("A record stays on this tablet for 90 days after its last entry.")

    note(page, "Route 9, mile 12")
    go(page, "start")
    expect(banner).to_be_hidden()
    go(page, "record")
    expect(line).to_have_text(
        "This tablet erases the record on February 23, 2027, 90 days after its last entry."
    )

    on_day(page, "2027-02-16")
    go(page, "start")
    expect(banner).to_have_text("The record is erased on February 23, 2027: save or print it.")
    page.click("[data-expiry-start] a")
    expect(warning).to_contain_text("This tablet erases the record on February 23, 2027.")
    expect(line).to_be_hidden()
    assert ["Route 9, mile 12"] == texts(page)

    page.click("[data-expiry-longer]")
    expect(warning).to_be_hidden()
    expect(line).to_contain_text("May 17, 2027")

    on_day(page, "2028-01-10")  # nobody opened it when it was due: it warns first
    go(page, "record")
    expect(warning).to_contain_text("January 17, 2028")
    on_day(page, "2028-01-16")
    expect(warning).to_contain_text("January 17, 2028")
    assert ["Route 9, mile 12"] == texts(page)
    on_day(page, "2028-01-17")
    expect(line).to_have_text(
        "The record before was erased on January 17, 2028. Your carrier keeps records for 90 days."
    )
    written(page)
    assert ([], {"expiry"}) == (texts(page), {row[2] for row in kept_rows(page) if row[1] == ""})
    expect(page.locator("#record textarea").first).to_have_value("")

    note(page, "A new stop")
    expect(line).to_contain_text("April 16, 2028")


def test_what_an_earlier_edition_kept_has_its_days_from_the_first_opening_and_each_vehicle_its_own(
    new_context: NewContext, cab_file: Path
) -> None:
    page = page_at(new_context, cab_file, START)
    for vehicle in ("coach", "tanker"):
        put_row(page, vehicle, "fields", "place", f"of the {vehicle}")
    put_row(page, "", "vehicle", "", "coach")
    on_day(page, "2027-11-25")
    go(page, "record")
    expect(page.locator("[data-expiry]")).to_contain_text("February 23, 2028")
    written(page)
    expiries = [row[1] for row in kept_rows(page) if row[2] == "expiry"]
    assert ["coach"] == expiries, "the tanker's days begin when somebody opens its record"
    assert {"of the coach", "of the tanker"} == set(texts(page))


def test_without_the_setting_nothing_is_counted_shown_or_erased(
    new_context: NewContext, library: Library, tmp_path: Path
) -> None:
    fleet = library.fleet.model_copy(update={"records_kept_days": None})
    context = BuildContext(dataclasses.replace(library, fleet=fleet), PROJECT / "site_overrides")
    file = tmp_path / "cab.html"
    file.write_text(cab_html(context), encoding="utf-8")
    page = page_at(new_context, file, START)
    note(page, "Route 9, mile 12")
    assert kept_value(page, "expiry", "touched") is None
    assert page.locator("[data-expiry], [data-expiry-start], [data-expiry-warned]").count() == 0
    on_day(page, "2036-11-25")
    assert ["Route 9, mile 12"] == texts(page)

"""The screen that shows which edition is aboard: words and a code to scan that say the same."""

import datetime as dt
import io
from dataclasses import replace

import pytest
import resvg_py
import zxingcpp
from bs4 import BeautifulSoup
from forty_paces.outputs.cab.assistant import cab_html, edition_words, paper_foot
from forty_paces.outputs.classroom.drill import drill_html
from forty_paces.outputs.classroom.trainer import trainer_html
from forty_paces.outputs.common.context import BuildContext
from PIL import Image

from tests.projects import PROJECT


def context_of(library, **edition):
    return BuildContext(
        replace(library, edition=replace(library.edition, **edition)), PROJECT / "site_overrides"
    )


@pytest.fixture(scope="module")
def signed(library):
    """The screen of a signed edition for one vehicle, and what its code should say."""
    context = context_of(library, number=12, expires=dt.date(2027, 5, 25), key="E7620F1842B4E81F")
    vehicle = library.fleet.vehicles[0]
    page = BeautifulSoup(cab_html(context, vehicle), "html.parser")
    return page.select_one("#edition"), edition_words(context, vehicle), library.edition


def test_the_words_name_edition_number_dates_key_and_vehicle(signed):
    screen, _, edition = signed
    facts = {row.dt.get_text(): row.dd.get_text() for row in screen.select(".which__facts div")}
    assert facts["Edition"] == f"{edition.id}, number 12"
    assert facts["Last day"] == "25 May 2027"
    assert facts["Signature"] == "Key E7620F1842B4E81F"
    assert facts["For"].endswith("Straight truck, unit 118")


def test_the_code_says_the_same_to_a_camera(signed):
    screen, words, edition = signed
    svg = str(screen.select_one("svg")).replace("viewbox", "viewBox")
    painted = resvg_py.svg_to_bytes(svg_string=svg, width=600, height=600, background="#ffffff")
    with Image.open(io.BytesIO(bytes(painted))) as picture:
        framed = Image.new("RGB", (720, 720), "white")
        framed.paste(picture, (60, 60))
    (read,) = zxingcpp.read_barcodes(framed, formats=zxingcpp.BarcodeFormat.QRCode)
    assert words == read.text
    assert words == (
        f"EDITION {edition.id.upper()} NUMBER 12 OF {edition.date} UNTIL 2027-05-25 "
        "KEY E7620F1842B4E81F CARRIER LARKSPUR-BASIN-FREIGHT VEHICLE STRAIGHT-TRUCK"
    )


def test_an_unsigned_edition_says_so_in_words_and_code(library):
    context = context_of(library)
    screen = BeautifulSoup(cab_html(context), "html.parser").select_one("#edition")
    assert "Unsigned" in screen.select_one(".which__facts").get_text()
    assert " UNSIGNED CARRIER " in edition_words(context, None)


@pytest.mark.parametrize(("key", "said"), [("", "unsigned"), ("E7620F18", "signed, key E7620F18")])
def test_what_is_printed_or_taught_from_names_the_edition_and_whether_it_is_signed(library, key, said):
    context = context_of(library, key=key)
    words = f"{library.edition.id}, {said}"
    assert f"edition {words}" in paper_foot(context, None)
    for page in (trainer_html(context), drill_html(context)):
        text = BeautifulSoup(page, "html.parser").get_text()
        assert f", {said}." in text
        assert f"Edition {library.edition.id} of " in text

"""The record that fills itself: what is known, what is empty, photos, and the files that it is saved as."""

from __future__ import annotations

import base64
import io
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from forty_paces.authoring.library import Library
from PIL import Image
from playwright.sync_api import BrowserContext, Page, expect

from tests.browsers import go, kept_rows, reload, written

pytestmark = pytest.mark.browser

NewContext = Callable[..., BrowserContext]
OpenPage = Callable[..., Page]
LONGEST_SIDE_PX = 1600


@pytest.fixture
def page(cab_at_two: Page) -> Page:
    return cab_at_two


def picture(width: int, height: int) -> bytes:
    """A photo as a camera gives it: with a position in its own data (EXIF tag 0x8825, GPSInfo)."""
    image = Image.effect_noise((width, height), 60).convert("RGB")
    exif = Image.Exif()
    exif.get_ifd(0x8825)[1] = "N"
    held = io.BytesIO()
    image.save(held, "JPEG", exif=exif)
    return held.getvalue()


def take(page: Page, width: int = 640, height: int = 480) -> None:
    before = page.locator("[data-photo]").count()
    photo = {"name": "p.jpg", "mimeType": "image/jpeg", "buffer": picture(width, height)}
    page.set_input_files("#photo-input", photo)
    expect(page.locator("[data-photo]")).to_have_count(before + 1)
    expect(page.locator("[data-photo] img").nth(before)).to_have_attribute(
        "src", re.compile("^data:image/jpeg")
    )


def saved(page: Page, button: str) -> str:
    with page.expect_download() as saving:
        page.click(f"[{button}]")
    return Path(saving.value.path()).read_text(encoding="utf-8")


class TestKnown:
    def test_what_the_tablet_knows_stands_in_the_record_unasked(self, page: Page, library: Library) -> None:
        go(page, "vehicle")
        page.click('[data-vehicle-set="tractor-trailer"]')
        go(page, "tire-fire")
        page.click("[data-next]")
        first = library.procedure("tire-fire").blocks[0].steps[1].do
        page.click("[data-next]")
        page.click("[data-not-here]")
        go(page, "clock")
        page.clock.run_for(7 * 60_000)
        page.click("[data-ten-out]")
        go(page, "help")
        page.fill("#help-road", "I 40")
        page.fill("#help-driver", "Odalys B.")
        go(page, "record")
        shown = page.locator("[data-stop] li").all_inner_texts()
        assert "Vehicle: Tractor and trailer, unit 204, LBF 204" in shown
        assert "Stopped 11/25/2026, 2:00:00 PM MST." in shown
        assert "Devices out 11/25/2026, 2:07:00 PM MST." in shown
        assert "I 40" in shown
        assert f"{library.procedure('tire-fire').title}: steps done 1, not here 1." in shown
        text = saved(page, "data-record-save")
        assert "\nPlace:\n  I 40\n" in text
        assert "\nName of the driver:\n  Odalys B.\n" in text
        assert f"[x] {first}, done at 11/25/2026, 2:00:00 PM MST" in text
        assert re.search(r"\n\[-\] .*, not here, 11/25/2026, 2:00:00 PM MST\n", text)

    def test_fields_with_nothing_in_them_stand_apart_on_screen_and_in_the_file(
        self, page: Page, library: Library
    ) -> None:
        go(page, "record")
        page.fill("#field-road", "Wet")
        go(page, "clock")
        go(page, "record")
        assert page.locator("[data-written] textarea").evaluate_all("all => all.map(one => one.name)") == [
            "road"
        ]
        others = len(library.after_event.record) - 1
        assert page.locator("[data-unwritten] textarea").count() == others
        text = saved(page, "data-record-save")
        assert text.index("  > Wet") < text.index("== Not filled in ==") < text.index("Place: ____")

    def test_a_field_does_not_move_while_somebody_writes_in_it(self, page: Page) -> None:
        go(page, "record")
        page.fill("#field-road", "Wet")
        expect(page.locator("[data-unwritten] #field-road")).to_be_focused()

    def test_the_guided_walk_that_is_not_there_leaves_nothing_behind(self, page: Page) -> None:
        go(page, "record")
        assert "Device 1" not in page.inner_text("#record")
        assert page.is_visible("[data-stop-empty]")

    def test_a_typed_break_makes_no_entry_in_print(self, page: Page) -> None:
        go(page, "record")
        page.fill("#field-road", "Wet\n[x] Called 911, 2:00 PM\n<img src=x onerror=alert(1)>")
        page.evaluate(
            "window.print = () => { window.paper = document.querySelector('[data-paper]').innerHTML; }"
        )
        page.click("[data-record-print]")
        paper = BeautifulSoup(page.evaluate("window.paper"), "html.parser")
        forged = [one for one in paper.find_all("p") if one.get_text().startswith("[x] Called 911")]
        assert [one["class"] for one in forged] == [["paper__typed"]]
        assert paper.find_all("img") == []


class TestPhotos:
    def test_a_photo_is_scaled_down_kept_and_shown_again_after_a_reload(self, page: Page) -> None:
        go(page, "record")
        take(page, 2400, 1800)
        size = "one => one.decode().then(() => [one.naturalWidth, one.naturalHeight])"
        assert page.locator("[data-photo] img").evaluate(size) == [LONGEST_SIDE_PX, 1200]
        reload(page)
        expect(page.locator("[data-photo]")).to_have_count(1)
        assert page.locator("[data-photo] img").evaluate(size) == [LONGEST_SIDE_PX, 1200]
        assert "Photo taken" in page.inner_text("[data-log]")

    def test_a_position_in_a_photos_own_data_stays_behind(self, page: Page) -> None:
        go(page, "record")
        assert Image.open(io.BytesIO(picture(64, 48))).getexif().get_ifd(0x8825) != {}
        take(page, 64, 48)
        kept = base64.b64decode(page.get_attribute("[data-photo] img", "src").split(",", 1)[1])
        assert Image.open(io.BytesIO(kept)).getexif().get_ifd(0x8825) == {}

    def test_it_is_deleted_by_two_taps(self, page: Page) -> None:
        go(page, "record")
        take(page)
        page.click("[data-photo-delete]")
        page.click("[data-keep]")
        expect(page.locator("[data-photo]")).to_have_count(1)
        page.click("[data-photo-delete]")
        page.click("[data-sure]")
        expect(page.locator("[data-photo]")).to_have_count(0)
        reload(page)
        expect(page.locator("[data-photo]")).to_have_count(0)

    def test_erasing_the_record_erases_its_photos_from_the_disk(self, page: Page) -> None:
        go(page, "record")
        take(page)
        assert any(isinstance(row[0], list) for row in kept_rows(page))
        go(page, "clear")
        page.click("[data-record-clear]")
        written(page)
        expect(page.locator("[data-photo]")).to_have_count(0)
        written(page)
        assert not any(isinstance(row[0], list) for row in kept_rows(page))

    @pytest.mark.parametrize(
        ("fault", "said"),
        [("QuotaExceededError", "no room for it"), ("UnknownError", "keeps no photos")],
    )
    def test_a_full_or_refusing_tablet_is_said_in_words(self, page: Page, fault: str, said: str) -> None:
        go(page, "record")
        page.evaluate(
            """(name) => {
              const put = (window.put = IDBObjectStore.prototype.put);
              IDBObjectStore.prototype.put = function (value, key) {
                if (Array.isArray(key[0])) throw new DOMException("full", name);
                return put.call(this, value, key);
              };
            }""",
            fault,
        )
        photo = {"name": "p.jpg", "mimeType": "image/jpeg", "buffer": picture(64, 48)}
        page.set_input_files("#photo-input", photo)
        expect(page.locator("[data-photo-said]")).to_contain_text(said)
        expect(page.locator("[data-photo]")).to_have_count(0)
        page.evaluate("() => { IDBObjectStore.prototype.put = window.put; }")

    def test_a_file_that_is_no_picture_is_said_in_words(self, page: Page) -> None:
        go(page, "record")
        page.set_input_files("#photo-input", {"name": "x.jpg", "mimeType": "image/jpeg", "buffer": b"no"})
        expect(page.locator("[data-photo-said]")).to_contain_text("no picture")

    def test_saved_with_photos_it_is_one_file_that_needs_nothing_else(
        self, page: Page, open_page: OpenPage, tmp_path: Path
    ) -> None:
        go(page, "record")
        take(page)
        page.fill(
            "#field-road", "</p><script>window.hacked = 1</script>\n<img src=x onerror='window.hacked = 1'>"
        )
        html = saved(page, "data-record-save-file")
        (tmp_path / "record.html").write_text(html, encoding="utf-8")
        shown = open_page(tmp_path / "record.html")
        assert shown.evaluate("window.hacked") is None
        assert shown.locator("script").count() == 0
        assert shown.locator("img").evaluate_all("all => all.map((one) => one.naturalWidth)") == [640]
        assert "</p><script>window.hacked = 1</script>" in shown.inner_text(".typed >> nth=0")
        assert [url for url in shown.requests if not url.startswith(("file:", "data:"))] == []
        assert shown.faults == []

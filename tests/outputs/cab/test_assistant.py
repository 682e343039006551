"""The cab file as text: one file, sealed, whole, and true to the library and the placement engine."""

from __future__ import annotations

import dataclasses
import gzip
import json
import re
from pathlib import Path
from typing import Any

import pytest
from bs4 import BeautifulSoup
from forty_paces.authoring.library import Library
from forty_paces.authoring.models.fleet import Fleet, Vehicle
from forty_paces.authoring.models.record import Condition
from forty_paces.authoring.texts import texts_by_id
from forty_paces.messages.quantities import pace
from forty_paces.outputs.cab.assistant import artifacts, cab_html
from forty_paces.outputs.cab.data import deadline_groups, phone_lines
from forty_paces.outputs.cab.screens import base_tables
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.moved_distances import moved_tables
from forty_paces.outputs.common.procedure_view import view_procedure
from forty_paces.outputs.common.self_contained import ascii_only, csp_hash, inline_json

from tests.fifty import fifty
from tests.outputs.hostile import HOSTILE, poisoned
from tests.parsing import part, parts
from tests.projects import step_count
from tests.rule_files import under_rules

PROJECT = Path(__file__).resolve().parents[3]
SCRIPTS = PROJECT / "site_overrides/assets/js/cab"
MOST_BYTES = 2_000_000
MOST_BYTES_PACKED = 350_000


def press_of(library: Library) -> BuildContext:
    return BuildContext(library, PROJECT / "site_overrides")


@pytest.fixture(scope="module")
def files(library: Library) -> dict[str, str]:
    """Every cab file of the edition, by its path."""
    return {artifact.path: artifact.data.decode() for artifact in artifacts(press_of(library))}


@pytest.fixture(scope="module")
def html(files: dict[str, str]) -> str:
    return files["cab.html"]


@pytest.fixture(scope="module")
def page(html: str) -> BeautifulSoup:
    return BeautifulSoup(html, "html.parser")


@pytest.fixture(scope="module")
def data(page: BeautifulSoup) -> dict[str, Any]:
    return json.loads(page.select_one("#cab-data").string)


@pytest.fixture(scope="module", params=["germany", "uk", "australia-sa", "ontario", "south-africa"])
def abroad(request: pytest.FixtureRequest, library: Library) -> tuple[str, str]:
    """Another rule set, and the cab file under it."""
    return request.param, cab_html(press_of(under_rules(request.param, library)))


@pytest.fixture(scope="module")
def truck_page(files: dict[str, str]) -> BeautifulSoup:
    """The cab file of the straight truck."""
    return BeautifulSoup(files["vehicles/straight-truck/cab.html"], "html.parser")


class TestOneFile:
    def test_nothing_in_it_points_outside(self, page: BeautifulSoup) -> None:
        pointers = {
            element[name]
            for element in page.find_all(True)
            for name in ("href", "src", "srcset", "data", "action", "poster", "xlink:href")
            if element.get(name) is not None
        }
        outside = {one for one in pointers if not one.startswith(("#", "tel:", "sms:")) and one != "data:,"}
        assert outside == set()

    def test_style_sheets_import_nothing_and_hold_only_inner_pictures_and_fonts(
        self, page: BeautifulSoup
    ) -> None:
        style = "\n".join(sheet.string for sheet in page.find_all("style"))
        assert "@import" not in style
        assert {url[:10] for url in re.findall(r"url\(([^)]*)\)", style)} == {"data:font/"}

    def test_it_stays_within_its_budget(self, html: str) -> None:
        raw = html.encode()
        assert len(raw) < MOST_BYTES
        assert len(gzip.compress(raw)) < MOST_BYTES_PACKED

    def test_it_is_plain_ascii_which_a_browser_decodes_fastest(self, html: str) -> None:
        assert html.isascii()

    def test_references_in_place_of_characters_change_nothing_that_is_read(self) -> None:
        page = (
            '<p title="½ mile">Keep 4½ ft – “clear” 🚚</p><style>.a::after{content:"→"}</style>'
            '<script type="application/json">{"a":"¼ 🚚"}</script><script>"·"</script><p>é</p>'
        )
        plain = ascii_only(page)
        before, after = (BeautifulSoup(text, "html.parser") for text in (page, plain))
        assert [p.get_text() for p in after("p")] == [p.get_text() for p in before("p")]
        assert after.p["title"] == before.p["title"]
        assert json.loads(after.script.string) == json.loads(before.script.string)
        assert (after.style, after("script")[1]) == (before.style, before("script")[1])
        assert set(re.findall(r"[^\x00-\x7f]", plain)) == {"→", "·"}  # known to the policy by their hashes

    def test_the_policy_admits_its_own_style_and_script_and_nothing_else(self, page: BeautifulSoup) -> None:
        policy = page.select_one('meta[http-equiv="Content-Security-Policy"]')["content"]
        parts = dict(part.split(" ", 1) for part in policy.split("; "))
        styles = [csp_hash(one.string) for one in page.find_all("style")]
        scripts = [csp_hash(one.string) for one in page.find_all("script") if not one.get("type")]
        expected = {
            "default-src": "'none'",
            "base-uri": "'none'",
            "form-action": "'none'",
            "font-src": "data:",
            "img-src": "data: 'self'",
            "manifest-src": "'self'",
            "worker-src": "'self'",
            "style-src": " ".join(styles),
            "script-src": " ".join(scripts),
        }
        assert parts == expected
        assert (len(styles), len(scripts)) == (3, 2)

    def test_what_is_painted_first_is_the_whole_start_screen_and_no_other(self, page: BeautifulSoup) -> None:
        # HTML Standard, link type "expect": rendering is blocked until the element that href names is there.
        gate = page.select_one('head > link[rel="expect"][blocking="render"]')
        behind = page.select_one(gate["href"])
        assert behind.find_previous_sibling() is page.select_one("#start")
        assert [screen["id"] for screen in behind.find_all_previous(class_="screen")] == ["start"]
        assert [screen["id"] for screen in page.select(".screen.is-open")] == ["start"]
        read_before = behind.find_all_previous(["style", "script"])
        assert [one.name for one in read_before] == ["style", "script"]
        assert "data:" not in read_before[0].string

    def test_no_element_carries_a_style_or_a_handler(self, page: BeautifulSoup) -> None:
        marked = [
            (element.name, name)
            for element in page.find_all(True)
            for name in element.attrs
            if name == "style" or name.startswith("on")
        ]
        assert marked == []

    def test_every_id_stands_once(self, page: BeautifulSoup) -> None:
        ids = [element["id"] for element in page.find_all(id=True)]
        assert len(ids) == len(set(ids))

    def test_every_anchor_leads_somewhere(self, page: BeautifulSoup) -> None:
        ids = {element["id"] for element in page.find_all(id=True)}
        # Behind a slash stands a view of the screen before it, which the script opens.
        targets = {
            a["href"][1:].split("/")[0] for a in page.find_all("a", href=True) if a["href"].startswith("#")
        }
        assert targets - ids == set()

    def test_every_label_and_description_names_an_element(self, page: BeautifulSoup) -> None:
        ids = {element["id"] for element in page.find_all(id=True)}
        for name in ("aria-labelledby", "aria-describedby", "for"):
            for element in page.find_all(attrs={name: True}):
                value = element[name]
                wanted = value if isinstance(value, list) else value.split()
                assert set(wanted) <= ids, (element.name, name)

    def test_the_same_library_gives_the_same_bytes(self, library: Library, html: str) -> None:
        assert cab_html(press_of(library)) == html


class TestWholeText:
    def test_every_driver_facing_string_stands_alone_under_its_key(
        self, page: BeautifulSoup, library: Library
    ) -> None:
        shown = {
            element["data-key"]: element.get_text() for element in page.find_all(attrs={"data-key": True})
        }
        expected = {
            key: text for procedure in library.procedures for key, text in texts_by_id(procedure).items()
        }
        missing = {key: text for key, text in expected.items() if shown.get(key) != text}
        assert missing == {}

    def test_every_procedure_has_one_tile_with_its_family_in_its_group_in_its_place(
        self, page: BeautifulSoup, library: Library
    ) -> None:
        offered = {link["href"] for link in page.find(id="start").select(".family[href]")}
        for family in {p.family for p in library.procedures}:
            members = [p for p in library.procedures if p.family == family]
            listing = page.find(id=f"family-{family}")
            if len(members) == 1:
                assert f"#{members[0].id}" in offered
                assert listing is None
                continue
            assert f"#family-{family}" in offered
            for group in ("stopped", "rolling"):
                tiles = listing.select(f".group--{group} .tile")
                placed = sorted((p for p in members if p.group.value == group), key=lambda p: p.position)
                assert [tile["href"][1:] for tile in tiles] == [p.id for p in placed]

    def test_within_a_family_stopped_procedures_stand_before_rolling_ones(self, library: Library) -> None:
        listings = parts(cab_html(press_of(fifty(library))), "section", 'class="screen listing"')
        both = [
            [title.get_text() for title in listing.select("h3")]
            for listing in listings
            if len(listing.select("h3")) > 1
        ]
        assert both
        assert all(titles == ["Stopped: read and do", "Rolling: know by heart"] for titles in both)

    def test_no_step_stands_above_the_stopped_line_and_each_notice_before_its_step(
        self, page: BeautifulSoup
    ) -> None:
        for procedure in page.select(".procedure"):
            marks = [
                "stopped" if "stopped" in element["class"] else "step"
                for element in procedure.select(".stopped, .step")
            ]
            assert marks[0] == "stopped"
            assert marks.count("stopped") == 1
            for notice in procedure.select(".notice"):
                assert notice.find_next_sibling()["class"] == ["step__row"]

    def test_every_procedure_says_to_stop_first_and_who_signed(self, page: BeautifulSoup) -> None:
        for review in page.select(".procedure .review"):
            assert "Stop in a safe place before you read this page." in review.get_text()
            assert "Not yet reviewed by your safety lead." in review.get_text()

    def test_every_number_of_the_fleet_is_there_in_calling_order(
        self, page: BeautifulSoup, library: Library
    ) -> None:
        shown = [who.get_text().split(": ")[-1] for who in page.select(".calls__who")]
        order = [call.phone for call in library.after_event.calls]
        ordered = sorted(library.fleet.phones, key=lambda p: order.index(p.id) if p.id in order else 99)
        assert shown == [phone.who for phone in ordered]

    def test_only_numbers_that_can_be_dialed_are_links(self, library: Library) -> None:
        lines = {line.id: line.dial for line in phone_lines(library.fleet, library.after_event)}
        assert (lines["emergency"], lines["dispatch"], lines["rail"]) == ("911", "5550110", "")

    def test_every_deadline_is_printed_with_its_hours(self, page: BeautifulSoup, library: Library) -> None:
        printed = {item.strong.get_text(): float(item["data-hours"]) for item in page.select("[data-hours]")}
        assert printed == {deadline.what: deadline.hours for deadline in library.after_event.deadlines}

    def test_deadlines_are_grouped_by_what_they_run_from(self, library: Library) -> None:
        groups = deadline_groups(library.after_event.deadlines)
        assert [group.event for group in groups][:2] == ["the crash", "the incident"]
        for group in groups:
            hours = [deadline.hours for deadline in group.deadlines]
            assert hours == sorted(hours)

    def test_every_item_of_the_record_can_be_written(self, page: BeautifulSoup, library: Library) -> None:
        written = [area["name"] for area in page.select(".record .fields textarea")]
        assert written == [item.id for item in library.after_event.record]
        register = [
            field.textarea["name"] for field in page.select(".field") if field.select_one(".register")
        ]
        assert register == [item.id for item in library.after_event.record if item.register_item]

    def test_a_carrier_that_filled_in_nothing_still_gets_a_whole_file(self, library: Library) -> None:
        bare = dataclasses.replace(library, fleet=Fleet(carrier="Nobody's Haulage"), after_event=None)
        html = cab_html(press_of(bare))
        assert len(re.findall(r'<section\b[^<>]* data-procedure="', html)) == len(library.procedures)
        assert html.rstrip().endswith("</html>")
        assert "Nobody's Haulage" in part(html[: html.index("</head>")], "title").string


class TestPrintedTables:
    def test_the_two_lane_and_divided_sets_are_those_of_the_federal_rule(self, library: Library) -> None:
        # 49 CFR 392.22(b)(1) and (b)(2)(v).
        tables = base_tables(library.rules["us"].rule_set)
        printed = [[(row.where, row.distance, row.paces) for row in table.rows] for table in tables]
        assert printed == [
            [
                ("1, behind", "10 ft (3 m)", "4 paces"),
                ("2, behind", "100 ft (30 m)", "40 paces"),
                ("3, ahead", "100 ft (30 m)", "40 paces"),
            ],
            [
                ("1, behind", "within 10 ft (3 m)", "4 paces"),
                ("2, behind", "100 ft (30 m)", "40 paces"),
                ("3, behind", "200 ft (61 m)", "80 paces"),
            ],
        ]

    def test_a_pace_is_as_long_as_the_rule_implies(self, library: Library) -> None:
        # 49 CFR 392.22(b)(1): 100 ft in 40 paces; StVO and others: the same pace in meters.
        assert pace(library.rules["us"].rule_set) == "2.5 ft (0.76 m)"
        assert pace(library.rules["uk"].rule_set).startswith("0.7")

    def test_the_tables_of_moved_devices_are_the_engines(self, page: BeautifulSoup, library: Library) -> None:
        """Their figures are compared with the engine in tests/outputs/test_moved_distances.py."""
        rules = library.rules["us"].rule_set
        shown = page.select("[data-printed] .figures--moved")
        assert len(shown) == 2 * len(moved_tables(rules)) == 6
        for table, far, look in zip(moved_tables(rules), shown[::2], shown[1::2], strict=True):
            rows = [[cell.get_text(" ") for cell in row.select("td")] for row in far.select("tbody tr")]
            views = [[cell and f"{cell.paces} paces" for cell in row.cells] for row in table.views]
            for printed, computed in zip(rows[1:-1], views, strict=True):
                for words, paces in zip(printed, computed, strict=True):
                    assert words == "–" if paces is None else words.endswith(paces)
            beside = [f"{cell.paces} paces" for cell in table.beside]
            assert all(words.endswith(paces) for words, paces in zip(rows[-1], beside, strict=True))
            checks = [len(row.select("td")) for row in look.select("tbody tr")]
            assert checks == [len(table.speeds)] * len(table.looks)

    def test_rules_that_move_nothing_have_no_such_table(self, abroad: tuple[str, str]) -> None:
        printed = part(abroad[1], "details", "data-printed")
        assert printed.select("table")
        assert printed.select(".figures--moved") == []

    def test_what_to_look_for_is_shown_wherever_it_is_asked(self, page: BeautifulSoup) -> None:
        """Where the pavement is lost, where the bend or hill begins, where something beside the road ends."""
        assert {one["id"] for one in page.select("symbol[id^=view-end-]")} == {
            "view-end-curve",
            "view-end-hill",
            "view-end-obstruction",
        }
        for side in ("behind", "ahead"):
            questions = {
                f'[data-part="{side}-sight"]': ["bend", "hill", "obstruction"],
                f'[data-part="{side}-end"] [data-end-of="near"]': ["bend", "hill"],
                f'[data-part="{side}-end"] [data-end-of="far"]': ["obstruction"],
            }
            for where, causes in questions.items():
                drawn = page.select_one(where).select("svg[data-picture]")
                assert [one["data-picture"] for one in drawn] == causes
                assert all(one["aria-label"] and one.select_one("use") for one in drawn)

    def test_no_script_is_needed_to_read_them(self, page: BeautifulSoup) -> None:
        printed = page.select_one("[data-printed]")
        assert printed.has_attr("open")
        assert printed.find_parent(class_="needs-script") is None
        assert len(printed.select("table")) >= 3


class TestFinder:
    def test_the_worked_examples_travel_with_the_data(self, data: dict[str, Any], library: Library) -> None:
        carried = [example["id"] for example in data["placement"]["examples"]]
        assert carried == [example.id for example in library.rules["us"].examples]

    def test_every_place_of_every_axis_has_its_button(
        self, page: BeautifulSoup, data: dict[str, Any]
    ) -> None:
        given = data["placement"]
        counts = {"road": data["finder"]["places"], "speed": given["speeds"], "surface": given["surfaces"]}
        counts |= {"visibility": given["visibility"], "grade": given["grades"]}
        for axis, values in counts.items():
            places = [int(button["data-place"]) for button in page.select(f'[data-axis="{axis}"]')]
            assert places == list(range(len(values)))
        hidden = list(range(1, 1 + len(given["lengths"]["sight"])))
        for question in page.select("[data-ask-side]"):
            assert [int(button["data-hidden"]) for button in question.select("[data-hidden]")] == hidden
            for end, within in (("near", ["within"]), ("far", [])):
                numbers = [str(at) for at in range(1, 1 + len(given["lengths"][end]))]
                offered = [one["data-end"] for one in question.select(f'[data-end-of="{end}"] [data-end]')]
                assert offered == [*within, *numbers, "unknown"]

    def test_each_layout_on_each_road_has_a_drawing_for_tablet_and_phone(
        self, page: BeautifulSoup, data: dict[str, Any]
    ) -> None:
        layouts = data["placement"]["layouts"]
        wanted = {f"{layout['road']}/{at}" for at, layout in enumerate(layouts) if layout["devices"]}
        for size in ("wide", "tall"):
            assert {figure["data-drawing"] for figure in page.select(f".drawing--{size}")} == wanted

    def test_every_other_rule_set_gets_its_finder_too(self, abroad: tuple[str, str]) -> None:
        rules_id, html = abroad
        given = json.loads(part(html, "script", 'id="cab-data"').string)["placement"]
        assert given["rules"]["id"] == rules_id
        assert all(one.find("svg") for one in parts(html, "figure", "data-drawing="))
        assert parts(html, "figure", "data-drawing=")

    def test_only_the_placement_model_computes_distances(self) -> None:
        for script in SCRIPTS.glob("*.js"):
            if script.name == "placement.js":
                continue
            text = re.sub(r"/\*.*?\*/|//[^\n]*", "", script.read_text(encoding="utf-8"), flags=re.DOTALL)
            assert not re.search(r"(_ft|Ft)\b\s*[-+*/](?![/*])|Math\.(sqrt|sin|cos|acos|pow)", text), (
                script.name
            )


class TestVehicleEditions:
    def test_each_vehicle_gets_a_file_of_its_own(self, library: Library, files: dict[str, str]) -> None:
        assert list(files) == [
            "cab.html",
            *(f"vehicles/{vehicle.id}/cab.html" for vehicle in library.fleet.vehicles),
        ]

    def test_steps_that_cannot_apply_are_left_out_and_conditions_that_hold_unsaid(
        self, library: Library, truck_page: BeautifulSoup
    ) -> None:
        vehicle = next(one for one in library.fleet.vehicles if one.id == "straight-truck")
        steps = truck_page.find_all(class_="step")
        shown = [step["data-step"] for step in steps]
        views = [view_procedure(procedure, vehicle) for procedure in library.procedures]
        assert shown == [step.key for view in views for block in view.blocks for step in block.steps]
        whole = [view_procedure(procedure) for procedure in library.procedures]
        assert len(shown) < sum(step_count(view) for view in whole)
        tags = {tag.get_text() for step in steps for tag in step.find_all(class_="condition")}
        assert not any("hydraulic" in tag for tag in tags)

    def test_it_names_its_vehicle_and_offers_no_choice(
        self, library: Library, truck_page: BeautifulSoup
    ) -> None:
        page = truck_page
        vehicle = next(one for one in library.fleet.vehicles if one.id == "straight-truck")
        assert vehicle.title in page.find(class_="top__unit").get_text()
        assert page.find(id="vehicle") is None
        assert (page.html["data-vehicle"], page.html["data-root"]) == (vehicle.id, "../../")

    def test_what_is_unknown_about_a_vehicle_is_left_out_of_its_equipment(self, library: Library) -> None:
        unknown = Vehicle(id="loaner", title="Loaner", brakes="air")
        fleet = library.fleet.model_copy(update={"vehicles": (unknown,)})
        html = cab_html(press_of(dataclasses.replace(library, fleet=fleet)))
        (vehicle,) = json.loads(part(html, "script", 'id="cab-data"').string)["vehicles"]
        assert vehicle["has"] == {Condition.AIR_BRAKES.value: True, Condition.HYDRAULIC_BRAKES.value: False}


class TestHostileText:
    def test_markup_in_any_field_stays_text(self, library: Library) -> None:
        html = cab_html(press_of(poisoned(library)))
        page = BeautifulSoup(html, "html.parser")
        assert page.select("img, iframe, object, embed, base, link[rel=stylesheet]") == []
        assert len(page.find_all("script")) == 4  # the first script, words, data, and the rest
        policy = page.select_one('meta[http-equiv="Content-Security-Policy"]')["content"]
        assert all(csp_hash(sheet.string) in policy for sheet in page.find_all("style"))
        assert HOSTILE in page.title.string
        shown = [element.get_text() for element in page.find_all(attrs={"data-key": True})]
        assert all(HOSTILE in text for text in shown)

    def test_data_for_the_script_cannot_end_its_element(self) -> None:
        text = inline_json({"a": "</script><script>alert(1)</script>", "b": "\u2028&"})
        assert not re.search(r"[<>&\u2028]", text)
        assert json.loads(text) == {"a": "</script><script>alert(1)</script>", "b": "\u2028&"}


class TestStorageKeys:
    def test_only_the_memory_touches_storage_besides_what_the_first_paint_needs(self) -> None:
        """The look, and the language: the first script also notes that it is on its way to the other file."""
        users = {
            script.name
            for script in SCRIPTS.glob("*.js")
            if re.search(
                r"localStorage|sessionStorage|indexedDB|document\.cookie", script.read_text(encoding="utf-8")
            )
        }
        assert users == {"memory.js", "first.js", "language.js"}
        first = (SCRIPTS / "first.js").read_text(encoding="utf-8")
        assert re.findall(r"localStorage\W+setItem\W+([\w/-]+)", first) == ["forty-paces/going"]
        language = (SCRIPTS / "language.js").read_text(encoding="utf-8")
        assert re.findall(r"localStorage\W+setItem\W+([\w/-]+)", language) == ["forty-paces/language"]

    def test_every_key_in_use_stands_in_the_list(self) -> None:
        listed = re.search(
            r"const KEYS = \{(.*?)\};", (SCRIPTS / "memory.js").read_text(encoding="utf-8"), re.DOTALL
        )
        keys = set(re.findall(r"(\w+):", listed[1]))
        used = {
            key
            for script in SCRIPTS.glob("*.js")
            for key in re.findall(
                r'(?:recalled(?:Table|Time)?|remember|dress)\("(\w+)"', script.read_text(encoding="utf-8")
            )
        }
        assert used == keys

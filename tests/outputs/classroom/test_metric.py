"""The classroom under a metric rule set: texts in its units, marking by the engine."""

import itertools
import json
import math
import re

import pytest
from bs4 import BeautifulSoup
from forty_paces.authoring.library import load_library
from forty_paces.geometry.records import Toward
from forty_paces.geometry.units import ft_to_m, m_to_ft, mph_to_kmh
from forty_paces.outputs.classroom import index as kit
from forty_paces.outputs.classroom import sight_table, yard_plan
from forty_paces.outputs.classroom.documents import yard_paper
from forty_paces.outputs.classroom.exercise import reach_of
from forty_paces.outputs.classroom.lesson_view import SlideKind
from forty_paces.outputs.classroom.lessons import decks
from forty_paces.outputs.classroom.marking import POINTS, Verdict, verdict
from forty_paces.outputs.classroom.placing_slides import device_words, right_words
from forty_paces.outputs.classroom.placing_tasks import scene_task, situations
from forty_paces.outputs.classroom.sight_page import rows_of
from forty_paces.outputs.classroom.worksheets import Worksheet, key_body, worksheet_body
from forty_paces.outputs.classroom.worksheets import rules_of as rules_in_force
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.paper.sheets import PAPERS

from tests.abroad import ABROAD, tools_abroad
from tests.outputs.classroom.lesson_samples import PROJECT, real_library
from tests.projects import project_abroad
from tests.rule_files import names, rule_file, under_rules

__all__ = ["tools_abroad"]

LIBRARY = real_library()
METRIC = [name for name in names() if rule_file(name).rule_set.metric]
FUZZ = 1e-6
FEET = re.compile(r"(?<![0-9.,])[0-9][0-9,.]* (?:ft|feet)\b")


YARD_TABLES = 'main[aria-label="Yard plan"] table'


def context_of(name):
    return BuildContext(under_rules(name, LIBRARY), PROJECT / "site_overrides")


def rules_of(name):
    return rule_file(name).rule_set


def page_text(html):
    """The text of the page without styles, scripts and drawings, whose labels have lines of their own."""
    soup = BeautifulSoup(html, "html.parser")
    for hidden in [*soup(["style", "script", "svg", "title"]), *soup.select(YARD_TABLES)]:
        hidden.extract()
    return " ".join(soup.get_text(" ").split())


def table_of(html):
    return json.loads(html.split('<script type="application/json" id="table">')[1].split("</script>")[0])


@pytest.fixture(scope="module", params=ABROAD)
def abroad(request, tmp_path_factory):
    """A project whose fleet.yml names that rule set."""
    project = project_abroad(tmp_path_factory.mktemp("abroad"), request.param)
    return BuildContext(load_library(project), project / "site_overrides")


def sheet_of(context):
    """Scenes on paper; under these rule sets no device moves, so none of them makes a test of its own."""
    rules = rules_in_force(context)
    groups = situations(rules, context.library.scenes.values())
    return Worksheet(1, 0, tuple(scene_task(rules, group[0]) for group in groups[:4]))


@pytest.mark.long
def test_exercise_explorer_sheets_keys_and_yard_plan_have_no_feet(abroad, tools_abroad):
    rules = rules_in_force(abroad)
    pages = {
        name: (tools_abroad / f"{name}-{rules.id}.html").read_text("utf-8") for name in ("placing", "sight")
    }
    papers = {one.path.rpartition("/")[2]: one.html for one in kit.papers(abroad, ())}
    assert not [name for name in papers if name.startswith("test-")]
    texts = {name: page_text(html) for name, html in (pages | {"yard": papers["yard-plan"]}).items()}
    for body_of in (worksheet_body, key_body):
        body, _ = body_of(abroad, sheet_of(abroad), PAPERS["a4"])
        texts[body_of.__name__] = page_text(body)
    for path, text in texts.items():
        for scene in LIBRARY.scenes.values():
            text = text.replace(scene.teaching_point, "")  # written by the scene's author
        assert FEET.findall(text) == [], path
        if rules.posted_in == "km/h":
            assert not re.search(r"\bmph\b", text), path


def test_placing_slides_and_their_notes_have_no_feet(abroad):
    """Only what was computed from scenes: a lesson's own lines are those of the procedures."""
    rules = rules_in_force(abroad)
    slides = [
        slide
        for one in decks(context_of(rules.id))
        for slide in one.slides
        if slide.kind is SlideKind.PLACING
    ]
    assert slides
    for slide in slides:
        texts = [slide.situation, *slide.given]
        for reveal in slide.reveals:
            texts += [reveal.why, *(device.answer for device in reveal.devices)]
        assert [text for text in texts if FEET.search(text)] == []
        assert rules.posted_in in slide.situation


def test_the_key_tells_meters_with_paces_beside_them(abroad):
    rules = rules_in_force(abroad)
    keys = page_text(key_body(abroad, sheet_of(abroad), PAPERS["a4"])[0])
    walked = {d.distance_ft: d for layout in rules.layouts for d in layout.devices if d.distance_ft}
    found = [
        ft for ft in walked if f"{ft_to_m(ft):.0f} m ({math.ceil(ft / rules.pace_ft - FUZZ)} paces)" in keys
    ]
    assert found


def test_a_right_answer_is_a_tenth_either_way_in_whole_meters():
    """StVO section 15: about 100 m."""
    task = scene_task(rules_of("germany"), LIBRARY.scenes["quarry-bend"])
    (one,) = task.expected
    verdicts = {count: verdict(one, m_to_ft(count)) for count in range(166)}
    assert {count for count, found in verdicts.items() if found is Verdict.RIGHT} == set(range(90, 111))
    assert {verdicts[count] for count in range(90)} == {Verdict.TOO_NEAR}
    assert {verdicts[count] for count in range(111, 166)} == {Verdict.TOO_FAR}
    assert device_words(task.lengths, one) == "100 m (134 paces) behind, same side of the road"
    assert right_words(task.lengths, one) == "Right from 90 to 110 m."


def test_within_a_range_that_the_rule_leaves_open_every_ample_place_is_right():
    """Road Rules 227: from 50 to 150 m on slower roads, from 200 to 250 m on fast ones."""
    rules = rules_of("australia-sa")
    tried = 0
    for group in situations(rules, LIBRARY.scenes.values()):
        task = scene_task(rules, group[0])
        for one in task.expected:
            side, approach = task.side(one.toward), task.solved.placement.approach(one.toward)
            for low_ft, high_ft in one.open_ft:
                assert 50 - FUZZ <= ft_to_m(low_ft) <= ft_to_m(high_ft) <= 250 + FUZZ
                for meters in range(round(ft_to_m(low_ft)), round(ft_to_m(high_ft)) + 1, 10):
                    warned = max(side.view.warning_ft([(m_to_ft(meters), one.across)]), approach.warning_ft)
                    assert rules.down_ft(warned) >= rules.up_ft(approach.needed_ft) - FUZZ
                    assert verdict(one, m_to_ft(meters)) in POINTS
                    tried += 1
    assert tried > 50


def test_what_stands_beside_the_vehicle_has_no_distance():
    task = scene_task(rules_of("australia-sa"), LIBRARY.scenes["quarry-bend"])
    beside = next(one for one in task.expected if not one.distance_ft)
    assert device_words(task.lengths, beside) == "Beside the vehicle"
    assert verdict(beside, 0) is Verdict.RIGHT
    assert verdict(beside, m_to_ft(1)) is Verdict.TOO_FAR


@pytest.mark.parametrize("name", [name for name in METRIC if rules_of(name).posted_in == "km/h"])
def test_signs_say_whole_tens(name):
    for group in situations(rules_of(name), LIBRARY.scenes.values()):
        for scene in group:
            assert mph_to_kmh(scene.speed_mph) == pytest.approx(round(mph_to_kmh(scene.speed_mph), -1))
            assert 40 - FUZZ <= mph_to_kmh(scene.speed_mph) <= 120 + FUZZ


@pytest.mark.parametrize("name", ["germany", "australia-sa"])
def test_the_exercises_table_is_the_engines_answer_in_whole_meters(name, tools_abroad):
    rules = rules_of(name)
    data = table_of((tools_abroad / f"placing-{name}.html").read_text("utf-8"))
    groups = situations(rules, LIBRARY.scenes.values())
    assert [len(group) for group in groups] == [len(group) for group in data["tasks"]]
    for group, found in zip(groups, data["tasks"], strict=True):
        task, one = scene_task(rules, group[-1]), found[-1]
        assert one["speed"] == round(mph_to_kmh(task.scene.speed_mph))
        for device, row in zip(task.expected, one["expected"], strict=True):
            assert row["distance"] == pytest.approx(ft_to_m(device.distance_ft))
            assert row["low"] == pytest.approx(ft_to_m(device.low_ft))
            assert row["high"] == pytest.approx(ft_to_m(device.high_ft))
        for side in one["sides"]:
            toward = Toward(side["toward"])
            approach, view = task.solved.placement.approach(toward), task.side(toward).view
            across = max(
                (d for d in task.expected if d.toward is toward), key=lambda d: d.distance_ft, default=None
            )
            curve = data["curves"][side["curve"]]
            assert len(curve) * data["step"] == data["reach"] == reach_of(rules)
            assert side["needed"] == math.ceil(ft_to_m(approach.needed_ft) - FUZZ)
            for place, meters in enumerate(curve, start=1):
                warning = view.warning_ft([(m_to_ft(place * data["step"]), across.across if across else "")])
                assert meters == math.floor(ft_to_m(warning) + FUZZ)
                assert side["ample"][place - 1] == (
                    "1" if rules.down_ft(warning) >= rules.up_ft(approach.needed_ft) - FUZZ else "0"
                )


@pytest.mark.long
def test_feet_and_miles_an_hour_leave_the_tables_as_they_are(built_site):
    for name in ("placing", "sight"):
        table = table_of((built_site / f"classroom/{name}.html").read_text("utf-8"))
        assert len(table) > 5
        assert "measure" not in table, name


@pytest.mark.parametrize("name", METRIC)
def test_the_explorers_sentences_are_the_engines(name):
    rules = rules_of(name)
    table, choices = sight_table.table(rules), sight_table.choices(rules)
    assert list(choices.speeds) == table["speeds"]
    cases = itertools.product(rules.visibility, enumerate(choices.speeds_mph), enumerate(choices.settings))
    tried = 0
    for light, (speed, mph), (place, setting) in itertools.islice(cases, 0, None, 37):
        found = rows_of(table, place)[rules.visibility.index(light) * len(choices.speeds) + speed]
        wanted = sight_table.answer(rules, choices.scene(setting, mph, light))
        slots = table["slots"][speed] if isinstance(table["slots"], list) else table["slots"]
        reason = table["reasons"][found.finding].format(
            **slots,
            hidden=f"{found.hidden} m",
            warning=f"{found.warning} m",
            base_warning=f"{found.base_warning} m",
            needed=f"{found.needed} m",
        )
        sentences = (reason, slots.get("remark", ""), table["looks"][found.look])
        assert " ".join(filter(None, sentences)) == wanted.reason
        assert (found.distance, bool(found.ample)) == (wanted.distance, wanted.ample)
        assert table["measure"]["paces"][found.distance] == math.ceil(
            m_to_ft(found.distance) / rules.pace_ft - FUZZ
        )
        tried += 1
    assert tried > 50


def test_the_yards_marks_are_reported_in_meters(abroad):
    rules = rules_in_force(abroad)
    paper = yard_paper(abroad, PAPERS[abroad.library.fleet.paper.value])
    table = BeautifulSoup(paper.html, "html.parser").select(YARD_TABLES)[0]
    assert [cell.get_text() for cell in table.select("th")][2:4] == ["Meters", "Paces"]
    marks = [
        [cell.get_text().replace("\u00a0", " ") for cell in row.select("td")][2:4]
        for row in table.select("tr")[1:]
    ]
    assert marks == [[mark.meters, str(mark.paces)] for mark in yard_plan.yard_marks(rules)]


@pytest.mark.parametrize("name", METRIC)
def test_own_paces_are_counted_over_30_m_and_never_short(name):
    rules = rules_of(name)
    assert all(mark.distance_ft for mark in yard_plan.yard_marks(rules)), "nobody walks to where it stands"
    for row in yard_plan.own_paces(rules):
        own_pace_m = 30 / int(row["count"])
        for distance, count in row.items():
            if distance != "count":
                wanted = float(distance.removesuffix(" m"))
                assert int(count) * own_pace_m >= wanted - FUZZ
                assert (int(count) - 1) * own_pace_m < wanted


def test_the_scale_of_a_worksheet_is_that_of_its_drawing():
    """The drawing's scale bar is labeled with its length."""
    context = context_of("germany")
    sheet = sheet_of(context)
    paper = PAPERS["a4"]
    soup = BeautifulSoup(worksheet_body(context, sheet, paper)[0], "html.parser")
    for situation in soup.select(".situation"):
        (said,) = re.findall(r"1 cm on this sheet is ([0-9.]+) m\.", " ".join(situation.get_text().split()))
        drawing = situation.select_one("svg.fp-blank")
        (length_m,) = re.findall(r"\b(90|45) m\b", " ".join(drawing.get_text(" ").split()))
        bar = [
            float(pair.split(",")[0]) for pair in drawing.select("polyline.fp-ruler")[-1]["points"].split()
        ]
        width_cm = float(drawing["width"].removesuffix("mm")) / 10
        bar_cm = (max(bar) - min(bar)) / float(drawing["viewbox"].split()[2]) * width_cm
        assert float(said) == pytest.approx(float(length_m) / bar_cm, abs=0.06)

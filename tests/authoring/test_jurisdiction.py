"""The rule set in force decides on country, numbers, names and units; an edition makes the library fit."""

import re
import shutil
from pathlib import Path

import pytest
from forty_paces.authoring import layers as layers_module
from forty_paces.authoring.jurisdiction import Jurisdiction
from forty_paces.authoring.library import inspect_project, load_library
from forty_paces.authoring.texts import texts_by_id

from tests.faults.projects import BASE, TODAY
from tests.rule_files import PROJECT

HOLD = "do: Hold the wheel with both hands."
WOBBLE = "content/procedures/wheel-wobble.yml"
HOLD_ID = "wheel-wobble/by_heart/hold/do"


@pytest.fixture
def project(tmp_path):
    """A project of two procedures under a rule set of Ontario."""
    folder = tmp_path / "project"
    shutil.copytree(BASE, folder)
    change(folder, "rules/plain.yml", "applies_to:", "country: ca-on\nregion: province\napplies_to:")
    return folder


def change(project, name, old, new):
    file = project / "content" / name
    text = file.read_text(encoding="utf-8")
    assert text.count(old) == 1, (name, old)
    file.write_text(text.replace(old, new), encoding="utf-8")


def write_edition(project, text, name="plain"):
    file = project / "content" / "editions" / f"{name}.yml"
    file.parent.mkdir(exist_ok=True)
    file.write_text(text, encoding="utf-8")


def findings(project):
    return [str(finding) for finding in inspect_project(project, TODAY).findings]


def text_of(project, address=HOLD_ID):
    return texts_by_id(load_library(project, TODAY).procedure("wheel-wobble"))[address]


class TestPlaceholders:
    @pytest.mark.parametrize(
        ("written", "wanted"),
        [
            ("Call {emergency} with both hands free.", "Call 911 with both hands free."),
            ("Hold to {region} rules.", "Hold to province rules."),
            ("Hold to rules. {Region} law wins.", "Hold to rules. Province law wins."),
            ("Roll at {5 mph|8 km/h}.", "Roll at 5 mph."),
            ("Move 100 ft (30 m) away.", "Move 100 ft (30 m) away."),
        ],
    )
    def test_a_text_takes_numbers_and_names_from_the_rule_set_in_force(self, project, written, wanted):
        change(project, "procedures/wheel-wobble.yml", HOLD, f"do: {written}")
        assert wanted == text_of(project)

    @pytest.mark.parametrize(
        ("written", "wanted"),
        [
            ("Roll at {5 mph|8 km/h}.", "Roll at 8 km/h."),
            ("Move {8 ft|2.4 m} away.", "Move 2.4 m away."),
            ("Move 100 ft (30 m) away.", "Move 30 m away."),
            ("Move 100 to 500 ft (30 to 152 m) away.", "Move 30 to 152 m away."),
            ("Cut it to 5.5 by 8.5 in (140 by 216 mm).", "Cut it to 140 by 216 mm."),
            ("Leave 1/8 in (3 mm) of film, 5 mil (125 µm) thick.", "Leave 3 mm of film, 125 µm thick."),
            ("Print it on card{, or 80 lb cover|}.", "Print it on card."),
            ("Move 1,000 ft (305 m) away, in 40 paces (or more).", "Move 305 m away, in 40 paces (or more)."),
        ],
    )
    def test_under_a_metric_rule_set_the_metric_figure_alone_is_printed(self, written, wanted):
        assert wanted == Jurisdiction(metric=True, kmh=True).filled(written)[0]

    @pytest.mark.parametrize(
        ("written", "wanted"),
        [
            ("Call {emergency} in every {region}.", "Call 911 in every state."),
            (
                "## Install it {: #install }\n\nWalk 100 ft (30 m).",
                "## Install it {: #install }\n\nWalk 30 m.",
            ),
            ("Write `{region}` and `10 ft (3 m)`: 10 ft (3 m).", "Write `{region}` and `10 ft (3 m)`: 3 m."),
            ("```\nheight: {10 ft|3 m}\n```\n{10 ft|3 m}", "```\nheight: {10 ft|3 m}\n```\n3 m"),
            ("{{ page.title|upper }}, {% if a|b %}{10 ft|3 m}", "{{ page.title|upper }}, {% if a|b %}3 m"),
        ],
    )
    def test_a_page_in_prose_is_filled_in_but_for_code_and_what_is_for_others(self, written, wanted):
        assert wanted == Jurisdiction(metric=True, kmh=True).filled_prose(written)

    def test_the_number_of_the_carriers_own_emergency_line_comes_first(self, project):
        change(project, "procedures/wheel-wobble.yml", HOLD, "do: Call {emergency} with both hands free.")
        fleet = project / "content/fleet.yml"
        line = "phones:\n  - {id: help, who: Help, number: 555-0100, serves: emergency, call_when: Always.}\n"
        fleet.write_text(fleet.read_text(encoding="utf-8") + line, encoding="utf-8")
        assert "Call 555-0100 with both hands free." == text_of(project)

    def test_a_rule_set_has_a_number_of_its_own(self, project):
        number = 'emergency: {number: "112", citation: part 2, source: [road-rule]}\nregion:'
        change(project, "rules/plain.yml", "region:", number)
        change(project, "procedures/wheel-wobble.yml", HOLD, "do: Call {emergency} with both hands free.")
        assert "Call 112 with both hands free." == text_of(project)

    def test_speeds_follow_the_signs_and_lengths_the_rule(self):
        british = Jurisdiction(metric=True, kmh=False)
        assert "30 mph, 3 m" == british.filled("{30 mph|48 km/h}, {10 ft|3 m}")[0]

    def test_an_unknown_placeholder_is_a_finding_at_its_place(self, project):
        change(project, "procedures/wheel-wobble.yml", HOLD, "do: Call {emergancy} with both hands.")
        (found,) = (one for one in findings(project) if "placeholder" in one)
        assert found.startswith("content/procedures/wheel-wobble.yml:18:9: there is no placeholder")
        assert "{emergency}" in found


class TestLaw:
    def foreign(self, project, country="us"):
        change(project, "sources.yml", "kind: regulation", f"kind: regulation\n    country: {country}")

    def test_texts_that_rest_on_the_law_of_another_country_are_refused_one_by_one(self, project):
        self.foreign(project)
        found = [one for one in findings(project) if "[country-law]" in one]
        assert found
        assert all(re.match(r"content/[a-z/_-]+\.yml:\d+:\d+: this rests on", one) for one in found)
        assert any("content/shared.yml:7:14" in one for one in found)
        assert inspect_project(project, TODAY).library is None

    @pytest.mark.parametrize("country", ["ca", "ca-on"])
    def test_law_of_the_country_or_of_its_part_is_law_there(self, project, country):
        self.foreign(project, country)
        assert not [one for one in findings(project) if "country-law" in one]

    def test_law_of_another_part_of_the_country_is_not(self, project):
        self.foreign(project, "ca-ab")
        assert [one for one in findings(project) if "country-law" in one]

    def test_a_handbook_of_another_country_may_teach(self, project):
        change(
            project, "sources.yml", "kind: regulation", "kind: handbook\n    country: us\n    publisher: A"
        )
        assert not [one for one in findings(project) if "country-law" in one]

    def test_a_rule_set_without_a_country_refuses_nothing(self, project):
        self.foreign(project)
        change(project, "rules/plain.yml", "country: ca-on\n", "")
        assert not [one for one in findings(project) if "country-law" in one]


OWN = """\
rules: plain
law:
  - {law: road-rule, source: [practice]}
changes:
  - at: procedures/wheel-wobble/by_heart/hold
    set: {do: Hold the wheel as the law of the province asks.}
"""


class TestEdition:
    def test_an_edition_replaces_keys_and_cites_the_counterpart_of_a_law(self, project):
        TestLaw().foreign(project)
        write_edition(project, OWN)
        library = load_library(project, TODAY)
        assert "Hold the wheel as the law of the province asks." == text_of(project)
        step = library.procedure("wheel-wobble").blocks[0].steps[0]
        assert ("practice",) == step.source
        assert "road-rule" not in library.sources

    def test_an_edition_has_its_own_word_for_a_thing_wherever_the_library_names_it(self, project):
        """Capitals stay, and no part of a longer word is touched."""
        change(project, "procedures/wheel-wobble.yml", HOLD, "do: Hold the wheel at a railroad.")
        file = project / WOBBLE
        written = re.sub(
            r"(?m)^local_rule:.*$", "local_rule: Railroad crews and railroaders win.", file.read_text()
        )
        file.write_text(written, encoding="utf-8")
        write_edition(project, "rules: plain\nwords:\n  - {here: railway, instead_of: railroad}\n")
        assert "Hold the wheel at a railway." == text_of(project)
        wobble = load_library(project, TODAY).procedure("wheel-wobble")
        assert "Railway crews and railroaders win." == wobble.local_rule

    def test_an_edition_of_another_rule_set_changes_nothing(self, project):
        write_edition(project, OWN.replace("rules: plain", "rules: other"), "other")
        assert "Hold the wheel with both hands." == text_of(project)

    def test_a_record_is_left_out_or_added(self, project):
        changes = (
            "rules: plain\nchanges:\n"
            "  - {at: procedures/wheel-wobble/by_heart/slow, leave_out: yes}\n"
            "  - at: procedures/wheel-wobble/by_heart\n"
            "    add: {id: look, do: Look in both mirrors., source: [practice]}\n"
        )
        write_edition(project, changes)
        lines = load_library(project, TODAY).procedure("wheel-wobble").by_heart
        assert ["hold", "look"] == [line.id for line in lines]

    def test_a_whole_file_is_left_out(self, project):
        write_edition(project, "rules: plain\nchanges:\n  - {at: scenes/straight, leave_out: yes}\n")
        library = load_library(project, TODAY)
        assert "straight" not in library.scenes
        assert library.scenes

    def test_a_passage_changes_wherever_it_is_used(self, project):
        change_of = (
            "rules: plain\nchanges:\n  - {at: shared/flashers, set: {why: The province asks for them.}}\n"
        )
        write_edition(project, change_of)
        library = load_library(project, TODAY)
        assert "The province asks for them." == library.procedure("wheel-wobble").blocks[0].steps[0].why

    @pytest.mark.parametrize(
        "at", ["procedures/wheel-wobble/by_heart/gone", "procedures/gone/by_heart", "shared/gone"]
    )
    def test_a_place_that_the_library_has_not_is_a_finding_in_the_edition(self, project, at):
        write_edition(project, f"rules: plain\nchanges:\n  - {{at: {at}, leave_out: yes}}\n")
        (found,) = (one for one in findings(project) if at in one)
        assert found.startswith("content/editions/plain.yml:3:10: the library has no")

    def test_a_change_does_one_thing(self, project):
        both = "  - {at: shared/flashers, set: {why: So.}, leave_out: yes}\n"
        write_edition(project, f"rules: plain\nchanges:\n{both}")
        assert any("write one of set, leave_out and add" in one for one in findings(project))

    def test_a_fault_in_an_edition_is_found_in_the_edition(self, project):
        write_edition(project, "rules: plain\nchanges:\n  - {at: shared/flashers, set: {do: ''}}\n")
        assert any(one.startswith("content/editions/plain.yml:3:") for one in findings(project))


class TestWas:
    """Each replaced text remembers the state that it was made from."""

    OWN = (
        "rules: plain\nchanges:\n"
        "  - at: procedures/wheel-wobble/by_heart/hold\n{was}    set: {{do: Hold on.}}\n"
    )

    def state(self, project, change):
        """The state that check asks to note for a change."""
        write_edition(project, change.format(was=""))
        (found,) = (one for one in findings(project) if "nothing says which state" in one)
        assert ": advice: " in found
        return re.search('add was: "([0-9a-f]{8})"', found)[1]

    def about_was(self, project):
        return [one for one in findings(project) if "has changed since" in one or "nothing says" in one]

    def test_a_change_without_it_is_reported_what_to_note_and_is_then_silent(self, project):
        state = self.state(project, self.OWN)
        write_edition(project, self.OWN.format(was=f'    was: "{state}"\n'))
        assert [] == self.about_was(project)
        assert "Hold on." == text_of(project)

    def test_when_the_original_changes_check_refuses_and_shows_it(self, project):
        state = self.state(project, self.OWN)
        write_edition(project, self.OWN.format(was=f'    was: "{state}"\n'))
        change(
            project, "procedures/wheel-wobble.yml", HOLD, "do: Hold the wheel with both hands, thumbs out."
        )
        (found,) = self.about_was(project)
        assert found.startswith("content/editions/plain.yml:4:10: ")
        assert f"was {state}, is " in found
        assert 'it is now "do: Hold the wheel with both hands, thumbs out."' in found
        assert inspect_project(project, TODAY).library is None

    def test_what_the_change_does_not_replace_may_change(self, project):
        state = self.state(project, self.OWN)
        write_edition(project, self.OWN.format(was=f'    was: "{state}"\n'))
        change(project, "procedures/wheel-wobble.yml", HOLD, f"{HOLD}\n    why: It pulls.")
        assert [] == self.about_was(project)

    @pytest.mark.parametrize("at", ["procedures/wheel-wobble/by_heart/slow", "scenes/straight"])
    def test_a_record_or_file_that_is_left_out_is_remembered_too(self, project, at):
        own = f"rules: plain\nchanges:\n  - at: {at}\n{{was}}    leave_out: yes\n"
        state = self.state(project, own)
        write_edition(project, own.format(was=f'    was: "{state}"\n'))
        assert [] == self.about_was(project)
        write_edition(project, own.format(was='    was: "00000000"\n'))
        (found,) = self.about_was(project)
        assert f"(was 00000000, is {state})" in found

    def test_an_added_record_replaces_nothing(self, project):
        own = 'rules: plain\nchanges:\n  - at: procedures/wheel-wobble/by_heart\n    was: "00000000"\n'
        write_edition(project, f"{own}    add: {{id: look, do: Look in both mirrors., source: [practice]}}\n")
        assert any("an added record replaces nothing" in one for one in findings(project))


def test_a_projects_own_edition_changes_the_library_and_hears_of_its_changes(tmp_path, monkeypatch):
    library, own = tmp_path / "library", tmp_path / "own"
    shutil.copytree(BASE, library)
    monkeypatch.setattr(layers_module, "library_root", lambda: library)
    (own / "content").mkdir(parents=True)
    (own / "content/fleet.yml").write_text("carrier: Harbor Lines\nrules: plain\n", encoding="utf-8")
    (own / "content/library.yml").write_text("leave_out: []\n", encoding="utf-8")
    write_edition(own, TestWas.OWN.format(was='    was: "00000000"\n'))
    (found,) = (one for one in findings(own) if "has changed since" in one)
    assert found.startswith("content/editions/plain.yml:4:10: ")
    state = re.search("is ([0-9a-f]{8})", found)[1]
    write_edition(own, TestWas.OWN.format(was=f'    was: "{state}"\n'))
    assert "Hold on." == text_of(own)


def test_no_driver_facing_file_of_the_library_names_an_emergency_number_itself():
    content = Path(PROJECT) / "content"
    files = [one for name in ("procedures", "lessons", "scenarios") for one in content.glob(f"{name}/*.yml")]
    files += [
        content / f"{name}.yml" for name in ("shared", "ways_out", "before_trip", "after_event", "glossary")
    ]
    for file in files:
        for number, line in enumerate(file.read_text(encoding="utf-8").splitlines(), 1):
            written = re.search(r"\b(?:911|112|999|000)\b", line) and not line.lstrip().startswith(
                ("#", "- id:")
            )
            assert not written or ",000" in line, f"{file.name}:{number}: {line}"

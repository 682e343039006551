"""A project's content over the library's: replaced, left out, merged and changed, and what is refused."""

import re
import shutil
from pathlib import Path

import pytest
from forty_paces.authoring import layers as layers_module
from forty_paces.authoring.edition import fingerprint
from forty_paces.authoring.findings import ContentFault
from forty_paces.authoring.layers import Layers, content_hash
from forty_paces.authoring.library import inspect_project, load_library
from forty_paces.authoring.texts import texts_by_id
from forty_paces.package import library_overrides, library_root

from tests.faults.projects import BASE, TODAY
from tests.rule_files import PROJECT

FLEET = "carrier: Harbor Lines\nrules: plain\n"


@pytest.fixture
def library(tmp_path, monkeypatch):
    """A library of two procedures, in a folder of its own that a test may change, as an upgrade would."""
    folder = tmp_path / "library"
    shutil.copytree(BASE, folder)
    monkeypatch.setattr(layers_module, "library_root", lambda: folder)
    return folder


@pytest.fixture
def project(tmp_path, library):
    folder = tmp_path / "own"
    write(folder, "fleet.yml", FLEET)
    write(folder, "library.yml", "leave_out: []\n")
    return folder


def write(project, name, text):
    file = project / "content" / name
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(text, encoding="utf-8")


def findings(project):
    return [str(finding) for finding in inspect_project(project, TODAY).findings]


def the_finding(project):
    (found,) = findings(project)
    return found


def texts_of(project, procedure):
    return texts_by_id(load_library(project, TODAY).procedure(procedure))


SCENARIO = """\
id: {id}
title: {title}
position: 1
version: "1.0"
effective: 2026-01-05
trip: during
minutes: 5
lines_of: [wheel-wobble]
story: The wheel begins to shake.
start: shake
moments:
  - id: shake
    meets: It shakes more.
    choices:
      - id: slow
        do: I slow down.
        best: yes
        then: It shakes less.
        to: stopped
        step: wheel-wobble/by_heart/slow/do
      - id: on
        do: I go on.
        then: It comes off.
        to: lost
        step: wheel-wobble/by_heart/slow/do
    why: Slower is gentler.
ends:
  - {id: stopped, outcome: safe, text: You stand.}
  - {id: lost, outcome: harm, text: It rolls off.}
"""
OWN_WOBBLE = (BASE / "content/procedures/wheel-wobble.yml").read_text(encoding="utf-8")


class TestLayers:
    def test_a_project_with_a_fleet_alone_has_everything_else_from_the_library(self, project):
        loaded = load_library(project, TODAY)
        assert ["wheel-wobble", "engine-smoke"] == [one.id for one in loaded.procedures]
        assert ("Harbor Lines", ["plain"]) == (loaded.fleet.carrier, list(loaded.rules))

    def test_the_fleet_never_comes_from_the_library(self, project, library):
        assert "Tanner Creek Haulage" in (library / "content/fleet.yml").read_text(encoding="utf-8")
        (project / "content/fleet.yml").unlink()
        assert "content/fleet.yml:1:1: this file is missing" in the_finding(project)

    def test_without_library_yml_a_project_stands_alone(self, project):
        (project / "content/library.yml").unlink()
        assert any("there is no procedure" in found for found in findings(project))
        assert Layers(project) == Layers.of(project)[0]

    def test_a_file_of_the_same_name_replaces_the_librarys(self, project):
        changed = OWN_WOBBLE.replace("Slow down gently.", "Slow down.")
        write(project, "procedures/wheel-wobble.yml", changed)
        assert "Slow down." == texts_of(project, "wheel-wobble")["wheel-wobble/by_heart/slow/do"]
        assert 2 == len(load_library(project, TODAY).procedures)

    def test_what_is_left_out_is_gone(self, project):
        write(project, "library.yml", "leave_out: [scenes/straight]\n")
        assert ["other-straight"] == list(load_library(project, TODAY).scenes)

    def test_scenarios_are_added_replaced_and_left_out(self, library, project):
        theirs = SCENARIO.replace("{id}", "late").replace("{title}", "Theirs")
        write(library, "scenarios/late.yml", theirs)
        write(library, "scenarios/early.yml", theirs.replace("id: late", "id: early"))
        assert ["early", "late"] == sorted(load_library(project, TODAY).scenarios)
        write(project, "scenarios/late.yml", theirs.replace("Theirs", "Ours"))
        write(project, "scenarios/own.yml", theirs.replace("id: late", "id: own"))
        write(project, "library.yml", "leave_out: [scenarios/early]\n")
        shown = load_library(project, TODAY).scenarios
        assert {"late": "Ours", "own": "Theirs"} == {one.id: one.title for one in shown.values()}

    def test_leaving_out_a_procedure_that_another_leads_to_is_a_finding_in_the_library(self, project):
        write(project, "library.yml", "leave_out: [procedures/wheel-wobble]\n")
        found = the_finding(project)
        assert found.startswith("library:content/procedures/engine-smoke.yml:")
        assert "in this project: see what content/library.yml changes here, or put a file of" in found

    def test_sources_glossary_and_passages_are_merged_entry_by_entry(self, project):
        write(
            project,
            "sources.yml",
            "sources:\n  - {id: yard-memo, title: Yard memo, kind: common-practice, basis: memory}\n"
            "  - {id: practice, title: Our practice, kind: common-practice, basis: memory}\n",
        )
        write(project, "glossary.yml", "abbreviations:\n  - {short: ZZ, long: zigzag}\n")
        flashers = "shared:\n  flashers:\n    id: flashers\n    do: Put the hazard flashers on.\n"
        write(
            project,
            "shared.yml",
            flashers + "    why: You are seen.\n    critical: yes\n    source: [yard-memo]\n",
        )
        loaded = load_library(project, TODAY)
        assert ["yard-memo", "practice", "road-rule"] == list(loaded.sources)
        assert "Our practice" == loaded.sources["practice"].title
        assert "ZZ" in {one.short for one in loaded.glossary.abbreviations}
        assert len(loaded.glossary.terms) > 0
        key = "engine-smoke/blocks/get-out/steps/flashers/do"
        assert "Put the hazard flashers on." == texts_of(project, "engine-smoke")[key]

    def test_a_fault_names_the_layer_that_it_is_in(self, project, library):
        write(library, "procedures/wheel-wobble.yml", OWN_WOBBLE.replace("tile: Wobble", "tile:"))
        assert the_finding(project).startswith("library:content/procedures/wheel-wobble.yml:3:6: ")
        write(project, "procedures/wheel-wobble.yml", OWN_WOBBLE.replace("tile: Wobble", "tile:"))
        assert any(
            found.startswith("content/procedures/wheel-wobble.yml:3:6: ") for found in findings(project)
        )

    def test_advice_about_the_library_is_not_the_carriers(self, project, library):
        write(library, "procedures/wheel-wobble.yml", OWN_WOBBLE.replace("Slow down gently.", "Slow down."))
        write(project, "library.yml", "leave_out: []\n")
        assert [] == findings(project)

    def test_the_edition_follows_from_both_layers(self, project, library):
        before = fingerprint(project)
        write(library, "procedures/wheel-wobble.yml", OWN_WOBBLE.replace("gently", "slowly"))
        upgraded = fingerprint(project)
        write(project, "library.yml", "leave_out: [scenes/straight]\n")
        assert 3 == len({before, upgraded, fingerprint(project)})

    def test_a_library_file_that_is_replaced_or_left_out_does_not_change_the_edition(self, project, library):
        write(project, "procedures/wheel-wobble.yml", OWN_WOBBLE)
        write(project, "library.yml", "leave_out: [scenes/straight]\n")
        before = fingerprint(project)
        write(library, "procedures/wheel-wobble.yml", "another")
        write(library, "scenes/straight.yml", "another")
        write(library, "fleet.yml", "another")
        assert before == fingerprint(project)


class TestReplacedFiles:
    def test_a_file_that_replaces_the_librarys_is_asked_for_the_state_it_was_made_from(
        self, project, library
    ):
        write(project, "procedures/wheel-wobble.yml", OWN_WOBBLE)
        now = content_hash(library / "content/procedures/wheel-wobble.yml")
        assert f'{{file: procedures/wheel-wobble, was: "{now}"}}' in the_finding(project)
        assert "advice: " in the_finding(project)

    def test_after_an_upgrade_check_says_that_the_original_has_changed(self, project, library):
        original = library / "content/procedures/wheel-wobble.yml"
        write(project, "procedures/wheel-wobble.yml", OWN_WOBBLE)
        was = content_hash(original)
        write(project, "library.yml", f"files:\n  - {{file: procedures/wheel-wobble, was: {was}}}\n")
        assert [] == findings(project)
        write(library, "procedures/wheel-wobble.yml", OWN_WOBBLE.replace("gently", "now"))
        found = the_finding(project)
        assert "content/library.yml:2:42: " in found
        assert f"(was {was}, is {content_hash(original)})" in found
        assert str(original) in found

    @pytest.mark.parametrize(
        ("name", "wanted"),
        [
            ("procedures/gone", 'the library has no file "content/procedures/gone.yml"'),
            ("procedures/engine-smoke", 'this project has no file "content/procedures/engine-smoke.yml"'),
            ("shared/flashers", 'only one of this project and the library has "shared/flashers"'),
        ],
    )
    def test_a_note_about_a_file_that_one_layer_lacks_is_a_finding(self, project, name, wanted):
        write(project, "library.yml", f'files:\n  - {{file: {name}, was: "01234567"}}\n')
        assert wanted in the_finding(project)


WAYS_OUT = """title: Way out
ways:
  - id: fire
    button: Fire
    heading: Something burns
    opens: [engine-smoke]
"""


@pytest.mark.parametrize(
    ("name", "entry", "before", "after"),
    [
        ("ways_out.yml", "ways_out", WAYS_OUT, WAYS_OUT.replace("burns", "smokes")),
        ("cards.md", "cards.md", "# Cards\n", "# Print cards\n"),
        (
            "shared.yml",
            "shared/flashers",
            (BASE / "content/shared.yml").read_text(encoding="utf-8"),
            (BASE / "content/shared.yml").read_text(encoding="utf-8").replace("Turn on", "Switch on"),
        ),
    ],
)
def test_lists_pages_and_single_entries_that_replace_the_librarys_are_followed_too(
    project, library, name, entry, before, after
):
    write(library, name, before)
    write(project, name, before)
    (found,) = [one for one in findings(project) if "replaces the library's" in one]
    assert "advice: " in found
    was = re.search(rf'\{{file: {entry}, was: "([0-9a-f]{{8}})"\}}', found)[1]
    write(project, "library.yml", f'files:\n  - {{file: {entry}, was: "{was}"}}\n')
    assert [] == [one for one in findings(project) if "library.yml" in one]
    write(library, name, after)
    (found,) = [one for one in findings(project) if "library.yml" in one]
    assert f'the library has changed "{entry}" since you replaced it (was {was}, is ' in found
    assert f"compare {library / 'content' / name}" in found


def test_the_layout_of_an_entry_may_change_without_a_finding(project, library):
    text = (BASE / "content/shared.yml").read_text(encoding="utf-8")
    write(project, "shared.yml", text)
    (found,) = findings(project)
    was = re.search(r'was: "([0-9a-f]{8})"', found)[1]
    write(project, "library.yml", f'files:\n  - {{file: shared/flashers, was: "{was}"}}\n')
    write(library, "shared.yml", f"# a comment\n{text}")
    assert [] == findings(project)


class TestVersions:
    """Which package a project was last checked with, and which is installed."""

    @pytest.fixture(autouse=True)
    def installed(self, monkeypatch):
        monkeypatch.setattr(layers_module, "generator_version", lambda: "1.10")

    @pytest.mark.parametrize(
        ("noted", "wanted"),
        [
            ("1.10", None),
            ("1.9", "advice: the library is now version 1.10, and this project was last checked with 1.9"),
            ("1.11", "last checked with version 1.11 of the library, and 1.10 is installed"),
            ("2.0", "last checked with version 2.0 of the library, and 1.10 is installed"),
            ("next", None),
        ],
    )
    def test_another_version_is_reported(self, project, noted, wanted):
        write(project, "library.yml", f'library_version: "{noted}"\n')
        found = findings(project)
        assert [] == found if wanted is None else wanted in found[0]
        assert ["advice: " in one for one in found] == ([] if wanted is None else [noted == "1.9"])

    def test_a_newer_project_with_an_older_package_is_reported_why_its_keys_are_unknown(self, project):
        write(project, "library.yml", 'library_version: "2.0"\nborrowed: []\n')
        found = findings(project)
        assert any('there is no key "borrowed" here' in one for one in found)
        assert any("fix: upgrade the package" in one for one in found)


TEXT = """texts:
  - at: wheel-wobble/by_heart/slow/do
    was: Slow down gently.
    text: {text}
    source: [practice]
"""


class TestReplacedTexts:
    def test_a_single_text_is_replaced_under_its_own_id(self, project):
        write(project, "library.yml", TEXT.format(text="Slow down."))
        texts = texts_of(project, "wheel-wobble")
        assert "Slow down." == texts["wheel-wobble/by_heart/slow/do"]
        assert "Hold the wheel with both hands." == texts["wheel-wobble/by_heart/hold/do"]

    def test_a_text_of_a_shared_passage_changes_in_that_procedure_alone(self, project):
        write(
            project,
            "library.yml",
            "texts:\n  - at: wheel-wobble/blocks/secure/steps/flashers/do\n"
            "    was: Turn on the hazard flashers.\n    text: Put the hazard flashers on.\n"
            "    source: [practice]\n",
        )
        loaded = load_library(project, TODAY)
        (step,) = loaded.procedure("wheel-wobble").blocks[0].steps
        assert ("Put the hazard flashers on.", ("practice",)) == (step.do, step.source)
        other = loaded.procedure("engine-smoke").blocks[0].steps[0]
        assert ("Turn on the hazard flashers.", ("road-rule",)) == (other.do, other.source)

    def test_what_is_wrong_with_it_is_found_in_library_yml(self, project):
        write(project, "library.yml", TEXT.format(text="The speed must be reduced."))
        assert any(found.startswith("content/library.yml:4:11: ") for found in findings(project))

    def test_after_an_upgrade_check_names_it_and_shows_both(self, project, library):
        write(project, "library.yml", TEXT.format(text="Slow down."))
        write(library, "procedures/wheel-wobble.yml", OWN_WOBBLE.replace("down gently", "down at once"))
        found = the_finding(project)
        assert found.startswith("content/library.yml:3:10: ")
        assert '"Slow down gently." is now "Slow down at once."' in found
        assert 'compare it with yours, "Slow down."; then write was: "Slow down at once."' in found
        with pytest.raises(ContentFault):
            load_library(project, TODAY)

    def test_an_upgrade_that_changes_three_texts_asks_about_the_replaced_one_alone(
        self, project, library, monkeypatch
    ):
        monkeypatch.setattr(layers_module, "generator_version", lambda: "1.0")
        changes = f'library_version: "1.0"\n{TEXT.format(text="Slow down.")}'
        write(project, "library.yml", changes)
        assert [] == findings(project)
        own = {file: file.read_bytes() for file in project.rglob("*") if file.is_file()}

        monkeypatch.setattr(layers_module, "generator_version", lambda: "1.1")
        upgraded = OWN_WOBBLE.replace("Slow down gently.", "Slow down without the brake.")
        upgraded = upgraded.replace("Hold the wheel with both hands.", "Hold the wheel tight.")
        upgraded = upgraded.replace("The steering wheel shakes.", "The steering wheel pulls.")
        write(library, "procedures/wheel-wobble.yml", upgraded)
        faults = [found for found in findings(project) if "advice: " not in found]
        assert len(faults) == 1
        assert '"Slow down gently." is now "Slow down without the brake."' in faults[0]
        advice = [found for found in findings(project) if "advice: " in found]
        assert ["the library is now version 1.1" in found for found in advice] == [True]
        assert own == {file: file.read_bytes() for file in project.rglob("*") if file.is_file()}

        looked = changes.replace('"1.0"', '"1.1"').replace("down gently.", "down without the brake.")
        write(project, "library.yml", looked)
        assert [] == findings(project)
        texts = texts_of(project, "wheel-wobble")
        assert "Slow down." == texts["wheel-wobble/by_heart/slow/do"]
        assert "Hold the wheel tight." == texts["wheel-wobble/by_heart/hold/do"]
        assert "The steering wheel pulls." == texts["wheel-wobble/cues/1"]

    def test_over_a_text_of_the_countrys_edition_the_projects_stands_and_was_is_the_editions(
        self, project, library
    ):
        edition = "changes:\n  - at: procedures/wheel-wobble/by_heart/slow\n    set: {do: Slow to a walk.}\n"
        write(library, "editions/plain.yml", f"rules: plain\n{edition}")
        assert "Slow to a walk." == texts_of(project, "wheel-wobble")["wheel-wobble/by_heart/slow/do"]
        write(project, "library.yml", TEXT.format(text="Slow down."))
        assert '"Slow down gently." is now "Slow to a walk."' in the_finding(project)
        write(project, "library.yml", TEXT.format(text="Slow down.").replace("down gently", "to a walk"))
        assert "Slow down." == texts_of(project, "wheel-wobble")["wheel-wobble/by_heart/slow/do"]

    def test_without_the_text_that_it_replaces_the_finding_gives_it(self, project):
        text = TEXT.format(text="Slow down.").replace("    was: Slow down gently.\n", "")
        write(project, "library.yml", text)
        assert 'add was: "Slow down gently."' in the_finding(project)

    def test_a_text_that_cites_sources_says_where_the_new_one_is_from(self, project):
        text = TEXT.format(text="Slow down.").replace("    source: [practice]\n", "")
        write(project, "library.yml", text)
        assert "cites sources, and your text cites none" in the_finding(project)

    def test_the_same_text_is_not_replaced_twice(self, project):
        text = TEXT.format(text="Slow down.")
        write(project, "library.yml", text + text.removeprefix("texts:\n"))
        assert "is replaced twice" in the_finding(project)
        assert "the other is at content/library.yml:2:9" in the_finding(project)

    def test_a_text_is_not_changed_in_a_file_that_the_project_replaces_whole(self, project, library):
        write(project, "procedures/wheel-wobble.yml", OWN_WOBBLE)
        now = content_hash(library / "content/procedures/wheel-wobble.yml")
        files = f"files:\n  - {{file: procedures/wheel-wobble, was: {now}}}\n"
        write(project, "library.yml", TEXT.format(text="Slow down.") + files)
        assert '"wheel-wobble" is replaced whole by content/procedures/wheel-wobble.yml' in the_finding(
            project
        )

    def test_a_text_whose_original_is_gone_is_a_finding(self, project):
        write(project, "library.yml", TEXT.format(text="Slow down.").replace("heart/slow", "heart/slo"))
        assert 'the library has no text "wheel-wobble/by_heart/slo/do" any more' in the_finding(project)
        assert "closest: wheel-wobble/by_heart/slow/do" in the_finding(project)

    def test_a_text_of_a_procedure_that_is_gone_or_left_out_is_a_finding(self, project):
        text = TEXT.format(text="Slow down.").replace("wheel-wobble", "wheel-lost")
        write(project, "library.yml", text)
        assert 'there is no procedure "wheel-lost" to change' in the_finding(project)

    def test_a_windows_path_is_reported(self, project):
        text = TEXT.format(text="Slow down.").replace(
            "wheel-wobble/by_heart/slow/do", r"wheel-wobble\by_heart"
        )
        write(project, "library.yml", text)
        assert "write the id with forward slashes" in the_finding(project)


STEP = """steps:
  - into: engine-smoke/blocks/get-out
    {place}
    step:
      id: take-papers
      do: Take the papers.
      why: The crew asks for them.
      source: [practice]
"""


class TestAddedSteps:
    @pytest.mark.parametrize(
        ("place", "order"),
        [
            ("after: engine-off", ["flashers", "engine-off", "take-papers", "walk-away"]),
            ("before: walk-away", ["flashers", "engine-off", "take-papers", "walk-away"]),
            ("", ["flashers", "engine-off", "walk-away", "take-papers"]),
        ],
    )
    def test_a_step_stands_where_it_is_wanted(self, project, place, order):
        write(project, "library.yml", STEP.format(place=place))
        (block,) = load_library(project, TODAY).procedure("engine-smoke").blocks
        assert order == [step.id for step in block.steps]

    def test_an_added_step_is_checked_as_any_other(self, project):
        write(project, "library.yml", STEP.format(place="").replace("take-papers", "walk-away"))
        assert any('content/library.yml:5:11: the id "walk-away"' in found for found in findings(project))

    @pytest.mark.parametrize(
        ("place", "into", "wanted"),
        [
            ("after: engine-of", "engine-smoke/blocks/get-out", 'the block has no step "engine-of"'),
            ("", "engine-smoke/blocks/get-in", 'the library has no block "engine-smoke/blocks/get-in"'),
            ("", "engine-smoke", 'the library has no block "engine-smoke"'),
        ],
    )
    def test_a_place_that_is_not_there_is_a_finding(self, project, place, into, wanted):
        text = STEP.format(place=place).replace("engine-smoke/blocks/get-out", into)
        write(project, "library.yml", text)
        assert wanted in the_finding(project)

    def test_a_step_has_one_place(self, project):
        text = STEP.format(place="after: engine-off\n    before: walk-away")
        write(project, "library.yml", text)
        assert "stands both after and before another" in the_finding(project)


SIGNED = OWN_WOBBLE.replace(
    "  author: The tests\n",
    "  author: The tests\n  technical: {name: A. Reader, day: 2026-01-05}\n",
)
REVIEW = """reviews:
  - procedure: wheel-wobble
    version: "{version}"
    safety_lead: {{name: B. Lead, day: 2026-02-01}}
"""


class TestReviews:
    def test_a_changed_procedure_loses_the_signatures_of_the_library(self, project, library):
        """Nobody has reviewed it as it now is."""
        write(library, "procedures/wheel-wobble.yml", SIGNED)
        assert load_library(project, TODAY).procedure("wheel-wobble").review.technical is not None
        write(project, "library.yml", TEXT.format(text="Slow down."))
        review = load_library(project, TODAY).procedure("wheel-wobble").review
        assert (None, "The tests") == (review.technical, review.author)

    def test_the_carriers_people_sign_a_library_procedure_in_library_yml(self, project):
        write(project, "library.yml", REVIEW.format(version="1.0"))
        review = load_library(project, TODAY).procedure("wheel-wobble").review
        assert "B. Lead" == review.safety_lead.name

    def test_a_signature_under_another_version_does_not_count(self, project):
        write(project, "library.yml", REVIEW.format(version="0.9"))
        assert load_library(project, TODAY).procedure("wheel-wobble").review.safety_lead is None
        assert 'version 0.9 of "wheel-wobble" was signed, and the library now has 1.0' in the_finding(project)


class TestBadInput:
    @pytest.mark.parametrize(
        ("entry", "wanted"),
        [
            (r"scenes\straight", "write it with forward slashes: scenes/straight"),
            ("scenes/strait", "closest: scenes/straight"),
            ("fleet", 'the library has no "fleet" that could be left out'),
            ("sources", 'the library has no "sources" that could be left out'),
            ("../own", 'the library has no "../own" that could be left out'),
        ],
    )
    def test_a_wrong_name_to_leave_out_is_a_finding(self, project, entry, wanted):
        write(project, "library.yml", f"leave_out: ['{entry}']\n")
        assert wanted in the_finding(project)

    def test_a_name_is_left_out_once(self, project):
        write(project, "library.yml", "leave_out: [scenes/straight, scenes/straight]\n")
        assert '"scenes/straight" is left out twice' in the_finding(project)

    def test_a_file_is_left_out_or_replaced_but_not_both(self, project):
        write(
            project, "scenes/straight.yml", (BASE / "content/scenes/straight.yml").read_text(encoding="utf-8")
        )
        write(project, "library.yml", "leave_out: [scenes/straight]\n")
        assert any(
            "is left out here, and content/scenes/straight.yml replaces it" in one
            for one in findings(project)
        )

    def test_a_broken_library_yml_is_a_finding_and_not_a_project_without_a_library(self, project):
        write(project, "library.yml", "leave_ot: []\n")
        assert 'there is no key "leave_ot" here' in the_finding(project)

    def test_the_library_does_not_lie_over_itself(self, library):
        write(library, "library.yml", "leave_out: []\n")
        assert any("this project is the library itself" in found for found in findings(library))

    def test_a_project_inside_the_content_is_a_finding(self, project):
        (project / "content/yard/content").mkdir(parents=True)
        write(project, "yard/mkdocs.yml", "plugins: [forty-paces]\n")
        assert any(
            "content/yard/mkdocs.yml:1:1: a project stands inside this project's content" in found
            for found in findings(project)
        )

    def test_links_out_of_the_content_are_findings_and_links_within_are_not(self, project, tmp_path):
        write(project, "one.md", "# One\n")
        (project / "content/two.md").symlink_to("one.md")
        assert [] == findings(project)
        (tmp_path / "outside.md").write_text("# Outside\n", encoding="utf-8")
        (project / "content/three.md").symlink_to(tmp_path / "outside.md")
        assert "content/three.md:1:1: this is a symbolic link to a file outside" in the_finding(project)

    def test_a_linked_folder_is_a_finding_because_the_edition_would_not_follow_it(self, project, tmp_path):
        shutil.copytree(BASE / "content/scenes", tmp_path / "scenes")
        (project / "content/scenes").symlink_to(tmp_path / "scenes", target_is_directory=True)
        assert any("content/scenes:1:1: this folder is a symbolic link" in one for one in findings(project))

    def test_a_library_that_cannot_be_written_is_enough(self, project, library):
        files = {file: file.read_bytes() for file in library.rglob("*") if file.is_file()}
        for entry in library.rglob("*"):
            entry.chmod(0o555 if entry.is_dir() else 0o444)
        assert [] == findings(project)
        assert files == {file: file.read_bytes() for file in library.rglob("*") if file.is_file()}

    def test_a_folder_may_have_spaces_and_any_letters(self, project, tmp_path):
        moved = tmp_path / "Ridge & Río ñ 道"
        project.rename(moved)
        assert [] == findings(moved)
        assert "Harbor Lines" == load_library(moved, TODAY).fleet.carrier


class TestWhereTheLibraryIs:
    def test_in_a_checkout_it_is_the_checkout(self):
        assert (PROJECT, PROJECT / "site_overrides") == (library_root(), library_overrides())

    def test_in_an_installed_package_it_is_in_the_package(self, tmp_path):
        package = tmp_path / "site-packages/forty_paces"
        (package / "library/content").mkdir(parents=True)
        assert package / "library" == library_root(package)

    def test_the_working_folder_does_not_matter(self, tmp_path, monkeypatch):
        (tmp_path / "library").mkdir()
        monkeypatch.chdir(tmp_path)
        assert PROJECT == library_root()

    def test_only_the_demo_carriers_files_name_it(self):
        """content/ without fleet.yml is the library: it may name nobody's carrier."""
        for file in sorted((PROJECT / "content").rglob("*.*")):
            if file != PROJECT / "content/fleet.yml":
                text = file.read_text(encoding="utf-8")
                assert [] == [name for name in ("Larkspur", "Brandvold", "LBF", "555-0") if name in text], (
                    file
                )


def test_pages_in_prose_come_from_the_library_unless_replaced(tmp_path):
    write(tmp_path, "library.yml", "leave_out: [cards.md, make-it-yours.md]\n")
    write(tmp_path, "tablets.md", "# Ours\n")
    assert [] == [page.path for page in Layers.of(tmp_path)[0].pages()]
    write(tmp_path, "library.yml", "leave_out: []\n")
    listed = [page.path for page in Layers.of(tmp_path)[0].pages()]
    assert ["content/cards.md", "content/make-it-yours.md"] == listed
    assert PROJECT / "content/cards.md" == Path(Layers.of(tmp_path)[0].pages()[0].file)

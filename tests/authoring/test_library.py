"""The library: a fixed order, frozen records, one edition for the same files."""

import dataclasses
import datetime as dt
import shutil

import pydantic
import pytest
from forty_paces.authoring.edition import Edition, edition_of, fingerprint
from forty_paces.authoring.findings import ContentFault
from forty_paces.authoring.library import inspect_project, load_library
from forty_paces.authoring.models.procedure import Group

from tests.faults.projects import BASE, TODAY, project_with

SMOKE = "content/procedures/engine-smoke.yml"


@pytest.fixture
def project(tmp_path):
    return project_with(tmp_path, SMOKE, (BASE / SMOKE).read_bytes())


def test_rolling_comes_first_then_stopped_each_by_position(library):
    order = [(one.group is Group.STOPPED, one.position) for one in library.procedures]
    assert sorted(order) == order
    assert len(set(order)) == len(order)


def test_records_and_mappings_cannot_be_changed():
    library = load_library(BASE, TODAY)
    with pytest.raises(dataclasses.FrozenInstanceError):
        library.procedures = ()
    with pytest.raises(pydantic.ValidationError):
        library.procedures[0].title = "Other"
    for mapping in (library.rules, library.scenes, library.lessons, library.sources, library.documents):
        with pytest.raises(TypeError):
            mapping["x"] = None


def test_a_fault_raises_one_exception_that_carries_all_findings(project):
    text = (BASE / SMOKE).read_text()
    broken = text.replace("group: stopped", "group: standing").replace("position: 1", "position: 400")
    (project / SMOKE).write_text(broken)
    with pytest.raises(ContentFault) as caught:
        load_library(project, TODAY)
    assert 2 == len(caught.value.findings)
    assert str(caught.value).endswith("2 findings; nothing was written.")


def test_advice_stops_nothing(project):
    text = (BASE / SMOKE).read_text()
    (project / SMOKE).write_text(text.replace("next_review: 2027-01-05", "next_review: 2026-04-01"))
    assert [finding.advice for finding in inspect_project(project, TODAY).findings] == [True]
    assert load_library(project, TODAY).procedure("engine-smoke") is not None


def test_a_carrier_with_nothing_but_a_name_loads(project):
    """A new carrier: no phones, no vehicles, no glossary, no scenes."""
    shutil.rmtree(project / "content/scenes")
    (project / "content/glossary.yml").unlink()
    (project / "content/fleet.yml").write_text("carrier: Quillback Freight\nrules: plain\n")
    library = load_library(project, TODAY)
    assert "Quillback Freight" == library.fleet.carrier
    assert () == library.fleet.vehicles == library.fleet.phones == library.fleet.policies
    assert {} == library.scenes == library.lessons
    assert () == library.glossary.terms


def test_the_real_procedures_load_under_another_carriers_name(tmp_path, library):
    """The content depends on nothing of the demo carrier, so that another carrier can use all of it."""
    from tests.conftest import newest_day
    from tests.projects import PROJECT

    shutil.copytree(PROJECT / "content", tmp_path / "content")
    (tmp_path / "content/fleet.yml").write_text("carrier: Quillback Freight\n")
    inspection = inspect_project(tmp_path, newest_day(library))
    assert () == inspection.faults
    assert "Quillback Freight" == inspection.library.fleet.carrier


def test_reviews_are_counted_from_the_given_day(project):
    last = dt.date(2027, 1, 5)
    assert not inspect_project(project, last).faults
    late = inspect_project(project, last + dt.timedelta(days=1))
    assert {"review-date"} == {fault.rule for fault in late.faults}
    assert late.library is None
    assert late.under_review is not None


def test_without_a_given_day_the_one_of_the_source_date_counts(project, monkeypatch):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1772323200")  # 2026-03-01
    assert load_library(project).edition.date == dt.date(2026, 3, 1)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1830000000")  # 2027-12-28
    assert {"review-date"} == {fault.rule for fault in inspect_project(project).faults}


def test_unknown_pictograms_are_reported_where_the_known_ones_are_given(project):
    assert not inspect_project(project, TODAY).faults
    (fault,) = inspect_project(project, TODAY, ["engine-fires", "tire-front"]).faults
    assert str(fault) == (
        f'{SMOKE}:4:9: there is no pictogram "engine-fire"\n'
        '    in:   procedure "engine-smoke" > symbol\n'
        "    fix: name one of: engine-fires, tire-front (closest: engine-fires)"
    )


def test_the_edition_follows_from_the_files_alone(project, tmp_path):
    copy = tmp_path / "elsewhere"
    shutil.copytree(project, copy)
    assert fingerprint(project) == fingerprint(copy)
    assert 8 == len(load_library(project, TODAY).edition.id)
    before = fingerprint(project)
    with (project / SMOKE).open("a") as file:
        file.write("# a word\n")
    assert before != fingerprint(project)


def test_line_ends_hidden_files_and_the_clock_leave_the_edition_as_it_is(project):
    before = fingerprint(project)
    (project / SMOKE).write_bytes((project / SMOKE).read_bytes().replace(b"\n", b"\r\n"))
    (project / "content/.engine-smoke.yml.swp").write_text("x")
    assert before == fingerprint(project)


def test_templates_and_pictures_belong_to_the_edition(project):
    before = fingerprint(project)
    (project / "site_overrides").mkdir()
    (project / "site_overrides/site.css").write_text("a{}")
    assert before != fingerprint(project)


def test_moving_text_from_one_file_to_another_changes_the_edition(project):
    (project / "content/a.md").write_text("xy")
    (project / "content/b.md").write_text("z")
    before = fingerprint(project)
    (project / "content/a.md").write_text("x")
    (project / "content/b.md").write_text("yz")
    assert before != fingerprint(project)


def test_the_editions_date_is_the_carriers_else_the_newest_in_force(project, monkeypatch):
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    library = load_library(project, TODAY)
    assert dt.date(2026, 1, 5) == library.edition.date
    dated = library.fleet.model_copy(update={"edition_date": dt.date(2026, 2, 2)})
    assert dt.date(2026, 2, 2) == edition_of(project, dated, library.procedures).date
    assert Edition(library.edition.id, dt.date(1970, 1, 1)) == edition_of(project, None, ())


def test_shared_passages_keep_their_own_places():
    library = load_library(BASE, TODAY)
    document = library.documents[SMOKE]
    place = document.place(("blocks", 0, "steps", 0, "do"))
    assert ("content/shared.yml", 4, 9) == (place.path, place.line, place.column)


def test_the_real_content_has_no_fault(library):
    assert 43 == len(library.procedures)

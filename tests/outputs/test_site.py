"""The edition as a whole: every page can be reached, and what only the build reads stays out."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from forty_paces.authoring.library import Library
from forty_paces.outputs import site
from forty_paces.outputs.cards import print_run as cards
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.families import families

PROJECT = Path(__file__).resolve().parents[2]


def targets(entries: Any) -> list[str]:
    """Every page that a navigation leads to, in order."""
    if isinstance(entries, str):
        return [entries]
    if isinstance(entries, dict):
        return [page for inner in entries.values() for page in targets(inner)]
    return [page for entry in entries for page in targets(entry)]


@pytest.fixture(scope="module")
def every_page(library: Library) -> list[str]:
    """All pages that the navigation could name."""
    anything = type("Anything", (set,), {"__contains__": lambda self, page: True})()
    return targets(site.navigation(library, anything))


def test_the_navigation_names_no_page_twice(every_page: list[str]) -> None:
    assert sorted(set(every_page)) == sorted(every_page)


def test_the_navigation_leads_to_every_procedure(library: Library, every_page: list[str]) -> None:
    assert {f"procedures/{one.id}.md" for one in library.procedures} <= set(every_page)


def test_a_page_that_is_not_there_is_not_named_and_empty_groups_fall_away(library: Library) -> None:
    there = {"index.md", "about.md"}
    assert [{"Start": "index.md"}, {"About": ["about.md"]}] == site.navigation(library, there)


def test_a_library_too_large_to_name_on_every_page_is_reached_from_the_start_page(library: Library) -> None:
    first = library.procedures[0]
    many = [first.model_copy(update={"id": f"copy-{n}", "title": f"Copy {n}"}) for n in range(site.LISTED)]
    every = {f"procedures/{one.id}.md" for one in many} | {"index.md"}
    listed = targets(site.navigation(replace(library, procedures=tuple(many)), every))
    assert every == set(listed)
    more = (*many, first)
    assert ["index.md"] == targets(site.navigation(replace(library, procedures=more), every))
    start = next(
        iter(site.PAGES[0](BuildContext(replace(library, procedures=more), PROJECT / "site_overrides")))
    )
    assert all(f"procedures/{one.id}.html" in str(start.content) for one in more)


def test_the_navigation_groups_the_procedures_by_family_in_the_order_of_the_start_screen(
    library: Library,
) -> None:
    pages = {f"procedures/{one.id}.md" for one in library.procedures}
    ((emergencies,),) = [entry.values() for entry in site.navigation(library, pages)]
    wanted = [
        (one.title, [f"procedures/{p.id}.md" for p in one.procedures]) for one in families(library.procedures)
    ]
    assert wanted == [(title, targets(inner)) for entry in emergencies for title, inner in entry.items()]


def test_titles_cannot_become_markup_in_the_navigation(library: Library) -> None:
    first = library.procedures[0].model_copy(update={"title": "<img src=x> & more"})
    page = f"procedures/{first.id}.md"
    (group,) = site.navigation(replace(library, procedures=(first,)), {page})
    ((family,),) = group.values()
    assert [[{"&lt;img src=x&gt; &amp; more": page}]] == list(family.values())


def test_with_and_without_cards_the_page_of_cards_is_there(library: Library) -> None:
    context = BuildContext(library, PROJECT / "site_overrides")
    assert (
        cards.artifacts.__code__ is site.output_builders()[-1](context).gi_code
    )  # not run: it takes a minute
    (page,) = site.output_builders(with_cards=False)[-1](context)
    assert "cards/index.md" == page.path
    assert "was built without its cards" in str(page.content)


@pytest.mark.parametrize(
    ("path", "expected"),
    [
        ("templates/pages/start.md.j2", True),
        ("assets/js/cab/walk.js", True),
        ("assets/css/cab.css", True),
        ("main.html.j2", True),
        ("assets/css/site.css", False),
        ("assets/js/site.js", False),
        ("procedures/fog.md", False),
    ],
)
def test_what_is_sealed_into_others_is_no_file_of_the_site(path: str, expected: bool) -> None:
    assert site.is_build_only(path) is expected


def test_files_named_as_sealed_exist() -> None:
    """A name that has moved away would quietly put a file into every edition."""
    overrides = PROJECT / "site_overrides"
    assert [name for name in sorted(site.SEALED_FILES) if not (overrides / name).is_file()] == []
    assert [name for name in site.SEALED_FOLDERS if not (overrides / name).is_dir()] == []


@pytest.mark.parametrize("there", [True, False])
def test_the_pictures_of_the_guide_for_carriers_go_where_the_guide_is(tmp_path: Path, there: bool) -> None:
    picture = tmp_path / "assets/pictures/yours-cab.png"
    picture.parent.mkdir(parents=True)
    picture.write_bytes(b"x")
    if there:
        (tmp_path / "make-it-yours.html").write_text("x", encoding="utf-8")
    site.remove_unused_theme_files(tmp_path)
    assert there == picture.exists()


def test_trimming_takes_source_maps_and_search_languages_away_and_nothing_else(tmp_path: Path) -> None:
    kept = ("assets/javascripts/bundle.js", "assets/stylesheets/main.css", "index.html")
    taken = ("assets/javascripts/bundle.js.map", "assets/javascripts/lunr/de.js", "assets/images/favicon.png")
    for path in (*kept, *taken):
        (tmp_path / path).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / path).write_text("x", encoding="utf-8")
    site.remove_unused_theme_files(tmp_path)
    left = {file.relative_to(tmp_path).as_posix() for file in tmp_path.rglob("*") if file.is_file()}
    assert left == set(kept)

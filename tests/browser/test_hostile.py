"""Content that attacks, on every page of a whole site in a real browser: it stays text.

Every text field of procedures, fleet, rules, sources, glossary, lists, lessons and scenes has the same
payload: script, broken-out attributes and elements, links that run script, template and Markdown syntax,
direction and zero-width characters, a very long word. Ids and numbers cannot have it: their form is checked
on loading.
"""

from __future__ import annotations

import dataclasses
import json
import shutil
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from types import MappingProxyType
from typing import Any

import forty_paces.plugin
import pytest
from forty_paces.authoring.library import Library
from forty_paces.drawing.formats import Size
from forty_paces.drawing.profile import draw_profile, shows_crest
from forty_paces.drawing.scene_plan import draw_scene
from forty_paces.drawing.svg import standalone
from forty_paces.geometry.solver import place_in_scene
from forty_paces.outputs.cards.card_set import try_set
from forty_paces.outputs.cards.documents import faces_document
from forty_paces.outputs.classroom import placing_tasks, sight_table
from forty_paces.outputs.common.context import BuildContext
from playwright.sync_api import Browser, BrowserContext, Page
from pydantic import BaseModel

from tests.browsers import settle
from tests.outputs.hostile import HOSTILE, poisoned
from tests.projects import PROJECT
from tests.soaking import SOAK, sample

pytestmark = pytest.mark.browser

LONG = "Long" * 60
PAYLOAD = (
    HOSTILE
    + " [go](javascript:window.hacked=1) ![see](http://picture.invalid/p.png) <http://link.invalid>"
    + "</style><style>body{display:none}</style><svg onload=window.hacked=1><iframe srcdoc='x'>"
    + " `{#` {{config}} {:.hacked} **bold** _slant_ # head\u202etfel\u2066\u200b\ufeff\u2069 "
    + LONG
)
SHORT = '"><script>window.hacked=1</script><img src=x onerror=window.hacked=1>'
"""For cards, which refuse what does not fit."""

WATCH = """
window.violations = [];
document.addEventListener("securitypolicyviolation", (event) => {
  window.violations.push(event.violatedDirective + " " + event.blockedURI);
});
"""

FACTS = """() => ({
  hacked: window.hacked ?? null,
  violations: window.violations,
  live: COUNT_LIVE,
  article: document.querySelector("article")?.textContent ?? "",
  navigation: document.querySelector("nav")?.textContent ?? "",
  title: document.title,
  display: getComputedStyle(document.body ?? document.documentElement).display,
  wider: document.documentElement.scrollWidth - document.documentElement.clientWidth,
})"""
"""What is looked at on every page."""

LIVE = "script, style, img, iframe, object, embed, base, form, [onload], [onerror], [onclick], [srcdoc]"
FACTS = FACTS.replace("COUNT_LIVE", f"document.querySelectorAll('{LIVE}').length")

WHOLE_PAYLOAD = (
    "index.html",
    "procedures/tire-fire.html",
    "before-trip.html",
    "after-event.html",
    "glossary.html",
    "sources.html",
    "placing/rule-sets.html",
    "placing/roads/quarry-bend.html",
)
"""Pages that show texts of every kind of content."""
AS_HARMLESS = ("index.html", "procedures/tire-fire.html", "glossary.html", "sources.html", "about.html")
NARROW = ("procedures/tire-fire.html", "glossary.html", "before-trip.html")


class Visit:
    """One context whose pages report everything that must not happen."""

    def __init__(self, context: BrowserContext) -> None:
        self.page = context.new_page()
        self.wrong: list[str] = []
        self.asked: list[str] = []
        self.page.add_init_script(WATCH)
        self.page.on(
            "dialog", lambda dialog: (self.wrong.append(f"dialog {dialog.message}"), dialog.dismiss())
        )
        self.page.on("pageerror", lambda error: self.wrong.append(f"{self.page.url}: {error}"))
        self.page.on("request", lambda request: self.asked.append(request.url))

    def open(self, where: Path) -> Page:
        self.page.goto(where.as_uri())
        self.look()
        return self.page

    def look(self) -> dict[str, Any]:
        found: dict[str, Any] = self.page.evaluate(FACTS)
        if found["hacked"] is not None:
            self.wrong.append(f"{self.page.url}: a script ran")
        self.wrong += [f"{self.page.url}: {shown_text}" for shown_text in found["violations"]]
        return found

    def strangers(self, folder: Path) -> list[str]:
        """Every requested address that is no file of the folder."""
        inside = [url for url in self.asked if url.startswith(folder.as_uri())]
        names = {url.split("#")[0].split("?")[0] for url in inside}
        missing = [url for url in names if not Path(url.removeprefix("file://")).is_file()]
        return missing + [
            url for url in self.asked if not url.startswith((folder.as_uri(), "data:", "blob:"))
        ]


def named(value: object, known: Iterable[str]) -> Iterator[str]:
    """Every one of the known ids that a record holds, at any depth."""
    if isinstance(value, BaseModel):
        value = [getattr(value, field) for field in type(value).model_fields]
    if isinstance(value, tuple | list):
        for one in value:
            yield from named(one, known)
    elif isinstance(value, str) and value in known:
        yield value


def one_of_each(library: Library) -> Library:
    """One lesson, two scenarios, two rule sets, and the procedures and scenes to which they lead.

    Other lessons and procedures differ by nothing but the text before the payload.
    """
    lessons = {name: one for name, one in library.lessons.items() if name == "devices"}
    scenarios = dict(list(library.scenarios.items())[:2])
    begun = [tuple(lessons.values()), tuple(scenarios.values()), library.ways_out, library.after_event]
    every = {procedure.id: procedure for procedure in library.procedures}
    kept: set[str] = set()
    wanted = {"tire-fire", *(name for part in begun for name in named(part, every))}
    while wanted - kept:
        kept |= wanted
        wanted = {name for one in kept for name in named(every[one], every)}
    scenes = {"quarry-bend", *(name for part in begun for name in named(part, library.scenes))}
    return dataclasses.replace(
        library,
        procedures=tuple(procedure for name, procedure in every.items() if name in kept),
        lessons=MappingProxyType(lessons),
        scenarios=MappingProxyType(scenarios),
        scenes=MappingProxyType({name: one for name, one in library.scenes.items() if name in scenes}),
        rules=MappingProxyType({name: library.rules[name] for name in ("us", "ontario")}),
    )


@pytest.fixture(scope="module")
def site(library: Library, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The site of the poisoned library, without cards; the whole of it in `make soak`."""
    folder = tmp_path_factory.mktemp("hostile")
    shutil.copytree(PROJECT / "content", folder / "content")
    shutil.copy(PROJECT / "mkdocs.yml", folder)
    (folder / "site_overrides").symlink_to(PROJECT / "site_overrides", target_is_directory=True)
    attacked = poisoned(library if SOAK else one_of_each(library), PAYLOAD)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(forty_paces.plugin, "load_library", lambda *_, **__: attacked)
        if not SOAK:  # tables of the classroom hold numbers: fewer of them have the same texts
            for axis in ("RADII", "OFFSETS", "CURVES"):
                few = {unit: values[:2] for unit, values in getattr(sight_table, axis).items()}
                patch.setattr(sight_table, axis, few)
            patch.setattr(sight_table, "GRADES_PCT", sight_table.GRADES_PCT[:2])
            patch.setattr(placing_tasks, "SPEED_STEPS_MPH", (0,))
        return forty_paces.plugin.build_site(folder, cards=False)


@pytest.fixture
def visit(new_context: Callable[..., BrowserContext]) -> Visit:
    return Visit(new_context())


@dataclasses.dataclass(frozen=True)
class Walk:
    """Pages opened one after the other in a narrow window, and what was looked at on each."""

    visit: Visit
    pages: dict[str, dict[str, Any]]


@pytest.fixture(scope="module")
def walked(site: Path, chromium: Browser) -> Iterator[Walk]:
    pages = sorted(path for path in site.rglob("*.html") if path.name != "404.html")
    assert len(pages) > 60
    wanted = {*sample(pages, 15), *(site / name for name in (*WHOLE_PAYLOAD, *AS_HARMLESS, *NARROW))}
    context = chromium.new_context(viewport={"width": 390, "height": 800})
    yield walk_through(context, site, sorted(wanted))
    context.close()


def walk_through(context: BrowserContext, site: Path, pages: Iterable[Path]) -> Walk:
    visit, found = Visit(context), {}
    for path in pages:
        visit.page.goto(path.as_uri())
        found[path.relative_to(site).as_posix()] = visit.look()
    return Walk(visit, found)


@pytest.mark.soak
def test_no_page_of_the_site_runs_or_asks_for_anything(site: Path, walked: Walk) -> None:
    assert len(walked.pages) > 20
    assert [] == walked.visit.wrong
    assert [] == walked.visit.strangers(site)


def test_a_page_has_no_more_live_elements_than_a_harmless_one(
    built_site: Path, walked: Walk, new_context: Callable[..., BrowserContext]
) -> None:
    harmless = walk_through(new_context(), built_site, [built_site / name for name in AS_HARMLESS]).pages
    live = {name: found["live"] for name, found in harmless.items()}
    assert live == {name: walked.pages[name]["live"] for name in AS_HARMLESS}
    assert all(count > 0 for count in live.values())


def test_the_payload_stands_there_to_the_letter(walked: Walk) -> None:
    payload = " ".join(PAYLOAD.split())
    shown = {name: " ".join(walked.pages[name]["article"].split()) for name in WHOLE_PAYLOAD}
    assert [] == [name for name, text in shown.items() if payload not in text]
    assert [] == [name for name, found in walked.pages.items() if found["display"] == "none"]


def test_the_title_and_the_navigation_show_it_too(walked: Walk) -> None:
    found = walked.pages["procedures/tire-fire.html"]
    assert "<script>window.hacked=1</script>" in found["title"]
    assert "<script>window.hacked=1</script>" in found["navigation"]


def test_a_very_long_word_breaks_rather_than_pushing_the_page_wide(walked: Walk) -> None:
    assert {} == {name: walked.pages[name]["wider"] for name in NARROW if walked.pages[name]["wider"] > 0}


def test_search_finds_it_and_shows_it_as_text(site: Path, visit: Visit, tmp_path: Path) -> None:
    """In an index of 40 places: that of the whole site takes a browser long, with so many words of markup."""
    for folder in ("assets", "search"):
        shutil.copytree(site / folder, tmp_path / folder)
    shutil.copy(site / "index.html", tmp_path)
    index = json.loads((site / "search/search_index.json").read_text(encoding="utf-8"))
    index["docs"] = sample(index["docs"], 40)
    script = f"var __index = {json.dumps(index)}"
    (tmp_path / "search/search_index.js").write_text(script, encoding="utf-8")
    page = visit.open(tmp_path / "index.html")
    page.click(".md-search__input")
    page.keyboard.type("onerror")
    page.wait_for_selector(".md-search-result__item")
    settle(page)
    visit.look()
    assert (
        page.evaluate("document.querySelectorAll('.md-search-result script, .md-search-result img').length")
        == 0
    )
    assert [] == visit.wrong
    assert [] == visit.strangers(tmp_path)


def test_the_cab_file_goes_through_its_screens(site: Path, visit: Visit) -> None:
    page = visit.open(site / "cab.html")
    for screen in (
        "tire-fire",
        "tire-fire/1",
        "tire-fire/list",
        "find",
        "clock",
        "record",
        "phones",
        "index",
    ):
        page.evaluate("(hash) => { location.hash = hash; }", "#" + screen)
        visit.look()
    assert " ".join(HOSTILE.split()) in " ".join(page.evaluate("document.body.textContent").split())
    assert [] == visit.wrong
    assert [] == visit.strangers(site)


def test_no_drawing_runs_anything_when_it_is_opened_by_itself(
    library: Library, visit: Visit, tmp_path: Path
) -> None:
    attacked = poisoned(library, SHORT)
    rules = attacked.rules["us"].rule_set
    for scene in attacked.scenes.values():
        solved = place_in_scene(rules, scene)
        (tmp_path / f"{scene.id}.svg").write_text(
            standalone(draw_scene(solved, rules, prefix="plan", size=Size.WIDE)), encoding="utf-8"
        )
        if shows_crest(solved):
            (tmp_path / f"{scene.id}-profile.svg").write_text(
                standalone(draw_profile(solved, rules, prefix="profile", size=Size.WIDE)), encoding="utf-8"
            )
    drawings = sorted(tmp_path.glob("*.svg"))
    assert len(drawings) >= 19
    shown = {
        drawing.name: visit.open(drawing).evaluate(
            """() => [document.querySelectorAll('script, img, image, foreignObject').length,
              document.documentElement.textContent]"""
        )
        for drawing in drawings
    }
    assert {} == {name: count for name, (count, _) in shown.items() if count}
    assert any("<script>" in text for _, text in shown.values())
    assert [] == visit.wrong
    assert [] == visit.strangers(tmp_path)


def test_no_card_runs_anything(library: Library, visit: Visit, tmp_path: Path) -> None:
    """Cards are never shrunk, so most with the payload are refused; those that fit must be harmless."""
    attacked = poisoned(dataclasses.replace(library, procedures=library.procedures[:8]), SHORT)
    context = BuildContext(attacked, PROJECT / "site_overrides")
    found, _ = try_set(context, "half-letter", attacked.fleet.vehicles[0])
    assert found.faces
    file = tmp_path / "cards.html"
    file.write_text(faces_document(context, found, "cards").html, encoding="utf-8")
    page = visit.open(file)
    assert SHORT in page.evaluate("document.body.textContent")
    assert page.evaluate("document.querySelectorAll('script, img, iframe').length") == 0
    assert [] == visit.wrong
    assert [] == visit.strangers(tmp_path)


def test_the_watch_itself_notices_an_attack(visit: Visit, tmp_path: Path) -> None:
    """Or all of the above would prove nothing."""
    file = tmp_path / "open.html"
    policy = "<meta http-equiv='Content-Security-Policy' content=\"img-src 'none'\">"
    file.write_text(
        f"<!doctype html>{policy}<body>{SHORT}<img src=http://picture.invalid/p.png>", encoding="utf-8"
    )
    visit.open(file)
    assert any("a script ran" in shown_text for shown_text in visit.wrong)
    assert any("img-src" in shown_text for shown_text in visit.wrong)

"""Content that attacks, on every page of a whole site in a real browser: it stays text.

Every text field of procedures, fleet, rules, sources, glossary, lists, lessons and scenes has the same
payload: script, broken-out attributes and elements, links that run script, template and Markdown syntax,
direction and zero-width characters, a very long word. Ids and numbers cannot have it: their form is checked
on loading.
"""

from __future__ import annotations

import dataclasses
import shutil
from collections.abc import Callable
from pathlib import Path

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
from forty_paces.outputs.common.context import BuildContext
from playwright.sync_api import BrowserContext, Page

from tests.browsers import settle
from tests.outputs.hostile import HOSTILE, poisoned
from tests.projects import PROJECT
from tests.soaking import sample

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

LIVE = "script, style, img, iframe, object, embed, base, form, [onload], [onerror], [onclick], [srcdoc]"
COUNT_LIVE = f"document.querySelectorAll('{LIVE}').length"


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

    def look(self) -> None:
        if self.page.evaluate("window.hacked") is not None:
            self.wrong.append(f"{self.page.url}: a script ran")
        self.wrong += [
            f"{self.page.url}: {shown_text}" for shown_text in self.page.evaluate("window.violations")
        ]

    def strangers(self, folder: Path) -> list[str]:
        """Every requested address that is no file of the folder."""
        inside = [url for url in self.asked if url.startswith(folder.as_uri())]
        names = {url.split("#")[0].split("?")[0] for url in inside}
        missing = [url for url in names if not Path(url.removeprefix("file://")).is_file()]
        return missing + [
            url for url in self.asked if not url.startswith((folder.as_uri(), "data:", "blob:"))
        ]


@pytest.fixture(scope="module")
def site(library: Library, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The whole site of the poisoned library, without cards."""
    folder = tmp_path_factory.mktemp("hostile")
    shutil.copytree(PROJECT / "content", folder / "content")
    shutil.copy(PROJECT / "mkdocs.yml", folder)
    (folder / "site_overrides").symlink_to(PROJECT / "site_overrides", target_is_directory=True)
    attacked = poisoned(library, PAYLOAD)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(forty_paces.plugin, "load_library", lambda *_, **__: attacked)
        return forty_paces.plugin.build_site(folder, cards=False)


@pytest.fixture
def visit(new_context: Callable[..., BrowserContext]) -> Visit:
    return Visit(new_context())


@pytest.mark.soak
def test_no_page_of_the_site_runs_or_asks_for_anything(site: Path, visit: Visit) -> None:
    pages = sorted(path for path in site.rglob("*.html") if path.name != "404.html")
    assert len(pages) > 80
    for path in sample(pages, 25):
        visit.open(path)
    assert [] == visit.wrong
    assert [] == visit.strangers(site)


def test_a_page_has_no_more_live_elements_than_a_harmless_one(
    site: Path, built_site: Path, visit: Visit
) -> None:
    harmless = {}
    for name in ("index.html", "procedures/tire-fire.html", "glossary.html", "sources.html", "about.html"):
        visit.open(built_site / name)
        harmless[name] = visit.page.evaluate(COUNT_LIVE)
    for name, count in harmless.items():
        visit.open(site / name)
        assert count == visit.page.evaluate(COUNT_LIVE), name


@pytest.mark.parametrize(
    "name",
    [
        "index.html",
        "procedures/tire-fire.html",
        "before-trip.html",
        "after-event.html",
        "glossary.html",
        "sources.html",
        "placing/rule-sets.html",
        "placing/roads/quarry-bend.html",
    ],
)
def test_the_payload_stands_there_to_the_letter(site: Path, visit: Visit, name: str) -> None:
    page = visit.open(site / name)
    shown_text = page.evaluate("document.querySelector('article').textContent")
    assert " ".join(PAYLOAD.split()) in " ".join(shown_text.split())
    assert page.evaluate("getComputedStyle(document.body).display") != "none"


def test_the_title_and_the_navigation_show_it_too(site: Path, visit: Visit) -> None:
    page = visit.open(site / "procedures/tire-fire.html")
    assert "<script>window.hacked=1</script>" in page.title()
    assert "<script>window.hacked=1</script>" in page.evaluate("document.querySelector('nav').textContent")


def test_search_finds_it_and_shows_it_as_text(site: Path, visit: Visit) -> None:
    page = visit.open(site / "index.html")
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
    assert [] == visit.strangers(site)


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
    for drawing in drawings:
        page = visit.open(drawing)
        assert page.evaluate("document.querySelectorAll('script, img, image, foreignObject').length") == 0
    assert any(
        "<script>" in visit.open(one).evaluate("document.documentElement.textContent") for one in drawings
    )
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


@pytest.mark.parametrize("name", ["procedures/tire-fire.html", "glossary.html", "before-trip.html"])
def test_a_very_long_word_breaks_rather_than_pushing_the_page_wide(
    site: Path, visit: Visit, name: str
) -> None:
    visit.page.set_viewport_size({"width": 390, "height": 800})
    page = visit.open(site / name)
    assert 0 >= page.evaluate("(root => root.scrollWidth - root.clientWidth)(document.documentElement)")

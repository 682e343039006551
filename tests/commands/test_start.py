"""What a verb imports before it answers: nothing of a build. How long it takes is measured in tests/bench."""

import os
import subprocess
import sys
import tempfile

import pytest

from tests.rule_files import PROJECT

BUILD = (
    "mkdocs",
    "material",
    "jinja2",
    "markdown",
    "weasyprint",
    "pikepdf",
    "resvg",
    "fontTools",
    "PIL",
    "pypdfium2",
)
SCRIPT = """
import sys
from forty_paces.cli import main
try:
    main(sys.argv[1:])
except SystemExit as ended:
    assert ended.code in (0, None), ended.code
finally:
    print("\\n".join(sys.modules), file=sys.stderr)
"""


def imported(*words):
    """The names of all modules that are loaded once a verb has answered, where no rule set is kept yet."""
    with tempfile.TemporaryDirectory() as cache:
        ran = subprocess.run(
            [sys.executable, "-c", SCRIPT, *words],
            cwd=PROJECT,
            env={**os.environ, "XDG_CACHE_HOME": cache},
            capture_output=True,
            text=True,
            check=True,
        )
    return set(ran.stderr.split())


def below(package, modules):
    """The modules of a package."""
    return {name for name in modules if name == package or name.startswith(f"{package}.")}


VERBS = {
    "place": ("place", "--road", "two-lane", "--speed", "55"),
    "place a scene": ("place", "--scene", "content/scenes/drover-crest.yml", "--json"),
    "place with chances": ("place", "--road", "two-lane", "--speed", "55", "--chance"),
    "stopping": ("stopping", "--speed", "55"),
    "verify": ("verify", "--help"),
}


@pytest.mark.parametrize("verb", VERBS)
def test_no_verb_that_looks_something_up_imports_what_only_a_build_needs(verb):
    modules = imported(*VERBS[verb])
    assert "forty_paces.cli" in modules
    assert [name for package in BUILD for name in below(package, modules)] == []


@pytest.mark.parametrize("verb", ["stopping", "verify"])
def test_verbs_that_read_no_content_import_no_models(verb):
    modules = imported(*VERBS[verb])
    assert below("pydantic", modules) | below("yaml", modules) == set()
    assert below("forty_paces.authoring", modules) <= {
        "forty_paces.authoring",
        "forty_paces.authoring.clock",
        "forty_paces.authoring.findings",  # how untrusted text is printed
    }


def test_a_placement_imports_the_rules_and_no_other_content_no_check_no_drawing_and_no_scene():
    modules = imported(*VERBS["place"])
    for model in ("procedure", "layers", "fleet", "lesson", "scene", "checklists", "glossary", "sources"):
        assert f"forty_paces.authoring.models.{model}" not in modules
    assert "forty_paces.authoring.models.rules" in modules
    geometry = ("solver", "chance", "scene", "scene_view", "footway", "road", "profile", "sight")
    for package in (
        "authoring.checks",
        "authoring.wording",
        "authoring.library",
        "drawing",
        "authoring.edition",
        "outputs",
        *(f"geometry.{name}" for name in geometry),
    ):
        assert below(f"forty_paces.{package}", modules) == set()


def test_a_scene_imports_the_scene_engine_and_still_no_drawing():
    modules = imported(*VERBS["place a scene"])
    assert "forty_paces.geometry.solver" in modules
    assert below("forty_paces.drawing", modules) | below("forty_paces.authoring.checks", modules) == set()

"""Compiled templates are kept for the next build, and never at its cost."""

from __future__ import annotations

import tempfile
from pathlib import Path

import jinja2
import pytest
from forty_paces.outputs.common.templates import TemplateCache, cache_compiled_templates

SOURCE = "{% if who %}<b>{{ who }}</b>{% endif %}"


@pytest.fixture(autouse=True)
def own_store(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A machine's temporary folder that this test has for itself."""
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    return tmp_path


def environment(**options: bool) -> jinja2.Environment:
    made = jinja2.Environment(loader=jinja2.DictLoader({"page.html": SOURCE}), **options)
    cache_compiled_templates(made)
    return made


def shown(made: jinja2.Environment) -> str:
    return made.get_template("page.html").render(who="<Ann>")


def test_a_second_build_compiles_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    first = shown(environment(autoescape=True))
    monkeypatch.setattr(jinja2.Environment, "compile", lambda *_: pytest.fail("compiled again"))
    assert first == shown(environment(autoescape=True))


def test_a_changed_template_is_compiled_anew() -> None:
    shown(environment(autoescape=True))
    changed = jinja2.Environment(loader=jinja2.DictLoader({"page.html": "changed"}), autoescape=True)
    cache_compiled_templates(changed)
    assert "changed" == shown(changed)


def test_what_was_compiled_without_escaping_is_never_taken_where_all_is_escaped() -> None:
    assert "<b><Ann></b>" == shown(environment(autoescape=False))
    assert "<b>&lt;Ann&gt;</b>" == shown(environment(autoescape=True))


def test_a_damaged_store_is_compiled_over(own_store: Path) -> None:
    first = shown(environment(autoescape=True))
    kept = list(own_store.rglob("*.jinja"))
    assert kept
    for number, file in enumerate(kept):
        file.write_bytes(b"" if number % 2 else file.read_bytes()[:-20])
    assert first == shown(environment(autoescape=True))


def test_a_full_disk_keeps_nothing_and_stops_nothing(
    own_store: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(tempfile, "NamedTemporaryFile", full)
    assert "<b>&lt;Ann&gt;</b>" == shown(environment(autoescape=True))
    assert not list(own_store.rglob("*.jinja"))


def test_without_a_folder_of_ones_own_templates_are_compiled_as_ever(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def unsafe(self: TemplateCache) -> str:
        raise RuntimeError("Cannot determine safe temp directory")

    monkeypatch.setattr(jinja2.FileSystemBytecodeCache, "_get_default_cache_dir", unsafe)
    made = environment(autoescape=True)
    assert made.bytecode_cache is None
    assert "<b>&lt;Ann&gt;</b>" == shown(made)

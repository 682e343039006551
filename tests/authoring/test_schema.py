"""JSON Schemas for editors: valid, accept every real content file, and reject errors.

Validated by the jsonschema package, an independent implementation; files are read as
editors read them, by the YAML 1.2 core schema (yes is a string, not True).
"""

import re
from functools import cache

import pytest
import yaml
from forty_paces.authoring.schema import KINDS, json_schema
from forty_paces.package import STARTER

from tests.projects import PROJECT


class Core(yaml.SafeLoader):
    """YAML 1.2 core schema: all scalars but true, false, null and plain numbers are strings."""


Core.yaml_implicit_resolvers = {}
for tag, pattern, first in (
    ("bool", r"true|True|TRUE|false|False|FALSE", "tTfF"),
    ("int", r"[-+]?[0-9]+", "-+0123456789"),
    ("float", r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?", "-+.0123456789"),
    ("null", r"~|null|Null|NULL|", ["~", "n", "N", ""]),
):
    Core.add_implicit_resolver(f"tag:yaml.org,2002:{tag}", re.compile(f"^(?:{pattern})$"), list(first))


def files(kind):
    if kind == "library":
        return [STARTER / "library.yml"]  # this repository's content is the library, and has none
    return sorted(PROJECT.glob(KINDS[kind][0]))


@cache
def validator(kind):
    import jsonschema  # builds its grammars: more than a second, and only for the worker that comes here

    return jsonschema.Draft202012Validator(json_schema(kind), format_checker=jsonschema.FormatChecker())


def faults(kind, data):
    return [error.message for error in validator(kind).iter_errors(data)]


@pytest.mark.parametrize("kind", KINDS)
def test_every_schema_is_a_valid_schema(kind):
    validator(kind).check_schema(json_schema(kind))


@pytest.mark.parametrize("kind", KINDS)
def test_every_real_file_agrees_with_its_schema(kind):
    assert files(kind)
    for file in files(kind):
        assert [] == faults(kind, yaml.load(file.read_text(encoding="utf-8"), Loader=Core)), file.name


def procedure():
    return yaml.load((PROJECT / "content/procedures/tire-fire.yml").read_text(), Loader=Core)


def test_a_shared_passage_may_stand_for_any_record():
    data = procedure()
    data["decision"] = {"use": "which-way"}
    data["blocks"][0] = {"use": "get-clear"}
    assert [] == faults("procedure", data)


@pytest.mark.parametrize(
    "change",
    [
        {"titel": "x"},
        {"group": "standing"},
        {"group": {"use": "stopped"}},
        {"position": 400},
        {"effective": "5 January"},
        {"cues": "Smoke"},
        {"review": {"use": "first-review", "author": "x"}},
        {"code": "smoke"},
    ],
)
def test_what_the_check_refuses_the_schema_refuses_too(change):
    assert faults("procedure", {**procedure(), **change})


def test_a_missing_key_is_refused():
    data = procedure()
    del data["finished"]
    assert ["'finished' is a required property"] == faults("procedure", data)


def test_every_key_is_explained():
    """By its own description or by that of the record it refers to."""
    for kind in KINDS:
        schema = json_schema(kind)
        for record in (schema, *schema["$defs"].values()):
            for name, about in record.get("properties", {}).items():
                target = schema["$defs"].get(about.get("$ref", "").rpartition("/")[2], {})
                explained = about.get("description") or target.get("description") or name == "use"
                assert explained, (kind, record.get("title"), name)

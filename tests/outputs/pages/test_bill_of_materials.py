"""The software bill of materials: valid by the published schema, complete, the same for the same edition."""

import json
from dataclasses import replace
from importlib import metadata

import pytest
from cyclonedx.schema import SchemaVersion
from cyclonedx.validation.json import JsonStrictValidator
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.pages.about import SHIPPED
from forty_paces.outputs.pages.bill_of_materials import artifacts, bill, made_with

from tests.architecture.declared import names
from tests.projects import PROJECT

OVERRIDES = PROJECT / "site_overrides"


@pytest.fixture(scope="module")
def text(library):
    (artifact,) = artifacts(BuildContext(library, OVERRIDES))
    return artifact.content


def test_it_is_valid_by_the_schema_that_cyclonedx_publishes(text):
    assert JsonStrictValidator(SchemaVersion.V1_6).validate_str(text) is None


def test_a_document_without_a_version_would_not_be(text):
    document = json.loads(text)
    del document["specVersion"]
    assert JsonStrictValidator(SchemaVersion.V1_6).validate_str(json.dumps(document)) is not None


def test_everything_that_a_site_ships_of_others_is_named_with_its_license(text):
    components = {one["name"]: one for one in json.loads(text)["components"]}
    assert {work.name for work in SHIPPED} <= set(components)
    for work in SHIPPED:
        assert components[work.name]["licenses"][0]["license"]["id"]


def test_every_package_is_named_in_its_installed_version_and_none_is_undeclared(text):
    found = dict(made_with())
    assert found
    assert set(found) <= names("core", "pdf")
    assert {name: metadata.version(name) for name in found} == found
    purls = {one.get("purl") for one in json.loads(text)["components"]}
    assert {f"pkg:pypi/{name}@{version}" for name, version in found.items()} <= purls


def test_another_edition_has_another_serial_number_and_the_same_edition_the_same(library):
    context = BuildContext(library, OVERRIDES)
    other = BuildContext(replace(library, edition=replace(library.edition, id="ffffffff")), OVERRIDES)
    assert bill(context) == bill(context)
    assert bill(context)["serialNumber"] != bill(other)["serialNumber"]

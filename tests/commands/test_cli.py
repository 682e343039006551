"""The command line as a whole: verbs, help, and no traceback whatever goes wrong."""

import subprocess
import sys

import click
import pytest
from click.testing import CliRunner
from forty_paces import cli
from forty_paces.authoring.clock import BadClock
from forty_paces.authoring.findings import ContentFault, Finding, Place
from jinja2 import TemplateNotFound

from tests.rule_files import PROJECT


@pytest.mark.parametrize("verb", cli.VERBS)
def test_every_verb_has_help_with_examples_and_exit_statuses(verb):
    result = CliRunner().invoke(cli.main, [verb, "--help"])
    assert result.exit_code == 0
    assert "Examples:" in result.stdout
    assert f"fortypaces {verb}" in result.stdout
    assert "Exit status" in result.stdout


def test_help_lists_every_verb():
    result = CliRunner().invoke(cli.main, ["--help"])
    assert result.exit_code == 0
    for verb in cli.VERBS:
        assert f"\n  {verb} " in result.stdout


@pytest.mark.parametrize("hidden", ["\x08", "\x1b", "\u202e", "\u2028", "\u200b", "\ud800"])
def test_an_argument_with_a_character_that_nobody_sees_is_wrong_use_and_is_not_printed(hidden):
    result = CliRunner().invoke(cli.main, ["verify", f"si{hidden}te"])
    assert result.exit_code == 2
    assert hidden not in result.output
    assert f"U+{ord(hidden):04X}" in result.output


def test_verbs_stand_in_alphabetical_order():
    assert sorted(cli.VERBS) == list(cli.VERBS)


def test_an_unknown_verb_is_wrong_use():
    result = CliRunner().invoke(cli.main, ["fly"])
    assert result.exit_code == 2
    assert "No such command 'fly'" in result.stderr


def test_no_verb_at_all_shows_help_as_wrong_use():
    result = CliRunner().invoke(cli.main, [])
    assert result.exit_code == 2
    assert "Commands:" in result.output


FAULTS = [
    (KeyError("speed"), "fortypaces: stopped by a fault of its own (KeyError: 'speed'). Please report it.\n"),
    (RecursionError(), "fortypaces: stopped by a fault of its own (RecursionError: no further word)."),
    (
        FileNotFoundError(2, "No such file or directory", "a.yml"),
        "fortypaces: a.yml: no such file or directory\n",
    ),
    (
        TemplateNotFound("pages/review.html.j2"),
        "fortypaces: site_overrides/templates/pages/review.html.j2: the template is missing\n",
    ),
    (
        BadClock('SOURCE_DATE_EPOCH is "abc", which is no time in whole seconds since 1970'),
        'fortypaces: SOURCE_DATE_EPOCH is "abc", which is no time in whole seconds since 1970.\n',
    ),
    (PermissionError(13, "Permission denied", "a.yml"), "fortypaces: a.yml: permission denied\n"),
    (
        ContentFault([Finding(Place("content/a.yml", 3, 1), "wrong", fix="fix it")]),
        "content/a.yml:3:1: wrong\n    fix: fix it\n1 finding; nothing was written.\n",
    ),
]


@pytest.mark.parametrize(("fault", "said"), FAULTS, ids=lambda value: type(value).__name__)
def test_any_fault_becomes_words_and_status_one(fault, said, monkeypatch):
    @click.command()
    def place():
        raise fault

    monkeypatch.setattr(cli.VerbGroup, "get_command", lambda self, ctx, name: place)
    result = CliRunner().invoke(cli.main, ["place"])
    assert result.exit_code == 1
    assert result.stdout == ""
    assert result.stderr.startswith(said)
    assert "Traceback" not in result.stderr


def test_the_module_and_the_installed_command_are_the_same():
    asked = ["stopping", "--speed", "55", "--json"]
    module = subprocess.run(
        [sys.executable, "-m", "forty_paces", *asked], capture_output=True, text=True, cwd=PROJECT, check=True
    )
    assert module.stdout == CliRunner().invoke(cli.main, asked).stdout
    assert module.stderr == ""


def test_a_terminal_without_fractions_gets_question_marks_not_a_failure():
    result = subprocess.run(
        [sys.executable, "-m", "forty_paces", "place", "--road", "two-lane", "--speed", "55"],
        capture_output=True,
        cwd=PROJECT,
        env={"PYTHONIOENCODING": "iso8859-5", "PATH": ""},
        check=False,
    )
    assert result.returncode == 0
    assert result.stderr.startswith(b"Project: ")  # and nothing of an encoding that failed
    assert b"2?" in result.stdout

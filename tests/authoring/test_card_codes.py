"""Card codes cannot be mistaken for a code on a chemical label, a packaging or a plate.

GHS (Regulation (EC) 1272/2008): hazard statements H200 and up, precautionary P101
and up. Directive 67/548/EEC, on labels before it: R and S phrases. UN numbers: four
digits. UNECE vehicle categories: one letter and a digit. Fuel labels (EN 16942): one
letter and a number. All from memory.
"""

import re
from typing import Annotated

import pytest
from forty_paces.authoring.library import load_library
from forty_paces.authoring.models.procedure import LABEL_LETTERS, Procedure
from pydantic import TypeAdapter, ValidationError

from tests.faults.projects import BASE, TODAY, messages, project_with
from tests.rule_files import PROJECT

_FIELD = Procedure.model_fields["code"]
CODE = TypeAdapter(Annotated[str, _FIELD])
LABEL_CODES = (
    "H225",
    "P301",
    "R45",
    "R1",
    "S2",
    "S61",
    "UN1203",
    "1203",
    "NA1993",
    "M1",
    "N3",
    "O4",
    "E10",
    "B7",
    "2WE",
)


@pytest.mark.parametrize("code", LABEL_CODES)
def test_a_code_of_a_label_is_no_card_code(code):
    with pytest.raises(ValidationError):
        CODE.validate_python(code)


@pytest.mark.parametrize(
    "code",
    [
        "CAR1",
        "TYS2",
        "STP3",
        "EUH66",
        "TIR1",
        "ADR1",
        "IBC5",
        "ALL1",
        "PLC2",
        "TRE",
        "TR1",
        "TREE1",
        "tre1",
        "TRE123",
    ],
)
def test_letters_that_end_like_a_label_or_are_kept_or_ill_formed_are_refused(code):
    with pytest.raises(ValidationError):
        CODE.validate_python(code)


@pytest.mark.parametrize("code", ["TRE1", "SKD12", "CGO2"])
def test_three_letters_and_a_number_are_a_code(code):
    assert code == CODE.validate_python(code)


def test_no_end_of_any_card_code_in_the_content_is_a_code_of_a_label():
    """A thumb or dirt may hide the first letters."""
    ends = {p.code[start:] for p in load_library(PROJECT).procedures for start in range(3)}
    assert [] == [end for end in ends if re.fullmatch(r"[HPRS][0-9]+", end) or end in LABEL_LETTERS]


def test_the_letters_of_a_family_are_its_own_and_all_its_codes_have_them(tmp_path):
    path = "content/procedures/engine-smoke.yml"
    text = (BASE / path).read_text()
    taken = text.replace("code: SMK1", "code: WOB2")
    other = text.replace("family: fire", "family: tires")
    for number, (content, wrong) in enumerate(
        [
            (taken, '8:7: the letters WOB stand for the family "fire", not "tires"'),
            (other, '8:7: the codes of the family "tires" begin with other letters'),
        ]
    ):
        from forty_paces.authoring.library import inspect_project

        findings = messages(inspect_project(project_with(tmp_path / str(number), path, content), TODAY))
        assert f"content/procedures/wheel-wobble.yml:{wrong}" in findings
        assert 1 == findings.count("fix:")

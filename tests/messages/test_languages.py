"""Texts by id and language: English where no catalog has another text, for tables and templates alike."""

import jinja2
import pytest
from forty_paces.messages.languages import (
    ENGLISH,
    Catalog,
    Texts,
    cached_by_language,
    language,
    npgettext,
    pgettext,
    speaking,
)
from forty_paces.outputs.common.templates import template_environment
from forty_paces.package import library_overrides

SPANISH = Catalog(
    "es-US",
    {
        "cab.back": ("Atrás",),
        "walk.paces": ("{n} paso", "{n} pasos"),
        "page.edition": ("Edición %(id)s, <b>%(carrier)s</b>",),
    },
)
WALK = Texts("walk", {"paces": "{n} pace", "go": "Go"})


def test_english_is_spoken_where_nothing_else_is_said():
    assert (language(), pgettext("cab.back", "Back"), WALK["paces"]) == (ENGLISH, "Back", "{n} pace")


def test_a_catalog_gives_its_texts_until_the_block_ends():
    with speaking(SPANISH):
        assert (language(), pgettext("cab.back", "Back"), WALK["paces"]) == ("es-US", "Atrás", "{n} paso")
    assert (language(), pgettext("cab.back", "Back")) == (ENGLISH, "Back")


def test_english_comes_back_after_an_error():
    with pytest.raises(RuntimeError), speaking(SPANISH):
        raise RuntimeError
    assert language() == ENGLISH


def test_a_text_that_the_catalog_lacks_stays_english():
    with speaking(SPANISH):
        assert (pgettext("cab.next", "Next"), WALK["go"]) == ("Next", "Go")


@pytest.mark.parametrize(
    ("count", "english", "spanish"), [(0, "many", "pasos"), (1, "one", "paso"), (2, "many", "pasos")]
)
def test_a_plural_follows_the_count(count, english, spanish):
    assert npgettext("walk.paces", "one", "many", count) == english
    with speaking(SPANISH):
        assert npgettext("walk.paces", "one", "many", count) == f"{{n}} {spanish}"


def test_a_language_may_have_one_form_or_three():
    one = Catalog("ja-JP", {"n": ("all",)}, plural_form=lambda count: 0)
    three = Catalog(
        "pl-PL", {"n": ("a", "b", "c")}, plural_form=lambda n: 0 if n == 1 else 1 if n in (2, 3, 4) else 2
    )
    assert [one.plural("n", "", "", count) for count in (0, 1, 2)] == ["all"] * 3
    assert [three.plural("n", "", "", count) for count in (1, 4, 5)] == ["a", "b", "c"]


def test_a_table_lists_all_its_keys_in_every_language():
    with speaking(SPANISH):
        assert dict(WALK) == {"paces": "{n} paso", "go": "Go"}
        assert len(WALK) == 2


def test_an_unknown_key_is_an_error_in_every_language():
    with speaking(SPANISH), pytest.raises(KeyError):
        WALK["nothing"]


def test_what_is_cached_in_one_language_is_not_shown_in_another():
    @cached_by_language(maxsize=4)
    def label(count):
        made.append(count)
        return WALK["paces"].format(n=count)

    made = []
    assert label(2) == label(2) == "2 pace"
    with speaking(SPANISH):
        assert label(2) == "2 paso"
    assert made == [2, 2]


def rendered(source, **names):
    env = template_environment(library_overrides())
    return env.from_string(source).render(**names)


def test_a_template_takes_its_texts_by_id():
    source = '{% trans "cab.back" %}Back{% endtrans %}, {{ pgettext("cab.next", "Next") }}'
    assert rendered(source) == "Back, Next"
    with speaking(SPANISH):
        assert rendered(source) == "Atrás, Next"


def test_what_a_template_puts_into_a_text_is_escaped_in_every_language():
    source = '{% trans "page.edition" id, carrier %}Edition {{ id }} of <i>{{ carrier }}</i>{% endtrans %}'
    given = {"id": "a1", "carrier": "<Larkspur & Co>"}
    assert rendered(source, **given) == "Edition a1 of <i>&lt;Larkspur &amp; Co&gt;</i>"
    with speaking(SPANISH):
        assert rendered(source, **given) == "Edición a1, <b>&lt;Larkspur &amp; Co&gt;</b>"


def test_a_text_without_an_id_is_refused():
    with pytest.raises(jinja2.TemplateRuntimeError, match="without an id"):
        rendered("{% trans %}Back{% endtrans %}")

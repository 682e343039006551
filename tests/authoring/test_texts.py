"""String ids of texts: built from ids, not positions; complete; the same wherever they are used."""

from forty_paces.authoring.library import load_library
from forty_paces.authoring.texts import Role, changed_texts, texts, texts_by_id

from tests.faults.projects import BASE, TODAY


def smoke():
    return load_library(BASE, TODAY).procedure("engine-smoke")


def test_a_step_is_named_by_its_ids():
    assert "Turn off the engine." == texts_by_id(smoke())["engine-smoke/blocks/get-out/steps/engine-off/do"]


def test_all_kinds_of_texts_have_an_id():
    assert {
        "engine-smoke/title": "Smoke from the engine",
        "engine-smoke/cues/1": "Smoke comes from the hood.",
        "engine-smoke/stopped": "After you have stopped, start here.",
        "engine-smoke/blocks/get-out/steps/walk-away/measure/how": "Count 40 paces.",
        "engine-smoke/decision/rows/flame/see": "flames show",
        "engine-smoke/never/no-hood/text": "Never open the hood.",
        "engine-smoke/finished": "No smoke shows and the engine is cold.",
    }.items() <= texts_by_id(smoke()).items()


def test_every_text_that_a_model_holds_is_among_them(library):
    """Walks all records generically: a text field added to a model must be added to ``texts``."""
    quiet = {"author", "order_reason", "version", "what", "name", "at", "rule", "reason", "id", "code"}
    quiet |= {"symbol", "family", "leads_to", "source", "group", "signal", "unit", "when", "day", "effective"}
    quiet |= {"opens", "calls", "or_to", "toward"}

    def found(value, key=""):
        if isinstance(value, dict):
            for name, inner in value.items():
                yield from found(inner, name)
        elif isinstance(value, list | tuple):
            for inner in value:
                yield from found(inner, key)
        elif isinstance(value, str) and key not in quiet:
            yield str(value)

    for procedure in library.procedures:
        texts_found = sorted(said.text for said in texts(procedure))
        assert sorted(found(procedure.model_dump(exclude={"review", "changes", "waive"}))) == texts_found


def test_ids_are_unique_within_the_whole_content(library):
    names = [name for procedure in library.procedures for name in texts_by_id(procedure)]
    assert len(names) == len(set(names))


def test_the_way_by_positions_leads_to_the_same_text(library):
    for procedure in library.procedures:
        document = library.documents[f"content/procedures/{procedure.id}.yml"]
        for said in texts(procedure):
            assert " ".join(document.node(said.loc).text.split()) == said.text


def test_a_step_put_in_between_renames_no_other():
    procedure = smoke()
    block = procedure.blocks[0]
    fewer = block.model_copy(update={"steps": block.steps[1:]})
    shorter = procedure.model_copy(update={"blocks": (fewer,)})
    kept = {name: text for name, text in texts_by_id(procedure).items() if "/flashers/" not in name}
    assert kept == texts_by_id(shorter)


def test_changed_new_and_gone_texts_are_told_apart():
    before = {"a/title": "1", "a/stopped": "2", "a/finished": "3"}
    now = {"a/title": "1", "a/stopped": "9", "a/cues/1": "4"}
    expected = {"a/cues/1": "new", "a/finished": "gone", "a/stopped": "changed"}
    assert expected == changed_texts(before, now)


def test_orders_hold_the_text_of_every_step(library):
    for procedure in library.procedures:
        steps = [step.do for block in procedure.blocks for step in block.steps]
        assert steps == [said.text for said in texts(procedure) if said.role is Role.STEP]

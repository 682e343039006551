"""Every step and choice of the library that says to call or tell 911 has the call one tap away."""

from __future__ import annotations

from collections.abc import Iterator

from forty_paces.authoring.library import Library
from forty_paces.authoring.models.procedure import DecisionRow, Step
from forty_paces.authoring.models.record import Service

Caller = Step | DecisionRow


def callers(library: Library) -> Iterator[tuple[str, Caller, str]]:
    """Every step and choice with its address and all that it tells the driver to do."""
    for procedure in library.procedures:
        for block in procedure.blocks:
            for step in block.steps:
                texts = [step.do]
                if step.measure:
                    texts += [step.measure.how, step.measure.otherwise]
                if step.notice:
                    texts += [step.notice.avoid]
                if step.if_not:
                    texts += [line.do for line in step.if_not.lines]
                yield f"{procedure.id}/{block.id}/{step.id}", step, " ".join(texts)
        for row in procedure.decision.rows if procedure.decision else ():
            yield f"{procedure.id}/decision/{row.id}", row, row.do


def test_whoever_is_reported_to_call_911_has_the_button(library: Library) -> None:
    named = [(address, item) for address, item, texts in callers(library) if "911" in texts]
    assert len(named) >= 40
    assert [address for address, item in named if Service.EMERGENCY not in item.calls] == []


def test_whoever_is_reported_to_call_dispatch_has_the_button(library: Library) -> None:
    named = [
        (address, item)
        for address, item, texts in callers(library)
        if any(f"{verb} dispatch" in texts.lower() for verb in ("call", "tell", "ask"))
    ]
    assert len(named) >= 3
    assert [address for address, item in named if Service.DISPATCH not in item.calls] == []


def test_both_buttons_have_a_number(library: Library) -> None:
    serving = {phone.serves: phone.dial for phone in library.fleet.phones if phone.serves}
    assert serving == {Service.EMERGENCY: "911", Service.DISPATCH: "5550110"}

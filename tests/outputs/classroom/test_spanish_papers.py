"""The classroom's printed documents in Spanish: longer words, and as many pages as were composed."""

from __future__ import annotations

from dataclasses import replace

import pytest
from forty_paces.authoring.models.fleet import Untranslated
from forty_paces.outputs.classroom import index as classroom
from forty_paces.outputs.classroom import lessons, scenarios
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.translations import in_language
from forty_paces.outputs.paper import pdf
from forty_paces.outputs.site import ENGLISH_ONLY

from tests.projects import PROJECT
from tests.soaking import sample


@pytest.mark.long
@pytest.mark.soak
def test_every_paper_of_a_learner_fills_the_pages_it_was_composed_on(context: BuildContext) -> None:
    fleet = context.library.fleet.model_copy(update={"untranslated": Untranslated.ENGLISH})
    falling_back = replace(context, library=replace(context.library, fleet=fleet))
    with in_language(falling_back, PROJECT, "es_US") as own:
        made = classroom.papers(own, lessons.decks(own), scenarios.views(own))
        papers = [one for one in made if not ENGLISH_ONLY.match(one.path)]
        for paper in {max(papers, key=lambda one: one.pages), *sample(papers, 4)}:
            assert pdf.to_pdf(paper.html, pages=paper.pages).startswith(b"%PDF"), paper.path
    names = {one.path.rpartition("/")[2] for one in papers}
    assert "test-1-class" in names
    assert "recall-tires" in names
    assert not names & {"test-1-keys", "names", "sign-off", "yard-plan"}

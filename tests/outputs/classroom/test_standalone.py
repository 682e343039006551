"""Classroom pages: alone with everything inside, or in a folder that shares styles and scripts."""

import html
import re

import pytest
from forty_paces.outputs.classroom.lessons import decks, lesson_html, notes_html
from forty_paces.outputs.classroom.standalone import FILES, shared
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.files import Artifact
from forty_paces.outputs.common.self_contained import csp_hash

from tests.outputs.classroom.lesson_samples import PROJECT, real_library

CONTEXT = BuildContext(real_library(), PROJECT / "site_overrides")
BLOCK = re.compile(r"<(?:style|script)>(.*?)</(?:style|script)>", re.DOTALL)
LINK = re.compile(rf'(?:href|src)="({FILES}/[0-9a-f]{{8}}\.(?:css|js))"')
POLICY = re.compile(r'Content-Security-Policy" content="([^"]*)"')


@pytest.fixture(scope="module")
def alone():
    """Two lessons and the notes of one, each complete by itself."""
    one, other = decks(CONTEXT)[:2]
    made = {
        "classroom/one.html": lesson_html(CONTEXT, one),
        "classroom/other.html": lesson_html(CONTEXT, other),
        "classroom/notes.html": notes_html(CONTEXT, one),
    }
    return [Artifact(path, text) for path, text in made.items()]


@pytest.fixture(scope="module")
def files(alone):
    return {one.path: one.data.decode() for one in shared(alone)}


def policy(page):
    return html.unescape(POLICY.search(page)[1])


def test_a_page_alone_allows_its_own_blocks_by_their_hashes_and_nothing_else(alone):
    for page in alone:
        text = page.data.decode()
        blocks = BLOCK.findall(text)
        assert len(blocks) > 3
        assert all(csp_hash(block) in policy(text) for block in blocks)
        assert "'self'" not in policy(text)


def test_in_a_folder_every_block_is_a_file_with_the_same_text_in_the_same_order(alone, files):
    for page in alone:
        text = files[page.path]
        assert [] == BLOCK.findall(text)
        linked = [files[f"classroom/{name}"] for name in LINK.findall(text)]
        assert linked == BLOCK.findall(page.data.decode())


def test_what_pages_have_in_common_is_written_once(alone, files):
    blocks = {block for page in alone for block in BLOCK.findall(page.data.decode())}
    written = [text for path, text in files.items() if f"/{FILES}/" in path]
    assert len(written) == len(blocks)
    assert sum("@font-face" in text for text in written) == 1


def test_a_page_in_a_folder_takes_styles_and_scripts_from_its_own_origin_alone(files):
    for path, text in files.items():
        if path.endswith(".html"):
            allowed = dict(part.split(" ", 1) for part in policy(text).split("; "))
            assert allowed["default-src"] == "'none'"
            assert allowed["style-src"] == allowed["script-src"] == "'self'"
            assert allowed["font-src"] == "data:"

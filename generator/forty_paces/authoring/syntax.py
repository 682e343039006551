"""Translates PyYAML's syntax errors into findings for authors who do not know YAML.

The pure-Python and the compiled parser word their errors differently; both are recognized.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import yaml

from forty_paces.authoring.findings import Finding, Place, clip

TOO_DEEP = (
    "the text is nested too deep to be content",
    "write it flatter: no content file needs more than ten levels",
)
"""Message and fix for nesting beyond the parser's limit."""

_TAB = ("a tab stands where spaces must be", "use spaces instead, two for each level")
_TAG = ("the sign ! before a value marks a tag", "put texts that begin with ! in double quotes")


class _Complaint(NamedTuple):
    """A syntax error, recognized by parts of PyYAML's ``context`` and ``problem`` texts."""

    wrong: str
    fix: str
    context: str = ""
    problem: str = ""
    at_context: bool = False
    "True to report the position where the construct begins instead of where parsing failed."

    def fits(self, context: str, problem: str) -> bool:
        return self.context in context and self.problem in problem


_COMPLAINTS: tuple[_Complaint, ...] = (
    _Complaint(
        "a colon with a space after it stands inside a text",
        "put the whole text in double quotes",
        problem="mapping values are not allowed",
    ),
    _Complaint(
        "a list begins on the line of its key",
        "begin the list on the next line, two spaces further in, with '- ' before each item",
        problem="sequence entries are not allowed",
    ),
    _Complaint(*_TAB, problem="indentation space is expected"),
    _Complaint(
        "the quoted text that begins here is never closed",
        "add the closing quote at the end of the text",
        context="quoted scalar",
        problem="unexpected end of stream",
        at_context=True,
    ),
    _Complaint(
        "a backslash inside double quotes changes the character after it",
        "write the text without a backslash",
        problem="unknown escape character",
        at_context=True,
    ),
    _Complaint(
        "the list in square brackets that begins here is not closed",
        "close it with ], and put texts that hold commas or colons in double quotes",
        problem="',' or ']'",
        at_context=True,
    ),
    _Complaint(
        "the group in curly brackets that begins here is not closed",
        "close it with }, and put texts that hold commas or colons in double quotes",
        problem="',' or '}'",
        at_context=True,
    ),
    _Complaint(*TOO_DEEP, problem="nesting depth"),
    _Complaint(
        "a value is wanted here, and this is none",
        "put the whole text in double quotes",
        problem="node content",
    ),
    _Complaint(
        "a key stands here without a colon after it",
        "write a colon and a space after it, or move the line further in if it belongs to the text above",
        problem="expected ':'",
        at_context=True,
    ),
    _Complaint(
        "the sign & before a value marks an anchor",
        "put texts that begin with & in double quotes",
        context="anchor",
    ),
    _Complaint(
        "the sign * before a value marks an alias",
        "put texts that begin with * in double quotes",
        context="alias",
    ),
    _Complaint(*_TAG, context="tag"),
    _Complaint(*_TAG, problem="tag handle"),
    _Complaint(
        "this line does not continue the list above it",
        "begin it with '- ', or move it in or out until it stands under the keys it belongs to",
        context="block collection",
    ),
    _Complaint(
        "this line does not fit the lines above it",
        "line it up with the keys beside it, and put texts that hold quotes or colons in double quotes",
        context="block mapping",
    ),
)
"""The first match is reported."""


def syntax_finding(error: yaml.YAMLError, text: str, path: str) -> Finding:
    """The finding for a parse error in ``text``, the content of ``path``."""
    mark: Any = getattr(error, "problem_mark", None)
    context = str(getattr(error, "context", "") or "")
    problem = str(getattr(error, "problem", "") or getattr(error, "reason", "") or "unreadable")
    if "cannot start any token" in problem and mark is not None:
        character = "".join(text.splitlines()[mark.line : mark.line + 1])[mark.column : mark.column + 1]
        wrong = f'a text cannot begin with "{character}"'
        return Finding(_place(path, mark), wrong, fix="put the whole text in double quotes")
    for complaint in _COMPLAINTS:
        if complaint.fits(context, problem):
            shown = getattr(error, "context_mark", None) if complaint.at_context else None
            return Finding(_place(path, shown or mark), complaint.wrong, fix=complaint.fix)
    wrong = f"the file cannot be read from here on ({clip(problem)})"
    return Finding(_place(path, mark), wrong, fix="compare it with a file that works")


def _place(path: str, mark: Any) -> Place:
    return Place(path, mark.line + 1, mark.column + 1) if mark is not None else Place(path, 1, 1)

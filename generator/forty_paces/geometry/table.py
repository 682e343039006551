"""Writes every answer of a rule set on a grid of situations as one JSON text for lookup in a browser.

All figures are precomputed, rounded and formatted; a reader does index arithmetic only.
:mod:`forty_paces.geometry.table_reader` is the reference reader: a script that follows the
same steps gives the same answers.

**The format, version 2.** A JSON object. Every list called a *column* is parallel to its
neighbors in the same object. *Text* means an index into ``texts``; -1: none.

``version``, ``rules`` (``id``, ``title``, ``metric``, ``limit_s``)
    Format version and rule set. A reader that does not know the version must not guess.

``axes``
    ``road``: ids. ``sides``: for each road the sides from which traffic comes.
    ``speed``: columns ``mph`` (exact) and ``text``, the posted unit first.
    ``grade``: columns ``pct`` and ``text``; ``grade.mirror[g]`` is the index of the grade for
    traffic from ahead where traffic from behind has ``g``.
    ``visibility``: columns ``id``, ``text``, ``reach`` and ``reflecting`` (lengths) and ``reach_ft``
    (exact); ``visibility.default`` is the index of the rule set's default class.
    ``hidden``: columns ``length`` (a length; -1: nothing hides the vehicle) and ``ft``
    (exact; null likewise). Lengths here ascend, so that indexes can be compared.

``lengths``
    Columns, nearest first: ``ft`` (to a tenth), ``own`` (the same in the rule set's own
    unit), ``paces``, and as text ``text`` ('300 ft'), ``other`` (the other system),
    ``paces_text``, ``paced`` ('300 ft (120 paces)'), ``lines`` (lane lines; '' where none).

``warnings``, ``needed``
    Columns: ``ft`` and ``own`` to a tenth, ``text`` (warnings rounded down, needed distances
    rounded up). ``needed`` is a grid: index ``speed * grades + grade``.

``shortfalls``, ``walks``
    ``shortfalls``: columns ``ft`` and ``s`` rounded up to a tenth, ``text`` and ``s_text``; index 0
    means ample. ``walks``: columns ``ft``, ``text``, ``seconds``, ``share`` ('19 percent';
    '' without a limit) and ``slow`` (1 where the walk exceeds the limit).

``vehicle``
    Grid: the warning (an index into ``warnings``) that the vehicle alone gives, at
    ``hidden * visibilities + visibility``.

``layout``
    For each road a list: the layout in force at each speed.

``layouts``
    Each with ``devices`` (in the answer's order: ``toward``, ``length``, ``across``, ``reason``,
    ``source`` texts, ``outer`` 1 where the answer decides distance and reason, ``moved_source``
    the text cited once it has moved), ``forbidden`` (text), ``slow`` (text for a walk
    that exceeds the limit), ``cautions`` (for each visibility a
    list of texts), ``order`` (texts with the slots {behind} and {ahead}, to be filled with the
    ``paced`` text of the outermost device's length), ``outer`` (for each side the lengths its
    outermost device may have; empty where it has none) and ``walk``: codes of indexes into
    ``walks`` at ``behind * len(outer.ahead) + ahead``, counting within ``outer``; a side
    without devices counts as one entry, index 0.

``rows``
    ``rows[road][side]`` is an index into ``grids``. A grid is a string of codes, one at
    ``(speed * grades + grade) * visibilities + visibility``, each an index into ``blocks``. A block
    is a string of codes, one for each hidden distance, each an index into ``answers``.

``answers``
    Lists of eight: length of the outermost device (-1: none), index into ``warnings``, index into
    ``warnings`` for the base distance, text of the reason with the slots {hidden} (``text`` of the
    hidden length), {warning} and {base_warning} (``text`` of those warnings), {needed}
    (``text`` of what is needed), {look} and {look_s} (of the look-back check), index into
    ``shortfalls``, index into ``looks``, index into ``warnings`` for the warning with the detection
    range of reflecting devices (-1: one range), 1 where the caution ``beyond`` applies.

``looks``
    The look-back check of a moved device: columns ``ft``, ``s``, ``text``, ``s_text``; index 0: none.

``short``, ``beyond``, ``ahead``
    Texts: the caution for a side with a short warning, with the slots {side}, {warning}, {needed},
    {shortfall}, {shortfall_s}; that for an obstruction beyond the rule's limit; for each road that
    for an obstruction ahead where no traffic comes from there. Cautions appear in the
    order forbidden, short sides, beyond, slow, ahead, then the layout's own.

``examples``
    Worked by hand and representable on the axes: ``id``, ``at`` (indexes of road, speed,
    grade, visibility, hidden behind, hidden ahead), ``devices`` (``[side, own length, moved]`` in
    the answer's order) and ``sides`` (``{side: [own needed or null, own warning or null, 0 or 1]}``).
    A reader checks them against its own answers before it is trusted.

A *code* is two characters of ``alphabet``, digits of a number to the base of its length, high one first.
"""

from __future__ import annotations

import json
from collections.abc import Iterable

from forty_paces.geometry.records import RuleSet
from forty_paces.geometry.table_axes import Axes, TableExample, axes_for
from forty_paces.geometry.table_builder import Builder
from forty_paces.geometry.table_reader import TableReader

__all__ = ["TableReader", "build_table"]


def build_table(rules: RuleSet, examples: Iterable[TableExample] = (), axes: Axes | None = None) -> str:
    """Return the table of a rule set as JSON text; ``axes`` default to those of :func:`axes_for`."""
    values = Builder(rules, axes or axes_for(rules)).table(examples)
    return json.dumps(values, separators=(",", ":"), ensure_ascii=False)

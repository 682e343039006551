"""Every answer of a rule set on a grid of situations, as one text that a browser looks up.

In: a RuleSet, worked examples, axes. Out: compact JSON in which every figure stands
ready, rounded and written out; whoever reads it does index arithmetic and nothing
else. Refuses to know the browser. :mod:`forty_paces.geometry.table_reader` is the
reference reader: a script that does the same steps gives the same answers.

**The format, version 2.** A JSON object. Every list called a *column* runs parallel
to its neighbors in the same object. *Text* means a place in ``texts``; -1: none.

``version``, ``rules`` (``id``, ``title``, ``metric``, ``limit_s``)
    What it is. A reader that does not know the version must not guess.

``axes``
    ``road``: ids. ``sides``: for each road the sides from which traffic comes.
    ``speed``: columns ``mph`` (exact) and ``text``, the posted unit first.
    ``grade``: columns ``pct`` and ``text``; ``grade.mirror[g]`` is the grade that traffic
    from ahead meets where traffic from behind meets ``g``.
    ``visibility``: columns ``id``, ``text``, ``reach`` and ``reflecting`` (lengths) and ``reach_ft``
    (exact);
    ``visibility.default`` is the place of the class that the rule set begins with.
    ``hidden``: columns ``length`` (a length; -1: nothing hides the vehicle) and ``ft``
    (exact; null likewise). Lengths here rise, so that places may be compared.

``lengths``
    Columns, nearest first: ``ft`` (to a tenth), ``own`` (the same in the rule set's own
    unit), ``paces``, and in words ``text`` ('300 ft'), ``other`` (the other system),
    ``paces_text``, ``paced`` ('300 ft (120 paces)'), ``lines`` (lane lines; '' where none).

``warnings``, ``needed``
    Columns: ``ft`` and ``own`` to a tenth, ``text`` in words (what drivers get rounded down, what
    they need rounded up). ``needed`` is a grid: place ``speed * grades + grade``.

``shortfalls``, ``walks``
    ``shortfalls``: columns ``ft`` and ``s`` to the next tenth, ``text`` and ``s_text`` in words; place 0
    means ample. ``walks``: columns ``ft``, ``text``, ``seconds``, ``share`` ('19 percent';
    '' without a limit) and ``slow`` (1 where the walk outlasts the limit).

``vehicle``
    Grid: the warning (a place in ``warnings``) that the vehicle alone gives, at
    ``hidden * visibilities + visibility``.

``layout``
    For each road a list: the layout in force at each speed.

``layouts``
    Each with ``devices`` (in the answer's order: ``toward``, ``length``, ``across``, ``reason``,
    ``source`` texts, ``outer`` 1 where the answer decides distance and reason, ``moved_source``
    the text cited once it has moved), ``forbidden`` (text), ``slow`` (text for a walk
    that outlasts the limit), ``cautions`` (for each visibility a
    list of texts), ``order`` (texts with the slots {behind} and {ahead}, to be filled with the
    ``paced`` words of the outermost device's length), ``outer`` (for each side the lengths its
    outermost device may have; empty where it has none) and ``walk``: codes of places in
    ``walks`` at ``behind * len(outer.ahead) + ahead``, counting places within ``outer``; a side
    without devices counts as one place, 0.

``rows``
    ``rows[road][side]`` is a place in ``grids``. A grid is a string of codes, one at
    ``(speed * grades + grade) * visibilities + visibility``, each a place in ``blocks``. A block
    is a string of codes, one for each hidden place, each a place in ``answers``.

``answers``
    Lists of eight: length of the outermost device (-1: none), place in ``warnings``, place in
    ``warnings`` of the base distance, text of the reason with the slots {hidden} (``text`` of the
    hidden length), {warning} and {base_warning} (``text`` of those warnings), {needed}
    (``text`` of what is needed), {look} and {look_s} (of the look-back check), place in
    ``shortfalls``, place in ``looks``, place in ``warnings`` of the warning with the reach for
    reflecting devices (-1: one reach), 1 where the caution ``beyond`` is said.

``looks``
    The look-back check of a moved device: columns ``ft``, ``s``, ``text``, ``s_text``; place 0: none.

``short``, ``beyond``, ``ahead``
    Texts: the caution for a short side, with the slots {side}, {warning}, {needed},
    {shortfall}, {shortfall_s}; that for a view hidden beyond the rule's limit; for each road that
    for a hidden view ahead where no traffic comes from there. Cautions are said in the
    order forbidden, short sides, beyond, slow, ahead, then the layout's own.

``examples``
    Worked out by hand and representable on the axes: ``id``, ``at`` (places of road, speed,
    grade, visibility, hidden behind, hidden ahead), ``devices`` (``[side, own length, moved]`` in
    the answer's order) and ``sides`` (``{side: [own needed or null, own warning or null, 0 or 1]}``).
    A reader runs them against its own answers before it is trusted.

A *code* is two characters of ``alphabet``: ``64 * alphabet.indexOf(first) + alphabet.indexOf(second)``.
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
    """The table of a rule set as JSON text; ``axes`` default to those of :func:`axes_for`."""
    values = Builder(rules, axes or axes_for(rules)).table(examples)
    return json.dumps(values, separators=(",", ":"), ensure_ascii=False)

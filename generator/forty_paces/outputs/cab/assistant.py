"""The cab assistant: one self-contained HTML file with everything that a driver needs at the roadside.

Styles, script, fonts, drawings and tables are inline, and a content security policy allows exactly these.
Nothing is computed here: distances come from the placement engine, texts from the library.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from markupsafe import Markup

from forty_paces.authoring.models.fleet import Vehicle
from forty_paces.authoring.models.procedure import Tool
from forty_paces.drawing.symbols import SIGNALS, symbol_definitions, symbol_reference
from forty_paces.drawing.typeface import font_files
from forty_paces.drawing.view_ends import view_end_definitions, view_end_reference
from forty_paces.geometry.records import HiddenBy, RuleSet
from forty_paces.messages.cab import SCREENS, script_words
from forty_paces.outputs.cab.data import (
    call_buttons,
    data_for,
    deadline_groups,
    emergency_name,
    english_lines,
    help_answers,
    not_safe_lines,
    phone_lines,
)
from forty_paces.outputs.cab.guided_walk import finder_view
from forty_paces.outputs.cab.screens import StartTool, base_tables, screen_before, start_calls, ways_out_views
from forty_paces.outputs.common.context import ENGLISH_LANGUAGE, BuildContext
from forty_paces.outputs.common.edition_status import review_day, status_script
from forty_paces.outputs.common.families import families
from forty_paces.outputs.common.files import Artifact
from forty_paces.outputs.common.moved_distances import moved_rules, moved_tables
from forty_paces.outputs.common.procedure_view import ToolLink, view_procedure
from forty_paces.outputs.common.qr import qr_svg
from forty_paces.outputs.common.self_contained import (
    ascii_only,
    content_security_policy,
    font_faces,
    inline_json,
    inline_source,
    joined_script,
    minify_css,
)
from forty_paces.outputs.common.typesetting import foot_boxes

SCRIPTS = (
    "frame",
    "store",
    "practice_state",
    "memory",
    "look",
    "screens",
    "vehicle",
    "twice",
    "step_marks",
    "procedure",
    "trail_state",
    "trail",
    "head",
    "placement",
    "selfcheck",
    "walk_state",
    "plan",
    "walk_choices",
    "walk_device",
    "walk_steps",
    "walk",
    "message",
    "position",
    "help",
    "clocks",
    "sheet",
    "known",
    "record_lines",
    "photos",
    "expiry_state",
    "expiry",
    "record",
    "trip_state",
    "trip",
    "practice",
    "voice",
    "language",
    "hands_state",
    "hands",
    "open",
)
"""The modules of the script, in the order in which they start; one that fails does not stop the others."""

STYLES_OF_START = ("tokens", "cab-start")
"""Style sheets of the start screen, read before the first paint."""

STYLES_OF_REST = ("drawing", "cab", "cab-help", "cab-small")
"""Additional style sheets of the other screens, read after the start screen."""


def start_tools(rules: RuleSet) -> tuple[StartTool, ...]:
    """The tools of the start screen; the clock counts down only where the rule set has a limit."""
    return (
        StartTool("find", "finder", "#find"),
        StartTool("clock" if rules.time_limit_s else "stop-clock", "clock", "#clock"),
        StartTool("record", "record", "#record"),
        StartTool("phones", "phone", "#phones"),
    )


STEP_TOOLS = {
    Tool.DISTANCES: ToolLink("find", SCREENS, "finder", "#find"),
    Tool.PHONES: ToolLink("phones", SCREENS, "phone", "#phones"),
    Tool.RECORD: ToolLink("record", SCREENS, "record", "#record"),
}
"""The link shown below a step that needs the tool; every tool leads back to the step."""

_VIEW_ENDS = {"bend": HiddenBy.CURVE, "hill": HiddenBy.HILL, "obstruction": HiddenBy.OBSTRUCTION}
"""What hides the view, by the word that the script of the walk knows it by."""

REPEATED_SYMBOLS = (*(f"signal-{word}" for word in SIGNALS), *(tool.symbol for tool in STEP_TOOLS.values()))
"""Symbols that many steps show. The file defines each once, which saves a third of a kilobyte a time."""

_LINE_END = re.compile(r"\s*\n\s*")

_TYPEFACE, _POLICY = "<style>[typeface of the cab file]</style>", "[policy of the cab file]"


def artifacts(context: BuildContext) -> Iterator[Artifact]:
    """``cab.html`` for every vehicle, and one file for each vehicle of a small fleet."""
    yield Artifact("cab.html", cab_html(context))
    for vehicle in context.vehicles_in_site:
        yield Artifact(f"vehicles/{vehicle.id}/cab.html", cab_html(context, vehicle))


def cab_html(context: BuildContext, vehicle: Vehicle | None = None, *, root: str = "") -> str:
    """The complete file. For a vehicle, steps that cannot apply to it are left out.

    ``root`` is the relative URL of the folder with the service worker; by default the root of the site.
    """
    library = context.library
    views = tuple(view_procedure(procedure, vehicle) for procedure in library.procedures)
    rule_file = library.rules[library.fleet.rules]
    after = library.after_event
    phones = phone_lines(library.fleet, after)
    listed = families(library.procedures)
    words = script_words(metric=context.metric)
    finder = finder_view(rule_file, (vehicle,) if vehicle else library.fleet.vehicles)
    first_script = inline_source(context.asset_text("js/cab/first.js"))
    script = inline_source(cab_script(context))
    style_start = inline_source(cab_style(context, STYLES_OF_START))
    style_rest = inline_source(f"{cab_style(context, STYLES_OF_REST)}\n{paper_foot(context, vehicle)}")
    page = context.render(
        "cab/cab.html.j2",
        root=root or ("../../" if vehicle else "./"),
        vehicle=vehicle,
        families=listed,
        logo_address=context.logo_address,
        screen_before=screen_before(listed),
        start_calls=start_calls(phones),
        start_tools=start_tools(rule_file.rule_set),
        step_tools=STEP_TOOLS,
        views=views,
        titles={procedure.id: procedure.title for procedure in library.procedures},
        by_title=sorted(library.procedures, key=lambda procedure: procedure.title),
        rule_file=rule_file,
        rules=rule_file.rule_set,
        finder=finder,
        base_tables=base_tables(rule_file.rule_set),
        limits=moved_rules(rule_file.rule_set),
        moved_tables=moved_tables(rule_file.rule_set),
        view_end_definitions=Markup(view_end_definitions(rule_file.rule_set)),
        view_ends={
            asked: Markup(view_end_reference(cause, "ask__picture", data_picture=asked))
            for asked, cause in _VIEW_ENDS.items()
        },
        after=after,
        before_trip=library.before_trip,
        ways_out=ways_out_views(library, vehicle),
        call_buttons=call_buttons(library.fleet),
        deadline_groups=deadline_groups(after.deadlines) if after else (),
        phones=phones,
        emergency=emergency_name(library.fleet),
        not_safe=not_safe_lines(library),
        review_day=review_day(library),
        edition_code=Markup(qr_svg(edition_words(context, vehicle), prefix="edition")),
        cited=tuple(library.sources),
        data=inline_json(data_for(context, vehicle, finder)),
        words=words,
        answers=help_answers(),
        english=english_lines(context),
        in_two_languages=context.language != ENGLISH_LANGUAGE,
        words_data=inline_json(words),
        first_script=first_script,
        script=script,
        style_start=style_start,
        style_rest=style_rest,
        repeated_symbol=lambda name: Markup(symbol_reference(name)),
        symbol_definitions=Markup(symbol_definitions(REPEATED_SYMBOLS)),
        without_blank_lines=_without_blank_lines,
        typeface=Markup(_TYPEFACE),
        policy=_POLICY,
    )
    typeface = inline_source(cab_typeface(context, page))
    guard = content_security_policy(
        styles=[style_start, style_rest, typeface], scripts=[first_script, script], installs=True
    )
    # Library text cannot take either place: the policy comes before it, and an escaped text has no element.
    return ascii_only(page.replace(_POLICY, guard, 1).replace(_TYPEFACE, f"<style>{typeface}</style>", 1))


def edition_words(context: BuildContext, vehicle: Vehicle | None) -> str:
    """Which edition this is, for a camera, in the characters of the QR alphanumeric mode."""
    edition, fleet = context.library.edition, context.library.fleet
    words = [f"EDITION {edition.id}", f"NUMBER {edition.number}", f"OF {edition.date}"]
    if edition.expires:
        words.append(f"UNTIL {edition.expires}")
    words += [f"KEY {edition.key}" if edition.key else "UNSIGNED", f"CARRIER {fleet.stable_id}"]
    if vehicle:
        words.append(f"VEHICLE {vehicle.id}")
    return " ".join(words).upper()


def paper_foot(context: BuildContext, vehicle: Vehicle | None) -> str:
    """The rule that names carrier, unit and edition on every page that is printed, with its number."""
    unit = vehicle and (SCREENS["foot-unit"].format(unit=vehicle.unit) if vehicle.unit else vehicle.title)
    foot = SCREENS["foot"].format(
        carrier=context.library.fleet.carrier,
        unit=unit or SCREENS["foot-no-unit"],
        edition=context.library.edition.id,
        signature=context.library.edition.signature,
    )
    return f"@media print{{@page{{{foot_boxes(foot)}}}}}"


def _without_blank_lines(markup: Markup) -> Markup:
    """Markup of a procedure without indents and blank lines, which no reader sees."""
    return Markup(_LINE_END.sub("\n", markup))


def cab_script(context: BuildContext) -> str:
    """The modules joined into one classic script, followed by the edition's status script."""
    parts = joined_script(context.asset_text(f"js/cab/{name}.js") for name in SCRIPTS)
    return f"{parts}\n{status_script(context)}"


def cab_style(context: BuildContext, names: Iterable[str]) -> str:
    """The named style sheets, minified and joined in cascade order."""
    return "\n".join(minify_css(context.asset_text(f"css/{name}.css")) for name in names)


def cab_typeface(context: BuildContext, text: str) -> str:
    """@font-face rules with the fonts subset to ``text``."""
    return font_faces(font_files(context.fonts), text)

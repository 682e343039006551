"""The checklist pages: before the trip and after the event.

Both also print as sheets to tick and fill in. Every deadline and value comes from the content files.
"""

from __future__ import annotations

from collections.abc import Iterator

from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.files import Artifact


def artifacts(context: BuildContext) -> Iterator[Artifact]:
    """``before-trip.html`` and ``after-event.html``, each where its content file exists."""
    library = context.library
    if library.before_trip is not None:
        yield _page(context, "before-trip", "before_trip", checklist=library.before_trip)
    if library.after_event is not None:
        phones = {phone.id: phone for phone in library.fleet.phones}
        calls = tuple(
            (phones[call.phone], call) for call in library.after_event.calls if call.phone in phones
        )
        yield _page(context, "after-event", "after_event", after=library.after_event, calls=calls)


def navigation() -> list[dict[str, str] | str]:
    """The pages in reading order."""
    return [{"Before the trip": "before-trip.md"}, {"After the event": "after-event.md"}]


def _page(context: BuildContext, path: str, template: str, **names: object) -> Artifact:
    return Artifact(f"{path}.md", context.render(f"pages/{template}.md.j2", **names).lstrip("\n"))

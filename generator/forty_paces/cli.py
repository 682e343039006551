"""The command line: one module for each verb, imported on first use.

Exit status: 0 for success, 1 for findings in content or data, 2 for wrong use. No traceback reaches a user:
every exception becomes a message here. To add a verb, add a module to generator/forty_paces/commands and
a line to VERBS.
"""

from __future__ import annotations

import errno
import gc
import importlib
import os
import sys
import unicodedata
from collections.abc import Sequence
from types import ModuleType
from typing import Any

import click

VERBS = (
    "build",
    "cards",
    "check",
    "editions",
    "init",
    "keys",
    "languages",
    "new",
    "place",
    "review",
    "schema",
    "scores",
    "sources",
    "stopping",
    "verify",
    "worksheet",
)
"""Each is a module of forty_paces.commands with a command of the same name."""

EPILOG = """\b
Examples:
  fortypaces init our-carrier
  fortypaces place --road two-lane --speed 55
  fortypaces stopping --speed 55 --grade -6
  fortypaces verify site
  fortypaces COMMAND --help

\b
Exit status: 0 all is well; 1 content or data has findings; 2 wrong use.
"""


class VerbGroup(click.Group):
    """The group of verbs, and the only place where an exception becomes a message."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Every verb."""
        return list(VERBS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Import the verb; None where there is none of that name."""
        if cmd_name not in VERBS:
            return None
        module = _imported(f"forty_paces.commands.{cmd_name}")
        command = getattr(module, cmd_name)
        assert isinstance(command, click.Command)
        return command

    def main(
        self,
        args: Sequence[str] | None = None,
        prog_name: str | None = None,
        complete_var: str | None = None,
        standalone_mode: bool = True,
        **extra: Any,
    ) -> Any:
        """Run, and turn every exception into one message and an exit status."""
        for stream in (sys.stdout, sys.stderr):
            if hasattr(stream, "reconfigure"):
                stream.reconfigure(errors="replace")  # an old terminal shows "?" rather than failing
        hidden = _hidden_character(sys.argv[1:] if args is None else args)
        if hidden and standalone_mode:
            wrong = f"an argument holds the invisible character {hidden}: type it anew"
            click.echo(f"fortypaces: {wrong}", err=True)
            sys.exit(2)
        try:
            return super().main(args, prog_name, complete_var, standalone_mode, **extra)
        except Exception as fault:
            if not standalone_mode:
                raise
            click.echo(error_message(fault), err=True)
            sys.exit(1)


def _hidden_character(args: Sequence[str]) -> str:
    """The number of a control or direction character that messages would print; empty where there is none."""
    words = "".join(args)
    if words.isprintable():
        return ""
    hidden = next((one for one in words if unicodedata.category(one) in ("Cc", "Cf", "Cs", "Zl", "Zp")), "")
    if "\udc80" <= hidden <= "\udcff":  # a byte of a file name that is not UTF-8, printed as "?"
        return _hidden_character([words.replace(hidden, "")])
    return f"U+{ord(hidden):04X}" if hidden else ""


def _imported(name: str) -> ModuleType:
    """Import a module without collecting garbage meanwhile and without looking for pydantic plugins.

    Importing makes many objects and no garbage, so what exists afterwards is left out of every later
    collection, the one at exit too. The plugins would be sought among all installed packages.
    """
    if name in sys.modules:
        return sys.modules[name]
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    collecting = gc.isenabled()
    gc.disable()
    try:
        return importlib.import_module(name)
    finally:
        gc.freeze()
        if collecting:
            gc.enable()


def error_message(fault: Exception) -> str:
    """The message shown to a user for an exception."""
    from forty_paces.authoring.clock import BadClock
    from forty_paces.authoring.findings import ContentFault
    from forty_paces.geometry.stopping import CannotStop

    if isinstance(fault, ContentFault):
        return str(fault)
    if isinstance(fault, CannotStop):
        return f"fortypaces: {fault}. Choose another grade or surface; on the road, stay well clear."
    if isinstance(fault, BadClock):
        return f"fortypaces: {fault}."
    if isinstance(fault, OSError) and type(fault).__module__.startswith("jinja2"):
        # A missing template: an OSError with the file's name in its message alone.
        return f"fortypaces: site_overrides/templates/{fault}: the template is missing"
    if isinstance(fault, OSError):
        named = f"{fault.filename}: " if fault.filename else ""
        reason = fault.strerror or errno.errorcode.get(fault.errno or 0, "cannot be read or written")
        return f"fortypaces: {named}{reason[0].lower()}{reason[1:]}"
    message = " ".join(str(fault).split()) or "no further word"
    return f"fortypaces: stopped by a fault of its own ({type(fault).__name__}: {message}). Please report it."


@click.group(
    cls=VerbGroup,
    epilog=EPILOG,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
@click.version_option(package_name="forty-paces", prog_name="fortypaces")
def main() -> None:
    """Emergency roadside procedures for commercial drivers, and where the warning devices go.

    Not to be used while driving. Stop safely first.
    """

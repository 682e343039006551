"""``fortypaces keys``: make a key pair for signing editions, or show the public half of one."""

from __future__ import annotations

import os
import stat
import sys
from pathlib import Path

import click

from forty_paces.commands.project import project_around
from forty_paces.outputs.edition import signing
from forty_paces.outputs.edition.edition_file import RECORD
from forty_paces.outputs.edition.signing import InvalidKey, PublicKey, SigningKey

EPILOG = """\b
Examples:
  fortypaces keys new ~/keys/yard.key
  fortypaces keys show ~/keys/yard.key.pub
  fortypaces build --sign ~/keys/yard.key
  fortypaces verify site --key ~/keys/yard.key.pub

\b
Keep the private key and its passphrase in two places that no web server reads.
Whoever has both can sign editions that your tablets accept; whoever has lost them
makes a new key and installs every tablet anew.
Exit status: 0 done; 1 the file cannot be read or written; 2 wrong use.
"""

PASSPHRASE = "FORTYPACES_PASSPHRASE"
"""Environment variable with the passphrase, where nobody is there to type it."""

REPOSITORIES = (".git", ".hg", ".svn")


@click.group(epilog=EPILOG)
def keys() -> None:
    """Make or show the key that signs editions."""


@keys.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--no-passphrase", is_flag=True, help="Store the key as it is: whoever has the file can sign.")
def new(file: Path, no_passphrase: bool) -> None:
    """Make a key pair: FILE is the private key, FILE.pub the public one.

    The key is encrypted with a passphrase, asked for twice or taken from
    FORTYPACES_PASSPHRASE. Nothing that exists is overwritten.
    """
    _need_the_extra()
    if why := exposed(file):
        raise click.UsageError(f"{file} {why}; name a folder outside of it")
    passphrase = "" if no_passphrase else os.environ.get(PASSPHRASE, "")
    if not passphrase and not no_passphrase:
        passphrase = click.prompt("Passphrase", hide_input=True, confirmation_prompt=True)
    public = signing.new_key(file, passphrase)
    click.echo(f"{file}: the private key. Keep it secret, and keep a copy.")
    click.echo(f"{signing.public_file(file)}: the public key. Give it to whoever verifies editions.")
    click.echo(_shown(public))


@keys.command()
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
def show(file: Path) -> None:
    """Show the public key of FILE, a private or a public key."""
    try:
        public = signing.PublicKey.parse(signing.key_text(file))
    except InvalidKey:
        public = signing_key(file).public
    click.echo(_shown(public))


def _shown(public: PublicKey) -> str:
    return f"Key {public.name}\n{public.line}"


def signing_key(file: Path) -> SigningKey:
    """The private key that a verb was given. ``UsageError`` where it cannot be used, or lies in the open."""
    _need_the_extra()
    try:
        if why := exposed(file):
            raise click.UsageError(f"{file} {why}; move it out, and if others have seen it make a new one")
        if os.name != "nt" and stat.S_IMODE(file.stat().st_mode) & 0o077:
            click.echo(f"{file}: others on this machine can read this key; run  chmod 600 {file}", err=True)
        passphrase = passphrase_for(file)
        return signing.read_signing_key(file, passphrase)
    except InvalidKey as fault:
        raise click.UsageError(str(fault)) from None


def passphrase_for(file: Path) -> str:
    """The passphrase of a key: from the environment, or typed; empty where it has none."""
    if not signing.is_encrypted(file):
        return ""
    given = os.environ.get(PASSPHRASE, "")
    if not given and not sys.stdin.isatty():
        raise click.UsageError(f"{file} needs its passphrase: set {PASSPHRASE}")
    return given or str(click.prompt("Passphrase", hide_input=True, err=True))


def exposed(file: Path) -> str:
    """Why a private key must not lie there; empty where it may."""
    folder = file.absolute().parent.resolve()
    if project_around(folder) is not None:
        return "would lie inside a project, from which files are published"
    for above in (folder, *folder.parents):
        if (above / RECORD).is_file():
            return "would lie inside a built edition, which is published"
        if any((above / name).exists() for name in REPOSITORIES):
            return "would lie inside a repository, from which files are published"
    return ""


def _need_the_extra() -> None:
    if why := signing.missing():
        raise click.UsageError(why)

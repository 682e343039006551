"""``fortypaces verify``: whether a copy is complete, unchanged, signed by a key, new enough and not expired.

Lists every difference between a folder, such as a tablet's or a USB stick's, and its edition.
"""

from __future__ import annotations

import datetime as dt
import json
import sys
from pathlib import Path

import click

from forty_paces.authoring.clock import day_of_reading
from forty_paces.authoring.findings import printable
from forty_paces.commands.figures import day
from forty_paces.outputs.edition import signing
from forty_paces.outputs.edition.edition_file import RECORD, order_of, read_record
from forty_paces.outputs.edition.verification import DifferenceKind, Signed, VerificationResult
from forty_paces.outputs.edition.verification import verify as compare

EPILOG = """\b
Examples:
  fortypaces verify site
  fortypaces verify /media/stick/forty-paces --json
  fortypaces verify site --key yard.key.pub             and it is signed by this key
  fortypaces verify site --newer-than old/edition.json  and it is newer than that one
  minisign -V -p yard.key.pub -m site/edition.json      the signature alone, by another tool

\b
Exit status: 0 the copy is whole, and all that was asked for holds; 1 a file differs;
2 wrong use; 3 whole, but not signed as asked, or the signature does not fit;
4 whole and signed as asked, but expired or not newer.
"""

WHOLE, DIFFERS, NOT_SIGNED, NOT_NEW = 0, 1, 3, 4


@click.command(epilog=EPILOG)
@click.argument("path", type=click.Path(exists=True, path_type=Path))
@click.option("--key", "key_name", metavar="PUB", help="Public key, or its file, that has to have signed it.")
@click.option(
    "--newer-than",
    metavar="N|FILE",
    help="It has to have a higher number than this, or than the edition of this edition.json.",
)
@click.option("--today", type=day, metavar="DAY", help="Compare its last day with this one.")
@click.option("--json", "as_json", is_flag=True, help="Print the result as JSON and nothing else.")
def verify(
    path: Path, key_name: str | None, newer_than: str | None, today: dt.date | None, as_json: bool
) -> None:
    """Compare a copied edition with its own record, and its signature with a key.

    PATH is the folder that holds edition.json (or that file). Every file is read
    and compared with its hash; changed, missing, extra and renamed files, links,
    pipes and other permissions are reported. Without --key the copy is proved
    whole, and not who made it.
    """
    folder = path.parent if path.name == RECORD and path.is_file() else path
    key = _key(key_name) if key_name is not None else None
    older = _older(newer_than) if newer_than is not None else None
    result = compare(folder, key=key, newer_than=older, today=today or day_of_reading())
    if as_json:
        click.echo(json.dumps(_as_data(result), indent=1, ensure_ascii=False))
    else:
        click.echo(_as_words(result))
    sys.exit(_status(result))


def _key(name: str) -> signing.PublicKey:
    if why := signing.missing():
        raise click.UsageError(why)
    try:
        return signing.read_public_key(name)
    except signing.InvalidKey as fault:
        raise click.UsageError(f"--key: {fault}") from None


def _older(written: str) -> tuple[int, str]:
    """The number and date that have to be exceeded; a number alone is exceeded by higher numbers only."""
    if written.isascii() and written.isdigit() and len(written) < 10:
        return int(written), "9999"
    try:
        return order_of(read_record(_record_file(Path(written)))[0])
    except (OSError, ValueError) as fault:
        why = (fault.strerror or "cannot be read").lower() if isinstance(fault, OSError) else fault
        raise click.UsageError(f"--newer-than: {written} {_sentence(why)}") from None


def _record_file(named: Path) -> Path:
    return named / RECORD if named.is_dir() else named


def _sentence(why: object) -> str:
    words = str(why)
    return words if words.startswith(("is ", "names ", "lacks ")) else f"cannot be read: {words}"


def _status(result: VerificationResult) -> int:
    kinds = {difference.kind for difference in result.differences}
    if not result.whole:
        return DIFFERS
    if DifferenceKind.SIGNATURE in kinds:
        return NOT_SIGNED
    return NOT_NEW if kinds else WHOLE


def _as_data(result: VerificationResult) -> dict[str, object]:
    return {
        "edition": result.edition,
        "date": result.date,
        "files": result.files,
        "whole": result.whole,
        "findings": [
            {"path": d.path, "kind": d.kind.value, "words": d.words, **({"now": d.now} if d.now else {})}
            for d in result.differences
        ],
        "number": result.number,
        "expires": result.expires or None,
        "signed": result.signed.value,
        "key": result.key or None,
        "beside": list(result.beside),
    }


def _as_words(result: VerificationResult) -> str:
    named = f"edition {result.edition} of {result.date}" if result.edition else "an edition"
    if result.number:
        named += f", number {result.number}"
    lines = [f"{printable(d.path)}: {printable(d.words)}" for d in result.differences]
    if result.beside:
        lines.append(f"Left beside it by a system, and no part of it: {printable(', '.join(result.beside))}")
    count = len(result.differences)
    counted = f"{count} finding{'s' if count != 1 else ''}"
    if not result.whole:
        return "\n".join([*lines, f"{counted}: this is not {named}. Copy it again."])
    whole = f"{named[0].upper()}{named[1:]} is whole: {result.files} files, each as it was made."
    if count:
        return "\n".join([*lines, f"{whole} But: {counted}. Do not give it out."])
    return "\n".join([*lines, f"{whole} {_signature_words(result)}"])


def _signature_words(result: VerificationResult) -> str:
    if result.signed is Signed.VERIFIED:
        return f"Signed by key {result.key}."
    if result.signed is Signed.UNCHECKED:
        return f"It says that key {result.key} signed it; --key verifies that."
    return "It is unsigned: this does not prove who made it."

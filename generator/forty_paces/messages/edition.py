"""The words of the script that says whether the edition is kept on the tablet, and of its signature."""

from __future__ import annotations

from forty_paces.messages.languages import Texts

_FILE_ABOARD = "Use cab.html as a file on this tablet, or the cards, and tell whoever runs this address."

STATUS = Texts(
    "edition",
    {
        "file": "Opened as a file: nothing is needed from a network.",
        "insecure": "This address is not secure (https), so the browser cannot keep the edition on this "
        "tablet.",
        "unable": "This browser cannot keep the edition on this tablet.",
        "broken": "The new edition did not arrive whole. The one you have stays in use.",
        "older": "What this address offers is older than the edition you have, and was not taken. "
        "Yours stays in use.",
        "key": "What this address offers is signed by another key than your edition, and was not taken. "
        "Yours stays in use. Ask your carrier.",
        "unsigned": "What this address offers is not signed, as your edition is, and was not taken. "
        "Yours stays in use. Ask your carrier.",
        "other": "What this address offers is for another carrier or vehicle, and was not taken. "
        "Yours stays in use.",
        "signature": "The signature of what this address offers does not fit it, so it was not taken. "
        "The one you have stays in use.",
        "no_edition": "What this address sends now is no edition, and was not taken: tell whoever runs it.",
        "unsaved": "Not ready without signal yet. Reload this page where there is a signal.",
        "checking": "Looking whether the edition that arrived is whole.",
        "foreign": "Not ready without signal: what this address sent is no edition. " + _FILE_ABOARD,
        "threatened": "Not ready without signal: this address sent something that is no edition, and it "
        "takes over once every page is closed. Keep this page open. " + _FILE_ABOARD,
        "change": "Change to it now",
        "reload": "Reload this page",
        "replaced": "Another page changed to a new edition.",
        "ready": "Ready without signal: edition {edition} of {day}.",
        "ready_new": "A new edition is ready, of {day}.",
        "saving": "Saving for use without signal: {done} of {files} files.",
        "due": "This edition was due for review on {day}. Get a newer one.",
        "expired": "The last day of this edition was {day}. It still opens. Get a newer one.",
        "clock_behind": "The clock of this device is behind the date of this edition. "
        "Times and deadlines will be wrong.",
        "signed-file": "Opened as a file: its signature is not verified here. "
        "On a computer, fortypaces verify FOLDER --key PUB does.",
        "signed-verified": "Its signature was verified on this tablet.",
        "signed-unchecked": "Its signature is not verified here: this browser cannot. "
        "On a computer, fortypaces verify FOLDER --key PUB does.",
        "signed-refused": "Its signature does not fit. Do not rely on it, and tell your carrier.",
        "short-verified": "Signature verified.",
        "short-unchecked": "Signature not verified here.",
        "short-refused": "Its signature does not fit.",
    },
)
"""Every text of the script by its id; the page hands them to ``edition.js``."""

SIGNATURE = Texts("signature", {"signed": "signed, key {key}", "unsigned": "unsigned"})
"""What every output says of the signature of its build."""

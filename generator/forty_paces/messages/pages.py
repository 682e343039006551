"""Texts of the site that Python fills in: navigation, tools, titles, the about page, the review report.

Also what every page says of its translation and its edition: whether that is kept on the tablet, and signed.
"""

from __future__ import annotations

from forty_paces.messages.languages import Texts, reviewer

SITE = Texts(
    "site",
    {
        "description": "Emergency roadside procedures for commercial drivers, offline.",
        "night-view": "Switch to night view",
        "day-view": "Switch to day view",
        # navigation
        "start": "Start",
        "emergencies": "Emergencies",
        "placing": "Placing devices",
        "roads": "Roads drawn to scale",
        "distance-tables": "Distance tables",
        "rule-sets": "Rule sets",
        "before-and-after": "Before and after",
        "before-trip": "Before the trip",
        "after-event": "After the event",
        "tables": "Tables",
        "stopping": "Stopping sight distance",
        "heavy-stopping": "Stopping a heavy vehicle",
        "following-gap": "Following gap",
        "hydroplaning": "Hydroplaning",
        "headlights": "Headlights",
        "classroom": "Classroom",
        "cards": "Cards",
        "cards-to-print": "Cards to print",
        "laminate": "Print, laminate and cut",
        "about-group": "About",
        "tablets": "Put it on a tablet",
        "make-it-yours": "Make it yours",
        "review": "Review sheet",
        "sources": "Sources",
        "glossary": "Glossary",
        "writing": "Writing procedures",
        # tools
        "tool-cab": "Cab assistant",
        "tool-distances": "Triangle distances",
        "tool-record": "Record and deadlines",
        "tool-phones": "Phone numbers",
        "step-distances": "Distances for each kind of road",
        # kinds of sources
        "kind-regulation": "Regulations",
        "kind-standard": "Standards",
        "kind-handbook": "Handbooks",
        "kind-research": "Research",
        "kind-common-practice": "Common practice, no source",
        # titles of drawings
        "drawn-stop": "Stopping at {speed} with air brakes, by parts",
        "drawn-gap": "Following gap of a vehicle {length} long at {speed}",
        "drawn-route": "Route through: {title}",
        # the app on a tablet
        "app-name": "Forty Paces, {carrier}",
        "app-short-name": "Forty Paces",
        "app-description": "What to do at the roadside. Works without signal.",
        # lengths of a road page
        "range": "{low} to {high}",
        "bare-feet": "{lengths} ft {side}",
        "bare-meters": "{lengths} m {side}",
    },
)

ROADS = Texts(
    "roads",
    {
        "two-lane": "Two-lane road",
        "two-lane-lead": "Traffic comes from both sides, so warn both sides.",
        "divided": "Divided road",
        "divided-lead": "All traffic on your side comes from behind, so all three devices stand behind.",
        "one-way": "One-way road or ramp",
        "one-way-lead": "All traffic comes from behind, so all three devices stand behind.",
        "right-hand-bend": "Right-hand bend behind you",
        "right-hand-bend-lead": (
            "Drivers behind you come out of a right-hand bend. The device toward them moves out toward the "
            "bend, as far as the table says."
        ),
        "left-hand-bend": "Left-hand bend behind you",
        "left-hand-bend-lead": (
            "Drivers behind you come out of a left-hand bend. The device toward them moves out toward the "
            "bend, as far as the table says."
        ),
        "crest": "Crest of a hill",
        "crest-lead": (
            "The crest hides you from the drivers beyond it. The device toward them moves out toward the "
            "crest, as far as the table says."
        ),
        "town": "Town street",
        "town-lead": "Slower traffic, more light, people on foot.",
    },
)
"""Title and first paragraph of the page of each kind of road."""

ABOUT = Texts(
    "about",
    {
        "use-typeface": "typeface on every page, card and drawing",
        "use-frame": "page frame of the site, its styles and scripts",
        "use-worker": "lets the search run when a page is opened from a folder",
        "use-search": "the search",
        "use-frame-scripts": "inside the scripts of the page frame",
        "use-frame-styles": "inside the styles of the page frame",
        "use-frame-buttons": "buttons of the page frame",
        "use-frame-signs": "signs inside the styles of the page frame",
        "use-frame-sign": "one sign inside the styles of the page frame",
        "kept-choices": (
            "Your choices in the cab assistant: day or night, size of text, vehicle, speed and light of the "
            "last walk, and the switches for hands free"
        ),
        "goes-choices": (
            "They stay when a record is erased. They go with the browser's own data. Day or night and the "
            "size of text are copied to local storage too, so that the first thing painted has the right "
            "look."
        ),
        "kept-record": (
            "The record in the cab assistant, one for each vehicle: ticks, answers and their times, what you "
            "wrote, which pictures were taken, where the devices stand, the clocks, which procedure led to "
            "which, the message for help, positions that you asked for, photos, and when its last entry was"
        ),
        "goes-record": (
            'Two taps in the record: "Clear the record", then "Erase it all". Or by itself, after a warning, '
            "so many days after its last entry as the carrier has set."
        ),
        "kept-trip": (
            "The list before the trip in the cab assistant, one for each vehicle: ticks and their times, and "
            "what you wrote"
        ),
        "goes-trip": 'Two taps in the list: "Start a new list", and once more on the next screen.',
        "kept-scores": (
            "Answers and scores of the classroom by class and number, without names; where each number's "
            "lessons stand; when each class last answered and was warned; and, until the tab is closed, who "
            "answers here"
        ),
        "goes-scores": (
            'Two taps on the trainer\'s page: "Wipe everything", then "Yes, wipe everything now". Or by '
            "itself, after a warning, so many days after the last answer of a class as the carrier has set."
        ),
        "kept-palette": "Day or night on the pages of this site",
        "goes-palette": "It goes with the browser's own data.",
        "kept-language": "The language in which the cab assistant opens",
        "goes-language": "It goes with the browser's own data.",
        "kept-edition": "The files of this edition, where it was put on a tablet from a web address",
        "goes-edition": (
            "They go with the browser's own data. A new edition takes the place of the old one."
        ),
    },
)
"""What others' work is used for, what a browser keeps, and how that is deleted."""

REVIEW = Texts(
    "review",
    {
        "technical": "Technical review: right against its sources",
        "user": "Driver's review: walked with the card in hand",
        "safety_lead": "Safety lead: in force for this carrier",
        "question-wait": "Could any by-heart line wait until the vehicle has stopped?",
        "question-order": "Does the order of steps follow the driver's way, with no walking back?",
        "question-traffic": "Does any step need a speed or a gap that traffic may not allow?",
        "question-breath": "Can each step be said in one breath and understood at once?",
        "question-idiom": "Is there an idiom, a joke or a word of blame anywhere?",
        "new": "new",
        "changed": "changed",
        "gone": "taken out",
        "nobody": "nobody yet",
        "report": "Review report: {carrier}",
        "edition": "Edition {edition} of {date}; report of {day}",
        "since": "Changed lines since edition {edition}",
        "gone-since": "Procedures taken out since then: {procedures}",
        "version": "{code}  {title}  (version {version})",
        "in-force": "in force from {day}, next review {next_review}: {due}",
        "author": "written by {author}",
        "unreviewed": "not yet reviewed by anybody",
        "sources": "Sources",
        "watched": "Watched regulations",
        "none-watched": "No source is watched.",
        "waived": "Waived wording rules",
        "none-waived": "No wording rule is waived.",
        "waiver": "{rule} at {at}: {wrong}",
        "because": "because: {reason}",
        "lines": "Changed lines",
        "no-lines": "No line has changed.",
        "now": "now: {text}",
        "for-reviewer": "For the reviewer",
        "sign": "Name ______________________________  Day ______________  Signed ______________",
        "watch": "{what} Since: {since}. Look at: {where}. Last looked {looked}; due {due}.",
        "due-day": "in {n} day",
        "due-days": "in {n} days",
        "overdue-day": "OVERDUE by {n} day",
        "overdue-days": "OVERDUE by {n} days",
    },
)
"""The review report: what is asked, and the words around what the content says."""


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
"""Whether the edition is kept on the tablet: every text by its id, which the page hands to ``edition.js``."""

SIGNATURE = Texts("signature", {"signed": "signed, key {key}", "unsigned": "unsigned"})
"""What every output says of the signature of its build."""


TRANSLATION = Texts(
    "translation",
    {
        "unread": "Translated from English. No speaker of the language has reviewed it yet.",
        "unread-short": "Translation not reviewed by a speaker.",
        "read": "Translation reviewed by {reviewer}.",
    },
)
"""Who has read a translation."""


def translation_note(*, short: bool = False) -> str:
    """Who has read the translation in force, or that nobody has; empty for English."""
    name = reviewer()
    if name is None:
        return TRANSLATION["unread-short" if short else "unread"]
    return TRANSLATION["read"].format(reviewer=name) if name else ""

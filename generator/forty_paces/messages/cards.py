"""The words of printed cards, by an id: feet, codes, sheets, slips, tickets, and what the command says.

The texts of the procedures are content and are never here.
"""

from __future__ import annotations

from forty_paces.messages.languages import Texts

WORDS = Texts(
    "cards",
    {
        "not-reviewed": "Not yet reviewed by your safety lead.",
        "signed": "Signed by {name}, {day}.",
        "continued": ", continued",
        "wallet-front": ", 1/2",
        "wallet-back": ", 2/2",
        "notes-back": ", notes",
        "index-title": "Find the card",
        "index-tile": "Index",
        "list-title": "Leaves of this set",
        "list-tile": "Leaves",
        "unit": "unit {unit}",
        "all-vehicles": "all vehicles",
        "wallet-title": "Know these by heart",
        "wallet-tile": "Wallet",
        "phones-title": "Numbers to call",
        "hidden-title": "Bend, hill or other thing hides you",
        "hidden-tile": "Hidden by a bend or hill",
        "moved-title": "Hidden: how far out",
        "road-two-lane": "Two-lane road",
        "road-divided": "Divided road",
        "road-one-way": "One-way road or ramp",
        "long-edge": "long edge",
        "short-edge": "short edge",
        # feet and codes
        "foot": "{owner}. {code} {version}of {effective}, review by {review}. {number} of {of}, leaf {leaf}. "
        "{reviewed}",
        "foot-wallet": "{version}{effective} to {review}. {line}",
        "wallet-leaf": "leaf {leaf}, {number}/{of}",
        "wallet-unit": "unit {unit}",
        "wallet-version": "v{version}, ",
        "version": "version {version} ",
        "code": "SET {set}. {code} {version}LEAF {leaf} FACE {number} OF {of} REVIEW BY {review}. "
        "CHECK LEAF IN LIST ON FACE 2",
        "code-wallet": "SET {set} WALLET {code} {version}LEAF {leaf} {number}/{of} REVIEW BY {review}",
        # the list of leaves
        "list-set": "Set number",
        "list-unit": "Unit",
        "list-handed": "Handed to, on",
        "list-rule": "A leaf is in force if the eight signs after 'leaf' in its foot stand here at its card.",
        "list-tab": "Each tab bears a card's code. The card is on the front or on the back of that leaf.",
        "list-signature": "This set is of an edition that is {signature}.",
        # sheets
        "set-title": "{carrier}: {what} for {owner}, {size}",
        "what-wallet": "wallet cards",
        "what-cards": "glovebox cards",
        "two-languages": "{title}, {first} and {second}",
        "on-paper": "{title}, on {paper}",
        "sheet-both": "Sheet {sheet} of {sheets}, {side}. Print on both sides at 100 %, flip on the {turn}.",
        "sheet-fold": "Sheet {sheet} of {sheets}. Print on one side at 100 %. Cut at the solid marks, fold "
        "outward at the dashed marks.",
        "front": "front",
        "back": "back",
        "cut-how": "Print this sheet first, alone: on both sides at 100 %, flip on the {turn}. Both rulers "
        "must be 50 mm and 2 in long, and each cross must lie behind its cross within 2 mm.",
        "cut-how-metric": "Print this sheet first, alone: on both sides at 100 %, flip on the {turn}. The "
        "ruler must be 50 mm long, and each cross must lie behind its cross within 2 mm.",
        "cut-then": "Then print all other sheets. Cut the stack straight through at the marks. Lay pile 2 "
        "under pile 1, and so on: the leaves are then in order.",
        "pile": "Pile {pile}, {side}",
        "bar": "A bar beside a line marks a change since edition {since}.",
        "rulers": "Measure both rulers: if they are not 50 mm and 2 in long, the printer scaled the page. "
        "Print again at 100 %.",
        "rulers-metric": "Measure the ruler: if it is not 50 mm long, the printer scaled the page. "
        "Print again at 100 %.",
        "to-exchange": "{title}, to exchange",
        "test-title": "Test sheet for cards of {size}, on {paper}",
        "blank-front": "Front {number}",
        "blank-back": "Back {number}",
    },
)
"""Every text by its id."""

SHEET = Texts("sheet", {"page": "Page", "of": "of"})
"""The words around page number and count at the foot of a printed page."""

SLIP = Texts(
    "slip",
    {
        "title": "Exchange these leaves",
        "page": "Page {page} of {pages}.",
        "how": "Take out each leaf of edition {since} or older. Put the new leaf in its place, by the hole "
        "and the tab. Destroy the old one.",
        "leaf": "Leaf",
        "out": "Take out",
        "in": "Put in",
        "done": "Done",
        "of": "{leaf} of {leaves}",
        "added": "nothing: put the new leaf behind the last one",
        "none": "nothing: the leaf goes",
        "old-version": "leaf version {version}",
        "new-version": "leaf version {version}",
        "face": "{code} {title}, {number} of {of}",
        "set": "Set and unit",
        "by": "Exchanged by, on",
    },
)
"""The words of the slip that comes with leaves printed again."""

RUN = Texts(
    "print-run",
    {
        "title": "{carrier}: print run of edition {edition}, {signature}",
        "the-ticket": "Ticket",
        "the-register": "Register of sets",
        "page": "{what}, page {page} of {pages}",
        "set": "Set",
        "leaves": "Leaves",
        "copies": "Copies",
        "sheets": "Sheets of paper",
        "cuts": "Cuts",
        "film": "Film",
        "rings": "Rings",
        "each": "{sheets} a set, {total} in all, on {paper}",
        "whole": "whole set, {leaves}",
        "some": "{leaves}: {numbers}",
        "cuts-whole": "{cuts} through the stack",
        "cuts-each": "{cuts} a sheet",
        "stock": "Paper: matte, white, 160 to 200 g/m² or 60 to 80 lb cover. Film: matte, 5 mil (125 µm) a "
        "side or more, sealed 3 mm all round. Ring: 1 in (25 mm) or larger.",
        "check": "Check one set before you make the others: both rulers, backs behind fronts, every leaf "
        "against the list on face 2.",
        "made-by": "Printed and made by, on",
        "checked-by": "Checked by, on",
        "number": "Set number",
        "unit": "Unit",
        "edition": "Edition",
        "cover": "Leaf 1",
        "handed-to": "Handed to",
        "date": "Date",
        "destroyed": "Old set destroyed, date",
    },
)
"""The words of a print run."""


POSTER = Texts(
    "poster",
    {
        "document": "{carrier}: where the warning devices go",
        "title": "Stopped? Put the devices out.",
        "lead": "Flashers on first. Vest on.",
        "limit": "All out within {minutes} minutes, but life goes first: nobody walks in a lane.",
        "toward": "Hold them toward the traffic as you walk.",
        "unsafe": "Not safe to walk that far?",
        "back": "Go back. Do not place it.",
        "leak": "Fuel or gas leaks?",
        "no-flame": "Triangles only, no flame.",
        "hidden": "Hidden by a hill, a bend or anything else?",
        "moved": "A device moves out: see card {code} or the cab assistant.",
        "local": "Local rules win over this poster.",
        "mark": "{carrier}. {code}, edition {edition} of {day}, {signature}. Take it down after {review} "
        "unless it was renewed. Not yet reviewed by your safety lead.",
    },
)
"""The words of the wall poster."""

POSTER_LEGS = Texts(
    "poster.legs",
    {
        "beside": "Set device {number}: {across}.",
        "first": "Walk {direction} {distance}. Set device {number}, {across}.",
        "next": "Walk on to {distance} in all. Set device {number}, {across}.",
        "back": "Walk back, watching the traffic.",
    },
)
"""The legs of the walk in few words, for type of the poster's size; ids as in ``legs``."""

PAD = Texts(
    "pad",
    {
        "title": "{carrier}: record of an event",
        "number": "Record number",
        "unit": "Unit",
        "time": "Time",
        "register": "accident register",
        "page": "Page {page} of {pages}. Edition {edition}, {signature}. "
        "Both sheets bear the same record number.",
        "too-long": "the record asks for more than {sheets} sheets hold with a line to write on each",
        "shorten": "leave out or shorten items of record",
    },
)
"""The words of the pad on which an event is recorded."""

PAPER = Texts(
    "paper",
    {
        "ruler": "A ruler 50 millimeters long",
        "rulers": "Two rulers: 50 millimeters and 2 inches long",
    },
)
"""What the rulers of every printed sheet are called."""

PAPER_SIZES = Texts(
    "paper-sizes",
    {
        "letter": "US Letter",
        "letter-in-meters": "Letter",
        "tabloid": "US Tabloid",
        "tabloid-in-meters": "Tabloid",
        "a4": "A4",
        "a3": "A3",
        "a5": "A5",
        "a6": "A6",
        "half-letter": "half letter",
        "3x5": "index card",
        "id-1": "wallet card",
        "inches": "{name}, {width} by {height} in",
        "millimeters": "{name}, {width} by {height} mm",
        "lying": "{size}, lying",
    },
)
"""The names of sheets and finished cards by their ids, and how a size stands behind them."""

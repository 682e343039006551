"""The texts of the classroom that scripts and Python code fill in; those without slots are in the templates.

Scripts fill ``EXERCISE``, the verdicts, ``SIGHT`` and ``SCENARIO``: the pages carry them in their data.
"""

from __future__ import annotations

from forty_paces.messages.languages import Texts

EXERCISE = Texts(
    "exercise",
    {
        "place": "Sheet {number}, situation {situation}",
        "place_test": "Test {name}, situation {situation} of {of}",
        "test_over": "Test {name} is done: {counted} of {of} situations count.",
        "title": "{title}.",
        "task": "{road}, posted {speed}. {light}. Place {devices} devices.",
        "device": "Device {number}",
        "behind": "Behind",
        "ahead": "Ahead",
        "which_side": "Which side",
        "which_across": "Across the road",
        "nearer": "Device {number}: {length} nearer",
        "farther": "Device {number}: {length} farther",
        "distance": "Device {number}: distance in {unit}",
        "drivers_get": "Drivers from {side} get {warning}; to stop takes {needed}.",
        "missing": "{length} missing",
        "where": "{distance} {side}, {across}",
        "no_across": "no place across said",
        "where_paced": "{where}, {paces} paces",
        "score": "{right} of {of} right",
        "counts": "The situation counts.",
        "counts_not": "The situation does not count: every device has to be fully right.",
        "marked": "{device}: ",
        "verdict": "{verdict}.",
        "no_device": "No device",
        "asked_for": "Asked for: {asked}.",
        "because": "{why} {source}.",
        "work": "Placing the devices, sheet {number}",
        "work_test": "Placing the devices, test {name}",
        "aid": "warning shown",
        "no_aid": "none",
        "nobody": "Nothing is kept: type class and number to have it kept.",
        "of": "{right} of {of}",
    },
)
"""Texts of the placing exercise."""

VERDICTS = Texts(
    "verdicts",
    {
        "right": "Right",
        "ample": "Right: within the rule's range, with a longer walk than needed",
        "long-walk": "Half right: a walk of {seconds} s, {more} s more than needed",
        "too-near": "Too near the vehicle",
        "too-far": "Too far from the vehicle",
        "missing": "Missing on this side",
        "extra": "One too many on this side",
    },
)
"""The result for a device that was set, by the verdict on its distance."""

WRONG_ACROSS = Texts(
    "wrong-across",
    {
        "right": "Right distance. Wrong place across the road",
        "ample": (
            "Right distance: within the rule's range, with a longer walk than needed. Wrong place across the "
            "road"
        ),
        "long-walk": "A walk of {seconds} s, {more} s more than needed. Wrong place across the road",
        "too-near": "Too near the vehicle. Wrong place across the road",
        "too-far": "Too far from the vehicle. Wrong place across the road",
    },
)
"""The same where the device also stands wrong across the road."""

SIGHT = Texts(
    "sight",
    {
        "truck_seen": "Truck first seen from {length}",
        "triangle_at": "Triangle at {length}, {paces} paces",
        "level": "Level two-lane road, traffic from behind. From above, to scale.",
        "crest_to_scale": "Two-lane road, traffic from behind. To scale.",
        "crest_enlarged": "Two-lane road, traffic from behind. Heights enlarged {times} times.",
        "stays": "It stays at {length}",
        "moved": "Moved out to {length}",
        "with_base": "With the triangle at {length}",
        "title_bend": "The road from above",
        "title_crest": "The road from the side",
        "described_seen": (
            "The truck is first seen from {alone}. The far triangle stands {distance} behind it. It is first "
            "seen from {seen} before the truck."
        ),
        "described_unseen": (
            "The truck is first seen from {alone}. The far triangle stands {distance} behind it. It is not "
            "in view for long enough to count."
        ),
    },
)
"""Texts of the sight explorer."""

TASK = Texts(
    "task",
    {
        "road-two-lane": "two-lane road, traffic both ways",
        "road-divided": "divided road, traffic from behind only",
        "road-one-way": "one-way road, traffic from behind only",
        "light": "{light}: placed for a reach of {reach}",
        "situation": "{place}. {road}, posted {speed}. {light}.",
        "needed": "To stop takes {needed}.",
        "needed-by-side": "To stop takes {lengths}.",
        "from-side": "{needed} from {side}",
        "scale-metric": "1 cm on this sheet is {length} m.",
        "scale": "1 in on this sheet is {length} ft.",
        "foot": "{carrier}, edition {edition}, {signature}. {title}.",
        "device": "{distance} {side}, {across}",
        "given": "{distance} {side}",
        "right-there": "Right there and nowhere else.",
        "right": "Right from {low} to {high} {unit}",
        "right-also": "{right}; also right, {ranges}",
        "right-half": "{right}. Half right {ranges} (a walk of {seconds} s, {more} s too long)",
        "range": "from {low} to {high} {unit}",
        "and": " and ",
        "end": "{text}.",
        "margin": "Drivers from {side} get {warning}, to stop takes {needed}.",
        "margin-short": "Drivers from {side} get {warning}, to stop takes {needed}; {shortfall} are missing.",
        "yard-plan": "Yard plan",
        "yard-title": "Marks on the ground for walking the paces",
        "yard-description": "Measured from the bumpers: {marks}. Not to scale.",
        "yard-mark": "{distance}, {paces} paces {side}",
        "yard-rear": "Rear bumper",
        "yard-front": "Front bumper",
        "sign-off": "Sign-off sheet",
        "records": "Records of training",
        "names": "List of names and numbers",
        "recall": "Recall cards: {title}",
        "explorer-road": "The explorer's road",
        "explorer-rock": "the rock",
        "bend": "Bend of {radius} {unit}, rock {offset} {unit} from the lane",
        "crest": "Crest of {grade} percent up and down, {length} {unit} long",
        "percent": "{grade} percent",
        "not-hidden": "not hidden",
        "example": "{road}. Posted {speed}. {light}.",
    },
)
"""Texts of placing tasks, of the papers that carry them, and of the explorer's printed table."""

LESSON = Texts(
    "lesson",
    {
        "session-first": "First session",
        "session-week": "After a week",
        "session-month": "After a month",
        "order-first": "First order",
        "order-week": "Second order",
        "order-month": "Third order",
        "start": "Start",
        "which": "Which emergency is this?",
        "which-and-first": "Which emergency is this? And what is done first?",
        "show-which": "Show which it is",
        "show-first": "Show what is done first",
        "show-answer": "Show the answer",
        "show-box": "Show the box",
        "show-where": "Show where",
        "show-why": "Show why",
        "side-view": "Side view",
        "how-many": "How many can stop",
        "close": "Before you go",
        "come-back": "Come back to this twice",
        "closed-book": "Closed book",
        "write-line": "Write down the by-heart line.",
        "write-lines": "Write down the {lines} by-heart lines, in order.",
        "walkthrough": "Walkthrough",
        "worked": "Worked example",
        "part-done": "Part-done example",
        "own": "Your own attempt",
        "practice": "Do it, card in hand",
        "by-heart-line": "by heart, line {line}",
        "step": "step {step}",
        "never": "what must not be done",
        "decision": "the if and then table",
        "facts": "facts",
        "report": "whom to tell",
        "roll_again": "before rolling again",
        "placing": "{title}. Posted {speed}. {light}: seen from {reach}.",
        "count-1": "one",
        "count-2": "two",
        "count-3": "three",
        "count-4": "four",
        "ask-none": "This rule puts no device here. Why?",
        "ask-placed": "Placed for you.",
        "ask-all-placed": "Placed for you: all {count}.",
        "ask-one": "Where does the device go?",
        "ask-all": "Where do the {count} devices go?",
        "ask-last": "Where does the last one go?",
        "ask-others": "Where do the other {count} go?",
    },
)
"""Texts of lessons: parts, questions and what opens an answer."""


FORM = Texts(
    "form",
    {
        "title": "{road}, {light}",
        "straight": "Straight road",
        "bend-behind": "Bend behind the vehicle",
        "bend-ahead": "Bend ahead of the vehicle",
        "crest": "Crest behind the vehicle",
        "two-bends": "Between two bends",
        "slope": "the cut slope",
        "trees": "the trees",
        "place-plain": "An invented road (plain)",
        "place-medium": "An invented road (medium)",
        "place-hard": "An invented road (hard)",
        "point-straight": "Nothing hides the vehicle, so every device stays at the rule's distance.",
        "point-bend": "One side is hidden: its far device moves out, and no farther than drivers need.",
        "point-crest": "The crest hides what stands behind it: the far device stands nearer to its top.",
        "point-trap": "Two sides look alike, and only one device moves. Each side is judged by itself.",
        "none": "under this rule set no device moves, so no matched test can be made",
        "class": "Test {number} for a class of {count}: place the devices",
        "class-keys": "Answer keys of test {number} for a class of {count}",
    },
)


SCENARIO = Texts(
    "scenario",
    {
        "place": "Question {number}",
        "then": "What follows",
        "the_end": "The end",
        "debrief": "Looking back",
        "your_choice": "You: {choice}",
        "best_choice": "Better: {choice}",
        "was_best": "The best choice.",
        "not_best": "There was a better one.",
        "all_best": "You took the best choice each time.",
        "off_at": "You left the best path at question {number}.",
        "off_often": (
            "You left the best path at question {number}, and {count} of your {of} choices were not the best."
        ),
        "beside": "Beside traffic on foot: your path {yours}, the best path {best}.",
        "taken_back": "Choices taken back: {count}.",
        "none": "none",
        "seconds": "{n} s",
    },
)
"""Texts of a scenario's page."""

OUTCOMES = Texts("outcomes", {"safe": "Safe", "lucky": "Lucky", "harm": "Harm"})
"""How it ended, as a word beside the text."""

TRIPS = Texts("trips", {"before": "Before the trip", "during": "On the trip", "after": "After the event"})

PAPER = Texts(
    "booklet",
    {
        "booklet": "Scenario on paper: {title}",
        "how": (
            "{story} Begin at 1. Read what you meet, decide, and turn to the number behind your choice. "
            "Write the numbers down as you go: they are your path."
        ),
        "choice": "{letter}. {do} Turn to {number}.",
        "go-on": "Go on at {number}.",
        "end": "{outcome}. The end.",
        "best-path": "The best path",
        "off-path": "Off the best path",
        "best": "At {number}: {letter}. {do}",
        "line": "{line} ({where})",
        "teacher": "What to draw out",
        "foot": "{carrier}, edition {edition}, {signature}. {title}.",
    },
)
"""Texts of the printed booklet."""

LISTS = Texts("lists", {"before-trip": "Before the trip", "after-event": "After the event"})
"""How a line of a list names where it stands."""

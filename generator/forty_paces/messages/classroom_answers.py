"""The texts with which classroom pages take answers, keep scores, run the drill and say when it is due again.

All are filled by scripts; the pages carry them in their data.
"""

from __future__ import annotations

from forty_paces.messages.languages import Texts

LEARNER = Texts(
    "learner",
    {
        "who": "Class {class}, number {number}",
        "whole_class": "Class {class}, all together",
        "who_missing": "Type the class and a number. No names: the list of names stays with the trainer.",
        "not_kept": (
            "This device keeps nothing: its storage is full or switched off. Save the results before you "
            "close this page."
        ),
        "save_mine": "Save my results",
        "hand_over": "Hand over to the next learner",
        "expiry_warned": (
            "On {day} this device erases all results of class {class}, and what its numbers missed. "
            "Save or print them before."
        ),
        "expiry_kept": (
            "This device erases the results of class {class} on {day}, {days} days after its last answer."
        ),
        "expiry_erased": (
            "The results of class {class} were erased on {day}. Your carrier keeps results for {days} days."
        ),
        "expiry_no_rows": "This device holds no results of this class and number.",
        "longer": "Keep them {days} more days",
        "sheet_day": "Day",
        "sheet_title": "Work",
        "sheet_asked": "Asked",
        "sheet_given": "Given",
        "sheet_answer": "Answer",
        "sheet_points": "Points",
        "sheet_of": "{right} of {of}",
    },
)
"""Texts for whoever answers on a device."""

ANSWER = Texts(
    "answer",
    {
        "place": "{who}: {place} of {of}",
        "choose": "Choose.",
        "order": "Tap the lines in their order. A second tap takes the last one back.",
        "type": "Type each distance.",
        "aloud": "Say it aloud or write it down.",
        "then_sure": "Then: are you sure?",
        "sure": "Sure",
        "unsure": "Not sure",
        "unknown": "I do not know",
        "compare": "Compare. Did you have it?",
        "had_it": "I had it",
        "had_not": "I did not",
        "line": "Line {number}",
        "behind": "Behind",
        "ahead": "Ahead",
        "device": "Device {number}",
        "which_side": "Device {number}: which side",
        "distance": "Device {number}: distance in {unit}",
        "set": "{distance} {side}",
        "right": "Right.",
        "wrong": "Not right.",
        "right_sure": "Right, and you were sure.",
        "right_unsure": "Right, though you were not sure. It comes back next time.",
        "wrong_sure": "Not right, and you were sure. It comes back at the end and next time.",
        "wrong_unsure": "Not right. It comes back at the end and next time.",
        "unknown_shown": "Now you see it. It comes back at the end and next time.",
        "chose": "You chose {letter}: {text}",
        "line_right": "{place}. {text}",
        "line_wrong": "{place}. You had: {text}",
        "verdict": "{device}: {verdict}.",
        "tally": "Right at the first answer: {right} of {of}.",
        "sure_and_wrong": "Sure, and not right: {count}. Those are the ones to look at first.",
        "again": "Next time these come back first: {titles}.",
        "again_none": "Nothing is left over for next time.",
    },
)
"""Texts of a lesson that is answered."""

SCORES = Texts(
    "scores",
    {
        "rows": "{count} rows",
        "none": "There are no scores on this device.",
        "saved": "Save every number's results",
        "wiped": "Wiped.",
        "due_missing": "Type a day, such as 2026-12-04, and choose a lesson.",
        "due_event": "{lesson}: {session}",
        "due_class": "Class {class}. {lesson}: {session}",
        "due_week": "after a week",
        "due_month": "after a month",
    },
)
"""Texts of the trainer's page."""

DRILL = Texts(
    "drill",
    {
        "road": "{title}. {road}, posted {speed}. {light}.",
        "place": "Device {number}: {place}.",
        "at": "{distance} {side}",
        "look_why": "The look shows whether drivers see this device in time.",
        "back-behind": "Go back to the vehicle, off the road.",
        "back-ahead": "Go back to the vehicle, off the road, with your face to the traffic.",
        "back_why": "Every distance is measured from the vehicle.",
        "near": "Too near: drivers need {needed} to stop, and from there they get less.",
        "clock": "{spent} of {limit}",
        "question": "Act {number} of {of}: what do you do now?",
        "took": "{text} {seconds} s on foot.",
        "not_yet": "Not yet. Something else comes first.",
        "time_over": "The time of the rule is over. Finish the drill, then begin again.",
        "finished": "All out and back after {spent}, of {limit} allowed.",
        "late": (
            "All out and back after {spent}. The rule allows {limit}. Life goes first, and the reason is "
            "written down."
        ),
        "at_first": "Right at the first try: {right} of {of}.",
        "on_foot": "On foot: {seconds} s, by the computed walk. Thinking: {thinking} s, by the clock.",
        "missed": "Missed: {text}",
        "work": "Ten-minute drill",
    },
)
"""Texts of the ten-minute drill."""

TRAPS = Texts(
    "drill-traps",
    {
        "flashers-on": "Get out first, and see how the vehicle stands.",
        "flashers-on-why": "Until the flashers are on, nothing warns traffic.",
        "way-off": "Take the triangles and start walking.",
        "way-off-why": "First decide from the seat whether there is a way off the road at all.",
        "vest-on": "Go without the vest, because it is only a minute.",
        "vest-on-why": "A person in dark clothes is seen late.",
        "out-away-side": "Get out on the traffic side, with a look over your shoulder.",
        "out-away-side-why": "One step into the lane can be your last.",
        "face-traffic": "Walk with your back to the traffic, along the edge of the lane.",
        "face-traffic-why": "You would not see a vehicle that drifts toward you.",
        "look": "Go back at once, without a look.",
        "look-why": "Then nobody knows whether drivers see this device in time.",
        "from-last": "Count the paces from the last device.",
        "from-last-why": "Every distance is measured from the vehicle, never from the last device.",
        "wait-clear": "Stay beside the vehicle, so that drivers see you.",
        "wait-clear-why": "A vehicle that hits yours also hits whoever stands beside it.",
    },
)
"""Choices of the drill that must not be made, by the act in whose place they stand, with what they cost."""

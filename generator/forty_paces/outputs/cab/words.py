"""Texts that the cab file's script fills in; all others are in the templates.

``{name}`` marks what the script puts in. The script reads them as ``words.name``, so that another
language can be laid over the file by replacing this mapping and the keyed texts of the page.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

WORDS: Mapping[str, str] = MappingProxyType(
    {
        "recall_say": "Say line {line} of {lines} by heart, then show it.",
        "recall_show": "Show line {line}",
        "recall_compare": "This is line {line} of {lines}. Did you say it?",
        "recall_next": "Next line",
        "recall_known": "I knew them",
        "practice_title": "Practice: {title}",
        "practice_closed": "Practice: this screen is closed, and nothing is written here.",
        "practice_no_call": "Practice: no call is made.",
        "trip_untouched": "Nothing is ticked yet.",
        "trip_open": "Begun {begun}. {done} of {of} points are ticked.",
        "trip_done": "Every point is ticked, {of} of {of}. Begun {begun}, ended {ended}.",
        "trip_written": "Written {time}",
        "trip_vehicle": "Vehicle: {vehicle}",
        "trip_signed": "Signed",
        "trip_saved": "Saved as {name}, where this browser keeps downloads.",
        "back_to": "Back to {title}",
        "back_to_step": "Back to {title}, step {step}",
        "done_at": "done at {time}",
        "done_earlier_at": "done earlier in this stop, {time}",
        "done_earlier": "Done earlier in this stop, and not asked again: {steps} The whole list shows them.",
        "go_on": "Go on: {title}",
        "go_on_step": "Go on: {title}, step {step}",
        "not_here": "Not here",
        "not_here_at": "not here, {time}",
        "started_again": "Started again",
        "start_block_again": "This takes away the marks of this block. Its lines in the record stay.",
        "start_procedure_again": "This takes away the marks of this procedure. Its lines in the record stay.",
        "new_stop": "This takes away the times of stop and devices. Their lines in the record stay.",
        "not_known": "not known yet",
        "help_where": "Where",
        "help_position": "Position",
        "help_what": "What happened",
        "help_hurt": "Hurt",
        "help_cargo": "Cargo",
        "help_need": "We need",
        "help_who": "Who",
        "help_part_mile": "mile {text}",
        "help_part_near": "near {text}",
        "help_part_unit": "unit {text}",
        "help_part_plate": "plate {text}",
        "help_part_papers": "number {text}",
        "cargo_none": "no hazardous cargo",
        "cargo_hazardous": "hazardous, no placards",
        "cargo_placards": "hazardous, with placards",
        "position_line": "{place}, within {accuracy}, read at {time}",
        "position_noted": "Position read: {line}",
        "position_asking": "Asking the receiver: this can take half a minute in the open.",
        "position_old": "Read {age} ago: read it again if you have moved.",
        "position_refused": (
            "The browser was not allowed to read the position. Allow it in the browser's settings, or give "
            "the road and mile."
        ),
        "position_unavailable": (
            "The receiver gives no position here. Try in the open if it is safe, or give the road and mile."
        ),
        "position_late": "The receiver did not answer in time. Try again, or give the road and mile.",
        "position_none": "This browser has no way to read the position. Give the road and mile.",
        "labelled": "{label}: {text}",
        "log_decided": "Decided: {text}",
        "log_finished": "Finished: {text}",
        "stopped_at": "Stopped {time}.",
        "devices_out": "Devices out {time}.",
        "device_stood": "Device {number} set {where}, {time}.",
        "device_left": "Device {number} was left out, {time}.",
        "devices_refused": "Not safe to go and place devices, said {time}.",
        "steps_counted": "{title}: steps done {done}, not here {absent}.",
        "record_title": "Record, {carrier}",
        "record_written": "Written {time}",
        "record_vehicle": "Vehicle",
        "record_stop": "The stop",
        "record_filled": "Written, or known to the tablet",
        "record_empty": "Not filled in",
        "record_calls": "Calls",
        "record_log": "What was done, and when",
        "record_photos": "Photos",
        "record_signed": "Signed",
        "record_name": "Name and date",
        "record_saved": "Saved as {name}, where this browser keeps downloads.",
        "photo_name": "Photo {number}, {time}",
        "photo_taken": "Photo taken",
        "photo_deleted": "Photo deleted",
        "photo_delete": "Delete",
        "photo_delete_ask": "Delete this photo? It cannot be brought back.",
        "photo_reading": "Keeping the photo.",
        "photo_unread": "This is no picture that the browser can read.",
        "photo_no_room": "The tablet has no room for it. Save the record with its photos, then delete some.",
        "photo_not_kept": "This browser keeps no photos. Take them with the tablet's own camera.",
        "keep_it": "Keep it",
        "take_away": "Start again",
    }
)
"""Text by the name that the script uses."""

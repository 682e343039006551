"""Texts that the cab file's script fills in; all others are in the templates.

``{name}`` marks what the script puts in. The script reads them as ``words.name``, so that another
language can be laid over the file by replacing this mapping and the keyed texts of the page.
"""

from __future__ import annotations

from forty_paces.messages.languages import Texts

WORDS = Texts(
    "cab.script",
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
        "done_label": "Done: {text}",
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
        "position_accuracy": "{feet} ft ({meters} m)",
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
        "record_edition": "Edition {id} of {day}",
        "record_version": "{title}, version {version}",
        "record_hash": "SHA-256 of all that stands above this line: {hash}",
        "record_no_hash": "SHA-256: this browser could not compute it",
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
        "expiry_none": "A record stays on this tablet for {days} days after its last entry.",
        "expiry_kept": "This tablet erases the record on {day}, {days} days after its last entry.",
        "expiry_warned": "This tablet erases the record on {day}. Save or print it before.",
        "expiry_banner": "The record is erased on {day}: save or print it.",
        "expiry_erased": "The record before was erased on {day}. Your carrier keeps records for {days} days.",
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
        "page_name": "Forty Paces",
        "page_title": "{heading}, Forty Paces",
        "time_seconds": "{seconds} s",
        "time_minutes": "{minutes} min",
        "time_minutes_seconds": "{minutes} min {seconds} s",
        "time_hours": "{hours} h {minutes} min",
        "time_days": "{days} days {hours} h",
        "kept_asked": "This browser will keep it.",
        "kept_refused": "This browser did not agree. Keep the cards aboard.",
        "vehicle_choose": "Choose vehicle",
        "log_stopped": "Stopped",
        "log_devices_out": "Devices are out",
        "log_called": "Called {who}",
        "clock_start": "I have stopped now",
        "clock_again": "New stop: start again",
        "clock_idle": "The clock starts when you say that you have stopped.",
        "clock_ended": "Stopped at {stopped}, devices out at {out}.",
        "clock_stopped": "Stopped at {stopped}.",
        "clock_running": "Stopped at {stopped}. Devices out by {due}.",
        "clock_late": (
            "The time ended at {due}. Put the devices out now if it is safe, and write down why they are "
            "late."
        ),
        "clock_left": "{time} left",
        "clock_over": "Time is over",
        "chip_devices": "Devices:",
        "chip_over": "time is over",
        "due_set": "Set to {time}.",
        "due_unset": "No time is set.",
        "due_past": "Over since {time}",
        "due_left": "By {time}: {left} left",
        "bar_finished": "Finished: back to start",
        "bar_done": "Done, next",
        "bar_stopped": "I have stopped: step 1",
        "bar_go_on_step": "Go on: step {step}",
        "bar_go_on": "Go on",
        "progress_step": "Step {step} of {steps} \u00b7 {title}",
        "progress_first": "{steps} steps, after you have stopped",
        "progress_list": "The whole list",
        "side_behind": "behind",
        "side_ahead": "ahead",
        "place_behind": "{distance} behind the vehicle",
        "place_ahead": "{distance} ahead of the vehicle",
        "plan_none": "Place no device here",
        "plan_pace": "pace",
        "plan_paces": "paces",
        "plan_where": "{paces} {side}",
        "plan_across": "Across the road: {across}.",
        "plan_device": "Device {number}: {place}, {across}.",
        "plan_device_moved": "Device {number}: {place}, {across}, moved out.",
        "plan_device_beside": "Device {number}: {across}.",
        "plan_not_to_scale": "Not to scale.",
        "plan_vehicle": "Your vehicle: {vehicle}, drawn {length} long.",
        "plan_usual_trailer": ("Your carrier gives no length: that of a usual tractor and trailer is taken."),
        "plan_usual_bus": ("Your carrier gives no length: that of a usual coach is taken."),
        "plan_usual_single": (
            "Your carrier gives no length: that of a usual truck without a trailer is taken."
        ),
        "plan_gets": "To stop takes {needed}. They get about {warning} of warning.",
        "plan_gets_gain": (
            "To stop takes {needed}. They get about {warning} of warning, {vehicle} without devices."
        ),
        "plan_gets_reflector": "If a reflector is seen from {reach}: {warning}.",
        "plan_gets_short": "{length} are missing, or {time}.",
        "plan_gets_from": "Drivers from {side}",
        "plan_gets_title": "What approaching drivers get",
        "plan_order": "Walk in this order",
        "plan_on_foot": "{length} on foot, {time}.",
        "plan_care": "Take care",
        "walk_conditions": "{speed}, {visibility}, {grade}, {surface} surface",
        "walk_more": "{grade}; {surface}",
        "walk_begins_bend": "bend",
        "walk_begins_hill": "round top of the hill",
        "walk_takes": "The walk takes about {time}.",
        "walk_left": "{time} are left.",
        "walk_over": "The time is over.",
        "walk_limit": "The rule gives {time}.",
        "walk_next": "Next",
        "walk_go_on": "Go on",
        "walk_first": "Go: device 1",
        "walk_returned": "Back at the vehicle",
        "walk_seen": "I see it",
        "walk_unseen": "I see less: go on to the next distance",
        "walk_stands": "It stands",
        "walk_back": "Back",
        "walk_device": "Device {number} of {devices}",
        "walk_device_stands": "Device {number} of {devices}: stands",
        "walk_side_behind": "behind the vehicle",
        "walk_side_ahead": "ahead of the vehicle",
        "walk_look": "Look back",
        "walk_look_seconds": "{time} or more",
        "walk_look_seen": "You see it.",
        "walk_farthest": (
            "This is as far as the rule goes. Tell {emergency} that drivers see the device late. Then stay "
            "clear of the road."
        ),
        "walk_stands_since": "It stands since {time}.",
        "walk_left_out": "It is left out.",
        "walk_take_back": "It does not stand: take it back",
        "walk_leave_out": "Leave this one out",
        "walk_line": "Device {number}: {where}.",
        "walk_line_stands": "Device {number}: {where}, stands since {time}.",
        "walk_line_left": "Device {number}: {where}, left out.",
        "walk_go_back": "Now go back",
        "walk_none_stands": "No device stands",
        "walk_recorded": "Each device that stands is in the record, with its place and the time.",
        "walk_again": "On another road: new walk",
        "log_walk_stands": "Device {number} stands: {where}",
        "log_walk_taken_back": "Device {number} does not stand: taken back",
        "log_walk_left": "Device {number} is left out",
        "log_walk_refused": "Not safe to go: no device placed from here on",
        "step_place": "Place device {number}: {where}, {across}.",
        "step_place_beside": "Place device {number}: {where}.",
        "step_no_device": "On your road no device stands here: tap Not here.",
    },
)

METRIC = Texts(
    "cab.script-metric",
    {
        "help_part_mile": "kilometer {text}",
        "position_accuracy": "{meters} m",
        "position_refused": (
            "The browser was not allowed to read the position. Allow it in the browser's settings, or give "
            "the road and kilometer."
        ),
        "position_unavailable": (
            "The receiver gives no position here. Try in the open if it is safe, or give the road and "
            "kilometer."
        ),
        "position_late": "The receiver did not answer in time. Try again, or give the road and kilometer.",
        "position_none": "This browser has no way to read the position. Give the road and kilometer.",
    },
)
"""What stands in place of those of the same name where the rule set is written in meters."""


def script_words(*, metric: bool) -> dict[str, str]:
    """The texts of the script by name, in the units of the rule set."""
    return {**WORDS, **METRIC} if metric else dict(WORDS)


"""Text by the name that the script uses."""

SCREENS = Texts(
    "cab.screens",
    {
        # tools
        "find": "Find the triangle distances",
        "find-short": "Triangles",
        "clock": "Ten-minute clock",
        "clock-short": "Clock",
        "stop-clock": "Time since you stopped",
        "stop-clock-short": "Clock",
        "record": "Record",
        "record-short": "Record",
        "phones": "Phone numbers",
        "phones-short": "Phones",
        # families of emergencies
        "family-fire": "Fire",
        "family-crash": "Crash",
        "family-people": "Ill, hurt, threat",
        "family-cargo": "Load, spill, trailer",
        "family-stopping": "Stopped on the road",
        "family-engine": "Engine or lamps",
        "family-tires": "Tires and steering",
        "family-brakes": "Brakes",
        "family-skids": "Skids",
        "family-weather": "Weather",
        # at the foot of every printed page
        "foot": "{carrier}, {unit}, edition {edition}, {signature}",
        "foot-unit": "unit {unit}",
        "foot-no-unit": "unit ____________",
        # calls
        "call-emergency": "Call {number}",
        "call-dispatch": "Call dispatch",
        "emergency-number": "the emergency number",
        # tables of the rule's own distances
        "road-two-lane": "Two-lane road",
        "road-divided": "Divided road",
        "road-one-way": "One-way road or ramp",
        "roads-posted": "{roads}, posted {speeds}",
        "device": "{number}, {side}",
        "range": "{low} to {high}",
        "within": "within {length}",
        # questions of the walk
        "side-behind": "traffic behind you",
        "side-ahead": "traffic ahead of you",
        "cause-bend-right": "Bend: they turn right",
        "cause-bend-left": "Bend: they turn left",
        "cause-hill": "Hill",
        "cause-obstruction": "Something beside the road",
        "stands-two-lane": "Two or more lanes, both ways, not divided",
        "stands-divided": "Divided road",
        "stands-one-way": "One-way road or ramp",
        "stands-shoulder": "Left shoulder or median",
        "stands-intersection": "At an intersection",
        "note-one-way": (
            "This rule names no ramps. On a ramp the distances of a one-way road are taken, by common "
            "practice without a source."
        ),
        "note-shoulder": (
            "This rule has no distances of its own for a left shoulder or median. Those of the road are "
            "taken, by common practice without a source. Never cross lanes on foot to place a device."
        ),
        "note-intersection": (
            "This rule has no distances of its own for an intersection. Those of the road that the vehicle "
            "stands on are taken, by common practice without a source. Traffic from side roads gets no "
            "device: ask for traffic control."
        ),
        "surface-normal": "Normal",
        "surface-snow": "Packed snow",
        "surface-ice": "Ice",
        "count-paces": "Paces",
        "count-lines": "Lane lines",
        "count-trailers": "Trailer lengths",
        "level": "Level",
        "up-slight": "Up a slight grade, {pct} percent",
        "up-steep": "Up a steep grade, {pct} percent",
        "down-slight": "Down a slight grade, {pct} percent",
        "down-steep": "Down a steep grade, {pct} percent",
    },
)
"""Texts of screens that Python fills in."""

ANSWERS = Texts(
    "cab.help",
    {
        "northbound": "northbound",
        "southbound": "southbound",
        "eastbound": "eastbound",
        "westbound": "westbound",
        "hurt-nobody": "nobody",
        "hurt-many": "3 or more",
        "hurt-unknown": "not known",
        "need-police": "police",
        "need-fire-crew": "fire crew",
        "need-ambulance": "ambulance",
        "need-tow": "tow",
        "need-tire-service": "tire service",
        "need-traffic-control": "traffic control",
    },
)
"""The answers that the message for help is made of. It is kept, read out and sent in English."""

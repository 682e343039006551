"""Who may leave the cab, in which order, and where to wait: the safety rules tested on the content itself.

Sources: driver manual 2.20 (call before you get out, a helper parks away); National Highways and the road
authorities of Queensland and South Australia (stay in, belted, without a safe way out); 49 CFR 392.22;
ESFI and the Mine Safety and Health Administration (a power line: stay in); Arizona DOT and the National
Weather Service (dust: lamps off; flood).
"""

from __future__ import annotations

import re

import pytest
from forty_paces.authoring.library import Library
from forty_paces.authoring.models.fleet import Vehicle
from forty_paces.authoring.models.procedure import Procedure, Step
from forty_paces.authoring.texts import ORDERS, Role, texts
from forty_paces.outputs.cab.assistant import cab_html
from forty_paces.outputs.cards.card_set import card_set
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.procedure_view import view_procedure

from tests.content.test_procedures import IDS
from tests.outputs.conftest import OVERRIDES

OUT_FIRST = (
    *("engine-fire", "tire-fire", "cargo-fire", "extinguisher", "cargo-spill", "rail-crossing"),
    *("flood", "battery-gas-fire", "cab-fumes"),
)
"""Fire, smoke, a leak, rails, water: there the order is to get out first, and no question comes before it."""

STAY_IN = ("power-line", "dust", "driver-ill", "snow-stranded")
"""A wire on the vehicle, a dust storm, a driver who may faint, deep snow: nobody is sent out of the cab."""

LEAVES = re.compile(r"^(?:get out (?:on|away)|open that door|walk off the road)", re.IGNORECASE)
DEVICES = ("devices-out", "devices-in-fog", "triangles-clear-of-heat", "near")


def named(library: Library, name: str) -> Procedure:
    found = library.procedure(name)
    assert found is not None
    return found


def steps_of(procedure: Procedure) -> list[Step]:
    return [step for block in procedure.blocks for step in block.steps]


def sends_out(step: Step) -> bool:
    """The step with which somebody leaves the cab, or stands outside it, on a road."""
    return bool(LEAVES.match(step.do)) or step.devices_out or step.id in DEVICES


OWN_QUESTION = ("rollover", "tunnel", "coach-out", "threat")
"""A cab on its side, a tunnel, a full coach, a threat: a table decides, with tests of its own."""

ON_A_ROAD = tuple(name for name in IDS if name not in (*OUT_FIRST, *STAY_IN, *OWN_QUESTION))


@pytest.mark.parametrize("name", ON_A_ROAD)
def test_whether_to_go_is_decided_from_the_seat_before_anybody_leaves_the_cab(
    library: Library, name: str
) -> None:
    steps = steps_of(named(library, name))
    out = [at for at, step in enumerate(steps) if sends_out(step)]
    assert out, "no step of this procedure leads out of the cab: take it off the list"
    decides = [at for at, step in enumerate(steps) if step.if_not is not None]
    assert decides, "nothing decides whether to go"
    assert decides[0] < out[0]


@pytest.mark.parametrize("name", ON_A_ROAD)
def test_the_other_way_is_to_stay_in_belted_and_to_call(library: Library, name: str) -> None:
    (step,) = [step for step in steps_of(named(library, name)) if step.if_not is not None]
    assert step.if_not is not None
    joined = " ".join(line.do for line in step.if_not.lines).lower()
    for words in ("stay in", "seat belts", "flashers", "911", "live lane", "write down"):
        assert words in joined, words


@pytest.mark.parametrize("name", ON_A_ROAD)
def test_the_exceptions_are_named_where_it_is_decided(library: Library, name: str) -> None:
    (step,) = [step for step in steps_of(named(library, name)) if step.if_not is not None]
    assert step.notice is not None
    first, then = step.notice.avoid.lower().split("get out at once")
    for danger in ("fire", "smoke", "leak", "rails", "rising water"):
        assert danger in first, danger
    assert "power line" in then
    assert "stay in" in then


@pytest.mark.parametrize("name", OUT_FIRST)
def test_where_the_vehicle_itself_kills_no_question_stands_before_getting_out(
    library: Library, name: str
) -> None:
    assert [] == [step.id for step in steps_of(named(library, name)) if step.if_not is not None]


ONLY_BY_THE_JUMP = {"power-line": {"both-feet", "shuffle-off", "keep-shuffling", "stay-off-wire"}}
"""Steps of a block that begins only where the vehicle smokes or burns."""


@pytest.mark.parametrize("name", STAY_IN)
def test_where_the_cab_is_the_safe_place_nobody_is_sent_out(library: Library, name: str) -> None:
    procedure = named(library, name)
    assert any(re.search(r"\bstay in\b", said.text, re.I) for said in texts(procedure))
    jumped = ONLY_BY_THE_JUMP.get(name, set())
    assert [] == [step.id for step in steps_of(procedure) if sends_out(step) and step.id not in jumped]
    for block in procedure.blocks:
        if jumped & {step.id for step in block.steps}:
            assert "only if the vehicle smokes or burns" in block.title
    orders = [said.text for said in texts(procedure) if said.role in ORDERS]
    assert [] == [
        text for text in orders if re.search(r"\bwarning device|\btriangle", text) and "Never" not in text
    ]


def test_with_a_wire_on_the_vehicle_fire_alone_sends_somebody_out_and_then_by_a_jump(
    library: Library,
) -> None:
    """ESFI and MSHA: out only for fire, both feet together, never vehicle and ground, then shuffle."""
    wire = named(library, "power-line")
    lines = [line.do for line in wire.by_heart]
    assert "Stay in the cab, everyone." == lines[0]
    assert ["If it burns, jump with both feet together."] == [line for line in lines if "jump" in line]
    (jump,) = [step for step in steps_of(wire) if step.id == "both-feet"]
    assert jump.notice is not None
    assert "danger" == jump.notice.signal.value
    ids = [step.id for step in steps_of(wire)]
    assert ids.index("call-wire") < ids.index("both-feet") < ids.index("shuffle-off")


@pytest.mark.parametrize("name", ["live-lane", "rollover", "coach-out", "crash-scene", "bridge-strike"])
def test_a_wire_is_looked_for_before_anything_sends_people_out(library: Library, name: str) -> None:
    """Of the dangers that a decision lists, the wire alone keeps people in (ESFI, MSHA)."""
    decision = named(library, name).decision
    assert decision is not None
    assert "power-line" == decision.rows[0].leads_to


ONE_CASE = (
    ("power-line", "both-feet", "If it burns"),
    ("power-line", "shuffle-off", "After the jump"),
    ("tunnel", "to-the-exit", "In smoke or fire"),
    ("tunnel", "belted-in-tunnel", "With no smoke"),
    ("driver-ill", "nap", "If you were only sleepy"),
    ("threat", "slow-hands", "With a weapon on you"),
    ("threat", "give-keys", "If they want them"),
    ("rollover", "brace-and-release", "To get out"),
    ("trailer-breakaway", "mark-trailer", "From off the lanes"),
    ("flood", "still-water-out", "If the water stands still"),
)


@pytest.mark.parametrize(("name", "step", "case"), ONE_CASE)
def test_a_step_for_one_case_names_the_case_itself(library: Library, name: str, step: str, case: str) -> None:
    """In the cab file a step stands alone on the screen, and the title above it is small."""
    (said,) = [one.do for one in steps_of(named(library, name)) if one.id == step]
    assert said.startswith(case)


OPPOSITES = (
    ("power-line", "fire-rule", "engine-fire", "wire-and-fire"),
    ("dust", "lamps-fog", "fog", "dust-not-fog"),
    ("pedal-stuck", "pedal-sinks", "brakes-lost", "races-instead"),
)
"""Two procedures with opposite orders, and the fact in each that tells which one applies."""

APART = (
    ("battery-gas-fire", "extinguisher"),
    ("live-lane", "breakdown"),
    ("coach-out", "live-lane"),
    ("coach-out", "power-line"),
    ("tunnel", "live-lane"),
    ("person-struck", "crash-scene"),
    ("rollover", "power-line"),
    ("snow-stranded", "cab-fumes"),
    ("lamps-out", "dust"),
    ("wheel-lost", "brakes-fading"),
    ("threat", "crash-scene"),
)
"""Further pairs of which one says the opposite of the other: out or in, on or off, roll or stand."""


@pytest.mark.parametrize("pair", APART, ids=" or ".join)
def test_the_mixed_cues_hold_every_pair_that_says_opposite_things(
    library: Library, pair: tuple[str, str]
) -> None:
    asked = {
        frozenset((mixed.procedure, rival.procedure))
        for lesson in library.lessons.values()
        for mixed in lesson.mixed
        for rival in mixed.mistaken_for
    }
    assert frozenset(pair) in asked


def test_a_battery_or_a_gas_tank_is_named_where_other_fires_are_fought(library: Library) -> None:
    """ERG 2024, guide 147; NSW Rural Fire Service: neither is fought."""
    assert rows_of(library, "extinguisher")["battery-or-gas"].startswith("Leave it at once")
    facts = {item.id: item.value for cluster in named(library, "engine-fire").facts for item in cluster.items}
    assert facts["battery-not-engine"].startswith("Fight nothing")


@pytest.mark.parametrize("pair", OPPOSITES, ids=["wire or fire", "dust or fog", "hold or pump"])
def test_procedures_with_opposite_orders_each_say_how_to_tell_them_apart(
    library: Library, pair: tuple[str, str, str, str]
) -> None:
    for name, fact in (pair[:2], pair[2:]):
        items = [item.id for cluster in named(library, name).facts for item in cluster.items]
        assert fact in items, name


@pytest.mark.parametrize("pair", OPPOSITES, ids=["wire or fire", "dust or fog", "hold or pump"])
def test_the_mixed_cues_hold_both_of_a_pair_of_opposites(
    library: Library, pair: tuple[str, str, str, str]
) -> None:
    asked = {
        (mixed.procedure, rival.procedure)
        for lesson in library.lessons.values()
        for mixed in lesson.mixed
        for rival in mixed.mistaken_for
    }
    assert {(pair[0], pair[2]), (pair[2], pair[0])} <= asked


def test_the_way_out_for_a_fire_gives_the_jump_where_a_wire_lies_on_the_vehicle(library: Library) -> None:
    """The button is on the steps for a power line too, where stepping down kills (ESFI, MSHA)."""
    (fire,) = [way for way in library.ways_out if way.id == "fire"]
    (jump,) = [line.do for line in fire.lines if "wire on the vehicle" in line.do]
    assert "jump clear with both feet together" in jump


def test_a_leak_under_a_wire_sends_nobody_out(library: Library) -> None:
    """The button for a leak opens this page from the steps for a power line too."""
    assert rows_of(library, "cargo-spill")["spill-wire"].startswith("Stay in")


def test_in_dust_every_lamp_is_off_and_in_fog_and_smoke_they_are_on(library: Library) -> None:
    """Arizona DOT and the weather service for dust; manual 2.12 for fog; extension.org for wildfire."""
    dust = named(library, "dust")
    lamps = {item.id: item.value for cluster in dust.facts for item in cluster.items}
    assert lamps["lamps-dust"].startswith("All off.")
    assert lamps["lamps-fog"].startswith("Low beams on")
    assert lamps["lamps-smoke"].startswith("Headlamps and flashers on")
    (off,) = [step for step in steps_of(dust) if step.id == "every-lamp-off"]
    assert "hazard flashers" in off.do
    assert off.notice is not None
    assert "fog, rain and wildfire smoke lamps stay on" in off.notice.avoid
    assert "low-beams" in [line.id for line in named(library, "fog").by_heart]


def test_still_water_is_left_and_running_water_is_not_waded(library: Library) -> None:
    steps = {step.id: step.do for step in steps_of(named(library, "flood"))}
    assert steps["still-water-out"].startswith("If the water stands still, lead everyone out")
    assert steps["moving-water-stay"].startswith("If it runs, keep everyone in")
    assert "no-walking-in" in [never.id for never in named(library, "flood").never]


def test_who_feels_ill_stops_and_calls_and_does_not_go_out_with_devices(library: Library) -> None:
    """AHA and Cleveland Clinic: call 911, do not drive yourself; 49 CFR 392.3: no driving while ill."""
    ill = named(library, "driver-ill")
    assert ["stop-while-able", "held-now", "call-for-pain"] == [line.id for line in ill.by_heart]
    assert {"no-self-drive", "no-push-on", "no-ill-devices"} <= {never.id for never in ill.never}
    calls = [step for step in steps_of(ill) if "911" in step.do]
    assert all(step.critical for step in calls)


def test_whoever_collapsed_gets_the_operator_before_the_chest_is_pushed(library: Library) -> None:
    ids = [step.id for step in steps_of(named(library, "driver-ill"))]
    assert ids.index("shake-and-call") < ids.index("push-chest") < ids.index("send-defibrillator")


def test_carbon_monoxide_sends_people_out_into_the_air_and_nobody_back(library: Library) -> None:
    """Poison Help: outside at once; California Poison Control: what burns off, everyone out, 911."""
    fumes = named(library, "cab-fumes")
    assert "into the air" in fumes.by_heart[2].do
    assert "wake-all" == steps_of(fumes)[0].id
    assert "not-back-in" in {never.id for never in fumes.never}


def rows_of(library: Library, name: str) -> dict[str, str]:
    decision = named(library, name).decision
    assert decision is not None
    return {row.id: row.do for row in decision.rows}


def test_out_of_a_cab_on_its_side_goes_who_burns_and_stays_who_meets_traffic_or_a_wire(
    library: Library,
) -> None:
    """FMCSA on belts; a towing service and others for the way out; driver manual 2.20 for the hurt."""
    rows = rows_of(library, "rollover")
    assert rows["rolled-fire"].startswith("Get out now")
    assert rows["rolled-wire"] == "Stay in."
    assert rows["rolled-traffic"].startswith("Stay in.")
    assert rows["rolled-hurt"].startswith("Stay still")
    ids = [step.id for step in steps_of(named(library, "rollover"))]
    assert ids.index("look-out-first") < ids.index("brace-and-release") < ids.index("lowest-way")
    assert "Brace" in named(library, "rollover").by_heart[2].do


def test_a_tunnel_is_driven_out_of_or_left_on_foot_in_smoke_with_the_key_in(library: Library) -> None:
    """Roam toll roads; European Commission tips for truck drivers; Nea Odos."""
    tunnel = named(library, "tunnel")
    assert "drive out of the tunnel" in tunnel.by_heart[0].do
    assert "key left in" in tunnel.by_heart[2].do
    assert [step.critical for step in tunnel.blocks[0].steps] == [True] * 4
    rows = rows_of(library, "tunnel")
    assert "Walk to the exit" in rows["smoke-near"]
    assert "Stay in" in rows["dead-in-lane"]
    assert {"no-turn-in-tunnel", "no-staying-told", "not-back-in"} <= {never.id for never in tunnel.never}


def test_at_a_bridge_trains_are_stopped_before_anything_else_and_the_vehicle_stays(library: Library) -> None:
    """Network Rail: call the number on the bridge at once, else the police. Leave the vehicle."""
    bridge = named(library, "bridge-strike")
    assert ["rails-above", "call-bridge"] == [step.id for step in steps_of(bridge)][:2]
    assert "Leave the vehicle where it is." in [line.do for line in bridge.by_heart]
    assert {"no-back-out", "no-drive-off"} <= {never.id for never in bridge.never}
    assert any("under the bridge" in step.do for step in steps_of(bridge))


def test_in_a_live_lane_nobody_walks_and_the_duty_is_written_down(library: Library) -> None:
    lane = named(library, "live-lane")
    assert {"no-lane-run", "no-lane-device", "no-traffic-side"} <= {never.id for never in lane.never}
    (device,) = [step for step in steps_of(lane) if step.devices_out]
    assert "only where you need not walk in a lane" in device.do
    assert "The duty still stands" in device.why


def test_only_a_vehicle_on_a_crossing_is_left_before_the_question(library: Library) -> None:
    steps = steps_of(named(library, "breakdown"))
    assert "rails-first" == steps[0].id
    assert "off the rails first" in steps[0].do


@pytest.mark.parametrize("name", ON_A_ROAD)
def test_a_place_to_wait_is_named(library: Library, name: str) -> None:
    waits = [s for s in steps_of(named(library, name)) if s.do.startswith(("Wait ", "On a shoulder, wait "))]
    places = [step for step in waits if "guardrail" in step.do]
    assert places, "no place to wait is named"
    assert all(re.search(r"back along the road|side the wind comes from", step.do) for step in places)
    assert any("advice" in step.why and "may differ" in step.why for step in places)


@pytest.mark.parametrize("name", ON_A_ROAD)
def test_nobody_is_sent_to_the_traffic_side(library: Library, name: str) -> None:
    procedure = named(library, name)
    assert "no-traffic-side" in {never.id for never in procedure.never}
    for said in texts(procedure):
        if said.role not in ORDERS:
            continue
        words = said.text.lower()
        assert not re.search(r"(?:whole vehicle|both sides|all (?:four )?sides|walk round)", words), (
            said.address
        )
        assert not re.search(r"(?:on|to|along) the traffic side", words), said.address


def test_no_step_brings_back_the_old_money_bank(library: Library) -> None:
    for procedure in library.procedures:
        assert [] == [said.address for said in texts(procedure) if re.search(r"\bbank\b", said.text)]


CALLS_AT_A_CRASH = {"crash-scene": "call-crash", "person-struck": "call-struck"}


@pytest.mark.parametrize(("name", "call"), CALLS_AT_A_CRASH.items())
def test_at_a_crash_the_call_is_step_one_and_stands_before_the_devices(
    library: Library, name: str, call: str
) -> None:
    """Driver manual 2.20.2: call before you get out."""
    ids = [step.id for step in steps_of(named(library, name))]
    assert call == ids[0]
    assert ids.index(call) < ids.index("out-away-side") < ids.index("devices-out")


def test_the_call_at_a_crash_is_made_from_the_seat(library: Library) -> None:
    crash = steps_of(named(library, "crash-scene"))
    assert crash[0].do.startswith("If nothing burns, tell 911 from the seat")
    assert "If you have none, protect the scene first" in crash[0].why
    struck = named(library, "person-struck")
    assert "Call 911 from the seat before you get out." in [line.do for line in struck.by_heart]


def test_nothing_rolls_while_somebody_can_lie_under_the_vehicle(library: Library) -> None:
    """Palm Beach County's bus handbook; a rescue course: the vehicle is held before anybody is freed."""
    struck = named(library, "person-struck")
    assert "roll neither on nor back" in struck.by_heart[0].do
    ids = [step.id for step in steps_of(struck)]
    assert ids.index("engine-stays-off") < ids.index("out-away-side") < ids.index("look-under")
    assert {"no-roll-off", "no-lifting", "no-driving-off"} <= {never.id for never in struck.never}
    assert rows_of(library, "person-struck")["struck-under"].startswith("Move nothing.")
    assert "roll to the side" in next(
        line.do for line in named(library, "crash-scene").by_heart if line.id == "yours-aside"
    )
    seen = {row.id: row.see for row in named(library, "crash-scene").decision.rows}
    assert "struck" in seen["somebody-struck"]


def test_a_wheel_that_smokes_is_left_from_the_other_side_and_nobody_fetches_one_that_left(
    library: Library,
) -> None:
    """EIGA on heated tires; NTSB SIR-92/04 on wheels that leave."""
    wheel = named(library, "wheel-lost")
    ids = [step.id for step in steps_of(wheel)]
    assert ["smoke-wheel", "call-wheel"] == ids[:2]
    assert "away from that side" in steps_of(wheel)[0].do
    assert {"no-limping", "no-hand-on-hub", "no-chasing"} <= {never.id for never in wheel.never}
    assert wheel.decision is not None
    assert "tire-fire" == next(row.leads_to for row in wheel.decision.rows if row.id == "hub-smokes")


def test_a_steering_wheel_that_does_nothing_is_not_braked_on_and_a_heavy_one_is_pulled(
    library: Library,
) -> None:
    """New York State DMV: off the brake as long as it is safe; Texas: both hands, firm pressure."""
    lines = {line.id: line.do for line in named(library, "steering-lost").by_heart}
    assert "brake only once slow" in lines["dead-brake-late"]
    assert "both arms" in lines["heavy-pull"]
    assert "retarder-off-now" in lines
    never = {one.id for one in named(library, "steering-lost").never}
    assert {"no-key-off-rolling", "no-limp-steering"} <= never


def test_a_firm_pedal_is_held_and_a_sinking_one_pumped_and_both_pages_say_which(library: Library) -> None:
    """NHTSA: brake firmly, no pumping; driver manual 2.17: pump hydraulic brakes that are lost."""
    stuck, lost = named(library, "pedal-stuck"), named(library, "brakes-lost")
    assert "without pumping" in stuck.by_heart[0].do
    assert any(line.do.startswith("Pump the pedal") for line in lost.by_heart)
    assert "no-pumping" in {never.id for never in stuck.never}
    for procedure, words in ((stuck, "Pump, if the brakes are hydraulic"), (lost, "Push and hold")):
        assert any(words in item.value for cluster in procedure.facts for item in cluster.items)
    ids = [step.id for step in steps_of(stuck)]
    assert ["key-off-now", "away-if-races"] == ids[:2]


def test_lamps_stay_on_by_night_and_are_turned_off_in_dust_and_both_pages_say_which(library: Library) -> None:
    """New York State DMV: any lamp that works; Arizona DOT: all lamps off once stopped in dust."""
    dark = named(library, "lamps-out")
    assert "any lamp that works" in dark.by_heart[2].do
    assert {"no-parking-lamps", "no-following-light"} <= {never.id for never in dark.never}
    for name in ("lamps-out", "dust"):
        joined = " ".join(item.value for cluster in named(library, name).facts for item in cluster.items)
        assert "on purpose" in joined
    smoke = {item.id: item for cluster in dark.facts for item in cluster.items}["dust-off"]
    assert "smoke" not in smoke.label
    assert "In smoke they stay on" in smoke.value


def test_a_coach_is_emptied_in_the_five_cases_and_kept_full_in_all_others(library: Library) -> None:
    """Driver manual 10.3.1; ESFI for the wire; a trade paper for the road."""
    coach = named(library, "coach-out")
    assert ["held-now", "out-for-five", "else-stay"] == [line.id for line in coach.by_heart]
    rows = rows_of(library, "coach-out")
    for row in ("coach-fire", "coach-rails", "coach-water", "coach-tips"):
        assert rows[row].startswith("Get everyone out now")
    assert rows["coach-wire"] == "Keep everyone in."
    assert rows["coach-traffic"] == "Keep everyone in, with belts on."
    ids = [step.id for step in steps_of(coach)]
    order = ["say-out", "right-exit", "walkers-first", "rows-seen", "call-coach", "lead-off", "count-heads"]
    assert order == sorted(order, key=ids.index)


def test_in_snow_nobody_walks_off_and_the_pipe_is_clear_before_the_engine_runs(library: Library) -> None:
    """National Weather Service, CDC and NOAA, Minnesota's manual."""
    snow = named(library, "snow-stranded")
    assert ["stay-with-truck", "pipe-clear", "window-open"] == [line.id for line in snow.by_heart]
    (run,) = [step for step in steps_of(snow) if step.id == "run-ten"]
    assert run.measure is not None
    assert "leave the engine off" in run.measure.otherwise
    assert snow.decision is not None
    assert "cab-fumes" == next(row.leads_to for row in snow.decision.rows if row.id == "snow-sick")
    for name in ("snow-stranded", "cab-fumes"):
        joined = " ".join(item.value for cluster in named(library, name).facts for item in cluster.items)
        assert "10 min in each hour" in joined


def test_under_a_threat_the_vehicle_keeps_rolling_and_before_a_weapon_everything_is_given_up(
    library: Library,
) -> None:
    """FMCSA on hijacking; California Highway Patrol and the police of several towns."""
    threat = named(library, "threat")
    assert ["locked-rolling", "call-threat", "weapon-give"] == [line.id for line in threat.by_heart]
    assert {"no-fighting", "no-getting-in", "no-ramming"} <= {never.id for never in threat.never}
    first = steps_of(threat)[0]
    assert first.do.startswith("Stay in")
    assert first.notice is not None
    assert "Fire" in first.notice.hazard


def test_a_trailer_that_broke_away_is_rolled_clear_of_and_never_backed_up_to(library: Library) -> None:
    """Driver manual 6.2: its brakes come on, and without springs they let go once the air is gone."""
    apart = named(library, "trailer-breakaway")
    assert ["straight-not-hard", "roll-clear", "flashers-now"] == [line.id for line in apart.by_heart]
    assert {"no-back-to-trailer", "no-under-trailer", "no-couple-again"} <= {
        never.id for never in apart.never
    }
    assert "Do not walk to it" in rows_of(library, "trailer-breakaway")["trailer-in-lane"]
    ids = [step.id for step in steps_of(apart)]
    assert ids.index("devices-out") < ids.index("chock-trailer")


@pytest.mark.parametrize("name", [name for name in ON_A_ROAD if name not in CALLS_AT_A_CRASH])
def test_where_people_are_hurt_or_a_lane_is_blocked_the_call_comes_before_the_devices(
    library: Library, name: str
) -> None:
    steps = steps_of(named(library, name))
    ids = [step.id for step in steps]
    call = steps[ids.index("call-from-seat")]
    assert "people are hurt or you stand in a lane" in call.do
    assert "from the seat" in call.do
    first_out = next(at for at, step in enumerate(steps) if sends_out(step))
    assert ids.index("call-from-seat") < first_out


OUT_BEFORE_THE_CALL = ("fire", "smoke", "leak", "rising water", "rails")


@pytest.mark.parametrize("name", ON_A_ROAD)
def test_the_call_from_the_seat_names_what_comes_before_it(library: Library, name: str) -> None:
    """Driver manual 2.20.2 calls first; NFPA, Operation Lifesaver and flood advice get people out first."""
    (call,) = [
        s for s in steps_of(named(library, name)) if s.id in (*CALLS_AT_A_CRASH.values(), "call-from-seat")
    ]
    assert [danger for danger in OUT_BEFORE_THE_CALL if danger not in call.why] == []


def test_the_line_to_call_first_names_what_comes_before_it(library: Library) -> None:
    (line,) = [one for one in named(library, "crash-scene").by_heart if one.id == "call-first"]
    assert line.why is not None
    assert [danger for danger in ("fire", "smoke", "water", "rails") if danger not in line.why] == []


def test_a_helper_parks_away_and_an_own_wreck_goes_to_the_side(library: Library) -> None:
    """Driver manual 2.20.1."""
    lines = {line.id: line.do for line in named(library, "crash-scene").by_heart}
    assert "park well away" in lines["helper-away"]
    assert "side of the road" in lines["yours-aside"]
    joined = " ".join(said.text for said in texts(named(library, "crash-scene")))
    assert "close by" not in joined.lower()


def test_care_follows_the_operator_and_begins_with_bleeding(library: Library) -> None:
    ids = [step.id for step in steps_of(named(library, "crash-scene"))]
    order = ["devices-out", "do-as-told", "stop-bleeding", "leave-hurt", "keep-warm"]
    assert order == sorted(order, key=ids.index)


def test_who_does_not_breathe_is_the_operators_first_care(library: Library) -> None:
    (step,) = [one for one in steps_of(named(library, "crash-scene")) if one.id == "do-as-told"]
    assert "does not breathe" in step.why
    assert "Do only what you can and have learned" in step.why


MINUTES = re.compile(r"\b10 min\b|\bten minutes\b|\bten-minute\b")


def test_wherever_the_ten_minutes_are_stated_life_goes_first(library: Library) -> None:
    for procedure in library.procedures:
        stated = [said for said in texts(procedure) if said.role is Role.STEP and MINUTES.search(said.text)]
        for said in stated:
            step = next(s for s in steps_of(procedure) if f"/{s.id}/do" in said.address)
            if step.id == "run-ten":
                continue  # ten minutes of heat in snow, not those for the devices
            assert step.measure is not None
            assert "Life goes before the 10 min" in step.measure.how, said.address
        lines = [line for line in procedure.by_heart if MINUTES.search(line.do)]
        assert all(line.why is not None and "Life goes" in line.why for line in lines), procedure.id


@pytest.mark.parametrize("name", [name for name in IDS if name.endswith("fire") or name == "extinguisher"])
def test_every_fire_gives_an_order_for_hazardous_cargo(library: Library, name: str) -> None:
    procedure = named(library, name)
    orders = [*steps_of(procedure), *procedure.by_heart, *procedure.never]
    conditional = [one.id for one in orders if any("hazardous-cargo" in c.value for c in one.when)]
    assert conditional, "no order for a vehicle with hazardous cargo"


def test_fumes_in_the_cab_lead_to_the_fire_or_the_leak_that_they_come_from(library: Library) -> None:
    decision = named(library, "cab-fumes").decision
    assert decision is not None
    assert {"engine-fire", "cargo-spill"} <= {row.leads_to for row in decision.rows}


WHERE_TO = re.compile(
    r"off the road|clear of traffic|away from traffic|high ground|nearest exit|behind something solid", re.I
)
"""Places, or ways to one, where no traffic passes."""

HAZARDOUS = Vehicle.model_validate(
    {"id": "loaded", "title": "Loaded", "hazardous_cargo": "yes", "placarded": "yes", "gas_fueled": "no"}
)
ORDINARY = Vehicle.model_validate(
    {"id": "plain", "title": "Plain", "hazardous_cargo": "no", "placarded": "no", "gas_fueled": "no"}
)


@pytest.mark.parametrize("made", [HAZARDOUS, ORDINARY], ids=["hazardous cargo", "no such cargo"])
@pytest.mark.parametrize("name", [name for name in OUT_FIRST if name != "extinguisher"])
def test_who_is_sent_out_first_is_sent_off_the_road(library: Library, name: str, made: Vehicle) -> None:
    """The extinguisher's page begins where everybody else is clear already."""
    steps = [step for step in steps_of(named(library, name)) if made.meets(step.when) is not False]
    assert [step.do for step in steps if WHERE_TO.search(step.do)], "no place out of the traffic is named"


@pytest.mark.parametrize("name", [name for name in OUT_FIRST if name != "extinguisher"])
def test_devices_at_a_fire_or_a_leak_send_nobody_into_a_lane(library: Library, name: str) -> None:
    for step in steps_of(named(library, name)):
        if step.devices_out:
            assert "only where you" in step.do, step.id
            assert re.search(r"\b(?:a|no) lane\b", step.do), step.id


UNKNOWN = Vehicle.model_validate({"id": "somebody", "title": "A vehicle that says nothing of itself"})


def conditional(library: Library) -> list[tuple[str, str]]:
    """Every step with a condition, as its key and its words."""
    return [
        (f"{procedure.id}/blocks/{block.id}/steps/{step.id}/do", step.do)
        for procedure in library.procedures
        for block in procedure.blocks
        for step in block.steps
        if step.when
    ]


def test_a_step_whose_condition_is_unknown_stays_with_its_condition(library: Library) -> None:
    shown = {
        f"{step.key}/do": step.condition
        for procedure in library.procedures
        for block in view_procedure(procedure, UNKNOWN).blocks
        for step in block.steps
    }
    wanted = conditional(library)
    assert len(wanted) > 10
    for key, _ in wanted:
        assert shown[key].startswith("With "), key


def test_lines_whose_condition_is_unknown_stay_too(library: Library) -> None:
    for procedure in library.procedures:
        view = view_procedure(procedure, UNKNOWN)
        for part in ("by_heart", "never", "report", "roll_again"):
            wanted = [line.id for line in getattr(procedure, part)]
            assert wanted == [line.key.split("/")[-1] for line in getattr(view, part)], (procedure.id, part)


def test_the_cab_file_and_the_cards_of_an_unknown_vehicle_hold_every_step(library: Library) -> None:
    context = BuildContext(library, OVERRIDES)
    cab = cab_html(context, UNKNOWN)
    printed = {key for face in card_set(context, "half-letter", UNKNOWN).faces for key in face.strings}
    for key, _ in conditional(library):
        assert f'data-key="{key}"' in cab, key
        assert key in printed, key

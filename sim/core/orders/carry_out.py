"""Orders carried out: each command changes the state, or is declined with a reason."""

from collections.abc import Callable
from typing import Any

from sim.core import across, watch
from sim.core import events as ev
from sim.core import state as st
from sim.core.orders import acts, hearing
from sim.core.orders import commands as cmd
from sim.core.orders.ranging import target_exists
from sim.core.world import World
from sim.model import layout as lay
from sim.model.tackle.rode import fairleads

Answer = list[ev.Event]


def _no(world: World, what: str, why: str) -> Answer:
    return [ev.Declined(tick=world.state.tick, what=what, why=why)]


def _helm(world: World, c: cmd.Helm) -> Answer:
    world.state.control[lay.C_RUDDER_ORDER] = c.angle_rad
    return []


def _engine(world: World, c: cmd.Engine) -> Answer:
    lever = min(max(c.lever, -1.0), 1.0)
    fitted = world.params.boat.shaft_count
    if c.shaft >= fitted:
        return _no(world, "engine", "not_fitted")
    for i in range(fitted) if c.shaft < 0 else (c.shaft,):
        world.state.shafts[i, lay.S_LEVER] = lever
    return []


def _thruster(world: World, c: cmd.Thruster) -> Answer:
    if world.params.boat.thruster_n <= 0.0:
        return _no(world, "thruster", "not_fitted")
    world.state.control[lay.C_THRUSTER_ORDER] = min(max(c.push, -1.0), 1.0)
    return []


def _windlass(world: World, c: cmd.Windlass) -> Answer:
    line = world.state.lines[c.rode]
    if c.motion != 0:
        if line[lay.L_STOPPER] > 0.0:
            return _no(world, "windlass", "stopper_on")
        if line[lay.L_TRIPPED] > 0.0 or world.state.faults[st.FAULT_WINDLASS] > 0.0:
            return _no(world, "windlass", "no_power")
        if line[lay.L_BRAKE] <= 0.5:
            return _no(world, "windlass", "clutch_free")
        if c.motion < 0 and line[lay.L_HOOK] >= 0.0:
            return _no(world, "windlass", "snubber_on")
        if c.motion < 0 and across.is_hindered(world):
            return _no(world, "windlass", "rode_across")
    line[lay.L_MOTION] = max(-1, min(1, c.motion))
    return []


def _brake(world: World, c: cmd.Brake) -> Answer:
    line = world.state.lines[c.rode]
    line[lay.L_BRAKE] = min(max(c.grip, 0.0), 1.0)
    if c.grip <= 0.5:
        line[lay.L_MOTION] = 0.0
    return []


def _stopper(world: World, c: cmd.Stopper) -> Answer:
    line = world.state.lines[c.rode]
    # Remembered as ordered: a stopper found off that nobody took off has given way.
    line[lay.L_STOPPER] = world.state.memory[c.rode, st.M_STOPPED] = 1.0 if c.on else 0.0
    if c.on:
        line[lay.L_MOTION] = 0.0
    return []


def _preset(world: World, c: cmd.PresetLength) -> Answer:
    world.state.lines[c.rode, lay.L_PRESET] = max(c.length_m, 0.0)
    return []


def _snubber(world: World, c: cmd.Snubber) -> Answer:
    s = world.state
    line = s.lines[c.rode]
    if not c.on:
        if line[lay.L_HOOK] < 0.0:
            return _no(world, "snubber", "not_hooked")
        line[lay.L_HOOK] = -1.0
        return [ev.SnubberCast(tick=s.tick, rode=c.rode)]
    if line[lay.L_COUNT] < 4.0:
        return _no(world, "snubber", "no_chain_out")
    if line[lay.L_HOOK] >= 0.0:
        return _no(world, "snubber", "already_hooked")
    line[lay.L_HOOK] = line[lay.L_COUNT] - 2.0
    line[lay.L_SNUB_LENGTH] = c.length_m if c.length_m > 0.0 else world.params.boat.snubber_length_m
    return [ev.SnubberHooked(tick=s.tick, rode=c.rode, out_m=float(line[lay.L_OUT]))]


def _ashore(world: World, c: cmd.LineToShore) -> Answer:
    roles = [r.role for r in world.params.rodes]
    if "shore" not in roles:
        return _no(world, "line_to_shore", "not_fitted")
    if not target_exists(world, -c.mark):
        return _no(world, "line_to_shore", "no_such_target")
    if world.state.lines[roles.index("shore"), lay.L_COUNT] > 0.0:
        return _no(world, "line_to_shore", "already_hooked")
    return [] if acts.begin(world, acts.ASHORE, c.mark) else _no(world, "line_to_shore", "busy")


def _range(world: World, c: cmd.TakeRange) -> Answer:
    kinds = {"laser": acts.RANGE, "mast": acts.MAST}
    if c.means not in kinds:
        return _no(world, "take_range", "unknown")
    if c.means == "laser" and "laser" not in world.params.boat.gear:
        return _no(world, "take_range", "not_fitted")
    if not target_exists(world, c.target):
        return _no(world, "take_range", "no_such_target")
    return [] if acts.begin(world, kinds[c.means], c.target) else _no(world, "take_range", "busy")


def _radar(world: World, c: cmd.SetRadar) -> Answer:
    if "radar" not in world.params.boat.gear:
        return _no(world, "set_radar", "not_fitted")
    scale_m = min(st.RADAR_SCALES_M, key=lambda scale: abs(scale - c.scale_m))
    world.state.radar[:] = float(c.on), scale_m, min(max(c.gain, 0.0), 1.0), min(max(c.sea, 0.0), 1.0)
    return []


def _sound(world: World, c: cmd.SoundRound) -> Answer:
    if not 5.0 <= c.radius_m <= 200.0:
        return _no(world, "sound_round", "radius")
    return [] if acts.begin(world, acts.SOUND, round(c.radius_m)) else _no(world, "sound_round", "busy")


def _hail(world: World, c: cmd.Hail) -> Answer:
    if c.target < 1 or not target_exists(world, c.target):
        return _no(world, "hail", "no_such_target")
    return [] if acts.begin(world, acts.HAIL, c.target) else _no(world, "hail", "busy")


def _ask(world: World, c: cmd.AskCrew) -> Answer:
    return [ev.CrewAsked(tick=world.state.tick, question=c.question)]


def _transit(world: World, c: cmd.TakeTransit) -> Answer:
    s = world.state
    s.clock[st.K_TRANSIT] = 1 if c.on else 0
    own = s.boats[0]
    s.places[st.P_TRANSIT] = c.bearing_rad
    s.places[st.P_TRANSIT_N], s.places[st.P_TRANSIT_E] = own[lay.B_NORTH], own[lay.B_EAST]
    return [ev.TransitTaken(tick=s.tick, bearing_rad=c.bearing_rad, on=c.on)]


def _mark(world: World, c: cmd.MarkAnchor) -> Answer:
    s = world.state
    line = world.params.rodes[c.rode].line
    roller = world.scratch.roller
    fairleads(s.boats[0], line, 0.0, roller, world.scratch.no_legs)
    north, east = float(roller[0]), float(roller[1])
    s.clock[st.K_MARKED] = 1
    s.places[st.P_MARK_N], s.places[st.P_MARK_E] = north, east
    return [ev.AnchorMarked(tick=s.tick, rode=c.rode, north_m=north, east_m=east)]


def _alarm(world: World, c: cmd.SetAlarm) -> Answer:
    s = world.state
    s.clock[st.K_ALARM_ON], s.clock[st.K_ALARM_RANG] = (1 if c.on else 0), 0
    s.places[st.P_ALARM_N], s.places[st.P_ALARM_E], s.places[st.P_ALARM_R] = c.north_m, c.east_m, c.radius_m
    return [ev.AlarmSet(tick=s.tick, north_m=c.north_m, east_m=c.east_m, radius_m=c.radius_m, on=c.on)]


def _lights(world: World, c: cmd.Lights) -> Answer:
    s = world.state
    s.clock[st.K_LIGHT], s.clock[st.K_BALL] = int(c.anchor_light), int(c.ball)
    return [ev.LightsShown(tick=s.tick, anchor_light=c.anchor_light, ball=c.ball)]


def _plan(world: World, c: cmd.Plan) -> Answer:
    fields = {k: getattr(c, k) for k in c.__dataclass_fields__ if k != "actor"}
    return [ev.PlanMade(tick=world.state.tick, **fields)]


def _dive(world: World, c: cmd.Dive) -> Answer:
    return [] if acts.begin(world, acts.DIVE, c.rode) else _no(world, "dive", "busy")


def _abort(world: World, c: cmd.Abort) -> Answer:
    world.state.clock[st.K_ABORTS] += 1
    return [ev.Aborted(tick=world.state.tick, reason=c.reason)]


def _leave(world: World, c: cmd.Leave) -> Answer:
    s = world.state
    anchors = zip(s.lines, world.params.rodes, strict=True)
    if any(line[lay.L_COUNT] > 0.0 for line, tackle in anchors if tackle.role != "shore"):  # a line is cast off
        return _no(world, "leave", "anchor_out")
    s.clock[st.K_LEFT] = 1
    if s.clock[st.K_SECURED]:
        return [ev.Departed(tick=s.tick)]
    return [ev.Left(tick=s.tick, reason=c.reason)]


def _secure(world: World, _: cmd.Secure) -> Answer:
    s = world.state
    if s.lines[0, lay.L_COUNT] == 0.0:
        return _no(world, "secure", "no_anchor_down")
    s.clock[st.K_SECURED] = 1
    return [ev.Secured(tick=s.tick, out_m=float(s.lines[0, lay.L_OUT]))]


def _inject(world: World, c: cmd.Inject) -> Answer:
    s = world.state
    count = int(s.clock[st.K_EPISODES])
    kinds = {"shift": lay.EPISODE_SHIFT, "gust": lay.EPISODE_GUST, "squall": lay.EPISODE_SQUALL}
    if c.what not in kinds:
        return _no(world, "inject", "unknown")
    if count >= lay.MAX_EPISODES:
        return _no(world, "inject", "too_many")
    s.episodes[count] = [kinds[c.what], s.tick / 60.0, c.ramp_s, c.hold_s, c.turn_rad, c.factor]
    s.clock[st.K_EPISODES] = count + 1
    return [ev.WindInjected(tick=s.tick, what=c.what)]


def _wash(world: World, c: cmd.Wash) -> Answer:
    s = world.state
    count = int(s.clock[st.K_EPISODES])
    if count >= lay.MAX_EPISODES:
        return _no(world, "wash", "too_many")
    s.episodes[count] = [lay.EPISODE_WASH, s.tick / 60.0, c.period_s, c.last_s, c.from_rad, c.height_m]
    s.clock[st.K_EPISODES] = count + 1
    return [ev.WashBegan(tick=s.tick, from_rad=c.from_rad, height_m=c.height_m)]


def _neighbour(world: World, c: cmd.NeighbourAct) -> Answer:
    s = world.state
    if not 1 <= c.target < len(s.boats):
        return _no(world, "neighbour_act", "no_such_target")
    rode, state = s.fleet[c.target], int(s.fleet[c.target, lay.Q_STATE])
    if c.what in ("arrive", "lay_over") and state == lay.AWAY:
        came_from = (float(s.boats[c.target, lay.B_NORTH]), float(s.boats[c.target, lay.B_EAST]))
        if c.what == "lay_over" and not across.berth_over(world, rode, came_from):
            return _no(world, "neighbour_act", "no_anchor_down")
        s.boats[c.target, lay.B_AWAY] = 0.0
        rode[[lay.Q_MEAN_N, lay.Q_MEAN_E]] = s.boats[c.target, [lay.B_WIND_N, lay.B_WIND_E]]
        rode[lay.Q_STATE] = lay.ROUNDING_UP
    elif c.what == "leave" and state == lay.LIES:
        rode[lay.Q_STATE], rode[lay.Q_GOAL_N], rode[lay.Q_GOAL_E] = lay.WEIGHING, c.north_m, c.east_m
        rode[lay.Q_SECOND] = 0.0
    elif c.what == "drag":
        rode[lay.Q_HOLD] = max(c.hold_n, 0.0)
    elif c.what == "part":
        rode[lay.Q_ADRIFT] = 1.0
    elif c.what in ("lights_on", "lights_off"):
        rode[lay.Q_LIT] = float(c.what == "lights_on")
    else:
        return _no(world, "neighbour_act", "not_now")
    return []


def _fault(world: World, c: cmd.Fault) -> Answer:
    s = world.state
    columns = {
        "engine": st.FAULT_ENGINE,
        "windlass": st.FAULT_WINDLASS,
        "thruster": st.FAULT_THRUSTER,
        "helm": st.FAULT_HELM,
        "marks": st.FAULT_MARKS,
        "ears": st.FAULT_EARS,
    }
    if c.what == "counter":
        s.lines[c.rode, lay.L_COUNTER_SCALE] = c.value
    elif c.what in columns:
        s.faults[columns[c.what]] = c.value
    else:
        return _no(world, "fault", "unknown")
    return [ev.FaultBegun(tick=s.tick, what=c.what)]


def _watch_orders(world: World, c: cmd.WatchOrders) -> Answer:
    s = world.state
    if c.drag_m > 0.0 and not s.clock[st.K_MARKED]:
        return _no(world, "watch_orders", "no_mark")
    asked = (max(c.drag_m, 0.0), max(c.wind_mps, 0.0), max(c.shift_rad, 0.0), max(c.near_m, 0.0))
    s.watch[: st.V_NEAR + 1] = asked
    s.watch[st.V_CALLED] = 0.0
    s.rung[:] = 0.0
    return [ev.WatchOrdered(tick=s.tick, drag_m=asked[0], wind_mps=asked[1], shift_rad=asked[2], near_m=asked[3])]


def _begin_watch(world: World, _: cmd.BeginWatch) -> Answer:
    s = world.state
    if s.lines[0, lay.L_COUNT] == 0.0:
        return _no(world, "begin_watch", "no_anchor_down")
    if s.clock[st.K_WATCH] != st.LIVE:
        return _no(world, "begin_watch", "on_watch")
    s.clock[st.K_WATCH] = st.CALLED
    s.shafts[:, lay.S_LEVER] = 0.0
    s.control[[lay.C_RUDDER_ORDER, lay.C_THRUSTER_ORDER]] = 0.0
    s.lines[:, lay.L_MOTION] = 0.0
    return []


def _end_watch(world: World, _: cmd.EndWatch) -> Answer:
    if world.state.clock[st.K_WATCH] == st.LIVE:
        return _no(world, "end_watch", "not_on_watch")
    return watch.end(world)


def _said(_world: World, _: cmd.Command) -> Answer:
    """Words for the record only: they change nothing in the world."""
    return []


_CARRY_OUT: dict[type[cmd.Command], Callable[[World, Any], Answer]] = {
    cmd.Helm: _helm,
    cmd.Engine: _engine,
    cmd.Thruster: _thruster,
    cmd.Windlass: _windlass,
    cmd.Brake: _brake,
    cmd.Stopper: _stopper,
    cmd.PresetLength: _preset,
    cmd.Snubber: _snubber,
    cmd.LineToShore: _ashore,
    cmd.TakeRange: _range,
    cmd.SetRadar: _radar,
    cmd.SoundRound: _sound,
    cmd.Hail: _hail,
    cmd.AskCrew: _ask,
    cmd.TakeTransit: _transit,
    cmd.MarkAnchor: _mark,
    cmd.SetAlarm: _alarm,
    cmd.Lights: _lights,
    cmd.Plan: _plan,
    cmd.Dive: _dive,
    cmd.Abort: _abort,
    cmd.Leave: _leave,
    cmd.Secure: _secure,
    cmd.Inject: _inject,
    cmd.Wash: _wash,
    cmd.NeighbourAct: _neighbour,
    cmd.Fault: _fault,
    cmd.WatchOrders: _watch_orders,
    cmd.BeginWatch: _begin_watch,
    cmd.EndWatch: _end_watch,
    cmd.TimeRate: _said,
    cmd.Note: _said,
    cmd.Bookmark: _said,
    cmd.StepBack: _said,
    cmd.Override: _said,
}


def carry_out(world: World, command: cmd.Command) -> Answer:
    """Change the state as ``command`` orders, and return what that makes happen at once."""
    rode = getattr(command, "rode", 0)
    if not 0 <= rode < len(world.state.lines):
        return _no(world, type(command).__name__.lower(), "no_such_rode")
    heard, answer = hearing.as_heard(world, command)
    return answer if heard is None else [*answer, *_CARRY_OUT[type(heard)](world, heard)]

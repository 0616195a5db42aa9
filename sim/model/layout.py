"""Columns of the arrays that kernels read and write.

A kernel takes whole arrays (cheap to pass) and reads them by these names, so that a law still looks like its equation.
Every column is SI and radians. ``B_`` a boat's state, ``H_`` her hull's constants, ``F_`` one foil element,
``R_`` a rudder, ``S_``/``SP_`` a shaft and its constants, ``N_`` a chain node, ``L_`` a rode, ``A_`` an anchor.
"""

# One row per boat; row 0 is the own boat. Velocities are over the ground, in her own axes.
B_NORTH, B_EAST, B_HEADING, B_SURGE, B_SWAY, B_YAW_RATE = 0, 1, 2, 3, 4, 5
B_WIND_N, B_WIND_E = 6, 7  # true wind at the boat, velocity (blowing to)
B_STREAM_N, B_STREAM_E = 8, 9  # stream at the boat, velocity (setting to)
B_DEPTH = 10  # water under the boat's centre, surface to bed
B_RODE_H = 11  # horizontal pull of her rode
B_GROUND = 12  # > 0 while her keel is in the ground: deepest penetration in metres
B_AWAY = 13  # 1 while she is not in the bay at all
B_SURFACE_N, B_SURFACE_E = 14, 15  # stream at the surface there; B_STREAM is the mean over her draught
B_HEAVE = 16  # rise of her bow on the waves, metres; while only wash lifts the others
B_GROUND_X = 17  # where along her it stands deepest in the ground, forward of midships
B_STIFF = 18  # of that ground: 0 ooze .. 1 rock
B_STUCK = 19  # how far soft ground has closed round her keel, 0..1
B_ORBIT_N, B_ORBIT_E = 20, 21  # what the waves move the water at her, mean over her length
BOAT_COLS = 22

# Constants of one hull.
H_MASS, H_A11, H_A22, H_A22_CANOE, H_A26, H_M33 = 0, 1, 2, 3, 4, 5
H_LOA, H_LWL, H_BEAM, H_DRAUGHT = 6, 7, 8, 9
H_WETTED, H_RESIDUARY, H_ASTERN = 10, 11, 12
H_YAW_DAMP = 13
H_AF, H_AL, H_SL, H_CDL_BOW, H_CDL_STERN, H_CDT, H_DELTA = 14, 15, 16, 17, 18, 19, 20
H_PROP_DRAG = 21  # 1/2 rho A Cd of all propellers standing still [N s2/m2]
H_ROLLER_X, H_ROLLER_Z, H_BRIDLE_Y = 22, 23, 24
H_FOILS, H_RUDDERS = 25, 26  # how many rows of the tables below are in use
H_A66 = 27
H_SHALLOW = 28  # how much more the water resists sideways where it is shallow [m2], see hull.shallow_factor
H_CANOE, H_KEEL_AFT, H_KEEL_FORE, H_ASIDE = 29, 30, 31, 32  # what grounds: canoe draught, keel's ends, hulls' half gap
H_ANTENNA_X = 33  # the receiver's antenna, forward of midships
HULL_COLS = 34

# One foil element: a strip of canoe body or of keel.
F_X, F_AREA, F_SLOPE, F_CD, F_CP, F_KEEL = 0, 1, 2, 3, 4, 5
FOIL_COLS = 6
MAX_FOILS = 13

R_X, R_Y, R_AREA, R_SPAN, R_SLOPE, R_PROP_D = 0, 1, 2, 3, 4, 5
RUDDER_COLS = 6
MAX_RUDDERS = 2

# One shaft: state, and constants.
S_LEVER, S_GEAR, S_DWELL, S_RPS, S_THRUST = 0, 1, 2, 3, 4
SHAFT_COLS = 5
SP_X, SP_Y, SP_BOLLARD, SP_ASTERN, SP_IDLE_RPS, SP_MAX_RPS, SP_ZERO_SPEED, SP_DISC, SP_PROP_CD, SP_WALK, SP_HAND = (
    range(11)
)
SP_STEERS = 11  # 1 where the helm turns the propeller: an outboard
SHAFT_PARAM_COLS = 12
MAX_SHAFTS = 2

# The helm of the own boat.
C_RUDDER, C_RUDDER_ORDER, C_THRUSTER, C_THRUSTER_ORDER, C_THRUSTER_HEAT = 0, 1, 2, 3, 4
CONTROL_COLS = 5

# One chain node, anchor first, roller last. The last column but one speaks of the segment above the node.
N_NORTH, N_EAST, N_Z, N_VN, N_VE, N_VZ, N_STICK_N, N_STICK_E, N_TENSION, N_ACTIVE = range(10)
NODE_COLS = 10
NODE_CAP = 160

# One rode.
(
    L_COUNT,  # nodes in use; 0 while the anchor is at the roller
    L_OUT,  # length beyond the roller [m]
    L_TOP,  # unstretched length of the top segment [m]
    L_RATE,  # pay-out rate, + out [m/s]
    L_ACCEL,  # its rate of change over the last tick [m/s2]
    L_FN,  # pull of the whole rode on the boat, north
    L_FE,
    L_FZ,  # upwards is positive: a hanging rode pulls down
    L_YAW,  # and its yawing moment about the boat's centre [N m]
    L_TENSION,  # tension of the chain at the roller [N]
    L_MOTION,  # windlass switch: -1 heave, 0 stop, +1 lower under power
    L_BRAKE,  # 0 free .. 1 hard on
    L_STOPPER,  # 1 on
    L_PRESET,  # length at which the windlass stops by itself, 0 none
    L_HEAT,  # motor heat 0..1; trips at 1
    L_TRIPPED,
    L_HOOK,  # node the snubber is hooked to, -1 none
    L_SNUB_LENGTH,  # unstretched length of each leg [m]
    L_SNUB_A,  # tension of the port leg (or the only one) [N]
    L_SNUB_B,  # tension of the starboard leg [N]
    L_LOST,  # 1 when the bitter end has gone
    L_COUNTER_SCALE,  # what the counter makes of a metre
    L_CHAFE,  # of the snubber, 0..1; it parts at 1
    L_CROSSED,  # node on which another rode lies, -1 none
    L_CROSS_WEIGHT,  # of that other rode, N/m
    L_SNAG,  # 1 + which of the bay's snags the rode bears on, 0 none
    L_MESH,  # length of a segment while it is not the rode's own, else 0 [m]
    L_LEG_A,  # length of the port leg at the last step, 0 none yet [m]
    L_LEG_B,
    L_LAG_A,  # tension of the port leg that lags behind its stretch [N]
    L_LAG_B,
) = range(31)
LINE_COLS = 31

# Constants of a rode.
(
    LP_MASS,  # kg/m
    LP_WEIGHT,  # submerged, N/m
    LP_EA,  # N
    LP_DIAMETER,  # bar, m
    LP_CARRIED,  # m
    LP_SEGMENT,  # m
    LP_BITTER_FAST,  # 1 made fast
    LP_SNUB_EA,  # one leg, N
    LP_MOTOR_RATE,  # m/s
    LP_MOTOR_STALL,  # N
    LP_CLUTCH,  # holding force of clutch or brake hard on, N
    LP_STOPPER_LIMIT,  # N
    LP_ROLLER_Z,  # roller above the water, m
    LP_DRAG_NORMAL,
    LP_DRAG_TANGENT,
    LP_LEADER,  # length of chain from the anchor; the whole rode where it is all chain, m
    LP_ROPE_MASS,  # of the rope behind it, kg/m
    LP_ROPE_WEIGHT,
    LP_ROPE_EA,
    LP_ROPE_DIAMETER,
    LP_LEAD_X,  # where it leads over the boat's side, forward and to starboard of her centre, m
    LP_LEAD_Y,
    LP_SNUB_BREAK,  # breaking load of one snubber leg, N
    LP_BRIDLE_Y,  # how far to either side of it a bridle's legs lead, m; 0 for one leg amidships
) = range(24)
LINE_PARAM_COLS = 24

# One anchor.
(
    A_ATTITUDE,
    A_SHANK,  # direction from anchor towards the pull
    A_BURIAL,  # 0..1
    A_CLOG,  # 0..1
    A_SOAK,  # s at rest on the ground
    A_TIP,  # m dragged with a pull from ahead since it landed, up to a fluke length
    A_DRAG,  # m, path dragged since it touched
    A_VEERS,  # how many veers have been drawn
    A_VEER_STATE,  # 0 none, 1 turning in place, 2 tripped: re-sets after A_VEER_LEFT metres, 3 tripped and stays out
    A_VEER_LEFT,  # m it has still to be dragged, tripped; the veer's draw while it turns in place
    A_CAP_H,  # resistance now, N
    A_CAP_V,  # hold-down now, N
    A_PULL_H,  # horizontal pull at the shackle, N
    A_UPLIFT,  # slope of the rode at the shackle, rad
    A_SPEED,  # over the ground, m/s
    A_TOUCH_N,  # where it first touched
    A_TOUCH_E,
    A_BOTTOM,  # index of the bottom it lies on
    A_HEAP,  # m of chain lying within two metres beyond one layer
    A_LOAD,  # horizontal pull averaged over a second, N
    A_FOUL_DRAWN,  # 1 once it has been drawn whether its own heap wraps it
) = range(21)
ANCHOR_COLS = 21

# Attitudes of an anchor.
STOWED, HANGING, LYING, TIPPING, SET, DRAGGING, TURNED, CLOGGED, FOULED, ASHORE = range(10)
ATTITUDES = ("stowed", "hanging", "lying", "tipping", "set", "dragging", "turned", "clogged", "fouled", "ashore")

# Constants of an anchor that do not depend on the bottom, and one row per bottom for those that do.
AP_MASS, AP_WEIGHT, AP_FLUKE, AP_DRAG_AREA, AP_SLIDE, AP_SELF_TIPS, AP_TRIPS, AP_STAYS, AP_TURN, AP_SIDE = range(10)
ANCHOR_PARAM_COLS = 10
AB_HOLD, AB_BURIAL_MAX = 0, 1  # ultimate horizontal holding [N], deepest burial 0..1
ANCHOR_BOTTOM_COLS = 2

# One bottom.
G_FRICTION, G_BURY_FLUKES, G_SUCTION, G_PATCHY, G_SOAK_S, G_UNSOAKED, G_CLOG_PER_M, G_SKATE, G_STIFF = range(9)
BOTTOM_COLS = 9

# Rode of another boat (row per boat of the fleet, row 0 unused).
(
    Q_ANCHOR_N,
    Q_ANCHOR_E,
    Q_LENGTH,
    Q_WEIGHT,
    Q_MU,
    Q_DEPTH_LOW,
    Q_DEPTH_HIGH,
    Q_ADRIFT,  # 1: her rode holds nothing
    Q_HOLD,  # horizontal pull at which her anchor comes home [N], 0 never
    Q_STATE,  # what she is about, below
    Q_TOLD,  # the state that has been told
    Q_GOAL_N,  # where she is bound, while under way
    Q_GOAL_E,
    Q_SECOND,  # 0 none, 1 a second anchor from the bow, 2 a line from her stern
    Q_SECOND_N,
    Q_SECOND_E,
    Q_SECOND_LOW,
    Q_SECOND_HIGH,
    Q_DRAGGED,  # m, how far her anchor has come home
    Q_LIT,  # 1: she shows her lights at night
    Q_MEAN_N,  # true wind at her, averaged: what her skipper goes by, velocity (blowing to)
    Q_MEAN_E,
    Q_DRAG_TOLD,  # of it, what has been told
    Q_ASIDE,  # m to the right of the wind's eye that she rounds up aside of her berth
    Q_LET_GO,  # tick at which she was last told to have let go, 0 for before the start
    Q_ACROSS,  # of her rode over the own one: 0 not, 1 lies across, 2 seen at the surface, 3 slipped off
    Q_ACROSS_M,  # so far from the own anchor along the chain
) = range(27)
Q_LINKS = 27  # where her chain lies: north and east of each link's outer end, from the anchor on
LINKS = 12
FLEET_COLS = Q_LINKS + 2 * LINKS
NOT_ACROSS, LIES_ACROSS, SEEN_ACROSS, SLIPPED_OFF = range(4)
TABLE_POINTS = 48
# Main rode at low and at high water, then the second.
TABLE_ROWS = 4

# What another boat is about.
(
    LIES,
    AWAY,  # not here (any more)
    ROUNDING_UP,  # under way to a place to leeward of where her anchor shall lie
    CLOSING,  # up to it, head to wind
    FALLING_BACK,
    WEIGHING,
    LEAVING,
    HOLDING_OFF,  # at anchor, her engine holding her aside for somebody to weigh
) = range(8)
FLEET_STATES = ("lies", "away", "under_way", "closing", "let_go", "weighs", "leaving", "holds_off")

# One episode of wind or wash, added by commands only.
E_KIND, E_START_S, E_RAMP_S, E_HOLD_S, E_TURN, E_FACTOR = 0, 1, 2, 3, 4, 5
EPISODE_COLS = 6
E_PERIOD_S, E_FROM, E_HEIGHT_M = E_RAMP_S, E_TURN, E_FACTOR  # the same columns, where the episode is a wash
EPISODE_SHIFT, EPISODE_GUST, EPISODE_SQUALL, EPISODE_WASH = 1, 2, 3, 4
MAX_EPISODES = 64

# Constants of the wind.
W_MEAN, W_FROM = 0, 1
W_FALL_FROM, W_FALL_SPEED, W_FALL_EVERY = 2, 3, 4  # gusts off high ground: whence, how fast they travel, how often
WIND_COLS = 5
# One wave of the gusts: rate [rad/s], wavenumber across the wind [rad/m], parts of its amplitudes over the mean wind.
T_RATE, T_LATERAL, T_ALONG_SIN, T_ALONG_COS, T_ACROSS_SIN, T_ACROSS_COS = range(6)
GUST_COLS = 6
V_FREQ, V_AMP, V_PHASE = 0, 1, 2
VEER_COLS = 3

# One gust off high ground: when in its turn it comes (0..1), its wind [m/s], its swing, how long it lasts [s].
FL_LATE, FL_SPEED, FL_TURN, FL_LAST = 0, 1, 2, 3
FALL_COLS = 4

# One component of the waves.
WV_FREQ, WV_WIDTH, WV_PHASE = 0, 1, 2
WAVE_COLS = 3
# How a hull answers a component, by where it comes from off the bow in WAVE_SECTORS steps from ahead to astern.
RS_REAL, RS_IMAGINARY, RS_SURGE, RS_DRIFT = 0, 1, 2, 3
RESPONSE_COLS = 4
WAVE_SECTORS = 13

# One eddy: the unit vector of the stream that makes it, and the stream in it over that outside.
ED_NORTH, ED_EAST, ED_RATE = 0, 1, 2
EDDY_COLS = 3

# One snag of the bay: an upright post or rock head that a rode can catch on.
SG_NORTH, SG_EAST, SG_RADIUS, SG_TOP = 0, 1, 2, 3  # the top is a height above chart datum
SNAG_COLS = 4

# Constants of the bay's raster.
Y_NORTH, Y_EAST, Y_CELL = 0, 1, 2
RASTER_COLS = 3

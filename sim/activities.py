"""The activities of a pad, in the trade's words, and what waiting for each of them is called."""

ARRIVE = "arrive"
RIG_RELEASE = "rig release"
RIG_UP = "rig up"
RIG_DOWN = "rig down"

NIPPLE_UP = "nipple up"
PRESSURE_TEST = "pressure test"
TOE_PREPARATION = "toe preparation"
INJECTION_TEST = "injection test"
WATCH_PRESSURE = "watch pressure"

LAY_LINE = "lay water line"
ERECT_STORAGE = "erect storage"
FILL_STORAGE = "fill storage"
FILL_PROPPANT = "fill proppant storage"
HAUL = "haul proppant"

PLUG_AND_PERFORATE = "plug and perforate"
SWAP = "swap"
MOVE = "move between groups"
PUMP_STAGE = "pump stage"

TRIP_IN = "trip in"
MILL_PLUGS = "mill plugs"
SWEEP = "sweep"
TRIP_OUT = "trip out"

FLOW_BACK = "flow back"
TURN_IN_LINE = "turn in line"
SHUT_IN = "shut in"

STAND_BY = "stand by"

WAITING_FOR = {
    RIG_RELEASE: "rig release",
    RIG_UP: "rig up",
    RIG_DOWN: "rig down",
    NIPPLE_UP: "preparation",
    PRESSURE_TEST: "preparation",
    TOE_PREPARATION: "preparation",
    INJECTION_TEST: "preparation",
    WATCH_PRESSURE: "preparation",
    LAY_LINE: "water system",
    ERECT_STORAGE: "water system",
    FILL_STORAGE: "water system",
    FILL_PROPPANT: "proppant",
    HAUL: "proppant",
    PLUG_AND_PERFORATE: "wireline",
    SWAP: "pumping",
    MOVE: "pumping",
    PUMP_STAGE: "pumping",
    TRIP_IN: "drill-out",
    MILL_PLUGS: "drill-out",
    SWEEP: "drill-out",
    TRIP_OUT: "drill-out",
    FLOW_BACK: "flowback",
    TURN_IN_LINE: "flowback",
}
"""Activity -> cause of the wait of whoever it keeps waiting."""

ARRIVAL = "arrival"
ON_CALL = "on call"
WATER = "water"
PROPPANT = "proppant"
FLOWBACK_WATER = "flowback water"
FACILITY = "facility"
FRAC_STACK = "frac stack"
OUTSIDE_HOURS = "outside hours"
WEATHER = "weather"
CREW_CHANGE = "crew change"


def supply_of(cause: str) -> str:
    """What a wait was for: of `water: source` the water, whose source was the limit; of others the cause itself."""
    return cause.partition(":")[0]

//! Faults of motions: straight, arcs, feed modes, probing.

use super::declare;

declare! {
    AXIS_WORD_MISSING = "axis-word-missing", Care, "NC25",
        "A code that needs at least one axis word stands without any. By the published rules this is \
         an error; where the coordinate was lost the tool stays where it should have moved.",
        "add the axis word, or take the code out";
    ARC_END_MISSING = "arc-end-missing", Stop, "NC26",
        "An arc names neither axis word of its plane. By the published rules this is an error, with a \
         radius it has no meaning at all: the arc needs an end.",
        "write the end point of the arc; for a full circle repeat the start point";
    ARC_CENTRE_MISSING = "arc-centre-missing", Stop, "NC27",
        "An arc has neither a radius R nor a centre (I J K of its plane), so there is no arc to run. \
         A straight line is taken here to keep the position.",
        "add R, or I and J (K and I in G18, J and K in G19)";
    ARC_CENTRE_TWICE = "arc-centre-twice", Stop, "",
        "An arc has both a radius R and centre words. Controls differ in which they use, and the two \
         rarely say the same. The radius is taken here.",
        "keep either R or the centre words";
    ARC_CENTRE_INCOMPLETE = "arc-centre-incomplete", Stop, "NC21",
        "Centre words are absolute (G90.1) and only one of the two is given. The other would be the \
         datum on some controls and the start point on others. The start point's is taken here.",
        "write both centre words";
    ARC_RADIUS_MISMATCH = "arc-radius-mismatch", Stop, "NC28",
        "The arc's end is not as far from its centre as its start, so no circle goes through both. \
         Small differences come from rounding; larger ones from a wrong sign, from absolute centres \
         read as incremental, or from a lost digit. A control stops there, usually with the tool in \
         the material.",
        "correct end or centre; check whether centres are incremental or absolute";
    ARC_CLOSED_WITH_RADIUS = "arc-closed-with-radius", Stop, "NC29",
        "An arc given by radius ends where it starts. Its centre could be anywhere, so there is no \
         arc to run.",
        "give a full circle by its centre (I J), not by R";
    ARC_RADIUS_TOO_SMALL = "arc-radius-too-small", Stop, "NC30",
        "The end of the arc is farther from its start than twice the radius: no circle of that radius \
         reaches it. A straight line is taken here to keep the position; a control stops.",
        "correct the radius or the end point";
    ARC_RADIUS_ILL_CONDITIONED = "arc-radius-ill-conditioned", Note, "",
        "The arc is given by radius and its sweep is near 180 or 360 degrees, where rounding in the \
         last digit of the end point moves the centre a lot. The published report advises against it.",
        "give the arc by its centre (I J)";
    ARC_DISTORTED = "arc-distorted", Stop, "",
        "Scaling is on with different factors for the two axes of the arc's plane, or rotation is on \
         in another plane, so that the arc would no longer be one. Controls refuse it or run some \
         other curve. A straight line is taken here to keep the position.",
        "scale both axes of the plane alike, and rotate in the plane of the arc";
    SCALE_FACTOR_ZERO = "scale-factor-zero", Stop, "",
        "Scaling by 0 would press the whole contour into one point or line. It is left out here; a \
         control stops.",
        "write a factor other than 0";
    MACHINE_COORDINATES_WITHOUT_STRAIGHT = "machine-coordinates-without-straight", Stop, "NC31",
        "G53 stands in a block whose motion is neither G0 nor G1. Machine coordinates are defined for \
         straight motions only; the motion is left out here.",
        "write G53 together with G0 or G1";
    AXIS_WORDS_AFTER_CYCLE_CANCEL = "axis-words-after-cycle-cancel", Stop, "NC32",
        "Axis words stand where G80 is the motion in force. G80 only ends cycles and moves nothing, \
         so it is not clear whether a rapid or a feed move is meant. Nothing moves here.",
        "write G0 or G1 with the axis words";
    INVERSE_TIME_FEED_MISSING = "inverse-time-feed-missing", Stop, "NC33",
        "In inverse time (G93) every feed move needs its own F, because F says how long that one move \
         takes. Without it the speed of the move is unknown.",
        "add F to the block, or go back to G94";
    PROBE_IMPOSSIBLE = "probe-impossible", Stop, "NC34",
        "A probing move (G38.2) needs X, Y or Z, must go at least 0.254 mm (0.01 in), may not turn a \
         rotary axis and may not run in inverse time. Otherwise the control cannot tell a touch from \
         the start, and the probe may be broken.",
        "start farther away, in G94, with X, Y or Z only";
    FEED_MISSING = "feed-missing", Stop, "NC35",
        "A feed move runs while no feed was ever stated, or with F0. By the published rules this is \
         an error: the control stops or stands still with the tool turning in one place, which burns \
         wood and melts plastics.",
        "state F before or in the first feed move";
    FEED_UNIT_CHANGED = "feed-unit-changed", Care, "",
        "Units were changed by G20 or G21 and a feed move follows without a new F. The published \
         report keeps the number, so F60 in inches becomes 60 mm/min; controls differ.",
        "state F again after changing units";
    FEED_PER_TURN_WITHOUT_SPEED = "feed-per-turn-without-speed", Stop, "",
        "Feed is per turn of the spindle (G95) and the spindle speed is 0 or never stated, so the \
         machine would stand still with the tool in the material.",
        "state S before the first feed move, or use G94";
}

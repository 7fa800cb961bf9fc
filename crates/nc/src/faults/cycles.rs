//! Faults of canned cycles.

use super::declare;

declare! {
    CYCLE_AXIS_WORD_MISSING = "cycle-axis-word-missing", Stop, "NC41",
        "A canned cycle stands without X, Y or Z. By the published rules it needs one of them to run; \
         no hole is made here.",
        "add the position of the hole";
    CYCLE_DEPTH_MISSING = "cycle-depth-missing", Stop, "NC42",
        "The first block of a canned cycle does not say how deep to go (Z in G17). Later blocks may \
         leave it out, the first may not; no hole is made here.",
        "add the depth to the first block of the cycle";
    CYCLE_RETRACT_MISSING = "cycle-retract-missing", Stop, "NC43",
        "The first block of a canned cycle does not say at which height to start (R). Later blocks \
         may leave it out, the first may not; no hole is made here.",
        "add R to the first block of the cycle";
    CYCLE_RETRACT_BELOW_DEPTH = "cycle-retract-below-depth", Stop, "NC44",
        "The starting height R of a canned cycle lies below the bottom of the hole. The tool would go \
         down at rapid speed. No hole is made here.",
        "put R above the sheet and the depth below R";
    REPEAT_COUNT_WRONG = "repeat-count-wrong", Stop, "NC45",
        "The repeat count L must be a whole number of 1 or more. One repeat is taken here.",
        "write L1 or more, or leave L out";
    CYCLE_DWELL_WRONG = "cycle-dwell-wrong", Stop, "NC46",
        "A cycle that waits at the bottom (G82, G86, G88, G89) has no P, or a negative one. It is \
         taken as 0 here.",
        "add P with the time to wait";
    CYCLE_PECK_WRONG = "cycle-peck-wrong", Stop, "NC47",
        "A peck drilling cycle has no peck depth Q, or one of 0 or less: it would never reach the \
         bottom. The hole is taken in one go here.",
        "add Q with the depth of one peck";
    CYCLE_TOO_MANY_PECKS = "cycle-too-many-pecks", Stop, "",
        "The peck depth Q is so small that the hole takes more pecks than this reader follows \
         (10,000). The hole is taken in one go here.",
        "correct Q; a decimal point may be wrong";
    TAPPING_SPINDLE_WRONG = "tapping-spindle-wrong", Stop, "NC48",
        "G84 cuts a right-hand thread and needs the spindle turning clockwise (M3) before it starts. \
         Otherwise the tap is pulled out or broken.",
        "start the spindle with M3 before G84";
    CYCLE_SPINDLE_STILL = "cycle-spindle-still", Stop, "NC49",
        "A boring cycle that stops the spindle at the bottom (G86, G87, G88) starts with the spindle \
         standing still: the tool is pushed into the material without turning.",
        "start the spindle before the cycle";
    CYCLE_TURNING = "cycle-turning", Stop, "NC50",
        "A canned cycle's block also turns a rotary axis. Cycles move X, Y and Z only; the rotary word \
         is not followed here.",
        "turn the axis in a block of its own before the cycle";
    CYCLE_IN_INVERSE_TIME = "cycle-in-inverse-time", Stop, "NC51",
        "A canned cycle runs in inverse time (G93), where a single F cannot say how long its several \
         moves take. Their feed is unknown.",
        "go back to G94 before the cycle";
    CYCLE_IN_COMPENSATION = "cycle-in-compensation", Stop, "NC52",
        "A canned cycle runs while cutter compensation is on. The hole would not be where it is \
         programmed; compensation is left out of the cycle here.",
        "switch compensation off with G40 before the cycle";
}

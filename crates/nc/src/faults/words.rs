//! Faults of words and codes within a block.

use super::declare;

declare! {
    WORD_REPEATED = "word-repeated", Stop, "NC16",
        "A letter stands twice in one block. Each letter but G and M may stand once: some controls \
         take the first, some the last, some stop. The first is taken here.",
        "keep one of the two, or split the block";
    M_CODES_TOO_MANY = "m-codes-too-many", Stop, "NC17",
        "A block may hold four M codes by the published rules, and sixteen are kept by this reader. \
         Those beyond are not run.",
        "split the block";
    CODE_UNKNOWN = "code-unknown", Stop, "NC18",
        "A G or M code is neither in the published language nor described for this machine. M codes \
         differ from machine to machine: the same number may open a vacuum valve here and drop a head \
         there. Nothing is assumed about it, and axis words that belong to it are not followed.",
        "describe the code in the machine's dialect, or take it out";
    CODES_CONFLICT = "codes-conflict", Stop, "NC19",
        "Two codes of one group stand in one block, such as G0 and G1 or M3 and M4. Only one can hold; \
         which one depends on the control. The first is taken here.",
        "keep one, or split the block";
    AXIS_WORDS_CLAIMED_TWICE = "axis-words-claimed-twice", Stop, "NC20",
        "The block holds a motion code and another code that uses axis words too (G10, G28, G30, G52, \
         G92). It is not clear which of them the axis words belong to; the motion is left out here.",
        "split the block in two";
    WORD_MISSING = "word-missing", Stop, "NC21",
        "A code needs a word that the block does not hold. The code cannot be run as written; a \
         control stops or uses an old value.",
        "add the word named in the message";
    WORD_UNUSED = "word-unused", Care, "NC22",
        "A word stands in a block that has no code using it. Either the code was lost or the word is \
         left over; a control may stop at it or use it in an unexpected way.",
        "take the word out, or add the code that it belongs to";
    NUMBER_NOT_WHOLE = "number-not-whole", Stop, "NC23",
        "A word needs a whole number, such as a tool number or a repeat count, and has another. \
         Controls round, cut off or stop. The nearest whole number is taken here.",
        "write a whole number";
    VALUE_NEGATIVE = "value-negative", Stop, "NC24",
        "A feed, spindle speed, tool number, offset number or dwell is negative. It has no meaning; \
         the word is left out here.",
        "write a value of 0 or more";
    SPINDLE_STEP_UNKNOWN = "spindle-step-unknown", Stop, "",
        "The machine's spindle runs at fixed speeds, and S names one of them by number. The program \
         names a step that there is not, often because it was written for a machine where S is the \
         speed itself. The speed stays as it was here.",
        "write the number of a step, S1 for the first";
    AXIS_NOT_ON_MACHINE = "axis-not-on-machine", Stop, "",
        "A rotary word (A, B or C) names an axis that the machine's description does not have. The \
         word is not followed, so a knife may not point where the program wants it.",
        "describe the rotary axis, or take the word out";
}

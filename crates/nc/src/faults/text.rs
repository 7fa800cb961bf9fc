//! Faults of characters, numbers, expressions and comments.

use super::declare;

declare! {
    CHARACTER_UNREADABLE = "character-unreadable", Stop, "NC01",
        "The block holds a character that has no meaning outside a comment. A control either stops \
         there with an alarm or, worse, reads the rest of the block as something else, so the \
         motion that follows cannot be relied on.",
        "take the character out, or put the text into a comment";
    ENCODING_NOT_READABLE = "encoding-not-readable", Stop, "",
        "The file begins with the mark of a text in 16-bit characters (UTF-16). Controls read one \
         byte per character and would find a zero byte after each, so nothing of the file is read.",
        "save the program as plain text (ASCII, UTF-8 or Windows-1252)";
    LETTER_UNKNOWN = "letter-unknown", Stop, "NC01",
        "The block holds a word whose letter the language does not have (E, O, U, V and W are not in \
         it, unless the machine's description gives them a meaning). What the control would do with \
         the word is unknown, so the word is not followed here.",
        "take the word out, or describe it in the machine's dialect";
    LINE_TOO_LONG = "line-too-long", Stop, "NC02",
        "The published language allows 256 characters a line. A control that keeps to it cuts the \
         rest off or stops; the part cut off may hold the coordinate that keeps the tool clear.",
        "split the line, or shorten its comment";
    LINE_NUMBER_MALFORMED = "line-number-malformed", Stop, "NC03",
        "A line number must be the first word of the block: N with one to five digits, without sign \
         or decimal point. Anything else may be refused, and a restart that searches for the number \
         would land on another block.",
        "number lines N0 to N99999, first in the block, or leave numbers out";
    COMMENT_UNCLOSED = "comment-unclosed", Stop, "NC04",
        "A comment that opens with ( must close on the same line. Controls differ in what they do \
         with an open one: stop, or swallow the words after it, which then do not move the machine.",
        "close the comment with ) on its own line";
    COMMENT_NESTED = "comment-nested", Stop, "NC04",
        "A comment holds another (. Comments cannot be nested: the first ) ends the comment, and what \
         follows is read as words, which may move the machine.",
        "use other marks inside the comment, for instance square brackets";
    NUMBER_MALFORMED = "number-malformed", Stop, "NC05",
        "A word's number cannot be read: no digit, a second decimal point, or a sign inside it. A \
         control that reads only part of it moves to another place than meant.",
        "write the number as digits with at most one point and one leading sign";
    NUMBER_TOO_LARGE = "number-too-large", Stop, "",
        "A number is beyond anything a machine can use (its magnitude is over 10^12). Controls \
         overflow to some other value. The word is left out here.",
        "correct the number; a decimal point may have been lost";
    SIGN_BEFORE_EXPRESSION = "sign-before-expression", Note, "NC05",
        "A sign stands before an expression, a parameter or a function. The published language has \
         signs on plain numbers only; many controls accept it and change the sign, some do not.",
        "write [0 - ...], with a zero, instead of the bare sign";
    BRACKET_UNBALANCED = "bracket-unbalanced", Stop, "NC06",
        "An expression has more [ than ] or the other way round, so it is not clear what belongs to \
         it. The word is left out here; a control would stop.",
        "give every [ its ]";
    BRACKETS_TOO_DEEP = "brackets-too-deep", Stop, "",
        "Brackets are nested deeper than this reader follows (64 levels). No program written by \
         people or post-processors needs that, so the text is likely damaged.",
        "simplify the expression, or take intermediate values into parameters";
    OPERATOR_UNKNOWN = "operator-unknown", Stop, "NC07",
        "Inside brackets an operator was expected: ** * / MOD + - OR XOR AND. What stands there is \
         none of them, so the value is unknown and the word is left out here.",
        "use one of ** * / MOD + - OR XOR AND";
    FUNCTION_UNKNOWN = "function-unknown", Stop, "NC07",
        "A function was expected: ABS ACOS ASIN ATAN COS EXP FIX FUP LN ROUND SIN SQRT TAN. What \
         stands there is none of them, so the value is unknown and the word is left out here.",
        "use one of ABS ACOS ASIN ATAN COS EXP FIX FUP LN ROUND SIN SQRT TAN";
    FUNCTION_WITHOUT_BRACKET = "function-without-bracket", Stop, "NC08",
        "A function's argument must stand in square brackets. Without them the value is unknown and \
         the word is left out here.",
        "write the argument in brackets, for instance SIN[30]";
    ARCTANGENT_INCOMPLETE = "arctangent-incomplete", Stop, "NC09",
        "ATAN takes two arguments, ATAN[y]/[x], so that it knows the quadrant. With one the value is \
         unknown and the word is left out here.",
        "write ATAN[y]/[x]; for the plain arctangent of y write ATAN[y]/[1]";
    DIVISION_BY_ZERO = "division-by-zero", Stop, "NC10",
        "An expression divides by zero (or takes a remainder by zero). It has no value; the word is \
         left out here, a control would stop.",
        "check the parameter that is zero";
    POWER_UNDEFINED = "power-undefined", Stop, "NC11",
        "A negative number is raised to a power that is not whole, or zero to a negative power. That \
         has no real value; the word is left out here.",
        "check the signs in the expression; -2**2 means [-2]**2 in this language";
    ARGUMENT_OUT_OF_RANGE = "argument-out-of-range", Stop, "NC12",
        "A function has no value for its argument: SQRT of a negative number, LN of zero or less, \
         ASIN or ACOS outside -1 to 1. The word is left out here, a control would stop.",
        "check the argument; rounding may push it just over the edge";
    PARAMETER_NUMBER_WRONG = "parameter-number-wrong", Stop, "NC13",
        "Parameters are numbered 1 to 5399 with whole numbers. Another number names nothing, or on \
         some controls a system value; the value is unknown here.",
        "use #1 to #5399";
    PARAMETER_SETTING_INCOMPLETE = "parameter-setting-incomplete", Stop, "NC14",
        "A parameter at the start of a word sets its value and needs = and a value. Without them \
         nothing is set, and blocks that use the parameter go wrong later.",
        "write #number = value";
    PARAMETER_UNSET = "parameter-unset", Care, "",
        "A parameter is read that nothing has set, neither this program nor the machine's \
         description. Its value is taken as 0; at the machine it is whatever was left in it by an \
         earlier program.",
        "set the parameter before it is used";
    PERCENT_UNPAIRED = "percent-unpaired", Stop, "NC15",
        "The program begins with a line holding only % and must then end with another: the pair marks \
         where the program starts and stops. A missing second mark often means that the end of the \
         file was lost on the way.",
        "check that the file is complete and end it with a line holding only %";
    PERCENT_WITH_TEXT = "percent-with-text", Note, "",
        "A % line holds more than the mark. Some controls take it as a name, some refuse the file. It \
         is not followed here.",
        "put the text into a comment on a line of its own";
    END_MISSING = "end-missing", Stop, "NC15",
        "By the published rules a program needs M2 or M30, or a pair of % lines. Without them the end \
         of the file may have been lost, and the spindle keeps turning when the blocks run out.",
        "end the program with M2 or M30";
    TEXT_AFTER_END = "text-after-end", Note, "",
        "Lines follow the end of the program that no subprogram call reaches. They are not read and \
         not checked; the control does not run them either.",
        "take them out if they are not meant to be there";
}

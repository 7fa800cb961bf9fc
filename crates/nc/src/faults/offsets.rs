//! Faults of work systems, length offsets and tool numbers.

use super::declare;

declare! {
    OFFSET_KIND_UNKNOWN = "offset-kind-unknown", Stop, "NC36",
        "G10 sets the origin of a work system and needs L2 for that. Other L numbers set tables that \
         differ from control to control; nothing is set here.",
        "write G10 L2 P1 to P9 with the axis words";
    WORK_SYSTEM_NUMBER_WRONG = "work-system-number-wrong", Stop, "NC37",
        "P of G10 L2 names a work system, 1 for G54 to 9 for G59.3. Another number names none; \
         nothing is set here.",
        "use P1 to P9";
    OFFSET_NUMBER_TOO_HIGH = "offset-number-too-high", Stop, "NC38",
        "H or D names a slot of the tool table that does not exist. A control stops, or applies zero, \
         which drives the tool its whole length too deep. No offset is changed here.",
        "use the number of a tool in the table";
    TOOL_NUMBER_TOO_HIGH = "tool-number-too-high", Stop, "NC39",
        "T names a slot beyond those of the machine. The tool cannot be fetched, and \
         what the control does instead is not known.",
        "use a slot that the machine has";
    ACTIVE_SYSTEM_PARAMETER_WRONG = "active-system-parameter-wrong", Stop, "NC40",
        "Parameter 5220 holds the number of the work system in force and must be 1 to 9. With another \
         value the control does not know where the datum is.",
        "select the work system by G54 to G59.3 instead";
    WORK_OFFSET_UNKNOWN = "work-offset-unknown", Stop, "",
        "The program uses a work system whose origin the machine's description does not give. Where \
         on the table it cuts is unknown; the machine's zero is taken here, so other findings about \
         places may follow from this one.",
        "describe the datum in the machine's file, or use one that is described";
    LENGTH_OFFSET_UNKNOWN = "length-offset-unknown", Stop, "",
        "G43 names a tool table slot that the shop's tools do not have, or one without measured \
         length. How deep the tool goes is unknown; zero is taken here.",
        "measure the tool and enter its length, or correct H";
    START_CODE_UNKNOWN = "start-code-unknown", Stop, "",
        "The machine's description lists a code as in force at program start that is not a code of \
         the language. It is left out, so the program may be read under another state than at the \
         machine.",
        "correct `start_codes` in the machine's dialect";
}

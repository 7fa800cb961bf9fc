//! Faults of the flow of the program.

use super::declare;

declare! {
    SUBPROGRAM_MISSING = "subprogram-missing", Stop, "",
        "M98 calls a subprogram that is in none of the files read. Its motions are missing here; at \
         the machine the control stops, or runs another program kept under that number.",
        "add the file that holds it, or correct P";
    SUBPROGRAM_TWICE = "subprogram-twice", Care, "",
        "Two programs among the files read carry the same number. The first is called here; the \
         control may call the other.",
        "give each program its own number";
    SUBPROGRAMS_TOO_DEEP = "subprograms-too-deep", Stop, "",
        "Subprograms call one another deeper than the machine's description allows, or call \
         themselves without end. The call is left out here.",
        "take the innermost call out, or raise `max_nesting` if the control allows it";
    SUBPROGRAM_WITHOUT_RETURN = "subprogram-without-return", Stop, "",
        "A subprogram runs to the end of its file, or into the next program, without M99. It is left \
         at that point here; a control may stop, or run on into other blocks.",
        "end the subprogram with M99";
    RETURN_WITHOUT_CALL = "return-without-call", Stop, "",
        "M99 stands in the main program. Most controls jump back to the start and run the program \
         again without end. It is taken as the end of the program here.",
        "end the main program with M30";
    RUN_TOO_LONG = "run-too-long", Stop, "",
        "Repeats of subprograms and cycles run more blocks than the bound in the machine's \
         description. Reading ends there, so everything after it is missing from the results.",
        "correct the repeat count, or raise `max_blocks_run`";
    PROGRAM_RUNS_INTO_NEXT = "program-runs-into-next", Stop, "",
        "The main program meets the number of another program before it ends. Controls stop there or \
         run on into the next program. Reading ends the program there.",
        "end the program with M30 before the next program number";
}

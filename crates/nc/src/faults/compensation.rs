//! Faults of cutter radius compensation.

use super::declare;

declare! {
    COMPENSATION_ON_TWICE = "compensation-on-twice", Stop, "NC53",
        "G41 or G42 stands while compensation is already on. Changing side or offset number under way \
         is not defined; compensation stays as it was.",
        "switch off with G40 first";
    COMPENSATION_PLANE_WRONG = "compensation-plane-wrong", Stop, "NC54",
        "G41 or G42 stands while the plane is not G17. Compensation is defined in the XY plane only \
         and stays off here.",
        "select G17 first";
    COMPENSATION_PLANE_CHANGE = "compensation-plane-change", Stop, "NC55",
        "The plane is changed while compensation is on. Compensation is defined in the XY plane only, so \
         the tool's side has no meaning in another one. The plane stays as it was here.",
        "switch off with G40 first";
    COMPENSATION_UNITS_CHANGE = "compensation-units-change", Stop, "NC56",
        "Units are changed while compensation is on. The published rules forbid it, because the radius \
         would be read in another unit; they are changed here.",
        "switch off with G40 first";
    COMPENSATION_OFFSET_CHANGE = "compensation-offset-change", Stop, "NC57",
        "Axis offsets or the work system are changed while compensation is on. The contour would jump \
         under the tool; the change is left out here.",
        "switch off with G40 first";
    COMPENSATION_MACHINE_COORDINATES = "compensation-machine-coordinates", Stop, "NC58",
        "G53 stands while compensation is on. Machine coordinates name places of the tool's centre, \
         compensation places of its edge, and the two cannot hold together. The motion is left out here.",
        "switch off with G40 first";
    COMPENSATION_HOME = "compensation-home", Stop, "NC59",
        "G28 or G30 stands while compensation is on. On the way home the tool would be led along a \
         contour that does not exist, through parts or stops. The motion is left out here.",
        "switch off with G40 first";
    COMPENSATION_PROBE = "compensation-probe", Stop, "NC60",
        "G38.2 stands while compensation is on. The point touched would be off by the radius of a tool \
         that is not the probe. The probe runs without compensation here.",
        "switch off with G40 first";
    CORNER_CONCAVE = "corner-concave", Stop, "NC61",
        "With compensation on, the contour turns towards the tool at a sharp corner. The tool does not \
         fit into it: it would cut into one of the two sides. The published rules make this an error.",
        "round the corner with an arc larger than the tool radius, or use a smaller tool";
    ARC_TIGHTER_THAN_TOOL = "arc-tighter-than-tool", Stop, "NC62",
        "With compensation on, the contour has an inside arc whose radius is not larger than the \
         tool's. The tool does not fit into it and would cut into the contour.",
        "use a smaller tool or a larger arc";
    ENTRY_GOUGES = "entry-gouges", Stop, "NC63",
        "The first move after G41 or G42 is not longer than the tool radius, or its arc cannot be \
         joined to where the tool stands. The tool would already stand in the contour.",
        "start farther from the contour than the tool radius";
    COMPENSATION_RADIUS_UNKNOWN = "compensation-radius-unknown", Stop, "",
        "Compensation is switched on with a tool number whose diameter is not known. The tool's path \
         cannot be computed; radius 0 is taken here.",
        "enter the tool's diameter, or correct D";
    COMPENSATION_TOOL_CHANGE = "compensation-tool-change", Care, "",
        "The tool is changed while compensation is on. The old radius stays in force, so the contour \
         is off by the difference of the radii.",
        "switch off with G40 before the change and on again after it";
    COMPENSATION_LEFT_ON = "compensation-left-on", Care, "",
        "The program ends with compensation on. The control switches it off by itself, but a program \
         run after a stop in between may find it on.",
        "switch off with G40 before the end";
}

"""The lathe's sheet, in the order in which one stands before the machine."""

from __future__ import annotations

from gearchest.cli.files.lathe_tables import DEFAULT_WORKSHOP
from gearchest.cli.page.fields import YES, Entries, Field, Section


def _usual(name: str) -> str:
    """What is taken of a workshop that says nothing."""
    return f"{float(getattr(DEFAULT_WORKSHOP, name)):g}"


SECTIONS = (
    Section("machine", "The machine", "", (
        Field(("name",), "Name", "What you call it.", needed=True, wide=True),
        Field(("units",), "Bare lengths are in", "Lengths may also bear their own unit: "
              "7 1/4 in, 110 mm.", choices=(("", "mm"), ("cm", "cm"), ("in", "inches"))),
    )),
    Section("screw", "Leadscrew", "", (
        Field(("leadscrew", "pitch"), "Pitch", "With its unit: 8 tpi, 1.5 mm, 0.2 in. Count the "
              "threads along an inch, or measure ten.", needed=True),
        Field(("leadscrew", "lead_error"), "Its own error", "If it is known: 0.03 mm/300 mm."),
        Field(("leadscrew", "half_nuts"), "Half-nuts", "A lever closes the carriage on the screw.",
              kind="yes", usual="yes", choices=YES),
        Field(("headstock", "first_driver_turns"), "Turns of the first gear",
              "For one turn of the spindle. Several, where a lever offers them: 1, 1/2.",
              kind="texts", usual="1"),
        Field(("headstock", "reversing"), "Reversing lever", "A tumbler or a lever turns the "
              "screw's way.", kind="yes", usual="yes", choices=YES),
        Field(("headstock", "right_hand_meshes"), "Meshes for a right-hand thread",
              "Only without such a lever: hang a train that cuts one and count its meshes, idlers "
              "included.", choices=(("", "not said"), ("even", "an even number"),
                                    ("odd", "an odd number"))),
        Field(("headstock", "fixed_first_driver"), "Fixed first gear", "Its teeth, if it cannot be "
              "changed.", kind="number", unit="teeth"),
    )),
    Section("gears", "Gears", "", (
        Field(("gears", "module"), "Module", "Diameter over the tips divided by teeth + 2.",
              kind="number", unit="mm"),
        Field(("gears", "dp"), "or DP", "Inch gears: teeth + 2 divided by the diameter over the "
              "tips in inches.", kind="number"),
        Field(("gears", "owned"), "Gears you have", "As you would write them down: 20 20 30, "
              "2x20 30, 20 to 100 by 5.", kind="gears", needed=True, wide=True),
        Field(("gears", "pressure_angle"), "Pressure angle", "20, on old gears 14.5.",
              kind="number", unit="degrees", usual="20"),
        Field(("gears", "face_width"), "Width of the teeth", "Along the shaft. Without it 8 "
              "modules are taken; narrower teeth bear less.", kind="number", unit="mm"),
        Field(("gears", "bore"), "Bore", "", kind="number", unit="mm"),
        Field(("gears", "keyway"), "Keyway", "Width x depth, 3x1.4; the depth from the wall of "
              "the bore."),
        Field(("gears", "material"), "Material", "steel, cast iron, brass, nylon ...",
              usual="steel"),
    ), figure="discs"),
    Section("special", "Gears unlike the others", "Another module, only for one place, or two "
            "fixed to each other.", (
        Entries(("gears", "special"), "special gear", (
            Field(("teeth",), "Teeth", kind="gears"),
            Field(("count",), "How many", kind="number", usual="1"),
            Field(("module",), "Module", kind="number", unit="mm"),
            Field(("dp",), "or DP", kind="number"),
            Field(("only_on",), "Only as", "driver, stud, idler, screw", kind="texts"),
            Field(("pinned_to",), "Fixed to a gear of", kind="number", unit="teeth"),
        ), most=60),
    ), costs="Without it all gears are taken for alike."),
    Section("usual", "What usually hangs", "", (
        Field(("gears", "usual_train"), "Usual train", "First driver first, idlers in brackets: "
              "40/(48)/40. Of equal trains the one nearest to it is taken.", wide=True),
    ), costs="Without it no train is preferred for needing fewer changes."),
    Section("box", "Gearbox", "What its plate says, cell by cell; it holds with the usual train. "
            "Leave a cell empty where the plate is blank.", (
        Field(("gearbox", "unit"), "The plate's numbers are in",
              choices=(("", "written with each"), ("tpi", "threads per inch"), ("mm", "mm"),
                       ("in", "inches"), ("module", "module"), ("dp", "DP"))),
        Field(("gearbox", "ratios"), "or turns of the screw", "For one turn of the last change "
              "gear, by position: A 1, B 1/2.", kind="named", wide=True),
    ), costs="Without it the last change gear drives the screw itself.", figure="plate"),
    Section("arm", "The arm", "Five measures turn “unchecked” into yes or no. Stand facing "
            "the gears; O is the screw's shaft, about which the arm turns, S that of the first "
            "driver.", (
        Field(("banjo", "axis_distance"), "1  Shaft to shaft", "From the centre of S to the "
              "centre of O: over both shafts, less half of each.", kind="number", unit="mm",
              measure="axis"),
        Entries(("banjo", "slots"), "slot", (
            Field(("start",), "2  Slot from", "Push the stud to the near end: from O to its "
                  "centre.", kind="number", unit="mm", measure="start"),
            Field(("end",), "to", "The same at the far end.", kind="number", unit="mm",
                  measure="end"),
            Field(("offset",), "passing O at", "Only if the slot does not point at O.",
                  kind="number", unit="mm", usual="0", measure="offset"),
            Field(("angle",), "at an angle of", "Of a second slot, from the first.",
                  kind="number", unit="degrees", usual="0"),
        )),
        Field(("banjo", "swing"), "3  Swing", "How far it turns from the line between the "
              "shafts, counter-clockwise positive: -75 to 75.", kind="ends", unit="degrees",
              usual="all round", measure="swing"),
        Field(("banjo", "driver_hub"), "4  Nut on S", "Diameter of what stands proud of the gears "
              "on this shaft.", kind="number", unit="mm", usual="0", measure="driver_hub"),
        Field(("banjo", "stud_hub"), "Nut on a stud", "The same.", kind="number", unit="mm",
              usual="0", measure="stud_hub"),
        Field(("banjo", "screw_hub"), "Nut on O", "The same.", kind="number", unit="mm",
              usual="0", measure="screw_hub"),
        Field(("banjo", "largest_tip_diameter"), "5  Biggest gear under the cover",
              "Over its tips, with the cover closed.", kind="number", unit="mm", usual="any",
              measure="cover"),
        Field(("banjo", "studs"), "Studs", "", kind="number", usual="1"),
        Field(("banjo", "gap"), "Clearance to keep", "", kind="number", unit="mm", usual="0.5"),
        Field(("banjo", "axis_angle"), "S seen from O", "For drawings: 90 is straight above.",
              kind="number", unit="degrees", usual="90", measure="axis_angle"),
    ), costs="Without it a rule of the shop stands in, and every answer says unchecked.",
        figure="arm"),
    Section("dial", "Nose and dial", "", (
        Field(("headstock", "spindle_nose"), "Chucks are", choices=(
            ("", "not said"), ("screwed", "screwed on"), ("fixed", "bolted, on a cam or taper"))),
        Field(("headstock", "lowest_rpm"), "Slowest speed", "", kind="number", unit="rpm"),
        Field(("headstock", "run_down"), "Runs on for", "From switching off to standing still.",
              kind="number", unit="s", usual="1"),
        Entries(("leadscrew", "thread_dials"), "thread dial", (
            Field(("teeth",), "Teeth of its wheel", kind="number"),
            Field(("lines",), "Lines on its face", kind="number"),
        )),
    ), costs="Without it sheets warn of chucks that unscrew, and half-nuts open with the spindle "
        "standing only."),
    Section("bed", "Bed", "", (
        Field(("bed", "carriage_travel"), "Carriage travels", "", kind="number", unit="mm"),
        Field(("bed", "between_centres"), "Between centres", "", kind="number", unit="mm"),
        Field(("bed", "top_slide_travel"), "Top slide travels", "", kind="number", unit="mm"),
    ), costs="Without it nothing is said of whether a thread fits the bed."),
    Section("head", "Dividing head", "", (
        Entries(("dividing",), "head", (
            Field(("name",), "Name"),
            Field(("ratio",), "Turns for one", "Of its crank, for one turn of the work.",
                  kind="number"),
            Field(("circles",), "Circles", "Holes of each: 15, 16, 17 ...", kind="numbers",
                  wide=True),
            Field(("plates",), "Circles by plate", "Those that share one, plates parted by "
                  "semicolons: 15 16 17; 18 19 20.", kind="groups", wide=True),
            Field(("bore",), "Bore it takes", "Of gears on its shafts.", kind="number", unit="mm"),
            Field(("keyway",), "Keyway it takes", "3x1.4"),
        )),
    ), costs="Without it the common 40:1 head is taken for cutting gears."),
    Section("policy", "What you decide", "", (
        Field(("policy", "screw_torque"), "Torque at the screw", "While cutting.", kind="number",
              unit="N m", usual="1.5"),
        Field(("policy", "cutting_torque"), "Torque at the spindle", "While cutting, the screw "
              "cranked at its end.", kind="number", unit="N m", usual="2"),
        Field(("policy", "hand_crank_above"), "Crank the screw above", "Turns of the screw for "
              "one of the spindle.", kind="number", usual="3"),
        Field(("policy", "drive"), "Driven from", choices=(
            ("", "as the thread needs"), ("spindle", "the spindle"), ("screw", "the screw"))),
        Field(("policy", "reaction_time"), "Your reaction", "", kind="number", unit="s",
              usual="0.5"),
        Field(("policy", "cutting_speed"), "Cutting speed", "10 m/min", usual="by the material"),
        Field(("policy", "lead_error_share"), "Share of a tolerance for the lead",
              kind="number", usual="0.5"),
        Field(("policy", "plain_pitch_tolerance"), "Allowed on a plain pitch", "0.1 %",
              usual="0.1 %"),
    ), costs="Without it what is usual is taken."),
)  # fmt: skip

MAKING = (
    Section("shop", "What this shop can make", "A gear marked “cut” without a price costs what "
            "this comes to.", (
        Field(("workshop", "hourly_rate"), "An hour of yours", "", kind="number",
              usual=_usual("hourly_rate")),
        Field(("workshop", "setup_hours"), "Setting up", "", kind="number", unit="h",
              usual=_usual("setup_hours")),
        Field(("workshop", "minutes_per_tooth"), "A tooth takes", "", kind="number", unit="min",
              usual=_usual("minutes_per_tooth")),
        Field(("workshop", "material_price"), "A kilogram of material", "", kind="number",
              usual="by the material"),
        Field(("workshop", "cutter_price"), "A cutter costs", "", kind="number",
              usual=_usual("cutter_price")),
        Field(("workshop", "cutters"), "Cutters you have", "The teeth each is numbered for.",
              kind="numbers"),
        Field(("workshop", "backlash"), "Backlash of a pair", "Along the pitch circle.",
              kind="number", unit="mm", usual="0.04 modules"),
        Field(("workshop", "dial_division"), "A division of the dial", "Of depth on the mill.",
              kind="number", unit="mm", usual=_usual("dial_division")),
        Field(("workshop", "outline_offset"), "Outlines fuller by", "All round what is cut or "
              "printed: half a kerf.", kind="number", unit="mm", usual=_usual("outline_offset")),
        Field(("workshop", "ways"), "Gears are made by", "mill, print, plate: what this shop "
              "does.", kind="texts", usual="mill"),
    ), costs="Without it what is usual is taken."),
)  # fmt: skip

HOLDERS: dict[str, str] = {
    "gears": "gears.module",
    "leadscrew": "leadscrew.pitch",
    "gearbox": "gearbox.ratios",
    "gearbox.plate": "gearbox.ratios",
    "banjo.slots": "banjo.slots.0.start",
}
"""The field at which the fault of a whole table is shown."""

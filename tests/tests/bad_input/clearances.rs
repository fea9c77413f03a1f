//! The mistakes with clearances measured on the mock-up.

use crate::folder::JobFolder;

const JOB: &str = "\
units = \"in\"

[engine]
stroke = 3.420
rod_length = 6.125
deck_height = 9.0250

[banks]
left = [1, 2]

[stock]
piston = \"pistons.csv\"
gasket = \"gaskets.csv\"
rocker = \"rockers.csv\"

[positions]
valve = \"valves.csv\"

[readings]
clearance = \"clearances.csv\"

[[match]]
place = [\"piston\", \"gasket\"]
even = \"deck\"
";

const PISTONS: &str = "id,compression_height\nA,1.1700\nB,1.1710\nC,1.1690\n";
const GASKETS: &str = "id,thickness,bore\nthin,0.0270,4.0100\nmiddle,0.0390,4.0100\n";
const VALVES: &str = "valve,cylinder,lobe_lift,lash\n1i,1,0.3000,0.012\n2i,2,0.3000,0.012\n";
const ROCKERS: &str = "id,ratio,at\nR1,1.500,1i\nR2,1.510,2i\n";

const CLEARANCES: &str = "\
name,of,valve,cylinder,surface,angle,piston,gasket,rocker,per_deck,reading,minimum
intake 1,piston to valve,1i,1,pocket,18,A,middle,R1,,0.1050,0.0800
guide 1,retainer to guide,1i,,,,,,R1,,0.0600,0.0500
bolt 2,,,2,,,A,,,-0.97 in/in,0.0560,0.0500
";

pub(crate) fn sound() -> JobFolder {
    JobFolder::empty()
        .write("job.toml", JOB)
        .write("pistons.csv", PISTONS)
        .write("gaskets.csv", GASKETS)
        .write("valves.csv", VALVES)
        .write("rockers.csv", ROCKERS)
        .write("clearances.csv", CLEARANCES)
}

/// The same with its entries in the job file.
fn sections(entries: &str) -> JobFolder {
    sound().change("job.toml", "[readings]\nclearance = \"clearances.csv\"\n", entries)
}

const SECTION: &str = "\
[[clearance]]
name = \"intake 1\"
of = \"piston to valve\"
valve = \"1i\"
surface = \"pocket\"
angle = 18
piston = \"A\"
gasket = \"middle\"
rocker = \"R1\"
reading = 0.1050
minimum = 0.0800
";

pub(crate) fn in_sections() -> JobFolder {
    sections(SECTION)
}

fn section(from: &str, to: &str) -> JobFolder {
    sections(&SECTION.replacen(from, to, 1))
}

fn row(from: &str, to: &str) -> JobFolder {
    sound().change("clearances.csv", from, to)
}

pub(crate) fn cases() -> Vec<(&'static str, JobFolder)> {
    vec![
        ("clearance_twice", row("guide 1", "intake 1")),
        ("clearance_without_name", section("name = \"intake 1\"\n", "")),
        ("clearance_without_minimum", section("minimum = 0.0800\n", "")),
        ("clearance_cell_without_minimum", row("0.1050,0.0800", "0.1050,")),
        ("clearance_without_reading", row("0.1050,0.0800", ",0.0800")),
        ("clearance_piston_not_in_stock", row("18,A,middle", "18,D,middle")),
        ("clearance_gasket_not_in_stock", section("\"middle\"", "\"midle\"")),
        ("clearance_rod_without_stock", section("piston = \"A\"", "piston = \"A\"\nrod = \"R1\"")),
        ("clearance_at_no_valve", row("intake 1,piston to valve,1i", "intake 1,piston to valve,1x")),
        ("clearance_at_no_cylinder", row("bolt 2,,,2", "bolt 2,,,5")),
        ("clearance_at_another_cylinder", row("to valve,1i,1", "to valve,1i,2")),
        (
            "clearance_of_a_valve_of_no_cylinder",
            sound()
                .change("valves.csv", "1i,1,", "1i,7,")
                .change("clearances.csv", "guide 1,retainer to guide,1i", "guide 1,retainer to guide,2i")
                .change("clearances.csv", "to valve,1i,1,", "to valve,1i,,"),
        ),
        ("clearance_angle_of_75", row("pocket,18", "pocket,75")),
        ("clearance_angle_in_a_section", section("angle = 18", "angle = -3")),
        ("clearance_without_angle", row("pocket,18", "pocket,")),
        ("clearance_surface_misspelt", row("pocket", "poket")),
        ("clearance_surface_in_a_section", section("\"pocket\"", "\"slope\"")),
        ("clearance_kind_misspelt", row("retainer to guide", "retianer to guide")),
        ("clearance_that_does_not_say_how_it_moves", row("-0.97 in/in", "")),
        (
            "clearance_with_surface_that_has_none",
            row("guide 1,retainer to guide,1i,,,", "guide 1,retainer to guide,1i,,flat,"),
        ),
        ("sensitivity_without_unit", row("-0.97 in/in", "-0.97")),
        ("sensitivity_of_volume", row("-0.97 in/in", "-0.97 cc/in")),
        ("sensitivity_of_one_unit", row("-0.97 in/in", "-0.97 in")),
        ("sensitivity_that_is_no_number", row("-0.97 in/in", "about in/in")),
        ("sensitivity_too_large", row("-0.97 in/in", "-97 in/in")),
        ("clearance_without_piston", row("18,A,middle", "18,,middle")),
        ("clearance_without_lift", row("guide 1,retainer to guide,1i,,,,,,R1", "guide 1,retainer to guide,1i,,,,,,")),
        ("clearance_in_millimetres", row("0.1050,0.0800", "105.0,0.0800")),
        ("clearance_as_one_section", sections("[clearance]\nname = \"intake 1\"\n")),
        ("clearance_key_unknown", section("surface = ", "face = ")),
        ("clearances_header_only", sound().write("clearances.csv", "name,of,reading,minimum\n")),
        ("clearances_everything_at_once", everything()),
    ]
}

/// All of it is found in one go.
fn everything() -> JobFolder {
    row("18,A,middle", "75,D,midle")
        .change("clearances.csv", "pocket", "poket")
        .change("clearances.csv", "guide 1", "intake 1")
        .change("clearances.csv", "-0.97 in/in,0.0560,0.0500", "-0.97,0.0560,")
}

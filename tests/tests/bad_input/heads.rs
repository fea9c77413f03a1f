//! The mistakes with heads, gaskets and chambers.

use crate::folder::JobFolder;

const JOB: &str = "\
units = \"in\"

[engine]
bore = 3.940
stroke = 3.420
rod_length = 6.000
deck_height = 9.250
crevice_cc = 1.2

[banks]
left = { cylinders = [1, 2], head = \"as measured\" }
right = { cylinders = [3, 4], head = \"turned\" }

[stock]
piston = \"pistons.csv\"
rod = \"rods.csv\"
head = \"heads.csv\"
gasket = \"gaskets.csv\"

[uncertainty]
stroke = 0.001
rod_length = 0.0005
crevice = \"0.1 cc\"
recess = 0.001

[readings]
chamber = { file = \"pours.csv\", resolution = \"0.1 cc\", repeatability = \"0.15 cc\" }

[[match]]
place = [\"piston\", \"rod\", \"head\", \"gasket\"]
even = \"compression\"
then = [\"clearance_volume\", \"price\"]
keep = { head = { right = \"H2\" }, gasket = \"thin\" }
limits = { piston_to_head = { min = 0.035 }, compression = { max = 10.6, neighbours = 0.1 } }
";

const PISTONS: &str = "\
id,compression_height,dish_cc,price
A,1.550,3.2,80
B,1.551,3.1,80
C,1.549,3.3,80
D,1.550,3.2,80
";

const RODS: &str = "\
id,length,price
R1,6.0000,60
R2,6.0005,60
R3,6.0010,60
R4,5.9995,60
";

const HEADS: &str = "\
id,chamber_1_cc,chamber_2_cc,recess,u_chamber_cc,u_chamber_2_cc,price
H1,61.4,,,0.10,0.3,200
H2,61.8,61.2,,0.10,,200
";

const GASKETS: &str = "\
id,thickness,bore,price,count,bank
thin,0.041,4.010,30,4,
thick,0.051,4.010,30,any,left right
";

const POURS: &str = "\
head,chamber,reading_cc,leave_out
H1,2,61.5,
H1,2,61.3,
";

/// A job of four cylinders that places everything.
pub(crate) fn built() -> JobFolder {
    JobFolder::empty()
        .write("job.toml", JOB)
        .write("pistons.csv", PISTONS)
        .write("rods.csv", RODS)
        .write("heads.csv", HEADS)
        .write("gaskets.csv", GASKETS)
        .write("pours.csv", POURS)
}

fn toml(from: &str, to: &str) -> JobFolder {
    built().change("job.toml", from, to)
}

fn heads(from: &str, to: &str) -> JobFolder {
    built().change("heads.csv", from, to)
}

fn gaskets(from: &str, to: &str) -> JobFolder {
    built().change("gaskets.csv", from, to)
}

fn pours(from: &str, to: &str) -> JobFolder {
    built().change("pours.csv", from, to)
}

/// Every mistake by name.
pub(crate) fn cases() -> Vec<(&'static str, JobFolder)> {
    [columns(), banks(), placing(), needs(), standing(), notes()].into_iter().flatten().collect()
}

fn columns() -> Vec<(&'static str, JobFolder)> {
    vec![
        ("head_chamber_of_nothing", heads("H2,61.8", "H2,0")),
        ("head_chamber_of_640_cc", heads("61.8", "640")),
        ("head_chamber_without_unit", heads("chamber_1_cc", "chamber_1")),
        (
            "head_chambers_with_a_gap",
            heads("chamber_2_cc,recess,u_chamber_cc,u_chamber_2_cc", "chamber_3_cc,recess,u_chamber_cc,u_chamber_3_cc"),
        ),
        ("head_chambers_without_numbers", heads("chamber_1_cc", "chamber_cc")),
        ("head_pour_beyond_the_last", pours("2,61.3", "3,61.3")),
        ("head_pour_of_a_stranger", pours("H1,2,61.3", "H7,2,61.3")),
        ("head_pour_of_no_number", pours("2,61.3", "front,61.3")),
        ("head_pour_in_inches", pours("reading_cc", "reading_in")),
        ("gasket_count_of_nothing", gaskets("30,4,", "30,0,")),
        ("gasket_count_negative", gaskets("30,4,", "30,-4,")),
        ("gasket_volume_without_unit", gaskets("price,count", "gasket,count")),
        ("gasket_bank_unknown", gaskets("left right", "left middle")),
        ("engine_crevice_without_unit", toml("crevice_cc = 1.2", "crevice = 1.2")),
        ("engine_crevice_twice", toml("crevice_cc = 1.2", "crevice_cc = 1.2\ncrevice = \"1.2 cc\"")),
        ("uncertainty_unknown", toml("recess = 0.001", "reces = 0.001")),
        (
            "rod_of_a_reading_unknown",
            toml("[readings]", "[readings]\ndeck = \"readings.csv\"")
                .write("readings.csv", "cylinder,piston,rod,reading\n1,A,R1,-0.004\n2,A,R7,-0.004\n"),
        ),
    ]
}

fn banks() -> Vec<(&'static str, JobFolder)> {
    let left = "left = { cylinders = [1, 2], head = \"as measured\" }";
    vec![
        ("head_bank_without_seat", toml(", head = \"turned\"", "")),
        (
            "head_of_four_on_banks_of_two",
            heads("chamber_2_cc,recess,u_chamber_cc,u_chamber_2_cc,price", "chamber_2_cc,chamber_3_cc,price")
                .change("heads.csv", "H1,61.4,,,0.10,0.3,200", "H1,61.4,,,200")
                .change("heads.csv", "H2,61.8,61.2,,0.10,,200", "H2,61.8,61.2,61.3,200"),
        ),
        (
            "head_without_banks",
            toml(left, "")
                .change("job.toml", "right = { cylinders = [3, 4], head = \"turned\" }", "")
                .change("job.toml", "[banks]", "[positions]\ncylinder = \"cylinders.csv\"")
                .change("job.toml", "head = { right = \"H2\" }, ", "")
                .change("gaskets.csv", "left right", "")
                .write("cylinders.csv", "cylinder,bore\n1,3.94\n2,3.94\n3,3.94\n4,3.94\n"),
        ),
        (
            "head_on_a_taken_bank",
            built().write("heads.csv", "id,chamber_1_cc,chamber_2_cc,at,price\nH1,61,61,left,1\nH2,61,61,left,1\n"),
        ),
        (
            "head_at_a_cylinder",
            built().write("heads.csv", "id,chamber_1_cc,chamber_2_cc,at,price\nH1,61,61,1,1\nH2,61,61,,1\n"),
        ),
    ]
}

fn placing() -> Vec<(&'static str, JobFolder)> {
    vec![
        (
            "gasket_per_bank_without_gaskets",
            toml(", \"gasket\"]", "]\ngasket = \"per bank\"").change("job.toml", ", gasket = \"thin\"", "").change(
                "gaskets.csv",
                "thick,0.051,4.010,30,any,left right\n",
                "",
            ),
        ),
        ("gasket_word", toml("even =", "gasket = \"per side\"\neven =")),
        ("gasket_kept_without_a_bank", toml("even =", "gasket = \"per bank\"\neven =")),
        ("gasket_kept_on_a_bank", toml("gasket = \"thin\"", "gasket = { left = \"thin\" }")),
        (
            "gasket_kept_more_often_than_there_are",
            toml("gasket = \"thin\"", "gasket = { left = \"thin\", right = \"thin\" }")
                .change("job.toml", "even =", "gasket = \"per bank\"\neven =")
                .change("gaskets.csv", "30,4,", "30,1,"),
        ),
        ("head_kept_in_a_cylinder", toml("right = \"H2\"", "3 = \"H2\"")),
        (
            "head_kept_against_fits",
            heads("u_chamber_2_cc,price", "u_chamber_2_cc,fits")
                .change("heads.csv", "0.10,,200", "0.10,,left")
                .change("heads.csv", "0.3,200", "0.3,")
                .change("job.toml", ", \"price\"", ""),
        ),
        ("keep_without_a_kind", toml("head = { right = \"H2\" }, ", "\"1\" = \"A\", ")),
        ("limit_fit_unknown", toml("piston_to_head =", "piston_to_hed =")),
        ("limit_key_unknown", toml("neighbours =", "neighbors =")),
        ("limit_on_a_volume_without_unit", toml("piston_to_head = { min = 0.035 }", "clearance_volume = { max = 70 }")),
    ]
}

fn needs() -> Vec<(&'static str, JobFolder)> {
    vec![
        ("need_heads", heads("H2,61.8,61.2,,0.10,,200\n", "").change("job.toml", "head = { right = \"H2\" }, ", "")),
        ("need_rods", built().change("rods.csv", "R4,5.9995,60\n", "")),
        (
            "need_gaskets",
            gaskets("thin,0.041,4.010,30,4,", "thin,0.041,4.010,30,1,")
                .change("gaskets.csv", "left right", "left")
                .change("job.toml", ", gasket = \"thin\"", ""),
        ),
        (
            "need_gaskets_per_bank",
            toml("even =", "gasket = \"per bank\"\neven =")
                .change("job.toml", ", gasket = \"thin\"", "")
                .write("gaskets.csv", "id,thickness,bore,price,count\nthin,0.041,4.010,30,1\n"),
        ),
        ("need_dish", built().change("pistons.csv", "1.549,3.3,", "1.549,,")),
        (
            "need_dish_column",
            built()
                .write("pistons.csv", "id,compression_height,price\nA,1.550,80\nB,1.551,80\nC,1.549,80\nD,1.550,80\n"),
        ),
        ("need_chamber", heads("61.8,61.2,", "61.8,,")),
        (
            "need_chambers_of_a_head",
            heads("H2,61.8,61.2,", "H2,,,")
                .change("heads.csv", "H1,61.4,,", "H1,61.4,61.4,")
                .change("job.toml", "[readings]\nchamber = { file = \"pours.csv\", resolution = \"0.1 cc\", repeatability = \"0.15 cc\" }\n", ""),
        ),
        ("need_stroke", toml("stroke = 3.420\n", "")),
        ("need_deck_height", toml("deck_height = 9.250\n", "")),
        (
            "need_rod_length",
            toml("rod_length = 6.000\n", "").change("job.toml", "rod = \"rods.csv\"\n", "").change(
                "job.toml",
                "\"rod\", ",
                "",
            ),
        ),
        ("need_gasket_thickness", gaskets("thick,0.051,", "thick,,")),
        (
            "need_gasket_volume",
            gaskets("bore,price", "gasket_cc,price")
                .change("gaskets.csv", "thin,0.041,4.010", "thin,0.041,8.4")
                .change("gaskets.csv", "thick,0.051,4.010", "thick,0.051,"),
        ),
        (
            "need_components_or_readings",
            toml("deck_height = 9.250\n", "")
                .change("pistons.csv", "compression_height", "diameter")
                .change("pistons.csv", "A,1.550", "A,3.936")
                .change("pistons.csv", "B,1.551", "B,3.936")
                .change("pistons.csv", "C,1.549", "C,3.936")
                .change("pistons.csv", "D,1.550", "D,3.936"),
        ),
        (
            "need_control_rod",
            toml("[readings]", "[readings]\ndeck = \"readings.csv\"")
                .write("readings.csv", "cylinder,piston,rod,reading\n1,A,R1,-0.004\n2,A,,-0.004\n"),
        ),
    ]
}

fn standing() -> Vec<(&'static str, JobFolder)> {
    let kept = "head = { right = \"H2\" }, ";
    vec![
        ("need_heads_to_stand", toml("\"head\", ", "").change("job.toml", kept, "")),
        (
            "need_a_head_on_each_bank",
            toml("\"head\", ", "")
                .change("job.toml", kept, "")
                .write("heads.csv", "id,chamber_1_cc,chamber_2_cc,at\nH1,61.4,61.0,left\nH2,61.4,61.0,\n"),
        ),
        ("need_gasket_to_lie", toml(", \"gasket\"]", "]").change("job.toml", ", gasket = \"thin\"", "")),
        (
            "need_gasket_stock",
            toml(", \"gasket\"]", "]").change("job.toml", ", gasket = \"thin\"", "").change(
                "job.toml",
                "gasket = \"gaskets.csv\"\n",
                "",
            ),
        ),
    ]
}

fn notes() -> Vec<(&'static str, JobFolder)> {
    vec![
        ("note_heads_alike", toml("\"turned\"", "\"as measured\"")),
        ("note_gasket_bore", gaskets("thin,0.041,4.010", "thin,0.041,3.910")),
    ]
}

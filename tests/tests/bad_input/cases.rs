//! The mistakes.

use std::fs;

use crate::folder::JobFolder;

/// Every mistake by name.
pub(crate) fn cases() -> Vec<(&'static str, JobFolder)> {
    [files(), decimals(), csv(), cells(), job(), places(), parts(), matches(), needs(), notes()]
        .into_iter()
        .flatten()
        .chain(crate::clearances::cases())
        .chain(crate::fits::cases())
        .chain(crate::heads::cases())
        .chain(crate::rockers::cases())
        .chain(crate::shells::cases())
        .chain(crate::bought::cases())
        .chain(crate::slips::cases())
        .chain(crate::what_ifs::cases())
        .collect()
}

fn new() -> JobFolder {
    JobFolder::new()
}

fn pistons(from: &str, to: &str) -> JobFolder {
    new().change("pistons.csv", from, to)
}

fn toml(from: &str, to: &str) -> JobFolder {
    new().change("job.toml", from, to)
}

fn files() -> Vec<(&'static str, JobFolder)> {
    let large = new();
    let file = fs::File::create(large.path().join("pistons.csv")).expect("made");
    file.set_len((64 << 20) + 1).expect("a file with a hole in it");
    let folder = new().remove("pistons.csv");
    fs::create_dir(folder.path().join("pistons.csv")).expect("made");
    vec![
        ("file_empty", new().write("pistons.csv", "")),
        ("file_empty_job", new().write("job.toml", " \n\n")),
        ("file_missing", new().remove("readings.csv")),
        ("file_missing_job", new().remove("job.toml")),
        ("file_is_a_folder", folder),
        ("file_over_64_mb", large),
        ("file_absolute", toml("\"pistons.csv\"", "\"/etc/hostname\"")),
        ("file_above", toml("\"pistons.csv\"", "\"../pistons.csv\"")),
        ("file_not_utf8", new().write("pistons.csv", b"id,mass_g,note\nA,612.4,ok\nB,611.9,caf\xe9\n")),
        ("file_utf16", new().write("pistons.csv", b"\xff\xfei\0d\0\n\0A\0\n\0")),
        ("file_nul", new().write("pistons.csv", "id,mass_g\nA,612.4\0\n")),
    ]
}

fn csv() -> Vec<(&'static str, JobFolder)> {
    vec![
        ("csv_header_only", new().write("pistons.csv", "id,diameter_in,mass_g\n")),
        ("csv_header_only_readings", new().write("readings.csv", "cylinder,piston,reading_in\n")),
        ("csv_header_only_cylinders", new().write("cylinders.csv", "cylinder,bore_in\n")),
        ("csv_duplicate_column", pistons("id,diameter_in,mass_g,at,fits", "id,diameter_in,mass_g,mass_oz,fits")),
        ("csv_unknown_column", pistons("diameter_in", "diamter_in")),
        ("csv_column_without_unit", pistons("mass_g", "mass")),
        ("csv_column_with_strange_unit", pistons("diameter_in", "diameter_inch")),
        ("csv_column_with_wrong_unit", pistons("diameter_in", "diameter_g")),
        ("csv_missing_column", new().write("readings.csv", "cylinder,reading_in\n1,-0.0040\n")),
        ("csv_unnamed_column", pistons("at,fits\nA,3.9361,612.4,1,\n", "at,\nA,3.9361,612.4,1,new\n")),
        ("csv_separator", pistons("id,diameter_in,mass_g", "id;diameter_in,mass_g")),
        ("csv_open_quote", new().change("readings.csv", "1,B,", "1,\"B,")),
        ("csv_short_row", pistons("B,3.9363,611.9,2,", "B,3.9363")),
        ("csv_long_row", pistons("B,3.9363,611.9,2,", "B,3.9363,611.9,2,,worn")),
        ("csv_decimal_comma", pistons("B,3.9363,611.9,2,", "B,3,9363,611.9,2,")),
        ("csv_decimal_comma_quoted", pistons("B,3.9363,", "B,\"3,9363\",")),
    ]
}

fn cells() -> Vec<(&'static str, JobFolder)> {
    vec![
        ("cell_text", pistons("3.9363", "worn")),
        ("cell_nan", pistons("3.9363", "NaN")),
        ("cell_huge", pistons("3.9363", "1e400")),
        ("cell_too_fine", pistons("3.9363", "3.93630000001")),
        ("cell_other_dimension", pistons("3.9363", "3.9363 g")),
        ("cell_mixed_units", pistons("3.9363", "99.98 mm")),
        ("cell_missing", new().change("readings.csv", "1,B,-0.0055", "1,B,")),
        ("cell_missing_piston", new().change("readings.csv", "1,B,", "1,,")),
        ("cell_leave_out", new().write("readings.csv", "cylinder,piston,reading_in,leave_out\n1,A,-0.0040,maybe\n")),
        (
            "cell_label_over_two_lines",
            new().change("pistons.csv", "B,3.9363", "\"B\nnew\",3.9363").change("readings.csv", "1,B,-0.0055\n", ""),
        ),
        (
            "cell_41_inch_compression_height",
            pistons("id,diameter_in", "id,compression_height")
                .change("pistons.csv", "3.9363", "41")
                .change("pistons.csv", "3.9361", "1.55")
                .change("pistons.csv", "3.9360", "1.55")
                .change("job.toml", "skirt = { min = 0.003, max = 0.005 }, ", ""),
        ),
        ("cell_negative_bore", new().change("cylinders.csv", "3.9404", "-3.9404")),
    ]
}

fn job() -> Vec<(&'static str, JobFolder)> {
    vec![
        ("keys_unknown", toml("bore = 3.940", "bor = 3.940").change("job.toml", "even =", "evn =")),
        (
            "not_yet",
            toml("place = \"piston\"", "place = \"piston\"\nbudget = 40").change(
                "job.toml",
                "skirt =",
                "piston_to_valve =",
            ),
        ),
        (
            "syntax",
            toml("\"in\"", "in")
                .change("job.toml", "bore = 3.940", "bore = 3.940 in")
                .change("job.toml", "\"deck\"", "\"deck"),
        ),
        ("key_twice", toml("stroke = 3.420", "stroke = 3.420\nstroke = 3.430")),
        ("units_missing", toml("units = \"in\"\n", "")),
        ("units_word", toml("\"in\"", "\"inch\"")),
        ("place_missing", toml("place = \"piston\"\n", "")),
        ("type_number_for_text", toml("\"pistons.csv\"", "3")),
        ("type_one_bracket", toml("[[match]]", "[match]")),
        ("type_two_brackets", toml("[stock]", "[[stock]]")),
        ("limit_without_unit", toml("\"2 g\"", "2")),
        ("bore_in_millimetres", toml("bore = 3.940", "bore = 100.1")),
        ("risk", toml("units = \"in\"", "units = \"in\"\nrisk = 0.6")),
        ("everything_at_once", everything()),
    ]
}

fn everything() -> JobFolder {
    toml("stroke = 3.420", "stroke = 3420")
        .change("job.toml", "min = 0.003", "min = 0.006")
        .change("job.toml", "name =", "nme =")
        .change("cylinders.csv", "3.9402", "39402")
        .change("pistons.csv", "3.9361", "3,9361")
        .change("pistons.csv", "611.9", "six")
        .change("pistons.csv", "C,", "B,")
        .change("readings.csv", "1,C,", "7,Q,")
        .change("readings.csv", "2,A,-0.0010", "2,A,0.5")
}

fn places() -> Vec<(&'static str, JobFolder)> {
    vec![
        ("bank_cylinder_in_two", toml("right = [2]", "right = [1, 2]")),
        ("bank_cylinder_twice_in_one", toml("right = [2]", "right = [2, 2]")),
        ("bank_named_like_a_cylinder", toml("left = [1]", "2 = [1]")),
        ("bank_without_cylinders", toml("right = [2]", "right = [2]\nrear = []")),
        ("bank_cylinder_without_row", toml("right = [2]", "right = [2, 4]").add("pistons.csv", "D,3.9361,612.4,,\n")),
        ("bank_lacks_a_row", new().add("cylinders.csv", "3,3.9403\n")),
        ("position_two_rows", new().add("cylinders.csv", "2,3.9403\n")),
        (
            "position_none",
            toml("[banks]\nleft = [1]\nright = [2]\n", "").change(
                "job.toml",
                "[positions]\ncylinder = \"cylinders.csv\"\n",
                "",
            ),
        ),
        ("position_unknown_at", pistons("612.4,1,", "612.4,7,")),
        ("position_unknown_fits", pistons("612.4,1,", "612.4,1,left 7")),
        (
            "position_unknown_reading",
            new().change("readings.csv", "1,B,", "7,B,").add("readings.csv", "7,C,-0.0055\n7,A,-0.0050\n"),
        ),
        ("position_unknown_keep", new().add("job.toml", "keep = { \"9\" = \"A\" }\n")),
        (
            "limit_column_upside_down",
            new().write(
                "cylinders.csv",
                "cylinder,bore_in,min_skirt,max_skirt\n1,3.9402,0.003,0.005\n2,3.9404,0.006,0.005\n",
            ),
        ),
        ("limit_upside_down", toml("max = 0.005", "max = 0.0005")),
    ]
}

fn parts() -> Vec<(&'static str, JobFolder)> {
    vec![
        ("part_without_label", pistons("B,3.9363", ",3.9363")),
        ("part_twice", pistons("C,", "B,").change("readings.csv", "1,C,", "1,B,")),
        ("part_unknown_reading", new().change("readings.csv", "1,C,", "1,D,").add("readings.csv", "2,D,-0.0005\n")),
        ("part_unknown_keep", new().add("job.toml", "keep = { \"1\" = \"a\" }\n")),
        ("part_unknown_leading_zero", new().add("job.toml", "keep = { \"1\" = \"0A\" }\n")),
        ("part_unknown_mate", mates()),
        ("part_rod_without_stock", toml("\"readings.csv\"", "{ file = \"readings.csv\", rod = \"R1\" }")),
        ("part_in_a_taken_place", pistons("612.8,,", "612.8,2,")),
    ]
}

fn mates() -> JobFolder {
    toml("piston = \"pistons.csv\"", "piston = \"pistons.csv\"\nrod = \"rods.csv\"")
        .write("rods.csv", "id,length_in\nR1,6.1250\nR2,6.1250\n")
        .change("pistons.csv", "at,fits\nA,3.9361,612.4,1,", "at,with\nA,3.9361,612.4,1,R3")
}

fn matches() -> Vec<(&'static str, JobFolder)> {
    let second = "\n[[match]]\nname = \"again\"\nplace = \"piston\"\nlowest = \"mass\"\n";
    vec![
        ("match_two_aims", toml("even = \"deck\"", "even = \"deck\"\nlowest = \"mass\"")),
        ("match_no_aim", toml("even = \"deck\"\n", "")),
        ("match_near_without_value", toml("even = \"deck\"", "near = { fit = \"deck\" }")),
        ("match_aim_word", toml("even = \"deck\"", "even = { fit = \"deck\", by = \"square\" }")),
        ("match_fit_word", toml("even = \"deck\"", "even = \"dek\"")),
        ("match_same_name", new().add("job.toml", &second.replace("again", "short block"))),
        ("match_places_nothing", toml("place = \"piston\"", "place = []")),
        ("match_same_parts", new().add("job.toml", second)),
        ("match_without_stock", toml("[stock]\npiston = \"pistons.csv\"\n", "").without_readings()),
        ("match_kinds", toml("place = \"piston\"", "place = [\"piston\", \"piston\", \"rod\", \"pistol\"]")),
        ("match_kept_in_two", new().add("job.toml", "keep = { \"1\" = \"C\", \"2\" = \"C\" }\n")),
        ("match_two_kept_in_one", new().add("job.toml", "keep = { \"1\" = \"C\", piston = { \"1\" = \"A\" } }\n")),
        ("match_keep_and_bar", new().add("job.toml", "keep = { \"1\" = \"C\" }\nbar = { \"1\" = [\"A\", \"C\"] }\n")),
        ("match_keep_against_fits", pistons("612.8,,", "612.8,,right").add("job.toml", "keep = { \"1\" = \"C\" }\n")),
    ]
}

fn needs() -> Vec<(&'static str, JobFolder)> {
    let job = fs::read_to_string(new().path().join("job.toml")).expect("read");
    let before = job.split("[[match]]").next().unwrap_or_default();
    vec![
        ("need_match", new().write("job.toml", before)),
        ("need_readings", toml("[readings]\ndeck = \"readings.csv\"\n", "")),
        ("need_column", pistons("diameter_in", "note")),
        ("need_bores", toml("bore = 3.940\n", "").write("cylinders.csv", "cylinder,deck_height\n1,9.5\n2,9.5\n")),
        ("need_bore_cell", new().change("cylinders.csv", "3.9404", "")),
        ("need_cell", pistons("611.9", "")),
        ("need_price", new().add("job.toml", "then = [\"price\"]\n")),
        (
            "need_at",
            new()
                .write("pistons.csv", "id,diameter_in,mass_g\nA,3.9361,612.4\nB,3.9363,611.9\nC,3.9360,612.8\n")
                .add("job.toml", "then = [\"moves\"]\n"),
        ),
        (
            "need_parts",
            pistons("A,3.9361,612.4,1,", "A,3.9361,612.4,1,none").change(
                "pistons.csv",
                "B,3.9363,611.9,2,",
                "B,3.9363,611.9,2,none",
            ),
        ),
    ]
}

fn notes() -> Vec<(&'static str, JobFolder)> {
    let semicolons = "id;diameter_in;mass_g;at;fits\nA;3.9361;612.4;1;\nB;3.9363;611.9;2;\nC;3.9360;612.8;;\n";
    vec![("note_separator", new().write("pistons.csv", semicolons)), ("note_column", pistons("fits", "note_on_fits"))]
}

/// Two findings: the separator is said as well.
fn decimals() -> Vec<(&'static str, JobFolder)> {
    let mixed = "id;diameter_in;mass_g;at;fits\nA;3,9361;612,4;1;\nB;3.9363;611.9;2;\nC;3,9360;612,8;;\n";
    vec![("note_decimals", new().write("pistons.csv", mixed))]
}

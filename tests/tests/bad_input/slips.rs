//! Slips of the pen that have a remedy of their own.

use crate::folder::JobFolder;
use crate::heads;

fn toml(from: &str, to: &str) -> JobFolder {
    JobFolder::new().change("job.toml", from, to)
}

fn pistons(from: &str, to: &str) -> JobFolder {
    JobFolder::new().change("pistons.csv", from, to)
}

/// Every slip by name.
pub(crate) fn cases() -> Vec<(&'static str, JobFolder)> {
    [files(), job(), headers(), values(), mates()].into_iter().flatten().collect()
}

fn files() -> Vec<(&'static str, JobFolder)> {
    let semicolons = "id;diameter_in;mass_g;at;fits";
    vec![
        ("file_table_for_a_job", JobFolder::new().opened_at("pistons.csv")),
        ("file_table_without_a_job", JobFolder::new().remove("job.toml").opened_at("pistons.csv")),
        ("file_of_two_readings", heads::built().change("job.toml", "[readings]", "[readings]\ndeck = \"./pours.csv\"")),
        ("file_of_two_stocks", toml("piston = \"pistons.csv\"", "piston = \"pistons.csv\"\nrod = \"pistons.csv\"")),
        ("csv_header_of_semicolons", pistons("id,diameter_in,mass_g,at,fits", semicolons)),
        (
            "csv_rows_of_semicolons",
            JobFolder::new()
                .write("readings.csv", "cylinder,piston,reading_in\n1;A;-0,0040\n1;B;-0,0055\n2;A;-0,0010\n"),
        ),
    ]
}

fn job() -> Vec<(&'static str, JobFolder)> {
    vec![
        ("slip_decimal_comma", toml("bore = 3.940", "bore = 3,940")),
        ("slip_decimal_comma_in_a_limit", toml("max = 0.005", "max = 0,005")),
        ("slip_letter_o_in_the_job", toml("bore = 3.940", "bore = 3.94O")),
        ("slip_letter_o_in_text", toml("\"2 g\"", "\"2O g\"")),
        ("slip_ratio_written_out", heads::built().change("job.toml", "max = 10.6", "max = \"10.6:1\"")),
        ("slip_limits_on_their_own", toml("[[match]]", "[limits]\nskirt = { min = 0.003 }\n\n[[match]]")),
        ("slip_aim_at_the_top", toml("units = \"in\"", "units = \"in\"\nlowest = \"mass\"")),
        ("slip_stroke_at_the_top", toml("units = \"in\"", "units = \"in\"\nstroke = 3.420")),
        ("slip_stock_at_the_top", toml("units = \"in\"", "units = \"in\"\nrod = \"rods.csv\"")),
        ("slip_readings_at_the_top", toml("units = \"in\"", "units = \"in\"\nchamber = \"pours.csv\"")),
        ("slip_positions_at_the_top", toml("units = \"in\"", "units = \"in\"\ncylinder = \"cylinders.csv\"")),
    ]
}

fn headers() -> Vec<(&'static str, JobFolder)> {
    vec![
        ("slip_unit_in_brackets", pistons("diameter_in", "Diameter (in)")),
        ("slip_piston_for_id", pistons("id,", "Piston,")),
        ("slip_weight_for_mass", pistons("mass_g", "Weight (g)")),
        ("slip_fits_for_bank", heads::built().change("gaskets.csv", "bank", "fits")),
        (
            "slip_limit_column_without_unit",
            JobFolder::new().write("cylinders.csv", "cylinder,bore_in,max_mass\n1,3.9402,\n2,3.9404,\n"),
        ),
    ]
}

fn values() -> Vec<(&'static str, JobFolder)> {
    vec![
        ("slip_letter_o_in_a_cell", pistons("3.9360", "3.936O")),
        (
            "note_diameter_far_off",
            pistons("3.9360", "3.3960").change("job.toml", "skirt = { min = 0.003, max = 0.005 }, ", ""),
        ),
        ("note_mass_far_off", pistons("612.8", "812.8")),
        (
            "note_bore_far_off",
            toml("right = [2]", "right = [2, 3]").change("cylinders.csv", "2,3.9404\n", "2,3.9404\n3,3.0404\n"),
        ),
    ]
}

fn mates() -> Vec<(&'static str, JobFolder)> {
    let built = |pistons: [&str; 4], rods: [&str; 4]| {
        let piston = |(id, with): (&str, &str)| format!("{id},1.550,3.2,80,{with}\n");
        let rod = |(id, with): (&str, &str)| format!("{id},6.0000,60,{with}\n");
        let pistons: String = ["A", "B", "C", "D"].into_iter().zip(pistons).map(piston).collect();
        let rods: String = ["R1", "R2", "R3", "R4"].into_iter().zip(rods).map(rod).collect();
        heads::built()
            .write("pistons.csv", format!("id,compression_height,dish_cc,price,with\n{pistons}"))
            .write("rods.csv", format!("id,length,price,with\n{rods}"))
    };
    vec![
        ("part_two_pistons_of_a_rod", built(["R1", "R1", "", ""], ["A", "", "", ""])),
        ("part_mates_disagree", built(["R1", "", "", ""], ["", "A", "", ""])),
    ]
}

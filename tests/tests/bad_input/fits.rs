//! Declared fits that cannot be what is meant.

use crate::folder::JobFolder;
use crate::heads;

/// The sound job with a fit that a match asks for, over columns of its own.
pub(crate) fn declared() -> JobFolder {
    JobFolder::new()
        .change(
            "job.toml",
            "[[match]]",
            "[fit.ring_room]\nplus = [\"cylinder.groove\"]\nminus = \"piston.land\"\n\n[[match]]",
        )
        .change("job.toml", "limits = { ", "limits = { ring_room = { min = 0.001 }, ")
        .write("cylinders.csv", "cylinder,bore_in,groove\n1,3.9402,0.0810\n2,3.9404,0.0812\n")
        .change("pistons.csv", "id,diameter_in", "id,land_in,diameter_in")
        .change("pistons.csv", "A,", "A,0.0780,")
        .change("pistons.csv", "B,", "B,0.0781,")
        .change("pistons.csv", "C,", "C,0.0779,")
}

fn toml(from: &str, to: &str) -> JobFolder {
    declared().change("job.toml", from, to)
}

fn own(fit: &str) -> JobFolder {
    JobFolder::new().change("job.toml", "[[match]]", &format!("[fit.own]\n{fit}\n\n[[match]]"))
}

/// Every case by name.
pub(crate) fn cases() -> Vec<(&'static str, JobFolder)> {
    [names(), terms(), factors(), dimensions(), uses()].into_iter().flatten().collect()
}

fn names() -> Vec<(&'static str, JobFolder)> {
    let named = |name: &str| own("plus = \"cylinder.bore\"").change("job.toml", "[fit.own]", &format!("[fit.{name}]"));
    vec![
        ("fit_name_built_in", named("skirt")),
        ("fit_name_of_then", named("moves")),
        ("fit_name_no_word", named("\"Main clearance\"")),
        ("fit_name_missing", named("own").change("job.toml", "[fit.own]", "[fit]")),
        (
            "fit_name_twice",
            named("own").change("job.toml", "[[match]]", "[fit.own]\nplus = \"cylinder.bore\"\n\n[[match]]"),
        ),
        (
            "fit_no_section",
            toml("[fit.ring_room]\nplus = [\"cylinder.groove\"]\nminus = \"piston.land\"", "[fit]\nring_room = 3"),
        ),
    ]
}

fn terms() -> Vec<(&'static str, JobFolder)> {
    vec![
        ("fit_no_terms", own("plus = []")),
        ("fit_key_unknown", own("plus = \"cylinder.bore\"\nmin = 0.001")),
        ("fit_term_no_kind", toml("cylinder.groove", "groove")),
        ("fit_term_unknown_kind", toml("piston.land", "pistn.land")),
        ("fit_term_no_stock", own("plus = \"rod.length\"")),
        (
            "fit_term_no_positions",
            own("plus = \"cylinder.bore\"").change("job.toml", "[positions]\ncylinder = \"cylinders.csv\"\n", ""),
        ),
        ("fit_term_with_unit", toml("piston.land", "piston.land_in")),
        ("fit_term_price", own("plus = \"piston.price\"")),
        ("fit_term_text", own("plus = \"piston.at\"")),
        (
            "fit_term_chamber",
            heads::built().change("job.toml", "[[match]]", "[fit.own]\nplus = \"head.chamber_1\"\n\n[[match]]"),
        ),
        ("fit_term_type", own("plus = 3")),
        ("fit_term_no_column", own("plus = [{ times = 0.5 }]")),
        ("fit_terms_many", own(&format!("plus = [{}]", "\"cylinder.bore\",".repeat(33)))),
        ("fit_column_missing", toml("cylinder.groove", "cylinder.grove")),
        ("fit_column_built_in_missing", own("plus = \"cylinder.throw\"")),
    ]
}

fn factors() -> Vec<(&'static str, JobFolder)> {
    let times = |times: &str| own(&format!("plus = [{{ column = \"cylinder.bore\", times = {times} }}]"));
    vec![
        ("fit_times_zero", times("0")),
        ("fit_times_negative", times("-0.5")),
        ("fit_times_large", times("25.4")),
        ("fit_times_fine", times("0.3333333")),
        ("fit_times_word", times("\"half\"")),
        ("fit_times_infinite", times("inf")),
    ]
}

fn dimensions() -> Vec<(&'static str, JobFolder)> {
    vec![
        ("fit_mixed", own("plus = [\"piston.diameter\", \"piston.mass\"]")),
        (
            "fit_mixed_with_header",
            declared()
                .change("cylinders.csv", "groove", "groove_g")
                .change("job.toml", "[\"cylinder.groove\"]", "[\"cylinder.bore\", \"cylinder.groove\"]")
                .change("job.toml", "ring_room = { min = 0.001 }, ", ""),
        ),
        ("fit_mixed_with_measures", own("measures = \"mass\"\nplus = [\"piston.diameter\"]")),
        (
            "fit_mixed_between_fits",
            toml("[[match]]", "[fit.own]\nmeasures = \"number\"\nplus = \"cylinder.groove\"\n\n[[match]]"),
        ),
        ("fit_measures_unknown", own("measures = \"weight\"\nplus = [\"piston.mass\"]")),
        (
            "fit_column_without_unit",
            own("measures = \"mass\"\nplus = [\"piston.pin\"]")
                .change("pistons.csv", "id,", "id,pin,")
                .change("pistons.csv", "A,", "A,120.1,")
                .change("pistons.csv", "B,", "B,120.1,")
                .change("pistons.csv", "C,", "C,120.1,"),
        ),
    ]
}

fn uses() -> Vec<(&'static str, JobFolder)> {
    vec![
        ("fit_aim_misspelt", toml("even = \"deck\"", "even = \"ring_rom\"")),
        ("fit_limit_unit", toml("ring_room = { min = 0.001 }", "ring_room = { min = \"1 g\" }")),
        ("fit_limit_upside_down", toml("ring_room = { min = 0.001 }", "ring_room = { min = 0.003, max = 0.001 }")),
        ("fit_limit_far", toml("ring_room = { min = 0.001 }", "ring_room = { min = 100000 }")),
        (
            "fit_limit_column_upside_down",
            declared().write(
                "cylinders.csv",
                "cylinder,bore_in,groove,min_ring_room,max_ring_room\n1,3.9402,0.0810,0.003,0.001\n2,3.9404,0.0812,,\n",
            ),
        ),
        ("fit_uncertainty_unknown", toml("[[match]]", "[uncertainty]\nlandd = 0.0001\n\n[[match]]")),
        (
            "fit_no_row_has_a_value",
            declared().write("cylinders.csv", "cylinder,bore_in,groove\n1,3.9402,\n2,3.9404,\n"),
        ),
        ("fit_cell_missing", declared().change("pistons.csv", "A,0.0780,", "A,,")),
        ("fit_cell_far_out", declared().change("pistons.csv", "A,0.0780,", "A,780000,")),
    ]
}

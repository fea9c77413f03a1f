//! The mistakes with parts to be bought.

use crate::folder::JobFolder;

const JOB: &str = "\
units = \"mm\"

[stock]
shim = \"shims.csv\"

[positions]
valve = \"valves.csv\"

[fit.lash_after]
plus = [\"valve.gap\"]
minus = \"shim.thickness\"

[[match]]
place = \"shim\"
first = \"price\"
near = { fit = \"lash_after\", value = 0.20 }
limits = { lash_after = { min = 0.15, max = 0.25 } }
spend = { max = 40 }
";

const VALVES: &str = "\
valve,gap
1,2.75
2,2.83
";

const SHIMS: &str = "\
id,thickness,at,count,price
A,2.561,1,,
B,2.640,2,,
2.60,2.600,,any,6.80
2.65,2.650,,3,6.80
";

pub(crate) fn sound() -> JobFolder {
    JobFolder::empty().write("job.toml", JOB).write("valves.csv", VALVES).write("shims.csv", SHIMS)
}

fn toml(from: &str, to: &str) -> JobFolder {
    sound().change("job.toml", from, to)
}

fn shims(from: &str, to: &str) -> JobFolder {
    sound().change("shims.csv", from, to)
}

pub(crate) fn cases() -> Vec<(&'static str, JobFolder)> {
    vec![
        ("bought_count_negative", shims(",3,", ",-3,")),
        ("bought_count_of_nothing", shims(",3,", ",0,")),
        ("bought_count_some", shims(",3,", ",some,")),
        ("bought_count_and_a_half", shims(",3,", ",2.5,")),
        ("bought_price_negative", shims("any,6.80", "any,-6.80")),
        ("note_price_of_any_forgotten", shims("any,6.80", "any,")),
        (
            "note_price_of_a_number_forgotten",
            shims(
                "2.65,2.650,,3,6.80\n",
                "2.65,2.650,,3,6.80\n2.70,2.700,,3,6.80\n2.75,2.750,,3,\n2.80,2.800,,3,6.80\n",
            ),
        ),
        ("bought_price_with_a_unit", shims("any,6.80", "any,6.80 mm")),
        ("bought_price_in_a_currency", shims("any,6.80", "any,$6.80")),
        ("bought_price_with_three_decimals", shims("any,6.80", "any,6.805")),
        ("bought_without_a_price_column", sound().write("shims.csv", "id,thickness\nA,2.561\nB,2.640\n")),
        ("bought_without_any_price", sound().write("shims.csv", "id,thickness,price\nA,2.561,\nB,2.640,\n")),
        ("bought_spend_a_number", toml("spend = { max = 40 }", "spend = 40")),
        ("bought_spend_nothing_said", toml("spend = { max = 40 }", "spend = { }")),
        ("bought_spend_at_least", toml("spend = { max = 40 }", "spend = { min = 40 }")),
        ("bought_spend_negative", toml("{ max = 40 }", "{ max = -40 }")),
        ("bought_spend_with_a_unit", toml("{ max = 40 }", "{ max = \"40 mm\" }")),
        ("shims_without_place", toml("place = \"shim\"\n", "")),
        ("shims_limit_in_text", toml("lash_after = { min = 0.15, max = 0.25 }", "lash_after = \"0.15 to 0.25\"")),
        ("shims_near_a_fit", toml("{ fit = \"lash_after\", value = 0.20 }", "\"lash_after\"")),
        ("bought_first_a_fit", toml("first = \"price\"", "first = \"lash_after\"")),
        ("bought_first_unknown", toml("first = \"price\"", "first = \"cheap\"")),
        ("bought_kept_more_often_than_there_are", toml("spend =", "keep = { \"1\" = \"A\", \"2\" = \"A\" }\nspend =")),
        ("bought_too_few", sound().write("shims.csv", "id,thickness,at,count,price\n2.60,2.600,,1,6.80\n")),
    ]
}

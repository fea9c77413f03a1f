//! The mistakes with rockers, valves and several matches.

use crate::folder::JobFolder;

const JOB: &str = "\
units = \"in\"

[stock]
rocker = \"rockers.csv\"

[positions]
valve = \"valves.csv\"

[[match]]
name = \"intake\"
place = \"rocker\"
only = { port = \"intake\" }
highest = \"lift\"
limits = { lift = { max = 0.470 } }

[[match]]
name = \"exhaust\"
place = \"rocker\"
only = { port = \"exhaust\" }
highest = \"lift\"
";

const EXHAUST: &str =
    "[[match]]\nname = \"exhaust\"\nplace = \"rocker\"\nonly = { port = \"exhaust\" }\nhighest = \"lift\"\n";

const EXHAUST_WITHOUT_AIM: &str = "[[match]]\nplace = \"rocker\"\nonly = { port = \"exhaust\" }\n";

const VALVES: &str = "\
valve,port,lobe_lift,lash
1i,intake,0.3005,0.012
1e,exhaust,0.3010,0.014
2i,intake,0.3007,0.012
2e,exhaust,0.3008,0.014
";

const ROCKERS: &str = "\
id,ratio,at
A,1.512,1i
B,1.498,
C,1.507,
D,1.503,
";

pub(crate) fn sound() -> JobFolder {
    JobFolder::empty().write("job.toml", JOB).write("valves.csv", VALVES).write("rockers.csv", ROCKERS)
}

fn toml(from: &str, to: &str) -> JobFolder {
    sound().change("job.toml", from, to)
}

pub(crate) fn cases() -> Vec<(&'static str, JobFolder)> {
    vec![
        ("rocker_ratio_of_15", sound().change("rockers.csv", "1.512", "15.12")),
        ("rocker_ratio_of_0_15", sound().change("rockers.csv", "1.512", "0.1512")),
        ("lobe_lift_in_millimetres", sound().change("valves.csv", "0.3005", "7.633")),
        ("rocker_at_no_valve", sound().change("rockers.csv", "1i", "3i")),
        ("valve_without_label", sound().change("valves.csv", "2e,", ",")),
        ("valves_without_labels", sound().change("valves.csv", "valve,port", "note,port")),
        ("only_unknown_word", toml("\"exhaust\" }", "\"exhuast\" }")),
        ("only_unknown_column", toml("only = { port = \"exhaust\"", "only = { side = \"exhaust\"")),
        ("only_the_same_twice", toml("port = \"exhaust\"", "port = \"intake\"")),
        ("keep_in_a_valve_not_served", toml("limits =", "keep = { \"1e\" = \"A\" }\nlimits =")),
        (
            "rocker_kept_by_two_matches",
            toml("limits =", "keep = { \"1i\" = \"B\" }\nlimits =").change(
                "job.toml",
                "only = { port = \"exhaust\" }",
                "only = { port = \"exhaust\" }\nkeep = { \"1e\" = \"B\" }",
            ),
        ),
        ("too_few_left_by_the_first", sound().change("rockers.csv", "D,1.503,\n", "")),
        (
            "positions_unknown",
            toml("only = { port = \"intake\" }", "only = { port = \"intake\" }\npositions = \"vale\""),
        ),
        ("positions_not_said", positions_not_said()),
        ("head_at_valves", head_at_valves()),
        ("kind_no_match_places", toml("[positions]", "rokcer = \"spare.csv\"\n[positions]")),
        ("kind_no_plain_word", toml("[positions]", "\"big shells\" = \"shells.csv\"\n[positions]")),
        ("stock_under_two_names", toml("[positions]", "roller = \"rockers.csv\"\n[positions]")),
        ("note_exhaust_not_served", toml(EXHAUST, "")),
        ("note_one_valve_not_served", sound().change("valves.csv", "2e,exhaust", "2e,outlet")),
        ("rockers_limit_a_number", toml("{ lift = { max = 0.470 } }", "{ lift = 0.470 }")),
        ("rockers_limits_a_number", toml("limits = { lift = { max = 0.470 } }", "limits = 0.470")),
        ("rockers_without_place", toml(EXHAUST, "[[match]]\nonly = { port = \"exhaust\" }\nhighest = \"lift\"\n")),
        ("rockers_without_aim", toml(EXHAUST, EXHAUST_WITHOUT_AIM)),
        ("reference_lobe_missing", read_over_a_lobe()),
        ("note_rocker_ratio_far_off", sound().change("rockers.csv", "1.512", "2.512")),
        ("note_lobe_lift_far_off", sound().change("valves.csv", "0.3005", "0.0605")),
        ("note_lash_far_off", sound().change("valves.csv", "0.3008,0.014", "0.3008,0.070")),
        ("lash_negative", sound().change("valves.csv", "0.3008,0.014", "0.3008,-0.014")),
        ("lash_of_1_4", sound().change("valves.csv", "0.3008,0.014", "0.3008,1.4")),
        ("lash_unknown", sound().change("valves.csv", "0.3008,0.014", "0.3008,")),
        ("lobe_lift_unknown", sound().change("valves.csv", "2e,exhaust,0.3008", "2e,exhaust,")),
    ]
}

/// Two kinds of positions, and a kind of part that belongs to neither.
fn positions_not_said() -> JobFolder {
    sound()
        .write("springs.csv", "id,mass_g\nS1,80.1\nS2,80.2\n")
        .write("journals.csv", "journal\n1\n2\n")
        .change("job.toml", "[positions]", "spring = \"springs.csv\"\n\n[positions]\njournal = \"journals.csv\"")
        .change(
            "job.toml",
            "[[match]]\nname = \"intake\"",
            "[[match]]\nplace = \"spring\"\neven = \"mass\"\n\n[[match]]\nname = \"intake\"",
        )
}

fn head_at_valves() -> JobFolder {
    sound()
        .write("heads.csv", "id\nH1\n")
        .change("job.toml", "[positions]", "head = \"heads.csv\"\n\n[banks]\nleft = [1]\n\n[positions]")
        .change(
            "job.toml",
            "\"rocker\"\nonly = { port = \"exhaust\"",
            "[\"rocker\", \"head\"]\nonly = { port = \"exhaust\"",
        )
}

fn read_over_a_lobe() -> JobFolder {
    let rockers = "id,lift\nA,0.4536\nB,0.4494\nC,0.4521\nD,0.4509\n";
    sound().write("rockers.csv", rockers).change("job.toml", EXHAUST, "").change(
        "job.toml",
        "only = { port = \"intake\" }",
        "",
    )
}

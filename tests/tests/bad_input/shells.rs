//! The mistakes with several parts of one kind a position.

use crate::folder::JobFolder;

const JOB: &str = "\
units = \"mm\"

[stock]
shell = \"shells.csv\"
cap = \"caps.csv\"

[positions]
journal = \"journals.csv\"

[fit.main_clearance]
plus = \"journal.housing\"
minus = [\"journal.diameter\", \"upper.thickness\", \"lower.thickness\"]

[fit.nip]
plus = \"cap.height\"

[[match]]
name = \"mains\"
place = [{ kind = \"shell\", as = \"upper\" }, { kind = \"shell\", as = \"lower\" }]
even = \"main_clearance\"
limits = { main_clearance = { min = 0.03, max = 0.06 } }
keep = { upper = { \"1\" = \"S2\" } }

[[match]]
name = \"caps\"
place = \"cap\"
even = \"nip\"
";

const JOURNALS: &str = "\
journal,housing,diameter
1,64.015,60.001
2,64.018,59.998
";

const SHELLS: &str = "\
id,thickness,at
S1,1.984,1
S2,1.985,1
S3,1.986,2
S4,1.983,
S5,1.987,
";

const CAPS: &str = "\
id,height
K1,30.01
K2,30.02
";

pub(crate) fn sound() -> JobFolder {
    let folder = JobFolder::empty().write("job.toml", JOB).write("journals.csv", JOURNALS);
    folder.write("shells.csv", SHELLS).write("caps.csv", CAPS)
}

fn toml(from: &str, to: &str) -> JobFolder {
    sound().change("job.toml", from, to)
}

const UPPER: &str = "{ kind = \"shell\", as = \"upper\" }";
const LOWER: &str = "{ kind = \"shell\", as = \"lower\" }";
const KEEP: &str = "keep = { upper = { \"1\" = \"S2\" } }";

pub(crate) fn cases() -> Vec<(&'static str, JobFolder)> {
    vec![
        ("role_without_as", toml(LOWER, "\"shell\"")),
        ("roles_without_as", toml(&format!("{UPPER}, {LOWER}"), "\"shell\", \"shell\"")),
        ("roles_called_alike", toml("as = \"lower\"", "as = \"upper\"")),
        ("role_called_like_its_kind", toml("as = \"lower\"", "as = \"shell\"").change("job.toml", "lower.", "shell.")),
        ("role_called_like_a_kind", toml("as = \"lower\"", "as = \"cap\"")),
        ("role_called_like_positions", toml("as = \"lower\"", "as = \"journal\"")),
        ("role_called_like_a_piston", toml("as = \"lower\"", "as = \"piston\"")),
        ("role_no_plain_word", toml("as = \"lower\"", "as = \"Lower half\"")),
        ("role_without_kind", toml(LOWER, "{ as = \"lower\" }")),
        ("role_with_unknown_key", toml(LOWER, "{ kind = \"shell\", name = \"lower\" }")),
        ("role_of_two_kinds", toml("place = \"cap\"", "place = { kind = \"cap\", as = \"upper\" }")),
        ("role_beside_another_kind", toml(LOWER, &format!("{LOWER}, \"cap\""))),
        ("roles_too_many", too_many()),
        ("role_that_nothing_reads", toml(", \"lower.thickness\"", "")),
        ("role_of_a_piston", of_a_piston()),
        ("fit_of_the_kind_of_roles", toml("\"upper.thickness\", \"lower.thickness\"", "\"shell.thickness\"")),
        ("fit_of_a_role_not_placed", toml("even = \"nip\"", "even = \"main_clearance\"")),
        ("fit_of_a_role_misspelt", toml("lower.thickness", "lowr.thickness")),
        ("keep_without_a_role", toml(KEEP, "keep = { \"1\" = \"S2\" }")),
        ("keep_of_the_kind_of_roles", toml(KEEP, "keep = { shell = { \"1\" = \"S2\" } }")),
        ("keep_of_a_role_misspelt", toml(KEEP, "keep = { uper = { \"1\" = \"S2\" } }")),
        ("kept_in_two_roles", toml(KEEP, "keep = { upper = { \"1\" = \"S2\" }, lower = { \"2\" = \"S2\" } }")),
        ("shells_in_another_unit", sound().change("shells.csv", "id,thickness", "id,thickness_in")),
        ("journals_in_another_unit", sound().change("journals.csv", "housing,diameter", "housing,diameter_in")),
        ("one_of_two_in_another_unit", of_two_columns()),
        ("note_shell_of_ten_times_its_size", sound().change("shells.csv", "S3,1.986", "S3,19.86")),
        ("note_journal_far_off", three_journals("60.001", "65.001")),
        ("note_journal_negative", three_journals("64.018", "-64.018")),
        ("shell_negative", sound().change("shells.csv", "S3,1.986", "S3,-1.986")),
        ("roles_with_too_few_parts", sound().change("shells.csv", "S4,1.983,\nS5,1.987,\n", "")),
        ("three_parts_where_two_stand", sound().change("shells.csv", "S3,1.986,2", "S3,1.986,1")),
        (
            "stock_under_two_names_of_shells",
            toml("cap = \"caps.csv\"", "cap = \"caps.csv\"\nlower_shell = \"shells.csv\""),
        ),
    ]
}

/// Of two values there is no telling which of them is off.
fn three_journals(from: &str, to: &str) -> JobFolder {
    let rows = format!("{JOURNALS}3,64.016,60.002\n");
    let rest = "S4,1.983,\nS5,1.987,\nS6,1.985,\n";
    let sound = sound().write("journals.csv", rows).change("shells.csv", "S4,1.983,\nS5,1.987,\n", rest);
    sound.change("caps.csv", "K2,30.02\n", "K2,30.02\nK3,30.01\n").change("journals.csv", from, to)
}

fn too_many() -> JobFolder {
    let many: Vec<String> =
        ["a", "b", "c", "d", "e"].iter().map(|name| format!("{{ kind = \"shell\", as = \"{name}\" }}")).collect();
    let terms: Vec<String> = ["a", "b", "c", "d", "e"].iter().map(|name| format!("\"{name}.thickness\"")).collect();
    let rows = (6..=10).map(|at| format!("S{at},1.985,\n")).collect::<Vec<_>>().concat();
    toml(&format!("{UPPER}, {LOWER}"), &many.join(", "))
        .change("job.toml", "\"upper.thickness\", \"lower.thickness\"", &terms.join(", "))
        .change("job.toml", KEEP, "")
        .change("shells.csv", "S5,1.987,\n", &format!("S5,1.987,\n{rows}"))
}

/// Of two columns that are all of a sum either may be the wrong one.
fn of_two_columns() -> JobFolder {
    let journals = "journal,housing,diameter,clamp_in\n1,64.015,60.001,64.010\n2,64.018,59.998,64.011\n";
    let fit = "[fit.squeeze]\nplus = \"journal.housing\"\nminus = \"journal.clamp\"\n\n[fit.nip]";
    toml("[fit.nip]", fit).write("journals.csv", journals)
}

/// A built-in kind goes by its own name.
fn of_a_piston() -> JobFolder {
    toml("[positions]", "piston = \"pistons.csv\"\n[positions]")
        .change("job.toml", "place = \"cap\"", "place = { kind = \"piston\", as = \"slug\" }\npositions = \"journal\"")
        .change("job.toml", "even = \"nip\"", "even = \"mass\"")
        .change("job.toml", "[fit.nip]\nplus = \"cap.height\"\n", "")
        .change("job.toml", "cap = \"caps.csv\"\n", "")
        .write("pistons.csv", "id,mass_g\nP1,600\nP2,601\n")
}

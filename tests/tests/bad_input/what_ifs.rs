//! The mistakes with what-ifs.

use crate::folder::JobFolder;
use crate::{heads, rockers};

const WHAT_IFS: &str = r#"
[[what_if]]
name = "thick gasket"
bar = {}
fix = { piston = { "1" = "A" } }
limits = { compression = { max = 10.4 } }

[[what_if]]
name = "decks cut"
deck = { left = "square", right = { cut = 0.004 } }
chamber = { H1 = { "2" = "-0.5 cc" }, H2 = "0.2 cc" }
crown = { B = { cut = 0.002, dish_diameter = 2.5 }, C = { cut = 0.002, dish_cc = 3.0 } }
price = 120
hours = 3.5

[[what_if]]
name = "longer stroke"
stroke = 3.480
without = { piston = ["D"], rod = "R4" }
add = { rod = "more-rods.csv", piston = ["E"] }
near = { fit = "compression", value = 10.2 }

[[what_if]]
name = "both"
with = ["decks cut", "longer stroke"]
"#;

/// A sound job with what-ifs that a case changes.
pub(crate) fn sound() -> JobFolder {
    let folder = heads::built().add("job.toml", &WHAT_IFS.replace("bar = {}\n", ""));
    folder
        .change("pistons.csv", "id,compression_height,dish_cc,price\n", "id,compression_height,dish_cc,price,fits\n")
        .change("pistons.csv", "3.2,80\nB", "3.2,80,\nB")
        .change("pistons.csv", "3.1,80\n", "3.1,80,\n")
        .change("pistons.csv", "3.3,80\n", "3.3,80,\n")
        .change("pistons.csv", "D,1.550,3.2,80\n", "D,1.550,3.2,80,\nE,1.551,0,80,none\n")
        .write("more-rods.csv", "id,length,price\nR8,6.0200,90\nR9,6.0201,90\n")
}

fn toml(from: &str, to: &str) -> JobFolder {
    sound().change("job.toml", from, to)
}

/// A job without what-ifs, and one of them.
fn lone(what_if: &str) -> JobFolder {
    heads::built().add("job.toml", &format!("\n[[what_if]]\nname = \"lone\"\n{what_if}\n"))
}

fn with_rockers(what_if: &str) -> JobFolder {
    rockers::sound().add("job.toml", &format!("\n[[what_if]]\nname = \"cam\"\n{what_if}\n"))
}

/// Every mistake by name.
pub(crate) fn cases() -> Vec<(&'static str, JobFolder)> {
    [sections(), names(), changes(), stacks()].into_iter().flatten().collect()
}

fn sections() -> Vec<(&'static str, JobFolder)> {
    vec![
        ("what_if_in_single_brackets", heads::built().add("job.toml", "\n[what_if]\nname = \"lone\"\n")),
        ("what_if_key_unknown", lone("deks = { left = 0.004 }")),
        ("what_if_offset_dowels", lone("offset = 0.010")),
        ("what_if_cut_of_nothing", lone("deck = { left = 0 }")),
        ("what_if_cut_of_an_inch", lone("deck = { left = 1.0 }")),
        ("what_if_cut_in_words", lone("deck = { left = \"level\" }")),
        ("what_if_deck_key_unknown", lone("deck = { left = { by = 0.004 } }")),
        ("what_if_crown_without_cut", lone("crown = { B = { dish_cc = 3.0 } }")),
        ("what_if_swap_of_one_bank", lone("swap = { head = [\"left\"] }")),
        ("what_if_price_negative", lone("price = -10")),
        ("what_if_hours_in_words", lone("hours = \"two\"")),
        ("what_if_chamber_without_unit", lone("chamber = { H1 = -0.5 }")),
        ("what_if_two_aims", lone("even = \"compression\"\nlowest = \"compression\"")),
    ]
}

fn names() -> Vec<(&'static str, JobFolder)> {
    vec![
        ("what_if_names_a_missing_bank", lone("deck = { middle = 0.004 }")),
        ("what_if_names_a_missing_part", lone("without = { piston = [\"Z\"] }")),
        ("what_if_names_a_missing_kind", lone("without = { pistin = [\"A\"] }")),
        ("what_if_names_a_missing_gasket", lone("fix = { gasket = \"thinn\" }")),
        ("what_if_names_a_missing_cylinder", lone("fix = { piston = { \"9\" = \"A\" } }")),
        ("what_if_names_a_missing_chamber", lone("chamber = { H1 = { \"3\" = \"0.5 cc\" } }")),
        ("what_if_names_a_missing_match", lone("match = \"long block\"\neven = \"deck\"")),
        ("what_if_names_a_missing_file", lone("add = { rod = \"more.csv\" }")),
        ("what_if_stacks_a_missing_one", toml("with = [\"decks cut\"", "with = [\"deks cut\"")),
        (
            "what_if_named_twice",
            toml("\"longer stroke\"\nstroke", "\"decks cut\"\nstroke").change(
                "job.toml",
                "with = [\"decks cut\", \"longer stroke\"]",
                "with = [\"decks cut\"]",
            ),
        ),
        ("what_if_of_which_match", with_rockers("limits = { lift = { max = 0.480 } }")),
    ]
}

fn changes() -> Vec<(&'static str, JobFolder)> {
    vec![
        ("what_if_dish_of_unknown_width", lone("crown = { B = 0.002 }")),
        ("what_if_dome_cut", lone("crown = { B = 0.002 }").change("pistons.csv", "B,1.551,3.1", "B,1.551,-3.1")),
        ("what_if_cut_through_the_dish", lone("crown = { B = { cut = 0.050, dish_diameter = 2.5 } }")),
        (
            "what_if_cut_through_the_ring_land",
            lone("crown = { B = { cut = 0.012, dish_cc = 2.6 } }").change(
                "job.toml",
                "crevice_cc = 1.2",
                "crevice_cc = 1.2\ncrown_allowance = 0.010",
            ),
        ),
        ("what_if_rods_have_lengths", lone("rod_length = 6.100")),
        ("what_if_swaps_pistons", lone("swap = { piston = [\"left\", \"right\"] }")),
        ("what_if_swaps_a_bank_with_itself", lone("swap = { head = [\"left\", \"left\"] }")),
        ("what_if_adds_what_is_there", lone("add = { piston = [\"A\"] }")),
        ("what_if_adds_a_label_twice", sound().change("more-rods.csv", "R9,", "R1,")),
        ("what_if_cam_without_rockers", lone("lobe_lift = 0.320")),
        ("what_if_lobe_of_no_valve", with_rockers("lobe_lift = { \"9i\" = 0.320 }")),
        ("what_if_fixes_where_kept_another", lone("fix = { head = { right = \"H1\" } }")),
        (
            "what_if_adds_unread_pistons",
            JobFolder::new()
                .add("job.toml", "\n[[what_if]]\nname = \"more\"\nadd = { piston = \"more.csv\" }\n")
                .write("more.csv", "id,diameter_in,mass_g,at,fits\nX,3.9361,612.4,,\n"),
        ),
    ]
}

fn stacks() -> Vec<(&'static str, JobFolder)> {
    let cycle =
        "\n[[what_if]]\nname = \"one\"\nwith = [\"other\"]\n\n[[what_if]]\nname = \"other\"\nwith = [\"one\"]\n";
    vec![
        ("what_if_cycle", heads::built().add("job.toml", cycle)),
        ("what_if_stacks_itself", lone("with = [\"lone\"]")),
        (
            "what_if_contradicts_itself",
            lone("without = { piston = [\"B\"] }\ncrown = { B = { cut = 0.002, dish_cc = 3.0 } }"),
        ),
        ("what_if_asks_twice", lone("without = { piston = [\"B\", \"B\"] }")),
        ("what_if_stacks_one_twice", toml("\"decks cut\", \"longer stroke\"", "\"decks cut\", \"decks cut\"")),
        ("what_if_stack_contradicts", toml("price = 120", "stroke = 3.500")),
    ]
}

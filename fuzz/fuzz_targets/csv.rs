#![no_main]

use std::sync::LazyLock;

static FOLDER: LazyLock<tempfile::TempDir> = LazyLock::new(|| tempfile::tempdir().expect("a temporary folder"));

libfuzzer_sys::fuzz_target!(|data: &[u8]| pairwright_fuzz::csv(FOLDER.path(), data));

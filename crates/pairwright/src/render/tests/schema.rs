//! The JSON schema in `docs/` is the one of the types that are written.

use std::path::Path;

use schemars::generate::SchemaSettings;

use crate::render::json::Document;

/// With `UPDATE_SCHEMA` set the file is written anew; without, it must be as the types say.
#[test]
fn the_documented_schema_is_that_of_the_types() {
    let schema = SchemaSettings::draft2020_12().for_serialize().into_generator().into_root_schema_for::<Document>();
    let text = serde_json::to_string_pretty(&schema).expect("a schema is JSON") + "\n";
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/match.schema.json");
    if std::env::var_os("UPDATE_SCHEMA").is_some() {
        std::fs::write(&path, &text).expect("docs can be written");
    }
    let known = std::fs::read_to_string(&path).expect("docs/match.schema.json is there");
    assert!(known == text, "docs/match.schema.json is out of date: run this test once with UPDATE_SCHEMA=1");
}

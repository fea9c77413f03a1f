//! The JSON schemas in `docs/` are those of the types that are written.

use std::path::Path;

use schemars::JsonSchema;
use schemars::generate::SchemaSettings;

use crate::render::json::{CompareDocument, Document, PileDocument};

/// With `UPDATE_SCHEMA` set the file is written anew; without, it must be as the types say.
fn is_that_of<T: JsonSchema>(file: &str) {
    let schema = SchemaSettings::draft2020_12().for_serialize().into_generator().into_root_schema_for::<T>();
    let text = serde_json::to_string_pretty(&schema).expect("a schema is JSON") + "\n";
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs").join(file);
    if std::env::var_os("UPDATE_SCHEMA").is_some() {
        std::fs::write(&path, &text).expect("docs can be written");
    }
    let known = std::fs::read_to_string(&path).expect("the schema is there");
    assert!(known == text, "docs/{file} is out of date: run this test once with UPDATE_SCHEMA=1");
}

#[test]
fn the_documented_schemas_are_those_of_the_types() {
    is_that_of::<Document>("match.schema.json");
    is_that_of::<CompareDocument>("compare.schema.json");
    is_that_of::<PileDocument>("pile.schema.json");
}

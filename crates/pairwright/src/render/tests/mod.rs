//! What is shown, on invented reports that exercise every variant, and on the demo jobs.

mod comma;
mod demo;
mod heads;
mod json;
mod json_heads;
mod sample;
mod sample_block;
mod sample_findings;
mod sample_heads;
mod sample_plan;
mod schema;
mod text;

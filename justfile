# The same commands everywhere: people, hooks and the gate.

default:
    @just --list

# Format every crate
fmt:
    cargo fmt --all

# Warnings are errors
clippy:
    cargo clippy --workspace --all-targets -- -D warnings

# Every test
test:
    cargo test --workspace

# API documentation, warnings are errors
doc:
    RUSTDOCFLAGS="-D warnings" cargo doc --workspace --no-deps

# The main job on the demo
demo:
    cargo run --release -- match datasets/tarn-v8

# Benchmarks, side by side with a peer
bench:
    bench/run

# What the gate runs
gate:
    .ci/run

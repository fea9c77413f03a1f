#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| pairwright_fuzz::quantity(data));

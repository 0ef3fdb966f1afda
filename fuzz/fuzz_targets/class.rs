#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| yokeline_tests::hostile::run("class", data));

//! Any text is an article with problems, never a panic.
#![no_main]

use fixtally::articles::parse;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let text = String::from_utf8_lossy(bytes);
    let _ = parse::parse("articles/a/a.md", &text, "caller");
});

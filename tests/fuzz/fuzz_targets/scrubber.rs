//! Any text is scrubbed without a panic, and scrubbing twice is scrubbing once.
#![no_main]

use fixtally::tickets::Scrubber;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let text = String::from_utf8_lossy(bytes);
    let scrubber = Scrubber::new(Some("AB[0-9]{8}")).expect("a good pattern");
    let once = scrubber.text(&text);
    assert_eq!(scrubber.text(&once), once);
    let line = scrubber.line(&text);
    assert_eq!(scrubber.line(&line), line);
    let _ = scrubber.marks(&text);
});

//! Devices as exports write them: with a firmware behind, or a word that says that there is none.

use super::headings::plain;
use regex::Regex;
use std::sync::LazyLock;

/// A device and the firmware that stands behind it: `Post 22 / 3.0.1`, `Post 22 FW 3.0`. A firmware
/// has a point in it: the 22 belongs to the name.
static FIRMWARE: LazyLock<Regex> = LazyLock::new(|| {
    Regex::new(
        r"(?i)^(?P<device>.*?[\p{L}\d)])\s*[\s/,;:|(-]\s*(?:(?:fw|sw|firmware|version|ver|v)[.:]?\s*)?(?P<firmware>\d+(?:\.\d+)+[a-z]?)\)?$",
    )
    .expect("a fixed pattern, tried by the tests")
});

/// Words for no device, in plain letters; from memory.
const NONE: &str = "unknown|not known|n a|na|none|no device|other|misc|unbekannt|nicht bekannt|keine|\
    kein|keins|keine angabe|k a|sonstiges|sonstige|andere|leer|desconocido|no consta|ninguno|sin \
    datos|s d|otro|otros|inconnu|aucun|autre|sconosciuto|nessuno|altro|onbekend|geen|overig";

/// The device and its firmware, where a value holds both.
pub(crate) fn parted(value: &str) -> Option<(&str, &str)> {
    let found = FIRMWARE.captures(value.trim())?;
    Some((
        found.name("device")?.as_str(),
        found.name("firmware")?.as_str(),
    ))
}

/// Whether a value says that no device is known.
pub(super) fn is_none(value: &str) -> bool {
    let plain = plain(value);
    plain.is_empty() || NONE.split('|').any(|none| none.trim() == plain)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_firmware_stands_behind_its_device() {
        for (value, expected) in [
            ("Post 22 / 3.0.1", Some(("Post 22", "3.0.1"))),
            ("SC-2/2.1.3", Some(("SC-2", "2.1.3"))),
            ("Post 7 (FW 2.5.1)", Some(("Post 7", "2.5.1"))),
            ("Post 7 v2.5", Some(("Post 7", "2.5"))),
            ("Post 22", None),
            ("SC-2", None),
            ("3.0.1", None),
            ("Meter 40", None),
        ] {
            assert_eq!(parted(value), expected, "{value}");
        }
    }

    #[test]
    fn words_for_no_device_are_known() {
        for (value, none) in [
            ("unbekannt", true),
            ("N/A", true),
            ("n.a.", true),
            ("-", true),
            ("Desconocido", true),
            ("Post 22", false),
        ] {
            assert_eq!(is_none(value), none, "{value}");
        }
    }
}

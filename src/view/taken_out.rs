//! How many personal data were taken out of a text, in words.

use super::numbers::counted_as;
use crate::tickets::scrub::Removed;

/// "2 names, 1 telephone number"; empty where there were none.
#[must_use]
pub fn taken_out(removed: &Removed) -> String {
    let all = [
        (removed.name, "name", "names"),
        (removed.phone, "telephone number", "telephone numbers"),
        (removed.mail, "e-mail address", "e-mail addresses"),
        (removed.address, "street address", "street addresses"),
        (removed.serial, "serial number", "serial numbers"),
        (removed.account, "account number", "account numbers"),
        (removed.plate, "number plate", "number plates"),
    ];
    let found: Vec<String> = all
        .iter()
        .filter(|(count, _, _)| *count > 0)
        .map(|(count, one, many)| counted_as(*count, one, many))
        .collect();
    found.join(", ")
}

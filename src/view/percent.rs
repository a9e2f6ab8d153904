//! Parts of a whole as people read them.

/// A counted part: whole percent. What is more than none is never `0 %`, what is less than all never
/// `100 %`.
#[must_use]
pub fn percent(part: f64) -> String {
    match part * 100.0 {
        p if p > 0.0 && p < 1.0 => "<1 %".to_owned(),
        p if p > 99.0 && p < 100.0 => ">99 %".to_owned(),
        p => format!("{p:.0} %"),
    }
}

/// A chance: as [`percent`], and never `0 %` or `100 %`, which nobody knows.
#[must_use]
pub fn chance(chance: f64) -> String {
    percent(chance.clamp(1e-9, 1.0 - 1e-9))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_count_is_none_or_all() {
        for (part, counted, believed) in [
            (0.0, "0 %", "<1 %"),
            (1e-12, "<1 %", "<1 %"),
            (0.0099, "<1 %", "<1 %"),
            (0.01, "1 %", "1 %"),
            (0.425, "42 %", "42 %"),
            (0.99, "99 %", "99 %"),
            (0.9949, ">99 %", ">99 %"),
            (1.0, "100 %", ">99 %"),
        ] {
            assert_eq!(percent(part), counted);
            assert_eq!(chance(part), believed);
        }
    }
}

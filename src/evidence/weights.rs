//! How much a case counts by its age: `w = 2^(−age/H)`, so that after `H` days it counts half.

/// The weight of a case of this age; 1 where forgetting is off.
#[must_use]
pub fn of_age(age_days: f64, half_life_days: Option<f64>) -> f64 {
    match half_life_days {
        Some(half_life) if half_life > 0.0 => f64::exp2(-age_days.max(0.0) / half_life),
        _ => 1.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn weight_halves_with_each_half_life() {
        for (age, half_life, weight) in [
            (0.0, Some(365.0), 1.0),
            (365.0, Some(365.0), 0.5),
            (730.0, Some(365.0), 0.25),
            (730.0, None, 1.0),
            (730.0, Some(0.0), 1.0),
        ] {
            assert!((of_age(age, half_life) - weight).abs() < 1e-12);
        }
    }
}

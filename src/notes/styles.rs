//! Some agents write a result behind what they did, some before: a note is walked in both ways, and
//! each counts by how likely the note is so.

use super::walk::Walked;

/// The sums over both styles of writing, each by how likely it is.
pub(super) fn joined(both: Vec<(f64, Walked)>) -> Option<Walked> {
    let most = both.iter().map(|(log, _)| *log).fold(f64::MIN, f64::max);
    let sum: f64 = both.iter().map(|(log, _)| (log - most).exp()).sum();
    let mut out: Option<Walked> = None;
    for (log, walked) in both {
        let part = (log - most).exp() / sum;
        match &mut out {
            None => {
                let mut first = walked;
                first.scale(part);
                first.log = most + sum.ln();
                out = Some(first);
            }
            Some(out) => out.add(&walked, part),
        }
    }
    out
}

impl Walked {
    fn scale(&mut self, part: f64) {
        let scale = |values: &mut [f64]| values.iter_mut().for_each(|v| *v *= part);
        self.visits.iter_mut().for_each(|v| scale(v));
        for told in &mut self.told {
            scale(&mut told.fix);
            scale(&mut told.before);
            scale(&mut told.result);
            scale(&mut told.provisional);
            told.background *= part;
        }
        scale(self.within.as_flattened_mut().as_flattened_mut());
        scale(self.stays.as_flattened_mut());
    }

    fn add(&mut self, other: &Self, part: f64) {
        let add = |to: &mut [f64], from: &[f64]| {
            to.iter_mut()
                .zip(from)
                .for_each(|(to, from)| *to += part * from);
        };
        for (to, from) in self.visits.iter_mut().zip(&other.visits) {
            add(to, from);
        }
        for (to, from) in self.told.iter_mut().zip(&other.told) {
            add(&mut to.fix, &from.fix);
            add(&mut to.before, &from.before);
            add(&mut to.result, &from.result);
            add(&mut to.provisional, &from.provisional);
            to.background += part * from.background;
        }
        let within = self.within.as_flattened_mut().as_flattened_mut();
        add(within, other.within.as_flattened().as_flattened());
        add(self.stays.as_flattened_mut(), other.stays.as_flattened());
    }
}

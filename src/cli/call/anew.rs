//! A denial holds for what was said before it: words behind it that tell a danger anew stop again.

use super::conversation::Conversation;
use crate::base::negation::Clauses;
use crate::call::{Act, State};
use crate::evidence::danger::Alarm;

impl Conversation<'_> {
    /// The dangers that these acts tell anew in a case in which some were denied.
    ///
    /// The words are listened to alone, as if a call began with them: what was denied stands before them.
    pub(super) fn told_anew(&self, state: &State, acts: &[Act]) -> Vec<Act> {
        if state.not_danger.is_empty() || !acts.iter().any(|act| matches!(act, Act::Say(_))) {
            return Vec::new();
        }
        let device = state.device.clone().map(Act::Device);
        let firmware = state.firmware.clone().map(Act::Firmware);
        let says = |act: &&Act| matches!(act, Act::Say(_) | Act::Device(_) | Act::Firmware(_));
        let known = [device, firmware];
        let alone = State::of(known.iter().flatten().chain(acts.iter().filter(says)));
        // Where nothing can be searched the line itself fails just as well, and says so.
        let Ok(advice) = self.room.desk.advise_call(&alone) else {
            return Vec::new();
        };
        let told = advice.stops.iter().filter(|(id, alarm)| match alarm {
            Alarm::Said(_) => state.not_danger.contains(id),
            Alarm::Sounds(_) => true,
            Alarm::Denied(_) | Alarm::Likely(_) | Alarm::Confirmed => false,
        });
        // Doubted, yet not denied: after a denial it is better stopped once too often.
        let denies = alone.said.iter().any(|words| Clauses::read(words).deny());
        let doubted = advice.ask_first.iter().map(|(id, _)| id);
        let doubted = doubted.filter(|id| !denies && state.not_danger.contains(*id));
        let anew = told.map(|(id, _)| id).chain(doubted);
        anew.map(|id| Act::IsDanger(id.clone())).collect()
    }
}

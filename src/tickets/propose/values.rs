//! What the values of an outcome or result column mean, in six languages; from memory.

use super::headings::plain;

/// Words of outcomes. The first that stands in a value decides; `open` ones mean nothing yet.
const OUTCOMES: &[(&str, &str)] = &[
    (
        "dropped",
        "dropped|cancelled|canceled|abandoned|no answer|no response|duplicate|withdrawn|expired|rejected|\
         spam|given up|not reproducible|no action|abgebrochen|storniert|keine antwort|keine ruckmeldung|\
         zuruckgezogen|doppelt|annule|abandonne|sans reponse|doublon|cancelado|abandonado|sin respuesta|\
         annullato|geannuleerd|vervallen|geen antwoord",
    ),
    (
        "handed-on",
        "handed on|handed over|escalated|visit|on site|onsite|dispatched|forwarded|transferred|technician|\
         second level|2nd level|field service|rma|weitergeleitet|eskaliert|vor ort|techniker|ubergeben|\
         einsatz|transfere|escalade|visite|deplacement|escalado|derivado|visita|inoltrato|tecnico|\
         doorgestuurd|monteur",
    ),
    (
        "",
        "not resolved|unresolved|not solved|unsolved|not fixed|open|new|in progress|pending|on hold|\
         waiting|nicht gelost|ungelost|offen|neu|in arbeit|wartet|non resolu|en cours|ouvert|sin resolver|\
         abierto|pendiente|aperto|in lavorazione",
    ),
    (
        "resolved",
        "resolved|solved|fixed|repaired|done|completed|complete|finished|success|ok|closed|erledigt|gelost|\
         behoben|repariert|geschlossen|abgeschlossen|fertig|resolu|repare|termine|cloture|ferme|clos|\
         resuelto|solucionado|reparado|cerrado|terminado|risolto|riparato|chiuso|completato|opgelost|\
         afgehandeld|gesloten",
    ),
];

const RESULTS: &[(&str, &str)] = &[
    (
        "no-change",
        "no change|no|n|false|0|failed|not fixed|did not help|without success|nein|ohne erfolg|non|sans \
         effet|echec|sin efecto|nee",
    ),
    (
        "not-possible",
        "not possible|could not|skipped|not done|nicht moglich|pas possible|no posible|niet mogelijk",
    ),
    (
        "resolved",
        "resolved|yes|y|true|1|ok|fixed|worked|success|solved|ja|j|erfolg|gelost|oui|resolu|si|exito|risolto",
    ),
];

/// What a value of `outcome` or `result` means, where one of the usual words stands in it; empty
/// where it means that there is none yet.
pub(super) fn meaning(field: &str, value: &str) -> Option<&'static str> {
    let table = if field == "outcome" {
        OUTCOMES
    } else {
        RESULTS
    };
    let padded = format!(" {} ", plain(value));
    table
        .iter()
        .find(|(_, words)| {
            words
                .split('|')
                .any(|word| padded.contains(&format!(" {} ", word.trim())))
        })
        .map(|(meaning, _)| *meaning)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn usual_words_have_their_meaning() {
        for (value, expected) in [
            ("Closed - Resolved", Some("resolved")),
            ("Geschlossen", Some("resolved")),
            ("Unresolved", Some("")),
            ("Not resolved", Some("")),
            ("Closed: no response", Some("dropped")),
            ("Closed - no action", Some("dropped")),
            ("Escalated (field service)", Some("handed-on")),
            ("Terminé", Some("resolved")),
            ("In Progress", Some("")),
            ("7", None),
            ("booked", None),
        ] {
            assert_eq!(meaning("outcome", value), expected, "{value}");
        }
        assert_eq!(meaning("result", "No"), Some("no-change"));
        assert_eq!(meaning("result", "Ja"), Some("resolved"));
        assert_eq!(meaning("result", "perhaps"), None);
    }
}

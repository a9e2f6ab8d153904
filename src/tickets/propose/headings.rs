//! What columns of support exports are usually called, in six languages; from memory.
//!
//! Compared as runs of plain small letters and digits: `Closed_At`, `closedAt` and `CLOSED AT` are
//! `closed at`, `Gerät` is `gerat`.

use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

/// The headings of each field, surest first.
const USUAL: &[(&str, &str)] = &[
    (
        "id",
        "ticket number|ticket no|ticket nr|ticket id|ticket|case number|case no|case id|case|incident \
         number|incident|issue key|request id|request number|work order number|work order no|work order|\
         job number|number|no|nr|id|key|order number|order no|ticketnummer|ticketnr|vorgangsnummer|\
         vorgangsnr|vorgang|fallnummer|fallnr|auftragsnummer|auftragsnr|auftrag|storungsnummer|storungsnr|\
         nummer|numero de pedido|numero de orden|numero de incidencia|incidencia|pedido|orden|numero de ticket|numero du ticket|numero|n|num|numero de caso|caso|folio|numero \
         ticket|meldingsnummer|zaaknummer",
    ),
    (
        "ref",
        "external id|external reference|external ref|reference|ref|referenz|aktenzeichen|referencia|\
         riferimento|kenmerk",
    ),
    (
        "follows",
        "parent ticket|parent id|parent|follows|follow up of|previous ticket|vorgangerticket|folgt auf",
    ),
    (
        "opened",
        "opened at|opened on|opened|open date|date opened|created at|created on|created|creation date|\
         date created|create date|reported at|reported on|reported|report date|received at|received|\
         start date|start time|start|eroffnet am|eroffnet|erstellt am|erstellt|angelegt am|gemeldet am|\
         eingangsdatum|eingang|beginn|date de creation|date d ouverture|date ouverture|cree le|ouvert \
         le|fecha de creacion|fecha de apertura|fecha apertura|creado|abierto|data di apertura|data \
         apertura|aperto il|creato il|aangemaakt op|aangemaakt|geopend op|geopend",
    ),
    (
        "closed",
        "closed at|closed on|closed|close date|date closed|closing date|closure date|resolved at|\
         resolved on|resolved|resolution date|date resolved|completed at|completed on|completed|\
         completion date|finished at|finished|done at|solved at|end date|end time|ended|geschlossen am|\
         geschlossen|abgeschlossen am|abgeschlossen|abschlussdatum|schlussdatum|erledigt am|erledigt|\
         gelost am|ende|date de cloture|date cloture|date de fermeture|cloture le|ferme le|clos le|resolu \
         le|fecha de cierre|fecha cierre|fecha de resolucion|cerrado el|cerrado|data di chiusura|data \
         chiusura|chiuso il|gesloten op|gesloten|afgesloten op|opgelost op|date|datum|fecha|data",
    ),
    (
        "reopened",
        "reopened at|reopened on|reopened|reopen date|wieder eroffnet am|wiedereroffnet am|wieder \
         geoffnet am|rouvert le|reabierto el|reabierto|riaperto il|heropend op",
    ),
    (
        "device",
        "device|device type|device model|product|product name|product type|model|asset|asset type|\
         equipment|unit|unit type|gerat|geratetyp|produkt|modell|anlage|anlagentyp|appareil|produit|\
         modele|equipement|dispositivo|producto|modelo|equipo|apparecchio|prodotto|modello|apparaat|\
         toestel",
    ),
    (
        "firmware",
        "firmware|firmware version|fw version|fw|software version|sw version|version|softwarestand|\
         firmwarestand|version logiciel|version du logiciel|version de firmware|versione",
    ),
    (
        "channel",
        "channel|contact type|contact method|origin|via|medium|kanal|eingangskanal|meldeweg|canal|canale|\
         kanaal",
    ),
    (
        "said",
        "subject|summary|title|short description|short text|original short text|headline|problem|problem \
         description|issue|complaint|symptom|fault|fault description|reported problem|description|details|\
         betreff|kurzbeschreibung|kurztext|titel|problembeschreibung|fehlerbeschreibung|storung|\
         storungsmeldung|meldung|beschreibung|sujet|objet|titre|resume|symptome|panne|description du \
         probleme|asunto|titulo|resumen|problema|averia|descripcion|oggetto|titolo|guasto|descrizione|\
         onderwerp|klacht|storing|omschrijving",
    ),
    (
        "notes",
        "work notes|notes|agent notes|internal notes|technician notes|resolution notes|close notes|\
         closing notes|log|work log|worklog|resolution|solution|action taken|actions taken|actions|\
         comments|comment|remarks|remark|history|arbeitsnotizen|arbeitsnotiz|interne notiz|notizen|notiz|\
         bemerkungen|bemerkung|vermerk|losung|arbeitsbericht|verlauf|kommentare|kommentar|massnahmen|massnahme|tatigkeit|langtext|notes \
         internes|remarques|commentaires|commentaire|intervention|notas|nota|\
         comentarios|comentario|solucion|observaciones|observacion|actuaciones|actuacion|trabajo \
         realizado|trabajos realizados|intervencion|note|commenti|soluzione|intervento|opmerkingen|oplossing|\
         werkzaamheden",
    ),
    (
        "codes",
        "error code|fault code|error codes|fault codes|codes|code|alarm code|alarm|error|fehlercode|\
         fehlercodes|storcode|code erreur|code d erreur|code defaut|codigo de error|codigo|codice errore|\
         codice|foutcode",
    ),
    (
        "article",
        "article|kb article|knowledge article|article id|artikel|wissensartikel|articulo|articolo",
    ),
    (
        "fix",
        "fix|fix id|fix code|action code|repair code|action|repair|massnahmencode|mesure|accion|azione",
    ),
    (
        "result",
        "result|fix result|worked|success|successful|ergebnis|erfolg|resultat|resultado|esito|resultaat",
    ),
    (
        "minutes",
        "minutes|duration|time spent|handling time|effort|dauer|minuten|aufwand|duree|temps passe|\
         duracion|minutos|durata|minuti|duur",
    ),
    (
        "outcome",
        "outcome|status|state|close code|closure code|closing code|resolution code|resolution status|\
         disposition|zustand|abschlusscode|statut|etat|estado|stato|toestand",
    ),
];

/// A heading in plain small letters, one blank between words.
pub(super) fn plain(heading: &str) -> String {
    let mut out = String::new();
    let mut small_before = false;
    for c in heading.nfkd().filter(|c| !is_combining_mark(*c)) {
        if !c.is_alphanumeric() {
            out.push(' ');
            small_before = false;
            continue;
        }
        // `closedAt` is two words.
        if c.is_uppercase() && small_before {
            out.push(' ');
        }
        small_before = c.is_lowercase();
        if c == 'ß' {
            out.push_str("ss");
        } else {
            out.extend(c.to_lowercase());
        }
    }
    out.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The last word of a heading, or how it ends, that says that a number follows.
const NUMBERS: &[&str] = &["nr", "no", "num", "nummer", "number", "numero", "id"];

/// How headings of notes are made up in German: `Abschlussvermerk`, `Monteurbericht`.
const NOTES: &[&str] = &[
    "notiz",
    "notizen",
    "vermerk",
    "bemerkung",
    "bemerkungen",
    "kommentar",
    "bericht",
    "losung",
];

/// Parts of headings of what belongs to people, places and things, not to the case.
const OTHERS: &str = "phone|telefon|telephone|tel|mobil|mobile|handy|fax|telefono|movil|mail|customer|kunde|\
    kunden|cliente|client|contact|kontakt|ansprechpartner|contacto|name|nombre|vorname|nachname|apellido|\
    nom|prenom|agent|assignee|owner|user|benutzer|bearbeiter|mitarbeiter|monteur|techniker|tecnico|address|\
    adresse|anschrift|direccion|street|strasse|calle|ort|stadt|city|town|ciudad|plz|zip|postcode|postal|\
    house|haus|site|standort|location|ubicacion|emplacement|serial|serien|serie|asset|device|gerat|gerate|\
    zahler|meter|contador|invoice|rechnung|rechnungs|factura|contract|vertrag|vertrags|contrato|account|\
    konto|cuenta|iban|part|teile|teil|article|artikel|material|version|firmware";

/// Whether a heading speaks of a person, a place or a thing rather than of the case.
pub(super) fn of_others(heading: &str) -> bool {
    let plain = plain(heading);
    let mut others = OTHERS.split('|').map(str::trim);
    others.any(|other| {
        let mut words = plain.split(' ');
        words.any(|word| {
            let rest = word.strip_prefix(other);
            rest.is_some_and(|rest| ["", "s"].contains(&rest) || NUMBERS.contains(&rest))
                || (other.len() >= 5 && (word.starts_with(other) || word.ends_with(other)))
        })
    })
}

/// Whether a heading as a whole is one that the field usually has.
pub(super) fn surely(field: &str, heading: &str) -> bool {
    names(field, heading) > 0.6
}

/// How well a heading names a field, 0 to 1: as a whole, by one of its words, or by how it is made up.
pub(super) fn names(field: &str, heading: &str) -> f64 {
    match usual(field, heading) {
        0.0 if made_up(field, &plain(heading)) => 0.35,
        usual => usual,
    }
}

/// Whether a heading that nobody listed is one of an id or of notes by its last part.
fn made_up(field: &str, plain: &str) -> bool {
    let last = plain.rsplit(' ').next().unwrap_or_default();
    match field {
        "id" => {
            NUMBERS.contains(&last) || ["nr", "nummer"].iter().any(|number| last.ends_with(number))
        }
        "notes" => NOTES.iter().any(|end| last.ends_with(end)),
        _ => false,
    }
}

fn usual(field: &str, heading: &str) -> f64 {
    let Some((_, usual)) = USUAL.iter().find(|(name, _)| *name == field) else {
        return 0.0;
    };
    let plain = plain(heading);
    // Who names a column as the field is named means it.
    if plain == field {
        return 1.0;
    }
    let all: Vec<&str> = usual.split('|').map(str::trim).collect();
    let count = all.len().max(1) as f64;
    // Surer names go before others, but all of them before a name that only holds one.
    if let Some(at) = all.iter().position(|name| *name == plain) {
        return 1.0 - 0.3 * at as f64 / count;
    }
    let within = |name: &str| {
        let padded = format!(" {plain} ");
        name.len() > 3 && padded.contains(&format!(" {name} "))
    };
    match all.iter().position(|name| within(name)) {
        Some(at) => 0.6 - 0.2 * at as f64 / count,
        None => 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_are_compared_in_plain_letters() {
        for (heading, expected) in [
            ("Closed_At", "closed at"),
            ("closedAt", "closed at"),
            ("  Gerät / Typ ", "gerat typ"),
            ("N°", "n"),
            ("Maßnahme", "massnahme"),
            ("FW-Version", "fw version"),
        ] {
            assert_eq!(plain(heading), expected);
        }
    }

    #[test]
    fn a_fields_own_name_names_it() {
        for (field, _) in USUAL {
            assert!(names(field, field) >= 1.0, "{field}");
            let others = USUAL.iter().filter(|(other, _)| *other != *field);
            assert!(
                others
                    .map(|(other, _)| names(other, field))
                    .all(|named| named < 1.0)
            );
        }
    }

    #[test]
    fn numbers_of_people_and_things_are_no_ids_of_cases() {
        for heading in [
            "Telefonnummer",
            "Kundennr.",
            "Customer No.",
            "Seriennummer",
            "Zählernummer",
            "Nº de cliente",
            "Vertragsnummer",
            "Asset ID",
            "Hausnummer",
            "Anschrift",
            "Bearbeiter",
        ] {
            assert!(of_others(heading), "{heading}");
        }
        for heading in [
            "Auftragsnr.",
            "Ticket ID",
            "Arbeitsnotiz",
            "Remarks",
            "Ergebnis",
        ] {
            assert!(!of_others(heading), "{heading}");
        }
    }

    #[test]
    fn a_heading_names_its_field_best() {
        for (heading, field) in [
            ("Ticket No.", "id"),
            ("Erledigt am", "closed"),
            ("Date de création", "opened"),
            ("Fecha de cierre", "closed"),
            ("Short description", "said"),
            ("Störung", "said"),
            ("Lösung", "notes"),
            ("Resolution code", "outcome"),
            ("Fehlercode", "codes"),
            ("Gerätetyp", "device"),
            ("Auftragsnr.", "id"),
            ("Order No.", "id"),
            ("Einsatz-Nr.", "id"),
            ("Nº de incidencia", "id"),
            ("Arbeitsnotiz", "notes"),
            ("Abschlussvermerk", "notes"),
            ("Monteurbericht", "notes"),
            ("Comentario", "notes"),
            ("Nota interna", "notes"),
            ("Ergebnis", "result"),
        ] {
            let best = USUAL
                .iter()
                .map(|(field, _)| (names(field, heading), *field));
            let best = best.max_by(|a, b| a.0.total_cmp(&b.0)).unwrap();
            assert_eq!(best.1, field, "{heading}");
        }
    }
}

//! Names of people, by what stands before them: introductions, titles, closings.
//!
//! A capital letter alone proves nothing, so words of the trade and the calendar are excepted.

use super::{groups, merged};
use regex::Regex;
use std::ops::Range;
use std::sync::LazyLock;

// One capital, unless it is a McNeil or an O'Brien: `TaskMeter` is nobody's name.
const NAME: &str = r"(?:Mc|Mac|De|Di|La|Le|[OD]['’])?\p{Lu}[\p{Ll}'’]+(?:-\p{Lu}\p{Ll}+)*\b";
const INITIALS: &str = r"(?:\p{Lu}\.\s?){0,2}";
// What a name may begin with, and what may stand within it.
const FIRST: &str = r"(?:von|van|zu|de|di|del)";
const PARTICLE: &str = r"(?:von|van|zu|de|der|den|di|da|la|le|del|dos|las|los|y)";

fn names(first_words: &str) -> String {
    format!(
        r"{first_words}(?P<x>(?:{INITIALS}{FIRST}\s(?:der\s|den\s|la\s|las\s|los\s)?|{INITIALS})?{NAME}(?:[ ]{INITIALS}(?:{PARTICLE}[ ]){{0,2}}{NAME}){{0,2}})"
    )
}

// `my name is Anna Lee`: sure, whatever follows.
pattern!(
    NAME_SAID,
    &names(
        r"\b(?i:my\ name\ is|my\ name[’']s|name\ is|mein\ name\ ist|ich\ hei(?:ß|ss)e|je\ m[’']appelle|me\ llamo|mi\ chiamo)[ :]\s?"
    )
);
// The same in small letters: one word, two at most.
pattern!(
    NAME_SAID_SMALL,
    r"(?i)\b(?:my name is|mein name ist|ich heiße|je m[’']appelle|me llamo|mi chiamo)\s(?P<x>[\p{L}'’-]+)"
);
// `this is Anna`: only in capitals, and no word of the trade or the calendar.
pattern!(
    INTRODUCED,
    &names(
        r"\b(?i:this\ is|here\ is|it[’']s|i\ am|i[’']m|hier\ ist|hier\ spricht|ich\ bin|(?:spoke|spoken|speak)\ (?:to|with)|speaking\ (?:to|with)|talk(?:ed)?\ (?:to|with)|ask\ for|asked\ for|called\ by|call\ from|signed\ by|caller|customer|contact|attn\.?|preguntar\ por|pregunten\ por|hablar\ con|hablado\ con|soy|je\ suis|demander|kunde|kundin|anrufer(?:in)?|ansprechpartner(?:in)?)\s?:?\s"
    )
);
// `owner Hans Meier`: a forename and a surname, or one name that then says something. Nouns are
// capitalised in German, so one alone proves nothing.
const ROLE: &str = r"\b(?i:owner|tenant|resident|landlord|driver|neighbou?r|client|mieter(?:in)?|eigent[üu]mer(?:in)?|bewohner(?:in)?|nachbar(?:in)?|fahrer(?:in)?|nutzer(?:in)?|hausmeister(?:in)?|inquilin[oa]|client[ea]|propietari[oa]|usuari[oa]|vecin[oa]|locataire|propri[ée]taire|voisine?)\s?[,:]?\s";
const SAYS: &str = r"[ ,]{1,2}(?:says|said|reports|reported|calls|called|rang|rings|phoned|tells|told|asks|asked|wants|writes|wrote|complains|complained|sagt|sagte|meldet|meldete|ruft|rief|berichtet|berichtete|fragt|fragte|schreibt|schrieb|dice|dijo|llama|llamó|informa|informó|avisa|avisó|pregunta|comenta|dit|appelle|signale|demande)\b";
pattern!(
    IN_ROLE,
    &format!(r"{ROLE}(?P<x>{NAME}[ ]{INITIALS}(?:{PARTICLE}[ ]){{0,2}}{NAME}(?:[ ]{NAME})?)")
);
pattern!(IN_ROLE_SAYS, &format!(r"{ROLE}(?P<x>{NAME}){SAYS}"));
pattern!(
    TITLED,
    &names(
        r"\b(?:(?:Mr|Mrs|Ms|Miss|Mx|Dr|Prof|Herrn?|Frau|[Mm]onsieur|[Mm]adame|Mme|Mlle|[Ss]eñora?|[Ss]eñorita|doña?|Doña?|Signora?|Sig|Sr|Sra|Srta|Dña)\b\.?|(?:M|D|Hr|Fr|i\.\s?A)\.)\s(?:(?:Dr|Prof)\.?(?:-Ing\.)?\s)?"
    )
);
pattern!(
    TITLED_CAPITALS,
    r"\b(?i:mr|mrs|ms|herrn?|frau|señora?|sra?|mme|monsieur)\b\.?\s(?P<x>\p{Lu}{2,}(?:-\p{Lu}{2,})*)\b"
);
pattern!(
    TITLED_SMALL,
    r"(?i)\b(?:mr|mrs)\b\.?\s(?P<x>[\p{L}'’-]{2,})"
);
// A closing, and the line ends with the name or goes on in a new sentence.
pattern!(
    CLOSING,
    &format!(
        r"(?:{})(?:[ ]*(?:[.,;/|\r\n]|$))",
        names(
            r"(?i:\b(?:(?:kind|best|warm|many)\s+)?(?:regards|wishes|rgds)|\bbest|\bta|\bsincerely(?:\s+yours)?|\byours(?:\s+(?:sincerely|faithfully))?|\b(?:many\s+)?thanks|\bthank\s+you|\bcheers|\bthx|\bbr|\bmfg|\b(?:mit\s+)?(?:freundlichen|besten|vielen|viele|beste|liebe)\s+gr(?:ü|ue)(?:ß|ss)en?|\bgru(?:ß|ss)|\bgr(?:ü|ue)(?:ß|ss)e|\b(?:l|v)g|\bcordialement|\bsalutations|\bbien\s+à\s+vous|\b(?:un\s+)?saludos?|\batentamente)\s*[,.!–-]?\s+"
        )
    )
);

// A greeting, and what ends it.
pattern!(
    GREETED,
    &format!(
        r"(?:{})(?:[ ]*(?:[,!:\r\n–]|\s-\s|$))",
        names(
            r"\b(?i:dear|hi|hello|hey|hallo|guten\s+(?:tag|morgen)|hola|bonjour|salut|liebe[rs]?|estimad[oa]|querid[oa]|ch(?:er|ère)|(?:good\s+)?morning)\s+"
        )
    )
);

/// Capitalised words that follow "this is" and its like without being a name.
const NO_NAME: &str = "\
a an the not now no still only just ok okay all very urgent after also always another again back \
both customer caller done down each every fine fixed for from happening he her his how if in it \
its like new normal off old on one our out please post really she showing since site so \
something thanks that their there they this to too trips two under unit up we what when where \
why with working yes you your monday tuesday wednesday thursday friday saturday sunday january \
february march april may june july august september october november december modbus ethernet \
firmware status error fault code breaker contactor meter controller restart restarted replaced \
resealed checked closed resolved swapped reset brindlecott das der die ein eine kein nicht immer \
noch wieder says dr prof mr mrs ms miss herr herrn frau said reports reported has had wants is \
was will can cannot number team everyone everybody support colleagues desk sir madam folks guys \
friends service hotline helpdesk together zusammen kollegen equipo todos tous toutes sales \
reception security management accounts billing tenant caretaker installer electrician engineer \
technician manager owner landlord neighbour nobody somebody someone fehler störung strom \
stromausfall kunde alles seit nach montag dienstag mittwoch donnerstag freitag samstag sonntag \
zähler säule station sicherung gerät regler hausmeister techniker elektriker installateur firma \
büro problème erreur borne compteur client tout rien toujours encore el la los las un una ya \
problema poste contador cargador cliente nadie todo siempre stecker wallbox ladesäule karte lampe \
ladestation ladepunkt kabel schütz fahrzeug auto wagen garage tiefgarage stellplatz parkplatz haus \
wohnung rückruf anruf termin schalter schlüssel portal update app charger plug cable car card lamp \
light box offline online enchufe tarjeta luz coche garaje luces punto main east west north south room \
building";

/// Names that follow one of the usual openings.
pub(super) fn name(text: &str) -> Vec<Range<usize>> {
    let mut found: Vec<Range<usize>> = Vec::new();
    for pattern in [
        &*NAME_SAID,
        &*NAME_SAID_SMALL,
        &*INTRODUCED,
        &*IN_ROLE,
        &*IN_ROLE_SAYS,
        &*TITLED,
        &*TITLED_CAPITALS,
        &*TITLED_SMALL,
        &*CLOSING,
        &*GREETED,
    ] {
        found.extend(
            groups(pattern, text)
                .into_iter()
                .filter_map(|r| named(text, r)),
        );
    }
    merged(found)
}

/// The part of a match that is a name: up to the first word that never is one. The small words
/// within a name (`von der Heide`) are left alone.
fn named(text: &str, range: Range<usize>) -> Option<Range<usize>> {
    let mut end = range.start;
    for word in text[range.clone()].split_inclusive(' ') {
        let bare = word.trim().to_lowercase();
        let joins = word.starts_with(char::is_lowercase) && range.len() > word.len();
        if !joins && NO_NAME.split(' ').any(|never| never == bare) {
            break;
        }
        end += word.len();
    }
    let kept = text[range.start..end].trim_end();
    (!kept.is_empty()).then(|| range.start..range.start + kept.len())
}

//! The words that deny, part, go on and answer, in English, German and Spanish, folded.

/// Words that deny what follows.
#[rustfmt::skip]
pub(super) const DENY: &[&str] = &[
    // English; "isn't" is read as "isnt".
    "no", "not", "none", "without", "never", "neither", "nor", "nothing", "nobody", "noone", "no1",
    "isnt", "aint", "arent", "wasnt", "werent", "doesnt", "dosent", "dosnt", "didnt", "dont",
    "havent", "hasnt", "hadnt", "zero", "nil", "null", "nope", "nah",
    // German
    "kein", "keine", "keinen", "keinem", "keiner", "keines", "keins", "keinerlei", "nicht",
    "nichts", "nix", "niemand", "niemandem", "niemanden", "nie", "niemals", "ohne", "weder", "nein",
    "nirgends", "nirgendwo",
    // Spanish
    "sin", "nada", "nadie", "ningun", "ninguna", "ninguno", "tampoco", "nunca", "jamas", "ni", "cero",
    // French, Italian, Dutch, Polish, Portuguese: the danger articles name the plainest dangers in them.
    "pas", "aucun", "aucune", "sans", "senza", "nessun", "nessuna", "geen", "niet", "zonder", "brak",
    "bez", "nao", "sem", "nenhum", "nenhuma",
];

/// Denials of being able or willing: they deny only what is perceived or what the thing becomes.
#[rustfmt::skip]
pub(super) const MODAL: &[&str] = &[
    "cannot", "cant", "couldnt", "wont", "wouldnt", "shouldnt", "unable",
];

/// Words that deny what follows by their own meaning.
#[rustfmt::skip]
pub(super) const LEXICAL: &[&[&str]] = &[
    &["denies"], &["denied"], &["denying"], &["deny"], &["rules", "out"], &["ruled", "out"],
    &["rule", "out"], &["ruling", "out"], &["excludes"], &["excluded"], &["free", "of"],
    &["free", "from"], &["clear", "of"], &["absence", "of"], &["lack", "of"], &["devoid", "of"],
    &["negative", "for"], &["negative", "on"], &["neg", "for"], &["neg", "on"], &["verneint"], &["verneinen"], &["verneinte"], &["bestreitet"],
    &["ausgeschlossen"], &["frei", "von"], &["fehlen", "von"], &["niega"], &["niegan"], &["nego"],
    &["descarta"], &["descartan"], &["descartamos"], &["descartar"], &["exclude"], &["descarto"], &["descartado"], &["descartada"], &["libre", "de"],
    &["ausencia", "de"], &["falta", "de"], &["false", "alarm"], &["falscher", "alarm"],
    &["fehlalarm"], &["falsa", "alarma"], &["let", "alone"], &["geschweige", "denn"],
    &["non", "c"], &["non", "ce"], &["in", "case", "of"], &["in", "the", "event", "of"], &["im", "falle"], &["en", "caso", "de"],
];

/// What a modal denial may deny: perceiving, saying, becoming.
#[rustfmt::skip]
pub(super) const PERCEIVE: &[&str] = &[
    "smell", "see", "feel", "hear", "notice", "find", "detect", "spot", "say", "be", "sense",
    "describe", "call", "report", "confirm", "make", "get", "become", "perceive", "taste",
];

/// Answers that deny what stands before them, whatever the clause before them holds.
#[rustfmt::skip]
pub(super) const CLOSE: &[&str] = &[
    "no", "none", "nil", "negative", "nope", "nah", "n", "neg", "zero", "absent", "excluded",
    "nein", "keine", "keiner", "keins", "keinen", "keines", "nichts", "nix", "nicht", "fehlanzeige",
    "ausgeschlossen", "verneint", "denied", "nada", "ninguno", "ninguna", "ningun", "descartado",
    "descartada", "nie", "niemals", "cero", "ausschliessen", "verneinen",
];

/// Of those the ones that say that something was looked for and is not there.
#[rustfmt::skip]
pub(super) const EXCLUDED: &[&str] = &[
    "excluded", "denied", "ausgeschlossen", "ausschliessen", "verneinen", "descartado", "descartada",
];

/// To deny one of these leaves the danger open.
#[rustfmt::skip]
pub(super) const EXCLUDING: &[&str] = &[
    "rule", "ruled", "ruling", "exclude", "excluded", "ausschliessen", "ausgeschlossen",
    "auszuschliessen", "descartar", "descartado", "descarto", "descartamos", "excluir",
];

/// Words that may follow a denial which closes a clause: "there aren't any", "no, not at all".
#[rustfmt::skip]
pub(super) const FORMS: &[&str] = &[
    "any", "one", "at", "all", "either", "so", "ever", "whatsoever", "seen", "found", "noticed",
    "reported", "there", "here", "of", "visible", "evident",
    "present", "observed", "detected", "sir", "madam", "thanks", "thankfully", "luckily", "yet",
    "really", "far", "spur", "rede", "welche", "da", "dabei", "gesehen", "bemerkt", "gemerkt",
    "festgestellt", "gefunden", "vorhanden", "sichtbar", "davon", "zu", "sehen", "was", "rastro",
    "eso", "visto", "hay", "absoluto", "en", "anything", "sort", "kind", "like", "sehe", "ich", "the",
    "true", "case", "correct", "es", "verdad", "cierto", "wahr", "asi", "anyone", "anybody", "else",
    "around", "either",
];

/// Nobody: what may begin a statement that answers, "none had".
#[rustfmt::skip]
pub(super) const NOBODY: &[&str] = &[
    "none", "nobody", "noone", "neither", "niemand", "keiner", "keine", "keins", "nadie", "ninguno",
    "ninguna",
];

/// Helping verbs that such a statement goes on with, and that stand before a denied subject.
#[rustfmt::skip]
pub(super) const AUXILIARY: &[&str] = &[
    "had", "has", "have", "did", "does", "do", "was", "were", "is", "are", "could", "would", "hat",
    "hatte", "hatten", "haben", "habe", "hab", "ist", "war", "waren", "sind", "wurde", "wurden",
    "konnte", "ha", "han", "habia", "tuvo", "vio", "noto",
];

/// Behind "nobody" these tell of somebody's absence and answer nothing.
#[rustfmt::skip]
pub(super) const HERE: &[&str] = &["here", "there", "around", "home", "hier", "da", "dort", "aqui", "alli", "ahi"];

/// What may follow "none of" where it sums up.
#[rustfmt::skip]
pub(super) const SUMMARY: &[&str] = &[
    "the", "that", "this", "it", "those", "these", "them", "kind", "sort", "above", "which", "at",
    "all", "eso", "esto", "ello", "nada", "here", "there",
];

/// What may fill a reply: "not that I know of", "not in the slightest".
#[rustfmt::skip]
pub(super) const REPLY: &[&str] = &[
    "that", "i", "ve", "we", "can", "could", "know", "of", "aware", "noticed", "tell", "remember",
    "my", "to", "knowledge", "as", "far", "in", "the", "slightest", "least", "a", "bit", "whiff",
    "hint", "trace", "scratch", "mark", "dent", "dass", "wusste", "wir", "que", "yo", "sepa",
    "sepamos", "have", "him", "them", "me", "us", "chance",
];

/// What may follow a denial whose object stands in front: "einen Schlag hat keiner bekommen".
#[rustfmt::skip]
pub(super) const FRONTED: &[&str] = &[
    "bekommen", "gekriegt", "abbekommen", "abgekriegt", "gespurt", "gerochen", "gehort", "gemeldet",
    "erlebt", "aufgetreten", "entstanden", "beobachtet", "wahrgenommen", "feststellen", "erkennen",
    "riechen", "horen", "spuren", "gegeben", "passiert", "bisher", "ha", "han", "he", "hemos", "se",
    "le", "les", "me", "nos", "habido", "salido", "salio", "sale", "ve", "ven", "vio", "veo", "vi",
    "vemos", "nota", "noto", "notado", "notamos", "dado", "dio", "a", "nadie", "tenido", "sentido",
    "huele", "olia", "huelo", "visto", "ninguno", "ninguna", "nada", "encontrado", "felt", "heard",
    "smelled", "smelt", "complained", "mentioned", "experienced", "received", "such", "thing",
];

/// "turned out", "resultó ser", "stellte sich heraus".
#[rustfmt::skip]
pub(super) const TURNED: &[&str] = &["turned", "turns", "resulto", "stellte"];

/// Verbs of a statement: what holds one is no noun put in front.
#[rustfmt::skip]
pub(super) const STATES: &[&str] = &[
    "ist", "sind", "hat", "haben", "raucht", "brennt", "stinkt", "riecht", "qualmt", "kommt", "steht",
    "liegt", "hangt", "wird", "es", "esta", "estan", "hay", "sale", "echa", "huele", "arde", "da",
    "dio", "ha", "han", "se", "tiene", "pasa", "is", "are", "was", "has", "s", "it", "there",
];

/// Articles and the like: what they point at is there.
#[rustfmt::skip]
pub(super) const THE: &[&str] = &["der", "die", "das", "den", "dem", "el", "la", "los", "las", "the"];

/// See [`THE`].
#[rustfmt::skip]
pub(super) const AN: &[&str] = &[
    "a", "an", "my", "his", "her", "our", "your", "their", "some", "ein", "eine", "einen", "mein", "un",
    "una", "mi",
];

/// A clause with one of these tells what somebody feared, or what was only said.
#[rustfmt::skip]
pub(super) const FEARING: &[&str] = &[
    "feared", "fear", "fears", "afraid", "thought", "worried", "suspected", "suspect", "suspects",
    "wondered", "wondering", "expected", "claimed", "claims", "swore", "reckoned", "rumour", "rumor",
    "rumours", "supposedly", "allegedly", "imagined", "dachte", "dachten", "gedacht", "befurchtet",
    "befurchtete", "angst", "vermutet", "vermutete", "meinte", "meinten", "behauptet", "behauptete",
    "angeblich", "temia", "temian", "temiamos", "pensaba", "pensabamos", "pense", "creia", "crei",
    "decian", "dijeron", "supuestamente", "rumor",
];

/// A clause with one of these tells what another one said.
#[rustfmt::skip]
pub(super) const SAID: &[&str] = &[
    "said", "say", "says", "told", "insists", "swears", "reported", "reports", "mentioned", "complained",
    "talk", "reckons", "believed", "sagen", "sagt", "sagte", "sagten", "gesagt", "erzahlt", "gemeldet", "dice",
    "dijo", "dicen", "decia",
];

/// The caller himself.
#[rustfmt::skip]
pub(super) const FIRST_PERSON: &[&str] = &["i", "we", "ich", "wir", "yo", "nosotros"];

/// Words of an asked clause, believed where a whole statement answers: "whether it had melted; it
/// hadn't".
#[rustfmt::skip]
pub(super) const WHETHER: &[&str] = &["if", "whether", "ob"];

/// How a question begins that lacks its mark.
#[rustfmt::skip]
pub(super) const ASKS: &[&str] = &[
    "did", "does", "is", "are", "was", "were", "has", "have", "any", "anyone", "anybody", "hat",
    "haben",
];

/// Words that tell of an end.
#[rustfmt::skip]
pub(super) const ENDED: &[&str] = &[
    "stop", "stopped", "stops", "stopping", "gone", "over", "fixed", "repaired", "cooled", "cleared",
    "safe", "away", "normal", "ok", "okay", "dangerous", "aufgehort", "weg", "vorbei", "behoben", "sicher", "parado", "dejado", "cesado",
    "terminado", "arreglado", "seguro", "schlimm", "gefahrlich", "peligroso",
];

/// Perceiving in a closing denial, which then needs one of [`ANY`]: "and couldn't find any".
#[rustfmt::skip]
pub(super) const FINDING: &[&str] = &[
    "find", "see", "notice", "detect", "spot", "hear", "smell", "feel", "get", "finden", "sehen",
    "encontrar", "ver", "encontre", "vi",
];

/// See [`FINDING`].
pub(super) const ANY: &[&str] = &[
    "any", "one", "anything", "either", "ninguno", "ninguna", "nada",
];

/// A clause with one of these asks or looks, so that the next may answer it: "checked for melting,
/// nothing there".
#[rustfmt::skip]
pub(super) const SEEKING: &[&str] = &[
    "checked", "check", "looked", "look", "looking", "asked", "ask", "asking", "searched", "inspected",
    "sniffed", "tested", "examined", "regarding", "re", "gepruft", "geschaut", "gesucht", "gefragt",
    "nachgesehen", "kontrolliert", "asks", "checking", "mirado", "comprobado", "preguntado", "buscado", "revisado",
];

/// What may follow "of" or "like" there: "none of that".
#[rustfmt::skip]
pub(super) const FORMS_OF: &[&str] = &["it", "that", "them", "those", "these", "this", "sort", "kind"];

/// Answers believed even behind a comma: "smoke, none".
#[rustfmt::skip]
pub(super) const BARE: &[&str] = &[
    "no", "none", "nope", "nah", "nil", "negative", "n", "neg", "nein", "keine", "keiner", "keins",
    "ninguno", "ninguna", "fehlanzeige",
];

/// Of the light words those that stand for what was said before.
#[rustfmt::skip]
pub(super) const PRONOUN: &[&str] = &[
    "it", "its", "they", "there", "theres", "that", "i", "we", "he", "she", "and", "but", "es", "das",
    "da", "sie", "ich", "wir", "und", "aber", "y", "pero", "lo", "la", "los", "hay",
];

/// Words that say nothing by themselves, before a denial that closes: "and it absolutely does not".
#[rustfmt::skip]
pub(super) const LIGHT: &[&str] = &[
    "it", "its", "they", "there", "theres", "that", "this", "these", "those", "he", "she", "we",
    "i", "you", "s", "ve", "re", "m", "d", "is", "are", "was", "were", "does", "do", "did", "has",
    "have", "had", "been", "can", "could", "absolutely", "definitely", "certainly", "honestly",
    "say", "says", "said", "really", "and", "but", "so", "well", "actually", "or", "found", "saw",
    "seen", "see", "noticed", "ever", "to", "be", "answer", "the", "answered", "checked", "looked",
    "simply", "just", "caller", "customer", "cust", "client", "driver", "user", "tenant", "agent",
    "reply", "replied", "states", "stated", "reports", "reported", "confirms", "confirmed", "kunde",
    "kd", "anrufer", "fahrer", "sagt", "sagte", "meint", "cliente", "dice", "dijo", "es", "das", "da", "sie", "er", "ich", "wir", "man", "und", "ist", "sind",
    "war", "waren", "hat", "habe", "hab", "haben", "tut", "gibt", "auch", "aber", "gar", "y", "pero",
    "lo", "la", "los", "hay", "he", "ha", "hemos", "visto", "encontrado", "de", "eso", "one", "stimmt",
    "hatte", "hatten", "konnen", "kann", "konnte", "konnten", "sicher",
];

/// Words that begin a clause of their own.
#[rustfmt::skip]
pub(super) const CONTRAST: &[&str] = &[
    "but", "however", "although", "though", "yet", "except", "just", "only", "merely", "simply",
    "purely", "still", "because", "then", "now", "instead", "otherwise", "nevertheless", "apart",
    "aber", "sondern", "jedoch", "doch", "bloss", "nur", "lediglich", "trotzdem", "allerdings",
    "dafur", "dann", "jetzt", "ausser", "pero", "sino", "solo", "solamente", "simplemente",
    "aunque", "salvo", "excepto", "ahora", "entonces", "embargo",
];

/// Words behind which a denial ends, because a new statement begins.
#[rustfmt::skip]
pub(super) const ENDS: &[&str] = &[
    "and", "plus", "since", "after", "when", "whenever", "while", "whilst", "until", "unless",
    "once", "where", "und", "sowie", "seit", "seitdem", "nachdem", "wenn", "als", "sobald", "weil",
    "wahrend", "bis", "y", "desde", "despues", "tras", "cuando", "mientras", "porque", "hasta",
];

/// Subjects that begin a new statement behind a denial: "no lights it smells burnt".
#[rustfmt::skip]
pub(super) const SUBJECT: &[&str] = &["it", "its", "there", "theres", "es"];

/// Behind these a subject begins no new statement: "I don't think it smells".
#[rustfmt::skip]
pub(super) const SAYING: &[&str] = &[
    "dass", "think", "thinks", "thought", "believe", "say", "says", "said", "see", "seen", "notice", "that",
    "if", "whether", "like", "feel", "as", "suppose", "claim", "claims", "mention", "find", "found",
    "was", "is", "did", "does", "do", "has", "had", "have", "will", "would", "can", "were", "hat", "ist", "war", "gibt", "raucht", "riecht",
];

/// Words that carry a denial on along a list.
#[rustfmt::skip]
pub(super) const GOES_ON: &[&str] = &["or", "nor", "oder", "noch", "ni", "o", "u", "and", "und", "y"];

/// Of those the ones that always do.
#[rustfmt::skip]
pub(super) const OR: &[&str] = &["or", "nor", "oder", "noch", "ni", "o", "u"];

/// "nothing but smoke", "no doubt it is smoke", "not sure": a denial that denies no danger.
#[rustfmt::skip]
pub(super) const UNDENY: &[&str] = &[
    "only", "but", "just", "merely", "sure", "certain", "know", "knowing", "idea", "clue", "doubt",
    "doubts", "wonder", "question", "much", "many", "lot", "safe", "good", "normal", "ok", "okay",
    "happy", "joke", "joking", "kidding", "longer", "more", "first", "believe", "understand",
    "explain", "expect", "expected", "expecting", "want", "dare", "stop", "stopped", "stopping",
    "mind", "forget", "matter", "ignore", "help", "nice", "pleasant", "right", "amused", "comfortable",
    "care", "reason", "imagining", "imagine", "exaggerating", "nur", "sicher", "mehr", "weiss",
    "wissen", "auf", "gut", "so", "aufhoren", "ob", "warum", "woher", "wieso", "if", "whether", "why", "zweifel", "ahnung", "wunder",
    "frage", "spass", "witz", "se", "para", "paran", "deja", "dejan", "seguro", "segura", "duda",
    "broma", "sabemos", "bueno", "mas", "entiendo", "dejaba", "paraba",
];

/// Spanish "no se" means "I do not know" only before these.
#[rustfmt::skip]
pub(super) const SE_ASKS: &[&str] = &["que", "si", "por", "como", "de", "cual"];

/// What fails when a thing does not work. A denial of these is a complaint; it ends with the word
/// and never runs along a list: "no power, sparks".
#[rustfmt::skip]
pub(super) const WORKING: &[&str] = &[
    "work", "working", "works", "worked", "charge", "charges", "charging", "charged", "connect",
    "connects", "connecting", "connected", "connection", "start", "starts", "starting", "started",
    "online", "load", "loads", "loading", "respond", "responds", "responding", "response",
    "reaction", "react", "power", "display", "led", "lights", "light", "lamp", "lamps", "signal",
    "internet", "network", "wifi", "session", "unlock", "unlocking", "release",
    "releasing", "latch", "lock", "error", "errors", "message", "code", "fault",
    "app", "portal", "card", "cards", "contact", "trip", "tripped", "tripping", "reset",
    "resets", "fit", "budge", "screen",
    "electricity", "supply", "communication", "comms", "access", "answer", 
    "ladt", "laden", "ladung", "funktioniert", "geht", "startet", "anzeige", "licht",
    "verbindung", "reagiert", "reaktion", "meldung", "fehlermeldung", "fehler", "netz", "lasst",
    "lost", "ausgelost", "carga", "cargar", "funciona", "arranca", "enciende", "responde", "luz",
    "conecta", "conexion", "pantalla", "error", "salta", "suelta", 
];

/// What may stand beside a danger in a clause that says nothing else, besides most of [`LIGHT`].
#[rustfmt::skip]
pub(super) const BESIDE: &[&str] = &[
    "now", "jetzt", "ahora", "here", "hier", "aqui", "a", "an", "some", "of", "lot", "lots", "much",
    "thick", "black", "white", "grey", "gray", "big", "small", "little", "bit", "very", "strong",
    "strongly", "badly", "coming", "comes", "out", "from", "inside", "box", "post", "charger", "drin",
    "dentro", "kommt", "viel", "sehr", "stark", "etwas", "mucho", "mucha", "algo", "ein", "eine",
    "einen", "un", "una", "help", "hilfe", "ayuda", "please", "bitte", "again", "already", "schon",
    "ya", "wieder", "everywhere", "uberall", "sale", "esta", "estan", "thing", "in", "on", "at", "me", "mir", "him", "her", "my",
];

/// Words of [`LIGHT`] that tell of the past, or that leave open which.
#[rustfmt::skip]
pub(super) const OPEN: &[&str] = &[
    "was", "were", "had", "did", "been", "ever", "or", "war", "waren", "hatte", "hatten", "do", "does",
];

/// Words of a clause that supposes or asks, and states nothing.
#[rustfmt::skip]
pub(super) const SUPPOSED: &[&str] = &[
    "if", "when", "whenever", "whether", "would", "could", "might", "may", "should", "unless", "until",
    "suppose", "imagine", "what", "how", "why", "who", "where", "ob", "wenn", "falls",
    "wurde", "konnte", "was", "warum", "wo", "wer", "bis", "si", "cuando", "podria", "que", "donde", "hasta", "will", "wird",
];

/// The lists of single words, by name.
#[rustfmt::skip]
pub(super) fn by_name() -> Vec<(&'static str, &'static [&'static str])> {
    vec![
        ("DENY", DENY),
        ("MODAL", MODAL),
        ("PERCEIVE", PERCEIVE),
        ("CLOSE", CLOSE),
        ("EXCLUDED", EXCLUDED),
        ("EXCLUDING", EXCLUDING),
        ("FORMS", FORMS),
        ("NOBODY", NOBODY),
        ("AUXILIARY", AUXILIARY),
        ("HERE", HERE),
        ("SUMMARY", SUMMARY),
        ("REPLY", REPLY),
        ("FRONTED", FRONTED),
        ("TURNED", TURNED),
        ("STATES", STATES),
        ("THE", THE),
        ("AN", AN),
        ("FEARING", FEARING),
        ("SAID", SAID),
        ("FIRST_PERSON", FIRST_PERSON),
        ("WHETHER", WHETHER),
        ("ASKS", ASKS),
        ("ENDED", ENDED),
        ("FINDING", FINDING),
        ("ANY", ANY),
        ("SEEKING", SEEKING),
        ("FORMS_OF", FORMS_OF),
        ("BARE", BARE),
        ("PRONOUN", PRONOUN),
        ("LIGHT", LIGHT),
        ("CONTRAST", CONTRAST),
        ("ENDS", ENDS),
        ("SUBJECT", SUBJECT),
        ("SAYING", SAYING),
        ("GOES_ON", GOES_ON),
        ("OR", OR),
        ("UNDENY", UNDENY),
        ("SE_ASKS", SE_ASKS),
        ("WORKING", WORKING),
        ("BESIDE", BESIDE),
        ("OPEN", OPEN),
        ("SUPPOSED", SUPPOSED),
    ]
}

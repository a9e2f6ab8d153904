//! Words for the same work, in English, German and Spanish, folded. Any desk's notes use one where
//! the article uses another; words for things belong into the desk's own `words.toml`.
//!
//! From memory and common usage, no source. A word may stand in several groups.

/// Each line: words for one sort of work.
#[rustfmt::skip]
pub(super) const SAME_WORK: &[&[&str]] = &[
    &["restart", "reboot", "rebooted", "cycle", "cycled", "reset", "neustart", "neugestartet", "gestartet", "reiniciar", "reiniciado", "reinicie", "reinicio", "rebooting", "restarted", "powercycle", "bounce", "bounced"],
    &["replace", "exchange", "renew", "swap", "swapped", "change", "substitute", "new", "spare", "another", "other", "different", "second",
        "getauscht", "tauschen", "ausgetauscht", "gewechselt", "erneuert", "ersetzt", "neu", "neue", "neuer", "neues", "neuen", "anderes", "andere", "anderer", "anderen", "zweites", "zweite",
        "cambiado", "cambiada", "cambiamos", "cambie", "cambiar", "sustituido", "sustituida", "nuevo", "nueva", "otro", "otra", "fit", "fitted", "exchanged", "renewed", "replaced", "proper", "fresh", "nagelneu", "eingebaut", "verbaut", "montado", "puesta"],
    &["tighten", "tightened", "torque", "torqued", "retighten", "nip", "nachgezogen", "angezogen", "festgezogen", "apretado", "apretar", "apretamos", "apretados", "tightening", "screw", "screwed", "bolt", "festgeschraubt", "verschraubt", "festgedreht", "atornillado", "nachziehen"],
    &["clean", "wipe", "brush", "rinse", "wash", "gereinigt", "gewischt", "abgewischt", "geputzt", "limpiado", "limpiar", "limpie", "limpiamos", "cleaned", "cleaning", "wiped", "brushed", "scrub", "scrubbed", "swept", "sweep", "blow", "blew", "poke", "poked", "scrape", "scraped", "hoover", "wischen", "putzen", "sauber", "limpio", "frotado"],
    &["dry", "dried", "getrocknet", "trocken", "secado", "secar", "seco", "drying", "blotted", "wiped", "trocknen"],
    &["seal", "reseal", "sealed", "caulk", "abgedichtet", "sellado", "sellar", "foam", "foamed", "silicone", "putty", "plug", "glue", "glued", "dicht", "verschlossen"],
    &["update", "upgrade", "flash", "load", "install", "firmware", "aufgespielt", "eingespielt", "aktualisiert", "actualizado", "actualizar", "instalado", "updated", "upgraded", "flashed", "loaded", "reflashed"],
    &["reseat", "replug", "push", "press", "shove", "firm", "eingesteckt", "gesteckt", "nachgesteckt", "gedruckt", "reingedruckt", "nachgedruckt", "empujado", "empujo", "enchufado", "reseated", "plugged", "pushed", "pressed", "shoved", "rammed", "jammed", "sit", "sat", "insert", "inserted", "reinsert", "clip", "clipped", "click", "snap", "snapped", "steckt", "eingerastet"],
    &["set", "enter", "type", "retype", "correct", "adjust", "configure", "mend", "amend", "edit", "eingestellt", "eingegeben", "eingetragen", "korrigiert", "gesetzt", "geandert", "puesto", "corregido", "corregida", "ajustado", "metido", "metimos", "typed", "entered", "key", "keyed", "retyped", "corrected", "changed", "put", "tick", "ticked", "untick", "choose", "chose", "pick", "picked", "select", "selected", "umgestellt", "gestellt", "stellen"],
    &["lower", "reduce", "decrease", "down", "less", "shorten", "reduziert", "runter", "gesenkt", "verkurzt", "bajado", "bajamos", "baje", "reducido", "lowered", "reduced", "shorter", "shortened", "slower", "cut", "turned", "dial", "wound", "senken"],
    &["raise", "increase", "enlarge", "widen", "up", "higher", "bigger", "larger", "longer", "more", "erhoht", "hoch", "hoher", "vergrossert", "subido", "aumentado", "ampliado", "raised", "increased", "lengthen", "lengthened", "extend", "extended", "wound", "faster", "erhohen"],
    &["remove", "unplug", "disconnect", "detach", "delete", "erase", "empty", "wipe", "clear", "entfernt", "abgezogen", "rausgenommen", "genommen", "geloscht", "geleert", "quitado", "borrado", "vaciado", "retirado", "removed", "deleted", "erased", "emptied", "cleared", "pull", "pulled", "yank", "yanked", "took", "taken", "off", "drop", "dropped", "rausgezogen", "gezogen", "weggenommen", "sacado"],
    &["allow", "open", "permit", "let", "admit", "unblock", "release", "whitelist", "pass", "freigegeben", "geoffnet", "erlaubt", "freigeschaltet", "abierto", "permitido", "desbloqueado", "dejado", "opened", "allowed", "permitted", "exempt", "exempted", "unblocked"],
    &["wait", "patience", "sit", "gewartet", "abgewartet", "warten", "esperado", "esperamos", "esperar", "waited", "patient", "left", "leave", "sat"],
    &["move", "relocate", "shift", "mount", "hang", "versetzt", "umgesetzt", "montiert", "aufgehangt", "movido", "mover", "colgado", "moved", "shifted", "hung", "elsewhere", "higher", "mounted", "hangt"],
    &["reterminate", "crimp", "recrimp", "redo", "redone", "rewire", "connect", "reconnect", "land", "angeklemmt", "verdrahtet", "angeschlossen", "conectado", "recableado", "crimped", "recrimped", "remade", "rewired", "reconnected", "join", "joined", "landed", "earthed"],
    &["send", "push", "sync", "transmit", "geschickt", "gesendet", "ubertragen", "enviado", "mandado", "envie", "sent", "resend", "resent", "pushed", "transmitted", "synced"],
    &["switch", "turn", "flip", "eingeschaltet", "ausgeschaltet", "geschaltet", "umgelegt", "encendido", "apagado", "switched", "turned", "flipped", "on", "off", "ein", "aus"],
    &["repair", "fix", "mend", "good", "repariert", "instandgesetzt", "reparado", "arreglado"],
    &["warm", "thaw", "heat", "defrost", "angewarmt", "aufgetaut", "calentado", "descongelado"],
    &["renew", "extend", "prolong", "verlangert", "renovado", "prolongado"],
    &["straighten", "align", "upright", "level", "ausgerichtet", "gerade", "enderezado", "nivelado", "aligned", "straightened", "propped"],
    &["explain", "explained", "told", "tell", "say", "said", "inform", "informed", "advise", "advised", "erklart", "gesagt", "explicado", "dicho"],
    &["separate", "split", "own", "apart", "isolate", "getrennt", "eigenen", "separado", "propio"],
    &["free", "freed", "loosen", "loosened", "release", "released", "gelost", "liberado"],
    &["add", "added", "join", "joined", "into", "hinzugefugt", "aufgenommen", "anadido"],
    &["test", "tested", "measure", "measured", "gemessen", "getestet", "medido", "probado"],
    &["compare", "match", "check", "verglichen", "comparado"],
    &["unblock", "activate", "reactivate", "enable", "aktiviert", "reaktiviert", "entsperrt", "activado", "active", "activada", "activated", "reactivated", "enabled", "unblocked", "unlock", "unlocked"],
    &["turn", "swap", "reverse", "rotate", "gedreht", "vertauscht", "girado", "invertido", "turned", "swapped", "reversed", "rotated", "flip", "flipped", "round", "around", "umgedreht", "herum", "invertida", "girada"],
];

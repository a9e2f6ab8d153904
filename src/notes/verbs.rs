//! Words for the same work, in English, German and Spanish, folded. Any desk's notes use one where
//! the article uses another; words for things belong into the desk's own `words.toml`.
//!
//! From memory and common usage, no source. A word may stand in several groups.

/// Each line: words for one sort of work.
#[rustfmt::skip]
pub(super) const SAME_WORK: &[&[&str]] = &[
    &["restart", "reboot", "rebooted", "cycle", "cycled", "reset", "neustart", "neugestartet", "gestartet", "reiniciar", "reiniciado", "reinicie", "reinicio"],
    &["replace", "exchange", "renew", "swap", "swapped", "change", "substitute", "new", "spare", "another", "other", "different", "second",
        "getauscht", "tauschen", "ausgetauscht", "gewechselt", "erneuert", "ersetzt", "neu", "neue", "neuer", "neues", "neuen", "anderes", "andere", "anderer", "anderen", "zweites", "zweite",
        "cambiado", "cambiada", "cambiamos", "cambie", "cambiar", "sustituido", "sustituida", "nuevo", "nueva", "otro", "otra"],
    &["tighten", "tightened", "torque", "torqued", "retighten", "nip", "nachgezogen", "angezogen", "festgezogen", "apretado", "apretar", "apretamos", "apretados"],
    &["clean", "wipe", "brush", "rinse", "wash", "gereinigt", "gewischt", "abgewischt", "geputzt", "limpiado", "limpiar", "limpie", "limpiamos"],
    &["dry", "dried", "getrocknet", "trocken", "secado", "secar", "seco"],
    &["seal", "reseal", "sealed", "caulk", "abgedichtet", "sellado", "sellar"],
    &["update", "upgrade", "flash", "load", "install", "firmware", "aufgespielt", "eingespielt", "aktualisiert", "actualizado", "actualizar", "instalado"],
    &["reseat", "replug", "push", "press", "shove", "firm", "eingesteckt", "gesteckt", "nachgesteckt", "gedruckt", "reingedruckt", "nachgedruckt", "empujado", "empujo", "enchufado"],
    &["set", "enter", "type", "retype", "correct", "adjust", "configure", "mend", "amend", "edit", "eingestellt", "eingegeben", "eingetragen", "korrigiert", "gesetzt", "geandert", "puesto", "corregido", "corregida", "ajustado", "metido", "metimos"],
    &["lower", "reduce", "decrease", "down", "less", "shorten", "reduziert", "runter", "gesenkt", "verkurzt", "bajado", "bajamos", "baje", "reducido"],
    &["raise", "increase", "enlarge", "widen", "up", "higher", "bigger", "larger", "longer", "more", "erhoht", "hoch", "hoher", "vergrossert", "subido", "aumentado", "ampliado"],
    &["remove", "unplug", "disconnect", "detach", "delete", "erase", "empty", "wipe", "clear", "entfernt", "abgezogen", "rausgenommen", "genommen", "geloscht", "geleert", "quitado", "borrado", "vaciado", "retirado"],
    &["allow", "open", "permit", "let", "admit", "unblock", "release", "whitelist", "pass", "freigegeben", "geoffnet", "erlaubt", "freigeschaltet", "abierto", "permitido", "desbloqueado", "dejado"],
    &["wait", "patience", "sit", "gewartet", "abgewartet", "warten", "esperado", "esperamos", "esperar"],
    &["move", "relocate", "shift", "mount", "hang", "versetzt", "umgesetzt", "montiert", "aufgehangt", "movido", "mover", "colgado"],
    &["reterminate", "crimp", "recrimp", "redo", "redone", "rewire", "connect", "reconnect", "land", "angeklemmt", "verdrahtet", "angeschlossen", "conectado", "recableado"],
    &["send", "push", "sync", "transmit", "geschickt", "gesendet", "ubertragen", "enviado", "mandado", "envie"],
    &["switch", "turn", "flip", "eingeschaltet", "ausgeschaltet", "geschaltet", "umgelegt", "encendido", "apagado"],
    &["repair", "fix", "mend", "good", "repariert", "instandgesetzt", "reparado", "arreglado"],
    &["warm", "thaw", "heat", "defrost", "angewarmt", "aufgetaut", "calentado", "descongelado"],
    &["renew", "extend", "prolong", "verlangert", "renovado", "prolongado"],
    &["straighten", "align", "upright", "level", "ausgerichtet", "gerade", "enderezado", "nivelado"],
    &["compare", "match", "check", "verglichen", "comparado"],
    &["unblock", "activate", "reactivate", "enable", "aktiviert", "reaktiviert", "entsperrt", "activado", "active", "activada"],
    &["turn", "swap", "reverse", "rotate", "gedreht", "vertauscht", "girado", "invertido"],
];

//! What agents write of how a fix went, in English, German and Spanish: words and phrases, folded
//! (lower case, no accents, "isn't" as "isnt").
//!
//! From memory and common usage, no source. The longest phrase wins, so a phrase that turns the
//! meaning of its parts ("no longer", "ok at first") is written out. A denial before a word of success is
//! seen by [`super::tokens`]; which words of a desk's own mean the same is learned.

/// The symptom is gone.
#[rustfmt::skip]
pub(super) const RESOLVED: &[&str] = &[
    // English
    "ok", "okay", "oki", "fine", "fixed", "solved", "slvd", "sorted", "resolved", "cured", "healed", "repaired",
    "works", "work again", "works again", "works now", "working", "working again", "working now", "worked", "wkg", "wrks",
    "up again", "back up", "up and running", "running again", "runs again", "running", "runs now", "back online",
    "online again", "online now", "is online", "came online", "came back online", "back on line", "back in service", "in service again",
    "back to normal", "normal again", "back to life", "alive again", "back again now", "all good", "good now", "good again", "all well", "all right", "alright",
    "all clear", "clear now", "did it", "it did", "this did", "did the job", "did the trick", "that helped", "it helped", "helped", "helps",
    "that was it", "was it", "was the cause", "was the culprit", "was the reason", "was the problem", "was the fault", "were the cause",
    "was to blame", "were to blame", "was the answer", "was the solution", "made it work", "made it go", "made the difference", "got it going", "got it back", "got it working",
    "brought it back", "brought it up", "brought it to life", "put it right", "set it right", "does the trick", "does it",
    "cleared", "clears it", "clears", "cleared it", "cleared the fault", "cleared the error", "gone", "went away", "has gone", "disappeared", "vanished",
    "no longer", "no more", "any more", "anymore", "never again", "not come back", "not came back", "has not come back", "hasnt come back", "did not come back", "didnt come back",
    "not returned", "has not returned", "hasnt returned", "not since", "never since", "none since", "no recurrence", "no return", "not happened again", "not happened since",
    "no trips since", "no trip since", "no drops since", "no dropouts since", "no faults since", "no fault since", "no errors since", "no error since", "no alarm since", "no alarms since", "not tripped since", "no further trips", "no further faults", "no further drops", "no further problems", "no further trouble",
    "no fault now", "no error now", "no faults now", "no errors now", "no problem now", "no problems", "no issues", "no trouble", "without trouble", "error free", "fault free",
    "success", "successful", "successfully", "with success", "happy", "happy now", "satisfied", "pleased", "delighted", "thanked", "content", "customer conf", "cust conf", "confirmed working", "confirmed ok", "confirms ok",
    "holding", "holds", "held", "has held", "stable", "steady", "stays up", "stayed up", "stays on", "stayed on", "stays in", "stayed in",
    "charges again", "charging again", "charges now", "charging now", "now charging", "now charges", "charges fine", "started charging", "starts charging", "charge started", "charging started", "connects again", "connected again", "reads again", "counting again", "counts again", "trips no more",
    "green again", "green now", "now green", "went green", "turned green", "blue again", "restored", "recovered", "came back up", "came up", "came back to life", "back alive", "is back", "all back", "back now",
    "test ok", "tested ok", "tested good", "tests ok", "test passed", "passed", "passes", "pass", "measures good", "reads right", "reading right", "reads correctly", "values right", "values correct", "as it should", "as should be", "as it should be", "as new", "like new", "like a charm",
    "at last", "finally", "eureka", "bingo", "hurray", "hooray", "voila", "tick", "done and dusted", "case closed", "job done", "problem over", "thats better", "much better", "better now",
    "runs", "ran", "ran through", "runs fine", "runs since", "runs ever since", "goes", "goes now", "goes again", "went through", "goes through", "answers", "answers again", "answered", "responds", "responds again", "accepted", "is accepted", "takes it", "took it", "joined", "finished", "completed", "lights up", "alive", "is alive", "sorted it", "made good", "for good", "in order", "in order now", "good as new", "like a rock", "quiet since", "quiet now", "silent since", "never looked back",
    "solution", "the solution", "remedy", "solved by", "solved with", "fixed by", "fixed with", "cured by", "resolved by", "cleared by", "cleared with", "what helped", "what fixed it", "what did it", "what solved it", "what worked", "root cause", "true cause", "real cause", "cause found", "cause was", "reason was", "culprit", "culprit was", "turned out to be", "it turned out", "turned out",
    "only then", "only that", "only this", "only after",
    // German
    "laeuft", "lauft", "laeuft wieder", "lauft wieder", "lauft jetzt", "laeuft jetzt", "geht wieder", "geht jetzt", "jetzt geht", "geht nun", "geht", "ging wieder", "ging dann", "dann ging", "ging es", "ging alles", "ging sofort", "erledigt", "behoben", "gelost", "geloest", "in ordnung", "i o", "i o jetzt", "io", "funktioniert", "funktionierte", "funzt", "klappt", "klappte", "klappt jetzt", "hat geklappt",
    "wieder online", "wieder da jetzt", "wieder gut", "ging sofort", "ging dann", "geht seitdem", "lauft seitdem", "seitdem gut", "seitdem ruhig", "seit", "lauft durch", "durchgelaufen", "neues gerat lauft", "gut", "wieder grun", "offen", "ladt wieder", "laedt wieder", "ladt jetzt", "laedt jetzt", "ladt", "laedt", "startet wieder", "halt", "haelt", "halt jetzt", "haelt jetzt", "stabil", "war es", "wars", "das war es", "das wars", "daran lag", "daran lags", "lag daran", "lag am", "lag an", "hat geholfen", "geholfen", "hilft", "brachte es", "brachte erfolg", "mit erfolg", "erfolgreich", "erfolg",
    "weg", "ist weg", "verschwunden", "passt", "passt jetzt", "alles gut", "alles klar", "alles ok", "zufrieden", "kunde froh", "froh", "repariert", "wieder normal", "kein fehler mehr", "keine fehler mehr", "keine fehler", "kein fehler", "nicht mehr", "keine storung mehr", "seitdem ruhe", "ruhe", "seither gut", "nie wieder", "endlich", "losung", "loesung", "losung war", "ursache war", "ursache gefunden", "schuld war", "war schuld", "war die ursache", "war der grund", "freigeschaltet", "erst dann", "dadurch",
    // Spanish
    "ya funciona", "funciona", "funciono", "ya va", "va bien", "ya va bien", "ya esta", "listo", "resuelto", "solucionado", "solucion", "arreglado", "reparado", "ya carga", "carga otra vez", "carga de nuevo", "ya conecta", "ya conectado", "y ya carga", "volvio solo", "volvio", "aparecio", "arranco", "arranca", "vuelve a funcionar", "vuelve a cargar", "volvio a funcionar", "todo bien", "todo correcto", "todo en orden", "correcto", "con exito", "exito", "era eso", "era esto", "eso era", "fue eso", "eso fue", "fue la solucion", "era la causa", "fue la causa", "la causa", "culpable", "de vuelta", "recuperado", "quedo bien", "queda bien", "contento", "contenta", "satisfecho", "ayudo", "sirvio", "por fin", "al fin", "sin errores", "sin fallos", "sin problemas", "ya no", "perfecto", "bien",
    // More of all three, shortened as agents do.
    "connects now", "found now", "found at once", "found straight away", "is found", "shows up", "showed up", "there it is", "there now", "is there now", "is there again", "lit up", "clicks in",
    "comes up", "comes up now", "started up", "starts up", "starts now", "started at once", "snaps shut", "shuts again", "closes again", "closes now", "opens again", "opens now", "let go",
    "came out", "comes out", "out at last", "came free", "free now", "free again", "all green", "green at last", "ok since", "fine since", "since then ok", "ok ever since", "from then on",
    "ever since", "since ok", "no gap", "no gaps", "without a gap", "at once ok", "full power", "full speed", "full current", "reads ok", "reads fine", "reads true", "correct now", "right now again",
    "right again", "holds now", "held since", "stays put", "stays gone", "stayed away", "stays away", "stays ok", "through now", "went straight through", "works a treat", "tested fine", "good since",
    "dry since", "quiet ever since", "ist da", "wieder da", "sofort da", "seitdem keine", "bleibt grun", "bleibt dran", "geht sofort", "zeigt richtig", "stimmt jetzt", "volle leistung",
    "conectado ya", "aparece ya", "ya sale", "ya lee", "ya cierra", "ya abre", "desde entonces bien", "sin mas", "a la primera",
    "what ended it", "ended it", "that ended it", "put an end to it", "put paid to it", "sane", "sane values", "plausible", "plausible now", "plausible values", "booked right",
    "right at once", "even now", "off it goes", "off it went", "away it goes", "away it went", "up at once", "there at once", "in at once", "started straight away", "found straight off",
    "within a min", "within a minute", "within minutes", "within seconds", "in no time", "at the first go", "first go", "first try", "at first try", "nights ok", "days ok", "weeks ok",
    "hours ok", "nights fine", "days fine", "nights good", "no trip for", "no trips for", "no drop for", "no drops for", "no fault for", "no error for", "no errors for", "no gaps for",
    "has been fine", "been fine since", "been ok since", "been good since", "been quiet since", "been steady", "steady since", "steady for", "has been quiet", "all up", "all there",
    "all found", "all online", "both up", "both there", "both found", "both came up", "all came up", "all back up", "reachable", "reachable again", "boots", "booted", "boots now",
    "boots again", "registered", "registers", "registers now", "took that", "shows now", "now shows", "showed up at once", "appears now", "appeared at once", "sees it now",
    "is in the list now", "in the list now", "no more trips", "no more drops", "no more gaps", "no more errors", "trip free", "are back", "were back", "has held for", "held for a week",
    "held all night", "held all day", "fine all day", "fine all night", "ok all night", "ok all day", "charges with", "charged at once", "charges at once", "charging at once",
    "charged fine", "charged overnight", "it was that", "that had been it", "so that was it", "that then was it", "had been the cause", "was behind it", "was all it was",
    "was all it needed", "was all it took", "all it took", "is cured", "was cured", "laden geht", "ladt seitdem", "lauft wieder rund", "meldet sich", "meldet sich wieder",
    "wieder erreichbar", "erreichbar", "sofort gefunden", "gefunden wurde", "carga bien", "carga ya", "ya responde", "responde", "ya aparece", "conecta", "ya arranca",
    "link up", "link is up", "lamp green", "light green", "light is green", "values come", "values come in", "values there", "value there", "values are there", "values back",
    "readings back", "readings are back", "data comes", "data comes in", "sessions come in", "sends again", "sends now", "talks again", "prints again", "opens by itself", "matches now",
    "match now", "now matches", "agrees now", "agree now", "equal now", "equal again", "are equal", "both agree", "now agree", "alarm off", "alarm gone", "fault cleared", "fault gone",
    "error gone", "message gone", "error away", "fault away", "full bars", "four bars", "good signal", "signal good", "signal fine", "strong signal", "sits tight", "sits firm", "tight now",
    "dry now", "quiet after", "quiet after that", "no more since", "not once since", "not a single one since", "nothing since", "none after that", "never after that", "no repeat",
    "not repeated", "not seen since", "not seen again", "not back since", "not been back", "did not return", "didnt return", "has stayed away", "has not returned since",
    "charged to the end", "charged full", "charges to the end", "charged through", "charged all night", "ran all night", "ran overnight", "running since", "running fine", "running ok",
    "on air again", "in step", "in step again", "within limits", "within range", "in range now", "inside the limit", "below the limit now", "user happy", "caller happy", "caller content",
    "caller confirms", "caller confirmed", "customer confirms", "customer confirmed", "customer happy", "site happy", "closed ok", "ticket closed", "works fine", "works ok",
    "works perfectly", "working fine", "working ok", "working since", "working properly", "worked fine", "worked at once", "worked straight away", "worked first time", "worked perfectly",
    "that worked", "this worked", "which worked", "it worked", "that solved it", "this solved it", "which solved it", "that cured it", "this cured it", "which cured it", "that fixed it",
    "this fixed it", "which fixed it", "that cleared it", "which cleared it", "did the business", "turned the corner", "saved the day", "was the one", "that was the one",
    "made all the difference", "made a difference", "and that was that", "there we are", "there you go", "here we go", "off and running", "good to go", "as good as new", "laeuft seither",
    "lauft seither", "seither ok", "seitdem ok", "seitdem stabil", "danach ok", "danach gut", "danach ging", "danach ging es", "danach lief", "damit ging", "damit ging es", "damit lief",
    "damit geht", "damit lauft", "das half", "das hat geholfen", "hat es gebracht", "hat funktioniert", "alles wieder da", "alle wieder da", "alle da", "wieder frei", "meldung weg",
    "fehler weg", "con eso va", "con eso funciona", "con eso ya", "con esto ya", "despues ya", "y funciono", "y ya va", "y ya funciona", "todo vuelve", "volvieron", "ya estan",
];

/// It is as before.
#[rustfmt::skip]
pub(super) const NO_CHANGE: &[&str] = &[
    // English
    "no change", "no changes", "no chg", "no chng", "n/c", "nc", "no alteration", "unchanged", "changed nothing", "didnt change anything", "did not change anything", "didnt change a thing", "nothing changed", "change nothing",
    "no difference", "no diff", "made no difference", "makes no difference", "no effect", "had no effect", "without effect", "w/o effect", "no impact", "no improvement", "no better", "not better", "not any better", "no result", "no results", "without result", "w/o result", "no success", "without success", "w/o success", "no luck", "without luck", "no joy", "no dice", "no use", "of no use", "no help", "no good", "no go", "no avail", "to no avail", "no cure", "no fix", "no benefit", "no gain", "no relief",
    "in vain", "for nothing", "useless", "fruitless", "ineffective", "unsuccessful", "unsuccessfully", "not successful",
    "still", "still the same", "still same", "still faulty", "still not", "still no", "still down", "still dead", "still there", "still trips", "still tripping", "still tripped", "still off", "still offline", "still wrong", "still bad", "same", "the same", "same again", "same fault", "same problem", "same thing", "same story", "same as before", "same result", "same error", "same old", "as before", "exactly as before", "again the same", "again same", "like before",
    "did not help", "didnt help", "does not help", "doesnt help", "not helped", "hasnt helped", "has not helped", "wouldnt help", "did not do it", "didnt do it", "did not do the trick", "didnt do the trick", "did not", "didnt", "did nothing", "does nothing", "nothing", "nothing happened", "nothing happens", "not a thing", "zilch", "nada",
    "did not work", "didnt work", "does not work", "doesnt work", "not working", "wont work", "isnt working", "wasnt working", "not work", "not worked", "hasnt worked", "hasnt fixed", "didnt fix", "did not fix", "not fixed", "didnt solve", "did not solve", "not solved", "not cured", "not gone", "not ok", "not okay", "not resolved", "not cleared", "didnt clear", "did not clear", "wont clear", "will not clear", "didnt last", "did not last", "not for long", "not it", "wasnt it", "was not it", "not that", "wasnt that", "was not that", "not the cause", "not the reason", "not the problem", "not the culprit", "wasnt the cause", "was not the cause", "neither",
    "failed", "failed again", "fails", "fails again", "fail", "failing", "failure again", "persists", "persisted", "prob persists", "problem persists", "fault persists", "remains", "remained", "fault remains", "stays the same", "stayed the same", "stayed dead", "stayed off", "stayed dark", "stayed red", "stays red", "remains red", "remained red", "keeps tripping", "kept tripping", "keeps dropping", "keeps failing", "kept failing", "keeps coming back", "kept coming back", "continues", "continued", "goes on",
    "came back", "came straight back", "came right back", "came back again", "came back after", "came back next day", "comes back", "was back", "back again", "is back again", "fault back", "fault is back", "returned", "recurred", "reappeared", "happened again", "happens again", "tripped again", "tripped straight away", "tripped at once", "trips again", "trips at once", "dropped again", "drops again", "went off again", "lost again", "red again", "dark again", "off again", "offline again", "stopped again", "stops again", "relapse", "only briefly", "briefly", "only for a while", "for a while only", "only for a moment", "only for a day", "only for an hour", "for a moment only", "worked for a day", "worked for an hour", "worked only", "worked briefly", "ok for a day", "ok at first", "fine at first", "worked at first", "worked once", "lasted", "lasted only", "held only", "held for", "held until", "ok until", "fine until", "worked until",
    "no", "nope", "nah", "negative", "neg", "not", "nil", "none", "none the wiser", "ruled out", "excluded", "no cigar", "worse", "even worse", "made it worse", "if anything worse", "disappointed", "unhappy", "not happy", "no reaction", "no response", "no sign of life", "dead as before", "not a dicky bird", "no solution", "unsolved", "unfixed", "unresolved",
    "ditto", "dito", "idem", "as ever", "as it was", "as they were", "just the same", "exactly the same", "every time", "each time", "out again", "down again", "dead again", "gone again", "wrong again", "stuck again", "and again", "then again", "no answer", "no reply", "not at all", "to no use", "pointless", "did nothing for it", "alone did nothing", "made nothing better", "unmoved", "unimpressed", "fell back", "falls back", "popped off", "popped out", "dropped out", "drops out",
    "at first", "initially", "at first not",
    // German
    "keine anderung", "keine aenderung", "keine veranderung", "keine veraenderung", "nichts geandert", "nichts geaendert", "andert nichts", "aendert nichts", "unverandert", "unveraendert", "ging nicht", "ging trotzdem nicht", "geht trotzdem nicht", "geht nicht", "geht immer noch nicht", "geht weiterhin nicht", "ging auch nicht", "lief nicht", "lauft nicht", "laeuft nicht", "funktioniert nicht", "funktionierte nicht", "klappt nicht", "klappte nicht", "gleich", "das gleiche", "gleiches", "gleicher fehler", "dasselbe", "selber fehler", "selbes", "wie vorher", "wie zuvor", "wie gehabt", "immer noch", "noch immer", "weiterhin", "nach wie vor", "hilft nicht", "half nicht", "half nichts", "hilft nichts", "nicht geholfen", "nichts geholfen", "nichts gebracht", "hat nichts gebracht", "brachte nichts", "bringt nichts", "nichts", "nix", "leider nichts", "leider nicht", "leider", "nein", "nicht", "ohne erfolg", "o e", "erfolglos", "kein erfolg", "keine besserung", "nicht besser", "keine wirkung", "ohne wirkung", "wirkungslos", "umsonst", "vergeblich", "vergebens", "kommt wieder", "kam wieder", "fliegt wieder", "fehler bleibt", "bleibt", "blieb", "bleibt rot", "bleibt dunkel", "besteht weiter", "tritt wieder auf", "trotzdem", "war es nicht", "wars nicht", "daran lag es nicht", "lag nicht daran", "nicht gelost", "nicht behoben", "schlimmer", "nur kurz", "zuerst", "wieder ausgefallen", "erneut", "erneut ausgefallen",
    // Spanish
    "sigue igual", "sigue", "sigue fallando", "sigue sin", "sigue sin cargar", "sigue mal", "igual", "igual que antes", "todo igual", "da igual", "como antes", "lo mismo", "mismo fallo", "mismo error", "sin cambio", "sin cambios", "ningun cambio", "no cambia", "no cambia nada", "no cambio nada", "no cambio", "sin exito", "sin efecto", "sin resultado", "sin suerte", "no funciona", "no funciono", "no ayuda", "no ayudo", "no ayuda nada", "no sirve", "no sirvio", "no sirvio de nada", "de nada", "no era eso", "no era", "no fue eso", "tampoco", "nada", "nada de nada", "rechazada", "rechazada igual", "sigue caido", "sigue rojo", "persiste", "continua", "vuelve a fallar", "volvio a fallar", "otra vez mal", "no mejora", "no mejoro", "sin mejora", "en vano", "ni asi", "ni por esas", "peor", "al principio",
    // More of all three, shortened as agents do.
    "even so", "all the same", "as red as ever", "as dead as ever", "same as ever", "no odds", "made no odds", "makes no odds", "no different", "any different", "never did a thing",
    "had done nothing", "has done nothing", "had been no use", "been no use", "had not helped", "hadnt helped", "had changed nothing", "had made no difference", "not a bit", "no reaction either",
    "as dead as before", "goes back", "goes back each time", "still nothing", "no sign", "not found", "not there yet", "sticks again", "hangs again", "hung again", "tripped all the same",
    "trips all the same", "out like before", "not even then", "not even that", "gone after", "dead as ever", "as slow as ever", "no quicker", "no faster", "no stronger", "made nothing of it",
    "didnt move", "did not move", "doesnt move", "no budge", "didnt budge", "doesnt budge", "wouldnt budge", "still comes", "error still comes", "comes still", "keeps on", "keeps doing it",
    "does it again", "did it again", "hatte nichts gebracht", "hatte nichts geholfen", "vorher nichts gebracht", "brachte keine", "half auch nicht", "bringt auch nichts", "ging immer noch nicht",
    "steht immer noch", "hangt wieder", "fallt wieder", "fallt weiter", "no hizo nada", "no hace nada", "nada cambio", "sigue parado", "sigue saltando", "salta igual", "salta otra vez", "ni caso",
    "ok for a", "ok for an", "fine for a", "fine for an", "worked for a", "worked for an", "good for a", "good for an", "ging nur kurz", "bien solo un rato",
    "had done nothing for it", "hadnt done it", "had not done it", "hadnt done anything", "had not done anything", "hadnt worked", "had not worked", "hadnt cured", "had not cured",
    "hadnt changed anything", "hadnt", "had not", "no use of course", "been useless", "been for nothing", "never did anything", "never helped", "never worked", "did not do a thing",
    "didnt do a thing", "didnt do anything", "did not do anything", "just as before", "not a flicker", "not a spark", "not a sound", "not a click", "not a peep", "not an inch",
    "did not budge", "would not budge", "wont budge", "tripped anyway", "trips anyway", "dropped anyway", "drops anyway", "failed anyway", "stopped anyway", "dropped all the same",
    "dead all the same", "straight off again", "went straight off", "straight out again", "straight off", "tripped straight off", "fell off again", "no sign of it", "nowhere to be seen",
    "no show", "did not show", "didnt show", "still none", "none the better", "alone had not", "alone hadnt", "alone did not", "alone didnt", "on its own did nothing",
    "on their own did nothing", "kept on", "carries on", "carried on", "so not it", "so not that", "so that wasnt it", "so that was not it", "hatte vorher nichts gebracht",
    "hatte nicht geholfen", "hatte nichts geandert", "vorher nichts", "no habia servido", "no habia ayudado", "no arreglo nada", "did not cure it", "didnt cure it", "was of no use",
    "were of no use", "was for nothing", "got nowhere", "got us nowhere", "led nowhere", "no better for it", "not the answer", "wasnt the answer", "did not bring anything",
    "brought nothing", "gave nothing", "gained nothing", "no further", "did not bite", "no reaction to it", "no response to it",
    "then gone", "then dead", "then stopped", "then red", "then red again", "then dropped", "then tripped", "then nothing", "only till", "only until", "till the next day",
    "until the next day", "until next morning", "till next morning", "next day again", "next morning again", "next day back", "the day after again", "an hour later again", "was back by",
    "back by evening", "back within", "back in an hour", "returned next day", "returned the next day", "lasted a day", "lasted an hour", "lasted a week", "lasted until", "lasted till",
    "held till", "ok till", "fine till", "worked till", "good until", "good till", "better for a day", "better for a while", "better at first", "seemed better", "seemed ok", "seemed fine",
    "seemed to help", "looked good at first", "looked better", "looked like it", "as red as before", "red as ever", "bad as before", "as bad as before", "as bad as ever", "same as it was",
    "same symptom", "same picture", "same reading", "same value", "same values", "same message", "same code", "same noise", "same gaps", "same drops", "no movement", "no sign of",
    "no joy either", "no luck either", "no better either", "no change either", "nothing either", "not either", "nor did", "neither did", "neither was", "neither had", "did not either",
    "didnt either", "not that either", "nothing doing", "not the trick", "no miracle", "no cure either", "not solved by it", "not fixed by it", "did not stop it", "didnt stop it",
    "does not stop it", "did not stop the", "didnt stop the", "could still", "can still", "still does", "still did", "still has", "still had", "still shows", "still showing", "still says",
    "still red", "still dark", "still amber", "still slow", "still wrong after", "still refused", "still rejected", "still stuck", "still locked", "still wet", "still loose", "still low",
    "still zero", "still negative", "still missing", "still unknown", "still hangs", "still hung", "still flaps", "still drops", "still gaps", "still offline after", "still nothing after",
    "keine besserung damit", "auch nicht", "auch nichts", "auch ohne erfolg", "brachte auch nichts", "ebenfalls nichts", "ebenso wenig", "genauso", "wie eh und je", "weiter wie vorher",
    "tampoco sirvio", "tampoco ayudo", "tampoco funciono", "sigue apareciendo", "sigue saliendo", "sigue rojo igual", "igual de mal", "volvio a saltar", "vuelve a saltar", "volvio a caer",
    "se cae igual",
    "as bad", "just as bad", "no data", "zero data", "zero effect", "zero change", "fewer but still", "less but still", "rarer but still", "no room either",
];

/// It could not be done.
#[rustfmt::skip]
pub(super) const NOT_POSSIBLE: &[&str] = &[
    // English
    "not possible", "not poss", "n/p", "np", "impossible", "was not possible", "wasnt possible", "could not", "couldnt", "could not be", "couldnt be", "could not be done", "couldnt be done", "cannot be done", "cant be done", "can not", "cannot", "cant", "unable", "unable to", "not able", "not able to", "wasnt able", "no way to", "no chance to",
    "no access", "without access", "n/a", "not available", "not avail", "unavailable", "not on site", "nobody on site", "nobody there", "no one there", "noone there", "nobody there could", "nobody could", "no one could", "nobody had", "no one had", "nobody home", "no spare", "no spares", "no spare part", "no part", "no parts", "parts missing", "part missing", "part not there", "out of stock", "none in stock", "not in stock", "not at hand", "none at hand", "no second one", "no second one at hand", "no second car", "no other car", "no other lead", "no other cable", "no tool", "no tools", "no key", "no keys", "no ladder", "no password", "no login", "no permission", "no laptop", "no meter", "lacked", "lacking",
    "times out", "timed out", "greyed out", "grayed out", "no space", "too short", "too far", "too big", "too small", "no way", "no way in", "forbids", "forbidden by", "will not have it", "wont have it", "wont let", "would not let", "refused flat", "havent dared", "have not dared", "didnt dare", "did not dare", "not dared", "did not have", "didnt have", "hasnt got", "has not got", "not there", "not to be had", "unreachable", "cannot be reached", "could not get", "couldnt get", "could not reach", "couldnt reach",
    "refused", "refuses", "declined", "did not want", "didnt want", "does not want", "doesnt want", "would not", "wouldnt", "not allowed", "not permitted", "may not", "forbidden", "locked out", "door locked", "room locked", "cupboard locked", "not done", "not yet done", "wasnt done", "was not done", "not carried out", "skipped", "skip", "left out", "omitted", "not tried", "not attempted", "not yet tried", "not tested", "didnt try", "did not try", "did not get to", "didnt get to", "never got to", "no time", "no time for", "not today", "not poss today", "postponed", "put off", "deferred", "abandoned", "aborted", "given up", "gave up on", "wanted to", "wanted to have", "would have", "meant to", "too dangerous", "not safe", "unsafe", "too high", "too dark", "not reachable", "out of reach", "would not come off", "wouldnt come off", "seized",
    // German
    "nicht moglich", "nicht moeglich", "war nicht moglich", "unmoglich", "unmoeglich", "kein zugang", "ohne zugang", "kein zutritt", "kein ersatz", "kein ersatzteil", "teil fehlt", "keins da", "keiner da", "niemand da", "niemand vor ort", "nicht vor ort", "nicht vorhanden", "nicht verfugbar", "nicht da", "nicht gemacht", "nicht durchgefuhrt", "nicht versucht", "nicht geschafft", "konnte nicht", "konnten nicht", "konnte man nicht", "kann nicht", "geht nicht wegen", "nicht erreichbar war", "kam nicht ran", "kamen nicht ran", "nicht rangekommen", "war nicht da", "gab es nicht", "gabs nicht", "hatten keine", "hatte keinen", "hatte keine", "durfen nicht", "durfte nicht", "darf nicht", "keine zeit", "kein schlussel", "kein werkzeug", "kein passwort", "abgelehnt", "verweigert", "will nicht", "wollte nicht", "abgebrochen", "verschoben", "ubersprungen", "entfallt", "entfiel", "abgeschlossen war", "verschlossen",
    // Spanish
    "no fue posible", "no es posible", "no posible", "imposible", "no se pudo", "no se pudo hacer", "no la habia", "no lo habia", "no habia en", "no se puede", "no pudo", "no pudimos", "no pude", "no puede", "sin acceso", "no habia", "no hay", "no hay repuesto", "sin repuesto", "no disponible", "no tenia", "no tiene", "sin llave", "sin herramienta", "no estaba", "nadie alli", "no dejaron", "no quiso", "no quiere", "sin tiempo", "no hubo tiempo", "no se hizo", "no hecho", "aplazado", "pendiente",
    // More of all three, shortened as agents do.
    "could not do it", "couldnt do it", "could not do", "couldnt do that", "cant be", "cant do", "cant do it", "cannot be", "cannot do", "can not be", "couldnt give", "could not give",
    "couldnt start", "could not start", "no lift", "none left", "not with him", "not with us", "stock empty", "stock is empty", "landlord has", "under seal", "sealed by", "wont go through",
    "would not go through", "doesnt go through", "unknown", "nobody knows", "no one knows", "no one has", "password unknown", "pw unknown", "not known", "away til", "away till", "away until",
    "on holiday", "on leave", "on another job", "not an option", "no option", "insists", "wrong size", "wrong part sent", "part wrong", "doesnt fit", "does not fit", "didnt fit", "did not fit",
    "cant be fitted", "cannot be fitted", "cant get at", "cannot get at", "could not get at", "couldnt get at", "cant get to", "cannot get to", "cant reach", "cannot reach", "no room", "no free way",
    "no slot", "no window", "no window to", "no permit", "no licence", "not licensed", "spins", "spin", "sheared", "rusted solid", "stripped", "stuck fast", "ging nicht weil", "war zu",
    "hat den schlussel", "passt nicht", "passte nicht", "falsches teil", "nicht dabei", "nicht im auto", "nicht lieferbar", "kennt keiner", "unbekannt", "steht nicht zur verfugung", "no cabe",
    "no llega", "no hay sitio", "no habia llave", "pieza equivocada", "no encaja", "no la lleva", "no lo lleva", "desconocida", "desconocido",
    "landlord says no", "landlord said no", "owner says no", "owner said no", "customer says no", "customer said no", "it says no", "boss says no", "says no", "said no", "on back order",
    "back order", "backordered", "may not open", "may not be opened", "is sealed", "are sealed", "was sealed", "sealed off", "behind the seal", "behind a seal", "has a seal on",
    "under lock", "cant turn", "cant move", "cant open", "cant set", "cant enter", "cannot turn", "cannot move", "cannot open", "cannot set", "cannot enter", "could not be set",
    "could not be put", "could not be moved", "could not be opened", "could not be entered", "could not be started", "could not be fitted", "could not be changed", "couldnt be set",
    "couldnt be moved", "couldnt be opened", "couldnt be fitted", "is missing in", "missing in this", "isnt possible", "is not possible", "arent possible", "are not possible",
    "they have none", "have none", "has none", "there is none", "there was none", "has no key", "he has no key", "hasnt a key", "nobody with a key", "no electrician", "no electrician there",
    "no electrician here", "electrician not there", "elec not there", "sparky not there", "no sparky", "no fitter", "isnt allowed", "is not allowed", "arent allowed", "not allowed at",
    "not allowed to", "wont take", "will not take", "never arrived", "not there yet", "not here yet", "not arrived yet", "not arrived", "not delivered", "not delivered yet",
    "ordered but not there", "is ordered but", "would have to dig", "not in the van", "not on the van", "not in van", "not in his van", "none in the van", "none on the van", "refuses to",
    "refuses to let", "refused to let", "does not want them", "does not want it", "dont want it", "do not want it", "wont hear of it", "they wont", "he wont", "she wont", "customer wont",
    "landlord wont", "owner wont", "not this week", "nobody to do it", "no one to do it", "who may do it", "nobody who may", "must not be opened", "no longer made", "no longer sold",
    "no longer supported", "discontinued", "not supported", "does not support", "doesnt support", "not fitted here", "has no such", "has not got one", "hasnt got one", "havent got one",
    "have not got one", "did not have one", "didnt have one", "does not exist", "doesnt exist", "out of reach for", "nobody may", "no one may", "mussten wir bestellen", "ist bestellt",
    "kein elektriker", "elektriker nicht da", "verplombt", "plombiert", "keine leiter", "keine berechtigung", "ohne berechtigung", "precintado", "sin escalera", "sin permiso",
    "no autorizado", "agotado", "no queda", "no quedan",
    "customer away", "owner away", "caretaker away", "nobody answered", "needs two people", "needs two men", "needs a second man", "needs a ladder", "needs a lift", "needs a key",
    "needs the key", "needs a permit", "needs an electrician", "need an electrician", "needs isolating first", "cant isolate", "cannot isolate", "couldnt isolate", "could not isolate",
    "no isolation", "too windy", "too wet", "too late", "raining too hard", "ran out of time", "no more time", "had to leave", "had to go", "too dear", "too expensive", "wont pay",
    "will not pay", "would not pay", "refused to pay", "no budget", "no approval", "approval pending", "not approved", "not authorised", "not authorized", "no rights", "no admin rights",
    "missing rights", "menu locked", "menu is locked", "field locked", "field is locked", "field is grey", "is greyed out", "option missing", "not in the menu", "no such menu",
    "no such setting", "no such option", "setting not there", "setting is missing", "password lost", "password is lost", "lost the password", "forgot the password", "account locked",
    "is locked", "are locked", "room shut", "cellar locked", "gate locked", "cabinet locked", "board locked", "cover locked", "key with", "key is with", "keys are with", "has the key",
    "have the key", "has the keys", "key missing", "key is missing", "key broke", "tool broken", "tool missing", "wrong tool", "no torque wrench", "no meter with him", "no tester",
    "no spare with him", "spare missing", "no stock", "no replacement", "no replacement part", "no replacement there", "part on order", "parts on order", "part not in", "part not here",
    "part has not come", "part did not come", "wrong part", "wrong thread", "wrong type sent", "did not match", "bolt sheared", "screw stripped", "screw sheared", "rusted in",
    "rusted tight", "frozen in", "frozen solid", "painted shut", "behind a wall", "behind the wall", "no space for it", "no room for it", "shop closed", "office closed", "office shut",
    "site closed", "closed for", "not until", "only after the", "first next week", "could not find", "couldnt find", "cannot find", "cant find", "not to be found", "did not know how",
    "doesnt know how", "does not know how", "did not know where", "not willing", "unwilling", "not keen", "afraid to", "scared to", "does not dare", "doesnt dare", "would rather not",
    "forbade", "forbids it", "was refused by", "vetoed", "kunde will nicht", "kunde weg", "niemand erreichbar", "nicht erreicht", "kein termin", "zu teuer", "keine freigabe", "kein recht",
    "keine rechte", "nicht zugelassen", "nicht erlaubt", "nicht lieferbar bis", "teil bestellt", "fehlt noch", "fehlt der schlussel", "cliente no quiere", "no contesto", "demasiado caro",
    "sin autorizacion", "sin presupuesto", "falta la llave", "falta la pieza", "no llego la pieza", "sin pieza", "no hay pieza",
    "is up to the", "up to the owner", "up to the landlord", "up to the customer", "stays closed says", "stays shut says", "is not there yet", "but there is no", "but there are no", "would be a days work", "and has no", "and no key", "only the landlord", "only the owner", "only the utility", "only the network operator", "nur der vermieter", "solo el dueno",
];

/// It was not done here and now: planned, advised, supposed, or long ago.
#[rustfmt::skip]
pub(super) const SPOKEN_OF: &[&str] = &[
    // English
    "not touched", "untouched", "didnt touch", "did not touch", "left alone", "left as is", "left as it was", "left it", "left that", "not opened", "not pushed", "not changed", "not swapped", "not replaced", "not restarted", "not moved", "not needed any more", "did not bother", "didnt bother", "did not even try", "didnt even try", "no test made", "not tested yet", "still to be", "yet to be", "has yet to", "to be fitted", "to be replaced", "to be changed", "to be checked", "would be the way", "would have to be", "would need", "might need", "job for", "a job for", "on the point of", "about to", "was about to", "were about to", "considered", "thinking of", "thinks about", "will think", "is thinking", "wants to think", "considers", "toying with", "requested", "quote out", "quote requested", "asks if", "asked if", "asks about", "wanted to know", "wants to know", "was open already", "were open already", "already open", "was right already", "were right already", "already right", "was fine already", "is right", "was right", "were right", "nothing to change", "next door",
    "if", "unless", "in case", "should it", "should this", "next", "next time", "next step", "next visit", "next week", "later", "tomorrow", "planned", "plan to", "plan is", "plans to", "going to", "will", "will be", "to be", "to do", "would", "should", "shall", "may", "might", "maybe", "perhaps", "possibly", "probably", "consider", "considering", "suggest", "suggested", "suggests", "recommend", "recommended", "recommends", "recommending", "propose", "proposed", "offered", "offer", "quote", "quoted", "ordered", "order", "on order", "needs", "needed", "need", "needs to be", "must be", "has to be", "have to", "awaiting", "waiting for", "wait for", "booked", "scheduled", "pending", "outstanding", "unsure", "suspect", "suspects", "suspected", "guess", "thinks", "thought", "believes", "wonders", "wondered", "asked whether", "asks whether", "wants", "last year", "last month", "last week", "years ago", "months ago", "weeks ago", "last time", "previously", "in the past", "formerly", "back then", "already last", "otherwise", "instead of", "rather than", "no need", "no need to", "not needed", "not necessary", "unnecessary", "without needing", "before trying", "before we could", "has nothing to do", "nothing to do with", "nothing wrong with",
    // Handed to somebody else: nothing of the fix.
    "passed on", "passed to", "passed it on", "handed on", "handed over", "handed to", "forwarded", "fwd to", "fwded", "escalated", "referred to", "sent to second line", "send somebody", "somebody must go", "visit needed", "visit req", "left to the electrician", "left for the electrician", "for the electrician",
    // German
    "falls", "wenn", "sonst", "ansonsten", "nachstes mal", "naechstes mal", "beim nachsten mal", "nachster schritt", "nachste woche", "spater", "morgen", "geplant", "wird", "werden", "soll", "sollte", "sollen", "wollte", "will", "muss", "musste", "empfohlen", "empfehle", "vorschlag", "vorgeschlagen", "bestellt", "angebot", "termin", "vielleicht", "evtl", "eventuell", "vermutlich", "vermutet", "verdacht", "letztes jahr", "letzten monat", "letzte woche", "fruher", "damals", "nicht notig", "nicht noetig", "nicht mehr notig", "war angedacht", "angedacht", "hat sich erledigt", "damit erledigt", "erledigt sich", "nicht angefasst", "nicht angeruhrt", "unberuhrt", "gelassen", "so gelassen", "noch offen", "steht aus", "steht noch aus", "soll das", "angefragt", "statt", "anstatt", "ware", "waere",
    // Spanish
    "si vuelve", "si no", "si falla", "proxima vez", "la proxima", "proximo paso", "manana", "planeado", "previsto", "sera", "habra que", "hay que", "habria que", "deberia", "debe", "recomiendo", "recomendado", "sugiero", "sugerido", "pedido", "presupuesto", "quiza", "quizas", "tal vez", "sospecho", "el ano pasado", "el mes pasado", "la semana pasada", "antes ya", "no hace falta", "no hizo falta", "ya no hizo falta", "no hara falta", "queda por", "queda mirar", "falta por", "por hacer", "lo dejamos", "lo deje", "en vez de", "en lugar de",
    // More of all three, shortened as agents do.
    "none needed", "none ordered", "not part of", "didnt have to", "did not have to", "does not have to", "doesnt have to", "dont have to", "need not", "neednt", "no reason to", "must not", "mustnt",
    "not to be", "should not", "shouldnt", "must be sent", "must be ordered", "under way", "on its way", "on the way", "follows later", "to call back", "call back", "customer to decide",
    "boss to decide", "will think about it", "reorder", "reordered", "cancelled", "called off", "ought to", "ought to have", "ought to be", "might have to", "may have to", "would be",
    "would be next", "would be better", "maybe later", "some day", "one day", "prob", "was talked about", "talked about", "under discussion", "wants a quote", "quote first", "nothing to explain",
    "nothing to do", "no case for", "not at fault", "isnt at fault", "is fine itself", "itself is fine", "itself ok", "itself fine", "muss nicht", "mussen nicht", "musste nicht", "nicht getauscht",
    "nicht gewechselt", "nicht gebraucht", "kein tausch", "sollte nachstes mal", "soll kunftig", "demnachst", "no hay que", "no hubo que", "sin necesidad", "habra que ver", "mas adelante",
    "not worth a", "not worth the", "not worth it", "wasnt needed", "was not needed", "werent needed", "were not needed", "did not need", "didnt need", "not needed then", "was not touched",
    "were not touched", "is suspected", "are suspected", "no need of", "told to leave", "to stay as it is", "stays as it is", "wont be needed", "will not be needed", "not required",
    "wasnt required", "was not required", "never needed", "no call for", "no point in", "there is no point", "spared us", "saved us", "could be left", "did without",
    "hat es nicht gebraucht", "brauchte es nicht", "war nicht notig", "ware das nachste", "no fue necesario", "no hizo falta ya",
    "no change to any", "no change to settings", "no change to the settings", "no setting changed", "nothing changed by us", "no changes made", "nothing was changed", "nothing set", "nothing altered", "that was not changed", "and not changed", "was not changed", "were not changed", "left unchanged",
];

/// Words that turn a phrase within the two words behind them.
#[rustfmt::skip]
pub(super) const DENY: &[&str] = &[
    "no", "not", "never", "isnt", "wasnt", "arent", "werent", "doesnt", "dont", "didnt", "hasnt", "havent", "hadnt", "wont", "wouldnt", "aint", "without", "w/o", "neither", "nor", "hardly",
    "nicht", "kein", "keine", "keinen", "nie", "ohne", "weder",
    "no", "sin", "nunca", "tampoco", "ni",
];

/// Words that answer alone, between two marks: ": yes!".
#[rustfmt::skip]
pub(super) const ALONE_RESOLVED: &[&str] = &[
    "yes", "yep", "yup", "out", "found", "there", "connected", "connects", "green", "free", "in", "up", "on", "lives", "through", "dry", "went", "opens", "opened", "shuts", "closes", "charges", "charging", "starts", "started", "reads", "clicks", "lit", "online", "live", "quiet", "silent", "steady", "joined", "loaded", "came", "done", "good", "right", "back",
    "ja", "da", "frei", "verbunden", "gefunden", "offen", "zu", "drin", "an", "ladt", "geht", "weg",
    "si", "fuera", "conectado", "encontrado", "abierto", "libre", "carga", "va", "verde", "dentro",
];

/// The same for what is as before.
#[rustfmt::skip]
pub(super) const ALONE_NO_CHANGE: &[&str] = &[
    "dead", "stuck", "dark", "red", "refused", "tripped", "trips", "blank", "nowhere", "hangs", "hung", "sticks", "off", "offline", "amber", "again", "gone", "down", "lost", "silence", "zero", "rejected", "unknown", "drops", "dropped", "yellow", "blocked",
    "tot", "rot", "dunkel", "aus", "fest", "abgelehnt", "gesperrt",
    "muerto", "rojo", "rechazada", "apagado", "atascado", "oscuro",
];

/// Phrases that hold such words and tell no result.
#[rustfmt::skip]
pub(super) const NEUTRAL: &[&str] = &[
    "on the same", "in the same", "behind the same", "with the same", "from the same", "to the same", "of the same", "for the same", "under the same", "same rcd", "same prio", "same priority", "same car", "same day", "same firm", "same length", "same type", "same phase", "same group", "same fuse", "same breaker", "same order", "same net", "same network", "no known", "am selben", "im selben", "an derselben", "hinter demselben", "en el mismo", "en la misma", "at the same time", "at same time", "same time", "the same day", "same day", "not only", "as well", "once again", "if not", "whether or not", "why not", "not far", "no doubt", "no matter", "no later", "no more than", "no less",
    "min later", "mins later", "minute later", "minutes later", "sec later", "secs later", "second later", "seconds later", "hour later", "hours later", "hr later", "hrs later", "day later", "days later", "night later", "week later", "weeks later", "month later", "moment later", "moments later",
    "zur gleichen zeit", "gleichzeitig", "am gleichen tag", "nicht nur",
    "al mismo tiempo", "mismo dia", "a la vez", "no solo",
];

/// In a clause that begins with a denial: nobody asked for it.
#[rustfmt::skip]
pub(super) const ASKED_FOR: &[&str] = &[
    "needed", "need", "needs", "required", "necessary", "ordered", "wanted", "bother", "bothered", "touched", "opened", "replaced", "swapped", "changed", "exchanged", "fitted", "moved", "booked",
    "notig", "noetig", "gebraucht", "bestellt", "getauscht", "gewechselt", "angefasst", "braucht",
    "falta", "necesario", "necesaria", "pedido", "cambiado", "tocado",
];

/// "No new flap", "no other card": where a clause begins so, none was fitted.
pub(super) const ANOTHER: &[&str] = &[
    "new", "further", "more", "other", "extra", "neue", "neuer", "neues", "neuen", "nuevo", "nueva",
];

/// What may stand between a denial and what was not done.
pub(super) const BEFORE_PARTICIPLE: &[&str] =
    &["yet", "to", "been", "have", "be", "even", "mehr", "se"];

/// Participles that no ending shows.
pub(super) const PARTICIPLES: &[&str] = &[
    "done", "put", "set", "made", "taken", "sent", "cut", "shut", "built", "hung", "drawn",
];

/// How German participles begin.
pub(super) const GERMAN_PARTICIPLES: &[&str] = &[
    "ge", "ausge", "abge", "ange", "einge", "nachge", "umge", "aufge", "zuge",
];

/// Short forms of everyday words.
#[rustfmt::skip]
pub(super) const SHORT: &[(&str, &str)] = &[
    ("cld", "could"), ("cldnt", "couldnt"), ("wld", "would"), ("wldnt", "wouldnt"), ("shld", "should"), ("shldnt", "shouldnt"),
    ("thru", "through"), ("wk", "week"), ("wks", "weeks"), ("yest", "yesterday"), ("tmrw", "tomorrow"), ("wo", "w/o"), ("nth", "nothing"), ("sth", "something"),
    ("bc", "because"), ("bcs", "because"), ("tho", "though"), ("ppl", "people"), ("nec", "necessary"),
];

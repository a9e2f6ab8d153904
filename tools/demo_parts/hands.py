"""Ten hands: how each says what came of a try, and how it ends a note.

A template holds each doing once and says one result of it, so that a reader can be measured against the
tries. `pair` holds two doings, the first in vain, the second the one that helped.
"""

HANDS = {
    "terse": {
        "resolved": ["{did} - ok", "{did}, ok now", "{did}. fixed", "{did} = sorted"],
        "no-change": ["{did} - no", "{did}, no change", "{did}, same", "{did}: nothing"],
        "not-possible": ["{did} - not poss.", "{did}: no access", "{did} n/a"],
        "joint": "; ",
        "resolved-end": ["", "", "closed", "done"],
        "handed-on": ["-> electrician", "handed on", "2nd line"],
        "dropped": ["no answer since", "caller gave up", "not reached"],
    },
    "chatty": {
        "resolved": ["Then {did} and all was well again", "In the end {did}, and that did it", "{did}, and now it is back up",
            "After that {did}; caller is happy"],
        "no-change": ["First {did}, but it was still the same", "We also had {did}, that changed nothing", "{did}, no joy",
            "Tried this: {did}. Same again"],
        "not-possible": ["Wanted to have {did}, but nobody there could do it", "{did} was not possible, no second one at hand"],
        "joint": ". ",
        "resolved-end": ["", "He will ring if it returns", "Nice person", "Took a while to find the spot"],
        "handed-on": ["I have passed it on, somebody must go there", "An electrician will have to look"],
        "dropped": ["They did not call again", "Waited a week for an answer, closing"],
    },
    "numbered": {
        "resolved": ["{did} OK", "{did} -> works", "{did}, solved"],
        "no-change": ["{did} n/c", "{did} w/o success", "{did} no chg", "{did} still faulty"],
        "not-possible": ["{did} n/p", "{did} not poss. today"],
        "joint": " ",
        "resolved-end": ["", "tkt closed", "cust conf."],
        "handed-on": ["fwd to elec", "visit req."],
        "dropped": ["no resp.", "cust n/a 3x"],
    },
    "loud": {
        "resolved": ["{did} AND IT WORKS", "{did}: Problem GONE", "{did}. WORKING AGAIN"],
        "no-change": ["{did} - STILL THE SAME", "{did}, no Difference", "{did} DID NOT HELP"],
        "not-possible": ["{did} NOT POSSIBLE"],
        "joint": ". ",
        "resolved-end": ["", "CLOSED"],
        "handed-on": ["HANDED ON", "SOMEBODY HAS TO GO THERE"],
        "dropped": ["CALLER HUNG UP"],
    },
    "german": {
        "resolved": ["{did}, läuft wieder", "dann {did}: geht jetzt", "{did}, erledigt"],
        "no-change": ["{did}, ging trotzdem nicht", "{did}, keine Änderung", "erst {did}, leider nichts"],
        "not-possible": ["{did} war nicht möglich", "{did}: kein Zugang"],
        "joint": ", ",
        "resolved-end": ["", "danke an Hausmeister", "Kunde zufrieden"],
        "handed-on": ["weiter an Elektriker", "Termin nötig"],
        "dropped": ["meldet sich nicht mehr"],
    },
    "spanish": {
        "resolved": ["{did}, ya funciona", "luego {did} y listo", "{did}, resuelto"],
        "no-change": ["{did}, sigue igual", "{did}, nada", "primero {did}, sin cambio"],
        "not-possible": ["{did} no fue posible"],
        "joint": "; ",
        "resolved-end": ["", "cliente contento"],
        "handed-on": ["pasa al electricista"],
        "dropped": ["no contesta"],
    },
    "backwards": {
        "latest_first": True,
        "resolved": ["fixed by: {did}", "solution: {did}", "what helped: {did}"],
        "no-change": ["before that {did}, did not help", "{did} had no effect", "not it: {did}"],
        "not-possible": ["could not be done: {did}"],
        "joint": ". ",
        "resolved-end": [""],
        "handed-on": ["left to the electrician", "open, visit needed"],
        "dropped": ["closed without result"],
    },
    "clipped": {
        "resolved": ["{did}, chk'd, wks agn", "{did} -> prob slvd", "{did} + now OK acc. to cust"],
        "no-change": ["{did} w/o effect", "{did}, chk'd, no diff.", "{did} but prob. persists"],
        "not-possible": ["{did} n/poss., no key o/s", "cldn't do: {did}"],
        "joint": " / ",
        "resolved-end": ["", "cls'd", "cust inf'd"],
        "handed-on": ["visit rqd", "fwd'd to 2nd lvl"],
        "dropped": ["no ans. x2, cls'd"],
    },
    "quoting": {
        "opening": ["caller: \"{quote}\"", "\"{quote}\", it began with", "wrote \"{quote}\"", ""],
        "resolved": ["{did}: \"now it is fine\"", "after {did} \"it is as it should be\"", "{did}, \"that was it\" says caller"],
        "no-change": ["{did}, \"still the same\"", "{did}: \"it makes no difference\"", "{did}, caller says \"no better\""],
        "not-possible": ["asked for this: {did}, \"I can't do that here\"", "{did}? \"nobody has the key\""],
        "joint": ". ",
        "resolved-end": ["", "\"at last\""],
        "handed-on": ["\"then send somebody\", so passed on", "\"I want a visit\", handed on"],
        "dropped": ["\"I'll ring back\", never did"],
    },
    "hindsight": {
        "latest_first": True,
        "resolved": ["runs again thanks to this: {did}", "what did it in the end? {did}", "solved, {did}"],
        "no-change": ["{did}? did not help", "tried earlier in vain: {did}", "would it help to have {did}? it did not"],
        "not-possible": ["{did}? could not be done"],
        "pair": ["{first} did not help at first, but after {last} it did", "not {first}, only {last} made it work",
            "what helped? {last}. {first} alone had changed nothing"],
        "joint": "\n- ",
        "resolved-end": [""],
        "handed-on": ["what now? somebody must go there", "open, for the electrician"],
        "dropped": ["anything else? nobody answers"],
    },
}

# What the clipped hand makes of words in what was done.
SHORT = {
    "without": "w/o", "with": "w/", "checked": "chk'd", "replaced": "repl'd", "renewed": "ren'd", "restarted": "rst'd",
    "controller": "ctrlr", "cable": "cbl", "breaker": "brkr", "terminals": "term's", "terminal": "term.", "switched": "sw'd",
    "corrected": "corr'd", "address": "addr", "explained": "expl'd", "password": "pw", "connected": "conn'd", "current": "curr.",
    "network": "ntwk", "between": "betw.", "changed": "chgd", "fitted": "fit'd", "entered": "ent'd", "removed": "rmvd",
    "tightened": "tight'd", "waited": "w8ed", "before": "b4",
}

OF_DANGER = [
    "told to keep away, point taken out of service",
    "safety case, electrician sent",
    "do-now read out, people kept away, elec. informed",
    "out of service in portal. SAFETY CASE",
    "nobody touches it, electrician on the way",
]

# What else stands at the head of a note: facts, no tries.
REMARKS = ["lamp {lamp}", "fw {firmware}", "{check}: {answer}", "asked {check}, {answer}", "{check}? {answer}"]

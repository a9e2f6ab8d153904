"""What agents write: the same tries in several hands, each with its own way to say what came of them."""

from .words import worn

# For each hand: what follows a doing that ended it, changed nothing, could not be done; then the ends.
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
        "resolved": ["fixed by: {did}", "solution: {did}", "what helped: {did}"],
        "no-change": ["before that {did}, did not help", "{did} had no effect", "not it: {did}"],
        "not-possible": ["could not be done: {did}"],
        "joint": ". ",
        "resolved-end": [""],
        "handed-on": ["left to the electrician", "open, visit needed"],
        "dropped": ["closed without result"],
    },
}

OF_DANGER = [
    "told to keep away, point taken out of service",
    "safety case, electrician sent",
    "do-now read out, people kept away, elec. informed",
    "out of service in portal. SAFETY CASE",
    "nobody touches it, electrician on the way",
]

REMARKS = ["lamp {lamp}", "fw {firmware}", "{check}: {answer}", "asked {check}, {answer}", "{check}? {answer}"]


def written(dice, hand, steps, outcome, facts):
    """`steps`: (doing, result) in order; `facts`: what else can be mentioned, by placeholder."""
    style = HANDS[hand]
    lines = [dice.pick(style[result]).format(did=did) for did, result in steps]
    if hand == "numbered":
        lines = [f"{at}) {line}" for at, line in enumerate(lines, 1)]
    if hand == "backwards":
        lines.reverse()
    if dice.chance(0.3):
        fitting = [r for r in REMARKS if all(key in facts for key in ("lamp", "firmware", "check") if "{" + key + "}" in r)]
        if fitting:
            lines.insert(0, dice.pick(fitting).format(**facts))
    lines.append(dice.pick(style["resolved-end" if outcome == "resolved" else outcome]))
    text = style["joint"].join(line for line in lines if line)
    if hand == "loud":
        text = "".join(word.upper() if dice.chance(0.4) else word for word in spaced(text))
    if hand == "chatty":
        text = text[:1].upper() + text[1:]
    return worn(dice, text, 0.3, hand == "terse")


def spaced(text):
    for at, word in enumerate(text.split(" ")):
        yield word if at == 0 else " " + word

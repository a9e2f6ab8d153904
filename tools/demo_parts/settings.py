"""The plan: how many of what, how sure people are, and what the desk is like. One place to turn."""

PLAN = {
    "first": "2024-05-01",          # closing dates, both included; something closes on the last one
    "last": "2026-10-31",
    "growth": 1.5,                  # cases a week at the end, against the start
    "bank_from": "2025-08-01",      # callers and notes of tickets closed since then speak from the phrase bank
    "week_clump": 25.0,             # shape of the gamma factor that all articles share in a week
    "visits": 0.05,                 # of all tickets: follow a ticket that was handed on
    "second_calls": 0.014,          # of all tickets: follow a ticket that came back
    "no_article": 0.35,             # of the tickets with notes only: nobody entered the article or what was seen
    "visit_notes": 0.8,             # of the visits whose tries were entered: notes as well
    "ref_known": 0.85,              # the office's own number came along
    "instead_other": 0.3,           # where a fix no longer works: what ends the case is on no list, else another fix
    "quit": 0.12,                   # chance to end the call after a fix that changed nothing
    "leave_to_electrician": 0.11,   # chance to hand on instead of trying an electrician's fix
    "dropped": 0.3,                 # of those that end unresolved without a visit in sight
    "most_tries": 6,
    "not_possible": 0.045,          # of the tries
    "other_found": 0.3,             # chance to find an unlisted cause after a fix that changed nothing
    "visit_knows": 0.6,             # the visitor goes straight to the cause
    "late_return": 0.006,           # fixed, and yet back after more than a month
    "follow_habit": 0.85,           # else the author's order
    "swap": 0.10,                   # two neighbours of the order change places
    "led_by_check": 0.6,            # a telling answer brings its fix to the front
    "put_off_by_check": 0.7,        # an answer that speaks against a fix puts it last
    "minutes_spread": 0.38,         # sigma of the lognormal
    "minutes_missing": 0.1,
    "minutes_slip": 0.012,          # somebody forgot to stop the clock: four times as long
    "check_asked": {"caller": 0.55, "desk": 0.6, "installer": 0.35, "electrician": 0.12},
    "check_true": 0.85,             # the expected answer is given when its fix is the cause
    "code_shown": 0.5,
    "sign_told": 0.42,
    "firmware_told": 0.75,
    "firmware_asked": 0.95,         # where the article is one of firmware/
    "cause_said": 0.62,             # callers name a circumstance that speaks for the cause
    "cause_said_wrong": 0.05,       # … or one that misleads
    "foreign": 0.06,
    "not_danger": 0.04,             # of the tickets of the articles below: somebody says that a danger is absent
}

# Chance that a fix of this kind seems to end a case of another cause. It comes back within weeks.
SOOTHES = {"restart": 0.07, "reseat": 0.04, "wait": 0.03, "swap": 0.02, "set": 0.02, "start": 0.02, "unlock": 0.02,
    "tighten": 0.015, "reseal": 0.015}
SOOTHES_ELSE = 0.006

CHANNELS = {"phone": 0.62, "mail": 0.20, "portal": 0.18}

# Who closes the tickets: how often they leave it at notes and enter no tries, how often they write notes
# besides entered tries, and in which hand, a name of `hands.HANDS`.
AGENTS = [
    {"weight": 3, "only_notes": 0.44, "notes": 0.55, "hand": "terse"},
    {"weight": 2, "only_notes": 0.62, "notes": 0.65, "hand": "chatty"},
    {"weight": 2, "only_notes": 0.38, "notes": 0.45, "hand": "numbered"},
    {"weight": 1, "only_notes": 0.52, "notes": 0.55, "hand": "loud"},
    {"weight": 1, "only_notes": 0.50, "notes": 0.50, "hand": "german"},
    {"weight": 1, "only_notes": 0.50, "notes": 0.45, "hand": "spanish"},
    {"weight": 2, "only_notes": 0.40, "notes": 0.25, "hand": "backwards"},
    {"weight": 1, "only_notes": 0.45, "notes": 0.50, "hand": "clipped"},
    {"weight": 1, "only_notes": 0.60, "notes": 0.60, "hand": "quoting"},
    {"weight": 1, "only_notes": 0.55, "notes": 0.50, "hand": "hindsight"},
]

# What lies hidden in the tickets for later work to find. The truth file repeats it; the tool never reads it.
# `stopped` and `started` name the `effect` of a fix in the tables; `wrong_order` a commonest fix that the
# author put last; `twins` two articles about one symptom.
PLANTED = {
    "uncovered": ["hum", "receipt"],
    "stopped": [{"fix": "update-refused#empty-store", "devices": ["sc-2"], "firmware": "2.1.3"}],
    "started": [{"fix": "settings-changed-by-update#load-own-copy", "devices": ["post-7", "post-22"], "firmware": "3.1.0"}],
    "rising": [{"article": "detected-but-not-charging", "since": "2026-10-04", "factor": 3.2}],
    "twins": [["one-point-offline", "single-post-lost"], ["rcd-trips-in-rain", "trips-overnight-in-wet"],
        ["card-refused", "rfid-not-accepted"]],
    "wrong_order": [{"article": "accepted-here-refused-there", "first": "add-to-group"},
        {"article": "new-point-not-found", "first": "let-lead"}],
}

# What agents ask first where a danger may hide: article: (what the caller says to it, danger article).
NOT_DANGER = {
    "no-lights-at-all": ("no burning smell", "burning-smell-or-smoke"),
    "breaker-trips-after-a-while": ("no smoke and no burnt smell", "burning-smell-or-smoke"),
    "charging-stops-again": ("no burning smell", "burning-smell-or-smoke"),
    "rcd-trips-on-plug-in": ("nobody felt a tingling", "shock-or-tingling"),
    "rcd-trips-in-rain": ("nobody got an electric shock", "shock-or-tingling"),
}

# Danger on the telephone, and where the electrician's visit is written down.
VISITED_AS = {
    "burning-smell-or-smoke": "after-burning-inspection",
    "shock-or-tingling": "after-shock-inspection",
    "lamps-brighten-and-dim": "after-lost-neutral",
    "unit-broken-open-or-flooded": "after-damage-or-flood",
}

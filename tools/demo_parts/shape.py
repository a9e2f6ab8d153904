"""How the truth is written down: small constructors, so that the tables read as tables.

Lists of phrases stand in one string, divided by `|`; distributions as `answer:weight answer:weight`.
In phrases `{box}`, `{car}`, `{lead}`, `{plug}`, `{ctl}`, `{meter}`, `{portal}` and `{n}` are filled in
at random (`words.py`).
"""


def phrases(text):
    """`a | b` as a list."""
    return [part for part in (p.strip() for p in " ".join(text.split()).split("|")) if part]


def odds(text):
    """`yes:3 no:1` as a dict; a weight left out is 1."""
    pairs = (word.partition(":") for word in text.split())
    return {answer: float(weight or 1) for answer, _, weight in pairs}


def cause(share, says, did, *, devices=None, minutes=None, seen=None, codes=None, signs=None, effect=None):
    """A fix of an article (or `other`): how often it is the one, and what its cause looks like.

    share    relative share of the article's cases, before `devices` multiplies it
    says     what callers add when this is the cause
    did      what an agent writes when the fix was tried: a doing, in the past, that tells no result
    devices  device: factor on the share
    minutes  what it really takes; absent = the article's figure
    seen     check: distribution of its answers, where it is neither the expected nor the usual one
    codes    code: chance that it is shown (absent = the article's codes at `CODE_SHOWN`)
    signs    `lamp=state:weight` (absent = the article's signs at `SIGN_SHOWN`)
    effect   changes of effect: list of (device, firmware from, firmware below, chance that it works);
             where it does not, another fix ends the case or none listed (`simulate.instead`)
    """
    return {
        "share": share,
        "says": phrases(says),
        "did": phrases(did),
        "devices": devices or {},
        "minutes": minutes,
        "seen": {check: odds(text) for check, text in (seen or {}).items()},
        "codes": None if codes is None else odds(codes),
        "signs": None if signs is None else odds(signs),
        "effect": effect or [],
    }


def article(weight, mix, says, fixes, *, season="", clump=6.0, checks=None, circumstances="", foreign="",
            habit=(), change=None, danger=False, voice="caller"):
    """An article's truth.

    weight         relative number of its cases
    mix            device: weight
    says           how callers put the symptom
    fixes          fix id (`other` for what no article lists): `cause(…)`
    season         a name of `times.SEASONS`, or empty
    clump          shape of the weekly gamma factor: the smaller, the more its weeks clump
    checks         check: how its answers fall where the cause expects nothing special
    circumstances  neutral additions
    foreign        German and Spanish ways to say it
    habit          what the desk tries first, against the author's order
    change         (date, what it tries first from then on)
    voice          who calls: `caller`, `tech` (installer, site manager) or `site` (electrician there)
    danger         nobody tries anything: handed on at once
    """
    return {
        "weight": weight,
        "mix": odds(mix),
        "says": phrases(says),
        "fixes": fixes,
        "season": season,
        "clump": clump,
        "checks": {check: odds(text) for check, text in (checks or {}).items()},
        "circumstances": phrases(circumstances),
        "foreign": phrases(foreign),
        "habit": list(habit),
        "change": change,
        "danger": danger,
        "voice": voice,
    }

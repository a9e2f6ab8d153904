"""Draws the cases: an article, a device, a cause; what is shown and seen; what the desk tries until it ends."""

from . import times
from .dice import Dice
from .settings import PLAN, SOOTHES, SOOTHES_ELSE, VISITED_AS

OTHER_MINUTES = 30


def shares(spec, device, article_id="", date=None):
    """The true share of each fix (`other` with them) for a device, in the month of `date` if given."""
    seasons = times.CAUSE_SEASONS.get(article_id, {}) if date else {}
    drawn = {}
    for fix, truth in spec["fixes"].items():
        by_season = times.season(seasons[fix], date) if fix in seasons else 1
        drawn[fix] = truth["share"] * truth["devices"].get(device, 1) * by_season
    total = sum(drawn.values())
    return {fix: share / total for fix, share in drawn.items()}


class World:
    """The stated truth, the knowledge base it is about, the phrase bank, what is planted, and the seed."""

    def __init__(self, base, truth, unlisted, bank, planted, seed):
        self.base, self.truth, self.unlisted, self.seed = base, truth, unlisted, seed
        self.planted = planted
        newer = {topic: bank.phrases(topic, spec) for topic, spec in (truth | unlisted).items()}
        self.newer = {topic: spec for topic, spec in newer.items() if spec}

    def dice(self, *what):
        return Dice(self.seed, *what)

    def spec(self, topic):
        return self.truth.get(topic) or self.unlisted[topic]

    def phrases(self, topic, closed):
        """(table to speak from, whether it is the bank's) for a ticket closed on a date."""
        if closed >= times.day(PLAN["bank_from"]) and topic in self.newer:
            return self.newer[topic], True
        return self.spec(topic), False

    def rise(self, topic, first):
        """By how much faster a topic arrives in the week that begins on `first`."""
        rise = 1.0
        for one in self.planted["rising"]:
            if one["article"] == topic and first >= times.day(one["since"]):
                rise *= one["factor"]
        return rise

    def weekly(self):
        """(topic, week) and how many cases to expect there, up to a factor."""
        weeks, out = times.weeks(), {}
        busy = [self.dice("week", at).gamma(PLAN["week_clump"]) for at in range(len(weeks))]
        for topic in [*self.truth, *self.unlisted]:
            spec, dice, row = self.spec(topic), self.dice("clumps", topic), []
            for at, (first, days) in enumerate(weeks):
                by_date = times.season(spec["season"], first) * times.growth(first) * days / 7
                clump = dice.gamma(spec["clump"])
                row.append((clump if self.rise(topic, first) == 1 else 1.0) * busy[at] * by_date)
            for at, value in enumerate(row):
                out[topic, at] = spec["weight"] * value / sum(row) * self.rise(topic, weeks[at][0])
        return out

    def arrivals(self, count):
        """`count` times (topic, closing date), in order of date."""
        dice, expected, weeks = self.dice("arrive"), self.weekly(), times.weeks()
        drawn = [dice.weighted(expected) for _ in range(count)]
        out = [(times.date_in(dice, *weeks[at]), topic) for topic, at in drawn]
        return [(topic, date) for date, topic in sorted(out, key=lambda pair: pair[0])]


class Case:
    """One case with its truth.

    `looks_like` is what caller, codes and checks speak for, `cause` what will end it. The two differ
    only where a fix lost its effect on this device and firmware.
    """

    def __init__(self, world, number, topic, date, found_on=None):
        """`found_on`: the case whose device an electrician inspects."""
        self.world, self.topic, self.date = world, topic, date
        self.number, self.spec = number, world.spec(topic)
        self.article = world.base.articles.get(topic)
        self.dice = dice = world.dice("case", number)
        self.device = found_on.device if found_on else dice.weighted(self.spec["mix"])
        self.firmware = found_on.firmware if found_on else times.firmware(dice, self.device, date, topic)
        self.looks_like = self.cause = None
        if not self.spec["danger"]:
            drawn = shares(self.spec, self.device, topic, date)
            self.looks_like = self.cause = dice.weighted(drawn)
            if not dice.chance(effect(self.spec, self.cause, self.device, self.firmware)):
                self.cause = dice.weighted(instead(drawn, self.cause))
        self.tried, self.answers = [], {}

    def truth_of(self, fix):
        """What the tables say of a fix, by its short or full id."""
        return self.spec["fixes"].get(fix)

    def name(self, fix):
        return self.article.full(fix) if self.article and fix != "other" else fix

    def known(self, fix):
        return self.world.base.fixes[self.name(fix)]

    def minutes_of(self, fix):
        stated = self.truth_of(fix)["minutes"]
        return stated or (OTHER_MINUTES if fix == "other" else self.known(fix)["minutes"])

    # ---- what is shown and seen

    def codes(self):
        stated = self.truth_of(self.looks_like)["codes"] if self.looks_like else {}
        if stated is not None:
            return [code for code, chance in stated.items() if self.fits(code) and self.dice.chance(chance)]
        usual = [code for code in (self.article.codes if self.article else []) if self.fits(code)]
        return [self.dice.pick(usual)] if usual and self.dice.chance(PLAN["code_shown"]) else []

    def fits(self, code):
        return self.world.base.fits(self.device, code)

    def signs(self):
        if not self.looks_like or not self.dice.chance(PLAN["sign_told"]):
            return {}
        stated = self.truth_of(self.looks_like)["signs"]
        if stated:
            lamp, _, state = self.dice.weighted(stated).partition("=")
            usual = {lamp: state}
        else:
            usual = self.article.signs if self.article and stated is None else {}
        return {lamp: state for lamp, state in usual.items() if self.world.base.lit(self.device, lamp, state)}

    def answer(self, check):
        """The answer to a check (full id): the same whenever it is asked in this case."""
        if check not in self.answers:
            truth = self.truth_of(self.looks_like)
            stated = {self.article.full(c): odds for c, odds in truth["seen"].items()}
            usual = {self.article.full(c): odds for c, odds in self.spec["checks"].items()}
            expected = self.known(self.looks_like).get("expect") if self.looks_like != "other" else None
            dice = self.world.dice("case", self.number, check)
            if check in stated:
                self.answers[check] = dice.weighted(stated[check])
            elif expected and expected[0] == check and dice.chance(PLAN["check_true"]):
                self.answers[check] = expected[1]
            elif check in usual:
                self.answers[check] = dice.weighted(usual[check])
            else:
                self.answers[check] = dice.pick(self.world.base.checks[check]["answers"])
        return self.answers[check]

    def asked(self, visit):
        """Checks that somebody asked and wrote down, the fine ones too."""
        if not self.article or not self.looks_like:
            return {}
        out = {}
        for check in self.article.checks:
            who = self.world.base.checks[check]["who"]
            chance = 0.6 if visit and who == "electrician" else PLAN["check_asked"][who]
            if self.dice.chance(chance):
                out[check] = self.answer(check)
        return out

    # ---- what the desk does

    def order(self, seen, knows):
        """Fixes in the order this desk would try them now."""
        first = self.spec["habit"]
        if self.spec["change"] and self.date >= times.day(self.spec["change"][0]):
            first = self.spec["change"][1]
        fixes = [self.article.short(fix) for fix in self.article.fixes] if self.article else []
        fixes = [fix for fix in fixes if fix in self.spec["fixes"]]
        if first and self.dice.chance(PLAN["follow_habit"]):
            fixes = first + [fix for fix in fixes if fix not in first]
        for at in range(len(fixes) - 1):
            if self.dice.chance(PLAN["swap"]):
                fixes[at], fixes[at + 1] = fixes[at + 1], fixes[at]
        fixes = self.led(fixes, seen)
        if knows and self.cause in fixes:
            fixes = [self.cause] + [fix for fix in fixes if fix != self.cause]
        return self.after(fixes)

    def led(self, fixes, seen):
        """A telling answer brings its fix to the front, one that speaks against it puts it last."""
        front, back = [], []
        for fix in fixes:
            check, answer = self.known(fix).get("expect", (None, None))
            if check in seen:
                if seen[check] == answer and self.dice.chance(PLAN["led_by_check"]):
                    front.append(fix)
                elif seen[check] != answer and self.dice.chance(PLAN["put_off_by_check"]):
                    back.append(fix)
        return front + [fix for fix in fixes if fix not in front and fix not in back] + back

    def after(self, fixes):
        """The order with everything that must be done before another fix moved before it."""
        out = []

        def put(fix):
            for before in self.known(fix)["after"]:
                short = self.article.short(before)
                if short in fixes and short not in out:
                    put(short)
            if fix not in out:
                out.append(fix)

        for fix in fixes:
            put(fix)
        return [fix for fix in out if fix not in self.tried]

    def attempt(self, fixes, again):
        """Tries until it ends: (tries, outcome). `again`: a visit or second call, where nothing is left to others."""
        dice, tries = self.dice, []
        for fix in fixes[:PLAN["most_tries"]]:
            known = self.known(fix)
            if not again and known["who"] == "electrician" and tries and dice.chance(PLAN["leave_to_electrician"]):
                return tries, "handed-on"
            if dice.chance(PLAN["not_possible"] / (3 if fix == self.cause else 1)):
                tries.append((fix, "not-possible"))
                continue
            self.tried.append(fix)
            soothed = fix != self.cause and dice.chance(SOOTHES.get(known["kind"], SOOTHES_ELSE))
            if soothed or fix == self.cause:
                tries.append((fix, "resolved"))
                return tries, "soothed" if soothed else "resolved"
            tries.append((fix, "no-change"))
            if self.cause == "other" and dice.chance(PLAN["other_found"]):
                return self.found_other(tries)
            if dice.chance(PLAN["quit"]):
                return tries, "dropped" if dice.chance(PLAN["dropped"]) else "handed-on"
        if self.cause == "other" and dice.chance(0.6):
            return self.found_other(tries)
        return tries, "dropped" if dice.chance(PLAN["dropped"] / 2) else "handed-on"

    def found_other(self, tries):
        """Ended by something no article lists; every fourth time nobody enters that as a try."""
        return tries + ([] if self.dice.chance(0.25) else [("other", "resolved")]), "resolved"


def version(text):
    return tuple(int(part) for part in text.split("."))


def effect(spec, fix, device, firmware):
    """The chance that the right fix does its work on this device and firmware."""
    for named, since, below, chance in spec["fixes"][fix]["effect"]:
        if named == device and version(since) <= version(firmware) < version(below):
            return chance
    return 1.0


def instead(drawn, fix):
    """What ends a case whose fix does not work: `drawn` shares without it, and more that no list names."""
    rest = {other: share for other, share in drawn.items() if other not in (fix, "other")}
    total, part = sum(rest.values()), 1 - PLAN["instead_other"]
    return {other: part * share / total for other, share in rest.items()} | {"other": PLAN["instead_other"]}


def visited(world, case, number):
    """The case an electrician finds on site: the same, or after a danger the inspection of it."""
    if not case.spec["danger"]:
        return case
    return Case(world, number, VISITED_AS[case.topic], case.date, found_on=case)

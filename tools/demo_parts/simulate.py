"""Draws the cases: an article, a device, a cause; what is said, shown and seen; what the desk tries until it ends."""

import math

from . import times
from .dice import Dice
from .notes import OF_DANGER, written
from .settings import AGENTS, CHANNELS, NOT_DANGER, PLAN, RISES, SOOTHES, SOOTHES_ELSE, VISITED_AS
from .words import said

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
    """The stated truth, the knowledge base it is about, and the seed."""

    def __init__(self, base, truth, unlisted, seed):
        self.base, self.truth, self.unlisted, self.seed = base, truth, unlisted, seed

    def dice(self, *what):
        return Dice(self.seed, *what)

    def spec(self, topic):
        return self.truth.get(topic) or self.unlisted[topic]

    def weekly(self):
        """(topic, week) and how many cases to expect there, up to a factor."""
        weeks, out = times.weeks(), {}
        busy = [self.dice("week", at).gamma(PLAN["week_clump"]) for at in range(len(weeks))]
        for topic in [*self.truth, *self.unlisted]:
            spec, dice, row = self.spec(topic), self.dice("clumps", topic), []
            for at, (first, days) in enumerate(weeks):
                by_date = times.season(spec["season"], first) * times.growth(first) * days / 7
                row.append(dice.gamma(spec["clump"]) * busy[at] * by_date)
            for at, value in enumerate(row):
                rise = 1.0
                for risen, since, factor in RISES:
                    if risen == topic and weeks[at][0] >= times.day(since):
                        rise *= factor
                out[topic, at] = spec["weight"] * value / sum(row) * rise
        return out

    def arrivals(self, count):
        """`count` times (topic, closing date), in order of date."""
        dice, expected, weeks = self.dice("arrivals"), self.weekly(), times.weeks()
        drawn = [dice.weighted(expected) for _ in range(count)]
        out = [(times.date_in(dice, *weeks[at]), topic) for topic, at in drawn]
        return [(topic, date) for date, topic in sorted(out, key=lambda pair: pair[0])]


class Case:
    """One case with its truth; `ticket` is what is written down of a contact."""

    def __init__(self, world, number, topic, date):
        self.world, self.topic, self.date = world, topic, date
        self.number, self.spec = number, world.spec(topic)
        self.article = world.base.articles.get(topic)
        self.dice = dice = world.dice("case", number)
        self.device = dice.weighted(self.spec["mix"])
        self.firmware = times.firmware(dice, self.device, date)
        self.cause = None if self.spec["danger"] else dice.weighted(shares(self.spec, self.device, topic, date))
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
        stated = self.truth_of(self.cause)["codes"] if self.cause else {}
        if stated is not None:
            return [code for code, chance in stated.items() if self.fits(code) and self.dice.chance(chance)]
        usual = [code for code in (self.article.codes if self.article else []) if self.fits(code)]
        return [self.dice.pick(usual)] if usual and self.dice.chance(PLAN["code_shown"]) else []

    def fits(self, code):
        return self.world.base.fits(self.device, code)

    def signs(self):
        if not self.cause or not self.dice.chance(PLAN["sign_told"]):
            return {}
        stated = self.truth_of(self.cause)["signs"]
        if stated:
            lamp, _, state = self.dice.weighted(stated).partition("=")
            usual = {lamp: state}
        else:
            usual = self.article.signs if self.article and stated is None else {}
        return {lamp: state for lamp, state in usual.items() if self.world.base.lit(self.device, lamp, state)}

    def answer(self, check):
        """The answer to a check (full id): the same whenever it is asked in this case."""
        if check not in self.answers:
            truth = self.truth_of(self.cause)
            stated = {self.article.full(c): odds for c, odds in truth["seen"].items()}
            usual = {self.article.full(c): odds for c, odds in self.spec["checks"].items()}
            expected = self.known(self.cause).get("expect") if self.cause != "other" else None
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
        if not self.article or not self.cause:
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

    def works(self, fix):
        """Whether the right fix does its work on this device and firmware."""
        for device, since, below, chance in self.truth_of(fix)["effect"]:
            if device == self.device and version(since) <= version(self.firmware) < version(below):
                return self.dice.chance(chance)
        return True

    def attempt(self, fixes, visit=False):
        """Tries until it ends: (tries, outcome)."""
        dice, tries = self.dice, []
        for fix in fixes[:PLAN["most_tries"]]:
            known = self.known(fix)
            if not visit and known["who"] == "electrician" and tries and dice.chance(PLAN["leave_to_electrician"]):
                return tries, "handed-on"
            if dice.chance(PLAN["not_possible"] / (3 if fix == self.cause else 1)):
                tries.append((fix, "not-possible"))
                continue
            self.tried.append(fix)
            soothed = fix != self.cause and dice.chance(SOOTHES.get(known["kind"], SOOTHES_ELSE))
            if soothed or fix == self.cause and self.works(fix):
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

    def minutes(self, fix, result):
        """Lognormal with the true mean; shorter where nothing could be done."""
        dice, spread = self.dice, PLAN["minutes_spread"]
        mean = self.minutes_of(fix) * {"resolved": 1.0, "no-change": 0.9, "not-possible": 0.3}[result]
        drawn = mean * math.exp(spread * dice.normal() - spread * spread / 2)
        if dice.chance(PLAN["minutes_slip"]):
            drawn *= 4
        return max(1, round(drawn))

    # ---- what is written down

    def contact(self, kind="call"):
        """One ticket of this case, without its times and ids. `kind`: call, second, visit."""
        visit, dice = kind == "visit", self.dice
        channel = dice.weighted(CHANNELS) if kind == "call" else "phone"
        codes, signs, seen = self.codes(), self.signs(), self.asked(visit)
        if self.spec["danger"]:
            tries, ended = [], "handed-on"
        elif kind == "call":
            tries, ended = self.attempt(self.order(seen, False))
        else:
            knows = dice.chance(PLAN["visit_knows"])
            tries, ended = self.attempt(self.order(seen, knows), True)
        for fix, _ in tries:
            for before in [] if fix == "other" else self.known(fix)["after"]:
                if before in self.article.checks and before not in seen:
                    seen[before] = self.answer(before)
        ticket = {
            "device": self.device,
            "firmware": self.told_firmware(),
            "channel": channel,
            "said": said(dice, self.spec, self.cause, "visit" if visit else channel, codes),
            "codes": codes,
            "signs": signs,
            "seen": {self.article.short(check): answer for check, answer in seen.items()},
            "article": self.topic if self.article else "unlisted",
            "tries": [self.one_try(fix, result) for fix, result in tries],
            "outcome": "resolved" if ended == "soothed" else ended,
            "reopened": None,
            "notes": None,
        }
        if self.topic in NOT_DANGER and channel == "phone" and not visit and dice.chance(PLAN["not_danger"]):
            words, danger = NOT_DANGER[self.topic]
            ticket["said"] += f", {words}"
            ticket["not_danger"] = [danger]
        self.note(ticket, tries, seen, visit)
        return ticket, ended, sum(self.minutes_of(fix) for fix, _ in tries), [self.who(fix) for fix, _ in tries]

    def who(self, fix):
        return "desk" if fix == "other" else self.known(fix)["who"]

    def told_firmware(self):
        if not self.dice.chance(0.75):
            return None
        return ("v" if self.dice.chance(0.05) else "") + self.firmware

    def one_try(self, fix, result):
        out = {"fix": fix, "result": result}
        minutes = self.minutes(fix, result)
        if not self.dice.chance(PLAN["minutes_missing"]):
            out["minutes"] = minutes
        return out

    def note(self, ticket, tries, seen, visit):
        dice = self.dice
        agent = AGENTS[dice.weighted({at: agent["weight"] for at, agent in enumerate(AGENTS)})]
        bare = dice.chance(PLAN["no_tries"]) and not self.spec["danger"]
        if bare or dice.chance(0.8 if visit else agent["notes"]):
            steps = [(dice.pick(self.truth_of(fix)["did"]), result) for fix, result in tries]
            facts = {"firmware": self.firmware}
            if seen:
                check = dice.pick(list(seen))
                facts |= {"check": check.partition("#")[2].replace("-", " "), "answer": seen[check].replace("-", " ")}
            if ticket["signs"]:
                facts["lamp"] = dice.pick(list(ticket["signs"].values())).replace("-", " ")
            if self.spec["danger"]:
                ticket["notes"] = dice.pick(OF_DANGER)
            else:
                ticket["notes"] = written(dice, agent["hand"], steps, ticket["outcome"], facts) or None
        if bare:
            ticket["tries"] = []
        if dice.chance(PLAN["no_article"]) and not ticket["tries"]:
            ticket["article"] = None
            ticket["seen"] = seen   # full ids: short ones would belong to no article


def version(text):
    return tuple(int(part) for part in text.split("."))


def visited(world, case, number):
    """The case an electrician finds on site: the same, or after a danger the inspection of it."""
    if not case.spec["danger"]:
        return case
    found = Case(world, number, VISITED_AS[case.topic], case.date)
    found.device, found.firmware = case.device, case.firmware
    found.cause = found.dice.weighted(shares(found.spec, found.device))
    return found

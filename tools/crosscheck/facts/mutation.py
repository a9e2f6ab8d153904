"""Changes figures in memory and sees that the checks fail: a check that cannot fail is none."""

import copy

from facts import libraries, recompute


def other_figures(figure):
    """The figure with each digit changed in turn, and a whole number ten times as large."""
    for place, letter in enumerate(figure):
        if letter.isdigit():
            yield figure[:place] + str((int(letter) + 1) % 10) + figure[place + 1 :]
    if figure.isdigit() and int(figure):
        yield figure + "0"


def unseen_changes(page, readings, fails):
    """Number of changes made in one page, and those that no check has noticed."""
    spans = sorted({(r.line, *span) for r in readings for span in r.spans})
    made, unseen = 0, []
    for line, start, end in spans:
        old = page.lines[line][start:end]
        for new in other_figures(old):
            made += 1
            if not fails(page.changed(line, start, end, new)):
                unseen.append(f"{page.name}:{line}: `{old}` as `{new}`")
    return made, unseen


def unseen_in_list(facts):
    """Changes each value of a calculated fact in the list itself: the calculation must object."""
    made, unseen = 0, []
    for index, fact in enumerate(facts):
        if fact["mark"] != "calculated":
            continue
        for place, old in enumerate(fact.get("values", [])):
            changed = copy.deepcopy(facts)
            changed[index]["values"][place] = other_value(old)
            by_id = {fact["id"]: fact for fact in changed}
            made += 1
            if all(good for *_, good in recompute.results(lambda name: by_id[name]["values"])):
                unseen.append(f"facts.toml, {fact['id']}: `{old}` as `{other_value(old)}`")
    return made, unseen


def unseen_names(pages, value):
    """Misspells each name of OCPP in turn; the comparison with the library must object."""
    made, unseen = 0, []
    for index, page in enumerate(pages):
        for line, text in enumerate(page.lines):
            for match in libraries.NAME.finditer(text if page.is_article else ""):
                if match.group() in libraries.OTHER_NAMES:
                    continue
                changed = page.changed(line, match.end(), match.end(), "s")
                others = pages[:index] + [changed] + pages[index + 1 :]
                made += 1
                if all(good for *_, good in libraries.results(value, others)):
                    unseen.append(f"{page.name}:{line}: {match.group()}")
    return made, unseen


def other_value(value):
    """The next figure at the value's own last decimal, or at a text's last digit."""
    if isinstance(value, str):
        return value[:-1] + str((int(value[-1]) + 1) % 10)
    places = len(str(value).partition(".")[2])
    return round(value + 10**-places, places) if places else value + 1

"""Works calculated figures out again, from the figures they come from."""

import cmath
import decimal
import math

# Every function takes `value(id)`, the values of a fact, and gives rows of: id of the fact that is
# recomputed, what it says, what comes out. Equal means: equal at the decimals that the fact shows.


def pulse_width(value):
    """Offered current from the two formulas of the control pilot."""
    (factor,) = value("pilot-formula-low")
    offset, slope = value("pilot-formula-high")
    low, middle = value("pilot-formula-low-range")
    _, top = value("pilot-formula-high-range")

    def current(duty):
        return factor * duty if duty <= middle else (duty - offset) * slope

    for name in ("16-7", "26-7", "53-3", "89-2"):
        duty, amperes = value(f"pilot-duty-{name}")
        yield f"pilot-duty-{name}", [amperes], [round(current(duty))]
        exact = amperes / factor if amperes <= factor * middle else amperes / slope + offset
        yield f"pilot-duty-{name}", [duty], [exact]
    joint, below, above = value("pilot-formulas-do-not-meet")
    yield "pilot-formulas-do-not-meet", [joint], [middle]
    yield "pilot-formulas-do-not-meet", [below, above], [factor * joint, (joint - offset) * slope]
    for name in ("pilot-lowest-offer", "pilot-lowest-offer-in-steps"):
        yield name, value(name), [factor * low]
    yield "pilot-duty-8-10", value("pilot-duty-8-10")[1:], [low, factor * low]
    yield "pilot-duty-96-97", value("pilot-duty-96-97")[::2], [top, current(top)]


def power(value):
    """Power of one and three phases at unity power factor."""
    volts = value("supply-band")[0]
    for amperes in (6, 16, 32):
        for name, phases in (("one", 1), ("three", 3)):
            known, shown = value(f"power-{amperes}-{name}")
            yield f"power-{amperes}-{name}", [known], [amperes]
            yield f"power-{amperes}-{name}", [shown], [phases * volts * amperes / 1000]
    yield "power-one-phase-16-in-text", value("power-one-phase-16-in-text"), [volts * 16 / 1000]
    yield "power-top-of-one-phase", value("power-top-of-one-phase"), [volts * 32 / 1000]
    yield "power-formula", value("power-formula"), [3, volts]
    one, between_neutral, three, between_lines = value("supply-of-power-table")
    yield "supply-of-power-table", [one, between_neutral, three], [1, volts, 3]
    # 400 V is the rounded name of 398.4 V.
    yield "supply-of-power-table", [between_lines], [round(math.sqrt(3) * volts, -1)]
    lowered = value("three-quarters-of-the-current")
    yield "three-quarters-of-the-current", lowered[::2], [lowered[1] * 0.75, lowered[3] * 0.75]


def bus(value):
    """Resistance of parallel terminations, and the length of 3.5 characters."""
    (each,) = value("bus-termination-usual")
    two, termination, one, three = value("bus-ohms")
    yield "bus-ohms", [two, termination, one, three], [each / 2, each, each, each / 3]
    yield "bus-ohms-right", value("bus-ohms-right"), [each / 2]
    yield "bus-ohms-wrong", value("bus-ohms-wrong"), [each, each / 3]
    # Start bit, 8 data bits, then parity and a stop bit or two stop bits.
    (bits,) = value("modbus-character-bits")
    yield "modbus-character-bits", [bits], [1 + 8 + 2]
    (characters,) = value("modbus-gap-characters")
    speeds = value("modbus-baud")
    for name, speed in (("modbus-gap-9600", speeds[0]), ("modbus-gap-19200", speeds[1])):
        milliseconds, baud = value(name)
        yield name, [milliseconds, baud], [1000 * characters * bits / speed, speed]


def metering(value):
    """Active power of three current transformers in wrong places, as shares of the truth."""
    turn = cmath.exp(-2j * cmath.pi / 3)
    volts = [turn**phase for phase in range(3)]

    def phases(order, signs=(1, 1, 1)):
        seen = [sign * volts[phase] for phase, sign in zip(order, signs)]
        return [(v * i.conjugate()).real for v, i in zip(volts, seen)]

    def total(*wiring):
        return sum(phases(*wiring)) / 3

    straight, exchanged, moved = (0, 1, 2), (1, 0, 2), (1, 2, 0)
    yield "ct-one-reversed", share(value("ct-one-reversed")), [total(straight, (-1, 1, 1))]
    yield "ct-two-reversed", share(value("ct-two-reversed")), [total(straight, (-1, -1, 1))]
    yield "ct-all-reversed", share(value("ct-all-reversed")), [total(straight, (-1, -1, -1))]
    told = share(value("ct-two-exchanged"))
    yield "ct-two-exchanged", told, [phases(exchanged)[0], total(exchanged)]
    yield "ct-two-exchanged", told[:1] + [1], phases(exchanged)[1:]
    told = share(value("ct-all-moved"))
    yield "ct-all-moved", told, [phases(moved)[0], total(moved)]
    yield "ct-all-moved", told[:1] * 2, phases((2, 0, 1))[:2]


def share(values):
    """`−1/3` as a number."""
    parts = [str(value).replace("−", "-").split("/") for value in values]
    return [float(top[0]) / float(top[1] if len(top) > 1 else 1) for top in parts]


def sums(value):
    """Plain sums."""
    volts, percent, low, high, _, _ = value("supply-band")
    yield "supply-band", [low, high], [volts * (1 - percent / 100), volts * (1 + percent / 100)]
    yield "supply-band-in-steps", value("supply-band-in-steps"), [low, high]
    volts, _, down, floor = value("supply-always")
    yield "supply-always", [floor], [volts * (1 + down / 100)]
    largest, header, ethernet = value("pppoe-mtu")
    yield "pppoe-mtu", [largest], [ethernet - header]
    yield "pppoe-mtu-in-steps", value("pppoe-mtu-in-steps"), [largest]
    channel, fixed, cords = value("copper-channel")
    yield "copper-channel", [channel], [fixed + cords]
    yield "copper-channel-in-steps", value("copper-channel-in-steps"), [channel]
    characters, size = value("card-number-in-portal")
    yield "card-number-in-portal", [characters], [len("00" * size)]
    yield "card-number-in-portal", [size], [value("card-number-bytes")[-1]]


CALCULATIONS = [pulse_width, power, bus, metering, sums]


def shown_equal(said, found):
    """A shown figure stands for everything that rounds to it."""
    places = max(0, -decimal.Decimal(str(said)).as_tuple().exponent)
    # The small allowance lets a half be rounded up where binary numbers fall short of it.
    return abs(said - found) <= 0.5 * 10**-places + 1e-9 if places else abs(said - found) < 0.5


def results(value):
    """Id, what is said, what comes out, whether they agree; an unreadable fact does not."""
    for calculation in CALCULATIONS:
        try:
            rows = list(calculation(value))
        except (LookupError, TypeError, ValueError, ZeroDivisionError) as problem:
            yield calculation.__name__, "figures of another form", repr(problem), False
            continue
        for fact, said, found in rows:
            good = len(said) == len(found) and all(map(shown_equal, said, found))
            yield fact, said, [round(number, 4) for number in found], good

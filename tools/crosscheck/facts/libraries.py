"""Compares facts with open libraries: ipaddress, encodings.idna, http.client, pymodbus, ocpp."""

import dataclasses
import http.client
import importlib.metadata
import importlib.resources
import inspect
import ipaddress
import json
import re

import ocpp.v16.call_result
from ocpp.v16 import enums
from pymodbus.client import ModbusTcpClient
from pymodbus.constants import ExcCodes
from pymodbus.pdu import ExceptionResponse
from pymodbus.pdu.register_message import ReadHoldingRegistersRequest, ReadInputRegistersRequest

# Each function takes `value(id)` and the articles, and gives: what was compared, what the
# articles say, what the library says.

# What pymodbus calls the codes of the table. Its letters are kept as they are.
EXCEPTIONS = {
    "01": "ILLEGAL_FUNCTION",
    "02": "ILLEGAL_ADDRESS",
    "03": "ILLEGAL_VALUE",
    "04": "DEVICE_FAILURE",
    "05": "ACKNOWLEDGE",
    "06": "DEVICE_BUSY",
    "08": "MEMORY_PARITY_ERROR",
    "0A": "GATEWAY_PATH_UNAVIABLE",
    "0B": "GATEWAY_NO_RESPONSE",
}
# Words with a capital inside that are no names of OCPP.
OTHER_NAMES = {"WebSocket"}
NAME = re.compile(r"\b(?:[A-Z][a-z]+|EV)[A-Z]\w*")


def modbus(value, articles):
    """The exception codes, the reply, the functions and the port."""
    known = {code.name: int(code) for code in ExcCodes}
    for code, name in EXCEPTIONS.items():
        (told,) = value(f"modbus-exception-{code}")
        yield f"exception {code} is {name}", int(told, 16), known[name]
    (again,) = value("modbus-exception-04-in-steps")
    yield "exception after a restart", int(again, 16), known["DEVICE_FAILURE"]
    legacy, absent = (int(code, 16) for code in value("modbus-exceptions-odd"))
    told = {int(code, 16) for code in EXCEPTIONS} | {legacy}
    yield "all exceptions, with the legacy one", sorted(told), sorted(known.values())
    yield "the legacy exception", legacy, known["NEGATIVE_ACKNOWLEDGE"]
    yield "the absent exception", absent in known.values(), False
    named = {(place, int(code, 16)) for place, code in words(articles, r"exception (0[0-9A-F])\b")}
    wrong = [(place, code) for place, code in named if code not in known.values()]
    yield f"exceptions named in {len(named)} places, not known", wrong, []
    (added,) = value("modbus-exception-reply")
    reply = ExceptionResponse(3, 2)
    yield "an exception's function", 3 + int(added, 16), reply.function_code
    functions = [int(function) for function in value("modbus-meter-functions")]
    requests = (ReadHoldingRegistersRequest, ReadInputRegistersRequest)
    yield "functions of meters read registers", functions, [r.function_code for r in requests]
    port = inspect.signature(ModbusTcpClient.__init__).parameters["port"].default
    yield "port of Modbus over TCP", value("modbus-tcp-port"), [port]


def addresses(value, _articles):
    """Networks and their edges: the addresses just outside are of another kind."""
    (link,) = map(ipaddress.ip_network, value("link-local"))
    inside, outside = edges(link)
    kinds = [a.is_link_local for a in inside + outside]
    yield f"{link} is link-local", kinds, [True, True, False, False]
    (start,) = value("link-local-in-steps")
    yield "its beginning", str(link.network_address).startswith(start + "."), True
    for short in value("private-addresses"):
        network, length = short.split("/")
        private = ipaddress.ip_network(f"{network}{'.0' * (3 - network.count('.'))}/{length}")
        inside, outside = edges(private)
        kinds = [a.is_private for a in inside + outside]
        yield f"{private} is private", kinds, [True, True, False, False]


def edges(network):
    """First and last address of a network, and the neighbours outside."""
    first, last = network.network_address, network.broadcast_address
    return [first, last], [first - 1, last + 1]


def names(value, articles):
    """Host names: the longest, and the good and bad examples of the article."""
    (longest,) = value("host-name-length")
    yield f"{longest} characters work", encodes("a" * longest), True
    yield "one more does not, in one part of a name", encodes("a" * (longest + 1)), False
    low, high = value("host-name-letters")
    rule = re.compile(rf"(?!-)[a-z{low}-{high}-]{{1,{longest}}}(?<!-)", re.IGNORECASE)
    good = words(articles, r"`([^`]+)` is good")
    pairs = words(articles, r"is good\. (.*) are not")
    bad = [(place, name) for place, pair in pairs for name in re.findall("`([^`]+)`", pair)]
    for place, name in good + bad:
        allowed = bool(rule.fullmatch(name))
        yield f"`{name}` by the letter rule, {place}", allowed, (place, name) in good
    yield "there are examples of both", [bool(good), len(bad)], [True, 2]


def encodes(name):
    try:
        return bool(name.encode("idna"))
    except UnicodeError:
        return False


def ports(value, _articles):
    """HTTP and HTTPS; the other ports stand in no library we use."""
    yield "HTTPS", value("https-port"), [http.client.HTTPS_PORT]
    both = [http.client.HTTPS_PORT, http.client.HTTP_PORT]
    yield "WebSocket begins as HTTP", value("websocket-ports"), both


def ocpp_names(value, articles):
    """Every name of OCPP that an article uses, and those of certain places."""
    errors, states, stops, answers, starts = (
        {member.value for member in kind}
        for kind in (
            enums.ChargePointErrorCode,
            enums.ChargePointStatus,
            enums.Reason,
            enums.AuthorizationStatus,
            enums.RegistrationStatus,
        )
    )
    actions = {action.value for action in enums.Action}
    known = errors | states | stops | answers | starts | actions
    used = [use for use in words(articles, f"({NAME.pattern})") if use[1] not in OTHER_NAMES]
    wrong = [use for use in used if use[1] not in known]
    yield f"names used in {len(used)} places, not known", wrong, []
    for place, (code, name) in words(articles, r"\b(K\d\d) is (\w+) \(OCPP"):
        yield f"{code} is an error code, {place}", name in errors, True
    for place, kinds in words(articles, r"The portal shows (\w+) or (\w+) \(OCPP"):
        yield f"error codes at {place}", set(kinds) <= errors, True
    for place, name in words(articles, r"(?:reported to the portal as|it is|stop, .*,) ([A-Z]\w+)"):
        if NAME.fullmatch(name):
            yield f"error code at {place}", name in errors, True
    for place, name in words(articles, r"(?:portal|and) shows (?:the new unit as )?([A-Z]\w+)"):
        if name not in errors:
            yield f"status at {place}", name in states, True
    for place, name in words(articles, r"([A-Z]\w+) in the portal\."):
        yield f"status at {place}", name in states, True
    for row in rows_of(articles, "portal status"):
        yield f"status `{row}`", row in states, True
    for place, name in words(articles, r"(\w+): (?:plug or pilot|supply\.|portal \()"):
        yield f"stop reason `{name}`, {place}", name in stops, True
    for row in rows_of(articles, "fact", "answers of the portal"):
        yield "answers to a card", sorted(row.split(", ")), sorted(answers)
    for place, pair in words(articles, r"nothing else until (\w+) or (\w+)"):
        yield f"answers to the first message, {place}", set(pair) < starts, True
    for place, name in words(articles, r"portal answers (\w+)"):
        yield f"answer at {place}", name in answers | starts, True
    reply = {field.name for field in dataclasses.fields(ocpp.v16.call_result.Heartbeat)}
    yield "a heartbeat's reply has the time", "current_time" in reply, True
    schemas = importlib.resources.files("ocpp.v16") / "schemas"
    schema = json.loads((schemas / "Authorize.json").read_text())
    longest = schema["properties"]["idTag"]["maxLength"]
    yield "characters of a card number", value("card-number-in-portal")[0], longest


def words(articles, pattern):
    """Place and captured word, or words, of every match on a visible line."""
    found = []
    for page in articles:
        for number, line in enumerate(page.lines):
            for match in re.finditer(pattern, line):
                groups = tuple(group or "" for group in match.groups())
                found.append((f"{page.name}:{number}", groups[0] if len(groups) == 1 else groups))
    return found


def rows_of(articles, table, first=None):
    """First cells of a table, or the second cell of the row that begins with `first`."""
    rows = [row for page in articles for row in page.rows() if row.table == table]
    if first is None:
        return [row.cells[0][2] for row in rows]
    return [row.cells[1][2] for row in rows if row.cells[0][2] == first]


# What compares, and the library it compares with.
COMPARISONS = [
    (modbus, "pymodbus"),
    (addresses, "ipaddress"),
    (names, "encodings.idna"),
    (ports, "http.client"),
    (ocpp_names, "ocpp"),
]


def version(library):
    try:
        return f"{library} {importlib.metadata.version(library)}"
    except importlib.metadata.PackageNotFoundError:
        return f"{library} of Python"


def results(value, pages):
    """What was compared, the library, what articles say, what the library says, and the verdict."""
    articles = [page for page in pages if page.is_article]
    for compare, library in COMPARISONS:
        try:
            rows = list(compare(value, articles))
        except (LookupError, TypeError, ValueError) as problem:
            what = "figures of another form"
            yield compare.__name__, version(library), what, repr(problem), False
            continue
        for what, told, known in rows:
            yield what, version(library), told, known, told == known

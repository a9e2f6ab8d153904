"""The truth of shared current, counters and cards, and of three articles that tell again what others tell."""

from .shape import article, cause

POSTS = "post-7:50 post-22:50"

ARTICLES = {
    "phase-lamp-amber": article(
        22, "m-3:65 sc-2:35", voice="tech",
        says="""the third lamp of the {meter} is orange | {meter} complains about the order of phases
            | M02 stands in the {meter}
            | phase lamp will not go green | {ctl} says phases are in the wrong order | rotation fault on the {meter}
            | {meter} misses a phase | orange lamp on the {meter} since commissioning | L2 and L3 seem to have swapped""",
        foreign="Phasenlampe am Zähler ist orange | Phasenfolge stimmt nicht | el contador dice que falta una fase",
        circumstances="on site now | board of a car park | first start | electrician has left already | seen on the round",
        checks={"phase-code": "m02:4 m01:2 none:2 m03:1 m04:1", "phase-volts": "three-alike:7 one-missing:2 uneven:1",
                "worked-on": "board:4 nobody:3 not-known:2 supply:1",
                "site-power-negative#phase-powers": "plausible:8 one-negative:1 about-minus-half:1",
                "site-power-negative#generation": "no:8 yes:1 not-known:1"},
        fixes={
            "wait-for-phase": cause(0.12, "the bakery next door has trouble as well | cable works down the street"
                " | the lift stands still too", "waited, operator mended the phase | waited for the supply phase",
                                    minutes=11, codes="M01:0.7",
                                    seen={"phase-code": "m01:9 none:1", "phase-volts": "one-missing:9 uneven:1"}),
            "check-again": cause(0.17, "nothing is wrong on the display | stayed orange after the works were done"
                " | all volts are there and no code", "phase check started again | check phases pressed",
                                 minutes=7, codes="", seen={"phase-code": "none:8 m02:2"}),
            "accept-order": cause(0.13, "the whole house turns left | a generator feeds us this year"
                " | operator says their order stays like that", "order set to L1-L3-L2 as on the test sheet"
                " | told the meter the order of the supply", minutes=14, codes="M02:0.8",
                                  seen={"phase-code": "m02:9 none:1"}),
            "exchange-taps": cause(0.36, "board was rebuilt last week | new wires to the {meter}"
                " | orange from the first minute after the rewiring", "exchanged the taps of L2 and L3"
                " | voltage taps were crossed, put right", minutes=47, codes="M02:0.8 M04:0.2", devices={"m-3": 1.2},
                                   seen={"phase-code": "m02:9 m04:1"}),
            "renew-tap-fuse": cause(0.11, "L1 shows nothing at all | zero volts on one line of the page"
                " | two phases fine, the third at nil", "tap fuse renewed, wire was squeezed | new fuse in the voltage tap",
                                    minutes=38, codes="M01:0.8", seen={"phase-volts": "one-missing:9 three-alike:1"}),
            "site-power-negative#move-transformers": cause(
                0.08, "amps of one phase on the volts of another | after the rings were mounted anew",
                "each CT on its own phase now | moved CTs", minutes=66,
                codes="M04:0.6 M03:0.2", seen={"phase-code": "m04:7 m03:3"}),
            "other": cause(0.03, "frequency converter hall next to it | a machine feeds noise into the board",
                           "filter of a machine was broken, their fitter mended it"),
        }),
    "counters-disagree": article(
        18, "m-3:55 sc-2:45", voice="tech",
        says="""reading of the {meter} is not what the main counter says | two counters, two truths | kWh of the {meter} are off
            | our check counter and the {meter} drift apart | energy of {box} {n} does not add up
            | counter of the {meter} began again | annual reading does not fit yours
            | the sum of the posts is above the supply | {portal} has other kWh than the cellar""",
        foreign="zwei Zähler zeigen Verschiedenes | Kilowattstunden passen nicht | dos contadores, dos lecturas distintas",
        circumstances="end of the year | facility manager | asked by the auditor | since the summer | three buildings",
        checks={"same-time": "alike:5 fixed-factor:2 about-double:1 only-one-rises:1", "exchanged": "no:6 not-known:3 yes:1",
                "register-used": "import:6 not-known:3 balance:1", "site-power-negative#generation": "no:6 yes:2 not-known:2"},
        fixes={
            "same-days": cause(0.30, "one was read in May, the other in June | stair lights hang on it too"
                " | differs by a few per cent only", "compared the same days | the shop was in one of the two figures",
                               minutes=18, codes=""),
            "enter-start-value": cause(0.24, "{meter} was exchanged in spring | there is one big step in the curve"
                " | it went back to zero", "entered the start value | start reading from the picture put in", minutes=14,
                                       codes="M31:0.3", seen={"same-time": "alike:9 only-one-rises:1"}),
            "choose-register": cause(0.14, "panels on the carport | too little on sunny days | fine at night, wrong at noon",
                                     "register set to import | report used the balance, changed", minutes=12, codes="",
                                     seen={"site-power-negative#generation": "yes:9 no:1"}),
            "site-power-too-low#set-ratio": cause(0.09, "new rings since autumn | exactly a fifth, every day",
                                                  "ratio set to 250/5 | entered CT ratio", minutes=13, codes="",
                                                  seen={"same-time": "fixed-factor:9 alike:1"}),
            "correct-pulses": cause(0.08, "other make of counter with a pulse wire | ten times as much, always",
                                    "pulse value corrected | pulses per kWh from the label", minutes=15, codes=""),
            "one-counter-each": cause(0.08, "{box} {n} and its neighbour show the same figure | two posts share one line"
                " | sum of the posts is too high", "one counter per point now | the point had its neighbour's counter",
                                      minutes=21, codes=""),
            "replace-forgetful": cause(
                0.04, "forgets its figure at every power cut | starts from zero each Monday", "meter replaced",
                minutes=80, codes="M31:0.85", seen={"exchanged": "no:7 not-known:3"}),
            "other": cause(0.03, "the utility estimated this time | letter with a guessed reading",
                           "utility had estimated, corrected by them"),
        }),
    "one-point-gets-least": article(
        26, "sc-2:40 post-7:40 post-22:20",
        says="""{box} {n} always loses out | power is shared unfairly | my place gets less than the place beside it
            | the same {box} starves every evening | others get more amps than {box} {n} | {box} {n} is last in line again
            | it pauses at mine and charges at theirs | shares are uneven | the corner {box} never gets its turn""",
        foreign="mein Platz bekommt weniger Strom als die anderen | ungerecht verteilt | mi plaza carga menos que las demás",
        circumstances="every evening | underground garage | residents argue | eight places | since the extension"
                      " | office hours",
        checks={"same-point": "always-same:7 takes-turns:1 not-known:3", "group-and-priority": "as-the-others:8 low-priority:1"
                " other-group:1", "spread": "in-turn:4 not-known:4 page-differs:1 all-on-one:1",
                "charges-too-slowly#share-now": "below-maximum:8 at-maximum:2"},
        fixes={
            "explain-turns": cause(0.16, "yesterday it was the place next to it | stops for a quarter of an hour and goes on"
                " | all eight were full", "explained the turns | it is their turn later, told them", minutes=6, codes=""),
            "charges-too-slowly#explain-car-limit": cause(
                0.10, "it is an old plug-in hybrid | only with this one {car}, the loan {car} was fine",
                "explained, the car takes no more | car limit explained", minutes=5, codes="",
                seen={"charges-too-slowly#share-now": "at-maximum:9 below-maximum:1"}),
            "same-priority": cause(0.27, "the boss's place used to be elsewhere | visitors' place since last year"
                " | it was meant for the pool {car} only", "priority set to normal everywhere | priority was low, changed",
                                   minutes=8, codes="", seen={"same-point": "always-same:9 not-known:1"}),
            "right-group": cause(0.17, "was added after the others | moved from the other row | the plan has it in row B",
                                 "put into the right group | group was the old one, moved", minutes=14, codes="",
                                 seen={"same-point": "always-same:9 not-known:1"}),
            "group-limit": cause(0.08, "the whole row is slow, row A is not | only our half of the garage",
                                 "group limit set to its fuse | group limit was typed too small", minutes=13, codes="S41:0.3",
                                 seen={"group-and-priority": "as-the-others:9 other-group:1"}),
            "site-limit-exceeded#correct-phase-map": cause(
                0.13, "slow although hardly anybody charges | slows when the other end of the row starts",
                "phase map corrected | page had another phase, fixed", minutes=33, codes="S41:0.4",
                seen={"spread": "page-differs:8 not-known:2"}),
            "spread-phases": cause(0.05, "wired one behind the other on a single line | electrician took the same core for all",
                                   "posts spread over L1 L2 L3 | rewired in turn", minutes=140, codes="S41:0.3",
                                   devices={"post-7": 1.8, "post-22": 0.3}),
            "other": cause(0.04, "neighbour plugs two cars in with an adapter | somebody uses a second card for two places",
                           "one user held two places, owner told him"),
        },
        habit=["charges-too-slowly#explain-car-limit"], change=("2026-02-01", ["same-priority"])),
    "stuck-on-fallback": article(
        20, "sc-2:60 post-22:20 post-7:20", voice="tech", clump=3.0,
        says="""still on fallback although the {meter} answers | S42 stays | points do not come back from the emergency current
            | {meter} is fine again, charging is not | everything is held down after the bus was mended
            | {ctl} has values and does not use them | low current everywhere since the outage of the {meter}
            | balancing is asleep since the {meter} was away | fallback will not end""",
        foreign="bleibt im Notbetrieb, Zähler geht aber | S42 geht nicht weg | no sale del modo de reserva",
        circumstances="since this morning | bus was repaired | twelve points | installer still there | after the thunderstorm",
        checks={"meter-steady": "steady:7 gaps:3 still-lost:1", "who-is-low": "all:7 some:2 one:1",
                "charges-too-slowly#fallback-active": "yes:8 no:2"},
        fixes={
            "wait-steady": cause(0.20, "came back a few minutes ago | they have just plugged the bus in | mended right now",
                                 "waited, ended by itself | waited ten minutes more", minutes=16, codes="S42:0.7"),
            "return-by-itself": cause(0.37, "it waits since yesterday | every time somebody must ring you"
                " | never came back alone on this site", "return set to by itself | was on by hand, return now pressed",
                                      minutes=8, codes="S42:0.8", seen={"who-is-low": "all:9 some:1"}),
            "restart-in-turn": cause(0.14, "everything was switched on at once | power cut in the whole cellar"
                " | posts were up before the {ctl}", "restarted in turn, search first | controller then points, one by one",
                                     minutes=24, codes="S42:0.6", seen={"meter-steady": "steady:9 gaps:1"}),
            "delete-emergency-limit": cause(0.10, "a colleague of yours held them down last week | only those in front are slow"
                " | limit from the night shift", "emergency limit deleted | old limit in the portal removed", minutes=14,
                                            codes="", seen={"charges-too-slowly#fallback-active": "no:8 yes:2",
                                                            "meter-steady": "steady:9 gaps:1"}),
            "reconnect-point": cause(0.07, "just {box} {n} is left over | the rest has recovered, one has not",
                                     "point found again | network plug of the point pushed in", minutes=14, codes="",
                                     seen={"charges-too-slowly#fallback-active": "no:6 yes:4"}),
            "meter-values-drop-out#lengthen-timeout": cause(
                0.07, "loses a value now and then still | free for a moment and down again",
                "time-out lengthened | poll interval to 2 s", minutes=13, codes="S33:0.8",
                seen={"meter-steady": "gaps:9 steady:1"}),
            "site-limit-exceeded#set-fallback": cause(0.02, "in fallback nobody charges at all | paused by the fallback itself",
                                                      "fallback set to 6 A | fallback current was nil, set", minutes=19,
                                                      codes="S42:0.7"),
            "other": cause(0.03, "operator of the grid holds it down | letter of the grid company about evening hours",
                           "grid operator's limit, told them"),
        }),
    "accepted-here-refused-there": article(
        34, POSTS,
        says="""card opens {box} {n} but not the next one | accepted here and declined over there
            | one {box} takes my card, its twin does not
            | my card works in one garage and not in the other | {box} {n} knows me, the others do not
            | good at one place, red at another | only some of the posts let me in
            | card is fine at work and refused at the branch""",
        foreign="an einer Säule geht die Karte, an der anderen nicht | in der Filiale abgelehnt"
                " | en un cargador sí, en el otro no",
        circumstances="new employee | fleet | two sites | card is a month old | since the extension | sales team",
        checks={"where-refused": "one-point:5 several-points:3 all-but-one:2", "list-version": "same:7 older:2 empty:1",
                "number-reported": "same-number:8 none:2", "card-refused#reader-answer": "red-beep:9 nothing:1"},
        # The last in the author's order is the usual one: nobody has put the article right yet.
        fixes={
            "card-refused#hold-card-flat": cause(0.04, "he holds it through the wallet there | no beep at the second one",
                                                 "held flat, alone", minutes=3, codes="",
                                                 seen={"card-refused#reader-answer": "nothing:9 red-beep:1",
                                                       "number-reported": "none:9 same-number:1"}),
            "reload-list": cause(0.16, "that one has been without network for weeks | red lamp on the one that refuses"
                " | refuses whoever came after Easter", "list emptied and sent anew | reloaded the list, versions agree",
                                 minutes=14, codes="K71:0.6", seen={"where-refused": "one-point:9 several-points:1"}),
            "ask-portal-first": cause(0.09, "new cards need a day there | tomorrow it usually works"
                " | always a day behind", "set to portal first | it asked its list only, changed", minutes=8, codes="",
                                      seen={"where-refused": "one-point:8 several-points:2"}),
            "shorten-list": cause(0.06, "those with high numbers are refused | we have hundreds of cards now",
                                  "list shortened and sent | took expired cards out", minutes=22, codes="",
                                  seen={"where-refused": "several-points:6 one-point:4"}),
            "same-format": cause(0.09, "that one came from another supplier | reader was exchanged there in June",
                                 "number format set like the neighbours | format was decimal, hex now", minutes=15, codes="",
                                 seen={"where-refused": "one-point:9 all-but-one:1", "list-version": "same:9 older:1"}),
            "add-to-group": cause(0.52, "these posts were built this year | belongs to another department's places"
                " | none of our team gets in there | the posts of the new wing | he changed over to the other branch",
                                  "point added to the group of the card | group did not have that post, added"
                                  " | put the new posts into his group", minutes=9, codes=""),
            "other": cause(0.04, "that one belongs to another operator | other sticker on that post",
                           "post of another operator, told the caller"),
        }),
    "booked-to-wrong-user": article(
        24, POSTS,
        says="""my session stands under somebody else | charging without a card starts by itself | session without a user
            | I am billed for a stranger | a session of mine is missing from my list | wrong name behind the session
            | {box} {n} lets everybody charge | somebody charges at my expense | nobody is entered for these sessions""",
        foreign="Ladung steht beim falschen Nutzer | lädt ohne Karte los | la sesión sale a nombre de otra persona",
        circumstances="monthly list | staff car park | caretaker asks | twice this week | hotel | after the handover",
        checks={"started-by": "card:7 not-known:2 app:1",
                "number-in-session": "own:4 other-card:2 not-in-list:1 free:1 stored:1",
                "behind-card": "right-user:6 nobody:1 former-user:1 several-users:1"},
        fixes={
            "end-free-mode": cause(0.30, "since the open day | was free for the opening week"
                " | just plug it in and off it goes", "free mode off | start set to card or portal", minutes=9,
                                   devices={"post-7": 1.3, "post-22": 0.8},
                                   seen={"number-in-session": "free:9 not-in-list:1"}),
            "reassign-card": cause(0.25, "card came from my predecessor | he has left the firm | got it from the old tenant",
                                   "card put on the present user | reassigned the card", minutes=8,
                                   seen={"number-in-session": "own:9 other-card:1"}),
            "own-card": cause(0.17, "the card hangs at the reception | we all use the one in the drawer"
                " | one card for the whole shift", "own cards for all, shared one blocked | enrolled four cards", minutes=17,
                              seen={"number-in-session": "other-card:7 own:3"}),
            "right-account": cause(0.10, "she started it on the telephone | app was set up by the office",
                                   "signed in with the right account | app had the company account", minutes=8,
                                   seen={"number-in-session": "other-card:9 own:1"}),
            "refuse-unknown": cause(0.08, "only on the days without network | while it was offline",
                                    "unknown cards refused without link | listed cards only, set", minutes=14),
            "card-refused#correct-number": cause(0.06, "after your list was loaded | number is longer than the others",
                                                 "number corrected, bytes were reversed | re-imported the list as text",
                                                 minutes=16, seen={"number-in-session": "not-in-list:9 other-card:1",
                                                                   "behind-card": "nobody:9 former-user:1"}),
            "other": cause(0.04, "a roaming card of abroad | card of a motorway company",
                           "roaming session, partner names it later"),
        },
        habit=["reassign-card"]),
    # The same three symptoms as articles elsewhere, written again by a colleague a year apart.
    "single-post-lost": article(
        16, POSTS,
        says="""one {box} is grey in the {portal}, the others are green | {box} {n} has lost the {portal}
            | a single {box} is missing in the {portal} | {portal} cannot see one of them | only {box} {n} is unreachable
            | one {box} has dropped off the network""",
        foreign="eine Säule ist nicht verbunden | una columna ha perdido la conexión",
        circumstances="since {n} days | charging works | link lamp red | seen by the manager | hotel",
        checks={"which-lamps": "lit:5 link-red-only:4 dark:1", "port-light": "lit:6 dark:1 no-switch:3",
                "one-point-offline#boot-answer": "accepted:2 never-came:6 pending:1 rejected:1"},
        fixes={
            "restart-remote": cause(0.34, "since the power dip | it froze after the nightly update | was fine until Sunday",
                                    "restarted the point from the controller | remote restart of the post", minutes=8,
                                    devices={"post-7": 1.3}),
            "exchange-cord": cause(0.23, "network cupboard was tidied | someone moved the switch"
                                   " | cord was squeezed in the door",
                                   "new patch cord | other port on switch", minutes=17,
                                   devices={"post-22": 1.35, "post-7": 0.6}, seen={"one-point-offline#boot-answer":
                                                                                  "never-came:9 accepted:1"}),
            "compare-identity": cause(0.14, "was exchanged last week | carries the name of the old one | fresh from the box",
                                      "identity corrected | address had a blank at the end", minutes=15,
                                      seen={"one-point-offline#boot-answer": "rejected:8 never-came:2"}),
            "self-assigned-address#enlarge-pool": cause(0.09, "last one added to the row | since more devices are in the net",
                                                        "dhcp pool larger | pool was full", minutes=19,
                                                        seen={"one-point-offline#boot-answer": "never-came:9"}),
            "certificate-error#set-clock": cause(0.07, "stood without power all winter | clock on it says winter",
                                                 "clock set | time server entered", minutes=9,
                                                 seen={"one-point-offline#boot-answer": "never-came:8 pending:2"}),
            "wifi-not-joined#retype-password": cause(0.09, "the key of the wireless was changed"
                                                     " | wireless got a new key on Monday",
                                                     "wifi key typed again", minutes=10,
                                                     devices={"post-7": 1.8, "post-22": 0.3},
                                                     seen={"port-light": "no-switch:9"}),
            "other": cause(0.04, "was taken out of the contract | licence for it ran out",
                           "point was deactivated in the portal, activated"),
        }),
    "trips-overnight-in-wet": article(
        14, POSTS, season="rain", clump=1.5,
        says="""RCD is off in the morning and no {car} was there | falls in the rain without a {car}
            | trips by night with nothing plugged in | found it off after the wet weekend
            | nothing connected and it drops | goes off when it rains""",
        foreign="FI fällt bei Regen ohne Auto | salta de noche con lluvia",
        circumstances="again | caretaker | left off now | since autumn | weekend",
        checks={"which-days": "only-wet:6 also-dry:2 not-known:2", "rcd-trips-on-plug-in#trips-empty": "yes:8 not-known:2",
                "window-misted": "no:8 yes:1", "rcd-trips-on-plug-in#insulation-test": "no:6 yes:4"},
        fixes={
            "turn-water-away": cause(0.11, "the gardener hosed it down | lawn sprinkler reaches it",
                                     "sprinkler turned away | no hose, told the cleaners", minutes=8,
                                     seen={"which-days": "also-dry:6 only-wet:3"}),
            "new-gland": cause(0.25, "each time it pours | drips along the cable into the foot",
                               "dried, new gland | gland renewed", minutes=38, codes="K31:0.7",
                               devices={"post-22": 0.7, "post-7": 1.2},
                               seen={"rcd-trips-on-plug-in#insulation-test": "no:9 yes:1"}),
            "new-cover-seal": cause(0.38, "window is fogged | drops behind the glass | front was opened in spring",
                                    "new cover seal | seal renewed, groove cleaned", minutes=45, codes="K31:0.7",
                                    devices={"post-22": 1.4, "post-7": 0.8}),
            "rcd-trips-on-plug-in#renew-cable": cause(0.12, "the duct is full in winter | days after the rain too",
                                                      "feed cable renewed", minutes=88, codes="K31:0.5",
                                                      seen={"which-days": "only-wet:5 also-dry:5"}),
            "own-protection": cause(0.09, "garden lamps hang on it | when the path lights come on",
                                    "garden lights off this rcd | surge device moved", minutes=46, codes="K31:0.2",
                                    seen={"which-days": "also-dry:5 only-wet:5",
                                          "rcd-trips-on-plug-in#insulation-test": "yes:9 no:1"}),
            "other": cause(0.05, "ants in the foot | something small seems to live in the foot",
                           "nest of ants in the foot, cleaned"),
        },
        habit=["new-gland"]),
    "rfid-not-accepted": article(
        18, POSTS,
        says="""the {box} will not take my card | card rejected, red light | held the card there ten times, nothing
            | my charging card is declined | beep and red and no charge | reader of {box} {n} refuses the card""",
        foreign="Karte wird an der Säule nicht genommen | el poste no acepta la tarjeta",
        circumstances="worked last month | employee | since today | fleet | tenant",
        checks={"card-refused#reader-answer": "red-beep:6 nothing:3 green-then-stops:1",
                "second-card": "yes:6 no:1 none-here:4", "portal-says": "accepted:6 not-listed:2 blocked:1 expired:1"},
        fixes={
            "hold-still": cause(0.15, "card stays in the wallet | no beep at all | with three other cards behind it",
                                "held flat, alone | out of the wallet", minutes=3, codes=""),
            "activate-card": cause(0.18, "contract was renewed | they told me it ran out | he paid late",
                                   "activated the card | card was expired, new date", minutes=7, codes="",
                                   seen={"card-refused#reader-answer": "red-beep:9 green-then-stops:1",
                                         "portal-says": "blocked:6 expired:4"}),
            "mend-number": cause(0.39, "new batch of cards | since the spreadsheet was loaded | the cards handed out on Monday",
                                 "number mended, bytes were reversed | leading zeros were lost, fixed", minutes=16, codes="",
                                 seen={"card-refused#reader-answer": "red-beep:9 green-then-stops:1"}),
            "card-refused#send-list": cause(0.12, "next {box} takes it | this {box} was offline for a while",
                                            "sent the card list | list on the point was empty, sent", minutes=18, codes="",
                                            seen={"portal-says": "accepted:9 not-listed:1",
                                                  "card-refused#reader-answer": "red-beep:9"}),
            "card-refused#fitting-card": cause(0.07, "it is the office door badge | he uses the phone",
                                               "gave a card that fits | badge is 125 kHz, new card", minutes=9, codes="",
                                               seen={"portal-says": "not-listed:9 accepted:1"}),
            "card-refused#replace-reader": cause(0.05, "nobody gets in at this one | reader corner is fogged",
                                                 "new reader | reader replaced", minutes=57, codes="K61:0.85",
                                                 seen={"card-refused#reader-answer": "nothing:9 red-beep:1"}),
            "other": cause(0.04, "the roaming provider has a problem | card of another company",
                           "roaming partner was down, waited"),
        }),
}

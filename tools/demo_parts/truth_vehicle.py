"""The truth of vehicle/ and cards/: the car, its plug and the card."""

from .shape import article, cause

POSTS = "post-7:52 post-22:48"

ARTICLES = {
    "car-not-detected": article(
        54, POSTS,
        says="""no reaction when I connect the {car} | lamp remains green although the lead is in | {box} ignores the {car}
            | I plug in and the {box} thinks it is free | as if no lead were in it | {box} {n} does not notice the {plug}
            | tried ten times, it does not pick the {car} up | the {car} shows no connection either
            | nothing happens on connecting
            | only now and then it notices that a {car} is there""",
        foreign="{box} merkt nicht dass ein Auto dran ist | bleibt grün obwohl eingesteckt | no se entera de que hay coche",
        circumstances="since Monday | driver in a hurry | other {box} is taken | happened yesterday too | first try today"
        " | visitor",
        checks={"second-try": "not-seen:5 seen:2 none-here:4", "pin-look": "clean:88 on-the-cable:6 in-the-socket:6",
                "pilot-level": "falls-to-9:8 stays-at-12:1 other:1"},
        fixes={
            "reseat-plugs": cause(
                0.37, "it sits a little loose | the {plug} did not click | after pushing hard it went once"
                " | not pushed in far, I think",
                "plugs pushed home at both ends | reseated both plugs | unplugged, plugged in firmly", minutes=4,
                codes="K11:0.35"),
            "swap-cable": cause(
                0.22, "with my own lead only, the neighbour's works | a colleague just charged here with hers"
                " | lead was run over once"
                " | lead has been lying in the wet", "tried another lead | used the spare lead | other cable from the pool",
                minutes=8, codes="K11:0.5"),
            "retire-lead": cause(
                0.08, "a little pin looks crooked | one pin of my lead is pushed back | I dropped the {plug} on the stones",
                "lead withdrawn, pin bent | took bad lead out of use", minutes=13, seen={"second-try": "seen:7 none-here:3"}),
            "reterminate-pilot": cause(
                0.24, "no {car} is seen, whoever tries | goes when I hold the {plug} upwards"
                " | have to press it sideways all the time"
                " | worse every week, now nobody gets on", "CP crimp renewed | re-terminated cp and earth"
                " | pilot wire was loose in its crimp",
                devices={"post-22": 1.5, "post-7": 0.7}, minutes=41, codes="K11:0.75"),
            "replace-socket": cause(
                0.05, "something is broken in the hole of the {box} | flap and hole are worn out | the hole has a bent contact",
                "new socket fitted | socket replaced", minutes=72, codes="K11:0.6"),
            "other": cause(0.04, "the {car} was in the workshop last week | only this {car}, anywhere in town too"
                " | the inlet of the {car} was repaired lately",
                           "inlet of the car is faulty, garage | car side fault"),
        },
        habit=["swap-cable"]),
    "charging-stops-again": article(
        48, POSTS,
        says="""begins and then gives up | charges a moment, then ends on its own | session breaks after a minute or two
            | on, off, on, off all evening | the contact clacks and it is over | does not keep charging
            | it stops half way every time
            | I came back to a {car} that had not filled | ends by itself after some minutes | keeps losing the charge""",
        foreign="fängt an und hört gleich wieder auf | Ladung bricht nach Minuten ab | arranca y se corta enseguida",
        circumstances="three times today | since last week | app sends a message every time | overnight | no pattern"
        " | on both sides",
        checks={"event-list": "nothing:5 pilot:3 supply-voltage:1 heat:1 contactor:1",
        "other-stays-on": "stays-on:4 stops-too:4 none-here:3",
                "stop-reason": "other:5 ev-disconnected:3 local:1 remote:1 power-loss:1",
                "car-not-detected#pilot-level": "falls-to-9:9 other:1"},
        fixes={
            "car-not-detected#reseat-plugs": cause(
                0.13, "when somebody walks past and touches the lead | wobbly | moving the lead ends it",
                "reseated plugs | pushed plugs home", minutes=4, codes="K12:0.4",
                seen={"stop-reason": "ev-disconnected:8 other:2", "event-list": "pilot:7 nothing:3"}),
            "detected-but-not-charging#clear-timer": cause(
                0.30, "ends at the same per cent every night | my wife set something in the app | stops at eighty"
                " | ends at six sharp",
                "limit in car was 60 %, cleared | timer in the car cancelled | charge limit removed", minutes=6, codes="",
                seen={"stop-reason": "local:4 ev-disconnected:3 other:3", "event-list": "nothing:9 pilot:1",
                "other-stays-on": "stays-on:7 none-here:3"}),
            "car-not-detected#swap-cable": cause(
                0.12, "with the old lead from the other {car} | lead has a squeezed spot | other people's leads hold",
                "another lead used | swapped the lead", minutes=8, codes="K12:0.5", seen={"event-list": "pilot:8 nothing:2",
                "other-stays-on": "stays-on:8 none-here:2"}),
            "car-not-detected#reterminate-pilot": cause(
                0.25, "every {car} drops off here | in the wind, when the door of the {box} rattles | K12 many times a day"
                " | when lorries roll by", "cp wire re-crimped | pilot terminal was loose, re-terminated", minutes=40,
                codes="K12:0.8",
                devices={"post-22": 1.4, "post-7": 0.7},
                seen={"event-list": "pilot:9 nothing:1", "other-stays-on": "stops-too:8 none-here:2",
                "car-not-detected#pilot-level": "other:5 stays-at-12:3 falls-to-9:2"}),
            "mend-supply-under-load": cause(
                0.06, "lamps dip when it switches on | when the neighbour's one starts as well | mostly with the big {car}",
                "feed joint mended | fixed drop under load", minutes=44, codes="K12:0.2",
                seen={"event-list": "supply-voltage:8 nothing:2", "other-stays-on": "stops-too:7 none-here:3"}),
            "replace-control-board": cause(
                0.10, "loud clack and a red lamp | red quick flashing then | K52 every time",
                "new contactor | control board exchanged",
                minutes=75, codes="K52:0.8 K12:0.1", signs="status-lamp=red-fast:9 status-lamp=blue-blink:1",
                seen={"other-stays-on": "stops-too:8 none-here:2"}),
            "other": cause(0.04, "the {car} reports a battery warning | since the recall update of the {car}"
                " | the dealer changed something in the {car}", "car software, dealer does it | battery of the car limits"),
        }),
    "detected-but-not-charging": article(
        100, POSTS,
        says="""lamp blinks blue and no power comes | connected all right but no current | {car} and {box} stare at each other
            | it recognises the {car} and then waits | keeps saying preparing | plugged in, locked, and that is it
            | stays in waiting | no kilowatts although it shows connected | will not begin, blue flashing
            | {box} {n} hangs before the start""",
        foreign="steckt drin, blinkt blau, aber kein Strom | wartet nur und lädt nicht | conectado pero no empieza",
        circumstances="half an hour already | this morning | new driver | since yesterday evening | tried twice"
        " | all seemed normal",
        checks={"portal-status": "preparing:4 suspended-ev:3 suspended-evse:3 faulted:1 not-shown:2",
        "car-timer": "no:6 yes:1 not-known:3",
                "other-car-starts": "yes:5 no:3 none-here:4", "share-below-six": "no:88 yes:12"},
        fixes={
            "clear-timer": cause(
                0.16, "the app of the {car} has departure at seven | the {car} wants to start at night"
                " | he has a cheap tariff set in the {car}"
                " | {car} says scheduled", "timer cancelled in the car | departure time switched off | cleared schedule in car",
                minutes=6,
                seen={"portal-status": "suspended-ev:9 preparing:1", "other-car-starts": "yes:8 none-here:4"}),
            "start-session": cause(
                0.20, "new here, has not used a card yet | he did not know that he needs a card | forgot to hold the card there"
                " | card is in the other jacket", "started it from the portal | session started with card | remote start",
                minutes=4),
            "wake-car": cause(
                0.08, "the {car} stood plugged in for three days | {car} is asleep, display dark"
                " | it had finished and should top up again",
                "unplugged, locked, waited a minute, plugged in | woke the car", minutes=6, devices={"post-7": 1.3}),
            "give-share": cause(
                0.40, "eight cars are on already | when the last free point is used | as soon as a few leave it starts"
                " | the lunch break rush",
                "gave the point a share above 6 A | share was 4 A, raised | priority up to 8 A", devices={"post-22": 1.3,
                "post-7": 0.75}, minutes=13,
                seen={"portal-status": "suspended-evse:9 preparing:1", "other-car-starts": "no:6 none-here:4 yes:1"}),
            "set-current": cause(
                0.07, "after the reset | just installed | somebody was in the settings | brand new point",
                "max was 0, set to 16 | deleted a 0 A profile",
                minutes=12, seen={"other-car-starts": "no:8 none-here:3"}),
            "dc-residual-fault#have-car-checked": cause(
                0.05, "this {car} does the same at the supermarket | only this one, all others start"
                " | {car} says service needed",
                "sent him to the garage with the car | car to be checked", minutes=8,
                seen={"other-car-starts": "yes:9 none-here:1", "portal-status": "suspended-ev:7 faulted:1 preparing:2"}),
            "other": cause(0.04, "bay is shown as reserved | portal says reserved for fleet | somebody booked that bay ahead",
                "a reservation was in the way, deleted | old booking removed"),
        },
        change=("2025-09-01", ["give-share"])),
    "plug-locked-in": article(
        36, POSTS, season="frost",
        says="""lead cannot be pulled out | the {plug} sits fast | {box} holds on to my lead
        | I cannot leave, it will not release
            | lock does not let go of the {plug} | the {plug} is caught | pulling does not help, lead is held
            | it will not give the lead back
            | end of session but still locked | trapped lead at {box} {n}""",
        foreign="Kabel geht nicht mehr raus | Stecker sitzt fest, will nach Hause | no suelta el enchufe",
        circumstances="has to leave now | child is waiting | third time this winter | this morning | in a hurry | taxi driver",
        checks={"stuck-end": "post-end:6 car-end:3 both:1", "session-over": "yes:6 no:2 not-known:3",
        "ice-or-dirt": "neither:80 dirt:15 ice:5"},
        fixes={
            "end-session": cause(0.36, "the app still counts | used another card to end it | {car} is not unlocked"
                " | it still shows as charging",
                                 "ended session, car unlocked | session closed with the same card", minutes=5, codes="",
                                 seen={"stuck-end": "car-end:5 post-end:4 both:1"}),
            "push-and-release": cause(0.12, "he pulls all the time | lead hangs under tension | it clicks when he pulls",
                                      "pushed in while it unlocks | took tension off and pushed", minutes=4, codes="K51:0.4"),
            "thaw-by-hand": cause(0.17, "it froze hard last night | snow on it | minus nine this morning"
                " | wet yesterday, ice today",
                                  "thawed with warm hands | cleared the ice | de-iced plug", minutes=16, codes="K51:0.5"),
            "portal-unlock": cause(0.24, "session is over since an hour | the other end came out all right"
                " | finished and paid but locked"
                                   " | lamp is green again but it holds",
                                   "unlock command sent | unlocked from portal | remote unlock",
                                   minutes=4, codes="K51:0.4", seen={"stuck-end": "post-end:9 both:1"}),
            "restart-circuit": cause(0.04, "portal says offline too | does not react to anything"
                " | app and card have no effect on it", "circuit off and on | power cycled once",
                                     minutes=8, codes="K51:0.5", seen={"session-over": "yes:4 not-known:6"}),
            "release-lock": cause(0.02, "something scrapes in there | lock pin is half out | feels as if a bolt is bent",
                "opened by its release", minutes=33, codes="K51:0.8"),
            "replace-lock": cause(0.03, "every user has that here now | motor whirrs and nothing moves"
                " | whirring noise then K51", "new lock drive", minutes=58,
                                  codes="K51:0.9", signs="lock-lamp=white-blink:8"),
            "other": cause(0.02, "it is a foreign adapter | a self-made adapter is in it | some kind of converter sits between",
                "adapter was the wrong size, pulled by the electrician"),
        },
        habit=["portal-unlock"]),
    "card-refused": article(
        60, POSTS,
        says="""{box} does not take my card | card is rejected | held the card ten times, no go | the card stopped working here
            | beep, red, no charge | key card without effect | I am not let in with my card
            | reader of {box} {n} does not want me
            | card is declined at the {box} | cannot identify with the card""",
        foreign="meine Karte geht hier nicht | Leser nimmt die Karte nicht an | no acepta mi tarjeta",
        circumstances="worked last month | employee | tenant of flat on third floor | since today | visitor from another site"
        " | fleet",
        checks={"reader-answer": "red-beep:6 nothing:3 green-then-stops:1", "other-card": "yes:6 no:1 none-here:4",
        "card-status": "accepted:6 not-listed:2 blocked:1 expired:1"},
        fixes={
            "hold-card-flat": cause(0.15, "card stays in the wallet | no beep at all | card is in a thick sleeve"
                " | with three other cards behind it",
                                    "held flat, alone | out of the wallet", minutes=3, codes=""),
            "unblock-card": cause(0.18, "contract was renewed | they told me it ran out | he paid late"
                " | first try after parental leave",
                                  "unblocked the card | extended validity | card was expired, renewed date", minutes=7,
                                  codes="",
                                  seen={"reader-answer": "red-beep:9 green-then-stops:1",
                                  "card-status": "blocked:6 expired:4"}),
            "correct-number": cause(0.39, "all from the last list | new batch of cards | since the spreadsheet was loaded"
                " | the cards handed out on Monday"
                                    " | one of forty new ones",
                                    "number corrected, bytes were reversed | leading zeros were lost, fixed"
                                    " | re-imported the list as text",
                                    minutes=16, codes="", seen={"reader-answer": "red-beep:9 green-then-stops:1"}),
            "send-list": cause(0.12, "next {box} takes it | only at this one, at the other it works"
                " | this {box} was offline for a while | was moved here from another place",
                               "sent the card list | list on the point was empty, sent", minutes=18, codes="",
                               seen={"card-status": "accepted:9 not-listed:1", "reader-answer": "red-beep:9"}),
            "fitting-card": cause(0.07, "it is the office door badge | he uses the phone | bank card",
                "gave a card that fits | badge is 125 kHz, new card",
                                  minutes=9, codes="", seen={"card-status": "not-listed:9 accepted:1"}),
            "replace-reader": cause(0.05, "nobody gets in at this one | no card beeps here | reader corner is fogged",
                "new reader | reader replaced",
                                    minutes=57, codes="K61:0.85", seen={"reader-answer": "nothing:9 red-beep:1"}),
            "other": cause(0.04, "the roaming provider has a problem | card of another company"
                " | foreign card from a motorway provider", "roaming partner was down, waited | partner's fault"),
        },
        change=("2025-03-01", ["correct-number"])),
}

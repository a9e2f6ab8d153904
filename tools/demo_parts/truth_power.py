"""The truth of power/ and weather/: dark posts, slow ones, tripping breakers, heat."""

from .shape import article, cause

POSTS = "post-7:55 post-22:45"

ARTICLES = {
    "no-lights-at-all": article(
        54, POSTS, season="thunder", clump=2.5,
        says="""{box} shows nothing at all | {box} is stone dead | no display, no lamp, nothing on the {box}
            | {box} number {n} has gone completely dark | nothing glows on the {box} any more
            | {box} without any sign of life | all lamps off on {box} {n} | {box} does not wake up, it stays black
            | front of the {box} is black | {box} seems to have no current at all""",
        foreign="die {box} ist tot, gar nichts leuchtet | Säule komplett dunkel | el cargador está muerto, sin luces",
        circumstances="""noticed this morning | since the weekend | was fine last night | first time this happens
            | nobody touched it | tenant is annoyed | needs the car tomorrow""",
        checks={"building-supply": "yes:95 no:5", "breaker-position": "on:80 off:8 not-found:12",
                "other-posts": "only-this:70 several:14 only-one-here:16"},
        fixes={
            "switch-on-once": cause(
                0.30, "one lever in the board hangs down | the lever for it points the other way"
                " | somebody pulled the lever for cleaning"
                " | one switch in the fuse box is not like the others | a lever had dropped after the hoover was used",
                "switched breaker on | put mcb back in, once | lever up again", devices={"post-7": 1.25, "post-22": 0.7},
                minutes=4,
                seen={"other-posts": "only-this:6 several:1 only-one-here:3"}),
            "wait-for-supply": cause(
                0.10, "the whole street is dark | no light in the stairwell either | lift is not running either"
                " | power cut in the quarter",
                "waited for the mains to return | told them to wait for the grid | power cut, waited", minutes=6,
                seen={"breaker-position": "on:9 not-found:3", "other-posts": "several:8 only-one-here:2"}),
            "find-open-supply": cause(
                0.42, "all levers are up and still nothing | since the electrician was in the board"
                " | since the new parking lights were wired"
                " | three in the row are dark, the others work | isolator on the column was turned"
                " | digging work on the yard last week",
                "traced the feed, open joint mended | found open isolator, closed it | repaired the missing phase in the feed",
                devices={"post-22": 1.3, "post-7": 0.8}, minutes=38,
                seen={"breaker-position": "on:9 not-found:1", "other-posts": "only-this:5 several:4 only-one-here:1"}),
            "replace-control-supply": cause(
                0.11, "since the storm on Tuesday | thunder last night, dead since | there was a surge, the router died too"
                " | it blinked once after the thunderstorm and never again",
                "swapped control fuse and psu | renewed control supply | new control fuse", minutes=50,
                seen={"breaker-position": "on:9 not-found:1"}),
            "replace-unit": cause(
                0.03, "it had been odd for weeks before | display had lines and then went black"
                " | it is one of the very first ones",
                "exchanged the whole unit | fitted new post | swapped unit", minutes=105, seen={"breaker-position": "on:1"}),
            "other": cause(
                0.04, "goes dark at dusk and comes back in the morning | dark only when the alarm is set"
                " | always dead at eight in the evening",
                "a timer of the building switched it off, taken out | wired behind the alarm relay, moved"),
        },
        habit=["find-open-supply"], change=("2025-10-01", ["switch-on-once"])),
    "charges-too-slowly": article(
        58, "post-7:45 post-22:55",
        says="""charging is painfully slow | takes for ever to fill up | {car} gets much less than the {box} promises
            | the power is only a fraction of what was sold to us | after eight hours {car} was not even half full
            | rate is way below normal | kilowatts are too low on {box} {n} | {car} estimates fourteen hours
            | it does charge, just like from a kitchen outlet | everybody here complains about the speed""",
        foreign="lädt nur ganz langsam | das Laden dauert ewig | carga lentísimo | tarda muchísimo en cargar",
        circumstances="""for two weeks now | it used to be faster | same on every charge | driver is a commuter""",
        checks={"car-limit": "three-phase:5 single-phase:3 not-known:4",
        "cable-rating": "32-a:60 20-a:14 13-a:3 63-a:3 fixed-lead:20",
                "share-now": "at-maximum:70 below-maximum:10 no-controller:20", "fallback-active": "no:92 yes:8"},
        fixes={
            "explain-car-limit": cause(
                0.17, "new car, a plug-in hybrid | it is a small city car | only the hybrid is slow, the others are quick"
                " | slows down once it is nearly full | the dealer said it takes eleven",
                "explained what the car can take | told him his obc does one phase only | car limit explained",
                devices={"post-22": 1.35, "post-7": 0.6}, minutes=6),
            "use-higher-rated-cable": cause(
                0.12, "with the lead from the boot | uses the thin lead that came with the car"
                " | with the neighbour's lead it is quicker"
                " | borrowed a lead from a colleague", "used a thicker lead, 32 A | other lead with higher rating"
                " | swapped lead for a 32 A one",
                minutes=6, seen={"cable-rating": "13-a:5 20-a:4"}),
            "raise-share": cause(
                0.33, "when more than three cars are plugged in | worst at lunch time when the kitchen runs"
                " | in the morning when everybody arrives"
                " | the guests' side is quick, ours is slow | slow when the building is busy",
                "raised the share of this point | corrected priority in site > points | moved point to the right group",
                devices={"post-22": 1.2, "post-7": 0.8}, minutes=14, signs="status-lamp=blue:4 status-lamp=blue-slow:5"),
            "meter-not-found#match-address": cause(
                0.10, "every point is slow, day and night | all points give the same six amps"
                " | since the meter was exchanged everything crawls"
                " | the {ctl} page has a red entry about the meter",
                "meter was lost, matched bus address | set meter address back to 1 | fallback because of meter addr, put right",
                minutes=15, seen={"fallback-active": "yes:9 no:1", "share-now": "below-maximum:4 at-maximum:1"}),
            "raise-configured-current": cause(
                0.16, "never was quick since the installation | new {box}, slow from the first day"
                " | since the fitter left it at a low value"
                " | the page shows a maximum of ten", "raised the configured max to circuit rating"
                " | setup > current was at 10 A, set to 32 | set max current up",
                devices={"post-7": 1.4}, minutes=11),
            "set-selector": cause(
                0.04, "fitter set it on the page and nothing changed | page says 32 but it never goes over 16"
                " | old board with a dial",
                "set the dial on the board | corrected selector | selector was at 16 A, put to 32", devices={"post-7": 1.6,
                "post-22": 0.4}, minutes=26),
            "reduced-on-hot-days#shade-and-clear": cause(
                0.05, "only on sunny afternoons | box stands in full sun | fine at night, slow after lunch in the heat",
                "cleared leaves off the vents | shaded the unit, vents cleaned", minutes=20,
                signs="status-lamp=amber:6 status-lamp=blue:2"),
            "other": cause(0.05, "the tariff says something about evening hours | utility sends a signal in the evening"
                " | slow from five to seven, otherwise fine",
                           "grid operator's dimming signal was active | utility dimming contact, told them"),
        },
        habit=["raise-configured-current"], change=("2025-07-01", ["raise-share"])),
    "one-phase-only": article(
        27, "post-22:1",
        says="""{box} feeds just one of three phases | gets seven instead of twenty-two | two phases are missing on {box} {n}
            | only one of the three currents shows a figure | power is a third of normal | shows L1 only
            | three-phase {car} gets one phase here
            | somehow it is running single phase | two of three amp figures are zero | never more than seven kilowatt""",
        foreign="nur eine von drei Phasen da | es lädt einphasig statt dreiphasig | de tres fases solo llega una",
        circumstances="for a few days | since the works in the cellar | on this one only | noticed by the driver"
        " | same every time",
        checks={"three-phase-car": "yes:5 no:2 no-such-car:3", "phase-setting": "three-phase:85 single-phase:15"},
        fixes={
            "explain-single-phase": cause(
                0.40, "with the hybrid | my old car did twenty-two, the new one does not | other cars get all three here",
                "explained car is single phase | his car only takes one phase, told him", minutes=5, codes=""),
            "swap-three-phase-cable": cause(
                0.13, "with the new lead it is like that | lead looks thin and has fewer pins"
                " | with the lead from the pool car",
                "other lead with 5 pins | three-phase lead used", minutes=6, codes="K22:0.05",
                seen={"three-phase-car": "yes:6 no:4 no-such-car:2"}),
            "set-three-phases": cause(
                0.13, "after the update | since somebody changed the page settings | came back from reset like that",
                "set phases to three | phase setting was single, changed", minutes=9, codes="K22:0.1"),
            "restore-missing-phase": cause(
                0.22, "one of the big fuses may be gone | the oven in the kitchen is dead as well"
                " | since the cellar was rewired"
                " | two posts in the row do the same", "restored L2, terminal was loose | mended the phase, fuse carrier bad"
                " | mended missing phase in board",
                minutes=36, codes="K22:0.85", signs="status-lamp=amber:8 status-lamp=blue:1"),
            "replace-contactor": cause(
                0.07, "it clicks but only one comes | clunk sounds weaker than next door's"
                " | happens at random, then all three again",
                "new contactor | contactor pole dead, replaced", minutes=70, codes="K22:0.7",
                signs="status-lamp=amber:7 status-lamp=red-fast:2"),
            "other": cause(0.05, "since the emergency generator test | only while the generator runs"
                " | after the mains was switched over",
                           "site was on the generator, one phase only | changeover switch stuck"),
        }),
    "breaker-trips-after-a-while": article(
        35, "post-7:65 post-22:35", season="heat",
        says="""breaker drops out after a good while of charging | goes off in the middle of the charge
        | the mcb falls after forty minutes
            | it runs an hour, then everything is off at the board | switch in the fuse box goes down during the night
            | cannot finish a charge, the breaker will not hold | the lever falls once {car} has been on for a while
            | fuse switch gives up at half past the hour | a long charge always ends with the lever down""",
        foreign="die Sicherung fällt mitten im Laden | nach langer Zeit fliegt der Automat | el automático salta a la hora",
        circumstances="third time this week | always at full power | short top-ups are fine | at home"
        " | in the underground garage",
        checks={"trip-time": "half-hour-or-more:75 under-ten-minutes:20 at-once:5",
        "which-device": "breaker:80 both-in-one:10 not-sure:10"},
        fixes={
            "lower-current": cause(
                0.12, "since the current was turned up | it held until they changed the setting"
                " | started with the new bigger car",
                "turned current down to 25 A | lowered configured current | set to 16 A for now", minutes=12),
            "tighten-terminals": cause(
                0.28, "one lever in the row is warmer than the rest | it goes sooner each time"
                " | the installation is six years old and never looked at"
                " | wall next to the board gets warm", "tightened terminals, one was loose | renewed a heated terminal"
                " | terminals torqued",
                devices={"post-7": 1.3}, minutes=34, seen={"trip-time": "half-hour-or-more:5 under-ten-minutes:4"}),
            "resize-breaker": cause(
                0.46, "when both cars charge side by side | only in summer, the board is in the boiler room"
                " | four breakers sit tight together"
                " | in the hot meter cupboard | breaker says C32 and the box pulls 32",
                "bigger spacing and right rating fitted | new 40 A breaker with gap | breaker resized",
                devices={"post-22": 1.25}, minutes=42),
            "replace-thin-cable": cause(
                0.08, "the supply was meant for a garden socket | very long way from the board | the old cooker line was used",
                "thicker feed laid | replaced the thin feed", minutes=85,
                seen={"trip-time": "half-hour-or-more:9 under-ten-minutes:1"}),
            "other": cause(0.06, "goes when the sauna heats | at the same moment as the heat pump starts"
                " | when washing machine and {box} run together",
                           "another big load on the same circuit, moved | heat pump on same feed"),
        },
        habit=["tighten-terminals"], change=("2025-11-15", ["tighten-terminals", "resize-breaker"])),
    "reduced-on-hot-days": article(
        34, POSTS, season="summer",
        says="""loses power in the heat | gives half as soon as it gets really warm | shuts down in the afternoon sun
            | charging pauses when it is over thirty degrees | goes down to almost nothing at midday | says too hot and slows
            | in the evening full power, at two nothing | the warm weather does not agree with the {box}
            | every hot day the {box} cuts back | temperature warning and half speed""",
        foreign="wird ihm zu warm, dann lädt er nur halb | bei 30 Grad geht fast nichts | con calor se para",
        circumstances="this week again | south wall | started in June | on the roof deck | since the awning went",
        checks={"in-the-sun": "yes:5 no:4 not-known:1", "cool-days-too": "no:85 yes:15"},
        fixes={
            "explain-heat": cause(0.42, "only on the two hottest days | it comes back by itself after sunset"
                " | the heat wave this week",
                                  "explained, it recovers when cool | told them it protects itself", minutes=5,
                                  codes="K41:0.35"),
            "shade-and-clear": cause(
                0.26, "sun is on it from noon to four | leaves and fluff behind the cover grid"
                " | someone stuck a poster over the slots"
                " | ivy has grown over it", "shade plate fitted and vents cleared | cleaned the vents | poster off the vents",
                minutes=22, codes="K41:0.6"),
            "breaker-trips-after-a-while#tighten-terminals": cause(
                0.18, "warm at the bottom where the cable goes in | also on cloudy days when it runs at full load"
                " | worse every summer, even in the shade",
                "terminals were loose and hot, renewed | tightened the input row", minutes=36, codes="K41:0.7",
                seen={"in-the-sun": "no:6 yes:2 not-known:2", "cool-days-too": "yes:5 no:5"}, devices={"post-22": 1.4}),
            "replace-sensor-or-fan": cause(
                0.10, "says too hot on a cold morning | the fan makes no sound any more | warning even at night",
                "temp sensor replaced | new fan | fan seized, swapped", minutes=64, codes="K41:0.9", devices={"post-22": 1.5,
                "post-7": 0.6},
                seen={"in-the-sun": "no:7 yes:2"}),
            "move-unit": cause(0.02, "it hangs above the boiler exhaust | metal wall that glows in summer"
                " | every summer, nothing has helped",
                               "unit moved to the north wall", minutes=120, codes="K41:0.7"),
            "other": cause(0.02, "somebody wrapped it in foil | there is a blanket on it | someone hung a cover over it",
                "a cover bag was on it, taken off"),
        },
        habit=["explain-heat"]),
}

"""The truth of bus/ and meter/: the meter, its bus and what the site controller makes of them."""

from .shape import article, cause

BOTH = "sc-2:70 m-3:30"

ARTICLES = {
    "meter-not-found": article(
        29, BOTH, voice="tech",
        says="""the {ctl} gets no answer from the {meter} | {meter} is absent on the bus | bus scan comes back empty
            | {meter} does not talk | no {meter} in the list | search for the {meter} ends with nothing
            | {ctl} cannot reach the {meter}
            | the bus stays silent | all points on fallback because the {meter} is missing | S31 and no way past it""",
        foreign="Regler findet den Zähler nicht | Bus antwortet nicht | el contador no responde en el bus",
        circumstances="on site now | commissioning | since Friday | installer on the line | worked for a year",
        checks={"display-lit": "lit:85 dark:5 not-visible:10", "silence-or-exception": "time-out:85 exception:15",
                "bus-ohms": "about-60:7 about-120:1 about-40:1 other:1"},
        fixes={
            "match-address": cause(0.20, "two meters on one line now | a second {meter} was added"
                " | address was read from the old plan",
                                   "matched bus address | addr was 2, set to 1 | gave it its own address", minutes=14),
            "match-serial": cause(0.15, "other make was in there before | new firmware reset the port | somebody set 9600",
                                  "set 19200 8E1 both sides | parity was none, matched | baud matched", minutes=13),
            "supply-meter": cause(0.11, "its display is black | the board was off yesterday | {meter} looks dead",
                                  "meter supply restored | bus plug pushed in and supply on", minutes=31),
            "exchange-data-wires": cause(0.40, "freshly wired | board was rebuilt, wires are new | names on the two ends differ"
                " | never worked, first start",
                                         "swapped A and B | exchanged data wires | D0 and D1 were crossed", minutes=19,
                                         devices={"m-3": 1.3}),
            "meter-values-drop-out#set-terminations": cause(
                0.09, "long line to the other hall | since the line was made longer | forty metres more bus than before",
                "fitted 120 ohm at both ends | terminations set", minutes=26,
                seen={"bus-ohms": "about-120:5 about-40:3 other:2"}),
            "other": cause(0.05, "there is another box in between | a converter of somebody else hangs there"
                " | somebody put a splitter in", "foreign gateway in between removed | converter was dead"),
        },
        habit=["match-serial"], change=("2025-05-01", ["exchange-data-wires"])),
    "meter-exception-or-nonsense": article(
        18, BOTH, voice="tech",
        says="""values from the {meter} make no sense | absurd figures on the {ctl} page | {meter} replies with an error number
            | power of a small town is shown | readings are garbage | figures jump from zero to billions | S32 in the log
            | the kilowatts cannot be true | {ctl} shows wrong units | all values shifted by one line""",
        foreign="Werte sind völliger Quatsch | Zähler liefert Mondwerte | valores sin sentido",
        circumstances="after commissioning | since the change of {meter} | on site | seen in the report | installer asks",
        checks={"exception-code": "none:6 02:2 03:1 04:1 01:1 0b:1",
        "fixed-factor": "plausible:3 jumping:2 fixed-factor:2 neighbour-value:1"},
        fixes={
            "choose-profile": cause(0.36, "other type of {meter} was fitted | profile list has four of them"
                " | not our own {meter}",
                                    "right profile chosen | profile changed to m-3", minutes=12),
            "correct-counting": cause(0.24, "volts stand where amps should be | everything one row off | current shows 230",
                                      "register counting starts at 0, corrected | offset by one fixed", minutes=16,
                                      seen={"exception-code": "none:7 02:3"}),
            "shorten-block": cause(0.08, "only some values come, then error two | worked until more values were ticked"
                " | fine with ten values, error with thirty", "shortened the read block | block to 20 registers",
                                   minutes=13, seen={"exception-code": "02:8 03:2"}),
            "correct-word-order": cause(0.19, "leaps up when it passes 65 | huge as soon as load is more than a bit"
                " | small values fine, large ones mad",
                                        "word order swapped | set type to float, high word first", minutes=20,
                                        seen={"exception-code": "none:1"}),
            "correct-port-map": cause(0.06, "behind the gateway in the other building | error ten"
                " | over the network converter only", "gateway port map corrected | port 2 mapped",
                                      minutes=15),
            "replace-meter": cause(0.03, "error four after every start | display of the {meter} shows M31"
                " | always error four, new profile or not", "meter restarted, then replaced", minutes=80),
            "other": cause(0.04, "readings in a foreign unit since the firmware | register list has changed, says the maker"
                " | maker changed the list without notice",
                           "bug in the meter's firmware, waiting for the maker"),
        }),
    "meter-values-drop-out": article(
        25, BOTH, voice="tech",
        says="""holes in the load curve | {meter} goes away and returns | readings stall from time to time
        | checksum errors pile up
            | values stop for a minute | {meter} lost several times per day | S33 again and again | some polls are not answered
            | the curve has gaps | short losses of the {meter}""",
        foreign="Werte setzen immer wieder aus | Lücken in der Lastkurve | se pierden lecturas a ratos",
        circumstances="for weeks | installer reports | seen in the portal | worse lately | on two sites",
        checks={"when-missing": "any-time:5 when-charging:4 fixed-times:2",
        "meter-not-found#bus-ohms": "about-60:7 about-120:1 about-40:1 other:1"},
        fixes={
            "lengthen-timeout": cause(0.16, "only the slow values | more meters on the bus than before"
                " | since the poll was set to half a second",
                                      "time-out lengthened | poll interval to 2 s", minutes=13),
            "set-terminations": cause(0.43, "long bus, nothing at the ends | errors at random, day and night"
                " | extended to the new row",
                                      "terminations fitted | 120R at both ends | end resistor was missing", minutes=27,
                                      devices={"m-3": 1.2}),
            "one-bias": cause(0.09, "two masters on it | an old {ctl} is still connected | both ends have pull-up switches on",
                "bias left at one place | removed second bias", minutes=25,
                              seen={"meter-not-found#bus-ohms": "about-60:3 about-40:4 other:3"}),
            "connect-common": cause(0.20, "between two buildings | only two wires were pulled | when the lift moves",
                "third wire connected | shield and common connected",
                                    minutes=38, seen={"when-missing": "any-time:6 when-charging:4"}),
            "remove-star": cause(0.08, "five lines meet in one box | at full load of all cars"
                " | wires lie beside the power cables", "star made into a trunk",
                                 minutes=125),
            "other": cause(0.04, "a welding shop moved in next door | a radio mast on the roof | only while the crane works",
                "interference from next door, moved the cable tray"),
        }),
    "site-power-negative": article(
        16, BOTH, voice="tech",
        says="""site power has a minus | the {ctl} thinks we give power away | minus forty kilowatt on the page
        | we seem to export
            | sign is the wrong way round | all figures below zero | load is shown as feed-in | negative power in the evening
            | consumption is counted backwards""",
        foreign="Verbrauch mit Minus davor | zeigt Einspeisung an | consumo con signo menos",
        circumstances="since commissioning | asked by the site manager | noticed in the report | installer is there",
        checks={"generation": "no:75 yes:15 not-known:10",
        "phase-powers": "plausible:3 all-negative:3 one-negative:1 two-negative:1 about-minus-half:1"},
        fixes={
            "explain-generation": cause(0.43, "only when the sun is out | there are panels on the roof of the hall"
                " | a battery was put in last month",
                                        "explained, panels feed out | that is the pv", minutes=5,
                                        seen={"phase-powers": "all-negative:6 plausible:3"}, codes=""),
            "flip-sign": cause(0.28, "day and night the same | everything is the exact opposite | size is right, only the sign",
                               "ticked reverse for all inputs | sign flipped", minutes=13, codes="M03:0.7"),
            "turn-transformers": cause(0.14,
                "the rings were mounted this week | flipping it in the page is not wanted by the fitter"
                " | arrows point the wrong way in the board",
                                       "turned all three CTs | transformers turned", minutes=44, codes="M03:0.7"),
            "move-transformers": cause(0.11, "half of what it should be and minus | phases were changed round at the feed"
                " | board swapped L1 and L3",
                                       "each CT on its own phase now | moved CTs", minutes=66, codes="M03:0.5"),
            "other": cause(0.04, "the neighbour's generator feeds through | an old meter profile of the utility"
                " | utility reads it the other way round", "utility's counter direction, told them"),
        },
        habit=["flip-sign"]),
    "site-power-too-low": article(
        18, BOTH, voice="tech",
        says="""{meter} shows next to nothing | site load is far below the truth | a tenth of the real load is shown
            | whole building runs and it says two kilowatt | one phase is stuck at nil | the figure is much too small
            | clamp and {meter} do not agree | reads less than the car park alone draws | load seems to vanish""",
        foreign="zeigt viel weniger als wirklich | Verbrauch fast null | marca mucho menos de lo real",
        circumstances="since the conversion | on site with a clamp | seen by the energy manager | after commissioning",
        checks={"site-power-negative#phase-powers": "plausible:6 one-negative:1 about-minus-half:1",
        "amperes": "right:5 constant-factor:3 one-phase-low:1",
                "ratio-known": "known:7 not-known:2 m21-shown:1"},
        fixes={
            "set-ratio": cause(0.42, "always by the same factor | new rings of another size | five times too small",
                "ratio set to 250/5 | entered CT ratio",
                               minutes=13, codes="M21:0.7", seen={"amperes": "constant-factor:9 right:1"}),
            "turn-one": cause(0.25, "one of three has a minus | sum is a third of it"
                " | since one ring was taken off for the works",
                              "turned the one CT | S1 and S2 exchanged on L2", minutes=41, codes="M04:0.3",
                              seen={"amperes": "right:9 constant-factor:1"}),
            "exchange-two": cause(0.14, "sum is about zero at full load | amps are right and power is nothing"
                " | leads of two rings got mixed up", "exchanged the two CTs | CTs L1/L3 swapped back",
                                  minutes=59, codes="M04:0.4",
                                  seen={"site-power-negative#phase-powers": "about-minus-half:8 plausible:2"}),
            "close-core": cause(0.14, "one phase a bit low since the clip was opened | the ring looks ajar"
                " | L3 shows half the amps",
                                "closed the core, clicked | core faces wiped and shut", minutes=26, codes="M04:0.2"),
            "other": cause(0.05, "part of the building is fed from elsewhere | there is a second feed"
                " | the shop has its own supply", "second feed not metered, told the planner"),
        }),
    "site-limit-exceeded": article(
        24, "sc-2:60 post-22:20 post-7:10 m-3:10", season="cold", clump=3.0, voice="tech",
        says="""load management did not hold | building fuse went while cars charged | limit overrun alarm
        | peak is above what was agreed
            | balancing lets too much through | one big fuse gone on a busy evening | S41 came up
            | utility complains about our peak
            | total current above the limit | the site went over its limit again""",
        foreign="Hauptsicherung raus, obwohl geregelt wird | Grenze wird überschritten | se supera el límite del edificio",
        circumstances="cold evening | twice this month | company car park | all points busy | seen in the bill",
        checks={"fuse-or-report": "only-reported:7 fuse-gone:3", "limit-matches": "yes:8 no:1 not-known:2",
        "meter-lost-then": "no:88 yes:12"},
        fixes={
            "lower-limit": cause(0.12, "just a few amps over | short peaks only | when the oven and all cars run",
                "lowered site limit to 75 % | limit down", minutes=8, codes="S41:0.7"),
            "correct-limit": cause(0.17, "the fuse was made smaller last year | limit was typed as a sum"
                " | somebody entered 250", "limit corrected per phase | fuse rating put right",
                                   minutes=14, codes="S41:0.7"),
            "correct-phase-map": cause(0.41, "only one of the three fuses went | one phase is always higher"
                " | many single phase points in a row | L1 is full, L2 is empty",
                                       "phase map corrected | points sat on other phases, fixed map | assigned real phases",
                                       minutes=33, codes="S41:0.6",
                                       seen={"fuse-or-report": "fuse-gone:5 only-reported:5"}),
            "set-fallback": cause(0.18, "at that moment the {meter} was gone | happened during the bus failure"
                " | all went to ten amps at once",
                                  "fallback set to 6 A | fallback current lowered", minutes=19, codes="S42:0.7 S41:0.2"),
            "move-meter": cause(0.07, "the kitchen is not in the figure | part of the load is not seen"
                " | new hall is fed before the {meter}",
                                "meter moved in front of everything", minutes=68, codes="S41:0.4"),
            "other": cause(0.05, "the bill has a peak we do not see | invoice of the utility is wrong"
                " | utility measured another month", "utility's reading was wrong"),
        }),
}

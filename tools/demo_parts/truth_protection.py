"""The truth of protection/: what trips, what is dangerous, and what the electrician finds on site."""

from .shape import article, cause

POSTS = "post-7:55 post-22:45"

ARTICLES = {
    "rcd-trips-on-plug-in": article(
        48, POSTS,
        says="""{box} throws the RCD as soon as I connect | the moment {car} is on, the residual current switch goes
            | everything off with a bang of the lever when charging begins | plug in, click, dark
            | it drops out at the start of each charge
            | trip switch goes when it starts to load | connecting the {car} trips it | cannot charge, the RCD goes at once
            | RCD goes off the second the {plug} is in""",
        foreign="FI löst beim Einstecken aus | beim Anstecken fliegt der FI | salta el diferencial en cuanto conecto",
        circumstances="since yesterday | second time | at home | nobody switched it back | caretaker calls | morning",
        checks={"trips-empty": "no:6 yes:1 not-known:3", "follows-car": "any-car:4 same-car:2 only-one-car-here:4",
        "moisture-look": "no:80 yes:20", "insulation-test": "yes:75 no:25"},
        fixes={
            "dc-residual-fault#have-car-checked": cause(
                0.13, "my other one charges without trouble | the neighbour's {car} is fine here"
                " | it did the same in the town garage",
                "sent the car to the garage | have car checked", minutes=9,
                seen={"follows-car": "same-car:8 only-one-car-here:3", "insulation-test": "yes:1"}),
            "swap-lead": cause(0.10, "new lead arrived and since then | lead was pinched in the boot"
                " | with the site's lead it holds", "other lead under supervision | swapped lead, one re-close",
                               minutes=21, seen={"insulation-test": "yes:8 no:2"}),
            "separate-loads": cause(0.11, "the pump hangs on it too | when the freezer runs"
                " | several things behind that switch", "own rcd for the point | loads separated", minutes=48,
                                    devices={"post-7": 1.5}),
            "reseal-gland": cause(
                0.39, "only after wet days | when it rains, in dry weather it holds | fog this morning | since the heavy rain"
                " | the post stands in the open",
                "gland was wet, dried and resealed | resealed gland | new gland, dried", minutes=37, devices={"post-22": 1.3},
                codes="K31:0.75",
                seen={"moisture-look": "yes:6 no:4", "insulation-test": "no:7 yes:3"}),
            "renew-cable": cause(0.16, "lead has a cut in the skin | digger hit the duct last month"
                " | lead lies under the tyre all day", "renewed the lead | feed cable section renewed", minutes=62,
                                 codes="K31:0.6"),
            "replace-rcd": cause(0.07, "also when a lamp is switched on | it goes for nothing | old type in the board",
                "rcd replaced, type B | new rcd", minutes=56, codes="K31:0.2"),
            "other": cause(0.04, "the fitter left a test bridge | since the meter man was there"
                " | since a second circuit was connected", "neutral of another circuit mixed in, corrected"),
        },
        habit=["swap-lead"], change=("2025-10-15", ["reseal-gland"])),
    "rcd-trips-in-rain": article(
        44, POSTS, season="rain", clump=1.5,
        says="""RCD falls without a {car} | off every morning although nothing was plugged in
        | the residual current switch goes by itself
            | it trips with nobody there | found it off again | goes in bad weather | nothing connected and still it drops
            | the switch will not stay in overnight | tripped when empty""",
        foreign="FI fällt ohne Auto | nachts fliegt der FI von selbst | salta solo, sin coche",
        circumstances="again | caretaker | left off now | fourth time | since autumn | weekend",
        checks={"only-wet": "only-wet:6 also-dry:2 not-known:2", "rcd-trips-on-plug-in#trips-empty": "yes:8 not-known:2",
        "mist-behind-window": "no:8 yes:1",
                "rcd-trips-on-plug-in#insulation-test": "no:6 yes:4"},
        fixes={
            "keep-jets-away": cause(0.11, "the gardener hosed it down | lawn sprinkler reaches it | cleaning day",
                "sprinkler turned away | no hose, told the cleaners", minutes=8,
                                    seen={"only-wet": "also-dry:6 only-wet:3"}),
            "rcd-trips-on-plug-in#reseal-gland": cause(
                0.25, "each time it pours | drips along the cable into the foot | rain from the west",
                "gland resealed | dried, new gland", minutes=38, codes="K31:0.7", devices={"post-22": 0.7, "post-7": 1.2}),
            "renew-seal": cause(0.38, "window is fogged | drops behind the glass | front was opened in spring"
                " | lower edge of the front looks crooked",
                                "new cover seal | seal renewed, groove cleaned", minutes=45, codes="K31:0.7",
                                devices={"post-22": 1.4, "post-7": 0.8}),
            "rcd-trips-on-plug-in#renew-cable": cause(0.12, "the duct is full in winter | after long wet weeks"
                " | days after the rain too", "feed cable renewed", minutes=88, codes="K31:0.5",
                                                      seen={"only-wet": "only-wet:5 also-dry:5"}),
            "move-shared-loads": cause(0.09, "garden lamps hang on it | when the path lights come on | thunder in the evening",
                "garden lights off this rcd | surge device moved", minutes=46, codes="K31:0.2",
                                       seen={"only-wet": "also-dry:5 only-wet:5",
                                       "rcd-trips-on-plug-in#insulation-test": "yes:9 no:1"}),
            "other": cause(0.05, "there was a mouse in it once | ants in the foot | something small seems to live in the foot",
                "nest of ants in the foot, cleaned"),
        },
        habit=["rcd-trips-on-plug-in#reseal-gland"], change=("2026-01-15", ["renew-seal"])),
    "dc-residual-fault": article(
        23, POSTS,
        says="""direct current leak message | DC error on the display | {box} reports a DC leak | K32 and slow red
            | stops with a leakage message | six milliamp alarm | the DC watch has struck | leakage alarm as the {car} begins""",
        foreign="meldet Gleichfehlerstrom | avisa de fuga de continua",
        circumstances="new {car} | twice today | fleet yard | since this week | others charge | first time",
        checks={"clears-unplugged": "yes:7 no:2", "second-car": "every-car:4 only-this-car:3 no-second-car:4"},
        fixes={
            "unplug-and-wait": cause(0.42, "came once in months | went away when unplugged | only this once so far",
                "unplugged and waited | left unplugged for 10 min", minutes=13, codes="K32:0.7"),
            "have-car-checked": cause(0.24, "only with the grey van | that {car} did it at two other places"
                " | with the demo {car} only | a used {car}, just bought",
                                      "car to be checked | sent car to garage", minutes=9, codes="K32:0.8"),
            "self-test": cause(0.13, "even with nothing plugged in | since the power dip it stays"
                " | message is there without any {car}", "restart and self-test | ran the self test", minutes=14,
                codes="K32:0.9"),
            "correct-sensor-wiring": cause(0.10, "right from the first day | since the board was changed"
                " | began after the repair", "wire through the sensor corrected", minutes=63, codes="K32:0.9",
                seen={"second-car": "every-car:8 no-second-car:3"}),
            "replace-sensor": cause(0.06, "self-test says fail | red at once after each start"
                " | never clears, not even overnight", "sensor replaced", minutes=74, codes="K32:0.95",
                seen={"clears-unplugged": "no:9 yes:1"}),
            "other": cause(0.05, "a trailer with its own charger | someone plugs in a caravan"
                " | an old milk float was connected", "caravan converter, not allowed here"),
        },
        habit=["have-car-checked"]),
    "supply-voltage-fault": article(
        25, POSTS, season="cold",
        says="""voltage is out of the band, it says | K21 again | undervoltage alarm | {box} stops, mains too low
        | overvoltage at noon
            | says supply fault | charging halts because of voltage | voltage warning on the {box} | mains message, then pause""",
        foreign="meldet Spannung zu niedrig | aviso de tensión baja",
        circumstances="farm | evenings | end of the street | since winter | seen on the page | workshop",
        checks={"lamp-pattern": "steady:6 dip-together:2 not-known:3", "too-low-or-high": "too-low:7 too-high:2 both:1",
        "only-charging": "only-charging:5 always:3 not-known:3"},
        fixes={
            "breaker-trips-after-a-while#lower-current": cause(0.35, "full current is too much here | at night alone it works"
                " | goes with the big {car} only", "current lowered to 20 A | lowered configured current", minutes=13,
                                                               seen={"only-charging": "only-charging:8 not-known:2"}),
            "record-for-operator": cause(0.22, "at noon when everyone feeds in | in the whole village"
                " | also when nobody charges | neighbours see it too",
                "day's record given to the operator | recorded, operator informed",
                                         minutes=48, seen={"too-low-or-high": "too-high:5 too-low:4 both:1",
                                         "lamp-pattern": "steady:7 not-known:3"}),
            "mend-voltage-drop": cause(0.24, "lamps in the yard dip | as soon as two charge | one joint hums",
                "joints tightened | mended terminals", minutes=55,
                                       seen={"lamp-pattern": "dip-together:7 steady:2 not-known:1",
                                       "too-low-or-high": "too-low:1"}),
            "stronger-supply": cause(0.10, "two hundred metres from the house | thin feed to the barn"
                " | post at the far end of the yard", "stronger feed laid", minutes=180, seen={"too-low-or-high": "too-low:1"}),
            "other": cause(0.06, "when they weld | generator of the fair | building site next door uses big machines",
                "generator feed, not the mains"),
        }),
    "after-burning-inspection": article(
        6, POSTS, voice="site",
        says="""electrician here, point was shut down for heat | on site after the heat case, what now
        | point locked off, heat at the contact side
            | inspection of a post that got too warm | parts heat-marked, what to renew
            | post taken over from the fire case, where to begin | heat traces inside, which parts go
            | need the renewal steps for a heat-marked post""",
        circumstances="on site | locked off | with tester",
        checks={"damage-seat": "plug-or-socket:4 terminals:4 contactor:2 not-found:1", "dead-tests": "yes:8 no:2"},
        fixes={
            "renew-socket": cause(0.48, "contacts of the outlet discoloured | outlet side deformed"
                " | contact sleeves have lost their spring", "socket and plug renewed | both halves renewed", minutes=70),
            "renew-terminals": cause(0.28, "row below is discoloured | L2 clamp was loose | one conductor end is brittle",
                "terminal row renewed | new terminals", minutes=75),
            "renew-breaker": cause(0.08, "it was in the board | comb bar discoloured | post itself is clean, board is not",
                "breaker and busbar contact renewed", minutes=72),
            "replace-damaged-unit": cause(0.12, "contactor stuck and warm | inside all brown | contactor housing is warped",
                "unit replaced", minutes=110),
            "other": cause(0.04, "nothing found at the post | it was the neighbour's heater"
                " | post is clean, cause was elsewhere", "cause outside of the post"),
        }),
    "after-shock-inspection": article(
        5, POSTS, voice="site",
        says="""electrician here, touch voltage case | on site, tests before it goes live again
        | earth loop not good at the post | post locked off, earth in question
            | point is off, earth to be measured | touch case, which order of tests | need steps for the earth repair
            | loop impedance far too high at the post""",
        circumstances="on site | locked off | with tester",
        checks={"pe-continuity": "yes:6 no:3", "rcd-trips-on-plug-in#insulation-test": "yes:7 no:3",
        "earthing-system": "tn-s:4 tn-c-s:3 tt:3"},
        fixes={
            "restore-earth": cause(0.46, "earth clamp corroded | no continuity to the main bar"
                " | green wire pulled out of its clamp", "earth restored | PE re-terminated", minutes=72),
            "rcd-trips-on-plug-in#renew-cable": cause(0.22, "lead worn through | insulation bad on the lead"
                " | kink in the lead near the handle", "lead renewed", minutes=60, seen={"pe-continuity": "yes:1",
                "rcd-trips-on-plug-in#insulation-test": "no:1"}),
            "rcd-trips-on-plug-in#replace-rcd": cause(0.12, "RCD did not act | slow on test | test button without effect",
                "rcd replaced", minutes=55, seen={"pe-continuity": "yes:1"}),
            "operator-pen": cause(0.14, "voltage on the PEN | whole street affected | neighbours have it as well",
                "operator repaired the PEN", minutes=85),
            "other": cause(0.06, "all tests good | nothing measurable | dry day, cannot reproduce", "all good, static"),
        }),
    "after-lost-neutral": article(
        5, POSTS, voice="site",
        says="""electrician here, phases 170 and 280 | voltages far apart at the board | on site after the uneven voltage case
        | neutral found hot in the board
            | board shows 150 and 290 volts, main switch off | neutral case, where is it open
            | need steps after a neutral fault | two phases high, one low""",
        circumstances="on site | switched off",
        checks={"open-side": "own-side:5 operator-side:3 not-found:1"},
        fixes={
            "operator-neutral": cause(0.48, "house box side | street works outside | meter side reads wrong already",
                "operator mended it | grid side repaired", minutes=80),
            "renew-neutral": cause(0.28, "clamp in the main board | screw was loose | joint in the main board discoloured",
                "neutral terminal renewed", minutes=58),
            "renew-hurt-parts": cause(0.20, "several devices dead afterwards | post does not start now"
                " | surge parts have acted", "hurt parts renewed", minutes=120),
            "other": cause(0.04, "nothing found any more | voltages normal again | operator had been there already",
                "nothing found"),
        }),
    "after-damage-or-flood": article(
        6, POSTS, voice="site",
        says="""electrician here, post had a knock | post after high water, what to test | foundation moved, post stands askew
        | wet up to the plinth, can it stay
            | post was hit, what to test before it goes on | drying or renewing, post after the flood
            | plinth cracked, post upright | new shell needed, electrics seem fine""",
        circumstances="on site | fenced off | with tester",
        checks={"damage-height": "housing-only:4 gland:3 terminals:2 electronics:2", "cable-tests": "yes:8 no:2"},
        fixes={
            "renew-housing": cause(0.44, "only the shell is hurt | tests are good, shell bent | lid does not close any more",
                "housing renewed", minutes=105),
            "dry-wiring-space": cause(0.26, "water was below the row | damp at the foot | mist inside, terminals dry",
                "dried and resealed | cleaned, dried, sealed", minutes=140),
            "replace-wet-unit": cause(0.26, "board was wet | mud up to the display | water line above the terminals",
                "unit and supply end replaced", minutes=170),
            "other": cause(0.04, "owner wants it gone | site is given up | will be rebuilt elsewhere", "taken down for good"),
        }),
    "burning-smell-or-smoke": article(
        17, POSTS, danger=True,
        says="""there is a burnt smell at {box} {n} | smoke came out of the {box} | {plug} is melted at one side
        | the {plug} got so hot I dropped it
            | it crackles and there are sparks | smells of plastic near the {box} | brown marks round the contacts
            | something burning in the {box}
            | acrid smell when the {car} charges | plastic gone soft at the {plug}""",
        foreign="riecht verbrannt an der {box} | {box} qualmt | sale humo del cargador",
        circumstances="just now | a minute ago | people are near | garage | lead pulled already", fixes={}),
    "shock-or-tingling": article(
        10, POSTS, danger=True,
        says="""got an electric shock from the {box} | tingling on the {car} door
        | my hand tingles, it is tingling at the housing | the {box} gave me a shock
            | a colleague was zapped at the {plug} | felt a current through my arm at the {box}
            | {car} body feels live while charging
            | prickling in the fingers at the {box}""",
        foreign="habe einen Stromschlag bekommen | es kribbelt am Gehäuse | me dio calambre el cargador",
        circumstances="wet ground | bare feet | just now | child was near", fixes={}),
    "lamps-brighten-and-dim": article(
        8, POSTS, danger=True,
        says="""some lamps brighter and others dim since the {car} is on | lights went bright in the flat and dim in the hall
            | bulbs blew in two rooms | lights flicker all over the house when it charges | appliances died while charging
            | half the house dim, half too bright
            | room lights too bright as soon as {car} charges | house lights flicker, kitchen brighter""",
        foreign="Lampen heller und dunkler im ganzen Haus | unas luces brillan demasiado",
        circumstances="right now | since an hour | evening", fixes={}),
    "unit-broken-open-or-flooded": article(
        9, POSTS, season="rain", clump=1.5, danger=True,
        says="""a van hit the {box} | {box} was knocked over | cover broken, wires hanging | {box} is vandalised, front torn off
            | car park flooded, {box} stood in water | cable was cut and copper showing | {box} ripped off the wall
            | somebody smashed the {box} {n}
            | housing cracked open""",
        foreign="jemand hat die Säule umgefahren | Keller überflutet, Säule unter Wasser | el cargador está inundado",
        circumstances="this morning | last night | on camera | fenced off by the caretaker", fixes={}),
}

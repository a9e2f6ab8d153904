"""The truth of mechanics/, commissioning/, of damp and cold, and of cables that are not recognised."""

from .shape import article, cause

POSTS = "post-7:52 post-22:48"

ARTICLES = {
    "flap-or-holder-broken": article(
        22, POSTS, season="cold",
        says="""lid of {box} {n} does not stay down | the lid over the hole is loose | rest for the {plug} is loose
            | {plug} will not stay where one hangs it | I cannot hang the {lead} up properly any more
            | something on the lid of the {box} has had it | lid of the {box} stands up, is that bad
            | the holder on the {box} gives way | no way to shut the lid on {box} {n}""",
        foreign="Türchen geht nicht mehr richtig zu | Halter für das Kabel ist lose | la tapita no se queda cerrada",
        circumstances="it still charges | for weeks now | seen on the morning round | rain is forecast | picture attached"
        " | children play there",
        checks={"housing-whole": "whole:1", "broken-part": "flap:3 spring:2 holder:3 only-dirt:2 nothing:2",
                "car-not-detected#pin-look": "clean:92 in-the-socket:5 on-the-cable:3"},
        fixes={
            "clear-hinge": cause(
                0.19, "a snail sits in the joint | sand from the building site everywhere | full of autumn leaves"
                " | it grates when I move it", "cleaned the hinge, falls shut | wiped grit off hinge and edge", minutes=5),
            "hang-straight": cause(
                0.13, "new driver, hangs it on sideways | the {lead} drags at it | {lead} is very long and heavy"
                " | it stays if I hang it up carefully",
                "plug hung straight, lead in loops on the hook | showed him how to hang the plug", minutes=4,
                devices={"post-22": 1.3}),
            "hook-spring": cause(
                0.17, "no tension on it at all | it flops to both sides | a small wire coil came out of there",
                "spring hooked in again | spring was off its peg, back on", minutes=13),
            "replace-flap": cause(
                0.28, "one ear of it is gone | the edge has splintered | sun has made it brittle | one half stayed in my fingers",
                "new flap from outside | flap and edge seal renewed", minutes=19, devices={"post-7": 1.25}),
            "replace-holder": cause(
                0.16, "somebody leaned a bicycle on it | one of its two screws is missing | the {plug} fell and took it along"
                " | the rest has a split", "new plug holder | holder replaced, seals under the screws", minutes=24),
            "car-not-detected#replace-socket": cause(
                0.03, "the ring round the holes is chipped too | the {plug} goes in askew now",
                "socket replaced, its ring was worn out", minutes=75,
                seen={"car-not-detected#pin-look": "in-the-socket:7 clean:3"}),
            "other": cause(0.04, "caretaker glued it shut | there is sticky tape all over it | a wasps' nest under the lid",
                           "tape and glue taken off by the caretaker | nest removed by the town's beekeeper"),
        },
        habit=["replace-flap"]),
    "post-leans-or-loose": article(
        12, POSTS,
        says="""{box} {n} is out of plumb | the {box} is loose at the bottom | {box} gives when one pulls the {lead}
            | the {box} has a lean, is that allowed | {box} {n} rocks at its foot | it does not stand straight
            | gap under the foot of the {box} | the {box} sways when the wind blows""",
        foreign="Säule steht nicht mehr gerade | unten am Fuß ist Luft | el poste está inclinado desde hace días",
        circumstances="it charges as ever | nobody knows since when | seen on the monthly round | next to the entrance"
        " | picture in the mail",
        checks={"open-or-bent": "no:1", "was-it-hit": "not-hit:6 not-known:3 hit:1",
                "what-moved": "post-on-base:5 base-in-ground:2 nothing:2",
                "after-damage-or-flood#cable-tests": "yes:95 no:5"},
        fixes={
            "explain-slope": cause(
                0.13, "the fence looks askew next to it too | seen from the road only | newly paved there",
                "plumb line from two sides, only the paving slopes | explained, ground slopes", minutes=8,
                seen={"was-it-hit": "not-hit:9 not-known:1"}),
            "tighten-foot-bolts": cause(
                0.39, "one can hear it knock | it is a young site, one year old | rattles at the foot in a storm"
                " | a nut lies beside it", "foot bolts tightened crosswise | bolts to torque and marked", minutes=36),
            "set-upright": cause(
                0.16, "was like that from the day it was put up | the plate does not lie flat"
                " | the fitter was in a hurry back then", "plates under the foot, upright now | levelled with plates",
                minutes=52, seen={"was-it-hit": "not-hit:8 not-known:2"}),
            "renew-anchors": cause(
                0.10, "concrete crumbles round the bolts | bolts turn and turn | rust weeps from the joint",
                "new anchors set | anchors renewed in sound concrete", minutes=140, devices={"post-22": 1.4}),
            "new-base": cause(
                0.07, "the pavement sinks there | since the pipe trench was filled in | tree root lifts the slab",
                "base cast anew | mason made a new base", minutes=190),
            "wheel-stop": cause(
                0.08, "they always nose in too far | third bumper mark this year | the bay is too short for the vans",
                "wheel stop fitted | stop for the wheels screwed down", minutes=75,
                seen={"was-it-hit": "hit:8 not-known:2", "what-moved": "nothing:6 post-on-base:4"}),
            "after-damage-or-flood#renew-housing": cause(
                0.03, "the foot has a dent | lower edge is pushed in a little", "housing renewed after a bump", minutes=105,
                seen={"was-it-hit": "hit:7 not-known:3"}),
            "other": cause(0.04, "somebody chained a motorbike to it | a banner is tied to it",
                           "banner untied, stands straight again | chain of a motorbike taken off"),
        }),
    "mist-or-drops-inside": article(
        20, POSTS, season="rain", clump=2.5,
        says="""lamps of {box} {n} are hazy, as if somebody breathed on them | the little pane is misted from within
            | I see beads where the {plug} goes in | the pane sweats
            | fogged up, one cannot tell green from blue | dew on the wrong side of the pane
            | {plug} was full of droplets this morning | the hole is dewy, can I plug in""",
        foreign="Scheibe ist von innen beschlagen | gotitas donde entra la clavija | innen angelaufen",
        circumstances="it works all the same | the others are clear | looked at it at seven | north side | since autumn"
        " | after a foggy night",
        checks={"where-wet": "window:6 socket:2 plug:1 several:1", "gone-by-noon": "gone:4 stays:3 not-known:4",
                "rcd-trips-on-plug-in#insulation-test": "yes:92 no:8"},
        fixes={
            "explain-mist": cause(
                0.31, "only on clear nights | gone when the sun gets there | every autumn the same for a few weeks",
                "told them to look at noon | explained the mist", minutes=5,
                seen={"where-wet": "window:9 several:1"}),
            "let-dry": cause(
                0.18, "somebody left the lid up overnight | the {plug} dropped into the lawn | it was hosed clean yesterday",
                "left it to dry, no drop after an hour | wiped and dried in the air", minutes=9,
                seen={"gone-by-noon": "gone:5 not-known:5"}),
            "flap-or-holder-broken#hang-straight": cause(
                0.08, "it hangs there with its mouth up | driver never uses the rest", "plug now hangs opening down",
                minutes=5, seen={"where-wet": "plug:9 several:1", "gone-by-noon": "not-known:7 gone:3"}),
            "clear-drain": cause(
                0.14, "leaves are packed under it | comes back after each shower | moss at the lower edge",
                "drain slots brushed | slots were blocked with leaves", minutes=14,
                seen={"where-wet": "several:6 socket:4", "gone-by-noon": "stays:5 not-known:5"}),
            "flap-or-holder-broken#replace-flap": cause(
                0.06, "the lid has a gap on one side | its rubber edge is gone", "new flap with seal", minutes=20,
                seen={"where-wet": "socket:9 several:1"}),
            "renew-breather": cause(
                0.09, "it was painted over in summer | all day long, even when it is dry | spiders live in the little vent",
                "new breather | breather was painted over, renewed", minutes=36, devices={"post-22": 1.3}),
            "seal-duct": cause(
                0.06, "the ground there is always soggy | warm damp air rises from the foot | the duct has no plug",
                "duct closed with foam | duct sealed at the foot", minutes=52,
                seen={"where-wet": "window:6 several:4", "gone-by-noon": "stays:8 not-known:2"}),
            "rcd-trips-in-rain#renew-seal": cause(
                0.04, "since somebody repaired something in it | a hair sticks out of the rubber", "cover seal renewed", minutes=44,
                seen={"gone-by-noon": "stays:9 not-known:1"}),
            "rcd-trips-on-plug-in#reseal-gland": cause(
                0.02, "green trace along the cable at the foot | a fatter cable was put in last year", "gland resealed",
                minutes=40, seen={"gone-by-noon": "stays:9 not-known:1"}),
            "other": cause(0.02, "a sprinkler was moved here last week | someone steam-cleans the wall",
                           "wall cleaner came every week, told them"),
        },
        habit=["let-dry"], change=("2025-12-01", ["explain-mist"])),
    "stiff-or-slow-in-frost": article(
        26, POSTS, season="deep-frost", clump=2.0,
        says="""since the frost it does not budge | too cold for {box} {n}, it seems | {box} is stiff with cold
            | it is minus fifteen and nothing goes | {box} takes ages to come alive in the cold
            | icy night and now it will not do anything | in the frost I have to wait and wait
            | the cold has got into {box} {n} | does it not like the winter""",
        foreign="bei dem Frost bewegt sich da nichts | zu kalt, die {box} startet ewig nicht | con el frío no responde",
        circumstances="half past six | clear night | mountain village | since Christmas | by noon it goes | hauliers' yard",
        checks={"what-is-stuck": "flap:3 plug:2 reader:2 post-white:3 car-slow:2",
                "inside-cold": "above-limit:6 below-limit:2 not-shown:2", "plug-locked-in#ice-or-dirt": "neither:6 ice:4"},
        fixes={
            "plug-locked-in#thaw-by-hand": cause(
                0.13, "my {lead} will not let go of it | {plug} and hole are one lump of ice",
                "thawed the plug by hand | lukewarm cloth on the plug", minutes=15, codes="K51:0.5",
                seen={"what-is-stuck": "plug:9 flap:1", "plug-locked-in#ice-or-dirt": "ice:9 neither:1"}),
            "thaw-flap": cause(
                0.23, "freezing rain yesterday | the lid has a crust | snow was blown in under the lid",
                "flap thawed with a cloth | ice off the flap, opens", minutes=13,
                seen={"plug-locked-in#ice-or-dirt": "ice:6 neither:4"}),
            "wait-warm-up": cause(
                0.24, "lamp is white and stays white | like a computer that never finishes starting | power was off overnight",
                "waited for the warm-up | let it warm up twelve minutes", minutes=16, signs="status-lamp=white:1"),
            "hold-longer": cause(
                0.12, "my card does nothing until the fifth try | frost on the mark | beeps only when I am about to leave",
                "held the card ten seconds | card warmed, mark wiped", minutes=4, signs="status-lamp=green:1",
                seen={"inside-cold": "above-limit:8 not-shown:2"}),
            "explain-cold-car": cause(
                0.12, "only two kilowatts at the start | gets faster after half an hour | {car} stood outside all night",
                "explained the cold battery | car warms up first, told her", minutes=5, signs="status-lamp=blue:1",
                seen={"inside-cold": "above-limit:8 not-shown:2"}),
            "set-winter-start": cause(
                0.08, "the ones next door have that winter thing on | every cold morning again, ten of them"
                " | it needs until nine to wake up", "winter start on | switched winter start on for the row", minutes=8,
                signs="status-lamp=white:1", seen={"what-is-stuck": "post-white:9 reader:1"}),
            "replace-heater": cause(
                0.04, "last winter it started without trouble | only this one of six | it says plus forty in there",
                "new heater | sensor of the heater renewed", minutes=55, signs="status-lamp=white:1",
                seen={"what-is-stuck": "post-white:9 reader:1"}),
            "flap-or-holder-broken#replace-flap": cause(
                0.02, "they hit the ice on it with a stone | they pulled at the lid until it gave", "new flap", minutes=20,
                seen={"what-is-stuck": "flap:1"}),
            "other": cause(0.02, "snow plough left a heap before it | nobody can reach it for snow",
                           "snow heap shovelled away by the caretaker"),
        },
        habit=["wait-warm-up"]),
    "new-site-first-start": article(
        14, "sc-2:50 post-22:25 post-7:15 m-3:10", voice="tech",
        says="""new site, nothing runs yet, what comes first | first switch-on and no idea where to start
            | all mounted, and now what | want to start up a site for the first time
            | opening day is Friday and the page shows nothing | set-up of a fresh site, need the order of work
            | put everything on and nothing came | complete new plant does not do a thing""",
        foreign="Erstinbetriebnahme, wo fange ich an | primer arranque, nada funciona | neue Anlage, nichts geht",
        circumstances="{n} posts | first site for this firm | architect stands next to him | came yesterday | no plan at hand"
        " | underground car park",
        checks={"supply-tested": "yes:7 no:2 not-known:2", "last-good-step": "none:2 a:4 b:4 c:3 d:2",
                "all-points-offline#controller-lamps": "portal-red:4 all-green:1 link-red:3 dark:2"},
        fixes={
            "finish-supply-tests": cause(
                0.16, "nobody has the test sheet | the electrician left at noon | half of the circuits are still off",
                "tests finished by the electrician, switched on | sheet signed, supply on", minutes=110,
                seen={"last-good-step": "none:9 a:1", "all-points-offline#controller-lamps": "dark:8 link-red:2"}),
            "bring-up-bus": cause(
                0.17, "all three counters have the same number | bus lamp does not blink | as the book says, all at once",
                "meters addressed one by one | bus up, meter by meter", minutes=29, codes="S31:0.5",
                seen={"supply-tested": "yes:9 not-known:1"}),
            "prepare-controller": cause(
                0.30, "somebody began with the posts | {ctl} still has the works settings | time on it is last century"
                " | main fuse was never entered", "controller set up first | address, time and limit entered",
                minutes=21, seen={"supply-tested": "yes:9 not-known:1"}),
            "add-points": cause(
                0.16, "plugged all twelve in at the same time | nobody knows which number is which"
                " | list is in a wild order", "points added one by one | places and phases entered in turn", minutes=44,
                seen={"supply-tested": "yes:1"}),
            "admit-site": cause(
                0.09, "cars charge but the {portal} knows nothing | office has not opened the site",
                "site created in the portal | desk let the site in", minutes=18, codes="S11:0.3",
                seen={"supply-tested": "yes:1", "all-points-offline#controller-lamps": "portal-red:9 all-green:1"}),
            "all-points-offline#open-ports": cause(
                0.06, "their IT wants a list of ports | firewall of the landlord", "outbound ports opened for the new site",
                minutes=40, codes="S11:0.4",
                seen={"last-good-step": "d:8 c:2", "all-points-offline#controller-lamps": "portal-red:9 all-green:1"}),
            "site-limit-exceeded#correct-phase-map": cause(
                0.02, "one phase is full and the others idle", "phases of the points corrected", minutes=24, codes="S41:0.5",
                seen={"last-good-step": "c:1"}),
            "other": cause(0.04, "half of the delivery is missing | posts of another maker hang there",
                           "parts were missing, new delivery | wrong posts delivered, sent back"),
        },
        habit=["admit-site"], change=("2025-09-15", ["prepare-controller"])),
    "new-point-not-found": article(
        34, "post-7:35 post-22:35 sc-2:30", voice="tech",
        says="""added a {box} and the {ctl} cannot see it | {ctl} finds all but the newest | the extra {box} stays unknown
            | search on the {ctl} ends without the new one | one more on the wall, none more on the page
            | replacement {box} does not come up on the {ctl} | {n} fitted, one short in the list
            | cannot get the new {box} into the site | the {ctl} will not take the new {box}""",
        foreign="neue {box} wird vom Steuergerät nicht erkannt | la búsqueda no encuentra el poste nuevo",
        circumstances="extension of the site | fitted this morning | power is on, green | second visit for it"
        " | fitter wants to go home | lamps look normal",
        checks={"new-link-lamp": "green:7 green-blink:1 red:2", "where-shown": "nowhere:8 greyed:1 other-group:1",
                "site-setting": "led:4 alone:5 other-group:1"},
        fixes={
            "search-again": cause(
                0.11, "only just got power | searched before it was through | they pressed it straight away",
                "searched once more, there it is | waited and searched again", minutes=6,
                seen={"site-setting": "led:1"}),
            "one-point-offline#renew-cord": cause(
                0.11, "network lamp is red on it | cord was crimped on site | port in the cupboard shows no light",
                "new cord | other port at the switch", minutes=16, signs="link-lamp=red:1",
                seen={"new-link-lamp": "red:9 green-blink:1", "site-setting": "led:9 alone:1"}),
            "self-assigned-address#correct-vlan": cause(
                0.07, "new port in the cupboard by the IT people | that socket is for telephones, they say",
                "port put into the charging VLAN", minutes=25, signs="link-lamp=green-blink:1",
                seen={"new-link-lamp": "green-blink:7 green:3", "site-setting": "led:9 alone:1"}),
            "own-address": cause(
                0.06, "now a neighbour comes and goes | since it is on, number two has gone grey"
                " | he copied the settings from the next one", "address was used twice, changed | set to dhcp",
                minutes=13, seen={"where-shown": "greyed:7 nowhere:3", "site-setting": "led:9 alone:1"}),
            "right-group": cause(
                0.06, "listed with the visitors' ones | it came from another site of ours",
                "group letter corrected | moved to group B", minutes=7, seen={"site-setting": "other-group:9 led:1"}),
            "clear-old-entry": cause(
                0.06, "the old one broke last week | stands there with the old serial | was exchanged by the night shift",
                "old entry deleted, place given again | cleared the entry of the old one", minutes=8,
                seen={"site-setting": "led:9 alone:1"}),
            "let-lead": cause(
                0.49, "straight from the carton | charges a {car} at once without any card | had stood in a private garage"
                " | ran alone since it was put up | gives full power no matter what the rest does",
                "mode was alone, set to led | set mode to led | told it to follow the controller", minutes=8,
                seen={"new-link-lamp": "green:9 red:1", "where-shown": "nowhere:9 greyed:1"}),
            "other": cause(0.04, "{ctl} is one of the oldest | it is the thirty-third on this one",
                           "limit of the old controller, second one ordered"),
        },
        habit=["search-again"]),
    "cable-not-recognised": article(
        30, POSTS,
        says="""{box} does not accept my {lead} | goes amber when the {plug} is in | my {lead} is turned down here
            | it counts my {lead} as a weak one | {lead} refused, K14 | shows a smaller rating than the print on the {lead}
            | {box} {n} says the {lead} is unsuitable | no good with this {lead}, with others yes
            | wrong amps for the {lead} on the page""",
        foreign="{box} lehnt mein Kabel ab | falscher Kabelwert auf der Seite | no acepta el cable, ámbar",
        circumstances="bought last week | never had that before | at home it works | hire car | asked the shop already"
        " | three tries",
        checks={"charges-too-slowly#cable-rating": "32-a:6 20-a:2 13-a:1 63-a:1", "other-lead": "works:5 none-here:4 refused-too:2",
                "in-between": "neither:85 adapter:9 extension:6", "rating-read": "as-printed:2 lower:3 nothing:4 higher:1",
                "car-not-detected#pin-look": "clean:88 on-the-cable:8 in-the-socket:4"},
        fixes={
            "car-not-detected#reseat-plugs": cause(
                0.16, "it clicks only when I lean on it | not quite in, maybe | on the second push it was fine once",
                "plug pushed home | reseated both ends", minutes=4, codes="K14:0.5 K12:0.2",
                seen={"other-lead": "works:5 none-here:5"}),
            "leave-out-adapter": cause(
                0.12, "with a piece in between from the internet | he joins two of them | to reach the far bay he lengthens it",
                "left the adapter out | took the extension out", minutes=5, codes="K14:0.6",
                seen={"in-between": "adapter:6 extension:4", "other-lead": "works:6 none-here:4"}),
            "wipe-plug": cause(
                0.20, "it fell into the mud | had been in the boot with the compost | grey film on the pins | beach car park",
                "wiped the plug dry, three out of three | face of the plug cleaned", minutes=6, codes="K14:0.5 K12:0.3",
                seen={"rating-read": "lower:6 nothing:4"}),
            "replace-odd-lead": cause(
                0.29, "cheap {lead} from an auction | print says sixteen | brand new and no {box} likes it"
                " | the same {lead} is refused at the supermarket", "lead measured, odd code, new one ordered"
                " | replaced the lead, resistor was wrong", minutes=16, codes="K14:0.75",
                seen={"rating-read": "nothing:4 lower:4 higher:2", "in-between": "neither:1"}),
            "set-cable-kind": cause(
                0.06, "after the settings were put back | was changed from a tethered one | since it has been set up anew",
                "kind of cable set to socket | set to fixed lead with its rating", minutes=7, codes="K14:0.8",
                devices={"post-7": 1.5}),
            "reterminate-proximity": cause(
                0.08, "one day yes, one day no, whoever comes | every {lead} counts as the weakest"
                " | changes when the front is tapped", "pp crimp renewed | re-terminated pp", minutes=44,
                codes="K14:0.7 K12:0.2", devices={"post-22": 1.3},
                seen={"other-lead": "refused-too:8 none-here:2", "rating-read": "nothing:5 lower:5"}),
            "car-not-detected#replace-socket": cause(
                0.05, "the hole is worn, everything is slack in it | ten sessions a day for years",
                "new socket, contacts were worn", minutes=70, codes="K14:0.6 K12:0.5",
                seen={"other-lead": "refused-too:8 none-here:2", "car-not-detected#pin-look": "in-the-socket:7 clean:3"}),
            "other": cause(0.04, "the {car} has a sticker on its inlet | since the inlet of the {car} was exchanged",
                           "inlet of the car, back to the garage"),
        },
        habit=["car-not-detected#reseat-plugs"]),
}

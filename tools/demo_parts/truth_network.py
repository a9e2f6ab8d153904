"""The truth of network/, portal/ and firmware/: links, addresses, names, certificates, updates."""

from .shape import article, cause

POSTS = "post-7:50 post-22:50"
ALL = "post-7:30 post-22:30 sc-2:40"

ARTICLES = {
    "controller-restart": article(
        28, "sc-2:1", voice="tech",
        says="""{ctl} is frozen | the page of the {ctl} spins and nothing comes | {ctl} does not respond
        | no reply from the {ctl} web page
            | {ctl} hung up | lamps on the {ctl} stand still | cannot get into the {ctl} | nothing can be changed on the {ctl}
            | {ctl} seems dead""",
        foreign="Regler hängt, Seite lädt nicht | el controlador está colgado",
        circumstances="since this morning | caretaker is next to it | second time this month | cars still charge | remote",
        checks={"power-lamp-lit": "green:75 red:10 dark:15", "page-elsewhere": "no:75 yes:25"},
        fixes={
            "reseat-cords": cause(0.19, "cupboard was tidied | cleaners were behind it | a cord hangs half out",
                "cords pushed in | plug of the supply reseated", minutes=5,
                                  signs="power-lamp=off:9"),
            "restart": cause(0.50, "it ran for half a year | hangs since the update at night"
                " | after a short flicker of the mains | page opened halfway",
                             "restarted the controller | pressed the restart key | reboot of sc-2", minutes=8,
                             signs="power-lamp=green:7 power-lamp=red:1"),
            "restore-supply": cause(0.19, "no lamp on it at all | the small breaker next to it is down | supply brick is cold",
                "24 V supply restored | new supply brick",
                                    minutes=37, signs="power-lamp=off:9"),
            "replace-controller": cause(0.07, "restarts itself every minute | lamp stays red after three restarts"
                " | it got damp", "controller replaced", minutes=80,
                                        signs="power-lamp=red:7 power-lamp=off:2"),
            "other": cause(0.05, "their switch was exchanged | only from the office it fails | switch port has no lamp",
                "customer's switch port was off"),
        }),
    "self-assigned-address": article(
        24, ALL, voice="tech",
        says="""the address is one of those 169.254 ones | gets no address from the router | odd address, nobody reaches it
            | {box} has made up its own address | no valid IP | S21 and no network | address is not from our range
            | DHCP gives nothing | it shows 169.254 dot something""",
        foreign="hat nur eine 169er Adresse | Router vergibt keine Adresse | no coge dirección IP",
        circumstances="installer on site | new site | since yesterday | second device | IT was there",
        checks={"which-address": "169-254:8 none:2 private:1", "others-get-one": "yes:6 no:3",
        "after-power-cut": "neither:6 new-router:2 power-cut:2"},
        fixes={
            "controller-restart#restart": cause(0.10, "had one until the night | {ctl} only, the rest is fine"
                " | it lost it in the night", "restarted controller | reboot of the controller",
                                                minutes=7, devices={"sc-2": 2.0, "post-7": 0.4, "post-22": 0.4}),
            "restart-in-order": cause(0.33, "after the power was away | router took longer to start"
                " | mains was off for works at night",
                                      "router first, then device | restarted in the right order", minutes=13,
                                      seen={"others-get-one": "yes:8 no:1"}),
            "enlarge-pool": cause(0.11, "my laptop gets none either | many new phones in the net | forty devices in there",
                "made pool larger | dhcp was off, on now", minutes=20),
            "correct-vlan": cause(0.32, "other socket works | since IT changed the switch"
                " | laptop gets an address of the wrong net | new switch last week",
                                  "port put into the charger vlan | switch port vlan corrected", minutes=34,
                                  seen={"after-power-cut": "neither:6 new-router:4"}),
            "test-cable": cause(0.06, "lamp at the plug blinks oddly | cable was pinched in the door | mouse in the duct",
                "new plug on cable | cable tested, pair open, mended",
                                minutes=33, signs="link-lamp=green-blink:3 link-lamp=red:3"),
            "enter-static": cause(0.04, "we have fixed addresses here | the list from the planner has numbers"
                " | nothing automatic in this net", "entered static address", minutes=13),
            "other": cause(0.04, "a second router was plugged in by someone | a tenant has his own router in"
                " | two boxes hand out addresses here", "rogue router of a tenant removed"),
        },
        change=("2025-12-01", ["correct-vlan"])),
    "wifi-not-joined": article(
        34, POSTS,
        says="""{box} will not go into our WLAN | cannot connect the {box} to the wireless | network does not appear in the list
            | it refuses the network key | {box} {n} stays without wireless | wireless set-up fails
            | connection to the router fails
            | link lamp red, no wireless | it finds nothing to join | will not log on to the home network""",
        foreign="kommt nicht ins WLAN | findet das Funknetz nicht | no encuentra nuestra red",
        circumstances="new router | private house | set-up | since the provider change | garage | tried three times",
        checks={"network-listed": "listed:6 not-listed:3 list-empty:1", "login-page": "no:93 yes:7",
        "signal": "better-than-65:5 65-to-75:3 worse-than-75:1"},
        fixes={
            "retype-password": cause(0.35, "key has capitals and a zero | says key wrong | the key was changed after the move",
                "typed key again, case was wrong | password retyped", minutes=9),
            "offer-2g4": cause(0.21, "new router makes one net of both bands | phone next to it has full bars"
                " | only the five gig net is on",
                               "switched 2.4 on | separate 2.4 net made", minutes=18,
                               seen={"signal": "better-than-65:8 65-to-75:2"}),
            "change-channel": cause(0.06, "router is set to channel 13 | it vanished from the list overnight"
                " | list shows all but ours", "channel to 6 | channel changed", minutes=14),
            "older-security": cause(0.12, "router allows only the newest encryption | right key, but refused"
                " | since the router update", "mixed WPA2/3 allowed | older security allowed", minutes=16),
            "no-login-page": cause(0.06, "hotel guest net | you have to click accept there | there is a welcome page first",
                "put into the staff net | network without login page", minutes=17),
            "cable-to-post": cause(0.12, "concrete garage on level minus two | no bars down there"
                " | phone is offline there as well", "cable laid to the post | repeater beside the post", minutes=85,
                                   seen={"network-listed": "list-empty:6 not-listed:4"}),
            "mount-higher": cause(0.03, "router is on the floor behind a cupboard | far end of the yard"
                " | hedge and parked vans in between", "access point mounted higher", minutes=70,
                seen={"network-listed": "listed:6 not-listed:4"}),
            "other": cause(0.05, "IT admits only listed devices | they filter by hardware number"
                " | new things must be registered with IT", "mac filter of their router, entered"),
        },
        habit=["retype-password"], change=("2025-08-01", ["offer-2g4"])),
    "controller-name-not-found": article(
        14, "sc-2:1", voice="tech",
        says="""browser does not know the name of the {ctl} | name of the {ctl} leads nowhere
        | unknown host when I type its name
            | cannot open the {ctl} by name | address by name fails | the {ctl} is gone under its name
            | name gives server not found
            | I type the name and get a search page""",
        foreign="unter dem Namen nicht zu erreichen | por el nombre no lo abre",
        circumstances="new laptop | installer | after set-up | from the office | today",
        checks={"number-works": "yes:6 no:3 not-known:2", "same-network": "yes:7 no:2 guest:1"},
        fixes={
            "use-number": cause(0.41, "by digits I get in | digits work on the phone | with the figures the page opens",
                "used the number | opened it by IP", minutes=6),
            "rename": cause(0.20, "he called it sc_hall_1 | name has an umlaut | name ends with a dash",
                "renamed without underscore | gave it a proper name", minutes=9,
                            seen={"same-network": "yes:9 no:1"}),
            "join-same-network": cause(0.21, "laptop is on visitor wireless | works from the caretaker's PC"
                " | home office over the tunnel", "joined the same network | laptop into the right net",
                                       minutes=14, seen={"number-works": "no:8 not-known:2"}),
            "remove-double": cause(0.07, "two of them on site now | it opens the other one | it shows another site's page",
                "double name removed", minutes=15),
            "controller-restart#restart": cause(0.06,
                "worked until noon | lamps look odd too | nor does the number open since noon", "controller restarted",
                minutes=7, seen={"number-works": "no:7 not-known:3"}),
            "other": cause(0.05, "company proxy says blocked | name server of the company was changed"
                " | new name server since the move", "their name server had no entry, IT added it"),
        },
        habit=["join-same-network"]),
    "offline-same-time-daily": article(
        22, ALL, voice="tech",
        says="""connection goes every day at the same hour | each night the {box} is lost for a while
        | gone at one, back at five
            | regular gap in the connection | punctual loss of contact | link breaks at fixed hours
            | daily hole in the online time
            | always gone in the evening | every six hours it is off the air""",
        foreign="fällt täglich zur gleichen Zeit aus | cada noche se cae a la misma hora",
        circumstances="for two weeks | seen in the graph | charging goes on | two sites alike | customer wrote",
        checks={"rhythm": "once-a-day:6 every-few-hours:3 irregular:2", "router-dark": "lit:6 dark:1 not-known:4"},
        fixes={
            "remove-schedule": cause(0.42, "night mode of the router | children's lock is on the router"
                " | router restarts at three", "schedule out of the router | night mode off", minutes=10),
            "mend-lease": cause(0.16, "six hours on, ten minutes off | after some hours, again and again"
                " | two things share one address, they say", "lease reserved | two devices had one address, fixed", minutes=21),
            "shorten-ping": cause(0.20, "when nobody charges | in the quiet hours | as soon as it is idle for a time"
                " | since the new firewall",
                                  "ping set to 60 s | websocket ping shortened", minutes=12, devices={"sc-2": 1.4},
                                  seen={"rhythm": "irregular:4 every-few-hours:4 once-a-day:3",
                                  "router-dark": "lit:8 not-known:3"}),
            "steady-supply": cause(0.17, "the hall lights go off at that time too | router has no light then"
                " | a timer clicks in the cupboard", "gear moved to a steady circuit | time switch taken out",
                                   minutes=34, seen={"rhythm": "once-a-day:9"}),
            "other": cause(0.05, "provider cuts the line for a second | it is the forced reconnect"
                " | line is renewed by the provider at night", "provider's daily reconnect, told them"),
        }),
    "one-point-offline": article(
        50, POSTS,
        says="""{box} {n} has no contact with the {portal} | one {box} is grey, the rest is green
        | a single point is missing in the {portal}
            | {portal} has not heard from one {box} | one of them is unreachable | can't see {box} {n} on the {portal}
            | one point dropped off | only this {box} has lost its link | {box} {n} shows unknown""",
        foreign="eine Säule meldet sich nicht | una columna no aparece en el portal",
        circumstances="since {n} days | charging works | seen by the manager | link lamp red | first time | hotel",
        checks={"lamps-lit": "lit:5 link-red-only:4 dark:1", "switch-lamp": "lit:6 dark:1 no-switch:3",
        "boot-answer": "accepted:2 never-came:6 pending:1 rejected:1"},
        fixes={
            "restart-point": cause(0.34, "since the power dip | it was fine and then froze | after the nightly update",
                "restarted the point from the controller | point reboot", minutes=8,
                                   devices={"post-7": 1.3}),
            "renew-cord": cause(0.23, "network cupboard was tidied | someone moved the switch | lamp at the port is dead"
                " | cord was squeezed in the door",
                                "new patch cord | other port on switch | cord renewed", minutes=17, devices={"post-22": 1.35,
                                "post-7": 0.6}, seen={"boot-answer": "never-came:9 accepted:1"}),
            "self-assigned-address#enlarge-pool": cause(0.09, "last one added to the row | since more devices are in the net"
                " | came after the ten new tills", "dhcp pool larger | pool was full",
                                                        minutes=19, seen={"boot-answer": "never-came:9"}),
            "correct-identity": cause(0.14, "was exchanged last week | carries the name of the old one | fresh from the box",
                "identity corrected | portal address had a blank at the end",
                                      minutes=15),
            "certificate-error#set-clock": cause(0.07, "stood without power all winter | date on it is wrong"
                " | clock on it says winter", "clock set | time server entered", minutes=9,
                                                 seen={"boot-answer": "never-came:8 pending:2"}),
            "wifi-not-joined#retype-password": cause(0.09, "the key of the wireless was changed | new router, wireless {box}"
                " | wireless got a new key on Monday", "wifi key typed again", minutes=10,
                                                     devices={"post-7": 1.8, "post-22": 0.3},
                                                     seen={"switch-lamp": "no-switch:9"}),
            "other": cause(0.04, "was taken out of the contract | licence for it ran out | maybe it was deactivated",
                "point was deactivated in the portal, activated"),
        },
        habit=["restart-point"], change=("2025-06-15", ["renew-cord"])),
    "all-points-offline": article(
        40, ALL, clump=0.5, voice="tech",
        says="""complete site is missing in the {portal} | every {box} is grey | none of our points is online
        | site has dropped off the {portal}
            | not one {box} connected | whole car park offline | {portal} shows zero of twelve online
            | the site lost its connection
            | all of them unreachable at once""",
        foreign="ganzer Standort offline | todo el aparcamiento sin conexión",
        circumstances="since nine | charging still works | three sites call | caretaker | since last night | IT says all fine",
        checks={"internet-there": "yes:75 no:10 not-known:15", "controller-lamps": "portal-red:6 all-green:1 link-red:2 dark:1",
        "portal-well": "yes:93 no:7"},
        fixes={
            "wait-for-internet": cause(0.17, "phones have no internet either | dig in the street, line cut"
                " | the provider has an outage", "waited for the provider | internet was down, waited", minutes=9,
                                       seen={"controller-lamps": "portal-red:7 link-red:2"}),
            "controller-restart#reseat-cords": cause(0.06,
                "cupboard was moved | the {ctl} is dark | somebody cleaned the cupboard", "cords of the controller pushed in",
                minutes=5, seen={"controller-lamps": "dark:5 link-red:5"}),
            "controller-restart#restart": cause(0.15, "IT rebooted everything except the {ctl} | froze after the storm"
                " | lamps there do not change any more", "controller restarted | reboot of sc-2", minutes=8,
                                                devices={"sc-2": 1.3}),
            "open-ports": cause(0.37, "new firewall went live | IT locked things down | security audit last week"
                " | since the firewall rules were renewed",
                                "443 outbound opened | IT opened the ports | firewall rule added", minutes=41,
                                seen={"controller-lamps": "portal-red:8 all-green:1"}),
            "mend-names": cause(0.07, "name server of the company moved | says name in the test line"
                " | names cannot be resolved, says IT", "name server set | dns mended", minutes=20),
            "renew-contract": cause(0.08, "runs over a SIM | data used up at month's end | the SIM bill was not paid",
                "mobile contract renewed | data volume booked", minutes=25,
                                    seen={"internet-there": "no:5 not-known:3 yes:1"}),
            "portal-fault": cause(0.06, "other sites too | the {portal} itself is slow for everybody"
                " | sister site is grey as well", "portal fault, linked to notice | it was ours, waited", minutes=4),
            "other": cause(0.04, "they changed provider and cancelled the line | router was stolen"
                " | the old line was terminated", "line was cancelled by the owner"),
        },
        change=("2025-04-01", ["open-ports"])),
    "certificate-error": article(
        18, "sc-2:60 post-7:20 post-22:20", season="spring", voice="tech",
        says="""certificate is not accepted | TLS fails | secure connection refused | S13 on the {ctl}
        | handshake error in the log
            | it says certificate expired or not yet valid | no secure link | the {portal} certificate is called invalid
            | encryption error, offline""",
        foreign="Zertifikat wird abgelehnt | certificado no válido según el registro",
        circumstances="first start of the season | camp site | since this week | installer | log was sent",
        checks={"date-right": "right:7 wrong:2 not-shown:1", "who-signed": "expected:8 company-proxy:1 expired:1"},
        fixes={
            "set-clock": cause(0.41, "date is years off | was in store over the winter | clock stood at zero",
                "clock set | date put right, time server in", minutes=8, codes="S13:0.5 S51:0.6"),
            "open-time": cause(0.26, "date goes wrong again after each restart | time server not reached"
                " | time line is red in the test", "UDP 123 opened | local time server entered", minutes=23,
                               codes="S51:0.7 S13:0.4"),
            "update-trust": cause(0.14, "all with the oldest software | date is right and still | only those never updated",
                "firmware and trust store updated", minutes=45, codes="S13:0.8"),
            "bypass-proxy": cause(0.14, "since the web filter | company inspects traffic | issuer is our own company",
                "proxy exception made | taken out of inspection", minutes=38, codes="S13:0.8"),
            "other": cause(0.05, "the {portal} people changed something at night | for an hour only | came and went at night",
                "portal's own certificate was late, theirs"),
        },
        habit=["set-clock"]),
    "update-hangs": article(
        20, ALL, voice="tech",
        says="""update gets stuck | new software does not go in | update bar freezes | log upload never completes
        | download stalls always at the same point
            | firmware stays at the old one | update aborts | large file does not get through | software update runs for hours
            | status is fine but the update fails""",
        foreign="Aktualisierung bricht ab | la actualización se queda a medias",
        circumstances="third attempt | five points alike | since the line change | rural site | installer",
        checks={"medium": "cable:6 wifi:3 mobile:2", "size-matters": "small-passes:5 both-hang:3",
        "line-kind": "other:4 pppoe:2 mobile:2 not-known:3"},
        fixes={
            "repeat-on-cable": cause(0.23, "weak signal there | stops at another per cent each time"
                " | on the wireless at the far end", "repeated over cable | sent the update by cable", minutes=34,
                seen={"size-matters": "both-hang:5 small-passes:4"}),
            "lower-mtu": cause(0.43, "since the new copper line | dial-in line with user name"
                " | always at the very same per cent", "mtu to 1492 | lowered mtu", minutes=16, devices={"sc-2": 1.3},
                               seen={"size-matters": "small-passes:9 both-hang:1"}),
            "allow-icmp": cause(0.16, "behind the company firewall | IT blocks ping | strict rules at this site",
                "firewall lets the too-big message pass | icmp allowed", minutes=33),
            "self-assigned-address#test-cable": cause(0.12,
                "cable runs through the damp duct | slow on the laptop at that socket too | old cable with a home-made plug",
                "cable mended, bad pair", minutes=35,
                                                      seen={"medium": "cable:9", "size-matters": "both-hang:8 small-passes:2"}),
            "other": cause(0.06, "file on the server was bad | same on all sites this week | every site gets the same stop",
                "broken file on our server, replaced"),
        }),
}

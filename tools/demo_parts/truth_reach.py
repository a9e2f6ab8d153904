"""The truth of mobile/, and of acceptance, clock and updates: what reaches a site and what stays there."""

from .shape import article, cause

POSTS = "post-7:50 post-22:50"
LAST = "99.0.0"     # below any version: an effect without end

ARTICLES = {
    "mobile-signal-weak": article(
        24, "sc-2:1", clump=4.0, voice="tech",
        says="""connection over the mobile modem breaks off all the time | the site is online in waves
        | mobile reception at the {ctl} is miserable | modem drops the network every few minutes
            | the 4G of the {ctl} is unstable | {portal} goes grey and comes back by itself, site runs over a SIM
            | signal on the modem jumps about | poor coverage where the {ctl} hangs
            | S11 comes and goes, no cable line there""",
        foreign="Mobilfunk bricht dauernd ab | Modem hat kaum Empfang | el módem pierde la señal todo el rato",
        circumstances="underground car park | farm site | installer is in front of it | since autumn | seen in the graph"
        " | third complaint",
        checks={"antenna-look": "free:7 loose:2 in-the-metal:2", "signal-level": "steady-weak:5 jumping:3 steady-good:2",
        "other-phone": "same:5 better:2 none-here:3"},
        fixes={
            "seat-antenna": cause(0.17, "somebody worked in the cabinet | antenna lead dangles | one plug turns freely",
                "antenna plug screwed home | plug was loose, hand tight now", minutes=7),
            "antenna-outside": cause(0.31, "fine with the cabinet door open | new steel cabinet since March"
                " | antenna is still inside the cabinet", "antenna stuck outside the cabinet | antenna led out",
                                     minutes=36),
            "choose-band": cause(0.16, "worst in the evening | changes between 3G and 4G every minute"
                " | since they put a new mast up", "fixed to one band | band ticked by hand", minutes=13,
                                 seen={"antenna-look": "free:9 in-the-metal:1"}),
            "other-operator": cause(0.15, "my own phone has full bars there | the caretaker's network is fine"
                " | everybody here uses the other provider", "card of the other operator in | changed operator",
                                    minutes=38, seen={"signal-level": "steady-weak:7 jumping:3"}),
            "antenna-higher": cause(0.11, "level minus one | a hill in front | since the hall next door was built",
                "antenna up on the wall | antenna three metres higher", minutes=75),
            "offline-same-time-daily#shorten-ping": cause(
                0.06, "only when nobody charges | signal is perfect and yet | lost after some quiet minutes",
                "ping interval shortened | ping to 60 s", minutes=12, seen={"signal-level": "steady-good:9 jumping:1"}),
            "other": cause(0.04, "the operator works on its mast | whole village has no mobile network"
                " | mast is down, the news said", "operator's mast fault, waited"),
        },
        habit=["choose-band"], change=("2025-11-01", ["antenna-outside"])),
    "mobile-card-no-data": article(
        18, "sc-2:1", voice="tech",
        says="""modem does not take the SIM | signal is there but no data | no data connection over mobile
        | SIM in, bars good, {ctl} offline | S22 on the {ctl}
            | new SIM does not work | modem will not dial in | the mobile contract was changed and now nothing
            | card lamp of the modem is not green""",
        foreign="SIM geht nicht, kein Internet | Modem wählt sich nicht ein | el módem no se conecta a datos",
        circumstances="commissioning | since the first | on site now | swapped today | two sites | accounting changed something",
        checks={"card-state": "ready:7 no-card:1 pin-wanted:1 locked:1", "address-got": "no-address:7 address-but-no-portal:1",
        "contract-state": "alive:6 not-known:4"},
        fixes={
            "reseat-card": cause(0.13, "modem was unplugged and moved | it says insert card | slid it in this morning",
                "card the right way round | reseated SIM", minutes=9,
                                 seen={"address-got": "no-address:1"}),
            "enter-pin": cause(0.12, "it asks for four digits | straight out of the envelope | since the modem lost power",
                "PIN entered and switched off | pin request off", minutes=10, seen={"address-got": "no-address:1"}),
            "set-access-point-name": cause(0.33, "card of another company now | the modem was reset"
                " | card works in my phone", "APN corrected | access point name typed in", minutes=13,
                                           seen={"card-state": "ready:1"}),
            "activate-card": cause(0.12, "ordered last week | number is not known yet, they say | it says PUK"
                " | tied to the old modem", "operator activated the card | card unlocked by operator", minutes=32,
                                   seen={"card-state": "locked:6 ready:4"}),
            "all-points-offline#renew-contract": cause(
                0.19, "always near the end of the month | bill was not paid | we had a webcam on it too",
                "data volume booked | mobile contract renewed", minutes=24,
                seen={"contract-state": "used-up:6 ended:3 not-known:1", "card-state": "ready:9 locked:1"}),
            "pass-private-network": cause(0.07, "card belongs to the building's own network | runs through the head office"
                " | everything but our {portal} opens", "portal let through their private net | plain internet card in",
                                          minutes=55, seen={"card-state": "ready:1", "contract-state": "alive:1"}),
            "other": cause(0.04, "operator switched its old network off | old modem, 3G only", "modem too old, new one ordered"),
        },
        habit=["reseat-card"]),
    "start-not-accepted": article(
        22, "post-7:40 post-22:40 sc-2:20", voice="tech",
        says="""{portal} keeps answering pending | {box} is connected but not accepted | rejected by the {portal}
        | registration hangs | S14 shown
            | {box} {n} has a green link lamp and stays unknown | {portal} refuses the new {box}
            | cannot get the {box} into service in the {portal} | online yes, usable no
            | boot message is refused""",
        foreign="Portal lehnt die Säule ab | bleibt auf Pending stehen | el portal no acepta la estación",
        circumstances="commissioning | moved from another site | installer on the line | since the exchange | for two hours"
        " | bought used",
        checks={"one-point-offline#boot-answer": "rejected:5 pending:4 accepted:1", "listed-where": "here-only:7 nowhere:2",
        "waits-for": "nothing:7 release:1 settings:1", "asks-again": "minutes:7 not-shown:2"},
        fixes={
            "release-point": cause(0.31, "first start ever | put up this morning | one of six new ones, the others are in",
                "released in portal | pressed release, accepted", minutes=6,
                                   seen={"one-point-offline#boot-answer": "pending:8 rejected:1"}),
            "free-identity": cause(0.18, "stood at our old yard until May | bought from another company"
                " | comes from the sister site", "let go at the old site | identity freed", minutes=19,
                                   seen={"one-point-offline#boot-answer": "rejected:9 pending:1"}),
            "take-over-serial": cause(0.15, "unit was exchanged | replacement under warranty | board is new inside, same name",
                "new serial taken over | serial exchanged in portal", minutes=9),
            "finish-settings": cause(0.10, "hangs since the tariff was sent | a list was sent yesterday"
                " | waits for settings, it says", "removed the stuck setting | waiting settings sent again", minutes=14,
                                     seen={"one-point-offline#boot-answer": "pending:9 rejected:1"}),
            "wait-for-retry": cause(0.08, "was released an hour ago | manager says it is released | they restarted it ten times",
                "waited until it asked again | waited for its next asking", minutes=22),
            "one-point-offline#correct-identity": cause(
                0.14, "typed from the label | letter O or zero | has a blank behind the name",
                "identity copied from the portal | name was misspelt", minutes=12,
                seen={"one-point-offline#boot-answer": "rejected:1", "listed-where": "nowhere:9 here-only:1"}),
            "other": cause(0.04, "contract has no free place | licence for more points is missing", "contract was full, sales told"),
        },
        habit=["one-point-offline#correct-identity"], change=("2026-01-15", ["release-point"])),
    "controller-clock-wrong": article(
        16, "sc-2:1", season="spring", voice="tech",
        says="""times in the session list are wrong | clock of the {ctl} is out | sessions an hour off | S51 in the log
        | {ctl} shows yesterday
            | start and end of the sessions cannot be right | {ctl} lives in another time
            | tariff switches at the wrong hour | time stamps are shifted""",
        foreign="Uhr im Regler geht falsch | Zeitstempel sind verschoben | el reloj del controlador va mal",
        circumstances="accounting noticed | since Sunday | camp site | tenant complains | after the winter | seen in the export",
        checks={"how-far": "one-hour:3 days-or-years:4 minutes:1", "after-power": "no:5 not-known:4 yes:1",
        "server-state": "in-step:5 not-reached:3 switched-off:1"},
        fixes={
            "set-zone": cause(0.11, "site is in another country | three hours out | set up at the office abroad",
                "zone by town chosen | time zone corrected", minutes=7, codes="",
                              seen={"server-state": "in-step:9 not-reached:1"}),
            "follow-summer-time": cause(0.28, "since the last Sunday of the month | right all winter | one hour, exactly",
                "summer time by zone ticked | fixed shift taken out", minutes=8, codes="",
                                        seen={"server-state": "in-step:9 not-reached:1"}),
            "certificate-error#set-clock": cause(0.17, "shows the year of its making | nobody ever entered a time"
                " | set up without network", "clock set | time server entered", minutes=8, codes="S51:0.7",
                                                 seen={"server-state": "switched-off:6 not-reached:4"}),
            "correct-time-server": cause(0.08, "seven minutes slow | takes its time from the camera recorder"
                " | a bit more every week", "other time server entered | recorder was slow, server changed", minutes=19,
                                         codes="S51:0.2"),
            "certificate-error#open-time": cause(0.15, "firewall was renewed | server not reached, it says | IT is strict there",
                "UDP 123 opened | local time server in", minutes=27, codes="S51:0.7",
                                                 seen={"server-state": "not-reached:1"}),
            "renew-clock-battery": cause(0.12, "each time the main switch is off | eight years old"
                " | after every works on the mains", "new clock battery | cell was flat, changed", minutes=55, codes="S51:0.8",
                                         seen={"how-far": "days-or-years:9 whole-hours:1"}),
            "correct-sessions": cause(0.06, "it is right now, but the bills of March | only the old sessions",
                "sessions corrected by an hour | old sessions put right", minutes=33, codes=""),
            "other": cause(0.03, "only the export has it | spreadsheet adds an hour", "their spreadsheet shifted it"),
        },
        habit=["certificate-error#set-clock"]),
    "update-refused": article(
        75, "sc-2:80 post-7:10 post-22:10", voice="tech",
        says="""new firmware is refused | update is turned down right away | goes back to the old version after the restart
        | {ctl} will not take the new version | update says no room
            | install ends with an error word | old version again after every try | file is not accepted by the {ctl}
            | cannot bring it to the newest version | it reverts by itself""",
        foreign="neue Firmware wird nicht angenommen | fällt auf den alten Stand zurück | no acepta la nueva versión",
        circumstances="second try | remote | round of updates | installer | asked for by the desk | since yesterday",
        checks={"refusal-word": "none:3 busy:1 went-back:1", "skips-version": "next-one:6 not-known:3 skips:1",
        "session-on": "no:8 yes:1"},
        fixes={
            "right-file": cause(0.11, "file came by mail | two kinds of device here | file is from the old site",
                "right file fetched | was the file for the other type", minutes=16, devices={"sc-2": 0.8}),
            "load-step": cause(0.14, "never updated since it was built | three versions behind | came from store",
                "loaded the version between | loaded it in two steps", minutes=52,
                               seen={"skips-version": "skips:1", "refusal-word": "step-missing:8 none:2"}),
            # Planted: since 2.1.3 the store is emptied by the update itself, and pressing the key no longer helps.
            "empty-store": cause(0.42, "update store is full | many tries before | it had big logs on it"
                " | the last three updates are still listed", "emptied the store, sent again | store emptied and file sent",
                                 minutes=19, devices={"post-7": 0.4, "post-22": 0.4}, effect=[("sc-2", "2.1.3", LAST, 0.08)]),
            "wait-for-idle": cause(0.10, "cars are on all day | busy site | fleet charges till late",
                "waited until idle | update at noon with no session", minutes=14,
                                   seen={"refusal-word": "busy:9 none:1"}),
            "keep-supply-up": cause(0.13, "shop switches the mains off in the evening | next day the old one"
                " | someone took the supply away", "kept supply on for both restarts | update with nothing switched", minutes=37,
                                    seen={"session-on": "no:1"}),
            "update-hangs#repeat-on-cable": cause(
                0.06, "over wireless it ends with a checksum word | size differs from the list | file seems cut off",
                "repeated over cable", minutes=33, devices={"sc-2": 0.7, "post-7": 1.5, "post-22": 1.5}),
            "other": cause(0.04, "this version was withdrawn at noon | others have it too today", "version withdrawn, new file later"),
        },
        habit=["empty-store"]),
    "settings-changed-by-update": article(
        75, "post-7:40 post-22:40 sc-2:20", voice="tech",
        says="""settings gone after the update | {box} is like new since the update | since updating nothing is set up any more
        | values changed by themselves when the software came
            | current is different since the update | update has reset the {box} | {ctl} forgot its points
            | all {n} boxes lost their settings overnight | configuration is empty after the new firmware""",
        foreign="Update hat alles zurückgesetzt | Werte sind nach dem Update anders | la actualización borró los ajustes",
        circumstances="updated last night | five at once | installer | caretaker | by the desk | since the weekend",
        checks={"site-limit-exceeded#limit-matches": "yes:6 not-known:3 no:1",
        "what-changed": "many-settings:5 all-factory:3 one-setting:2", "copy-there": "none:2 both:3 own-copy:3 portal-copy:3",
        "change-over": "done:6 not-shown:3"},
        fixes={
            # Planted: up to 3.0.1 the post's own copy was not whole; 3.1.0 writes all of it.
            "load-own-copy": cause(0.46, "it says copy found | there is a copy from last week on it | no portal copy there",
                "loaded its own copy | own copy loaded", minutes=12, devices={"sc-2": 0.5},
                                   effect=[(post, since, below, chance) for post in ("post-7", "post-22")
                                           for since, below, chance in (("0.0.0", "3.1.0", 0.10), ("3.1.0", LAST, 0.90))]),
            "send-portal-copy": cause(0.15, "desk has saved it before | copy of June in the {portal} | many alike",
                "sent the portal copy | copy sent from portal", minutes=13),
            "run-change-over": cause(0.11, "supply dipped during the update | broken off, it says | half of it is there",
                "change-over run again | ran it again", minutes=19),
            "enter-by-hand": cause(0.12, "no copy anywhere | first update in three years | site's note is in the folder",
                "entered from the site's note | typed all in again", minutes=42),
            "explain-moved": cause(0.07, "menu looks different | only the name of it is missing | cannot find the page for it",
                "showed where it is now | setting has a new place", minutes=7),
            "site-limit-exceeded#correct-limit": cause(
                0.07, "limit stands at the factory value | sixteen instead of forty | all points at six amps",
                "limit entered again from test sheet | limit corrected", minutes=12, devices={"sc-2": 2.5, "post-7": 0.4,
                "post-22": 0.4}, seen={"what-changed": "one-setting:9 many-settings:1"}),
            "meter-exception-or-nonsense#choose-profile": cause(
                0.05, "meter values are odd since then | profile says none", "meter profile chosen again", minutes=11,
                devices={"sc-2": 2.5, "post-7": 0.2, "post-22": 0.2}, seen={"what-changed": "one-setting:9 many-settings:1"}),
            "wifi-not-joined#retype-password": cause(
                0.07, "it went offline with the update | wireless name is empty", "wifi name and key entered again", minutes=10,
                devices={"sc-2": 0.0, "post-7": 1.5}, seen={"what-changed": "one-setting:8 many-settings:2"}),
            "other": cause(0.04, "our own people changed it the same day | it was never set", "was changed by the customer, told them"),
        },
        habit=["load-own-copy"]),
}

"""The words of English. A lead technician may read and mend every line here.

A row says: what is told | verbs | one of these follows | one of these things follows | none of these stands by.
Rows further up are tried first. ``#`` is a mark of the plant such as C1 or Q2.
"""

from __future__ import annotations

from kbgen.rules.words.inflect import forms_of, plurals
from kbgen.rules.words.rows import deeds, verdicts, words
from kbgen.rules.words.table import Table

_DEEDS = """
back | put lay land push screw | back onto home | wire conductor tube |
back | take lift pull remove clear cut |  | jumper bridge link shunt wedge tape string magnet |
alter | bridge jumper shunt bypass short-circuit |  |  |
alter | strap jump short link hop | out across over between together |  |
alter | jump short link strap |  | # terminal contact limit cutoff switch string interlock device them it overload fuse relay contactor vane sensor valve damper float |
alter | make let have | think believe | contact switch scanner controller sensor limit relay it |
alter | suck blow | on into at down | tube hose nipple |
alter | swap replace change exchange fit put use | bigger larger stronger heavier slow-blow | fuse breaker |
alter | put fit clip connect use place solder | in into across at for instead | resistor decade dummy-sensor |
alter | take remove leave cut wire | out from | circuit string & limit cutoff switch interlock device contact it |
alter | wire loop link run jump route | round around out past | limit cutoff switch string interlock device contact |
alter | turn screw set wind crank | stop maximum top end | limit set-point setpoint cutoff cut-out |
alter | put connect join twist land clamp bring get make close press hold | together one same touching gap other | wire conductor terminal contact limb lead | =meter
alter | put lay lean set hang stretch wind wrap park slip stick jam slide hold fold push rest balance insert add use drop | against under behind over round around | flap vane plunger lever armature float paddle contact reset-button test-button terminal | =meter tag label padlock lock key cap cover plate
alter | =verbs | | jumper shunt |
alter | =verbs | on across over between | bridge & =parts # | =meter
alter | pack solder weld park | with to in shut closed | =parts # |
alter | =verbs | with by in | finger thumb hand stick screwdriver pencil broom pliers screw bolt nail & =parts | =meter
alter | =verbs | on onto under over behind between against with in into across round around to | =fasteners =things & =parts | =meter tag label sign list paper note
alter | force squeeze | | relay contactor armature plunger lever vane flap tube hose paddle float |
alter | join twist connect | | end wire lead | =meter
alter | turn screw wind set | up down nothing zero maximum stop | screw scale spring & limit switch control cutoff cut-out |
alter | bend file grind |  | lever vane paddle flap contact arm float cam plunger |
alter | feed supply power energise energize | from straight over directly | # valve coil relay contactor solenoid | meter
alter | go run start fire work continue try leave keep | with | jumper bridge wedge shunt bypass wire link & in on fitted place across over still |
alter | block fix hold keep cover secure fasten replace tie press connect join close make push weigh load support stop pull lift set bridge swap restrain | with by using for against | =fasteners =things | =meter
alter | wire connect join tie twist hook loop run | to with and together across onto | # terminal wire conductor core | meter probe lead hose manometer clip pump
alter | wedge prop gag jam chock |  |  | page trolley ladder van truck gate
alter | tape tie strap wire rope glue bind zip-tie cable-tie | open closed shut down up in back made across over onto to on | switch lever plunger button vane flap float contactor relay armature valve contact paddle arm damper door catch trip flag reset terminal it them # | hair sleeves note tag label list paper sheet ladder
alter | fasten clamp fix peg pin screw jam | open closed shut down up in back made over | lever plunger button vane flap float contactor relay armature valve contact paddle catch interlock # |
alter | tape cover | over up down across round around shut closed | scanner eye sensor electrode nozzle window lens |
alter | tape |  | switch lever plunger button vane flap float contactor relay contact paddle catch it them | tag
alter | defeat override disable cheat fool trick deceive simulate fake inhibit deactivate disarm |  |  |
alter | plug block stop stuff cork seal pinch kink clog obstruct cap |  | tube hose line nipple port vent bleed scanner eye sensor intake inlet impulse-line sensing-line | meter test-point
alter | hold keep push press pull force lift lean weigh squeeze block latch stick weight | in closed shut down up made hand finger thumb pressed energised back on | contactor relay armature plunger float vane paddle flap coil contact microswitch limit-switch interlock # | =meter door read s
alter | hold keep leave lock | in pressed down depressed | button reset | second s once test
alter | lift disconnect remove cut unhook unscrew unclip detach pull take loosen undo free break unland |  | wire conductor core strand | wedge jumper lock gently
alter | unplug pull remove disconnect slip take | off out | tube sensor-plug connector hose | pump clip meter
alter | turn set screw wind raise move put crank | up higher | limit set-point setpoint cutoff cut-out |
alter | raise increase |  | limit cutoff cut-out |
alter | put fit clip place lay use run connect attach add insert install stick land tie twist slip jam make set hold wrap push slide tuck take solder touch wedge hang tape park rest balance drop | across over between around round through behind bridging | =things | =meter
alter | put fit clip place lay use run connect attach add insert install stick land tie twist slip make set hold wrap take solder touch | to onto on with and into from at | =things & # | =meter
alter | put fit clip place use attach add insert install stick slip jam make set wrap push slide tuck drive lay hang wind squeeze press hold keep | on onto in into under over behind between around against at to through | =fasteners | =meter hook tag label sign
alter | leave keep | in on there across | jumper bridge wedge tape shunt |
alter | cut force drill snap | | padlock lock chain |
alter | shine hold wave light point aim | at front near into under to | lighter torch match candle flashlight | glass gauge
stay-open | leave keep | open | |
stay-shut | leave keep | shut closed | |
start    | get bring kick | going running on up | burner boiler heater dryer fire flame |
on       | put bring | on back | # supply mains power isolator | meter probe lead clip padlock lock tag chain
off      | cut | | power supply mains current | wire
open     | crack | open | |
shut     | turn swing set bring move throw put | shut closed across |                             |
open     | turn swing set bring move throw put | open along  |                                 |
unlock   | take lift remove pull undo get      |             | padlock chain                   |
lock     | put hang fit place set lay add attach clip snap | | padlock chain                   |
off      | pull draw take                      |             | plug                            | service
on       | push put                            | in back     | plug                            | service box meter
off      | swing put set lay fit               | over on in into | plate cap wedge             | cover float limit relay switch cabinet exhaust probe
on       | swing take lift pull                | away off out back | plate cap wedge           | cover float limit relay switch cabinet exhaust probe
unlock   | take lift remove pull undo get      |             | lock                            | key cabinet
lock     | put hang fit place set lay add attach clip snap | | lock                            | key cabinet
lock     | lock padlock chain                  |             |                                 | screw van room gate cabinet bike
unlock   | unlock unchain                      |             |                                 |
off      | switch turn put set flip throw move trip | off out |                                |
on       | switch turn set flip throw move     | on          |                                 |
off      | press push hit                      |             | stop                            |
off      | de-energise de-energize deenergise deenergize isolate unplug kill | |                 |
on       | energise energize re-energise re-energize restore | |                                 |
shut     | shut close                          |             |                                 |
open     | open                                |             |                                 |
take-off | take lift pull draw slide swing unscrew | off out away up |                           |
take-off | remove unscrew                      |             |                                 |
put-on   | put fit place screw set lay push mount slide clip | in on back over home |            |
put-on   | replace refit reinstall             |             |                                 |
reset    | reset rearm re-arm                  |             |                                 | watch stopwatch timer meter clock counter into
reset    | press push hit poke hold depress tap punch |      | reset red-button yellow-button  | test
reset    | clear acknowledge cancel            |             | lockout fault trip              |
reset    | give                                |             | reset                           |
open-gas | break crack loosen slacken unscrew  |             | joint union flange fitting plug nipple test-point gas-line gas-pipe | meter
open-gas | open undo                           |             | joint union flange gas-line gas-pipe gas-train |
open-gas | let                                 | in into through | gas                     | out
open-gas | bleed purge vent admit              | through into at from out by | gas gas-line gas-pipe | hose
start    | relight light ignite                |             | burner pilot boiler heater flame main-flame gas it |
start    | start restart fire                  |             | burner boiler heater dryer pilot plant it | out
start    | press push                          |             | start                           |
start    | give make                           |             | start try try-out              | once
"""

_IRREGULAR = """
shut shuts shut shutting
put puts put putting
set sets set setting
cut cuts cut cutting
hit hits hit hitting
run runs run running
take takes taken taking
let lets let letting
draw draws drawn drawing
hold holds held holding
keep keeps kept keeping
leave leaves left leaving
lay lays laid laying
stick sticks stuck sticking
bind binds bound binding
wind winds wound winding
swing swings swung swinging
bring brings brought bringing
hang hangs hung hanging
blow blows blown blowing
get gets got getting
light lights lit lighting
relight relights relit relighting
shine shines shone shining
throw throws thrown throwing
undo undoes undone undoing
break breaks broken breaking
tie ties tied tying
reset resets reset resetting
refit refits refitted refitting
freeze freezes frozen freezing
fit fits fitted fitting
"""


# "Leads" are those of the meter; a lead alone may be a jumper.
_THINGS = words("lead") | plurals(
    words(
        "jumper bridge link shunt strap wire cable paperclip paper-clip clip crocodile croc-clip foil tinfoil coin "
        "screwdriver nail staple fuse-wire bypass patch spanner wrench solder"
    )
)
_FASTENERS = plurals(
    words(
        "wedge tape rag cork prop stick magnet rubber-band elastic zip-tie cable-tie zip string cord cardboard shim "
        "chock matchstick toothpick peg clothes-peg brick weight clamp chewing-gum gum putty glue bung jumper shunt "
        "bypass"
    )
)
# What trips a device, or is tripped.
_PARTS = plurals(
    words(
        "contactor relay armature plunger float vane paddle flap contact microswitch switch lever button tube hose "
        "scanner eye damper limit cutoff interlock"
    )
)
_METER = words(
    "black red probe probes meter test-lead test-leads hose hook bag box note pocket drum manometer hand-pump bin padlock thermometer record"
)
_LISTS = {"=things": _THINGS, "=fasteners": _FASTENERS, "=meter": _METER, "=parts": _PARTS}


# Verdict | what says it.
_VERDICTS = """
dead          | dead zero 0 none nothing gone discharged
live          | live alive volts voltage energised energized powered sparks

gone          | gone nothing zero 0 cold cool stands standing drained empty vented
still-there   | turns turning moves moving hot warm steam pressure

tight         | tight holds hold steady dry sealed still quiet
leaks         | bubble bubbles foam foams froth leak leaks leaking hiss hisses hissing smell fall falls falling drop drops grow grows growing escape escapes rises

tripped       | trip trips tripped stop stops stopped dark lockout out die dies died quit quits drop drops dropped
not-tripped   | burning burns firing fires running run runs continue continues flame ignores

same          | same match matches matched agree agrees identical alike
different     | different differ differs other another wrong mismatch mixed foreign unreadable

cause-mended  | mended fixed repaired replaced cured cleared corrected cleaned renewed
cause-left    | ordered waiting unmended
not-found     | unknown unclear unexplained

seen          | seen saw came right normal complete completed proper whole should
not-seen      | missed missing wrong failed fails lockout skipped early strange

no-pressure   | 0 zero nothing gone empty vented released depressurised depressurized
pressure-left | left trapped remains above rises rising

within        | within inside right normal agrees agree
outside       | outside beyond exceeds disagrees disagree

faulty        | faulty false lies lying sticks stuck
real          | real really genuine true truly actually

full          | full rated
none          | none zero nothing 0
some          | some between half middle ghost
"""


_ROWS = deeds(_DEEDS, _LISTS)

ENGLISH = Table(
    deeds=_ROWS,
    forms=forms_of((verb for row in _ROWS for verb in row.verbs), _IRREGULAR),
    things=_THINGS,
    fasteners=_FASTENERS,
    across=words("across over between from bridging under into around"),
    not_things=_METER,
    negators=words(
        "not never nobody nothing none neither nor without cannot don't doesn't mustn't shouldn't can't won't forbidden "
        "prohibited"
    ),
    no=words("no not without never"),
    undone=words("forget hesitate fail omit wait worry"),
    conditions=words(
        "if when whenever while until till unless before because since although though whether where who whoever "
        "which that than what why how so once after whose lest"
    ),
    sure=words("once after before when if while"),
    joins=words("and then or but nor plus"),
    alternatives=words("or nor"),
    leads=words(
        "then now first next slowly carefully gently again immediately simply just also please always finally "
        "afterwards quickly briefly only both here still later meanwhile instead otherwise yes twice firmly safely "
        "temporarily rather"
    ),
    openers=words("for with at on in from by during after before using if when once while"),
    people=plurals(
        words(
            "technician electrician colleague person helper operator mate assistant fitter painter caretaker partner "
            "foreman attendant"
        )
    )
    | words("you we they lead"),
    modals=words("may can must should could will shall would might"),
    tells=words(
        "have has need needs ask tell try remember sure way time allowed enough helps best ready free permitted "
        "necessary better quicker fine want operator technician electrician painters colleague person people them him "
        "her helper easiest simplest okay"
    ),
    have=words("have let make get"),
    passives=words("must should can to needs need could shall may"),
    permits=words("may"),
    purposes=words("with by for during here now meanwhile temporarily using"),
    by=words("by try start begin consider recommend suggest with for"),
    articles=words(
        "the a an your his her their our its this that these those both each every all own my one any"
    ),
    places=words("pipe from over on outside behind where in at before above under beside of for"),
    kinds=words("switch limit cutoff cut-out relay control contact sensor"),
    said=words(
        "is are was were be been has have had does did can may will would should stays stay stands stand remains remain "
        "keeps leave keep let see look watch goes comes runs falls lies hangs shows means tells makes it who"
    ),
    nouns=words(
        "to on is are was were has of marks mark left does did can may will reads shows stays looks found button "
        "position screw end"
    ),
    machines=words("burner boiler heater dryer switch stop"),
    supply=words("supply mains power isolator breaker panel"),
    holds=words("plug plate cap"),
    beside_lock=words("chain tag padlock plate cap label"),
    toward=words("to on at onto and"),
    be=words("be"),
    being=words("is are gets get"),
    along=words("with"),
    infinitive=words("to"),
    out=words("out across over in closed shut down up open"),
    keep=words("leave keep"),
    adverb="ly",
    states={
        "open": "open",
        "shut": "shut",
        "closed": "shut",
        "off": "off",
        "on": "on",
        "along pipe": "open",
        "across pipe": "shut",
        "handle along": "open",
        "handle across": "shut",
    },
    fuel=words("cock cocks"),
    gas=words("gas fuel"),
    yes=words("yes true right correct"),
    denies=words("no false wrong"),
    less=words("under below less than most within up"),
    dangers=(
        *(
            "smoke",
            "smell of burning",
            "burning smell",
            "smells burnt",
            "smells of burning",
            "something burning",
        ),
        *("smell of gas", "gas smell", "smell gas", "smells of gas", "gas alarm", "co alarm", "hiss of gas"),
        *("a glow", "glowing", "embers", "sparks", "flames outside", "on fire", "smoulders", "smouldering"),
    ),
    behind=("outgoing", "load side", "motor side", "motor cable", "motor terminals"),
    rid=words("none free clear gone"),
    verdicts=verdicts(_VERDICTS),
)

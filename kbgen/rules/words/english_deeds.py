"""What English tells to be done: verbs, what follows them, and the things they are done with or to.

A row says: what is told | verbs | one of these follows | one of these things follows | none of these stands by.
Rows further up are tried first. ``#`` is a mark of the plant such as C1 or Q2, ``@`` one of a terminal; ``=name`` is a
list of this module.
"""

from __future__ import annotations

from kbgen.rules.words.inflect import plurals
from kbgen.rules.words.rows import words

IRREGULAR = """
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
write writes written writing
tell tells told telling
say says said saying
see sees seen seeing
read reads read reading
find finds found finding
feel feels felt feeling
make makes made making
give gives given giving
speak speaks spoken speaking
stand stands stood standing
come comes came coming
go goes gone going
"""

# "Leads" are those of the meter; a lead alone may be a jumper.
THINGS = words("lead") | plurals(
    words(
        "jumper bridge link shunt strap wire cable paperclip paper-clip clip crocodile croc-clip foil tinfoil coin "
        "screwdriver nail staple fuse-wire bypass patch spanner wrench solder shorting-plug dummy-plug hairpin"
    )
)
FASTENERS = plurals(
    words(
        "wedge tape rag cork prop stick magnet rubber-band elastic zip-tie cable-tie zip string cord cardboard shim "
        "chock matchstick toothpick peg clothes-peg brick weight clamp chewing-gum gum putty glue bung jumper shunt "
        "bypass"
    )
)
# What is at hand: nothing wrong with it until it is put on a part.
_ODD = plurals(
    words(
        "needle pin washer nut bolt knife key resistor diode capacitor battery match broom mop shovel spade hammer "
        "crowbar bottle cloth towel glove sponge stone plank board timber lath card paper pencil pen twig bar rod straw "
        "bulldog-clip hair-tie bandage plaster wad tissue silicone sealant wax epoxy velcro bungee rope twine block spacer"
    )
)
# What trips a device, or is tripped.
PARTS = plurals(
    words(
        "contactor relay armature plunger float vane paddle flap contact microswitch switch lever button tube hose "
        "scanner eye damper limit cutoff cut-out cutout interlock sensor detector thermostat pressostat "
        "aquastat pressuretrol overload safety-valve relief-valve flame-rod electrode"
    )
)
METER = words(
    "black red probe probes meter test-lead test-leads hose bag box note pocket manometer ohmmeter multimeter voltmeter ammeter hand-pump bin "
    "padlock thermometer record"
)
# What is set by a screw or a knob.
_SET = plurals(words("limit cutoff cut-out cutout thermostat pressostat aquastat pressuretrol overload"))
_PUT = words(
    "put place set lay lean rest stand stick slip slide insert push shove poke stuff cram jam wedge lodge tuck drop "
    "hang drape loop wrap wind coil smear pack position park balance perch sling thread route string stretch span "
    "install mount add apply affix fit use squeeze press hold drive squirt"
)
_TIE = words(
    "tape tie bind strap rope chain lash glue peg clamp pin cable-tie zip-tie wire fasten fix screw bolt jam wedge "
    "prop gag chock block brace latch hold keep weigh weight stick weld solder freeze hook band cinch secure"
)
_JOIN = words(
    "bridge jumper jump link loop strap short short-circuit join connect couple bond splice tie common parallel hook "
    "twist clip solder"
)
_LIFT = words(
    "lift disconnect detach unhook unscrew unclip cut snip sever break loosen undo unfasten free withdraw unland "
    "unwire unsolder desolder float"
)
_DEFEAT = words(
    "defeat override overrule disable cheat fool trick deceive simulate fake inhibit deactivate disarm spoof mimic "
    "hotwire hot-wire circumvent outwit sideline bypass"
)
LISTS = {
    "=things": THINGS,
    "=fasteners": FASTENERS,
    "=odd": _ODD,
    "=meter": METER,
    "=parts": PARTS,
    "=leads": METER,
    "=firm": PARTS - words("tube tubes hose hoses"),
    "=set": _SET,
    "=stays": PARTS - words("button buttons"),
    "=jams": (THINGS | FASTENERS | _ODD) - plurals(words("key pin bolt screw nut washer")),
    "=put": _PUT,
    "=tie": _TIE,
    "=join": _JOIN,
    "=lift": _LIFT,
    "=defeat": _DEFEAT,
}

DEEDS = """
back | put lay land push screw | back onto home | wire conductor tube |
back | take lift pull remove clear cut collect gather retrieve recover |  | jumper bridge link shunt wedge tape string magnet |
alter | bridge jumper shunt bypass short-circuit |  |  |
feed     | let run start bring | feed fill bring back in up | pump water level | off out
feed     | feed fill refill replenish | | water boiler level glass hand |
feed     | top | up | |
feed     | bring raise restore | back up | level water | hand out off hose
alter | strap jump short link hop | out across over between together |  |
alter | jump short link strap loop bond |  | # terminal contact limit cutoff switch string interlock device them it overload fuse relay contactor vane sensor valve damper float |
alter | make let have | think believe | contact switch scanner controller sensor limit relay it |
alter | suck blow | on into at down | tube hose nipple |
alter | swap replace change exchange fit put use | bigger larger stronger heavier slow-blow | fuse breaker |
alter | put fit clip connect use place solder | in into across at for instead | resistor decade dummy-sensor |
alter | take remove leave cut wire | out from | circuit string & limit cutoff switch interlock device contact it |
alter | wire loop link run jump route | round around out past | limit cutoff switch string interlock device contact |
alter | turn screw set wind crank | stop maximum top end | limit set-point setpoint cutoff cut-out |
alter | put connect join twist land clamp bring get make close press hold | together one same touching gap other | wire conductor terminal contact limb lead them | =meter
alter | put lay lean set hang stretch wind wrap park slip stick jam slide hold fold push rest balance insert add use drop | against under behind over round around | flap vane plunger lever armature float paddle contact reset-button test-button terminal | =meter tag label padlock lock key cap cover plate
alter | =verbs | | jumper shunt |
alter | =verbs | on across over between | bridge & =parts # | =meter
alter | pack solder weld park | with to in shut closed | =parts # |
alter | =verbs | with by in | finger thumb hand stick screwdriver pencil broom pliers screw bolt nail & =parts | =meter gas-detector co-detector leak-detector
alter | =verbs | on onto under over behind between against with in into across round around to | =fasteners =things & =parts | =meter tag label sign list paper note
alter | force squeeze | | relay contactor armature plunger lever vane flap tube hose paddle float |
alter | join twist connect | | end wire lead | =meter
alter | turn screw wind set | up down nothing zero maximum stop | screw scale spring & limit switch control cutoff cut-out |
alter | =put | between into in against | =fasteners =things =odd broom-handle & drum wheel rim ribs spokes pulley | =meter tag
alter | bend file grind |  | lever vane paddle flap contact arm float cam plunger |
alter | feed supply power energise energize | from straight over directly | # valve coil relay contactor solenoid | meter
alter | go run start fire work continue try leave keep | with | jumper bridge wedge shunt bypass wire link & in on fitted place across over still |
alter | block fix hold keep cover secure fasten replace tie press connect join close make push weigh load support stop pull lift set bridge swap restrain jam wedge pin clamp | with by using for against | =fasteners =things =odd & =parts fuse fuses wire terminal gap it them # | =meter wheel union tee pipe renewed
alter | wire connect join tie twist hook loop run | to with and together across onto | # terminal wire conductor core | meter probe lead hose manometer clip pump
alter | wedge prop gag jam chock |  |  | page trolley ladder van truck gate wheel impeller blade belt
alter | tape tie strap wire rope glue bind zip-tie cable-tie | open closed shut down up in back made across over onto to on | switch lever plunger button vane flap float contactor relay armature valve contact paddle arm damper door catch trip flag reset terminal it them # | hair sleeves note tag label list paper sheet ladder
alter | fasten clamp fix peg pin jam | open closed shut down up in back made over | lever plunger button vane flap float contactor relay armature valve contact paddle catch interlock # |
alter | screw | open closed shut down up in back made over | lever plunger button vane flap float contactor relay armature contact paddle catch interlock # |
alter | tape cover | over up down across round around shut closed | scanner eye sensor electrode nozzle window lens |
alter | tape |  | switch lever plunger button vane flap float contactor relay contact paddle catch it them | tag
alter | =defeat |  |  |
alter | plug block stop stuff cork seal pinch kink clog obstruct cap |  | tube hose line nipple port vent bleed scanner eye sensor intake inlet safety-valve relief-valve impulse-line sensing-line | meter test-point
alter | hold keep push press pull force lift lean weigh squeeze block latch stick weight | in closed shut down up made hand finger thumb pressed energised back on | contactor relay armature plunger float vane paddle flap coil contact microswitch limit-switch interlock # | =meter door read s to-off to-on
alter | =verbs | beside in under over behind against on into | =fasteners =things =odd & button | =meter tag label sign
alter | hold keep leave lock | in pressed down depressed | button reset | second s once test write note read display
alter | draw lift disconnect remove cut unhook unscrew unclip detach pull take loosen undo free break unland |  | wire conductor core strand | wedge jumper lock gently
alter | unplug pull remove disconnect slip take | off out | tube sensor-plug connector hose | pump clip meter
alter | turn set screw wind raise move put crank | up higher | limit set-point setpoint cutoff cut-out |
alter | raise increase |  | limit cutoff cut-out |
alter | put fit clip place lay use run connect attach add insert install stick land tie twist slip jam make set hold wrap push slide tuck take solder touch wedge hang tape park rest balance drop | across over between around round through behind bridging | =things | =meter tester neck
alter | put fit clip place lay use run connect attach add insert install stick land tie twist slip make set hold wrap take solder touch | to onto on with and into from at | =things & # | =meter
alter | put fit clip place use attach add insert install stick slip jam make set wrap push slide tuck drive lay hang wind squeeze press hold keep | on onto in into under over behind between around against at to through | =fasteners | =meter hook tag label sign tool
alter | leave keep | out | fuse fuses |
alter | draw pull withdraw pocket | | fuse fuses | blown whole
alter | blank obstruct choke restrict | | outlet inlet intake duct vent flue opening grille louvre chimney screen |
alter | block cover close stop seal mask | off with by | outlet inlet intake duct vent flue opening grille louvre chimney & board sheet card cardboard plastic bag rag plate cloth towel hand foil film tarpaulin |
alter | slip ease work prise tug | off out from | wire conductor core strand | =leads padlock lock
alter | turn set screw wind crank | up down | switch switches control controls & all-the |
alter | leave keep | in on there across | jumper bridge wedge tape shunt |
alter | =join bond | | @ | =leads
alter | make | common | @ |
alter | put land | under | @ & screw terminal clamp | meter
alter | feed take supply run | from off | @ | =leads wire cover
alter | move swap transfer change exchange | | wire conductor lead core & @ | =leads
alter | =lift pull take | off from at to | @ | =leads cover cap lid screw clip plug joint union flange
alter | =lift pull | | wire conductor core lead & @ | =leads gently
alter | =lift float | | @ | =leads cover cap lid screw joint union flange
alter | jump link short loop cut knock bridge | out | =parts | burner fan
alter | leave | out | =stays | burner fan button
alter | =tie | in down up back closed open shut made on over | =firm | =leads door read s tag label cap cover plate lid panel
alter | stick jam put wedge slide poke shove insert push tuck cram lodge drop set place squeeze | in into under behind between through against | =jams & latch catch keeper strike hinge | =meter tag label
alter | block gag jam wedge pin chock tape peg freeze clamp brace hotwire | | =parts thermal-fuse | tag label list sign sheet renewed =leads
alter | =put | on onto in into under over behind between against around round through across to | =fasteners =things =odd & =firm | =leads tag label sign list note
alter | push hold press keep pull lift | in down up back | finger thumb & it them |
alter | put hold keep lean push rest set | on against over in | thumb finger hand elbow knee foot shoulder & =parts | start stop
alter | press push lean bear | on against | =firm | start stop reset test
alter | keep stop prevent hinder | from | tripping opening dropping cutting |
alter | run go do fire start | on with | jumper bridge link shunt bypass |
alter | run try start fire leave | | =parts & bridged jumped jumpered linked bypassed shorted taped wedged |
alter | turn crank wind screw set dial put bring back raise move | up higher down in stop maximum top end | =set | off burner fan new
alter | crank wind turn screw back | in out down up off | screw & =parts =set |
alter | bend twist file grind hammer | | =parts arm pin vane cam | gently lightly
alter | unplug | | =parts | meter
alter | pull take | off out | plug connector & =parts | meter
alter | pull slip take | off | hose tube line | pump clip meter manometer
alter | wrap bridge put stick bend | in with place across instead round around for | foil nail coin wire bolt & fuse fuses |
alter | hold shine point wave aim put | front at into under to | lighter torch match candle flashlight lamp light & scanner eye sensor detector glass rod |
alter | cover mask shade blind screen paint | | scanner eye |
alter | put turn set leave switch spin twist rotate swing flick move throw | hand manual | switch selector | over with of
alter | cut force drill | | padlock lock chain |
alter | snap | | padlock lock chain | your own my shut closed home
alter | shine hold wave light point aim | at front near into under to | lighter torch match candle flashlight | glass gauge
lead-off | take pull remove draw slip lift unclip get | off away from | lead clip crocodile croc-clip probe | padlock lock tag cap cover plate lid relay
lead-on  | put clip hook land snap fasten attach nip pinch | on onto to over | lead clip crocodile croc-clip probe | padlock lock tag cap cover plate lid relay
stay-open | leave keep | open | |
stay-shut | leave keep | shut closed | |
start    | turn | back | burner boiler heater dryer fire flame | switch isolator supply power thermometer
start    | set get bring | going running again | # fan drum pump program air-only |
start    | get bring kick | going running on up back line | burner boiler heater dryer fire flame | switch isolator supply power gas
start    | bring put | line | | cock valve handle lever tap pipe
start    | run fire start | up | burner boiler heater dryer it |
start    | light | off up | it burner pilot boiler |
start    | call ask | for | heat |
start    | turn set put | up | thermostat |
off      | take cut kill knock shut bring turn put | off down | power supply mains current electricity | padlock lock chain tag plug cover wire
off      | make | dead | |
on       | make | live | |
off      | power | down | | run drain discharge bleed die settle
on       | power | up | |
on       | give | | power supply current electricity |
off      | pull put knock flick bring rack | off out down 0 zero | # supply mains power isolator breaker disconnect | meter probe lead clip padlock lock tag chain wire @
off      | trip | | # isolator breaker disconnect | limit cutoff device
on       | put bring push flick | on back in 1 i up | # supply mains power isolator breaker disconnect | meter probe lead clip padlock lock tag chain cover wire
off      | cut kill stop isolate block knock | | power supply mains current electricity | wire
shut     | cut kill stop isolate block take knock shut | | gas fuel | leak detector hose flue meter padlock lock chain tag plate cap key
shut     | turn | off down shut | gas fuel | leak detector hose flue meter padlock lock chain tag plate cap key
open     | let put bring restore give admit send turn | through on back in | gas fuel | hose out air detector meter leak smell padlock lock chain tag plate cap key
open     | crack | open | |
shut     | turn swing set bring move throw put pull push spin rotate ease wind screw crank lever | shut closed across crosswise crossways perpendicular square right-angles angles |  | half
shut     | run screw wind turn bring drive | onto on down | seat |
shut     | screw wind crank | down home | cock cocks valve valves tap stopcock shut-off |
open     | turn swing set bring move throw put pull push spin rotate ease wind screw crank lever prise pry get pop slide | open along parallel |  |
open     | turn swing set bring move put pull push |  | in-line into-line & cock cocks valve valves tap stopcock shut-off handle lever |
unlock   | clear free strip rid relieve | of from | padlock chain lock | key
unlock   | collect gather retrieve recover | | locks padlocks | store shelf board office cabinet locker rack desk drawer bag workshop
unlock   | collect gather retrieve recover | from off in up | padlock chain | van store shelf board office cabinet locker rack desk drawer bag workshop
unlock   | take lift remove pull undo get strip slip fish unhang unhook |  | padlock chain                   | with-you with-us along
lock     | put hang fit place set lay add attach clip snap fasten fix secure thread click | | padlock chain                   |
off      | pull draw take yank tug rip               |             | plug                            | service
on       | push put stick shove pop | in into back | plug                           | service box meter seal cleaning drain joint gas
on       | draw pull take lift slide           | out off away from | wedge                     | cover float limit relay switch cabinet exhaust probe
off      | swing put set lay fit               | over on in into | plate cap wedge             | cover float limit relay switch cabinet exhaust probe
on       | swing take lift pull                | away off out back | plate cap wedge           | cover float limit relay switch cabinet exhaust probe
unlock   | take lift remove pull undo get      |             | lock                            | key cabinet hook
lock     | put hang fit place set lay add attach clip snap | | lock                            | key cabinet list
lock     | lock padlock chain                  |             |                                 | screw van room gate cabinet bike door
unguard  | take remove lift pull unscrew get undo slide | off away out aside | shroud guard belt-guard barrier shield | face
unguard  | remove unscrew undo |  | shroud guard belt-guard barrier shield | face
unlock   | unlock unchain                      |             |                                 |
off      | swing knock twist rotate spin nudge flip | off | switch isolator selector | cap cover plate lid door box wedge
on       | swing knock twist rotate spin nudge flip | on | switch isolator selector | cap cover plate lid door box wedge track
off      | switch turn put set flip throw move trip | off out |  |
off      | pull push flick bring shut snap switch turn put set flip throw move | off 0 zero |  | plug cap lid cover screws door panel hatch
on       | switch turn set flip throw move flick snap | on 1 i     |                                 | detector torch flashlight analyser analyzer tester cover cap lid track
on       | plug | in | | meter probe lead adapter detector hole tube
off      | press push hit                      |             | stop                            |
off      | de-energise de-energize deenergise deenergize isolate unplug kill | |                 |
on       | energise energize re-energise re-energize restore | |                                 |
shut     | shut close                          |             |                                 |
open     | open                                |             |                                 |
open     | swing throw fling pull lay fold | wide | |
take-off | take lift pull draw slide swing unscrew get pop prise pry drop lay set fold hinge undo loosen | off out away up aside down |  |
take-off | remove unscrew undo unlatch unbolt unfasten unhook prise pry peel detach loosen |  |  |
take-off | ease crack | off open ajar from | door lid panel cover hatch |
take-off | swing put hang set lay push pull hook latch tie | on onto | cover lid door panel hatch & hook peg nail |
put-on   | put fit place screw set lay push mount slide clip bolt hang swing snap latch button | in on back over home up to |            | tag label
put-on   | replace refit reinstall re-fit latch fasten bolt relatch re-latch |             |                                 |
reset    | reset rearm re-arm                  |             |                                 | watch stopwatch timer meter clock counter into
reset    | press push hit poke hold depress tap punch thumb jab | | reset red-button yellow-button | test
reset    | press push hit poke depress tap punch |      | button pin & red yellow reset  | test
reset    | clear acknowledge cancel unlatch unlock |             | lockout fault trip alarm limit cutoff |
reset    | give do try make take               |             | reset                           |
open-gas | break crack loosen slacken unscrew  |             | joint union flange fitting plug nipple test-point gas-line gas-pipe | meter
open-gas | back ease wind run turn screw crack | out loose | screw plug nipple & # | meter lead
open-gas | open undo                           |             | joint union flange gas-line gas-pipe gas-train |
open-gas | let                                 | in into through | gas                     | out
open-gas | bleed purge vent admit              | through into at from out by | gas gas-line gas-pipe | hose
start    | relight light ignite                |             | burner pilot boiler heater flame main-flame gas it |
hands | clean polish buff burnish rub | | terminal contact electrode igniter flame-rod @ | cover lid door plate gauge thermometer glass
hands | tighten retighten re-tighten retorque re-torque crimp re-crimp scrape | | terminal screw wire conductor core lug ferrule clamp connection connector contact @ | cover lid door plate union valve cock strap lead
start    | start restart fire                  |             | burner boiler heater dryer pilot plant it | out
start    | press push hit tap thumb poke punch jab |         | start                           |
start    | give make                           |             | start try try-out              | once
"""

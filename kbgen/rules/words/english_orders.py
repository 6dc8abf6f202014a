"""What an English instruction has to say so that it tells its action, and the verbs that touch nothing.

What stands in neither list is not understood, and what is not understood is refused.
"""

from __future__ import annotations

from kbgen.rules.words.inflect import plurals
from kbgen.rules.words.rows import words

# Action, one word of each group (`&` between groups) | none of these in the same sentence.
# Any form of a word counts. An action without a line is told by its deeds alone (`english_deeds`).
WAYS = """
shut_valve   | shut close closed shut-off off across crosswise crossways perpendicular square right-angles clockwise | open
open_valve   | open along parallel in-line into-line on anticlockwise anti-clockwise counterclockwise counter-clockwise | shut close closed
open_cover   | open off away out aside remove unscrew undo unlatch unbolt unhook unclip prise pry uncover expose |
close_cover  | shut close closed back on home in to refit replace reinstall latch fasten bolt screw cover seat button |
isolate      | 0 off open down out dead zero shut closed isolate de-energise de-energize unplug kill trip disconnect cut drop rack across |
isolate      | over on in into to & plate cap wedge box lock pin |
isolate      | try & plate cap handle switch cock lever wheel |
isolate      | hang put tag write ask wait stay have & tag list lock zone fan |
isolate_other | unhook undo release wait let leave keep stay see look stand stop rest cool shut close off out down run coast vent drain prop block chock pin lower unload isolate relieve release give brake wedge try done |
restore      | on close in back work pump up energise energize re-energise re-energize restore plug live open reconnect reinstate return |
restore      | off away out remove swing lift take & plate cap wedge lock pin box chain |
restore_other | become again work pump hook on in back open let see look remove release take lift free clear nothing nobody begin start warm set away out run unpin |
lock         | set put insert on over through in into to beside around round & padlock lock chain hasp tag lockout wedge plate cap box clamp pin pins | off away from out
lock         | lock padlock chain lockout & tag cap plate box switch | off away from out
lock         | tag beside & theirs his hers stay | off away from
lock         | hold stay locked try & handle locked lock plate padlock | off away from
unlock       | off away out from come remove free open release undo take & padlock lock chain tag hasp clamp wedge pin | on onto put hang
unlock       | take remove undo free release & padlock lock chain tag hasp clamp wedge pin | onto put hang
unlock       | unlock unchain come & off lock padlock yours mine |
stop_demand  | off stop out down end shut lower minimum zero pause cancel |
start_demand | on start run up fire call light heat going go begin maximum restart |
reset        | reset press push button key pin hit thumb poke tap punch jab clear rearm re-arm acknowledge hold in |
try_start    | try start stop on run turn press work switch |
open_gas_train | open break crack loosen slacken unscrew undo part separate take remove disassemble dismantle disconnect apart out off bleed unbolt draw |
cap          | cap close shut plug tighten screw seal fit put nip renew refit make do remake replace back on in home assemble reassemble bolt turn tape dope |
fit          | fit put take go come pull draw connect turn move slide hang swing set lift loosen undo disconnect open shut close remove slip unplug bridge jumper jump link wire tape switch press hold lay clip tee screw cover block prop mute silence drive crank swap push unhook drop free unclip part land insert plug bypass attach place lead hold run release unscrew loop belt gag blank resistor let |
undo         | out off back away home undo remove take put set turn pull push shut close open return restore switch refit reconnect replace screw unhook unclip slip swing move drop release let unplug clear land connect cap tighten clip plug strip free lift normal |
clip         | clip hook on attach connect put land snap fasten nip pinch lead croc across between to | off
unclip       | pull off out away unclip unhook free disconnect remove take undo come drop |
replace      | replace change swap renew exchange new fit substitute install |
replace      | put take & one in out |
replace      | out off & in on & new fresh spare one other same |
prove_dead   | dead test prove measure check voltage volt meter zero read live tester earth ground conductor |
prove_gone   | below under prove see look read feel check test measure hold put try push shove nudge budge watch open gauge thermometer vent wait drain crack show gone tap touch turn listen meter pull work let empty |
guard        | guard shroud cover shield put hang fit slide place lay see look check stay drape set leave clip | off away bare from
hold         | hold keep press push |
adjust       | set turn screw adjust trim wind raise lower back reduce increase move dial put bring change shift open close step wind up down take ease give slow slacken tighten |
leak_check   | leak brush spray soap soapy suds fluid foam bubble paint pump test check tight swab dab listen prove watch look read hold |
measure      | impedance supply ω flame read probe meter measure check test take lead ring count look weigh gauge flue gas rate thermometer analyser analyzer connect clip compare hold put press see watch tester ohm ohms volt amp manometer between across to reading time log note try touch |
watch        | watch look read see follow observe keep eye count listen note log check stay monitor time measure hold switch |
observe      | give until rest still fire burn light flame purge watch see look listen observe wait stay follow check count run feel hear eye let stop time stand keep monitor go measure note air walk read hold clear |
inspect      | shine torch write look see check inspect brush feel examine listen compare read smell touch watch view eye count find test measure hear sniff search walk open try hold tell note air show ask take |
check_real   | against look see check inspect feel examine listen compare read smell touch watch view count find test measure hear put hold take ask blow tap try open go walk sniff water run let tell |
find_cause   | find look search check trace go why cause clean mend ask see follow read test measure repair set put note take walk open listen compare feel hunt clear stay |
identify     | check compare match identify read hold see sure verify confirm look number touch same find agree mark |
record       | write note record photograph photo film log list read look mark count copy see put save video picture watch sketch enter take jot snap |
inform       | tell inform ask say call warn know phone ring telephone radio notify report show announce advise agree permission word message speak talk shout explain hand see alert give let send write |
wait         | wait let leave give allow stand run cool settle rest hold stay keep until pause discharge bleed minute min hour dry stop have time set |
"""

# Verbs of eyes, ears, mouth, pen, feet and head, and of a broom: they change nothing on the plant.
HARMLESS = words(
    "look see watch listen smell sniff hear read note write record log list tick sign date initial photograph film sketch "
    "count check compare inspect examine view observe notice spot find search hunt trace follow judge decide think consider "
    "remember remind know assume expect believe trust suspect doubt ask tell say call phone ring telephone radio shout warn "
    "inform notify advise report explain describe show announce agree confirm verify identify match measure test prove wait "
    "stay stand remain sit rest keep leave go walk come return step climb descend evacuate enter approach meet fetch "
    "carry collect gather order buy request need wear don begin continue proceed repeat answer choose pick accept refuse reject "
    "respect heed obey mind beware avoid ignore suppose plan arrange schedule receive deliver help assist guide lead "
    "escort assign allow permit forbid let have calculate add subtract divide multiply estimate work-out clock feel touch reach "
    "hand get tag label mark wipe mop sweep dry dust vacuum hoover tidy empty air ventilate spread brush soap spray "
    "swab try clean rinse paint use make do stop finish end save keep-away stoop kneel crouch bend-down lie "
    "relax breathe pause hurry rush mind-out speak talk discuss consult review study learn teach copy type enter print store "
    "post hang-about guard attend supervise monitor time estimate treat count-down understand imagine ensure take-care seek "
    "gauge inquire enquire point retire withdraw escape head proceed pass pump stir dip warm cool bring seal "
    "protect prevent beware value rate rank explain quote state name number sort separate draw-up fill-in turn-away "
    "shine weigh look-up move-away live believe recheck re-check recount reread re-read rewrite double-check cross-check "
    "resist redo mention pay keep-clear stay-clear back-away lose forget hesitate worry omit remember"
)

# What hands may take, turn or put without a word of the action: tools, papers, what is worn, and the people themselves.
IN_HAND = plurals(
    words(
        "photo picture video note record log list page tag label sign notice pen pencil book paper form sheet tape-measure "
        "thermometer pyrometer manometer meter multimeter ohmmeter tester probe lead detector analyser analyzer monitor torch "
        "flashlight lamp mirror camera phone telephone radio watch stopwatch clock timer number counts glove glasses goggles visor shield "
        "mask helmet harness coat sleeve hair boot ring ladder step stool mat bucket tray rag cloth tool bag box van hand "
        "finger head face eye ear arm foot body hose extinguisher blanket key everyone everybody person people colleague "
        "helper second-person job work reading value figure minute second time care breath side distance turn-back pointer "
        "needle hold note name spray bottle brush fluid photo proving-unit unit wheel rim drum glass knock wire insulation lint "
        "hole plug-hole load gauge sight plant it them handle flap pin gasket sealant door handles reading sample sampling "
        "coffee tea break drink seat breather"
    )
) | words("low high last history rate")

# Verbs that hands do things with; where no deed of theirs is known, they need something of `IN_HAND`.
HANDS = words(
    "take put set turn push press pull move lift hold swing slide hang draw connect clip touch switch throw flick swing drop "
    "slip plug unplug screw unscrew loosen slacken tighten undo fasten open shut close fit remove replace swap change bend "
    "cut tie tape wedge prop block jam bridge jumper jump link wire strap bolt unbolt pin unpin spin rotate twist crank wind "
    "back nip hook unhook tap hit knock strike kick tug yank jerk wiggle shake bang hammer prise pry lever force squeeze pinch "
    "clamp peg crack bleed drain vent fill feed blow purge light relight fire start restart run cap seal lock unlock padlock "
    "chain adjust trim raise lower increase reduce cover uncover strip snip snap crimp solder glue file grind drill saw scrape clear run string ring "
    "polish sand oil grease lubricate pack stuff poke prod stick thread feed insert extract eject attach detach mount dismount "
    "install dismantle disassemble assemble reassemble refit rewire reroute reverse invert flip toggle rack trip reset rearm "
    "clear hold-in short bypass override defeat disable enable isolate energise energize de-energise de-energize kill power "
    "charge discharge ground earth bond splice join couple uncouple align straighten level balance heat freeze thaw burn melt "
    "rub buff burnish mend repair renew rebuild overhaul service wash flush soak wet pour top charge load unload stack lay place position point shift drag roll tip tilt lean rest "
    "weld braze cement silicone plaster tar ram tamp thump slam bump bash whack rap rattle jiggle waggle rock ease work free "
    "release engage disengage latch unlatch hinge fold unfold wrap unwrap coil uncoil loop unloop string sling hoist lower dangle "
    "grab whack whip slap sling chuck plonk pop bung lob dump toss stow snatch heave rip tear smash "
    "suspend support brace shore jack dial tune set-back calibrate zero null shunt tee tap-off spray-paint paint coat shave trim"
)

# Words that begin a clause and are no verb, though an article, a mark or "off" may follow.
NOT_VERBS = words(
    "the a an this that these those your my our their his her it its he she they we you i nobody somebody everybody everyone anyone anybody no none "
    "nothing something anything everything all both each every either neither one two three four five six ten some any "
    "many most more few several other others another only even just still yet also too very quite rather almost nearly "
    "about above across after against along among around as at before behind below beneath beside besides between beyond "
    "but by despite down during except for from in inside into like near of off on onto opposite out outside over past "
    "per round since than through throughout to toward towards under until up upon via with within without not never and or "
    "nor so if when whenever while where who which what why how whose once unless because although though whether whatever "
    "whoever is are was were be been has have had does did can could may might must shall should will would there here "
    "now today tonight always often sometimes usually seldom half then else instead same such own "
)

# Nouns that begin a clause.
NOUNS_FIRST = words(
    "fire fuse terminal valve cock relay switch lamp contactor motor point contact pump fan burner cock button key code wire cable "
    "light display isolator breaker gun heater boiler dryer gas gauge water steam air heat flame power supply voltage current "
    "new old spare fresh good bad red green amber yellow blue black white loose wet hot cold own people mat "
    "drum unit panel door cover cap lid flap plate zone smoke smell alarm thermostat limit sensor transformer line circuit "
    "wheel belt screw nut bolt joint pipe hose tube filter damper vent duct flue resistance pressure temperature level"
)

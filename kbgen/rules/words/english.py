"""The words of English. A lead technician may read and mend every line here.

The deeds stand in `english_deeds`.
"""

from __future__ import annotations

from kbgen.rules.words.english_deeds import DEEDS, FASTENERS, IRREGULAR, LISTS, METER, THINGS
from kbgen.rules.words.english_idioms import idioms
from kbgen.rules.words.english_orders import HANDS, HARMLESS, IN_HAND, NOT_VERBS, NOUNS_FIRST, WAYS
from kbgen.rules.words.inflect import forms_of, lemmas_of, plurals
from kbgen.rules.words.rows import deeds, verdicts, ways, words
from kbgen.rules.words.table import Table

# Verdict | what says it.
_VERDICTS = """
dead          | dead zero 0 none nothing gone discharged
live          | lights-up lights live alive volts voltage energised energized powered sparks

gone          | gone nothing zero 0 cold cool stands standing drained empty vented
still-there   | still-hot still-warm still-turns turns turning moves moving hot warm steam pressure

at-rest       | stand stands standing stopped stops standstill rest
turning       | turn turns turning rotates rotating spins spinning moves moving runs running

tight         | stay-dry stays-dry tight holds hold steady dry sealed still quiet
leaks         | goes-down go-down blows blow bubble bubbles foam foams froth leak leaks leaking hiss hisses hissing smell fall falls falling drop drops grow grows growing escape escapes rises

tripped       | off gone out goes-off go-off went-off goes-out go-out went-out cuts-out shuts-down shut-down shuts-off drops-out switches-off trip trips tripped stop stops stopped dark lockout out die dies died quit quits drop drops dropped
not-tripped   | fire-on fires-on burn-on burns-on run-on runs-on go-on goes-on carry-on carries-on keep-running keeps-running keep-going keeps-going stay-lit stays-lit stay-on stays-on burning burns firing fires running run runs continue continues flame ignores

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
outside       | too-high too-low too-much too-little outside beyond exceeds disagrees disagree

faulty        | faulty false lies lying sticks stuck
real          | real really genuine true truly actually

full          | full rated
none          | none zero nothing 0 dead
some          | some between half middle ghost
"""


_ROWS = deeds(DEEDS, LISTS)
_WAYS = ways(WAYS)

ENGLISH = Table(
    deeds=_ROWS,
    forms=forms_of((verb for row in _ROWS for verb in row.verbs), IRREGULAR),
    things=THINGS,
    fasteners=FASTENERS,
    across=words("across over between from bridging under into around"),
    leads_of_meter=words("lead leads clip clips crocodile croc-clip"),
    not_things=METER,
    negators=words(
        "not never nobody nothing none neither nor without cannot don't doesn't mustn't shouldn't can't won't forbidden "
        "prohibited"
    ),
    no=words("no not without never"),
    no_terminals=words("q p k f s y"),
    locks=words("lock locks padlock padlocks chain"),
    plugs=words("plug plugs"),
    flimsy=words("tag tags tape label labels sign signs note string ribbon sticker cable-tie twine"),
    bars=words(
        "lock locks locked padlock padlocks chain chains box hasp wedge wedges pin pins plate cap bar chock block plug "
        "cable clamp bolt cover key"
    ),
    waters=(
        *(
            "water in sight",
            "water in view",
            "water in the glass",
            "water stand in",
            "water stands in",
            "see water",
        ),
        *("level in sight", "level in the glass", "water sure", "water visible", "water to be seen"),
    ),
    goods=(
        *(
            "is water in sight",
            "water in the glass",
            "above the lower mark",
            "at its normal level",
            "as it was",
            "in order",
            "still locked",
            "are the locks yours",
        ),
        *("glass is it dark", "furnace is it dark", "is the furnace dark", "is the sight glass dark"),
        *(
            "is the flame out",
            "is the flame gone",
            "proved tight",
            "tight again",
            "all the same",
            "at the glass",
            "nobody near",
            "everybody clear",
            "qualified for",
            "qualified to",
            "licensed for",
            "licensed to",
        ),
    ),
    switches=words("switch isolator breaker disconnect plug"),
    idle=words("off out hook aside away bag van shelf loose pocket"),
    hung=words("padlock chain"),
    gone=words("off away"),
    stored=words("bag van shelf pocket toolbox drawer"),
    stays=words("stay stays remain remains left leave keep keeps"),
    mates=words("while"),
    same=dict.fromkeys(words("valve tap stopcock shut-off shutoff ball-valve"), "cock"),
    covers=words("cover lid cap plate hatch panel"),
    ends=words("until till"),
    theirs=words("his her their mine yours hers ours theirs"),
    undone=words("forget hesitate fail omit wait worry"),
    conditions=words(
        "if when whenever while until till unless before because since although though whether where who whoever "
        "which that than what why how so once after whose lest"
    ),
    sure=words("once after before when if while"),
    holding=words("hold keep"),
    joins=words("and then or but nor plus"),
    quiet=words(
        "watch write note read look see listen smell wait count compare check measure tell ask call sign test prove observe "
        "record inspect feel step stand go come tag label"
    ),
    tags=words("tag tags label labels"),
    says=words("says say reads read"),
    own_wires=words("wire wires cable cables conductor conductors lead leads core cores"),
    loads=words("load loads laundry wash weight"),
    inside=words("in inside"),
    scant=words("enough suffice suffices sufficient skip"),
    of_place=words("where before"),
    befores=words("before"),
    selves=words("you we"),
    owning=words("of"),
    perfect=words("have has had"),
    keys_of_others=frozenset((of, key) for of in ("spare", "master", "second") for key in ("key", "keys")),
    teaches=words("show teach explain tell"),
    provers=("proving unit", "known source", "known live source", "live source", "test source"),
    takes=words("take pull remove slip lift draw unscrew unclip slide"),
    shrouds=words("shroud shrouds barrier barriers shield shields"),
    cover_screws=plurals(words("screw nut bolt wing-nut thumbscrew stud")),
    carried=frozenset((of, "detector") for of in ("gas", "co", "leak")),
    lands=words("land connect reconnect"),
    lets=words("let"),
    its=words("its their"),
    good=words("good full whole"),
    letters=words("A"),
    was=words("was were stood been"),
    raises=words("raise increase"),
    lowers=words("lower reduce"),
    currents=words("ac dc"),
    common_labels=frozenset(("ON", "OFF", "START", "STOP")),
    books=words("record records book log sheet list diary"),
    run_on=words("run-on overrun"),
    those_told=words("they he she"),
    speaks=words("tell ask inform warn call notify remind advise alert"),
    driven=words(
        "jammed driven stuck wedged pushed stuffed taped tied rammed tucked shoved poked hammered pressed lodged plugged "
        "twisted looped strung bridged "
        "crammed"
    ),
    other_modes=words("beep beeper buzzer diode"),
    flames=words("lighter match matches candle taper"),
    hanging=words("hang hangs hanging dangle dangles dangling lie lies lying"),
    aired=words("pump pumps pumped pumping bulb nitrogen compressor"),
    needs=words("need"),
    instead=words("for with by"),
    ajar=words("off open ajar loose aside wide"),
    aims=words("so that"),
    joined=words("together bridge bridging twist twisted join joined"),
    half_shut=words("ajar"),
    covering=words("cover lid cap plate panel hatch door it"),
    therefore=words("so"),
    escapes=words("hiss hisses blow blows bubbles whistle whistles"),
    escorts=words("take bring lead walk show"),
    renewed=words("new renewed"),
    rest=words("place position all tags labels"),
    sides=words("together around round past across between bridging over"),
    quantities=words("pressure temperature level flow water air"),
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
            "foreman attendant bather swimmer guest visitor engineer mechanic caller lead-technician"
        )
    )
    | words("you we they lead staff crew"),
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
    agents=words("by"),
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
        "to on is are was were has of box plate list marks mark left does did can may will reads shows stays looks found button "
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
        "plug out": "off",
        "open": "open",
        "shut": "shut",
        "closed": "shut",
        "off": "off",
        "on": "on",
        "line pipe": "open",
        "lie along": "open",
        "lies along": "open",
        "lie across": "shut",
        "lies across": "shut",
        "stand across": "shut",
        "stands across": "shut",
        "points along": "open",
        "points across": "shut",
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
    more=words("above over more least exceeds"),
    begins=words("from"),
    broken_off=words("off stop"),
    put_to=words("to at in on onto"),
    chooses=words("choose select set dial pick press hit push punch tap"),
    back=words("back again return"),
    as_it_is=words("there that so it"),
    again=words("again another more twice thrice repeatedly"),
    times=words("time times"),
    pipes=words("pipe pipes line pipework"),
    crosswise=words("across crosswise crossways perpendicular square right-angles angles ninety 90 athwart"),
    lengthwise=words("along parallel in-line with lengthways lengthwise way"),
    part_way=words("half halfway nearly almost partly partway partially quarter slightly third"),
    whole_turns=words("turn turns"),
    fully=words("fully full completely whole wholly"),
    tubes=words("tube tubes hose plug"),
    seated=words("under on in"),
    others=words("other others neighbour neighbor second"),
    hands_over=words("give hand leave lend pass entrust"),
    keys=words("key keys"),
    with_tool=words("by with"),
    body=words("hand hands finger fingers thumb palm foot elbow knee arm shoulder glove gloves fist"),
    reaches=words("reach touch feel"),
    fit_words={
        "jumper": words("bridge jumper jump link strap short shunt"),
        "lifted-wire": words(
            "lift lifts lifted out free draw take taken come comes undo disconnect unplug pull pulled remove part"
        ),
        "unplugged-tube": words("off pull slip slipped unplug draw ease tee out come comes"),
        "pinched": words("pinch clamp kink squeeze nip"),
        "put back": words("back home"),
    },
    nearby=words("next beside near past behind between"),
    earths=words("steel chassis earth ground chassis frame bodywork metal pe"),
    sniffs=words("sniff smell"),
    fluids=words(
        "leak fluid suds soap soapy foam bubble bubbles brush paint swab spray solution water air gauge pressure detector"
    ),
    instruments=words("thermometer pyrometer gauge manometer meter"),
    signs={"volts": "v", "ohms": "ω"},
    bared=words("off away from bare"),
    unlocked=words("open unlocked loose unsnapped"),
    buttons=words("button knob pin"),
    tests=words("test"),
    colours=words("red blue yellow green black white amber"),
    presses=words("press push hit hold punch tap poke thumb depress jab"),
    limitless=(
        "as long as it takes",
        "as long as you like",
        "as long as you need",
        "however long",
        "no matter how long",
    ),
    turning=words("round turning spinning rotating"),
    at_rest=words("still stand stands stop stops stopped rest standstill down"),
    allowed=words("normal fine ok okay harmless allowed usual acceptable"),
    home=words("in home tight on"),
    counts=words("counts count"),
    counted_as=words("as"),
    measures=words("a an some one bit piece length strip bell short old thin little"),
    sets=words("crank dial wind bring"),
    dangers=(
        *(
            "smoke",
            "smell of burning",
            "burning smell",
            "smells burnt",
            "smells of burning",
            "something burning",
        ),
        *(
            "smell of gas",
            "gas smell",
            "smell gas",
            "smells of gas",
            "gas alarm",
            "co alarm",
            "hiss of gas",
            "headache",
            "dizzy",
        ),
        *("a glow", "glowing", "embers", "sparks", "flames outside", "on fire", "smoulders", "smouldering"),
    ),
    airs=frozenset(
        (
            *(
                "smell of gas",
                "gas smell",
                "smell gas",
                "smells of gas",
                "gas alarm",
                "co alarm",
                "hiss of gas",
            ),
            *("headache", "dizzy"),
        )
    ),
    burnt=words(
        "scorched scorching scorch singed singeing burnt burned burning charred charring smouldering smoldering smoky smoked"
    ),
    wound=words(
        "motor motors winding windings coil coils transformer transformers relay relays contactor contactors starter starters fuse fuses terminal terminals wire wires board boards"
    ),
    nosed=words(
        "smell smells smelled smelt smelling sniff sniffs sniffed sniffing nose odor odors odour odours whiff stink stinks"
    ),
    in_air=words(
        "gas smell smells smelled smelt smelling whiff whiffs breath odor odors odour odours hiss hisses hissing hissed fume "
        "fumes reek reeks stink stinks stench sniff trace co alarm alarms chlorine"
    ),
    no_air=frozenset({"water alarm", "water alarms"}),
    little=(
        *(
            "a little",
            "a bit",
            "just once",
            "not strong",
            "not strongly",
            "not much",
            "not bad",
            "not really",
        ),
        *(
            "faint",
            "faintly",
            "slight",
            "slightly",
            "weak",
            "weakly",
            "hardly",
            "barely",
            "scarcely",
            "maybe",
            "perhaps",
        ),
        *("possibly", "sometimes", "briefly"),
    ),
    strong=words("strong plain heavy distinct marked obvious bad clear unmistakable"),
    behind=("outgoing", "load side", "motor side", "motor cable", "motor terminals"),
    rid=words("none free clear gone absent"),
    rules_out=("rule out", "ruled out", "exclude", "excluded"),
    only_named=words("flame"),
    ranges={
        "high-impedance": ("high impedance", "hi z", "high z", "hiz"),
        "low-impedance": ("low impedance", "lo z", "low z", "loz"),
    },
    units={
        "ohms": words("ohm ohms continuity resistance"),
        "volts": words("volts vac vdc"),
        "amps": words("amps amperes"),
    },
    repeats=words("every each"),
    seconds={"s": 1, "sec": 1, "second": 1, "min": 60, "minute": 60, "h": 3600, "hour": 3600},
    numbers={
        "half": "0.5",
        "quarter": "0.25",
        "one": "1",
        "two": "2",
        "three": "3",
        "four": "4",
        "five": "5",
        "six": "6",
        "seven": "7",
        "eight": "8",
        "ten": "10",
        "twelve": "12",
        "fifteen": "15",
        "twenty": "20",
        "thirty": "30",
        "forty": "40",
        "sixty": "60",
    },
    admits=words("only but except save apart"),
    some=words("one ones few some couple"),
    degrees=words("fast quickly rapidly big large strong strongly many much heavily hard loud loudly"),
    verdicts=verdicts(_VERDICTS),
    ways=_WAYS,
    harmless=HARMLESS,
    in_hand=IN_HAND,
    hands=HANDS,
    objects=words("it them him her those one two three four both each every all"),
    adverbs_after=words("up off out down away back"),
    turns=words("turn set push press pull move swing slide lift lower screw"),
    stops=(words("red stop"), words("emergency stop")),
    gives=words("give"),
    given_back="back",
    with_oneself=frozenset({("with", "you"), ("with", "us")}),
    not_verbs=NOT_VERBS | NOUNS_FIRST,
    nouns_first=NOUNS_FIRST,
    objects_named_before=words("it them old"),
    every=words("all every each both everything"),
    unspecific=plurals(
        words(
            "lock padlock tag chain hasp plate cap cover lid handle switch cock button key lever door knob name date stop "
            "end catch screw wing nut tab mark position way turn time box lockout supply energy plant machine unit gas fuel "
            "isolator disconnect breaker device part joint thing"
        )
    ),
    pointing=words("that this those these same"),
    pointed_at=words(
        "one switch cock valve cover plug zone point joint lock door lid cap panel isolator disconnect breaker pair"
    ),
    no_order=("s", "ing", "ed"),
    order_after_all=("ss", "eed"),
    listed=words("on off open opened shut closed out in over away"),
    untouched=words("untouched"),
    idioms=idioms(),
    lemmas=lemmas_of(
        (
            word
            for each in _WAYS.values()
            for way in each
            for group in (*way.groups, way.without)
            for word in group
        ),
        IRREGULAR,
    ),
)

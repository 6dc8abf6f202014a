"""What the search has to know of English."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from .danger_table import read_table
from .everyday import read_words
from .language import SPELT, UNITS, Language, flashes, groups, keep, pairs, words
from .weights import read_weights

# Not what stands before numbers in any sentence, such as "see".
_HEARD = pairs(
    "ay=a eh=a bee=b sea=c dee=d ee=e ef=f eff=f gee=g aitch=h jay=j kay=k el=l ell=l em=m en=n pee=p "
    "queue=q es=s ess=s tea=t tee=t"
)

ENGLISH = Language(
    rounds=(
        (("ies", "i", 2, False), *keep("ss", "us", "is"), ("s", "", 3, False)),
        (*keep("eed"), ("ied", "i", 2, False), ("ed", "", 3, True), ("ing", "", 3, True)),
        (("e", "", 3, False),),
        tuple((letter * 2, letter, 2, False) for letter in "bdgklmnprstz"),
        (*keep("ay", "ey", "oy", "uy"), ("y", "i", 2, False)),
    ),
    # Who is scalded or has fainted is not a scald guard or a faint spark.
    whole=words(
        "no not non nor on one off of or us is it in an as at by do go so to too the then scalded fainted"
    ),
    denials=words(
        "no not never without wont cant cannot dont doesnt didnt isnt wasnt arent hasnt havent wouldnt couldnt "
        "aint werent hadnt shouldnt mustnt"
    ),
    faint=words(
        "a an the is are was were be been it its this that there of to in at by for from with and or as "
        "i my we you your he she they me do does did have has had when what why how which where who will "
        "would can could should just then so but if after before while "
        "because get gets got keep keeps kept error capital say says said show shows showing reads degree degrees please"
    ),
    numbers={
        word: value
        for value, word in (
            *enumerate(
                "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen "
                "fifteen sixteen seventeen eighteen nineteen".split()
            ),
            *zip(
                range(20, 100, 10),
                "twenty thirty forty fifty sixty seventy eighty ninety".split(),
                strict=True,
            ),
            *((1, "once"), (2, "twice"), (0, "oh")),
        )
    },
    units=UNITS,
    letters=SPELT | _HEARD,
    last_letters=pairs("see=c be=b are=r you=u why=y owe=o"),
    misheard={"to": 2, "too": 2, "for": 4},
    flashes=flashes(
        "flash flashes flashing flashed blink blinks blinking blinked pulse pulses",
        "short shorts s",
        "long longs l",
    ),
    codes=words("code codes error fault letter display displays show shows showing says reads"),
    fillers=words("a an the small little big capital lower upper case"),
    spells=words("letter capital small little"),
    between=words(
        "then and by followed pause a red green amber yellow orange white blue times time led lamp light"
    ),
    dashes=words("dash hyphen"),
    bypasses=(
        "jump",
        "jumper",
        "bypass",
        "bridge",
        "override",
        "defeat",
        "shunt",
        "link out",
        "short out",
        "strap out",
        "tape",
        "wedge",
        "tie up",
        "prop open",
        "loop out",
        "clip out",
        "wire over",
        "wire across",
    ),
    tasks=(
        *(
            "how to",
            "how do",
            "how can",
            "how should",
            "how often",
            "way to",
            "steps to",
            "procedure",
            "checklist",
        ),
        *(
            "what order",
            "which order",
            "what do i check",
            "do i check",
            "do i test",
            "do i prove",
            "hand over",
        ),
        *("handover", "lock out", "lock off", "season start", "start up after", "put back in service"),
    ),
    meanings=(
        "what is a",
        "what is an",
        "whats a",
        "whats an",
        "stand for",
        "stands for",
        "meaning of",
        "definition of",
    ),
    heard=(
        ("cut of", "cutoff"),
        ("shut of", "shutoff"),
        ("know", "no"),
        ("knot", "not"),
        ("hi", "high"),
        ("lo", "low"),
        ("flew", "flue"),
        ("flu", "flue"),
        ("gage", "gauge"),
        ("leek", "leak"),
        ("perch", "purge"),
        ("perching", "purging"),
        ("homes", "ohms"),
        ("bolts", "volts"),
        ("censor", "sensor"),
        ("rode", "rod"),
        ("frame", "flame"),
        ("burn her", "burner"),
        ("ignite her", "igniter"),
        ("thermal couple", "thermocouple"),
        ("enter lock", "interlock"),
        ("proofing", "proving"),
    ),
    alike=groups(
        "replace change swap renew|hold held|blow blew blown|break broke broken|burn burnt|catch caught|fall fell "
        "fallen|find found|freeze froze frozen|go went gone|keep kept|light lit|lose lost|run ran|rise rose risen|"
        "shake shook|sink sank sunk|spin spun|stick stuck|take took taken|tear torn|wear worn|bend bent|swell "
        "swollen|throw threw thrown|drive drove driven|feel felt|hear heard|make made|shine shone|"
        "amber yellow orange|smell stink odour odor reek whiff|screen display|blank dark black|lamp bulb|button knob|wind windy gale|"
        "flue chimney stack|hall room|flicker blink flash|contactor starter|whoosh light|paddle vane sail|pigtail siphon|"
        "hum buzz|squeal screech squeak|cold freezing"
    ),
    danger=replace(
        read_table(Path(__file__).with_name("danger_en.txt")),
        weights=read_weights(Path(__file__).with_name("danger_points_en.txt")),
    ),
    everyday=read_words(Path(__file__).with_name("words_en.txt")),
    places=words(
        "room rooms house hall man operator attendant guy lads licence inspector shop manufacturer maker"
    ),
    findings=words(
        "found find left leave forgot forgotten still someone somebody who whoever already there theres extra"
    ),
    messages={
        "same": "{0} = {1}",
        "near": "“{0}” read as “{1}”",
        "starts": "begins with “{0}”",
        "form": "“{1}” for “{0}”",
        "part": "only “{1}” of “{0}”",
        "code": "shows {0}",
        "absent": "Shows no {0}. It shows {1}.",
    },
)

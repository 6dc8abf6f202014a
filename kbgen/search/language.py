"""What the search has to know of a language. All of it is data; it is exported with the index."""

from __future__ import annotations

from dataclasses import dataclass

Round = tuple[tuple[str, str, int, bool], ...]


@dataclass(frozen=True, slots=True)
class Language:
    """Words and endings of one language, in folded spelling.

    Attributes:
        rounds: The stemmer. In each round the first rule (ending, replacement, letters that must
            remain, whether a vowel must be among them) that fits is applied.
        whole: Small words that are their own stem and nobody else's: ``note`` never becomes ``not``.
        denials: Words that deny the next one; "won't light" and "does not light" meet under them.
        faint: Words that are found but weigh little, because sentences are full of them.
        numbers: Number words to their value.
        units: Names of units to their sign.
        letters: Names of letters, as spelt out or as a phone hears them.
        last_letters: Words a phone writes for a letter; read so only where a sentence says what is shown and ends.
        misheard: Numbers a phone writes as other words; read so only before a flash word.
        flashes: Words of a flash count; of those that say how long, ``s`` or ``l``. A letter alone, as in
            ``3s 1l``, counts only where it touches its number.
        codes: Words after which comes what a panel shows, or two numbers that are a flash count.
        fillers: Words that may stand before what a panel shows: "a small b".
        between: Words that may stand inside a flash count.
        bypasses: Ways to ask whether a device may be jumped; all words of one must be there, in any form.
        tasks: Beginnings of a question that a procedure answers.
        heard: What a phone writes for what was said, and what was said.
        alike: Groups of words that no stemmer brings together: forms of one word, and words for one task.
        dangers: Emergency phrases, as in `EmergencyWords`.
        messages: Why something was found, ``{0}`` typed and ``{1}`` found.
    """

    rounds: tuple[Round, ...]
    whole: frozenset[str]
    denials: frozenset[str]
    faint: frozenset[str]
    numbers: dict[str, int]
    units: dict[str, str]
    letters: dict[str, str]
    last_letters: dict[str, str]
    misheard: dict[str, int]
    flashes: dict[str, str]
    codes: frozenset[str]
    fillers: frozenset[str]
    between: frozenset[str]
    bypasses: tuple[str, ...]
    tasks: tuple[str, ...]
    heard: tuple[tuple[str, str], ...]
    alike: tuple[tuple[str, ...], ...]
    dangers: tuple[str, ...]
    messages: dict[str, str]


def _keep(*endings: str) -> Round:
    """Rules that end a round without changing the word."""
    return tuple((ending, ending, 0, False) for ending in endings)


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


def _groups(text: str) -> tuple[tuple[str, ...], ...]:
    return tuple(tuple(group.split()) for group in text.split("|"))


def _pairs(text: str) -> dict[str, str]:
    return {heard: meant for heard, _, meant in (pair.partition("=") for pair in text.split())}


def _flashes(plain: str, short: str, long: str) -> dict[str, str]:
    return {word: sign for words, sign in ((plain, ""), (short, "s"), (long, "l")) for word in words.split()}


_UNITS = {
    name: sign
    for sign, names in {
        "v": "v volt volts vac vdc voltio voltios",
        "a": "a amp amps ampere amperes amperio amperios",
        "ma": "ma milliamp milliamps",
        "ua": "ua microamp microamps",
        "ohm": "ohm ohms ohmio ohmios r",
        "kohm": "kohm kohms kiloohm kiloohms k",
        "hz": "hz hertz",
        "kw": "kw kilowatt kilowatts",
        "psi": "psi psig",
        "mbar": "mbar millibar",
        "kpa": "kpa",
        "bar": "bar bars bares",
        "c": "c degc celsius",
        "f": "f degf fahrenheit",
        "s": "s sec secs second seconds segundo segundos",
        "min": "min mins minute minutes minuto minutos",
        "mm": "mm millimetre millimetres milimetros",
    }.items()
    for name in names.split()
}

_SPELT = {
    word: word[0]
    for word in (
        "alpha alfa bravo charlie delta echo foxtrot golf hotel india juliet kilo lima mike november oscar papa "
        "quebec romeo sierra tango uniform victor whiskey xray yankee zulu"
    ).split()
}

# Not what stands before numbers in any sentence, such as "see".
_HEARD_LETTERS = _pairs(
    "ay=a eh=a bee=b sea=c dee=d ee=e ef=f eff=f gee=g aitch=h jay=j kay=k el=l ell=l em=m en=n pee=p "
    "queue=q es=s ess=s tea=t tee=t"
)

ENGLISH = Language(
    rounds=(
        (("ies", "i", 2, False), *_keep("ss", "us", "is"), ("s", "", 3, False)),
        (*_keep("eed"), ("ied", "i", 2, False), ("ed", "", 3, True), ("ing", "", 3, True)),
        (("e", "", 3, False),),
        tuple((letter * 2, letter, 2, False) for letter in "bdgklmnprstz"),
        (*_keep("ay", "ey", "oy", "uy"), ("y", "i", 2, False)),
    ),
    whole=_words("no not non nor on one off of or us is it in an as at by do go so to too the then"),
    denials=_words(
        "no not never without wont cant cannot dont doesnt didnt isnt wasnt arent hasnt havent wouldnt couldnt"
    ),
    faint=_words(
        "a an the is are was were be been it its this that there of to in at by for from with and or as "
        "i my we you your he she they me do does did have has had when what why how which where who will "
        "would can could should just then so but if after before while get gets got keep keeps error say says said show shows showing reads please"
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
    units=_UNITS,
    letters=_SPELT | _HEARD_LETTERS,
    last_letters=_pairs("see=c be=b are=r you=u why=y owe=o"),
    misheard={"to": 2, "too": 2, "for": 4},
    flashes=_flashes(
        "flash flashes flashing flashed blink blinks blinking blinked pulse pulses",
        "short shorts s",
        "long longs l",
    ),
    codes=_words("code codes error fault letter display displays show shows showing says reads"),
    fillers=_words("a an the small little big capital lower upper case"),
    between=_words(
        "then and by followed pause a red green amber yellow orange white blue times time led lamp light"
    ),
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
    ),
    tasks=("how to", "how do", "how can", "how should"),
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
    alike=_groups(
        "replace change swap renew|hold held|blow blew blown|break broke broken|burn burnt|catch caught|fall fell "
        "fallen|find found|freeze froze frozen|go went gone|keep kept|light lit|lose lost|run ran|rise rose risen|"
        "shake shook|sink sank sunk|spin spun|stick stuck|take took taken|tear torn|wear worn|bend bent|swell "
        "swollen|throw threw thrown|drive drove driven|feel felt|hear heard|make made|shine shone"
    ),
    dangers=(
        "smell gas",
        "gas leak",
        "gas odour",
        "gas odor",
        "gas stink",
        "gas hiss",
        "carbon monoxide",
        "co alarm",
        "co detector",
        "alarm",
        "flood",
        "flooded",
        "burning -not -pilot -burner -flame",
        "burn smell",
        "burnt smell",
        "on fire -high -low",
        "building fire",
        "smoke -test",
        "explosion",
        "exploded",
        "headache",
        "dizzy",
        "unconscious",
        "collapsed person",
        "electric shock",
        "evacuate",
    ),
    messages={
        "same": "{0} = {1}",
        "near": "“{0}” read as “{1}”",
        "starts": "begins with “{0}”",
        "form": "“{1}” for “{0}”",
        "part": "only “{1}” of “{0}”",
        "code": "shows {0}",
    },
)

SPANISH = Language(
    rounds=(
        (*_keep("is", "us"), ("ces", "z", 2, False), ("s", "", 3, False)),
        (
            ("iendo", "", 3, True),
            ("ando", "", 3, True),
            ("ada", "", 3, True),
            ("ado", "", 3, True),
            ("ida", "", 3, True),
            ("ido", "", 3, True),
        ),
        (("ar", "", 3, True), ("er", "", 4, True), ("ir", "", 3, True)),
        (("a", "", 3, True), ("e", "", 3, True), ("o", "", 3, True)),
    ),
    whole=_words("no ni sin con si se de da del la las lo los el un una uno y o a en por para que"),
    denials=_words("no sin nunca ni tampoco jamas"),
    faint=_words(
        "a al de del el la los las lo un una unos unas y o en por para que se es esta son con como cuando "
        "donde su sus mi me le ha han hay"
    ),
    numbers={
        word: value
        for value, word in (
            *enumerate(
                "cero uno dos tres cuatro cinco seis siete ocho nueve diez once doce trece catorce quince "
                "dieciseis diecisiete dieciocho diecinueve veinte".split()
            ),
            *zip(
                range(30, 100, 10),
                "treinta cuarenta cincuenta sesenta setenta ochenta noventa".split(),
                strict=True,
            ),
            *((1, "un"), (1, "una")),
        )
    },
    units=_UNITS,
    letters=_SPELT,
    last_letters=_pairs("se=c ve=b de=d en=n te=t"),
    misheard={},
    flashes=_flashes(
        "destello destellos parpadeo parpadeos parpadea pulso pulsos",
        "corto cortos corta cortas c",
        "largo largos larga largas l",
    ),
    codes=_words("codigo error fallo letra pantalla muestra indica"),
    fillers=_words("un una el la pequena minuscula mayuscula"),
    between=_words("y luego despues seguido de rojo rojos verde verdes ambar veces pausa"),
    bypasses=("puentear", "puente", "puenteo", "anular", "saltar"),
    tasks=("como se", "como puedo", "como hago"),
    heard=(("baso", "vaso"), ("bapor", "vapor"), ("balvula", "valvula"), ("ay", "hay")),
    alike=_groups(
        "cambiar sustituir reemplazar|abrir abierto|romper roto|cerrar cierra|volver vuelto|ir va fue"
    ),
    dangers=(
        "huele gas",
        "olor gas",
        "fuga gas",
        "escape gas",
        "monoxido carbono",
        "alarma",
        "alarma co",
        "inundacion",
        "inundado",
        "olor quemado",
        "huele quemado",
        "ardiendo",
        "incendio",
        "humo",
        "explosion",
        "mareo",
        "evacuar",
    ),
    messages={
        "same": "{0} = {1}",
        "near": "«{0}» leído como «{1}»",
        "starts": "empieza por «{0}»",
        "form": "«{1}» por «{0}»",
        "part": "solo «{1}» de «{0}»",
        "code": "muestra {0}",
    },
)

LANGUAGES = {"en": ENGLISH, "es": SPANISH}


def language_of(code: str) -> Language:
    """Return the language for a tag such as ``en`` or ``es-MX``; English when it is not known."""
    return LANGUAGES.get(code.lower().split("-")[0], ENGLISH)

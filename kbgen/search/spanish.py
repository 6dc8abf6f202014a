"""What the search has to know of Spanish."""

from __future__ import annotations

from pathlib import Path

from .danger_table import read_table
from .language import SPELT, UNITS, Language, flashes, groups, keep, pairs, words

SPANISH = Language(
    rounds=(
        (*keep("is", "us"), ("ces", "z", 2, False), ("s", "", 3, False)),
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
    whole=words("no ni sin con si se de da del la las lo los el un una uno y o a en por para que"),
    denials=words("no sin nunca ni tampoco jamas"),
    faint=words(
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
    units=UNITS,
    letters=SPELT,
    last_letters=pairs("se=c ve=b de=d en=n te=t"),
    misheard={},
    flashes=flashes(
        "destello destellos parpadeo parpadeos parpadea pulso pulsos",
        "corto cortos corta cortas c",
        "largo largos larga largas l",
    ),
    codes=words("codigo error fallo letra pantalla muestra indica"),
    fillers=words("un una el la pequena minuscula mayuscula"),
    spells=words("letra mayuscula minuscula"),
    between=words("y luego despues seguido de rojo rojos verde verdes ambar veces pausa"),
    dashes=words("guion"),
    bypasses=("puentear", "puente", "puenteo", "anular", "saltar"),
    tasks=("como se", "como puedo", "como hago"),
    meanings=("que es un", "que es una", "significa"),
    heard=(("baso", "vaso"), ("bapor", "vapor"), ("balvula", "valvula"), ("ay", "hay")),
    alike=groups(
        "cambiar sustituir reemplazar|abrir abierto|romper roto|cerrar cierra|volver vuelto|ir va fue"
    ),
    danger=read_table(Path(__file__).with_name("danger_es.txt")),
    everyday=(),
    places=words("sala cuarto"),
    findings=words("encontre encontrado dejado quedado olvidado alguien"),
    messages={
        "same": "{0} = {1}",
        "near": "«{0}» leído como «{1}»",
        "starts": "empieza por «{0}»",
        "form": "«{1}» por «{0}»",
        "part": "solo «{1}» de «{0}»",
        "code": "muestra {0}",
        "absent": "No muestra {0}. Muestra {1}.",
    },
)

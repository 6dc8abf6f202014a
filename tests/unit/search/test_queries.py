"""What a technician types finds the right entry among the first few."""

from __future__ import annotations

from functools import cache

import pytest

from kbgen.ref import Kind
from kbgen.search import Display, SearchDocument, SearchIndex, build_index
from tests.samples.search_data import Case, cases, index_of, titled

TABLE = cases("queries")


@cache
def shop() -> SearchIndex:
    return index_of("corpus")


def missed(index: SearchIndex, table: list[Case]) -> list[str]:
    def found(case: Case) -> bool:
        hits = index.query(case.query, limit=case.within).results
        return case.wanted in [f"{hit.kind}:{hit.id}" for hit in hits]

    return [f"{case.query} → {case.wanted}" for case in table if not found(case)]


@pytest.mark.parametrize("group", dict.fromkeys(case.group for case in TABLE))
def test_each_class_of_query_misses_at_most_one_in_twelve(group: str) -> None:
    table = [case for case in TABLE if case.group == group]
    misses = missed(shop(), table)
    assert len(misses) * 12 <= len(table), misses


def test_all_queries_together_find_97_percent() -> None:
    misses = missed(shop(), TABLE)
    assert len(TABLE) >= 400
    assert len(misses) <= 0.03 * len(TABLE), misses


def test_spanish_shop_is_searched_in_spanish() -> None:
    assert missed(index_of("corpus-es"), cases("queries-es")) == []


def ids(index: SearchIndex, query: str) -> list[str]:
    return [hit.id for hit in index.query(query).results]


def test_hyphenated_codes_keep_their_letter() -> None:
    index = titled("Fault E-31 low water cut-off open", "Fault F-31 fan proving", "Fault E-13 spare")
    for query in ("E-31", "e-31", "E31", "e 31"):
        assert ids(index, query) == ["a"]
    assert ids(index, "E-3") == ["a"]
    assert sorted(ids(index, "31")) == ["a", "b"]


def test_code_that_is_in_no_entry_says_so_and_marks_what_shares_its_number() -> None:
    index = titled("Fault E-31 low water", "Size 42 valve")
    answer = index.query("E-42")
    assert answer.not_understood == ("e42",)
    assert [(hit.id, hit.why) for hit in answer.results] == [("b", "only “42” of “e42”")]


@pytest.mark.parametrize(
    ("query", "offered"),
    [("E-42", ["E-31"]), ("E-42 valve", ["E-31"]), ("valve", []), ("E-31", []), ("42", [])],
)
def test_a_code_of_which_only_the_number_is_found_offers_the_displays_that_look_like_it(
    query: str, offered: list[str]
) -> None:
    shown = [SearchDocument(Kind.SYMPTOM, "a", "Low water", "symptoms/a.html", codes=("E-31",))]
    valve = SearchDocument(Kind.TERM, "b", "Size 42 valve", "terms/b.html")
    panel = [Display("E-31", "boiler", "symptoms/a.html")]
    answer = build_index([*shown, valve], displays=panel).query(query)
    assert answer.results
    assert [display.shows for display in answer.nearest] == offered


def test_a_flash_count_is_not_shown_by_what_shows_half_of_it() -> None:
    index = build_index(
        SearchDocument(Kind.SYMPTOM, key, f"Lamp {key}", f"symptoms/{key}.html", codes=(shows,))
        for key, shows in (("a", "1 short, 3 long"), ("b", "2 short, 3 long"), ("c", "3 short, 1 long"))
    )
    first, *others = index.query("1 short 3 long").results
    assert first.id == "a"
    assert all(first.score > 2 * other.score for other in others)
    assert ids(index, "1 long 3 short")[0] == "c"
    assert ids(index, "short 3 long 1")[0] == "c"
    assert index.query("takes too long").results[0].score < 1_000_000


def test_code_read_aloud_that_is_nowhere_is_not_taken_for_other_words() -> None:
    answer = titled("Wash down, dirty filter", "Fault E-30 fan").query("e dash thirty one")
    assert (answer.results, answer.did_you_mean, answer.not_understood) == ((), None, ("e31",))


def test_small_words_are_words() -> None:
    index = titled("Contact stuck off", "Switch not made", "No call for heat")
    for query, first in (("off", "a"), ("not", "b"), ("no", "c"), ("not made", "b")):
        assert ids(index, query)[0] == first
    assert index.query("on").results == ()
    assert index.query("on").not_understood == ("on",)


FORMS = (
    "Purging the line, then purge again",
    "Igniter cracked",
    "Ignition trial too short",
    "Valve opens late",
)


@pytest.mark.parametrize("query", ["purge", "purging", "purged", "purges"])
def test_all_forms_of_purge_find_it(query: str) -> None:
    assert ids(titled(*FORMS), query)[0] == "a"


def test_igniter_is_not_ignition() -> None:
    hits = ids(titled(*FORMS), "igniter")
    assert hits[0] == "b"
    assert "c" not in hits


@pytest.mark.parametrize("query", ["open", "opened", "opening", "valves"])
def test_forms_of_open_and_valve_find_the_valve(query: str) -> None:
    assert ids(titled(*FORMS), query)[0] == "d"


@pytest.mark.parametrize(
    ("word", "entry"), [("purging", "a"), ("igniter", "b"), ("opening", "d"), ("valves", "d")]
)
def test_results_stay_while_a_word_is_typed(word: str, entry: str) -> None:
    index = titled(*FORMS)
    for end in range(1, len(word) + 1):
        assert entry in ids(index, word[:end]), word[:end]


@pytest.mark.parametrize(
    "query", ["F1:", "foo:bar", "K1*", "flame~9", "^", "(", "[a-", "+", "%", "\\", " ", '"', "NOT OR"]
)
def test_no_sign_is_an_operator(query: str) -> None:
    found = ids(titled("Check fuse F1: open", "Flame seen early"), query)
    # K1 is in no entry: what shares its number is shown and marked (see below), nothing else.
    assert found == {"F1:": ["a"], "K1*": ["a"], "flame~9": ["b"]}.get(query, [])


def test_five_thousand_words_are_answered() -> None:
    index = titled("Flame seen early", "Fault E-31 low water")
    assert ids(index, "flame " * 5000) == ["a"]
    paste = (
        " ".join(f"word{chr(97 + n % 26)}{chr(97 + n // 26 % 26)}" for n in range(600)) + " E-31 low water"
    )
    assert ids(index, paste) == ["b"]


def test_exact_display_stands_alone_on_top() -> None:
    index = titled("Air E-31", "E-310 in E-313", "Water shows E 31 E 31 E 31")
    assert ids(index, "E-31") == ["c", "a"]
    first, *others = shop().query("E-31").results
    assert first.id == "low-water-hold"
    assert all(first.score > 2 * other.score for other in others)
    first, *others = shop().query("what does the code e 31 on the SB-2 boiler mean").results
    assert first.id == "low-water-hold"
    assert others
    assert all(first.score > 2 * other.score for other in others)


def test_why_is_said_when_it_is_not_the_typed_word() -> None:
    def why(query: str, entry: str) -> str:
        return next(hit.why for hit in shop().query(query, limit=60).results if hit.id == entry)

    assert why("limits not made", "limits-not-made") == ""
    assert why("ALWCO", "second-low-water") == ""
    assert why("glow bar", "igniter") == "glow bar = igniter"
    assert why("paddel", "flow-switch") == "“paddel” read as “paddle”"
    assert why("circul", "pump-not-running") == "begins with “circul”"
    assert why("refilled", "hot-refill") == "“refill” for “refilled”"
    assert why("e thirty one", "low-water-hold") == "e thirty one = E31"
    assert why("gaugeglass", "low-water-hold") == "gaugeglass = gauge glass"


@pytest.mark.parametrize(
    ("query", "device"),
    [
        ("can I jump the air switch", "combustion-air-switch"),
        ("may I bypass air switch", "combustion-air-switch"),
        ("could I bridge the glow bar", "igniter"),
        ("is it ok to put a wire across the glow bar", "igniter"),
    ],
)
def test_a_device_to_be_jumped_is_known_by_any_of_its_names(query: str, device: str) -> None:
    assert shop().query(query).results[0].id == device


def test_the_name_of_what_is_to_be_jumped_outweighs_the_words_around_it() -> None:
    index = build_index(
        [
            SearchDocument(
                Kind.DEVICE, "other", "Purge position", "devices/other.html", names=("air switch can",)
            ),
            SearchDocument(
                Kind.DEVICE, "meant", "Proving contact", "devices/meant.html", names=("air switch",)
            ),
            *(SearchDocument(Kind.TERM, f"t{n}", f"Term {n}", f"terms/t{n}.html") for n in range(9)),
        ],
        synonyms=[("Proving contact", "air switch")],
    )
    assert index.query("can I jump the air switch").results[0].id == "meant"


def test_a_right_inflection_is_no_misspelt_danger() -> None:
    assert titled("Fuse of the fan").query("exhaust fumse").danger
    assert not titled("Fuse of the fan").query("exhaust fuses").danger


def test_the_sign_of_a_figure_is_no_half_typed_word() -> None:
    assert shop().query("230V").results[0].id == "dryer-polarity"
    assert not any(hit.why.startswith("begins") for hit in shop().query("230V").results)


def test_everyday_words_for_one_thing_meet() -> None:
    first, *_ = titled("Filter dirty", "Bad smell from the filter").query("filter stinks").results
    assert (first.id, first.why) == ("b", "stink = smell")


def test_being_about_something_counts_more_than_many_words_in_passing() -> None:
    passing = "The lamp of the panel is out when the damper is stuck and the fan runs on after the stop."
    index = build_index(
        [
            SearchDocument(Kind.PROCEDURE, "long", "Return to service", "procedures/long.html", body=passing),
            SearchDocument(
                Kind.SYMPTOM, "about", "Fan runs on", "symptoms/about.html", body="It never stops."
            ),
        ]
    )
    assert index.query("fan runs on lamp panel").results[0].id == "about"


def test_a_figure_in_passing_is_found_before_the_words_of_a_title() -> None:
    index = build_index(
        [
            SearchDocument(
                Kind.SYMPTOM, "title", "Ghost volts on a wire", "symptoms/title.html", body="Much."
            ),
            SearchDocument(
                Kind.CIRCUIT, "figure", "Limit string", "circuits/figure.html", body="Fed with 24 V."
            ),
        ]
    )
    assert index.query("24 volts").results[0].id == "figure"


def test_misspelt_words_are_offered_put_right() -> None:
    assert shop().query("exhuast vane").did_you_mean == "exhaust vane"
    assert shop().query("exhaust vane").did_you_mean is None


@pytest.mark.parametrize(
    "query",
    [
        "smell gas", "I can smell gas", "smells of gas", "gas smell", "smel of gas", "smell of gsa", "gas leak",
        "CO alarm", "alarm", "alrm", "carbon monoxide", "flooding", "floodin", "plant room flooded", "burning smell",
        "something is burning", "people feel dizzy", "trapped in the lift", "trapped lift",
        "I got a shock", "got shocked at the drum", "it zapped me", "everybody has a head ache",
        "I got a shock at the pool heater", "a shock from the thermal fuse", "shock off the chlorine dosing pump",
        "something burning at the burner", "smoke coming out during the test", "the dryer caught fire on high",
        "smells like rotten eggs by the boiler", "its eggy smelling in here", "stinks like something singed",
        "I felt a tingle when I touched it", "somebody is injured", "the lad fainted", "he collapsed by the flue pipe",
        "he got scalded", "it smells scorched", "water is pouring through the ceiling", "steam escaping everywhere",
        "smell fumes", "a whiff of gas", "gas coming out", "someone is hurt", "got a jolt off it", "pipe burst", "steam is pouring out of it",
        "there was a loud bang", "exhaust fumes in the hall", "the whole unit stinks of gas",
    ],
)  # fmt: skip
def test_emergency_words_bring_the_leave_now_page(query: str) -> None:
    assert shop().query(query).danger
    assert shop().query(query, kind=Kind.TERM, equipment="harnok-td").danger


@pytest.mark.parametrize(
    "query",
    [
        "huele a gas",
        "alarma de CO",
        "me dio un calambre",
        "descarga eléctrica",
        "hay humo",
        "huele a huevos podridos",
        "hormigueo al tocar la caja",
        "hay un herido",
        "huele chamuscado",
        "estoy mareado",
    ],
)
def test_spanish_emergency_words_bring_the_leave_now_page(query: str) -> None:
    assert index_of("corpus-es").query(query).danger
    for everyday in ("falta de gas", "agua hervida", "no hay fuego", "huelo"):
        assert not index_of("corpus-es").query(everyday).danger


@pytest.mark.parametrize(
    "query",
    [
        "low gas",
        "pilot not burning",
        "burner",
        "high fire",
        "leak check",
        "no flame",
        "E-31",
        "",
        "gas valve",
        "smoke test",
        "burner not burning",
        "faint spark but no flame",
        "leak test passed but the pilot went out",
        "anti-scald valve",
        "the motor stalled",
        "customer called",
        "burner was painted",
        "during the single test",
        "we ensured the valve was closed",
        "comes on but not firing",
        "pump head",
    ],
)
def test_everyday_words_are_no_emergency(query: str) -> None:
    assert not shop().query(query).danger


def test_cautions_lead_what_stands_below_the_leave_now_page() -> None:
    body = "Smell of gas."
    index = build_index(
        SearchDocument(kind, kind.value, "Smell of gas", f"{kind.folder}/{kind}.html", body=body)
        for kind in (Kind.SYMPTOM, Kind.PROCEDURE, Kind.CAUTION)
    )
    assert ids(index, "smell of gas") == ["caution", "symptom", "procedure"]
    assert ids(index, "smell") == ["symptom", "caution", "procedure"]


def test_a_denial_that_is_in_no_entry_is_neither_misspelt_nor_unknown() -> None:
    index = titled("Dirt in the drum", "Lint door", "Drum is not turning")
    for query in ("drum didnt turn", "drum ain't turning"):
        answer = index.query(query)
        assert answer.results[0].id == "c"
        assert answer.did_you_mean is None
        assert answer.not_understood == ()


def test_tape_and_wedges_are_jumpers() -> None:
    for query in ("can I tape the flow switch", "wedge the flow switch", "tie up the flow switch"):
        first = shop().query(query).results[0]
        assert (first.kind, first.id) == (Kind.DEVICE, "flow-switch")


def test_a_small_word_weighs_little_by_its_other_form_too() -> None:
    index = titled("Kept warm", *[f"Purging {number}" for number in range(20, 24)])
    assert ids(index, "keeps purging")[0] != "a"


def test_a_letter_comes_after_capital_whatever_a_phone_wrote_for_it() -> None:
    codes = {"a": "SCREEN", "b": "C"}
    index = build_index(
        SearchDocument(
            Kind.SYMPTOM, key, f"Page {key}", f"symptoms/{key}.html", codes=(code,), body="See the screen."
        )
        for key, code in codes.items()
    )
    assert ids(index, "capital see on it")[0] == "b"
    assert ids(index, "see it on the screen")[0] == "a"


def test_a_filter_says_how_many_would_answer_under_it() -> None:
    answer = shop().query("switch", kind=Kind.DEVICE, equipment="zellick-ph")
    assert [hit.id for hit in answer.results] == ["flow-switch"]
    everything = shop().query("switch stuck", limit=100)
    for kind, many in everything.kinds.items():
        assert many == shop().query("switch stuck", kind=kind).answers
    for plant, many in everything.equipment.items():
        assert many == shop().query("switch stuck", equipment=plant).answers
    assert 0 < everything.answers < len(everything.results)


def test_only_what_comes_near_the_best_score_answers() -> None:
    found = shop().query("the pump is running but the water flow switch does not make", limit=100)
    best = found.results[0].score
    assert found.answers < len(found.results)
    assert all(hit.score * 3 >= best for hit in found.results[: found.answers])


@pytest.mark.parametrize(
    ("query", "plant"),
    [
        ("dryer will not heat", "harnok-td"),
        ("no heat at the pool boiler", "zellick-ph"),
        ("E-31 on the SB-2", "ondrel-sb"),
        ("trips in the boiler room", None),
        ("boiler stops when the dryer starts", None),
        ("no heat", None),
    ],
)
def test_the_plant_a_query_names_is_chosen(query: str, plant: str | None) -> None:
    assert shop().query(query).plant == plant
    assert shop().query(query, equipment="zellick-ph").plant == (plant or "zellick-ph")
    assert shop().query(query, equipment="zellick-ph", sure=True).plant == "zellick-ph"


def test_the_name_of_the_plant_is_no_word_of_the_fault() -> None:
    index = build_index(
        [
            SearchDocument(Kind.SYMPTOM, "a", "Stops when hot", "symptoms/a.html", ("td",)),
            SearchDocument(
                Kind.SYMPTOM, "b", "Tumble dryer tumbles", "symptoms/b.html", ("td",), body="dryer stops"
            ),
        ],
        plants=[("td", ("tumble dryer", "dryer"))],
    )
    assert ids(index, "tumble dryer stops when hot") == ["a", "b"]
    assert ids(index, "tumble dryer")[0] == "b"


def test_a_remembered_plant_that_hides_better_answers_says_so() -> None:
    index = build_index(
        [
            SearchDocument(Kind.SYMPTOM, "a", "Drum stands still", "symptoms/a.html", ("td",)),
            SearchDocument(Kind.SYMPTOM, "b", "Fan stands", "symptoms/b.html", ("sb",)),
        ],
        plants=[("td", ("dryer",)), ("sb", ("boiler",))],
    )
    assert index.query("drum stands", equipment="sb").better == {"td": 1}
    assert index.query("drum stands", equipment="td").better == {}
    assert index.query("boiler drum stands", equipment="td").better == {}


def two_plants() -> SearchIndex:
    """Return a boiler that shows A-17 and flash counts, and a heater that shows F22 and the letter d."""
    return build_index(
        [
            SearchDocument(Kind.SYMPTOM, "a", "Air lost", "symptoms/a.html", ("sb",), codes=("A-17", "3-1")),
            SearchDocument(Kind.SYMPTOM, "f", "Air early", "symptoms/f.html", ("mah",), codes=("F22", "d")),
            SearchDocument(
                Kind.DEVICE, "k", "Relay K3, 22 amps", "devices/k.html", ("sb",), body="relay at start"
            ),
            SearchDocument(Kind.EQUIPMENT, "sb", "Steam boiler", "equipment/sb.html", ("sb",)),
            SearchDocument(Kind.EQUIPMENT, "mah", "Air heater", "equipment/mah.html", ("mah",)),
        ],
        displays=[
            Display("A-17", "sb", "symptoms/a.html"),
            Display("3-1", "sb", "symptoms/a.html"),
            Display("STANDBY", "sb", "equipment/sb.html"),
            Display("F22", "mah", "symptoms/f.html"),
            Display("d", "mah", "symptoms/f.html"),
        ],
        plants=[("sb", ("boiler",)), ("mah", ("air heater",))],
    )


@pytest.mark.parametrize(
    ("query", "absent"),
    [
        ("F22", ("F22",)),
        ("f 22 at start", ("F22",)),
        ("what mean f twenty two", ("F22",)),
        ("A-71", ("A71",)),
        ("E14?? relay", ("E14",)),
        ("display shows d", ("D",)),
        ("5 flashes", ("5",)),
        ("2 short 2 long", ("2-2",)),
    ],
)
def test_a_code_that_the_plant_does_not_show_leads_to_what_it_shows(
    query: str, absent: tuple[str, ...]
) -> None:
    found = two_plants().query(query, equipment="sb")
    assert found.absent == absent
    assert (found.results[0].kind, found.results[0].id) == (Kind.EQUIPMENT, "sb")
    assert found.results[0].note == f"Shows no {absent[0]}. It shows A-17, 3-1."
    assert "f" not in [hit.id for hit in found.results]
    assert two_plants().query(f"boiler {query}").absent == absent


def test_what_the_plant_shows_stands_above_an_entry_whose_whole_title_was_typed() -> None:
    found = two_plants().query("F22 air lost", equipment="sb")
    assert [hit.id for hit in found.results][:2] == ["sb", "a"]


def test_another_plant_that_shows_the_code_is_offered_where_the_plant_was_only_remembered() -> None:
    assert two_plants().query("F22", equipment="sb").better == {"mah": 1}
    assert two_plants().query("boiler F22", equipment="sb").better == {}


@pytest.mark.parametrize(
    "query", ["A-17", "relay k3", "3 short 1 long", "22 amps", "heats 2-3 min", "no flame"]
)
def test_what_the_plant_shows_or_what_is_no_code_is_not_called_absent(query: str) -> None:
    assert two_plants().query(query, equipment="sb").absent == ()


def test_without_a_plant_a_code_is_absent_that_no_plant_shows() -> None:
    assert two_plants().query("F22").absent == ()
    found = two_plants().query("F23")
    assert (found.absent, [display.shows for display in found.nearest]) == (("F23",), ["F22"])


def test_a_display_of_normal_running_answers_with_what_it_means() -> None:
    index = build_index(
        [
            SearchDocument(
                Kind.SYMPTOM, "a", "P blinks and P stays", "symptoms/a.html", ("ph",), body="P P P"
            ),
            SearchDocument(Kind.EQUIPMENT, "ph", "Pool heater", "equipment/ph.html", ("ph",), normal=("P",)),
        ],
        displays=[Display("P", "ph", "plant/ph-shows.html", "The pump is called")],
    )
    first = index.query("just shows a P").results[0]
    assert (first.id, first.note) == ("ph", "P: The pump is called.")


def test_an_everyday_word_is_offered_as_another_and_not_taken_for_one() -> None:
    index = titled("Brand of the fan", "Black panel", "Ion current", "Waiting for air")
    for word in ("grand", "whack", "irons", "weighting"):
        assert index.query(word).results == (), word
    assert index.query("grand").did_you_mean == "brand"
    assert ids(index, "brnad") == ["a"]


def test_a_jumper_that_was_found_leads_to_the_caution_and_asks_for_nothing() -> None:
    index = build_index(
        [
            SearchDocument(Kind.DEVICE, "d", "Flow switch", "devices/d.html", body="Jumper never."),
            SearchDocument(
                Kind.CAUTION,
                "c",
                "No jumper on safeguards",
                "cautions/c.html",
                names=("found a jumper", "left in"),
            ),
        ]
    )
    for query in ("found a jumper on the flow switch", "somebody left a jumper in, flow switch"):
        assert ids(index, query)[0] == "c", query
    assert ids(index, "can I jump the flow switch")[0] == "d"


def test_the_letter_on_the_panel_comes_before_pages_with_many_degrees_celsius() -> None:
    index = build_index(
        SearchDocument(Kind.SYMPTOM, key, title, f"symptoms/{key}.html", codes=("C",), body=body)
        for key, title, body in (
            ("a", "Drops out hot", "At 70 °C, 71 °C, 72 °C, 73 °C, 74 C and 75 C it stops."),
            ("b", "Letter C stays", "It does not start."),
        )
    )
    for query in ("C", "shows c", "it says see", "display shows a small c"):
        assert ids(index, query)[0] == "b", query


def test_a_name_said_whole_comes_before_longer_names_that_hold_it() -> None:
    index = build_index(
        [
            SearchDocument(
                Kind.TERM, "a", "lint screen", "terms/a.html", names=("fluff filter", "fluff screen")
            ),
            SearchDocument(Kind.TERM, "b", "lint", "terms/b.html", names=("fluff",)),
        ],
        [("lint screen", "fluff filter", "fluff screen"), ("lint", "fluff")],
    )
    assert ids(index, "fluff") == ["b", "a"]
    assert ids(index, "lint") == ["b", "a"]
    assert ids(index, "fluff filter")[0] == "a"


def test_seconds_and_litres_are_no_flash_count() -> None:
    index = build_index(
        [SearchDocument(Kind.SYMPTOM, "a", "Lamp", "symptoms/a.html", codes=("3 short, 1 long",))]
    )
    assert index.query("3s 1l").results[0].score > 1_000_000
    for query in ("waits 3 s then 1 l flows", "3s", "for 3 s", "too long", "not for long"):
        assert all(hit.score < 1_000_000 for hit in index.query(query).results), query


def test_what_was_typed_for_a_page_leads_there_and_less_than_its_name() -> None:
    learnt = SearchDocument(Kind.SYMPTOM, "learnt", "STANDBY", "a.html", asked=("sits there all morning",))
    named = SearchDocument(Kind.SYMPTOM, "named", "READY", "b.html", names=("sits there",))
    index = build_index([learnt, named])
    assert ids(index, "just sits all morning")[0] == "learnt"
    assert ids(index, "sits there") == ["named", "learnt"]


def test_a_letter_is_told_by_how_it_is_written() -> None:
    shows = SearchDocument(Kind.SYMPTOM, "b", "Letter b", "b.html", codes=("b",))
    six = SearchDocument(Kind.SYMPTOM, "six", "A small spare", "s.html", names=("small",))
    assert ids(build_index([six, shows]), "small b")[0] == "b"


def test_who_asks_what_a_word_means_gets_the_term_before_the_part() -> None:
    part = SearchDocument(Kind.DEVICE, "part", "Manual reset", "p.html", names=("manual reset",))
    term = SearchDocument(Kind.TERM, "term", "manual reset", "t.html", names=("manual reset",))
    index = build_index([part, term])
    assert ids(index, "whats a manual reset")[0] == "term"
    assert ids(index, "manual reset stuck")[0] == "part"


def test_of_what_does_not_stop_the_symptom_comes_before_what_has_more_of_the_words() -> None:
    part = SearchDocument(Kind.DEVICE, "part", "Burner shut", "p.html", names=("shut off",))
    fires_on = SearchDocument(Kind.SYMPTOM, "on", "Burner fires past the mark", "s.html", names=("shut off",))
    index = build_index([part, fires_on])
    assert ids(index, "burner shut off")[0] == "part"
    assert ids(index, "burner won't shut off")[0] == "on"


def test_the_device_to_be_jumped_comes_before_a_caution_with_the_same_words() -> None:
    device = SearchDocument(Kind.DEVICE, "d", "Flow switch", "d.html")
    caution = SearchDocument(Kind.CAUTION, "c", "No jumper", "c.html", names=("jump the flow switch",))
    assert ids(build_index([device, caution]), "can I jump the flow switch") == ["d", "c"]

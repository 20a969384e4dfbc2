"""Slips of a grower with muddy hands: each gets one plain sentence and changes nothing."""

import pytest


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("chek",), 'There is no command "chek" (did you mean check?)'),
        (("sell", "M7KD", 3), "did you mean give or offer?"),
        (("pot", "on", "M7KD", 3), "did you mean pot-on?"),
        (("due", 2), '"2" is too much; write: propagate due [--weeks N]'),
        (("start", "fig", "seed", 3, "--date", "today"), "no option --date (did you mean --on?)"),
        (("start", "blackcurant", "hardwood-cutting", 4), 'Did you mean "blackcurrant"'),
        (("start", "blackcurrant", "hardwod-cutting", 4), 'Did you mean "hardwood-cutting"'),
        (("start", "blackcurrant", "layering", 4), '"mound-layering", "simple-layering" or "tip-l'),
        (
            ("start", "hosta", "split", 4),
            'no method called "split". For this plant it has division.',
        ),
        (("start", "hardwood-cutting", "blackcurrant", 4), '"hardwood-cutting" is a method'),
        (
            ("start", 40, "blackcurrant", "hardwood-cutting"),
            "is not a whole number, such as 40 or forty; write",
        ),
        (("start", "Ribes", "nigrum", "hardwood-cutting", 4), "stands in quotes"),
        (("start", "rosemary", "semi-ripe-cutting"), "COUNT is missing; write: propagate start"),
        (("start", "rosemary", "semi-ripe-cutting", 0), "it must be 1 or more"),
        (("start", "rosemary", "semi-ripe-cutting", -5), "No count can be below zero"),
        (("start", "rosemary", "semi-ripe-cutting", "4.5"), "'4.5' is not a whole number"),
        (("start", "rosemary", "semi-ripe-cutting", 4, "--on", "soon"), '"soon" is not a day'),
        (("start", "rosemary", "semi-ripe-cutting", 4, "--on", "3/4/2026"), "two different days"),
        (("start", "rosemary", "semi-ripe-cutting", 4, "--on", "2030-01-01"), "is the year right?"),
        (("start", "rosemary", "semi-ripe-cutting", 4, "--plaec", "x"), "did you mean --place?"),
        (("due", "--weeks", -1), "--weeks: -1 is not 0 or more"),
        (("methods", "--month", 13), "13 is not one of 1 to 12"),
        (("methods", "rosmary"), 'Did you mean "rosemary"'),
        (("forecast", "--by", "whenever"), '"whenever" is not a day'),
        (("forecast", "rosmary"), 'Did you mean "rosemary"'),
        (("show", "fig"), "There is no batch of Ficus carica in this book."),
        (("mother", "weir"), "write: propagate mother KEY PLANT"),
        (("mother", "weir", "rosmary"), 'Did you mean "rosemary"'),
        (("void", 99, "--why", "slip"), "There is no entry 99"),
        (("void", "last", "--why", "slip"), "NUMBER: 'last' is not a whole number"),
        (("undo",), "There is nothing to undo"),
        (("import", "no-such.csv"), "cannot be read"),
        (("completion", "tcsh"), "not one of 'bash', 'zsh', 'fish'"),
        (("materials", "--plan"), "--plan needs 4 words after it"),
        (("beds", "-o"), "-o needs a word after it"),
        (("sheet", "-o", "stock.csv"), "There is no batch in the book yet"),
    ],
)
def test_in_an_empty_book(refused, words, said) -> None:
    assert said in refused(*words)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("check", "M7KD", "--rooted", 42), "only 40 stand in the tray of M7KD"),
        (("check", "M7KD", "--sample", 20), "how many of the 20 that were lifted were rooted"),
        (("check", "M7KD", "--sample", 20, "--dead", 1), "were rooted; 0 counts too"),
        (("check", "M7KD", "--rooted", 42), "recount M7KD NUMBER_ALIVE --why REASON"),
        (("check", "M7KD", "--rooted", 30, "--dead", 12), "30 rooted and 12 dead make 42"),
        (("check", "M7KD", "--rooted", -3), "rooted is -3; it must be 0 or more"),
        (("check", "M7KD", -3), "No count can be below zero"),
        (("check", "M7KD", "--sample", 41, "--rooted", 3), "A sample of 41 is more than the 40"),
        (("check", "M7KD", "--sample", 5, "--rooted", 6), "more than the 5 that were lifted"),
        (("check", "M7KD", "--rooted", 1, "--on", "12 Oct 2026"), "before that"),
        (("pot-on", "M7KD", 0), "it must be 1 or more"),
        (("pot-on", 5, "M7KD"), "'M7KD' is not a whole number, such as 40 or forty; write: "),
        (("pot-on", "M7KD", 41), "41 is more than batch M7KD has: 40"),
        (("plant-out", "M7KD", 1), "it also has 40 waiting"),
        (("lose", "M7KD", 3, "--from", "shed"), '"shed" is not an account'),
        (("promise", "M7KD", 41, "--to", "Ann"), "41 cannot be promised"),
        (("promise", "M7KD", 4), "--to is missing"),
        (("recount", "M7KD", 20), "is missing; write: propagate recount BATCH COUNT --why REASON"),
        (("move", "M7KD"), "PLACE is missing"),
        (("move", "M7KD", "cold", "frame"), '"frame" is too much; write: propagate move BATCH'),
        (("check", "M7KD", 22), "write: propagate check BATCH [--rooted N] [--dead N]"),
        (("lose", "M7KD", 2, "mice"), "write: propagate lose BATCH COUNT [--cause REASON]"),
        (("template", "-o", "x.csv"), "There is no option -o; write: propagate template FILE.csv"),
        (("void", 1, "--why", " "), "--why: it is empty"),
        (("recount", "M7KD", 20, "--why", ""), "--why: it is empty"),
        (("check", "M7KF"), 'the last character does not fit the others; look at the label'),
        (("check", "M7KF"), 'Did you mean "M7KD"'),
        (("check", "M7K0"), "no code has the character 0; it may be D"),
        (("check", "CC7P"), "There is no batch CC7P in this book"),
        (("check", "blackcurrant"), '"blackcurrant" is a plant; give the batch'),
        (("check", "row C"), 'There is no batch, tray or plant "row C" in this book. Did you mean'),
        (("check", "m7kf"), 'Did you mean "M7KD"'),
        (("name", "row C", "fig"), 'Did you mean'),
        (("check", "nothing"), 'There is no batch, tray or plant "nothing"'),
        (("labels", "M7KD"), "-o is missing; write: propagate labels BATCH... -o FILE"),
        (("labels", "M7KD", "-o", "x.docx"), "should end in .pdf or .html"),
        (("labels", "M7KD", "-o", "x.html", "--format", "stik"), 'no label format "stik"; '),
        (("labels", "--calibrate"), "write: propagate labels --calibrate -o FILE.pdf"),
        (("labels", "M7KD", "-o", "x.html", "--copies", 0), "give 1 or more"),
        (("labels", "M7KD", "-o", "x.html", "--start-at", 99), "places 1 to"),
        (("sheet", "-o", "x.txt"), "should end in .pdf, .html or .csv"),
        (("due", "--ics", "no/such/folder/x.ics"), "cannot be written"),
    ],
)  # fmt: skip
def test_with_one_tray_of_40(refused, currants, words, said) -> None:
    assert currants == "M7KD"  # the first code of every book
    assert said in refused(*words)


@pytest.mark.parametrize("typed", ["M7KD", "m7kd", " m7 kd", "#M7KD", "M7-KD", "T1", "t1", "ROW a"])
def test_a_batch_is_found_however_it_is_written(done, currants, typed) -> None:
    assert done("pot-on", typed, 1)["batch"] == currants


def test_no_nursery_is_told_with_the_way_to_make_one(raw, tmp_path) -> None:
    answer = raw("--nursery", tmp_path, "show")
    assert (answer.status, answer.out) == (2, "")
    assert "propagate init FOLDER" in answer.err


def test_a_mistyped_folder_inside_a_nursery_is_not_taken_for_it(raw, nursery) -> None:
    answer = raw("--nursery", nursery / "bnch", "show")
    assert (answer.status, answer.out) == (2, "")
    assert "There is no folder" in answer.err


def test_init_refuses_to_make_a_nursery_twice(raw, nursery) -> None:
    assert "is a nursery already" in raw("init", nursery).err


def test_init_refuses_a_day_that_is_none_and_makes_nothing(raw, tmp_path) -> None:
    answer = raw("init", tmp_path / "new", "--last-frost", "13-40")
    assert answer.status == 2
    assert "month-day" in answer.err
    assert not (tmp_path / "new").exists()


def test_broken_settings_are_named_with_file_and_key(raw, nursery) -> None:
    settings = nursery / "nursery.toml"
    text = settings.read_text(encoding="utf-8")
    settings.write_text(text.replace("chance = 0.8", "chance = 8"), encoding="utf-8")
    answer = raw("--nursery", nursery, "due")
    assert answer.status == 2
    assert "nursery.toml" in answer.err
    assert "chance" in answer.err


def test_a_mark_used_twice_is_told_and_then_refused(call, refused, currants) -> None:
    answer = call("start", "rosemary", "semi-ripe-cutting", 4, "--mark", "T1")
    assert answer.status == 0
    assert 'the mark "T1" now means M7KD and CC7P' in answer.err
    assert "may mean batch CC7P or M7KD" in refused("check", "T1", "--rooted", 1)


def test_a_name_that_is_no_batch_is_told_of_with_where_to_look(call, refused, currants) -> None:
    call("mother", "jet-bush", "blackcurrant")
    call("plant-out", currants, 2, "--bed", "south row", "--from", "waiting")
    call("give", currants, 2, "--to", "Hilda", "--from", "waiting")
    said = '"jet-bush" is a mother plant, no batch; see: propagate trace jet-bush.'
    assert refused("show", "jet-bush") == said
    assert refused("pot-on", "hilda", 3).startswith('"Hilda" is a person, no batch')
    assert 'see: propagate trace "south row"' in refused("history", "South row")


def test_two_batches_in_trays_of_one_name_are_not_guessed_between(done, refused, currants) -> None:
    done("start", "rosemary", "semi-ripe-cutting", 4, "--tray", "row A", "--on", "2026-08-01")
    assert "may mean batch" in refused("check", "row A", "--rooted", 1)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("move", "M7KD", "frige"), 'there was no place "frige" so far, but one called "fridge"'),
        (("check", "M7KD", "--rooted", 3), "13 days after the start is very soon"),
        (("recount", "M7KD", 400, "--why", "slip"), "that is 360 more than were ever there"),
        (("sever", "M7KD"), "by hardwood cutting there is nothing to sever"),
        (("pot-on", "M7KD", 2, "--into", "9 cm pots"), 'but one called "9 cm pot"'),
        (("pot-on", "M7KD", 2, "--on", "2026-12-24"), "24 Dec 2026 has not come yet"),
        (("start", "rosemary", "semi-ripe-cutting", 4), "outside the usual season"),
        (("start", "hawthorn", "seed", 9, "--place", "fridge"), "this wants 8 weeks of warmth"),
        (("start", "lettuce", "seed", 9, "--place", "fridge"), "will not grow in fridge"),
        (("start", "redcurrant", "hardwood-cutting", 4, "--from", "jet"), "is Ribes nigrum, not"),
    ],
)
def test_what_may_be_a_slip_is_done_and_remarked(call, currants, words, said) -> None:
    assert call("mother", "jet", "blackcurrant").status == 0
    answer = call(*words)
    assert answer.status == 0
    assert answer.err.startswith("Note: ")
    assert said in answer.err


def test_words_of_the_settings_are_taken_as_the_settings_spell_them(done, currants) -> None:
    done("move", currants, "Fridge")
    assert done("show", currants)[0]["place"] == "fridge"


def test_an_account_may_be_given_in_the_words_on_the_screen(done, currants) -> None:
    answer = done("lose", currants, 3, "--from", "Rooting", "--cause", "mice")
    assert answer["accounts"] == {"rooting": 37, "lost: mice": 3}


def test_some_trays_of_a_batch_do_not_move_without_their_number(done, refused, currants) -> None:
    done("move", currants, "--tray", "A", "--tray", "B")
    said = refused("move", currants, "cold frame", "--tray", "B")
    assert "say how many go" in said
    assert "--tray B --count N" in said
    assert "PLACE is missing" in refused("move", currants, "--tray", "B", "--count", 3)
    assert "some must stay" in refused("move", currants, "frame", "--count", 40)


def test_days_turned_round_are_seen_when_a_nursery_is_made(raw, tmp_path) -> None:
    """5 October for 10 May: American and European order."""
    told = raw("init", tmp_path / "one", "--last-frost", "10-05").out
    assert "They take 5 Oct to 20 Oct as free of frost." in told
    assert "10 Nov to 20 Apr" in raw("init", tmp_path / "two", "--hemisphere", "south").out


@pytest.mark.parametrize(
    "words",
    [("plant-out", "--bed", "row"), ("give", "--to", "Anton"), ("lose", "--from", "potted")],
)
def test_plants_that_go_though_they_are_promised_are_remarked(call, currants, words) -> None:
    assert call("pot-on", currants, 10).status == 0
    assert call("lose", currants, 30, "--from", "waiting").status == 0
    assert call("promise", currants, 8, "--to", "Bea").status == 0
    assert call("give", currants, 2, "--to", "Cy").err == ""
    told = call(words[0], currants, 3, *words[1:])
    assert (told.status, told.err) == (0, "Note: 8 are promised to Bea, and 5 are left.\n")
    told = call("give", currants, 5, "--to", "Bea")
    assert told.err == "Note: 3 are promised to Bea, and 0 are left.\n"


def test_a_sample_cannot_hold_more_without_roots_than_wait(call, refused, currants) -> None:
    assert call("check", currants, "--rooted", 38, "--dead", 0).status == 0
    said = refused("check", currants, "--rooted", 2, "--sample", 5)
    assert f"3 of the 5 that were lifted would not be rooted, but only 2 of {currants}" in said
    assert call("check", currants, "--rooted", 3, "--sample", 5).status == 0
    assert call("check", currants, "--rooted", 2, "--dead", 1, "--sample", 5).status == 0

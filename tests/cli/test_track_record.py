"""`forecast --record` from a shell."""


def test_the_record_of_a_batch_from_start_to_end(call, done, currants) -> None:
    assert done("forecast", "--record")["open"] == 1
    done("check", currants, "--rooted", 20, "--dead", 4, today="2027-05-01")
    done("check", currants, "--rooted", 30, "--dead", 6, today="2027-07-01")
    view = done("forecast", "--record", today="2027-07-02")
    assert [(s["stage"], s["outcome"]) for s in view["scores"]] == [
        ("at the start", 30),
        ("after a check", 30),
    ]
    text = call("forecast", "--record", "blackcurrant", today="2027-07-02").out
    assert "1 batch of which the book foretold the plants can be judged." in text
    assert "Ribes nigrum  after a check" in text

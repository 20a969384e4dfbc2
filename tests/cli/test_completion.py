"""Shells complete commands, codes of living batches and methods."""

import pytest

from propagate.cli import run


@pytest.fixture
def offered(nursery, capsys, monkeypatch):
    """The words that bash would offer after `words`, of which the last is being typed."""

    def complete(*words: str, folder: object = nursery) -> list[str]:
        typed = ["propagate", "--nursery", str(folder), *words]
        monkeypatch.setenv("_PROPAGATE_COMPLETE", "bash_complete")
        monkeypatch.setenv("COMP_WORDS", " ".join(typed))
        monkeypatch.setenv("COMP_CWORD", str(len(typed) - 1))
        capsys.readouterr()
        with pytest.raises(SystemExit):
            run([])
        out, err = capsys.readouterr()
        assert err == ""
        return [line.partition(",")[2] for line in out.splitlines() if line]

    return complete


def test_a_command_is_completed(offered) -> None:
    assert offered("pot") == ["pot-on"]


def test_codes_of_living_batches_are_offered_in_any_case(offered, done, currants) -> None:
    done("start", "fig", "hardwood-cutting", 4)
    done("lose", "CC7P", 4)
    assert offered("check", "m") == [currants]
    assert offered("forecast", "") == [currants]


def test_methods_are_offered(offered) -> None:
    assert offered("start", "fig", "hard") == ["hardwood-cutting"]
    assert "runner" in offered("start", "fig", "")


def test_nothing_is_offered_where_there_is_no_nursery(offered, tmp_path) -> None:
    assert offered("check", "", folder=tmp_path / "nowhere") == []


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_the_script_for_a_shell_is_printed(raw, shell) -> None:
    answer = raw("completion", shell)
    assert answer.status == 0
    assert f"_PROPAGATE_COMPLETE={shell}_complete" in answer.out

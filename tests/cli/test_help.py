"""Every command explains itself, the same way in every place."""

from pathlib import Path

import click
import pytest

from propagate.cli.group import COMMANDS, SEASON, program

README = Path(__file__).parents[2] / "README.md"


def loaded(name: str) -> click.Command:
    command = program.get_command(click.Context(program), name)
    assert command is not None
    return command


def test_the_help_of_the_program_lists_every_command_with_its_line(raw) -> None:
    answer = raw("--help")
    assert answer.status == 0
    listed = " ".join(answer.out.split())
    for name, (_, line) in COMMANDS.items():
        assert f"{name} {line}" in listed


def test_help_may_be_asked_for_in_a_word(raw) -> None:
    assert raw("help", "start").out == raw("start", "--help").out
    assert raw("help").out == raw("--help").out


def test_the_help_of_the_program_goes_by_headings(raw) -> None:
    lines = raw("--help").out.splitlines()
    for heading, part in SEASON.items():
        below = lines[lines.index(f"{heading}:") + 1 :]
        named = [
            line.split()[0]
            for line in below[: below.index("") if "" in below else None]
            if line[2] != " "
        ]
        assert named == list(part)


@pytest.mark.parametrize("name", COMMANDS)
def test_a_command_has_help_and_the_line_of_the_list(raw, name) -> None:
    answer = raw(name, "--help")
    assert answer.status == 0
    assert f"propagate {name}" in answer.out
    assert loaded(name).help
    assert loaded(name).get_short_help_str(limit=200) == COMMANDS[name][1]


@pytest.mark.parametrize("name", COMMANDS)
def test_every_option_of_a_command_says_what_it_is_for(name) -> None:
    options = [p for p in loaded(name).params if isinstance(p, click.Option)]
    silent = [option.opts[0] for option in options if not option.help]
    assert silent == []


@pytest.mark.parametrize("name", COMMANDS)
def test_a_command_is_mentioned_in_the_readme(name) -> None:
    assert f"`{name}`" in README.read_text(encoding="utf-8")


def test_the_program_without_a_word_shows_its_help(raw) -> None:
    answer = raw()
    assert answer.status == 2
    assert "Usage: propagate" in answer.out


def test_the_version_is_told(raw) -> None:
    answer = raw("--version")
    assert answer.status == 0
    assert answer.out.startswith("propagate, version ")


def test_ranges_are_said_in_words_and_arguments_not_listed_again(raw) -> None:
    shown = " ".join(raw("years", "--help").out.split())
    assert "[1 to 1000]" in shown
    assert "[0 or more]" in raw("due", "--help").out
    assert "<=" not in shown
    assert "[PLANT]" not in shown.partition("Options:")[2]

"""Whatever is typed or handed over: a command ends, with a sentence and the line of the file, and steers no terminal."""

import os
import subprocess
import sys
import time

import pytest

from pvcalc.handbook.cli import commands, guard
from pvcalc.handbook.data.text_files import visible
from tests.frozen import LIVE

BOMB = "a: &a [x, x, x, x, x, x, x, x, x]\n" + "".join(
    f"{new}: &{new} [{', '.join('*' + old for _ in range(9))}]\n" for old, new in zip("abcdefgh", "bcdefghi"))

DEMO = LIVE / "kb/downloads/audit-demo.csv"


def ran(arguments, capsys):
    status = commands.main([str(one) for one in arguments])
    told = capsys.readouterr()
    assert "Traceback" not in told.out + told.err
    return status, told.out, told.err


@pytest.mark.parametrize(("content", "line", "words"), [
    (BOMB, 1, "names a part of the text to repeat it"), ("age_years: 5\nx: &a [*a]\n", 2, "names a part of the text"),
    ("age_years: 5\n\nweight_kg: " + "[" * 60 + "1" + "]" * 60 + "\n", 3, "nested deeper than 40 levels"), ("age_years: 5\nweight_kg: " + "[" * 5000, 2, "YAML"),
    ("age_years: 5\nage_years: 6\n", 2, "duplicate key"), ("age_years: 5\n---\nage_years: 6\n", 2, "single document"),
    ("age_years: 5\nweight_kgs: 18\n", 2, "weight_kgs is not an input"), ("age_years: 5\nweight_kg: '1O'\n", 2, "plain number"),
    ("age_years: 5\nannulus: [{mm: 16.4}]\n\nheight_cm: 9\n", 4, "Height"), ("- 5\n", 1, "`field: value`"), ("age_years: 5\n? [a]\n: 6\n", 2, "is not an input"),
    ("age_years: 2026-13-45\n", 1, "plain number"), (b"age_years: 5\n\xe9\n", 2, "perhaps Windows-1252: byte 0xe9"), ("age_years: 5\n".encode("utf-16"), 1, "UTF-16"),
    (b"age_years: 5\n\x00\n", 2, "zero bytes"), (b"PK\x03\x04", 1, "own format")], ids=range(16))
def test_a_case_file_is_refused_with_its_line(tmp_path, capsys, content, line, words):
    path = tmp_path / "case.yml"
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    started = time.process_time()
    status, out, err = ran(["plan", path], capsys)
    assert status in (1, 2) and out == "" and f"plan: {path}:{line}: " in err and words in err, err
    assert time.process_time() - started < 20


@pytest.mark.parametrize("kind", ["folder", "pipe", "none", "large"])
def test_what_is_no_file_to_read_is_told_and_never_waited_for(tmp_path, capsys, kind):
    path = tmp_path / "case.yml"
    {"folder": path.mkdir, "pipe": lambda: os.mkfifo(path), "none": lambda: None, "large": lambda: path.write_bytes(b"# \n" * 2_000_000)}[kind]()
    for arguments in (["plan", path], ["audit", path, "--out", tmp_path / "out"]):
        status, out, err = ran(arguments, capsys)
        assert status in (1, 2) and out == "" and (str(path) in err or kind == "large") and err.rstrip().endswith((".", "is", "file")), err


@pytest.mark.parametrize("arguments", [
    ["calc", "balloon_ratio", "balloon_mm=20", "annulus_mm=" + "[" * 100_000], ["calc", "balloon_ratio", "annulus_mm={}"], ["calc", "\x1b[31mred"],
    ["calc", "balloon_ratio", "balloon_mm=\u202e02", "annulus_mm=16"], ["calc", "balloon_ratio", "\x1b]0;title\x07"], ["plan", "\x1b[2J.yml"],
    ["sign", "\x1b[2J", "--role", "consultant"], ["sign", "sizing", "--role", "\u202econsultant"], ["\x1b[2J"], ["audit", "\x9bx.csv", "--out", "\x1b[2J"]])
def test_nothing_typed_reaches_the_terminal_raw(capsys, arguments):
    try:
        _, out, err = ran(arguments, capsys)
    except SystemExit:
        told = capsys.readouterr()
        out, err = told.out, told.err
    assert out + err and not [sign for sign in out + err if visible(sign) != sign]


def test_the_line_of_progress_may_return_to_its_start_and_nothing_else(capsys):
    stream = guard.Plain(sys.stdout)
    stream.write("\raudit: 5 of 9\rforged\x1b[0m")
    assert capsys.readouterr().out == "\raudit: 5 of 9\\u000dforged\\u001b[0m" and stream.isatty() is False


def test_a_command_that_does_not_end_is_stopped_and_says_how_to_give_it_longer(capsys, monkeypatch):
    monkeypatch.setenv(guard.LIMIT, "0.05")
    started = time.monotonic()
    assert guard.run(lambda: time.sleep(20), "ledger") == 1
    assert capsys.readouterr().err == "ledger: not finished after 0.05 s, so stopped. A longer limit: PVCALC_SECONDS=0.2 before the command.\n"
    assert time.monotonic() - started < 10


@pytest.mark.parametrize("error", [ZeroDivisionError("division by zero"), RecursionError("deep"), MemoryError(), KeyError("x")])
def test_a_failure_of_the_program_is_a_sentence(capsys, monkeypatch, error):
    def fails():
        raise error
    assert guard.run(fails, "plan") == 1
    told = capsys.readouterr().err
    assert told.startswith(f"plan: this program failed, and nothing else was written: {type(error).__name__}: ") and told.count("\n") == 1
    monkeypatch.setenv(guard.TRACEBACK, "1")
    with pytest.raises(type(error)):
        guard.run(fails, "plan")


@pytest.mark.parametrize("command", [["lint"], ["ledger"], ["ledger", "--write"], ["sign", "sizing", "--role", "consultant"], ["plan", "x.yml"],
                                     ["audit", DEMO, "--out", "x"], ["expected"]])
def test_an_empty_folder_is_told_by_its_missing_files(tmp_path, capsys, command):
    status, out, _ = ran(["--root", tmp_path, *command], capsys)
    assert status == 1 and "kb/_data/settings.yml:1: the file is missing" in out and not list(tmp_path.iterdir())


def test_a_reader_that_goes_away_is_no_failure(root):
    shown = subprocess.run(f"{sys.executable} -m pvcalc formulas | head -1", shell=True, cwd=root, capture_output=True, text=True)
    assert shown.stdout.count("\n") == 1 and shown.stderr == ""

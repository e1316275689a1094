"""Released, put right, remembered: by plain bytes, hashlib, PyYAML, pypdf and poppler."""

from __future__ import annotations

import errno
import hashlib
import json
import os
import random
import shutil
import signal
import subprocess
import time
from pathlib import Path
from typing import Any

import pypdf
import pytest
import yaml

from packbuilder import cli, manifest
from packbuilder.errors import Exit, InputError
from packbuilder.issuing.changes import changed_words
from packbuilder.issuing.ledger import read_ledger
from packbuilder.issuing.post import post
from tests.issuing.conftest import listing, rewrite

NAMES = ["Wilhelmina Featherstone", "Ötzi Grün", "Zoë Marchbanks"]
REASON = "A clue of Spoon was lost."
MENDED = (".21....213......", "421....213......")


def supporters(folder: Path) -> Path:
    file = folder / "list.csv"
    file.write_text("name\n" + "".join(f"{name}\n" for name in NAMES), encoding="utf-8")
    return file


def ledger(pack: Path) -> Any:
    return yaml.safe_load((pack.parent / "ledger.yaml").read_text(encoding="utf-8"))["issues"]


def test_what_a_release_leaves(pack: Path) -> None:
    out, (line,) = pack / "out", ledger(pack)
    assert (line["pack"], line["title"], line["issue"]) == ("tea-house", "The Tea House", "2026-12")
    for file in (*line["files"], {"name": "release.json", "sha256": line["record"]}):
        data = (out / file["name"]).read_bytes()
        assert hashlib.sha256(data).hexdigest() == file["sha256"]
        assert (out / "kept" / file["sha256"] / file["name"]).read_bytes() == data
    assert [one["id"] for one in line["puzzles"]] == ["saucer", "spoon"]
    assert [one["setter"] for one in line["puzzles"]] == ["Ada Quill", "Bo Marl"]
    assert (out / "previews" / "tea-house-print-cover.png").is_file()
    assert not list(out.glob(".making-*"))


def test_the_post_says_what_there_is(pack: Path) -> None:
    told = (pack / "out" / "post.txt").read_text(encoding="utf-8")
    grades = [
        one["grade"] for one in json.loads((pack / "out" / "release.json").read_text())["puzzles"]
    ]
    for words in ("The Tea House", "December 2026, by Ada Quill", "Two cups, and a plate.",
                  "With guests: Bo Marl.", "tea-house-sampler.pdf, with 1 of the ",
                  *(f"of grade {grade}" for grade in grades)):  # fmt: skip
        assert words in told


def test_a_second_run_changes_nothing(pack: Path) -> None:
    before = listing(pack.parent)
    assert cli.run(["release", str(pack)]) == Exit.GOOD
    assert listing(pack.parent) == before


def test_one_edition_more_is_no_change(pack: Path) -> None:
    before = listing(pack / "out" / "kept")
    assert cli.run(["release", str(pack), "--edition", "text"]) == Exit.GOOD
    (line,) = ledger(pack)
    assert [one["edition"] for one in line["files"]] == ["print", "sampler", "text"]
    assert before.items() <= listing(pack / "out" / "kept").items()


def test_a_pack_that_has_changed_is_refused(pack: Path, capsys: Any) -> None:
    before = listing(pack.parent)
    rewrite(pack, "title: Saucer", "title: The Saucer")
    assert cli.run(["release", str(pack)]) == Exit.REFUSED
    assert "packbuilder reissue" in capsys.readouterr().err
    after = listing(pack.parent)
    after["tea-house/manifest.yaml"] = before["tea-house/manifest.yaml"]
    assert after == before


def look(file: Path, folder: Path) -> list[bytes]:
    """The pages as poppler draws them."""
    folder.mkdir()
    subprocess.run(["pdftoppm", "-r", "100", "-gray", file, folder / "p"], check=True)
    return [path.read_bytes() for path in sorted(folder.iterdir())]


@pytest.mark.skipif(not shutil.which("pdftoppm"), reason="poppler's pdftoppm is not there")
def test_a_reissue_says_what_changed(pack: Path, tmp_path: Path, capsys: Any) -> None:
    out = pack / "out"
    people = supporters(tmp_path)
    assert cli.run(["copies", str(pack), "--supporters", str(people)]) == Exit.GOOD
    before, was = listing(out), look(out / "tea-house-print.pdf", tmp_path / "was")
    rewrite(pack, *MENDED)
    capsys.readouterr()
    assert cli.run(["reissue", str(pack), "--reason", REASON]) == Exit.GOOD
    told = capsys.readouterr().err
    now = look(out / "tea-house-print.pdf", tmp_path / "now")
    apart = [k for k, (a, b) in enumerate(zip(was, now, strict=True), 1) if a != b]
    from packbuilder.book.wording import numerals

    assert f"print: pages {numerals(apart, to='-')}\n" in told
    assert "puzzle 2 (spoon): Clues: r1c1 has 4 now." in told
    assert "print: 3 copies of the old file: 1-3." in told
    for name in ("tea-house-print.pdf", "release.json"):
        digest = hashlib.sha256(before[name]).hexdigest()
        assert (out / "kept" / digest / name).read_bytes() == before[name]
    slip = pypdf.PdfReader(out / "tea-house-errata-1.pdf")
    words = " ".join(" ".join(page.extract_text().split()) for page in slip.pages)
    for part in ("Errata", REASON, "r1c1 has 4 now", f"Pages {numerals(apart)} of the new file"):
        assert part in words
    (line,) = ledger(pack)
    assert [one["reason"] for one in line["reissues"]] == [REASON]
    assert REASON in (out / "post.txt").read_text(encoding="utf-8")
    every = {k: v for k, v in listing(pack.parent).items() if "/copies/" not in k}
    for name in NAMES:
        assert name not in told
        assert not any(name.encode() in data for data in every.values())
    assert cli.run(["reissue", str(pack), "--reason", REASON]) == Exit.GOOD
    assert "nothing to reissue" in capsys.readouterr().err
    assert cli.run(["release", str(pack), "--supporters", str(people)]) == Exit.GOOD
    assert ledger(pack) == [line]
    assert cli.run(["reissue", str(pack), "--reason", REASON]) == Exit.GOOD
    assert "copies of the old file" not in capsys.readouterr().err


def test_a_reissue_tells_of_texts(pack: Path, capsys: Any) -> None:
    rewrite(pack, "title: Saucer\n", "title: Saucer\n    intro: Mind the rim.\n")
    assert cli.run(["reissue", str(pack), "--reason", "It had no intro."]) == Exit.GOOD
    assert "puzzle 1 (saucer): Its intro changed.\n" in capsys.readouterr().err
    assert cli.run(["release", str(pack), "--edition", "text"]) == Exit.GOOD
    rewrite(pack, "  sampler: 1\n", "  sampler: 1\n  foreword: Come in.\n")
    rewrite(pack, "Two cups, and a plate.", "Two cups, and a pot.")
    capsys.readouterr()
    assert cli.run(["reissue", str(pack), "--reason", "It had no foreword."]) == Exit.GOOD
    told = capsys.readouterr().err
    assert "the pack: Its theme changed. Its foreword changed.\n" in told
    assert "(saucer)" not in told
    assert "text: the text is another one\n" in told
    for number, words in (1, "Its intro changed."), (2, "Its foreword changed."):
        slip = pypdf.PdfReader(pack / "out" / f"tea-house-errata-{number}.pdf")
        assert words in " ".join(" ".join(page.extract_text().split()) for page in slip.pages)


def test_a_reissue_of_what_an_older_record_tells_less_of(pack: Path) -> None:
    """A record as it was before it knew of texts."""
    record = json.loads((pack / "out" / "release.json").read_text(encoding="utf-8"))
    old = {key: value for key, value in record.items() if key != "texts"}
    assert list(changed_words(old, record)) == []


def test_old_copies_of_who_has_left_the_list_are_told(
    pack: Path, tmp_path: Path, capsys: Any
) -> None:
    people, asked = supporters(tmp_path), ["copies", str(pack), "--supporters"]
    assert cli.run([*asked, str(people)]) == Exit.GOOD
    people.write_text(f"name\n{NAMES[0]}\n", encoding="utf-8")
    capsys.readouterr()
    assert cli.run([*asked, str(people)]) == Exit.GOOD
    assert "any more" not in capsys.readouterr().err  # theirs are of the file as it is
    rewrite(pack, *MENDED)
    assert cli.run(["reissue", str(pack), "--reason", REASON]) == Exit.GOOD
    assert "says who has left your list" in capsys.readouterr().err
    assert cli.run([*asked, str(people), "--json"]) == Exit.GOOD
    told = capsys.readouterr()
    assert "2 old copies of people who are not on the list any more: 2, 3;" in told.err
    assert json.loads(told.out)["copies"][0]["outdated"] == [2, 3]
    assert not any(name in told.err for name in NAMES)


def test_a_release_takes_what_copies_take(pack: Path, tmp_path: Path, capsys: Any) -> None:
    list_ = tmp_path / "list.csv"
    list_.write_text("name\nZoë Grün\nZoë Grün\n", encoding="latin-1")
    asked = ["release", str(pack), "--supporters", str(list_), "--encoding", "latin-1"]
    assert cli.run(asked) == Exit.USAGE
    assert "say --same-names" in capsys.readouterr().err
    more = ["--same-names", "--by-name", "--password", "tea"]
    assert cli.run([*asked, *more]) == Exit.GOOD
    for number in (1, 2):
        copy = pypdf.PdfReader(pack / "copies" / f"tea-house-print-0000{number}-Zoë-Grün.pdf")
        assert copy.is_encrypted and copy.decrypt("tea")
    assert cli.run(["release", str(pack), *more]) == Exit.USAGE
    assert "say with --supporters who gets a copy" in capsys.readouterr().err


def test_a_post_leaves_blanks_for_when_and_where(pack: Path) -> None:
    record = json.loads((pack / "out" / "release.json").read_text(encoding="utf-8"))
    assert "[fill in" not in post(manifest.load(pack), record)
    record["puzzles"][0]["entry"] = {"cells": ["r1c2"], "odds": 6}
    (line,) = (
        line for line in post(manifest.load(pack), record).splitlines() if "Be first" in line
    )
    assert line.count("[fill in: ") == 2


def test_a_second_run_in_one_folder_is_told(pack: Path, capsys: Any) -> None:
    """flock(2) bars a second opening of a file in the same process too."""
    import fcntl

    before = listing(pack.parent)
    with (pack / "out" / ".in-use").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        assert cli.run(["release", str(pack)]) == Exit.USAGE
    assert "another run of packbuilder is at work there" in capsys.readouterr().err
    (pack / "out" / ".in-use").unlink()
    assert listing(pack.parent) == before


def test_a_copy_of_the_old_file_is_still_known(pack: Path, tmp_path: Path, capsys: Any) -> None:
    people = supporters(tmp_path)
    assert cli.run(["copies", str(pack), "--supporters", str(people)]) == Exit.GOOD
    old = shutil.copy(pack / "copies" / "tea-house-print-00002.pdf", tmp_path / "old.pdf")
    rewrite(pack, *MENDED)
    assert cli.run(["reissue", str(pack), "--reason", REASON]) == Exit.GOOD
    capsys.readouterr()
    assert cli.run(["copies", str(pack), "--who", str(old)]) == Exit.GOOD
    assert f"copy 00002 of the print edition, {NAMES[1]}" in capsys.readouterr().out


def test_what_was_never_released_cannot_be_reissued(pack: Path, capsys: Any) -> None:
    (pack.parent / "ledger.yaml").unlink()
    assert cli.run(["reissue", str(pack), "--reason", "x"]) == Exit.USAGE
    assert "release it first" in capsys.readouterr().err


def test_an_old_file_that_is_lost_is_told(pack: Path, capsys: Any) -> None:
    shutil.rmtree(pack / "out" / "kept")
    rewrite(pack, *MENDED)
    assert cli.run(["build", str(pack)]) == Exit.GOOD  # over what was released
    assert cli.run(["reissue", str(pack), "--reason", "x"]) == Exit.USAGE
    assert "take it from a backup" in capsys.readouterr().err


def test_a_list_with_a_fault_is_told_before_anything(pack: Path, capsys: Any) -> None:
    (pack.parent / "ledger.yaml").unlink()
    list_ = pack.parent / "list.csv"
    list_.write_text("name\n\nAda\nada\n", encoding="utf-8")
    assert cli.run(["release", str(pack), "--supporters", str(list_)]) == Exit.USAGE
    told = capsys.readouterr().err
    assert "list.csv:4: column 1 (name)" in told
    assert "ada" not in told.lower()
    assert not (pack.parent / "ledger.yaml").exists()


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("grade: ", "grade: 12 #", "ledger.yaml:{}: issues[1].puzzles[1].grade"),
        ("issue: 2026-12", "issue: December", "issues[1].issue: 'December' is not a month"),
        ("title: Saucer", "titel: Saucer", "unknown field; did you mean 'title'?"),
    ],
)
def test_a_ledger_with_a_fault_is_told_by_line(pack: Path, old: str, new: str, told: str) -> None:
    file = pack.parent / "ledger.yaml"
    text = file.read_text(encoding="utf-8")
    line = text[: text.index(old)].count("\n") + 1
    file.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(InputError) as fault:
        read_ledger(file)
    assert told.format(line) in str(fault.value)


def test_a_ledger_mended_by_hand_keeps_its_values(pack: Path) -> None:
    file = pack.parent / "ledger.yaml"
    text = file.read_text(encoding="utf-8")
    file.write_text(
        f"# mine\n{text.replace('pack: tea-house', 'pack: tee-haus')}", encoding="utf-8"
    )
    assert cli.run(["release", str(pack)]) == Exit.GOOD
    assert [one["pack"] for one in ledger(pack)] == ["tea-house", "tee-haus"]


def test_a_full_disk_leaves_the_release_whole(pack: Path, monkeypatch: Any, capsys: Any) -> None:
    from packbuilder.issuing import reissuing

    before, honest = listing(pack.parent), reissuing.write_leaflet

    def full(*_arguments: Any) -> Path:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    rewrite(pack, *MENDED)
    monkeypatch.setattr(reissuing, "write_leaflet", full)
    assert cli.run(["reissue", str(pack), "--reason", REASON]) == Exit.UNFINISHED
    assert "the disk is full" in capsys.readouterr().err
    after = listing(pack.parent)
    kept = {k: v for k, v in before.items() if "/kept/" in k or k == "ledger.yaml"}
    assert kept.items() <= after.items()
    monkeypatch.setattr(reissuing, "write_leaflet", honest)
    assert cli.run(["reissue", str(pack), "--reason", REASON]) == Exit.GOOD
    assert len(ledger(pack)[0]["reissues"]) == 1


@pytest.mark.skipif(os.name != "posix", reason="SIGKILL is POSIX's")
def test_a_release_killed_at_random_moments(pack: Path, tmp_path: Path) -> None:
    """A child for each kill, forked at the door of the work. Every other one begins with what the
    last one left, the others with nothing released."""
    from packbuilder import gate, manifest
    from packbuilder.issuing.releasing import Places, release

    rng, report, editions = random.Random(20261201), gate.check(manifest.load(pack)), ["sampler"]
    places = Places(tmp_path / "out", tmp_path / "ledger.yaml")
    release(report, places, editions, lambda _words: None, 1)
    due = listing(places.out)
    shutil.rmtree(places.out)
    places.ledger.unlink()
    start = time.perf_counter()
    release(report, places, editions, lambda _words: None, 1)
    whole_run, stages = time.perf_counter() - start, set[int]()
    for k in range(100):
        if k % 2:
            shutil.rmtree(places.out)
            places.ledger.unlink(missing_ok=True)
        child = os.fork()
        if not child:
            release(report, places, editions, lambda _words: None, 1)
            os._exit(0)
        time.sleep(rng.uniform(0.0, 1.3 * whole_run))  # a busy machine is slower now and then
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        found = listing(places.out) if places.out.exists() else {}
        final = {k: v for k, v in found.items() if k in due}
        assert final.items() <= due.items(), "something half-written has its final name"
        stages.add(len(found))
        if places.ledger.exists():
            assert final == due
            read_ledger(places.ledger)
        places.out.mkdir(exist_ok=True)
    assert len(stages) > 2, "the kills came at too few moments"
    release(report, places, editions, lambda _words: None, 1)
    assert listing(places.out) == due
    assert len(read_ledger(places.ledger)) == 1

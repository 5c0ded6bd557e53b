"""The word list: sounds of words that the dictionary lacks, and what is told of its faults."""

from __future__ import annotations

from pathlib import Path

import pytest

from studio import cli
from studio.errors import BadInput
from studio.voice.phones import PHONES, from_ipa
from studio.voice.wordlist import WordList, add_words, proposed, read_words


@pytest.mark.parametrize(
    ("sounds", "phones"),
    [
        (("k", "ˈɜː", "f"), "K ER F"),
        (("t", "ˈɛ", "n", "ə", "n"), "T EH N AH N"),
        (("tʃ", "ˈʌ", "k"), "CH AH K"),
        (("ˈaɪ", "ə", "n"), "AY AH N"),
        (("b", "ˈəʊ", "l"), "B OW L"),
        # the American r after a vowel that holds one is not said twice
        (("t", "ˈɜː", "ɹ", "n"), "T ER N"),
        # a sign that is not known is passed over
        (("k", "☃", "t"), "K T"),
        ((), ""),
    ],
)
def test_sounds_of_the_alphabet_become_the_models(sounds: tuple[str, ...], phones: str) -> None:
    assert " ".join(from_ipa(sounds)) == phones


def test_the_sounds_are_those_of_the_shipped_dictionary() -> None:
    """Source: the pronouncing dictionary that comes with PocketSphinx (CMUdict)."""
    from studio.voice.recognise import dictionary

    said = {sound for ways in dictionary().values() for way in ways for sound in way.split()}
    assert said == PHONES


@pytest.mark.parametrize("word", ["spindle", "lathe", "gouge", "shavings", "sycamore", "chisel"])
def test_proposed_sounds_are_near_the_dictionarys(word: str) -> None:
    """CMUdict is the outside judge: at most half of the sounds differ from its nearest way."""
    from studio.voice.recognise import dictionary

    def apart(one: list[str], other: list[str]) -> int:
        row = list(range(len(other) + 1))
        for n, sound in enumerate(one, 1):
            last, row[0] = row[0], n
            for m, second in enumerate(other, 1):
                last, row[m] = row[m], min(row[m] + 1, row[m - 1] + 1, last + (sound != second))
        return row[-1]

    ours = proposed(word, {})[0].split()
    assert set(ours) <= PHONES
    nearest = min(apart(ours, way.split()) for way in dictionary()[word])
    assert nearest <= len(ours) / 2


FAULTS = [
    ("tenon T EH N AH N", "this is no word with sounds", "write a line like tenon:"),
    ("tenon:", "this is no word with sounds", "write a line like tenon:"),
    ("tenon: T EH QQ AH N", "there is no sound 'QQ'", "the sounds named at the head"),
    ("kerf: K ER F", "'kerf' stands here a second time", "keep one line for it"),
]


@pytest.mark.parametrize(("line", "what", "write"), FAULTS)
def test_faults_are_told_with_line_and_what_to_write(
    tmp_path: Path, line: str, what: str, write: str
) -> None:
    path = tmp_path / "workshop.words.yaml"
    path.write_text(f"# head\nkerf: K ER F\n\n{line}\n", encoding="utf-8")
    with pytest.raises(BadInput) as told:
        read_words(path)
    (fault,) = told.value.faults
    assert fault.file == path
    assert fault.line == 4
    assert what in fault.what
    assert write in (fault.write or "")


def test_all_faults_are_told_at_once_and_nothing_is_written(
    globe: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    import numpy as np

    path = globe.with_name("workshop.words.yaml")
    text = "kerf: K ER F\n" + "\n".join(line for line, _, _ in FAULTS) + "\n"
    path.write_text(text, encoding="utf-8")
    import wave

    with wave.open(str(tmp_path / "v.wav"), "wb") as out:
        out.setparams((1, 2, 16_000, 0, "NONE", ""))
        out.writeframes((np.random.default_rng(1).standard_normal(32_000) * 900).astype("<i2"))
    assert cli.main(["time", str(globe), "--voice", str(tmp_path / "v.wav")]) == 2
    told = capsys.readouterr().err
    for number, (_, what, _) in enumerate(FAULTS, 2):
        assert what in told
        assert f"{path.name}:{number}" in told
    assert path.read_text(encoding="utf-8") == text
    assert not globe.with_name("globe.times.yaml").exists()


def test_a_line_that_stands_is_never_changed(tmp_path: Path) -> None:
    path = tmp_path / "workshop.words.yaml"
    mine = "# mine\nkerf: K ER F, K AA F  # both\n"
    path.write_text(mine, encoding="utf-8")
    known = read_words(path)
    assert known.ways == {"kerf": ("K ER F", "K AA F")}
    added = add_words(path, known, ["kerf", "kerf's", "spigot"])
    assert added["kerf's"] == ("K ER F S", "K AA F S")
    text = path.read_text(encoding="utf-8")
    assert text.startswith(mine)
    again = read_words(path)
    assert again.ways == {**known.ways, **added}
    assert add_words(path, again, ["spigot"]) == {}
    assert add_words(tmp_path / "none.words.yaml", WordList({}, ""), []) == {}
    assert not (tmp_path / "none.words.yaml").exists()

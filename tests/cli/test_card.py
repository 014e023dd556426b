"""``labkit card`` as a person types it."""

from pathlib import Path

import pytest

from labkit.cli import main


def test_a_card_is_written_where_it_was_asked_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "badger.html"

    assert main(["card", "first_line", "--out", str(out), "--units", "metric"]) == 0

    assert f"wrote {out}" in capsys.readouterr().out
    assert "Two Buckets" in out.read_text(encoding="utf-8")
    assert "kPa" in out.read_text(encoding="utf-8")


def test_an_empty_window_gives_reasons_an_exit_code_and_no_file(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "knob.html"

    assert main(["card", "storage_tank", "--out", str(out)]) == 2

    said = capsys.readouterr().err
    assert said.startswith("There is no card for Spare Hat.")
    assert "This line is stopped by a level sensor" in said
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("broken", "says"),
    [
        ('cut_out = "20 psi"', "pressure_switch.cut_in"),
        ('cut_out = "fifty"', "pressure_switch.cut_out"),
        ("cut_out =", "TOML"),
    ],
)
def test_a_wrong_site_file_gives_one_sentence_and_no_file(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], broken: str, says: str
) -> None:
    ranch = Path(__file__).parents[2] / "lessons" / "sites" / "first_line.toml"
    text = ranch.read_text(encoding="utf-8")
    site, out = tmp_path / "mine.toml", tmp_path / "mine.html"
    site.write_text(text.replace('cut_out = "50 psi"', broken), encoding="utf-8")

    assert main(["card", str(site), "--out", str(out)]) == 2

    said = capsys.readouterr().err.strip()
    assert said.startswith("mine.toml: ")
    assert says in said
    assert "\n" not in said
    assert not out.exists()

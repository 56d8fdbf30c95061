"""The README's commands and every command's --help do what they say."""

import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from assistant.cli import COMMANDS, main

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
EXAMPLES = re.findall(r"^    assistant (.+)$", README, re.MULTILINE)


def test_the_two_commands_stand_in_the_readme() -> None:
    commands = re.findall(r"^    (python3 -m venv .+)$", README, re.MULTILINE)
    assert len(commands) == 2
    assert commands[0].endswith(".venv/bin/assistant bench --demo")
    assert "pytest" in commands[1]


def test_readme_examples_run_one_after_the_other(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "demo_sessions").symlink_to(ROOT / "demo_sessions")
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path / "home"))
    assert len(EXAMPLES) >= 5
    for example in EXAMPLES:
        words = shlex.split(example)
        assert words[0] in COMMANDS
        assert main(words) in (0, 1), capsys.readouterr().err
        assert capsys.readouterr().out, example


@pytest.mark.parametrize("command", sorted(COMMANDS))
def test_help_of_every_command(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        main([command, "--help"])
    assert left.value.code == 0
    assert command in capsys.readouterr().out


def test_top_level_holds_what_it_may() -> None:
    """README, DEVELOPERS, pyproject, the rooms, dotfiles and a licence; nothing else is in git."""
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False)
    if listed.returncode != 0:
        pytest.skip("not a git checkout")
    tops = {line.split("/")[0] for line in listed.stdout.splitlines()}
    allowed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "LICENSE"}
    allowed |= {"assistant", "models", "tests", "demo_sessions", "docs"}
    assert {top for top in tops if not top.startswith(".")} <= allowed


def test_the_core_imports_without_the_screen() -> None:
    """Rooms below the screen must not pull in Textual."""
    code = "import assistant.workflow.advance, assistant.bench.plain, sys; sys.exit('textual' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0

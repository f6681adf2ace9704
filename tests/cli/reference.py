"""The reference of the README, made from the program itself: a table for each command.

`python -m tests.cli.reference` prints it, `python -m tests.cli.reference --write` puts it into README.md.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import Enum
from pathlib import Path
from typing import Any, Literal, get_args, get_origin

import typer
from typer.models import ArgumentInfo, OptionInfo
from typer.utils import get_params_from_function

from fightnotes.cli.main import app

README = Path(__file__).parents[2] / "README.md"
BEGIN = "<!-- reference: python -m tests.cli.reference --write -->\n"
END = "<!-- end of the reference -->\n"
_VALUES = {int: "N", float: "P", str: "TEXT", Path: "FILE"}
"""What stands for a value of a type where the program names none."""


@dataclass(frozen=True)
class Command:
    name: str
    """With `fightnotes` and the command that it belongs to."""
    help: str
    run: Callable[..., Any]


@dataclass(frozen=True)
class Parameter:
    """An argument or an option of a command."""

    name: str
    info: ArgumentInfo | OptionInfo
    kind: Any
    """Its type, without None."""

    @property
    def is_argument(self) -> bool:
        return isinstance(self.info, ArgumentInfo)

    @property
    def names(self) -> tuple[str, ...]:
        """As they are typed, of an option."""
        declared = self.info.param_decls or (f"--{self.name.replace('_', '-')}",)
        given = tuple(name for names in declared for name in names.split("/"))
        both_ways = self.kind is bool and not self.info.param_decls
        return (*given, f"--no-{given[0].removeprefix('--')}") if both_ways else given

    @property
    def written(self) -> str:
        """As it stands on a command line."""
        if self.is_argument:
            value = self.info.metavar or self.name.upper()
            written = value if self.info.default is ... else f"[{value}]"
            return f"{written}..." if get_origin(self.kind) is list else written
        return ", ".join(self.names) + ("" if self.kind is bool else f" {self._value}")

    @property
    def does(self) -> str:
        """Its help, with what holds where it is left out."""
        default = self.info.default.value if isinstance(self.info.default, Enum) else self.info.default
        shown = default not in (None, "", ...) and not isinstance(default, bool)
        said = (self.info.help or "", "May be repeated." if self._repeats else "", f"Default: {default}." * shown)
        return " ".join(filter(None, said))

    @property
    def _repeats(self) -> bool:
        return (
            not self.is_argument and get_origin(self.kind) is list and "may be repeated" not in (self.info.help or "")
        )

    @property
    def _value(self) -> str:
        one = self.kind if get_origin(self.kind) is Literal else (*get_args(self.kind), self.kind)[0]
        if get_origin(one) is Literal:
            choices = "|".join(get_args(one))
        else:
            choices = "|".join(choice.value for choice in one) if issubclass(one, Enum) else ""
        return self.info.metavar or choices or _VALUES[one]


def commands(program: typer.Typer = app, above: str = "fightnotes") -> Iterator[Command]:
    """Each command that does something."""
    for each in program.registered_commands:
        assert each.callback is not None
        yield Command(f"{above} {each.name or each.callback.__name__}", str(each.help), each.callback)
    for group in program.registered_groups:
        assert group.typer_instance is not None
        yield from commands(group.typer_instance, f"{above} {group.name}")


def parameters(command: Command) -> list[Parameter]:
    """Arguments, then options, in the order of the program."""
    found = [
        Parameter(each.name, each.default, _without_none(each.annotation))
        for each in get_params_from_function(command.run).values()
    ]
    return sorted(found, key=lambda each: not each.is_argument)


def reference() -> str:
    """All tables, in Markdown."""
    return "\n".join(map(_section, commands()))


def with_reference(readme: str) -> str:
    """A README with the reference between its marks. Raises ValueError where they are missing."""
    return readme[: readme.index(BEGIN) + len(BEGIN)] + reference() + readme[readme.index(END) :]


def in_readme(readme: str) -> str:
    """What stands between the marks. Raises ValueError where they are missing."""
    return readme[readme.index(BEGIN) + len(BEGIN) : readme.index(END)]


def _without_none(annotation: Any) -> Any:
    kinds = [kind for kind in get_args(annotation) if kind is not type(None)]
    return kinds[0] if type(None) in get_args(annotation) else annotation


def _section(command: Command) -> str:
    what = command.help.partition("\n\n")[0]
    rows = [_row(f"`{each.written}`", each.does) for each in parameters(command)]
    return "\n".join((f"### `{command.name}`", what, "", "| option | what it does |", "| --- | --- |", *rows, ""))


def _row(*cells: str) -> str:
    return f"| {' | '.join(cell.replace('|', chr(92) + '|') for cell in cells)} |"


if __name__ == "__main__":
    if sys.argv[1:] == ["--write"]:
        README.write_text(with_reference(README.read_text(encoding="utf-8")), encoding="utf-8")
    else:
        print(reference(), end="")

"""The toolkit's style sheet, which reads of a theme's variables those that a rule names."""

from __future__ import annotations

from typing import Any

from textual.css.stylesheet import Stylesheet
from textual.css.tokenize import tokenize_values


class LateTokens(dict[str, Any]):
    """{variable: its tokens}, made of {variable: its text}: a text is read when its tokens are asked for."""

    def __getitem__(self, name: str) -> Any:
        """Return the tokens of a variable."""
        value = super().__getitem__(name)
        if isinstance(value, str):
            value = self[name] = tokenize_values({name: value})[name]
        return value

    def get(self, name: str, default: Any = None) -> Any:
        """Return the tokens of a variable, or what is to be had without it."""
        if name in self:
            return self[name]
        return default

    def setdefault(self, name: str, default: Any = None) -> Any:
        """Return the tokens of a variable, which gets those of `default` when there is none."""
        if name not in self:
            self[name] = default
        return self[name]

    def copy(self) -> LateTokens:
        """Return one of its own; what is read already is shared."""
        return LateTokens(self)


class LeanStylesheet(Stylesheet):
    """The toolkit's style sheet; of the two hundred variables of a theme a start reads the twenty it uses."""

    _late_tokens: LateTokens | None = None

    @property
    def _variable_tokens(self) -> dict[str, Any]:
        if self._late_tokens is None:
            self._late_tokens = LateTokens(self._variables)
        return self._late_tokens

    def set_variables(self, variables: dict[str, str]) -> None:
        """Take the variables of another theme."""
        super().set_variables(variables)
        self._late_tokens = None

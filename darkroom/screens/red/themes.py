"""The first lock: the toolkit's themes, whose every variable is pure red, and the theme for the day."""

from __future__ import annotations

from textual.theme import Theme

from darkroom.screens.red.palette import DAY_STEPS, DEFAULT_BRIGHTNESS, step


def _hex(level: int) -> str:
    return f"#{level:02x}0000"


def red_theme(brightness: int = DEFAULT_BRIGHTNESS) -> Theme:
    """Return the toolkit's theme for a brightness of 0 (blackout) to 5; every variable of it is pure red."""
    ground, line, quiet, text = (_hex(step(index, brightness)) for index in (0, 1, 2, 3))
    return _theme(f"red-{brightness}", ground, line, quiet, text, dark=True)


def day_theme() -> Theme:
    """Return the theme for review by day, and for a screen that stands in daylight."""
    return _theme("day", DAY_STEPS[0], DAY_STEPS[1], DAY_STEPS[2], DAY_STEPS[3], dark=False)


def _theme(name: str, ground: str, line: str, quiet: str, text: str, *, dark: bool) -> Theme:
    roles = ("primary", "secondary", "warning", "error", "success", "accent")
    variables = {
        "text": text,
        "text-muted": quiet,
        "text-disabled": line,
        **{f"text-{role}": text for role in roles},
        **{f"{role}-muted": ground for role in roles},
        "foreground-muted": quiet,
        "foreground-disabled": line,
        "block-cursor-foreground": ground,
        "block-cursor-background": text,
        "block-cursor-text-style": "none",
        "block-cursor-blurred-foreground": ground,
        "block-cursor-blurred-background": text,
        "block-cursor-blurred-text-style": "none",
        "block-hover-background": ground,
        "border": text,
        "border-blurred": line,
        "surface-active": ground,
        "scrollbar": quiet,
        "scrollbar-hover": quiet,
        "scrollbar-active": text,
        "scrollbar-background": ground,
        "scrollbar-background-hover": ground,
        "scrollbar-background-active": ground,
        "scrollbar-corner-color": ground,
        "link-background": ground,
        "link-background-hover": ground,
        "link-color": text,
        "link-color-hover": text,
        "link-style": "none",
        "link-style-hover": "none",
        "footer-foreground": text,
        "footer-background": ground,
        "footer-key-foreground": text,
        "footer-key-background": ground,
        "footer-description-foreground": quiet,
        "footer-description-background": ground,
        "footer-item-background": ground,
        "input-cursor-background": text,
        "input-cursor-foreground": ground,
        "input-cursor-text-style": "none",
        "input-selection-background": quiet,
        "input-selection-foreground": ground,
        **{f"markdown-h{n}-color": text for n in range(1, 7)},
        **{f"markdown-h{n}-background": ground for n in range(1, 7)},
        "button-foreground": text,
        "button-color-foreground": ground,
        "button-focus-text-style": "none",
        "ansi-background": ground,
        "ansi-foreground": text,
        "screen-selection-background": quiet,
        "screen-selection-foreground": ground,
        **{
            f"{role}-background{shade}": ground
            for role in ("primary", "secondary")
            for shade in ("", *(f"-{way}-{n}" for way in ("lighten", "darken") for n in (1, 2, 3)))
        },
    }
    return Theme(
        name=name,
        primary=text,
        secondary=text,
        warning=text,
        error=text,
        success=text,
        accent=text,
        foreground=text,
        background=ground,
        surface=ground,
        panel=ground,
        boost=ground,
        dark=dark,
        luminosity_spread=0.0,
        text_alpha=1.0,
        variables=variables,
    )

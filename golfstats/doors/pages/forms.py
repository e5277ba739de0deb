"""What a page asks: Django's forms for reading and words, the rooms' own checks for what golf allows.

A form turns text into values and says in plain words what it cannot read. What it took goes to the operation, whose
refusal has a place for each fault; :func:`place_faults` puts them beside their fields.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.forms.utils import flatatt
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from golfstats.ground.faults import Fault, ProblemError
from golfstats.ground.words import spoken

Choices = Sequence[tuple[str, Any]]
"""Values and words; words that are a list make a group."""

Given = dict[str, Any]
"""What was filled in, by field: of the type that the field reads."""


class Words(forms.CharField):
    """A line of text, or with ``lines`` several."""

    def __init__(self, label: str, hint: str = "", *, lines: int = 1, required: bool = True) -> None:
        widget = forms.TextInput() if lines == 1 else forms.Textarea(attrs={"rows": lines})
        super().__init__(label=label, help_text=hint, required=required, widget=widget)


class Number(forms.FloatField):
    def __init__(self, label: str, hint: str = "", *, required: bool = False, whole: bool = False) -> None:
        widget = forms.NumberInput(
            attrs={"step": "1" if whole else "any", "inputmode": "numeric" if whole else "decimal"}
        )
        super().__init__(label=label, help_text=hint, required=required, widget=widget)
        self.whole = whole

    def clean(self, value: Any) -> float | int | None:
        number: float | None = super().clean(value)
        if number is None or not self.whole:
            return number
        if number != int(number):
            raise forms.ValidationError(gettext("Enter a whole number."))
        return int(number)


class Numbers(forms.CharField):
    """Several numbers with spaces between."""

    widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})

    def __init__(self, label: str, hint: str = "", *, required: bool = False) -> None:
        super().__init__(label=label, help_text=hint, required=required)

    def prepare_value(self, value: Any) -> object:
        return " ".join(str(one) for one in value) if isinstance(value, list | tuple) else value

    def clean(self, value: Any) -> list[str]:
        parts: list[str] = super().clean(value).replace(",", " ").split()
        wrong = [part for part in parts if not re.fullmatch(r"-?\d+(\.\d+)?", part)]
        if wrong:
            raise forms.ValidationError(
                gettext("“{wrong}” is not a number. Enter numbers with spaces between.").format(
                    wrong=wrong[0][:20]
                )
            )
        return parts


class Day(forms.DateField):
    widget = forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"})

    def __init__(self, label: str, hint: str = "", *, required: bool = True) -> None:
        super().__init__(label=label, help_text=hint, required=required, input_formats=["%Y-%m-%d"])
        self.error_messages["invalid"] = gettext("Enter a day, such as 2026-06-14.")


class Moment(forms.CharField):
    """A day and a time at the club, as the browser writes it."""

    widget = forms.DateTimeInput(attrs={"type": "datetime-local"})

    def __init__(self, label: str) -> None:
        super().__init__(label=label)


class Options(forms.Select):
    """Writes its options itself: Django renders a template for each, 70 ms for the time zones of the world."""

    def render(self, name: str, value: Any, attrs: Any = None, renderer: Any = None) -> SafeString:
        widget = self.get_context(name, value, attrs)["widget"]
        groups = [self._group(label or "", options) for label, options, _ in widget["optgroups"]]
        inside = SafeString("".join(groups))
        return format_html('<select name="{}"{}>{}</select>', name, flatatt(widget["attrs"]), inside)

    def _group(self, label: str, options: Sequence[Mapping[str, Any]]) -> SafeString:
        inside = format_html_join(
            "",
            '<option value="{}"{}>{}</option>',
            ((one["value"], flatatt(one["attrs"]), one["label"]) for one in options),
        )
        return format_html('<optgroup label="{}">{}</optgroup>', label, inside) if label else inside


class Choice(forms.ChoiceField):
    widget = Options

    def __init__(self, label: str, choices: Choices, hint: str = "", *, required: bool = True) -> None:
        super().__init__(label=label, choices=choices, help_text=hint, required=required)


class Tick(forms.BooleanField):
    def __init__(self, label: str, hint: str = "") -> None:
        super().__init__(label=label, help_text=hint, required=False)


def form_of(
    fields: Mapping[str, forms.Field], data: Any = None, present: Any = None, files: Any = None
) -> forms.Form:
    """A form with these fields, filled from what was posted or from what is there."""
    made = type("AskedForm", (forms.Form,), dict(fields))
    form: forms.Form = made(data, files, initial=present, auto_id="f-%s")
    for field in form.fields.values():
        field.error_messages["required"] = gettext("“{label}” is missing.").format(label=field.label)
    return form


def given(form: forms.Form) -> Given:
    """What was filled in; an empty entry counts as not given."""
    return {name: value for name, value in form.cleaned_data.items() if value not in ("", None, [])}


def place_faults(form: forms.Form, problem: ProblemError) -> None:
    """Each fault beside its field, in words for people; what belongs to none goes to the top."""
    for fault in problem.faults:
        name = fault.pointer.removeprefix("/").split("/")[0]
        form.add_error(name if name in form.fields else None, fault_words(fault))
    if not problem.faults:
        form.add_error(None, spoken(problem.detail or problem.title))


def refusal_words(problem: ProblemError) -> list[str]:
    """What is refused, for a page without fields of a form: its faults, or the refusal itself."""
    return [fault_words(fault) for fault in problem.faults] or [spoken(problem.title)]


NOT_OFFERED = frozenset({"enum", "literal_error"})
"""What a value of a closed set is refused with: programs are told the set's words, which people never see."""


def fault_words(fault: Fault) -> str:
    """A fault as one person says it to another."""
    if fault.code in NOT_OFFERED:
        return gettext("This is not one of the choices.")
    return _sentence(spoken(fault.detail))


def _sentence(words: str) -> str:
    words = words.replace("_", " ").strip()
    return words[:1].upper() + words[1:] + ("" if words.endswith((".", "!", "?")) else ".")

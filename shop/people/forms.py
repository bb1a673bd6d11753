from typing import Any

from django import forms
from django.contrib.auth.forms import AuthenticationForm, PasswordChangeForm
from django.contrib.auth.models import User
from django.contrib.auth.password_validation import validate_password
from django.contrib.auth.validators import UnicodeUsernameValidator
from django.core.validators import MaxLengthValidator
from django.utils.translation import gettext

from shop.base.forms import Form, say_what_to_do
from shop.base.language import gettext_lazy, offered
from shop.base.roles import FITTER, ROLES
from shop.base.versions import VersionedForm
from shop.people.models import Preferences

LONGEST_NAME = 150
USERNAME_WORDS = gettext_lazy("Use letters, digits and . - _ + @ only, without a space.")
PASSWORD_WORDS = gettext_lazy(
    "At least 10 characters, not all digits, not a word everybody uses, not the person's own names."
)


class SignInForm(AuthenticationForm):
    use_required_attribute = False
    error_messages = {
        "invalid_login": gettext_lazy(
            "This name and this password do not go together. Capital and small letters differ."
        ),
        "inactive": gettext_lazy("This name and this password do not go together. Capital and small letters differ."),
    }

    def __init__(self, *args: object, **kwargs: object) -> None:
        super().__init__(*args, **{"label_suffix": "", **kwargs})  # type: ignore[arg-type]
        for field in self.fields.values():
            say_what_to_do(field)
        self.fields["username"].label = gettext("Name")
        # Django's form sets the length on the box alone; a longer name must not reach the record of failed attempts.
        self.fields["username"].validators.append(MaxLengthValidator(LONGEST_NAME))


class OwnPasswordForm(PasswordChangeForm):
    use_required_attribute = False
    error_messages = {
        **PasswordChangeForm.error_messages,
        "password_incorrect": gettext_lazy("This is not your current password."),
        "password_mismatch": gettext_lazy("The two new passwords differ."),
    }

    def __init__(self, *args: object, **kwargs: object) -> None:
        super().__init__(*args, **{"label_suffix": "", **kwargs})  # type: ignore[arg-type]
        for field in self.fields.values():
            say_what_to_do(field)
        self.fields["old_password"].label = gettext("Current password")
        self.fields["new_password1"].label = gettext("New password")
        self.fields["new_password1"].help_text = PASSWORD_WORDS
        self.fields["new_password2"].label = gettext("New password again")
        self.fields["new_password2"].help_text = ""


class PreferencesForm(VersionedForm):
    class Meta:
        model = Preferences
        fields = ["units", "decimal_mark", "date_form", "paper", "theme", "search_key"]
        widgets = dict.fromkeys(["units", "decimal_mark", "date_form", "paper", "theme"], forms.RadioSelect)
        help_texts = {
            "decimal_mark": gettext_lazy("12.5 and 12,5 are both understood wherever you type."),
            "search_key": gettext_lazy("Turn it off where it gets in the way of speech input or a screen reader."),
        }


class NewPersonForm(Form):
    """Somebody who begins here."""

    first_name = forms.CharField(label=gettext_lazy("First name"), max_length=150)
    last_name = forms.CharField(label=gettext_lazy("Last name"), max_length=150)
    username = forms.CharField(
        label=gettext_lazy("Name to sign in with"),
        max_length=LONGEST_NAME,
        validators=[UnicodeUsernameValidator(message=USERNAME_WORDS)],
        help_text=gettext_lazy("One word, such as the first name."),
    )
    role = forms.ChoiceField(choices=offered(ROLES), widget=forms.RadioSelect, initial=FITTER)
    password = forms.CharField(help_text=PASSWORD_WORDS, widget=forms.PasswordInput)

    def clean_username(self) -> str:
        name = str(self.cleaned_data["username"])
        if User.objects.filter(username__iexact=name).exists():
            raise forms.ValidationError(gettext("Somebody signs in as {name} already.").format(name=name))
        return name

    def clean_password(self) -> str:
        names = {name: self.cleaned_data.get(name, "") for name in ("username", "first_name", "last_name")}
        return good_password(str(self.cleaned_data["password"]), User(**names))


class EmailForm(Form):
    """Where a person's mail goes."""

    email = forms.EmailField(
        label=gettext_lazy("Mail address"),
        required=False,
        help_text=gettext_lazy("Optional: without one no mail is sent."),
    )


class GivenPasswordForm(Form):
    """A new password for somebody else."""

    password = forms.CharField(label=gettext_lazy("New password"), help_text=PASSWORD_WORDS, widget=forms.PasswordInput)

    def __init__(self, *args: Any, person: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.person = person

    def clean_password(self) -> str:
        return good_password(str(self.cleaned_data["password"]), self.person)


def good_password(password: str, person: User) -> str:
    """The password, unless it is weak or made of the person's own names."""
    validate_password(password, user=person)
    return password

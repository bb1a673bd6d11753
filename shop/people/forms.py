from django import forms
from django.contrib.auth.forms import AuthenticationForm, PasswordChangeForm

from shop.people.models import Preferences
from shop.ui.versioned import VersionedForm


class SignInForm(AuthenticationForm):
    use_required_attribute = False
    error_messages = {
        "invalid_login": "This name and this password do not go together. Capital and small letters differ.",
        "inactive": "This name and this password do not go together. Capital and small letters differ.",
    }

    def __init__(self, *args: object, **kwargs: object) -> None:
        super().__init__(*args, **{"label_suffix": "", **kwargs})  # type: ignore[arg-type]
        self.fields["username"].label = "Name"


class OwnPasswordForm(PasswordChangeForm):
    use_required_attribute = False

    def __init__(self, *args: object, **kwargs: object) -> None:
        super().__init__(*args, **{"label_suffix": "", **kwargs})  # type: ignore[arg-type]
        self.fields["old_password"].label = "Password until now"
        self.fields["new_password1"].label = "New password"
        self.fields["new_password1"].help_text = "At least 10 characters, not all digits, not a word everybody uses."
        self.fields["new_password2"].label = "New password again"
        self.fields["new_password2"].help_text = ""


class PreferencesForm(VersionedForm):
    class Meta:
        model = Preferences
        fields = ["units", "paper", "theme"]
        widgets = dict.fromkeys(fields, forms.RadioSelect)

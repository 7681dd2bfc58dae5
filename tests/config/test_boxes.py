"""The options of a select, as a browser reads them."""

from django import forms


class OneForm(forms.Form):
    place = forms.ChoiceField(
        choices=[
            ("", "any"),
            ("a&b", 'the "old" <yard>'),
            ("Sheds", [(1, "north"), (2, "south")]),
        ]
    )


def drawn(value) -> str:
    return str(OneForm({"place": value})["place"])


def test_what_is_written_in_an_option_is_text_and_never_markup():
    assert '<option value="a&amp;b">the &quot;old&quot; &lt;yard&gt;</option>' in drawn("")


def test_the_chosen_option_alone_is_marked():
    page = drawn(2)
    assert '<option value="2" selected>south</option>' in page
    assert page.count(" selected") == 1


def test_groups_keep_their_heading():
    assert '<optgroup label="Sheds"><option value="1">north</option>' in drawn("")

import pytest
from jinja2 import UndefinedError

from api.templating import environment, render, static_folder, templates_folder


def test_words_are_escaped_wherever_they_stand() -> None:
    template = environment().from_string("<p title='{{ words }}'>{{ words }}</p>")
    assert (
        template.render(words="<b>'&") == "<p title='&lt;b&gt;&#39;&amp;'>&lt;b&gt;&#39;&amp;</p>"
    )


def test_a_name_that_the_view_does_not_have_is_an_error_and_no_empty_space() -> None:
    with pytest.raises(UndefinedError, match="card"):
        render("print/set_card.html", density="roomy")


def test_the_templates_and_their_static_files_are_found() -> None:
    assert (templates_folder() / "print" / "set_card.html").is_file()
    assert (static_folder() / "css" / "print.css").is_file()

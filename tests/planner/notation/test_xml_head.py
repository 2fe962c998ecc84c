"""An XML file is checked before a library sees it."""

import pytest

from planner.errors import NotationError
from planner.notation.formats import Format
from planner.notation.xml_head import read_xml_head

SCORE = "<score-partwise>{}</score-partwise>"


def head(inside):
    return read_xml_head("a.xml", SCORE.format(inside).encode())


def refusal(content):
    with pytest.raises(NotationError) as error:
        read_xml_head("a.xml", content if isinstance(content, bytes) else content.encode())
    return str(error.value)


def test_titles_creators_and_our_own_fields():
    found = head(
        "<work><work-title> The  Title </work-title></work><identification>"
        '<creator type="composer">A &amp; B</creator><creator type="arranger">C</creator>'
        "<source>book</source><miscellaneous>"
        '<miscellaneous-field name="pacestick-idiom">march</miscellaneous-field>'
        '<miscellaneous-field name="other">x</miscellaneous-field>'
        "</miscellaneous></identification>"
    )
    assert (found.kind, found.title) == (Format.MUSICXML, "The  Title")
    assert (found.creator("composer"), found.creator("arranger")) == ("A & B", "C")
    assert found.own == {"idiom": "march"}


def test_the_movements_title_serves_where_the_work_has_none():
    assert head("<movement-title>Movement</movement-title>").title == "Movement"


def test_measures_are_counted():
    assert head("<part><measure/><measure/></part>").measures == 2


def test_mei_is_told_by_its_root_and_names_its_metre():
    text = '<mei><scoreDef><meterSig count="6" unit="8"/></scoreDef></mei>'
    found = read_xml_head("a.mei", text.encode())
    assert (found.kind, found.metre) == (Format.MEI, "6/8")


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16"])
def test_declared_entities_are_refused_in_every_encoding(encoding):
    bomb = '<!DOCTYPE s [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]>' + SCORE.format("&b;")
    assert "declares entities" in refusal(bomb.encode(encoding))


def test_an_external_entity_is_refused_and_never_fetched(tmp_path):
    secret = tmp_path / "secret.txt"
    secret.write_text("secret", encoding="utf-8")
    text = f'<!DOCTYPE s [<!ENTITY x SYSTEM "{secret.as_uri()}">]>{SCORE.format("&x;")}'
    assert "declares entities" in refusal(text)


def test_the_public_doctype_of_musicxml_is_no_entity():
    text = (
        '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
        '"http://www.musicxml.org/dtds/partwise.dtd">' + SCORE.format("")
    )
    assert read_xml_head("a.xml", text.encode()).kind is Format.MUSICXML


@pytest.mark.parametrize(
    ("content", "part"),
    [
        ("<score-partwise><part></score-partwise>", "line 1, column 25: the XML is broken"),
        ("<html/>", "no music (its root is <html>)"),
        ("<score-timewise/>", "export it as partwise MusicXML"),
        (SCORE.format("<a>" * 70 + "</a>" * 70), "too deep or too large"),
        (SCORE.format("<beats>999999999</beats>"), "line 1: a <beats> of 999999999"),
        (SCORE.format("<duration>99999999999999999999</duration>"), "cannot be meant"),
        ('<?xml version="1.0" encoding="nonsense"?><score-partwise/>', "encoding"),
    ],
)
def test_xml_that_cannot_be_trusted_is_refused(content, part):
    assert part in refusal(content)

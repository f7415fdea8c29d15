"""A kind of machine in the reader's words, and back to the word that its lists go by."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from walkaround import places
from walkaround.rules.checklist import ANY_MACHINE
from walkaround.store.checklists_yaml import read_folder
from walkaround.words import LANGUAGES, MACHINES, gettext, kind, machine


def test_every_machine_that_has_a_list_has_words():
    listed = {document.checklist.machine for document in read_folder(places.checklists()).documents}

    assert listed - {ANY_MACHINE} == set(MACHINES)


def test_a_reader_of_spanish_reads_spanish():
    assert machine("wheel loader", gettext("es")) == "pala cargadora de ruedas"
    assert machine("Wheel  loader", gettext("es")) == "Pala cargadora de ruedas"
    assert machine("wheel loader", gettext("en")) == "wheel loader"


def test_a_machine_of_the_sites_own_keeps_its_name():
    assert machine("Road roller of 1931", gettext("es")) == "Road roller of 1931"
    assert kind("Rodillo de 1931", gettext("es")) == "Rodillo de 1931"


@pytest.mark.parametrize("language", LANGUAGES)
@given(st.sampled_from(MACHINES) | st.text(max_size=40))
def test_what_a_form_shows_comes_back_as_it_was(language: str, named: str):
    say = gettext(language)

    assert kind(machine(named, say), say) == kind(named, say)

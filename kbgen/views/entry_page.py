"""The page of one entry, by its kind."""

from __future__ import annotations

from kbgen.compute.circuit.study import Study
from kbgen.link.base import KnowledgeBase
from kbgen.model.caution import Caution
from kbgen.model.circuit import Circuit
from kbgen.model.device import Device
from kbgen.model.entry import Entry
from kbgen.model.equipment import Equipment
from kbgen.model.field_note import FieldNote
from kbgen.model.plant import Machine
from kbgen.model.procedure import Procedure
from kbgen.model.symptom import Symptom
from kbgen.model.term import Term
from kbgen.views.circuit import circuit_page
from kbgen.views.contracts import Walks
from kbgen.views.device import device_page
from kbgen.views.equipment import equipment_page
from kbgen.views.instead import instead
from kbgen.views.machine import machine_page
from kbgen.views.notes import field_note_page
from kbgen.views.page import Page
from kbgen.views.procedure import NO_WALKS, procedure_page
from kbgen.views.remarks import with_remarks
from kbgen.views.small import caution_page, term_page
from kbgen.views.symptom import symptom_page


def make_page(base: KnowledgeBase, entry: Entry, study: Study, walks: Walks = NO_WALKS) -> Page:
    """Put the page of one entry together, or what stands in its place."""
    return with_remarks(base, entry, instead(base, entry, page_as_it_is(base, entry, study, walks)))


def page_as_it_is(base: KnowledgeBase, entry: Entry, study: Study, walks: Walks) -> Page:
    """Put the page of one entry together, whatever was signed."""
    match entry.record:
        case Symptom() as symptom:
            return symptom_page(base, entry, symptom, study)
        case Procedure() as procedure:
            return procedure_page(base, entry, procedure, walks, study)
        case Device() as device:
            return device_page(base, entry, device)
        case Circuit() as circuit:
            return circuit_page(base, entry, circuit, study)
        case Equipment() as plant:
            return equipment_page(base, entry, plant)
        case Caution() as caution:
            return caution_page(base, entry, caution)
        case Term() as term:
            return term_page(base, entry, term)
        case Machine() as machine:
            return machine_page(base, entry, machine)
        case FieldNote() as note:
            return field_note_page(base, entry, note)

"""What the safety rules are for: why, before, after, and the practice behind each."""

from __future__ import annotations

from typing import NamedTuple


class Record(NamedTuple):
    """The written part of a safety rule."""

    family: str
    name: str
    why: str
    before: str
    after: str
    rests_on: str


_LOTO = "Control of hazardous energy: identify, isolate, lock, prove dead, release in order."
_ELECTRIC = "Electrical work practice: prove dead with a meter that is proved before and after; live work only where it is needed."
_METER = "Troubleshooting practice with high-impedance meters: ghost voltage, lost return, dead readings."
_BYPASS = "Burner and boiler safety standards: safety devices are not bypassed; temporary bypasses are controlled and removed."
_GAS = "Fuel-gas codes: qualified person, isolation, tightness test before gas is turned on."
_BURNER = "Burner safeguard standards: proven purge before ignition, limited resets, cause before reset."
_EVIDENCE = "Fault-finding practice: note what the plant remembers before it is erased."
_RETURN = "Commissioning practice: covers, locks, settings and trips in order, and a full cycle seen."

# fmt: off
RECORDS: tuple[Record, ...] = (
    Record("Making safe", "evidence-lost", "What the panel showed goes with the supply, and with it the only hint at an intermittent fault.", "- do: Switch Q2 off.\n  isolate: control", "- do: Note the display word for word.\n  record: [display, first-out]\n- do: Switch Q2 off.\n  isolate: control", _EVIDENCE),
    Record("Making safe", "lock-before-off", "A lock on a closed isolator locks it on.", "- do: Put the padlock on Q2.\n  lock: control", "- do: Switch Q2 off.\n  isolate: control\n- do: Put the padlock on Q2.\n  lock: control", _LOTO),
    Record("Making safe", "proof-without-lock", "What is off and not locked comes back while somebody has his fingers in it.", "- do: Switch Q2 off.\n  isolate: control\n- do: Prove it dead.\n  prove_dead: control", "- do: Switch Q2 off.\n  isolate: control\n- do: Lock Q2.\n  lock: control\n- do: Prove it dead.\n  prove_dead: control", _LOTO),
    Record("Making safe", "proof-without-identity", "Two boilers stand side by side, and the isolator of the other one is off.", "- do: Switch Q2 off.\n  isolate: control", "- do: Compare the numbers on panel, Q2 and boiler.\n  identify: Same number on panel, Q2 and boiler\n- do: Switch Q2 off.\n  isolate: control", _LOTO),
    Record("Making safe", "proof-incomplete", "One conductor that nobody measured can still be live: a lost neutral, a feed from elsewhere.", "prove_dead: control\nbetween: [X1:1 to N]", "prove_dead: control\nbetween: [X1:1 to N, X1:1 to earth, N to earth]", _ELECTRIC),
    Record("Making safe", "unlock-without-telling", "The burner starts by itself while somebody still stands at the fan.", "- do: Take the padlock off.\n  unlock: control", "- do: See that everybody is clear and tell them.\n  inform: Everybody at the boiler\n- do: Take the padlock off.\n  unlock: control", _LOTO),
    Record("Making safe", "restore-under-lock", "Whoever gets a locked isolator on has cut a lock, perhaps somebody else's.", "- do: Switch Q2 on.\n  restore: control", "- do: Take the padlock off.\n  unlock: control\n- do: Switch Q2 on.\n  restore: control", _LOTO),
    Record("Making safe", "terminals-by-operator", "Operators know the plant and its buttons; nobody taught them to work where it is live.", "who: operator\nsteps:\n  - do: Read X3:5 to N.\n    measure: volts", "who: technician\nsteps:\n  - do: Read X3:5 to N.\n    measure: volts", _ELECTRIC),
    Record("Readings", "ohms-not-proved-dead", "Ohms on a live string destroy the meter, or the person who holds it.", "- do: Ohms across the limit.\n  measure: ohms", "- do: Prove it dead.\n  prove_dead: control\n- do: Ohms across the limit.\n  measure: ohms", _ELECTRIC),
    Record("Readings", "volts-while-off", "With the supply off every point reads zero, and a good contact is called open.", "- do: Switch Q2 off.\n  isolate: control\n- do: Read X3:5 to N.\n  measure: volts", "- do: Read X3:5 to N.\n  measure: volts\n- do: Switch Q2 off.\n  isolate: control", _METER),
    Record("Readings", "ohms-decide-nothing", "Some contacts are open on dead plant however sound they are; a cutoff that needs supply, a switch behind a shut cock.", "measure: ohms\nacross: second-low-water  # dead_state: open\nask: Is it closed?", "measure: volts\nacross: second-low-water\nask: Is it closed?", _METER),
    Record("Readings", "ohms-across-load", "Through a coil or a lamp the meter finds another way round and reads a closed contact.", "measure: ohms\nat: X3:8\nto: N", "fit: lifted-wire\nname: wire-1\n# then the ohms, then undo", _METER),
    Record("Readings", "ammeter-across", "An ammeter is a piece of wire: across a contact it is a jumper, to the return it is a short circuit in somebody's hands.", "measure: amps\nacross: high-limit", "# proved dead:\nfit: lifted-wire\nname: wire-1\nat: X3:7\n# then, clipped into its place:\nmeasure: amps\nat: X3:7\nto: X3:8\nleads: clipped-dead", _METER),
    Record("Readings", "held-leads-while-firing", "A hand slips when the fan starts or the burner lights.", "- do: Hold the probe at X3:5.\n  measure: volts", "- do: Shut the burner cock.\n  shut_valve: burner-cock\n- do: Hold the probe at X3:5.\n  measure: volts", _ELECTRIC),
    Record("Readings", "clipped-on-live", "A clip that is put on live is a slip away from a short.", "measure: volts\nleads: clipped-dead  # nothing was dead before", "- do: Prove it dead.\n  prove_dead: control\n# clip on, release, switch on\n- do: Read.\n  measure: volts\n  leads: clipped-dead", _ELECTRIC),
    Record("Readings", "cover-opens-contact", "The door that is opened for the reading opens the very string that is read.", "- do: Open the unit door.\n  open_cover: unit-door\n- do: Read behind it.\n  measure: volts", "- do: Read at the terminal outside, door closed.\n  measure: volts", _METER),
    Record("Readings", "valve-opens-contact", "A shut upstream cock opens the low gas pressure contact, and it is found open.", "shut_valve: plant-cock\n# then volts behind the low gas pressure contact", "shut_valve: burner-cock\n# then volts behind the low gas pressure contact", _METER),
    Record("Readings", "low-impedance-jumper", "A low-impedance meter across an open contact passes enough current to make the string.", "measure: volts\nacross: first-low-water\nmeter: low-impedance", "measure: volts\nat: X3:8\nto: N\nmeter: low-impedance", _METER),
    Record("Readings", "middle-reading-decides", "A ghost voltage reads half on an open wire; a part is replaced for nothing.", "- {when: In between, go: found}", "- {when: In between, go: repeat-low}", _METER),
    Record("Readings", "zero-without-supply", "With the return open every point reads zero, and the first contact is called open.", "# first reading of all\nmeasure: volts\nat: X3:5\nto: N", "# first\nmeasure: volts\nat: X3:1\nto: N\n# full? then X3:5", _METER),
    Record("Readings", "across-without-upstream", "Nothing across a contact is a closed contact, or no voltage in front of it.", "measure: volts\nacross: first-low-water", "measure: volts\nat: X3:6\nto: N\n# full? then across first-low-water", _METER),
    Record("Readings", "live-reading-without-caution", "Live terminals in plant that starts by itself, and not a word about it.", "- do: Read X3:5 to N.\n  measure: volts", "- do: Read X3:5 to N.\n  cautions: [starts-by-itself]\n  measure: volts", "Safety messages stand directly before the step they belong to."),
    Record("Temporary alterations", "permits-deadly-jumper", "Its page, its line in the search and the print would say when it may be jumped, and somebody would.", "guards: water-level\nmay_jump: {reason: To see the burner light}", "guards: water-level\nnever_because: Without water the boiler bursts.", _BYPASS),
    Record("Temporary alterations", "never-jumped", "Water level, steam limit, gas pressure, air, valve closure, flame, one-shot fuses: what a jumper hides here kills.", "fit: jumper\nover: first-low-water", "check_real: first-low-water", _BYPASS),
    Record("Temporary alterations", "jumper-not-allowed", "Nobody has thought through what happens when this contact is bridged.", "fit: jumper\nover: vent-pressure", "measure: volts\nacross: vent-pressure", _BYPASS),
    Record("Temporary alterations", "jumper-ends-unknown", "A jumper that nobody knows the ends of cannot be checked or found again.", "fit: jumper\nname: jumper-1", "fit: jumper\nname: jumper-1\nover: dirty-filter\nfrom: X3:7\nto: X3:8", _BYPASS),
    Record("Temporary alterations", "jumper-names-another", "The text names a filter and the terminals are those of the water cutoff.", "fit: jumper\nover: dirty-filter\nfrom: X3:5\nto: X3:6", "fit: jumper\nover: dirty-filter\nfrom: X3:7\nto: X3:8", _BYPASS),
    Record("Temporary alterations", "jumper-spans-several", "A jumper bridges everything between its ends.", "fit: jumper\nfrom: X3:5\nto: X3:8", "fit: jumper\nfrom: X3:7\nto: X3:8", _BYPASS),
    Record("Temporary alterations", "alteration-live", "A wire is touched on a circuit that may be live.", "- do: Fit the jumper.\n  fit: jumper", "- do: Prove it dead.\n  prove_dead: control\n- do: Fit the jumper.\n  fit: jumper", _ELECTRIC),
    Record("Temporary alterations", "jumper-with-fuel", "A burner that fires with a safety contact bridged.", "- do: Fit the jumper.\n  fit: jumper", "- do: Shut the burner cock.\n  shut_valve: burner-cock\n- do: Fit the jumper.\n  fit: jumper", _BYPASS),
    Record("Temporary alterations", "fire-with-alteration", "The plant lights with something in it that is not as it should be.", "- do: Take the tube off.\n  fit: unplugged-tube\n- do: Start it.\n  start_demand: Burner switch on", "- do: Put the tube back.\n  undo: tube-1\n- do: Start it.\n  start_demand: Burner switch on", _BYPASS),
    Record("Temporary alterations", "alteration-name-twice", "Two jumpers with one tag: one is taken out and both are called out.", "- fit: jumper\n  name: jumper-1\n- fit: jumper\n  name: jumper-1", "- fit: jumper\n  name: jumper-1\n- fit: jumper\n  name: jumper-2", _BYPASS),
    Record("Temporary alterations", "trip-proved-under-jumper", "A device with a jumper over it cannot stop the burner; its trip is seen from something else.", "- do: Lower the water.\n  prove_trip: dirty-filter  # jumper-1 still in", "- do: Take jumper-1 out.\n  undo: jumper-1\n- do: Prove it.\n  prove_trip: dirty-filter", _BYPASS),
    Record("Temporary alterations", "trip-proved-off", "With the supply off nothing runs, and nothing can be seen to stop.", "- do: Switch Q2 off.\n  isolate: control\n- do: Prove it.\n  prove_trip: first-low-water", "- do: Prove it.\n  prove_trip: first-low-water", _BYPASS),
    Record("Gas", "gas-work-unlicensed", "Gas work by somebody who never learnt it.", "who: technician\n# open_gas_train: Plug of the test nipple", "who: licensed-gas", _GAS),
    Record("Gas", "gas-opened-under-pressure", "A joint is broken while gas presses behind it.", "- do: Take the plug out.\n  open_gas_train: Plug", "- do: Shut the cock.\n  shut_valve: plant-cock\n- do: Take the plug out.\n  open_gas_train: Plug", _GAS),
    Record("Gas", "leak-check-while-open", "A train with an opening cannot be tight.", "- do: Brush the joints.\n  leak_check: Plug", "- do: Put the plug in.\n  cap: Plug\n- do: Brush the joints.\n  leak_check: Plug", _GAS),
    Record("Gas", "gas-on-open-train", "Gas flows out into the room.", "- do: Open the cock.\n  open_valve: plant-cock", "- do: Put the plug in.\n  cap: Plug\n- do: Open the cock.\n  open_valve: plant-cock", _GAS),
    Record("Gas", "gas-on-leaking-train", "Bubbles were seen or could not be ruled out, and the gas stays on.", "leak_check: Joint\nask: Is it tight?\noutcomes:\n  - {when: 'Yes', go: go-on}\n  - {when: No or not sure, go: go-on}", "leak_check: Joint\nask: Is it tight?\noutcomes:\n  - {when: 'Yes', go: go-on}\n  - {when: No or not sure, go: shut-and-lock}", _GAS),
    Record("Gas", "leak-check-missing", "A joint that was opened leaks more often than not at the first try.", "- do: Open the cock.\n  open_valve: plant-cock\n- do: Start.\n  start_demand: Burner on", "- do: Open the cock.\n  open_valve: plant-cock\n- do: Brush the joints.\n  leak_check: Plug\n- do: Start.\n  start_demand: Burner on", _GAS),
    Record("Gas", "gas-left-open", "An opening that waits for the next person, with or without gas behind it.", "- do: Hang the tag.\n  end: left-safe", "- do: Cap it.\n  cap: Plug\n- do: Hang the tag.\n  end: left-safe", _GAS),
    Record("Gas", "gas-left-untested", "The next person opens the cock on joints that nobody has tested.", "- do: Go.\n  end: left-safe", "- do: Lock the cock; the tag says untested.\n  lock: gas\n- do: Go.\n  end: left-safe", _GAS),
    Record("Resets and starts", "reset-before-evidence", "The reset wipes out which device it was.", "- do: Press the button.\n  reset: high-gas", "- do: Note which button stands out.\n  record: [resets]\n- do: Press it.\n  reset: high-gas", _EVIDENCE),
    Record("Resets and starts", "reset-without-cause", "Low water, high pressure: the device did its job, and is told to try once more.", "- do: Press the button.\n  reset: second-low-water", "- do: Find why the water fell.\n  find_cause: second-low-water\n- do: Press the button.\n  reset: second-low-water", _BURNER),
    Record("Resets and starts", "second-reset", "Every start that does not light leaves gas in the furnace.", "- do: Reset again.\n  reset: lockout", "- do: Leave the fuel locked.\n  end: left-safe", _BURNER),
    Record("Resets and starts", "one-shot-reset", "A thermal fuse is replaced with its cause mended; there is nothing to press.", "reset: thermal-fuse", "find_cause: thermal-fuse", _BURNER),
    Record("Resets and starts", "doubt-taken-as-false", "Not sure whether the water is low, and treated as if it were not.", "- {when: Not sure, go: false-trip}", "- {when: Not sure, go: real-trip}", _BURNER),
    Record("Resets and starts", "setting-nobody-changes", "A setting that nobody may change is changed.", "adjust: second-low-opens  # changed_by: nobody", "# leave it; replace the device", _BURNER),
    Record("Resets and starts", "firing-without-purge", "Gas of the last try lights all at once.", "- do: Start.\n  start_demand: Burner on\n- do: Watch the flame.\n  observe: firing", "- do: Start.\n  start_demand: Burner on\n- do: See the full purge.\n  observe: purge\n- do: Watch the flame.\n  observe: firing", _BURNER),
    Record("Resets and starts", "cannot-fire", "What is said to be seen cannot happen: supply or fuel is off on this way.", "- do: Shut the cock.\n  shut_valve: burner-cock\n- do: See a full cycle.\n  observe: full-cycle", "- do: Open the cock.\n  open_valve: burner-cock\n- do: See a full cycle.\n  observe: full-cycle", _RETURN),
    Record("Leaving", "alteration-left", "The most dangerous thing a service visit can leave behind.", "- {when: Not sure, go: leave}\n- id: leave\n  end: left-safe", "- {when: Not sure, go: take-out}\n- id: take-out\n  undo: jumper-1", _BYPASS),
    Record("Leaving", "hand-over-loses-alteration", "The colleague does not know of the jumper.", "hand_over: Next technician", "hand_over: Next technician\nnext_step: take-out", _BYPASS),
    Record("Leaving", "cover-left-open", "Open covers: live parts, hot parts, and strings that do not make.", "- end: returned-to-service", "- close_cover: panel-door\n- end: returned-to-service", _RETURN),
    Record("Leaving", "lock-left-on", "Returned to service with a lock on is not returned, and somebody will cut the lock.", "- end: returned-to-service", "- unlock: control\n- restore: control\n- end: returned-to-service", _LOTO),
    Record("Leaving", "left-shut-off", "The plant is called ready and does not start at night.", "- end: returned-to-service", "- open_valve: burner-cock\n- end: returned-to-service", _RETURN),
    Record("Leaving", "off-without-lock", "Off and not locked is on again when somebody looks for his fault.", "- do: Switch Q1 off.\n  isolate: fan\n- end: left-safe", "- do: Switch Q1 off.\n  isolate: fan\n- do: Lock Q1.\n  lock: fan\n- end: left-safe", _LOTO),
    Record("Leaving", "left-unlocked", "Left off, and the next person switches it on.", "- do: Hang the tag.\n  end: left-safe", "- do: Shut and lock the cock.\n  isolate: gas\n- lock: gas\n- do: Hang the tag.\n  end: left-safe", _LOTO),
    Record("Leaving", "trip-not-proved", "A device that was jumped may have been the bad one.", "- undo: jumper-1\n- end: returned-to-service", "- undo: jumper-1\n- prove_trip: dirty-filter\n- end: returned-to-service", _RETURN),
    Record("Leaving", "limit-left-changed", "A limit that was turned up for a test and stays there protects nobody.", "adjust: high-steam-opens\nfrom: 125 psi\nto: 140 psi", "adjust: high-steam-opens\nfrom: 140 psi\nto: 125 psi", _RETURN),
    Record("Leaving", "setting-not-noted", "The next person takes the changed value for the right one.", "adjust: operating-opens\nfrom: 100 psi\nto: 95 psi", "adjust: operating-opens\nfrom: 100 psi\nto: 95 psi\nnote_down: Old and new setting", _RETURN),
    Record("Leaving", "analyser-missing", "Carbon monoxide is not seen or smelt.", "- adjust: burner-gas\n- end: returned-to-service", "- adjust: burner-gas\n- measure: flue-gas\n- end: returned-to-service", "Combustion practice: analyse the flue gas after any change of gas or air."),
    Record("Leaving", "cycle-not-seen", "Mended, and it fails at the first start that nobody watches.", "- end: returned-to-service", "- observe: full-cycle\n- end: returned-to-service", _RETURN),
    Record("Leaving", "others-not-informed", "Others stand at plant that stopped without a word, or starts without one.", "- end: returned-to-service", "- inform: Shift lead\n- end: returned-to-service", _RETURN),
    Record("Leaving", "found-leads-nowhere", "The fault is known, the plant is half open, and the page ends.", "end: found", "end: found\nnext: is-it-doing-its-job", _RETURN),
    Record("Leaving", "next-not-ready", "The next page takes it for granted that the plant is dead, and it is not.", "- do: Switch Q2 off.\n  isolate: control\n- end: found\n  next: test-dead  # starts: [proved-dead]", "- do: Prove it dead.\n  prove_dead: control\n- end: found\n  next: test-dead", _LOTO),
    Record("Leaving", "sent-into-the-middle", "The colleague begins where the page takes for done what nobody did.", "hand_over: Electrician\nnext: make-safe\nnext_step: prove-control", "hand_over: Electrician\nnext: make-safe\nnext_step: identify", _LOTO),
    Record("Leaving", "left-able-to-fire", "Between two pages the burner lights by itself.", "- do: Write it down.\n  end: found", "- do: Shut the burner cock.\n  shut_valve: burner-cock\n- do: Write it down.\n  end: found", _LOTO),
    Record("Procedures", "too-many-ways", "What cannot be followed cannot be checked.", "(one procedure with everything)", "(procedures that lead to one another)", "Plain practice for written work instructions."),
)
# fmt: on

"""English words that together mean one other word, so that no table has to know them one by one."""

from __future__ import annotations

# A full stop says that the idiom ends its clause: "leave it where it is", and no "push it in where it is loose".
# One before it says that it begins it: "out with the plug", and no "leave the wedge in with its tag".
_IDIOMS = """
watch     | keep an eye on
watch     | keep your eye on
watch     | keep your eyes on
watch     | keep eyes on
watch     | eyes on
look at   | eyeball
along     | in line with
quarter an hour | quarter of an hour
look      | have a look
look      | take a look
look      | have a good look
feel      | have a feel
feel      | have a good feel
listen    | have a listen
start     | wake it up
start     | wake her up
wait till | hang on till
wait till | hang on until
wait for  | hang on for
wait      | hang on .
wait      | take a moment
wait      | take your time
wait      | hold on .
stay      | hang around
tell      | have a word with
tell      | have a quick word with
tell everybody | . everybody clear
tell everybody | . everyone clear
show      | walk the colleague
show      | walk him
show      | walk her
show      | walk them
again     | once more
then      | before that
then      | after that
cable-tie | cable tie
cable-tie | zip tie
note      | into the book
note      | in the book .
note      | . book
take out  | . out with
take off  | . off with
take away | . away with
put in    | . in with
put in    | . back in with
put on    | . on with
put on    | . back on with
untouched | where it is .
untouched | where they are .
untouched | as it is .
untouched | as they are .
untouched | in peace .
untouched | alone .
"""


def idioms() -> dict[tuple[str, ...], str]:
    """Return the words of each idiom with what they mean."""
    lines = (line.partition("|") for line in _IDIOMS.strip().splitlines())
    return {tuple(said.split()): means.strip() for means, _, said in lines}

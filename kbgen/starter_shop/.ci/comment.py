"""Keep the review of a merge request in one comment: the last one of this job is written anew."""

import json
import os
import sys
import urllib.request
from pathlib import Path

MARK = "<!-- kbgen review -->"
NOTES = "{CI_API_V4_URL}/projects/{CI_PROJECT_ID}/merge_requests/{CI_MERGE_REQUEST_IID}/notes".format(
    **os.environ
)


def ask(method, address, body=None):
    """Ask the forge, and return its answer."""
    data = json.dumps({"body": body}).encode() if body else None
    head = {"PRIVATE-TOKEN": os.environ["KBGEN_TOKEN"], "Content-Type": "application/json"}
    with urllib.request.urlopen(urllib.request.Request(address, data, head, method=method)) as answer:
        return json.load(answer)


said = MARK + "\n" + Path(sys.argv[1]).read_text(encoding="utf-8")
last = [note["id"] for note in ask("GET", NOTES + "?per_page=100") if note["body"].startswith(MARK)]
if last:
    ask("PUT", f"{NOTES}/{last[0]}", said)
else:
    ask("POST", NOTES, said)

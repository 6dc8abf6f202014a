"""Keep the review of a change in one comment: the one that was written before is written anew."""

import json
import os
import sys
import urllib.error
import urllib.request
from pathlib import Path

MARK = "<!-- kbgen review -->"
PAGE = 100
forge = os.environ
if "GITHUB_API_URL" in forge:
    issues = "{GITHUB_API_URL}/repos/{GITHUB_REPOSITORY}/issues".format(**forge)
    comments, one, renew = f"{issues}/{forge['NUMBER']}/comments", f"{issues}/comments", "PATCH"
    token = {"Authorization": f"Bearer {forge['GH_TOKEN']}"}
else:
    changes = "{CI_API_V4_URL}/projects/{CI_PROJECT_ID}/merge_requests/{CI_MERGE_REQUEST_IID}"
    comments = one = f"{changes}/notes".format(**forge)
    renew, token = "PUT", {"PRIVATE-TOKEN": forge["KBGEN_TOKEN"]}


def ask(method, address, body=None):
    """Ask the forge, and return its answer."""
    data = json.dumps({"body": body}).encode() if body else None
    head = {**token, "Content-Type": "application/json"}
    with urllib.request.urlopen(urllib.request.Request(address, data, head, method=method)) as answer:
        return json.load(answer)


def written_before():
    """Return the number of the comment that holds the review; none where there is none yet."""
    page, found = 1, [{}] * PAGE
    while len(found) == PAGE:
        found = ask("GET", f"{comments}?per_page={PAGE}&page={page}")
        for comment in found:
            if comment["body"].startswith(MARK):
                return comment["id"]
        page += 1
    return None


said = Path(sys.argv[1]).read_text(encoding="utf-8")
if not said.startswith(MARK):
    sys.exit(f"{sys.argv[1]} is not what kbgen review writes; no comment was made")
try:
    before = written_before()
    if before:
        ask(renew, f"{one}/{before}", said)
    else:
        ask("POST", comments, said)
except urllib.error.HTTPError as fault:
    # A change out of a fork has a token that may not write: the review stands in the log then.
    if fault.code != 403:
        sys.exit(f"the forge answered {fault.code} to {fault.url}; no comment was made")
    print(f"the token of this job may not write comments; the review:\n\n{said}")

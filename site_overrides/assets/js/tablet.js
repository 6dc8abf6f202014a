/* Home says how old the edition is, whether all of it is on this tablet, and what stands against trusting it. */
(function () {
  "use strict";

  const DAY = 86400000, ROOM = 2.5;
  const place = document.querySelector(".kb-tablet"), alerts = document.querySelector(".kb-tablet-alerts");
  const edition = window.kbEdition, tablet = window.kbTablet;
  if (!place || !alerts || !edition || !tablet) return;

  /** Every job that is open is one tap away, wherever it was left; the one touched last comes first. */
  async function goOn() {
    const there = document.querySelector(".kb-go-on");
    try {
      const jobs = there && window.kbDoStore ? (await window.kbDoStore.open()).filter((each) => /^[a-z0-9-]+$/.test(each.page)) : [];
      if (!jobs.length) return;
      there.replaceChildren(...jobs.map((job) => {
        const way = make("a", "", (job.practice ? "Go on practising: " : "Go on where you were: ") + job.title + (job.plant && !job.practice ? ", at " + job.plant : ""));
        way.href = "procedures/" + job.page + ".html#do=" + job.job;
        return way;
      }));
      there.hidden = false;
    } catch (refused) {
      // No storage, or nothing of ours in it.
    }
  }
  goOn().then(() => window.kbDoStore && window.kbDoStore.tidy()).catch(() => undefined);

  /** @type {{id: string, mark: string} | null} The list that this page came with. */
  let list = null;

  /** A sentence whose days, sizes and marks are not torn at the end of a line. */
  const sentence = (text) => make("p", "", ...text.split(/(\d{4}-\d\d-\d\d|\d+\.\d MB)/)
    .map((part, at) => (at % 2 ? make("span", "kb-tablet-one", part) : part)));

  function make(name, style, ...children) {
    const element = document.createElement(name);
    if (style) element.className = style;
    element.append(...children);
    return element;
  }

  function button(label, act) {
    const made = make("button", "", label);
    made.type = "button";
    made.addEventListener("click", act);
    return made;
  }

  const day = (time) => {
    const two = (number) => String(number).padStart(2, "0"), at = new Date(time);
    return at.getFullYear() + "-" + two(at.getMonth() + 1) + "-" + two(at.getDate());
  };
  const clock = (time) => new Date(time).toTimeString().slice(0, 5);
  const since = (from) => Math.round((Date.parse(day(Date.now())) - Date.parse(day(from))) / DAY);
  const ago = (days) => (days < 1 ? "today" : days === 1 ? "yesterday" : days + " days ago");
  const size = (bytes) => (bytes / 1e6).toFixed(1) + " MB";
  const named = (which) => which.mark.slice(0, 8) + " of " + which.date;

  /** Why the clock cannot be right, or nothing. */
  function wrongClock(status) {
    const now = Date.now(), seen = status?.seen || 0, skew = status?.last?.skew || 0;
    const why = now < edition.number * 1000 - DAY || day(now) < edition.reviewed ? "this edition is newer"
      : now < seen - DAY ? "it was " + day(seen) + " already"
      : Math.abs(skew) > DAY ? "the office says " + day(now - skew) : "";
    return why && "The clock of this tablet is wrong: it says " + day(now) + ", and " + why
      + ". Ages and overdue reviews cannot be told until it is set.";
  }

  const first = tablet.way === "worker" && !navigator.serviceWorker.controller;
  const UNTIL = " Until all are here, do not rely on this tablet without signal.";
  const failed = (code) => (code >= 400 ? ": error " + code : "");

  /** What the last look at the office says to whoever reads: [sentence, label and act of a button]. */
  function news(status) {
    const last = status.last || {}, whole = Boolean(status.now);
    const part = last.have + " of " + last.of + " files";
    const still = whole ? " The edition you read is whole." : UNTIL;
    const take = { label: "Use it now", act: () => tablet.compare({ force: true, take: last.id }) };
    switch (last.state) {
      case "fetching": return ["", (whole ? "A newer edition is being fetched: " : "This edition is being put on this tablet: ") + part + "." + still];
      case "cut": return ["warns", "The signal was lost: " + part + " are here. It goes on by itself." + still];
      case "wrong": return ["warns", "The update stopped. This came wrong: " + last.files.slice(0, 3).join(", ")
        + (last.files.length > 3 ? " and more" : "") + failed(last.code) + "." + still + " Tell the office."];
      case "refused": return ["warns", "The office's host sends no edition" + failed(last.code) + "." + still + " Tell the office."];
      case "no-room": return ["warns", "There is no room on this tablet for " + (whole ? "the newer edition" : "this edition")
        + (last.of ? ": " + part + " are here" : "") + "." + still
        + (last.bytes ? " Free " + size(ROOM * last.bytes) + ", then compare again." : " Free some, then compare again.")];
      case "failed": return ["warns", "This browser failed to keep the edition." + still + " Restart the tablet, then compare again."];
      case "older": return ["warns", "The office offers an older edition, " + named(last) + ". It was refused." + still + " Tell the office."];
      case "unnumbered": return ["warns", "The office has another edition with the same number, " + named(last)
        + ". Which of the two is newer cannot be told. Ask the office before you use it.", take];
      case "ready": return ["", "Edition " + named(last) + " is ready. It waits until the job on this tablet is closed."
        + " If you use it before that, take every reading again.", take];
      case "away": return whole ? null : ["warns", "The office cannot be reached." + still];
      default: return null;
    }
  }

  function said() {
    const status = tablet.status, rows = [];
    const wrong = wrongClock(status);
    if (wrong) rows.push(["warns", wrong]);
    if (tablet.way === "plain") {
      rows.push(["warns", "This address is plain http. A tablet keeps an edition only from an address that begins with https."]);
    }
    if (list && list.mark !== edition.id) rows.push(["warns", "Files of two editions lie at this address. Tell the office."]);
    if (!status) return rows;
    const days = status.seen ? since(status.seen) : 0;
    if (!wrong && days > edition.compare) {
      rows.push(["warns", "Last compared with the office " + ago(days) + "; your shop allows " + edition.compare
        + ". Open this page where there is signal."]);
    }
    const row = news(status);
    if (row) rows.push(row);
    else if (first && status.now) rows.push(["", "This edition is on this tablet now, whole: it can be read without signal."]);
    if (status.now && list && status.now.id !== list.id) {
      rows.push(["", "Edition " + named(status.now) + " is on this tablet. This page still shows the one before.",
        { label: "Show it", act: () => location.reload() }]);
    }
    return rows;
  }

  function facts() {
    const { way, status } = tablet, now = status && status.now, wrong = wrongClock(status);
    const reviewed = edition.reviewed && edition.reviewed + (wrong ? "" : ", " + ago(since(edition.reviewed + "T00:00")));
    const kept = {
      disk: "Opened from a folder; nothing compares it with the office",
      plain: "Not kept by this tablet",
      none: "Not kept by this browser",
      worker: now ? "Whole: " + now.files + " files, " + size(now.bytes) : "Not yet",
    }[way];
    const compared = status && status.seen ? (wrong ? day(status.seen) : ago(since(status.seen))) + ", " + clock(status.seen) : "Never on this tablet";
    return [
      ["Newest review", reviewed || "None"],
      ...(way === "worker" ? [["Compared with the office", compared]] : []),
      ["On this tablet", kept],
      ["Mark", edition.id + " of " + edition.date],
    ];
  }

  function draw() {
    // The page says of itself that nothing is here yet; a line that comes or goes would move it under a finger.
    if (!first || tablet.status || tablet.way !== "worker") alerts.replaceChildren(...said().map(([style, text, choice]) => {
      const row = make("div", "kb-tablet-alert" + (style ? " kb-tablet-" + style : ""), sentence(text));
      if (choice) row.append(button(choice.label, choice.act));
      return row;
    }));
    const table = make("dl", "kb-facts", ...facts().map(([name, value]) => make("div", "", make("dt", "", name), make("dd", "", value))));
    place.replaceChildren(table);
    if (list) {
      const print = list.id.slice(0, 20);
      place.append(make("div", "kb-tablet-print", make("p", "", "Fingerprint of the file list: ", make("samp", "", print.match(/..../g).join(" "))),
        window.kbFingerprint.drawn(print)));
    }
    if (tablet.way === "worker") place.append(button("Compare with the office now", () => tablet.compare({ force: true })));
    document.getElementById("edition").hidden = false;
  }

  async function load() {
    if (location.protocol === "file:" || !window.isSecureContext) return;
    const answer = await fetch("edition-files.json");
    if (!answer.ok) return;
    const bytes = await answer.arrayBuffer(), digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
    list = { id: Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join(""), mark: JSON.parse(new TextDecoder().decode(bytes)).mark };
  }

  let asked = false;
  document.addEventListener("kb-tablet", () => {
    draw();
    if (asked || !tablet.status?.now || !navigator.storage?.persist) return;
    asked = true;
    navigator.storage.persist().catch(() => {});
  });
  draw();
  load().catch(() => {}).then(draw);
})();

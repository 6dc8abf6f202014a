/* Parts of a step's screen: text with the marks of the plant, cautions, what is still to undo, the number pad. */
(function () {
  "use strict";

  /** @returns {HTMLElement} An element with a class and what stands in it; text is never read as markup. */
  function el(tag, className, ...inside) {
    const made = document.createElement(tag);
    if (className) made.className = className;
    made.append(...inside.filter((each) => each !== null && each !== undefined && each !== ""));
    return made;
  }

  /** @returns {Node[]} Text in which what stands on the plant is between backticks. */
  const marked = (text) => text.split("`").map((part, at) => (at % 2 ? el("samp", "", part) : document.createTextNode(part)));

  const button = (className, words, act) => {
    const made = el("button", className, ...(typeof words === "string" ? marked(words) : words));
    made.type = "button";
    made.addEventListener("click", act);
    return made;
  };

  const two = (number) => String(number).padStart(2, "0");
  function clock(time) {
    const at = new Date(time), today = new Date().toDateString() === at.toDateString();
    const day = at.getFullYear() + "-" + two(at.getMonth() + 1) + "-" + two(at.getDate()) + " ";
    return (today ? "" : day) + two(at.getHours()) + ":" + two(at.getMinutes());
  }

  /** @returns {string} The words of an item, with who confirmed it and when. */
  function said(words, seen, who) {
    const [by, at] = seen || ["", 0];
    return words.replace("{who}", !by ? "Before this page somebody" : by === who ? "you" : by)
      .replace("{time}", at ? clock(at) : "time not known").replace(/^you/, "You");
  }

  function caution([signal, title, hazard, consequence, avoid], brief) {
    const head = el("p", "kb-do-signal", el("strong", "", signal), " ", title);
    const body = brief ? [] : [el("p", "", hazard + " " + consequence), ...avoid.map((line) => el("p", "", ...marked(line)))];
    const made = el("div", "kb-do-caution", head, ...body);
    made.dataset.signal = signal;
    return made;
  }

  /**
   * A pad for one number; on a phone it has a screen of its own. `say` is called with the number, or not at all while
   * it is none; `above` stands over it.
   */
  function pad(unit, take, say, above) {
    let typed = "";
    const shown = el("output", "kb-do-figure", "0");
    const go = button("kb-do-take", take, () => typed && Number.isFinite(Number(typed)) && say(Number(typed)));
    const show = () => {
      shown.replaceChildren(typed || "–", unit ? el("span", "", " " + unit) : "");
      go.disabled = !/\d/.test(typed);
    };
    const key = (sign) => {
      if (sign === "←") typed = typed.slice(0, -1);
      else if (sign === "±") typed = typed.startsWith("-") ? typed.slice(1) : "-" + typed;
      else if (!(sign === "." && typed.includes(".")) && typed.length < 7) typed += sign;
      show();
    };
    const keys = el("div", "kb-do-keys", ...[..."789←456±123.0"].map((sign) => {
      const made = button("", sign, () => key(sign));
      if (sign === "←") made.setAttribute("aria-label", "Take the last figure away");
      if (sign === "±") made.setAttribute("aria-label", "Below nought");
      return made;
    }), go);
    const made = el("div", "kb-do-pad", above || null, shown, keys);
    made.addEventListener("keydown", (event) => {
      if (/^[0-9.]$/.test(event.key)) key(event.key);
      else if (event.key === "Backspace") key("←");
    });
    show();
    if (!matchMedia("(max-width: 599px)").matches) return made;
    const away = button("kb-do-minor", "Back to the step", () => over.remove()), over = el("div", "kb-do-leave", away, made);
    return el("div", "kb-do-answers", button("kb-do-answer", "Type the reading", (event) => {
      event.target.closest(".kb-do").append(over);
      keys.querySelector("button").focus();
    }));
  }

  window.kbDoDraw = { el, marked, button, clock, said, caution, pad };
})();

/* Parts of a step's screen: text with the marks of the plant, cautions, what is still to undo, the number pad. */
const W = window.kbDoWords, store = window.kbDoStore;

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

const answer = (words, act) => button("kb-do-answer", words, act);
const minor = (words, act) => button("kb-do-answer kb-do-minor", words, act);
const [ask, said, stop, text, count] = ["ask", "said", "stop", "text", "count"].map((kind) => (...inside) => el("p", "kb-do-" + kind, ...inside));

function field(label, value, words) {
  const input = el("input", "");
  input.value = value;
  input.autocomplete = "off";
  return { made: el("label", "kb-do-field", label, words ? el("small", "", words) : null, input), input };
}

const two = (number) => String(number).padStart(2, "0");
/** @returns {string} The day where the tablet is; that of the world's clock may be tomorrow. */
function day(time) {
  const at = new Date(time);
  return at.getFullYear() + "-" + two(at.getMonth() + 1) + "-" + two(at.getDate());
}
function clock(time) {
  const at = new Date(time);
  return (day(Date.now()) === day(time) ? "" : day(time) + " ") + two(at.getHours()) + ":" + two(at.getMinutes());
}

/** @returns {string} The words of an item, with who confirmed it and when. */
function spoken(words, seen, who) {
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

/** @returns {string} A figure as it is read: more than the meter reads, and thousands of ohms, by their signs. */
const figure = (number, unit) => (number >= 1e9 ? "OL" : unit === "Ω" && number >= 1000 ? number / 1000 + " kΩ" : number + (unit ? " " + unit : ""));

/**
 * A pad for one number; on a phone it has a screen of its own. `say` is called with the number, or not at all while
 * it is none; what is `above` stands over it.
 */
function pad(unit, take, say, ...above) {
  let typed = "", times = 1;
  const ohms = unit === "Ω", shown = el("output", "kb-do-figure"), number = () => Number(typed) * times;
  const go = button("kb-do-take", take, () => typed && Number.isFinite(number()) && say(Number(number().toPrecision(9))));
  const show = () => {
    const sign = times > 1 ? "kΩ" : unit;
    shown.replaceChildren(typed || "–", sign ? el("span", "", " " + sign) : "");
    go.disabled = !/\d/.test(typed);
  };
  const key = (sign) => {
    if (sign === "OL") {
      say(1e9);
      return;
    }
    if (sign === "←") typed = typed.slice(0, -1);
    else if (sign === "kΩ") times = times > 1 ? 1 : 1000;
    else if (sign === "±") typed = typed.startsWith("-") ? typed.slice(1) : "-" + typed;
    else if (!(sign === "." && typed.includes(".")) && typed.length < 7) typed += sign;
    show();
  };
  const signs = [..."789←456", ohms ? "kΩ" : "±", ..."123.0", ...(ohms ? ["OL"] : [])];
  const keys = el("div", ohms ? "kb-do-keys kb-do-ohms" : "kb-do-keys", ...signs.map((sign) => {
    const made = button("", sign, () => key(sign)), says = W["key " + sign];
    if (says) made.setAttribute("aria-label", says);
    return made;
  }), go);
  const made = el("div", "kb-do-pad", ...above, shown, keys);
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

window.kbDoDraw = { el, answer, minor, day, field };

/* A fingerprint of 20 hex digits as a QR code: version 1, level M, alphanumeric, mask 0 (ISO/IEC 18004). The one size
   that is needed, so that no library is. */
(function () {
  "use strict";

  const SIZE = 21, DATA = 16, CHECK = 10, DIGITS = "0123456789ABCDEF";
  const FORMAT = "101010000010010"; // level M, mask 0, with its check bits and mask

  /** The ten check bytes of the data: the rest of a division over GF(256), polynomial 0x11d. */
  function check(data) {
    const power = [1];
    for (let at = 1; at < 255; at++) power.push(power[at - 1] * 2 > 255 ? (power[at - 1] * 2) ^ 0x11d : power[at - 1] * 2);
    const times = (a, b) => (a && b ? power[(power.indexOf(a) + power.indexOf(b)) % 255] : 0);
    let generator = [1];
    for (let root = 0; root < CHECK; root++) {
      generator = [...generator, 0].map((value, at) => value ^ (at ? times(generator[at - 1], power[root]) : 0));
    }
    const rest = [...data, ...Array(CHECK).fill(0)];
    for (let at = 0; at < DATA; at++) {
      const factor = rest[at];
      generator.forEach((value, next) => { rest[at + next] ^= times(value, factor); });
    }
    return rest.slice(DATA);
  }

  /** @param {string} text 20 digits of DIGITS. @returns {number[][]} Rows of modules, 1 is dark. */
  function modules(text) {
    const two = (value, length) => value.toString(2).padStart(length, "0");
    let bits = "0010" + two(text.length, 9);
    for (let at = 0; at < text.length; at += 2) bits += two(45 * DIGITS.indexOf(text[at]) + DIGITS.indexOf(text[at + 1]), 11);
    bits = bits.padEnd(8 * DATA, "0");
    const data = bits.match(/.{8}/g).map((each) => parseInt(each, 2));
    const stream = [...data, ...check(data)].map((each) => two(each, 8)).join("");

    const rows = Array.from({ length: SIZE }, () => Array(SIZE).fill(-1));
    const set = (row, column, value) => { if (row in rows && column in rows) rows[row][column] = Number(value); };
    for (const [top, left] of [[0, 0], [0, 14], [14, 0]]) {
      for (let row = -1; row < 8; row++) for (let column = -1; column < 8; column++) {
        const ring = Math.max(Math.abs(row - 3), Math.abs(column - 3));
        set(top + row, left + column, ring !== 2 && ring !== 4);
      }
    }
    for (let at = 8; at < 13; at++) {
      set(6, at, at % 2 === 0);
      set(at, 6, at % 2 === 0);
    }
    const along = [0, 1, 2, 3, 4, 5, 7, 8];
    for (let at = 0; at < 15; at++) {
      const bit = FORMAT[14 - at];
      set(at < 8 ? along[at] : SIZE - 15 + at, 8, bit);
      set(8, at < 8 ? SIZE - 1 - at : along[14 - at], bit);
    }
    set(13, 8, 1);

    let next = 0;
    for (let right = SIZE - 1, up = true; right > 0; right -= 2, up = !up) {
      if (right === 6) right = 5;
      for (let step = 0; step < SIZE; step++) {
        const row = up ? SIZE - 1 - step : step;
        for (const column of [right, right - 1]) {
          if (rows[row][column] === -1) rows[row][column] = Number(stream[next++]) ^ ((row + column) % 2 ? 0 : 1);
        }
      }
    }
    return rows;
  }

  /** @param {string} text 20 hex digits. @returns {SVGSVGElement} With the quiet zone of four modules. */
  function drawn(text) {
    const make = (name, values) => {
      const element = document.createElementNS("http://www.w3.org/2000/svg", name);
      for (const [each, value] of Object.entries(values)) element.setAttribute(each, value);
      return element;
    };
    const path = modules(text.toUpperCase()).flatMap((row, y) =>
      row.map((dark, x) => (dark ? `M${x + 4} ${y + 4}h1v1h-1z` : ""))).join("");
    const picture = make("svg", { viewBox: "0 0 29 29", width: 116, height: 116, role: "img", "aria-label": "The fingerprint as a code to scan" });
    picture.append(make("path", { fill: "#ffffff", d: "M0 0h29v29H0z" }), make("path", { fill: "#000000", d: path }));
    return picture;
  }

  window.kbFingerprint = { modules, drawn };
})();

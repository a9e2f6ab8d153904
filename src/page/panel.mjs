// The front of a device as kb.toml draws it: its lamps at their places, and for each a list of states.
import { h, svg } from "./dom.mjs";
import { spoken } from "./words.mjs";

// Colours that a state's name may say, as the lamp would look.
const COLOURS = {
  red: "#c62828", green: "#2e8b3d", blue: "#2b62d1", amber: "#e09600", yellow: "#e0b400", orange: "#e07000", white: "#ffffff", off: "#6b6b66",
};

/** The colour that a state's name says, if one. */
export function colourOf(state) {
  const first = String(state ?? "").toLowerCase().split(/[-_ ]/).find((word) => word in COLOURS);
  return first ? COLOURS[first] : null;
}

function blinks(state) {
  return /blink|flash|slow|fast|pulse/.test(state ?? "");
}

/** The drawing. The outline is as wide and high as the lamps' places ask for. */
export function drawing(device, signs) {
  const placed = device.lamps.filter((lamp) => lamp.at);
  const across = placed.map((lamp) => lamp.at[0]);
  const down = placed.map((lamp) => lamp.at[1]);
  if (across.length === 0) return null;
  const wide = Math.min(...across) + Math.max(...across);
  const high = Math.max(Math.min(...down) + Math.max(...down), wide * 0.4);
  const lamps = placed.map((lamp) => {
    const letter = letterOf(device, lamp);
    const state = signs[lamp.name];
    return svg(
      "g",
      { onclick: () => choose(lamp) },
      svg("circle", { cx: lamp.at[0], cy: lamp.at[1], r: 8, fill: colourOf(state) ?? "none", class: state ? "lamp lit" : "lamp", "stroke-dasharray": blinks(state) ? "3 2" : null }),
      svg("text", { x: lamp.at[0], y: lamp.at[1] + 20, "text-anchor": "middle" }, letter),
    );
  });
  return svg("svg", { class: "front", viewBox: `-4 -4 ${wide + 8} ${high + 8}`, width: Math.min(180, wide * 1.4), "aria-hidden": "true" }, svg("rect", { x: 0, y: 0, width: wide, height: high, rx: 5 }), lamps);
}

// Each lamp has a letter, on the drawing and in the list.
function letterOf(device, lamp) {
  return String.fromCharCode(97 + (device.lamps.indexOf(lamp) % 26));
}

// A lamp that is touched opens its list; the list itself is what keys and screen readers use.
function choose(lamp) {
  const list = document.querySelector(`select[name="${CSS.escape(lamp.name)}"]`);
  list?.focus();
  try {
    list?.showPicker();
  } catch {
    // Some browsers open it by keys alone.
  }
}

/** Devices to tick, then the chosen one's front with its lamps. `pick` takes a line to be written. */
export function panel(devices, known, pick) {
  const chosen = devices.find((device) => device.id === known.device);
  return [
    h(
      "fieldset",
      { class: "devices" },
      h("legend", null, "Device"),
      devices.map((device) =>
        h("label", null, h("input", { type: "radio", name: "device", value: device.id, checked: device.id === known.device, onchange: () => pick(device.id) }), ` ${device.title}`),
      ),
    ),
    chosen ? front(chosen, known, pick) : h("p", { class: "hint" }, "Choose the device, and its front is drawn here."),
  ];
}

function front(device, known, pick) {
  return h(
    "div",
    { class: "lamps" },
    drawing(device, known.signs),
    h(
      "div",
      { class: "states" },
      device.lamps.map((lamp) =>
        h(
          "label",
          null,
          h("span", null, `${letterOf(device, lamp)}  ${spoken(lamp.name)}`),
          h(
            "select",
            { name: lamp.name, onchange: (event) => event.target.value && pick(`${lamp.name} ${event.target.value}`) },
            h("option", { value: "" }, "not told"),
            lamp.states.map((state) => h("option", { value: state, selected: known.signs[lamp.name] === state }, spoken(state))),
          ),
        ),
      ),
      device.codes.length > 0
        ? h(
            "label",
            null,
            h("span", null, "fault code"),
            h(
              "select",
              { name: "code", onchange: (event) => event.target.value && pick(event.target.value) },
              h("option", { value: "" }, known.codes.length > 0 ? `shown: ${known.codes.join(", ")}` : "none shown"),
              device.codes.map((code) => h("option", { value: code }, code)),
            ),
          )
        : null,
    ),
  );
}

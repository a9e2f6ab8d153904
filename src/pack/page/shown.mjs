// What the device shows: which device, its lamps, its codes, each to be picked with a thumb.

import { h, svg } from "../../page/dom.mjs";
import { choice } from "./press.mjs";
import { spoken } from "../../page/words.mjs";

const COLOURS = {
  red: "#c62828", green: "#2e8b3d", blue: "#2b62d1", amber: "#e09600", white: "#ffffff",
  orange: "#e07000", yellow: "#e0b400", off: "#77736a",
};

/** The form; `change` takes the parts of the case that change. */
export function shownForm(devices, c, change) {
  const device = devices.find(({ id }) => id === c.device);
  const options = [["", "not sure"], ...devices.map(({ id, title }) => [id, title])];
  return h("div", { class: "shown-form" },
    choice("device", "Device", options, c.device ?? "", (id) => change({ device: id || null })),
    device && h("label", { class: "line" }, "Firmware, where you can see it",
      h("input", {
        type: "text", value: c.firmware, inputmode: "decimal", autocomplete: "off",
        oninput: (event) => change({ firmware: event.target.value }, "quietly"),
      })),
    device && front(device, c.signs),
    device && device.lamps.map((lamp, at) => lampForm(lamp, letterOf(at), c, change)),
    device && device.codes.length > 0 && codesForm(device, c, change));
}

/** What a lamp is called in the drawing. */
function letterOf(at) {
  return String.fromCharCode(97 + at);
}

function lampForm(lamp, letter, c, change) {
  const options = [["", "not looked"], ...lamp.states.map((state) => [state, spoken(state)])];
  const pick = (state) => {
    const signs = { ...c.signs };
    delete signs[lamp.name];
    change({ signs: state ? { ...signs, [lamp.name]: state } : signs });
  };
  return choice(lamp.name, `${letter}  ${spoken(lamp.name)}`, options, c.signs[lamp.name] ?? "", pick);
}

function codesForm(device, c, change) {
  const row = (code) =>
    h("label", null,
      h("input", {
        type: "checkbox", name: "code", value: code, checked: c.codes.includes(code),
        onchange: (event) => {
          const others = c.codes.filter((known) => known !== code);
          change({ codes: event.target.checked ? [...others, code] : others });
        },
      }),
      h("span", null, code));
  return h("fieldset", { class: "choice codes" }, h("legend", null, "Fault code"), device.codes.map(row));
}

/** The front of a device with its lamps where `kb.toml` puts them, lit as they were picked. */
function front({ lamps }, signs) {
  const placed = lamps.filter(({ at }) => at);
  if (!placed.length) {
    return null;
  }
  const [across, down] = [placed.map(({ at }) => at[0]), placed.map(({ at }) => at[1])];
  const wide = Math.min(...across) + Math.max(...across);
  const high = Math.max(Math.min(...down) + Math.max(...down), wide / 2);
  const lamp = ({ name, at: [x, y] }) => {
    const colour = COLOURS[(signs[name] ?? "").split("-")[0]] ?? "none";
    return [
      svg("circle", { cx: x, cy: y, r: 7, fill: colour }),
      svg("text", { x, y: y + 18, "text-anchor": "middle" }, letterOf(lamps.findIndex((l) => l.name === name))),
    ];
  };
  return svg("svg", { class: "front", viewBox: `-12 -4 ${wide + 24} ${high + 8}`, "aria-hidden": "true" },
    svg("rect", { x: 0, y: 0, width: wide, height: high, rx: 4 }),
    placed.map(lamp));
}

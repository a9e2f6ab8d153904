// The only script that is not packed: it opens the rest. Without it the page shows the dangers and says
// what it needs.

import { unpacked } from "./packed.mjs";

document.documentElement.classList.add("opening");

async function boot() {
  const place = document.getElementById("content");
  globalThis.carried = await unpacked(place.textContent);
  place.remove();
  const script = document.createElement("script");
  script.textContent = globalThis.carried.script;
  document.body.append(script);
}

addEventListener("DOMContentLoaded", () => boot().catch((error) => {
  document.documentElement.classList.remove("opening");
  document.getElementById("why").textContent = ` (${error.message})`;
}));

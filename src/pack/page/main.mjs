import { ask } from "./rank/ask.mjs";
import { open } from "./rank/ground.mjs";

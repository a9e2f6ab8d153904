// Opens what the page carries: letters to bytes, then unpacked by the browser. `src/pack/carried.rs`
// writes it.

const ALPHABET = Array.from({ length: 94 }, (_, i) => String.fromCharCode(33 + i))
  .filter((c) => !"&<>".includes(c));
const BITS = 13;

/** The bytes of a text: how many, a space, then two letters of 91 for every 13 bits. */
export function bytesOf(text) {
  const values = new Uint8Array(128);
  ALPHABET.forEach((c, value) => (values[c.charCodeAt(0)] = value));
  const from = text.indexOf(" ") + 1;
  const bytes = new Uint8Array(Number(text.slice(0, from)));
  let [held, bits, at] = [0, 0, 0];
  for (let i = from; at < bytes.length; i += 2) {
    held |= (values[text.charCodeAt(i)] * ALPHABET.length + values[text.charCodeAt(i + 1)]) << bits;
    for (bits += BITS; bits >= 8 && at < bytes.length; bits -= 8) {
      bytes[at++] = held & 255;
      held >>>= 8;
    }
  }
  return bytes;
}

/** The page's script, what is read in it (as a function: it is long), and what it ranks with. */
export async function unpacked(text) {
  const stream = new Blob([bytesOf(text)]).stream().pipeThrough(new DecompressionStream("gzip"));
  const bytes = new Uint8Array(await new Response(stream).arrayBuffer());
  const lengths = new DataView(bytes.buffer);
  let at = 8;
  const [script, reading] = [0, 4].map((place) => {
    const part = bytes.subarray(at, at + lengths.getUint32(place, true));
    at += part.length;
    return () => new TextDecoder().decode(part);
  });
  return { script: script(), reading, content: bytes.subarray(at) };
}

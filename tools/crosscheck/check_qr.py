#!/usr/bin/env python3
"""Checks the QR codes of the pack's page by a decoder and an encoder of others.

Texts of every length class, from one letter to the longest that version 40 holds, are drawn by
`src/pack/page/qr.mjs` in Node and read back by ZXing-C++ (`zxing-cpp`). Every module is compared with
what `qrcode` draws under the same mask (ISO/IEC 18004, level L, byte mode).
"""

import json
import pathlib
import subprocess
import sys

import numpy as np
import qrcode
import zxingcpp

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
# ISO/IEC 18004: byte capacity of version 40, level L.
LONGEST = 2953
QUIET = 4
SCALE = 3


def texts():
    line = '{"ticket":{"id":"S-7QK2MB5TXW","said":"trips in rain ä € 🙂","codes":["K31"]}}\n'
    made = ["a", "https", "Gerät öffnet nicht 🙂", line]
    for length in (14, 17, 18, 32, 53, 78, 106, 134, 154, 192, 230, 231, 271, 500, 858, 1003, 1367,
                   1732, 2191, 2520, 2812, LONGEST):
        made.append(("0123456789abcdefghij klmnopqrstuvwxyz{}" * 80)[:length])
    return made


def picture(rows):
    modules = np.array([[int(c) for c in row] for row in rows], dtype=np.uint8)
    paper = np.pad(modules, QUIET)
    return np.kron(255 * (1 - paper), np.ones((SCALE, SCALE))).astype(np.uint8)


def mask_of(rows):
    """The mask, as the format bits beside the upper left finder say: bits 14 to 10, unmasked."""
    bits = int(rows[8][:5], 2)
    return (bits ^ 0b10101) & 7


def drawn_by_others(text, mask):
    code = qrcode.QRCode(error_correction=qrcode.constants.ERROR_CORRECT_L, border=0,
                         mask_pattern=mask)
    code.add_data(qrcode.util.QRData(text.encode(), mode=qrcode.util.MODE_8BIT_BYTE))
    code.make(fit=True)
    return ["".join("1" if dark else "0" for dark in row) for row in code.get_matrix()]


def main():
    made = texts() + ["x" * (LONGEST + 1)]
    ran = subprocess.run(["node", str(ROOT / "tools/crosscheck/pack/qr.mjs")], check=True, text=True,
                         input="".join(json.dumps(text) + "\n" for text in made),
                         stdout=subprocess.PIPE)
    drawn = [json.loads(line) for line in ran.stdout.splitlines()]
    passed = failed = 0
    for text, rows in zip(made[:-1], drawn[:-1]):
        read = [found.text for found in zxingcpp.read_barcodes(picture(rows))]
        same = drawn_by_others(text, mask_of(rows)) == rows
        good = read == [text] and same
        passed, failed = passed + good, failed + (not good)
        if not good:
            print(f"{len(text)} letters: read {read}, every module the same: {same}")
    too_long = drawn[-1] is None
    passed, failed = passed + too_long, failed + (not too_long)
    print(f"check_qr: {passed} passed, {failed} failed")
    sys.exit(failed > 0)


if __name__ == "__main__":
    main()

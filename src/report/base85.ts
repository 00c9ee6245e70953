/**
 * Bytes as text that stands in a script element as it is: four bytes in five signs, 25 % more than the bytes where base64
 * takes 33 %. The signs are those from '#' on in ASCII, with '~' for '<', which could end the element. One to three bytes
 * at the end take a sign more than they are, as in Ascii85. The page's script decodes it.
 */
export function base85(bytes: Uint8Array): string {
  const signs = new Uint8Array(5 * Math.ceil(bytes.length / 4));
  for (let i = 0, at = 0; i < bytes.length; i += 4, at += 5) {
    let value = 0;
    for (let k = 0; k < 4; k++) value = value * 256 + (bytes[i + k] ?? 0);
    for (let k = 4; k >= 0; k--) {
      signs[at + k] = SIGNS[value % 85];
      value = Math.floor(value / 85);
    }
  }
  const missing = (4 - (bytes.length % 4)) % 4;
  return new TextDecoder('latin1').decode(signs.subarray(0, signs.length - missing));
}

const FIRST_SIGN = '#'.charCodeAt(0);
const SIGNS = Uint8Array.from({ length: 85 }, (_, i) =>
  String.fromCharCode(FIRST_SIGN + i)
    .replace('<', '~')
    .charCodeAt(0),
);

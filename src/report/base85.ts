/**
 * Bytes as text that stands in a script element as it is: four bytes in five signs, 25 % more than the bytes where base64
 * takes 33 %. The signs are those from '#' on in ASCII, with '~' for '<', which could end the element. One to three bytes
 * at the end take a sign more than they are, as in Ascii85. The page's script decodes it.
 */
export function base85(bytes: Uint8Array): string {
  const groups: string[] = [];
  for (let i = 0; i < bytes.length; i += 4) {
    let value = 0;
    for (let k = 0; k < 4; k++) value = value * 256 + (bytes[i + k] ?? 0);
    let signs = '';
    for (let k = 0; k < 5; k++) {
      signs = SIGNS[value % 85] + signs;
      value = Math.floor(value / 85);
    }
    groups.push(signs.slice(0, Math.min(4, bytes.length - i) + 1));
  }
  return groups.join('');
}

const FIRST_CODE = 35;
const SIGNS = Array.from({ length: 85 }, (_, i) => String.fromCharCode(FIRST_CODE + i).replace('<', '~'));
